"""A section through the stack, drawn to scale as inline SVG that reads in black and white."""

from html import escape

from lamcalc.shop.sheet_words import for_print, short_name

SCALES = (20, 10, 8, 5, 4, 3, 2, 1.5, 1.25, 1, 0.5, 0.2, 0.1)
INK = "#14202f"
# written on every drawing, because not every program that makes a PDF applies the page's style sheet inside a drawing
FONT = f'font-family="Liberation Sans, Arial, Helvetica, sans-serif" font-size="3.05" fill="{INK}"'
_BAR, _LEFT, _LABEL_STEP, _TOP = 62.0, 4.0, 4.6, 6.0  # mm on paper
# what a sub-layer is filled with: black lines on white, so that any printer shows it
_PATTERNS = {
    "csm": '<path d="M.3 .5l.9 .5M1.9 .3l-.5 .9M.6 1.7l.7-.4M2.2 1.5l.2 .8M1.2 2.3l.7 .1"/>',
    "ud": '<path d="M0 .5H2.6M0 1.2H2.6M0 1.9H2.6"/>',
    "slant": '<path d="M0 2.6L2.6 0M-.6 .6L.6 -.6M2 3.2L3.2 2"/>',
    "back": '<path d="M0 0L2.6 2.6M2 -.6L3.2 .6M-.6 2L.6 3.2"/>',
    "cross": '<path d="M.65 0V2.6M1.95 0V2.6"/>',
    "woven": '<path d="M0 .6H1.3M1.3 1.9H2.6M.65 1.3V2.6M1.95 0V1.3"/>',
    "plywood": '<path d="M0 .4C.9 .1 1.7 .7 2.6 .4M0 1.5C.9 1.8 1.7 1.2 2.6 1.5"/>',
    "core": '<circle cx=".6" cy=".6" r=".22"/><circle cx="1.9" cy="1.9" r=".22"/>',
    "there": '<path d="M0 2.6L2.6 0"/>',
    "putty": '<circle cx=".6" cy=".7" r=".12"/><circle cx="1.8" cy="1.2" r=".12"/><circle cx="1" cy="2.1" r=".12"/>',
}
_KEY = {"csm": "mat", "slant": "fibres at +45\u00b0", "back": "fibres at -45\u00b0", "ud": "fibres along",
        "cross": "fibres across",
        "woven": "woven", "plywood": "plywood", "core": "core", "there": "there already", "putty": "putty",
        "coat": "gel coat"}


def drawing_scale(total_mm, room_mm=62.0):
    """Largest round scale at which the stack fits on the paper.

    Parameters
    ----------
    total_mm : float
        Thickness of the stack [mm].
    room_mm : float
        Height on the paper [mm].

    Returns
    -------
    float
        Millimetres on paper for one millimetre of stack [-].

    Examples
    --------
    >>> drawing_scale(48.6), drawing_scale(5.95), drawing_scale(2.5)
    (1.25, 10, 20)
    """
    return next((scale for scale in SCALES if scale * total_mm <= room_mm), SCALES[-1])


