"""From a job file to its panels: the bridge between the file's words and `lamcalc.parts.panel`."""

from dataclasses import replace
from functools import lru_cache

from lamcalc.errors import InputError
from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
from lamcalc.parts.panel_edge import close_out
from lamcalc.parts.panel_repair import compare_repair
from lamcalc.schedule import Coat, CoreLayer
from lamcalc.shop import job as jobs
from lamcalc.shop.job_schedule import part_of_kind
from lamcalc.shop.job_scarf import bond_margins

_EDGE = {"clamped": "C", "simply_supported": "S", "free": "F"}


def panel_part(job, name=None):
    """A panel of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first panel if not given [-].

    Returns
    -------
    PanelPart
        The part as the file has it [-].

    Raises
    ------
    InputError
        If the job has no such panel.

    Examples
    --------
    >>> panel_part(jobs.load_demo(), "sole").span_mm
    460.0
    """
    return part_of_kind(job, "panel", name)


def panel_case(job, name=None):
    """Size, edges and load of a job's panel.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first panel if not given [-].

    Returns
    -------
    tuple of (Panel, PanelLoad)
        Ready for `lamcalc.parts.panel` [mm, N, MPa].

    Raises
    ------
    InputError
        If the job has no such panel or a value is out of range.

    Notes
    -----
    A pressure acts on the first layer, the outer skin.  A panel that carries a patch load is walked on: its
    schedules list the layers from below upwards, so the load acts on the last one.

    Examples
    --------
    >>> panel, load = panel_case(jobs.load_demo(), "sole")
    >>> panel.edges, load.words
    ('SSSS', '1200 N on 100 x 100 mm')
    """
    part = panel_part(job, name)
    edges = "".join(_EDGE[getattr(part.edges, side)] for side in ("left", "right", "bottom", "top"))
    patch = part.patch_load
    force = {} if patch is None else {"force": patch.force_n, "patch_x": patch.length_mm, "patch_y": patch.width_mm}
    load = PanelLoad(
        pressure=(part.pressure_kpa or 0.0) / 1000,
        deflection_over=part.deflection_limit_span_over,
        from_inside=patch is not None,
        **force,
    )
    return Panel(part.length_mm, part.span_mm, edges=edges), load


def _option(part, option):
    chosen = option or part.chosen or next(iter(part.options), part.original)
    known = dict.fromkeys([*part.options, *([part.original] if part.original else [])])
    if chosen not in known:
        raise InputError(
            "panel option",
            f"must be one of {', '.join(known) or 'none yet'} [-]",
            option,
            "choose one of them, or add it to options in the job file",
        )
    return chosen


def panel_result(job, name=None, option=None, *, property_model="micromechanics", **options):
    """Figures, margins and rule checks of one laminate of a job's panel.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first panel if not given [-].
    option : str, optional
        Schedule: an option or the original; the chosen one if not given [-].
    property_model : str
        How ply constants are found [-].
    **options
        Passed on to `assess_panel` [-].

    Returns
    -------
    PanelResult
        With `margins`, `rule_checks`, `sentence` and `cautions` [mm, N, MPa].

    Raises
    ------
    InputError
        If the job has no such panel or option, or a value is out of range.

    Examples
    --------
    >>> found = panel_result(jobs.load_demo(), "sole", "sole_board")
    >>> found.holds, len(found.margins)
    (True, 7)
    """
    part = panel_part(job, name)
    key = _option(part, option)
    built = jobs.schedule(job, key, property_model=property_model)
    return _with_bond(part, key, assess_panel(*panel_case(job, name), built, **options))


def _with_bond(part, option, result):
    """The result of a patch with the margin of its bond, where the shop knows what a bond may carry."""
    bond = bond_margins(part.repair, result) if option in part.options else ()
    return replace(result, margins=(*result.margins, *bond)) if bond else result


def panel_repair(job, name=None, option=None, *, property_model="micromechanics", **options):
    """The repair of a job's panel against the laminate that came out.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first panel if not given [-].
    option : str, optional
        Schedule of the repair; the chosen one if not given [-].
    property_model : str
        How ply constants are found [-].
    **options
        Passed on to `compare_repair` [-].

    Returns
    -------
    RepairComparison
        Ratios, sentence, table and cautions [-].

    Raises
    ------
    InputError
        If the panel has no original, or the option is unknown.

    Examples
    --------
    >>> panel_repair(jobs.load_demo(), "bottom", "bottom_patch_rovings").equivalent
    True
    """
    part = panel_part(job, name)
    if part.original is None:
        raise InputError(
            "original of the panel",
            "must be named for a comparison [-]",
            None,
            'give original = "a schedule" in the job file',
        )
    shelf = jobs.catalogue(job)
    old, new = (
        jobs.schedule(job, key, shelf, property_model=property_model) for key in (part.original, _option(part, option))
    )
    found = compare_repair(*panel_case(job, name), old, new, **options)
    return replace(found, repair=_with_bond(part, _option(part, option), found.repair))


