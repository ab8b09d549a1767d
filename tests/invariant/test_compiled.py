"""Compiled formulas give what NumPy gives; the text of a formula means the same for a number as for a column."""

import sys
import tracemalloc
from concurrent.futures import ThreadPoolExecutor
from types import ModuleType

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics import compiled, compliance, stiffness_sums, strain_space
from lamcalc.mechanics.laminate import effective_constants, ply_interfaces, stiffness_matrices, unpacked
from lamcalc.mechanics.strain_space import first_ply_ratio

pytestmark = pytest.mark.invariant


@pytest.fixture
def plies():
    rng = np.random.default_rng(7)
    root = rng.normal(size=(6, 3, 3)) * 60.0
    palette, t = root @ np.swapaxes(root, -1, -2) + 4e3 * np.eye(3), rng.uniform(0.3, 2.0, (5000, 6))
    return palette, t, rng.integers(0, 6, t.shape)


@pytest.fixture
def stacks(plies):
    return stiffness_matrices(*plies), plies[1].sum(axis=1)


@pytest.fixture
def loaded(plies):
    rng = np.random.default_rng(8)
    root = rng.normal(size=(6, 3, 3)) * 20.0
    full = root @ np.swapaxes(root, -1, -2)
    forms = np.concatenate([rng.normal(0, 30.0, (6, 3)), full[:, [0, 1, 2], [0, 1, 2]], 2 * full[:, [0, 0, 1], [1, 2, 2]]], -1)
    return forms, plies[2], ply_interfaces(plies[1]), rng.normal(0, 0.01, (5000, 3)), rng.normal(0, 0.002, (5000, 3))


@pytest.fixture(autouse=True)
def back_to_numpy():
    yield
    compiled.use_numba(False)


def test_a_formula_does_the_same_to_numbers_as_to_columns(stacks):
    terms, height = stacks
    rows = terms[:50].reshape(50, 18)
    one_by_one = [compliance._constants(tuple(row), h) for row, h in zip(rows.tolist(), height.tolist(), strict=False)]
    found = effective_constants(terms, height)[:50].reshape(50, 14)
    np.testing.assert_allclose(found, one_by_one, rtol=1e-12, atol=1e-12)


def test_constants_are_those_of_the_full_inverse(stacks):
    terms, height = stacks
    a, b, d = np.moveaxis(unpacked(terms), 1, 0)
    inverse = np.linalg.inv(np.block([[a, b], [b, d]]))
    for row, block, depth in ((0, inverse[:, :3, :3], height), (1, inverse[:, 3:, 3:], height**3 / 12)):
        expected = [1 / block[:, 0, 0] / depth, 1 / block[:, 1, 1] / depth, 1 / block[:, 2, 2] / depth,
                    -block[:, 0, 1] / block[:, 0, 0], -block[:, 0, 1] / block[:, 1, 1],
                    block[:, 0, 2] / block[:, 0, 0], block[:, 1, 2] / block[:, 1, 1]]
        np.testing.assert_allclose(effective_constants(terms, height)[:, row].T, expected, rtol=1e-9, atol=1e-10)


@pytest.fixture
def loops_in_python(monkeypatch):
    """The loops that numba would compile, run as they stand: their text is tested where numba is not installed, too."""
    numba, extending = ModuleType("numba"), ModuleType("numba.extending")
    numba.njit = lambda function=None, **options: (lambda one: one) if function is None else function
    registered = []
    extending.register_jitable = lambda **options: registered.append
    numba.extending = extending
    monkeypatch.setitem(sys.modules, "numba", numba)
    monkeypatch.setitem(sys.modules, "numba.extending", extending)
    compiled.use_numba()
    return registered


def test_every_marked_formula_is_given_to_the_compiler(loops_in_python):
    marked = {compliance._inverse, compliance._constants, stiffness_sums._added}
    assert marked <= set(loops_in_python)


@pytest.mark.parametrize("kind", [np.int8, np.float32])
def test_numbers_of_few_bits_are_the_same_laminate(kind):
    """Plies of 100 and 27 mm, moduli of 120 and 60: squares do not fit into 8 bits, nor their sums into 24."""
    t, index = np.array([100, 27], dtype=kind), [0, 1]
    q = np.array([[[120, 10, 0], [10, 60, 0], [0, 0, 30]], [[60, 10, 0], [10, 120, 0], [0, 0, 30]]], dtype=kind)
    by_hand = [sum(one * w for one, w in zip(q.astype(object), weights, strict=True)) for weights in (
        (100, 27), (100 * -13.5, 27 * 50.0), (100 * (13.5**2 + 100**2 / 12), 27 * (50.0**2 + 27**2 / 12)))]
    for found in (stiffness_matrices(q, t), stiffness_matrices(q, t, index)):
        np.testing.assert_allclose(unpacked(found), np.array(by_hand, dtype=float), rtol=1e-12, atol=1e-9)
    first, second = stiffness_sums.section_weights(t)
    np.testing.assert_allclose(first, [100 * -13.5, 27 * 50.0], rtol=1e-13)
    np.testing.assert_allclose(second, [100 * (13.5**2 + 100**2 / 12), 27 * (50.0**2 + 27**2 / 12)], rtol=1e-13)
    # A of a sheet 100 thick and its D: Ex = 1/(h a11) in plane, 12/(h^3 d11) in bending, both (A11 - A12^2/A22)/h
    sheet = np.array([[120, 10, 0, 60, 0, 30], [0] * 6, [100, 10, 0, 60, 0, 30]], dtype=kind)
    constants = effective_constants(sheet, np.array(100, dtype=kind))
    assert constants[:, 0] == pytest.approx([(120 - 100 / 60) / 100, (100 - 100 / 60) * 12 / 100**3], rel=1e-12)


