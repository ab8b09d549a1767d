"""The bridge from materials to mechanics: an ordered schedule becomes thickness, mass, cost and a laminate.

The first layer lies against the mould (the outer skin).  A stitched fabric
with mat is several components; each becomes its own sub-layer with its own
glass fraction, so a ply of the schedule may be several layers of the laminate.
"""

from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from types import MappingProxyType

import numpy as np

from lamcalc.errors import InputError, angle, fraction, positive
from lamcalc.materials.records import Core, Process, Reinforcement, Resin, TestedLaminate, Veneer
from lamcalc.mechanics import fibre_content
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.micromechanics import ply_constants_micromechanics, ply_constants_small_craft
from lamcalc.mechanics.transverse_shear import rotated_shear_modulus
from lamcalc.sentences import Figure, Sentence

PROPERTY_MODELS = MappingProxyType({
    "micromechanics": "micromechanics from fibre and resin data",
    "small_craft": "small-craft regressions in glass fraction (ISO 12215-5 type)",
    "tested": "the shop's own test values where given, else micromechanics",
})
THICKNESS_BAND = 0.15
#: Name of a layer of putty: a filled resin, so no strength of a laminate stands for it.
PUTTY = "putty"

# what to do about the two values in the plane that sheets of boards and foams leave out; an isotropic board has this shear modulus
_SILENT_SHEET = ("sheets of boards and foams seldom print nu_xy and g_xy, which count little beside e_x and e_y: take 0.3 and the smaller of "
                 "e_x and e_y over 2.6, both marked assumed")


@dataclass(frozen=True)
class Ply:
    """One fabric, laid `count` times with the same resin, process and angle.

    Parameters
    ----------
    reinforcement : Reinforcement
        Fabric from the catalogue [-].
    resin : Resin
        Resin from the catalogue [-].
    process : Process
        How it is laid, from the catalogue [-].
    angle_deg : float
        Roll direction from x towards y [deg].
    mat_side : {"down", "up"}
        Where the mat of a mat-backed fabric faces; down is towards the mould or bond [-].
    count : int
        How many times the ply is laid [-].
    glass_fraction : float, optional
        Fibre weight fraction of the whole ply, overruling the catalogue [-].
    thickness_mm : float, optional
        Measured cured thickness of one ply, overruling the catalogue [mm].
    tested : TestedLaminate, optional
        The shop's own test values for this fabric and process [-].
    """

    reinforcement: Reinforcement
    resin: Resin
    process: Process
    angle_deg: float = 0.0
    mat_side: str = "down"
    count: int = 1
    glass_fraction: float | None = None
    thickness_mm: float | None = None
    tested: TestedLaminate | None = None

    def __post_init__(self):
        angle("ply angle", self.angle_deg)
        if self.mat_side not in ("down", "up"):
            raise InputError("mat side", "must be 'down' or 'up' [-]", self.mat_side, "choose the side the mat faces")
        _check_count(self.count)
        if self.glass_fraction is not None and self.thickness_mm is not None:
            raise InputError("ply", "can be overruled by a glass fraction or by a thickness, not both",
                             (self.glass_fraction, self.thickness_mm), "keep the one that was measured")
        if self.glass_fraction is not None:
            fraction("glass fraction", self.glass_fraction)
        if self.thickness_mm is not None:
            positive("ply thickness", self.thickness_mm, "mm")


@dataclass(frozen=True)
class CoreLayer:
    """A sheet of core, laid `count` times.

    Parameters
    ----------
    core : Core
        Core from the catalogue or with the job's own values [-].
    thickness_mm : float
        Thickness of one sheet [mm].
    angle_deg : float
        Face grain from x towards y [deg].
    count : int
        Number of sheets [-].
    veneer : Veneer, optional
        With `plies`, plywood is computed from its veneers instead of panel values [-].
    plies : int, optional
        Veneers in one sheet, odd [-].
    """

    core: Core
    thickness_mm: float
    angle_deg: float = 0.0
    count: int = 1
    veneer: Veneer | None = None
    plies: int | None = None

    def __post_init__(self):
        positive("core thickness", self.thickness_mm, "mm")
        angle("core angle", self.angle_deg)
        _check_count(self.count)
        if self.veneer is not None and (self.plies is None or self.plies < 3 or self.plies % 2 == 0):
            raise InputError("plywood plies", "must be an odd whole number from 3 up [-]", self.plies,
                             "count the veneers on the edge of the sheet")


