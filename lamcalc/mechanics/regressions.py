"""Rule-book properties of glass laminates as functions of the glass fraction by weight.

Every formula is a row of data with its status and source, so that a result can show
both: "reproduces printed values" means that the formula itself was not read but that it
gives printed numbers of the source exactly; "from memory" means unverified.
"""

from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from lamcalc.errors import InputError, fraction, positive

LOWEST_WEIGHT_FRACTION, HIGHEST_WEIGHT_FRACTION = 0.10, 0.75
LOWEST_FOR_MODULUS = 0.14  # of mat and weaves: the line falls to zero at 0.132
_PRINTED, _MEMORY = "reproduces printed values", "from memory (unverified)"
_TABLE_H1 = "ISO 12215-5:2008, Table H.1 (worked laminate)"
_BOAT = "published 4.5 m motor-boat example to ISO 12215-5:2008 (2014), Table 3"
_ISO = "ISO 12215-5:2008, default E-glass properties"
_CLASS = "Lloyd's Register, Guidance Notes: Calculation Procedures for Composite Construction, July 2013"
_OLDER = "older class-rule quadratic set (text not found)"


@dataclass(frozen=True)
class Regression:
    """A property as a polynomial in the glass fraction by weight.

    Parameters
    ----------
    words : str
        What it gives [-].
    coefficients : tuple of float
        Constant, linear and quadratic coefficient [MPa].
    status : str
        How far the formula is verified [-].
    source : str
        Where it comes from [-].

    Examples
    --------
    >>> SMALL_CRAFT["uts"].status
    'reproduces printed values'
    """

    words: str
    coefficients: tuple
    status: str
    source: str

    def __call__(self, weight_fraction):
        """Value at a glass fraction.

        Parameters
        ----------
        weight_fraction : array_like, shape (...)
            Mass of glass over mass of laminate, 0.10 to 0.75 [-].

        Returns
        -------
        ndarray, shape (...)
            The property [MPa].

        Raises
        ------
        InputError
            If the fraction is outside 0.10 to 0.75, or the line has run below zero.

        Examples
        --------
        >>> SMALL_CRAFT["uts"]([0.30, 0.48]).round(0)
        array([ 85., 183.])
        """
        psi = fraction("glass weight fraction", weight_fraction)
        if not np.all((psi >= LOWEST_WEIGHT_FRACTION) & (psi <= HIGHEST_WEIGHT_FRACTION)):
            raise InputError("glass weight fraction", "must lie between 0.10 and 0.75 for a rule formula [-]", psi,
                             "use micromechanics or your own test values")
        value = np.polynomial.polynomial.polyval(psi, self.coefficients)
        if not np.all(value > 0):
            raise InputError("glass weight fraction", f"is too low for the formula of the {self.words} [-]", psi,
                             "use micromechanics or your own test values")
        return value


SMALL_CRAFT = MappingProxyType({
    "uts": Regression("ultimate tensile strength", (37.0, -80.0, 800.0), _PRINTED, f"{_TABLE_H1}; {_BOAT}"),
    "ucs": Regression("ultimate compressive strength", (72.0, 150.0), _PRINTED, f"{_TABLE_H1}; {_BOAT}"),
    "ufs": Regression("ultimate flexural strength", (107.0, 0.0, 502.0), _PRINTED, _BOAT),
    "tau": Regression("in-plane shear strength", (38.0, 80.0), _PRINTED, _BOAT),
    "ilss": Regression("interlaminar shear strength", (22.5, -17.5), _PRINTED, f"{_TABLE_H1}; {_BOAT}"),
    "e": Regression("in-plane modulus", (-5000.0, 38000.0), _PRINTED, _TABLE_H1),
    "g": Regression("in-plane shear modulus", (2240.0, 1700.0), _MEMORY, _ISO),
    "uts_ud_along": Regression("tensile strength along unidirectional fibre", (140.0, 140.0, 880.0), _MEMORY, _ISO),
    "uts_ud_across": Regression("tensile strength across unidirectional fibre", (42.0,), _MEMORY, _ISO),
    "e_ud_along": Regression("modulus along unidirectional fibre", (7250.0, 7200.0, 46600.0), _MEMORY, _ISO),
    "e_ud_across": Regression("modulus across unidirectional fibre", (4840.0, -10560.0, 14380.0), _MEMORY, _ISO),
})
"""ISO 12215-5 defaults for mat, woven roving, both combined, balanced multiaxials (and UD, low confidence)."""

