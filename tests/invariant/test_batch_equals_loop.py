"""A batch through a public function equals its members one by one, whichever argument makes the batch.

Each function is called as in the example of its docstring.  An argument that the docstring calls an array of shape
(...) or (..., plies) is given twice, the second time a little larger; two axes of one member each keep it clear of
arrays that the example gives to other arguments.
"""

import contextlib
import importlib
import inspect

import numpy as np
import pytest
from docstrings import MODULES, example, parameters, parts, public

from lamcalc.errors import InputError

pytestmark = pytest.mark.invariant
LARGER = 1.03
# written into a given array, laid out otherwise, for a whole batch at once, or with arguments of one batch shape
BESIDE = ("constants_from_compliance", "cross_ply_stiffness", "effective_constants", "patch_joints", "rotated_terms",
          "solve", "write_constants")


def batched(value, kind):
    """The value as a batch of two and its members; None if the docstring promises no batch."""
    if value is None or isinstance(value, (bool, str)) or "shape (..." not in kind or "of int" in kind:
        return None
    with contextlib.suppress(TypeError, ValueError):
        one = np.array(value, dtype=float)
        tail = kind.split("shape (...")[1].split(")")[0].count(",")
        if one.ndim == tail and one.size:
            one = one.reshape(1, 1, *one.shape)
            return np.stack([one, one * LARGER]), [one, one * LARGER]
    return None


def largest(array):
    """Largest magnitude of the finite members."""
    return np.abs(array[np.isfinite(array)]).max(initial=0.0)


def same(batch, singles):
    """Whether a part of the batch result holds the single results, or does not hang on the argument."""
    if batch.shape == (2, *singles[0].shape):
        pairs = zip(batch, singles, strict=True)
    else:
        pairs = ((batch, singles[0]), (batch, singles[1]))
    # 1e-16: where the result is zero, the one may have the dust of a sum and the other not
    return all(a.shape == b.shape and np.allclose(a, b, rtol=1e-9, atol=largest(b) * 1e-12 + 1e-16, equal_nan=True)
               for a, b in pairs)


@pytest.mark.parametrize("module", MODULES)
def test_a_batch_of_two_is_two_calls(module):
    module = importlib.import_module(module)
    wrong = []
    for name, item in public(module):
        told = parameters(item)
        if not any("shape (..." in kind for kind, _ in told.values()):
            continue
        given = [(call, *one) for call in example(name, item, module)[1] for one in call.arguments.items()]
        for call, argument, value in given:
            made = batched(value, told.get(argument, ("", ""))[0])
            if made is None or name in BESIDE:
                continue
            def called(new, call=call, argument=argument, item=item):
                again = inspect.BoundArguments(call.signature, {**call.arguments, argument: new})
                return dict(parts(item(*again.args, **again.kwargs)))
            try:
                singles = [called(one) for one in made[1]]
            except InputError:  # the larger value is not allowed
                continue
            batch = called(made[0])
            wrong += [f"{name}({argument}){path}: {batch[path]} is not {[one[path] for one in singles]}"
                      for path in batch if not same(batch[path], [one[path] for one in singles])]
    assert not wrong, "\n".join(wrong)
