"""Bolts and bonded legs: threaded area, tension, bearing, bending of a backing plate, shear of a tabbing leg."""

import numpy as np

from lamcalc.errors import InputError, positive

# coarse pitch of metric threads by diameter [mm]
COARSE_PITCH = {6: 1.0, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2.0, 16: 2.0, 18: 2.5, 20: 2.5, 22: 2.5, 24: 3.0}


# threads per inch of coarse unified threads by diameter [in]
COARSE_THREADS = {0.25: 20, 0.3125: 18, 0.375: 16, 0.4375: 14, 0.5: 13, 0.5625: 12, 0.625: 11, 0.75: 10, 0.875: 9, 1.0: 8}
_INCH = 25.4


def thread_stress_area(diameter_mm):
    """Tensile stress area of a coarse thread, metric or unified inch.

    Parameters
    ----------
    diameter_mm : float
        Nominal diameter, metric 6 to 24 or 1/4 to 1 in, in the usual steps [mm].

    Returns
    -------
    float
        Stress area [mm2].

    Raises
    ------
    InputError
        If no coarse thread of this diameter is listed.

    Notes
    -----
    Metric ``pi/4 (d - 0.9382 P)^2``; inch ``pi/4 (d - 0.9743/n)^2`` with n threads per inch.

    References
    ----------
    ISO 898-1, stress area; ISO 261, coarse pitches; ASME B1.1, unified threads (all from memory).

    Examples
    --------
    >>> round(thread_stress_area(12), 1)
    84.3
    """
    diameter = float(positive("bolt diameter", diameter_mm, "mm"))
    # what the thread takes off the diameter [mm]
    lost = {float(d): 0.9382 * pitch for d, pitch in COARSE_PITCH.items()}
    lost |= {_INCH * d: _INCH * 0.9743 / count for d, count in COARSE_THREADS.items()}
    nominal = min(lost, key=lambda d: abs(d - diameter))
    if abs(nominal - diameter) > 0.02:
        inches = ", ".join(f"{_INCH * d:.4g}" for d in COARSE_THREADS)
        raise InputError("bolt diameter", f"must be one of {', '.join(map(str, COARSE_PITCH))}, or of inch bolts {inches} [mm]",
                         diameter_mm, "take the next smaller listed thread")
    return float(np.pi / 4 * (nominal - lost[nominal]) ** 2)


def bolt_bearing(force_n, *, diameter_mm, thickness_mm):
    """Bearing stress of a bolt on the edge of its hole.

    Parameters
    ----------
    force_n : array_like, shape (...)
        Shear force of the bolt [N].
    diameter_mm : float
        Bolt diameter [mm].
    thickness_mm : array_like, shape (...)
        Laminate that bears; leave out soft core [mm].

    Returns
    -------
    ndarray, shape (...)
        Force / (diameter * thickness) [MPa].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Definition of bearing stress.

    Examples
    --------
    >>> float(bolt_bearing(1200, diameter_mm=12, thickness_mm=5))
    20.0
    """
    return (positive("bolt force", force_n, "N", zero=True) / positive("bolt diameter", diameter_mm, "mm")
            / positive("bearing thickness", thickness_mm, "mm"))


def backing_plate_stress(pressure_mpa, *, overhang_mm, thickness_mm):
    """Bending stress of a backing plate that stands out beyond the nut or washer.

    Parameters
    ----------
    pressure_mpa : array_like, shape (...)
        Even pressure under the plate [MPa].
    overhang_mm : array_like, shape (...)
        From the edge of the nut or washer to the edge of the plate [mm].
    thickness_mm : array_like, shape (...)
        Plate thickness [mm].

    Returns
    -------
    ndarray, shape (...)
        Stress at the foot of the overhang [MPa].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    Cantilever strip, 3 p c^2 / t^2; the corners of a square plate stand out further, which is left out.

    References
    ----------
    Statics; common practice.

    Examples
    --------
    >>> float(backing_plate_stress(1.0, overhang_mm=20, thickness_mm=5))
    48.0
    """
    return (3 * positive("pressure", pressure_mpa, "MPa", zero=True) * positive("overhang", overhang_mm, "mm") ** 2
            / positive("plate thickness", thickness_mm, "mm") ** 2)


def tabbing_shear_capacity(leg_mm, *, allowable_mpa, sides=2):
    """Shear that the bonded legs pass from a panel into its boundary.

    Parameters
    ----------
    leg_mm : array_like, shape (...)
        Bonded leg on the panel, normally the longest [mm].
    allowable_mpa : float
        Allowable average bond shear, from lap tests of similar length, with its factor [MPa].
    sides : int
        Faces of the panel that are tabbed, 1 or 2 [-].

    Returns
    -------
    ndarray, shape (...)
        Capacity along the joint, to be compared with the panel's edge load [N/mm].

    Raises
    ------
    InputError
        If an input is not positive or the panel has more than two faces.

    Notes
    -----
    Bond area times allowable.  The stress peaks at the ends of the leg, so doubling the leg does not double the real
    capacity: use an allowable that was measured on a leg of this length.

    References
    ----------
    Equilibrium; common practice.

    Examples
    --------
    >>> float(tabbing_shear_capacity(100, allowable_mpa=1.5))
    300.0
    """
    if sides not in (1, 2):
        raise InputError("tabbed faces", "must be 1 or 2 [-]", sides, "count the faces that carry tape")
    return positive("leg", leg_mm, "mm") * positive("allowable bond shear", allowable_mpa, "MPa") * sides
