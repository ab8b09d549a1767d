"""Sizes and counts that can be computed with but hardly meant: centimetres as millimetres, bolts of both rows counted twice."""

from math import hypot

from lamcalc.errors import InputError
from lamcalc.parts.pressure_bases import DECK_MINIMUM_KN_M2
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.pressure_entry import place_of
from lamcalc.shop.takeoff_layers import ground_skin_mm

SHORT_SPAN = 3.0  # heights: a shorter stringer is a block, its beam figures flatter it; own choice
SHORT_LEG_MM = 25.0  # own choice; legs are 50 mm and more
STEEP = 0.5  # vee over width at the chines, 45 degrees; own choice
FAR_ROWS_MM = 500.0  # own choice: about 200 mm on engines, up to some 450 mm on brackets (from memory)
LAPPED = 1.25  # crowns: a cap laid over the edges of the crown counts as flat up to this; own choice


def size_doubts(job, name, part=None):
    """Sizes and counts of a part that do not fit each other.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    part : Part, optional
        The part with other sizes, as a panel tries them; that of the job if not given [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    Asked about: stringers closer than their own feet are wide, or shorter than their span; a span below 3 heights; a cap
    a quarter wider than the crown; a patch that reaches beyond its panel with its scarf; a crack longer than what is cut
    out; a load on a deck spread so wide that it presses less than the rule's least deck pressure; a whole piece smaller
    than its span; a vee steeper than 45 degrees; more bolts a row than plates have room, rows more than 500 mm
    apart; a clamped top edge of a transom; knees closer than they are
    wide; a joint shorter than the transom is wide; tapes with legs below 25 mm.  Where a figure stands here, it is own
    choice.

    References
    ----------
    Least deck pressure: ISO 12215-5:2008, as in `pressure_bases`; the rest is geometry.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [size_doubts(load_demo(), name) for name in load_demo().parts]
    [[], [], [], []]
    """
    part = job.parts[name] if part is None else part
    if part.kind == "transom":
        return _vee(part.outline) + _bolts(part.bolts) + _rows(part.bolts) + _top(part.edges) + _knees(part) + _joint(part)
    if part.kind == "stringer":
        return _stringers(part)
    return _patched(job, name, part) + _spread(name, part) + _piece(part)


def _mm(value):
    return Figure(value, "small_length", digits=4)


def _bolts(bolts):
    a_row = bolts.number // 2
    room = min(bolts.upper_spacing_mm, bolts.lower_spacing_mm or bolts.upper_spacing_mm)
    if (a_row - 1) * bolts.plate_width_mm <= room:
        return []
    return [Sentence("{a_row} bolts a row with plates of {plate} do not fit into {room} from the first to the last: the number "
                     "is that of both rows together; count "
                     "again", a_row=str(a_row), plate=_mm(bolts.plate_width_mm), room=_mm(room))]


def _rows(bolts):
    if bolts.row_spacing_mm <= FAR_ROWS_MM:
        return []
    return [Sentence("bolt rows {rows} apart are farther from each other than on engines, about {usual}, and on brackets that set "
                     "one back, up to {most} (own choice): the pull of the upper bolts falls with it; measure from the upper to the lower "
                     "row, and check the unit",
                     rows=_mm(bolts.row_spacing_mm), usual=_mm(200.0), most=_mm(FAR_ROWS_MM))]


def _top(edges):
    if edges.top != "clamped":
        return []
    return [Sentence("the top edge is entered as clamped, but nothing in a boat holds a transom's top edge so (common practice): free, or "
                     "simply supported where a deck or a well is bonded all along it")]


def _vee(outline):
    if outline.vee_mm <= STEEP * outline.chine_width_mm:
        return []
    return [Sentence("a vee {deep} deep under chines {wide} apart is steeper than any planing bottom, 45 degrees (own choice): "
                     "measure it from the chines down, and check the unit",
                     deep=_mm(outline.vee_mm), wide=_mm(outline.chine_width_mm))]


def _knees(part):
    places = sorted(part.knees_at_mm)
    gap = min((after - before for before, after in zip(places, places[1:], strict=False)), default=part.knee_width_mm)
    if gap >= part.knee_width_mm:
        return []
    return [Sentence("knees {gap} apart stand on each other where each is {wide} wide: measure from the centreline to the "
                     "middle of each, and check the unit", gap=_mm(gap), wide=_mm(part.knee_width_mm))]


