"""Laminates whose every ply constant is drawn at random: the kernel of uncertainty studies.

The formulas are those of `lamina`, `laminate`, `tsai_wu` and `strain_space`;
here they run ply by ply over contiguous rows of samples, chunk by chunk.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.chunks import batch_part, batch_rows
from lamcalc.mechanics.lamina import EngineeringConstants, reduced_terms, rotated_terms, turn_terms
from lamcalc.mechanics.laminate import FULL_TERMS, compliance_terms, ply_interfaces, section_weights, write_constants
from lamcalc.mechanics.strain_space import terms_by_ply, worst_face
from lamcalc.mechanics.tsai_wu import DEFAULT_INTERACTION, strain_form, tsai_wu_terms

# samples at a time in arrays over plies, in arrays over laminates, and for one worker
_PLY_CHUNK, _CHUNK, _SHARE = 1024, 4096, 32_768


@dataclass(frozen=True, eq=False)
class LaminateSamples:
    """Constants and first failure of many random versions of a laminate.

    Parameters
    ----------
    constants : ndarray, shape (..., 2, 7)
        In-plane row then flexural row, ordered as in `laminate.effective_constants` [MPa, -].
    total_thickness_mm : ndarray, shape (...)
        Laminate thickness [mm].
    ratio : ndarray, shape (...), or None
        Tsai-Wu strength ratio under the loads; None without strengths [-].
    surface : ndarray of int, shape (...), or None
        Critical place, 2 x ply + 0 for its low-z face, + 1 for its high-z face, plies from 0 [-].

    Examples
    --------
    >>> found = sampled_laminates([[10e3], [12e3]], 10e3, 0.3, 4e3, [0.0], [2.0])
    >>> found.in_plane.ex.round(6).tolist(), found.ratio is None
    ([10000.0, 12000.0], True)
    """

    constants: np.ndarray
    total_thickness_mm: np.ndarray
    ratio: np.ndarray | None
    surface: np.ndarray | None

    @property
    def in_plane(self):
        """Apparent in-plane moduli, an `EngineeringConstants` [MPa, -]."""
        return EngineeringConstants(*np.moveaxis(self.constants[..., 0, :], -1, 0))

    @property
    def flexural(self):
        """Apparent moduli in bending, an `EngineeringConstants` [MPa, -]."""
        return EngineeringConstants(*np.moveaxis(self.constants[..., 1, :], -1, 0))


def _by_ply(array, plies, frame, rows):
    """Some samples as rows of plies, shape (plies, samples); one column if all samples share it."""
    part = batch_part(array, frame, 1, rows)
    return np.ascontiguousarray(np.broadcast_to(part, part.shape[:-1] + (plies,)).reshape(-1, plies).T)


def _summed(qbar, t):
    """Terms of A, B and D, shape (18, samples)."""
    # long rows of samples, ply by ply
    first, second = section_weights(t.T)
    return np.einsum("kpc,wpc->wkc", qbar, np.array([t, first.T, second.T])).reshape(18, -1)


def _mid_plane(a, minus_b, d, n, m):
    """Mid-plane strain ``a N + b M`` and curvature ``b' N + d M``, each of shape (3, samples)."""
    extension, bending = (np.array(terms)[FULL_TERMS] for terms in (a, d))
    coupling = -np.array(minus_b).reshape(3, 3, -1)
    return (np.einsum("ijc,jc->ic", extension, n) + np.einsum("ijc,jc->ic", coupling, m),
            np.einsum("jic,jc->ic", coupling, n) + np.einsum("ijc,jc->ic", bending, m))


