"""The stack of the schedule editor, drawn to scale as light SVG that reads in black and white."""

import html

import numpy as np

from lamcalc import units
from lamcalc.schedule import CoreLayer, Ply, layer_name, sublayer_weights
from lamcalc.sentences import counted, told
from lamcalc.workbook import style

ROOM = 260.0  # height of the stack on the screen, in pixels
_WIDTH, _WHOLE, _LABEL_STEP = 150.0, 760, 15.0
_FILLS = {"csm": ("sky", "mat"), "ud": ("sea", "stitched"), "woven": ("brick", "woven roving"), "cloth": ("ochre", "cloth")}
_MARKS = {"refuse": "X", "warn": "!", "note": "i"}
_COMPASS, _WORDS_AT = _WIDTH + 27, _WIDTH + 39  # middle of the strokes, start of the words
_KEY = ("Strokes: the way fibres or grain run, seen from the side of the last layer; level is along (0 deg), "
        "+45 deg points up to the right.")


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


def directions(layer):
    """Ways in which a layer is stiff.

    Parameters
    ----------
    layer : Ply, CoreLayer, SolidLayer or Coat
        Layer of a schedule [-].

    Returns
    -------
    tuple of float
        Angles from x towards y, rising, from 0 to below 180; none for what has no direction, such as mat [deg].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> [directions(layer) for layer in job.schedule(job.load_demo(), "transom_inner_skin").laid[:3]]
    [(), (0.0, 90.0), (45.0, 135.0)]
    """
    if isinstance(layer, Ply):
        kinds, _weights, turned, _psi = sublayer_weights(layer)
        angles = {float(angle + cross) % 180 for kind, angle in zip(kinds, turned) if kind != "csm"
                  for cross in ((0, 90) if kind in ("woven", "cloth") else (0,))}
        return tuple(sorted(angles))
    return (layer.angle_deg % 180,) if isinstance(layer, CoreLayer) and layer.core.directional else ()


def turned_words(layer):
    """How a layer is turned, to stand before its name.

    Parameters
    ----------
    layer : Ply, CoreLayer, SolidLayer or Coat
        Layer of a schedule [-].

    Returns
    -------
    str
        Words with a colon; nothing where it is not turned or has no direction [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> turned_words(job.schedule(job.load_demo(), "transom_inner_skin").laid[0])
    ''
    """
    return f"turned {layer.angle_deg:g} deg: " if getattr(layer, "angle_deg", 0) and directions(layer) else ""


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
    scale, marks = ROOM / total, marks_by_row(found)
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
    middles = ROOM + 10 - (top - 0.5 * thick) * scale
    places = _spread(middles)
    for row, (layer, height, y, middle) in enumerate(zip(schedule.laid, thick, places, middles)):
        mark, name = marks.get(row + 1), told(layer_name(layer), system)
        words = (f"{row + 1}" + (f" [{_MARKS[mark]}]" if mark else "") + f"  {units.show(height, 'thickness', system)}  "
                 f"{turned_words(layer)}{name}")
        shapes.append(f'<path d="M{_WIDTH + 4} {middle:.2f}L{_WIDTH + 15} {y:.2f}" stroke="{style.COLOURS["ink"]}"/>'
                      f'{_strokes(directions(layer), y)}'
                      f'<text x="{_WORDS_AT}" y="{y + 4:.2f}" font-size="12">{html.escape(words)}</text>')
    tall = max(ROOM + 20, places[0] + 14)
    if any(map(directions, schedule.laid)):
        shapes.append(f'<text x="4" y="{tall + 8:.0f}" font-size="11">{_KEY}</text>')
        tall += 14
    title = f"Section to scale of {counted(len(thick), 'layer')}, {units.show(total, 'thickness', system)} together"
    return (f'<svg role="img" aria-label="{html.escape(title)}" width="{_WHOLE}" height="{tall:.0f}" '
            f'viewBox="0 {min(0, places[-1] - 10):.0f} {_WHOLE} {tall - min(0, places[-1] - 10):.0f}">'
            f"<title>{html.escape(title)}</title>{''.join(shapes)}</svg>")


def _strokes(angles, y):
    """The ways in which a layer is stiff, as strokes through one point."""
    paths = []
    for angle in angles:
        x_half, y_half = 6.5 * np.cos(np.radians(angle)), -6.5 * np.sin(np.radians(angle))
        paths.append(f"M{_COMPASS - x_half:.1f} {y - y_half:.1f}L{_COMPASS + x_half:.1f} {y + y_half:.1f}")
    return f'<path class="lam-way" d="{"".join(paths)}" stroke="{style.COLOURS["ink"]}" stroke-width="1.5"/>' if paths else ""


def _spread(middles):
    """Heights of the labels from the bottom up, pushed apart upwards where they would touch."""
    places = []
    for y in middles:
        places.append(min(float(y), places[-1] - _LABEL_STEP) if places else float(y))
    return places
