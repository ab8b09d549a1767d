"""Frozen records of what can be bought: fibres, resins, reinforcements, cores, processes.

A record is a set of `Value` objects, each with its unit, range, status and
source, so that a number never travels without its origin.  Columns of `data/`
in MPa lose the suffix (`e_x_mpa` becomes `e_x`), all others keep their name.
"""

import math
from dataclasses import dataclass, fields

from lamcalc.errors import InputError

COMPONENT_KINDS = ("csm", "woven", "cloth", "ud")
FRACTION_KINDS = (*COMPONENT_KINDS, "stitched")
STATUSES = ("source seen", "from memory", "common practice", "assumed", "computed")
UNVERIFIED = ("from memory", "assumed")


@dataclass(frozen=True, slots=True)
class Value:
    """One number with its unit, range, status and source.

    Parameters
    ----------
    typical : float
        Recommended value [as `unit` says].
    low, high : float or None
        Ends of the known range, None where no range is known [as `unit` says].
    unit : str
        Unit of the three numbers [-].
    status : str
        'source seen', 'from memory', 'common practice', 'assumed' or 'computed' [-].
    source : str
        Key of the `Source` [-].
    note : str
        Remark on this number alone [-].

    Examples
    --------
    >>> modulus = Value(72400.0, 71000.0, 73000.0, "MPa", "source seen", "HYER1998")
    >>> float(modulus), modulus.bounds, modulus.unverified
    (72400.0, (71000.0, 73000.0), False)
    >>> print(modulus)
    72400 (71000 to 73000) MPa, source seen
    """

    typical: float
    low: float | None
    high: float | None
    unit: str
    status: str
    source: str
    note: str = ""

    def __float__(self):
        return float(self.typical)

    def __str__(self):
        known = [f"{end:g}" if end is not None else "?" for end in (self.low, self.high)]
        band = "" if self.low is None and self.high is None else f" ({known[0]} to {known[1]})"
        unit = "" if self.unit == "-" else f" {self.unit}"
        return f"{self.typical:g}{band}{unit}, {self.status}{', unverified' if self.unverified else ''}"

    @property
    def bounds(self):
        """Low and high end, the typical value standing in for an unknown end [as `unit` says]."""
        return (self.typical if self.low is None else self.low, self.typical if self.high is None else self.high)

    @property
    def unverified(self):
        """Whether nobody has seen a text behind the number: status 'from memory' or 'assumed' [-]."""
        return self.status in UNVERIFIED


class Record:
    """Base of all records; gives `require` and `values`.

    Examples
    --------
    >>> issubclass(Fibre, Record)
    True
    """

    __slots__ = ()

    def require(self, field):
        """Return a value that the work cannot do without.

        Parameters
        ----------
        field : str
            Name of the field, such as 'e_x' [-].

        Returns
        -------
        Value
            The value [as its `unit` says].

        Raises
        ------
        InputError
            If the catalogue does not know the value, or has no such field.

        Examples
        --------
        >>> Source("NOTES", "Own bench notes").require("how_read")
        Traceback (most recent call last):
        lamcalc.errors.InputError: how_read of NOTES must be known for this calculation; received ''. Next: give it \
in your own materials file.
        """
        names = [item.name for item in fields(self)]
        if field not in names:
            raise InputError(f"field of {type(self).__name__}", f"must be one of {', '.join(names)}", field)
        value = getattr(self, field)
        if value is None or value == "":
            raise InputError(f"{field} of {self.id}", "must be known for this calculation", value,
                             "give it in your own materials file")
        return value

    @property
    def values(self):
        """Mapping of field name to `Value`, known values only [as each `unit` says]."""
        found = {item.name: getattr(self, item.name) for item in fields(self)}
        return {name: value for name, value in found.items() if isinstance(value, Value)}


