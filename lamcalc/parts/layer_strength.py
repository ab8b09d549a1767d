"""Strengths of the layers of a schedule, and the worst layer of a strained wall.

Margins need a strength for every sub-layer.  Fabrics take the small-craft
regressions in glass fraction, measured layers their own values; a layer without
a value is named, never guessed.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.lamina import strain_to_ply_axes
from lamcalc.mechanics.regressions import SMALL_CRAFT
from lamcalc.mechanics.strength import (
    COMPRESSION_CAUTION, Margin, PlyStrengths, assess, design_factor, strength_ratio, strengths_small_craft,
)
from lamcalc.parts.basis import RuleRequirement
from lamcalc.schedule import CoreLayer, Ply, layer_name
from lamcalc.sentences import Sentence

SHEETS_CAUTION = ("Sheets of plywood on each other are pulled or pushed as a whole rather than bent: they are checked "
                  "by the panel's tensile strength where that is lower, both ways (compression along a panel is not known "
                  "better).")
PLYWOOD_CAUTION = ("Plywood is checked by its panel bending strength along the face grain, and across it in proportion "
                   "to the modulus (assumed); dry panels only.")
UNLIMITED = (np.inf,) * 5
NAMES = ("xt", "xc", "yt", "yc", "s")


@dataclass(frozen=True, eq=False)
class LayerStrengths:
    """Strengths of all sub-layers of a schedule.

    Parameters
    ----------
    plies : PlyStrengths, shape (sublayers,)
        In-plane strengths, evaluation level included; infinite where nothing is known or checked elsewhere [MPa].
    interlaminar : ndarray, shape (sublayers,)
        Shear strength across the thickness; infinite where nothing is known [MPa].
    names : tuple of str
        Layer of each sub-layer in words [-].
    unchecked : tuple of str
        Layers without any in-plane strength, cores left out [-].
    cautions : tuple of str
        Sentences to show wherever the strengths are used [-].
    level : float
        Factor of the evaluation level, already in the strengths [-].

    Examples
    --------
    >>> LayerStrengths.__dataclass_params__.frozen
    True
    """

    plies: PlyStrengths
    interlaminar: np.ndarray
    names: tuple
    unchecked: tuple
    cautions: tuple
    level: float = 1.0


def _ply_row(layer, kind, psi, uses_test):
    """In-plane and interlaminar strength of a fabric sub-layer [MPa], whether one is missing, cautions."""
    if uses_test:
        values = [getattr(layer.tested, name) for name in NAMES]
        shear = layer.tested.interlaminar_strength
        row = [np.inf if value is None else float(value) for value in values]
        return row, np.inf if shear is None else float(shear), None in values, ()
    row, shear, cautions = _default_row(str(kind), float(psi))
    return list(row), shear, False, cautions


@lru_cache(maxsize=512)
def _default_row(kind, psi):
    """Default strengths of a kind at a glass fraction; kept, because a schedule asks for the same few again."""
    found = strengths_small_craft(kind, psi)
    return tuple(float(getattr(found, name)) for name in NAMES), float(SMALL_CRAFT["ilss"](psi)), found.cautions


def _core_row(core, alone):
    """A plywood panel by its bending strength, one of several by its tensile strength; other cores by shear [MPa]."""
    shear = np.inf if core.shear_strength is None else float(core.shear_strength)
    if core.bending_strength is None:
        return list(UNLIMITED), shear
    along = float(core.bending_strength)
    if not alone and core.tensile_strength is not None:
        along = min(along, float(core.tensile_strength))
    across = along * float(core.require("e_y")) / float(core.require("e_x"))
    return [along, along, across, across, np.inf], shear


def _across_caution(core):
    """What a modulus across the grain stands on where the job states the one along only."""
    if not core.across_by_ratio:
        return []
    ratio = float(core.e_y) / float(core.e_x)
    return [f"{core.name}: the modulus across the face grain is not stated; taken as {ratio:.2f} of the one along, as "
            "the catalogue's sheet has it (assumed)."]


def schedule_strengths(schedule, *, level="iso_level_c"):
    """Strengths of every sub-layer of a schedule.

    Parameters
    ----------
    schedule : Schedule
        Layers; fabrics of E-glass [-].
    level : str
        Evaluation level, a factor on all strengths: "iso_level_a" tested, "iso_level_b" glass content measured,
        "iso_level_c" nothing measured, the cautious default [-].

    Returns
    -------
    LayerStrengths
        In-plane and interlaminar strengths with their cautions [MPa].

    Raises
    ------
    InputError
        If a fabric is not of E-glass or the level is not known.

    Notes
    -----
    Fabrics: small-craft regressions (`strengths_small_craft`), or the shop's tests
    where the schedule's property model is 'tested'.  A `SolidLayer` counts only
    with its own five strengths.  Foam and balsa cores are not limited in plane.  One sheet of plywood bends as the
    panel that its bending strength was measured on; several on each other take the tensile strength where it is lower.

    References
    ----------
    .. [1] ISO 12215-5:2008, as in `strengths_small_craft`; plywood: common practice, assumed across the face grain.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Schedule
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> schedule_strengths(Schedule((mat,), shop.fibres)).plies.xt.round(1).tolist()
    [68.0]
    """
    factor = design_factor(level)
    sheets = sum(isinstance(layer, CoreLayer) and layer.core.bending_strength is not None for layer in schedule.laid)
    s, rows, shear, unchecked, cautions = schedule.sublayers, [], [], [], []
    for kind, psi, row in zip(s.kind, s.weight_fraction, s.row, strict=True):
        layer, missing = schedule.laid[row], False
        if isinstance(layer, Ply):
            _require_glass(schedule, layer)
            in_plane, across, missing, said = _ply_row(layer, kind, psi, kind == "tested")
            cautions += said
        elif isinstance(layer, CoreLayer):
            in_plane, across = _core_row(layer.core, alone=sheets == 1)
            if layer.core.bending_strength is not None:
                cautions += [PLYWOOD_CAUTION, *([SHEETS_CAUTION] if sheets > 1 else [])]
            cautions += _across_caution(layer.core)
        else:
            in_plane = list(layer.strengths_mpa or UNLIMITED)
            across = np.inf if layer.interlaminar_mpa is None else layer.interlaminar_mpa
            cautions += [COMPRESSION_CAUTION] if layer.status == _REGRESSION else []
            missing = layer.strengths_mpa is None
        unchecked += [layer_name(layer)] if missing else []
        rows.append(in_plane)
        shear.append(across)
    values = np.array(rows, dtype=float).T * factor.value
    cautions.append(f"Strengths are taken times {factor.words}.")
    unchecked = tuple(dict.fromkeys(unchecked))
    if unchecked:
        cautions.append(f"No strength is known for {', '.join(unchecked)}: not checked.")
    plies = PlyStrengths(*values, model="small-craft regressions, tests where given", status=factor.status)
    return LayerStrengths(plies, np.array(shear) * factor.value, tuple(layer_name(schedule.laid[row]) for row in s.row),
                          unchecked, tuple(dict.fromkeys(cautions)), factor.value)


_MODEL_WORDS = {"micromechanics": "micromechanics", "small_craft": "small-craft regressions",
                "tested": "micromechanics"}
_REGRESSION = "regression"


def evidence(schedule):
    """What the stiffness and the strength of a schedule's laminates stand on, cores and coats left out.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].

    Returns
    -------
    tuple of (frozenset of str, frozenset of str)
        Sources of the elastic constants, and of the strengths, in words [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Schedule
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> [sorted(words) for words in evidence(Schedule((mat,), shop.fibres))]
    [['micromechanics'], ['small-craft regressions']]
    """
    stiff, strong = set(), set()
    kinds = dict(zip(schedule.sublayers.row.tolist(), schedule.sublayers.kind, strict=True))
    for row, layer in enumerate(schedule.laid):
        if isinstance(layer, Ply):
            tested = kinds[row] == "tested"
            stiff.add("own tests" if tested else _MODEL_WORDS[schedule.property_model])
            strong.add("own tests" if tested else _MODEL_WORDS["small_craft"])
        elif row in kinds and not isinstance(layer, CoreLayer):
            entered = (_MODEL_WORDS["small_craft"] if layer.status == _REGRESSION
                       else f"values as entered, {layer.status}")
            stiff.add(entered)
            strong |= set() if layer.strengths_mpa is None else {entered}
    return frozenset(stiff), frozenset(strong)


def unlike_evidence(old, new):
    """Caution where two laminates that are compared stand on different evidence; empty if they do not.

    Parameters
    ----------
    old, new : Schedule
        What came out and what goes in [-].

    Returns
    -------
    str
        One sentence, or nothing [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Schedule, SolidLayer
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> unlike_evidence(Schedule((SolidLayer("skin", 5.0, 9e3),), {}), Schedule((mat,), shop.fibres))[:44]
    'CAUTION, not like for like: stiffness of old'
    """
    found = []
    for name, one, other in zip(("stiffness", "strength"), evidence(old), evidence(new), strict=True):
        if one and other and one != other:
            found.append(f"{name} of old from {' and '.join(sorted(one))}, of new from {' and '.join(sorted(other))}")
    if not found:
        return ""
    return (f"CAUTION, not like for like: {'; '.join(found)}. Part of a ratio near 1 may be the difference of the two.")


def _require_glass(schedule, ply):
    fibre = schedule.fibres[ply.reinforcement.fibre]
    if not fibre.id.startswith("e_glass"):
        raise InputError(f"strength of {ply.reinforcement.name}", "is known for E-glass fabrics only [MPa]", fibre.name,
                         "enter the layer as a SolidLayer with tested strengths")


def membrane_constants(laminate):
    """Moduli of a laminate that is held flat, as the walls of a built-up section are.

    Parameters
    ----------
    laminate : Laminate
        One stack [-].

    Returns
    -------
    tuple of (float, float, float)
        Modulus along x, along y and in-plane shear modulus [MPa].

    Notes
    -----
    From A alone: bending-stretching coupling cannot act where the section keeps
    the wall from curling.  Single stitched plies with mat on one face would
    otherwise look too soft.

    References
    ----------
    .. [1] Classical laminate theory (common practice).

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> wall = Laminate.from_plies(9e3, 9e3, 0.3, 3e3, [0.0], [2.0])
    >>> [round(value) for value in membrane_constants(wall)]
    [9000, 9000, 3000]
    """
    a = np.linalg.inv(laminate.A) * laminate.total_thickness_mm
    return float(1 / a[0, 0]), float(1 / a[1, 1]), float(1 / a[2, 2])


@dataclass(frozen=True)
class WorstLayer:
    """Layer of a wall that fails first.

    Parameters
    ----------
    ratio : float
        The strain times this just fails; infinite if nothing is limited [-].
    case : int
        Load case that decides [-].
    layer : str
        Layer in words [-].
    mode : str
        Mode in words [-].
    strain : float
        Governing strain along the wall there [-].

    Examples
    --------
    >>> WorstLayer(2.0, 0, "mat", "fibre tension", 0.001).mode
    'fibre tension'
    """

    ratio: float
    case: int
    layer: str
    mode: str
    strain: float

    def words(self, where, tail=""):
        """Name of the margin at this layer; it may hold the thickness of a core.

        Parameters
        ----------
        where : str
            Part of the wall [-].
        tail : str
            What else to say at the end [-].

        Returns
        -------
        Sentence
            Words for `told` [-].
        """
        return Sentence("{where}: {layer}, {mode}{tail}", where=where, layer=self.layer, mode=self.mode, tail=tail)


def worst_layer(laminate, strengths, strain, *, criterion="max_stress", rows=None):
    """Layer that fails first under given wall strains.

    Parameters
    ----------
    laminate : Laminate
        One stack [-].
    strengths : LayerStrengths
        Its strengths [MPa].
    strain : array_like, shape (cases, sublayers, 2, 3)
        Strain xx, yy, xy at both faces of every sub-layer, shear engineering [-].
    criterion : str
        "max_stress", "tsai_hill", "tsai_wu" or "hashin" [-].
    rows : array_like of int, optional
        Sub-layers to look at; all if left out [-].

    Returns
    -------
    WorstLayer
        Least strength ratio with its place [-].

    Raises
    ------
    InputError
        If the criterion is not known.

    Notes
    -----
    Stress = Q strain in the axes of each sub-layer, then `strength.assess`.

    References
    ----------
    .. [1] As in `lamcalc.mechanics.criteria`.

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> wall = Laminate.from_plies(9e3, 9e3, 0.3, 3e3, [0.0], [2.0])
    >>> glass = PlyStrengths([90.0], [90.0], [90.0], [90.0], [50.0])
    >>> known = LayerStrengths(glass, np.array([15.0]), ("mat",), (), ())
    >>> round(worst_layer(wall, known, [[[[0.005, -0.0015, 0.0]] * 2]]).ratio, 6)
    2.0
    """
    return worst_layers(laminate, strengths, np.asarray(strain, dtype=float)[None], criterion=criterion, rows=rows)[0]


def worst_layers(laminate, strengths, strain, *, criterion="max_stress", rows=None):
    """Layer that fails first under each of several groups of wall strains.

    Parameters
    ----------
    laminate : Laminate
        One stack [-].
    strengths : LayerStrengths
        Its strengths [MPa].
    strain : array_like, shape (groups, cases, sublayers, 2, 3)
        Strain xx, yy, xy at both faces of every sub-layer, shear engineering [-].
    criterion : str
        "max_stress", "tsai_hill", "tsai_wu" or "hashin" [-].
    rows : array_like of int, optional
        Sub-layers to look at; all if left out [-].

    Returns
    -------
    list of WorstLayer
        One a group, the worst of its cases [-].

    Raises
    ------
    InputError
        If the criterion is not known.

    References
    ----------
    .. [1] As in `worst_layer`.

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> wall = Laminate.from_plies(9e3, 9e3, 0.3, 3e3, [0.0], [2.0])
    >>> glass = PlyStrengths([90.0], [90.0], [90.0], [90.0], [50.0])
    >>> known = LayerStrengths(glass, np.array([15.0]), ("mat",), (), ())
    >>> pulled = np.array([[0.005, -0.0015, 0.0]] * 2)
    >>> [round(one.ratio, 6) for one in worst_layers(wall, known, [[[pulled]], [[2 * pulled]]])]
    [2.0, 1.0]
    """
    rows = np.arange(len(strengths.names)) if rows is None else np.asarray(rows)
    strain = np.asarray(strain, dtype=float)[..., rows, :, :]
    local = strain_to_ply_axes(strain, laminate.angle_deg[rows, None])
    stress = local @ np.swapaxes(laminate.q[rows], -1, -2)
    ratio = strength_ratio(stress, strengths.plies.each(lambda x: x[rows, None]), criterion=criterion)
    groups = np.arange(len(ratio))
    case, layer, face = np.unravel_index(ratio.reshape(len(ratio), -1).argmin(axis=1), ratio.shape[1:])
    # how a layer fails is asked at the worst point of each group only
    modes = assess(stress[groups, case, layer, face], strengths.plies.each(lambda x: x[rows[layer]]), criterion=criterion).mode
    return [WorstLayer(float(ratio[k, c, row, f]), int(c), strengths.names[rows[row]], str(mode), float(strain[k, c, row, f, 0]))
            for k, c, row, f, mode in zip(groups, case, layer, face, modes, strict=True)]


def layer_margin(name, worst, stress, factor):
    """Margin at the worst layer, told as a stress of the whole wall.

    Parameters
    ----------
    name : str
        What is checked [-].
    worst : WorstLayer
        Layer that fails first [-].
    stress : float
        Stress of the wall at that place, averaged over its layers [MPa].
    factor : DesignFactor
        Usable share with its rule [-].

    Returns
    -------
    Margin or None
        Wall stress against the wall stress at first failure of a layer; None where no layer has a strength [MPa].

    Examples
    --------
    >>> layer_margin("crown", WorstLayer(2.0, 0, "mat", "fibre tension", 1e-3), -30.0, design_factor("iso_ply")).holds
    True
    """
    if not np.isfinite(worst.ratio):
        return None
    stress = abs(float(stress))
    return Margin(worst.words(name), stress, stress * worst.ratio, factor, "MPa")


def margins_table(margins):
    """Margins as a table, factor, rule and status beside each.

    Parameters
    ----------
    margins : sequence of Margin
        Margins in the order to show [-].

    Returns
    -------
    DataFrame
        One row a margin [-].

    Examples
    --------
    >>> list(margins_table([Margin("web", 5.0, 40.0, design_factor("iso_ply"), "MPa")])["verdict"])
    ['holds']
    """
    import pandas as pd

    return pd.DataFrame([{
        "check": m.name, "demand": m.demand, "ultimate": m.capacity, "unit": m.unit,
        "design factor [-]": m.factor.value, "usable": m.usable,
        "reserve factor [-]": m.reserve_factor, "verdict": m.verdict, "rule": m.factor.whose,
        "status": m.factor.status} for m in margins])


@dataclass(frozen=True)
class RuleCheck:
    """What a rule asks for beside what the part has.

    Parameters
    ----------
    requirement : RuleRequirement
        Required value with rule and status [as its `unit` says].
    have : float
        Value of the part [the same unit].
    at_most : bool
        Whether the required value is an upper limit [-].

    Examples
    --------
    >>> need = RuleRequirement("web area", 200.0, "mm2", "a rule", "", "user")
    >>> RuleCheck(need, 400.0).ratio
    2.0
    """

    requirement: RuleRequirement
    have: float
    at_most: bool = False

    @property
    def ratio(self):
        """Above 1 the part has more than the rule asks [-]."""
        return self.requirement.value / self.have if self.at_most else self.have / self.requirement.value

    @property
    def holds(self):
        """Whether the rule is met [-]."""
        return bool(self.ratio >= 1.0)

    @property
    def sentence(self):
        """The check in words with rule and status [-]."""
        need, sense = self.requirement, "at most" if self.at_most else "at least"
        unit = "" if need.unit == "-" else f" {need.unit}"
        return (f"{need.name.capitalize()}: {self.have:.4g}{unit} against {sense} {need.value:.4g}{unit} ({need.rule}, "
                f"{need.label}).")


def rule_checks_table(checks):
    """Requirements of rules beside what is there.

    Parameters
    ----------
    checks : sequence of RuleCheck
        Checks in the order to show [-].

    Returns
    -------
    DataFrame
        One row a requirement [-].

    Examples
    --------
    >>> need = RuleRequirement("web area", 200.0, "mm2", "a rule", "", "user")
    >>> list(rule_checks_table([RuleCheck(need, 400.0)])["met"])
    ['yes']
    """
    import pandas as pd

    return pd.DataFrame([{"quantity": c.requirement.name, "required": c.requirement.value, "has": c.have,
                          "unit": c.requirement.unit, "sense": "at most" if c.at_most else "at least",
                          "met": "yes" if c.holds else "no", "rule": c.requirement.rule, "clause": c.requirement.clause,
                          "status": c.requirement.label} for c in checks])