@pytest.mark.parametrize("own", [False, True], ids=["palette", "own stiffness a ply"])
def test_the_loop_over_plies_sums_as_numpy_does(plies, own, loops_in_python, monkeypatch):
    monkeypatch.setattr(stiffness_sums, "_SHARE", 7)  # several shares of twenty laminates
    palette, t, index = plies[0], plies[1][:20], plies[2][:20]
    arguments = (palette[index], t) if own else (palette, t, index)
    with ThreadPoolExecutor(2) as pool:
        found = stiffness_matrices(*arguments), stiffness_matrices(*arguments, executor=pool)
    assert len(compiled._LOOPS) == 1
    compiled.use_numba(False)
    plain = stiffness_matrices(*arguments)
    scale = np.abs(plain[:, :1]).max(axis=-1, keepdims=True) * t.sum(axis=1)[:, None, None] ** np.arange(3)[:, None]
    for looped in found:
        assert (np.abs(looped - plain) <= 1e-13 * scale).all()
    # by hand: A = Q h, B = 0, D = Q h^3/12 of a single ply
    one = np.array([[40e3, 3e3, 0], [3e3, 10e3, 0], [0, 0, 4e3]])
    compiled.use_numba()
    a, b, d = stiffness_matrices(one[None], [2.0])
    np.testing.assert_allclose((a, b, d), np.array([2.0, 0.0, 8 / 12])[:, None] * [40e3, 3e3, 0, 10e3, 0, 4e3], rtol=1e-14)


