"""What a search says: input errors, stopping, proof of impossibility, replacement ratios."""

import threading

import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.parts.panel import Panel, PanelLoad
from lamcalc.parts.stringer import Former, Stringer, StringerLoad
from lamcalc.parts.old_laminate import measured_layer
from lamcalc.schedule import CoreLayer, Ply, Schedule, SolidLayer
from lamcalc.studies.replacement import replace_like_with_like
from lamcalc.studies.search import panel_targets, search_caps, search_sandwich, search_single_skin
from lamcalc.studies.search_model import Targets, make_palette

pytestmark = pytest.mark.behaviour

SHOP = catalogue.load()
RESIN, HAND = SHOP.resin("iso_polyester"), SHOP.process("hand")
MAT, ROVING = (Ply(SHOP.reinforcement(k), RESIN, HAND) for k in ("csm_450", "wr_600"))
STOCK = make_palette([MAT, ROVING], SHOP.fibres)


@pytest.mark.parametrize("call, words", [
    (lambda: make_palette([], SHOP.fibres), "at least one layer"),
    (lambda: make_palette([Ply(SHOP.reinforcement("csm_450"), RESIN, HAND, count=2)], SHOP.fibres), "must be laid once"),
    (lambda: Targets(stiffness_x=-1), "greater than 0"),
    (lambda: Targets(margin=2.0), "must not be zero"),
    (lambda: Targets(moments=(1.0, 2.0)), "Mx, My, Mxy"),
    (lambda: Targets(thickness_mm=(5, 3)), "smaller to a larger"),
    (lambda: Targets(glass_share=(30, 40)), "fraction between 0 and 1"),
    (lambda: search_single_skin(STOCK, Targets(), objective="weight"), "mass, cost, layers"),
    (lambda: search_single_skin(STOCK, Targets(), layers=(4, 3)), "least and a most"),
    (lambda: search_sandwich(STOCK, Targets()), "at least one core"),
    (lambda: search_single_skin(make_palette([SolidLayer("plate", 3.0, 9e3)], SHOP.fibres),
                                Targets(margin=1.0, moments=(1, 0, 0))), "known strength"),
    (lambda: search_single_skin(make_palette([MAT, CoreLayer(SHOP.core("pu_board_416"), 9.0)], SHOP.fibres), Targets()),
     "fabrics only"),
    (lambda: search_sandwich(make_palette([MAT] * 5 + [CoreLayer(SHOP.core("pu_board_416"), 9.0)], SHOP.fibres),
                             Targets(), layers=(1, 9)), "too many sequences of a skin"),
    (lambda: panel_targets(Panel(900, 460, edges="SSSS"), PanelLoad(pressure=0.02)), "clamped all round"),
    (lambda: panel_targets(Panel(900, 460), PanelLoad(pressure=0.02, force=500.0)), "pressure alone"),
])
def test_wrong_input_is_refused_in_words(call, words):
    with pytest.raises(InputError, match=words):
        call()


def test_stopped_before_anything_is_not_proved():
    stop = threading.Event()
    stop.set()
    result = search_single_skin(STOCK, Targets(stiffness_x=2e5), stop=stop)
    assert result.stopped and not result.proved and not result.best
    assert "nothing is proved" in result.sentence


def test_progress_is_called_and_can_stop():
    seen = []
    result = search_single_skin(STOCK, Targets(stiffness_x=1e4), best=30, layers=(1, 8),
                                progress=lambda done, total, found: seen.append((done, total, found)) or found < 5)
    assert result.stopped and 5 <= len(result.best) < 30 and seen
    assert "ranking behind it" in result.sentence


def test_impossible_names_the_target_in_the_way():
    result = search_single_skin(STOCK, Targets(stiffness_x=1e9, thickness_mm=(1, 20)), layers=(1, 6))
    assert result.proved and not result.best and [name for name, _ in result.obstacles] == ["stiffness_x"]
    assert "this is proved" in result.sentence and "stiffness x" in result.sentence


def test_table_has_units():
    columns = search_single_skin(STOCK, Targets(stiffness_x=1e5)).table().columns
    assert {"mass [kg/m2]", "thickness [mm]", "1/d11 [N mm]"} <= set(columns)


@pytest.mark.parametrize("old", [Schedule((MAT, ROVING, MAT), SHOP.fibres),
                                 Schedule((measured_layer(5.0, 0.35),), SHOP.fibres)], ids=["schedule", "measured"])
def test_replacement_equals_or_betters_the_old_one(old):
    answer = replace_like_with_like(old, STOCK)
    table = answer.table()
    assert len(table) and answer.result.proved
    assert (table.filter(like="new/old") >= 1 - 1e-8).all().all()
    # whole grams decide: sums of floats differ in their last digit between orders
    masses = [one.key[0] for one in answer.result.best]
    assert masses == sorted(masses)


