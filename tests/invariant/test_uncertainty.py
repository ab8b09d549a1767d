"""Draws follow their stated quantiles, are repeatable, and go through the same physics as everything else."""

import tracemalloc
from dataclasses import fields, replace
from functools import cache
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.strength import design_factor
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.parts.stringer import assess_stringer
from lamcalc.parts.schedule_variants import with_core_modulus
from lamcalc.parts.transom import assess, bending_stiffness
from lamcalc.schedule import Sublayers
from lamcalc.shop import job as jobs
from lamcalc.shop.job_stringer import stringer_case
from lamcalc.shop.job_transom import transom_case
from lamcalc.studies.distributions import BLOCK, SHAPES, Distribution, Uncertain, drawn, typical
from lamcalc.studies.drawn_layers import DrawnLayers
from lamcalc.studies.uncertain_parts import LaminateModel, StringerModel, TransomModel
from lamcalc.studies.uncertainty import Chance, FunctionModel, Quantity, run_uncertainty

pytestmark = pytest.mark.invariant

JOB = jobs.load_demo()
SCHEDULES = sorted(JOB.schedules)


@cache
def schedule(key):
    return jobs.schedule(JOB, key, jobs.catalogue(JOB))


@cache
def transom_model(option, **settings):
    return TransomModel(transom_case(JOB), schedule(option), **settings)


@pytest.mark.parametrize("shape", SHAPES)
def test_samples_have_the_stated_quantiles(shape):
    spread = Distribution(shape, 2.0, 4.5, 7.0) if shape == "uniform" else Distribution(shape, 2.0, 3.0, 7.0)
    values = drawn([Uncertain("x", "x", spread)], slice(0, 200_000), 3)["x"][:, 0]
    for p in (0.05, 0.25, 0.5, 0.8, 0.95):
        below = (values < float(spread.quantile(p))).mean()
        assert abs(below - p) < 4.5 * np.sqrt(p * (1 - p) / len(values))
    if shape in ("normal", "lognormal"):
        assert np.allclose(spread.quantile([0.05, 0.5, 0.95]), [2.0, 3.0, 7.0])
    else:
        assert values.min() >= 2.0 and values.max() <= 7.0


def test_triangle_by_its_closed_form():
    """Mean (a + b + c)/3 and variance (a2 + b2 + c2 - ab - ac - bc)/18: common practice."""
    a, c, b = 1.0, 2.0, 6.0
    values = drawn([Uncertain("x", "x", Distribution("triangular", a, c, b))], slice(0, 200_000), 8)["x"]
    assert abs(values.mean() - (a + b + c) / 3) < 4.5 * values.std() / np.sqrt(len(values))
    assert abs(values.var() / ((a * a + b * b + c * c - a * b - a * c - b * c) / 18) - 1) < 0.02


@given(variation=st.floats(0.01, 0.6))
def test_coefficient_of_variation_of_a_lognormal(variation):
    """Standard deviation over mean of a lognormal is sqrt(exp(s^2) - 1), s that of the logarithm: textbook."""
    spread = Distribution.varying(5.0, variation)
    s = np.log(spread.high / spread.typical) / NormalDist().inv_cdf(0.95)
    assert np.isclose(np.sqrt(np.expm1(s * s)), variation)


@given(start=st.integers(0, 3 * BLOCK), length=st.integers(1, 2 * BLOCK), seed=st.integers(0, 2**32))
def test_a_sample_does_not_depend_on_the_cut(start, length, seed):
    items = [
        Uncertain("a", "a", Distribution.varying(1.0, 0.1), 2),
        Uncertain("b", "b", Distribution("uniform", 0.0, 1.0, 2.0)),
    ]
    whole, part = drawn(items, slice(0, 5 * BLOCK), seed), drawn(items, slice(start, start + length), seed)
    for key in whole:
        assert np.array_equal(whole[key][start : start + length], part[key])


def test_other_inputs_and_seeds_do_not_leak():
    a, b = (Uncertain(key, key, Distribution.varying(1.0, 0.1)) for key in "ab")
    rows = slice(0, 2000)
    alone, both, off = drawn([a], rows, 5), drawn([b, a], rows, 5), drawn([b, a], rows, 5, vary=("a",))
    assert np.array_equal(alone["a"], both["a"]) and np.array_equal(alone["a"], off["a"])
    assert np.all(off["b"] == 1.0)
    assert not np.array_equal(drawn([a], rows, 6)["a"], alone["a"])
    assert not np.array_equal(drawn([a], rows, 5, stream=1)["a"], alone["a"])
    assert abs(np.corrcoef(both["a"][:, 0], both["b"][:, 0])[0, 1]) < 0.1


