"""Whether the plugs and calipers of the survey fit the schedule of what is there."""

from lamcalc.errors import InputError
from lamcalc.schedule import THICKNESS_BAND, Coat, CoreLayer
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue, schedule


def survey_doubts(job, name, part=None):
    """Thickness readings of a part that none of the skins of its original has.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    part : Part, optional
        The part as a panel tries it; that of the job if not given [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty where the readings fit, or there are none [-].

    Notes
    -----
    The mean of the readings, less their gel coat, is held against every skin of the original and against the whole wall,
    with and without coats; what is within 15 % of one of them fits.

    References
    ----------
    ABS racing-yacht guide 1994, 4.5.4d, seen second hand: hand lay-up scatters by 15 %.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> survey_doubts(load_demo(), "bottom")
    []
    """
    part = job.parts[name] if part is None else part
    if part.original is None or name not in job.survey or not job.survey[name].thickness:
        return []
    try:
        stack = schedule(job, part.original, catalogue(job))
    except InputError:  # refused elsewhere, in words
        return []
    found, there = [], (*_skins(stack), stack.structural_thickness_mm, stack.total_thickness_mm)
    for entry in job.survey[name].thickness:
        mean = sum(entry.readings_mm) / len(entry.readings_mm) - entry.gel_coat_mm
        nearest = min(there, key=lambda t: abs(mean / t - 1))
        if abs(mean / nearest - 1) > THICKNESS_BAND:
            found.append(Sentence(
                "the readings of {what} give {mean} without gel coat, but nothing of {original} is within 15 % of that, the "
                "nearest is {nearest}: margins and comparison follow the schedule; measure again, or change it", what=entry.name,
                mean=Figure(mean, "thickness"), original=job.schedules[part.original].title or part.original,
                nearest=Figure(nearest, "thickness")))
    return found


def _skins(stack):
    """Thickness of every run of layers between cores, coats left out [mm]."""
    runs = [0.0]
    for layer, t in zip(stack.laid, stack.row_thickness_mm, strict=True):
        if isinstance(layer, CoreLayer):
            runs.append(0.0)
        elif not isinstance(layer, Coat):
            runs[-1] += float(t)
    return tuple(t for t in runs if t > 0)
