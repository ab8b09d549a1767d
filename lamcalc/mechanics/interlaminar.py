"""Shear between the plies of a bent laminate against its interlaminar strength."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.margins import Margin
from lamcalc.mechanics.transverse_shear import shear_stress_profile


@dataclass(frozen=True, eq=False)
class InterlaminarCheck:
    """Interlaminar shear at the interfaces and inside the plies of laminates.

    Parameters
    ----------
    interface_stress, interface_strength : ndarray, shape (..., plies - 1)
        Magnitude of the shear stress between neighbouring plies, and the strength there [MPa].
    ply_stress, ply_strength : ndarray, shape (..., plies)
        Largest magnitude inside each ply, and the ply's strength [MPa].
    first_moment_n : ndarray, shape (..., plies - 1)
        Sum of E t z about the neutral axis beyond each interface [N].

    Examples
    --------
    >>> InterlaminarCheck(np.array([3.0]), np.array([15.0]), np.array([3.0, 3.0]), np.array([15.0, 15.0]),
    ...                   np.array([1.0])).ratio.item()
    5.0
    """

    interface_stress: np.ndarray
    interface_strength: np.ndarray
    ply_stress: np.ndarray
    ply_strength: np.ndarray
    first_moment_n: np.ndarray

    @property
    def _all(self):
        stress = np.concatenate([self.interface_stress, self.ply_stress], axis=-1)
        strength = np.concatenate([self.interface_strength, self.ply_strength], axis=-1)
        ratio = np.full(np.broadcast_shapes(stress.shape, strength.shape), np.inf)
        np.divide(strength, stress, out=ratio, where=stress > 0)
        return ratio, np.broadcast_to(stress, ratio.shape), np.broadcast_to(strength, ratio.shape)

    @property
    def interface_ratio(self):
        """Strength over stress at every interface, shape (..., plies - 1)."""
        return self._all[0][..., : self.interface_stress.shape[-1]]

    @property
    def ply_ratio(self):
        """Strength over stress inside every ply, shape (..., plies)."""
        return self._all[0][..., self.interface_stress.shape[-1]:]

    @property
    def ratio(self):
        """Least ratio anywhere, shape (...); infinite without shear."""
        return self._all[0].min(axis=-1)

    @property
    def worst(self):
        """Stress, strength and place in words at the least ratio of one laminate [MPa]."""
        ratio, stress, strength = self._all
        if ratio.ndim > 1:
            raise InputError("result", "must hold one laminate for this [-]", ratio.shape,
                             "take one laminate out first")
        k, seams = int(ratio.argmin()), self.interface_stress.shape[-1]
        place = f"between plies {k + 1} and {k + 2}" if k < seams else f"inside ply {k - seams + 1}"
        return float(stress[k]), float(strength[k]), place


def interlaminar_check(laminate, strength, shear_force, *, axis="x", strip="wide", interface_strength=None):
    """Interlaminar shear stress of a bent laminate against its strength.

    Parameters
    ----------
    laminate : Laminate, shape (...) of stacks with plies
        The stack or stacks [-].
    strength : array_like, shape (..., plies) or ()
        Interlaminar shear strength of each ply; for a core its shear strength [MPa].
    shear_force : array_like, shape (...)
        Shear force per width [N/mm].
    axis : {"x", "y"}
        Direction in which the wall bends [-].
    strip : {"wide", "narrow"}
        Wide: a panel that cannot curl across; narrow: a strip with free edges [-].
    interface_strength : array_like, shape (..., plies - 1), optional
        Strength of each interface; the weaker of its two plies if left out [MPa].

    Returns
    -------
    InterlaminarCheck
        Stress, strength and ratio at interfaces and in plies [MPa, -].

    Raises
    ------
    InputError
        If a strength is not above zero or does not fit the number of plies.

    Notes
    -----
    ``tau = F S / EI``, from `transverse_shear.shear_stress_profile`.  ISO 12215-5 Table H.1 takes the strength of the
    ply nearer the mould at each interface; the weaker of both, taken here, is the cautious reading.

    References
    ----------
    .. [1] ISO 12215-5:2008, Table H.1 (worked laminate), as quoted in public copies.

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> wall = Laminate.from_plies(10e3, 10e3, 0.0, 5e3, [0.0, 0.0], [2.0, 2.0])
    >>> float(interlaminar_check(wall, 15.0, 8.0).ratio.round(6))
    5.0
    """
    plies = laminate.thickness_mm.shape[-1]
    strength = _fitted("interlaminar strength", strength, plies)
    profile = shear_stress_profile(laminate.qbar, laminate.thickness_mm, number("shear_force", shear_force, "N/mm"),
                                   axis=axis, strip=strip)
    if interface_strength is None:
        seams = np.minimum(strength[..., 1:], strength[..., :-1])
    else:
        seams = _fitted("interface strength", interface_strength, plies - 1)
    return InterlaminarCheck(np.abs(profile.interface_mpa[..., 1:-1]), seams, np.abs(profile.ply_max_mpa), strength,
                             profile.first_moment_n[..., 1:-1])


def _fitted(name, value, length):
    array = positive(name, value, "MPa")
    if array.ndim and array.shape[-1] not in (1, length):
        raise InputError(name, f"must have {length} values or one [MPa]", array.shape, "give one value for each")
    return np.broadcast_to(array, array.shape[:-1] + (length,))


def interlaminar_margin(laminate, strength, shear_force, *, factor, axis="x", strip="wide", interface_strength=None):
    """Margin against interlaminar shear at the worst place of one laminate.

    Parameters
    ----------
    laminate : Laminate
        One stack [-].
    strength : array_like, shape (plies,) or ()
        Interlaminar shear strength of each ply [MPa].
    shear_force : float
        Shear force per width [N/mm].
    factor : DesignFactor
        Usable share of the strength with its rule [-].
    axis : {"x", "y"}
        Direction in which the wall bends [-].
    strip : {"wide", "narrow"}
        As in `interlaminar_check` [-].
    interface_strength : array_like, shape (plies - 1,), optional
        As in `interlaminar_check` [MPa].

    Returns
    -------
    Margin
        Demand, capacity and rule at the worst place [MPa].

    Raises
    ------
    InputError
        As `interlaminar_check`, or if there is more than one laminate.

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> from lamcalc.mechanics.margins import design_factor
    >>> wall = Laminate.from_plies(10e3, 10e3, 0.0, 5e3, [0.0, 0.0], [2.0, 2.0])
    >>> out = interlaminar_margin(wall, 15.0, 8.0, factor=design_factor("iso_interlaminar"))
    >>> out.name, round(out.reserve_factor, 3)
    ('interlaminar shear between plies 1 and 2', 2.5)
    """
    stress, capacity, place = interlaminar_check(laminate, strength, shear_force, axis=axis, strip=strip,
                                                 interface_strength=interface_strength).worst
    return Margin(f"interlaminar shear {place}", stress, capacity, factor, "MPa")
