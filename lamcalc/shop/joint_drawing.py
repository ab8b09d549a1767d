"""Sketches as inline SVG: rings of a scarf from above, tapes of a tabbed corner, a stringer in section."""

import math
from html import escape

from lamcalc.sentences import counted
from lamcalc.shop.sheet_words import for_print
from lamcalc.shop.stack_drawing import FONT, INK

_LINE = f'stroke="{INK}" fill="none"'


def ring_drawing(plan, words, *, hole_length_mm, hole_width_mm):
    """Rings to grind, from above and to scale: one outline a ply.

    Parameters
    ----------
    plan : ScarfPlan
        Rings in the order of laying [-].
    words : Words
        Units of the labels [-].
    hole_length_mm, hole_width_mm : float
        Hole [mm].

    Returns
    -------
    str
        SVG [-].

    Examples
    --------
    >>> from lamcalc.shop.scarf import scarf_plan
    >>> from lamcalc.shop.sheet_words import Words
    >>> svg = ring_drawing(scarf_plan([1.0, 1.0], hole_length_mm=100, hole_width_mm=50), Words("metric"),
    ...                    hole_length_mm=100, hole_width_mm=50)
    >>> svg.count("<rect")
    3
    """
    scale = min(118.0 / plan.patch_length_mm, 70.0 / plan.patch_width_mm)
    width, tall = 118.0, plan.patch_width_mm * scale + 4
    cx, cy = width / 2 + 2, tall / 2
    out = [_outline(cx, cy, hole_length_mm * scale, hole_width_mm * scale, 2.0, ' stroke-dasharray="1.4 .8"')]
    places, rings = [], sorted(plan.rings, key=lambda r: r.reach_mm)
    for ring in rings:
        out.append(_outline(cx, cy, ring.length_mm * scale, ring.width_mm * scale, 2.0 + ring.reach_mm * scale, ""))
    step = 4.6
    tall = max(tall, step * (len(rings) + 1) + 3)
    for k, ring in enumerate(rings[::-1]):
        y = 3.4 + step * k
        places.append(f'<text x="{width + 8}" y="{y:.1f}">ply {ring.ply}: {escape(_tape(words, ring.reach_mm, up=True))} '
                      f'beyond the hole</text>')
    places.append(f'<text x="{width + 8}" y="{3.4 + step * len(rings):.1f}" font-style="italic">dashed: the '
                  f'hole</text>')
    title = f"Rings to grind, from above, scarf {plan.ratio:g} : 1"
    return (f'<svg class="sketch" xmlns="http://www.w3.org/2000/svg" role="img" {FONT} width="186mm" '
            f'height="{tall:.1f}mm" '
            f'viewBox="0 0 186 {tall:.1f}"><title>{escape(title)}</title>{"".join(out + places)}</svg>')


def _outline(cx, cy, length, width, radius, dash):
    return (f'<rect {_LINE} stroke-width=".3"{dash} x="{cx - length / 2:.2f}" y="{cy - width / 2:.2f}" '
            f'width="{length:.2f}" '
            f'height="{width:.2f}" rx="{min(radius, width / 2):.2f}"/>')


def corner_drawing(legs_mm, *, angle_deg, radius_mm, words):
    """Tapes of a tabbed corner in section, first tape nearest the corner; legs to scale, thickness not.

    Parameters
    ----------
    legs_mm : sequence of float
        Leg of each tape in the order laid [mm].
    angle_deg : float
        Angle between the faces [deg].
    radius_mm : float
        Fillet [mm].
    words : Words
        Units of the labels [-].

    Returns
    -------
    str
        SVG [-].

    Examples
    --------
    >>> from lamcalc.shop.sheet_words import Words
    >>> "tape 3" in corner_drawing([50, 75, 100], angle_deg=104, radius_mm=20, words=Words("metric"))
    True
    """
    half, longest = math.radians(angle_deg) / 2, max(legs_mm)
    reach = radius_mm / math.tan(half)
    scale = 52.0 / (longest + reach + 15)
    # faces run from the corner (0, 0) at +-half about the bisector, which points straight up
    sides = [(math.sin(s * half), -math.cos(half)) for s in (-1, 1)]
    inward = [(-sides[0][1], sides[0][0]), (sides[1][1], -sides[1][0])]
    inward = [(-x, -y) if y > 0 else (x, y) for x, y in inward]

    def at(side, along, off):
        (ux, uy), (nx, ny) = sides[side], inward[side]
        return ux * along * scale + nx * off, uy * along * scale + ny * off

    faces = [at(k, longest + reach + 15, 0) for k in (0, 1)]
    top = min(y for _, y in faces) - 4 - 1.6 * len(legs_mm)
    left, tall = max(abs(x) for x, _ in faces) + 4, -top + 6
    out = [f'<path {_LINE} stroke-width=".6" d="M{_xy(faces[0])}L0 0L{_xy(faces[1])}"/>']
    ends = [at(k, reach, 0) for k in (0, 1)]
    out.append(f'<path d="M{_xy(ends[0])}A{radius_mm * scale:.2f} {radius_mm * scale:.2f} 0 0 0 {_xy(ends[1])}L0 0Z" '
               f'fill="#c9ced4" '
               'stroke="#14202f" stroke-width=".2"/>')
    for k, leg in enumerate(legs_mm):
        off = 1.3 * (k + 1)
        first, last = at(0, reach + leg, off), at(1, reach + leg, off)
        bends = [at(side, reach, off) for side in (0, 1)]
        bend = max(radius_mm * scale - off, 0.5)
        out.append(f'<path {_LINE} stroke-width=".7" d="M{_xy(first)}L{_xy(bends[0])}A{bend:.2f} {bend:.2f} 0 0 0 '
                   f'{_xy(bends[1])}L{_xy(last)}"/>')
    x = left + 8
    labels = [f'<text x="{x:.1f}" y="{top + 6 + 4.6 * k:.1f}">tape {k + 1}: {escape(_tape(words, leg, up=True))} on each '
              f'face</text>' for k, leg in enumerate(legs_mm)]
    labels.append(f'<text x="{x:.1f}" y="{top + 6 + 4.6 * len(legs_mm):.1f}">fillet: radius '
                  f'{escape(_tape(words, radius_mm))}, '
                  f'faces at {angle_deg:g}\u00b0</text>')
    labels.append(f'<text x="{x:.1f}" y="{top + 6 + 4.6 * (len(legs_mm) + 1):.1f}" font-style="italic">legs beyond '
                  f'the fillet, to scale; thickness not</text>')
    return (f'<svg class="sketch" xmlns="http://www.w3.org/2000/svg" role="img" {FONT} width="186mm" '
            f'height="{tall:.1f}mm" '
            f'viewBox="{-left:.1f} {top:.1f} 186 {tall:.1f}"><title>Tapes of the '
            f'corner</title>{"".join(out + labels)}</svg>')


