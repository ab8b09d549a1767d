"""What must hold for every laminate, whatever the numbers."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.mechanics import stiffness_sums
from lamcalc.mechanics.lamina import off_axis_constants, reduced_stiffness, rotated_stiffness, stiffness_invariants
from lamcalc.mechanics.laminate import Laminate, compliance_blocks, effective_constants, stiffness_matrices, unpacked
from lamcalc.mechanics.stack_code import format_stack_code, parse_stack_code

pytestmark = pytest.mark.invariant

angles = st.integers(-90, 90)
plies = st.tuples(st.floats(5e3, 150e3), st.floats(0.05, 1.0), st.floats(0.05, 0.4), st.floats(1e3, 8e3),
                  angles, st.floats(0.1, 3.0))
stacks = st.lists(plies, min_size=1, max_size=7)


def build(stack):
    """Laminate from tuples e1, e2/e1, nu12, g12, angle, thickness."""
    e1, share, nu12, g12, angle, t = map(np.array, zip(*stack))
    return Laminate.from_plies(e1, e1 * share, nu12, g12, angle, t)


def close(left, right, scale, tol=1e-10):
    np.testing.assert_allclose(left, right, rtol=0, atol=tol * scale)


@given(stacks)
def test_symmetric_stack_has_no_coupling(stack):
    wall = build(stack + stack[::-1])
    close(wall.B, 0, np.abs(wall.A).max() * wall.total_thickness_mm)


@given(stacks)
def test_strain_energy_is_positive(stack):
    wall = build(stack)
    half = wall.total_thickness_mm / 2
    unit = np.diag([1, 1, 1, 1 / half, 1 / half, 1 / half])  # the same unit for all six terms
    assert np.linalg.eigvalsh(unit @ wall.abd @ unit).min() > 0


@given(stacks)
def test_half_turn_changes_nothing(stack):
    wall = build(stack)
    turned = Laminate.from_plies(*_constants(stack), wall.angle_deg + 180, wall.thickness_mm)
    close(turned.stiffness, wall.stiffness, np.abs(wall.stiffness).max())


def _constants(stack):
    e1, share, nu12, g12, _, _ = map(np.array, zip(*stack))
    return e1, e1 * share, nu12, g12


@given(stacks, st.integers(-90, 90))
def test_turning_the_whole_laminate_turns_its_stiffness(stack, turn):
    wall = build(stack)
    turned = Laminate.from_plies(*_constants(stack), wall.angle_deg + turn, wall.thickness_mm)
    for power, own, other in ((0, wall.A, turned.A), (1, wall.B, turned.B), (2, wall.D, turned.D)):
        close(other, rotated_stiffness(own, turn), np.abs(wall.A).max() * wall.total_thickness_mm**power)


@given(st.tuples(st.floats(5e3, 150e3), st.floats(0.05, 1.0), st.floats(0.05, 0.4), st.floats(1e3, 8e3)),
       st.integers(3, 8), st.integers(0, 59))
def test_equal_angles_all_round_make_an_isotropic_sheet(ply, count, start):
    e1, share, nu12, g12 = ply
    wall = Laminate.from_plies(e1, e1 * share, nu12, g12, start + np.arange(count) * 180 / count, np.ones(count))
    a, scale = wall.A, np.abs(wall.A).max()
    close([a[0, 2], a[1, 2], a[0, 0] - a[1, 1], a[2, 2] - (a[0, 0] - a[0, 1]) / 2], 0, scale)


@given(stacks, st.floats(0.2, 5.0))
def test_stiffness_scales_with_powers_of_thickness(stack, factor):
    wall = build(stack)
    grown = Laminate.from_plies(*_constants(stack), wall.angle_deg, wall.thickness_mm * factor)
    for power, own, other in ((1, wall.A, grown.A), (2, wall.B, grown.B), (3, wall.D, grown.D)):
        close(other, own * factor**power, np.abs(wall.A).max() * wall.total_thickness_mm ** (power - 1) * factor**power)


@given(stacks, st.integers(0, 6), st.floats(0.1, 0.9))
def test_splitting_a_ply_changes_nothing(stack, which, share):
    which %= len(stack)
    ply = stack[which]
    halves = [ply[:5] + (ply[5] * share,), ply[:5] + (ply[5] * (1 - share),)]
    split, wall = build(stack[:which] + halves + stack[which + 1:]), build(stack)
    for own, other, power in ((wall.A, split.A, 0), (wall.B, split.B, 1), (wall.D, split.D, 2)):
        close(other, own, np.abs(wall.A).max() * wall.total_thickness_mm**power)


@given(stacks)
def test_mirrored_stack_flips_only_the_coupling(stack):
    wall, mirror = build(stack), build(stack[::-1])
    scale = np.abs(wall.A).max() * wall.total_thickness_mm
    close(mirror.B, -wall.B, scale)
    close(mirror.D, wall.D, scale * wall.total_thickness_mm)


@given(stacks)
def test_inverse_undoes_the_stiffness(stack):
    wall = build(stack)
    a, b, d = wall.compliance
    h = wall.total_thickness_mm
    unit = np.diag([1, 1, 1, h, h, h])
    product = (unit @ np.block([[a, b], [b.T, d]]) @ unit) @ (np.linalg.inv(unit) @ wall.abd @ np.linalg.inv(unit))
    np.testing.assert_allclose(product, np.eye(6), atol=1e-8)


@given(stacks, st.lists(st.floats(-50, 50), min_size=6, max_size=6))
def test_ply_stresses_add_up_to_the_loads(stack, loads):
    wall = build(stack)
    response = wall.response(loads[:3], loads[3:])
    stress = wall.ply_stresses(response)
    t, z = wall.thickness_mm[:, None], wall.z_mm
    # stress is linear over a ply: the trapezoid rule is exact for N, Simpson's for M
    force = ((stress[:, 0] + stress[:, 1]) / 2 * t).sum(axis=0)
    middle = (stress[:, 0] + stress[:, 1]) / 2
    zl, zh = z[:-1, None], z[1:, None]
    moment = (t / 6 * (stress[:, 0] * zl + 4 * middle * (zl + zh) / 2 + stress[:, 1] * zh)).sum(axis=0)
    scale = max(1.0, np.abs(loads).max()) * (1 + wall.total_thickness_mm)
    close(force, loads[:3], scale, 1e-8)
    close(moment, loads[3:], scale * wall.total_thickness_mm, 1e-8)


@given(stacks, st.floats(-80, 80))
def test_residual_stresses_balance_themselves(stack, delta_t):
    e1, e2, nu12, g12 = _constants(stack)
    wall = build(stack)
    wall = Laminate.from_plies(e1, e2, nu12, g12, wall.angle_deg, wall.thickness_mm, alpha1=6e-6, alpha2=35e-6)
    stress = wall.ply_stresses(wall.response(delta_t=delta_t), delta_t)
    force = ((stress[:, 0] + stress[:, 1]) / 2 * wall.thickness_mm[:, None]).sum(axis=0)
    close(force, 0, max(1.0, np.abs(stress).max() * wall.total_thickness_mm), 1e-8)


@settings(max_examples=25)
@given(st.integers(1, 5), st.integers(1, 6), st.integers(0, 10_000))
def test_batch_equals_loop(count, depth, seed):
    rng = np.random.default_rng(seed)
    e1 = rng.uniform(8e3, 40e3, (count, 2, depth))
    wall = Laminate.from_plies(e1, e1 / 3, 0.28, 4e3, rng.integers(-90, 90, e1.shape), rng.uniform(0.3, 2, e1.shape))
    for i in range(count):
        for j in range(2):
            one = Laminate.from_plies(e1[i, j], e1[i, j] / 3, 0.28, 4e3, wall.angle_deg[i, j], wall.thickness_mm[i, j])
            np.testing.assert_allclose(wall.stiffness[i, j], one.stiffness, rtol=1e-12, atol=1e-12)
            for left, right in zip(wall.compliance, one.compliance):
                np.testing.assert_allclose(left[i, j], right, rtol=1e-9, atol=1e-18)
            np.testing.assert_allclose(wall.in_plane.ex[i, j], one.in_plane.ex, rtol=1e-12)


def test_palette_equals_plies_written_out():
    rng = np.random.default_rng(3)
    palette = rotated_stiffness(reduced_stiffness(40e3, 9e3, 0.28, 4e3), [0, 45, -45, 90])
    index, t = rng.integers(0, 4, (5000, 9)), rng.uniform(0.2, 1.5, (5000, 9))
    np.testing.assert_allclose(stiffness_matrices(palette, t, index), stiffness_matrices(palette[index], t), rtol=1e-12, atol=1e-9)
    a, b, d = compliance_blocks(stiffness_matrices(palette, t, index))
    reference = np.linalg.inv(np.block([[unpacked(x) for x in (s[0], s[1])] for s in [stiffness_matrices(palette, t[0], index[0])]]
                                       + [[unpacked(s[1]), unpacked(s[2])] for s in [stiffness_matrices(palette, t[0], index[0])]]))
    np.testing.assert_allclose(np.block([[a[0], b[0]], [b[0].T, d[0]]]), reference, rtol=1e-9, atol=1e-15)


def test_one_ply_equals_the_closed_forms():
    wall = Laminate.from_plies(40e3, 9e3, 0.28, 4e3, [37.0], [2.5])
    ply = off_axis_constants(40e3, 9e3, 0.28, 4e3, 37.0)
    for name in ("ex", "ey", "gxy", "nuxy", "eta_x_xy", "eta_y_xy"):
        np.testing.assert_allclose(getattr(wall.in_plane, name), getattr(ply, name), rtol=1e-12)
        np.testing.assert_allclose(getattr(wall.flexural, name), getattr(ply, name), rtol=1e-12)


@given(st.floats(5e3, 150e3), st.floats(0.05, 1), st.floats(0.05, 0.4), st.floats(1e3, 8e3), st.integers(-360, 360))
def test_rotation_keeps_the_invariants(e1, share, nu12, g12, turn):
    q = reduced_stiffness(e1, e1 * share, nu12, g12)
    np.testing.assert_allclose(stiffness_invariants(rotated_stiffness(q, turn)), stiffness_invariants(q), rtol=1e-9)


def test_effective_constants_match_a_batch_of_one():
    q = reduced_stiffness(12e3, 11e3, 0.25, 4e3)
    s = stiffness_matrices(q[None], [3.0])
    assert effective_constants(s, 3.0).shape == (2, 7)
    np.testing.assert_allclose(effective_constants(s, 3.0)[0, :3], [12e3, 11e3, 4e3], rtol=1e-12)


@given(st.lists(angles, min_size=1, max_size=12))
def test_stack_code_round_trip(stack):
    assert parse_stack_code(format_stack_code(stack)) == stack
    assert parse_stack_code(format_stack_code(stack + stack[::-1])) == stack + stack[::-1]


@pytest.mark.parametrize("code, expected", [
    ("[0/45/-45/90]s", [0, 45, -45, 90, 90, -45, 45, 0]),
    ("[0/90]2s", [0, 90, 0, 90, 90, 0, 90, 0]),
    ("[+-45/0_2]", [45, -45, 0, 0]),
    ("[(0/90)_2/45]t", [0, 90, 0, 90, 45]),
    ("[0/90bar]s", [0, 90, 0]),
])
def test_stack_codes_of_the_trade(code, expected):
    assert parse_stack_code(code) == expected


@pytest.mark.parametrize("code", ["", "0/90", "[0/90", "[0//90]", "[0 90]", "[0/(90]", "[0/95]", "[a]", "[0/90bar]",
                                  "[0bar/90]s", "[(0/90)_9999]9", 12, "[0/90]0"])
def test_unreadable_stack_codes_are_refused(code):
    with pytest.raises(InputError, match="stack code"):
        parse_stack_code(code)


@pytest.mark.parametrize("arguments, words", [
    ((40e3, 9e3, 0.28, 4e3, [0.0], [-1.0]), "thickness_mm must be greater than 0"),
    ((40e3, 9e3, 0.28, 4e3, [], []), "at least one ply"),
    ((40e3, 9e3, 0.28, 4e3, [np.pi / 4], [1.0]), "looks like radians: write 45"),
    ((float("nan"), 9e3, 0.28, 4e3, [0.0], [1.0]), "finite"),
    ((9e3, 40e3, 0.9, 4e3, [0.0], [1.0]), "not swapped"),
])
def test_bad_plies_get_a_sentence(arguments, words):
    with pytest.raises(InputError, match=words):
        Laminate.from_plies(*arguments)


@pytest.mark.parametrize("index", [None, np.zeros((0, 4), dtype=np.uint8)])
def test_no_laminates_have_no_stiffness_matrices(index):
    palette = np.ones((0, 4, 3, 3)) if index is None else np.ones((2, 3, 3))
    assert stiffness_matrices(palette, np.ones((0, 4)), index).shape == (0, 3, 6)


def test_a_palette_sums_like_plies_whatever_the_shape_of_the_batch():
    draw = np.random.default_rng(3)
    q = draw.normal(size=(5, 3, 3))
    q, index, t = q + np.swapaxes(q, -1, -2), draw.integers(0, 5, (7, 600, 6)), draw.uniform(0.2, 2.0, (600, 6))
    by_palette = stiffness_matrices(q, t, index)
    assert by_palette.shape == (7, 600, 3, 6)
    np.testing.assert_allclose(by_palette, stiffness_matrices(q[index], t), rtol=1e-12, atol=1e-10)


@pytest.mark.parametrize("entries", [1, 2, 32, 33])
@pytest.mark.parametrize("count", [2049, 5000])
@pytest.mark.parametrize("plies", [1, 3, 10])
def test_pairs_of_plies_picked_at_once_sum_like_single_ones(entries, count, plies):
    draw = np.random.default_rng(entries + plies)
    q = draw.normal(size=(entries, 3, 3))
    q, t = q + np.swapaxes(q, -1, -2), draw.uniform(0.2, 2.0, (count, plies))
    index = draw.integers(0, entries, (count, plies))
    # both ends of the palette side by side, at both ends of the batch
    index[:2], index[-2:] = entries - 1, [[0], [entries - 1]]
    for kept in (index, index.astype(np.uint8), index[::-1][::-1]):
        np.testing.assert_allclose(stiffness_matrices(q, t, kept), stiffness_matrices(q[index], t), rtol=1e-12, atol=1e-10)


@pytest.mark.parametrize("plies", [3, 25])
def test_whoever_works_on_a_crowd_of_laminates_gives_the_same_bits(plies, monkeypatch):
    draw = np.random.default_rng(plies)
    q = draw.normal(size=(6, 3, 3))
    q, t = q + np.swapaxes(q, -1, -2), draw.uniform(0.2, 2.0, (100_003, plies))
    index = draw.integers(0, 6, t.shape)
    by_own_threads = stiffness_matrices(q, t, index)
    with ThreadPoolExecutor(3) as pool:
        assert np.array_equal(stiffness_matrices(q, t, index, executor=pool), by_own_threads)
    monkeypatch.setattr(stiffness_sums, "_CROWD", np.inf)
    assert np.array_equal(stiffness_matrices(q, t, index), by_own_threads)
