"""Which ply of a laminate fails first, on which face, how, and at what load."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number
from lamcalc.mechanics.chunks import batch_part, batch_rows, laminate_part, total_free_strain
from lamcalc.mechanics.criteria import NO_MODE, assess, check_criterion, leading_mode, mode_names
from lamcalc.mechanics.strain_space import first_ply_ratio
from lamcalc.mechanics.tsai_wu import DEFAULT_INTERACTION, tsai_wu_strain_coefficients, tsai_wu_terms

FACES = ("low z", "high z")
# strength ratios closer than this, relative to each other, count as equal
TIE = 1e-9


@dataclass(frozen=True, eq=False)
class FirstPlyFailure:
    """First failure of laminates under a load that grows from nothing.

    Parameters
    ----------
    criterion : str
        Name of the criterion [-].
    ratio : ndarray, shape (...)
        Strength ratio: the load times this just fails; infinite if no load does, 0 if residual stress alone fails [-].
    ply_index : ndarray of int, shape (...)
        Ply that fails first, 0 against the mould; -1 if none fails [-].
    face_index : ndarray of int, shape (...)
        0 for its low-z face (mould side), 1 for its high-z face, -1 if none fails [-].
    ratios : ndarray, shape (..., plies, 2)
        Strength ratio at the low-z and high-z face of every ply [-].
    mode_codes : ndarray of int, shape (..., plies, 2)
        Mode at every face, place in `criteria.MODES`, -1 for none [-].

    Examples
    --------
    >>> out = FirstPlyFailure("tsai_wu", np.array(2.0), np.array(0), np.array(1), np.array([[3.0, 2.0]]),
    ...                       np.array([[4, 4]]))
    >>> out.face.item(), out.mode.item(), out.ply_number.item()
    ('high z', 'shear', 1)
    """

    criterion: str
    ratio: np.ndarray
    ply_index: np.ndarray
    face_index: np.ndarray
    ratios: np.ndarray
    mode_codes: np.ndarray

    @property
    def ply_number(self):
        """Ply counted from 1 at the mould; 0 if none fails."""
        return self.ply_index + 1

    @property
    def face(self):
        """Name of the critical face, shape (...)."""
        return np.array(FACES + (NO_MODE,))[self.face_index]

    @property
    def mode(self):
        """Name of the mode at the critical face, shape (...)."""
        plies = self.ratios.shape[-2]
        flat = self.mode_codes.reshape(self.mode_codes.shape[:-2] + (2 * plies,))
        place = np.maximum(2 * self.ply_index + self.face_index, 0)[..., None]
        code = np.take_along_axis(flat, place, axis=-1)[..., 0]
        return mode_names(np.where(self.ply_index < 0, -1, code))

    @property
    def ply_ratio(self):
        """Least ratio of each ply, shape (..., plies)."""
        return self.ratios.min(axis=-1)

    def table(self):
        """All faces of one laminate as a table.

        Returns
        -------
        pandas.DataFrame
            Ply, face, strength ratio and mode, one row a face [-].

        Raises
        ------
        InputError
            If the result holds more than one laminate.

        Examples
        --------
        >>> out = FirstPlyFailure("tsai_wu", np.array(2.0), np.array(0), np.array(1), np.array([[3.0, 2.0]]),
        ...                       np.array([[4, 4]]))
        >>> out.table()["strength ratio [-]"].tolist()
        [3.0, 2.0]
        """
        import pandas as pd

        _single(self.ratio)
        plies = np.arange(1, len(self.ratios) + 1)
        return pd.DataFrame({"ply": np.repeat(plies, 2), "face": np.tile(FACES, len(plies)),
                             "strength ratio [-]": self.ratios.reshape(-1),
                             "mode": mode_names(self.mode_codes).reshape(-1)})

    @property
    def sentence(self):
        """What fails first, in one sentence, for one laminate."""
        _single(self.ratio)
        name = self.criterion.replace("_", "-")
        if not np.isfinite(self.ratio):
            return f"No ply fails at any multiple of this load ({name})."
        place = f"ply {self.ply_number} from the mould, {self.face} face, {self.mode}"
        if self.ratio == 0:
            return f"The residual stress alone fails {place} ({name})."
        return f"First to fail is {place}, at {float(self.ratio):.3g} times the load ({name}, no design factor taken)."


def _single(array):
    if np.ndim(array):
        raise InputError("result", "must hold one laminate for this [-]", np.shape(array),
                         "take one laminate out first")


def _by_tsai_wu(laminate, strengths, response, steady, interaction):
    """Ratios from the strain-space kernel; modes from the ply stress at failure."""
    forms = tsai_wu_strain_coefficients(laminate.q, strengths, laminate.angle_deg, interaction=interaction)
    residual = None if steady is None else steady[1]
    _, _, ratios = first_ply_ratio(forms, None, laminate.z_mm, response.eps0, response.kappa,
                                   residual=residual, every=True)
    reach = np.where(np.isfinite(ratios), ratios, 0.0)[..., None]
    stress = reach * laminate.ply_stresses(response, axes="ply") + (0.0 if steady is None else steady[0])
    form = tsai_wu_terms(strengths.each(lambda x: np.asarray(x)[..., None]), interaction=interaction).form
    modes = np.where(np.isfinite(ratios), leading_mode(form, tuple(np.moveaxis(stress, -1, 0))), -1)
    return ratios, modes


def _by_stress(laminate, strengths, response, steady, criterion):
    """Ratios and modes of the criteria that work on ply stress."""
    nu12, nu21 = laminate.q[..., 0, 1] / laminate.q[..., 1, 1], laminate.q[..., 0, 1] / laminate.q[..., 0, 0]
    found = assess(laminate.ply_stresses(response, axes="ply"), strengths.each(lambda x: np.asarray(x)[..., None]),
                   criterion=criterion, residual=None if steady is None else steady[0],
                   nu12=nu12[..., None], nu21=nu21[..., None])
    return found.ratio, found.mode_code


def _check_part(laminate, strengths, n, m, free, criterion, interaction):
    """Ratios and modes at all faces of a handful of laminates."""
    response = laminate.response(n, m)
    steady = None
    if free is not None:
        held = laminate.response(free_strain=free)
        steady = (laminate.ply_stresses(held, axes="ply", free_strain=free),
                  laminate.ply_strains(held) - free[..., None, :])
    if criterion == "tsai_wu":
        return _by_tsai_wu(laminate, strengths, response, steady, interaction)
    return _by_stress(laminate, strengths, response, steady, criterion)


def _first_surface(ratios):
    """Least ratio, and the first of the faces that share it but for rounding."""
    flat = ratios.reshape(len(ratios), -1)
    ratio = flat.min(axis=-1)
    return ratio, (flat <= ratio[:, None] * (1 + TIE)).argmax(axis=-1)


def first_ply_failure(laminate, strengths, N=(0.0, 0.0, 0.0), M=(0.0, 0.0, 0.0), *, criterion="tsai_wu", delta_t=0.0,
                      free_strain=None, interaction=DEFAULT_INTERACTION):
    """First ply to fail while the load grows in proportion and residual stress stays as it is.

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
        "tsai_wu", "tsai_hill", "max_stress", "max_strain" or "hashin" [-].
    delta_t : array_like, shape (...)
        Temperature change since the plies were free of stress; does not grow with the load [K].
    free_strain : array_like, shape (..., plies, 3), optional
        Further free strain of the plies in laminate axes, such as cure shrinkage; does not grow either [-].
    interaction : float
        Tsai-Wu's normalised interaction F12* [-].

    Returns
    -------
    FirstPlyFailure
        Ratio on the load, ply, face, mode, and the ratio of every face [-].

    Raises
    ------
    InputError
        If a load is not finite, the criterion is unknown, or the strengths do not fit the plies.

    Notes
    -----
    Both faces of every ply are checked.  Without load and residual stress the ratio is infinite.  No design factor
    is taken: put the ratio into a `Margin`.  Of faces that fail together the one nearest the mould is named.  Loads
    and laminates may be batches; they run in chunks of 2048.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, sec. 4.5 (from memory).

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> ply = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0], [1.0])
    >>> out = first_ply_failure(ply, PlyStrengths(1062, 610, 31, 118, 72), M=(1.0, 0, 0), criterion="max_stress")
    >>> float(out.ratio.round(2)), out.face.item(), out.mode.item()
    (101.67, 'low z', 'fibre compression')
    """
    check_criterion(criterion)
    n, m = number("N", N, "N/mm"), number("M", M, "N")
    free = total_free_strain(laminate, delta_t, free_strain)
    plies = laminate.thickness_mm.shape[-1]
    strengths = strengths.by_ply(strengths.shape[:-1] + (plies,))
    batch = np.broadcast_shapes(laminate.thickness_mm.shape[:-1], strengths.shape[:-1], n.shape[:-1], m.shape[:-1],
                                () if free is None else free.shape[:-2])
    # an empty batch axis cannot be unravelled: one laminate is a batch of one
    frame = batch or (1,)
    count = int(np.prod(frame))
    ratio, surface = np.empty(count), np.empty(count, dtype=np.intp)
    ratios, modes = np.empty((count, plies, 2)), np.empty((count, plies, 2), dtype=np.int8)
    for rows in batch_rows(frame):
        found = _check_part(
            laminate_part(laminate, frame, rows), strengths.each(lambda x: batch_part(x, frame, 1, rows)),
            batch_part(n, frame, 1, rows), batch_part(m, frame, 1, rows),
            None if free is None else batch_part(free, frame, 2, rows), criterion, interaction)
        ratios[rows], modes[rows] = found
        ratio[rows], surface[rows] = _first_surface(ratios[rows])
    fails = np.isfinite(ratio)
    ply, face = np.where(fails, surface // 2, -1), np.where(fails, surface % 2, -1)
    tail = (plies, 2)
    return FirstPlyFailure(criterion, ratio.reshape(batch), ply.reshape(batch), face.reshape(batch),
                           ratios.reshape(batch + tail), modes.reshape(batch + tail))