@pytest.mark.parametrize("key", SCHEDULES)
def test_typical_draws_are_the_schedule_itself(key):
    layers = DrawnLayers((("wall", schedule(key)),))
    found = layers.sublayers("wall", typical(layers.inputs))
    for item in fields(Sublayers)[2:]:
        assert np.array_equal(getattr(found, item.name)[0], getattr(schedule(key).sublayers, item.name)), item.name


@pytest.mark.parametrize("key", ["bottom_original", "bottom_patch_stitched", "stringer_skin", "sole_board"])
def test_typical_strengths_are_those_of_the_schedule(key):
    layers = DrawnLayers((("wall", schedule(key)),))
    draws = typical(layers.inputs)
    found = layers.strengths("wall", layers.sublayers("wall", draws), draws)
    known = schedule_strengths(schedule(key)).plies
    for name in ("xt", "xc", "yt", "yc", "s"):
        np.testing.assert_allclose(getattr(found, name)[0], getattr(known, name), rtol=1e-12)


def test_drawn_glass_content_gives_the_schedule_with_that_content():
    """A drawn fraction is the same as a process with that typical fraction."""
    own = schedule("bottom_original")
    layers = DrawnLayers((("wall", own),))
    draws = typical(layers.inputs)
    for key, value in (("glass:hand:csm", 0.27), ("glass:hand:woven", 0.51)):
        draws[key][:] = value
    process = own.layers[1].process
    wetter = replace(
        process,
        fractions=tuple(
            (kind, replace(value, typical={"csm": 0.27, "woven": 0.51}.get(kind, value.typical)))
            for kind, value in process.fractions
        ),
    )
    expected = own.with_layers(
        [replace(layer, process=wetter) if hasattr(layer, "process") else layer for layer in own.layers]
    )
    found = layers.sublayers("wall", draws)
    for item in fields(Sublayers)[2:]:
        np.testing.assert_allclose(getattr(found, item.name)[0], getattr(expected.sublayers, item.name), rtol=1e-13)


def test_a_heavier_fabric_is_thicker_in_proportion():
    own = schedule("bottom_original")
    layers = DrawnLayers((("wall", own),))
    draws = typical(layers.inputs)
    # fabrics in the order in which they first appear: mat 300, mat 450, roving
    draws["weight"][:] = (1.1, 1.0, 0.9)
    found, plain = layers.sublayers("wall", draws), own.sublayers
    factor = np.where(plain.kind == "woven", 0.9, np.where(plain.areal_weight_gsm == 300.0, 1.1, 1.0))
    for name in ("areal_weight_gsm", "thickness_mm", "resin_gsm"):
        np.testing.assert_allclose(getattr(found, name)[0], getattr(plain, name) * factor)


def test_drawn_directions_are_those_of_turned_plies():
    own = schedule("stringer_skin")
    layers = DrawnLayers((("wall", own),))
    draws = typical(layers.inputs)
    draws["angle"][:] = (3.0, -1.5)
    first, second = (replace(own.layers[0], count=1, angle_deg=turn) for turn in (3.0, -1.5))
    expected = own.with_layers([first, second]).laminate
    found = layers.version("wall", layers.sublayers("wall", draws), draws, 0).laminate
    np.testing.assert_allclose(found.abd, expected.abd, rtol=1e-9, atol=1e-6 * expected.abd.max())


def test_drawn_core_modulus_is_the_core_with_that_modulus():
    own = schedule("transom_board")
    layers = DrawnLayers((("wall", own),))
    draws = typical(layers.inputs)
    draws["core_e:pu_board_416"] *= 1.3
    found = layers.version("wall", layers.sublayers("wall", draws), draws, 0).laminate
    np.testing.assert_allclose(found.abd, with_core_modulus(own, 1.3).laminate.abd, rtol=1e-12, atol=1e-6)


