"""What a core is made of: core materials, wood veneers and stock plywood."""

from dataclasses import dataclass, replace

from lamcalc.materials.values import Record, Value

#: Source of a modulus across the face grain that nobody stated.
ACROSS_BY_RATIO = "modulus along times the catalogue's ratio of across to along"


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
    screw_note: str = ""
    moisture_note: str = ""
    locator: str = ""
    note: str = ""

    @property
    def across_by_ratio(self):
        """Whether the modulus across the face grain is the catalogue's ratio of a stated one along [-]."""
        return self.e_y is not None and self.e_y.source == ACROSS_BY_RATIO

    @property
    def directional(self):
        """Whether it matters how the sheet is turned: its moduli along and across are known to differ [-]."""
        pairs = ((self.e_x, self.e_y), (self.g_xz, self.g_yz))
        return any(one is not None and other is not None and float(one) != float(other) for one, other in pairs)

    def with_own_moduli(self, e_along, e_across=None):
        """The core with moduli in the plane of its own, for instance from the sheet's label.

        Parameters
        ----------
        e_along : Value
            Modulus along the face grain [MPa].
        e_across : Value, optional
            Modulus across it; where it is not stated, the catalogue's ratio of across to along is kept [MPa].

        Returns
        -------
        Core
            The core with both moduli; one from the ratio has the status 'assumed' [-].

        Notes
        -----
        A plywood's cross plies bend it across the grain at about 0.6 of the modulus along; boards that the catalogue
        has as isotropic in the plane stay so.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> ply = catalogue.load().core("ply_meranti")
        >>> own = ply.with_own_moduli(Value(6200.0, None, None, "MPa", "source seen", "label"))
        >>> float(own.e_y), own.e_y.status
        (3720.0, 'assumed')
        """
        if e_across is None:
            ratio = float(self.require("e_y")) / float(self.require("e_x"))
            e_across = e_along if ratio == 1.0 else replace(
                e_along, typical=ratio * float(e_along), low=None, high=None, status="assumed", source=ACROSS_BY_RATIO)
        return replace(self, e_x=e_along, e_y=e_across)


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
