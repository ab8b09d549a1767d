"""Strength: what must hold for any ply, load and laminate."""

import tracemalloc
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lamcalc.mechanics.lamina import reduced_compliance
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.strength import (
    CRITERIA,
    KnockDowns,
    PlyStrengths,
    assess,
    first_ply_failure,
    first_ply_ratio,
    hashin,
    interlaminar_check,
    last_ply_failure,
    max_strain,
    max_stress,
    quadratic_strength_ratio,
    strengths_micromechanics,
    strengths_small_craft,
    tsai_wu_strain_coefficients,
)

pytestmark = pytest.mark.invariant
GLASS = PlyStrengths(1062.0, 610.0, 31.0, 118.0, 72.0)
PLY = (38600.0, 8270.0, 0.26, 4140.0)
NU = {"nu12": 0.26, "nu21": 0.26 * 8270.0 / 38600.0}

strengths = st.builds(PlyStrengths, st.floats(300, 1500), st.floats(200, 1200), st.floats(20, 80), st.floats(60, 200),
                      st.floats(30, 100))
component = st.floats(-1, 1, allow_subnormal=False)
stresses = st.tuples(component, component, component).map(lambda s: np.array([900.0, 90.0, 70.0]) * s).filter(
    lambda s: np.abs(s).max() > 1e-3)
criteria = st.sampled_from(CRITERIA)


def options(criterion):
    """Poisson ratios where the criterion wants them."""
    return {"criterion": criterion, **(NU if criterion == "max_strain" else {})}


@given(stresses, strengths, criteria, st.floats(0.01, 100))
def test_ratio_falls_as_the_load_grows(stress, limits, criterion, factor):
    one = assess(stress, limits, **options(criterion)).ratio
    np.testing.assert_allclose(assess(factor * stress, limits, **options(criterion)).ratio * factor, one, rtol=1e-9)


@given(stresses, strengths, criteria, st.floats(0.1, 10))
def test_ratio_grows_with_the_strengths(stress, limits, criterion, factor):
    one = assess(stress, limits, **options(criterion)).ratio
    scaled = assess(stress, limits.scaled(factor), **options(criterion)).ratio
    np.testing.assert_allclose(scaled, factor * one, rtol=1e-9)


@given(stresses, strengths, criteria)
def test_index_is_one_at_the_ratio(stress, limits, criterion):
    ratio = assess(stress, limits, **options(criterion)).ratio
    assume(ratio < 1e6)
    np.testing.assert_allclose(assess(ratio * stress, limits, **options(criterion)).index, 1.0, atol=1e-7)


@given(stresses, stresses, strengths, criteria)
def test_residual_stress_stays_while_the_load_grows(stress, residual, limits, criterion):
    residual = 0.5 * residual
    found = assess(stress, limits, residual=residual, **options(criterion))
    if found.ratio == 0:
        assert assess(residual, limits, **options(criterion)).index >= 1 - 1e-9
        return
    top = min(float(found.ratio), 50.0)
    path = residual + np.linspace(0, top * (1 - 1e-6), 400)[:, None] * stress
    assert (assess(path, limits, **options(criterion)).index < 1 + 1e-6).all()
    if found.ratio < 1e6:
        beyond = residual + found.ratio * (1 + 1e-6) * stress
        assert assess(beyond, limits, **options(criterion)).index >= 1 - 1e-6


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("place, name, sign, mode", [
    (0, "xt", 1, "fibre tension"), (0, "xc", -1, "fibre compression"), (1, "yt", 1, "transverse tension"),
    (1, "yc", -1, "transverse compression"), (2, "s", 1, "shear"), (2, "s", -1, "shear")])
def test_single_stress_fails_at_its_own_strength(criterion, place, name, sign, mode):
    stress = np.zeros(3)
    stress[place] = 0.25 * sign * getattr(GLASS, name)
    found = assess(stress, GLASS, criterion=criterion, nu12=0.0, nu21=0.0)
    np.testing.assert_allclose(found.ratio, 4.0, rtol=1e-12)
    assert found.mode == mode


@given(stresses, strengths)
def test_maximum_strain_without_poisson_is_maximum_stress(stress, limits):
    np.testing.assert_allclose(max_strain(stress, limits, nu12=0.0, nu21=0.0), max_stress(stress, limits), rtol=1e-12)


