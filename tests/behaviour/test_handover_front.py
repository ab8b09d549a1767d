"""The first page of the handover: every part with its layers, margin, verdict, open points and doubts."""

import re
from dataclasses import replace

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.handover import handover_page
from lamcalc.shop.handover_front import front_table, open_points, put_in, subjects, unverified_table
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_words import Words, short_name
from lamcalc.shop.whole_job import Unverified, whole_job

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def whole():
    return whole_job(jobs.load_demo())


def front_of(page):
    """Mark-up of the first page."""
    return page[page.index('<div class="front">'):page.index('<h2 class="break">')]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_every_layer_stands_on_the_first_page_in_its_order(whole, system):
    words = Words(system)
    for work, row in zip(whole.parts, front_table(whole.job, whole.parts, words).rows, strict=True):
        layers = sheet_layers(whole.job, work.take_off)
        told = []
        for count, name in re.findall(r"(?:(?<=: )|(?<= \+ ))(?:(\d+) x )?(.+?)(?= \+ |; \w|$)", row[1]):
            told += [name] * int(count or 1)
        assert len(told) == len(layers)
        for name, item in zip(told, layers, strict=True):
            assert name.startswith(short_name(item.layer, words))
        assert row[1].count("there already") == any(item.existing for item in layers)
        assert words.one(work.take_off.mass_kg, "mass", "kg") in row[2] or work.take_off.mass_kg < 1


def test_a_turned_ply_is_told_as_turned(whole):
    job = jobs.load_demo()
    work = next(work for work in whole.parts if work.name == "bottom")
    layers = list(sheet_layers(job, work.take_off))
    layers[1] = replace(layers[1], layer=replace(layers[1].layer, angle_deg=90.0))
    assert "woven roving 600 g/m2, turned 90 deg + mat" in put_in(layers, Words("metric"))


def test_margin_verdict_and_shortfall_of_every_part_stand_on_the_first_page(whole):
    rows = front_table(whole.job, whole.parts, Words("metric")).rows
    points = open_points(whole.parts, "metric")
    for work, row in zip(whole.parts, rows, strict=True):
        least = min(work.margins, key=lambda margin: margin.reserve_factor)
        assert row[3] == f"{least.reserve_factor:.2f}, {least.name}: {least.verdict}"
        lost, missed = work.failed
        mine = [line for line in points if line.startswith(work.title)]
        unlike = work.quality is not None and work.quality.report.worst != "accept"
        assert len(mine) == bool(lost or missed or work.unchecked or work.against or work.problems or unlike)
        for name in [margin.name for margin in lost] + [check.requirement.name for check in missed]:
            assert name in mine[0]
    page = front_of(handover_page(whole))
    assert "Settle before the craft goes out" in page and "No open point" not in page


def test_a_part_without_a_margin_or_with_something_unchecked_never_passes_for_sound(whole):
    sound = next(work for work in whole.parts if work.name == "sole")
    assert open_points([sound], "metric") == []
    blind = replace(sound, margins=())
    assert "no margin could be computed" in open_points([blind], "metric")[0]
    assert front_table(whole.job, [blind], Words("metric")).rows[0][3] == "NONE COMPUTED"
    unsure = replace(sound, unchecked=("core in bending",))
    assert "not checked: core in bending" in open_points([unsure], "metric")[0]
    assert "No open point" in front_of(handover_page(replace(whole, parts=(sound,))))
    for work in (blind, unsure):
        assert "No open point" not in front_of(handover_page(replace(whole, parts=(work,))))
    told = front_of(handover_page(replace(whole, parts=(sound,)), problems=("No sheet for hull",)))
    assert "No open point" not in told and "No sheet for hull" in told


def test_readings_tell_on_the_first_page_how_it_came_out(whole):
    rows = dict(zip((work.name for work in whole.parts), front_table(whole.job, whole.parts, Words("metric")).rows, strict=True))
    transom, sole = whole.parts[0], whole.parts[3]
    assert (rows["transom"][4], rows["sole"][4]) == ("watch", "not measured")
    (point,) = open_points([transom], "metric")
    assert point.endswith("; as built: watch, see the details: burn-off.") and "check the entry: The thrust taken is 2100 N" in point
    good = replace(transom.quality.report, checks=tuple(c for c in transom.quality.report.checks if c.verdict == "accept"))
    assert open_points([replace(transom, quality=replace(transom.quality, report=good), doubts=())], "metric") == []
    job = whole.job.model_copy(update={"as_built": {"sole": whole.job.as_built["transom"]}})
    assert front_table(job, [sole], Words("metric")).rows[0][4] == "READINGS NOT USED"


def test_doubts_are_counted_and_named_by_subject(whole):
    for work, row in zip(whole.parts, unverified_table(whole.parts).rows, strict=True):
        assert row[1].startswith(f"{len(work.unverified)} values: ")
        least = min(work.margins, key=lambda margin: margin.reserve_factor)
        assert ("design factor" in row[1]) == least.factor.unverified
    rows = [Unverified(what, "1", "assumed", "job file") for what in (
        "Wall", "Wall, edges", "inner, layer 3", "can of gel coat", "can of epoxy", "survey, tap", "survey, moisture",
        "glass content of ud in stitched +-45 (805 g/m2), 1708", "cast core 640 kg/m3 (40 lb/ft3), resin: density",
        "cast core 640 kg/m3 (40 lb/ft3), resin: modulus", "wet-out rate of one person", "density of cured epoxy")]
    assert subjects("Wall", rows) == ("load; edges; inner, layer 3; can of gel coat, epoxy; survey readings; glass content in 1708; "
                                      "cast core: density, modulus; shop habits: wet-out rate; density of cured epoxy")
    nothing = replace(whole.parts[3], unverified=())
    assert "take every figure as unverified" in unverified_table([nothing]).rows[0][1]


def test_what_was_not_opened_and_who_answers_stand_on_the_first_page(whole):
    page = front_of(handover_page(whole)).replace("\N{NO-BREAK SPACE}", " ")
    for words in ("Not opened, Transom rebuild", "26 of 56 grid places", "promises no strength", "handed over by, signature",
                  "taken over by, signature", "not done, and why:", "tap over every repair", "licensed"):
        assert words in page, words
