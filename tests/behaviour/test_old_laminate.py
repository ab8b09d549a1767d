"""An old laminate of which only the thickness, the burn-off and the look of its glass are known."""

import csv
from pathlib import Path

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.parts.layer_strength import evidence, schedule_strengths
from lamcalc.parts.old_laminate import measured_layer
from lamcalc.schedule import Ply, Schedule
from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.job_panel import panel_repair
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_text import read
from lamcalc.shop.whole_job import unverified_inputs
from lamcalc.studies.replacement import replace_like_with_like
from lamcalc.studies.search_model import make_palette
from lamcalc.workbook.editor import schedule_editor
from lamcalc.workbook.page_surer import SurerPage

SHOP = catalogue.load()
OUTER = ('name = "outer skin as found", thickness_mm = 4.567, e_mpa = 8500, density_kg_m3 = 1470, status = "assumed"',
         'name = "outer skin as found", thickness_mm = 4.567, {}')
KNOWN = 'glass_fraction = 0.30, glass_kind = "mat", status = "measured"'


def printed(number):
    """A published value of marine.csv by its number: ISO 12215-5:2008, Table H.1."""
    with open(Path(__file__).parents[1] / "published" / "marine.csv", encoding="utf-8", newline="") as handle:
        return next(float(row["expected"]) for row in csv.DictReader(handle) if row["id"] == number)


def entered(fields):
    """The demo whose transom's old outer skin is known by these fields."""
    text = jobs.load_demo().text
    assert OUTER[0] in text
    return read(text.replace(OUTER[0], OUTER[1].format(fields), 1))


def bottom(thickness, fraction, kind):
    """The demo whose old bottom is one measured laminate of that glass content."""
    text = jobs.load_demo().text
    head, tail = text.split("[schedules.bottom_original]", 1)
    block, rest = tail.split("\n[", 1)
    layer = (f'kind = "solid", name = "old bottom", thickness_mm = {thickness!r}, glass_fraction = {fraction}, '
             f'glass_kind = "{kind}", status = "measured"')
    table = f'[schedules.bottom_original]\ntitle = "Bottom"\nexisting = true\nlayers = [{{ {layer} }}]\n\n['
    return read(head + table + rest)


def test_stiffness_and_strength_are_those_of_the_printed_rows():
    old = jobs.schedule(entered(KNOWN), "transom_original").layers[1]
    assert old.strengths_mpa[0] == pytest.approx(printed("MS038"), abs=0.5)
    assert old.strengths_mpa[1] == pytest.approx(printed("MS040"), abs=0.5)
    thick = 0.5 / 3.072 * (2.56 / 0.48 - 1.36)  # ISO 12215-5:2008: t = w/3.072 (2.56/psi - 1.36), w in kg/m2, as for MS013
    layer = jobs.schedule(bottom(thick, 0.48, "woven"), "bottom_original").layers[0]
    assert layer.e1 * layer.thickness_mm == pytest.approx(printed("MS013"), rel=0.0005)
    assert layer.density_kg_m3 == pytest.approx(1 / (0.48 / 2560 + 0.52 / 1200))


@pytest.mark.parametrize(("fabric", "kind"), [("csm_450", "mat"), ("wr_600", "woven")])
@pytest.mark.parametrize("fraction", [0.28, 0.35, 0.42])
def test_it_equals_the_same_plies_at_the_same_thickness_and_glass_content(fabric, kind, fraction):
    ply = Ply(SHOP.reinforcement(fabric), SHOP.resin("ortho_polyester"), SHOP.process("hand"), count=5, glass_fraction=fraction)
    plies = Schedule((ply,), SHOP.fibres, property_model="small_craft")
    old = jobs.schedule(bottom(plies.total_thickness_mm, fraction, kind), "bottom_original")
    for one, other in ((old.laminate.A, plies.laminate.A), (old.laminate.D, plies.laminate.D)):
        assert np.allclose(one, other, rtol=1e-9, atol=1e-6 * other.max())
    assert old.areal_mass_kg_m2 == pytest.approx(plies.areal_mass_kg_m2, rel=1e-9)
    assert old.sublayers.g_xz[0] == pytest.approx(plies.sublayers.g_xz[0], rel=1e-9)
    one, other = schedule_strengths(old), schedule_strengths(plies)
    for name in ("xt", "xc", "yt", "yc", "s"):
        assert getattr(one.plies, name)[0] == pytest.approx(getattr(other.plies, name)[0], rel=1e-9)
    assert one.interlaminar[0] == pytest.approx(other.interlaminar[0], rel=1e-9)
    assert evidence(old) == evidence(plies)


def test_mixed_glass_lies_between_mat_and_rovings():
    mat, mixed, woven = (jobs.schedule(bottom(6.0, 0.4, kind), "bottom_original").laminate.D[0, 0]
                         for kind in ("mat", "mixed", "woven"))
    assert woven < mixed < mat


