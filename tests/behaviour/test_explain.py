"""The working shown: its last arithmetic, done from the text alone, gives the package's value."""

import re

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.resin_can import ResinCan
from lamcalc.workbook import explain

pytestmark = pytest.mark.behaviour
CAN = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5, catalyst_window=(1.0, 2.5))


def worked(text):
    """Value of a line of arithmetic, without its units."""
    plain = re.sub(r"kg/m2|mL", "", text).replace(" x ", " * ")
    assert re.fullmatch(r"[-+*/().\de\s]+", plain), text
    return eval(plain)


@pytest.mark.parametrize("working", [
    explain.ply_working(450.0, 0.30), explain.ply_working(805.0, 0.43, resin_density_kg_m3=1150.0),
    explain.catalyst_working(CAN, 2.3, 1.8), explain.glass_working(jobs.schedule(jobs.load_demo(), "transom_inner_skin")),
])
def test_the_last_step_gives_the_value(working):
    assert worked(working.steps[-1]) == pytest.approx(working.value, rel=1e-5)
    assert f"{working.value:.6g}" in working.html()


def test_the_layers_add_up_to_the_thickness():
    working = explain.thickness_working(jobs.schedule(jobs.load_demo(), "transom_inner_skin"))
    rows = [float(step.split(": ")[1].removesuffix(" mm")) for step in working.steps[:-1]]
    assert len(rows) == 5 and sum(rows) == pytest.approx(working.value, rel=1e-5)
