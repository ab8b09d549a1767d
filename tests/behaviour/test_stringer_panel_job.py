"""Stringers and panels of the demo job, messages, and what a result must say."""

from dataclasses import replace

import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.strength import COMPRESSION_CAUTION
from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
from lamcalc.parts.panel_repair import compare_repair
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.parts.stringer_sizing import size_stringer
from lamcalc.schedule import Schedule, SolidLayer
from lamcalc.shop import job as jobs

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def job():
    return jobs.load_demo()


@pytest.fixture(scope="module")
def hat(job):
    part = job.parts["stringers"]
    return Stringer("hat", jobs.schedule(job, part.plating), jobs.schedule(job, part.chosen), part.height_mm, part.legs_mm,
                    part.base_width_mm, part.top_width_mm, jobs.schedule(job, part.crown), part.crown_width_mm,
                    Former(part.former.density_kg_m3))


LOAD = StringerLoad(900.0, 460.0, pressure=0.018)


def test_developed_widths_of_the_demo_stringer(hat):
    """Legs 75 and 100 mm: 414 and 464 mm, as the job's cut list asks."""
    assert [round(width) for width in hat.developed_widths] == [414, 464]


def test_demo_stringer_answers_what_the_job_asks(hat):
    found = assess_stringer(hat, LOAD)
    assert found.deflection_limit_mm == pytest.approx(4.5)
    assert found.deflection_mm < found.deflection_limit_mm
    assert all(m.holds for m in found.margins)
    assert {m.name.split(":")[0] for m in found.margins} == {
        "plate", "leg 1", "leg 2", "web", "crown", "cap", "web in shear",
        "web buckling in shear, former not counted", "web folding under compression and shear together, former not counted",
        "crown folding under compression, former not counted", "bond line under the tabbing"}
    # the web of two plies is 39 times as deep as thick: the rule's 30 is named, nothing is hidden
    assert not found.holds and "Web depth over thickness: 39" in found.sentence
    assert "1999" in found.sentence


def test_every_margin_shows_factor_rule_and_status(hat):
    table = assess_stringer(hat, LOAD).table()
    assert {"design factor [-]", "rule", "status", "verdict"} <= set(table.columns)
    assert table["rule"].str.len().min() > 5
    assert table["status"].str.contains("memory").any()


def test_cautions_are_carried(hat):
    cautions = assess_stringer(hat, LOAD).cautions
    assert COMPRESSION_CAUTION in cautions
    assert any("level C" in c for c in cautions) and any("licensed" in c for c in cautions)
    assert any("bw + 20 t" in c for c in cautions)


def test_rules_are_compared_for_a_pressure_only(hat):
    by_pressure = assess_stringer(hat, LOAD).rules_table()
    assert {"stiffener web area", "stiffener second moment", "web depth over thickness"} <= set(by_pressure["quantity"])
    force = assess_stringer(hat, StringerLoad(900.0, 460.0, force=3000.0))
    assert [c.requirement.name for c in force.rule_checks] == ["web depth over thickness"]


def test_unknown_strength_is_never_called_safe(hat):
    bare = replace(hat, plating=Schedule((SolidLayer("old bottom", 5.5, 8500.0),), {}))
    found = assess_stringer(bare, LOAD)
    assert "old bottom" in found.unchecked and not found.holds
    assert "no strength known" in found.sentence
    sized = size_stringer(bare, LOAD, plies=(3,), cap_layers=(3,), heights=(70.0,))
    assert sized.best is None and "Widen the grid" in sized.sentence


def test_stringer_without_any_strength_says_so():
    bare = Schedule((SolidLayer("sheet", 6.0, 9e3),), {})
    found = assess_stringer(Stringer("angle", bare, bare, 90.0, attached=200.0), LOAD)
    # elastic buckling needs no strength; nothing else can be said
    assert [m.name for m in found.margins] == ["web buckling in shear, former not counted",
                                               "free edge of the web folding under compression"]
    assert not found.holds and {"plate", "web"} <= set(found.unchecked) and "no strength known" in found.sentence


def test_sizing_says_how_many_combinations_and_whether_rules_counted(hat):
    found = size_stringer(hat, LOAD, plies=(2, 3), cap_layers=(0, 3), heights=(60.0,), use_rules=False)
    assert found.sentence.startswith("Of 4 combinations")
    assert "NOT asked for" in found.sentence
    assert list(found.table()["best"]).count("yes") == 1


def test_stitched_patch_is_stiffer_but_its_first_layer_fails_sooner_in_the_plane(job):
    panel, load = Panel(900.0, 460.0), PanelLoad(pressure=0.018)
    found = compare_repair(panel, load, jobs.schedule(job, "bottom_original"), jobs.schedule(job, "bottom_patch_stitched"))
    assert min(found.ratios["bending stiffness, along"], found.ratios["bending stiffness, across"]) > 1.0
    assert not found.equivalent and "force at first layer failure" in found.sentence
    assert any("crack in the resin" in c for c in found.cautions) and "cracks across its fibres" in found.sentence
    assert any("times the thickness" in c for c in found.original.cautions)
    assert "panel deflection [mm]" in list(found.table()["figure"])


