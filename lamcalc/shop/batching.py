"""Batches with a clock: how much to mix, with what, when, and by when it must be on the job."""

import math
from dataclasses import dataclass

from lamcalc.errors import InputError, fraction, positive
from lamcalc.sentences import Figure, Sentence, rule_sentence
from lamcalc.shop.batch_plan import Batch, BatchPlan, CrewRules, PlyNeed, Session, clock, clock_minutes
from lamcalc.shop.climate import Climate, Minutes, adiabatic_rise, check_day, gel_time, pot_life
from lamcalc.shop.fresh_air import STYRENE_MOLAR_MASS_G, mg_m3_per_ppm, ventilation_m3_h
from lamcalc.shop.limits import (
    BULK_EXOTHERM,
    GEL_SHARE,
    HEAT_OF_CURE,
    HEAT_OF_CURE_EPOXY,
    POT_MASS_FACTOR,
    SESSION_GAP,
    SESSION_THICKNESS,
    STYRENE_EXPOSURE,
    STYRENE_SHARE,
    TEMPERATURE_WARM,
    WET_OUT_RATE,
    Finding,
)
from lamcalc.shop.mixing import catalyst_dose, epoxy_mix
from lamcalc.shop.resin_can import ResinCan

__all__ = ["Batch", "BatchPlan", "Climate", "CrewRules", "Minutes", "PlyNeed", "ResinCan", "Session", "clock",
           "clock_minutes", "crew_batch_kg", "gel_time", "plan_batches", "pot_life"]

_DAY = 24 * 60
_ROUNDING = 1e-9  # a sum of floats must not open another pot or session


def crew_batch_kg(gel_minutes, *, people, wet_out_kg_min=float(WET_OUT_RATE), gel_share=float(GEL_SHARE),
                  mixing_min=0.0, two_part=False):
    """Largest batch that a crew wets out in a share of the gel time.

    Parameters
    ----------
    gel_minutes : array_like, shape (...)
        Gel time; use the low end of its range [min].
    people : int
        Hands that wet out [-].
    wet_out_kg_min : float
        Mixed resin that one person lays and rolls out, a proposal [kg/min].
    gel_share : float
        Share of the gel time, two thirds by common practice [-].
    mixing_min : float
        Stirring time that the clock loses [min].
    two_part : bool
        Whether resin and hardener are mixed by ratio, so that the time is a pot life and no dose changes it [-].

    Returns
    -------
    ndarray, shape (...)
        Batch [kg].

    Raises
    ------
    InputError
        If nothing is left of the gel time after stirring, or an input is out of range.

    References
    ----------
    Common practice: wet out in about two thirds of the gel time.

    Examples
    --------
    >>> round(float(crew_batch_kg(30, people=2)), 6)
    4.0
    """
    usable = (positive("gel time", gel_minutes, "min") * fraction("share of the gel time", gel_share, one=True)
              - positive("mixing time", mixing_min, "min", zero=True))
    if not (usable > 0).all():
        what, slower = (("pot life", "use a slower hardener of the same resin") if two_part else
                        ("gel time", "use a slower catalyst dose inside the window"))
        raise InputError(what, f"is too short: {gel_share:.2f} of it leaves nothing after {mixing_min:g} min of "
                         "stirring [min]", gel_minutes, f"cool the resin, {slower}")
    return usable * positive("people", people) * positive("wet-out rate", wet_out_kg_min, "kg/min")


