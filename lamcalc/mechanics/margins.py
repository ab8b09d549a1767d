"""Design factors with the rule they come from, and margins that always name it."""

from dataclasses import dataclass

from lamcalc.errors import InputError, fraction, positive

_PRINTED = "reproduces printed values"
_SEEN, _COPY, _MEMORY = "source seen", "source seen, second hand", "from memory (unverified)"


@dataclass(frozen=True)
class DesignFactor:
    """Usable share of a strength, with the rule that asks for it.

    Parameters
    ----------
    name : str
        Short name [-].
    value : float
        Share of the strength that may be used, above 0 to 1 [-].
    rule : str
        Name of the rule, printed beside every margin [-].
    status : str
        How far the value is verified [-].
    of : str
        Which strength it is a share of [-].

    Raises
    ------
    InputError
        If the value is not above 0 to 1, or the rule is not named.

    Examples
    --------
    >>> DesignFactor("own", 0.4, "own choice of the shop", "entered by the user").unverified
    False
    """

    name: str
    value: float
    rule: str
    status: str
    of: str = "ultimate"

    def __post_init__(self):
        object.__setattr__(self, "value", float(fraction("design factor", self.value, one=True)))
        if not str(self.rule).strip():
            raise InputError("rule of the design factor", "must be named [-]", self.rule,
                             "write whose factor it is, or 'own choice'")

    @property
    def unverified(self):
        """Whether the value must be labelled unverified."""
        return any(word in self.status for word in ("memory", "unverified", "assumed"))

    @property
    def words(self):
        """Value, strength, rule and status in words."""
        label = ", UNVERIFIED" if self.unverified and "unverified" not in self.status else ""
        rule = "" if self.rule == self.status else f" by {self.rule}"
        return f"{self.value:.3g} of {self.of}{rule} ({self.status}{label})"

    @property
    def whose(self):
        """Rule, with the strength where that is not the ultimate one."""
        return self.rule if self.of == "ultimate" else f"of {self.of}, {self.rule}"


_ISO, _LR = "ISO 12215-5:2008", "Lloyd's Register SSC rules"
_ROWS = (
    ("iso_ply", 0.5, f"{_ISO}, ply or sandwich skin in tension or compression", f"{_PRINTED} of Table H.1"),
    ("iso_plating_bending", 0.5, f"{_ISO}, single-skin plating in bending", _MEMORY),
    ("iso_interlaminar", 0.5, f"{_ISO}, interlaminar shear", f"{_PRINTED} of Table H.1"),
    ("iso_core_balsa", 0.5, f"{_ISO}, core shear of balsa and honeycomb", _MEMORY),
    ("iso_core_foam_brittle", 0.55, f"{_ISO}, core shear of foam with less than 35 % elongation", _MEMORY),
    ("iso_core_foam_ductile", 0.65, f"{_ISO}, core shear of foam with more than 35 % elongation", _MEMORY),
    ("iso_stiffener_flange", 0.5, f"{_ISO}, stiffener flange in tension or compression", _MEMORY),
    ("iso_stiffener_web", 0.5, f"{_ISO}, stiffener web in shear", _MEMORY),
    ("iso_plywood", 0.5, f"{_ISO}, plywood panel in bending", _MEMORY),
    ("iso_wood_bending", 0.45, f"{_ISO}, solid wood frame in bending", f"{_MEMORY}, low confidence"),
    ("iso_wood_shear", 0.40, f"{_ISO}, solid wood frame in shear", f"{_MEMORY}, low confidence"),
    ("lr_bottom_shell_higher", 0.28, f"{_LR}, bottom shell, higher of two values", f"{_SEEN}, row labels not readable"),
    ("lr_bottom_shell_lower", 0.25, f"{_LR}, bottom shell, lower of two values", f"{_SEEN}, row labels not readable"),
    ("lr_side_shell_higher", 0.33, f"{_LR}, side shell, higher of two values", f"{_SEEN}, row labels not readable"),
    ("lr_side_shell_lower", 0.30, f"{_LR}, side shell, lower of two values", f"{_SEEN}, row labels not readable"),
    ("lr_keel", 0.25, f"{_LR}, keel", _SEEN),
    ("lr_bottom_stiffening_higher", 0.33, f"{_LR}, bottom secondary stiffening, higher of two values",
     f"{_SEEN}, row labels not readable"),
    ("lr_bottom_stiffening_lower", 0.30, f"{_LR}, bottom secondary stiffening, lower of two values",
     f"{_SEEN}, row labels not readable"),
    ("lr_primary", 0.33, f"{_LR}, primary stiffening and engine girders", _SEEN),
    ("lr_core_balsa", 0.35, f"{_LR} 2020, core shear of balsa", _COPY),
    ("lr_core_pvc", 0.45, f"{_LR} 2020, core shear of PVC", _COPY),
    ("lr_core_linear", 0.35, f"{_LR} 2020, core shear of other linear foam", _COPY),
    ("bs4994", 1 / 11.14, "BS 4994:1987, K = 11.14 for hand lay-up, not post-cured", f"{_SEEN} (data sheet)"),
    ("abs_plating", 0.33, "ABS high-speed craft, FRP plating", _MEMORY),
    ("abs_core_balsa", 0.30, "ABS Yachts 2021, core shear of balsa", _COPY),
    ("abs_core_pvc", 0.40, "ABS Yachts 2021, core shear of cross-linked PVC", _COPY),
    ("abs_core_linear", 0.50, "ABS Yachts 2021, core shear of linear PVC or SAN", _COPY),
    ("abs_plywood", 0.375, "ABS Yachts 2021, 3-2-3 Table 8 note 2, plywood in bending", _COPY),
    ("bv_core", 0.364, "BV NR500/NR546, core shear, 1 / (1.1 x 2.5)", _COPY),
    ("bv_plywood", 0.25, "BV NR546, whole plywood panel in bending, safety factor 4", _COPY),
)
DESIGN_FACTORS = tuple(DesignFactor(*row) for row in _ROWS)
"""Design factors that the workbook offers; more are made with `DesignFactor`."""

