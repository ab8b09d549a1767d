"""Pots with their clock, for the sheet: what goes in, when it is mixed, by when it is on the job."""

import math
import re

from lamcalc.sentences import told
from lamcalc.shop.batch_plan import clock
from lamcalc.shop.sheet_tables import Table
from lamcalc.units import convert

_COAT = re.compile(r"coat \d+ of \d+")


def batch_plans(batches):
    """Batch plans inside whatever a part carries.

    Parameters
    ----------
    batches : object or None
        A BatchPlan, several of them, or a record with `plan` or `plans` [-].

    Returns
    -------
    tuple of BatchPlan
        Empty without one [-].

    Examples
    --------
    >>> batch_plans(None)
    ()
    """
    found = getattr(batches, "plans", None) or getattr(batches, "plan", batches)
    if found is None:
        return ()
    found = tuple(found.values()) if isinstance(found, dict) else found if isinstance(found, tuple | list) else (found,)
    return tuple(plan for plan in found if hasattr(plan, "sessions"))


def batch_table(plan, words):
    """Pots of a plan with room for what really happened.

    Parameters
    ----------
    plan : BatchPlan
        The plan [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a pot [-].

    Examples
    --------
    >>> from lamcalc.shop.batching import Climate, PlyNeed, ResinCan, plan_batches
    >>> from lamcalc.shop.sheet_words import Words
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> plan = plan_batches([PlyNeed(name="mat", resin_kg=1.1, thickness_mm=1.05, can=can, glass_fraction=0.3)],
    ...                     Climate(air_c=18.5, hull_c=17, humidity_percent=63))
    >>> batch_table(plan, Words("metric")).rows[0][4]
    '15.0 mL = 17.4 g catalyst, 1.5 % by volume'
    """
    first = {s.number: s.after for s in plan.sessions if s.after}
    rows = []
    for b in plan.batches:
        if b.session in first:
            rows.append((None, "STOP", "First " + told(first.pop(b.session), words.system)))
        rows.append((None, f"{b.number}", ", ".join(map(_piece, b.plies)), f"{_can(b.can.name)}: {words.mass(b.resin_kg)}",
                  f"{b.second_ml:.1f} mL = {b.second_kg * 1e3:.1f} g {b.second_part}, {_share(b)}", clock(b.mix_at),
                  clock(b.use_by, down=True), _between(b.gels),
                  f"{math.floor(b.pot_life.low)} to {b.pot_life.high:.0f} min", "", ""))
    return Table(("done", "pot", "goes into", "resin", "add", "mix at", "on the job by", "gels between",
                  "left in the pot",
                  "gel seen", "initials"), tuple(rows), css="pots", caption="Pots and clock",
                 notes=(("Measure catalyst by syringe or scale: drops differ more than twofold from bottle to "
                         "bottle. Gel times "
                        "are ranges: the first pot shows where today lies. A pot that gets warm is finished."),))


def session_table(plan, words):
    """Sessions of a plan.

    Parameters
    ----------
    plan : BatchPlan
        The plan [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a session [-].

    Examples
    --------
    >>> from lamcalc.shop.batch_plan import BatchPlan, CrewRules
    >>> from lamcalc.shop.climate import Climate
    >>> from lamcalc.shop.sheet_words import Words
    >>> plan = BatchPlan((), (), Climate(air_c=19, hull_c=18, humidity_percent=60), CrewRules(), ())
    >>> session_table(plan, Words("us")).rows
    ()
    """
    rows = tuple((f"{s.number}", ", ".join(map(_piece, s.plies)) + (", NOT before the pour above it is hard and hand-cool" if s.after else ""), words.both(s.thickness_mm, "thickness"),
                  clock(s.start),
                  clock(s.end),
                  words.both(s.ceiling_c, "temperature"), _air(s.air_m3_h, words))
                 for s in plan.sessions)
    return Table(("session", "layers", "thickness", "from", "to", "hottest without heat loss", "fresh air"), rows,
                 caption="Sessions",
                 notes=((f"Fresh air keeps styrene at {plan.rules.exposure_ppm:g} ppm on average in a mixed room; "
                         f"the local limit "
                        "governs. Go on after a session when the laminate is hand-cool."),))


def _between(gels):
    """From when to when, the day named once."""
    start, end = clock(gels.low, down=True), clock(gels.high)
    day = start.rpartition(" ")[0]
    return f"{start} to {end.removeprefix(f'{day} ') if day else end}"


def _piece(name):
    """Name on the cut piece, with the coat where there are several."""
    head, _, rest = name.partition(": ")
    coat = _COAT.search(rest)
    return head + (f", {coat[0]}" if coat else "")


def _share(batch):
    """Share of the second part; of catalyst by volume only, as it is measured."""
    return batch.share.split(", ")[0] if batch.second_part == "catalyst" else batch.share


def _can(name):
    """First words on the can; putty keeps its own."""
    return name.split(", ")[0] + (", for putty" if name.endswith(", for putty") else "")


def _air(m3_h, words):
    texts = {"metric": f"{m3_h:.0f} m3/h", "us": f"{float(convert(m3_h, 'm3/h', 'ft3/min')):.0f} ft3/min"}
    return f"{texts[words.system]} ({texts[words.other]})"


def climate_line(plan, words):
    """The readings that a plan holds for.

    Parameters
    ----------
    plan : BatchPlan
        The plan [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    str
        A sentence [-].

    Examples
    --------
    >>> from lamcalc.shop.batch_plan import BatchPlan, CrewRules
    >>> from lamcalc.shop.climate import Climate
    >>> from lamcalc.shop.sheet_words import Words
    >>> plan = BatchPlan((), (), Climate(air_c=18.5, hull_c=17, humidity_percent=63), CrewRules(), ())
    >>> climate_line(plan, Words())[:50]
    'The clock holds for hull 17.0 degC (62.6 degF), ai'
    """
    day, crew = plan.climate, plan.rules
    return (f"The clock holds for hull {words.both(day.hull_c, 'temperature')}, air "
            f"{words.both(day.air_c, 'temperature')}, "
            f"{day.humidity_percent:g} % humidity (dew point {words.both(day.dew_point_c, 'temperature')}), "
            f"{crew.people} "
            f"{'pair of hands' if crew.people == 1 else 'people'} wetting out, and a start at {crew.start}. Colder, "
            f"warmer or "
            "fewer hands: make a new sheet.")