@given(stresses, strengths)
def test_maximum_strain_is_the_strain_over_its_limit(stress, limits):
    strain = reduced_compliance(*PLY) @ stress
    e1, e2, _, g12 = PLY
    bounds = np.where(strain < 0, [-limits.xc / e1, -limits.yc / e2, -limits.s / g12],
                      [limits.xt / e1, limits.yt / e2, limits.s / g12])
    np.testing.assert_allclose(1 / max_strain(stress, limits, **NU), (strain / bounds).max(), rtol=1e-9)
    same = PlyStrengths.from_failure_strains(
        e1=e1, e2=e2, g12=g12, tension_1=limits.xt / e1, compression_1=limits.xc / e1, tension_2=limits.yt / e2,
        compression_2=limits.yc / e2, shear=limits.s / g12)
    np.testing.assert_allclose(max_strain(stress, same, **NU), max_strain(stress, limits, **NU), rtol=1e-12)


@given(stresses, strengths)
def test_hashin_in_tension_is_never_bolder_than_maximum_stress(stress, limits):
    stress = np.abs(stress)
    assert hashin(stress, limits) <= max_stress(stress, limits) * (1 + 1e-12)


@given(stresses, strengths)
def test_hashin_matrix_compression_with_half_yc_has_no_linear_term(stress, limits):
    halved = PlyStrengths(limits.xt, limits.xc, limits.yt, limits.yc, limits.s, s_transverse=0.5 * limits.yc)
    stress = np.array([0.0, -abs(stress[1]), stress[2]])
    assume(np.abs(stress).max() > 1e-3)
    expected = 1 / np.hypot(stress[1] / limits.yc, stress[2] / limits.s)
    np.testing.assert_allclose(hashin(stress, halved), expected, rtol=1e-9)


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("tiny", [1e-283, 1e-310])
def test_next_to_no_load_is_no_load(criterion, tiny):
    stress = np.array([-tiny, 0.0, tiny])
    for residual in (None, [100.0, -20.0, 0.0]):
        assert assess(stress, GLASS, residual=residual, **options(criterion)).ratio > 1e100
    wall = Laminate.from_plies(*PLY, [0.0, 90.0], [1.0, 1.0])
    assert first_ply_failure(wall, GLASS, stress, criterion=criterion).ratio > 1e100


@pytest.mark.parametrize("criterion", CRITERIA)
def test_no_load_means_no_failure(criterion):
    found = assess(np.zeros(3), GLASS, **options(criterion))
    assert found.ratio == np.inf and found.index == 0 and found.mode == "none"


def test_quadratic_ratio_has_its_limits():
    assert quadratic_strength_ratio(0.0, 0.0) == np.inf
    assert quadratic_strength_ratio(-1.0, 0.0) == np.inf
    assert quadratic_strength_ratio(1.0, 1.0, constant=1.0) == 0.0
    assert quadratic_strength_ratio(0.5, 0.0, constant=0.5) == 1.0


angles = st.lists(st.sampled_from([0.0, 90.0, 45.0, -45.0, 30.0, -60.0]), min_size=1, max_size=5)
loads = st.tuples(*[st.integers(-100, 100)] * 6).map(np.array).filter(lambda load: np.abs(load).max() > 0)


def stack(angles_deg, thickness=0.8):
    """A glass laminate with plies of different thickness."""
    t = thickness * (1 + 0.1 * np.arange(len(angles_deg)))
    return Laminate.from_plies(*PLY, angles_deg, t, alpha1=8.6e-6, alpha2=22.1e-6)


def turned(load, degrees):
    """Forces or moments seen from axes turned by minus `degrees`."""
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return np.array([[c * c, s * s, -2 * c * s], [s * s, c * c, 2 * c * s], [c * s, -c * s, c * c - s * s]]) @ load


@settings(max_examples=40, deadline=None)
@given(angles, loads, criteria, st.floats(-40, 40).filter(lambda a: abs(a) > 2))
def test_turning_laminate_and_load_together_changes_nothing(plies, load, criterion, degrees):
    first = first_ply_failure(stack(plies), GLASS, load[:3], load[3:], criterion=criterion, delta_t=-40.0)
    plies = np.array(plies) + degrees
    second = first_ply_failure(stack(plies), GLASS, turned(load[:3], degrees), turned(load[3:], degrees),
                               criterion=criterion, delta_t=-40.0)
    np.testing.assert_allclose(second.ratios.clip(max=1e5), first.ratios.clip(max=1e5), rtol=1e-6)


