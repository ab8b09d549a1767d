"""What a panel is, what bends it, and what an assessment gives back."""

from dataclasses import dataclass, field

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.plates import PlateSolution
from lamcalc.parts.basis import Factor, factor_table
from lamcalc.parts.layer_strength import margins_table, rule_checks_table
from lamcalc.parts.panel_factors import curvature_factor
from lamcalc.schedule import Schedule


@dataclass(frozen=True)
class PanelLoad:
    """What bends a panel.

    Parameters
    ----------
    pressure : float
        Uniform pressure [MPa].
    force : float
        Force on a patch, at the middle of the panel and where a clamped or free edge makes it worse [N].
    patch_x, patch_y : float
        Size of the patch along the length and across [mm].
    deflection_over : float, optional
        Allowed deflection is the short side over this [-].
    from_inside : bool
        Whether the load acts on the last layer laid instead of the first [-].

    Raises
    ------
    InputError
        If there is no load, a value is not positive, or the pressure looks like kN/m2.

    Examples
    --------
    >>> PanelLoad(pressure=0.018).words
    'pressure 18 kN/m2'
    """

    pressure: float = 0.0
    force: float = 0.0
    patch_x: float = 100.0
    patch_y: float = 100.0
    deflection_over: float | None = None
    from_inside: bool = False

    def __post_init__(self):
        positive("pressure", self.pressure, "MPa", zero=True), positive("patch force", self.force, "N", zero=True)
        positive("patch along", self.patch_x, "mm"), positive("patch across", self.patch_y, "mm")
        if self.pressure == 0 and self.force == 0:
            raise InputError("panel load", "must be a pressure [MPa] or a force on a patch [N]", (0, 0), "enter a load")
        if self.pressure > 1:
            raise InputError("pressure", "must be in MPa, not above 1 [MPa]", self.pressure, "write 0.018 for 18 kN/m2")
        if self.deflection_over is not None:
            positive("deflection limit, side over", self.deflection_over)

    @property
    def words(self):
        """The load in words [-]."""
        parts = [f"pressure {1000 * self.pressure:g} kN/m2"] if self.pressure else []
        parts += [f"{self.force:g} N on {self.patch_x:g} x {self.patch_y:g} mm"] if self.force else []
        return " and ".join(parts)

    @property
    def sign(self):
        """Direction of the load, +1 from the first layer towards the last [-]."""
        return -1.0 if self.from_inside else 1.0


@dataclass(frozen=True)
class Panel:
    """A rectangular panel between its supports.

    Parameters
    ----------
    length, width : float
        Sides along x and across [mm].
    edges : str
        Edges x = 0, x = length, y = 0, y = width: C clamped, S simply supported, F free [-].
    rise : float
        Rise of the curve over the short side, 0 for flat [mm].
    use_curvature : bool
        Whether the rule's curvature factor kC is taken for a pressure; off by default, the cautious choice [-].

    Raises
    ------
    InputError
        If a size is not positive.

    Examples
    --------
    >>> Panel(900, 460, rise=46, use_curvature=True).kc.__round__(3)
    0.767
    """

    length: float
    width: float
    edges: str = "CCCC"
    rise: float = 0.0
    use_curvature: bool = False

    def __post_init__(self):
        for name in ("length", "width"):
            positive(f"panel {name}", getattr(self, name), "mm")
        positive("rise", self.rise, "mm", zero=True)

    @property
    def short_side(self):
        """Shorter side [mm]."""
        return float(min(self.length, self.width))

    @property
    def aspect(self):
        """Longer over shorter side [-]."""
        return float(max(self.length, self.width)) / self.short_side

    @property
    def kc(self):
        """Curvature factor that is applied, 1 unless asked for [-]."""
        return float(curvature_factor(self.rise / self.short_side)) if self.use_curvature else 1.0


