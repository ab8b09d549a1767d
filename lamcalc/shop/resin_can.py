"""What the label and the data sheet of a resin say."""

from dataclasses import dataclass

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.shop.limits import CATALYST_DENSITY, GEL_FACTOR, GEL_FACTOR_EPOXY

FAMILIES = ("polyester", "vinyl ester", "gel coat", "epoxy")


@dataclass(frozen=True, kw_only=True)
class ResinCan:
    """What the label and the data sheet of one resin say.

    Parameters
    ----------
    name : str
        Name on the job [-].
    family : str
        'polyester', 'vinyl ester', 'gel coat' or 'epoxy' [-].
    gel_minutes : float
        Gel time (epoxy: pot life) printed for the reference point [min].
    at_c : float
        Temperature of the reference point [degC].
    at_percent_v : float, optional
        Catalyst of the reference point, none for epoxy [% by volume].
    at_mass_g : float
        Mass of the reference point [g].
    catalyst_window : tuple of float, optional
        Lowest and highest catalyst that the can allows, none for epoxy [% by volume].
    catalyst_density_kg_m3 : float
        Density of the catalyst [kg/m3]; the default is from memory, unverified.
    liquid_density_kg_m3 : float
        Density of the liquid resin [kg/m3].
    hardener_ratio_v : float, optional
        Epoxy only: parts of resin to one part of hardener [by volume].
    hardener_density_kg_m3 : float, optional
        Epoxy only: density of the hardener [kg/m3].
    styrene_fraction : float, optional
        Share of styrene by mass; the default of the family is used if not given [-].
    usual_percent_v : float, optional
        What the shop starts from; the reference percentage if not given [% by volume].
    factor_per_10c : tuple of float, optional
        Low, typical and high factor on gel time for 10 degC; the family's default if not given [-].

    Raises
    ------
    InputError
        If the family is unknown or a figure which the family needs is missing.

    Examples
    --------
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> can.is_epoxy
    False
    """

    name: str
    family: str
    gel_minutes: float
    at_c: float
    at_percent_v: float | None = None
    at_mass_g: float = 100.0
    catalyst_window: tuple | None = None
    catalyst_density_kg_m3: float = float(CATALYST_DENSITY)
    liquid_density_kg_m3: float = 1100.0
    hardener_ratio_v: float | None = None
    hardener_density_kg_m3: float | None = None
    styrene_fraction: float | None = None
    usual_percent_v: float | None = None
    factor_per_10c: tuple | None = None

    def __post_init__(self):
        for name in ("catalyst_window", "factor_per_10c"):
            if isinstance(getattr(self, name), list):  # a job file brings lists; a record must stay hashable
                object.__setattr__(self, name, tuple(getattr(self, name)))
        if self.family not in FAMILIES:
            raise InputError("resin family", f"must be one of {', '.join(FAMILIES)}", self.family, "read the label")
        for label, value, unit in (("gel time", self.gel_minutes, "min"), ("reference mass", self.at_mass_g, "g"),
                                   ("catalyst density", self.catalyst_density_kg_m3, "kg/m3"),
                                   ("liquid resin density", self.liquid_density_kg_m3, "kg/m3")):
            positive(f"{label} of {self.name}", value, unit)
        number(f"reference temperature of {self.name}", self.at_c, "degC")
        self._check_epoxy() if self.is_epoxy else self._check_window()
        if self.styrene_fraction is not None:
            fraction(f"styrene fraction of {self.name}", self.styrene_fraction, zero=True)
        if self.factor_per_10c is not None:
            self._check_factors()

    def _check_epoxy(self):
        catalyst = self.catalyst_window or self.at_percent_v or self.usual_percent_v
        if catalyst is not None:
            raise InputError(f"catalyst of {self.name}", "does not exist for epoxy: the ratio is stoichiometry, "
                             "not a speed control", catalyst, "enter the hardener ratio instead")
        for label, value in (("hardener ratio by volume", self.hardener_ratio_v),
                             ("hardener density", self.hardener_density_kg_m3)):
            if value is None:
                raise InputError(f"{label} of {self.name}", "is needed for epoxy", value, "read it from the can")
            positive(f"{label} of {self.name}", value)

    def _check_window(self):
        if self.hardener_ratio_v is not None or self.hardener_density_kg_m3 is not None:
            raise InputError(f"hardener of {self.name}", f"belongs to epoxy, not to {self.family}",
                             self.hardener_ratio_v, "remove it or change the family")
        if self.catalyst_window is None or len(self.catalyst_window) != 2:
            raise InputError(f"catalyst window of {self.name}", "must give the lowest and highest [% by volume]",
                             self.catalyst_window, "read both from the can")
        low, high = positive(f"catalyst window of {self.name}", self.catalyst_window, "% by volume")
        if low > high or high > 10:
            raise InputError(f"catalyst window of {self.name}", "must rise from low to high and stay below 10 "
                             "[% by volume]", self.catalyst_window, "enter percent, for example (1.0, 2.5)")
        if self.at_percent_v is None:
            raise InputError(f"reference catalyst of {self.name}", "must be given with the gel time [% by volume]",
                             None, "read from the can at which percent the gel time holds")
        positive(f"reference catalyst of {self.name}", self.at_percent_v, "% by volume")
        if self.usual_percent_v is not None and not low <= self.usual_percent_v <= high:
            raise InputError(f"usual catalyst of {self.name}", f"must lie inside the can's window of {low:g} to "
                             f"{high:g} [% by volume]", self.usual_percent_v, "stay inside the window")

    def _check_factors(self):
        if len(self.factor_per_10c) != 3:
            raise InputError(f"factor for 10 degC of {self.name}", "must be low, typical and high [-]",
                             self.factor_per_10c, "enter three factors")
        low, typical, high = positive(f"factor for 10 degC of {self.name}", self.factor_per_10c)
        if not 1 <= low <= typical <= high:
            raise InputError(f"factor for 10 degC of {self.name}", "must rise from low to high and be 1 or more [-]",
                             self.factor_per_10c, "enter for example (1.5, 2.3, 3.0)")

    @property
    def is_epoxy(self):
        """Whether the resin is mixed by ratio [-]."""
        return self.family == "epoxy"

    @property
    def usual(self):
        """Catalyst that the shop starts from, None for epoxy [% by volume]."""
        return self.at_percent_v if self.usual_percent_v is None else self.usual_percent_v

    @property
    def factors(self):
        """Low, typical and high factor on gel time for 10 degC [-]."""
        default = GEL_FACTOR_EPOXY if self.is_epoxy else GEL_FACTOR
        return self.factor_per_10c or (default.low, default.value, default.high)


