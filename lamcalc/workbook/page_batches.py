"""What notebook 07 shows: how much to mix, and how long it lasts."""

from functools import cached_property

import pandas as pd
from IPython.display import HTML

from lamcalc import units
from lamcalc.errors import InputError
from lamcalc.sentences import joined, told
from lamcalc.shop.floor_entry import mixing_doubts
from lamcalc.shop.batch_plan import clock
from lamcalc.shop.batching import Climate
from lamcalc.shop.job_batches import job_climate, plan_needs, resin_needs
from lamcalc.shop.job_schedule import first_part
from lamcalc.shop.mixing import catalyst_ml
from lamcalc.shop.practice_claims import claims_table
from lamcalc.workbook import explain, tables
from lamcalc.workbook.controls import Choice, Count, QuantitySlider, UnitSystem
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_batches import ClockPicture

DAY = 24 * 60
CAUTIONS = (
    "The pours of a cast core are NOT in a batch plan: no pot, catalyst or waiting time is planned for them, and a thick pour gets "
    "far hotter than a laminate. Pour by its own product sheet, lift by lift, and let each lift cool before the next layer.",
    "Gel times are ranges; the first pot of the day shows where today lies. A pot that gets warm is finished: take it outside, "
    "never into a bin. A full pot left standing can pass 150 degC (302 degF), smoke and burn.",
    "Never mix peroxide catalyst and cobalt promoter directly: the mixture explodes. Goggles and gloves for every measure; "
    "peroxide in the eye: flush with water for 15 minutes and see a doctor.",
    "Catalyst by syringe or scale, inside the can's window. Below the floor temperature the answer is heat, not catalyst.",
    "Styrene vapour: organic-vapour respirator and a fan; the local limit governs. No flame, no sparks.",
    *tables.GENERAL_CAUTIONS,
)


