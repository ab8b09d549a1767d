"""Strength: what the user is told."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.margins import DESIGN_FACTORS, EVALUATION_LEVELS
from lamcalc.mechanics.strength import (
    COMPRESSION_CAUTION,
    SCREENING_CAUTION,
    UNIDIRECTIONAL_CAUTION,
    DesignFactor,
    KnockDowns,
    Margin,
    PlyStrengths,
    assess,
    design_factor,
    first_ply_failure,
    first_ply_ratio,
    interlaminar_check,
    last_ply_failure,
    strengths_micromechanics,
    strengths_small_craft,
    tsai_wu_terms,
)

pytestmark = pytest.mark.behaviour
GLASS = PlyStrengths(1062.0, 610.0, 31.0, 118.0, 72.0)
WALL = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 90.0], [1.0, 1.0], alpha1=8.6e-6, alpha2=22.1e-6)
STRAINS = dict(e1=28e3, e2=8e3, g12=2.9e3, fibre_strain=0.032, resin_strain=0.02)


@pytest.mark.parametrize("call, words", [
    (lambda: PlyStrengths(1062, -610, 31, 118, 72), "strength xc must be greater than 0 [MPa]; received -610.0"),
    (lambda: PlyStrengths(1062, 610, float("nan"), 118, 72), "strength yt must be a finite number [MPa]"),
    (lambda: PlyStrengths(1062, 610, None, 118, 72), "strength yt must be a finite number"),
    (lambda: GLASS.scaled(0), "strength factor must be greater than 0"),
    (lambda: first_ply_failure(WALL, PlyStrengths([1, 2, 3], 1, 1, 1, 1), (1, 0, 0)),
     "strengths must fit the laminate, shape (2,) with plies last [MPa]; received (3,). Next: give one value"),
    (lambda: first_ply_failure(WALL, GLASS, (1, 0, 0), criterion="tsai"), "criterion must be one of max_stress"),
    (lambda: first_ply_failure(WALL, GLASS, (float("inf"), 0, 0)), "N must be a finite number [N/mm]"),
    (lambda: last_ply_failure(WALL, GLASS, (1, 0, 0), criterion=""), "criterion must be one of"),
    (lambda: assess([1.0, 2.0], GLASS), "stress must have three components 11, 22, 12 last"),
    (lambda: assess(3.0, GLASS), "stress must have three components"),
    (lambda: assess([1, 2, 3], GLASS, residual=[np.nan, 0, 0]), "residual must be a finite number [MPa]"),
    (lambda: assess([1, 2, 3], GLASS, criterion="max_strain"), "nu12 and nu21 must be given for the maximum strain"),
    (lambda: assess([1, 2, 3], PlyStrengths(50, 50, 101, 20, 9), criterion="tsai_hill"),
     "strength across the fibre must be at most twice the strength along it for Tsai-Hill [MPa]; received 101.0"),
    (lambda: tsai_wu_terms(GLASS, interaction=-1.0), "interaction F12* must lie between -1 and 1"),
    (lambda: first_ply_ratio(np.zeros((2, 9)), [0, 2], [0, 1, 2.0], [0, 0, 0], [0, 0, 0]),
     "index must name one of the 2 palette entries"),
    (lambda: KnockDowns(matrix=0.0), "knock-down matrix must be a fraction between 0 and 1"),
    (lambda: KnockDowns(fibre=10), "write 0.1 for 10 %"),
    (lambda: strengths_small_craft("mat", 0.3), "kind of reinforcement must be one of ud, csm"),
    (lambda: strengths_small_craft("csm", 30), "write 0.3 for 30 %"),
    (lambda: strengths_small_craft("csm", 0.9), "glass weight fraction must lie between 0.10 and 0.75"),
    (lambda: strengths_micromechanics("combined", 0.3, **STRAINS), "must be one ply, not a whole laminate"),
    (lambda: strengths_micromechanics("ud", 0.8, **STRAINS), "fibre volume fraction must stay below 0.785"),
    (lambda: strengths_micromechanics("ud", 0.3, fibre_to_resin_modulus=0.05, **STRAINS), "must be 1 or more"),
    (lambda: interlaminar_check(WALL, [15.0, 15.0, 15.0], 5.0),
     "interlaminar strength must have 2 values or one [MPa]"),
    (lambda: interlaminar_check(WALL, 15.0, 5.0, axis="z"), "axis must be 'x' or 'y'"),
    (lambda: design_factor("iso"), "design factor must be one of iso_ply"),
    (lambda: DesignFactor("mine", 2.0, "own choice", "entered"), "design factor must be a fraction between 0 and 1"),
    (lambda: DesignFactor("mine", 0.5, " ", "entered"), "rule of the design factor must be named"),
    (lambda: Margin("skin", -3.0, 10.0, DESIGN_FACTORS[0], "MPa"),
     "demand of skin must be 0 or more [MPa]; received -3.0"),
])
def test_bad_input_is_refused_in_words(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value)


def test_first_failure_is_told_in_one_sentence():
    found = first_ply_failure(WALL, GLASS, N=(20.0, 0, 0), criterion="max_stress")
    assert found.sentence.startswith("First to fail is ply 2 from the mould, high z face, transverse tension, at ")
    assert "no design factor taken" in found.sentence
    assert list(found.table().columns) == ["ply", "face", "strength ratio [-]", "mode"]
    assert found.table()["strength ratio [-]"].min() == found.ratio


def test_no_load_and_residual_stress_alone_are_told_apart():
    idle = first_ply_failure(WALL, GLASS)
    assert idle.ratio == np.inf and idle.ply_number == 0 and idle.face == "none" and idle.mode == "none"
    assert idle.sentence == "No ply fails at any multiple of this load (tsai-wu)."
    cold = first_ply_failure(WALL, GLASS, N=(1.0, 0, 0), delta_t=-900.0)
    assert cold.ratio == 0 and cold.sentence.startswith("The residual stress alone fails ply ")


def test_residual_stress_does_not_grow_with_the_load():
    ratios = [float(first_ply_failure(WALL, GLASS, N=(load, 0, 0), delta_t=-50.0).ratio) for load in (1.0, 2.0)]
    assert ratios[0] == pytest.approx(2 * ratios[1], rel=1e-9)
    assert ratios[0] < float(first_ply_failure(WALL, GLASS, N=(1.0, 0, 0)).ratio)


def test_free_strain_is_the_same_as_the_temperature_that_causes_it():
    by_heat = first_ply_failure(WALL, GLASS, N=(5.0, 0, 0), delta_t=-40.0)
    by_strain = first_ply_failure(WALL, GLASS, N=(5.0, 0, 0), free_strain=WALL.expansion * -40.0)
    np.testing.assert_allclose(by_strain.ratios, by_heat.ratios, rtol=1e-12)


def test_tables_are_for_one_laminate():
    many = first_ply_failure(WALL, GLASS, N=[[1.0, 0, 0], [2.0, 0, 0]])
    last = last_ply_failure(WALL, GLASS, N=[[1.0, 0, 0], [2.0, 0, 0]])
    for call in (many.table, lambda: many.sentence, last.table, lambda: last.history):
        with pytest.raises(InputError, match="must hold one laminate for this"):
            call()
    assert many.ply_number.tolist() == [2, 2]


def test_progressive_failure_states_its_assumptions():
    out = last_ply_failure(WALL, GLASS, N=(20.0, 0, 0))
    assert "assumed" in out.knock_downs.words and "0.1 of e2" in out.knock_downs.words
    table = out.table()
    assert list(table.columns) == ["step", "load factor [-]", "plies", "modes", "stiffness left [-]"]
    assert table["load factor [-]"].max() == out.last_ratio
    idle = last_ply_failure(WALL, GLASS)
    assert idle.history == () and idle.last_ratio == np.inf and idle.table().empty


def test_mat_fails_as_a_whole_ply():
    mat = Laminate.from_plies(6400.0, 6400.0, 0.33, 2400.0, [0.0, 0.0], [1.0, 1.0])
    limits = strengths_small_craft("csm", 0.30)
    out = last_ply_failure(mat, limits, N=(0, 10.0, 0), whole_ply=True)
    assert out.lost and out.last_ratio == out.first_ratio and out.history[0].ply_numbers == (1, 2)


def test_defaults_carry_their_cautions():
    mat, ud = strengths_small_craft("csm", 0.30), strengths_small_craft(["csm", "ud"], 0.5)
    assert mat.cautions == (COMPRESSION_CAUTION,) and "memory" not in mat.status
    assert "optimistic" in COMPRESSION_CAUTION and "2019" in COMPRESSION_CAUTION
    assert UNIDIRECTIONAL_CAUTION in ud.cautions and "unverified" in ud.status
    assert SCREENING_CAUTION in strengths_micromechanics("ud", 0.3, **STRAINS).cautions
    assert mat.scaled(0.8).cautions == mat.cautions and mat.scaled(0.8).model == mat.model
    own = PlyStrengths(240.0, 180.0, 240.0, 180.0, 80.0)
    assert own.model == "entered by the user" and own.cautions == ()


def test_every_factor_names_rule_and_status():
    names = [factor.name for factor in DESIGN_FACTORS + EVALUATION_LEVELS]
    assert len(set(names)) == len(names)
    for factor in DESIGN_FACTORS + EVALUATION_LEVELS:
        assert factor.rule in factor.words and factor.status in factor.words
        assert factor.unverified == ("memory" in factor.status)
        assert not factor.unverified or "unverified" in factor.words.lower()
    assert design_factor("bs4994").value == pytest.approx(0.0898, abs=5e-5)


@pytest.mark.parametrize("demand, reserve, verdict", [
    (0.0, np.inf, "not loaded"), (20.0, 2.5, "holds"), (50.0, 1.0, "just holds, nothing to spare"),
    (60.0, 50 / 60, "does not hold: less margin than the rule asks"), (120.0, 50 / 120, "does not hold: it breaks")])
def test_margin_speaks(demand, reserve, verdict):
    check = Margin("inner skin in tension", demand, 100.0, design_factor("iso_plating_bending"), "MPa")
    assert check.reserve_factor == pytest.approx(reserve) and check.verdict == verdict and check.usable == 50.0
    assert check.holds == (reserve >= 1)
    assert "ISO 12215-5:2008, single-skin plating in bending" in check.sentence and "unverified" in check.sentence


def test_infinite_capacity_is_a_margin_too():
    check = Margin("strength ratio", 1.0, float("inf"), design_factor("lr_keel"), "-")
    assert check.reserve_factor == np.inf and check.holds
