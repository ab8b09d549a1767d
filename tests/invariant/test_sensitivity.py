"""Indices against closed forms: the Ishigami function, an additive model, and limits."""

import numpy as np
import pytest

from lamcalc.shop import job as jobs
from lamcalc.studies.distributions import Distribution, Uncertain
from lamcalc.studies.sensitivity import one_at_a_time, variance_based
from lamcalc.studies.uncertain_parts import LaminateModel
from lamcalc.studies.uncertainty import FunctionModel, Quantity, run_uncertainty

pytestmark = pytest.mark.invariant
A, B = 7.0, 0.1
CIRCLE = Distribution("uniform", -np.pi, 0.0, np.pi)
WEIGHTS = {"a": 4.0, "b": 2.0, "c": 1.0, "d": 0.0}


def ishigami(draws):
    x, y, z = (draws[key][:, 0] for key in "xyz")
    return {"f": np.sin(x) + A * np.sin(y) ** 2 + B * z**4 * np.sin(x)}


def additive(draws):
    return {"f": sum(weight * draws[key].sum(axis=1) for key, weight in WEIGHTS.items() if key in draws)}


def product(draws):
    return {"f": draws["a"][:, 0] * draws["b"][:, 0]}


def constant(draws):
    return {"f": np.full(len(draws["a"]), 5.0)}


def model(function, keys, spread, counts=None):
    return FunctionModel(
        function,
        tuple(Uncertain(k, f"part {k}", spread, (counts or {}).get(k, 1)) for k in keys),
        (Quantity("f", "outcome"),),
    )


ISHIGAMI = model(ishigami, "xyz", CIRCLE)


def closed_form():
    """First-order and total indices.

    Ishigami and Homma, An importance quantification technique in uncertainty analysis for computer models,
    Proc. ISUMA 1990; a = 7, b = 0.1; variances by integration, as printed in textbooks (from memory).
    """
    first = {"x": 0.5 * (1 + B * np.pi**4 / 5) ** 2, "y": A**2 / 8, "z": 0.0}
    joint = 8 * B**2 * np.pi**8 / 225
    whole = sum(first.values()) + joint
    total = {"x": first["x"] + joint, "y": first["y"], "z": joint}
    return whole, {k: v / whole for k, v in first.items()}, {k: v / whole for k, v in total.items()}


def test_the_closed_form_gives_the_known_digits():
    """0.3139, 0.4424, 0 and 0.5576, 0.4424, 0.2437: printed in many texts on the function (from memory)."""
    _, first, total = closed_form()
    assert [round(first[k], 4) for k in "xyz"] == [0.3139, 0.4424, 0.0]
    assert [round(total[k], 4) for k in "xyz"] == [0.5576, 0.4424, 0.2437]


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_ishigami(seed):
    whole, first, total = closed_form()
    found = variance_based(ISHIGAMI, "f", samples=2**15, seed=seed)
    assert abs(found.variance / whole - 1) < 0.03
    # mean a/2 by integration
    assert abs(found.mean - A / 2) < 4.5 * np.sqrt(whole / 2**16)
    for share in found.shares:
        assert share.first_error < 0.02 and share.total_error < 0.02
        # the variance is estimated from the same samples, so a bit beyond four standard errors
        assert abs(share.first - first[share.key]) < 4 * share.first_error + 0.005
        assert abs(share.total - total[share.key]) < 4 * share.total_error + 0.01
    assert [share.key for share in found.shares] == ["x", "y", "z"]


def test_errors_are_the_scatter_between_seeds():
    runs = [variance_based(ISHIGAMI, "f", samples=1024, seed=seed) for seed in range(60)]
    for key in "xz":
        shares = [next(s for s in run.shares if s.key == key) for run in runs]
        assert 0.6 < np.std([s.first for s in shares]) / np.mean([s.first_error for s in shares]) < 1.5
        assert 0.6 < np.std([s.total for s in shares]) / np.mean([s.total_error for s in shares]) < 1.7


def test_an_additive_model_has_its_squares_as_indices():
    """Indices of a sum are w_i^2 n_i over their sum, first and total alike: textbook."""
    counts = {"c": 3}
    own = model(additive, "abcd", Distribution.scattered(10.0, 1.0), counts)
    found = variance_based(own, "f", samples=2**14, seed=6)
    parts = {k: w * w * counts.get(k, 1) for k, w in WEIGHTS.items()}
    whole = sum(parts.values())
    assert abs(found.variance / whole - 1) < 0.05
    for share in found.shares:
        assert abs(share.first - parts[share.key] / whole) < 4 * share.first_error + 0.01
        assert abs(share.total - parts[share.key] / whole) < 4 * share.total_error + 0.01
    swings = one_at_a_time(own, "f")
    assert [s.key for s in swings.swings] == ["a", "c", "b", "d"]
    low, high = Distribution.scattered(10.0, 1.0).quantile([0.1, 0.9])
    assert np.allclose([s.size for s in swings.swings], [(high - low) * w for w in (4.0, 3.0, 2.0, 0.0)])


def test_a_pure_product_has_no_share_on_its_own():
    own = model(product, "ab", Distribution("uniform", -1.0, 0.0, 1.0))
    found = variance_based(own, "f", samples=2**14, seed=2)
    for share in found.shares:
        assert abs(share.first) < 4 * share.first_error + 0.005
        assert abs(share.total - 1) < 4 * share.total_error + 0.02
    assert max(s.size for s in one_at_a_time(own, "f").swings) == 0.0


def test_nothing_varies():
    own = model(constant, "a", CIRCLE)
    assert variance_based(own, "f", samples=64).variance == 0.0
    assert (
        variance_based(own, "f", samples=64).sentence
        == one_at_a_time(own, "f").sentence
        == ("Nothing that was varied changes the outcome.")
    )


def test_fixing_an_input_takes_its_total_share_away():
    """Mean variance left when all but one input vary is V (1 - first index of that one): definition."""
    own = model(additive, "abc", Distribution.scattered(10.0, 1.0))
    whole = run_uncertainty(own, samples=20_000, seed=3).of("f").var()
    rest = run_uncertainty(own, samples=20_000, seed=3, vary=("b", "c")).of("f").var()
    share = next(s for s in variance_based(own, "f", samples=2**13, seed=3).shares if s.key == "a")
    assert abs(rest / whole - (1 - share.first)) < 0.04


def test_laminate_thickness_hangs_on_the_glass_content():
    job = jobs.load_demo()
    own = LaminateModel(jobs.schedule(job, "transom_inner_skin"))
    found = variance_based(own, "thickness", samples=1024, seed=1)
    assert found.shares[0].key == one_at_a_time(own, "thickness").swings[0].key == "glass:hand:csm"
    assert next(s for s in found.shares if s.key == "modulus").total == 0.0
    assert "glass content of mat" in found.sentence.lower()


def test_rows_of_the_two_sets_are_independent_of_chunks():
    chunked = FunctionModel(ISHIGAMI.function, ISHIGAMI.inputs, ISHIGAMI.results, chunk=100)
    one, other = (variance_based(m, "f", samples=1500, seed=9) for m in (ISHIGAMI, chunked))
    for a, b in zip(one.shares, other.shares, strict=True):
        assert a.key == b.key and np.isclose(a.first, b.first) and np.isclose(a.total, b.total)
