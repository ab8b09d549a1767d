"""From a job file to its stringers: the bridge between the file's words and `lamcalc.parts.stringer`."""

from dataclasses import replace
from functools import lru_cache

from lamcalc.errors import InputError
from lamcalc.mechanics.strength import DesignFactor
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.parts.stringer_sizing import size_stringer, with_counts
from lamcalc.shop import job as jobs
from lamcalc.shop.job_schedule import part_of_kind

# the file gives a former's modulus only: the shear modulus of an even material with this Poisson's ratio, but of wood,
# which no foam or board reaches in modulus, a sixteenth of it (common practice, from memory)
FORMER_POISSON = 0.3
WOOD_MODULUS, WOOD_SHEAR_SHARE = 2000.0, 1 / 16
FOAM_FACTOR = DesignFactor("former_foam", 0.5, "own choice, taken for bending too", "assumed", "the core's crushing strength")
SHAPE_ONLY = "shape"


def stringer_part(job, name=None):
    """The stringers of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first stringer if not given [-].

    Returns
    -------
    StringerPart
        The part as the file has it [-].

    Raises
    ------
    InputError
        If the job has no such stringer.

    Examples
    --------
    >>> stringer_part(jobs.load_demo()).crown
    'stringer_crown'
    """
    return part_of_kind(job, "stringer", name)


def stringer_case(job, name=None, option=None, *, property_model="micromechanics"):
    """Build and load of a job's stringer.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first stringer if not given [-].
    option : str, optional
        Schedule laid over the former; the chosen one, else the first option [-].
    property_model : str
        How ply constants are found [-].

    Returns
    -------
    tuple of (Stringer, StringerLoad)
        Ready for `lamcalc.parts.stringer` [mm, N, MPa].

    Raises
    ------
    InputError
        If the job has no such stringer or option, no plating for it, or a value is out of range.

    Notes
    -----
    Ends held against turning: the stringer runs on over its supports.  Attached plating as the file gives it, else
    by the rule that is the default of `Stringer`.  Where the file gives a modulus of the former, it carries, with
    the shear modulus of an even material of Poisson's ratio 0.3 (assumed), and has no strength: it shows as
    unchecked.

    Examples
    --------
    >>> hat, load = stringer_case(jobs.load_demo())
    >>> [round(width) for width in hat.developed_widths], round(load.total)
    ([414, 464], 7452)
    """
    part = stringer_part(job, name)
    chosen = _option(part, option)
    if part.plating is None:
        raise InputError(
            "plating of the stringer",
            "must be named: a stringer works with the panel it is bonded to [-]",
            None,
            'give plating = "a schedule" in the job file',
        )
    shelf = jobs.catalogue(job)
    built = {
        key: jobs.schedule(job, key, shelf, property_model=property_model)
        for key in (part.plating, chosen, part.crown)
        if key
    }
    former = part.former
    carries = {} if former.e_mpa is None else {"e": former.e_mpa, "g": former.e_mpa * (
        WOOD_SHEAR_SHARE if former.e_mpa > WOOD_MODULUS else 1 / (2 * (1 + FORMER_POISSON)))}
    width = {} if part.plating_width_mm is None else {"attached": part.plating_width_mm}
    hat = Stringer(
        "hat",
        built[part.plating],
        built[chosen],
        part.height_mm,
        part.legs_mm,
        part.base_width_mm,
        part.top_width_mm,
        built.get(part.crown),
        part.crown_width_mm,
        Former(former.density_kg_m3, **carries),
        **width,
    )
    load = StringerLoad(
        part.span_mm,
        part.spacing_mm,
        pressure=part.pressure_kpa / 1000,
        deflection_over=part.deflection_limit_span_over,
    )
    return hat, load


def _option(part, option):
    chosen = option or part.chosen or next(iter(part.options), None)
    if chosen not in part.options:
        raise InputError(
            "stringer option",
            f"must be one of {', '.join(part.options) or 'none yet'} [-]",
            option,
            "choose one of them, or add it to options in the job file",
        )
    return chosen


def stringer_result(job, name=None, option=None, *, property_model="micromechanics", **options):
    """Figures, margins and rule checks of a job's stringer.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first stringer if not given [-].
    option : str, optional
        Schedule laid over the former; the chosen one, else the first option [-].
    property_model : str
        How ply constants are found [-].
    **options
        Passed on to `assess_stringer` [-].

    Returns
    -------
    StringerResult
        With `margins`, `rule_checks`, `sentence` and `cautions` [mm, N, MPa].

    Raises
    ------
    InputError
        As `stringer_case`.

    Examples
    --------
    >>> found = stringer_result(jobs.load_demo())
    >>> f"{found.deflection_mm:.2f} of {found.deflection_limit_mm:.2f} mm"
    '0.75 of 4.50 mm'
    """
    return assess_stringer(*stringer_case(job, name, option, property_model=property_model), **options)


