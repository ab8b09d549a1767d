"""Design factor and unit loads of a vessel code, BS 4994:1987, as a cautious second opinion.

A code for tanks and vessels, known from a worked property sheet.  Its overall
factor is about five times that of the small-craft standard.
"""

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.parts.basis import plain, within


def vessel_cycle_factor(cycles):
    """Cyclic loading factor k4 of BS 4994, 1.1 + 0.9 (log10 N - 3)/3.

    Parameters
    ----------
    cycles : array_like, shape (...)
        Load cycles in the life, 1e3 to 1e6 [-].

    Returns
    -------
    float or ndarray, shape (...)
        k4 [-].

    Raises
    ------
    InputError
        If the number lies outside 1000 to 1,000,000.

    References
    ----------
    Worked property sheet after BS 4994:1987, source seen.

    Examples
    --------
    >>> round(vessel_cycle_factor(3650), 2)
    1.27
    """
    return plain(1.1 + 0.9 * (np.log10(within("load cycles", cycles, 1e3, 1e6)) - 3.0) / 3.0)


def vessel_design_factor(*, k1, k2, k3, k4, k5):
    """Overall design factor K of BS 4994, 3 k1 k2 k3 k4 k5.

    Parameters
    ----------
    k1 : array_like, shape (...)
        Method of manufacture [-], 1 or more.
    k2 : array_like, shape (...)
        Chemical environment [-], 1 or more.
    k3 : array_like, shape (...)
        Temperature [-], 1 or more.
    k4 : array_like, shape (...)
        Cyclic loading, from `vessel_cycle_factor` [-], 1 or more.
    k5 : array_like, shape (...)
        Curing [-], 1 or more.

    Returns
    -------
    float or ndarray, shape (...)
        K on ultimate unit strength [-].

    Raises
    ------
    InputError
        If a factor is below 1.

    Notes
    -----
    About 11 for hand lay-up without post-cure against 2 in the small-craft
    standard: a cautious second opinion, not a boat rule.

    References
    ----------
    Worked property sheet after BS 4994:1987, source seen.

    Examples
    --------
    >>> round(vessel_design_factor(k1=1.5, k2=1.3, k3=1.0, k4=1.27, k5=1.5), 2)
    11.14
    """
    product = np.asarray(3.0)
    for name, value in (("k1", k1), ("k2", k2), ("k3", k3), ("k4", k4), ("k5", k5)):
        factor = number(name, value)
        if (factor < 1).any():
            raise InputError(name, "must be 1 or more [-]", plain(factor), "read the partial factor in the code")
        product = product * factor
    return plain(product)


def layer_modulus(unit_modulus, layer_thickness_mm):
    """Modulus of a layer from its unit modulus and the thickness that one kg/m2 of glass makes.

    Parameters
    ----------
    unit_modulus : array_like, shape (...)
        Unit modulus X, or unit strength U, per kg/m2 of glass [N/mm per kg/m2].
    layer_thickness_mm : array_like, shape (...)
        Thickness per kg/m2 of glass [mm per kg/m2].

    Returns
    -------
    float or ndarray, shape (...)
        Modulus, or strength [MPa].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Worked property sheet after BS 4994:1987, p. 10 and Figure 5, source seen.

    Examples
    --------
    >>> round(layer_modulus(14000, 2.24), 6)
    6250.0
    """
    return plain(positive("unit modulus", unit_modulus, "N/mm per kg/m2")
                 / positive("layer thickness", layer_thickness_mm, "mm per kg/m2"))


def vessel_unit_loads(unit_strength, unit_modulus, *, design_factor):
    """Design strain and unit loads of the layers of a laminate by BS 4994.

    Parameters
    ----------
    unit_strength : array_like, shape (..., layers)
        Ultimate unit tensile strength U of each kind of layer [N/mm per kg/m2].
    unit_modulus : array_like, shape (..., layers)
        Unit modulus X of each kind of layer [N/mm per kg/m2].
    design_factor : array_like, shape (...)
        K from `vessel_design_factor` [-].

    Returns
    -------
    layer_strain : ndarray, shape (..., layers)
        Strain U/(K X) that each kind of layer allows [-].
    unit_load : ndarray, shape (..., layers)
        Design unit load of each kind at the least of these strains [N/mm per kg/m2].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    All layers stretch alike, so the least strain rules.  The code's further
    limits on strain (resin) were not read.

    References
    ----------
    Worked property sheet after BS 4994:1987, source seen: 17.95 and 20.51, 0.128 and 0.140 %.

    Examples
    --------
    >>> strain, load = vessel_unit_loads([200, 250], [14000, 16000], design_factor=11.144)
    >>> load.round(2).tolist()
    [17.95, 20.51]
    """
    modulus = positive("unit modulus", unit_modulus, "N/mm per kg/m2")
    factor = positive("design factor", design_factor)[..., None]
    strain = positive("unit strength", unit_strength, "N/mm per kg/m2") / (factor * modulus)
    return strain, modulus * strain.min(axis=-1, keepdims=True)