def test_factor_on_moduli_of_fabrics_and_kept_layers():
    own = schedule("transom_board")
    layers = DrawnLayers((("wall", own),))
    draws = typical(layers.inputs)
    draws["modulus"] *= 1.2
    draws["kept"] *= 0.7
    found, plain = layers.sublayers("wall", draws), own.sublayers
    factor = np.where(plain.kind == "solid", 0.7, np.where(plain.kind == "core", 1.0, 1.2))
    for name in ("e1", "e2", "g12", "g13", "g23"):
        np.testing.assert_allclose(getattr(found, name)[0], getattr(plain, name) * factor)
    assert np.array_equal(found.nu12[0], plain.nu12)


def test_measured_plies_keep_what_was_measured():
    own = schedule("stringer_skin")
    measured = own.with_layers([replace(own.layers[0], thickness_mm=1.6)])
    layers = DrawnLayers((("wall", measured),))
    assert [item.key for item in layers.inputs] == ["weight", "modulus", "strength", "angle"]
    found = layers.sublayers("wall", drawn(layers.inputs, slice(0, 50), 1))
    np.testing.assert_allclose(found.thickness_mm.sum(axis=1), measured.structural_thickness_mm)


def test_laminate_results_equal_one_schedule_after_the_other():
    layers_model = LaminateModel(schedule("bottom_patch_stitched"), M=(400.0, 0.0, 0.0))
    draws = drawn(layers_model.inputs, slice(0, 12), 9)
    found = layers_model(draws)
    s = layers_model.layers.sublayers("laminate", draws)
    for k in range(12):
        one = layers_model.layers.version("laminate", s, draws, k)
        ei = bending_stiffness(one.laminate)
        coats = one.total_thickness_mm - one.structural_thickness_mm
        np.testing.assert_allclose(
            [
                found["ei_x"][k],
                found["ei_y"][k],
                found["thickness"][k],
                found["glass_fraction"][k],
                found["resin"][k],
                found["areal_mass"][k],
                found["e_x"][k],
            ],
            [
                *ei,
                one.total_thickness_mm - coats,
                one.glass_fraction,
                one.resin_kg_m2,
                one.sublayers.mass_gsm.sum() / 1000,
                one.laminate.in_plane.ex,
            ],
            rtol=1e-10,
        )


@pytest.mark.parametrize("option", ["transom_board", "transom_plywood", "transom_cast"])
def test_typical_transom_is_the_comparison_of_the_job(option):
    found = transom_model(option)(typical(transom_model(option).inputs))
    one = assess(transom_case(JOB), option, schedule(option))
    core = min(m.reserve_factor for m in one.strength.margins if m.name.startswith("core in shear"))
    expected = {
        "thickness": one.thickness_mm,
        "mass": one.new_mass_kg,
        "ei_up": one.ei_up,
        "ei_across": one.ei_across,
        "deflection": max(abs(w) for w in one.strip_deflection_mm),
        "turn": one.worst_turn_mrad,
        "plate_deflection": max(abs(w) for w in one.plate_deflection_mm),
        "core_margin": core,
        "resin_to_buy": one.schedule.resin_kg_m2 * transom_case(JOB).outline.net_area_m2 * 1.15,
    }
    for key, value in expected.items():
        assert np.isclose(found[key][0], value, rtol=1e-9), key


@pytest.mark.parametrize("option, near", [("transom_board", 0.01), ("transom_plywood", 0.07), ("transom_cast", 0.015)])
def test_the_plate_curve_against_the_plate_itself(option, near):
    """What the curve leaves out: the shares of bending across and twist.  Far below the scatter of the results."""
    draws = drawn(transom_model(option).inputs, slice(40, 44), 2)
    solved = TransomModel(transom_case(JOB), schedule(option), solve_every=True)(draws)
    curve = transom_model(option)(draws)
    for key in ("plate_deflection", "turn", "core_margin"):
        np.testing.assert_allclose(curve[key], solved[key], rtol=near, err_msg=key)


def test_a_sample_beyond_the_curve_is_solved_itself():
    own = transom_model("transom_board")
    draws = typical(own.inputs)
    draws["core_g:pu_board_416"] *= 0.1
    solved = TransomModel(transom_case(JOB), schedule("transom_board"), solve_every=True)
    assert np.isclose(own(draws)["turn"][0], solved(draws)["turn"][0], rtol=1e-12)


