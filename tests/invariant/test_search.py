"""The search equals brute force through the plain laminate functions on every reduced problem drawn."""

from dataclasses import replace
from itertools import pairwise, product
from unittest import mock

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.materials import catalogue
from lamcalc.mechanics.strength import first_ply_failure
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.schedule import CoreLayer, Ply, Price, Schedule
from lamcalc.studies import search_skins
from lamcalc.studies.search import search_caps, search_sandwich, search_single_skin
from lamcalc.studies.search_model import KEYS, OrderRules, Targets, make_palette
from lamcalc.studies.search_problem import SingleSkin

pytestmark = pytest.mark.invariant

SHOP = catalogue.load()
RESIN, HAND = SHOP.resin("iso_polyester"), SHOP.process("hand")
FABRICS = [Ply(SHOP.reinforcement("csm_450"), RESIN, HAND), Ply(SHOP.reinforcement("wr_600"), RESIN, HAND),
           Ply(SHOP.reinforcement("biax45_1708"), RESIN, HAND), Ply(SHOP.reinforcement("ud_400"), RESIN, HAND),
           Ply(SHOP.reinforcement("ud_400"), RESIN, HAND, angle_deg=60.0),
           Ply(SHOP.reinforcement("biax45_1708"), RESIN, HAND, mat_side="up")]
CORES = [CoreLayer(SHOP.core("pu_board_416"), 9.0), CoreLayer(SHOP.core("pu_board_416"), 18.0)]
PRICES = {"csm_450": Price(2.1, "m2"), "wr_600": Price(2.9, "m2"), "biax45_1708": Price(9.0, "m2"),
          "ud_400": Price(6.5, "m2"), "iso_polyester": Price(5.2, "kg"), "pu_board_416_9mm": Price(30.0, "m2"),
          "pu_board_416_18mm": Price(52.0, "m2")}
RULES = OrderRules(first=("csm",), never=(("woven", "woven"), ("ud", "ud")))
ENDS = OrderRules(last=("csm", "ud"), never=(("csm", "ud"),))
VALUES = {}


def exact(layers, loads):
    """1/d11, 1/d22, first-ply ratio, thickness, glass share of one sequence through Schedule and Laminate."""
    key = tuple((id(layer.reinforcement) if isinstance(layer, Ply) else id(layer.core), layer.angle_deg,
                 getattr(layer, "mat_side", layer.thickness_mm if isinstance(layer, CoreLayer) else 0)) for layer in layers)
    key += tuple(map(tuple, loads))
    if key not in VALUES:
        schedule = make_palette(FABRICS, SHOP.fibres).stock.with_layers(layers)
        laminate, strengths = schedule.laminate, schedule_strengths(schedule).plies
        d = np.linalg.inv(laminate.abd)[3:, 3:]
        ratio = min((float(first_ply_failure(laminate, strengths, M=load, criterion="tsai_wu").ratio) for load in loads),
                    default=np.inf)
        VALUES[key] = (1 / d[0, 0], 1 / d[1, 1], ratio, schedule.total_thickness_mm, schedule.glass_fraction)
    return VALUES[key]


def meets(values, targets):
    window = [(values[3], targets.thickness_mm), (values[4], targets.glass_share)]
    return (values[0] >= (targets.stiffness_x or 0) and values[1] >= (targets.stiffness_y or 0)
            and values[2] >= (targets.margin or 0) and all(w is None or w[0] <= v <= w[1] for v, w in window))


def obeys(palette, order, rules):
    first = not rules.first or palette.first_kind[order[0]] in rules.first
    last = not rules.last or palette.last_kind[order[-1]] in rules.last
    pairs = [(palette.last_kind[a], palette.first_kind[b]) for a, b in pairwise(order)]
    return first and last and all(pair not in rules.never for pair in pairs)


def brute(palette, sequences, targets, objective):
    """Keys of all sets with an order that meets the targets, best first."""
    sets = {}
    for parts, order in sequences:
        name = tuple(tuple(sorted(part)) for part in parts)
        if name not in sets and meets(exact([palette.layers[k] for k in order], targets.loads), targets):
            sets[name] = tuple(int(sum(palette.keys[k][c] for k in order)) for c in range(3))
    full = (objective,) + tuple(k for k in KEYS if k != objective)
    return sorted(sets.values(), key=lambda key: [key[KEYS.index(k)] for k in full])


def orders(choices, low, high):
    return [order for n in range(low, high + 1) for order in product(choices, repeat=n)]


