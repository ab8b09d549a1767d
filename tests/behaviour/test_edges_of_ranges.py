"""Whether the ends of a range belong to it: 0 for amounts, 0 and 1 for fractions, whichever function asks.

Amounts that may be missing (no voids, no gel coat, no filler, nothing weighed back, no lap) may be 0; what the sum is
divided by, or what makes no part without it (thickness, modulus, span, strength, mass of the coupon), may not.
"""

import importlib
import inspect

import numpy as np
import pytest
from docstrings import MODULES, example, parameters, public, spoilt

from lamcalc.errors import InputError

pytestmark = pytest.mark.behaviour
ZERO = """
bars.tube_section: inner_diameter_mm
beams.Support: spring_n_mm spring_n_mm_rad
constituents.mixture_from_masses: masses
constituents.mixture_from_volumes: volumes densities
constituents.burn_off_weight_fraction: filler_per_resin
constituents.density_by_water: mass_in_water_g
fasteners.bolt_bearing: force_n
fasteners.backing_plate_stress: pressure_mpa
fibre_content.fibre_volume_fraction: weight_fraction void_fraction
fibre_content.fibre_weight_fraction: volume_fraction void_fraction
fibre_content.ply_thickness: void_fraction
fibre_content.weight_fraction_from_thickness: void_fraction
fibre_content.laminate_density: weight_fraction void_fraction
fibre_content.weight_fraction_from_resin_ratio: resin_per_glass
margins.Margin: demand capacity
micromechanics.woven_constants: warp_share
micromechanics.ply_constants_micromechanics: volume_fraction xi_e2 xi_g12 warp_share
mixture_rules.rule_of_mixtures: volume_fraction
mixture_rules.series_bound: volume_fraction
mixture_rules.halpin_tsai: volume_fraction xi
mixture_rules.hewitt_malherbe_xi: volume_fraction
mixture_rules.chamis: volume_fraction
mixture_rules.krenchel: volume_fraction efficiency
mixture_rules.mat_modulus: volume_fraction
mixture_rules.fibre_load_share: volume_fraction
mixture_rules.schapery_expansion: volume_fraction
plate_navier.NavierPlate.frequencies: gyration_radius_mm
plate_series.equivalent_radius: radius_mm
plate_series.centre_load_stress: radius_mm
sandwich.Sandwich: e_core
sandwich_failure.local_crush: hole_diameter_mm skin_mm spread
sections.Part: e_mpa
sections.Section.from_layers: e_mpa
sections.Section.shear_stress: cut_y_mm
stiffeners.attached_width: base_width_mm
stiffeners.hat_section: plate_e skin_e former_e
stiffeners.solid_core_section: plate_e skin_e
stiffeners.angle_section: plate_e web_e
strength_models.resin_strain_share: volume_fraction
strength_models.strengths_micromechanics: volume_fraction
thermal.cure_shrinkage_strain: volumetric_shrinkage share_after_gel
thermal.ply_shrinkage_strains: volume_fraction
schedule.Price: amount
schedule.fabric_constants: void_fraction
takeoff.take_off: lap_mm stagger_mm thinner_percent_v solvent_l_kg
takeoff_cut.cut_pieces: lap_mm stagger_mm
takeoff_turns.cut_with_turns: lap_mm stagger_mm
takeoff_resin.resin_use: to_buy_kg
takeoff_resin.laminate_resin: copies
takeoff_resin.gel_coat_supplies: thinner_percent_v
batch_plan.PlyNeed: thickness_mm glass_fraction
batch_plan.CrewRules: mixing_min gap_min
batch_plan.clock: minutes
batching.crew_batch_kg: mixing_min
quality.assess: gel_coat_mm resin_left_kg filler_per_resin
quality_checks.check_mass_balance: resin_left_kg
quality_checks.check_thickness: gel_coat_mm
quality_checks.check_implied_fraction: void_fraction
quality_checks.check_burn_off: filler_per_resin
quality_checks.check_hardness: readings
"""
ONE = """
fibre_content.fibre_volume_fraction: weight_fraction
fibre_content.fibre_weight_fraction: volume_fraction
fibre_content.ply_thickness: weight_fraction
fibre_content.laminate_density: weight_fraction
fibre_content.resin_per_glass: weight_fraction
fibre_content.resin_areal_weight: weight_fraction
fibre_content.combined_weight_fraction: weight_fraction
margins.DesignFactor: value
micromechanics.woven_constants: crimp_factor warp_share
micromechanics.ply_constants_micromechanics: mat_efficiency crimp_factor warp_share
mixture_rules.rule_of_mixtures: volume_fraction
mixture_rules.series_bound: volume_fraction
mixture_rules.halpin_tsai: volume_fraction
mixture_rules.hewitt_malherbe_xi: volume_fraction
mixture_rules.chamis: volume_fraction
mixture_rules.krenchel: volume_fraction efficiency
mixture_rules.mat_modulus: volume_fraction efficiency
mixture_rules.fibre_load_share: volume_fraction
mixture_rules.schapery_expansion: volume_fraction
plywood.parallel_ply_moment: design_fraction
strength_models.strengths_micromechanics: bundle_factor interface_factor mat_factor
thermal.cure_shrinkage_strain: share_after_gel
batch_plan.CrewRules: gel_share
batching.crew_batch_kg: gel_share
"""
# end, value beyond it, words of the refusal beyond it, arguments for which the end is allowed
ENDS = {"zero": (0.0, -1.0, ("0 or more", "greater than 0", "fraction between"), ZERO),
        "one": (1.0, 1.5, ("fraction between",), ONE)}


def refusal(item, call, argument, value):
    """Words of the refusal when the argument takes a value; empty if it is taken."""
    changed = spoilt(call.arguments[argument], value)
    again = inspect.BoundArguments(call.signature, {**call.arguments, argument: changed})
    try:
        with np.errstate(all="ignore"):
            item(*again.args, **again.kwargs)
    except InputError as error:
        return error.rule
    except (IndexError, TypeError, ValueError):
        return ""
    return ""


@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("module", MODULES)
def test_end_of_the_range(module, end):
    value, beyond, words, allowed = ENDS[end]
    found, module = {}, importlib.import_module(module)
    room = module.__name__.rpartition(".")[2]
    for name, item in public(module):
        told = parameters(item)
        for call in example(name, item, module)[1][:1]:
            for argument in told.keys() & call.arguments.keys():
                if spoilt(call.arguments[argument], value) is None or (end == "one" and "[-]" not in told[argument][1]):
                    continue
                if any(one in refusal(item, call, argument, beyond) for one in words):
                    found.setdefault(f"{room}.{name}", set())
                    if not refusal(item, call, argument, value):
                        found[f"{room}.{name}"].add(argument)
    wanted = dict(line.split(": ") for line in allowed.strip().split("\n"))
    assert {name: args for name, args in found.items() if args} == {
        name: set(args.split()) for name, args in wanted.items() if name.split(".")[0] == room}
