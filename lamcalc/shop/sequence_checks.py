"""The checks behind the sequence rules: each looks at the steps in the order laid and yields what it finds."""

from dataclasses import dataclass

import numpy as np

from lamcalc.schedule import Coat, CoreLayer, Ply, SolidLayer, layer_name
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.fillets import check_fillet
from lamcalc.shop.limits import PLUG_RING, FILLET_RADIUS, SESSION_PLIES, SESSION_THICKNESS, WOVEN_SHARE
from lamcalc.shop.sequence_rules import RESIN_ON

WOOD = ("plywood", "balsa")
WORDS = {"polyester": "polyester", "vinyl_ester": "vinyl ester", "epoxy": "epoxy", "gel_coat": "gel coat",
         "wood": "bare wood", "waxed": "a waxed, air-dried surface", "mould": "the mould", "core": "the core",
         "fresh_gel_coat": "fresh gel coat"}
HEAVY_MAT_GSM = 460.0  # 450 g/m2 and 1.5 oz/ft2, 458 g/m2, are the same mat
TACK_H = {"polyester": (24.0, 48.0), "vinyl_ester": (24.0, 48.0), "gel_coat": (24.0, 48.0), "epoxy": (8.0, 24.0)}
DCPD_TACK_H = (12.0, 24.0)
COUPLED, BENT = 0.01, 0.02


@dataclass(frozen=True)
class Step:
    """One layer in the order laid.

    Parameters
    ----------
    number : int
        Row of the schedule's table, from 1 [-].
    layer : Ply, CoreLayer, SolidLayer or Coat
        The layer [-].
    below, above : str
        What its lower and upper faces are as laid: 'mat', 'roving', 'fabric', 'core', 'solid' or 'coat' [-].
    thickness_mm : float
        Thickness [mm].
    new : bool
        Whether it is laid now; False for what is there already [-].

    Examples
    --------
    >>> from lamcalc.schedule import Coat
    >>> Step(1, Coat("gel coat", 0.5), "coat", "coat", 0.5, True).name
    'layer 1, gel coat'
    """

    number: int
    layer: object
    below: str
    above: str
    thickness_mm: float
    new: bool

    @property
    def name(self):
        """Number and name for sentences [-]."""
        return Sentence("layer {number}, {name}", number=self.number, name=layer_name(self.layer))

    @property
    def is_ply(self):
        """Whether it is a fabric ply [-]."""
        return isinstance(self.layer, Ply)

    @property
    def family(self):
        """Resin family of a ply, 'gel_coat' for a coat, else '' [-]."""
        if self.is_ply:
            return self.layer.resin.family
        return "gel_coat" if isinstance(self.layer, Coat) else ""


def steps_of(schedule, laid="outer_first"):
    """Layers of a schedule in the order laid, with their faces.

    Parameters
    ----------
    schedule : Schedule
        The schedule [-].
    laid : {"outer_first", "inner_first"}
        Which end of the list is laid first [-].

    Returns
    -------
    list of Step
        First laid first [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> [s.number for s in steps_of(schedule(load_demo(), "bottom_patch_rovings"), "inner_first")][:2]
    [7, 6]
    """
    out = []
    for k, (layer, t) in enumerate(zip(schedule.laid, schedule.row_thickness_mm, strict=True)):
        low, high = _faces(layer)
        if laid == "inner_first":
            low, high = high, low
        out.append(Step(k + 1, layer, low, high, float(t), not getattr(layer, "existing", False)))
    return out[::-1] if laid == "inner_first" else out


def _faces(layer):
    if isinstance(layer, Ply):
        stack = layer.reinforcement.stack(mat_down=layer.mat_side == "down")
        kinds = {"csm": "mat", "woven": "roving"}
        return tuple(kinds.get(stack[end].kind, "fabric") for end in (0, -1))
    name = {CoreLayer: "core", SolidLayer: "solid", Coat: "coat"}[type(layer)]
    return name, name