@settings(max_examples=40, deadline=None)
@given(angles, loads, criteria)
def test_turning_the_stack_over_swaps_plies_and_faces(plies, load, criterion):
    n, m = load[:3], load[3:]
    wall = Laminate.from_plies(*PLY, plies, np.full(len(plies), 0.8))
    over = Laminate.from_plies(*PLY, plies[::-1], np.full(len(plies), 0.8))
    first, second = (first_ply_failure(w, GLASS, n, k * m, criterion=criterion) for w, k in ((wall, 1), (over, -1)))
    np.testing.assert_allclose(second.ratios[::-1, ::-1].clip(max=1e6), first.ratios.clip(max=1e6), rtol=1e-6)


@settings(max_examples=40, deadline=None)
@given(angles, loads, st.sampled_from([0.0, -60.0]))
def test_strain_space_and_stress_space_agree(plies, load, delta_t):
    wall = stack(plies)
    found = first_ply_failure(wall, GLASS, load[:3], load[3:], delta_t=delta_t)
    response, held = wall.response(load[:3], load[3:]), wall.response(delta_t=delta_t)
    by_stress = assess(wall.ply_stresses(response, axes="ply"), GLASS,
                       residual=wall.ply_stresses(held, delta_t, axes="ply") if delta_t else None)
    np.testing.assert_allclose(found.ratios.clip(max=1e5), by_stress.ratio.clip(max=1e5), rtol=1e-9)
    assert found.ratio == found.ratios.min()


@settings(max_examples=40, deadline=None)
@given(angles, st.tuples(*[st.integers(-100, 100)] * 3).filter(any), criteria)
def test_of_equal_plies_the_one_nearest_the_mould_is_named(plies, forces, criterion):
    wall = Laminate.from_plies(*PLY, plies + plies[::-1], np.full(2 * len(plies), 0.7))
    found = first_ply_failure(wall, GLASS, forces, criterion=criterion)
    assert found.ply_index < len(plies) and found.face == "low z"


def batch(count=7, plies=5, seed=3):
    """Random laminates and loads."""
    rng = np.random.default_rng(seed)
    wall = Laminate.from_plies(*PLY, rng.choice([0.0, 90.0, 45.0, -45.0], (count, plies)),
                               rng.uniform(0.4, 1.5, (count, plies)), alpha1=8.6e-6, alpha2=22.1e-6)
    return wall, rng.normal(0, 50, (count, 3)), rng.normal(0, 50, (count, 3))


def one_of(wall, k):
    return Laminate(wall.q[k], wall.angle_deg[k], wall.thickness_mm[k], wall.expansion[k])


@pytest.mark.parametrize("criterion", CRITERIA)
def test_batch_equals_loop_of_singles(criterion):
    wall, n, m = batch()
    first = first_ply_failure(wall, GLASS, n, m, criterion=criterion, delta_t=-30.0)
    last = last_ply_failure(wall, GLASS, n, m, criterion=criterion)
    for k in range(len(n)):
        single = first_ply_failure(one_of(wall, k), GLASS, n[k], m[k], criterion=criterion, delta_t=-30.0)
        np.testing.assert_allclose(first.ratio[k], single.ratio, rtol=1e-9)
        assert (first.ply_number[k], first.face[k], first.mode[k]) == (single.ply_number, single.face, single.mode)
        alone = last_ply_failure(one_of(wall, k), GLASS, n[k], m[k], criterion=criterion)
        np.testing.assert_allclose(last.step_ratio[k], alone.step_ratio, rtol=1e-9)
        np.testing.assert_allclose(last.last_ratio[k], alone.last_ratio, rtol=1e-9)