class BatchesPage:
    """The tables, sentences and pictures of notebook 07.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    name : str, optional
        Part whose pots are planned; the first that will do if not given [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> "17.0 degC" in BatchesPage(job.load_demo()).answer().data
    True
    """

    def __init__(self, job, name=None, *, system=None):
        self.job, self.name, self.system = job, name or first_part(job), system or job.units

    @cached_property
    def _needs(self):
        found = {}
        for name, part in self.job.parts.items():
            if part.chosen:
                try:
                    found[name] = resin_needs(self.job, name)
                except InputError as error:
                    found[name] = error
        return found

    def _need(self, name):
        found = self._needs[name]
        if isinstance(found, InputError):
            raise found
        return found

    @cached_property
    def plan(self):
        """Plan of the part for the job's readings, a `BatchPlan` [-]."""
        return plan_needs(self.job, self._need(self.name))

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        asked = mixing_doubts(self.job)
        try:
            words = _words(self.plan, self.system, self.job.parts[self.name].title)
        except InputError as problem:  # in such heat hardly a batch can be planned: the refusal asks, too
            if not asked:
                raise
            raise InputError(problem.name, problem.rule, problem.value,
                             joined("; ", filter(None, (problem.next_step, *asked)))) from None
        return tables.show_sentence(words, [told(line, self.system) for line in asked])

    def table(self):
        """Pots of the first day, as HTML [-]."""
        return tables.show_table(_pots(self.plan, self.system))

    def workings(self):
        """Catalyst of the pots of the first day with the numbers put in, folded, as HTML [-]."""
        pots = [pot for pot in first_day(self.plan) if pot.second_part == "catalyst"]
        return explain.show(*(explain.catalyst_working(pot.can, pot.resin_kg, 100 * pot.second_ml / pot.resin_ml, self.system)
                              for pot in pots))

    def other_days(self):
        """Sessions of the whole part, as HTML [-]."""
        plan = self.plan
        return tables.show_table(tables.frame(self.system, {
            "first": (None, [told(s.after, self.system) or "-" for s in plan.sessions]), "session": (None, [s.number for s in plan.sessions]), "what is laid": (None, ["; ".join(s.plies) for s in plan.sessions]),
            "thickness": ("thickness", [s.thickness_mm for s in plan.sessions]),
            "from": (None, [clock(s.start) for s in plan.sessions]), "to": (None, [clock(s.end) for s in plan.sessions]),
            "hottest without heat loss": ("temperature", [s.ceiling_c for s in plan.sessions])}))

    def findings(self):
        """Warnings of the day, as HTML [-]."""
        return tables.show_list([f"{f.severity}: {told(f.text, self.system)}" for f in self.plan.findings])

    def figure(self):
        """Batch clock of the first day, as an HTML picture [-]."""
        return HTML(ClockPicture().draw(first_day(self.plan), live=False))

    def inputs(self):
        """Readings, cans, crew and rules, as HTML [-]."""
        shop, plan = self.job.shop, self.plan
        show = lambda value: units.show(value, "temperature", self.system)
        rows = [("hull", show(shop.hull_temperature_c), f"job file, {shop.status}"), ("air", show(shop.air_temperature_c), f"job file, {shop.status}"),
                ("humidity", f"{shop.humidity_percent:g} %", f"job file, {shop.status}"), ("crew", f"{shop.crew} {'person' if shop.crew == 1 else 'people'}", f"job file, {shop.status}")]
        for key, can in self.job.resins.items():
            text = (f"{can.gel_minutes:g} min at {show(can.gel_temperature_c)} with {can.gel_catalyst_percent:g} %, window "
                    f"{can.catalyst_low_percent:g} to {can.catalyst_high_percent:g} % by {can.catalyst_basis}" if can.kind == "catalysed"
                    else f"{can.ratio_by_volume:g}:1 by volume" + ("" if can.pot_life_minutes else "; no pot life in the job, so no pots can be planned with it"))
            rows.append((f"can of {key.replace('_', ' ')}", text, f"job file, {can.status}"))
        rows += [("rule", rule, origin.rstrip("]")) for rule, _, origin in (
            told(words, self.system).partition(" [") for words in plan.assumptions)]
        return tables.show_table(pd.DataFrame(rows, columns=["input", "value with unit", "source and status"]))

    def claims(self):
        """Contradictions about catalyst and temperature, as HTML [-]."""
        return tables.show_table(claims_table("batches"))

    def check(self):
        """A published case, as HTML [-]."""
        return tables.show_table(pd.DataFrame([{"case": "gel coat, 1.8 % catalyst in a US quart (946.353 mL)", "printed [mL]": 17.0,
                                                "computed [mL]": float(catalyst_ml(946.353, 1.8)),
                                                "source": "marine coatings maker, gel coat page"}]))

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def panel(self, unit_system=None):
        """Live panel: part, hull temperature, catalyst and crew.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Show its ``box`` [-].
        """
        climate = job_climate(self.job)
        parts = [(self.job.parts[name].title or name, name) for name in self._needs]
        controls = {"part": Choice("Part", parts, self.name),
                    "hull_c": QuantitySlider("Hull and shop", "temperature", climate.hull_c, 5.0, 35.0, 0.5),
                    "percent": QuantitySlider("Catalyst by volume", "fraction", 0.015, 0.005, 0.04, 0.001),
                    "people": Count("People wetting out", self.job.shop.crew, 1, 8)}
        return Panel(controls, self.day, words=_live_words, table=_pots, picture=_FirstDay(), idle=self._idle,
                     unit_system=unit_system or UnitSystem(system=self.system))

    def _idle(self, part, **_others):
        needs = self._needs[part]
        if isinstance(needs, InputError) or not needs:
            return "hull_c", "percent", "people"
        return () if any(_dosed(need.can) for need in needs) else ("percent",)

    def day(self, part, hull_c, percent, people):
        """Plan of a part for another day.

        Parameters
        ----------
        part : str
            Name of the part [-].
        hull_c : float
            Temperature of the hull; the air keeps its distance from it as in the job [degC].
        percent : float
            Catalyst of the laminating resins, as a fraction by volume [-].
        people : int
            Hands that wet out [-].

        Returns
        -------
        BatchPlan
            Pots and sessions [-].

        Raises
        ------
        InputError
            If it is too cold, the catalyst leaves the window, or the can cannot be planned.
        """
        now = job_climate(self.job)
        climate = Climate(air_c=hull_c + now.air_c - now.hull_c, hull_c=hull_c, humidity_percent=now.humidity_percent)
        try:
            needs = self._need(part)
        except InputError as problem:
            until = "until it stands in the job, temperature, catalyst and people change nothing here"
            raise InputError(problem.name, problem.rule, problem.value, "; ".join(filter(None, (problem.next_step, until)))) from None
        return plan_needs(self.job, needs, climate=climate, people=people, percent_v=round(100 * percent, 6))