@dataclass(frozen=True, eq=False)
class PanelResult:
    """One laminate as a panel under its load.

    Parameters
    ----------
    panel : Panel
        Size and edges [mm].
    load : PanelLoad
        What bends it [-].
    schedule : Schedule
        Its layers [-].
    solution : PlateSolution
        Fields of the flat plate, curvature factor not in them [mm, N].
    deflection_mm : float
        Largest deflection, a magnitude, curvature factor and error estimate included [mm].
    moments : tuple of float
        Largest Mx, My, Mxy, magnitudes, curvature factor and error estimate included [N mm/mm].
    shear : tuple of float
        Largest Qx, Qy, magnitudes, curvature factor and error estimate included [N/mm].
    facing_stress : tuple of float
        Largest mean stress in the first and in the last skin, a magnitude; single skin: at its two faces [MPa].
    core_shear : float or None
        Largest shear stress in the core; None without a core [MPa].
    margins : tuple of Margin
        Every check, with factor and rule [-].
    rule_checks : tuple of RuleCheck
        Requirements of rules, for a pressure on clamped or supported panels [-].
    unchecked : tuple of str
        What has no strength, so that nothing can be said of it [-].
    cautions : tuple of str
        Read them before building [-].
    worst_place : tuple of float, optional
        Distance along and across, from the first corner, to where the first layer fails [mm].

    Examples
    --------
    >>> PanelResult.__dataclass_params__.frozen
    True
    """

    panel: Panel
    load: PanelLoad
    schedule: Schedule
    solution: PlateSolution
    deflection_mm: float
    moments: tuple
    shear: tuple
    facing_stress: tuple
    core_shear: float | None
    margins: tuple
    rule_checks: tuple
    unchecked: tuple
    cautions: tuple = field(repr=False)
    worst_place: tuple | None = None

    @property
    def deflection_limit_mm(self):
        """Allowed deflection, None if no limit was given [mm]."""
        over = self.load.deflection_over
        return None if over is None else self.panel.short_side / over

    @property
    def skin_stress(self):
        """What a scarf has to pass on: largest mean stress of a skin; a single skin as one piece of its thickness [MPa]."""
        if self.core_shear is not None:
            return max(self.facing_stress)
        return 6.0 * max(self.moments[:2]) / self.schedule.structural_thickness_mm**2

    @property
    def least(self):
        """Margin with the smallest reserve factor, None if nothing could be checked [-]."""
        return min(self.margins, key=lambda margin: margin.reserve_factor) if self.margins else None

    @property
    def shortfalls(self):
        """What does not hold, one sentence each, empty if nothing [-]."""
        found, limit = [m.sentence for m in self.margins if not m.holds], self.deflection_limit_mm
        if limit is not None and self.deflection_mm > limit:
            found.append(f"Deflection {self.deflection_mm:.2f} mm is above the limit of {limit:.2f} mm "
                         f"(short side/{self.load.deflection_over:g}).")
        found += [check.sentence for check in self.rule_checks if not check.holds]
        return tuple(found + [f"{name}: not settled or no strength known, not checked." for name in self.unchecked])

    @property
    def holds(self):
        """Whether everything is met and nothing is unchecked [-]."""
        return not self.shortfalls

    @property
    def sentence(self):
        """The answer in words [-]."""
        limit, worst = self.deflection_limit_mm, self.least
        start = f"Under {self.load.words} the panel moves {self.deflection_mm:.2f} mm"
        start += "" if limit is None else f" of {limit:.2f} mm allowed"
        if worst is not None:
            start += f"; least reserve factor {worst.reserve_factor:.2f} ({worst.name}; {worst.factor.words})"
        return start + (". All checks hold." if self.holds else ". Not all checks hold: " + " ".join(self.shortfalls))

    def table(self):
        """Margins with factor, rule and status beside each.

        Returns
        -------
        DataFrame
            One row a margin [-].
        """
        return margins_table(self.margins)

    def rules_table(self):
        """Requirements of the rules beside what the panel has.

        Returns
        -------
        DataFrame
            One row a requirement [-].
        """
        return rule_checks_table(self.rule_checks)

    def factors_table(self):
        """Factors that changed the plate's figures.

        Returns
        -------
        DataFrame
            The curvature factor with clause and status; 1 where it is not used [-].
        """
        note = ("of the pressure alone: moments times kC^2, shear times its root, deflection times kC^3; none for a "
                "patch load")
        return factor_table([Factor("kC", "curvature factor", self.panel.kc, "-", "ISO 12215-5:2008, Table 6",
                                    "source seen", note if self.panel.use_curvature else "not asked for")])