@st.composite
def targets(draw, scale):
    """From easy to impossible; the numbers are drawn about what these stacks reach."""
    asked = {}
    if draw(st.booleans()):
        asked["stiffness_x"] = scale[0] * 10 ** draw(st.floats(-2.0, 0.2))
    if draw(st.booleans()):
        asked["stiffness_y"] = scale[0] * 10 ** draw(st.floats(-2.0, 0.2))
    if draw(st.booleans()):
        asked["margin"] = draw(st.floats(0.5, 3.0))
        asked["moments"] = tuple(scale[1] * draw(st.floats(-1.0, 1.0)) for _ in range(3))
        if not np.abs(asked["moments"]).max() > 0.01 * scale[1]:
            asked["moments"] = (scale[1], 0.0, 0.0)
        if draw(st.booleans()):
            asked["moments"] = (asked["moments"], (0.0, -0.5 * scale[1], 0.1 * scale[1]))
    if draw(st.booleans()):
        low = draw(st.floats(0.5, 0.6)) * scale[2]
        asked["thickness_mm"] = (low, low + draw(st.floats(0.05, 0.6)) * scale[2])
    if draw(st.booleans()):
        asked["glass_share"] = (draw(st.floats(0.2, 0.45)), 0.9)
    return Targets(**asked)


def compare(result, expected):
    assert [one.key for one in result.best] == expected[: len(result.best)]
    assert len(result.best) == min(len(expected), 10)
    assert result.proved and not result.stopped
    for one in result.best:
        values = exact(one.layers, result.targets.loads)
        assert meets(values, result.targets)
        np.testing.assert_allclose([*one.stiffness, one.margin], values[:3], rtol=1e-9)


@settings(max_examples=10, deadline=None)
@given(targets=targets((4e5, 300.0, 3.5)), objective=st.sampled_from(KEYS),
       rules=st.sampled_from([RULES, ENDS, OrderRules()]), picks=st.sets(st.integers(0, 5), min_size=2, max_size=3))
def test_single_skin_equals_brute_force(targets, objective, rules, picks):
    palette = make_palette([FABRICS[k] for k in sorted(picks)], SHOP.fibres, prices=PRICES)
    sequences = [([order], order) for order in orders(range(len(picks)), 1, 4) if obeys(palette, order, rules)]
    result = search_single_skin(palette, targets, objective=objective, rules=rules, layers=(1, 4))
    expected = brute(palette, sequences, targets, objective)
    compare(result, expected)
    if not expected:
        check_obstacles(result, palette, sequences)


def check_obstacles(result, palette, sequences):
    """Each target named, and no other, makes it possible when left out; its best value is the largest there is."""
    named = dict(result.obstacles)
    for name in result.targets.asked:
        eased = replace(result.targets, **{name: None})
        fits = [v for v in (exact([palette.layers[k] for k in order], result.targets.loads) for _, order in sequences)
                if meets(v, eased)]
        assert (name in named) == bool(fits)
        if fits and name in ("stiffness_x", "stiffness_y", "margin"):
            column = ("stiffness_x", "stiffness_y", "margin").index(name)
            np.testing.assert_allclose(named[name], max(v[column] for v in fits), rtol=1e-9)


@settings(max_examples=8, deadline=None)
@given(targets=targets((8e6, 1500.0, 20.0)), objective=st.sampled_from(KEYS),
       rules=st.tuples(*[st.sampled_from([RULES, ENDS, OrderRules()])] * 2),
       picks=st.sets(st.integers(0, 5), min_size=2, max_size=2), few=st.sampled_from([-1, search_skins._FEW]))
def test_sandwich_equals_brute_force(targets, objective, rules, picks, few):
    palette, sequences = sandwiches(picks, rules)
    # without the few the sharper bound of strength is asked from the start
    with mock.patch.object(search_skins, "_FEW", few):
        result = search_sandwich(palette, targets, objective=objective, rules=rules[0], inner_rules=rules[1],
                                 layers=(1, 2))
    expected = brute(palette, sequences, targets, objective)
    compare(result, expected)
    if not expected:
        check_obstacles(result, palette, [(None, order) for _, order in sequences])


def sandwiches(picks, rules, prices=PRICES):
    palette = make_palette([FABRICS[k] for k in sorted(picks)] + CORES, SHOP.fibres, prices=prices)
    outer, inner = ([order for order in orders((0, 1), 1, 2) if obeys(palette, order, one)] for one in rules)
    return palette, [((a, (c,), b), a + (c,) + b) for a in outer for c in (2, 3) for b in inner]


@pytest.mark.parametrize("asked, named", [
    ({"stiffness_x": 1e9, "stiffness_y": 1e4}, ["stiffness_x"]),
    ({"stiffness_y": 1e6, "thickness_mm": (1.0, 13.0)}, ["stiffness_y", "thickness_mm"]),
    ({"margin": 1e4, "moments": (800.0, 300.0, 0.0)}, ["margin"]),
    ({"glass_share": (0.8, 0.9), "stiffness_x": 1e4}, ["glass_share"]),
    ({"stiffness_x": 1e9, "stiffness_y": 1e9}, []),
])
def test_sandwich_that_cannot_be_names_what_stands_in_the_way(asked, named):
    palette, sequences = sandwiches({0, 2}, (RULES, RULES))
    result = search_sandwich(palette, Targets(**asked), rules=RULES, layers=(1, 2))
    assert not result.best and result.proved and [name for name, _ in result.obstacles] == named
    check_obstacles(result, palette, [(None, order) for _, order in sequences])


