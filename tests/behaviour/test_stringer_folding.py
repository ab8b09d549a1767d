"""Local buckling of stringers by hand: crown, webs, flange and the free edge of a flat bar; formers that carry."""

import math

import numpy as np
import pytest

from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.schedule import Schedule, SolidLayer
from lamcalc.workbook.plots_stringer import use_of_limits

pytestmark = pytest.mark.behaviour
NU, GIVEN = 0.3, (300.0, 300.0, 300.0, 300.0, 150.0)
FORMER = Former(80.0)
PLATING = Schedule((SolidLayer("plating", 6.0, 9e3, strengths_mpa=GIVEN),), {})


def sheet(thickness, modulus):
    return Schedule((SolidLayer("sheet", thickness, modulus, strengths_mpa=GIVEN),), {})


def hat(skin=2.0, top=80.0, cap=None, cap_width=None, former=FORMER, height=90.0):
    return Stringer("hat", PLATING, sheet(skin, 9e3), height, (75.0,), 120.0, top, attached=240.0, former=former,
                    cap=cap, cap_width=cap_width)


def fold(found, word):
    return [m for m in found.margins if m.name.startswith(word) and ("folding" in m.name or "wrinkling" in m.name)]


def flexural(modulus, thickness):
    return modulus * thickness**3 / (12 * (1 - NU**2))


LOAD = StringerLoad(900, 460, pressure=0.018)


def test_crown_folds_as_a_long_plate_between_the_webs():
    # fixed ends: W l / 12 pushes the crown over the supports; k = 4 for a long plate on two supported edges (Timoshenko
    # and Gere, from memory): sigma = 4 pi2 E (t/b)2 / (12 (1 - nu2))
    found = assess_stringer(hat(), LOAD)
    margin, = fold(found, "crown")
    assert margin.capacity == pytest.approx(4 * math.pi**2 * 9e3 * (2.0 / 80.0) ** 2 / (12 * (1 - NU**2)), rel=1e-3)
    crown = 6.0 + 90.0 + 1.0
    moment = 0.018 * 460 * 900**2 / 12
    assert margin.demand == pytest.approx(9e3 * moment * (crown - float(found.section.neutral_axis_mm)) / float(found.section.ei))
    assert "former not counted" in margin.name and margin.factor.value == 0.5


def test_a_thin_wide_crown_is_refused_that_was_passed_over():
    # 1.2 mm on 140 mm: 4 x 9.87 x 9000 / 10.92 x (1.2 / 140)2 = 2.4 MPa
    found = assess_stringer(hat(skin=1.2, top=140.0, height=60.0), LOAD)
    margin, = fold(found, "crown")
    assert margin.capacity == pytest.approx(2.39, abs=0.01)
    assert not margin.holds and not found.holds and any("crown folding" in words for words in found.shortfalls)


def test_cap_over_the_whole_crown_stiffens_it_and_a_narrow_one_in_part():
    full, narrow = (assess_stringer(hat(cap=sheet(3.0, 9e3), cap_width=wide), LOAD) for wide in (80.0, 40.0))
    one, other = (fold(found, "crown")[0] for found in (full, narrow))
    # one sheet of 5 mm, told as stress over 5 mm
    assert one.capacity == pytest.approx(4 * math.pi**2 * 9e3 * (5.0 / 80.0) ** 2 / (12 * (1 - NU**2)), rel=1e-3)
    # over half the width: mean stress of 2 mm on 80 and 3 mm on 40
    strain = [0.018 * 460 * 900**2 / 12 * (y - float(narrow.section.neutral_axis_mm)) / float(narrow.section.ei)
              for y in (6 + 90 + 1.0, 6 + 90 + 2 + 1.5)]
    force = 9e3 * (strain[0] * 2.0 * 80.0 + strain[1] * 3.0 * 40.0)
    assert other.demand == pytest.approx(force / (2.0 * 80.0 + 3.0 * 40.0))
    # it carries more than 2 mm alone would, and less than 5 mm all over
    alone, all_over = (4 * math.pi**2 * flexural(9e3, t) / 80.0 for t in (2.0, 5.0))
    assert alone < other.capacity * (2.0 * 80.0 + 3.0 * 40.0) < all_over


def test_web_folds_earlier_under_compression_and_shear_together_than_under_either():
    # over a fixed support the web has its largest bending and shear at once: interaction (tau/tau_cr)2 + sigma/sigma_cr with
    # k = 5.34 in shear and 7.8 to 23.9 for compression that falls to zero or turns to tension (Timoshenko and Gere, from memory)
    found = assess_stringer(hat(), LOAD)
    margin, = fold(found, "web")
    slant, d = math.hypot(90.0, 20.0), flexural(9e3, 2.0)
    unit = math.pi**2 * d / slant**2 / 2.0
    shear = found.web_shear / (5.34 * unit)
    moment, axis = 0.018 * 460 * 900**2 / 12, float(found.section.neutral_axis_mm)
    top, foot = (9e3 * moment * (y - axis) / float(found.section.ei) for y in (96.0, 6.0))
    # EN 1993-1-5 Table 4.1 for psi = foot / top between 0 and -1, else 8.2 / (1.05 + psi)
    psi = foot / top
    k = 7.81 - 6.29 * psi + 9.78 * psi**2 if psi < 0 else 8.2 / (1.05 + psi)
    bent = top / (k * unit)
    assert margin.capacity < 1 / shear and margin.capacity < 1 / bent
    low, high = 1 / (shear + bent), 1 / math.hypot(shear, bent)  # a straight line and a circle enclose what was ever printed
    assert low < margin.capacity < high * 1.02


