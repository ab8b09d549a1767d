"""Local buckling of a stringer's walls: crown, webs, flange, and skins on a former that carries."""

from functools import lru_cache

import numpy as np

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plates import Plate, reduced_bending_stiffness
from lamcalc.mechanics.sandwich_failure import wrinkling_stress
from lamcalc.mechanics.strength import DesignFactor, Margin
from lamcalc.mechanics.strip_buckling import long_plate_buckling
from lamcalc.parts.panel import WRINKLING_FACTORS

BUCKLING = DesignFactor("web_buckling", 0.5, "own choice", "assumed", "the elastic buckling load")
# beyond this length over depth a web buckles in shear as an endless one does, within 3 percent
LONG_WEB = 5.0


def folding_margins(checker, web_shear):
    """Margins of crown, webs and flange against local buckling; the part of a former in them is told by their names.

    Parameters
    ----------
    checker : object
        Stringer, load, parts of its section and strain at a height, as `lamcalc.parts.stringer` has them [-].
    web_shear : float
        Largest shear stress in the webs [MPa].

    Returns
    -------
    list of Margin
        What is pushed or sheared at all [MPa].

    Notes
    -----
    A crown is a long plate between the webs with the cap as a stiffer band; a web the same under the compression and
    the shear of one place, and once more as a plate in shear alone; the flange of an angle and the web of a flat bar
    are plates with one free edge.  All edges are free to turn, the safe side.  A former that does not carry is not
    counted; one that carries holds the walls, which are then checked against wrinkling as the skins of a sandwich.

    References
    ----------
    .. [1] `lamcalc.mechanics.strip_buckling`, `lamcalc.mechanics.plates`, `lamcalc.mechanics.sandwich_failure`; half of
       the elastic load is assumed.
    """
    part = checker.stringer
    if part.former is not None and part.former.carries:
        return _wrinkling_margins(checker, web_shear)
    found = [_buckling_margin(checker, web_shear)]
    if part.kind == "angle" and part.cap is None:
        return found + _free_edge_margin(checker)
    found += _web_margin(checker, web_shear)
    return found + (_flange_margin(checker) if part.kind == "angle" else _crown_margin(checker))


def _bending_stiffness(*walls):
    """Reduced bending stiffness of walls laid on each other [N mm]."""
    names = ("q", "angle_deg", "thickness_mm", "expansion")
    wall = walls[0] if len(walls) == 1 else Laminate(*(
        np.concatenate([getattr(one, name) for one in walls]) for name in names))
    return reduced_bending_stiffness(wall.A, wall.B, wall.D)


def _push(checker, name):
    """Line force along a part at its middle in each case, compression positive [N/mm]."""
    part = checker.parts[name]
    return -checker.strain(part.y_mm).reshape(-1) * part.e_mpa * part.height_mm


def _crown_margin(checker):
    """Margin of the crown against folding between the webs where it is pushed; none where it never is."""
    part, crown = checker.stringer, checker.parts["crown"]
    force, area, wide = _push(checker, "crown"), float(crown.height_mm) * part.top_width, 0.0
    laid = np.zeros_like(force)
    if part.cap is not None:
        wide, laid = min(part.cap_width, part.top_width), _push(checker, "cap")
        area += wide * part.cap.structural_thickness_mm
    case = int((force + laid).argmax())
    push, more = float(force[case]), float(laid[case])
    if push + more <= 0:
        return []
    skin, band = part.skin.laminate, None
    if part.cap is not None:
        band = _bending_stiffness(skin, part.cap.laminate), wide, more
    factor = long_plate_buckling(_bending_stiffness(skin), part.top_width, compression=(push, push), band=band)
    stress = (push * part.top_width + more * wide) / area
    return [Margin("crown folding under compression, former not counted", stress, factor * stress, BUCKLING, "MPa")]


def _web_margin(checker, web_shear):
    """Margin of one web against folding under the compression and the shear of the same place."""
    part, web = checker.stringer, checker.parts["web"]
    wall, ends = part.skin.laminate, [web.y_mm - web.height_mm / 2, web.y_mm + web.height_mm / 2]
    stiffness, thick = _bending_stiffness(wall), float(wall.total_thickness_mm)
    push = -checker.strain(np.array(ends).reshape(2)) * web.e_mpa * thick
    flows = web_shear * thick * checker.load.shears / (checker.load.total / 2)
    pushed = [(edges, flow) for edges, flow in zip(push, flows, strict=True) if edges.max() > 0]
    if not pushed:
        return []
    factor = min(long_plate_buckling(stiffness, part.slant, compression=edges, shear=flow) for edges, flow in pushed)
    alone = "" if part.former is None else ", former not counted"
    return [Margin(f"web folding under compression and shear together{alone}", 1.0, factor, BUCKLING, "of the load")]


