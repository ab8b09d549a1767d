"""Targets of a search from a panel under pressure, by the rule's fixed panel coefficients."""

from lamcalc.errors import InputError
from lamcalc.mechanics.strength import design_factor
from lamcalc.parts.panel_factors import deflection_factor, moment_factor
from lamcalc.parts.panel_rules import panel_moment, sandwich_second_moment
from lamcalc.studies.search_model import Targets

BASIS = ("Moment and stiffness are those of ISO 12215-5:2008 with its fixed panel factors k2 and k3, whatever the "
         "laminate; core shear deflection is left out. The second moment formula is from memory, unverified. Assess "
         "the answer as a panel before building.")


def panel_targets(panel, load, *, margin=None, factor="iso_ply", both_ways=True, thickness_mm=None, glass_share=None):
    """Targets that a panel under pressure sets its laminate.

    Parameters
    ----------
    panel : Panel
        Sides, edges and curvature; all edges clamped, as the rule has them [mm].
    load : PanelLoad
        Pressure, and the deflection limit if there is one [MPa].
    margin : float, optional
        Least first-ply ratio; one over the design factor if left out [-].
    factor : str
        Name of the design factor [-].
    both_ways : bool
        Whether the figures of the short side are asked along the long side too: the cautious choice [-].
    thickness_mm : tuple of (float, float), optional
        Thinnest and thickest [mm].
    glass_share : tuple of (float, float), optional
        Least and largest fibre weight fraction of the fabric layers [-].

    Returns
    -------
    Targets
        Moments with both signs, margin and, with a deflection limit, bending stiffness [-].

    Raises
    ------
    InputError
        If an edge is not clamped, there is a force on a patch, or no pressure.

    Notes
    -----
    The moments of the real plate depend on its own stiffness both ways.  So that the search stays exact, the moment
    is the rule's, ``P b^2 kC^2 k2 / 6``, and the stiffness ``b^3 kC^3 P k3 / (12 k1)`` with ``k1`` the allowed
    deflection over the short side: neither depends on the laminate.  The rule speaks of the short side alone.  A
    laminate much stiffer along the long side than across draws more moment there: `assess_panel` solves that plate.

    References
    ----------
    .. [1] ISO 12215-5:2008: Table 5 (k2, k3) and Table 6 (kC), source seen; panel moment pinned by the 2009
       replacement of Table H.1; second moment from memory.

    Examples
    --------
    >>> from lamcalc.parts.panel import Panel, PanelLoad
    >>> round(max(max(m) for m in panel_targets(Panel(1200, 400), PanelLoad(pressure=0.026)).moments))
    347
    """
    if set(panel.edges) != {"C"}:
        raise InputError("panel edges", "must be clamped all round for the rule's moments [-]", panel.edges,
                         "write CCCC, or give moments of your own to Targets")
    if load.force or not load.pressure:
        raise InputError("panel load", "must be a pressure alone for the rule's moments [MPa]", load.words,
                         "leave the patch out, or give moments of your own to Targets")
    args = (load.pressure, panel.short_side)
    moment = float(panel_moment(*args, k2=moment_factor(panel.aspect), kc=panel.kc))
    stiffness = None if load.deflection_over is None else float(sandwich_second_moment(
        *args, k3=deflection_factor(panel.aspect), e=1.0, kc=panel.kc, k1=1.0 / load.deflection_over))
    across_x = panel.length < panel.width
    ways = (0, 1) if both_ways else (0,) if across_x else (1,)
    moments = tuple(tuple(sign * moment if k == way else 0.0 for k in range(3)) for way in ways for sign in (1, -1))
    margin = 1.0 / design_factor(factor).value if margin is None else margin
    return Targets(stiffness if 0 in ways else None, stiffness if 1 in ways else None, margin, moments, thickness_mm,
                   glass_share, BASIS)
