"""The working shown: its last arithmetic, done from the text alone, gives the package's value."""

import re

import pytest

from lamcalc import units
from lamcalc.mechanics.margins import Margin, design_factor
from lamcalc.shop import job as jobs
from lamcalc.shop.resin_can import ResinCan
from lamcalc.shop.takeoff import take_off
from lamcalc.workbook import explain

pytestmark = pytest.mark.behaviour
SKIN = jobs.schedule(jobs.load_demo(), "transom_inner_skin")
TRANSOM = take_off(jobs.load_demo()).parts["transom"]
CAN = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5, catalyst_window=(1.0, 2.5))


def worked(text):
    """Value of a line of arithmetic, without its units."""
    plain = re.sub(r"kg/m2|lb/ft2|mL", "", text).replace(" x ", " * ")
    assert re.fullmatch(r"[-+*/().\de\s]+", plain), text
    return eval(plain)


@pytest.mark.parametrize("working", [
    explain.margin_working(Margin("skin", 30.0, 85.0, design_factor("iso_ply"), "MPa")), *(work for system in units.SYSTEMS for work in (
        explain.ply_working(450.0, 0.30, system=system), explain.ply_working(805.0, 0.43, resin_density_kg_m3=1150.0, system=system),
        explain.stiffness_working(SKIN, system), *(explain.fabric_working(fabric, 0.12, system) for fabric in TRANSOM.fabrics),
        *(explain.resin_working(use, 0.15, system) for use in TRANSOM.resins[:2]),
        explain.catalyst_working(CAN, 2.3, 1.8, system), explain.glass_working(SKIN, system)))], ids=lambda one: f"{one.title} [{one.unit}]")
def test_the_last_step_gives_the_value(working):
    assert worked(working.steps[-1]) == pytest.approx(working.value, rel=1e-5)
    assert f"{working.value:.6g}" in working.html()


@pytest.mark.parametrize("system, unit", [("metric", " mm"), ("us", " in")])
def test_the_layers_add_up_to_the_thickness(system, unit):
    working = explain.thickness_working(SKIN, system)
    rows = [float(step.split(": ")[1].removesuffix(unit)) for step in working.steps[:-1]]
    assert len(rows) == 5 and sum(rows) == pytest.approx(working.value, rel=1e-5)


def test_the_layers_add_up_to_the_stiffness_held_flat():
    schedule = jobs.schedule(jobs.load_demo(), "transom_plywood")
    steps = explain.stiffness_working(schedule).steps
    layers = [step.split(": ")[1] for step in steps if step.startswith("layer ")]
    each = [eval(line.split(" = ")[0].replace(" x ", " * ").replace("^", "**")) for line in layers]
    assert sum(each) == pytest.approx(schedule.laminate.D[0, 0], rel=1e-4)
    assert [float(line.split(" = ")[1]) for line in layers] == pytest.approx(each, rel=1e-3, abs=1e-6 * sum(each))


def test_in_us_units_the_value_is_the_same():
    for metric, us, unit, label in (
            (explain.ply_working(450.0, 0.30), explain.ply_working(450.0, 0.30, system="us"), "mm", "in"),
            (explain.stiffness_working(SKIN), explain.stiffness_working(SKIN, "us"), "N mm2/mm", "lbf in2/in")):
        assert (metric.unit, us.unit) == (unit, label)
        assert us.value == pytest.approx(units.convert(metric.value, unit, label), rel=1e-12)


def test_every_line_of_a_us_working_holds():
    # oz/yd2 over lb/ft3 over 12: 16 oz a pound, 9 ft2 a yd2, 12 in a foot
    ply, can = explain.ply_working(450.0, 0.30, system="us"), explain.catalyst_working(CAN, 2.3, 1.8, "us")
    line = ply.steps[2].removeprefix("resin weight = ").removesuffix(" oz/yd2")
    left, right = re.sub(r"([\d.]) \(", r"\1 * (", line).split(" = ")
    assert eval(left) == pytest.approx(float(right), rel=1e-5)
    left, right = re.sub(r"lb/gal|mL/gal|mL|lb", "", can.steps[1].removeprefix("resin volume = ")).replace(" x ", " * ").split(" = ")
    assert eval(left) == pytest.approx(float(right), rel=1e-5)
