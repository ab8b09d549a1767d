"""Whether plugs and calipers of the survey fit the schedule of what is there, and moisture what a meter can show."""

from lamcalc.errors import InputError
from lamcalc.schedule import THICKNESS_BAND, Coat, CoreLayer
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue, schedule

WETTEST = 100.0  # where the scales of pin meters end (common practice); a piece that was weighed and dried may hold more
DRIEST = 2.0  # own choice: wood in a boat holds 6 % and more, and meters begin there; shares of one stay below


def survey_doubts(job, name, part=None):
    """Moisture readings that no meter shows, and thickness readings of a part that none of the skins of its original has.

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
    with and without coats; what is within 15 % of one of them fits.  A moisture above 100 % is asked about, and a line
    whose wettest reading is above 0 and below 2 %: shares of one entered as percent.

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
    return [] if name not in job.survey else _moisture(job.survey[name]) + _thickness(job, job.survey[name].thickness, part)


def _moisture(area):
    found = []
    for line in area.moisture:
        most, place = max(line.percent), Figure(line.height_mm, "small_length", digits=4)
        if most > WETTEST:
            found.append(Sentence("moisture of {most:g} % in the line at {place}: meters read to {end:g} % at most (common practice), only "
                                  "wood weighed wet and dry may come to more; read again, and check the meter's "
                                  "scale", most=most, place=place, end=WETTEST))
        elif 0 < most < DRIEST:
            found.append(Sentence("moisture of {most:g} % at most in the line at {place}: no wood in a boat is that dry, below {end:g} % (own "
                                  "choice); write percent, not shares of one", most=most, place=place, end=DRIEST))
    return found


def _thickness(job, readings, part):
    if part.original is None or not readings:
        return []
    try:
        stack = schedule(job, part.original, catalogue(job))
    except InputError:  # refused elsewhere, in words
        return []
    found, there = [], (*_skins(stack), stack.structural_thickness_mm, stack.total_thickness_mm)
    for entry in readings:
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
