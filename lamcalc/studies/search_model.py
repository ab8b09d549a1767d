"""What a schedule search is given and what it answers: palette, targets, order rules, result."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.tsai_wu import tsai_wu_strain_coefficients
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.schedule import CoreLayer, Schedule, layer_name

KEYS = ("mass", "cost", "layers")
MAT = "csm"


@dataclass(frozen=True, eq=False)
class Palette:
    """Layers that a search may choose from, with the physics of their sub-plies.

    Parameters
    ----------
    layers : tuple of Ply or CoreLayer
        One of each choice [-].
    stock : Schedule
        Settings (fibres, prices, property model) shared by all answers [-].
    index : ndarray of int, shape (layers, most sub-plies)
        Row of each sub-ply in the tables below; the last row is nothing [-].
    thickness_mm : ndarray, shape (sub-plies + 1,)
        Thickness; zero in the last row [mm].
    qbar : ndarray, shape (sub-plies + 1, 3, 3)
        Stiffness in laminate axes; zero in the last row [MPa].
    forms : ndarray, shape (sub-plies + 1, 9)
        Tsai-Wu criterion in laminate strain; zero where nothing is limited [-].
    keys : ndarray of int, shape (layers, 3)
        Whole grams, cents and layers of each choice [g/m2, cents/m2, -].
    glass_gsm, mass_gsm : ndarray, shape (layers,)
        Dry fibre and mass, not rounded [g/m2].
    first_kind, last_kind : tuple of str
        Kind of the mould-side and of the last sub-ply of each choice [-].
    unchecked : tuple of str
        Layers without a known strength [-].
    level : str
        Evaluation level that the strengths were taken at [-].

    Examples
    --------
    >>> Palette.__dataclass_params__.frozen
    True
    """

    layers: tuple
    stock: Schedule
    index: np.ndarray
    thickness_mm: np.ndarray
    qbar: np.ndarray
    forms: np.ndarray
    keys: np.ndarray
    glass_gsm: np.ndarray
    mass_gsm: np.ndarray
    first_kind: tuple
    last_kind: tuple
    unchecked: tuple
    level: str = "iso_level_c"

    @property
    def layer_thickness_mm(self):
        """Thickness of each choice, shape (layers,) [mm]."""
        return self.thickness_mm[self.index].sum(axis=1)


def make_palette(layers, fibres, *, level="iso_level_c", **settings):
    """Palette of a search from plies and cores.

    Parameters
    ----------
    layers : sequence of Ply or CoreLayer
        The choices, each laid once [-].
    fibres : mapping
        Fibres of the catalogue [-].
    level : str
        Evaluation level of the strengths, see `schedule_strengths` [-].
    **settings
        Further settings of `Schedule`, such as prices or the property model [-].

    Returns
    -------
    Palette
        Choices with stiffness, strength, whole grams and cents [-].

    Raises
    ------
    InputError
        If there is no choice, or a choice is laid more than once.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Ply
    >>> shop = catalogue.load()
    >>> resin, hand = shop.resin("iso_polyester"), shop.process("hand")
    >>> make_palette([Ply(shop.reinforcement("csm_450"), resin, hand)], shop.fibres).keys[0].tolist()
    [1500, 0, 1]
    """
    layers = tuple(layers)
    if not layers:
        raise InputError("palette", "must have at least one layer to choose from [-]", layers, "add what is in stock")
    for layer in layers:
        if layer.count != 1:
            raise InputError(f"palette: {layer_name(layer)}", "must be laid once [-]", layer.count,
                             "give count 1; the search decides how often it is laid")
    stock = Schedule(layers, fibres, **settings)
    s, strengths = stock.sublayers, schedule_strengths(stock, level=level)
    q = reduced_stiffness(s.e1, s.e2, s.nu12, s.g12)
    forms = tsai_wu_strain_coefficients(q, strengths.plies, s.angle_deg)
    rows = [np.flatnonzero(s.row == k) for k in range(len(layers))]
    index = np.full((len(layers), max(map(len, rows))), len(s.row))
    for k, row in enumerate(rows):
        index[k, : len(row)] = row
    keys = np.stack([np.rint(stock.row_mass_gsm), np.rint(100 * stock.row_cost), np.ones(len(layers))], axis=1)
    return Palette(layers, stock, index, np.append(s.thickness_mm, 0.0),
                   np.concatenate([rotated_stiffness(q, s.angle_deg), np.zeros((1, 3, 3))]),
                   np.concatenate([forms, np.zeros((1, 9))]), keys.astype(np.int64), stock.row_glass_gsm,
                   stock.row_mass_gsm, tuple(str(s.kind[r[0]]) for r in rows), tuple(str(s.kind[r[-1]]) for r in rows),
                   strengths.unchecked, level)


def _window(name, window, unit):
    if window is not None:
        low, high = number(name, window, unit)
        if not 0 <= low <= high:
            raise InputError(name, f"must run from a smaller to a larger value, 0 or more [{unit}]", window,
                             "swap them")


@dataclass(frozen=True)
class Targets:
    """What a schedule must reach; a target left out is not asked for.

    Parameters
    ----------
    stiffness_x, stiffness_y : float, optional
        Least bending stiffness 1/d11 and 1/d22 per width [N mm].
    margin : float, optional
        Least first-ply strength ratio (Tsai-Wu) under `moments` [-].
    moments : tuple of float or of such tuples
        Mx, My, Mxy per width, one load case or several [N mm/mm].
    thickness_mm : tuple of (float, float), optional
        Thinnest and thickest [mm].
    glass_share : tuple of (float, float), optional
        Least and largest fibre weight fraction of the fabric layers [-].
    basis : str
        Where moments and stiffness come from, told with the answer [-].

    Examples
    --------
    >>> Targets(stiffness_x=1e6).asked
    ('stiffness_x',)
    """

    stiffness_x: float | None = None
    stiffness_y: float | None = None
    margin: float | None = None
    moments: tuple = ()
    thickness_mm: tuple | None = None
    glass_share: tuple | None = None
    basis: str = ""

    def __post_init__(self):
        for name in ("stiffness_x", "stiffness_y", "margin"):
            if getattr(self, name) is not None:
                positive(f"target {name}", getattr(self, name), "-" if name == "margin" else "N mm")
        loads = number("target moments", self.moments, "N mm/mm")
        if loads.size % 3 or loads.ndim > 2 or (loads.ndim == 2 and loads.shape[1] != 3):
            raise InputError("target moments", "must be Mx, My, Mxy [N mm/mm]", self.moments,
                             "give three numbers a case")
        if self.margin is not None and not loads.any():
            raise InputError("target moments", "must not be zero where a margin is asked for [N mm/mm]", self.moments,
                             "give Mx, My, Mxy")
        _window("target thickness", self.thickness_mm, "mm")
        _window("target glass share", self.glass_share, "-")
        if self.glass_share is not None:
            fraction("target glass share", self.glass_share, zero=True, one=True)

    @property
    def loads(self):
        """Load cases that are not zero, shape (cases, 3) [N mm/mm]."""
        loads = np.array(self.moments, dtype=float).reshape(-1, 3)
        return loads[loads.any(axis=1)]

    @property
    def asked(self):
        """Names of the targets that are asked for [-]."""
        names = ("stiffness_x", "stiffness_y", "margin", "thickness_mm", "glass_share")
        return tuple(name for name in names if getattr(self, name) is not None)


@dataclass(frozen=True)
class OrderRules:
    """Order of layers by the kinds of the faces that meet; nothing given, nothing forbidden.

    Parameters
    ----------
    first : tuple of str
        Kinds allowed against the mould or, in an inner skin, on the core; empty for any [-].
    last : tuple of str
        Kinds allowed on the last face of a skin; empty for any [-].
    never : tuple of (str, str)
        Pairs (below, above) that must not meet [-].

    Examples
    --------
    >>> OrderRules(first=("csm",), never=(("woven", "woven"),)).first
    ('csm',)
    """

    first: tuple = ()
    last: tuple = ()
    never: tuple = ()

    def tables(self, palette):
        """Which layers may start, end and follow each other.

        Parameters
        ----------
        palette : Palette
            The choices [-].

        Returns
        -------
        tuple of ndarray of bool, shapes (layers,), (layers,), (layers, layers)
            May start; may end; row may be followed by column [-].
        """
        first = np.array([not self.first or kind in self.first for kind in palette.first_kind])
        last = np.array([not self.last or kind in self.last for kind in palette.last_kind])
        follow = np.array([[(a, b) not in self.never for b in palette.first_kind] for a in palette.last_kind])
        return first, last, follow


@dataclass(frozen=True, eq=False)
class Found:
    """One schedule that meets the targets.

    Parameters
    ----------
    layers : tuple of Ply or CoreLayer
        In the order they are laid [-].
    schedule : Schedule
        The same as a schedule, for every other study [-].
    key : tuple of int
        Mass, cost and number of fabric layers and cores [g/m2, cents/m2, -].
    stiffness : tuple of (float, float)
        1/d11 and 1/d22 [N mm].
    margin : float
        First-ply strength ratio; infinite where no moments were given [-].

    Examples
    --------
    >>> Found.__dataclass_params__.frozen
    True
    """

    layers: tuple
    schedule: Schedule
    key: tuple
    stiffness: tuple
    margin: float


@dataclass(frozen=True, eq=False)
class SearchResult:
    """Answer of a schedule search.

    Parameters
    ----------
    best : tuple of Found
        Best first; each has another set of layers [-].
    proved : bool
        Whether the search was finished, so that nothing better exists in the palette [-].
    stopped : bool
        Whether it was stopped before the end [-].
    front : tuple of Found
        Lightest first, each further one cheaper; empty if stopped or not asked for [-].
    obstacles : tuple of (str, float)
        If nothing meets the targets: each target that alone stands in the way, and the best value
        of it within the others [as in `Targets`].
    objective : tuple of str
        What was made least, most important first [-].
    sequences : int
        Sequences within the layer counts, before any rule or test [-].
    tested : int
        Sequences that were worked out in full [-].
    targets : Targets
        What was asked for [-].

    Examples
    --------
    >>> SearchResult((), True, False, (), (), ("mass",), 10, 0, Targets()).sentence[:59]
    'None of the 10 sequences meets the targets; this is proved.'
    """

    best: tuple
    proved: bool
    stopped: bool
    front: tuple
    obstacles: tuple
    objective: tuple
    sequences: int
    tested: int
    targets: Targets

    @property
    def sentence(self):
        """The answer in words [-]."""
        if self.best:
            one = self.best[0]
            what = {"mass": "lightest", "cost": "cheapest", "layers": "fewest layers"}[self.objective[0]]
            names = " / ".join(layer_name(layer) for layer in one.layers)
            sure = (f"proved: nothing better among {self.sequences:,} sequences" if self.proved
                    else "stopped: best so far, NOT proved")
            if self.stopped and self.proved:
                sure += "; stopped, so the ranking behind it and the front are incomplete"
            return f"Best ({what}), from the mould: {names}; {one.key[0] / 1000:.2f} kg/m2 ({sure}). {self.caution}"
        if not self.proved:
            return "Stopped before anything was found; nothing is proved."
        start = f"None of the {self.sequences:,} sequences meets the targets; this is proved. "
        if self.stopped:
            return start + "Stopped before it was known which target stands in the way."
        if not self.obstacles:
            return start + "No single target stands in the way: at least two must give."
        return start + "In the way, each alone: " + "; ".join(
            f"{name.replace('_', ' ')} (asked {getattr(self.targets, name)}, best with the others kept {value:.4g})"
            if np.isfinite(value) else f"{name.replace('_', ' ')}" for name, value in self.obstacles) + "."

    @property
    def caution(self):
        """What was not asked of the schedules, in words [-]."""
        sandwich = any(isinstance(layer, CoreLayer) for one in self.best for layer in one.layers)
        missing = ("Core shear, wrinkling and crushing of the core were NOT checked: assess the panel before building. "
                   if sandwich else "")
        strength = ("Default strengths are partly from memory, unverified; the margin has no design factor in it. "
                    if self.targets.margin is not None else "Strength was NOT a target. ")
        basis = f"{self.targets.basis} " if self.targets.basis else ""
        return missing + strength + basis + "Screening only: rules and a designer decide."

    def table(self, which="best"):
        """The schedules found, one a row.

        Parameters
        ----------
        which : {"best", "front"}
            The best ones or the mass/cost front [-].

        Returns
        -------
        DataFrame
            Column names carry the units [-].
        """
        import pandas as pd

        rows = [{"rank": k + 1, "layers from the mould": " / ".join(layer_name(layer) for layer in one.layers),
                 "fabrics and cores": one.key[2], "mass [kg/m2]": one.schedule.areal_mass_kg_m2,
                 "cost [money/m2]": one.schedule.cost_per_m2, "thickness [mm]": one.schedule.total_thickness_mm,
                 "glass fraction [-]": one.schedule.glass_fraction, "1/d11 [N mm]": one.stiffness[0],
                 "1/d22 [N mm]": one.stiffness[1], "first-ply ratio [-]": one.margin}
                for k, one in enumerate(getattr(self, which))]
        return pd.DataFrame(rows)
