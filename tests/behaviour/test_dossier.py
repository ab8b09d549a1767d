"""The dossier of notebook 12: complete, from the tests' own data, honest about what differs, and filtered as asked."""

import csv
import re
import shutil

import pytest

from lamcalc.errors import InputError
from lamcalc.workbook import page_dossier
from lamcalc.workbook.page_dossier import CHECKOUT, DossierPage, number_text, row_table, runner
from lamcalc.workbook.plots_dossier import GROUPS, group_of, topic_of

pytestmark = pytest.mark.behaviour
PUBLISHED = CHECKOUT / "tests" / "published"


@pytest.fixture(scope="module")
def page():
    return DossierPage()


def raw_rows():
    for name in ("mechanics", "marine", "shop"):
        with open(PUBLISHED / f"{name}.csv", newline="", encoding="utf-8") as handle:
            yield from csv.DictReader(handle)


def test_every_row_of_the_files_is_there_once(page):
    assert [row.id for row in page.rows] == [row["id"] for row in raw_rows()]
    assert len({row.id for row in page.rows}) == len(page.rows) > 450
    shown = page.everything().data
    assert shown.count("<tr") == len(page.rows) + 1
    assert all(f">{row.id}<" in shown for row in page.rows)


def test_every_row_has_a_source_a_status_and_a_number(page):
    for row in page.rows:
        assert row.source.strip() and group_of(row.status) in GROUPS, row.id
        assert not re.search(r"\bS\d\d\b", row.source + row.quantity), row.id
        assert float(number_text(row)) == pytest.approx(row.computed, rel=1e-5, abs=row.bounds[1] - row.bounds[0]), row.id


def test_rows_from_memory_are_labelled_unverified(page):
    table = row_table(page.rows).set_index("row")
    for raw in raw_rows():
        assert ("unverified" in table.loc[raw["id"], "status"]) == (raw["status"] == "from memory"), raw["id"]


def test_all_agree_and_the_answer_counts_them(page):
    assert all(row.agrees for row in page.rows)
    answer = page.answer().data
    assert f"{len(page.rows)} numbers" in answer and "every one agrees" in answer
    memory = sum(raw["status"] == "from memory" for raw in raw_rows())
    assert f"{memory} are remembered" in answer


@pytest.mark.parametrize("name, old, new", [
    ("mechanics", ",11.5,g/cm3", ",11.6,g/cm3"), ("marine", ",1.035,mm", ",1.038,mm"), ("shop", ",203,204,g/m2", ",204,205,g/m2")])
def test_a_changed_printed_value_shows_as_a_difference(tmp_path, name, old, new):
    for file in ("mechanics", "marine", "shop"):
        shutil.copy(PUBLISHED / f"{file}.csv", tmp_path)
    text = (tmp_path / f"{name}.csv").read_text(encoding="utf-8")
    assert old in text
    (tmp_path / f"{name}.csv").write_text(text.replace(old, new, 1), encoding="utf-8")
    changed = DossierPage(runner().published_rows(tmp_path))
    wrong, = (row for row in changed.rows if not row.agrees)
    assert wrong.in_tolerances > 1 and "1 do NOT agree" in changed.answer().data and wrong.id in changed.answer().data
    assert changed.chosen(special="differs") == (wrong,)


def test_a_refuted_claim_that_came_true_would_show(page):
    claim = next(row for row in page.rows if row.rule == "refuted")
    true = runner().check_row(claim.file, claim.raw | {"low": str(claim.computed - 1), "high": str(claim.computed + 1)})
    assert claim.agrees and not true.agrees


def test_cut_off_digits_are_told_and_rounded_ones_are_not_taken_for_them(page):
    row = next(row for row in page.rows if row.id == "M6-18")
    assert row.agrees and row.rule == "cut off" and "cut off" in row.note and "M6-18" in page.special().data
    assert not runner().check_row(row.file, row.raw | {"expected": "1.0161e-16"}).agrees
    assert not runner().check_row(row.file, row.raw | {"expected": "1.0163e-16"}).agrees


