"""Tables of the sheet for the floor: layers, pieces, rolls, supplies, resin."""

import re
from dataclasses import dataclass

from lamcalc.schedule import Ply, layer_name
from lamcalc.sentences import told
from lamcalc.shop.limits import THICKNESS_BAND
from lamcalc.shop.sheet_words import fibre_directions, roll_direction, short_name
from lamcalc.shop.takeoff_cut import TURNED, no_direction

_CORE_LABEL = re.compile(r"^core (\d+) of (\d+)$")
_TEAR = "Tear the edges of plain mat, do not cut them: a feathered edge leaves no step."


@dataclass(frozen=True)
class Table:
    """A table of a printed page.

    Parameters
    ----------
    columns : tuple of str
        Heads [-].
    rows : tuple of tuple
        Texts; None prints a box to tick [-].
    caption : str
        What it shows [-].
    notes : tuple of str
        Lines under it [-].
    css : str
        Class of the style sheet [-].

    Examples
    --------
    >>> Table(("a",), (("1",),)).css
    'small'
    """

    columns: tuple
    rows: tuple
    caption: str = ""
    notes: tuple = ()
    css: str = "small"


def layer_table(layers, words):
    """Layers in the order laid, with mat side, directions and running total.

    Parameters
    ----------
    layers : sequence of SheetLayer
        In the order laid [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a layer [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_layers import sheet_layers
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> layer_table(sheet_layers(job, take_off(job).parts["sole"]), Words("metric")).rows[1][5]
    '+45/-45'
    """
    rows = []
    for item in layers:
        ply = isinstance(item.layer, Ply)
        name = told(layer_name(item.layer), words.system) + (f", {item.coats} coats" if item.coats > 1 else "")
        name += ", wax in the last coat only" if item.waxed else ""
        rows.append((
            "-" if item.existing else None, item.piece or ("there already" if item.existing else "-"),
            "-" if item.layer_number is None else str(item.layer_number), name, item.mat_towards,
                     fibre_directions(item.layer),
            _runs(item.layer) if ply else "-", item.layer.resin.name if ply else "-",
            words.both(item.thickness_mm, "thickness"),
            "-" if item.running_mm is None else words.one(item.running_mm, "thickness"), ""))
    return Table(("laid", "piece", "layer", "material", "mat side", "fibres [deg]", "roll runs", "resin", "thickness",
                  "total", "initials"), tuple(rows), css="small named",
                 notes=(("Piece: the name on the cut piece. Layer: the number in the schedule, counted from the "
                         "outside of the "
                        "boat; remarks use it. Along: the long way of the part. Thickness holds within "
                        f"+-{float(THICKNESS_BAND):.0%} at the planned glass fraction."),))


def _runs(ply):
    """Direction of the roll; mat has none of its own, so it may be cut either way."""
    return "see pieces" if no_direction(ply.reinforcement) else roll_direction(ply.angle_deg)


def piece_table(part, words):
    """Cut list, strip by strip.

    Parameters
    ----------
    part : PartTakeOff
        Take-off of the part [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a strip [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> piece_table(take_off(load_demo()).parts["bottom"], Words("us")).rows[0][3:5]
    ('3 13/16 x 10 1/2 in (96 x 266 mm)', 'across, turned')
    """
    layers = {(i.group, i.number): i.layer for i in part.layers}
    rows, unclear = [], False
    turned = any(p.turned for p in part.pieces)
    for p in part.pieces:
        seams = ", ".join(words.tape(s) for s in p.seams_mm) or "none"
        unclear |= not p.staggered
        rows.append((None, p.label, short_name(layers[p.group, p.ply], words), words.tape(p.along_mm, p.across_mm),
                     roll_direction(p.angle_deg) + (", turned" if p.turned else ""), f"{p.strip} of {p.strips}",
                     seams + ("" if p.staggered else ", MOVE"),
                     str(p.copies)))
    notes = ["Sizes: along the roll x across the roll; seam places are measured across the strips from the first edge.",
             _TEAR]
    if turned:
        notes.append(TURNED)
    if unclear:
        notes.append("MOVE: a seam lies too close to one in the ply before; shift it by hand or use a wider roll.")
    return Table(("cut", "piece", "fabric", "size", "roll runs", "strip", "seams", "how many"), tuple(rows),
                 caption="Pieces", notes=tuple(notes))