def hat_drawing(entry, words, *, crown_plies=0):
    """A hat stringer in section: former, plies with their legs, crown cap; sizes to scale, thickness not.

    Parameters
    ----------
    entry : StringerPart
        Part of the job file [mm].
    words : Words
        Units of the labels [-].
    crown_plies : int
        Plies of the cap [-].

    Returns
    -------
    str
        SVG [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> hat_drawing(load_demo().parts["stringers"], Words("metric"), crown_plies=3).count("<path")
    7
    """
    half, top, tall = entry.base_width_mm / 2, entry.top_width_mm / 2, entry.height_mm
    scale = min(100.0 / (2 * (half + max(entry.legs_mm)) + 40), 60.0 / tall)
    edge = (half + max(entry.legs_mm) + 20) * scale
    out = [f'<path {_LINE} stroke-width=".6" d="M{-edge:.2f} 0H{edge:.2f}"/>',
           (f'<path stroke="{INK}" stroke-width=".2" fill="#e4e7ea" d="M{-half * scale:.2f} 0L{-top * scale:.2f} '
            f'{-tall * scale:.2f}'
           f'H{top * scale:.2f}L{half * scale:.2f} 0Z"/>')]
    plies = len(entry.legs_mm)
    for k, leg in enumerate(entry.legs_mm, start=1):
        off = 1.2 * k
        foot, crown, y = half * scale + off, top * scale + 0.7 * off, -tall * scale - off
        out.append(f'<path {_LINE} stroke-width=".7" d="M{-(half + leg) * scale:.2f} '
                   f'{-off:.2f}H{-foot:.2f}L{-crown:.2f} {y:.2f}'
                   f'H{crown:.2f}L{foot:.2f} {-off:.2f}H{(half + leg) * scale:.2f}"/>')
    for k in range(1, crown_plies + 1):
        y, wide = -tall * scale - 1.2 * (plies + k), (entry.crown_width_mm or 0) / 2 * scale
        out.append(f'<path {_LINE} stroke-width=".7" d="M{-wide:.2f} {y:.2f}H{wide:.2f}"/>')
    high = tall * scale + 1.2 * (plies + crown_plies) + 4
    labels = [f"ply {k}: leg {_tape(words, leg, up=True)} on each side" for k, leg in enumerate(entry.legs_mm, start=1)]
    if crown_plies:
        labels.append(f"crown cap: {counted(crown_plies, 'ply', 'plies')}, {_tape(words, entry.crown_width_mm)} wide")
    labels += [f"former: foot {_tape(words, entry.base_width_mm)}",
               (f"crown {_tape(words, entry.top_width_mm)}, height "
               f"{_tape(words, entry.height_mm)}"), f"centre to centre {_tape(words, entry.spacing_mm)}"]
    texts = "".join(f'<text x="{edge + 6:.1f}" y="{-high + 4 + 4.6 * k:.1f}">{escape(label)}</text>' for k,
                    label in enumerate(labels))
    room = max(high + 4, 4.6 * len(labels) + 3)
    return (f'<svg class="sketch" xmlns="http://www.w3.org/2000/svg" role="img" {FONT} width="186mm" '
            f'height="{room:.1f}mm" '
            f'viewBox="{-edge - 2:.1f} {-high:.1f} 186 {room:.1f}"><title>Section through the stringer</title>'
            f'{"".join(out)}{texts}</svg>')


def _tape(words, length_mm, *, up=False):
    return for_print(words.tape(length_mm, up=up))


def _xy(point):
    return f"{point[0]:.2f} {point[1]:.2f}"