def _flange_margin(checker):
    """Margin of the flange of an angle against folding where it is pushed, one long edge free."""
    part = checker.stringer
    force, outstand = float(_push(checker, "flange").max()), part.cap_width - part.skin.structural_thickness_mm
    if force <= 0 or outstand <= 0:
        return []
    wall = part.cap.laminate
    plate = Plate(min(checker.load.span, LONG_WEB * outstand), outstand, _bending_stiffness(wall), edges="SSSF")
    factor = float(plate.buckling([[-force, 0.0, 0.0]]).values.min())
    thick = wall.total_thickness_mm
    return [Margin("flange folding under compression, standing out on one side", force / thick, factor * force / thick,
                   BUCKLING, "MPa")]


def _wrinkling_margins(checker, web_shear):
    """Margins of crown and webs against wrinkling on a former that carries; of the crown only where it is pushed."""
    former, margins = checker.stringer.former, []
    # a foam is alike in all directions; wood is far softer across its grain than the modulus along it
    across = min(former.e, 2.0 * former.g)
    crown = [checker.parts[name] for name in ("crown", "cap") if name in checker.parts]
    for name, layers, shear in (("crown", crown, 0.0), ("web", [checker.parts["web"]], web_shear)):
        # crown and cap are one face: their mean modulus at the strain of their outer side
        e = float(sum(one.e_mpa * one.height_mm for one in layers) / sum(one.height_mm for one in layers))
        low, high = layers[0].y_mm - layers[0].height_mm / 2, layers[-1].y_mm + layers[-1].height_mm / 2
        half = max(0.0, float((-checker.strain(np.array([low, high]).reshape(2)) * e).max())) / 2
        # largest push in any direction, the shear of the whole span at the same place
        stress = half + float(np.hypot(half, shear))
        if stress > 0:
            limit = float(wrinkling_stress(e, across, former.g, coefficient="class_rule"))
            margins.append(Margin(f"{name} wrinkling on the former", stress, limit, WRINKLING_FACTORS["class_rule"],
                                  "MPa"))
    return margins


@lru_cache(maxsize=256)
def _web_flow(long, slant, stiffness, edges):
    """Shear flow at which a web buckles [N/mm]; kept, since builds that differ in their cap share it."""
    plate = Plate(long, slant, np.frombuffer(stiffness).reshape(3, 3), edges=edges)
    # a coupled web is weaker for one direction of the shear than for the other: the two halves of a span have both
    return float(plate.buckling([[0.0, 0.0, 1.0], [0.0, 0.0, -1.0]]).values.min())


def _buckling_margin(checker, web_shear):
    """Margin of one web against buckling in shear, the former not counted."""
    part, wall = checker.stringer, checker.stringer.skin.laminate
    stiffness = _bending_stiffness(wall)
    long = min(checker.load.span, LONG_WEB * part.slant)
    # no flange holds the edge of a flat bar; shear is taken as even up to that edge, the safe side
    edges = "SSSF" if part.kind == "angle" and part.cap is None else "SSSS"
    flow = _web_flow(float(long), float(part.slant), stiffness.tobytes(), edges)
    return Margin("web buckling in shear, former not counted", web_shear, flow / wall.total_thickness_mm, BUCKLING,
                  "MPa")


def _free_edge_margin(checker):
    """Margin of a web without a flange against folding of its free edge, where that is pushed; else none."""
    part, wall, web = checker.stringer, checker.stringer.skin.laminate, checker.parts["web"]
    push = -float(checker.strain(web.y_mm + web.height_mm / 2).min() * web.e_mpa)
    if push <= 0:
        return []
    stiffness = _bending_stiffness(wall)
    long = min(checker.load.span, LONG_WEB * part.slant)
    # the push of the edge is taken over the whole depth, the safe side
    force = float(Plate(long, part.slant, stiffness, edges="SSSF").buckling([[-1.0, 0.0, 0.0]]).values.min())
    return [Margin("free edge of the web folding under compression", push, force / wall.total_thickness_mm, BUCKLING,
                   "MPa")]
