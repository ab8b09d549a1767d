"""The working shown: its last arithmetic, done from the text alone, gives the package's value."""

import re

import pytest

from lamcalc.mechanics.margins import Margin, design_factor
from lamcalc.shop import job as jobs
from lamcalc.shop.resin_can import ResinCan
from lamcalc.shop.takeoff import take_off
from lamcalc.workbook import explain

pytestmark = pytest.mark.behaviour
TRANSOM = take_off(jobs.load_demo()).parts["transom"]
CAN = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5, catalyst_window=(1.0, 2.5))


def worked(text):
    """Value of a line of arithmetic, without its units."""
    plain = re.sub(r"kg/m2|mL", "", text).replace(" x ", " * ")
    assert re.fullmatch(r"[-+*/().\de\s]+", plain), text
    return eval(plain)


@pytest.mark.parametrize("working", [
    explain.ply_working(450.0, 0.30), explain.ply_working(805.0, 0.43, resin_density_kg_m3=1150.0),
    explain.margin_working(Margin("skin", 30.0, 85.0, design_factor("iso_ply"), "MPa")),
    explain.stiffness_working(jobs.schedule(jobs.load_demo(), "transom_inner_skin")),
    *(explain.fabric_working(fabric, 0.12) for fabric in TRANSOM.fabrics), *(explain.resin_working(use, 0.15) for use in TRANSOM.resins[:2]),
    explain.catalyst_working(CAN, 2.3, 1.8), explain.glass_working(jobs.schedule(jobs.load_demo(), "transom_inner_skin")),
])
def test_the_last_step_gives_the_value(working):
    assert worked(working.steps[-1]) == pytest.approx(working.value, rel=1e-5)
    assert f"{working.value:.6g}" in working.html()


def test_the_layers_add_up_to_the_thickness():
    working = explain.thickness_working(jobs.schedule(jobs.load_demo(), "transom_inner_skin"))
    rows = [float(step.split(": ")[1].removesuffix(" mm")) for step in working.steps[:-1]]
    assert len(rows) == 5 and sum(rows) == pytest.approx(working.value, rel=1e-5)


def test_the_layers_add_up_to_the_stiffness_held_flat():
    schedule = jobs.schedule(jobs.load_demo(), "transom_plywood")
    steps = explain.stiffness_working(schedule).steps
    layers = [step.split(": ")[1] for step in steps if step.startswith("layer ")]
    each = [eval(line.split(" = ")[0].replace(" x ", " * ").replace("^", "**")) for line in layers]
    assert sum(each) == pytest.approx(schedule.laminate.D[0, 0], rel=1e-4)
    assert [float(line.split(" = ")[1]) for line in layers] == pytest.approx(each, rel=1e-3, abs=1e-6 * sum(each))