def sampled_laminates(e1, e2, nu12, g12, angle_deg, thickness_mm, *, strengths=None, N=(0.0, 0.0, 0.0),
                      M=(0.0, 0.0, 0.0), interaction=DEFAULT_INTERACTION, executor=None):
    """Apparent moduli and first-ply failure of laminates, any ply constant of which may differ in every sample.

    Parameters
    ----------
    e1, e2 : array_like, shape (..., plies), (plies,) or ()
        Young's moduli along and across the fibre [MPa].
    nu12 : array_like, shape (..., plies), (plies,) or ()
        Major Poisson ratio [-].
    g12 : array_like, shape (..., plies), (plies,) or ()
        In-plane shear modulus [MPa].
    angle_deg : array_like, shape (..., plies) or (plies,)
        Fibre angle from x towards y [deg].
    thickness_mm : array_like, shape (..., plies) or (plies,)
        Ply thickness, first ply against the mould [mm].
    strengths : PlyStrengths, shape (..., plies), (plies,) or (), optional
        Ply strengths; left out: no failure [MPa].
    N : array_like, shape (..., 3)
        Force per width x, y, xy [N/mm].
    M : array_like, shape (..., 3)
        Moment per width x, y, xy [N].
    interaction : float
        Tsai-Wu's normalised interaction F12* [-].
    executor : concurrent.futures.Executor, optional
        Runs the chunks side by side; threads suffice [-].

    Returns
    -------
    LaminateSamples
        Moduli in plane and in bending, thickness, strength ratio [MPa, mm, -].

    Raises
    ------
    InputError
        If a drawn value is not finite, a modulus or thickness is not positive, or ``nu12^2 < e1/e2`` fails.

    Notes
    -----
    The same formulas as `Laminate` and `first_ply_failure`, without residual stress.  Drawn angles are not checked
    for radians, because a draw about 0 degrees may land on 0.785: check the nominal angles before drawing.

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> glass = PlyStrengths(1062, 610, 31, 118, 72)
    >>> found = sampled_laminates(38600.0, 8270.0, 0.26, 4140.0, [0.0], [[1.0], [2.0]], strengths=glass,
    ...                           N=(531.0, 0, 0))
    >>> found.ratio.round(9).tolist(), found.in_plane.ex.round(6).tolist()
    ([2.0, 4.0], [38600.0, 38600.0])
    """
    constants = [positive("e1", e1, "MPa"), positive("e2", e2, "MPa"), number("nu12", nu12),
                 positive("g12", g12, "MPa"), number("ply angle", angle_deg, "deg"),
                 positive("thickness_mm", thickness_mm, "mm")]
    n, m = number("N", N, "N/mm"), number("M", M, "N")
    if constants[-1].ndim == 0:
        raise InputError("thickness_mm", "must have one value a ply [mm]", thickness_mm, "write a list of thicknesses")
    plies = np.broadcast_shapes(*(c.shape[-1:] for c in constants))[-1]
    constants = [c if c.ndim else np.broadcast_to(c, plies) for c in constants]
    terms = None
    if strengths is not None and len(strengths.shape) < 2:
        # the same for all samples
        terms = tsai_wu_terms(strengths.by_ply((plies,)).each(lambda x: x[:, None]), interaction=interaction)
    shapes = [c.shape[:-1] for c in constants] + [n.shape[:-1], m.shape[:-1]]
    batch = np.broadcast_shapes(*shapes, () if strengths is None else strengths.shape[:-1])
    frame = batch or (1,)
    count = int(np.prod(frame))
    moduli, thickness = np.empty((count, 2, 7)), np.empty(count)
    ratio, surface = (None, None) if strengths is None else (np.empty(count), np.empty(count, dtype=np.intp))

    def ply_level(rows, form):
        e1, e2, nu12, g12, theta, t = (_by_ply(c, plies, frame, rows) for c in constants)
        if not (nu12 * nu12 * e2 < e1).all():
            raise InputError("nu12", "must satisfy nu12^2 < e1/e2 [-]", nu12.max(), "draw smaller Poisson ratios")
        q, turn = reduced_terms(e1, e2, nu12, g12), turn_terms(theta)
        t = np.broadcast_to(t, (plies, rows.stop - rows.start))
        thickness[rows] = t.sum(axis=0)
        summed = _summed(rotated_terms(*q, turn), t)
        if strengths is None:
            return summed, None
        own = terms or tsai_wu_terms(strengths.each(lambda x: _by_ply(np.atleast_1d(x), plies, frame, rows)),
                                     interaction=interaction)
        strain_form(q, own, turn, out=form)
        return summed, ply_interfaces(t.T).T

    def chunk(rows, forms):
        # arrays over plies are short, arrays over laminates long: both stay near the processor
        parts = [slice(low, min(low + _PLY_CHUNK, rows.stop)) for low in range(rows.start, rows.stop, _PLY_CHUNK)]
        forms = [form[..., :part.stop - part.start] for form, part in zip(forms, parts, strict=False)]
        summed, heights = zip(*map(ply_level, parts, forms), strict=True)
        compliance = compliance_terms(np.concatenate(summed, axis=1))
        write_constants(compliance[0], compliance[2], thickness[rows], moduli[rows])
        if strengths is None:
            return
        loads = [np.atleast_2d(batch_part(x, frame, 1, rows)).T for x in (n, m)]
        mid, bend = _mid_plane(*compliance, *loads)
        for part, form, z in zip(parts, forms, heights, strict=True):
            own = slice(part.start - rows.start, part.stop - rows.start)
            worst, surface[part], _ = worst_face(*terms_by_ply(form, z, mid[:, own], bend[:, own]))
            with np.errstate(divide="ignore", over="ignore"):
                np.divide(1.0, worst, out=ratio[part])

    def run(share):
        # made once: fresh ones would be page-faulted anew for every chunk
        forms = np.empty((_CHUNK // _PLY_CHUNK, 9, plies, min(_PLY_CHUNK, share.stop - share.start)))
        for low in range(share.start, share.stop, _CHUNK):
            chunk(slice(low, min(low + _CHUNK, share.stop)), forms)

    for _ in (map if executor is None else executor.map)(run, batch_rows(frame, _SHARE)):
        pass
    if strengths is not None:
        ratio, surface = ratio.reshape(batch), surface.reshape(batch)
    return LaminateSamples(moduli.reshape(batch + (2, 7)), thickness.reshape(batch), ratio, surface)