def panel_variant(
    job, name, option, *, pressure=None, force=None, edges=None, extra_plies=0, core_thickness_mm=None, core=None
):
    """A laminate of a job's panel with other load, edges, number of plies or core.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str
        Schedule: an option or the original [-].
    pressure : float, optional
        Pressure instead of the job's [MPa].
    force : float, optional
        Force on the patch instead of the job's, on the job's patch [N].
    edges : str, optional
        Edges as in `Panel` [-].
    extra_plies : int
        More (or fewer, if negative) of every fabric of the last skin laid: of the last fabric of a single skin [-].
    core_thickness_mm : float, optional
        Thickness of the core, its own price then by its area kept [mm].
    core : str, optional
        Another core of the catalogue, as it stands there [-].

    Returns
    -------
    PanelResult
        The changed panel [mm, N, MPa].

    Raises
    ------
    InputError
        If the option is unknown, a value is out of range, or there is no core to change.

    Examples
    --------
    >>> thicker = panel_variant(jobs.load_demo(), "sole", "sole_board", core_thickness_mm=25.0)
    >>> thicker.deflection_mm < panel_result(jobs.load_demo(), "sole", "sole_board").deflection_mm
    True
    """
    panel, load = panel_case(job, name)
    part = panel_part(job, name)
    key = _option(part, option)
    built = _changed(job, key, extra_plies, core_thickness_mm, core)
    changes = {key: value for key, value in (("pressure", pressure), ("force", force)) if value is not None}
    panel = panel if edges is None else replace(panel, edges=edges)
    return _with_bond(part, key, assess_panel(panel, replace(load, **changes), built))


def planned_core_mm(job, option):
    """Thickness of the core that the job plans for an option.

    Parameters
    ----------
    job : Job
        The job [-].
    option : str
        Schedule of the job [-].

    Returns
    -------
    float or None
        The thinnest of its cores, None where it has none [mm].

    Examples
    --------
    >>> planned_core_mm(jobs.load_demo(), "sole_board")
    19.0
    """
    return min((layer.thickness_mm for layer in jobs.schedule(job, option).laid if isinstance(layer, CoreLayer)), default=None)


@lru_cache(maxsize=64)
def _changed(job, option, extra_plies, core_thickness_mm, core):
    """A schedule with other layers; kept, because schedules remember their laminates."""
    shelf = jobs.catalogue(job)
    built = jobs.schedule(job, option, shelf)
    layers = _with_core(list(built.layers), shelf, core, core_thickness_mm)
    return built.with_layers(_with_extra(layers, extra_plies))


def _with_core(layers, shelf, key, thickness):
    """Layers with every core changed."""
    if key is None and thickness is None:
        return layers
    if not any(isinstance(layer, CoreLayer) for layer in layers):
        raise InputError(
            "core", "can only be changed in a sandwich [-]", key or thickness, "choose a laminate with a core"
        )
    return [
        layer
        if not isinstance(layer, CoreLayer)
        else replace(
            layer,
            core=layer.core if key is None else shelf.core(key),
            thickness_mm=layer.thickness_mm if thickness is None else thickness,
        )
        for layer in layers
    ]


def _with_extra(layers, extra):
    """Layers with the count of the last fabric changed."""
    cloth = [
        k for k, layer in enumerate(layers) if not isinstance(layer, (Coat, CoreLayer)) and hasattr(layer, "count")
    ]
    if extra == 0 or not cloth:
        return layers
    last = cloth[-1]
    count = layers[last].count + extra
    if count < 1:
        raise InputError("plies", "must leave at least one of the last fabric [-]", count, "take away fewer")
    return [replace(layer, count=count) if k == last else layer for k, layer in enumerate(layers)]


def panel_close_out(job, name=None, option=None):
    """The filled edge of a job's sandwich panel.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first panel if not given [-].
    option : str, optional
        Schedule; the chosen one if not given [-].

    Returns
    -------
    CloseOut or None
        Length, volume, mass and bearing of the edge; None where the file asks for no close-out or the laminate has no
        core [-].

    Raises
    ------
    InputError
        If the job has no such panel or option.

    Examples
    --------
    >>> round(panel_close_out(jobs.load_demo(), "sole", "sole_board").volume_l, 2)
    1.69
    """
    part = panel_part(job, name)
    if not part.edge_close_out_mm:
        return None
    found = panel_result(job, name, option)
    if not any(isinstance(layer, CoreLayer) for layer in found.schedule.laid):
        return None
    return close_out(
        found,
        depth_mm=part.edge_close_out_mm,
        status=part.edge_close_out_status,
        piece_length=part.piece_length_mm or part.length_mm,
        piece_width=part.piece_width_mm or part.span_mm,
    )