@dataclass(frozen=True, slots=True)
class Source(Record):
    """Where numbers come from.

    Parameters
    ----------
    id : str
        Key used by the values [-].
    citation : str
        The publication, or a description of it [-].
    how_read : str
        What was read of it: table, abstract, second hand, remembered [-].
    status : str
        Status of a number taken straight from it [-].

    Examples
    --------
    >>> Source("NOTES", "Own bench notes", "the notebook itself", "source seen").id
    'NOTES'
    """

    id: str
    citation: str
    how_read: str = ""
    status: str = "source seen"


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
    price_per_kg : Value
        The shop's own price; the catalogue holds none [currency/kg].

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
    price_per_kg: Value | None = None
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
    price_per_m2 : Value
        The shop's own price; the catalogue holds none [currency/m2].

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
    price_per_m2: Value | None = None
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
class Core(Record):
    """A core: plywood, balsa, foam, reinforced board or cast core.

    Parameters
    ----------
    id, name : str
        Key and generic name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    family : str
        'plywood', 'balsa', 'pvc', 'san', 'pet', 'pu_board', 'pu_foam' or 'cast' [-].
    density_kg_m3 : Value
        Density [kg/m3].
    e_x, e_y : Value
        In-plane modulus along and across the face grain (or sheet length) [MPa].
    g_xy : Value
        In-plane (edgewise) shear modulus [MPa].
    nu_xy : Value
        In-plane Poisson ratio [-].
    g_xz, g_yz : Value
        Transverse shear moduli of the sheet; for plywood the panel value of planar
        (rolling) shear, never the value of one veneer [MPa].
    e_z : Value
        Modulus through the sheet, flatwise compression [MPa].
    compressive_strength : Value
        Flatwise crushing strength [MPa].
    shear_strength : Value
        Transverse (core) shear strength, the weaker direction [MPa].
    tensile_strength, bending_strength : Value
        In-plane tensile strength and modulus of rupture along x [MPa].
    shear_elongation : Value
        Shear strain at break [-].
    structural : bool
        False for a former that must not be counted on [-].
    species : str
        Key of the `Veneer` for plywood [-].
    sheet_length_mm, sheet_width_mm : Value
        Usual sheet [mm].
    cost_index : Value
        Cost level by volume, 1 low to 5 high [-].
    price_per_sheet, price_per_kg : Value
        The shop's own price; the catalogue holds none [currency per sheet, currency/kg].
    screw_note, moisture_note : str
        Fastening and water [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> board = catalogue.load().core("pu_board_416")
    >>> board.e_x.status, board.e_x.typical > board.e_z.typical
    ('assumed', True)
    """

    id: str
    name: str
    status: str
    source: str
    family: str
    density_kg_m3: Value
    e_x: Value | None = None
    e_y: Value | None = None
    g_xy: Value | None = None
    nu_xy: Value | None = None
    g_xz: Value | None = None
    g_yz: Value | None = None
    e_z: Value | None = None
    compressive_strength: Value | None = None
    shear_strength: Value | None = None
    tensile_strength: Value | None = None
    bending_strength: Value | None = None
    shear_elongation: Value | None = None
    structural: bool = True
    species: str = ""
    sheet_length_mm: Value | None = None
    sheet_width_mm: Value | None = None
    cost_index: Value | None = None
    price_per_sheet: Value | None = None
    price_per_kg: Value | None = None
    screw_note: str = ""
    moisture_note: str = ""
    locator: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Veneer(Record):
    """One veneer of a wood species; L along the grain, T across in its plane, R through it.

    Parameters
    ----------
    id, name : str
        Key and species [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    density_kg_m3 : Value
        Density [kg/m3].
    e_l, e_t : Value
        Modulus along and across the grain [MPa].
    g_lt, g_lr, g_rt : Value
        Shear modulus in the plane, through it along the grain, and rolling shear of one
        veneer (not of a panel) [MPa].
    nu_lt : Value
        Major Poisson ratio [-].
    tensile_strength_l, compressive_strength_l : Value
        Strength along the grain [MPa].
    tensile_strength_t, compressive_strength_t : Value
        Strength across the grain [MPa].
    shear_strength_lt : Value
        Shear strength parallel to the grain [MPa].
    bending_strength_l : Value
        Modulus of rupture of the species along the grain [MPa].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> float(catalogue.load().veneer("okoume").e_l)
    9630.0
    """

    id: str
    name: str
    status: str
    source: str
    density_kg_m3: Value
    e_l: Value
    e_t: Value
    g_lt: Value
    g_lr: Value
    g_rt: Value
    nu_lt: Value
    tensile_strength_l: Value | None = None
    compressive_strength_l: Value | None = None
    tensile_strength_t: Value | None = None
    compressive_strength_t: Value | None = None
    shear_strength_lt: Value | None = None
    bending_strength_l: Value | None = None
    locator: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class PlywoodSize(Record):
    """A stock thickness of marine plywood.

    Parameters
    ----------
    id, name : str
        Key and name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    thickness_mm : float
        Nominal thickness [mm].
    nearest_inch : str
        Inch size that it is sold for, which is thicker or thinner [in].
    plies : Value
        Usual number of veneers [-].
    plies_minimum : Value
        Fewest veneers that a class rule accepts [-].
    okoume_mass_kg_m2 : Value
        Mass of an okoume sheet [kg/m2].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> float(catalogue.load().plywood_size(18).plies)
    11.0
    """

    id: str
    name: str
    status: str
    source: str
    thickness_mm: float
    nearest_inch: str
    plies: Value
    plies_minimum: Value | None = None
    okoume_mass_kg_m2: Value | None = None
    locator: str = ""
    note: str = ""


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


