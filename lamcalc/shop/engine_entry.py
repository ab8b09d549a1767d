"""Whether the loads of a job look mistyped: an engine too light, too weak or too close, a panel that no person stands on."""

import re

from lamcalc.errors import InputError
from lamcalc.parts.loads import engine_mass
from lamcalc.parts.thrust import usual_thrust
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.job_transom import transom_part
from lamcalc.shop.material_entry import material_doubts
from lamcalc.shop.pressure_entry import PERSON_N, place_of, pressure_doubts
from lamcalc.shop.size_entry import size_doubts
from lamcalc.shop.survey_entry import survey_doubts

LIGHT = 0.7  # of the table's running mass; the lightest engines of a power band stay above
WEAK = 0.5  # of the formula with the smallest usual propeller: no unit slip stays above
SAME_POWER = 0.02
# levers shorter than on any outboard with its bracket; they find inches and centimetres entered as millimetres
CLOSE_MM = 80.0
# own choice: from memory the heaviest outboards have their centre of mass about 300 mm aft of their clamp
SET_BACK_MM = 350.0
_SET_BACK = re.compile(r"\bset[- ]?back\b", re.I)
_BRACKET = re.compile(r"\bset[- ]?back\b|(?<!engine )(?<!engine's )(?<!motor )(?<!clamp )(?<!clamping )\bbracket\b", re.I)
_NONE = re.compile(r"\b(no|not|without)( an?| any| on)*( set[- ]?back)?( bracket\b)?", re.I)
LEAST_FACTOR = 2.0  # common practice is 2 to 3
SHALLOW_MM = 350.0  # the shortest shafts are made for a transom of 15 in (381 mm), the propeller turns below its foot
KNOWN = ("measured", "data sheet", "source seen")
LIGHT_PERSON_N = 500.0  # off the decks, own choice: pounds-force entered as newtons are found


def engine_doubts(job):
    """Entries of the engines of a job that do not fit each other.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    tuple of str
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    Doubtful are: a power that differs from the craft's; a mass below 0.7 of the running mass of the power band;
    a thrust below half of `usual_thrust`; above that see `thrust_caution`; a centre of mass less than 80 mm aft of the
    bolts, or less than 350 mm where craft, title or notes speak of a bracket that sets the engine back; a propeller axis
    less than 350 mm below them; a factor below 2 on the weight.
    The limits are own choice: they find kilograms given as pounds, pounds-force as newtons, inches as millimetres and the
    lever of an engine without its bracket, and pass no engine.

    References
    ----------
    33 CFR 183 subpart H, table of outboard weights; Gerr, Propeller Handbook, as quoted second hand.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> engine_doubts(load_demo())
    ()
    """
    doubts = []
    for part in job.parts.values():
        if part.kind == "transom":
            doubts += _engine(job, part)
    return tuple(dict.fromkeys(doubts))


def entry_doubts(job, name, part=None):
    """What is to be asked about the loads of one part, the caution about the thrust included.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    part : Part, optional
        The part with other loads, as a panel tries them; that of the job if not given [-].

    Returns
    -------
    tuple of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    A patch load on a deck below the weight of one person of 75 kg, 735 N, is asked about, elsewhere one below 500 N (own
    choice): pounds-force entered as newtons are found.
    For pressures see `pressure_entry`, for sizes and counts `size_entry`, for cores and processes `material_entry`, for
    readings before the work `survey_entry`.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> entry_doubts(load_demo(), "sole"), len(entry_doubts(load_demo(), "transom"))
    ((), 1)
    """
    part = job.parts[name] if part is None else part
    found = [line for ask in (size_doubts, material_doubts, survey_doubts) for line in ask(job, name, part)]
    if part.kind == "transom":
        caution = _thrust_caution(part.engine)  # last: it says what to do
        return (*_engine(job, part), *found, *(() if caution is None else (caution,)))
    return (*_patch(name, part), *pressure_doubts(job, name, part), *found)


def asked_of_engines(job):
    """What is to be asked about the engines of a job, the caution about the thrust included.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    tuple of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> len(asked_of_engines(load_demo()))
    1
    """
    names = [name for name, part in job.parts.items() if part.kind == "transom"]
    return tuple(dict.fromkeys(line for name in names for line in entry_doubts(job, name)))


def _engine(job, part):
    engine = part.engine
    return (_power(job.craft.engine_power_kw, engine) + _mass(job, engine) + _thrust(engine) + _levers(engine)
            + _set_back(job.craft, part) + _factor(engine))