def _pairs(steps):
    """Each new layer with the one before it, None for the first."""
    return [(before, step) for before, step in zip([None, *steps[:-1]], steps, strict=True) if step.new]


def surface(before, context):
    """What a layer goes on, as a row of the resin table, and in words.

    Parameters
    ----------
    before : Step or None
        The layer before, None for the first [-].
    context : Context
        What the job says [-].

    Returns
    -------
    tuple of str
        Key and words [-].
    """
    if before is None:
        words = WORDS[context.substrate] + (" of the old laminate" if context.on_old_laminate else "")
        return context.substrate.removeprefix("fresh_"), words
    if isinstance(before.layer, CoreLayer):
        return ("wood" if before.layer.core.family in WOOD else "core"), layer_name(before.layer)
    if isinstance(before.layer, SolidLayer):
        return ("putty" if before.new else context.old_resin), layer_name(before.layer)
    return before.family, before.name


def raw_findings(schedule, steps, context):
    """Everything that the checks find, unsorted.

    Parameters
    ----------
    schedule : Schedule
        The schedule [-].
    steps : list of Step
        Its layers in the order laid [-].
    context : Context
        What the job says [-].

    Returns
    -------
    list of (str, tuple of int, dict)
        Rule, numbers of the layers, facts for the sentence [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> from lamcalc.shop.sequence import Context
    >>> stack = schedule(load_demo(), "transom_inner_skin")
    >>> [rule for rule, _, _ in raw_findings(stack, steps_of(stack), Context())]
    ['symmetry', 'session_split']
    """
    return [*_check_faces(steps, context), *_check_stack(schedule, steps, context), *_check_mats(steps, context),
            *_check_resins(steps, context), *_check_time(steps, context), *_check_cores(steps, context),
            *_check_tabbing(context), *_check_window(schedule, context)]


def _check_faces(steps, context):
    """Mat at the bond, mat first, roving first and on roving, mat side, bond lines."""
    following = dict(zip([s.number for s in steps], [*steps[1:], None], strict=True))
    for before, step in _pairs(steps):
        yield from _one_face(before, step, following[step.number], context)
    for step, above in zip(steps, steps[1:], strict=False):
        core_on_ply = isinstance(above.layer, CoreLayer) and step.is_ply and step.new
        if core_on_ply and step.above != "mat" and step.family != "epoxy":
            yield "mat_at_bond", (step.number, above.number), {"name": step.name, "against": above.name}
        stiff = (CoreLayer, SolidLayer)
        if isinstance(step.layer, stiff) and isinstance(above.layer, stiff) and (step.new or above.new):
            if "putty" not in (layer_name(step.layer), layer_name(above.layer)):
                yield "bond_line", (step.number, above.number), {"name": above.name, "against": step.name}


def _one_face(before, step, above, context):
    if not step.is_ply:
        return
    on, words = surface(before, context)
    bond = before is None and context.on_old_laminate or before is not None and not before.is_ply
    facts = {"name": step.name, "against": words}
    to_gel_coat = on in ("mould", "gel_coat") if before is None else isinstance(before.layer, Coat)
    first = before is None or not before.new or isinstance(before.layer, (Coat, CoreLayer))
    if first and step.below == "roving":
        yield "roving_first", (step.number,), facts
    elif to_gel_coat and step.below != "mat":
        yield "bare_first_epoxy" if step.family == "epoxy" else "mat_first", (step.number,), facts
    elif bond and step.below != "mat" and step.family != "epoxy":  # epoxy holds on bare fabric
        yield "mat_at_bond", (step.number,), facts
    if step.below == "roving" and before is not None and before.above == "roving":
        yield "roving_on_roving", (before.number, step.number), facts
    # under a core the mat belongs up: that is where the bond is
    if step.layer.reinforcement.has_mat and step.below != "mat" and not (above and isinstance(above.layer, CoreLayer)):
        yield "mat_side", (step.number,), facts


