"""Straight beams on any supports, with bending and shear deflection.

Point loads, couples and uniform loads may act at any position, overhangs
included.  Standard cases in closed form are in `beam_cases`.

Loads and deflections are positive in the same direction (say downwards);
moments are positive when the beam sags under such a load; the slope is
positive when the deflection grows with x.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive, whole
from lamcalc.mechanics.beam_cases import checked_shear_stiffness
from lamcalc.sentences import rule_sentence


@dataclass(frozen=True)
class Support:
    """A support of a beam.

    Parameters
    ----------
    x_mm : float
        Position [mm].
    kind : {"pinned", "fixed", "spring"}
        Held against deflection, against deflection and slope, or by springs [-].
    spring_n_mm : array_like, shape (...)
        Stiffness of the spring against deflection [N/mm].
    spring_n_mm_rad : array_like, shape (...)
        Stiffness of the spring against slope; also allowed beside "pinned" [N mm/rad].

    Raises
    ------
    InputError
        If the kind is unknown or a stiffness is negative.

    Examples
    --------
    >>> Support(0.0).kind
    'pinned'
    """

    x_mm: float
    kind: str = "pinned"
    spring_n_mm: np.ndarray = 0.0
    spring_n_mm_rad: np.ndarray = 0.0

    def __post_init__(self):
        if self.kind not in ("pinned", "fixed", "spring"):
            raise InputError("support", "must be 'pinned', 'fixed' or 'spring' [-]", self.kind,
                             "choose one of the three")
        for name, unit in (("spring_n_mm", "N/mm"), ("spring_n_mm_rad", "N mm/rad")):
            object.__setattr__(self, name, positive(name, getattr(self, name), unit, zero=True))


@dataclass(frozen=True)
class PointLoad:
    """A force and a couple at one place of a beam.

    Parameters
    ----------
    x_mm : float
        Position [mm].
    force_n : array_like, shape (...)
        Force, positive in the direction of positive deflection [N].
    couple_n_mm : array_like, shape (...)
        Couple, positive when it turns the beam towards a positive slope [N mm].

    Examples
    --------
    >>> PointLoad(250.0, 1000.0).couple_n_mm
    0.0
    """

    x_mm: float
    force_n: np.ndarray = 0.0
    couple_n_mm: np.ndarray = 0.0


@dataclass(frozen=True)
class UniformLoad:
    """A uniform load over a stretch of a beam.

    Parameters
    ----------
    start_mm, end_mm : float
        Where it begins and ends [mm].
    force_n_mm : array_like, shape (...)
        Load per length [N/mm].

    Examples
    --------
    >>> UniformLoad(0.0, 500.0, 2.0).force_n_mm
    2.0
    """

    start_mm: float
    end_mm: float
    force_n_mm: np.ndarray


@dataclass(frozen=True)
class BeamResponse:
    """Moments, forces and deflections along a beam.

    Parameters
    ----------
    x_mm : ndarray, shape (stations,)
        Positions; twice where a load or support makes a jump [mm].
    deflection_mm : ndarray, shape (..., stations)
        Deflection [mm].
    slope : ndarray, shape (..., stations)
        Rotation of the cross-section [rad].
    moment_n_mm : ndarray, shape (..., stations)
        Bending moment, sagging positive [N mm].
    shear_n : ndarray, shape (..., stations)
        Shear force, dM/dx [N].
    reactions_n : ndarray, shape (..., supports)
        Force of each support on the beam, against positive loads [N].
    reactions_n_mm : ndarray, shape (..., supports)
        Couple of each support on the beam, in the sense of a positive slope [N mm].
    max_moment_n_mm : ndarray, shape (...)
        Largest moment anywhere, a magnitude [N mm].

    Examples
    --------
    >>> simple = beam_response(1e9, np.inf, 1000.0, [Support(0.0), Support(1000.0)], [UniformLoad(0.0, 1000.0, 1.0)])
    >>> float(simple.max_moment_n_mm.round(6)), simple.reactions_n.round(6).tolist()
    (125000.0, [500.0, 500.0])
    """

    x_mm: np.ndarray
    deflection_mm: np.ndarray
    slope: np.ndarray
    moment_n_mm: np.ndarray
    shear_n: np.ndarray
    reactions_n: np.ndarray
    reactions_n_mm: np.ndarray
    max_moment_n_mm: np.ndarray

    @property
    def max_shear_n(self):
        """Largest shear force, a magnitude, shape (...) [N]."""
        return np.abs(self.shear_n).max(axis=-1)

    @property
    def max_deflection_mm(self):
        """Largest deflection among the stations, a magnitude, shape (...) [mm]."""
        return np.abs(self.deflection_mm).max(axis=-1)

    def deflection_at(self, x_mm):
        """Deflection at the station nearest to a position that holds a load, support or beam end.

        Parameters
        ----------
        x_mm : float
            Position [mm].

        Returns
        -------
        ndarray, shape (...)
            Deflection [mm].

        Raises
        ------
        InputError
            If no station lies there.

        Examples
        --------
        >>> beam = beam_response(1e9, np.inf, 1000.0, [Support(0.0, "fixed")], [PointLoad(1000.0, 3.0)])
        >>> float(beam.deflection_at(1000.0).round(9))
        1.0
        """
        k = int(np.abs(self.x_mm - x_mm).argmin())
        if abs(self.x_mm[k] - x_mm) > 1e-6 * (self.x_mm[-1] - self.x_mm[0]):
            raise InputError("x_mm", "must be a station of the beam [mm]", x_mm,
                             "add a PointLoad of 0 N there to make it one")
        return self.deflection_mm[..., k]


def _nodes(span, supports, loads):
    """Sorted positions of ends, supports and loads, and a look-up of a position's place."""
    points = [0.0, span] + [support.x_mm for support in supports]
    for load in loads:
        points += [load.x_mm] if isinstance(load, PointLoad) else [load.start_mm, load.end_mm]
    points = np.sort(number("positions", points, "mm"))
    if points[0] < 0.0 or points[-1] > span:
        raise InputError("positions", rule_sentence("must lie on the beam, between 0 and {span} [mm]", span=span),
                         points[0] if points[0] < 0.0 else points[-1], "lengthen the beam or move the load")
    nodes = points[np.concatenate([[True], np.diff(points) > 1e-9 * span])]
    return nodes, lambda x: int(np.abs(nodes - x).argmin())


