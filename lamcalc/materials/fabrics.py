"""What a laminate is made of: fibres, resins, mats and fabrics, and ways of laying them."""

import math
from dataclasses import dataclass

from lamcalc.errors import InputError
from lamcalc.materials.values import Record, Value

COMPONENT_KINDS = ("csm", "woven", "cloth", "ud")
FRACTION_KINDS = (*COMPONENT_KINDS, "stitched")


@dataclass(frozen=True, slots=True)
class Fibre(Record):
    """A fibre, without resin.

    Parameters
    ----------
    id, name : str
        Key and generic name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    density_kg_m3 : Value
        Density [kg/m3].
    e1, e2, g12 : Value
        Modulus along and across the fibre and shear modulus [MPa].
    nu12 : Value
        Major Poisson ratio [-].
    tensile_strength : Value
        Strength along the fibre [MPa].
    failure_strain : Value
        Tensile strain at break [-].
    alpha1_per_c, alpha2_per_c : Value
        Thermal expansion along and across [1/degC].
    cost_index : Value
        Cost by mass relative to E-glass [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> float(catalogue.load().fibre("e_glass").density_kg_m3)
    2560.0
    """

    id: str
    name: str
    status: str
    source: str
    density_kg_m3: Value
    e1: Value
    e2: Value | None = None
    g12: Value | None = None
    nu12: Value | None = None
    tensile_strength: Value | None = None
    failure_strain: Value | None = None
    alpha1_per_c: Value | None = None
    alpha2_per_c: Value | None = None
    cost_index: Value | None = None
    locator: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Resin(Record):
    """A laminating resin or a gel coat.

    Parameters
    ----------
    id, name : str
        Key and generic name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    family : str
        'polyester', 'vinyl_ester', 'epoxy' or 'gel_coat' [-].
    cure : str
        'peroxide' (catalysed, amount adjustable) or 'hardener' (fixed ratio) [-].
    density_kg_m3, liquid_density_kg_m3 : Value
        Density cured, and liquid as sold [kg/m3].
    e : Value
        Young's modulus [MPa].
    nu : Value
        Poisson ratio [-].
    tensile_strength : Value
        Tensile strength of a clear casting [MPa].
    failure_strain : Value
        Tensile strain at break of a clear casting [-].
    cure_shrinkage : Value
        Loss of volume from liquid to cured, fraction [-].
    alpha_per_c : Value
        Thermal expansion [1/degC].
    heat_deflection_c : Value
        Heat deflection temperature [degC].
    gel_time_min : Value
        Gel time, or pot life of 100 g for epoxy, under `gel_condition` [min].
    gel_condition : str
        Temperature and catalyst that belong to the gel time [-].
    peak_exotherm_c : Value
        Peak temperature of a cast sample, far above that of a thin laminate [degC].
    styrene_fraction : Value
        Styrene by mass of the liquid [-].
    barcol : Value
        Barcol hardness when cured [Barcol].
    film_thickness_mm : Value
        Usual cured film of a gel coat [mm].
    cost_index : Value
        Cost by mass relative to orthophthalic polyester [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> catalogue.load().resin("epoxy").cure
    'hardener'
    """

    id: str
    name: str
    status: str
    source: str
    family: str
    cure: str
    density_kg_m3: Value
    liquid_density_kg_m3: Value | None = None
    e: Value | None = None
    nu: Value | None = None
    tensile_strength: Value | None = None
    failure_strain: Value | None = None
    cure_shrinkage: Value | None = None
    alpha_per_c: Value | None = None
    heat_deflection_c: Value | None = None
    gel_time_min: Value | None = None
    gel_condition: str = ""
    peak_exotherm_c: Value | None = None
    styrene_fraction: Value | None = None
    barcol: Value | None = None
    film_thickness_mm: Value | None = None
    cost_index: Value | None = None
    locator: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Component:
    """One layer inside a reinforcement.

    Parameters
    ----------
    kind : str
        'csm' (random mat), 'woven' (woven roving), 'cloth' or 'ud' (one direction) [-].
    areal_weight_gsm : float
        Dry weight [g/m2].
    angle_deg : float
        Fibre (warp) direction against the roll direction [deg]; 0 for mat.
    fraction_kind : str
        Row of the process table that gives its glass fraction; 'stitched' for the layers of a
        stitched fabric, which holds more resin than a single unidirectional [-]. Default: `kind`.

    Examples
    --------
    >>> Component("csm", 228.9).fraction_kind
    'csm'
    """

    kind: str
    areal_weight_gsm: float
    angle_deg: float = 0.0
    fraction_kind: str = ""

    def __post_init__(self):
        if not self.fraction_kind:
            object.__setattr__(self, "fraction_kind", self.kind)