def _check_stack(schedule, steps, context):
    """Balance, symmetry, share of woven glass."""
    plies = tuple(s.number for s in steps if s.is_ply and s.new)
    if not plies:
        return
    laminate = schedule.laminate
    stretch = max(laminate.A[0, 0], laminate.A[1, 1])
    coupling = float(max(abs(laminate.A[0, 2]), abs(laminate.A[1, 2])) / stretch)
    if coupling > COUPLED:
        yield "balance", plies, {"value": coupling}
    bending = float(np.abs(laminate.B).max() / (stretch * schedule.structural_thickness_mm))
    if bending > BENT:
        yield "symmetry", plies, {"value": bending}
    if context.structural and schedule.woven_share < WOVEN_SHARE.value:
        # mat alone is a build of its own where its binder dissolves; epoxy does not dissolve it
        usual = schedule.woven_share == 0 and all(s.family in ("polyester", "vinyl_ester") for s in steps if s.is_ply and s.new)
        epoxy = all(s.family == "epoxy" for s in steps if s.is_ply and s.new)
        yield "mat_only" if usual else "woven_share", plies, {"value": schedule.woven_share, "limit": WOVEN_SHARE.value,
                                                              "keep": "" if epoxy else ", but keep mat at the bond"}


def _check_mats(steps, context):
    """Heavy mat on gel coat, loose mat with epoxy."""
    for before, step in _pairs(steps):
        if not step.is_ply:
            continue
        on, _ = surface(before, context)
        mat = step.layer.reinforcement.mat_areal_weight_gsm
        fresh = on == "gel_coat" and (context.fresh_gel_coat if before is None else before.new)
        if fresh and step.below == "mat" and mat > HEAVY_MAT_GSM:
            yield "heavy_mat_on_gel_coat", (step.number,), {"name": step.name, "value": mat}
        if step.family == "epoxy" and step.layer.reinforcement.woven_share == 0:
            yield "loose_mat_epoxy", (step.number,), {"name": step.name}


def _check_resins(steps, context):
    """What goes on what: the resin table, wax, blush."""
    for before, step in _pairs(steps):
        over = step.family
        if not over:
            continue
        on, words = surface(before, context)
        fresh = before is not None and before.new
        facts = {"name": step.name, "over": WORDS[over], "on": WORDS.get(on, words), "against": words}
        rule = RESIN_ON.get(on, {}).get(over, (None, ""))[0]
        if rule == "resin_structure" and not context.structural:
            rule = "resin_cosmetic"
        if rule == "unground" and on == "gel_coat" and (fresh or before is None and context.fresh_gel_coat):
            rule = None
        if rule:
            yield rule, (step.number,), facts
        old = before is not None and not before.new and not isinstance(before.layer, CoreLayer)
        if old or before is None and context.on_old_laminate:
            then = "wet it with epoxy before the first ply" if over == "epoxy" else "lay mat or a mat side first"
            yield "secondary_bond", (step.number,), {**facts, "then": then}
            if not context.old_resin_known:
                yield "old_resin", (step.number,), facts
        if on == "epoxy" and (not fresh or step.number in context.gaps_h):
            yield from _blush(step, context)
    last = max((k for k, s in enumerate(steps) if s.new), default=-1)
    for k, step in enumerate(steps[:last]):
        if step.number in context.waxed:
            yield "wax_below", (step.number, steps[k + 1].number), {"name": step.name, "above": steps[k + 1].name}


def _blush(step, context):
    prepared = context.epoxy_preparation
    if "wash" not in prepared or "sand" not in prepared:
        if "sand" in prepared:
            yield "amine_order", (step.number,), {"name": step.name}
        else:
            yield "amine_wash", (step.number,), {"name": step.name}
    elif prepared.index("sand") < prepared.index("wash"):
        yield "amine_order", (step.number,), {"name": step.name}


