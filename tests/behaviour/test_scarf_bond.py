"""The bond of a scarf under the load of its panel: statics by hand, a margin only where the shop knows its bonds."""

import pytest

from lamcalc.errors import InputError
from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.handover import handover_page
from lamcalc.shop.job_joints import job_joints
from lamcalc.shop.job_panel import panel_repair, panel_result, panel_variant
from lamcalc.shop.whole_job import part_work, whole_job
from lamcalc.workbook.page_panel import PanelPage

pytestmark = pytest.mark.behaviour
NAME = "bond of the scarf, average shear"


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


def known(job, allowable=4.0, **changes):
    return jobs.update(job, {"parts.bottom.repair.bond_allowable_mpa": allowable, **changes})


def bond(margins):
    return next((margin for margin in margins if margin.name == NAME), None)


def test_the_stress_is_that_of_one_piece_under_the_largest_moment(demo):
    found = panel_result(demo, "bottom")
    t = found.schedule.structural_thickness_mm
    assert found.skin_stress == pytest.approx(max(found.moments[0], found.moments[1]) / (t * t / 6))
    sole = panel_result(demo, "sole", "sole_board")
    assert sole.skin_stress == max(sole.facing_stress)


def test_the_margin_is_equilibrium_of_the_inclined_cut(demo):
    found = panel_result(known(demo), "bottom")
    # a cut of 12 : 1: force s t along it over its length t sqrt(145), resolved along the cut: s * 12 / 145
    shear = found.skin_stress * 12 / 145
    assert bond(found.margins).demand == pytest.approx(shear)
    assert bond(found.margins).reserve_factor == pytest.approx(4.0 / shear)
    gentle = panel_result(known(demo, **{"parts.bottom.repair.scarf_ratio": 20}), "bottom")
    assert bond(gentle.margins).demand == pytest.approx(shear / (12 / 145) * 20 / 401)


def test_a_weak_bond_decides_everywhere(demo):
    weak = known(demo, 0.05)
    work = part_work(weak, "bottom")
    assert not bond(work.margins).holds and min(work.margins, key=lambda m: m.reserve_factor).name == NAME
    assert bond(panel_repair(weak, "bottom").repair.margins) and not bond(panel_repair(weak, "bottom").original.margins)
    doubled = panel_variant(weak, "bottom", None, pressure=2 * panel_result(weak, "bottom").load.pressure)
    assert bond(doubled.margins).demand == pytest.approx(2 * bond(work.margins).demand, rel=1e-6)
    assert NAME in PanelPage(weak).patch_margins().data


def test_without_an_allowable_the_sheet_tells_the_shear_and_that_nobody_knows(demo):
    assert bond(part_work(demo, "bottom").margins) is None
    note = next(f for f in job_joints(demo, "bottom").scarf.findings if f.subject == "scarf bond")
    shear = panel_result(demo, "bottom").skin_stress * 12 / 145
    assert note.severity == "note" and f"{shear:.2g} MPa" in told(note.text, "metric") and "not among the margins" in told(note.text, "metric")
    page, knowing = (handover_page(whole_job(job)) for job in (demo, known(demo)))
    assert "nobody entered what it may carry" in page and "nobody entered what it may carry" not in knowing
    assert " psi" in told(note.text, "us") and " MPa" not in told(note.text, "us")
    held = next(f for f in job_joints(known(demo), "bottom").scarf.findings if f.subject == "scarf bond")
    assert "nobody" not in told(held.text, "metric")


def test_a_panel_without_a_scarf_has_no_bond(demo):
    assert not [f for f in panel_result(demo, "sole").margins if f.name == NAME]
    assert job_joints(demo, "sole").scarf is None


def test_no_bond_is_stronger_than_glass(demo):
    with pytest.raises(InputError, match="bond"):
        known(demo, 300.0)