def _joint(part):
    if part.tabbing is None:
        return []
    found, leg = [], max(tape.leg_mm for tape in part.tabbing.tapes)
    if part.tabbing.length_mm < part.outline.chine_width_mm:
        found.append(Sentence("a joint of {joint} is shorter than the transom is wide at the chines, {wide}: tapes and resin "
                              "are bought for it; measure all round, and check the "
                              "unit", joint=_mm(part.tabbing.length_mm), wide=_mm(part.outline.chine_width_mm)))
    if leg < SHORT_LEG_MM:
        found.append(Sentence("tapes with legs of {leg} at most hardly hold, under {least} (own choice): check the unit",
                              leg=_mm(leg), least=_mm(SHORT_LEG_MM)))
    return found


def _piece(part):
    if part.piece_length_mm is None:
        return []
    whole, span = (part.piece_length_mm, part.piece_width_mm), (part.length_mm, part.span_mm)
    if all(side >= room for side, room in zip(sorted(whole), sorted(span), strict=True)):
        return []
    return [Sentence("a whole piece of {length} x {width} is smaller than one span of it, {long} x {short}: measure again, and "
                     "check the unit",
                     length=_mm(whole[0]), width=_mm(whole[1]), long=_mm(span[0]), short=_mm(span[1]))]


def _stringers(part):
    found = []
    if part.length_mm < part.span_mm:
        found.append(Sentence("a stringer of {length} is shorter than its span of {span}: measure both again, and check the unit",
                              length=_mm(part.length_mm), span=_mm(part.span_mm)))
    if part.spacing_mm < part.base_width_mm:
        found.append(Sentence("stringers {spacing} apart, middle to middle, stand on each other where each is {base} wide at "
                              "its foot: measure again, and check the "
                              "unit", spacing=_mm(part.spacing_mm), base=_mm(part.base_width_mm)))
    if part.span_mm < SHORT_SPAN * part.height_mm:
        found.append(Sentence("a span of {span} for a stringer {height} high is too short to bend like a beam, under {times:g} "
                              "heights (own choice): measure it from support to support, and check the unit",
                              span=_mm(part.span_mm), height=_mm(part.height_mm), times=SHORT_SPAN))
    if part.crown and part.crown_width_mm > LAPPED * part.top_width_mm:
        found.append(Sentence("a cap of {cap} on a crown of {crown} is counted as if all of it lay flat on top: check the width",
                              cap=_mm(part.crown_width_mm), crown=_mm(part.top_width_mm)))
    return found


def _patched(job, name, part):
    repair, found = getattr(part, "repair", None), []
    if repair is None:
        return found
    hole = repair.damage_length_mm, repair.damage_width_mm
    try:
        scarf = repair.scarf_ratio * ground_skin_mm(job, name, catalogue(job))
    except InputError:  # the schedule is refused elsewhere, in words
        scarf = 0.0
    ground = [side + 2 * scarf for side in hole]
    if any(side > room for side, room in zip(sorted(ground), sorted((part.length_mm, part.span_mm)), strict=True)):
        found.append(Sentence("the patch with its scarf, {length} x {width}, reaches beyond the panel of {long} x {short}: it "
                              "lands on the supports, which no figure here covers; check the sizes, or settle how it passes "
                              "there",
                              length=_mm(ground[0]), width=_mm(ground[1]), long=_mm(part.length_mm), short=_mm(part.span_mm)))
    if repair.crack_length_mm and repair.crack_length_mm > hypot(*hole):
        found.append(Sentence("a crack of {crack} does not lie in the {length} x {width} that is cut out: its ends would stay "
                              "in the boat; measure both "
                              "again", crack=_mm(repair.crack_length_mm), length=_mm(hole[0]), width=_mm(hole[1])))
    return found


def _spread(name, part):
    load = getattr(part, "patch_load", None)
    if load is None or place_of(name, part) != "deck" or load.mean_kpa >= DECK_MINIMUM_KN_M2:
        return []
    return [Sentence("{force} spread over {length} x {width} press {mean}, less than the small-craft rule's least pressure all "
                     "over a deck, {least}: check the size of the patch; a foot is about {foot} "
                     "wide", force=Figure(load.force_n, "force", digits=3),
                     length=_mm(load.length_mm), width=_mm(load.width_mm), mean=Figure(load.mean_kpa, "pressure", "kPa", digits=3),
                     least=Figure(DECK_MINIMUM_KN_M2, "pressure", "kPa", digits=2), foot=Figure(100, "small_length", digits=2))]
