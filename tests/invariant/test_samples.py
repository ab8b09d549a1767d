"""Random laminates: the same as single laminates, whatever the shape of the inputs and the executor."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.laminate import Laminate, section_weights, stiffness_matrices
from lamcalc.mechanics.samples import sampled_laminates
from lamcalc.mechanics.strength import PlyStrengths, first_ply_failure

pytestmark = pytest.mark.invariant
GLASS = PlyStrengths(1062, 610, 31, 118, 72)
N, M = np.array([60.0, -25.0, 12.0]), np.array([150.0, 90.0, -40.0])


def drawn(shape, seed=4):
    rng = np.random.default_rng(seed)
    angles = rng.choice([0.0, 90.0, 30.0, -52.0, 63.0], shape) + 2 * rng.standard_normal(shape)
    # away from what the check of single laminates takes for radians
    angles = np.where(np.abs(np.abs(angles) - 1) < 0.7, 0.0, angles)
    return (rng.uniform(20e3, 40e3, shape), rng.uniform(6e3, 9e3, shape), rng.uniform(0.2, 0.35, shape),
            rng.uniform(3e3, 5e3, shape), angles, rng.uniform(0.3, 1.5, shape))


def test_samples_equal_single_laminates():
    values = drawn((3, 5, 7))
    found = sampled_laminates(*values, strengths=GLASS, N=N, M=M)
    for i, j in np.ndindex(3, 5):
        wall = Laminate.from_plies(*(v[i, j] for v in values))
        first = first_ply_failure(wall, GLASS, N, M)
        assert found.ratio[i, j] == pytest.approx(first.ratio, rel=1e-12)
        assert found.surface[i, j] == 2 * first.ply_index + first.face_index
        assert found.total_thickness_mm[i, j] == pytest.approx(wall.total_thickness_mm, rel=1e-14)
        for kind in ("in_plane", "flexural"):
            for name in ("ex", "ey", "gxy", "nuxy"):
                ours, theirs = (getattr(getattr(x, kind), name) for x in (found, wall))
                assert ours[i, j] == pytest.approx(theirs, rel=1e-11)


@pytest.mark.parametrize("varied", range(6))
def test_what_is_not_drawn_may_be_given_once(varied):
    values = drawn((9000, 4))
    given = [v if k == varied else v[0] for k, v in enumerate(values)]
    spread = [np.broadcast_to(v, (9000, 4)) for v in given]
    ours = sampled_laminates(*given, strengths=GLASS, N=N, M=M)
    theirs = sampled_laminates(*spread, strengths=GLASS.by_ply((9000, 4)), N=N * np.ones((9000, 1)), M=M)
    np.testing.assert_allclose(ours.constants, theirs.constants, rtol=1e-12, atol=1e-12)
    np.testing.assert_allclose(ours.ratio, theirs.ratio, rtol=1e-12)
    with ThreadPoolExecutor(2) as executor:
        again = sampled_laminates(*given, strengths=GLASS, N=N, M=M, executor=executor)
    assert (again.ratio == ours.ratio).all() and (again.constants == ours.constants).all()


def test_load_and_strength_scale_the_ratio():
    values = drawn((50, 6))
    once = sampled_laminates(*values, strengths=GLASS, N=N, M=M).ratio
    assert sampled_laminates(*values, strengths=GLASS, N=4 * N, M=4 * M).ratio == pytest.approx(once / 4, rel=1e-12)
    assert sampled_laminates(*values, strengths=GLASS.scaled(3.0), N=N, M=M).ratio == pytest.approx(3 * once, rel=1e-12)
    assert np.isinf(sampled_laminates(*values, strengths=GLASS).ratio).all()
    assert sampled_laminates(*values).ratio is None


def test_an_angle_drawn_near_quarter_pi_is_an_angle():
    found = sampled_laminates(38600.0, 8270.0, 0.26, 4140.0, [[0.785]], [1.0]).in_plane.ex[0]
    below, above = (Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [a], [1.0]).in_plane.ex for a in (0.75, 0.82))
    assert above < found < below


@pytest.mark.parametrize("place, value, words", [
    (0, -1.0, "e1 must be greater than 0"), (2, 3.0, "nu12 must satisfy"), (5, 0.0, "thickness_mm must be greater"),
    (4, np.nan, "ply angle must be a finite number")])
def test_impossible_draws_get_a_sentence(place, value, words):
    values = list(drawn((20, 3)))
    values[place] = values[place].copy()
    values[place][7, 1] = value
    with pytest.raises(InputError, match=words):
        sampled_laminates(*values)


def test_one_thickness_alone_is_refused():
    with pytest.raises(InputError, match="one value a ply"):
        sampled_laminates(40e3, 9e3, 0.3, 4e3, 0.0, 2.0)


def test_stiffness_in_threads_and_in_any_shape():
    rng = np.random.default_rng(8)
    palette = rng.uniform(1.0, 2.0, (40, 3, 3))
    palette = palette + np.swapaxes(palette, -1, -2)
    for size in (5, 40):
        index, t = rng.integers(0, size, (2, 20_000, 6)), rng.uniform(0.2, 1.5, (20_000, 6))
        whole = stiffness_matrices(palette[:size], t, index)
        with ThreadPoolExecutor(2) as executor:
            assert (stiffness_matrices(palette[:size], t, index, executor=executor) == whole).all()
        close = {"rtol": 1e-12, "atol": 1e-12}
        np.testing.assert_allclose(whole[1, 77], stiffness_matrices(palette[index[1, 77]], t[77]), **close)
        shared = stiffness_matrices(palette[:size], t[0], index[0])
        np.testing.assert_allclose(shared[5], stiffness_matrices(palette[:size], t[0], index[0, 5]), **close)


def test_section_weights_are_the_integrals_of_z():
    t = np.array([[0.4, 1.1, 0.7], [2.0, 0.3, 0.5]])
    z = np.concatenate([np.zeros((2, 1)), t.cumsum(axis=1)], axis=1) - t.sum(axis=1, keepdims=True) / 2
    for power, weight in zip((2, 3), section_weights(t), strict=True):
        np.testing.assert_allclose(weight, np.diff(z**power) / power, rtol=1e-13, atol=1e-14)
