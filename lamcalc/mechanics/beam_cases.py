"""Standard beams in closed form, with bending and shear deflection.

Magnitudes only; for signs, propped and continuous beams and loads at any
position see `beams`.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive


@dataclass(frozen=True)
class BeamCase:
    """Coefficients of a standard beam under a total load W on a span L.

    Parameters
    ----------
    moment : float
        Largest moment over W L [-].
    shear : float
        Largest shear force over W [-].
    bending : float
        Bending deflection over W L^3/EI at the point of largest deflection [-].
    shearing : float
        Shear deflection over W L/GA there [-].
    meaning : str
        The case in words [-].

    Examples
    --------
    >>> BEAM_CASES["ss_uniform"].moment
    0.125
    """

    moment: float
    shear: float
    bending: float
    shearing: float
    meaning: str


BEAM_CASES = {
    "ss_uniform": BeamCase(1 / 8, 1 / 2, 5 / 384, 1 / 8, "simply supported, uniform load"),
    "ss_centre": BeamCase(1 / 4, 1 / 2, 1 / 48, 1 / 4, "simply supported, load at the centre (three-point bending)"),
    "third_point": BeamCase(1 / 6, 1 / 2, 23 / 1296, 1 / 6,
                            "simply supported, half the load at each third of the span"),
    "quarter_point": BeamCase(1 / 8, 1 / 2, 11 / 768, 1 / 8,
                              "simply supported, half the load at each quarter of the span"),
    "cantilever_tip": BeamCase(1.0, 1.0, 1 / 3, 1.0, "built in at one end, load at the tip"),
    "cantilever_uniform": BeamCase(1 / 2, 1.0, 1 / 8, 1 / 2, "built in at one end, uniform load"),
    "fixed_uniform": BeamCase(1 / 12, 1 / 2, 1 / 384, 1 / 8, "built in at both ends, uniform load"),
    "fixed_centre": BeamCase(1 / 8, 1 / 2, 1 / 192, 1 / 4, "built in at both ends, load at the centre"),
}


@dataclass(frozen=True)
class BeamResult:
    """Largest moment and shear force of a beam, and its deflection split in two.

    Parameters
    ----------
    moment_n_mm : ndarray, shape (...)
        Largest moment, a magnitude [N mm].
    shear_n : ndarray, shape (...)
        Largest shear force, a magnitude [N].
    bending_mm : ndarray, shape (...)
        Bending part of the deflection [mm].
    shearing_mm : ndarray, shape (...)
        Shear part of the deflection [mm].

    Examples
    --------
    >>> BeamResult(0.0, 0.0, 2.0, 1.0).deflection_mm
    3.0
    """

    moment_n_mm: np.ndarray
    shear_n: np.ndarray
    bending_mm: np.ndarray
    shearing_mm: np.ndarray

    @property
    def deflection_mm(self):
        """Bending plus shear deflection, shape (...) [mm]."""
        return self.bending_mm + self.shearing_mm


def standard_beam(kind, *, load_n, span_mm, ei, ga=np.inf):
    """Moment, shear force and deflection of a standard beam.

    Parameters
    ----------
    kind : str
        A key of `BEAM_CASES` [-].
    load_n : array_like, shape (...)
        Total load on the beam [N].
    span_mm : array_like, shape (...)
        Span, or length of a cantilever [mm].
    ei : array_like, shape (...)
        Bending stiffness [N mm2].
    ga : array_like, shape (...)
        Shear stiffness, infinite for no shear deflection [N].

    Returns
    -------
    BeamResult
        Magnitudes at the worst point of each [N mm, N, mm].

    Raises
    ------
    InputError
        If the case is unknown, or a span or stiffness is not positive.

    Notes
    -----
    ``M = k1 W L``, ``w = k2 W L^3/EI + k3 W L/GA``.  Small deflections; the
    cases are exact with shear because statics or symmetry fix the moments.
    Propped and continuous beams: `beam_response`.

    References
    ----------
    .. [1] Standard beam tables; sandwich split as in Allen 1969, Zenkert 1995, MIL-HDBK-23A (common practice).

    Examples
    --------
    >>> beam = standard_beam("ss_uniform", load_n=1000.0, span_mm=1000.0, ei=2.457e9, ga=72600.0)
    >>> float(beam.bending_mm.round(3)), float(beam.shearing_mm.round(3))
    (5.299, 1.722)
    """
    if kind not in BEAM_CASES:
        raise InputError("beam case", f"must be one of {', '.join(BEAM_CASES)}", kind,
                         "choose a case or use beam_response")
    case = BEAM_CASES[kind]
    load, span = np.abs(number("load_n", load_n, "N")), positive("span_mm", span_mm, "mm")
    return BeamResult(case.moment * load * span, case.shear * load,
                      case.bending * load * span**3 / positive("ei", ei, "N mm2"),
                      case.shearing * load * span / checked_shear_stiffness(ga))


def four_point_beam(*, load_n, span_mm, arm_mm, ei, ga=np.inf):
    """Four-point bending with the loads at any distance from the supports.

    Parameters
    ----------
    load_n : array_like, shape (...)
        Total load, half at each point [N].
    span_mm : array_like, shape (...)
        Distance between the supports [mm].
    arm_mm : array_like, shape (...)
        Distance from each support to its load, at most half the span [mm].
    ei : array_like, shape (...)
        Bending stiffness [N mm2].
    ga : array_like, shape (...)
        Shear stiffness [N].

    Returns
    -------
    BeamResult
        Moment between the loads and deflection at mid-span [N mm, N, mm].

    Raises
    ------
    InputError
        If the arm exceeds half the span or a value is not positive.

    Notes
    -----
    ``M = W a/2``; ``w = W a (3 L^2 - 4 a^2)/(48 EI) + W a/(2 GA)``.

    References
    ----------
    .. [1] Standard beam tables (common practice).

    Examples
    --------
    >>> float(four_point_beam(load_n=100.0, span_mm=300.0, arm_mm=100.0, ei=1e6).moment_n_mm)
    5000.0
    """
    load, span, arm = np.abs(number("load_n", load_n, "N")), positive("span_mm", span_mm, "mm"), \
        positive("arm_mm", arm_mm, "mm")
    if np.any(arm > 0.5 * span):
        raise InputError("arm_mm", "must be at most half the span [mm]", arm_mm, "measure from the nearer support")
    bending = load * arm * (3.0 * span**2 - 4.0 * arm**2) / (48.0 * positive("ei", ei, "N mm2"))
    return BeamResult(0.5 * load * arm, 0.5 * load, bending, 0.5 * load * arm / checked_shear_stiffness(ga))


def overhang_beam(*, load_n, span_mm, overhang_mm, ei, ga=np.inf):
    """Beam on two supports with a load at the tip of an overhang.

    Parameters
    ----------
    load_n : array_like, shape (...)
        Load at the tip [N].
    span_mm : array_like, shape (...)
        Distance between the supports [mm].
    overhang_mm : array_like, shape (...)
        Length beyond the second support [mm].
    ei : array_like, shape (...)
        Bending stiffness [N mm2].
    ga : array_like, shape (...)
        Shear stiffness [N].

    Returns
    -------
    BeamResult
        Moment at the support, largest shear force, deflection at the tip [N mm, N, mm].

    Raises
    ------
    InputError
        If a length or stiffness is not positive.

    Notes
    -----
    ``M = W a``; ``w = W a^2 (L + a)/(3 EI) + W a (1 + a/L)/GA``.

    References
    ----------
    .. [1] Standard beam tables (common practice).

    Examples
    --------
    >>> float(overhang_beam(load_n=10.0, span_mm=300.0, overhang_mm=100.0, ei=1e6).moment_n_mm)
    1000.0
    """
    load, span = np.abs(number("load_n", load_n, "N")), positive("span_mm", span_mm, "mm")
    arm, ei = positive("overhang_mm", overhang_mm, "mm"), positive("ei", ei, "N mm2")
    return BeamResult(load * arm, load * np.maximum(1.0, arm / span), load * arm**2 * (span + arm) / (3.0 * ei),
                      load * arm * (1.0 + arm / span) / checked_shear_stiffness(ga))


def checked_shear_stiffness(ga, name="ga", unit="N"):
    """Shear stiffness as a float array; infinity stands for no shear deflection.

    Parameters
    ----------
    ga : array_like, shape (...)
        Shear stiffness [as `unit` says].
    name, unit : str
        What a message calls it, and its unit [-].

    Returns
    -------
    ndarray, shape (...)
        The same values [as given].

    Raises
    ------
    InputError
        If a value is not positive or not a number.

    Examples
    --------
    >>> float(checked_shear_stiffness(np.inf))
    inf
    """
    ga = np.asarray(ga, dtype=float)
    positive(name, np.where(np.isposinf(ga), 1.0, ga), unit)
    return ga
