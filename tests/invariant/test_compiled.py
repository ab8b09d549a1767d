"""Compiled formulas give what NumPy gives; the text of a formula means the same for a number as for a column."""

import sys

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics import compiled, laminate
from lamcalc.mechanics.laminate import effective_constants, stiffness_matrices, unpacked

pytestmark = pytest.mark.invariant


@pytest.fixture
def stacks():
    rng = np.random.default_rng(7)
    root = rng.normal(size=(6, 3, 3)) * 60.0
    palette, t = root @ np.swapaxes(root, -1, -2) + 4e3 * np.eye(3), rng.uniform(0.3, 2.0, (5000, 6))
    return stiffness_matrices(palette, t, rng.integers(0, 6, t.shape)), t.sum(axis=1)


@pytest.fixture(autouse=True)
def back_to_numpy():
    yield
    compiled.use_numba(False)


def test_a_formula_does_the_same_to_numbers_as_to_columns(stacks):
    terms, height = stacks
    rows = terms[:50].reshape(50, 18)
    one_by_one = [laminate._constants(tuple(row), h) for row, h in zip(rows.tolist(), height.tolist(), strict=False)]
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


def test_numba_gives_what_numpy_gives(stacks):
    pytest.importorskip("numba")
    plain = effective_constants(*stacks)
    compiled.use_numba()
    fast = effective_constants(*stacks)
    assert compiled._LOOPS, "nothing was compiled"
    np.testing.assert_allclose(fast, plain, rtol=1e-12, atol=1e-12)
    # one thickness for all: a column without a stride
    np.testing.assert_allclose(effective_constants(stacks[0], 5.0)[0], effective_constants(stacks[0][0], 5.0), rtol=1e-12)


def test_without_numba_it_is_said_what_to_do(monkeypatch):
    monkeypatch.setitem(sys.modules, "numba", None)
    with pytest.raises(InputError, match="numba is not installed.*go on without it"):
        compiled.use_numba()
    assert not compiled._NUMBA