def test_a_crown_in_tension_does_not_fold():
    found = assess_stringer(hat(), StringerLoad(900, 460, pressure=0.018, ends="simple"))
    assert not fold(found, "crown")
    # the foot of the web is pushed a little, without shear at mid-span
    assert all(m.reserve_factor > 3 for m in fold(found, "web"))


def test_flange_of_an_angle_folds_with_one_free_edge():
    # k = 0.425 + (b/a)2 at nu = 0.3 for the free outstand; the half wave is the plate's length, five outstands
    bar = Stringer("angle", PLATING, sheet(5.0, 9e3), 80.0, attached=200.0, cap=sheet(3.0, 9e3), cap_width=65.0)
    found = assess_stringer(bar, LOAD)
    margin, = fold(found, "flange")
    assert margin.capacity == pytest.approx((0.425 + 0.2**2) * math.pi**2 * flexural(9e3, 3.0) / 60.0**2 / 3.0, rel=0.02)
    assert any("tripping" in words for words in found.cautions)
    assert not fold(assess_stringer(bar, StringerLoad(900, 460, pressure=0.018, ends="simple")), "flange")


def test_a_flat_bar_is_not_held_at_its_free_edge_when_it_shears():
    # a plate held at three edges folds in shear far earlier than one held at four
    flat = assess_stringer(Stringer("angle", PLATING, sheet(4.0, 9e3), 80.0, attached=200.0), LOAD)
    held = assess_stringer(Stringer("angle", PLATING, sheet(4.0, 9e3), 80.0, attached=200.0, cap=sheet(3.0, 9e3), cap_width=30.0), LOAD)
    one, other = (next(m for m in found.margins if m.name.startswith("web buckling")) for found in (flat, held))
    assert one.capacity < 0.25 * other.capacity
    assert other.capacity == pytest.approx(5.34 * math.pi**2 * flexural(9e3, 4.0) / 80.0**2 / 4.0, rel=0.04)


def test_skins_on_a_foam_that_carries_are_checked_against_wrinkling():
    # 0.5 (E E G)^(1/3), Lloyd's Register SSC rules: weak foam that was taken to hold everything once it carried
    foam = Former(60.0, e=10.0, g=4.0, strength=0.5)
    found = assess_stringer(hat(former=foam), LOAD)
    margin, = fold(found, "crown")
    assert margin.capacity == pytest.approx(0.5 * np.cbrt(9e3 * 8.0 * 4.0))
    assert margin.demand == pytest.approx(-min(found.crown_strain) * 9e3)
    # in the web the push of bending at the crown and the shear together, along the steepest direction
    web, top = fold(found, "web")[0], 96.0 - float(found.section.neutral_axis_mm)
    push = 9e3 * 0.018 * 460 * 900**2 / 12 * top / float(found.section.ei)
    assert web.demand == pytest.approx(push / 2 + math.hypot(push / 2, found.web_shear))
    assert fold(assess_stringer(hat(former=foam), StringerLoad(900, 460, pressure=0.018, ends="simple")), "web")
    timber = assess_stringer(hat(former=Former(550.0, e=9000.0, g=600.0, strength=40.0)), LOAD)
    assert all(m.reserve_factor > 20 for m in fold(timber, "crown"))


def test_shear_stands_beside_the_moment_of_its_own_place():
    for ends, load, shears in (("fixed", "pressure", [0.5, 0.0]), ("simple", "pressure", [0.0]), ("fixed", "force", [0.5, 0.5]),
                               ("simple", "force", [0.5])):
        case = StringerLoad(800, 400, ends=ends, **{load: 0.02 if load == "pressure" else 3000.0})
        assert case.shears == pytest.approx([share * case.total for share in shears])
        assert len(case.shears) == len(case.moments)


def test_a_force_is_said_to_stand_in_the_middle():
    moving, still = (assess_stringer(hat(), load).cautions for load in (StringerLoad(900, 460, force=2000.0), LOAD))
    assert any("4/27" in words for words in moving) and not any("4/27" in words for words in still)


@pytest.mark.parametrize("build", [
    hat(), hat(cap=sheet(3.0, 9e3), cap_width=60.0), hat(former=Former(80.0, e=60.0, g=23.0, strength=1.0)),
    Stringer("angle", PLATING, sheet(3.0, 9e3), 90.0, (75.0,), 3.0, 3.0, attached=240.0, tabbing=sheet(2.0, 9e3)),
    Stringer("angle", PLATING, sheet(3.0, 9e3), 90.0, (75.0,), 3.0, 3.0, attached=240.0, tabbing=sheet(2.0, 9e3),
             cap=sheet(3.0, 9e3), cap_width=40.0)])
def test_the_picture_leaves_no_margin_out(build):
    found = assess_stringer(build, LOAD)
    use = use_of_limits(found)
    most = max(value for slot, value in use.items() if slot != "deflection" and value == value)
    assert most == pytest.approx(1 / found.least.reserve_factor, rel=1e-12)