def _assemble(ei, ga, lengths):
    """Stiffness of a chain of shear-flexible beam elements, shape (..., 2 nodes, 2 nodes)."""
    count = len(lengths) + 1
    stiffness = np.zeros(ei.shape + (2 * count, 2 * count))
    for k, length in enumerate(lengths):
        phi = 12.0 * ei / (ga * length**2)
        c = ei / ((1.0 + phi) * length**3)
        a, b, near, far = 12.0 * c, 6.0 * length * c, (4.0 + phi) * length**2 * c, (2.0 - phi) * length**2 * c
        rows = [[a, b, -a, b], [b, near, -b, far], [-a, -b, a, -b], [b, far, -b, near]]
        for i in range(4):
            for j in range(4):
                stiffness[..., 2 * k + i, 2 * k + j] += rows[i][j]
    return stiffness


def _load_vectors(loads, nodes, place, batch):
    """Nodal forces, nodal couples and element line loads."""
    force, couple = np.zeros(batch + (len(nodes),)), np.zeros(batch + (len(nodes),))
    line = np.zeros(batch + (len(nodes) - 1,))
    for load in loads:
        if isinstance(load, PointLoad):
            force[..., place(load.x_mm)] += load.force_n
            couple[..., place(load.x_mm)] += load.couple_n_mm
        else:
            first, last = sorted((place(load.start_mm), place(load.end_mm)))
            line[..., first:last] += np.asarray(load.force_n_mm, dtype=float)[..., None]
    return force, couple, line


def _check_loads(loads):
    for load in loads:
        if isinstance(load, PointLoad):
            number("force_n", load.force_n, "N"), number("couple_n_mm", load.couple_n_mm, "N mm")
        elif isinstance(load, UniformLoad):
            number("force_n_mm", load.force_n_mm, "N/mm")
        else:
            raise InputError("load", "must be a PointLoad or a UniformLoad", load, "make one of the two")


def _check_supports(supports):
    deflection = {s.x_mm for s in supports if s.kind != "spring" or np.all(s.spring_n_mm > 0)}
    turning = any(s.kind == "fixed" or np.all(s.spring_n_mm_rad > 0) for s in supports)
    if len(deflection) < (1 if turning else 2):
        raise InputError("supports", "must hold the beam: two places, or one that is built in",
                         [(s.x_mm, s.kind) for s in supports], "add a support")


