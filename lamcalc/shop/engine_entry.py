"""Whether the engine of a job looks mistyped: too light or too weak for its power is the side on which a transom breaks."""

from lamcalc.errors import InputError
from lamcalc.parts.loads import engine_mass
from lamcalc.parts.thrust import usual_thrust
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.job_transom import transom_part

LIGHT = 0.7  # of the table's running mass; the lightest engines of a power band stay above
WEAK = 0.5  # of the formula with the smallest usual propeller: no unit slip stays above
SAME_POWER = 0.02


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
    a thrust below half of `usual_thrust`; above that see `thrust_caution`.  The limits are own choice: they find
    pounds entered as kilograms and pounds-force as newtons, and pass no engine.

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
            doubts += _power(job.craft.engine_power_kw, part.engine) + _mass(job, part.engine) + _thrust(part.engine)
    return tuple(dict.fromkeys(doubts))


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
        The caution; None if the thrust is not below the formula, or so far below that `engine_doubts` speaks [-].

    Raises
    ------
    InputError
        If the job has no such transom.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> str(thrust_caution(load_demo()))[:40]
    'The thrust taken is 2100 N. For 30.0 kW '
    """
    engine = transom_part(job, name).engine
    low, high = usual_thrust(engine.power_kw)
    if engine.thrust_n is None or not WEAK * low <= engine.thrust_n < low:
        return None
    return Sentence("The thrust taken is {taken}. For {power} a published formula gives {low} to {high} with the propellers usual "
                    "on outboards (diameters from memory). Unless the pull was measured, enter the greater and read the margins "
                    "again.", taken=Figure(engine.thrust_n, "force"), power=Figure(engine.power_kw, "power"),
                    low=Figure(low, "force"), high=Figure(high, "force"))