@dataclass(frozen=True)
class SolidLayer:
    """A homogeneous layer with given properties, such as an existing skin that stays.

    Parameters
    ----------
    name : str
        What it is [-].
    thickness_mm : float
        Measured thickness [mm].
    e1, e2 : float
        Young's moduli along and across `angle_deg`; e2 defaults to e1 [MPa].
    nu12 : float
        Major Poisson ratio [-].
    g12 : float, optional
        Shear modulus; isotropic if not given [MPa].
    density_kg_m3 : float
        Density [kg/m3].
    angle_deg : float
        Direction of axis 1 from x towards y [deg].
    strengths_mpa : tuple of float, optional
        Tension and compression along, tension and compression across, shear [MPa].
    g_across, interlaminar_mpa : float, optional
        Shear modulus across the thickness, as in the plane if not given, and shear strength there [MPa].
    status : str
        Where the values come from [-].
    existing : bool
        Whether it is there already, so that nothing is bought [-].
    """

    name: str
    thickness_mm: float
    e1: float
    e2: float | None = None
    nu12: float = 0.3
    g12: float | None = None
    density_kg_m3: float = 1500.0
    angle_deg: float = 0.0
    strengths_mpa: tuple | None = None
    status: str = "assumed"
    existing: bool = True
    g_across: float | None = None
    interlaminar_mpa: float | None = None
    count: int = field(default=1, init=False)

    def __post_init__(self):
        positive(f"{self.name}: thickness", self.thickness_mm, "mm")
        positive(f"{self.name}: modulus", self.e1, "MPa")
        positive(f"{self.name}: density", self.density_kg_m3, "kg/m3")
        angle(f"{self.name}: angle", self.angle_deg)

    @property
    def constants(self):
        """e1, e2, nu12 and g12 with the defaults filled in [MPa, -]."""
        e2 = self.e1 if self.e2 is None else self.e2
        g12 = self.e1 / (2 * (1 + self.nu12)) if self.g12 is None else self.g12
        return self.e1, e2, self.nu12, g12


@dataclass(frozen=True)
class Coat:
    """Gel coat or paint: thickness and mass, but no share in stiffness (common practice).

    Parameters
    ----------
    name : str
        What it is [-].
    thickness_mm : float
        Cured film [mm].
    density_kg_m3 : float
        Density [kg/m3].
    resin : str
        Price key of the coat material [-].
    existing : bool
        Whether it is there already, so that nothing is bought [-].
    """

    name: str
    thickness_mm: float
    density_kg_m3: float = 1200.0
    resin: str = "gel_coat"
    existing: bool = False
    count: int = field(default=1, init=False)

    def __post_init__(self):
        positive(f"{self.name}: thickness", self.thickness_mm, "mm")
        positive(f"{self.name}: density", self.density_kg_m3, "kg/m3")


@dataclass(frozen=True)
class Price:
    """Price of a material.

    Parameters
    ----------
    amount : float
        Price [money per `per`].
    per : {"m2", "kg", "sheet"}
        What the price is for; a sheet needs `sheet_m2` [-].
    sheet_m2 : float, optional
        Area of one sheet [m2].
    date : str
        When the price was taken [-].

    Examples
    --------
    >>> Price(92.0, "sheet", sheet_m2=2.9768).per_m2(10.4).__round__(2)
    30.91
    """

    amount: float
    per: str
    sheet_m2: float | None = None
    date: str = ""

    def __post_init__(self):
        positive("price", self.amount, "money", zero=True)
        if self.per not in ("m2", "kg", "sheet"):
            raise InputError("price", "must be per m2, per kg or per sheet [-]", self.per, "choose one of the three")
        if self.per == "sheet":
            positive("sheet area", self.sheet_m2, "m2")

    def per_m2(self, areal_mass_kg_m2):
        """Price of one square metre of a layer.

        Parameters
        ----------
        areal_mass_kg_m2 : float
            Mass of the layer [kg/m2].

        Returns
        -------
        float
            Price [money/m2].

        Examples
        --------
        >>> Price(6.9, "kg").per_m2(2.0)
        13.8
        """
        return self.amount * {"m2": 1.0, "kg": areal_mass_kg_m2, "sheet": 1.0 / (self.sheet_m2 or 1.0)}[self.per]