CLASS_SOCIETY = MappingProxyType({
    "e_compression": Regression("modulus in compression", (-6000.0, 40000.0), _PRINTED, f"{_CLASS}, Table 3.1.1"),
    "e_tension_csm": Regression("tensile modulus of mat", (2000.0, 15000.0), _PRINTED, f"{_CLASS}, Ch. 3"),
    "e_tension_wr": Regression("tensile modulus of woven roving", (-500.0, 30000.0), _MEMORY,
                               f"{_CLASS}, Table 3.1.1 (prints 145000 for 14500)"),
    "uts_csm": Regression("tensile strength of mat", (25.0, 200.0), _MEMORY, _OLDER + ", later split by type"),
    "uts_wr": Regression("tensile strength of woven roving", (-10.0, 400.0), _MEMORY, _OLDER + ", later split by type"),
    "uts_ud": Regression("tensile strength of unidirectional", (510.0, -1400.0, 1800.0), _MEMORY,
                         _OLDER + ", later split by type"),
})
"""Class-society moduli, apart for tension and compression, and strengths by type."""

OLDER_RULE = MappingProxyType({
    "uts": Regression("ultimate tensile strength", (123.0, -510.0, 1278.0), _MEMORY, _OLDER),
    "ucs": Regression("ultimate compressive strength", (72.0, 150.0), _MEMORY, _OLDER),
    "ufs": Regression("ultimate flexural strength", (106.8, 0.0, 502.0), _MEMORY, _OLDER),
    "tau": Regression("in-plane shear strength", (38.0, 80.0), _MEMORY, _OLDER),
    "ilss": Regression("interlaminar shear strength", (22.0, -13.5), _MEMORY + ", low confidence", _OLDER),
    "e_tension": Regression("tensile modulus", (-4750.0, 37000.0), _MEMORY, _OLDER),
    "e_compression": Regression("modulus in compression", (-6000.0, 40000.0), _MEMORY, _OLDER),
    "e_flexure": Regression("flexural modulus", (2200.0, 0.0, 33400.0), _MEMORY, _OLDER),
    "g": Regression("in-plane shear modulus", (2240.0, 1700.0), _MEMORY, _OLDER),
})
"""Older quadratic class-rule set, for comparison."""


@dataclass(frozen=True)
class UnitValues:
    """Design values of one reinforcement per kg/m2 of glass, as the pressure-vessel code prints them.

    Parameters
    ----------
    unit_strength, unit_modulus : float
        Breaking load and stiffness per width for each kg/m2 of glass [N/mm per kg/m2].
    layer_mm_per_kg_m2 : float
        Thickness for each kg/m2 of glass [mm per kg/m2].
    weight_fraction : float
        Glass fraction of the row [-].
    lap_shear : float
        Lap shear strength, code minimum [MPa].
    nu12 : float
        Poisson ratio [-].
    status, source : str
        How it was read, and where [-].

    Examples
    --------
    >>> round(PRESSURE_VESSEL["csm"].modulus, 2), round(PRESSURE_VESSEL["csm"].strength, 2)
    (6250.0, 89.29)
    """

    unit_strength: float
    unit_modulus: float
    layer_mm_per_kg_m2: float
    weight_fraction: float
    lap_shear: float
    nu12: float
    status: str = "source seen (data sheet)"
    source: str = "BS 4994:1987, unit strengths and moduli, as summarised in a design data sheet"

    @property
    def modulus(self):
        """Young's modulus [MPa]."""
        return float(stress_from_unit_value(self.unit_modulus, self.layer_mm_per_kg_m2))

    @property
    def strength(self):
        """Tensile strength [MPa]."""
        return float(stress_from_unit_value(self.unit_strength, self.layer_mm_per_kg_m2))


PRESSURE_VESSEL = MappingProxyType({
    "csm": UnitValues(200.0, 14000.0, 2.24, 0.33, 7.0, 0.30),
    "woven": UnitValues(250.0, 16000.0, 1.25, 0.45, 6.0, 0.30),
})
"""BS 4994 rows, hand lay-up: code minima, not coupon means; a cautious second opinion."""


