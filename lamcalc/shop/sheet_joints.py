"""Joints of a part on the sheet: scarf rings, tabbing, fillet and putty, clamps, bolt holes, plates."""

from dataclasses import dataclass

from lamcalc.sentences import told
from lamcalc.shop.joint_drawing import corner_drawing, hat_drawing, ring_drawing
from lamcalc.shop.sheet_tables import Table


@dataclass(frozen=True)
class JointBlock:
    """What the sheet prints of the joints.

    Parameters
    ----------
    drawings : tuple of str
        SVG [-].
    tables : tuple of Table
        Tables [-].
    lines : tuple of str
        Sentences [-].

    Examples
    --------
    >>> JointBlock((), (), ()).tables
    ()
    """

    drawings: tuple
    tables: tuple
    lines: tuple


def joint_block(joints, entry, words, *, crown_plies=0):
    """Tables, sketches and sentences of the joints of a part.

    Parameters
    ----------
    joints : object or None
        Record with `scarf`, `tabbing`, `fillet`, `putty`, `clamp`, `holes`, `plate`; what is None is left out [-].
    entry : Part
        Part of the job file [-].
    words : Words
        Units of the page [-].
    crown_plies : int
        Plies of a stringer's cap [-].

    Returns
    -------
    JointBlock
        For the template [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from lamcalc.shop.sheet_words import Words
    >>> joint_block(None, SimpleNamespace(), Words("metric")).lines
    ()
    """
    drawings, tables, lines = [], [], []
    if getattr(entry, "kind", None) == "stringer":
        drawings.append(hat_drawing(entry, words, crown_plies=crown_plies))
    for build in (_scarf, _tabbing, _putty, _clamp, _holes, _plate):
        build(joints, entry, words, drawings, tables, lines)
    return JointBlock(tuple(drawings), tuple(tables), tuple(lines))


def _part(joints, name):
    return getattr(joints, name, None)


def _say(record, words, lines):
    lines.extend(f"{told(f.text, words.system, capital=True)}." for f in record.findings)


def _scarf(joints, entry, words, drawings, tables, lines):
    plan = _part(joints, "scarf")
    if plan is None:
        return
    repair = entry.repair
    drawings.append(ring_drawing(plan, words, hole_length_mm=repair.damage_length_mm,
                                 hole_width_mm=repair.damage_width_mm))
    order = "smallest piece first" if plan.smallest_first else "largest piece first"
    rows = tuple((None, f"{r.ply}", words.both(r.thickness_mm, "thickness"), words.tape(r.reach_mm, up=True),
                  words.tape(r.length_mm, r.width_mm)) for r in plan.rings)
    tables.append(Table(("ground", "ply laid", "thickness", "beyond the hole, every side", "piece"), rows,
                        caption=f"Scarf {plan.ratio:g} : 1, {words.tape(plan.scarf_mm, up=True)} long, ground area "
                                f"{words.tape(plan.patch_length_mm, plan.patch_width_mm)}, {order}"))
    _say(plan, words, lines)


def _tabbing(joints, entry, words, drawings, tables, lines):
    plan = _part(joints, "tabbing")
    if plan is None:
        return
    joint = getattr(entry, "tabbing", None)
    if joint is not None:
        drawings.append(corner_drawing(plan.legs_mm, angle_deg=joint.included_angle_deg,
                                       radius_mm=joint.fillet_radius_mm,
                                       words=words))
    over = "Tabbing" if joint is not None else "Plies over the former, legs and width laid out flat"
    rows = tuple((None, f"{k}", words.tape(leg, up=True), words.tape(width), words.both(plan.length_mm, "length"))
                 for k, (leg, width) in enumerate(zip(plan.legs_mm, plan.widths_mm, strict=True), start=1))
    tables.append(Table(("laid", "ply", "leg on each face", "width", "length"), rows,
                        caption=f"{over}, {words.both(plan.root_mm, 'thickness')} thick together"))
    _say(plan, words, lines)


def _putty(joints, entry, words, drawings, tables, lines):
    fillet = _part(joints, "fillet")
    if fillet is not None:
        lines.append(f"Fillet: radius {words.tape(fillet.radius_mm)}, {words.both(fillet.length_mm, 'length')} long, "
                     f"faces at "
                     f"{fillet.angle_deg:g} deg: {words.volume(fillet.net_ml / 1e3)} in place, "
                     f"{words.volume(fillet.to_mix_ml / 1e3)} to mix. Let it firm before the tapes.")
        _say(fillet, words, lines)
    pots = _part(joints, "putty") or ()
    for pot, use in zip(pots, _part(joints, "putty_uses") or [pot.recipe.name for pot in pots], strict=True):
        rows = (("mixed resin", words.volume(pot.resin_ml / 1e3), words.mass(pot.resin_g / 1e3)),
                *((what, words.volume(ml / 1e3), words.mass(g / 1e3)) for what, ml, g in pot.fillers))
        tables.append(Table(("putty", "loose volume", "mass"), rows,
                            caption=f"Putty for {use}: {words.volume(pot.volume_ml / 1e3)} with loss",
                            notes=(f"{pot.recipe.status.capitalize()}: {pot.recipe.source}.",)))


def _clamp(joints, entry, words, drawings, tables, lines):
    plan = _part(joints, "clamp")
    if plan is None:
        return
    lines.append(f"Clamping: {words.both(plan.force_n, 'force')} a bolt, mean pressure "
                 f"{words.both(plan.pressure_kpa, 'pressure', 'kPa')}, "
                 f"{words.both(plan.putty_ml, 'small_volume')} of putty stay in the bond line.")
    _say(plan, words, lines)


def _holes(joints, entry, words, drawings, tables, lines):
    hole = _part(joints, "holes")
    if hole is None:
        return
    rows = tuple((None, told(step, words.system)) for step in hole.steps)
    tables.append(Table(("done", "every bolt hole"), rows,
                        caption=f"Bolt holes: core taken back to {words.tape(hole.core_bore_mm)}, "
                                f"{words.both(hole.fill_ml, 'small_volume')} of thickened epoxy a hole, not on the buying list"))


def _plate(joints, entry, words, drawings, tables, lines):
    plate, force = _part(joints, "plate"), _part(joints, "bolt_force")
    if plate is None:
        return
    pull = "" if force is None else f" for the hardest pulled bolt, {words.both(force, 'force')}"
    lines.append(f"Backing plate{pull}: at least {words.tape(plate.square_mm, up=True)} square or "
                 f"{words.tape(plate.round_mm, up=True)} "
                 f"round; the core then feels {words.both(plate.pressure_mpa, 'stress')}.")