def _check_count(count):
    if isinstance(count, bool) or not isinstance(count, (int, np.integer)) or not 1 <= count <= 200:
        raise InputError("count", "must be a whole number from 1 to 200 [-]", count, "enter how many times it is laid")


@dataclass(frozen=True)
class Sublayers:
    """Flat arrays over the physical sub-layers of a schedule; the last axis is the sub-layer.

    Parameters
    ----------
    row : ndarray of int, shape (sublayers,)
        Row of the ply table that each sub-layer belongs to [-].
    kind : ndarray of str, shape (sublayers,)
        'csm', 'woven', 'cloth', 'ud', 'core', 'veneer', 'solid' or 'tested' [-].
    areal_weight_gsm : ndarray, shape (sublayers,)
        Dry fibre; zero for cores and solids [g/m2].
    weight_fraction : ndarray, shape (sublayers,)
        Fibre weight fraction; zero for cores and solids [-].
    thickness_mm : ndarray, shape (sublayers,)
        Cured thickness [mm].
    angle_deg : ndarray, shape (sublayers,)
        Direction of axis 1 from x towards y [deg].
    e1, e2, g12, g13, g23 : ndarray, shape (sublayers,)
        Moduli in sub-layer axes [MPa].
    nu12 : ndarray, shape (sublayers,)
        Major Poisson ratio [-].
    alpha1, alpha2 : ndarray, shape (sublayers,)
        Thermal expansion [1/K].
    density_kg_m3 : ndarray, shape (sublayers,)
        Density [kg/m3].
    resin_gsm : ndarray, shape (sublayers,)
        Resin in the laminate [g/m2].
    """

    row: np.ndarray
    kind: np.ndarray
    areal_weight_gsm: np.ndarray
    weight_fraction: np.ndarray
    thickness_mm: np.ndarray
    angle_deg: np.ndarray
    e1: np.ndarray
    e2: np.ndarray
    nu12: np.ndarray
    g12: np.ndarray
    g13: np.ndarray
    g23: np.ndarray
    alpha1: np.ndarray
    alpha2: np.ndarray
    density_kg_m3: np.ndarray
    resin_gsm: np.ndarray

    @property
    def g_xz(self):
        """Transverse shear modulus for bending along x, shape (sublayers,) [MPa]."""
        return rotated_shear_modulus(self.g13, self.g23, self.angle_deg, axis="x")

    @property
    def g_yz(self):
        """Transverse shear modulus for bending along y, shape (sublayers,) [MPa]."""
        return rotated_shear_modulus(self.g13, self.g23, self.angle_deg, axis="y")

    @property
    def glass_gsm(self):
        """Dry fibre, shape (sublayers,) [g/m2]."""
        return self.areal_weight_gsm

    @property
    def mass_gsm(self):
        """Mass of each sub-layer, shape (sublayers,) [g/m2]."""
        return self.thickness_mm * self.density_kg_m3


def sublayer_weights(ply):
    """Sub-layers of one ply: kinds, weights, angles, and glass fraction before any overruling.

    Parameters
    ----------
    ply : Ply
        Ply of a schedule [-].

    Returns
    -------
    tuple of (list of str, ndarray, ndarray, ndarray)
        Kind [-], areal weight [g/m2], angle [deg] and weight fraction [-] of each component, mould side first.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> ply = Ply(shop.reinforcement("biax45_1708"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> sublayer_weights(ply)[0]
    ['csm', 'ud', 'ud']
    """
    stack = ply.reinforcement.stack(mat_down=ply.mat_side == "down")
    weight = np.array([layer.areal_weight_gsm for layer in stack])
    turned = np.array([ply.angle_deg + layer.angle_deg for layer in stack])
    psi = np.array([float(ply.process.glass_fraction(layer)) for layer in stack])
    return [layer.kind for layer in stack], weight, turned, psi


def _overruled_fraction(ply, weight, psi, fibre_density, void_fraction):
    """Glass fraction of the components after a measured fraction or thickness of the whole ply."""
    total = ply.glass_fraction
    if ply.thickness_mm is not None:
        total = float(fibre_content.weight_fraction_from_thickness(
            weight.sum(), ply.thickness_mm, fibre_density_kg_m3=fibre_density,
            resin_density_kg_m3=float(ply.resin.density_kg_m3), void_fraction=void_fraction))
    if total is None:
        return psi
    # resin-rich or dry: every component takes the same factor on its resin
    resin = fibre_content.resin_areal_weight(weight, psi)
    resin = resin * (fibre_content.resin_areal_weight(weight.sum(), total) / resin.sum())
    return weight / (weight + resin)