@settings(max_examples=5, deadline=None)
@given(targets=targets((4e5, 300.0, 3.5)))
def test_front_is_every_trade_of_mass_for_cost(targets):
    palette = make_palette(FABRICS[:3], SHOP.fibres, prices=PRICES)
    result = search_single_skin(palette, targets, layers=(1, 3), front=True)
    keys = brute(palette, [([o], o) for o in orders(range(3), 1, 3)], targets, "mass")
    pairs = {key[:2] for key in keys}
    expected = sorted(p for p in pairs if not any(q != p and q[0] <= p[0] and q[1] <= p[1] for q in pairs))
    assert [one.key[:2] for one in result.front] == expected


def test_sandwich_front_is_every_trade_of_mass_for_cost():
    dear = PRICES | {"biax45_1708": Price(60.0, "m2"), "pu_board_416_18mm": Price(190.0, "m2")}
    palette, sequences = sandwiches({0, 2}, (RULES, OrderRules()), dear)
    targets = Targets(stiffness_x=4e5, thickness_mm=(5.0, 30.0))
    result = search_sandwich(palette, targets, rules=RULES, inner_rules=OrderRules(), layers=(1, 2), front=True)
    pairs = {key[:2] for key in brute(palette, sequences, targets, "mass")}
    expected = sorted(p for p in pairs if not any(q != p and q[0] <= p[0] and q[1] <= p[1] for q in pairs))
    assert len(expected) > 1
    assert [one.key[:2] for one in result.front] == expected


@settings(max_examples=20, deadline=None)
@given(data=st.data(), load=st.tuples(*[st.floats(-1.0, 1.0)] * 3).filter(lambda m: np.abs(m).max() > 0.05))
def test_bounds_are_never_below_the_value_of_any_order(data, load):
    """Every set that holds a drawn sequence survives targets equal to the sequence's own values."""
    palette = make_palette(FABRICS, SHOP.fibres, prices=PRICES)
    order = data.draw(st.lists(st.integers(0, 5), min_size=2, max_size=5))
    x, y, ratio, _, _ = exact([palette.layers[k] for k in order], [load])
    targets = Targets(x * (1 - 1e-12), y * (1 - 1e-12), ratio * (1 - 1e-12), load)
    free = OrderRules().tables(palette)
    counts = np.bincount(order, minlength=6)[None].astype(np.uint8)
    found, _ = SingleSkin(palette, counts, free).tries(np.array([0]), targets)
    assert found and found[0][1][2] >= ratio * (1 - 1e-9)
    assert [len(numbers) for *_, numbers in SingleSkin(palette, counts, free).scan(KEYS, targets)] == [1]


@pytest.mark.parametrize("objective, reserve", [("mass", 1.0), ("cost", 1.0), ("mass", 50.0)])
def test_caps_equal_brute_force_over_the_grid(objective, reserve):
    def laid(name, count):
        return Schedule((replace(Ply(SHOP.reinforcement(name), RESIN, HAND), count=count),), SHOP.fibres, prices=PRICES)

    hat = Stringer("hat", laid("csm_450", 5), laid("biax45_1708", 2), 95.0, (75.0, 100.0), 110.0, 70.0,
                   laid("ud_400", 1), 70.0, Former(80.0))
    load, grid, best = StringerLoad(900.0, 460.0, pressure=0.018), ((1, 2, 3), (0, 2), (50.0, 90.0)), None
    found = search_caps(hat, load, plies=grid[0], cap_layers=grid[1], heights=grid[2], objective=objective,
                        reserve=reserve, use_rules=False)
    for plies, cap, height in product(*grid):
        top = {"cap": laid("ud_400", cap)} if cap else {"cap": None, "cap_width": None}
        trial = replace(hat, skin=laid("biax45_1708", plies), legs=(75.0, 100.0, 125.0)[:plies], height=height, **top)
        one = assess_stringer(trial, load)
        value = trial.mass_kg_m if objective == "mass" else trial.cost_per_m
        good = one.least.reserve_factor >= reserve and one.deflection_mm <= one.deflection_limit_mm
        if good and (best is None or value < best[0]):
            best = value, (plies, cap, height)
    assert found.proved and len(found.results) == 12 and (best is None) == (reserve == 50.0)
    assert best == (None if found.best is None else (
        found.best.stringer.mass_kg_m if objective == "mass" else found.best.stringer.cost_per_m,
        found.combinations[found.best_index]))
