"""What a function takes when an argument is left out: the usual values, written down here once more.

Glass 2560 and resin 1200 kg/m3, Tsai-Wu interaction -0.5, Halpin-Tsai factors 2 and 1, shear factor 5/6, lap 50 mm,
stagger 100 mm (class society rules), two thirds of the gel time, 2 min of stirring: common practice; the strength
factors of micromechanics are proposals of this project.
"""

import importlib
import inspect

import numpy as np
import pytest
from docstrings import example, parts

pytestmark = pytest.mark.invariant
DEFAULTS = """
batching.crew_batch_kg: gel_share=0.6666666666666666 wet_out_kg_min=0.1 mixing_min=0
batch_plan.CrewRules: exposure_ppm=20 gap_min=240 mixing_min=2 people=2 pot_kg=2 session_mm=5 session_plies=4
fibre_content.ply_thickness: fibre_density_kg_m3=2560 resin_density_kg_m3=1200 void_fraction=0
fibre_content.weight_fraction_from_thickness: fibre_density_kg_m3=2560 resin_density_kg_m3=1200 void_fraction=0
fibre_content.fibre_volume_fraction: void_fraction=0
fibre_content.fibre_weight_fraction: void_fraction=0
fibre_content.laminate_density: void_fraction=0
micromechanics.ply_constants_micromechanics: crimp_factor=0.9 mat_efficiency=0.88 warp_share=0.5 xi_e2=2 xi_g12=1
micromechanics.woven_constants: crimp_factor=0.9 warp_share=0.5
mixture_rules.mat_modulus: efficiency=0.88
plate_navier.factored_shear_stiffness: factor=0.8333333333333334
sandwich_plate.sandwich_plate: terms=100
sandwich.Sandwich: width_mm=1
strength_models.strengths_micromechanics: bundle_factor=0.6 compression_factor=0.6 fibre_to_resin_modulus=21 \
interface_factor=0.6 mat_factor=0.7 resin_compression_factor=2.5 resin_shear_factor=2.5
progressive.KnockDowns: matrix=0.1 fibre=0.01 collapse_share=0.25
strength.tsai_wu: interaction=-0.5
criteria.assess: interaction=-0.5
failure.first_ply_failure: delta_t=0
tsai_wu.tsai_wu_terms: interaction=-0.5
quality_checks.check_implied_fraction: fibre_density_kg_m3=2560 resin_density_kg_m3=1200 void_fraction=0
quality_checks.check_voids: fibre_density_kg_m3=2560 resin_density_kg_m3=1200 limit=0.05
quality_checks.check_thickness: gel_coat_mm=0 band=0.15
constituents.density_by_water: water_density_kg_m3=997.5
beams.beam_response: stations=41
stiffeners.angle_section: leg_sides=1
fasteners.tabbing_shear_capacity: sides=2
"""
CASES = [(name, *pair.split("=")) for line in DEFAULTS.replace("\\\n", "").strip().split("\n")
         for name, pairs in [line.split(": ")] for pair in pairs.split()]


@pytest.mark.parametrize(("name", "argument", "value"), CASES)
def test_left_out_argument(name, argument, value):
    room, name = name.split(".")
    package = "shop." if room.startswith(("batch", "quality")) else "mechanics."
    module = importlib.import_module(f"lamcalc.{package}{room}")
    number = float(value)
    for call in example(name, getattr(module, name), module)[1]:
        given = call.arguments | {argument: int(number) if number == int(number) else number}
        left = inspect.BoundArguments(call.signature, {key: one for key, one in given.items() if key != argument})
        full = inspect.BoundArguments(call.signature, given)
        mine, wanted = (dict(parts(getattr(module, name)(*one.args, **one.kwargs))) for one in (left, full))
        assert mine.keys() == wanted.keys() and mine
        for key, one in mine.items():
            assert np.array_equal(one, wanted[key], equal_nan=True), f"{argument}: {key} {one} is not {wanted[key]}"