EVALUATION_LEVELS = (
    DesignFactor("iso_level_a", 0.9, f"{_ISO}, level A: tested, 0.9 of the mean (or mean less 2 SD if lower)", _MEMORY),
    DesignFactor("iso_level_b", 1.0, f"{_ISO}, level B: default values, glass content measured", _MEMORY),
    DesignFactor("iso_level_c", 0.8, f"{_ISO}, level C: nothing measured", _SEEN),
)
"""Factors on the strength itself for what was measured; multiply with `PlyStrengths.scaled`."""


def design_factor(name):
    """Design factor or evaluation level by its short name.

    Parameters
    ----------
    name : str
        Name from `DESIGN_FACTORS` or `EVALUATION_LEVELS` [-].

    Returns
    -------
    DesignFactor
        Value, rule and status [-].

    Raises
    ------
    InputError
        If there is no such factor.

    Examples
    --------
    >>> design_factor("lr_keel").value
    0.25
    """
    known = {factor.name: factor for factor in DESIGN_FACTORS + EVALUATION_LEVELS}
    if name not in known:
        raise InputError("design factor", f"must be one of {', '.join(known)} [-]", name,
                         "choose a name, or make your own with value, rule and status")
    return known[name]


@dataclass(frozen=True)
class Margin:
    """A demand against a usable capacity, with the rule that sets what is usable.

    Parameters
    ----------
    name : str
        What is checked, in words [-].
    demand : float
        Stress, force or load factor that occurs, magnitude [as `unit` says].
    capacity : float
        Ultimate value [as `unit` says].
    factor : DesignFactor
        Usable share with its rule [-].
    unit : str
        Unit of demand and capacity [-].

    Raises
    ------
    InputError
        If demand or capacity is negative or missing.

    Examples
    --------
    >>> check = Margin("inner skin in tension", 30.0, 85.0, design_factor("iso_ply"), "MPa")
    >>> round(check.reserve_factor, 3), check.verdict
    (1.417, 'holds')
    """

    name: str
    demand: float
    capacity: float
    factor: DesignFactor
    unit: str

    def __post_init__(self):
        for field in ("demand", "capacity"):
            value = getattr(self, field)
            # an infinite capacity is a mode that no load brings about
            if not (field == "capacity" and value == float("inf")):
                object.__setattr__(self, field, float(positive(f"{field} of {self.name}", value, self.unit, zero=True)))

    @property
    def usable(self):
        """Capacity times the design factor [as `unit` says]."""
        return self.capacity * self.factor.value

    @property
    def reserve_factor(self):
        """Usable capacity over demand; 1 or more holds, infinite without demand."""
        return self.usable / self.demand if self.demand > 0 else float("inf")

    @property
    def holds(self):
        """Whether the usable capacity covers the demand."""
        return self.reserve_factor >= 1.0

    @property
    def verdict(self):
        """One or a few words: holds, just holds, does not hold, breaks."""
        if self.demand == 0:
            return "not loaded"
        if self.holds:
            return "holds" if self.reserve_factor >= 1.1 else "just holds, nothing to spare"
        if self.demand < self.capacity:
            return "does not hold: less margin than the rule asks"
        return "does not hold: it breaks"

    @property
    def sentence(self):
        """The whole check in one sentence, with the rule and its status."""
        ultimate = " ultimate" if self.factor.of == "ultimate" else ""
        return (f"{self.name}: {self.demand:.3g} {self.unit} against {self.usable:.3g} {self.unit} usable "
                f"({self.capacity:.3g} {self.unit}{ultimate}, {self.factor.words}): "
                f"reserve factor {self.reserve_factor:.2f}, {self.verdict}.")