def _dosed(can):
    """Whether the panel's catalyst goes into a can: not where a hardener goes by its ratio, nor into gel coat."""
    return not can.is_epoxy and can.family != "gel coat"


def _live_words(plan, system):
    fixed = "" if any(_dosed(pot.can) for pot in plan.batches) else (
        " The catalyst cannot be changed: the hardener of these cans goes by their ratio, and gel coat keeps its usual dose.")
    return _words(plan, system, "") + fixed


def first_day(plan):
    """Pots that are mixed on the first day with pots.

    Parameters
    ----------
    plan : BatchPlan
        Any plan [-].

    Returns
    -------
    list of Batch
        In the order mixed [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> first_day(SimpleNamespace(batches=()))
    []
    """
    day = min((pot.mix_at // DAY for pot in plan.batches), default=0)
    return [pot for pot in plan.batches if pot.mix_at // DAY == day]


def _words(plan, system, title):
    pots = first_day(plan)
    shortest = min(pot.gels.low - pot.mix_at for pot in pots)
    day = units.show(plan.climate.hull_c, "temperature", system)
    stops = "".join(f" NOT planned, before session {s.number}: {told(s.after, system)}." for s in plan.sessions if s.after)
    return (f"{title + ': ' if title else ''}{len(pots)} pot{'s' if len(pots) > 1 else ''} on the first day with the hull at {day}, the largest "
            f"{units.show(max(pot.resin_kg for pot in pots), 'mass', system)} of resin; catalyst altogether "
            f"{sum(pot.second_ml for pot in pots):.1f} mL. The first gels {shortest:.0f} minutes after "
            f"mixing at the earliest, so it must be on the job within {plan.rules.gel_share * shortest:.0f}.{stops}")


def _pots(plan, system):
    pots = first_day(plan)
    return tables.frame(system, {
        "pot": (None, [p.number for p in pots]), "goes into": (None, ["; ".join(p.plies) for p in pots]),
        "resin": (None, [p.can.name for p in pots]), "resin to mix": ("mass", [p.resin_kg for p in pots]),
        # syringes and scales for it show mL and g everywhere, as on the sheet
        "catalyst or hardener [mL]": (None, tables.column([p.second_ml for p in pots], "small_volume", "metric")),
        "the same by mass [g]": (None, tables.column([p.second_kg for p in pots], "small_mass", "metric")),
        "mix at": (None, [clock(p.mix_at) for p in pots]), "on the job by": (None, [clock(p.use_by, down=True) for p in pots]),
        "gels between": (None, [f"{clock(p.gels.low, down=True)} and {clock(p.gels.high)}" for p in pots])})


class _FirstDay:
    """The reused clock of a plan's first day."""

    def __init__(self):
        self._picture = ClockPicture()

    def draw(self, plan, system):
        """Clock of the first day as HTML.

        Parameters
        ----------
        plan : BatchPlan
            Result of the panel [-].
        system : {"metric", "us"}
            Unit system; a clock has none [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        return self._picture.draw(first_day(plan))
