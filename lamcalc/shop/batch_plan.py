"""Records of a batch plan: needs, crew, pots, sessions and their tables."""

import math
import re
from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, positive
from lamcalc.sentences import Sentence
from lamcalc.shop.climate import Climate, Minutes
from lamcalc.shop.limits import (
    GEL_SHARE,
    MIXING_MINUTES,
    POT_MASS_FACTOR,
    POT_SIZE,
    SESSION_GAP,
    SESSION_PLIES,
    SESSION_THICKNESS,
    STYRENE_EXPOSURE,
    WET_OUT_RATE,
)
from lamcalc.shop.mixing import drop_count
from lamcalc.shop.resin_can import ResinCan

_DAY = 24 * 60
_ROUNDING = 1e-9  # minutes; a sum of floats must not push a deadline into the next minute


@dataclass(frozen=True, kw_only=True)
class PlyNeed:
    """Resin that one ply, bond line or coat needs.

    Parameters
    ----------
    name : str
        Ply as the sheet calls it [-].
    resin_kg : float
        Resin to mix, working loss included; for epoxy the mixed mass [kg].
    thickness_mm : float
        Thickness that it adds to the session [mm].
    can : ResinCan
        Resin used [-].
    glass_fraction : float
        Glass by weight, 0 for putty and coats [-].
    new_session : bool
        Whether what lies below must have cured, so that it starts a session [-].
    after : str
        Work that the plan does not cover and that must be done and cured before, in words; the ply then starts
        on the next working day at the earliest [-].

    Raises
    ------
    InputError
        If the mass is not positive, the thickness negative or the fraction outside 0 to 1.

    Examples
    --------
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> PlyNeed(name="1 mat 450", resin_kg=1.0, thickness_mm=1.05, can=can, glass_fraction=0.30).resin_kg
    1.0
    """

    name: str
    resin_kg: float
    thickness_mm: float
    can: ResinCan
    glass_fraction: float = 0.0
    new_session: bool = False
    after: str = ""

    def __post_init__(self):
        positive(f"resin of {self.name}", self.resin_kg, "kg")
        positive(f"thickness of {self.name}", self.thickness_mm, "mm", zero=True)
        fraction(f"glass fraction of {self.name}", self.glass_fraction, zero=True)


@dataclass(frozen=True, kw_only=True)
class CrewRules:
    """What the crew, the pots and the working day allow.

    Parameters
    ----------
    people : int
        Hands that wet out [-].
    wet_out_kg_min : float
        Mixed resin that one person lays and rolls out, a proposal: time your own crew [kg/min].
    gel_share : float
        Share of the shortest gel time in which a batch must be on the job [-].
    mixing_min : float
        Measuring and stirring one batch [min].
    pot_kg : float
        Largest single mix [kg].
    session_mm : float
        Laminate laid in one session, 4 to 6 for polyester [mm].
    session_plies : int
        Plies laid in one session [-].
    gap_min : float
        Pause between sessions, until hand-cool [min].
    start, end : str
        Working day, 'HH:MM' [-].
    exposure_ppm : float
        Styrene limit for the fan [ppm].
    tray : bool
        Whether every batch is poured out flat into a tray at once, so that its mass in the pot no longer shortens its
        life [-].

    Raises
    ------
    InputError
        If a figure is out of range or a time is not written HH:MM.

    Examples
    --------
    >>> CrewRules(people=3).people
    3
    """

    people: int = 2
    wet_out_kg_min: float = float(WET_OUT_RATE)
    gel_share: float = float(GEL_SHARE)
    mixing_min: float = float(MIXING_MINUTES)
    pot_kg: float = float(POT_SIZE)
    session_mm: float = float(SESSION_THICKNESS)
    session_plies: int = int(SESSION_PLIES.value)
    gap_min: float = float(SESSION_GAP)
    start: str = "08:00"
    end: str = "17:00"
    exposure_ppm: float = float(STYRENE_EXPOSURE)
    tray: bool = False

    def __post_init__(self):
        for label, value in (("people", self.people), ("plies in a session", self.session_plies)):
            if not isinstance(value, (int, np.integer)) or isinstance(value, bool) or value < 1:
                raise InputError(label, "must be a whole number, 1 or more [-]", value, "count again")
        for label, value, unit in (("wet-out rate", self.wet_out_kg_min, "kg/min"), ("pot size", self.pot_kg, "kg"),
                                   ("session thickness", self.session_mm, "mm"),
                                   ("exposure limit", self.exposure_ppm, "ppm")):
            positive(label, value, unit)
        positive("mixing time", self.mixing_min, "min", zero=True)
        positive("pause between sessions", self.gap_min, "min", zero=True)
        fraction("share of the gel time", self.gel_share, one=True)
        if clock_minutes(self.end) <= clock_minutes(self.start):
            raise InputError("end of the working day", f"must be later than the start {self.start}", self.end,
                             "write both as HH:MM")

    @property
    def rate_kg_min(self):
        """Wet-out rate of the whole crew [kg/min]."""
        return self.people * self.wet_out_kg_min