def test_strip_margin_of_the_layers_by_hand():
    """Uniform factor on strength: the ratio grows with it, stiffness stays."""
    own = transom_model("transom_board")
    draws = {key: np.repeat(value, 2, axis=0) for key, value in typical(own.inputs).items()}
    draws["strength"][1] = 1.25
    found = own(draws)
    assert np.isclose(found["layer_margin"][1], 1.25 * found["layer_margin"][0])
    assert found["ei_up"][1] == found["ei_up"][0]


def test_core_margin_goes_with_the_core_strength():
    own = transom_model("transom_board")
    draws = {key: np.repeat(value, 2, axis=0) for key, value in typical(own.inputs).items()}
    draws["core_tau:pu_board_416"][1] *= 0.7
    found = own(draws)
    assert np.isclose(found["core_margin"][1], 0.7 * found["core_margin"][0])


def test_stringer_at_typical_is_the_stringer():
    hat, load = stringer_case(JOB)
    own = StringerModel(hat, load)
    found, one = own(typical(own.inputs)), assess_stringer(hat, load)
    np.testing.assert_allclose(
        [found[q.key][0] for q in own.results],
        [one.ei, hat.mass_kg_m, one.deflection_mm, one.least.reserve_factor],
        rtol=1e-12,
    )
    draws = drawn(own.inputs, slice(0, 3), 1)
    assert np.array_equal(StringerModel(hat, load, margins=False)(draws)["ei"], own(draws)["ei"])


def test_more_glass_is_thinner_and_needs_less_resin():
    own = LaminateModel(schedule("bottom_original"), area_m2=0.4)
    draws = drawn(own.inputs, slice(0, 400), 1, vary=("glass:hand:csm",))
    found = own(draws)
    order = np.argsort(draws["glass:hand:csm"][:, 0])
    assert (np.diff(found["thickness"][order]) < 0).all() and (np.diff(found["resin_to_buy"][order]) < 0).all()


def test_bands_and_chances_of_a_known_distribution():
    own = FunctionModel(_double, (Uncertain("x", "x", Distribution.scattered(0.0, 1.0)),), (Quantity("y", "y"),))
    found = run_uncertainty(own, samples=40_000, seed=2)
    band, z = found.band("y"), 2 * NormalDist().inv_cdf(0.9)
    assert np.allclose([band.low, band.middle, band.high], [-z, 0.0, z], atol=0.06)
    assert band.typical == 0.0
    chance = found.chance("y", 2.0)
    assert abs(chance.share - NormalDist().cdf(1.0)) < 4 * chance.standard_error
    assert found.chance("y", 2.0, at_least=False).missed == found.samples - chance.missed


def test_standard_error_is_the_scatter_between_seeds():
    own = FunctionModel(_double, (Uncertain("x", "x", Distribution.scattered(0.0, 1.0)),), (Quantity("y", "y"),))
    runs = [run_uncertainty(own, samples=400, seed=seed).chance("y", -2.0) for seed in range(300)]
    scatter = np.std([run.share for run in runs])
    assert abs(scatter / np.mean([run.standard_error for run in runs]) - 1) < 0.2


def test_none_of_the_samples_is_not_never():
    assert (
        Chance(Quantity("r", "r"), 1.0, True, 0, 300)
        .words()
        .endswith("none of 300 samples, so the chance is likely below 1 %")
    )


def test_memory_beyond_the_result_stays_below_16_mb():
    for own, count in (
        (LaminateModel(schedule("bottom_original"), M=(300.0, 0.0, 0.0)), 15_000),
        (transom_model("transom_cast"), 1500),
    ):
        run_uncertainty(own, samples=64, seed=1)
        tracemalloc.start()
        found = run_uncertainty(own, samples=count, seed=1)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        assert peak - found.values.nbytes < 16e6


def test_level_c_is_in_the_core_margin():
    """By hand: 3.3 MPa of the catalogue times 0.8 of evaluation level C."""
    one = assess(transom_case(JOB), "board", schedule("transom_board"))
    margin = next(m for m in one.strength.margins if m.name == "core in shear, plate")
    assert np.isclose(margin.capacity, 3.3 * design_factor("iso_level_c").value)


def _double(draws):
    return {"y": 2 * draws["x"][:, 0]}
