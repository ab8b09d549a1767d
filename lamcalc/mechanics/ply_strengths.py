"""Strengths of a ply: what the criteria need, and whose numbers they are."""

from copy import copy
from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive

_NAMES = ("xt", "xc", "yt", "yc", "s", "s_transverse")


def _magnitude(name, value):
    """Positive array in which infinity stands for a mode that is not checked."""
    array = np.asarray(value, dtype=float)
    positive(name, np.where(np.isposinf(array), 1.0, array), "MPa")
    return array


@dataclass(frozen=True, eq=False)
class PlyStrengths:
    """Strengths of a ply in its own axes, all as magnitudes, tension and compression apart.

    Parameters
    ----------
    xt, xc : array_like, shape (...)
        Tensile and compressive strength along the fibre [MPa].
    yt, yc : array_like, shape (...)
        Tensile and compressive strength across the fibre [MPa].
    s : array_like, shape (...)
        In-plane shear strength [MPa].
    s_transverse : array_like, shape (...), optional
        Transverse shear strength, used by Hashin's matrix compression only; `s` if left out [MPa].
    model : str
        Where the numbers come from, in words, to be printed with every result [-].
    status : str
        How far they are verified [-].
    cautions : tuple of str
        Sentences to show wherever the strengths are used [-].

    Raises
    ------
    InputError
        If a strength is missing or not above zero.

    Notes
    -----
    The shop's own test values go straight in.  ``inf`` marks a mode that cannot
    fail or is checked elsewhere, such as the core of a sandwich.

    Examples
    --------
    >>> glass = PlyStrengths(xt=1062, xc=610, yt=31, yc=118, s=72)
    >>> float(glass.scaled(0.8).yt)
    24.8
    """

    xt: np.ndarray
    xc: np.ndarray
    yt: np.ndarray
    yc: np.ndarray
    s: np.ndarray
    s_transverse: np.ndarray = None
    model: str = "entered by the user"
    status: str = "as entered"
    cautions: tuple = ()

    def __post_init__(self):
        if self.s_transverse is None:
            object.__setattr__(self, "s_transverse", self.s)
        for name in _NAMES:
            object.__setattr__(self, name, _magnitude(f"strength {name}", getattr(self, name)))

    @property
    def shape(self):
        """Common shape of the strengths, usually (..., plies)."""
        return np.broadcast_shapes(*(np.shape(getattr(self, name)) for name in _NAMES))

    def each(self, function):
        """New strengths with a function applied to every array.

        Parameters
        ----------
        function : callable
            Takes and returns an array [MPa].

        Returns
        -------
        PlyStrengths
            The new strengths [MPa].

        Examples
        --------
        >>> PlyStrengths(1.0, 1.0, 1.0, 1.0, 1.0).each(lambda x: np.full(3, x)).shape
        (3,)
        """
        other = copy(self)
        # the values were checked when they came in; checking again would copy large batches
        for name in _NAMES:
            object.__setattr__(other, name, function(getattr(self, name)))
        return other

    def scaled(self, factor):
        """Strengths times a factor, such as an evaluation level.

        Parameters
        ----------
        factor : array_like, shape (...)
            The factor [-].

        Returns
        -------
        PlyStrengths
            The new strengths [MPa].

        Raises
        ------
        InputError
            If the factor is not above zero.

        Examples
        --------
        >>> float(PlyStrengths(100, 90, 30, 80, 40).scaled(0.5).xc)
        45.0
        """
        factor = positive("strength factor", factor)
        return self.each(lambda strength: strength * factor)

    def by_ply(self, shape):
        """Strengths spread over plies.

        Parameters
        ----------
        shape : tuple of int
            Target shape (..., plies) [-].

        Returns
        -------
        PlyStrengths
            The same strengths with that shape [MPa].

        Raises
        ------
        InputError
            If the strengths do not fit the number of plies.

        Examples
        --------
        >>> PlyStrengths(100, 90, [30, 40], 80, 40).by_ply((2,)).xt.tolist()
        [100.0, 100.0]
        """
        try:
            return self.each(lambda strength: np.broadcast_to(strength, shape))
        except ValueError:
            raise InputError("strengths", f"must fit the laminate, shape {shape} with plies last [MPa]", self.shape,
                             "give one value for all plies or one for each ply") from None

    @classmethod
    def from_failure_strains(cls, *, e1, e2, g12, tension_1, compression_1, tension_2, compression_2, shear):
        """Strengths from failure strains, each strength being modulus times strain.

        Parameters
        ----------
        e1, e2, g12 : array_like, shape (...)
            Moduli of the ply [MPa].
        tension_1, compression_1 : array_like, shape (...)
            Failure strains along the fibre, magnitudes [-].
        tension_2, compression_2 : array_like, shape (...)
            Failure strains across the fibre, magnitudes [-].
        shear : array_like, shape (...)
            Failure shear strain, engineering [-].

        Returns
        -------
        PlyStrengths
            The strengths [MPa].

        Raises
        ------
        InputError
            If a modulus or strain is not above zero.

        Examples
        --------
        >>> ply = PlyStrengths.from_failure_strains(e1=40e3, e2=8e3, g12=4e3, tension_1=0.02, compression_1=0.012,
        ...                                         tension_2=0.004, compression_2=0.015, shear=0.016)
        >>> float(ply.xt), float(ply.s)
        (800.0, 64.0)
        """
        e1, e2, g12 = (positive(name, value, "MPa") for name, value in (("e1", e1), ("e2", e2), ("g12", g12)))
        strain = {name: positive(f"failure strain {name}", value) for name, value in (
            ("tension_1", tension_1), ("compression_1", compression_1), ("tension_2", tension_2),
            ("compression_2", compression_2), ("shear", shear))}
        return cls(e1 * strain["tension_1"], e1 * strain["compression_1"], e2 * strain["tension_2"],
                   e2 * strain["compression_2"], g12 * strain["shear"])