@dataclass(frozen=True)
class Batch:
    """One pot.

    Parameters
    ----------
    number, session : int
        Running numbers, from 1 [-].
    plies : tuple of str
        Plies that it goes into [-].
    can : ResinCan
        Resin [-].
    resin_kg, resin_ml : float
        Resin [kg], [mL].
    second_part : str
        'catalyst' or 'hardener' [-].
    second_kg, second_ml : float
        Second part [kg], [mL].
    share : str
        The dose in words [-].
    mix_at, done_by, use_by : float
        Second part goes in, planned end of wet-out, latest end of wet-out; from midnight of day 1 [min].
    gels : Minutes
        Clock time of gel, low, typical and high, from midnight of day 1 [min].
    pot_life : Minutes
        Pot life if the whole batch stays in the pot [min].

    Examples
    --------
    >>> Batch.__dataclass_fields__["resin_kg"].name
    'resin_kg'
    """

    number: int
    session: int
    plies: tuple
    can: ResinCan
    resin_kg: float
    resin_ml: float
    second_part: str
    second_kg: float
    second_ml: float
    share: str
    mix_at: float
    done_by: float
    use_by: float
    gels: Minutes
    pot_life: Minutes

    @property
    def pot_life_words(self):
        """Shortest, longest and typical pot life, the shortest rounded down [min]."""
        low, typical, high = self.pot_life
        return f"{math.floor(low + _ROUNDING)}-{high:.0f}, typically {typical:.0f}"

    @property
    def mixed_kg(self):
        """Resin and second part together [kg]."""
        return self.resin_kg + self.second_kg


@dataclass(frozen=True)
class Session:
    """Plies laid wet on wet.

    Parameters
    ----------
    number : int
        Running number, from 1 [-].
    plies : tuple of str
        Plies in order [-].
    thickness_mm : float
        Thickness laid [mm].
    start, end : float
        Clock times from midnight of day 1 [min].
    ceiling_c : float
        Temperature that the stack cannot exceed, without any heat loss [degC].
    air_m3_h : float
        Fresh air for the styrene limit while the session lasts and until its last pot gels [m3/h].
    after : str
        Work outside this plan that must be done and cured before the session, in words [-].

    Examples
    --------
    >>> Session(1, ("mat",), 1.05, 480.0, 500.0, 192.0, 900.0).end
    500.0
    """

    number: int
    plies: tuple
    thickness_mm: float
    start: float
    end: float
    ceiling_c: float
    air_m3_h: float
    after: str = ""