def plan_batches(needs, climate, *, percent_v=None, rules=CrewRules(), floor_c=None):
    """Batch list with a clock across plies, sessions and days.

    Parameters
    ----------
    needs : sequence of PlyNeed
        Plies in the order of laying [-].
    climate : Climate
        Readings of the day [-].
    percent_v : dict, optional
        Catalyst by name of the can; the can's usual percentage if not given [% by volume].
    rules : CrewRules
        Crew, pots and working day [-].
    floor_c : float, optional
        Lowest temperature allowed, 15 if not given [degC].

    Returns
    -------
    BatchPlan
        Batches, sessions and findings [-].

    Raises
    ------
    InputError
        On a day that is too cold or damp, a catalyst outside the window, a ply thicker than a session,
        or a ply that the crew cannot lay within the working day.

    Notes
    -----
    The batch size uses the shortest gel time: the warmest of hull, air and resin and the fastest rate.  It is also so
    small that the last of it leaves the pot before the low end of its pot life, as if nothing were poured out before;
    with `CrewRules.tray` this limit falls, because poured out flat the resin keeps its gel time.
    Plies share a pot while they use the same resin and fit; a ply that needs more is split into equal pots.
    A ply that waits for work outside the plan, such as a poured core, starts on the next day at the earliest.
    Resin masses are before the catalyst, which comes on top; for epoxy the mass is resin and hardener together.

    References
    ----------
    Limits with status and source in `lamcalc.shop.limits`; `BatchPlan.assumptions` lists those used.

    Examples
    --------
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> needs = [PlyNeed(name="1 mat 450", resin_kg=1.1, thickness_mm=1.05, can=can, glass_fraction=0.30)]
    >>> plan = plan_batches(needs, Climate(air_c=18.5, hull_c=17, humidity_percent=63))
    >>> [(round(b.second_ml, 1), clock(b.mix_at)) for b in plan.batches]
    [(15.0, '08:00')]
    """
    needs = tuple(needs)
    if not needs:
        raise InputError("plies", "must contain at least one", needs, "add the plies of the part")
    day = check_day(climate) if floor_c is None else check_day(climate, floor_c=floor_c)
    doses = _doses(needs, percent_v)
    gel = {need.can: _gel(need.can, climate, doses.get(need.can)) for need in needs}
    largest = {can: _largest_pot(can, climate, rules, doses[can], gel[can]) for can in gel}
    crew = _Crew(climate, rules, doses, gel, largest)
    start, batches, sessions = clock_minutes(rules.start), [], []
    for group in _group_sessions(needs, crew):
        if group[0].after:
            start = (math.floor(start / _DAY) + 1) * _DAY
        start = _fit_in_day(start, crew.minutes(group), rules)
        session, pots = _lay(group, crew, start, len(sessions) + 1, len(batches) + 1)
        sessions.append(session)
        batches.extend(pots)
        start = session.end + rules.gap_min
    findings = day + tuple(_plan_findings(batches, sessions, climate, rules, crew))
    return BatchPlan(tuple(batches), tuple(sessions), climate, rules, findings)


def _doses(needs, percent_v):
    chosen = dict(percent_v or {})
    unknown = set(chosen) - {need.can.name for need in needs}
    if unknown:
        raise InputError("catalyst percentages", "must name resins of this plan", sorted(unknown), "check the names")
    doses = {}
    for need in needs:
        if need.can.is_epoxy and need.can.name in chosen:
            raise InputError(f"catalyst of {need.can.name}", "does not exist for epoxy", chosen[need.can.name],
                             "leave it out: epoxy is mixed by its ratio")
        doses[need.can] = None if need.can.is_epoxy else chosen.get(need.can.name, need.can.usual)
    return doses


def _gel(can, climate, percent):
    """Gel range of today: shortest where it is warmest, longest where it is coldest."""
    low = gel_time(can, climate.warmest_c, percent_v=percent).low
    typical = gel_time(can, climate.hull_c, percent_v=percent).typical
    high = gel_time(can, climate.coldest_c, percent_v=percent).high
    return Minutes(float(low), float(typical), float(high))


def _largest_pot(can, climate, rules, percent, gel):
    """(kg, whether the pot life decides): largest mixed batch by wet-out, pot, and pot life if it stays in the pot."""
    crew = float(crew_batch_kg(gel.low, people=rules.people, wet_out_kg_min=rules.wet_out_kg_min,
                               gel_share=rules.gel_share, mixing_min=rules.mixing_min, two_part=can.is_epoxy))
    most = min(crew, rules.pot_kg)

    def in_time(kg):
        life = pot_life(can, climate.pot_c, mass_kg=kg, percent_v=percent).low
        return rules.mixing_min + kg / rules.rate_kg_min <= life

    if rules.tray or in_time(most):
        return most, False
    low, high = 0.0, most
    for _ in range(14):  # halving keeps the end that is in time
        middle = (low + high) / 2
        low, high = (middle, high) if in_time(middle) else (low, middle)
    return low, True


