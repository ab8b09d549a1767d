"""Notebook 11: the page answers, the searches hold what was asked, every control of the panel moves what is shown."""

import re

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.samples import sampled_laminates
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.parts.transom import bending_stiffness
from lamcalc.shop import job as jobs
from lamcalc.shop.job_surer import (
    GROUPS,
    panel_search,
    panel_targets,
    same_fabrics,
    stock_plies,
    stringer_search,
    transom_odds,
    transom_shares,
    transom_study,
    transom_targets,
    uncertain_stringer,
    uncertain_transom,
)
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.studies.sensitivity import Swing, SwingResult
from lamcalc.studies.uncertainty import Quantity, run_uncertainty
from lamcalc.workbook import style
from lamcalc.workbook.page_surer import SurerPage
from lamcalc.workbook.plots_surer import move_target, spread_limits, spread_still, swing_axes

pytestmark = pytest.mark.behaviour
SYSTEMS = ("metric", "us")
PARTS = (
    "answer",
    "chances",
    "factors",
    "figure",
    "bottom_words",
    "bottom",
    "stringers_words",
    "stringers",
    "bands_words",
    "bands",
    "matters_words",
    "matters",
    "inputs",
    "reading",
    "check",
    "check_words",
    "cautions",
)


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


@pytest.mark.parametrize("system", SYSTEMS)
def test_every_part_of_the_page_answers(demo, system):
    page = SurerPage(demo, system=system)
    for name in PARTS:
        text = getattr(page, name)().data
        assert len(text) > 100 and "nan" not in re.sub(r'src="[^"]+"', "", text).lower().replace("resonan", ""), name
    assert re.search(r'alt="[^"]{40,}"', page.figure().data)
    words = page.inputs().data + page.reading().data
    assert "assumed" in words and "from memory" in words and "5 % and 95 % points" in words


def test_units_follow_the_system(demo):
    metric, us = (SurerPage(demo, system=system) for system in SYSTEMS)
    assert "kN m2/m" in metric.bands().data and "lbf in2/in" in us.bands().data
    assert "kg/m2" in metric.bottom().data and "lb/ft2" in us.bottom().data
    assert "mm" not in re.sub(r"\d+ x \d+ mm|\d+ mm cast|mat|mm2", "", us.bands().data)


def test_finds_reach_what_was_asked(demo):
    """Lightest and cheapest, worked out again: stiffness both ways and moments either way round, mat first."""
    wanted, old = panel_targets(demo, "bottom"), same_fabrics(demo, "bottom")
    for objective, value in (("mass", lambda s: s.areal_mass_kg_m2), ("cost", lambda s: s.cost_per_m2)):
        found = panel_search(demo, "bottom", objective)
        assert found.proved and found.best
        schedule = found.best[0].schedule
        x, y = bending_stiffness(schedule.laminate)
        assert x >= wanted.stiffness_x and y >= wanted.stiffness_y
        s, known = schedule.sublayers, schedule_strengths(schedule).plies
        ratio = sampled_laminates(
            s.e1, s.e2, s.nu12, s.g12, s.angle_deg, s.thickness_mm, strengths=known, M=np.array(wanted.moments)
        ).ratio
        assert (ratio >= 1 - 1e-9).all()
        assert value(schedule) < value(old)
        assert s.kind[0] == "csm" and "woven woven" not in " ".join(s.kind)


def test_the_original_meets_its_own_targets(demo):
    wanted, old = panel_targets(demo, "bottom"), jobs.schedule(demo, "bottom_original")
    s = old.sublayers
    ratio = sampled_laminates(
        s.e1,
        s.e2,
        s.nu12,
        s.g12,
        s.angle_deg,
        s.thickness_mm,
        strengths=schedule_strengths(old).plies,
        M=np.array(wanted.moments),
    ).ratio
    np.testing.assert_allclose(ratio, 1.0)


def test_stringers_of_the_grid(demo):
    sizing = stringer_search(demo)
    best = sizing.best
    assert best.holds and best.least.reserve_factor >= 1
    assert all(
        best.stringer.mass_kg_m <= r.stringer.mass_kg_m
        for r, ok in zip(sizing.results, sizing.passes, strict=True)
        if ok
    )


def test_targets_are_those_of_the_comparison(demo):
    found, targets = transom_comparison(demo), dict(transom_targets(demo))
    old = found.yardstick(found.options[-1])
    assert np.isclose(targets["turn"], old.worst_turn_mrad)
    assert np.isclose(targets["ei_up"], 0.95 * old.ei_up)


def test_a_refused_core_has_a_poor_chance_and_a_recommended_one_a_good_one(demo):
    comparison, odds = transom_comparison(demo), transom_odds(demo)
    for result, one in zip(comparison.options, odds, strict=True):
        core = next(c for c in one.chances if c.quantity.key == "core_margin")
        least = min(m.reserve_factor for m in result.strength.margins if m.name.startswith("core in shear"))
        # half of the samples lie on either side of the typical value
        assert (core.share > 0.5) == (least < 1)