@dataclass(frozen=True)
class BatchPlan:
    """The day's batches, sessions and warnings.

    Parameters
    ----------
    batches : tuple of Batch
        Pots in order [-].
    sessions : tuple of Session
        Sessions in order [-].
    climate : Climate
        Readings that the clock holds for [-].
    rules : CrewRules
        Crew and limits used [-].
    findings : tuple of Finding
        Warnings and notes [-].

    Examples
    --------
    >>> BatchPlan((), (), Climate(air_c=19, hull_c=18, humidity_percent=60), CrewRules(), ()).mixed_kg
    0.0
    """

    batches: tuple
    sessions: tuple
    climate: Climate
    rules: CrewRules
    findings: tuple

    @property
    def mixed_kg(self):
        """Resin and second parts of all batches [kg]."""
        return float(sum(batch.mixed_kg for batch in self.batches))

    @property
    def assumptions(self):
        """Limits behind the plan, each with status and source, as used (tuple of str)."""
        rules = self.rules
        used = ((WET_OUT_RATE, rules.wet_out_kg_min), (GEL_SHARE, rules.gel_share), (MIXING_MINUTES, rules.mixing_min),
                (POT_SIZE, rules.pot_kg), (SESSION_THICKNESS, rules.session_mm), (SESSION_PLIES, rules.session_plies),
                (SESSION_GAP, rules.gap_min), (STYRENE_EXPOSURE, rules.exposure_ppm))
        heap = () if rules.tray else (f"{POT_MASS_FACTOR}; pots are planned on its low end {POT_MASS_FACTOR.low:g}",)
        return tuple(_as_used(limit, value) for limit, value in used) + heap

    def table(self):
        """Batch list for the sheet.

        Returns
        -------
        pandas.DataFrame
            One row a batch, units in the column names [-].

        Examples
        --------
        >>> plan = BatchPlan((), (), Climate(air_c=19, hull_c=18, humidity_percent=60), CrewRules(), ())
        >>> "second part [mL]" in plan.table().columns
        True
        """
        import pandas as pd

        columns = ["batch", "session", "plies", "resin", "resin [kg]", "resin [mL]", "second part", "second part [mL]",
                   "second part [g]", "dose", "mix at", "planned end", "use by", "gels from", "gels by",
                   "pot life if left in the pot [min]"]
        rows = [[b.number, b.session, ", ".join(b.plies), b.can.name, b.resin_kg, b.resin_ml, b.second_part,
                 b.second_ml, b.second_kg * 1e3, b.share, clock(b.mix_at), clock(b.done_by), clock(b.use_by, down=True),
                 clock(b.gels.low, down=True), clock(b.gels.high), b.pot_life_words]
                for b in self.batches]
        return pd.DataFrame(rows, columns=columns)

    def session_table(self):
        """Session list for the sheet.

        Returns
        -------
        pandas.DataFrame
            One row a session, units in the column names [-].

        Examples
        --------
        >>> plan = BatchPlan((), (), Climate(air_c=19, hull_c=18, humidity_percent=60), CrewRules(), ())
        >>> list(plan.session_table().columns)[:3]
        ['session', 'plies', 'thickness [mm]']
        """
        import pandas as pd

        columns = ["session", "plies", "thickness [mm]", "start", "end", "ceiling without heat loss [degC]",
                   "fresh air [m3/h]", "first"]
        rows = [[s.number, ", ".join(s.plies), s.thickness_mm, clock(s.start), clock(s.end), s.ceiling_c, s.air_m3_h, s.after]
                for s in self.sessions]
        return pd.DataFrame(rows, columns=columns)

    def drops_footnote(self, drops_per_ml):
        """Footnote with drops for a dropper that was counted today.

        Parameters
        ----------
        drops_per_ml : float
            Drops counted into 1 mL from this very bottle [drops/mL].

        Returns
        -------
        str
            The footnote [-].

        Raises
        ------
        InputError
            If the count is not positive.

        Examples
        --------
        >>> plan = BatchPlan((), (), Climate(air_c=19, hull_c=18, humidity_percent=60), CrewRules(), ())
        >>> plan.drops_footnote(20)
        'Drops of a bottle counted at 20 drops/mL, for small pots only; the mL figure governs: no catalysed batch.'
        """
        drops = [f"batch {b.number} {float(drop_count(b.second_ml, drops_per_ml=drops_per_ml)):.0f}"
                 for b in self.batches if b.second_part == "catalyst"]
        count = float(positive("counted drops", drops_per_ml, "drops/mL"))
        return (f"Drops of a bottle counted at {count:g} drops/mL, for small pots only; the mL figure governs: "
                f"{', '.join(drops) or 'no catalysed batch'}.")


def _as_used(limit, value):
    if math.isclose(value, limit.value):
        return limit.words
    return Sentence("{limit}; here {value} was entered", limit=limit.words, value=limit.amount(value))


def clock_minutes(text):
    """Minutes after midnight of a time of day.

    Parameters
    ----------
    text : str
        Time of day, 'HH:MM' [-].

    Returns
    -------
    int
        Minutes after midnight [min].

    Raises
    ------
    InputError
        If the text is no time of day.

    Examples
    --------
    >>> clock_minutes("08:30")
    510
    """
    found = re.fullmatch(r"([01]?\d|2[0-3]):([0-5]\d)", text.strip()) if isinstance(text, str) else None
    if found is None:
        raise InputError("time of day", "must be written HH:MM", text, "for example 08:00")
    return int(found[1]) * 60 + int(found[2])


def clock(minutes, *, down=False):
    """Time of day in words for minutes after midnight of day 1.

    Parameters
    ----------
    minutes : float
        Minutes after midnight of day 1 [min].
    down : bool
        Round down to the whole minute, for a deadline [-].

    Returns
    -------
    str
        'HH:MM', from day 2 on with the day [-].

    Raises
    ------
    InputError
        If the minutes are negative.

    Examples
    --------
    >>> clock(510), clock(1440 + 480)
    ('08:30', 'day 2 08:00')
    """
    value = float(positive("clock", minutes, "min", zero=True))
    whole = math.floor(value + _ROUNDING) if down else math.ceil(value - _ROUNDING)
    day, rest = divmod(whole, _DAY)
    return ("" if day == 0 else f"day {day + 1} ") + f"{rest // 60:02d}:{rest % 60:02d}"