@dataclass(frozen=True)
class _Crew:
    """Everything that turns a group of plies into pots: kept together so that planning and clock agree."""

    climate: Climate
    rules: CrewRules
    doses: dict
    gel: dict
    pots: dict

    def limit_kg(self, can):
        """Largest mixed batch of a can: what the crew wets out in time, the pot, or its pot life."""
        return self.pots[can][0]

    def parts(self, can, kg):
        """(resin kg, resin mL, word, second kg, second mL, dose in words) for the resin of one pot."""
        if can.is_epoxy:
            mix = epoxy_mix(can, kg)
            words = f"{mix.ratio_v:g}:1 by volume, {mix.ratio_w:.2f}:1 by weight"
            return mix.resin_kg, mix.resin_ml, "hardener", mix.hardener_kg, mix.hardener_ml, words
        dose = catalyst_dose(can, kg, self.doses[can])
        words = f"{dose.percent_v:g} % by volume, {dose.percent_w:.2f} % by weight"
        return kg, dose.resin_ml, "catalyst", dose.grams / 1e3, dose.ml, words

    def mixed_kg(self, can, kg):
        """Mass in the pot for a resin need."""
        resin, _, _, second, _, _ = self.parts(can, kg)
        return resin + second

    def portions(self, group):
        """Pots of a group as (plies, can, kg): neighbours share a pot while they fit, a big ply is split evenly."""
        pots = []
        for need in group:
            limit = self.limit_kg(need.can)
            if pots and pots[-1][1] == need.can and self.mixed_kg(need.can, pots[-1][2] + need.resin_kg) <= limit:
                plies, can, kg = pots.pop()
                pots.append((plies + (need.name,), can, kg + need.resin_kg))
                continue
            count = math.ceil(self.mixed_kg(need.can, need.resin_kg) / limit - _ROUNDING)
            pots.extend(((need.name,), need.can, need.resin_kg / count) for _ in range(count))
        return pots

    def pot_minutes(self, can, kg):
        """Stirring and wetting out one pot [min]."""
        return self.rules.mixing_min + self.mixed_kg(can, kg) / self.rules.rate_kg_min

    def minutes(self, group):
        """Length of a session [min]."""
        return sum(self.pot_minutes(can, kg) for _, can, kg in self.portions(group))


def _group_sessions(needs, crew):
    rules, groups = crew.rules, [[]]
    day_length = clock_minutes(rules.end) - clock_minutes(rules.start)
    for need in needs:
        if need.thickness_mm > rules.session_mm + _ROUNDING:
            raise InputError(f"thickness of {need.name}", rule_sentence(
                             "must not exceed the session limit of {most} [mm]: a thick stack overheats",
                             most=rules.session_mm), need.thickness_mm,
                             "lay it in two or more plies")
        if crew.minutes([need]) > day_length:
            raise InputError(f"wet-out of {need.name}", f"must fit into the working day of {day_length} [min]",
                             round(crew.minutes([need])), "more people, a longer day, or a smaller part")
        trial = groups[-1] + [need]
        full = (need.new_session or bool(need.after) or sum(item.thickness_mm for item in trial) > rules.session_mm + _ROUNDING
                or len(trial) > rules.session_plies or crew.minutes(trial) > day_length)
        if full and groups[-1]:
            groups.append([need])
        else:
            groups[-1].append(need)
    return groups


def _fit_in_day(start, minutes, rules):
    day = math.floor(start / _DAY) * _DAY
    opening, closing = day + clock_minutes(rules.start), day + clock_minutes(rules.end)
    start = max(start, opening)
    return start if start + minutes <= closing + _ROUNDING else opening + _DAY


def _lay(group, crew, start, session_number, first_batch):
    time, pots = start, []
    for plies, can, kg in crew.portions(group):
        resin_kg, resin_ml, word, second_kg, second_ml, share = crew.parts(can, kg)
        gel = crew.gel[can]
        life = pot_life(can, crew.climate.pot_c, mass_kg=resin_kg + second_kg, percent_v=crew.doses[can])
        end = time + crew.pot_minutes(can, kg)
        pots.append(Batch(first_batch + len(pots), session_number, plies, can, resin_kg, resin_ml, word, second_kg,
                          second_ml, share, time, end, time + crew.rules.gel_share * gel.low,
                          Minutes(*(time + value for value in gel)), Minutes(*(float(value) for value in life))))
        time = end
    session = Session(session_number, tuple(need.name for need in group), float(sum(n.thickness_mm for n in group)),
                      start, time, _ceiling(group, crew.climate), _fresh_air(pots, start, crew.rules), group[0].after)
    return session, pots


