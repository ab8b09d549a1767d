"""What is asked about entries: where each limit lies, and every word and figure of the question in either unit system."""

from datetime import date
from types import SimpleNamespace

import pytest

from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.engine_entry import engine_doubts, thrust_caution
from lamcalc.shop.floor_entry import floor_doubts
from lamcalc.shop.part_entry import asked_of_engines, entry_doubts
from lamcalc.shop.pressure_entry import place_of
from lamcalc.shop.stray_names import unknown_names
from lamcalc.shop.takeoff import take_off

pytestmark = pytest.mark.behaviour
ENGINE = "parts.transom.engine."
LBF = 4.4482216152605  # N, exact
# 62.72 (SHP D/12)^0.67 lbf at 30 kW; 30 kW usually turns 254 to 330 mm, 10 to 13 in (common practice)
LOW, HIGH = (62.72 * (30 / 0.7456998715822702 * inches / 12) ** 0.67 * LBF for inches in (254 / 25.4, 330 / 25.4))


@pytest.fixture(scope="module")
def demo():
    """The demo, its pull measured so that the thrust is not asked about."""
    return jobs.update(jobs.load_demo(), {ENGINE + "thrust_status": "measured"})


def engine(job, **values):
    return jobs.update(job, {ENGINE + name: value for name, value in values.items()})


@pytest.mark.parametrize("field, least, words, us", [
    ("centre_aft_mm", 80.0,
     "a centre of mass 79.9 mm aft of the bolts is closer than on any outboard, at least about 80 mm: measure it with the "
     "bracket, and check the unit", ("3.15 in", "3.1 in")),
    ("thrust_below_bolts_mm", 350.0,
     "a propeller axis 350 mm below the bolts is less than on the shortest shafts, at least about 350 mm: measure it, and check "
     "the unit", ("13.8 in", "14 in"))])
def test_levers_shorter_than_on_any_outboard(demo, field, least, words, us):
    assert engine_doubts(engine(demo, **{field: least})) == ()
    (asked,) = engine_doubts(engine(demo, **{field: least - 0.1}))
    assert asked == words
    assert all(one in told(asked, "us") for one in us) and "mm" not in told(asked, "us")


def test_a_mass_below_seven_tenths_of_the_table(demo):
    """33 CFR 183 subpart H: 35 to 64.9 hp, 300 lb or 136.1 kg ready to run; 0.7 of it is 95.27 kg."""
    assert engine_doubts(engine(demo, mass_kg=95.3)) == ()
    (asked,) = engine_doubts(engine(demo, mass_kg=95.237))
    assert asked == ("an engine mass of 95.2 kg is light for 30 kW: the table of 33 CFR 183 subpart H has 136 kg ready to run; "
                     "read the plate, and the unit")
    assert told(asked, "us") == ("an engine mass of 210 lb is light for 40.2 hp: the table of 33 CFR 183 subpart H has 300 lb "
                                 "ready to run; read the plate, and the unit")


def test_a_thrust_below_half_of_the_formula(demo):
    half = LOW / 2
    assert engine_doubts(engine(demo, thrust_n=half + 0.1)) == ()
    (asked,) = engine_doubts(engine(demo, thrust_n=half - 0.1))
    assert asked == (f"a thrust of {round(half, -1):.0f} N is little for 30 kW: even with the smallest usual propeller a "
                     f"published formula gives about {round(LOW, -1):.0f} N at rest; ask the engine's maker, and check the unit")
    assert f"{LOW / LBF:.3g} lbf" in told(asked, "us") and "40.2 hp" in told(asked, "us")
    assert engine_doubts(jobs.update(demo, {ENGINE + "thrust_n": None})) == ()


@pytest.mark.parametrize("power, asked", [(30.59, 0), (29.41, 0), (30.7, 1), (29.3, 1)])
def test_a_power_that_is_not_the_crafts_by_more_than_two_hundredths(demo, power, asked):
    """The craft has 30 kW: 29.4 to 30.6 are the same engine."""
    found = engine_doubts(engine(jobs.update(demo, {"craft.engine_power_kw": 30.0}), power_kw=power))
    assert len(found) == asked
    if asked:
        assert found[0] == (f"the craft has 30 kW, the engine on the transom {power} kW: one of the two is wrong, or the engine "
                            "grows and the repairer becomes the designer")
        assert told(found[0], "us").startswith(f"the craft has 40.2 hp, the engine on the transom {power * 1.34102:.3g} hp:")
    assert engine_doubts(engine(jobs.update(demo, {"craft.engine_power_kw": None}), power_kw=power)) == ()