@dataclass(frozen=True, slots=True)
class Outboard(Record):
    """Masses of an outboard engine by power band.

    Parameters
    ----------
    id, name : str
        Key and power band [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    power_hp_low, power_hp_high : float
        Power band [hp].
    power_kw_low, power_kw_high : float
        Power band [kW].
    dry_mass_kg, running_mass_kg : Value
        Engine dry, and ready to run (1.05 dry): the one for a transom [kg].
    controls_mass_kg, battery_mass_kg, fuel_mass_kg, total_mass_kg : Value
        Equipment in the boat and the sum of all [kg].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> round(float(catalogue.load().outboard_for(power_kw=30).running_mass_kg))
    136
    """

    id: str
    name: str
    status: str
    source: str
    power_hp_low: float
    power_hp_high: float
    power_kw_low: float
    power_kw_high: float
    dry_mass_kg: Value
    running_mass_kg: Value
    controls_mass_kg: Value
    battery_mass_kg: Value
    fuel_mass_kg: Value
    total_mass_kg: Value
    locator: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class TestedLaminate(Record):
    """The shop's own test values for one reinforcement laid by one process, taken as one ply.

    Parameters
    ----------
    id, name : str
        Key and name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    reinforcement, process : str
        Keys of what was laid and how [-].
    resin : str
        Key of the resin, empty if the tests are meant for any [-].
    basis : str
        'mean', 'mean_minus_2sd' or 'minimum' of the tests [-].
    specimens : float
        Number of specimens behind each value [-].
    glass_fraction : Value
        Measured glass by mass [-].
    thickness_mm : Value
        Measured cured thickness of one ply [mm].
    e1, e2, g12 : Value
        Moduli along and across the roll direction and in-plane shear [MPa].
    nu12 : Value
        Major Poisson ratio [-].
    xt, xc, yt, yc, s : Value
        Strength in tension and compression along, across, and in in-plane shear,
        all as positive magnitudes [MPa].
    interlaminar_strength : Value
        Interlaminar (short beam) shear strength [MPa].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> catalogue.load().tested_laminates
    {}
    """

    __test__ = False  # not a test class, whatever its name begins with

    id: str
    name: str
    status: str
    source: str
    reinforcement: str
    process: str
    glass_fraction: Value
    thickness_mm: Value
    e1: Value
    e2: Value
    nu12: Value
    g12: Value
    resin: str = ""
    basis: str = "mean"
    specimens: float | None = None
    xt: Value | None = None
    xc: Value | None = None
    yt: Value | None = None
    yc: Value | None = None
    s: Value | None = None
    interlaminar_strength: Value | None = None
    locator: str = ""
    note: str = ""
