"""Handfuls of a large batch of laminates, so that temporaries stay small."""

import numpy as np

from lamcalc.errors import number
from lamcalc.mechanics.laminate import Laminate

# temporaries of this many laminates stay in the second-level cache
CHUNK = 2048


def batch_rows(batch, size=CHUNK):
    """Rows of a flattened batch, one chunk after the other.

    Parameters
    ----------
    batch : tuple of int
        Batch shape, at least one axis [-].
    size : int
        Laminates a chunk [-].

    Returns
    -------
    list of slice
        Rows of each chunk [-].

    Examples
    --------
    >>> batch_rows((1025, 2))
    [slice(0, 2048, None), slice(2048, 2050, None)]
    """
    count = int(np.prod(batch))
    return [slice(low, min(low + size, count)) for low in range(0, count, size)]


def batch_part(array, batch, tail, rows):
    """Some rows of an array over a flattened batch.

    Parameters
    ----------
    array : array_like, shape (...) + tail axes
        Values, one for each laminate or the same for all [any].
    batch : tuple of int
        Batch shape [-].
    tail : int
        Number of axes that belong to one laminate [-].
    rows : slice
        Rows of the flattened batch [-].

    Returns
    -------
    ndarray, shape (rows,) + tail axes, or the array itself
        The rows; an array that is the same for all laminates stays as it is [any].

    Examples
    --------
    >>> batch_part([[[1, 2]], [[3, 4]]], (2, 3), 1, slice(2, 4)).tolist()
    [[1, 2], [3, 4]]
    """
    array = np.asarray(array)
    if array.ndim <= tail:
        return array
    whole = np.broadcast_to(array, batch + array.shape[array.ndim - tail:])
    if len(batch) == 1:
        return whole[rows]
    return whole[np.unravel_index(np.arange(rows.start, rows.stop), batch)]


def laminate_part(laminate, batch, rows):
    """Some laminates of a batch.

    Parameters
    ----------
    laminate : Laminate
        The stacks, or a single one that serves all rows [-].
    batch : tuple of int
        Batch shape [-].
    rows : slice
        Rows of the flattened batch [-].

    Returns
    -------
    Laminate
        The stacks of these rows, or the single one itself [-].

    Examples
    --------
    >>> walls = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [[0.0]] * 4, [[1.0], [2.0], [3.0], [4.0]])
    >>> laminate_part(walls, (4,), slice(1, 3)).total_thickness_mm.tolist()
    [2.0, 3.0]
    """
    if laminate.thickness_mm.ndim == 1:
        return laminate
    return Laminate(batch_part(laminate.q, batch, 3, rows), batch_part(laminate.angle_deg, batch, 1, rows),
                    batch_part(laminate.thickness_mm, batch, 1, rows), batch_part(laminate.expansion, batch, 2, rows))


def total_free_strain(laminate, delta_t, free_strain):
    """Free strain of plies from temperature and other causes together.

    Parameters
    ----------
    laminate : Laminate
        The stacks [-].
    delta_t : array_like, shape (...)
        Temperature change [K].
    free_strain : array_like, shape (..., plies, 3), or None
        Further free strain in laminate axes [-].

    Returns
    -------
    ndarray, shape (..., plies, 3), or None
        The sum; None if there is none, so that no residual stress need be followed [-].

    Raises
    ------
    InputError
        If a value is not finite.

    Examples
    --------
    >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [1.0], alpha1=3e-5, alpha2=3e-5)
    >>> total_free_strain(wall, 0.0, None) is None
    True
    """
    free = None if free_strain is None else number("free_strain", free_strain)
    delta_t = number("delta_t", delta_t, "K")
    if delta_t.any():
        thermal = laminate.expansion * delta_t[..., None, None]
        free = thermal if free is None else free + thermal
    return free
