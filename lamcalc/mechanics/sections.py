"""Beam sections made of parts that each have their own modulus.

A section is any stack of rectangles, trapezoids or inclined webs.  Heights y are
measured upwards from any base line, usually the outer face of the plating.
Moments are positive when the beam sags: the low fibres are in tension, and
tension is positive.  Every dimension of a `Part` may be an array of any batch
shape (...), so one section object can hold a whole sizing study.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.section_sums import section_constants

# parabola squared over a width that varies linearly: five Gauss points reach 1e-10
_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True)
class Part:
    """One piece of a section with a modulus of its own.

    Parameters
    ----------
    name : str
        Name in tables [-].
    width_mm : array_like, shape (...)
        Width; for an inclined web the thickness square to its skin, for a trapezoid the mean width [mm].
    height_mm : array_like, shape (...)
        Vertical height [mm].
    y_mm : array_like, shape (...)
        Height of the middle above the base line (centroid of a rectangle) [mm].
    e_mpa : array_like, shape (...)
        Young's modulus along the beam; zero if the part does not carry [MPa].
    g_mpa : array_like, shape (...), optional
        Shear modulus, needed for the shear stiffness only [MPa].
    inclination_deg : array_like, shape (...)
        Lean of a web from the vertical [deg].
    width_gain_mm : array_like, shape (...)
        Width at the top minus width at the bottom, for trapezoids [mm].
    web : bool
        Whether the part counts as a web [-].

    Raises
    ------
    InputError
        If a size is not positive, a modulus is negative, or a lean reaches 90 degrees.

    Examples
    --------
    >>> float(Part("web", 3.0, 90.0, 50.0, 10e3, inclination_deg=60.0).horizontal_width_mm.round(6))
    6.0
    """

    name: str
    width_mm: np.ndarray
    height_mm: np.ndarray
    y_mm: np.ndarray
    e_mpa: np.ndarray
    g_mpa: np.ndarray | None = None
    inclination_deg: np.ndarray = 0.0
    width_gain_mm: np.ndarray = 0.0
    web: bool = False

    def __post_init__(self):
        for field, check, unit in (("width_mm", positive, "mm"), ("height_mm", positive, "mm"),
                                   ("y_mm", number, "mm"), ("inclination_deg", number, "deg"),
                                   ("width_gain_mm", number, "mm")):
            object.__setattr__(self, field, check(f"{self.name}: {field}", getattr(self, field), unit))
        object.__setattr__(self, "e_mpa", positive(f"{self.name}: e_mpa", self.e_mpa, "MPa", zero=True))
        if self.g_mpa is not None:
            object.__setattr__(self, "g_mpa", positive(f"{self.name}: g_mpa", self.g_mpa, "MPa", zero=True))
        if np.any(np.abs(self.inclination_deg) >= 85.0):
            raise InputError(f"{self.name}: inclination_deg", "must lie within 85 of the vertical [deg]",
                             self.inclination_deg, "enter a flat part by its width and height instead")
        if np.any(np.abs(self.width_gain_mm) > 2.0 * self.width_mm):
            raise InputError(f"{self.name}: width_gain_mm", "must not exceed twice the mean width [mm]",
                             self.width_gain_mm, "enter top width minus bottom width")

    @property
    def horizontal_width_mm(self):
        """Width measured horizontally at mid-height, shape (...) [mm]."""
        return self.width_mm / np.cos(np.radians(self.inclination_deg))


def _stacked(values):
    """Fields of the parts as one array with the parts on the last axis."""
    return np.stack(np.broadcast_arrays(*values), axis=-1)


@dataclass(frozen=True)
class Section:
    """A beam section: parts bonded together, bent about their E-weighted axis.

    Parameters
    ----------
    parts : tuple of Part
        The pieces, in any order [-].

    Raises
    ------
    InputError
        If there is no part, or none of them carries.

    Notes
    -----
    Plane sections stay plane; shear lag in wide plating is left to the attached
    width that the user chooses (`attached_width`).

    References
    ----------
    .. [1] Method of the transformed section, as in Beer, Johnston & DeWolf, Mechanics of Materials, sec. 4.6.

    Examples
    --------
    >>> tee = Section((Part("plate", 300.0, 9.0, 4.5, 10e3), Part("web", 6.0, 91.0, 54.5, 10e3)))
    >>> float(tee.neutral_axis_mm.round(2))
    12.91
    """

    parts: tuple

    def __post_init__(self):
        object.__setattr__(self, "parts", tuple(self.parts))
        if not self.parts:
            raise InputError("section", "must have at least one part", self.parts, "add a part")
        if np.any(self.e_mpa.max(axis=-1) <= 0):
            raise InputError("section", "must have a part with a modulus above 0 [MPa]", self.e_mpa, "enter e_mpa")

    @classmethod
    def from_layers(cls, e_mpa, thickness_mm, *, width_mm=1.0, g_mpa=None):
        """Section of a flat stack of layers, first layer at the base line.

        Parameters
        ----------
        e_mpa : array_like, shape (..., layers)
            Young's modulus of each layer along the beam [MPa].
        thickness_mm : array_like, shape (..., layers)
            Layer thickness [mm].
        width_mm : array_like, shape (...)
            Width of the strip [mm].
        g_mpa : array_like, shape (..., layers), optional
            Transverse shear modulus of each layer [MPa].

        Returns
        -------
        Section
            The strip [-].

        Raises
        ------
        InputError
            If a thickness is not positive or there is no layer.

        Examples
        --------
        >>> float(Section.from_layers([6400.0, 13240.0], [0.7, 1.0]).neutral_axis_mm.round(3))
        0.985
        """
        e, t = np.broadcast_arrays(number("e_mpa", e_mpa, "MPa"), positive("thickness_mm", thickness_mm, "mm"))
        if t.ndim == 0:
            raise InputError("thickness_mm", "must list the layers [mm]", thickness_mm, "write [1.2, 3.0]")
        mid = np.cumsum(t, axis=-1) - 0.5 * t
        g = [None] * t.shape[-1] if g_mpa is None else np.moveaxis(
            np.broadcast_to(number("g_mpa", g_mpa, "MPa"), t.shape), -1, 0)
        return cls(tuple(Part(f"layer {k + 1}", width_mm, t[..., k], mid[..., k], e[..., k], g[k])
                         for k in range(t.shape[-1])))

    @cached_property
    def e_mpa(self):
        """Modulus of the parts, shape (..., parts) [MPa]."""
        return _stacked([part.e_mpa for part in self.parts])

    @cached_property
    def _shape(self):
        return [_stacked([getattr(part, name) for part in self.parts])
                for name in ("horizontal_width_mm", "height_mm", "y_mm", "width_gain_mm", "width_mm")]

    @cached_property
    def constants(self):
        """EA, neutral axis and EI, a `SectionConstants` [N, mm, N mm2]."""
        width, height, y, gain, _ = self._shape
        return section_constants(width, height, y, self.e_mpa, width_gain_mm=gain)

    @property
    def ea(self):
        """Axial stiffness, shape (...) [N]."""
        return self.constants.ea

    @property
    def neutral_axis_mm(self):
        """Height of the neutral axis above the base line, shape (...) [mm]."""
        return self.constants.neutral_axis_mm

    @property
    def ei(self):
        """Bending stiffness, shape (...) [N mm2]."""
        return self.constants.ei

    @cached_property
    def fibres_mm(self):
        """Heights of the bottom and top fibre of the parts, shape (..., parts, 2) [mm]."""
        _, height, y, _, _ = self._shape
        return np.stack([y - 0.5 * height, y + 0.5 * height], axis=-1)

    @property
    def ei_share(self):
        """Share of the parts in the bending stiffness, shape (..., parts) [-]."""
        width, height, y, gain, _ = self._shape
        lever, skew = y - self.neutral_axis_mm[..., None], gain * height**2 / 12.0
        own = width * height**3 / 12.0 + width * height * lever**2 + 2.0 * lever * skew
        return self.e_mpa * own / self.ei[..., None]

    @property
    def section_modulus_mm3(self):
        """Moment per stress at the bottom and top fibre of the parts, shape (..., parts, 2) [mm3]."""
        load = self.e_mpa[..., None] * np.abs(self.fibres_mm - self.neutral_axis_mm[..., None, None])
        with np.errstate(divide="ignore"):
            return self.ei[..., None, None] / load

    def stress(self, moment, y_mm, e_mpa):
        """Bending stress at a height in a material.

        Parameters
        ----------
        moment : array_like, shape (...)
            Bending moment, positive when the beam sags [N mm].
        y_mm : array_like, shape (...)
            Height above the base line [mm].
        e_mpa : array_like, shape (...)
            Modulus of the material at that height [MPa].

        Returns
        -------
        ndarray, shape (...)
            Stress, tension positive [MPa].

        Examples
        --------
        >>> bar = Section((Part("bar", 10.0, 6.0, 3.0, 10e3),))
        >>> float(bar.stress(600.0, 0.0, 10e3).round(6))
        10.0
        """
        lever = number("y_mm", y_mm, "mm") - self.neutral_axis_mm
        return -number("moment", moment, "N mm") * number("e_mpa", e_mpa, "MPa") * lever / self.ei

    def part_stresses(self, moment):
        """Bending stress at the bottom and top fibre of every part.

        Parameters
        ----------
        moment : array_like, shape (...)
            Bending moment, positive when the beam sags [N mm].

        Returns
        -------
        ndarray, shape (..., parts, 2)
            Stress, tension positive [MPa].

        Examples
        --------
        >>> bar = Section((Part("bar", 10.0, 6.0, 3.0, 10e3),))
        >>> bar.part_stresses(600.0).round(6).tolist()
        [[10.0, -10.0]]
        """
        lever = self.fibres_mm - self.neutral_axis_mm[..., None, None]
        curvature = number("moment", moment, "N mm") / self.ei
        return -curvature[..., None, None] * self.e_mpa[..., None] * lever

    def moment_capacity(self, y_mm, e_mpa, allowable_mpa):
        """Smallest moment that brings one of the listed points to its limit.

        Parameters
        ----------
        y_mm : array_like, shape (..., points)
            Heights above the base line [mm].
        e_mpa : array_like, shape (..., points)
            Modulus of the material there [MPa].
        allowable_mpa : array_like, shape (..., points)
            Allowable stress there, a magnitude [MPa].

        Returns
        -------
        moment : ndarray, shape (...)
            Moment [N mm].
        point : ndarray of int, shape (...)
            Which point decides [-].

        Raises
        ------
        InputError
            If an allowable stress or modulus is not positive.

        Notes
        -----
        ``M = sigma EI / (E |y - y_na|)``, the smallest over the points.

        Examples
        --------
        >>> bar = Section((Part("bar", 10.0, 6.0, 3.0, 10e3),))
        >>> moment, point = bar.moment_capacity([0.0, 6.0], [10e3, 10e3], [50.0, 40.0])
        >>> float(moment.round(6)), int(point)
        (2400.0, 1)
        """
        allowable = positive("allowable_mpa", allowable_mpa, "MPa")
        lever = np.abs(number("y_mm", y_mm, "mm") - self.neutral_axis_mm[..., None])
        with np.errstate(divide="ignore"):
            moments = allowable * self.ei[..., None] / (positive("e_mpa", e_mpa, "MPa") * lever)
        return moments.min(axis=-1), moments.argmin(axis=-1)

    def first_moment(self, cut_y_mm):
        """E-weighted first moment of what lies above a cut, about the neutral axis.

        Parameters
        ----------
        cut_y_mm : array_like, shape (...)
            Height of the cut [mm].

        Returns
        -------
        ndarray, shape (...)
            Sum of E A (y - y_na) above the cut [N mm].

        Notes
        -----
        Zero at both edges, largest at the neutral axis.

        Examples
        --------
        >>> float(Section((Part("bar", 10.0, 6.0, 3.0, 1.0),)).first_moment(3.0))
        45.0
        """
        width, height, y, gain, _ = self._shape
        slope, top = gain / height, 0.5 * height
        low = np.clip(number("cut_y_mm", cut_y_mm, "mm")[..., None] - y, -top, top)
        lever = y - self.neutral_axis_mm[..., None]
        area = width * (top - low) + 0.5 * slope * (top**2 - low**2)
        own = 0.5 * width * (top**2 - low**2) + slope * (top**3 - low**3) / 3.0
        return (self.e_mpa * (own + lever * area)).sum(axis=-1)

    def cut_width(self, cut_y_mm):
        """Width that a horizontal cut runs through; the narrower side where two parts meet.

        Parameters
        ----------
        cut_y_mm : array_like, shape (...)
            Height of the cut [mm].

        Returns
        -------
        ndarray, shape (...)
            Width, square to the skin for inclined webs [mm].

        Notes
        -----
        Parts side by side at the same height are added.  At an edge of the
        section the side with material counts.

        Examples
        --------
        >>> float(Section((Part("bar", 10.0, 6.0, 3.0, 1.0),)).cut_width(2.0))
        10.0
        """
        _, height, y, gain, thickness = self._shape
        offset = number("cut_y_mm", cut_y_mm, "mm")[..., None] - y
        slack = 1e-9 * height
        here = thickness + gain / height * offset
        above = (here * ((offset >= -0.5 * height - slack) & (offset < 0.5 * height - slack))).sum(axis=-1)
        below = (here * ((offset > -0.5 * height + slack) & (offset <= 0.5 * height + slack))).sum(axis=-1)
        return np.where((above > 0) & (below > 0), np.minimum(above, below), np.maximum(above, below))

    def shear_flow(self, shear_force, cut_y_mm):
        """Force per length along the beam that crosses a horizontal cut.

        Parameters
        ----------
        shear_force : array_like, shape (...)
            Shear force [N].
        cut_y_mm : array_like, shape (...)
            Height of the cut [mm].

        Returns
        -------
        ndarray, shape (...)
            Shear flow; divide it by the bonded width for the stress in a bond line [N/mm].

        Notes
        -----
        ``q = V S / EI``, S from `first_moment`.

        Examples
        --------
        >>> bar = Section((Part("bar", 10.0, 6.0, 3.0, 1.0),))
        >>> float(bar.shear_flow(60.0, 3.0).round(6))
        15.0
        """
        return number("shear_force", shear_force, "N") * self.first_moment(cut_y_mm) / self.ei

    def shear_stress(self, shear_force, cut_y_mm, *, width_mm=None):
        """Shear stress at a horizontal cut.

        Parameters
        ----------
        shear_force : array_like, shape (...)
            Shear force [N].
        cut_y_mm : array_like, shape (...)
            Height of the cut [mm].
        width_mm : array_like, shape (...), optional
            Width that carries the flow; by default `cut_width` [mm].

        Returns
        -------
        ndarray, shape (...)
            Shear stress [MPa].

        Raises
        ------
        InputError
            If the cut runs through no material.

        Notes
        -----
        ``tau = V S / (EI b)``.

        References
        ----------
        .. [1] Pytel & Kiusalaas, Mechanics of Materials, ch. 9, Ex. 9.2, is the published check.

        Examples
        --------
        >>> bar = Section((Part("bar", 10.0, 6.0, 3.0, 1.0),))
        >>> float(bar.shear_stress(60.0, 3.0).round(6))
        1.5
        """
        width = self.cut_width(cut_y_mm) if width_mm is None else width_mm
        return self.shear_flow(shear_force, cut_y_mm) / positive("cut width", width, "mm")

    @property
    def web_area_mm2(self):
        """Thickness times vertical height of the parts marked as webs, shape (...) [mm2]."""
        areas = [part.width_mm * part.height_mm for part in self.parts if part.web]
        if not areas:
            raise InputError("section", "must have a part marked as web", [part.name for part in self.parts],
                             "set web=True on the parts that carry the shear")
        return _stacked(areas).sum(axis=-1)

    @cached_property
    def shear_stiffness(self):
        """Shear force per shear angle from the energy of the shear flow, shape (...) [N].

        Horizontal cuts: parts side by side share the flow by ``G b cos(lean)``, because a leaning web is longer
        than it is high.  The sideways shear in wide flanges is left out: a hat from finite elements is about
        a tenth softer in shear.
        """
        if any(part.g_mpa is None for part in self.parts):
            missing = [part.name for part in self.parts if part.g_mpa is None]
            raise InputError("g_mpa", "must be given for every part [MPa]", missing, "enter the shear moduli")
        across, height, y, gain, thickness = self._shape
        g = _stacked([part.g_mpa for part in self.parts])
        levels = np.sort(self.fibres_mm.reshape(self.fibres_mm.shape[:-2] + (-1,)), axis=-1)
        size = np.diff(levels)
        cuts = levels[..., :-1, None] + 0.5 * (1.0 + _POINTS) * size[..., None]
        cuts = np.moveaxis(cuts.reshape(cuts.shape[:-2] + (-1,)), -1, 0)
        offset = cuts[..., None] - y
        stiff = (g * (thickness / across) * (thickness + gain / height * offset) * (np.abs(offset) <= 0.5 * height)).sum(axis=-1)
        weight = np.moveaxis((size[..., None] * 0.5 * _WEIGHTS).reshape(levels.shape[:-1] + (-1,)), -1, 0)
        empty = weight <= 1e-12 * (levels[..., -1] - levels[..., 0])
        if np.any((stiff <= 0) & ~empty):
            raise InputError("section", "must have no gap between its parts and no layer with g_mpa 0",
                             [part.name for part in self.parts], "close the gap or enter the shear modulus")
        flow = self.first_moment(cuts) / self.ei
        return 1.0 / np.where(empty, 0.0, weight * flow**2 / np.where(empty, 1.0, stiff)).sum(axis=0)

    def table(self, moment=None):
        """Parts with their share of stiffness, section moduli and stresses.

        Parameters
        ----------
        moment : float, optional
            Bending moment for two stress columns [N mm].

        Returns
        -------
        pandas.DataFrame
            One row a part, units in the column names [-].

        Raises
        ------
        InputError
            If the section holds a batch.

        Examples
        --------
        >>> list(Section((Part("bar", 10.0, 6.0, 3.0, 10e3),)).table().columns)[:3]
        ['part', 'width [mm]', 'height [mm]']
        """
        import pandas as pd

        if self.ei.ndim:
            raise InputError("section", "must be a single section for a table", self.ei.shape, "pick one of the batch")
        width, height, y, _, _ = self._shape
        rows = {"part": [part.name for part in self.parts], "width [mm]": width, "height [mm]": height,
                "middle above base [mm]": y, "E [MPa]": self.e_mpa, "E A [N]": self.e_mpa * width * height,
                "share of EI [-]": self.ei_share, "section modulus, bottom fibre [mm3]": self.section_modulus_mm3[:, 0],
                "section modulus, top fibre [mm3]": self.section_modulus_mm3[:, 1]}
        if moment is not None:
            stress = self.part_stresses(moment)
            rows["stress, bottom fibre [MPa]"], rows["stress, top fibre [MPa]"] = stress[:, 0], stress[:, 1]
        return pd.DataFrame(rows)