def test_the_loop_over_rows_gives_the_constants_of_numpy(stacks, loops_in_python):
    terms, height = stacks[0][:20], stacks[1][:20]
    looped, flat = effective_constants(terms, height), effective_constants(terms, 5.0)
    assert len(compiled._LOOPS) == 1
    compiled.use_numba(False)
    np.testing.assert_allclose(looped, effective_constants(terms, height), rtol=1e-12, atol=1e-12)
    np.testing.assert_allclose(flat, effective_constants(terms, 5.0), rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("own", [False, True], ids=["palette", "own criterion a ply"])
def test_the_loop_over_faces_finds_the_face_that_numpy_finds(loaded, own, loops_in_python, monkeypatch):
    monkeypatch.setattr(strain_space, "_MOST", 7)
    forms, index, z, eps0, kappa = loaded[0], *(one[:20] for one in loaded[1:])
    eps0, kappa = np.vstack([eps0[:-2], [[0.0] * 3, [np.nan] * 3]]), np.vstack([kappa[:-2], [[0.0] * 3] * 2])
    arguments = (forms[index], None, z, eps0, kappa) if own else (forms, index, z, eps0, kappa)
    with ThreadPoolExecutor(2) as pool:
        found = first_ply_ratio(*arguments), first_ply_ratio(*arguments, executor=pool)
    assert len(compiled._LOOPS) == 1
    # what the loop does not know is left to NumPy
    residual = np.random.default_rng(9).normal(0, 1e-4, (20, 6, 2, 3))
    more = first_ply_ratio(*arguments, every=True), first_ply_ratio(*arguments, residual=residual)
    compiled.use_numba(False)
    plain = first_ply_ratio(*arguments, every=True), first_ply_ratio(*arguments, residual=residual)
    for one, other in zip(more, plain, strict=True):
        assert len(one) == len(other)
        for x, y in zip(one, other, strict=True):
            np.testing.assert_array_equal(x, y)
    ratio, surface = first_ply_ratio(*arguments)
    assert not np.allclose(plain[1][0][:-2], ratio[:-2])
    for looped, place in found:
        np.testing.assert_allclose(looped, ratio, rtol=1e-12)
        assert looped[-2] == np.inf and np.isnan(looped[-1]) and (place[-2:] == 0).all()
        # a face shared by two plies of one kind may be named after either
        apart = np.abs(place - surface)
        assert (apart <= 1).all() and (apart == 0).mean() > 0.8


def test_going_back_to_numpy_forgets_the_loops(stacks, loops_in_python):
    effective_constants(stacks[0][:2], 5.0)
    assert compiled._LOOPS and compiled._NUMBA
    loops = dict(compiled._LOOPS)
    effective_constants(stacks[0][:2], 5.0)
    assert all(compiled._LOOPS[key] is loop for key, loop in loops.items())  # made once
    compiled.use_numba(False)
    assert not compiled._LOOPS and not compiled._NUMBA and compiled.compiled_loop(None) is None


def test_numba_gives_what_numpy_gives(stacks):
    pytest.importorskip("numba")
    plain = effective_constants(*stacks)
    compiled.use_numba()
    fast = effective_constants(*stacks)
    assert compiled._LOOPS, "nothing was compiled"
    np.testing.assert_allclose(fast, plain, rtol=1e-12, atol=1e-12)
    # one thickness for all: a column without a stride
    np.testing.assert_allclose(effective_constants(stacks[0], 5.0)[0], effective_constants(stacks[0][0], 5.0), rtol=1e-12)


@pytest.mark.parametrize("own", [False, True], ids=["palette", "own stiffness a ply"])
def test_numba_sums_plies_as_numpy_does(plies, own):
    pytest.importorskip("numba")
    palette, t, index = plies
    arguments = (palette[index], t) if own else (palette, t, index)
    plain = stiffness_matrices(*arguments)
    compiled.use_numba()
    with ThreadPoolExecutor(2) as pool:
        found = stiffness_matrices(*arguments), stiffness_matrices(*arguments, executor=pool)
    assert compiled._LOOPS, "nothing was compiled"
    scale = np.abs(plain[:, :1]).max(axis=-1, keepdims=True) * t.sum(axis=1)[:, None, None] ** np.arange(3)[:, None]
    for fast in found:
        assert (np.abs(fast - plain) <= 1e-13 * scale).all()
    assert np.isclose(stiffness_matrices(palette[0], [2.0])[0, 0], 2.0 * palette[0, 0, 0], rtol=1e-14)
    assert stiffness_matrices(palette, np.empty((0, 6)), np.empty((0, 6), int)).shape == (0, 3, 6)


def test_compiled_sums_take_no_more_than_their_result_and_16_mb():
    pytest.importorskip("numba")
    one = np.diag([4e4, 1e4, 4e3])
    q, t = np.broadcast_to(one, (60_000, 8, 3, 3)), np.ones((60_000, 8))
    compiled.use_numba()
    stiffness_matrices(q[:2], t[:2])
    tracemalloc.start()
    found = stiffness_matrices(q, t)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak - found.nbytes < 16e6
    np.testing.assert_allclose(found[:, 0, 0], 8 * 4e4)


def test_compiled_failure_takes_no_more_than_its_result_and_16_mb(loaded):
    pytest.importorskip("numba")
    forms, index, z, eps0, kappa = loaded
    many = [np.broadcast_to(x[:1], (60_000, *x.shape[1:])) for x in (z, eps0, kappa)]
    compiled.use_numba()
    first_ply_ratio(forms[index[0]], None, z[:2], eps0[:2], kappa[:2])
    tracemalloc.start()
    ratio, surface = first_ply_ratio(forms[index[0]], None, *many)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak - ratio.nbytes - surface.nbytes < 16e6
    compiled.use_numba(False)
    assert ratio[0] == ratio[-1] == pytest.approx(first_ply_ratio(forms, index[0], z[0], eps0[0], kappa[0])[0].item(), rel=1e-12)


@pytest.mark.parametrize("own", [False, True], ids=["palette", "own criterion a ply"])
def test_numba_finds_the_face_that_numpy_finds(loaded, own):
    pytest.importorskip("numba")
    forms, index, z, eps0, kappa = loaded
    arguments = (forms[index], None, z, eps0, kappa) if own else loaded
    ratio, surface = first_ply_ratio(*arguments)
    compiled.use_numba()
    with ThreadPoolExecutor(2) as pool:
        found = first_ply_ratio(*arguments), first_ply_ratio(*arguments, executor=pool)
    assert compiled._LOOPS, "nothing was compiled"
    for fast, place in found:
        np.testing.assert_allclose(fast, ratio, rtol=1e-12)
        # a face shared by two plies of one kind may be named after either
        apart = np.abs(place - surface)
        assert (apart <= 1).all() and (apart == 0).mean() > 0.8
    every = first_ply_ratio(*arguments, every=True)
    assert np.array_equal(every[0], ratio) and (every[2].min(axis=(1, 2)) == ratio).all()


def test_numba_passes_on_no_load_and_what_is_not_a_number(loaded):
    pytest.importorskip("numba")
    forms, index, z, eps0, kappa = loaded
    eps0, kappa = eps0[:3] * [[0.0], [np.nan], [1.0]], kappa[:3] * [[0.0], [1.0], [1.0]]
    plain = first_ply_ratio(forms, index[:3], z[:3], eps0, kappa)
    compiled.use_numba()
    ratio, surface = first_ply_ratio(forms, index[:3], z[:3], eps0, kappa)
    assert ratio[0] == np.inf and np.isnan(ratio[1]) and surface[:2].tolist() == [0, 0]
    np.testing.assert_allclose(ratio, plain[0], rtol=1e-12)


def test_without_numba_it_is_said_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "numba", None)
    with pytest.raises(InputError) as caught:
        compiled.use_numba()
    assert str(caught.value) == ("numba is not installed; received 'use_numba()'. Next: install it next to this package, or go "
                                 "on without it: results are the same.")
    assert not compiled._NUMBA