def beam_response(ei, ga, span_mm, supports, loads, *, stations=41):
    """Moments, forces and deflections of a beam on any supports.

    Parameters
    ----------
    ei : array_like, shape (...)
        Bending stiffness, the same along the beam [N mm2].
    ga : array_like, shape (...)
        Shear stiffness, infinite for no shear deflection [N].
    span_mm : float
        Length of the beam from x = 0, overhangs included [mm].
    supports : sequence of Support
        Supports; their positions may lie anywhere on the beam [-].
    loads : sequence of PointLoad or UniformLoad
        Loads; magnitudes may be arrays of the batch shape [-].
    stations : int
        Points of the result between neighbouring nodes [-].

    Returns
    -------
    BeamResponse
        Exact values at every station [mm, N, N mm].

    Raises
    ------
    InputError
        If the supports do not hold the beam or a position lies off it.

    Notes
    -----
    Direct stiffness with the exact element of a beam with shear, so no mesh
    error; between the nodes the polynomials of the exact solution.  The largest
    deflection is taken among the stations.

    References
    ----------
    .. [1] Przemieniecki, Theory of Matrix Structural Analysis, 1968, ch. 5 (from memory).

    Examples
    --------
    >>> propped = beam_response(1e9, np.inf, 1000.0, [Support(0.0, "fixed"), Support(1000.0)],
    ...     [UniformLoad(0.0, 1000.0, 1.0)])
    >>> float(propped.max_moment_n_mm.round(3))
    125000.0
    """
    span, stations = float(positive("span_mm", span_mm, "mm")), whole("stations", stations, 2, "try 41")
    ei, ga = positive("ei", ei, "N mm2"), checked_shear_stiffness(ga)
    supports, loads = tuple(supports), tuple(loads)
    _check_supports(supports), _check_loads(loads)
    magnitudes = [np.shape(v) for load in loads for v in vars(load).values()]
    springs = [np.shape(v) for s in supports for v in (s.spring_n_mm, s.spring_n_mm_rad)]
    batch = np.broadcast_shapes(ei.shape, ga.shape, *magnitudes, *springs)
    ei, ga = np.broadcast_to(ei, batch), np.broadcast_to(ga, batch)
    nodes, place = _nodes(span, supports, loads)
    lengths = np.diff(nodes)
    force, couple, line = _load_vectors(loads, nodes, place, batch)
    stiffness = _assemble(ei, ga, lengths)
    motion = _solve(stiffness, _consistent(force, couple, line, lengths), supports, place)
    push, twist = _reactions(stiffness, motion, _consistent(force, couple, line, lengths))
    at = [place(s.x_mm) for s in supports]
    fields, peak = _march(ei, ga, nodes, motion, force + push, couple + twist, line, stations)
    return BeamResponse(*fields, -push[..., at], twist[..., at], peak)


def _consistent(force, couple, line, lengths):
    """Nodal load vector (force, couple, force, couple ...) with the share of the line loads."""
    half, end = 0.5 * line * lengths, line * lengths**2 / 12.0
    total_f, total_c = force.copy(), couple.copy()
    total_f[..., :-1] += half
    total_f[..., 1:] += half
    total_c[..., :-1] += end
    total_c[..., 1:] -= end
    return np.stack([total_f, total_c], axis=-1).reshape(force.shape[:-1] + (-1,))


def _solve(stiffness, load, supports, place):
    """Nodal deflections and slopes; held ones are zero."""
    matrix, held = stiffness.copy(), np.zeros(load.shape[-1], dtype=bool)
    for s in supports:
        k = 2 * place(s.x_mm)
        held[k] |= s.kind != "spring"
        held[k + 1] |= s.kind == "fixed"
        matrix[..., k, k] += s.spring_n_mm
        matrix[..., k + 1, k + 1] += s.spring_n_mm_rad
    free = np.flatnonzero(~held)
    motion = np.zeros(load.shape)
    motion[..., free] = np.linalg.solve(matrix[..., free[:, None], free], load[..., free, None])[..., 0]
    return motion


def _reactions(stiffness, motion, load):
    """Forces and couples that the supports put on the nodes."""
    residual = np.einsum("...ij,...j->...i", stiffness, motion) - load
    return residual[..., ::2], residual[..., 1::2]


def _march(ei, ga, nodes, motion, force, couple, line, stations):
    """Exact fields from left to right, and the largest moment anywhere."""
    step = np.linspace(0.0, 1.0, max(int(stations), 2))
    columns, peak = [], np.zeros(ei.shape)
    shear, moment = np.zeros(ei.shape), np.zeros(ei.shape)
    for k, length in enumerate(np.diff(nodes)):
        shear, moment = shear - force[..., k], moment + couple[..., k]
        v, m, q, s = shear[..., None], moment[..., None], line[..., k, None], step * length
        slope = motion[..., 2 * k + 1, None]
        bend = (m * s + v * s**2 / 2 - q * s**3 / 6) / ei[..., None]
        sag = (m * s**2 / 2 + v * s**3 / 6 - q * s**4 / 24) / ei[..., None]
        slip = (v * s - q * s**2 / 2) / ga[..., None]
        columns.append((nodes[k] + s, motion[..., 2 * k, None] + slope * s - sag + slip, slope - bend,
                        m + v * s - q * s**2 / 2, v - q * s))
        # a uniform load can put the peak between the stations, where the shear force is zero
        inside = (v * q > 0) & (np.abs(v) < np.abs(q) * length)
        zero = np.where(inside, v, 0.0) / np.where(inside, q, 1.0)
        inner = np.abs(m + v * zero - q * zero**2 / 2)[..., 0]
        peak = np.maximum(peak, np.maximum(inner, np.abs(columns[-1][3]).max(axis=-1)))
        shear, moment = columns[-1][4][..., -1], columns[-1][3][..., -1]
    return [np.concatenate(parts, axis=-1) for parts in zip(*columns, strict=True)], peak