def test_two_axes_of_batches_and_shared_parts():
    wall, n, m = batch(4)
    rng = np.random.default_rng(0)
    cases = rng.normal(0, 40, (3, 1, 3))
    limits = GLASS.scaled(rng.uniform(0.5, 1.0, (4, 5)))
    both = first_ply_failure(wall, limits, cases, m)
    assert both.ratio.shape == (3, 4) and both.ratios.shape == (3, 4, 5, 2)
    alone = first_ply_failure(one_of(wall, 2), limits.each(lambda x: x[2]), cases[1, 0], m[2])
    np.testing.assert_allclose(both.ratio[1, 2], alone.ratio, rtol=1e-9)
    many = first_ply_failure(one_of(wall, 0), GLASS, n, m, delta_t=np.array([0.0, -10.0, -20.0, -30.0]))
    for k in range(4):
        np.testing.assert_allclose(many.ratio[k], first_ply_failure(one_of(wall, 0), GLASS, n[k], m[k],
                                                                    delta_t=-10.0 * k).ratio, rtol=1e-9)


@pytest.mark.parametrize("palette", [6, 40])
def test_palette_ply_numbers_and_threads_give_the_same_ratio(palette):
    rng = np.random.default_rng(5)
    wall = Laminate.from_plies(rng.uniform(1e4, 4e4, palette), 8e3, 0.27, 3e3, rng.uniform(-80, 80, palette),
                               np.ones(palette))
    forms = tsai_wu_strain_coefficients(wall.q, GLASS, wall.angle_deg)
    index = rng.integers(0, palette, (9000, 4))
    z, eps0 = np.sort(rng.uniform(-3, 3, (9000, 5)), axis=1), rng.normal(0, 1e-3, (9000, 3))
    kappa = rng.normal(0, 1e-3, (9000, 3))
    ratio, surface = first_ply_ratio(forms, index, z, eps0, kappa)
    plain, place, every = first_ply_ratio(forms[index], None, z, eps0, kappa, every=True)
    np.testing.assert_allclose(ratio, plain, rtol=1e-11)
    np.testing.assert_allclose(every.min(axis=(1, 2)), ratio, rtol=1e-11)
    critical = every.reshape(9000, 8)[np.arange(9000), surface]
    np.testing.assert_allclose(critical, ratio, rtol=1e-11)
    with ThreadPoolExecutor(2) as pool:
        threaded, where = first_ply_ratio(forms, index, z, eps0, kappa, executor=pool)
    assert np.array_equal(threaded, ratio) and np.array_equal(where, surface)


@pytest.mark.parametrize("criterion", CRITERIA)
def test_large_batches_need_little_memory(criterion):
    wall, n, m = batch(30_000, 10)
    wall.compliance, wall.z_mm
    tracemalloc.start()
    found = first_ply_failure(wall, GLASS, n, m, criterion=criterion)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    result = sum(x.nbytes for x in (found.ratio, found.ply_index, found.face_index, found.ratios, found.mode_codes))
    assert peak - result < 16e6


@settings(max_examples=40, deadline=None)
@given(angles, loads, criteria, st.booleans(), st.sampled_from([0.0, -40.0]))
def test_progressive_failure_ends_and_never_falls_below_the_first(plies, load, criterion, whole, delta_t):
    wall = stack(plies)
    out = last_ply_failure(wall, GLASS, load[:3], load[3:], criterion=criterion, whole_ply=whole, delta_t=delta_t)
    history = out.history
    assert 1 <= len(history) <= 2 * len(plies)
    first = first_ply_failure(wall, GLASS, load[:3], load[3:], criterion=criterion, delta_t=delta_t)
    assert history[0].ratio == out.first_ratio
    np.testing.assert_allclose(out.first_ratio, first.ratio, rtol=1e-9)
    assert first.ply_number in history[0].ply_numbers
    assert np.isfinite(out.last_ratio) and out.last_ratio >= out.first_ratio
    assert out.last_ratio == max(step.ratio for step in history)
    if whole:
        assert ((out.matrix_step == out.fibre_step)).all()


def test_single_ply_across_the_fibre_has_no_second_life():
    wall = Laminate.from_plies(*PLY, [90.0], [1.0])
    out = last_ply_failure(wall, GLASS, N=(1.0, 0, 0))
    np.testing.assert_allclose([out.first_ratio, out.last_ratio], [31.0, 31.0], rtol=1e-12)
    assert out.lost