def test_every_control_moves_the_panel(demo):
    panel = SurerPage(demo).panel()
    assert panel.problem.value == "" and panel.image.value and panel.numbers.value
    shown = panel.sentence.value
    for name, value in (
        ("share", 1.04),
        ("key", "core_margin"),
        ("option", "transom_board"),
        ("group", "the core"),
        ("samples", 100),
    ):
        panel.controls[name].widget.value = value
        assert panel.problem.value == "" and panel.sentence.value != shown, name
        shown = panel.sentence.value
    panel.switch.value = "us"
    assert panel.problem.value == ""
    panel.controls["key"].widget.value = "ei_up"
    assert "lbf in2/in" in panel.sentence.value


def test_the_same_settings_show_the_same_numbers(demo):
    one, other = SurerPage(demo).panel(), SurerPage(demo).panel()
    assert one.numbers.value == other.numbers.value and one.image.value == other.image.value


def test_what_does_not_vary_does_not_move(demo):
    core = transom_study(demo, "transom_board", "thickness", group="the core", samples=100)
    assert np.ptp(core.result.of("thickness")) == 0.0 and "Nothing that was varied changes" in core.swings.sentence
    keys = {item.key for item in uncertain_transom(demo, "transom_board").inputs}
    groups = [group for words, group in GROUPS.items() if words != "everything"]
    assert keys == {key for key in keys for group in groups if key.startswith(group)}


def test_messages(demo):
    with pytest.raises(InputError, match="transom option must be one of"):
        uncertain_transom(demo, "oak")
    with pytest.raises(InputError, match="what varies must be one of everything"):
        transom_study(demo, group="weather")
    with pytest.raises(InputError, match="share of the typical value must be greater than 0"):
        transom_study(demo, share=0.0, samples=100)
    with pytest.raises(InputError, match="result of the study must be one of"):
        transom_shares(demo, key="luck", samples=64)
    with pytest.raises(InputError, match="original of the panel must be named"):
        panel_targets(demo, "sole")
    assert {ply.resin.id for ply in stock_plies(demo)} == {"iso_polyester"}


def test_stringer_of_the_job_is_a_model(demo):
    found = run_uncertainty(uncertain_stringer(demo, margins=False), samples=20, seed=1)
    assert found.band("ei").low < found.band("ei").typical < found.band("ei").high


@pytest.mark.parametrize("target", [0.2, 1.3, 2.0, 7.0])
def test_axis_holds_samples_and_target(target):
    low, high = spread_limits([1.0, 1.5, 2.0], target)
    assert low < min(1.0, target) and high > max(2.0, target)


def test_pictures_by_hand():
    axes = style.new_figure()[1][0, 0]
    artists = spread_still(axes, np.linspace(0.0, 10.0, 1000), Quantity("r", "margin"), (-1.0, 11.0), "metric")
    move_target(*artists, 8.0, False)
    assert abs(sum(bar.get_height() for bar in axes.patches if bar.get_hatch() == "//") - 20.0) < 4.0
    move_target(*artists, 2.0, True)
    missed = [bar for bar in axes.patches if bar.get_hatch() == "//"]
    assert all(bar.get_x() < 2.0 for bar in missed) and artists[-1].get_xdata() == [2.0, 2.0]
    assert abs(sum(bar.get_height() for bar in missed) - 20.0) < 4.0
    assert axes.get_xlabel() == "margin [-]" and axes.get_ylabel() == "share of the samples [%]"
    swings = SwingResult(
        Quantity("r", "margin"),
        2.0,
        (Swing("a", "core (foam)", 1, 2, 1.5, 2.8), Swing("b", "mat", 1, 2, 2.1, 1.9)),
        (0.1, 0.9),
    )
    swing_axes(axes, swings, "metric")
    ends = sorted(round(bar.get_x() + bar.get_width(), 6) for bar in axes.patches)
    assert ends == [1.5, 1.9, 2.1, 2.8]
    assert [label.get_text() for label in axes.get_yticklabels()] == ["core", "mat"]


def test_the_stock_is_laid_in_the_resin_of_the_job(demo):
    plies = {f"schedules.{name}.layers[{k}].resin": "vinyl_ester" for name in demo.schedules
             for k, entry in enumerate(demo.schedules[name].layers) if entry.kind == "ply"}
    assert {ply.resin.id for ply in stock_plies(jobs.update(demo, plies))} == {"vinyl_ester"}


def test_a_transom_without_its_old_build_says_what_is_missing(demo):
    job = jobs.update(demo, {"parts.transom.original": None})
    with pytest.raises(InputError, match="parts.transom.original is needed for the comparison: the schedule of what came out"):
        transom_targets(job)