def _fibre_resin(fibre, resin):
    """Arguments of the micromechanics from catalogue records [MPa, -, 1/K]."""
    return {"fibre_e1": float(fibre.e1), "fibre_e2": float(fibre.require("e2")), "fibre_g12": float(fibre.require("g12")),
            "fibre_nu12": float(fibre.require("nu12")), "fibre_alpha1": float(fibre.require("alpha1_per_c")),
            "fibre_alpha2": float(fibre.require("alpha2_per_c")), "resin_e": float(resin.require("e")),
            "resin_nu": float(resin.require("nu")), "resin_alpha": float(resin.require("alpha_per_c"))}


def _volume(psi, fibre, resin, void_fraction):
    return fibre_content.fibre_volume_fraction(
        psi, fibre_density_kg_m3=float(fibre.density_kg_m3), resin_density_kg_m3=float(resin.density_kg_m3),
        void_fraction=void_fraction)


def _expansion(kinds, psi, fibre, resin, void_fraction=0.0):
    """Thermal expansion along and across fabric sub-layers [1/K]."""
    constants = ply_constants_micromechanics(kinds, _volume(psi, fibre, resin, void_fraction), **_fibre_resin(fibre, resin))
    return {"alpha1": constants.alpha1, "alpha2": constants.alpha2}


def fabric_constants(kinds, weight_fraction, fibre, resin, reinforcement=None, *, model="micromechanics", void_fraction=0.0):
    """Elastic constants and expansion of fabric sub-layers from a property model.

    Parameters
    ----------
    kinds : sequence of str, shape (..., sublayers)
        'ud', 'csm', 'woven' or 'cloth' [-].
    weight_fraction : array_like, shape (..., sublayers)
        Fibre weight fraction [-].
    fibre : Fibre
        Fibre record [-].
    resin : Resin
        Resin record [-].
    reinforcement : Reinforcement, optional
        Gives crimp factor and warp share of a woven fabric [-].
    model : str
        One of `PROPERTY_MODELS`; 'tested' falls back to micromechanics here [-].
    void_fraction : float
        Voids by volume [-].

    Returns
    -------
    dict of str to ndarray, shape (..., sublayers)
        e1, e2, g12, g13, g23 [MPa], nu12 [-], alpha1 and alpha2 [1/K].

    Raises
    ------
    InputError
        If a fraction is out of range, the fibre lacks a value, or small-craft
        regressions are asked for another fibre than E-glass.

    Notes
    -----
    Shear across the thickness is resin-led in every fabric: the Halpin-Tsai G12 of
    a unidirectional of the same fibre volume stands for both directions.  A listed
    stitched unidirectional has 3.27, 3.48 and 3.50 GPa for G12, G13 and G23.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> found = fabric_constants(["csm"], [0.30], shop.fibre("e_glass"), shop.resin("iso_polyester"), model="small_craft")
    >>> float(found["e1"][0].round(6))
    6400.0
    """
    volume, properties = _volume(weight_fraction, fibre, resin, void_fraction), _fibre_resin(fibre, resin)
    woven = {}
    if reinforcement is not None and reinforcement.crimp_factor is not None:
        woven["crimp_factor"] = float(reinforcement.crimp_factor)
    if reinforcement is not None and reinforcement.warp_share is not None:
        woven["warp_share"] = float(reinforcement.warp_share)
    own = ply_constants_micromechanics(kinds, volume, **properties, **woven)
    shear = ply_constants_micromechanics("ud", volume, **properties).g12
    chosen = own
    if model == "small_craft":
        if fibre.id != "e_glass":
            raise InputError("property model", "small_craft is fitted to E-glass only", fibre.id, "choose micromechanics")
        chosen = ply_constants_small_craft(kinds, weight_fraction)
    return {"e1": chosen.e1, "e2": chosen.e2, "nu12": chosen.nu12, "g12": chosen.g12, "g13": shear, "g23": shear,
            "alpha1": own.alpha1, "alpha2": own.alpha2}


