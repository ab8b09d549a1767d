"""What is to be asked about loads and sizes that a live panel tries, in the words that the sheets have for the job's own."""

from lamcalc.shop.job_details import PatchLoad
from lamcalc.shop.part_entry import entry_doubts

_KPA = 1000.0  # a MPa


def tried_doubts(job, name, found):
    """What is to be asked about a part as a live panel tries it.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    found : PanelResult, StringerResult or TransomComparison
        What was worked out for it, with the loads that were tried [-].

    Returns
    -------
    tuple of Sentence
        Sentences for `told`, as `entry_doubts` has them; empty where nothing looks wrong [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_panel import panel_variant
    >>> tried_doubts(load_demo(), "bottom", panel_variant(load_demo(), "bottom", None, pressure=0.018))
    ()
    >>> str(tried_doubts(load_demo(), "bottom", panel_variant(load_demo(), "bottom", None, pressure=0.002))[0])[:26]
    'a design pressure of 2 kPa'
    """
    part = job.parts[name]
    changes = {"transom": _engine, "stringer": _stringer, "panel": _panel}[part.kind](part, found)
    return entry_doubts(job, name, part.model_copy(update=changes))


def _kpa(load):
    return round(_KPA * load.pressure, 9) or None  # MPa and back leaves dust in the last digit


def _engine(part, found):
    tried = found.transom.engine
    return {"engine": part.engine.model_copy(update={"thrust_n": tried.thrust, "mass_kg": tried.mass_kg,
                                                     "trailering_factor": found.transom.trailering_factor})}


def _stringer(part, found):
    return {"pressure_kpa": _kpa(found.load), "span_mm": found.load.span, "height_mm": found.stringer.height}


def _panel(part, found):
    load, patch = found.load, None
    if load.force:
        patch = PatchLoad(force_n=load.force, length_mm=load.patch_x, width_mm=load.patch_y)
    return {"pressure_kpa": _kpa(load), "patch_load": patch}
