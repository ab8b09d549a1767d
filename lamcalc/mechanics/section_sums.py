"""Stiffness sums of layered and built-up sections, straight from arrays.

Heights y are measured upwards from any base line.  All functions take any batch
shape (...) in front of the parts.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive


@dataclass(frozen=True)
class SectionConstants:
    """Stiffness sums of a section.

    Parameters
    ----------
    ea : ndarray, shape (...)
        Axial stiffness [N].
    neutral_axis_mm : ndarray, shape (...)
        Height of the E-weighted axis above the base line [mm].
    ei : ndarray, shape (...)
        Bending stiffness about that axis [N mm2].

    Examples
    --------
    >>> SectionConstants(1.0, 2.0, 3.0).neutral_axis_mm
    2.0
    """

    ea: np.ndarray
    neutral_axis_mm: np.ndarray
    ei: np.ndarray


def section_constants(width_mm, height_mm, y_mm, e_mpa, *, width_gain_mm=0.0):
    """Axial stiffness, neutral axis and bending stiffness of sections from arrays.

    Parameters
    ----------
    width_mm : array_like, shape (..., parts)
        Width at mid-height, measured horizontally [mm].
    height_mm : array_like, shape (..., parts)
        Height [mm].
    y_mm : array_like, shape (..., parts)
        Height of the middle above the base line [mm].
    e_mpa : array_like, shape (..., parts)
        Young's modulus; zero for a part that does not carry [MPa].
    width_gain_mm : array_like, shape (..., parts)
        Width at the top minus width at the bottom, for trapezoids [mm].

    Returns
    -------
    SectionConstants
        EA, axis and EI, each of shape (...) [N, mm, N mm2].

    Notes
    -----
    ``y_na = sum(E A y)/sum(E A)``; ``EI = sum E (w h^3/12 + A (y - y_na)^2)``,
    plus the skew term of trapezoids.  Plane sections stay plane; all parts are
    bonded.

    References
    ----------
    .. [1] Method of the transformed section, as in Beer, Johnston & DeWolf, Mechanics of Materials, sec. 4.6.

    Examples
    --------
    >>> float(section_constants([30.0], [10.0], [5.0], [1000.0]).ei)
    2500000.0
    """
    w, h, y, e, gain = np.broadcast_arrays(*(np.asarray(v, dtype=float) for v in
                                             (width_mm, height_mm, y_mm, e_mpa, width_gain_mm)))
    area, skew = w * h, gain * h * h / 12.0
    ea = (e * area).sum(axis=-1)
    axis = (e * (area * y + skew)).sum(axis=-1) / ea
    lever = y - axis[..., None]
    ei = (e * (w * h**3 / 12.0 + area * lever**2 + 2.0 * lever * skew)).sum(axis=-1)
    return SectionConstants(ea, axis, ei)


def rectangle_second_moment(width_mm, height_mm, lever_mm=0.0):
    """Second moment of area of a rectangle about an axis at a distance.

    Parameters
    ----------
    width_mm, height_mm : array_like, shape (...)
        Width along and height across the axis [mm].
    lever_mm : array_like, shape (...)
        Distance of the centre from the axis [mm].

    Returns
    -------
    ndarray, shape (...)
        Second moment of area [mm4].

    Raises
    ------
    InputError
        If a size is not positive.

    Notes
    -----
    ``I = w h^3/12 + w h lever^2``.

    References
    ----------
    .. [1] Parallel-axis theorem; Lloyd's Register, Guidance Notes: Calculation Procedures for Composite
       Construction, July 2013, Table 3.1.1.

    Examples
    --------
    >>> float(rectangle_second_moment(10.0, 1.25, 10.149).round(1))
    1289.2
    """
    w, h = positive("width_mm", width_mm, "mm"), positive("height_mm", height_mm, "mm")
    return w * h**3 / 12.0 + w * h * number("lever_mm", lever_mm, "mm") ** 2


def rectangle_section_modulus(width_mm, height_mm):
    """Gross section modulus of a rectangle.

    Parameters
    ----------
    width_mm, height_mm : array_like, shape (...)
        Width along and height across the axis [mm].

    Returns
    -------
    ndarray, shape (...)
        Section modulus [mm3].

    Raises
    ------
    InputError
        If a size is not positive.

    Notes
    -----
    ``S = w h^2/6``.  For plywood this gross value counts the cross plies fully
    and overstates the panel; see `plywood`.

    References
    ----------
    .. [1] Rectangle arithmetic, as in published tables of gross plywood sections.

    Examples
    --------
    >>> float(rectangle_section_modulus(12.0, 1.0))
    2.0
    """
    return positive("width_mm", width_mm, "mm") * positive("height_mm", height_mm, "mm") ** 2 / 6.0


def shift_to_neutral_axis(ei_base, ea, neutral_axis_mm):
    """Bending stiffness about the neutral axis from sums taken about a base line.

    Parameters
    ----------
    ei_base : array_like, shape (...)
        Bending stiffness about the base line [N mm2].
    ea : array_like, shape (...)
        Axial stiffness [N].
    neutral_axis_mm : array_like, shape (...)
        Height of the neutral axis above the base line [mm].

    Returns
    -------
    ndarray, shape (...)
        Bending stiffness about the neutral axis [N mm2].

    Raises
    ------
    InputError
        If the correction exceeds `ei_base`, which no real section can do.

    Notes
    -----
    ``EI = EI_base - EA y_na^2``.

    References
    ----------
    .. [1] Lloyd's Register, Guidance Notes: Calculation Procedures for Composite Construction, July 2013, 4.4.

    Examples
    --------
    >>> float(shift_to_neutral_axis(100.0, 4.0, 3.0))
    64.0
    """
    axis = number("neutral_axis_mm", neutral_axis_mm, "mm")
    ei = number("ei_base", ei_base, "N mm2") - number("ea", ea, "N") * axis**2
    if np.any(ei < 0):
        raise InputError("ei_base", "must be at least EA y^2 [N mm2]", ei_base,
                         "check that both sums use the same base line and width")
    return ei