def test_the_change_made_on_purpose_shows_in_the_check(page):
    assert re.findall(r">(yes|NO)</td></tr>", page.check().data) == ["yes", "NO"]


def test_disagreements_are_those_of_the_developer_page(page):
    points = runner().known_disagreements()
    text = (CHECKOUT / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert len(points) > 8 and all(f"* {point}\n" in text for point in points)
    assert page.disagreements().data.count("<li>") == len(points)


def test_filters(page):
    panel = page.panel()
    assert panel.problem.value == "" and f"{len(page.rows)} rows" in panel.sentence.value
    panel.controls["topic"].widget.value = "mechanics: sandwich"
    rows = [row for row in page.rows if topic_of(row) == "mechanics: sandwich"]
    assert f"{len(rows)} rows" in panel.sentence.value and panel.numbers.value.count("<tr>") == len(rows) + 1
    panel.controls["status"].widget.value = "source seen"
    seen = [row for row in rows if row.status.startswith("source seen")]
    assert 0 < len(seen) < len(rows) and panel.numbers.value.count("<tr>") == len(seen) + 1
    panel.controls["special"].widget.value = "noted"
    noted = [row for row in seen if row.note]
    assert 0 < len(noted) < len(seen) and panel.numbers.value.count("<tr>") == len(noted) + 1
    panel.controls["word"].widget.value = "MANUALS print"
    assert panel.numbers.value.count("<tr>") == 2 and "13350" in panel.numbers.value
    before = panel.image.value
    panel.controls["special"].widget.value = "differs"
    assert "none to show" in panel.sentence.value and panel.numbers.value.count("<tr>") == 1 and panel.image.value != before


def test_a_long_choice_shows_what_lies_farthest_from_the_printed_value(page):
    panel = page.panel()
    shown = [row.id for row in page.rows if f">{row.id}<" in panel.numbers.value]
    assert len(shown) == panel.numbers.value.count("<tr") - 1 == page_dossier.MOST_ROWS
    assert "30 that lie farthest" in panel.sentence.value
    left = [row for row in page.rows if row.id not in shown]
    nearest = min(row.in_tolerances for row in page.rows if row.id in shown and row.rule != "refuted")
    assert all(row.agrees and (row.rule == "refuted" or row.in_tolerances <= nearest) for row in left)
    near = next(row for row in left if row.rule == "value")
    wrong = runner().check_row(near.file, near.raw | {"expected": "98765"})
    changed = [wrong if row is near else row for row in page.rows]
    assert not wrong.agrees and wrong in page_dossier.farthest(changed)


def test_a_whole_file_can_be_chosen(page):
    assert [row.file for row in page.chosen("shop")] == ["shop"] * sum(row.file == "shop" for row in page.rows)


def test_picture_counts_its_rows(page):
    assert re.search(rf'alt="Dots for {len(page.rows)} check rows', page.figure().data)


def test_without_the_checkout_there_is_a_sentence(tmp_path):
    with pytest.raises(InputError, match="open this notebook from a checkout"):
        runner(tmp_path)


def test_repeat_command_names_a_file():
    assert (CHECKOUT / page_dossier.FEM_COMMAND.split()[-1]).is_file()


def test_the_panel_shows_every_part_once_rows_before_dots_and_no_unit_switch(page):
    panel = page.panel()
    children = list(panel.box.children)
    assert children.count(panel.view) == 1 and panel.switch not in children
    for part in (panel.sentence, panel.numbers, panel.image):
        assert part.value and panel.view.value.count(part.value) == 1
    assert panel.view.value.index("<table") < panel.view.value.index("<img")
    assert any("data-lm-suppress-shortcuts" in getattr(child, "value", "") for child in children if hasattr(child, "value"))


def test_no_row_that_disagrees_is_good_news_and_no_error(page):
    panel = page.panel()
    panel.controls["special"].widget.value = "differs"
    assert panel.problem.value == "" and "agrees" in panel.sentence.value
    panel.controls["word"].widget.value = "no such word"
    assert "must leave a row" in panel.problem.value
