"""Sandwich walls: stiffness, stresses and the ways in which they fail.

Skin 1 lies against the mould (outer skin), skin 2 is the last one laid; the
skins may differ.  Heights count from the outer face of skin 1.  Moments follow
`sections`: positive when skin 1 is in tension.  All dimensions may be arrays of
any batch shape (...).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.sections import Section


@dataclass(frozen=True)
class Sandwich:
    """A strip of sandwich with two skins and a core.

    Parameters
    ----------
    skin_1_mm, core_mm, skin_2_mm : array_like, shape (...)
        Thickness of outer skin, core and inner skin [mm].
    e_skin_1, e_core, e_skin_2 : array_like, shape (...)
        Young's moduli along the strip; the core's may be 0 [MPa].
    g_core : array_like, shape (...)
        Transverse shear modulus of the core [MPa].
    width_mm : array_like, shape (...)
        Width of the strip; 1 gives values per width [mm].

    Raises
    ------
    InputError
        If a thickness, a skin modulus or the core shear modulus is not positive.

    Notes
    -----
    Bending of the full section, core included; shear of the core alone, spread
    evenly over ``d^2/c`` (skin centre distance d, core thickness c).  For a
    core as stiff as plywood the evenly spread shear is a little low in
    stiffness: `transverse_shear.shear_stiffness` is exact.

    References
    ----------
    .. [1] Allen, Analysis and Design of Structural Sandwich Panels, 1969, ch. 2; Zenkert, An Introduction to
       Sandwich Construction, 1995 (common practice).

    Examples
    --------
    >>> wall = Sandwich(3.0, 30.0, 3.0, 15e3, 0.0, 15e3, 20.0, width_mm=100.0)
    >>> float(wall.ei.round(0)), float(wall.ga.round(6))
    (2457000000.0, 72600.0)
    """

    skin_1_mm: np.ndarray
    core_mm: np.ndarray
    skin_2_mm: np.ndarray
    e_skin_1: np.ndarray
    e_core: np.ndarray
    e_skin_2: np.ndarray
    g_core: np.ndarray
    width_mm: np.ndarray = 1.0

    def __post_init__(self):
        for name in ("skin_1_mm", "core_mm", "skin_2_mm", "width_mm"):
            object.__setattr__(self, name, positive(name, getattr(self, name), "mm"))
        for name in ("e_skin_1", "e_skin_2", "g_core"):
            object.__setattr__(self, name, positive(name, getattr(self, name), "MPa"))
        object.__setattr__(self, "e_core", positive("e_core", self.e_core, "MPa", zero=True))

    @cached_property
    def section(self):
        """The strip as a `Section` with the layers skin 1, core, skin 2 [-]."""
        e = np.stack(np.broadcast_arrays(self.e_skin_1, self.e_core, self.e_skin_2), axis=-1)
        t = np.stack(np.broadcast_arrays(self.skin_1_mm, self.core_mm, self.skin_2_mm), axis=-1)
        return Section.from_layers(e, t, width_mm=self.width_mm)

    @property
    def skin_distance_mm(self):
        """Distance between the skin centres, shape (...) [mm]."""
        return self.core_mm + 0.5 * (self.skin_1_mm + self.skin_2_mm)

    @property
    def ei(self):
        """Bending stiffness of skins and core about the common axis, shape (...) [N mm2]."""
        return self.section.ei

    @property
    def ei_thin_skins(self):
        """Bending stiffness of the skins alone without their own bending, shape (...) [N mm2]."""
        one, two = self.e_skin_1 * self.skin_1_mm, self.e_skin_2 * self.skin_2_mm
        return self.width_mm * self.skin_distance_mm**2 * one * two / (one + two)

    @property
    def ei_share(self):
        """Share of skin 1, core and skin 2 in the bending stiffness, shape (..., 3) [-]."""
        return self.section.ei_share

    @property
    def ga(self):
        """Shear stiffness, shape (...) [N]."""
        return self.width_mm * core_shear_stiffness(self.g_core, self.core_mm, self.skin_1_mm, self.skin_2_mm)

    def layer_stresses(self, moment):
        """Bending stress at the lower and upper face of skin 1, core and skin 2, full theory.

        Parameters
        ----------
        moment : array_like, shape (...)
            Bending moment on the strip, positive with skin 1 in tension [N mm].

        Returns
        -------
        ndarray, shape (..., 3, 2)
            Stress, tension positive [MPa].

        Notes
        -----
        ``sigma = M E y/EI`` over the whole section.

        References
        ----------
        .. [1] Gere, Mechanics of Materials, ch. 6, Ex. 6.2, is the published check.

        Examples
        --------
        >>> wall = Sandwich(5.0, 150.0, 5.0, 72e3, 800.0, 72e3, 300.0, width_mm=200.0)
        >>> float(wall.layer_stresses(3.0e6)[0, 0].round(2))
        18.98
        """
        return self.section.part_stresses(moment)

    def thin_skin_stresses(self, moment):
        """Mean stress of skin 1 and skin 2 with the core ignored.

        Parameters
        ----------
        moment : array_like, shape (...)
            Bending moment on the strip, positive with skin 1 in tension [N mm].

        Returns
        -------
        ndarray, shape (..., 2)
            Stress, tension positive [MPa].

        Notes
        -----
        ``sigma = M/(b d t)``: a pair of forces at the skin centres.

        References
        ----------
        .. [1] Zenkert, An Introduction to Sandwich Construction, 1995 (common practice).

        Examples
        --------
        >>> wall = Sandwich(3.0, 30.0, 3.0, 15e3, 0.0, 15e3, 20.0)
        >>> wall.thin_skin_stresses(990.0).round(6).tolist()
        [10.0, -10.0]
        """
        pull = number("moment", moment, "N mm") / (self.width_mm * self.skin_distance_mm)
        return np.stack(np.broadcast_arrays(pull / self.skin_1_mm, -pull / self.skin_2_mm), axis=-1)

    def core_shear_stress(self, shear_force):
        """Largest shear stress in the core, full theory.

        Parameters
        ----------
        shear_force : array_like, shape (...)
            Shear force on the strip [N].

        Returns
        -------
        ndarray, shape (...)
            Shear stress, a magnitude [MPa].

        Notes
        -----
        ``tau = V S/(EI b)`` at the neutral axis, or at the edge of the core if
        the axis lies in a skin.

        References
        ----------
        .. [1] Zenkert, An Introduction to Sandwich Construction, 1995 (common practice).

        Examples
        --------
        >>> wall = Sandwich(3.0, 30.0, 3.0, 15e3, 0.0, 15e3, 20.0)
        >>> float(wall.core_shear_stress(33.0).round(4))
        0.9973
        """
        low = self.skin_1_mm
        cut = np.clip(self.section.neutral_axis_mm, low, low + self.core_mm)
        return np.abs(self.section.shear_stress(shear_force, cut, width_mm=self.width_mm))

    def mean_core_shear_stress(self, shear_force):
        """Core shear stress spread evenly between the skin centres.

        Parameters
        ----------
        shear_force : array_like, shape (...)
            Shear force on the strip [N].

        Returns
        -------
        ndarray, shape (...)
            Shear stress, a magnitude [MPa].

        Notes
        -----
        ``tau = V/(b d)``, for a core that carries no bending.

        References
        ----------
        .. [1] Zenkert, An Introduction to Sandwich Construction, 1995 (common practice).

        Examples
        --------
        >>> wall = Sandwich(3.0, 30.0, 3.0, 15e3, 0.0, 15e3, 20.0)
        >>> float(wall.mean_core_shear_stress(33.0).round(6))
        1.0
        """
        return np.abs(number("shear_force", shear_force, "N")) / (self.width_mm * self.skin_distance_mm)


def core_shear_stiffness(g_core, core_mm, skin_1_mm, skin_2_mm):
    """Shear stiffness per width of a sandwich with a soft core.

    Parameters
    ----------
    g_core : array_like, shape (...)
        Transverse shear modulus of the core [MPa].
    core_mm : array_like, shape (...)
        Core thickness [mm].
    skin_1_mm, skin_2_mm : array_like, shape (...)
        Skin thickness [mm].

    Returns
    -------
    ndarray, shape (...)
        Shear force per width and shear angle [N/mm].

    Raises
    ------
    InputError
        If a value is not positive.

    Notes
    -----
    ``S = G d^2/c`` with d the distance of the skin centres.

    References
    ----------
    .. [1] Allen, Analysis and Design of Structural Sandwich Panels, 1969, ch. 2 (common practice).

    Examples
    --------
    >>> float(core_shear_stiffness(20.0, 30.0, 3.0, 3.0))
    726.0
    """
    core = positive("core_mm", core_mm, "mm")
    distance = core + 0.5 * (positive("skin_1_mm", skin_1_mm, "mm") + positive("skin_2_mm", skin_2_mm, "mm"))
    return positive("g_core", g_core, "MPa") * distance**2 / core


@dataclass(frozen=True)
class SandwichGain:
    """What splitting one sheet around a core does to it.

    Parameters
    ----------
    stiffness : ndarray, shape (...)
        Bending stiffness over that of the single sheet [-].
    strength : ndarray, shape (...)
        Bending strength over that of the single sheet [-].

    Examples
    --------
    >>> SandwichGain(7.0, 3.5).stiffness
    7.0
    """

    stiffness: np.ndarray
    strength: np.ndarray


def sandwich_gain(ratio):
    """Gain in bending from splitting one sheet into two equal skins around a core.

    Parameters
    ----------
    ratio : array_like, shape (...)
        Total thickness of the sandwich over the thickness of the sheet, 1 or more [-].

    Returns
    -------
    SandwichGain
        Stiffness and strength ratios [-].

    Raises
    ------
    InputError
        If the ratio is below 1.

    Notes
    -----
    ``stiffness r^3 - (r - 1)^3``, ``strength = stiffness / r``.  Faces only: core
    shear, wrinkling and crushing are left out, which for a transom is unsafe.

    References
    ----------
    .. [1] Core supplier's text, 2t: 7 and 3.5; 4t: 37 and 9.2; exact by arithmetic.

    Examples
    --------
    >>> gain = sandwich_gain(2)
    >>> float(gain.stiffness), float(gain.strength)
    (7.0, 3.5)
    """
    r = number("ratio", ratio)
    if np.any(r < 1.0):
        raise InputError("ratio", "must be 1 or more [-]", ratio,
                         "divide the sandwich thickness by the sheet thickness")
    stiffness = r**3 - (r - 1.0) ** 3
    return SandwichGain(stiffness, stiffness / r)
