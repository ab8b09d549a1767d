"""Whether the engine of a job looks mistyped: too light, too weak, too close, or set back without its bracket."""

import re

from lamcalc.errors import InputError
from lamcalc.parts.loads import engine_mass
from lamcalc.parts.thrust import usual_thrust
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.job_transom import transom_part

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
            doubts += doubts_of_engine(job, part)
    return tuple(dict.fromkeys(doubts))


def doubts_of_engine(job, part):
    """Entries of the engine of one transom that do not fit each other; what and why says `engine_doubts`.

    Parameters
    ----------
    job : Job
        The job [-].
    part : TransomPart
        The transom, also one as a panel tries it [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty if nothing is doubtful [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> doubts_of_engine(load_demo(), load_demo().parts["transom"])
    []
    """
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
    return caution_of_engine(transom_part(job, name).engine)


def caution_of_engine(engine):
    """The same of one engine, also one that a panel tries.

    Parameters
    ----------
    engine : Engine
        Power, thrust and where the thrust comes from [kW, N].

    Returns
    -------
    Sentence or None
        As `thrust_caution` [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> str(caution_of_engine(load_demo().parts["transom"].engine))[:27]
    'The thrust taken is 2100 N;'
    """
    low, high = usual_thrust(engine.power_kw)
    if engine.thrust_n is None or engine.thrust_status in KNOWN or not WEAK * low <= engine.thrust_n < low:
        return None
    return Sentence("The thrust taken is {taken}; for {power} a published formula gives {low} to {high} (propellers from memory). "
                    "Enter the greater unless the pull was measured.", taken=Figure(engine.thrust_n, "force"), power=Figure(engine.power_kw, "power"),
                    low=Figure(low, "force"), high=Figure(high, "force"))
