"""What a laminate still carries after its first plies have failed."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lamcalc.errors import InputError, fraction, number
from lamcalc.mechanics.chunks import batch_part, batch_rows, laminate_part, total_free_strain
from lamcalc.mechanics.criteria import MODES, check_criterion
from lamcalc.mechanics.failure import TIE, first_ply_failure
from lamcalc.mechanics.lamina import reduced_stiffness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.tsai_wu import DEFAULT_INTERACTION

_FIBRE = (0, 1)


@dataclass(frozen=True)
class KnockDowns:
    """What a failed ply keeps; all values are assumed, and are printed with the result.

    Parameters
    ----------
    matrix : float
        Factor on e2, g12 and nu12 once a ply has failed across its fibre or in shear [-].
    fibre : float
        Factor on e1 and nu12 once its fibre has failed, on top of the matrix factor on e2, g12 and nu12 [-].
    collapse_share : float
        The laminate is taken as lost when its stiffness against this very load has fallen below this share of the
        whole laminate's; else a cracked ply that keeps some stiffness could carry any load [-].

    Raises
    ------
    InputError
        If a factor is not between 0 and 1.

    Examples
    --------
    >>> KnockDowns().matrix
    0.1
    """

    matrix: float = 0.1
    fibre: float = 0.01
    collapse_share: float = 0.25

    def __post_init__(self):
        for name in ("matrix", "fibre", "collapse_share"):
            fraction(f"knock-down {name}", getattr(self, name))

    @property
    def words(self):
        """The assumptions in one sentence."""
        return (f"Failed matrix keeps {self.matrix:g} of e2, g12 and nu12, failed fibre {self.fibre:g} of e1; the "
                f"laminate counts as lost below {self.collapse_share:g} of its stiffness against this load (assumed).")


class FailureStep(NamedTuple):
    """One step of a progressive failure: load factor, plies from 1 at the mould, modes, stiffness left."""

    ratio: float
    ply_numbers: tuple
    modes: tuple
    stiffness_share: float


@dataclass(frozen=True, eq=False)
class ProgressiveFailure:
    """First-ply and last-ply load of laminates, and the failures in their order.

    Parameters
    ----------
    criterion : str
        Name of the criterion [-].
    first_ratio : ndarray, shape (...)
        Load factor at the first failure; infinite if none [-].
    last_ratio : ndarray, shape (...)
        Largest load factor at which a step began; infinite only if nothing fails at all [-].
    step_ratio : ndarray, shape (..., 2 x plies)
        Load factor of each step, NaN after the last [-].
    stiffness_share : ndarray, shape (..., 2 x plies)
        Stiffness against the load after each step over that of the whole laminate, NaN after the last [-].
    matrix_step, fibre_step : ndarray of int, shape (..., plies)
        Step, from 0, in which a ply's matrix or fibre failed; -1 if it did not [-].
    mode_codes : ndarray of int, shape (..., plies, 2)
        Modes of those matrix and fibre failures, places in `criteria.MODES`, -1 for none [-].
    lost : ndarray of bool, shape (...)
        Whether the end was reached; else no further failure was found and the last step stands [-].
    knock_downs : KnockDowns
        The assumptions [-].

    Examples
    --------
    >>> KnockDowns().words[:20]
    'Failed matrix keeps '
    """

    criterion: str
    first_ratio: np.ndarray
    last_ratio: np.ndarray
    step_ratio: np.ndarray
    stiffness_share: np.ndarray
    matrix_step: np.ndarray
    fibre_step: np.ndarray
    mode_codes: np.ndarray
    lost: np.ndarray
    knock_downs: KnockDowns

    @property
    def history(self):
        """Steps of one laminate, a tuple of `FailureStep`."""
        if self.first_ratio.ndim:
            raise InputError("result", "must hold one laminate for this [-]", self.first_ratio.shape,
                             "take one laminate out first")
        steps = []
        for k in range(int(np.isfinite(self.step_ratio).sum())):
            failed = [(ply + 1, MODES[self.mode_codes[ply, kind]])
                      for kind, step in enumerate((self.matrix_step, self.fibre_step))
                      for ply in np.flatnonzero(step == k)]
            # a ply that loses matrix and fibre in one step is named once
            named = dict(sorted(failed))
            steps.append(FailureStep(float(self.step_ratio[k]), tuple(int(ply) for ply in named), tuple(named.values()),
                                     float(self.stiffness_share[k])))
        return tuple(steps)

    def table(self):
        """History of one laminate as a table.

        Returns
        -------
        pandas.DataFrame
            One row a step [-].

        Raises
        ------
        InputError
            If the result holds more than one laminate.

        Examples
        --------
        >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
        >>> wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 90.0, 0.0], [1.0, 1.0, 1.0])
        >>> last_ply_failure(wall, PlyStrengths(1062, 610, 31, 118, 72), N=(100.0, 0, 0)).table()["plies"].tolist()
        ['2', '1, 3', '1, 3']
        """
        import pandas as pd

        rows = [(k + 1, step.ratio, ", ".join(map(str, step.ply_numbers)), ", ".join(dict.fromkeys(step.modes)),
                 step.stiffness_share) for k, step in enumerate(self.history)]
        return pd.DataFrame(rows, columns=["step", "load factor [-]", "plies", "modes", "stiffness left [-]"])


def _constants(q):
    """e1, e2, nu12, g12 of a ply-axis stiffness."""
    nu12, nu21 = q[..., 0, 1] / q[..., 1, 1], q[..., 0, 1] / q[..., 0, 0]
    loose = 1 - nu12 * nu21
    return q[..., 0, 0] * loose, q[..., 1, 1] * loose, nu12, q[..., 2, 2]


def _degraded(laminate, constants, matrix, fibre, downs):
    """Laminate with the constants of failed plies knocked down."""
    e1, e2, nu12, g12 = constants
    soft, broken = np.where(matrix | fibre, downs.matrix, 1.0), np.where(fibre, downs.fibre, 1.0)
    # nu12 falls with e1 too: else the ply's stiffness could turn out not to be one
    q = reduced_stiffness(e1 * broken, e2 * soft, nu12 * soft * broken, g12 * soft)
    return Laminate(q, laminate.angle_deg, laminate.thickness_mm, laminate.expansion)


def _work(laminate, n, m):
    """Twice the work of the load on the laminate, a measure of its softness against this load."""
    response = laminate.response(n, m)
    return (response.eps0 * n + response.kappa * m).sum(axis=-1)


def _left(strengths, matrix, fibre):
    """Strengths with the modes of failed matrix and fibre taken out."""
    gone = matrix | fibre
    out = strengths.each(lambda x: np.where(gone, np.inf, x))
    for name in ("xt", "xc"):
        object.__setattr__(out, name, np.where(fibre, np.inf, getattr(strengths, name)))
    return out


def _run(laminate, strengths, n, m, free, whole_ply, downs, criterion, interaction):
    """Step through the failures of a handful of laminates, all at once."""
    shape = np.broadcast_shapes(laminate.thickness_mm.shape, strengths.shape, n.shape[:-1] + (1,), m.shape[:-1] + (1,),
                                whole_ply.shape, () if free is None else free.shape[:-1])
    strengths, constants = strengths.by_ply(shape), _constants(laminate.q)
    steps = 2 * shape[-1]
    matrix_step, fibre_step = np.full(shape, -1), np.full(shape, -1)
    modes = np.full(shape + (2,), -1)
    ratios, shares = np.full(shape[:-1] + (steps,), np.nan), np.full(shape[:-1] + (steps,), np.nan)
    going, lost = np.ones(shape[:-1], dtype=bool), np.zeros(shape[:-1], dtype=bool)
    first, intact = np.full(shape[:-1], np.inf), _work(laminate, n, m)
    # every step takes at least one matrix or fibre out of a laminate that goes on, so 2 x plies steps are enough
    for step in range(steps):
        matrix, fibre = matrix_step >= 0, fibre_step >= 0
        found = first_ply_failure(_degraded(laminate, constants, matrix, fibre, downs), _left(strengths, matrix, fibre),
                                  n, m, criterion=criterion, free_strain=free, interaction=interaction)
        ratio = np.broadcast_to(found.ratio, going.shape)
        first = ratio.copy() if step == 0 else first
        going = going & np.isfinite(ratio)
        if not going.any():
            break
        ratios[..., step] = np.where(going, ratio, np.nan)
        hit = going[..., None] & (found.ply_ratio <= ratio[..., None] * (1 + TIE))
        face = found.ratios.argmin(axis=-1)[..., None]
        code = np.broadcast_to(np.take_along_axis(found.mode_codes, face, axis=-1)[..., 0], shape)
        by_fibre = hit & (np.isin(code, _FIBRE) | whole_ply) & ~fibre
        by_matrix = hit & (~np.isin(code, _FIBRE) | whole_ply) & ~matrix
        for kind, now, log in ((0, by_matrix, matrix_step), (1, by_fibre, fibre_step)):
            log[now] = step
            modes[..., kind][now] = code[now]
        after = _work(_degraded(laminate, constants, matrix_step >= 0, fibre_step >= 0, downs), n, m)
        # without load (residual stress alone) there is no work to compare
        share = np.divide(intact, after, out=np.ones(going.shape), where=np.broadcast_to(after > 0, going.shape))
        shares[..., step] = np.where(going, share, np.nan)
        ended = going & ((share < downs.collapse_share) | (fibre_step >= 0).all(axis=-1))
        lost, going = lost | ended, going & ~ended
    last = np.where(np.isfinite(first), np.where(np.isnan(ratios), -np.inf, ratios).max(axis=-1), np.inf)
    return first, last, ratios, shares, matrix_step, fibre_step, modes, lost


def last_ply_failure(laminate, strengths, N=(0.0, 0.0, 0.0), M=(0.0, 0.0, 0.0), *, criterion="max_stress", delta_t=0.0,
                     free_strain=None, interaction=DEFAULT_INTERACTION, whole_ply=False, knock_downs=KnockDowns()):
    """Load that a laminate reaches while its plies fail one after another.

    Parameters
    ----------
    laminate : Laminate, shape (...) of stacks with plies
        The stack or stacks [-].
    strengths : PlyStrengths, shape (..., plies), (plies,) or ()
        Ply strengths [MPa].
    N : array_like, shape (..., 3)
        Force per width x, y, xy [N/mm].
    M : array_like, shape (..., 3)
        Moment per width x, y, xy [N].
    criterion : str
        As in `first_ply_failure`; maximum stress and Hashin tell the modes apart best [-].
    delta_t : array_like, shape (...)
        Temperature change since the plies were free of stress; does not grow with the load [K].
    free_strain : array_like, shape (..., plies, 3), optional
        Further free strain of the plies in laminate axes; does not grow either [-].
    interaction : float
        Tsai-Wu's normalised interaction F12* [-].
    whole_ply : array_like of bool, shape (..., plies) or scalar
        Plies that any failure takes out wholly: set it for mat, which has no fibre direction [-].
    knock_downs : KnockDowns
        What failed plies keep [-].

    Returns
    -------
    ProgressiveFailure
        First-ply and last-ply load factor and the history [-].

    Raises
    ------
    InputError
        As `first_ply_failure`.

    Notes
    -----
    Step by step the weakest ply (with those that fail at the same load) is knocked down by its mode: transverse or
    shear failure takes e2, g12 and nu12, fibre failure e1 too.  A failed matrix is not checked again, a failed fibre
    ends the ply.  It stops when all fibres have failed, when the stiffness against the load (from its work) has
    fallen below the collapse share, or when the surviving plies fail at no load.  The last-ply load is the largest
    of the steps: a load that is held does not fall when a ply lets go.  A weave's weft counts as its direction 2.
    It is an estimate: the knock-downs are assumed, cracks and delamination spread otherwise.  Design to first-ply
    failure.

    References
    ----------
    .. [1] Ply discount method; common practice, e.g. Jones, Mechanics of Composite Materials, 2nd ed., 1999,
       sec. 4.5 (from memory).  Factors assumed.

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 90.0, 0.0], [1.0, 1.0, 1.0])
    >>> out = last_ply_failure(wall, PlyStrengths(1062, 610, 31, 118, 72), N=(100.0, 0, 0))
    >>> float(out.first_ratio.round(2)), out.history[0].ply_numbers, bool(out.last_ratio > 4 * out.first_ratio)
    (3.28, (2,), True)
    """
    check_criterion(criterion)
    n, m = np.broadcast_arrays(number("N", N, "N/mm"), number("M", M, "N"))
    whole_ply = np.asarray(whole_ply, dtype=bool)
    plies = laminate.thickness_mm.shape[-1]
    strengths = strengths.by_ply(strengths.shape[:-1] + (plies,))
    free = total_free_strain(laminate, delta_t, free_strain)
    batch = np.broadcast_shapes(laminate.thickness_mm.shape[:-1], strengths.shape[:-1], n.shape[:-1],
                                whole_ply.shape[:-1], () if free is None else free.shape[:-2])
    frame = batch or (1,)
    count = int(np.prod(frame))
    tails = ((), (), (2 * plies,), (2 * plies,), (plies,), (plies,), (plies, 2), ())
    kinds = (float, float, float, float, np.int16, np.int16, np.int8, bool)
    out = [np.empty((count,) + tail, dtype=kind) for tail, kind in zip(tails, kinds, strict=True)]
    for rows in batch_rows(frame):
        found = _run(laminate_part(laminate, frame, rows), strengths.each(lambda x: batch_part(x, frame, 1, rows)),
                     batch_part(n, frame, 1, rows), batch_part(m, frame, 1, rows),
                     None if free is None else batch_part(free, frame, 2, rows), batch_part(whole_ply, frame, 1, rows),
                     knock_downs, criterion, interaction)
        for whole, piece in zip(out, found, strict=True):
            whole[rows] = piece
    parts = (x.reshape(batch + tail) for x, tail in zip(out, tails, strict=True))
    return ProgressiveFailure(criterion, *parts, knock_downs)
