"""What the job file says about knees, bolts and plates reaches the transom check, or is refused in words."""

import pytest

from lamcalc.errors import InputError
from lamcalc.parts.transom import assess
from lamcalc.shop import job as jobs
from lamcalc.shop.job_transom import transom_case

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


def result(job):
    return assess(transom_case(job), "board", jobs.schedule(job, "transom_board"))


def test_knees_of_the_job_hold_the_bracket(demo):
    kneed = jobs.update(demo, {"parts.transom.knees_at_mm": [-400, 400], "parts.transom.knee_width_mm": 60})
    case = transom_case(kneed)
    assert case.knees == (-400.0, 400.0) and case.knee_width == 60
    assert result(kneed).worst_turn_mrad < 0.8 * result(demo).worst_turn_mrad


def test_a_knee_outside_the_transom_is_refused(demo):
    with pytest.raises(InputError, match="knees must lie within"):
        transom_case(jobs.update(demo, {"parts.transom.knees_at_mm": [-900]}))


def test_strength_of_bolts_and_plates_comes_from_the_job(demo):
    weak = jobs.update(demo, {"parts.transom.bolts.proof_mpa": 225, "parts.transom.bolts.plate_yield_mpa": 410})
    usual, changed = ({m.name: m.reserve_factor for m in result(job).strength.margins} for job in (demo, weak))
    assert changed["upper bolts in tension"] == pytest.approx(usual["upper bolts in tension"] / 2)
    assert changed["backing plate in bending"] == pytest.approx(2 * usual["backing plate in bending"])
    assert "from the job file" in " ".join(result(weak).strength.notes)


def test_six_bolts_share_the_pull(demo):
    six = result(jobs.update(demo, {"parts.transom.bolts.number": 6}))
    usual, more = ({m.name: m.demand for m in one.strength.margins} for one in (result(demo), six))
    assert more["upper bolts in tension"] == pytest.approx(usual["upper bolts in tension"] * 2 / 3)


@pytest.mark.parametrize("number", [2, 5])
def test_bolts_that_make_no_two_rows_are_refused(demo, number):
    with pytest.raises(InputError, match="must be 4 or a larger even number"):
        transom_case(jobs.update(demo, {"parts.transom.bolts.number": number}))