@lru_cache(maxsize=1024)
def _kept_constants(kinds, weight_fraction, fibre, resin, reinforcement, model, void_fraction):
    """`fabric_constants` of a layer, kept: stacks repeat their layers, and what-if studies repeat their stacks."""
    return fabric_constants(kinds, np.array(weight_fraction), fibre, resin, reinforcement, model=model, void_fraction=void_fraction)


@dataclass(frozen=True)
class Schedule:
    """An ordered stack of layers and everything that follows from it.

    Parameters
    ----------
    layers : tuple of Ply, CoreLayer, SolidLayer or Coat
        First layer against the mould [-].
    fibres : mapping of str to Fibre
        Fibres that the reinforcements name, such as ``catalogue.fibres`` [-].
    name : str
        What the schedule is [-].
    property_model : str
        One of `PROPERTY_MODELS` [-].
    prices : mapping of str to Price
        Price by material id; materials without a price cost nothing and are listed in `unpriced` [-].

    Raises
    ------
    InputError
        If there is no layer, the property model is unknown, a coat lies inside
        the stack, or a value breaks its range.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> Schedule((mat,), shop.fibres).total_thickness_mm.__round__(2)
    1.05
    """

    layers: tuple
    fibres: object
    name: str = "schedule"
    property_model: str = "micromechanics"
    prices: object = field(default_factory=dict)

    def __post_init__(self):
        object.__setattr__(self, "layers", tuple(self.layers))
        if not self.layers:
            raise InputError("schedule", "must have at least one layer", "no layers", "add a ply")
        if self.property_model not in PROPERTY_MODELS:
            raise InputError("property model", f"must be one of {', '.join(PROPERTY_MODELS)} [-]", self.property_model,
                             "choose one of them")
        if any(isinstance(layer, Coat) for layer in self.layers[1:-1]):
            raise InputError("coat", "must be the first or the last layer of a schedule", self.name,
                             "move the coat to a face")

    @cached_property
    def laid(self):
        """Layers in the order they are laid, one entry for each time a layer is laid, as a tuple [-]."""
        return tuple(layer for layer in self.layers for _ in range(layer.count))

    @cached_property
    def sublayers(self):
        """The physical sub-layers, coats left out, as `Sublayers` [-]."""
        parts = [self._expand(row, layer) for row, layer in enumerate(self.laid) if not isinstance(layer, Coat)]
        if not parts:
            raise InputError("schedule", "must have at least one layer that carries load", self.name, "add a ply")
        return Sublayers(**{key: np.concatenate([part[key] for part in parts]) for key in parts[0]})

    def _expand(self, row, layer):
        if isinstance(layer, Ply):
            return self._tested(row, layer) if self._uses_test(layer) else self._fabric(row, layer)
        return self._core(row, layer) if isinstance(layer, CoreLayer) else self._solid(row, layer)

    def _uses_test(self, ply):
        return self.property_model == "tested" and ply.tested is not None

    def _fabric(self, row, ply):
        kinds, weight, turned, psi = sublayer_weights(ply)
        fibre, voids = self.fibres[ply.reinforcement.fibre], float(ply.process.void_fraction)
        densities = {"fibre_density_kg_m3": float(fibre.density_kg_m3), "resin_density_kg_m3": float(ply.resin.density_kg_m3)}
        psi = _overruled_fraction(ply, weight, psi, densities["fibre_density_kg_m3"], voids)
        constants = _kept_constants(tuple(kinds), tuple(psi.tolist()), fibre, ply.resin, ply.reinforcement, self.property_model, voids)
        return constants | {
            "row": np.full(len(kinds), row), "kind": np.array(kinds, dtype="U8"), "areal_weight_gsm": weight,
            "weight_fraction": psi, "angle_deg": turned,
            "thickness_mm": fibre_content.ply_thickness(weight, psi, void_fraction=voids, **densities),
            "density_kg_m3": fibre_content.laminate_density(psi, void_fraction=voids, **densities),
            "resin_gsm": fibre_content.resin_areal_weight(weight, psi)}

    def _tested(self, row, ply):
        test, weight = ply.tested, np.array([ply.reinforcement.areal_weight_gsm])
        psi = np.array([float(test.glass_fraction)])
        resin = fibre_content.resin_areal_weight(weight, psi)
        thickness = np.array([ply.thickness_mm or float(test.thickness_mm)])
        g12 = float(test.g12)
        expansion = _expansion(["woven"], psi, self.fibres[ply.reinforcement.fibre], ply.resin)
        return _layer(row, "tested", thickness[0], ply.angle_deg, (float(test.e1), float(test.e2), float(test.nu12), g12),
                      (g12, g12), (weight + resin)[0] / thickness[0]) | expansion | {
            "areal_weight_gsm": weight, "weight_fraction": psi, "resin_gsm": resin}

    def _solid(self, row, layer):
        e1, e2, nu12, g12 = layer.constants
        across = g12 if layer.g_across is None else layer.g_across
        return _layer(row, "solid", layer.thickness_mm, layer.angle_deg, (e1, e2, nu12, g12), (across, across),
                      layer.density_kg_m3)

    def _core(self, row, layer):
        core = layer.core
        density = float(core.density_kg_m3)
        if layer.veneer is None:
            needed = core.require_all("e_x", "e_y", "nu_xy", "g_xy", "g_xz", "g_yz", hint=_SILENT_SHEET)
            *constants, g_xz, g_yz = (float(one) for one in needed)
            return _layer(row, "core", layer.thickness_mm, layer.angle_deg, tuple(constants), (g_xz, g_yz), density)
        wood, count = layer.veneer, layer.plies
        one = [_layer(row, "veneer", layer.thickness_mm / count, layer.angle_deg + 90.0 * (k % 2),
                      (float(wood.e_l), float(wood.e_t), float(wood.nu_lt), float(wood.g_lt)),
                      (float(wood.g_lr), float(wood.g_rt)), density) for k in range(count)]
        return {key: np.concatenate([part[key] for part in one]) for key in one[0]}

    @cached_property
    def laminate(self):
        """The stack as a `Laminate`; coats carry nothing [-]."""
        s = self.sublayers
        return Laminate.from_plies(s.e1, s.e2, s.nu12, s.g12, s.angle_deg, s.thickness_mm,
                                   alpha1=s.alpha1, alpha2=s.alpha2)

    @cached_property
    def row_thickness_mm(self):
        """Thickness of every laid layer, coats included, shape (laid,) [mm]."""
        t = np.array([layer.thickness_mm if isinstance(layer, Coat) else 0.0 for layer in self.laid])
        np.add.at(t, self.sublayers.row, self.sublayers.thickness_mm)
        return t

    @property
    def total_thickness_mm(self):
        """Thickness with coats [mm]."""
        return float(self.row_thickness_mm.sum())

    @property
    def structural_thickness_mm(self):
        """Thickness without coats [mm]."""
        return float(self.sublayers.thickness_mm.sum())

    def thickness_band_mm(self, method="fraction"):
        """Range that the cured thickness should fall in; cores, coats and existing skins count as exact.

        Parameters
        ----------
        method : {"fraction", "15 percent"}
            From the low and high glass fractions of the catalogue, or a flat 15 % either way [-].

        Returns
        -------
        tuple of (float, float)
            Thinnest and thickest [mm].

        Raises
        ------
        InputError
            If `method` is neither name.

        Notes
        -----
        15 % either way is what single-layer tables scatter by about a nominal
        glass fraction (ABS racing-yacht guide 1994, 4.5.4d, seen second hand).
        A ply with a measured thickness counts as exact; one with a given glass
        fraction, or laid by a process of which no range is known, always takes the 15 %.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> shop = catalogue.load()
        >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
        >>> [round(t, 2) for t in Schedule((mat,), shop.fibres).thickness_band_mm("15 percent")]
        [0.89, 1.21]
        """
        if method not in ("fraction", "15 percent"):
            raise InputError("thickness band", "must be 'fraction' or '15 percent' [-]", method, "choose one of the two")
        low = high = 0.0
        for layer, t in zip(self.laid, self.row_thickness_mm):
            thin, thick = (self._ply_band(layer, t, method) if isinstance(layer, Ply) else (t, t))
            low, high = low + thin, high + thick
        return float(low), float(high)

    def _ply_band(self, ply, t, method):
        if ply.thickness_mm is not None:
            return t, t
        stack = ply.reinforcement.stack(mat_down=ply.mat_side == "down")
        known = [ply.process.glass_fraction(layer) for layer in stack]
        unknown = any(value.low is None or value.high is None for value in known)
        if method == "15 percent" or ply.glass_fraction is not None or unknown:
            return t * (1 - THICKNESS_BAND), t * (1 + THICKNESS_BAND)
        weight = np.array([layer.areal_weight_gsm for layer in stack])
        ends = np.array([value.bounds for value in known])
        thickness = fibre_content.ply_thickness(
            weight[:, None], ends, void_fraction=float(ply.process.void_fraction),
            fibre_density_kg_m3=float(self.fibres[ply.reinforcement.fibre].density_kg_m3),
            resin_density_kg_m3=float(ply.resin.density_kg_m3)).sum(axis=0)
        return thickness[1], thickness[0]

    @cached_property
    def row_mass_gsm(self):
        """Mass of every laid layer, shape (laid,) [g/m2]."""
        mass = np.array([layer.thickness_mm * layer.density_kg_m3 if isinstance(layer, Coat) else 0.0 for layer in self.laid])
        np.add.at(mass, self.sublayers.row, self.sublayers.mass_gsm)
        return mass

    @property
    def areal_mass_kg_m2(self):
        """Mass per area with coats and existing layers [kg/m2]."""
        return float(self.row_mass_gsm.sum()) / 1000.0

    @property
    def new_areal_mass_kg_m2(self):
        """Mass per area of what is added, existing layers left out [kg/m2]."""
        return float(sum(m for m, layer in zip(self.row_mass_gsm, self.laid) if not getattr(layer, "existing", False))) / 1000.0

    def _row_sum(self, values):
        out = np.zeros(len(self.laid))
        np.add.at(out, self.sublayers.row, values)
        return out

    @cached_property
    def row_glass_gsm(self):
        """Dry fibre of every laid layer, shape (laid,) [g/m2]."""
        return self._row_sum(self.sublayers.areal_weight_gsm)

    @cached_property
    def row_resin_gsm(self):
        """Resin in the laminate of every laid layer, shape (laid,) [g/m2]."""
        return self._row_sum(self.sublayers.resin_gsm)

    @property
    def glass_kg_m2(self):
        """Dry fibre in the laminate [kg/m2]."""
        return float(self.row_glass_gsm.sum()) / 1000.0

    @property
    def resin_kg_m2(self):
        """Resin in the laminate, not the amount to buy [kg/m2]."""
        return float(self.row_resin_gsm.sum()) / 1000.0

    @property
    def glass_fraction(self):
        """Fibre weight fraction of all fabric plies together; zero where there is none [-]."""
        total = self.glass_kg_m2 + self.resin_kg_m2
        return self.glass_kg_m2 / total if total else 0.0

    @property
    def woven_share(self):
        """Share of the fibre weight that is woven or stitched, not random mat [-]."""
        s = self.sublayers
        return float(s.areal_weight_gsm[s.kind != "csm"].sum() / s.areal_weight_gsm.sum()) if s.areal_weight_gsm.any() else 0.0

    @cached_property
    def row_cost(self):
        """Material cost of every laid layer, shape (laid,), nothing for waste [money/m2]."""
        return np.array([self._layer_cost(layer, glass, resin, mass) for layer, glass, resin, mass in
                         zip(self.laid, self.row_glass_gsm, self.row_resin_gsm, self.row_mass_gsm)])

    def _price(self, key, areal_mass_kg_m2):
        return self.prices[key].per_m2(areal_mass_kg_m2) if key in self.prices else 0.0

    def _layer_cost(self, layer, glass, resin, mass):
        if getattr(layer, "existing", False):
            return 0.0
        if isinstance(layer, Ply):
            return self._price(layer.reinforcement.id, glass / 1000) + self._price(layer.resin.id, resin / 1000)
        if isinstance(layer, CoreLayer):
            return self._price(core_price_key(layer), mass / 1000)
        return self._price(getattr(layer, "resin", layer.name), mass / 1000)

    @property
    def cost_per_m2(self):
        """Material cost without waste [money/m2]."""
        return float(self.row_cost.sum())

    @property
    def unpriced(self):
        """Ids of materials that have no price, so that they cost nothing in `cost_per_m2`, as a tuple [-]."""
        wanted = [key for layer in self.layers for key in _bought(layer)]
        return tuple(dict.fromkeys(key for key in wanted if key not in self.prices))

    @property
    def row_priced(self):
        """Whether all of a laid layer has a price, shape (laid,), True for what is there already [-]."""
        return np.array([all(key in self.prices for key in _bought(layer)) for layer in self.laid])

    def table(self):
        """The ply table, one row for every layer in the order it is laid.

        Returns
        -------
        DataFrame
            Column names carry the units [-].

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> shop = catalogue.load()
        >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"), count=2)
        >>> Schedule((mat,), shop.fibres).table()["running total [mm]"].round(2).tolist()
        [1.05, 2.1]
        """
        import pandas as pd

        t, glass, resin = self.row_thickness_mm, self.row_glass_gsm, self.row_resin_gsm
        with_resin = glass + resin
        return pd.DataFrame({
            "layer": np.arange(1, len(self.laid) + 1),
            "material": [layer_name(layer) for layer in self.laid],
            "angle [deg]": [getattr(layer, "angle_deg", np.nan) for layer in self.laid],
            "mat side": [layer.mat_side if isinstance(layer, Ply) and layer.reinforcement.has_mat else "-" for layer in self.laid],
            "resin": [layer.resin.name if isinstance(layer, Ply) else "-" for layer in self.laid],
            "areal weight [g/m2]": glass,
            "glass fraction [-]": np.divide(glass, with_resin, out=np.full(len(t), np.nan), where=with_resin > 0),
            "thickness [mm]": t,
            "running total [mm]": np.cumsum(t),
            "running total [in]": np.cumsum(t) / 25.4,
            "glass [g/m2]": glass,
            "resin [g/m2]": resin,
            "mass [g/m2]": self.row_mass_gsm,
            "cost [money/m2]": self.row_cost,
        })

    def with_layers(self, layers, name=None):
        """The same settings with other layers.

        Parameters
        ----------
        layers : sequence of Ply, CoreLayer, SolidLayer or Coat
            New layers [-].
        name : str, optional
            New name [-].

        Returns
        -------
        Schedule
            New schedule [-].

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> shop = catalogue.load()
        >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
        >>> len(Schedule((mat,), shop.fibres).with_layers((mat, mat)).laid)
        2
        """
        return replace(self, layers=tuple(layers), name=self.name if name is None else name)