def test_cross_ply_ends_at_its_fibres():
    """Nothing left of the matrix: the fibres along the load carry all of it, X times their share of the thickness."""
    wall = Laminate.from_plies(*PLY, [0.0, 90.0, 90.0, 0.0], np.full(4, 0.5))
    out = last_ply_failure(wall, GLASS, N=(1.0, 0, 0), knock_downs=KnockDowns(matrix=1e-6, fibre=1e-6))
    np.testing.assert_allclose(out.last_ratio, 1062.0 * 1.0, rtol=1e-5)


def test_small_remainders_never_break_the_stiffness():
    wall = Laminate.from_plies(6400.0, 6400.0, 0.35, 2400.0, [0.0, 0.0], [1.0, 2.0])
    out = last_ply_failure(wall, GLASS, M=(50.0, 10.0, 0), whole_ply=True,
                           knock_downs=KnockDowns(matrix=0.95, fibre=0.001))
    assert np.isfinite(out.last_ratio)


def test_plies_marked_unlimited_never_fail():
    wall = Laminate.from_plies(*PLY, [0.0, 90.0], [1.0, 1.0])
    limits = PlyStrengths([np.inf, 1062.0], [np.inf, 610.0], [np.inf, 31.0], [np.inf, 118.0], [np.inf, 72.0])
    for criterion in CRITERIA:
        found = first_ply_failure(wall, limits, (10.0, 0, 0), criterion=criterion)
        assert (found.ratios[0] > 1e6).all() and found.ply_number == 2


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("stress", [(500.0, 400.0, 30.0), (500.0, -400.0, -30.0), (-250.0, -400.0, 30.0)])
def test_fibre_alone_counts_once_matrix_and_shear_are_gone(criterion, stress):
    limits = PlyStrengths(1000.0, 500.0, np.inf, np.inf, np.inf)
    np.testing.assert_allclose(assess(stress, limits, criterion=criterion, nu12=0.0, nu21=0.0).ratio, 2.0, rtol=1e-12)


@given(st.floats(0.15, 0.7))
def test_default_strengths_rise_with_the_glass(psi):
    for kind in ("csm", "woven", "ud"):
        low, high = strengths_small_craft(kind, psi), strengths_small_craft(kind, psi + 0.02)
        assert high.xt > low.xt and high.xc > low.xc and high.yt >= low.yt and high.s >= low.s
    both = strengths_small_craft(["csm", "ud"], psi)
    assert both.xt[1] > both.yt[1] and both.xt[0] == both.yt[0]


@given(st.floats(0.05, 0.6), st.floats(0.01, 0.04))
def test_strain_based_strengths_follow_the_strains(phi, resin):
    args = dict(e1=28e3, e2=8e3, g12=2.9e3, fibre_strain=0.032)
    one, two = (strengths_micromechanics("ud", phi, resin_strain=k * resin, **args) for k in (1, 2))
    growth = [two.yt / one.yt, two.yc / one.yc, two.s / one.s, two.xt / one.xt]
    np.testing.assert_allclose(growth, [2, 2, 2, 1], rtol=1e-12)


def test_mat_from_strains_fails_at_the_same_strain_in_any_direction():
    """Pure shear strains a mat by half the shear strain along and across 45 degrees: tension or compression decides."""
    mat = strengths_micromechanics("csm", 0.17, e1=6400.0, e2=6400.0, g12=2400.0, fibre_strain=0.032, resin_strain=0.02)
    np.testing.assert_allclose([mat.yt, mat.yc], [mat.xt, mat.xc], rtol=1e-12)
    np.testing.assert_allclose(mat.s / 2400.0 / 2, min(mat.xt, mat.xc) / 6400.0, rtol=1e-12)


@pytest.mark.parametrize("plies", [1, 2, 4])
def test_interlaminar_stress_of_a_plain_sheet_is_parabolic(plies):
    wall = Laminate.from_plies(10e3, 10e3, 0.0, 4e3, np.zeros(plies), np.full(plies, 6.0 / plies))
    check = interlaminar_check(wall, 18.0, -12.0)
    np.testing.assert_allclose(check.ratio, 18.0 / (1.5 * 12.0 / 6.0), rtol=1e-12)
    assert interlaminar_check(wall, 18.0, 0.0).ratio == np.inf
    if plies == 4:
        np.testing.assert_allclose(check.interface_stress, [2.25, 3.0, 2.25], rtol=1e-12)