def test_the_old_schedule_itself_is_among_the_answers():
    old = Schedule((MAT, ROVING, MAT), SHOP.fibres)
    answer = replace_like_with_like(old, STOCK, layers=(3, 3))
    assert any(sorted(k.reinforcement.id for k in one.layers) == ["csm_450", "csm_450", "wr_600"]
               for one in answer.result.best)


def test_unknown_old_strength_is_said():
    old = Schedule((SolidLayer("old skin", 4.0, 8e3),), SHOP.fibres)
    assert "NOT strength" in replace_like_with_like(old, STOCK).sentence


def test_the_answer_says_what_was_not_checked():
    bare = search_single_skin(STOCK, Targets(stiffness_x=1e5))
    assert "Strength was NOT a target" in bare.sentence and "wrinkling" not in bare.sentence
    strong = search_single_skin(STOCK, Targets(margin=1.0, moments=(10.0, 0.0, 0.0)))
    assert "from memory, unverified" in strong.sentence and "NOT a target" not in strong.sentence
    wall = search_sandwich(make_palette([MAT, CoreLayer(SHOP.core("pu_board_416"), 9.0)], SHOP.fibres),
                           Targets(stiffness_x=1e5), layers=(1, 2))
    assert "wrinkling and crushing of the core were NOT checked" in wall.sentence


WALL = make_palette([MAT, ROVING, CoreLayer(SHOP.core("pu_board_416"), 9.0)], SHOP.fibres)


def test_sandwich_search_tells_progress_and_can_be_stopped():
    seen = []
    whole = search_sandwich(WALL, Targets(stiffness_x=1e5), layers=(1, 3), progress=lambda *args: seen.append(args))
    assert whole.proved and not whole.stopped and all(done <= total for done, total, _ in seen) and seen
    stop = threading.Event()
    stop.set()
    result = search_sandwich(WALL, Targets(stiffness_x=1e5), layers=(1, 3), stop=stop)
    assert result.stopped and not result.proved and "nothing is proved" in result.sentence


def test_stop_while_looking_for_the_target_in_the_way_keeps_the_proof():
    calls = []
    result = search_sandwich(WALL, Targets(stiffness_x=1e9), layers=(1, 2),
                             progress=lambda *args: calls.append(args) or len(calls) < 2)
    assert result.proved and result.stopped and "Stopped before it was known" in result.sentence


HAT = Stringer("hat", Schedule((MAT,) * 4, SHOP.fibres), Schedule((ROVING,), SHOP.fibres), 95.0, (75.0,), 110.0,
               70.0, None, None, Former(80.0))
GRID = {"plies": (1, 2, 3), "cap_layers": (0,), "heights": (50.0, 70.0)}


def test_caps_tell_progress_and_can_be_stopped():
    seen, load = [], StringerLoad(900.0, 460.0, pressure=0.018)
    whole = search_caps(HAT, load, **GRID, progress=lambda *args: seen.append(args))
    assert whole.proved and [done for done, _, _ in seen] == [0, 2, 4, 6] and {total for _, total, _ in seen} == {6}
    part = search_caps(HAT, load, **GRID, progress=lambda done, *_: done < 4)
    assert part.stopped and not part.proved and len(part.results) == len(part.table()) == 4
    assert "Stopped after 4 of 6 combinations, NOT proved" in part.sentence
    stop = threading.Event()
    stop.set()
    none = search_caps(HAT, load, **GRID, stop=stop)
    assert none.best is None and not none.results and none.cautions == () and "Stopped after 0 of 6" in none.sentence


def test_panel_sets_the_moment_printed_in_the_standard():
    """ISO 12215-5:2008, 2009 replacement of Table H.1: 26 kN/m2 on a long panel 400 mm wide, 347 N mm/mm."""
    targets = panel_targets(Panel(1200, 400), PanelLoad(pressure=0.026, deflection_over=200))
    assert sorted(round(m) for load in targets.moments for m in load if m) == [-347, -347, 347, 347]
    assert targets.margin == 2.0
    # clamped strip, P b^4 / (384 E I) with the rule's rounded 0.028 / 12 for (1 - nu^2) / 384
    assert targets.stiffness_x == targets.stiffness_y == pytest.approx(0.026 * 400**4 * 0.91 / 384 / (400 / 200), rel=0.02)
    short = panel_targets(Panel(400, 1200), PanelLoad(pressure=0.026), both_ways=False)
    assert short.stiffness_x is None and all(load[1] == load[2] == 0 for load in short.moments)


def test_panel_search_says_whose_moments_it_used():
    found = search_single_skin(STOCK, panel_targets(Panel(600, 300), PanelLoad(pressure=0.01, deflection_over=100)),
                               layers=(1, 12))
    assert found.proved and found.best and "fixed panel factors k2 and k3" in found.sentence