def _bought(layer):
    """Price keys of what a layer takes; none for what is there already."""
    if getattr(layer, "existing", False):
        return ()
    if isinstance(layer, Ply):
        return layer.reinforcement.id, layer.resin.id
    return (core_price_key(layer) if isinstance(layer, CoreLayer) else getattr(layer, "resin", layer.name),)


def core_price_key(layer):
    """Key of a core's price: by thickness for sheets (``id_18mm``), as in ``prices``.

    Parameters
    ----------
    layer : CoreLayer
        The core layer [-].

    Returns
    -------
    str
        Core id with the sheet thickness [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> core_price_key(CoreLayer(catalogue.load().core("pu_board_416"), 18.0))
    'pu_board_416_18mm'
    """
    return f"{layer.core.id}_{layer.thickness_mm:g}mm"


def layer_name(layer):
    """Generic name of a layer for tables and pages.

    Parameters
    ----------
    layer : Ply, CoreLayer, SolidLayer or Coat
        The layer [-].

    Returns
    -------
    str
        Name as the shop knows it; that of a core is a sentence for `told`, for the thickness in it [-].

    Examples
    --------
    >>> layer_name(Coat("gel coat", 0.5))
    'gel coat'
    """
    if isinstance(layer, Ply):
        return layer.reinforcement.name
    if isinstance(layer, CoreLayer):
        return Sentence("{core}, {thick}", core=layer.core.name, thick=Figure(layer.thickness_mm, "small_length", digits=4))
    return layer.name


def _layer(row, kind, thickness_mm, angle_deg, constants, transverse, density_kg_m3):
    """One homogeneous sub-layer without fibre of its own."""
    e1, e2, nu12, g12 = constants
    values = {"areal_weight_gsm": 0.0, "weight_fraction": 0.0, "thickness_mm": thickness_mm, "angle_deg": angle_deg,
              "e1": e1, "e2": e2, "nu12": nu12, "g12": g12, "g13": transverse[0], "g23": transverse[1],
              "alpha1": 0.0, "alpha2": 0.0, "density_kg_m3": density_kg_m3, "resin_gsm": 0.0}
    return {key: np.array([float(value)]) for key, value in values.items()} | {
        "row": np.array([row]), "kind": np.array([kind], dtype="U8")}
