"""Schedules with the moduli of their cores or the glass of their plies changed, to see what depends on them."""

from dataclasses import replace

from lamcalc.errors import fraction, positive
from lamcalc.schedule import CoreLayer, Ply


def across_unstated(schedule):
    """Whether a core's modulus across the face grain is the catalogue's ratio of a stated one along.

    Parameters
    ----------
    schedule : Schedule
        A build [-].

    Returns
    -------
    bool
        Whether there is such a core [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Schedule
    >>> across_unstated(Schedule((CoreLayer(catalogue.load().core("ply_meranti"), 18.0),), {}))
    False
    """
    return any(isinstance(layer, CoreLayer) and layer.core.across_by_ratio for layer in schedule.layers)


def with_across_as_along(schedule):
    """The schedule with every unstated modulus across a face grain taken as the one along.

    Parameters
    ----------
    schedule : Schedule
        A build [-].

    Returns
    -------
    Schedule
        The stiffest that it may be: what a new build must equal, never what one may count on [-].
    """
    return schedule.with_layers([
        replace(layer, core=replace(layer.core, e_y=layer.core.e_x))
        if isinstance(layer, CoreLayer) and layer.core.across_by_ratio else layer
        for layer in schedule.layers])


def with_core_modulus(schedule, factor):
    """The schedule with the in-plane moduli of its cores multiplied.

    Parameters
    ----------
    schedule : Schedule
        Any schedule [-].
    factor : float
        Factor on the moduli of all cores [-].

    Returns
    -------
    Schedule
        New schedule [-].

    Raises
    ------
    InputError
        If the factor is not positive.
    """
    factor = float(positive("core modulus factor", factor))

    def scaled(core):
        return replace(core, **{name: replace(getattr(core, name), typical=getattr(core, name).typical * factor)
                                for name in ("e_x", "e_y", "g_xy") if getattr(core, name) is not None})

    return schedule.with_layers([replace(layer, core=scaled(layer.core)) if isinstance(layer, CoreLayer) else layer
                                 for layer in schedule.layers])


def with_glass_fraction(schedule, change):
    """The schedule with the glass fraction of every fabric ply shifted.

    Parameters
    ----------
    schedule : Schedule
        Any schedule [-].
    change : float
        Added to the fibre weight fraction of every ply [-].

    Returns
    -------
    Schedule
        New schedule; plies with a measured thickness keep it [-].

    Raises
    ------
    InputError
        If a fraction leaves the range 0 to 1.
    """
    def shifted(layer):
        if not isinstance(layer, Ply) or layer.thickness_mm is not None:
            return layer
        own = schedule.with_layers([layer]).glass_fraction
        return replace(layer, glass_fraction=float(fraction("glass fraction", own + change)))

    return schedule.with_layers([shifted(layer) for layer in schedule.layers])
