"""What comes of a stack in the schedule editor: a sentence and a table of figures."""

import numpy as np
import pandas as pd

from lamcalc import units
from lamcalc.sentences import counted
from lamcalc.workbook import tables
from lamcalc.workbook.page_thickness import money


def sentence(schedule, found, system):
    """What comes of a stack, in a sentence.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].
    found : Review
        Sequence review of the schedule [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Thickness with its band, mass, and what the review says [-].

    Examples
    --------
    >>> from lamcalc.shop import job, sequence
    >>> skin = job.schedule(job.load_demo(), "transom_inner_skin")
    >>> sentence(skin, sequence.review(skin), "metric")[:17]
    '5 layers: 5.51 mm'
    """
    low, high = schedule.thickness_band_mm()
    worst = {"none": "The sequence review finds nothing, which is no proof.", "note": "The sequence review has notes.",
             "warn": "The sequence review warns: see the marks.", "refuse": "The sequence review refuses it: see the marks."}
    return (f"{counted(len(schedule.laid), 'layer')}: {units.show(schedule.total_thickness_mm, 'thickness', system)} "
            f"({units.show(low, 'thickness', system)} to {units.show(high, 'thickness', system)}), "
            f"{units.show(schedule.areal_mass_kg_m2, 'areal_mass', system)}. {worst[found.worst]}")


def numbers(schedule, currency, system):
    """Figures of a stack.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].
    currency : str
        Name of the money [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    DataFrame
        Columns result, value, unit [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> numbers(job.schedule(job.load_demo(), "transom_inner_skin"), "credits", "metric")["result"].tolist()[:2]
    ['thickness', 'mass']
    """
    plane, bent = schedule.laminate.in_plane, schedule.laminate.flexural
    rows = [("thickness", schedule.total_thickness_mm, "thickness"), ("mass", schedule.areal_mass_kg_m2, "areal_mass"),
            ("glass content by mass", schedule.glass_fraction, "fraction"), ("resin", schedule.resin_kg_m2, "areal_mass"),
            ("stiffness along, pulled (Ex)", plane.ex, "modulus"), ("stiffness across, pulled (Ey)", plane.ey, "modulus"),
            ("stiffness in shear (Gxy)", plane.gxy, "modulus"), ("stiffness along, bent", bent.ex, "modulus"),
            ("stiffness across, bent", bent.ey, "modulus")]
    lines = [(words, tables.column(float(value), kind, system)[0], units.unit_label(kind, system))
             for words, value, kind in rows]
    missing = f" without {', '.join(schedule.unpriced)}" if schedule.unpriced else ""
    cost = "-" if np.isnan(schedule.cost_per_m2) else money(schedule.cost_per_m2, currency, system)
    lines.append(("material cost, before waste", cost + missing, ""))
    return pd.DataFrame(lines, columns=["result", "value", "unit"])
