"""Survey readings of the job file to the map of a part."""

import numpy as np

from lamcalc.shop.survey import map_survey


def job_survey(job, name):
    """Map of tap and moisture readings of a part.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].

    Returns
    -------
    SurveyMap or None
        None where the job has no readings on a grid [-].

    Notes
    -----
    Heights and places of all lines make the grid; where a line has no reading the map says not read.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> round(job_survey(load_demo(), "transom").wet_share, 2)
    0.62
    """
    area = job.survey.get(name)
    if area is None or not (area.tap or area.moisture):
        return None
    lines = (*area.tap, *area.moisture)
    x = sorted({place for line in lines for place in line.x_mm})
    y = sorted({line.height_mm for line in lines})
    tap, moisture = np.full((len(y), len(x)), "-"), np.full((len(y), len(x)), np.nan)
    for grid, found, field in ((tap, area.tap, "sound"), (moisture, area.moisture, "percent")):
        for line in found:
            for place, value in zip(line.x_mm, getattr(line, field), strict=True):
                grid[y.index(line.height_mm), x.index(place)] = value
    skin = max(area.thickness, key=lambda plugs: len(plugs.readings_mm), default=None)
    return map_survey(x, y, tap=["".join(row) for row in tap] if area.tap else None,
                      moisture=moisture if area.moisture else None, extent_mm=_extent(job.parts.get(name)),
                      plugs_mm=skin.readings_mm if skin else (), gel_coat_mm=skin.gel_coat_mm if skin else 0.0,
                      not_opened=(area.not_opened,) if area.not_opened else ())


def _extent(part):
    shape = getattr(part, "outline", None)
    if shape is None:
        return None
    half = max(shape.top_width_mm, shape.chine_width_mm) / 2
    return -half, half, 0.0, shape.height_mm
