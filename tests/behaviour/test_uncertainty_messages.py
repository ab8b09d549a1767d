"""Wrong inputs of uncertainty and sensitivity studies are told in plain words, and progress can be stopped."""

import threading

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials.values import Value
from lamcalc.shop import job as jobs
from lamcalc.shop.job_transom import transom_case
from lamcalc.studies.distributions import Distribution, Uncertain, check_inputs
from lamcalc.studies.sensitivity import one_at_a_time, variance_based
from lamcalc.studies.uncertain_parts import LaminateModel, TransomModel
from lamcalc.studies.uncertainty import FunctionModel, Quantity, run_uncertainty

pytestmark = pytest.mark.behaviour


def root(draws):
    return {"y": np.sqrt(draws["x"][:, 0])}


SPREAD = Distribution("uniform", 1.0, 2.0, 3.0)
MODEL = FunctionModel(root, (Uncertain("x", "length", SPREAD),), (Quantity("y", "root", "mm"),), chunk=10)


@pytest.mark.parametrize(
    "make, words",
    [
        (
            lambda: Distribution("bell", 1, 2, 3),
            "shape of the spread must be one of normal, lognormal, triangular, uniform",
        ),
        (lambda: Distribution("normal", 3, 2, 1), "low, typical and high must rise in this order"),
        (lambda: Distribution("normal", 2, 2, 2), "leave an input that cannot vary out"),
        (lambda: Distribution("lognormal", -1, 2, 3), "low end of a lognormal spread must be greater than 0"),
        (lambda: Distribution("uniform", 1, 1.5, 3), "typical value of an even spread must be the middle, 2"),
        (lambda: Distribution("normal", 1, float("nan"), 3), "typical value of the spread must be a finite number"),
        (lambda: Distribution("normal", 1, 2, 3, status="guess"), "status of the spread must be one of"),
        (lambda: Distribution.varying(1.0, 15), "must be below 1 [-]; received 15.0. Next: write 0.15 for 15 %"),
        (lambda: Distribution.varying(1.0, 0.1, shape="uniform"), "must be normal or lognormal"),
        (lambda: Distribution.varying(0.0, 0.1), "typical value of variation must be greater than 0"),
        (lambda: Distribution.scattered(0.0, 0.0), "standard deviation must be greater than 0"),
        (lambda: SPREAD.quantile(90), "share must lie between 0 and 1 [-]; received 90.0. Next: write 0.9 for 90 %"),
        (lambda: Uncertain("x", "length", SPREAD, 0), "count of length must be a whole number from 1 up"),
        (lambda: check_inputs([]), "uncertain inputs must be at least one"),
        (lambda: check_inputs([MODEL.inputs[0], MODEL.inputs[0]]), "must have different keys"),
        (lambda: run_uncertainty(MODEL, vary=("z",)), "inputs that vary must be among x"),
        (lambda: run_uncertainty(MODEL, vary=()), "inputs that vary must be among x"),
        (lambda: run_uncertainty(MODEL, samples=1), "number of samples must be a whole number from 2 to 10000000"),
        (lambda: run_uncertainty(MODEL, samples=1e3), "number of samples must be a whole number"),
        (lambda: run_uncertainty(MODEL, samples=True), "number of samples must be a whole number"),
        (lambda: run_uncertainty(MODEL, seed=-1), "seed must be a whole number from 0 up"),
        (lambda: run_uncertainty(MODEL, seed=None), "enter any number and keep it with the result"),
        (lambda: run_uncertainty(MODEL, samples=10).of("z"), "result of the study must be one of y"),
        (lambda: run_uncertainty(MODEL, samples=10).chance("y", "much"), "target for root must be a number [mm]"),
        (lambda: one_at_a_time(MODEL, "z"), "result of the study must be one of y"),
        (lambda: one_at_a_time(MODEL, "y", ends=(0.9, 0.1)), "ends must be two shares in order"),
        (lambda: variance_based(MODEL, "y", samples=4), "number of samples must be a whole number from 16"),
    ],
)
def test_messages(make, words):
    with pytest.raises(InputError) as caught:
        make()
    assert words in str(caught.value)


