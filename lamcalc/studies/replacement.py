"""Replace like with like: schedules from stock at least as stiff and strong in bending as the old laminate."""

from dataclasses import dataclass, replace

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.parts.layer_strength import unlike_evidence
from lamcalc.schedule import Coat, CoreLayer, Ply
from lamcalc.studies.search import NO_RULES, search_sandwich, search_single_skin
from lamcalc.studies.search_model import SearchResult, Targets, make_palette
from lamcalc.studies.search_orders import evaluate

_UNIT_MOMENTS = ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0))


@dataclass(frozen=True, eq=False)
class Replacement:
    """Schedules from stock that equal or better an old laminate.

    Parameters
    ----------
    old_stiffness : tuple of (float, float)
        1/d11 and 1/d22 of the old laminate [N mm].
    old_moments : tuple of float
        First-ply moments +Mx, -Mx, +My, -My of the old laminate; empty if its strength is not known [N mm/mm].
    required : float
        What the ratios new to old must reach [-].
    result : SearchResult
        The search behind it; its ratios are on the least old moments [-].
    unlike : str
        Caution where old and new stand on different evidence, empty if they do not [-].

    Examples
    --------
    >>> Replacement.__dataclass_params__.frozen
    True
    """

    old_stiffness: tuple
    old_moments: tuple
    required: float
    result: SearchResult
    unlike: str = ""

    @property
    def sentence(self):
        """The answer in words [-]."""
        strong = "bending strength" if self.old_moments else "NOT strength: the old one's is not known"
        unlike = f"{self.unlike} " if self.unlike else ""
        return (f"{unlike}Asked: at least {self.required:g} times the old bending stiffness both ways, and {strong}. "
                + self.result.sentence)

    def table(self):
        """The schedules with their ratios to the old laminate, best first.

        Returns
        -------
        DataFrame
            Column names carry the units [-].
        """
        table = self.result.table()
        if len(table):
            table["stiffness x, new/old [-]"] = table["1/d11 [N mm]"] / self.old_stiffness[0]
            table["stiffness y, new/old [-]"] = table["1/d22 [N mm]"] / self.old_stiffness[1]
            table["bending strength, new/old [-]"] = table["first-ply ratio [-]"] if self.old_moments else np.nan
        return table


def old_figures(old, *, level="iso_level_c"):
    """Bending stiffness and first-ply moments of an old schedule, by the functions of the search.

    Parameters
    ----------
    old : Schedule
        The old laminate; coats carry nothing [-].
    level : str
        Evaluation level of the strengths [-].

    Returns
    -------
    stiffness : tuple of (float, float)
        1/d11 and 1/d22 [N mm].
    moments : tuple of float
        First-ply moments +Mx, -Mx, +My, -My; empty if a strength is not known [N mm/mm].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.parts.old_laminate import measured_layer
    >>> from lamcalc.schedule import Schedule
    >>> stiffness, moments = old_figures(Schedule((measured_layer(6.0, 0.35),), catalogue.load().fibres))
    >>> round(stiffness[0] / stiffness[1], 3), len(moments)
    (1.0, 4)
    """
    laid = [replace(layer, count=1) if isinstance(layer, (Ply, CoreLayer)) else layer
            for layer in old.laid if not isinstance(layer, Coat)]
    palette = make_palette(laid, old.fibres, level=level, property_model=old.property_model)
    order = np.arange(len(laid))[None]
    values = [evaluate(palette, order, Targets(moments=load), every=True)[1][0] for load in _UNIT_MOMENTS]
    moments = () if palette.unchecked else tuple(float(v[2]) for v in values)
    return (float(values[0][0]), float(values[0][1])), moments


def replace_like_with_like(old, palette, *, required=1.0, level=None, objective="mass", rules=NO_RULES,
                           layers=(1, 8), best=10, front=False, progress=None, stop=None):
    """Schedules from stock that equal or better an old laminate in bending, ranked.

    Parameters
    ----------
    old : Schedule
        What came out; a measured laminate is a Schedule of one `old_laminate.measured_layer` [-].
    palette : Palette
        What is in stock, see `make_palette`; with cores in it a sandwich is sought [-].
    required : float
        Least ratio new to old, on stiffness both ways and on first-ply moment both ways and both signs [-].
    level : str, optional
        Evaluation level of the old strengths: that of the palette, which is taken if left out [-].
    objective : str or tuple of str
        "mass", "cost", "layers" [-].
    rules : OrderRules
        Order of the layers [-].
    layers : tuple of (int, int)
        Least and most layers of a skin [-].
    best : int
        How many to return [-].
    front : bool
        Whether to find the mass/cost front as well [-].
    progress : callable, optional
        As in `search_single_skin` [-].
    stop : threading.Event, optional
        As in `search_single_skin` [-].

    Returns
    -------
    Replacement
        Ranked schedules with their ratios [-].

    Raises
    ------
    InputError
        If `required` is not positive, the palette does not suit, or its strengths are of another evaluation level: the
        less was known of the old laminate, the less would be asked of the new one.

    Notes
    -----
    Compares bending alone: stretching stiffness, core shear and wrinkling are not compared.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Schedule
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> old = Schedule((mat, mat), shop.fibres)
    >>> replace_like_with_like(old, make_palette([mat], shop.fibres)).result.best[0].key[2]
    2
    """
    required = float(positive("required ratio", required))
    if level not in (None, palette.level):
        raise InputError("evaluation level of the old laminate", f"must be that of the palette, {palette.level} [-]",
                         level, "make the palette at the same level, or leave the level out")
    stiffness, moments = old_figures(old, level=palette.level)
    loads = tuple(tuple(m * x for x in unit) for m, unit in zip(moments, _UNIT_MOMENTS, strict=False))
    if moments and not np.isfinite(moments).all():
        raise InputError("old laminate", "must have a finite first-ply moment [N mm/mm]", moments,
                         "give the old layers their strengths, or leave them out to compare stiffness alone")
    # equal to the last digit counts as equal
    least = required * (1 - 1e-9)
    targets = Targets(stiffness_x=least * stiffness[0], stiffness_y=least * stiffness[1],
                      margin=least if loads else None, moments=loads)
    search = search_sandwich if any(isinstance(x, CoreLayer) for x in palette.layers) else search_single_skin
    result = search(palette, targets, objective=objective, rules=rules, layers=layers, best=best, front=front,
                    progress=progress, stop=stop)
    return Replacement(stiffness, moments, required, result, unlike_evidence(old, palette.stock))