def _ceiling(group, climate):
    rises = [float(adiabatic_rise(need.glass_fraction,
                                  heat_j_g=float(HEAT_OF_CURE_EPOXY if need.can.is_epoxy else HEAT_OF_CURE)))
             for need in group]
    return climate.warmest_c + max(rises)


def _fresh_air(pots, start, rules):
    hours = (max(pot.gels.low for pot in pots) - start) / 60  # taken as lost until the last pot gels, not later
    styrene = sum(pot.resin_kg * _styrene(pot.can) for pot in pots)
    limit = rules.exposure_ppm * mg_m3_per_ppm(STYRENE_MOLAR_MASS_G)
    # the share of styrene is already in the mass, so the flow is linear in it
    return float(ventilation_m3_h(styrene / STYRENE_SHARE.value, hours=hours, limit_mg_m3=limit))


def _styrene(can):
    if can.styrene_fraction is not None:
        return can.styrene_fraction
    return 0.0 if can.is_epoxy else STYRENE_SHARE.value


def _plan_findings(batches, sessions, climate, rules, crew):
    if climate.warmest_c > TEMPERATURE_WARM.value and rules.session_mm > SESSION_THICKNESS.low:
        yield Finding("warn", "session thickness", Sentence("on a warm day keep to {easy} instead of {asked}",
                                                         easy=_thick(SESSION_THICKNESS.low),
                                                         asked=_thick(rules.session_mm)), SESSION_THICKNESS)
    if rules.session_mm > SESSION_THICKNESS.high:
        yield Finding("warn", "session thickness", Sentence("{asked} is above common practice of {usual}",
                                                         asked=_thick(rules.session_mm),
                                                         usual=_thick(SESSION_THICKNESS.low, SESSION_THICKNESS.high)),
                      SESSION_THICKNESS)
    hot = [session for session in sessions if session.ceiling_c > BULK_EXOTHERM.value]
    if hot:
        yield Finding("warn", "exotherm", Sentence("without heat loss session {numbers} could reach {heat}: keep to the "
                                                "thickness, let it get hand-cool", numbers=_numbers(hot),
                                                heat=Figure(max(s.ceiling_c for s in hot), "temperature", digits=3)),
                      BULK_EXOTHERM)
    short = [batch for batch in batches if batch.pot_life.low < batch.done_by - batch.mix_at]
    if short:
        yield Finding("warn", "pot life", f"batch {_numbers(short)} may gel if it stays in the pot "
                      f"({math.floor(min(b.pot_life.low for b in short))} min): pour it out flat or into a tray at once",
                      POT_MASS_FACTOR)
    for can in [can for can, (_, decides) in crew.pots.items() if decides]:
        most = crew.limit_kg(can)
        if max((batch.mixed_kg for batch in batches if batch.can == can), default=0.0) < most / 2:
            continue  # all its pots are so small that the limit split none of them
        life = pot_life(can, climate.pot_c, mass_kg=most, percent_v=crew.doses[can])
        yield Finding("note", "pot life", Sentence(
            "pots of {name} are held to {most}, so that they are empty before they can gel: in the pot {low} min at "
            "the shortest, {typical:.0f} min is typical", name=can.name, most=Figure(most, "mass", digits=3),
            low=math.floor(life.low), typical=life.typical), POT_MASS_FACTOR)
    far = sorted({b.can.name for b in batches if abs(climate.hull_c - b.can.at_c) > 10})
    if far:
        yield Finding("warn", "gel time",
                      f"{', '.join(far)}: more than 10 K from the can's reference, make a trial cup")
    for session in sessions:
        if session.after:
            yield Finding("warn", "not planned", Sentence("before session {number}: {after}. The clock of this session is the "
                                                      "earliest possible, not a promise", number=session.number,
                                                      after=session.after))
    if len(sessions) > 1:
        yield Finding("note", "sessions", "the clock of a later session holds for today's readings only: read again, "
                      "go on when hand-cool, inside the resin's recoat window", SESSION_GAP)
    if any(session.air_m3_h for session in sessions):
        yield Finding("note", "fresh air", Sentence("fan for {ppm:g} ppm styrene: {flow}, well mixed; respirator on, the local "
                                                 "limit governs", ppm=rules.exposure_ppm,
                                                 flow=Figure(max(s.air_m3_h for s in sessions), "air_flow")),
                      STYRENE_EXPOSURE)


def _thick(low, high=None):
    return Figure(low, "thickness", high=high, digits=3)


def _numbers(items):
    return ", ".join(str(item.number) for item in items)