@pytest.mark.parametrize("name", ["sole_plywood", "sole_board"])
def test_sole_options_of_the_demo(job, name):
    load = PanelLoad(force=1200.0, deflection_over=100.0, from_inside=True)
    found = assess_panel(Panel(1180.0, 460.0, edges="SSSS"), load, jobs.schedule(job, name))
    names = [m.name for m in found.margins]
    assert {"core in shear", "first skin wrinkling", "last skin wrinkling", "core crushed under the patch"} <= set(names)
    assert found.deflection_limit_mm == pytest.approx(4.6)
    assert any("not verified" in c for c in found.cautions)
    assert any("estimated error" in c for c in found.cautions)
    # at least the force over the perimeter of the patch and the depth of the wall
    assert found.core_shear > 1200 / 400 / found.schedule.structural_thickness_mm


def test_panel_without_strength_has_no_margin_and_does_not_hold():
    found = assess_panel(Panel(900.0, 460.0), PanelLoad(pressure=0.018), Schedule((SolidLayer("sheet", 6.0, 9e3),), {}))
    assert found.margins == () and found.least is None
    assert not found.holds and "no strength known" in found.sentence


def test_curvature_is_named_with_its_source():
    table = assess_panel(Panel(900.0, 460.0, rise=46.0, use_curvature=True), PanelLoad(pressure=0.018),
                         Schedule((SolidLayer("sheet", 6.0, 9e3),), {})).factors_table()
    assert table.loc[0, "clause"] == "ISO 12215-5:2008, Table 6" and table.loc[0, "value"] < 1


@pytest.mark.parametrize("change, words", [
    (dict(legs=(75.0,)), "one for every layer laid, here 2"), (dict(kind="box"), "must be one of hat"),
    (dict(kind="solid_core"), "as wide at the top"), (dict(former=None), "for a hat or a solid core"),
    (dict(cap_width=None), "needs a schedule and a width"), (dict(attached="own"), "must be one of"),
    (dict(height=-1.0), "height"), (dict(leg_sides=3), "must be 1 or 2")])
def test_stringer_messages(hat, change, words):
    with pytest.raises(InputError, match=words):
        assess_stringer(replace(hat, **change), LOAD)


@pytest.mark.parametrize("make, words", [
    (lambda: StringerLoad(900.0, 460.0), "pressure .* or a force"),
    (lambda: StringerLoad(900.0, 460.0, pressure=18.0), "0.018 for 18"),
    (lambda: StringerLoad(900.0, 460.0, pressure=0.01, ends="glued"), "one of fixed"),
    (lambda: PanelLoad(), "pressure .* or a force"), (lambda: PanelLoad(pressure=18.0), "0.018 for 18"),
    (lambda: Former(80.0, e=100.0), "shear modulus"), (lambda: Panel(0.0, 460.0), "panel length")])
def test_load_messages(make, words):
    with pytest.raises(InputError, match=words):
        make()


def test_panel_messages(job):
    wall = jobs.schedule(job, "bottom_original")
    with pytest.raises(InputError, match="wrinkling coefficient"):
        assess_panel(Panel(900.0, 460.0), PanelLoad(pressure=0.018), wall, wrinkling="own")
    with pytest.raises(InputError, match="another schedule"):
        compare_repair(Panel(900.0, 460.0), PanelLoad(pressure=0.018), wall, wall)
    with pytest.raises(InputError, match="E-glass"):
        carbon = jobs.catalogue(job).fibre("carbon")
        odd = replace(wall, fibres={"e_glass": carbon})
        assess_panel(Panel(900.0, 460.0), PanelLoad(pressure=0.018), odd)


def test_sizing_messages(hat):
    with pytest.raises(InputError, match="combinations"):
        size_stringer(hat, LOAD, plies=(), cap_layers=(1,), heights=(60.0,))
    with pytest.raises(InputError, match="cap layers"):
        size_stringer(replace(hat, cap=None, cap_width=None), LOAD, plies=(2,), cap_layers=(1,), heights=(60.0,))


def test_plate_solution_that_did_not_settle_is_never_called_safe(monkeypatch):
    sheet = jobs.schedule(jobs.load_demo(), "bottom_original")
    load = PanelLoad(pressure=0.001)
    settled = assess_panel(Panel(600.0, 400.0), load, sheet)
    assert all(m.holds for m in settled.margins) and settled.holds
    monkeypatch.setattr("lamcalc.parts.panel.WORST_ERROR", 1e-12)
    loose = assess_panel(Panel(600.0, 400.0), load, sheet)
    assert not loose.holds and "did not settle" in loose.sentence
