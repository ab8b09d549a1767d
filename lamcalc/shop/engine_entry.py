"""Whether the engine of a job looks mistyped: too light or too weak for its power is the side on which a transom breaks."""

from lamcalc.errors import InputError
from lamcalc.parts.loads import engine_mass, static_thrust
from lamcalc.shop.job_schedule import catalogue
from lamcalc.units import Figure, Sentence

LIGHT = 0.7  # of the table's running mass; the lightest engines of a power band stay above
SMALL_PROPELLER = 200.0  # smaller than engines of 10 kW and more turn
WEAK = 0.5
LEAST_KW = 10.0
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
        Sentences for `units.told`; empty where nothing looks wrong [-].

    Notes
    -----
    Doubtful are: a power that differs from the craft's; a mass below 0.7 of the running mass of the power band;
    a thrust below half of the propeller formula with a propeller of 200 mm, for 10 kW and more.  The limits are
    own choice: they find pounds entered as kilograms and pounds-force as newtons, and pass no engine.

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
    if engine.thrust_n is None or engine.power_kw < LEAST_KW:
        return []
    low = WEAK * float(static_thrust(engine.power_kw, SMALL_PROPELLER))
    if engine.thrust_n >= low:
        return []
    return [Sentence("a thrust of {thrust} is little for {power}: even a propeller of {small} gives about {double} at rest; ask the "
                     "engine's maker, and check the unit", thrust=Figure(engine.thrust_n, "force", digits=3),
                     power=_kw(engine.power_kw), small=Figure(SMALL_PROPELLER, "small_length", digits=3),
                     double=Figure(low / WEAK, "force", digits=3))]