def former_choices(job):
    """Formers to try: the job's own that only gives the shape, and every core of the catalogue as one that carries.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    list of (str, str)
        Words and key for `stringer_variant` [-].

    Examples
    --------
    >>> former_choices(jobs.load_demo())[0][1]
    'shape'
    """
    part = stringer_part(job)
    shelf = jobs.catalogue(job)
    return [(f"{part.former.material}: gives the shape only", SHAPE_ONLY)] + [
        (f"carries: {core.name}", key)
        for key, core in shelf.cores.items()
        if core.e_x is not None and core.g_xz is not None and "former only" not in core.name
    ]


def carrying_former(core):
    """A core of the catalogue as a former that takes part in bending.

    Parameters
    ----------
    core : Core
        The core [-].

    Returns
    -------
    Former
        Its moduli along the stringer and its strength in bending [kg/m3, MPa].

    Raises
    ------
    InputError
        If the core has no modulus along it or no shear modulus.

    Notes
    -----
    Plywood by its panel bending strength; foam and board by their crushing strength, half of which is usable
    (assumed).

    Examples
    --------
    >>> carrying_former(jobs.catalogue(jobs.load_demo()).core("pvc_80")).carries
    True
    """
    bending = core.bending_strength or core.compressive_strength
    factor = None if core.bending_strength is not None else FOAM_FACTOR
    return Former(
        float(core.density_kg_m3),
        e=float(core.require("e_x")),
        g=float(core.require("g_xz")),
        strength=None if bending is None else float(bending),
        factor=factor,
    )


def stringer_variant(
    job, *, height_mm, plies, cap_layers, span_mm, pressure, former=SHAPE_ONLY, ends="fixed", name=None, option=None
):
    """A job's stringer with other height, layers, span, pressure or former.

    Parameters
    ----------
    job : Job
        The job [-].
    height_mm : float
        Height of the former [mm].
    plies : int
        Layers of the fabric over the former; legs grow by their last step [-].
    cap_layers : int
        Layers of the crown cap, 0 for none [-].
    span_mm : float
        Unsupported span [mm].
    pressure : float
        Design pressure on the plating [MPa].
    former : str
        'shape' for the job's former, which carries nothing, or a core of the catalogue that carries [-].
    ends : {"fixed", "simple"}
        How the ends are held [-].
    name, option : str, optional
        Part and schedule as in `stringer_case` [-].

    Returns
    -------
    StringerResult
        The changed stringer [mm, N, MPa].

    Raises
    ------
    InputError
        If a value is out of range, or the schedule has several kinds of layers.

    Examples
    --------
    >>> changed = stringer_variant(jobs.load_demo(), height_mm=95, plies=3, cap_layers=3, span_mm=900, pressure=0.018)
    >>> changed.holds
    True
    """
    hat, load = _counted(job, name, option, plies, cap_layers)
    core = None if former == SHAPE_ONLY else carrying_former(jobs.catalogue(job).core(former))
    hat = replace(hat, height=height_mm, former=core or replace(hat.former, e=0.0, g=0.0))
    return assess_stringer(hat, replace(load, span=span_mm, pressure=pressure, ends=ends))


@lru_cache(maxsize=64)
def _counted(job, name, option, plies, cap_layers):
    """Build with other numbers of layers, and its load; kept, because schedules remember their laminates."""
    hat, load = stringer_case(job, name, option)
    return with_counts(hat, plies=plies, cap_layers=cap_layers), load


def stringer_sizing(
    job,
    name=None,
    option=None,
    *,
    plies=(1, 2, 3, 4),
    cap_layers=(0, 1, 2, 3, 4),
    heights=(35.0, 50.0, 65.0, 80.0, 95.0, 110.0),
    objective="mass",
    reserve=1.0,
    use_rules=True,
    **options,
):
    """Lightest or cheapest build of a job's stringer that meets the targets.

    Parameters
    ----------
    job : Job
        The job [-].
    name, option : str, optional
        Part and schedule as in `stringer_case` [-].
    plies, cap_layers : sequence of int
        Layers over the former and in the cap to try [-].
    heights : sequence of float
        Heights of the former to try [mm].
    objective : {"mass", "cost"}
        What to make least [-].
    reserve : float
        Least reserve factor for every margin [-].
    use_rules : bool
        Whether the rule checks must be met as well [-].
    **options
        Passed on to `assess_stringer` [-].

    Returns
    -------
    SizingResult
        All combinations and the best one [-].

    Raises
    ------
    InputError
        As `size_stringer`.

    Examples
    --------
    >>> found = stringer_sizing(jobs.load_demo(), plies=(2, 3), cap_layers=(0, 3), heights=(95.0,))
    >>> found.combinations[found.best_index]
    (3, 0, 95.0)
    """
    hat, load = stringer_case(job, name, option)
    if hat.cap is None:
        cap_layers = (0,)
    return size_stringer(
        hat,
        load,
        plies=plies,
        cap_layers=cap_layers,
        heights=heights,
        objective=objective,
        reserve=reserve,
        use_rules=use_rules,
        **options,
    )