def test_the_caution_about_the_thrust_holds_from_half_of_the_formula_up_to_it(demo):
    assumed = engine(demo, thrust_status="assumed")
    for thrust, said in ((LOW / 2 - 0.1, False), (LOW / 2 + 0.1, True), (LOW - 0.1, True), (LOW + 0.1, False), (2 * LOW, False)):
        found = thrust_caution(engine(assumed, thrust_n=thrust))
        assert (found is not None) == said, thrust
    found = thrust_caution(engine(assumed, thrust_n=2000.0))
    assert found == (f"The thrust taken is 2000 N; for 30.0 kW a published formula gives {LOW:.0f} N to {HIGH:.0f} N (propellers "
                     "from memory). Enter the greater unless the pull was measured.")
    assert f"{LOW / LBF:.1f} lbf to {HIGH / LBF:.1f} lbf" in told(found, "us")
    for status in ("measured", "data sheet", "source seen"):
        assert thrust_caution(engine(demo, thrust_n=2000.0, thrust_status=status)) is None
    assert thrust_caution(jobs.update(assumed, {ENGINE + "thrust_n": None})) is None


def test_each_transom_is_asked_about_its_own_engine(demo):
    text = jobs.update(demo, {ENGINE + "thrust_status": "assumed"}).model_dump(exclude_none=True)["parts"]["transom"]
    second = text | {"title": "Second wall", "engine": text["engine"] | {"mass_kg": 50.0, "thrust_n": 2300.0}}
    both = jobs.update(engine(demo, thrust_n=2000.0, thrust_status="assumed", centre_aft_mm=60.0), {"parts.bracket": second})
    first, other = entry_doubts(both, "transom"), entry_doubts(both, "bracket")
    assert "60 mm aft" in first[0] and "2000 N" in first[-1] and len(first) == 2
    assert "50 kg is light" in other[0] and "2300 N" in other[-1] and len(other) == 2
    assert asked_of_engines(both) == (*first, *other) and engine_doubts(both) == (first[0], other[0])
    assert thrust_caution(both) == first[-1] and thrust_caution(both, "bracket") == other[-1]


def test_less_than_one_person_on_a_patch(demo):
    (name,) = [name for name, part in demo.parts.items() if getattr(part, "patch_load", None)]
    place = f"parts.{name}.patch_load.force_n"
    assert entry_doubts(jobs.update(demo, {place: 75 * 9.80665}), name) == ()  # one of 75 kg
    (asked,) = entry_doubts(jobs.update(demo, {place: 499.4}), name)
    assert asked == "a load of 499 N on a patch is less than one person standing there, about 735 N: check the unit"
    assert told(asked, "us") == asked.replace("499 N", "112 lbf").replace("735 N", "165 lbf")
    side = jobs.update(demo, {place: 500.0, f"parts.{name}.title": "Locker lid"}).parts[name]
    assert entry_doubts(demo, "locker", side) == ()


def test_a_pressure_below_the_rule_is_told_with_its_limit_and_whose_it_is(demo):
    """Deck: the rule's own 5 kPa; bottom: 0.45 m^0.333 + 0.9 LWL kDC with 179 kg, 0.7 x 5.4 m and 0.4."""
    least = 0.45 * 179 ** 0.333 + 0.9 * 0.7 * 5.4 * 0.4
    for name, limit in (("stringers", least), ("bottom", least)):
        assert entry_doubts(jobs.update(demo, {f"parts.{name}.pressure_kpa": limit + 1e-6}), name) == ()
        (asked,) = entry_doubts(jobs.update(demo, {f"parts.{name}.pressure_kpa": limit - 0.05}), name)
        assert asked == (f"a design pressure of {limit - 0.05:.3g} kPa is less than the small-craft rule gives on the bottom "
                         f"of any boat of 5.4 m, at least {limit:.2g} kPa (for the lightest boat of that length, own choice): check "
                         f'the unit; a value in psi is written like "{limit - 0.05:.3g} psi"')
        assert f"at least {limit / 6.894757:.2g} psi" in told(asked, "us") and "of 17.7 ft" in told(asked, "us")
    named = jobs.update(demo, {"parts.bottom.title": "Panel 3", "parts.bottom.pressure_kpa": limit - 0.05})
    assert entry_doubts(named, "bottom") == (asked,)  # by its name alone
    deck = jobs.update(demo, {"parts.sole.pressure_kpa": 4.9, "parts.sole.load_status": "assumed"})
    (asked,) = entry_doubts(deck, "sole")
    assert "on the deck of any boat of 5.4 m, at least 5 kPa (the rule's own minimum): check the unit" in asked
    assert entry_doubts(jobs.update(deck, {"parts.sole.pressure_kpa": 5.0}), "sole") == ()