def stack_drawing(layers, words, *, bottom="what it is laid on", top="last layer laid"):
    """Section through a stack to scale, first laid at the bottom.

    Parameters
    ----------
    layers : sequence of SheetLayer
        In the order laid; tabbing and crown are left out [-].
    words : Words
        Units of the labels [-].
    bottom, top : str
        What lies under the first layer, and what the last one faces [-].

    Returns
    -------
    str
        SVG; every text is escaped, nothing is loaded from elsewhere [-].

    Notes
    -----
    Thicknesses are to scale when printed at 100 %; the width is not.  Labels keep a least distance and lead to
    their layer.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_layers import sheet_layers
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> svg = stack_drawing(sheet_layers(job, take_off(job, options={"transom": "transom_plywood"}).parts["transom"]), Words("metric"))
    >>> "drawn 1.25 : 1" in svg and "href" not in svg
    True
    """
    stack = [item for item in layers if item.running_mm is not None]
    total = stack[-1].running_mm
    scale = drawing_scale(total)
    height = max(scale * total, _LABEL_STEP * (len(stack) - 1))
    base = _TOP + height / 2 + scale * total / 2
    parts, edges, kinds = [], [], []
    for item in stack:
        at = base - scale * (item.running_mm - item.thickness_mm)
        for kind, thickness, angle in item.bands:
            fill = _fill(kind, angle)
            kinds.append(fill)
            parts.append(_box(at - scale * thickness, scale * thickness, fill))
            at -= scale * thickness
        edges.append(base - scale * (item.running_mm - item.thickness_mm / 2))
        parts.append(f'<path d="M{_LEFT} {at:.3f}h{_BAR}" stroke="{INK}" stroke-width=".18" fill="none"/>')
    parts += _labels(stack, edges, words, base, scale * total)
    key, key_top = list(dict.fromkeys(kinds)), _TOP + height + 9.5
    parts += _key(key, key_top)
    words_top, words_base = base - scale * total - 1.6, base + 4.8
    ratio = f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"
    parts += [f'<text x="{_LEFT}" y="{words_top:.2f}" font-style="italic">{escape(top)}</text>',
              (f'<text x="{_LEFT}" y="{words_base:.2f}" font-style="italic">{escape(bottom)}; the first layer lies '
              f'lowest</text>')]
    tall = key_top + 4.6 * -(-len(key) // 4) + 2
    title = f"Section through the stack, {words.one(total, 'thickness')} thick, thickness drawn {ratio}"
    return (f'<svg class="stack" xmlns="http://www.w3.org/2000/svg" role="img" {FONT} width="176mm" '
            f'height="{tall:.1f}mm" '
            f'viewBox="0 0 176 {tall:.1f}"><title>{escape(title)}</title><defs>{_defs(key)}</defs>{"".join(parts)}'
            f'<text x="172" y="{_TOP - 2:.1f}" font-style="italic" text-anchor="end">thickness drawn '
            f'{ratio}</text></svg>')


def _fill(kind, angle):
    if kind == "veneer":
        return "plywood"
    if kind == "tested":
        return "ud"
    if kind == "cloth":
        return "woven"
    if kind != "ud":
        return kind if kind in _PATTERNS or kind == "coat" else "there"
    turn = angle % 180
    return "ud" if turn < 22.5 or turn > 157.5 else "slant" if turn < 67.5 else "cross" if turn < 112.5 else "back"


def _box(y, height, fill):
    paint = "#1b2a41" if fill == "coat" else f"url(#fill-{fill})"
    return f'<rect x="{_LEFT}" y="{y:.3f}" width="{_BAR}" height="{height:.3f}" fill="{paint}"/>'


def _defs(kinds):
    return "".join(f'<pattern id="fill-{kind}" width="2.6" height="2.6" patternUnits="userSpaceOnUse">'
                   f'<rect width="2.6" height="2.6" fill="{"#dcdfe3" if kind == "there" else "#fff"}"/>'
                   f'<g stroke="{INK}" stroke-width=".16" fill="none">{_PATTERNS[kind]}</g></pattern>'
                   for kind in kinds if kind in _PATTERNS)


def _labels(stack, middles, words, base, tall):
    """Labels from the bottom up, pushed apart and kept inside the drawing's height."""
    places = []
    for y in middles:
        places.append(y if not places else min(y, places[-1] - _LABEL_STEP))
    over = (_TOP + 1.0) - places[-1]
    if over > 0:  # too high: move everything down as far as needed, then tidy from the top
        places[-1] += over
        for k in range(len(places) - 2, -1, -1):
            places[k] = max(places[k], places[k + 1] + _LABEL_STEP)
    x = _LEFT + _BAR
    out = []
    for item, y, place in zip(stack, middles, places, strict=True):
        name = short_name(item.layer, words) + (", there already" if item.existing else "")
        lead = f"{item.piece}: " if item.piece else ""
        out.append(f'<path d="M{x} {y:.2f}L{x + 9} {place:.2f}h2" stroke="{INK}" stroke-width=".15" '
                   f'fill="none"/><text x="{x + 12}" y="{place + 1.1:.2f}">'
                   f'{escape(for_print(lead + name))}, {escape(words.one(item.thickness_mm, "thickness"))}</text>')
    return out


def _key(kinds, top):
    out = []
    for k, kind in enumerate(kinds):
        x, y = _LEFT + 42 * (k % 4), top + 4.6 * (k // 4)
        paint = "#1b2a41" if kind == "coat" else f"url(#fill-{kind})"
        out.append(f'<rect x="{x}" y="{y}" width="7" height="3.2" fill="{paint}" stroke="{INK}" stroke-width=".18"/>'
                   f'<text x="{x + 8.5}" y="{y + 2.6}">{escape(_KEY[kind])}</text>')
    return out
