"""Entries of the shop, its cans and its price list that can be computed with but hardly meant."""

from datetime import date

from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.can_entry import can_doubts

OLD_YEARS = 5  # own choice: an older list says little of what is paid today
HOT_C = 40.0  # own choice: nobody lays up in more, and 50 degF entered as 50 degC is found


def temperature_doubts(job):
    """Temperatures of shop and hull that are hotter than anyone lays up in.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    The limit of 40 degC is own choice.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> temperature_doubts(load_demo())
    []
    """
    entered = (("air in the shop", job.shop.air_temperature_c), ("hull", job.shop.hull_temperature_c))
    return [Sentence("{value} for the {what} is hotter than anyone lays up in, above {most} (own choice): check the unit; "
                     "degrees Fahrenheit are written like {fahrenheit}", what=what,
                     value=Figure(value, "temperature", "degC", digits=3),
                     most=Figure(HOT_C, "temperature", "degC", digits=3), fahrenheit=f'"{value:g} degF"')
            for what, value in entered if value > HOT_C]


def price_doubts(job, today=None):
    """A price list that is dated later than today, or so long ago that it says little of what is paid today.

    Parameters
    ----------
    job : Job
        The job [-].
    today : date, optional
        Today's date; that of the computer if not given [-].

    Returns
    -------
    list of Sentence
        One sentence; empty where the date has come and is less than five years past (own choice) [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> print(*price_doubts(load_demo(), date(2026, 3, 1)))
    the prices are dated 2026-03-02, which is later than today, 2026-03-01: check the date
    """
    today, listed = today or date.today(), job.prices.date
    years = today.year - listed.year - ((today.month, today.day) < (listed.month, listed.day))
    if years >= OLD_YEARS:
        return [Sentence("the prices are dated {listed}, {years:g} years ago: ask the merchant again, and enter the date of the answer",
                         listed=listed.isoformat(), years=years)]
    if listed <= today:
        return []
    return [Sentence("the prices are dated {listed}, which is later than today, {today}: check the date",
                     listed=listed.isoformat(), today=today.isoformat())]


def mixing_doubts(job, resins=None, today=None):
    """What is to be asked before anything is mixed: temperatures and cans.

    Parameters
    ----------
    job : Job
        The job [-].
    resins : collection of str, optional
        Cans that are mixed, by name; all of the job if not given [-].
    today : date, optional
        Today's date; that of the computer if not given [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> mixing_doubts(load_demo())
    []
    """
    return temperature_doubts(job) + can_doubts(job, resins, today)


def floor_doubts(job, today=None):
    """What is to be asked about the shop, its cans and its price list.

    Parameters
    ----------
    job : Job
        The job [-].
    today : date, optional
        Today's date; that of the computer if not given [-].

    Returns
    -------
    tuple of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> floor_doubts(load_demo(), date(2026, 3, 2))
    ()
    """
    return (*mixing_doubts(job, today=today), *price_doubts(job, today))