def _check_time(steps, context):
    """Tack windows and sessions."""
    for before, step in _pairs(steps):
        hours = context.gaps_h.get(step.number)
        if hours is None or before is None or not before.family or step.number in context.ground:
            continue
        dcpd = before.is_ply and before.layer.resin.id == "dcpd_polyester"
        early, late = DCPD_TACK_H if dcpd else TACK_H[before.family]
        if hours > early:
            yield ("tack_lost" if hours > late else "tack_check"), (step.number,), {
                "name": step.name, "value": hours, "on": before.name, "limit": late}
    for session in sessions_of(steps, context.session_starts):
        yield from _session(session, context.hot_day)


def sessions_of(steps, starts=()):
    """Plies that are laid in one go: a session ends at a core, at what is there already, and where the job says.

    Parameters
    ----------
    steps : sequence of Step
        In the order laid [-].
    starts : sequence of int
        Numbers of the layers that begin a session [-].

    Returns
    -------
    list of list of Step
        New plies of each session [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> [len(s) for s in sessions_of(steps_of(schedule(load_demo(), "transom_plywood")))]
    [1, 1, 5]
    """
    out = [[]]
    for step in steps:
        if not step.is_ply or not step.new or step.number in starts:
            out.append([])
        if step.is_ply and step.new:
            out[-1].append(step)
    return [session for session in out if session]


def _session(session, hot_day):
    total = sum(s.thickness_mm for s in session)
    thick, plies = SESSION_THICKNESS.high, int(SESSION_PLIES.value)
    easy = SESSION_THICKNESS.low
    upper = easy if hot_day else thick
    # advice for a warm day must keep to the limit of a warm day
    aim = SESSION_THICKNESS.value if total > upper and not hot_day else easy
    running, stop, count = 0.0, session[0].number, 0
    for step in session:
        if count and (running + step.thickness_mm > aim or count == plies):
            break
        running, stop, count = running + step.thickness_mm, step.number, count + 1
    facts = {"value": Figure(total, "thickness", digits=2), "count": len(session), "stop": stop,
             "limit": Figure(upper, "thickness", digits=2), "usual": Figure(easy, "thickness", high=thick, digits=2)}
    numbers = tuple(s.number for s in session)
    if len(session) == 1:
        return
    if total > upper:
        yield "session_thick", numbers, facts
    elif total > easy or len(session) > plies:
        yield "session_split", numbers, facts


def _check_cores(steps, context):
    """End grain and edges of new cores."""
    cores = [s for s in steps if isinstance(s.layer, CoreLayer) and s.new]
    for step in cores:
        if step.layer.core.family in WOOD and not context.end_grain_sealed:
            yield "end_grain", (step.number,), {"name": step.name}
    if cores and not context.edge_close_out_mm:
        yield "edge_open", tuple(s.number for s in cores), {"name": cores[0].name,
                                                            "ring": Figure(PLUG_RING.value, "small_length", digits=2)}


def _check_tabbing(context):
    """Fillet before tabbing."""
    if context.tabbing_gsm is None:
        return
    if not context.fillet_radius_mm:
        yield "no_fillet", (), {"radius": Figure(FILLET_RADIUS.low, "small_length", high=FILLET_RADIUS.high, digits=2)}
        return
    for found in check_fillet(context.fillet_radius_mm, areal_weight_gsm=context.tabbing_gsm):
        yield "fillet_tight", (), {"value": found.text}
    if not context.fillet_firm:
        yield "fillet_wet", (), {}


def _check_window(schedule, context):
    """Thickness of a clamped transom against the engine's window."""
    if context.window_mm is None:
        return
    low, high = context.window_mm
    window = Figure(low, "small_length", high=high, digits=3)
    total = schedule.total_thickness_mm
    thin, thick = schedule.thickness_band_mm("15 percent")
    if not low <= total <= high:
        yield "window_out", (), {"value": Figure(total, "thickness", digits=3), "window": window}
    elif thin < low or thick > high:
        yield "window_close", (), {"band": Figure(thin, "thickness", high=thick, digits=3), "window": window}