def can_from_record(name, family, record):
    """Resin can from a record of the job file.

    Parameters
    ----------
    name : str
        Name on the job [-].
    family : str
        'polyester', 'vinyl ester', 'gel coat' or 'epoxy' [-].
    record : CatalysedResin or TwoPartResin
        What the job file says; percentages by mass become percentages by volume [-].

    Returns
    -------
    ResinCan
        The can [-].

    Raises
    ------
    InputError
        If a two-part record has no pot life, or a figure breaks a rule of the can.

    Notes
    -----
    percent by volume = percent by mass * resin density / catalyst density.

    References
    ----------
    Definitions of the two percentages.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> record = SimpleNamespace(kind="catalysed", liquid_density_kg_m3=1100, catalyst_low_percent=1.0,
    ...     catalyst_high_percent=2.5, catalyst_usual_percent=1.5, catalyst_basis="mass", catalyst_density_kg_m3=1160,
    ...     gel_minutes=28, gel_temperature_c=20, gel_catalyst_percent=1.5, gel_mass_g=100)
    >>> round(can_from_record("isophthalic", "polyester", record).usual, 3)
    1.422
    """
    if record.kind == "two_part":
        missing = [label for label, value in (("pot life", record.pot_life_minutes),
                                              ("temperature of the pot life", record.pot_life_temperature_c))
                   if value is None]
        if missing:
            raise InputError(f"{missing[0]} of {name}", "is needed to plan batches", None, "read it from the can")
        return ResinCan(name=name, family=family, gel_minutes=record.pot_life_minutes,
                        at_c=record.pot_life_temperature_c,
                        at_mass_g=100.0 if record.pot_life_mass_g is None else record.pot_life_mass_g,
                        liquid_density_kg_m3=record.resin_density_kg_m3, hardener_ratio_v=record.ratio_by_volume,
                        hardener_density_kg_m3=record.hardener_density_kg_m3)
    by_mass = record.catalyst_basis == "mass"
    to_volume = record.liquid_density_kg_m3 / record.catalyst_density_kg_m3 if by_mass else 1.0
    return ResinCan(name=name, family=family, gel_minutes=record.gel_minutes, at_c=record.gel_temperature_c,
                    at_percent_v=record.gel_catalyst_percent * to_volume, at_mass_g=record.gel_mass_g,
                    catalyst_window=(record.catalyst_low_percent * to_volume, record.catalyst_high_percent * to_volume),
                    usual_percent_v=record.catalyst_usual_percent * to_volume,
                    catalyst_density_kg_m3=record.catalyst_density_kg_m3,
                    liquid_density_kg_m3=record.liquid_density_kg_m3)