def _set_back(craft, part):
    """The lever of an engine on its own clamp, where words say that a bracket sets it back."""
    texts = [_NONE.sub(" ", text) for text in (craft.description, part.title, part.engine.note)]
    told = any(map(_BRACKET.search, texts)) or _SET_BACK.search(_NONE.sub(" ", part.note))
    aft = part.engine.centre_aft_mm
    if not told or not CLOSE_MM <= aft < SET_BACK_MM:
        return []
    return [Sentence("a bracket is spoken of, but the centre of mass is entered {aft} aft of the bolts, as that of an engine clamped on "
                     "the transom itself, under {most} (own choice): a set-back bracket adds its own length to it, and its own mass to the "
                     "engine's; measure from the bolts in the transom", aft=Figure(aft, "small_length", digits=3),
                     most=Figure(SET_BACK_MM, "small_length", digits=3))]


def _factor(engine):
    if engine.trailering_factor >= LEAST_FACTOR:
        return []
    return [Sentence("a factor of {factor:g} on the engine's weight is less than the {least:g} to 3 of common practice: on a trailer or in "
                     "a seaway the engine pulls that much harder; enter 1 only for an engine that is taken off for the road and never "
                     "meets waves", factor=engine.trailering_factor, least=LEAST_FACTOR)]


def _levers(engine):
    doubts = []
    if engine.centre_aft_mm < CLOSE_MM:
        doubts.append(Sentence("a centre of mass {aft} aft of the bolts is closer than on any outboard, at least about {least}: measure "
                               "it with the bracket, and check the unit", aft=Figure(engine.centre_aft_mm, "small_length", digits=3),
                               least=Figure(CLOSE_MM, "small_length", digits=2)))
    if engine.thrust_below_bolts_mm < SHALLOW_MM:
        doubts.append(Sentence("a propeller axis {below} below the bolts is less than on the shortest shafts, at least about {least}: "
                               "measure it, and check the unit", below=Figure(engine.thrust_below_bolts_mm, "small_length", digits=3),
                               least=Figure(SHALLOW_MM, "small_length", digits=2)))
    return doubts


def _patch(name, part):
    load = getattr(part, "patch_load", None)
    if load is None or load.force_n >= (PERSON_N if place_of(name, part) == "deck" else LIGHT_PERSON_N):
        return []
    return [Sentence("a load of {force} on a patch is less than one person standing there, about {person}: check the unit",
                     person=Figure(PERSON_N, "force", digits=3), force=Figure(load.force_n, "force", digits=3))]


def _kw(value):
    return Figure(value, "power", digits=3)


def _power(craft, engine):
    if craft is None or abs(engine.power_kw / craft - 1) <= SAME_POWER:
        return []
    return [Sentence("the craft has {craft}, the engine on the transom {engine}: one of the two is wrong, or the engine grows "
                     "and the repairer becomes the designer", craft=_kw(craft), engine=_kw(engine.power_kw))]


def _mass(job, engine):
    try:
        running = engine_mass(catalogue(job).outboard_for(power_kw=engine.power_kw)).running_kg
    except InputError:  # more power than the table has: nothing to compare with
        return []
    if engine.mass_kg >= LIGHT * running:
        return []
    return [Sentence("an engine mass of {mass} is light for {power}: the table of 33 CFR 183 subpart H has {table} ready to run; "
                     "read the plate, and the unit", mass=Figure(engine.mass_kg, "mass", digits=3), power=_kw(engine.power_kw),
                     table=Figure(running, "mass", digits=3))]


def _thrust(engine):
    low, _ = usual_thrust(engine.power_kw)
    if engine.thrust_n is None or engine.thrust_n >= WEAK * low:
        return []
    return [Sentence("a thrust of {thrust} is little for {power}: even with the smallest usual propeller a published formula gives "
                     "about {low} at rest; ask the engine's maker, and check the unit",
                     thrust=Figure(engine.thrust_n, "force", digits=3), power=_kw(engine.power_kw),
                     low=Figure(low, "force", digits=3))]


def thrust_caution(job, name=None):
    """What is to be said where the thrust taken is somewhat below what the engine's power suggests.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the transom; the first if not given [-].

    Returns
    -------
    Sentence or None
        The caution; None if the thrust is measured or the maker's, not below the formula, or so far below that
        `engine_doubts` speaks [-].

    Raises
    ------
    InputError
        If the job has no such transom.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> str(thrust_caution(load_demo()))[:40]
    'The thrust taken is 2100 N; for 30.0 kW '
    """
    return _thrust_caution(transom_part(job, name).engine)


def _thrust_caution(engine):
    low, high = usual_thrust(engine.power_kw)
    if engine.thrust_n is None or engine.thrust_status in KNOWN or not WEAK * low <= engine.thrust_n < low:
        return None
    return Sentence("The thrust taken is {taken}; for {power} a published formula gives {low} to {high} (propellers from memory). "
                    "Enter the greater unless the pull was measured.", taken=Figure(engine.thrust_n, "force"), power=Figure(engine.power_kw, "power"),
                    low=Figure(low, "force"), high=Figure(high, "force"))