def stress_from_unit_value(unit_value, layer_mm_per_kg_m2):
    """Stress or modulus from a value per width and the layer thickness, both for each kg/m2 of glass.

    Parameters
    ----------
    unit_value : array_like, shape (...)
        Load or stiffness per width for each kg/m2 of glass [N/mm per kg/m2].
    layer_mm_per_kg_m2 : array_like, shape (...)
        Thickness for each kg/m2 of glass [mm per kg/m2].

    Returns
    -------
    ndarray, shape (...)
        Strength or modulus [MPa].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    .. [1] BS 4994:1987: 14000 and 2.24 give 6250 MPa.

    Examples
    --------
    >>> stress_from_unit_value(16000, 1.25)
    np.float64(12800.0)
    """
    return positive("unit value", unit_value, "N/mm per kg/m2") / positive("layer", layer_mm_per_kg_m2, "mm per kg/m2")


def width_value_from_unit_value(unit_value, areal_weight_gsm):
    """Load or stiffness per width of a layer from its unit value and its glass weight.

    Parameters
    ----------
    unit_value : array_like, shape (...)
        Load or stiffness per width for each kg/m2 of glass [N/mm per kg/m2].
    areal_weight_gsm : array_like, shape (...)
        Glass in the layer [g/m2].

    Returns
    -------
    ndarray, shape (...)
        Load or stiffness per width [N/mm].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    .. [1] BS 4994:1987: 14000 and 450 g/m2 give 6300 N/mm.

    Examples
    --------
    >>> width_value_from_unit_value(14000, 450)
    np.float64(6300.0)
    """
    weight_kg_m2 = positive("areal weight", areal_weight_gsm, "g/m2") / 1e3
    return positive("unit value", unit_value, "N/mm per kg/m2") * weight_kg_m2


def pressure_vessel_cycle_factor(cycles):
    """Factor k4 of the pressure-vessel code for repeated load.

    Parameters
    ----------
    cycles : array_like, shape (...)
        Load cycles in the life, up to one million [-].

    Returns
    -------
    ndarray, shape (...)
        k4; 1.1 up to 1000 cycles [-].

    Raises
    ------
    InputError
        If the number is not positive or above one million.

    Notes
    -----
    ``k4 = 1.1 + 0.9 (log10 N - 3)/3`` between 1000 and a million cycles.

    References
    ----------
    .. [1] BS 4994:1987, as summarised in a design data sheet: 1.27 at 3650 cycles.  That 1.1 holds below
       1000 cycles and that the line ends at a million are from memory.

    Examples
    --------
    >>> pressure_vessel_cycle_factor(3650).round(2)
    np.float64(1.27)
    """
    count = positive("load cycles", cycles)
    if np.any(count > 1e6):
        raise InputError("load cycles", "must not exceed 1000000 [-]", count, "a fatigue test is needed beyond")
    return 1.1 + 0.3 * np.maximum(np.log10(count) - 3.0, 0.0)


def pressure_vessel_design_factor(*, k1, k2, k3, k4, k5):
    """Overall design factor K of the pressure-vessel code.

    Parameters
    ----------
    k1, k2, k3, k4, k5 : array_like, shape (...)
        Factors for method of manufacture, chemical environment, temperature, cycles and curing, each 1 or more [-].

    Returns
    -------
    ndarray, shape (...)
        K, by which the strength is divided [-].

    Raises
    ------
    InputError
        If a factor is below 1.

    Notes
    -----
    ``K = 3 k1 k2 k3 k4 k5``.

    References
    ----------
    .. [1] BS 4994:1987, as summarised in a design data sheet: 11.14 for hand lay-up, not post-cured.

    Examples
    --------
    >>> pressure_vessel_design_factor(k1=1.5, k2=1.3, k3=1.0, k4=1.27, k5=1.5).round(2)
    np.float64(11.14)
    """
    product = np.asarray(3.0)
    for name, factor in (("k1", k1), ("k2", k2), ("k3", k3), ("k4", k4), ("k5", k5)):
        factor = positive(name, factor)
        if np.any(factor < 1):
            raise InputError(name, "must be 1 or more [-]", factor, "see the table of the code")
        product = product * factor
    return product