def test_a_model_that_breaks_is_told():
    wild = FunctionModel(
        lambda d: {"y": d["x"][:, 0] * np.where(d["x"][:, 0] == 2.0, 1.0, np.inf)}, MODEL.inputs, MODEL.results
    )
    with pytest.raises(InputError, match="sampled root must be a finite number"):
        run_uncertainty(wild, samples=20)


def test_laminate_and_transom_messages():
    job = jobs.load_demo()
    plain = jobs.schedule(job, "bottom_original")
    with pytest.raises(InputError, match="M must be three values x, y, xy"):
        LaminateModel(plain, M=(1.0, 2.0))
    with pytest.raises(InputError, match="transom schedule must have a core"):
        TransomModel(transom_case(job), plain)
    bare = LaminateModel(jobs.schedule(job, "transom_original"), M=(100.0, 0.0, 0.0))
    with pytest.raises(InputError, match="strength of the layers must be known for a margin"):
        run_uncertainty(bare, samples=10)
    assert "core_margin" in [
        q.key for q in TransomModel(transom_case(job), jobs.schedule(job, "transom_board")).results
    ]


def test_every_assumed_spread_says_so():
    job = jobs.load_demo()
    own = TransomModel(transom_case(job), jobs.schedule(job, "transom_board"))
    by_key = {item.key: item.spread for item in own.inputs}
    assert (
        by_key["glass:hand:csm"].words
        == "normal, 0.25 to 0.35 (5 % and 95 % points), range of the catalogue, source seen"
    )
    assert by_key["core_tau:pu_board_416"].status == "from memory"
    for key in ("weight", "modulus", "strength", "angle", "kept", "core_e:pu_board_416", "waste"):
        assert "assumed" in by_key[key].words and by_key[key].status == "assumed"


def test_half_a_range_counts_as_none():
    for low, high in ((1.0, None), (None, 3.0), (2.0, 2.0)):
        assert Distribution.of_value("x", Value(2.0, low, high, "mm", "source seen", "A")).status == "assumed"


def test_progress_stops_and_what_is_done_stays():
    said = []
    found = run_uncertainty(
        MODEL, samples=100, seed=1, progress=lambda done, total: said.append((done, total)) or done < 4
    )
    assert said[-1] == (4, 10) and found.samples == 40 and found.stopped
    assert found.words.startswith("stopped at 40 of 100 samples with seed 1; varied: length")
    assert np.array_equal(found.values, run_uncertainty(MODEL, samples=100, seed=1).values[:, :40])
    stop = threading.Event()
    stop.set()
    with pytest.raises(InputError, match="must not be stopped before its first samples"):
        run_uncertainty(MODEL, samples=100, stop=stop)
    with pytest.raises(InputError, match="must not be stopped before its first samples"):
        variance_based(MODEL, "y", samples=100, stop=stop)
    assert variance_based(MODEL, "y", samples=100, progress=lambda done, total: done < 2).samples == 20


def test_words_carry_units_of_either_system():
    job = jobs.load_demo()
    found = run_uncertainty(LaminateModel(jobs.schedule(job, "transom_inner_skin")), samples=200, seed=1)
    assert " mm to " in found.band("thickness").words() and " in to " in found.band("thickness").words("us")
    assert found.chance("thickness", 5.4).words().startswith("thickness at most 5.40 mm: missed in ")
    assert (
        found.chance("thickness", 1.0, at_least=True)
        .words("us")
        .startswith("thickness at least 0.039 in: missed in none of 200")
    )
    swings = one_at_a_time(LaminateModel(jobs.schedule(job, "transom_inner_skin")), "ei_x")
    assert "lbf in2/in" in swings.words("us") and "kN m2/m" in swings.sentence
    assert list(found.table().columns[:2]) == ["result", "unit"]