@dataclass(frozen=True, slots=True)
class Reinforcement(Record):
    """A mat or fabric as ordered layers.

    Parameters
    ----------
    id, name : str
        Key and generic name in both unit systems [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    family : str
        'csm', 'woven_roving', 'cloth', 'unidirectional', 'biaxial', 'triaxial' or 'quadraxial' [-].
    fibre : str
        Key of the fibre [-].
    components : tuple of Component
        Layers, mould side first, for a fabric laid with its mat side up: the mat is last [-].
    nominal : str
        Weight as the trade states it [-].
    crimp_factor : Value
        In-plane stiffness of a woven ply over that of straight 0 and 90 layers [-].
    warp_share : Value
        Share of the glass of a woven ply that runs along the roll [-].
    cross_thread_share : Value
        Share of a unidirectional that is cross thread and does not carry along the roll [-].
    roll_width_mm : Value
        Usual roll width [mm].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> fabric = catalogue.load().reinforcement("biax45_1708")
    >>> [(layer.kind, layer.angle_deg) for layer in fabric.components]
    [('ud', 45.0), ('ud', -45.0), ('csm', 0.0)]
    >>> round(fabric.areal_weight_gsm, 1)
    805.3
    """

    id: str
    name: str
    status: str
    source: str
    family: str
    fibre: str
    components: tuple
    nominal: str = ""
    crimp_factor: Value | None = None
    warp_share: Value | None = None
    cross_thread_share: Value | None = None
    roll_width_mm: Value | None = None
    locator: str = ""
    note: str = ""

    @property
    def areal_weight_gsm(self):
        """Dry weight of all layers together [g/m2]."""
        return math.fsum(layer.areal_weight_gsm for layer in self.components)

    @property
    def mat_areal_weight_gsm(self):
        """Dry weight of random mat in the reinforcement [g/m2]."""
        return math.fsum(layer.areal_weight_gsm for layer in self.components if layer.kind == "csm")

    @property
    def mat_component(self):
        """The mat layer of a mat-backed fabric (last of `components`), else None [-]."""
        return self.components[-1] if self.has_mat else None

    @property
    def has_mat(self):
        """Whether a fabric carries mat on one face; False for plain mat [-]."""
        return len(self.components) > 1 and self.components[-1].kind == "csm"

    @property
    def directional(self):
        """Whether it matters how the fabric is turned; False for mat alone [-]."""
        return any(layer.kind != "csm" for layer in self.components)

    @property
    def woven_share(self):
        """Share by weight that is woven or stitched, not random mat [-]."""
        return 1.0 - self.mat_areal_weight_gsm / self.areal_weight_gsm

    def stack(self, *, mat_down=True):
        """Layers from the mould side, for the mat side down or up.

        Parameters
        ----------
        mat_down : bool
            True lays the mat towards the mould (the usual way), False away from it;
            without effect where there is no mat [-].

        Returns
        -------
        tuple of Component
            Layers, mould side first [-].

        Notes
        -----
        Turning a fabric over about its roll direction reverses the order of the layers and the
        sign of their angles; +45 below -45 stays +45 below -45.  Which of the two faces the mat
        differs between makers: look at the roll.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> fabric = catalogue.load().reinforcement("biax090_1808")
        >>> [(layer.kind, layer.angle_deg) for layer in fabric.stack()]
        [('csm', 0.0), ('ud', 90.0), ('ud', 0.0)]
        """
        if not (self.has_mat and mat_down):
            return self.components
        return tuple(_turned(layer) for layer in reversed(self.components))


def _turned(layer):
    angle = layer.angle_deg if layer.angle_deg % 90.0 == 0.0 else -layer.angle_deg
    return Component(layer.kind, layer.areal_weight_gsm, angle, layer.fraction_kind)


@dataclass(frozen=True, slots=True)
class Process(Record):
    """A way of laminating, with the glass fraction that it gives.

    Parameters
    ----------
    id, name : str
        Key and name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    void_fraction : Value
        Voids by volume [-]; typical 0 because the thickness rule counts none.
    fractions : tuple of (str, Value)
        Glass fraction by mass for each component kind [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> hand = catalogue.load().process("hand")
    >>> float(hand.glass_fraction("csm")), float(hand.glass_fraction("woven"))
    (0.3, 0.48)
    """

    id: str
    name: str
    status: str
    source: str
    void_fraction: Value
    fractions: tuple = ()
    locator: str = ""
    note: str = ""

    def glass_fraction(self, kind):
        """Glass fraction by mass of one component.

        Parameters
        ----------
        kind : str or Component
            A component (then its `fraction_kind` counts), or 'csm', 'woven', 'cloth', 'ud'
            or 'stitched' [-].

        Returns
        -------
        Value
            Fibre mass over laminate mass, low, typical and high [-].

        Raises
        ------
        InputError
            If the process has no figure for this kind.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> shop = catalogue.load()
        >>> layer = shop.reinforcement("biax45_1708").components[0]
        >>> float(shop.process("hand").glass_fraction(layer))
        0.5
        """
        wanted = kind.fraction_kind if isinstance(kind, Component) else kind
        known = dict(self.fractions)
        if wanted not in known:
            raise InputError(f"component kind for process {self.id}", f"must be one of {', '.join(known)}", wanted,
                             "give the fraction in your own materials file as a [[glass_fraction]] entry")
        return known[wanted]