@pytest.mark.parametrize("name, name_of_title, place", [
    ("hull_bottom", "", "bottom"), ("one", "Keel plank", "bottom"), ("cockpit_floor", "", "deck"), ("one", "Side deck", "deck"),
    ("two", "Sole board", "deck"), ("soles", "", ""), ("hull_side", "", "side"), ("one", "Topsides", "side"),
    ("shell_aft", "", "side"), ("inside", "Locker lid", ""), ("bulkhead", "", "")])
def test_where_a_panel_lies_by_its_name_or_title(name, name_of_title, place):
    assert place_of(name, SimpleNamespace(kind="panel", title=name_of_title)) == place
    assert place_of(name, SimpleNamespace(kind="stringer", title=name_of_title)) == "bottom"


@pytest.mark.parametrize("field, what", [("air_temperature_c", "air in the shop"), ("hull_temperature_c", "hull")])
def test_a_place_hotter_than_anyone_lays_up_in(demo, field, what):
    day = date(2026, 3, 2)
    assert floor_doubts(jobs.update(demo, {f"shop.{field}": 40.0}), day) == ()
    (asked,) = floor_doubts(jobs.update(demo, {f"shop.{field}": 40.1}), day)
    assert asked == (f"40.1 degC for the {what} is hotter than anyone lays up in, above 40 degC (own choice): check the "
                     'unit; degrees Fahrenheit are written like "40.1 degF"')
    assert told(asked, "us").startswith(f"104 degF for the {what} is hotter than anyone lays up in, above 104 degF")


def test_every_list_of_goods_is_looked_through(demo):
    """A resin's cans are looked up in the catalogue; prices, rolls, containers and sheets among what the job needs as well."""
    found = take_off(demo)
    one = {"rolls": {"item": "csm_45o", "width_mm": 1040.0}, "containers": {"item": "aceton", "size": 5.0, "unit": "L"},
           "sheets": {"item": "pu_bord_416", "thickness_mm": 19, "length_mm": 2440, "width_mm": 1220}}
    unknown = "which is no material of the catalogue and nothing this job needs; did you mean"
    near = {"rolls": "csm_450", "containers": "acetone", "sheets": "pu_board_416"}
    wrong = jobs.update(demo, {f"stock.{kind}": [entry] for kind, entry in one.items()})
    assert unknown_names(wrong, found) == tuple(
        f"[stock.{kind}] has '{entry['item']}', {unknown} {near[kind]}" for kind, entry in one.items())
    priced = jobs.update(demo, {"prices.items": [{"item": "csm_45o", "price": 3.0, "per": "kg"}]})
    assert unknown_names(priced, found) == (f"[prices] has 'csm_45o', {unknown} csm_450",)
    # goods that the take-off names in words are known by their name with underscores
    film = SimpleNamespace(buying=[SimpleNamespace(item="release film")])
    named = jobs.update(demo, {"prices.items": [{"item": "release_film", "price": 3.0, "per": "m2"}]})
    assert unknown_names(named, film) == () and len(unknown_names(named, found)) == 1
    can = demo.resins["iso_polyester"].model_dump(exclude_none=True)
    stray = jobs.update(demo, {"resins.acetone": can})
    (told_of,) = unknown_names(stray, found)
    assert told_of == "[resins] has 'acetone', which is no material of the catalogue and nothing this job needs"