def roll_table(part, words):
    """Fabric off the roll: net, laps, waste.

    Parameters
    ----------
    part : PartTakeOff
        Take-off of the part [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a fabric [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> len(roll_table(take_off(load_demo()).parts["transom"], Words("metric")).rows)
    4
    """
    rows = tuple((f.name, words.tape(f.plan.width_mm), words.both(f.net_m2, "area"),
                  words.both(f.lap_m2, "area") if f.lap_m2 else "none", words.both(f.to_buy_m, "length", "m"),
                  f"{f.waste_share:.0%}") for f in part.fabrics)
    return Table(("fabric", "roll width", "in the part", "in laps", "off the roll", "offcut"), rows,
                 caption="Off the roll")


def core_table(part, words):
    """Core pieces and sheets.

    Parameters
    ----------
    part : PartTakeOff
        Take-off of the part [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table or None
        None without a core that is cut [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> core_table(take_off(load_demo()).parts["stringers"], Words("metric")) is None
    True
    """
    rows = []
    for supply in part.supplies:
        if supply.plan is None:
            continue
        names = {i.layer.core.id: f"{short_name(i.layer, words)}, {words.one(i.layer.thickness_mm, 'small_length')}"
                 for i in part.layers if hasattr(i.layer, "core")}
        for place in supply.plan.places:
            rows.append((None, _CORE_LABEL.sub(r"laminate \1, part \2", place.piece.label),
                         names.get(supply.item, supply.item),
                         words.tape(place.along_mm, place.across_mm), str(place.sheet)))
    if not rows:
        return None
    return Table(("cut", "piece", "core", "size, length x width of the sheet", "sheet"), tuple(rows), caption="Core",
                 notes=(("Blank sizes: cut to the outline at the boat. A joint goes over a support, never under a "
                        "bolt."),))


def supply_table(part, words):
    """Core by the sheet or by mass, fillers, wax, solvent.

    Parameters
    ----------
    part : PartTakeOff
        Take-off of the part [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row an item, losses included [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> supply_table(take_off(load_demo(), options={"transom": "transom_plywood"}).parts["transom"], Words("metric")).rows[0][2]
    '2 sheets'
    """
    rows = []
    for s in part.supplies:
        item = s.item.replace("_", " ") + (f", {words.one(s.thickness_mm, 'small_length')}" if s.thickness_mm else "")
        rows.append((item, s.use, _amount(s, words)))
    return Table(("item", "for", "losses included"), tuple(rows), caption="Core, fillers and solvent")


def _amount(supply, words):
    if supply.unit == "sheet":
        return f"{supply.amount:g} sheet" + ("" if supply.amount == 1 else "s")
    if supply.unit == "m2":
        return words.both(supply.amount, "area")
    return words.volume(supply.amount) if supply.unit == "L" else words.mass(supply.amount)


def resin_table(part, words):
    """Resin by use: what stays and what is mixed, never one number; catalyst in mL and grams.

    Parameters
    ----------
    part : PartTakeOff
        Take-off of the part [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a use [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> resin_table(take_off(load_demo(), combination_fraction=0.43).parts["transom"], Words("metric")).rows[0][2]
    '5.98 kg (13.19 lb)'
    """
    rows = []
    for r in part.resins:
        second = ("-" if r.catalyst_ml is None else f"{r.catalyst_ml:.1f} mL = {r.catalyst_g:.1f} g catalyst")
        if r.hardener_kg is not None:
            second = f"{words.mass(r.hardener_kg)} of it hardener"
        rows.append((r.use, r.resin.replace("_", " "), words.mass(r.stays_kg), words.mass(r.to_buy_kg),
                     words.volume(r.to_buy_l), second))
    return Table(("use", "resin", "stays in the part", "to have ready", "that is", "with it"), tuple(rows),
                 caption="Resin, the whole part",
                 notes=("To have ready includes pot, brush and run-off; only what stays sets thickness and mass.",))
