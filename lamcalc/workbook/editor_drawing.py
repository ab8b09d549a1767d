"""The stack of the schedule editor, drawn to scale as light SVG that reads in black and white."""

import html

import numpy as np

from lamcalc import units
from lamcalc.workbook import style

ROOM = 260.0  # height of the stack on the screen, in pixels
_WIDTH, _WHOLE, _LABEL_STEP = 150.0, 760, 15.0
_FILLS = {"csm": ("sky", "mat"), "ud": ("sea", "stitched"), "woven": ("brick", "woven roving"), "cloth": ("ochre", "cloth")}
_MARKS = {"refuse": "X", "warn": "!", "note": "i"}


def marks_by_row(found):
    """Gravest finding at each layer.

    Parameters
    ----------
    found : Review
        Sequence review of the schedule [-].

    Returns
    -------
    dict of int to str
        'refuse', 'warn' or 'note' by row of the schedule's table, from 1 [-].

    Examples
    --------
    >>> from lamcalc.shop.sequence import Review
    >>> marks_by_row(Review("skin", "outer_first", ()))
    {}
    """
    marks = {}
    for finding in found.findings:  # the gravest come first
        for ply in finding.plies:
            marks.setdefault(ply, finding.severity)
    return marks


def drawing(schedule, found, system):
    """Section through a schedule to scale, the first layer of the list at the bottom.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].
    found : Review
        Sequence review of the schedule; its marks stand at the layers [-].
    system : {"metric", "us"}
        Unit system of the thicknesses [-].

    Returns
    -------
    str
        ``<svg>`` element with a title for screen readers [-].

    Examples
    --------
    >>> from lamcalc.shop import job, sequence
    >>> skin = job.schedule(job.load_demo(), "transom_inner_skin")
    >>> drawing(skin, sequence.review(skin), "metric").count("<rect")
    11
    """
    sub, total = schedule.sublayers, float(schedule.total_thickness_mm)
    thick = np.asarray(schedule.row_thickness_mm, dtype=float)
    top = np.cumsum(thick)
    scale, names, marks = ROOM / total, schedule.table()["material"].tolist(), marks_by_row(found)
    shapes = []
    for row, (end, height) in enumerate(zip(top, thick)):
        low = end - height
        inside = np.flatnonzero(sub.row == row)
        parts = [(str(sub.kind[k]), float(sub.thickness_mm[k])) for k in inside] or [("", height)]
        for kind, part in parts:
            fill = style.COLOURS[_FILLS.get(kind, ("stone", ""))[0]]
            shapes.append(f'<rect x="4" y="{ROOM + 10 - (low + part) * scale:.2f}" width="{_WIDTH}" '
                          f'height="{part * scale:.2f}" fill="{fill}" stroke="{style.COLOURS["ink"]}" stroke-width="0.7"/>')
            low += part
    places = _spread(ROOM + 10 - (top - 0.5 * thick) * scale)
    for row, (name, height, y, middle) in enumerate(zip(names, thick, places, ROOM + 10 - (top - 0.5 * thick) * scale)):
        mark = marks.get(row + 1)
        words = f"{row + 1}" + (f" [{_MARKS[mark]}]" if mark else "") + f"  {units.show(height, 'thickness', system)}  {name}"
        shapes.append(f'<path d="M{_WIDTH + 4} {middle:.2f}L{_WIDTH + 16} {y:.2f}" stroke="{style.COLOURS["ink"]}"/>'
                      f'<text x="{_WIDTH + 20}" y="{y + 4:.2f}" font-size="12">{html.escape(words)}</text>')
    tall = max(ROOM + 20, places[0] + 14)
    title = f"Section to scale of {len(thick)} layers, {units.show(total, 'thickness', system)} together"
    return (f'<svg role="img" aria-label="{html.escape(title)}" width="{_WHOLE}" height="{tall:.0f}" '
            f'viewBox="0 {min(0, places[-1] - 10):.0f} {_WHOLE} {tall - min(0, places[-1] - 10):.0f}">'
            f"<title>{html.escape(title)}</title>{''.join(shapes)}</svg>")


def _spread(middles):
    """Heights of the labels from the bottom up, pushed apart upwards where they would touch."""
    places = []
    for y in middles:
        places.append(min(float(y), places[-1] - _LABEL_STEP) if places else float(y))
    return places