@pytest.mark.parametrize(("fields", "field", "rule", "next_step"), [
    ('e_mpa = 8500, density_kg_m3 = 1470, glass_fraction = 0.3, glass_kind = "mat", status = "assumed"', "glass_fraction",
     "cannot stand beside e_mpa [-]", "keep the one that was measured"),
    ('density_kg_m3 = 1470, status = "assumed"', "e_mpa", "is missing [MPa]", "glass_fraction and glass_kind"),
    ('glass_fraction = 0.3, status = "measured"', "glass_kind",
     "is missing although glass_fraction is given [-]", '"mat", "woven" or "mixed"'),
    ('glass_kind = "mat", e_mpa = 8500, density_kg_m3 = 1470, status = "measured"', "glass_kind",
     "cannot stand without glass_fraction", "burn-off"),
    ('glass_fraction = 35, glass_kind = "mat", status = "measured"', "glass_fraction",
     "fraction between 0 and 1", "write 0.35 for 35 %"),
    ('glass_fraction = 0.12, glass_kind = "mat", status = "measured"', "glass_fraction", "0.14 and 0.75", "burn-off"),
    ('glass_fraction = 0.3, glass_kind = "mat", e2_mpa = 8000, status = "measured"', "e2_mpa",
     "cannot stand beside glass_fraction", "take it out"),
    ('glass_fraction = 0.3, glass_kind = "carbon", status = "measured"', "glass_kind", "must be one of", "choose"),
    ('e_mpa = 8500, status = "assumed"', "density_kg_m3", "is missing [kg/m3]", "add"),
])
def test_what_contradicts_or_lacks_is_refused(fields, field, rule, next_step):
    with pytest.raises(jobs.JobError) as caught:
        entered(fields)
    (problem,) = caught.value.problems
    assert problem.field == f"schedules.transom_original.layers[1].{field}" and problem.line
    assert rule in str(problem) and next_step in str(problem)


def test_a_measured_layer_is_the_same_both_ways_and_bears_its_name():
    """One line of modulus, E = 38000 psi - 5000 [MPa]: at 0.35 8300, along and across; without materials 1500 kg/m3."""
    layer = measured_layer(5.0, 0.35, name="old deck")
    assert (layer.name, layer.e1, layer.e2) == ("old deck", pytest.approx(8300), pytest.approx(8300))
    assert measured_layer(5.0, 0.35, fibre=SHOP.fibre("e_glass")).density_kg_m3 == 1500  # nobody knows the resin
    assert layer.density_kg_m3 == 1500 and measured_layer(5.0, 0.35).name == "old laminate"
    assert jobs.schedule(entered(KNOWN), "transom_original").layers[1].name == "outer skin as found"
    with pytest.raises(InputError, match=r"old thickness must be greater than 0 \[mm\]; received -5"):
        measured_layer(-5.0, 0.35)


def test_a_density_that_was_weighed_is_kept():
    known = KNOWN + ", density_kg_m3 = 1510"
    assert jobs.schedule(entered(known), "transom_original").layers[1].density_kg_m3 == 1510


def test_it_says_that_a_regression_stands_behind_it():
    job = bottom(5.95, 0.35, "mixed")
    assert evidence(jobs.schedule(job, "bottom_original")) == (frozenset({"small-craft regressions"}),) * 2
    rows = [row for row in unverified_inputs(job, "bottom") if "old bottom" in row.what]
    assert len(rows) == 1 and rows[0].status == "from regression"
    assert "glass content 0.35" in str(rows[0]) and "mat and rovings mixed" in str(rows[0]) and "8.3 GPa" in str(rows[0])
    assert "GPa" not in told(rows[0].words, "us")
    # 38000 x 0.348 - 5000 = 8224 MPa, told to three digits
    (row,) = [row for row in unverified_inputs(bottom(5.95, 0.348, "mat"), "bottom") if "old bottom" in row.what]
    assert ": stiffness and strength from its glass content 0.348, mat only, by regression: modulus 8.22 GPa (" in str(row)
    came_out = [row for row in unverified_inputs(entered(KNOWN), "transom") if row.status == "from regression"]
    assert [row.what for row in came_out] == ["transom_original, layer 2, outer skin as found"]


def test_the_transom_and_the_panel_take_it_as_original():
    transom = job_pages(entered(KNOWN))
    assert "transom_comparison.html" in transom.texts and not transom.problems
    panel = panel_repair(bottom(5.95, 0.35, "mixed"), "bottom")
    assert min(panel.ratios.values()) > 0  # strength included: nan is not above 0
    page = job_pages(bottom(5.95, 0.35, "mixed"))
    assert "from regression" in page.texts["sheet_bottom.html"]
    assert not page.problems


def test_like_is_replaced_with_like():
    old = jobs.schedule(bottom(5.95, 0.35, "mat"), "bottom_original")
    mats = [Ply(SHOP.reinforcement(name), SHOP.resin("iso_polyester"), SHOP.process("hand")) for name in ("csm_450", "wr_600")]
    found = replace_like_with_like(old, make_palette(mats, SHOP.fibres, property_model="small_craft"))
    assert found.result.best and len(found.old_moments) == 4


def test_the_editor_tells_what_stands_for_the_modulus(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    editor = schedule_editor(bottom(5.95, 0.35, "mixed"), "bottom_original")
    editor.layers.value = 0
    assert "from its glass content 0.35, mat and rovings mixed, by regression: modulus 8.3" in editor.hint.value
    editor.fields["thickness_mm"].value = 6.5
    assert editor.problem.value == "" and editor.entries[0].thickness_mm == 6.5 and editor.entries[0].glass_fraction == 0.35
    saved = jobs.save(editor.state.job, tmp_path / "old.toml")
    assert jobs.load(tmp_path / "old.toml").schedules == saved.schedules


@pytest.mark.parametrize("kind", ["mat", "woven", "mixed"])
def test_the_page_of_lighter_and_cheaper_builds_compares_with_it(kind):
    page = SurerPage(bottom(5.95, 0.33, kind))
    assert "nobody knows the fabrics of the original" in page.answer().data
    assert "as found, fabrics not known" in page.bottom().data and "0.00" not in page.bottom().data
    assert page.bottom_words().data
