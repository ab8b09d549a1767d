"""From a job file to the transom comparison: the bridge between the file's words and `lamcalc.parts.transom`."""

from dataclasses import replace
from functools import lru_cache

from lamcalc.errors import InputError
from lamcalc.mechanics.sections import Section
from lamcalc.parts.loads import BoltPattern, OutboardEngine
from lamcalc.parts.schedule_variants import with_core_modulus
from lamcalc.parts.thrust import usual_thrust
from lamcalc.parts.transom import Transom, TransomOutline
from lamcalc.parts.transom_comparison import compare_cores
from lamcalc.parts.transom_strength import TransomStrengthBasis
from lamcalc.schedule import CoreLayer, Ply, SolidLayer
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop import job as jobs
from lamcalc.shop.job_schedule import name_of_kind, part_of_kind

_EDGE = {"clamped": "C", "simply_supported": "S", "free": "F"}


def transom_part(job, name=None):
    """The transom of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first transom if not given [-].

    Returns
    -------
    TransomPart
        The part as the file has it [-].

    Raises
    ------
    InputError
        If the job has no such transom.

    Examples
    --------
    >>> transom_part(jobs.load_demo()).original
    'transom_original'
    """
    return part_of_kind(job, "transom", name)


def transom_case(job, name=None):
    """Shape, engine, bolts and window of a job's transom.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first transom if not given [-].

    Returns
    -------
    Transom
        Ready for `lamcalc.parts.transom` [mm, kg, N].

    Raises
    ------
    InputError
        If the job has no such transom or a value is out of range.

    Examples
    --------
    >>> transom_case(jobs.load_demo()).trailering_factor
    2.5
    """
    part = transom_part(job, name)
    shape, engine, bolts, edges = part.outline, part.engine, part.bolts, part.edges
    outline = TransomOutline(shape.top_width_mm, shape.chine_width_mm, shape.height_mm, shape.vee_mm,
                             shape.cut_out_width_mm, shape.cut_out_depth_mm,
                             shape.area_m2 if shape.polygon_mm else shape.net_area_m2)
    if engine.thrust_n is None:
        low, high = usual_thrust(engine.power_kw)
        raise InputError(f"thrust_n of the engine of {part.title or 'the transom'}", "must be given [N]", None, Sentence(
            "ask the engine's maker, or enter the greater end of what a published formula gives for {power}, {low} to {high}",
            power=Figure(engine.power_kw, "power", digits=3), low=Figure(low, "force"), high=Figure(high, "force")))
    outboard = OutboardEngine(engine.mass_kg, centre_aft=engine.centre_aft_mm, thrust=engine.thrust_n,
                              thrust_below=engine.thrust_below_bolts_mm, centre_above=engine.centre_above_bolts_mm)
    if bolts.number < 4 or bolts.number % 2:
        raise InputError("parts.transom.bolts.number", "must be 4 or a larger even number, half of it in each row [-]",
                         bolts.number, "enter the bolts of upper and lower row together")
    a_row = bolts.number // 2
    pattern = BoltPattern(bolts.diameter_mm, bolts.upper_spacing_mm, bolts.row_spacing_mm, bolts.plate_width_mm,
                          bolts.plate_length_mm, bolts.plate_thickness_mm, upper_bolts=a_row, lower_bolts=a_row,
                          lower_spacing=bolts.lower_spacing_mm)
    held = "".join(_EDGE[getattr(edges, side)] for side in ("left", "right", "bottom", "top"))
    leg = max((tape.leg_mm for tape in part.tabbing.tapes), default=None) if part.tabbing else None
    place = {} if bolts.below_edge_mm is None else {"bolts_below_edge": bolts.below_edge_mm}
    return Transom(outline, outboard, pattern, engine.trailering_factor, part.window.low_mm, part.window.high_mm,
                   edges=held, knees=part.knees_at_mm, knee_width=part.knee_width_mm, basis=_basis(bolts, leg), **place)


def _basis(bolts, leg):
    """Strengths of bolts and plates as the job gives them, with the longest leg of the tabbing."""
    basis = TransomStrengthBasis(tab_leg_mm=leg)
    if bolts.proof_mpa is not None:
        basis = replace(basis, bolt_proof_mpa=bolts.proof_mpa, bolt_class="{proof} proof stress, from the job file")
    return basis if bolts.plate_yield_mpa is None else replace(basis, plate_yield_mpa=bolts.plate_yield_mpa)


def original_of(job, part):
    """Name of the schedule of what came out of a transom.

    Parameters
    ----------
    job : Job
        The job [-].
    part : TransomPart
        The transom [-].

    Returns
    -------
    str
        Name [-].

    Raises
    ------
    InputError
        If the job does not say what came out.

    Examples
    --------
    >>> from lamcalc.shop import job as jobs
    >>> original_of(jobs.load_demo(), transom_part(jobs.load_demo()))
    'transom_original'
    """
    if part.original is None:
        name = next(key for key, one in job.parts.items() if one is part)
        raise InputError(f"parts.{name}.original", "is needed for the comparison: the schedule of what came out [-]", None,
                         "enter the old build as a schedule and write its name there")
    return part.original


def transom_comparison(job, name=None, *, property_model="micromechanics"):
    """Compare the core options of a job's transom with its original build.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the part; the first transom if not given [-].
    property_model : str
        How ply constants are found [-].

    Returns
    -------
    TransomComparison
        Results, table and recommendation [-].

    Raises
    ------
    InputError
        If the job has no such transom, no option, or a material is unknown.

    Examples
    --------
    >>> len(transom_comparison(jobs.load_demo()).options)
    3
    """
    part = transom_part(job, name)
    where = f"parts.{name_of_kind(job, 'transom', name)}"
    original = original_of(job, part)
    if not part.options:
        raise InputError(f"{where}.options", "must name at least one schedule to compare [-]", "an empty list",
                         "write the names of the builds that could go in")
    shelf = jobs.catalogue(job)
    builds = {build: jobs.schedule(job, build, shelf, property_model=property_model)
              for build in (original, *part.options)}
    titles = [job.schedules[key].title or key for key in part.options]
    # two options that are called alike stay two
    options = {title if titles.count(title) == 1 else f"{title} ({key})": builds[key]
               for title, key in zip(titles, part.options, strict=True)}
    return replace(compare_cores(transom_case(job, name), options, builds[original]), currency=job.prices.currency)


def screening_stiffness(job, option, name=None):
    """Bending stiffness of an option across the boat by hand calculation: outer skin, core, inner skin, no bond lines.

    Parameters
    ----------
    job : Job
        The job; its transom must give screening moduli and the inner skin's schedule [-].
    option : str
        Name of the option's schedule in the job [-].
    name : str, optional
        Name of the part; the first transom if not given [-].

    Returns
    -------
    float
        Stiffness per width [N mm2/mm].

    Raises
    ------
    InputError
        If the screening moduli, the inner skin, the outer skin or the core are missing.

    Examples
    --------
    >>> round(screening_stiffness(jobs.load_demo(), "transom_board") / 1e6)
    46
    """
    part = transom_part(job, name)
    layers = jobs.schedule(job, option).laid
    outer = [layer.thickness_mm for layer in layers if isinstance(layer, SolidLayer)]
    cores = [layer for layer in layers if isinstance(layer, CoreLayer)]
    if part.screening is None or part.inner_skin is None or not outer or not cores:
        raise InputError("hand calculation", "needs screening moduli, inner_skin, an outer skin and a core [-]", option,
                         "add them to the transom in the job file")
    inner = jobs.schedule(job, part.inner_skin).structural_thickness_mm
    along = "e_y" if 45 < cores[0].angle_deg % 180 < 135 else "e_x"  # of the face grain across the boat or upwards
    section = Section.from_layers(
        [part.screening.outer_skin_e_mpa, float(cores[0].core.require(along)), part.screening.inner_skin_e_mpa],
        [outer[0], sum(core.thickness_mm for core in cores), inner], width_mm=1.0)
    return float(section.ei)


def transom_variant(job, option, *, thrust, engine_mass_kg, trailering_factor, core_modulus_factor=1.0, extra_plies=0,
                    name=None):
    """One option of a job's transom with other loads, core modulus or number of biaxial plies.

    Parameters
    ----------
    job : Job
        The job [-].
    option : str
        Name of the option's schedule in the job [-].
    thrust : float
        Static thrust ahead [N].
    engine_mass_kg : float
        Running mass of the engine [kg].
    trailering_factor : float
        Multiple of the engine's weight [g].
    core_modulus_factor : float
        Factor on the in-plane moduli of the core [-].
    extra_plies : int
        More (or fewer, if negative) of the last mat-backed fabric of the schedule [-].
    name : str, optional
        Name of the part; the first transom if not given [-].

    Returns
    -------
    TransomComparison
        The changed option against the original [-].

    Raises
    ------
    InputError
        If the option is unknown, or a value is out of range.

    Examples
    --------
    >>> changed = transom_variant(jobs.load_demo(), "transom_board", thrust=2100, engine_mass_kg=104,
    ...                           trailering_factor=2.5, extra_plies=1)
    >>> changed.options[0].thickness_mm > 49
    True
    """
    part, case = transom_part(job, name), transom_case(job, name)
    if option not in part.options:
        raise InputError("core option", f"must be one of {', '.join(part.options)} [-]", option, "choose one of them")
    case = replace(case, engine=replace(case.engine, thrust=thrust, mass_kg=engine_mass_kg),
                   trailering_factor=trailering_factor)
    build = _changed(job, option, float(core_modulus_factor), extra_plies)
    found = compare_cores(case, {job.schedules[option].title or option: build}, _changed(job, part.original, 1.0, 0))
    return replace(found, currency=job.prices.currency)


@lru_cache(maxsize=64)
def _changed(job, key, core_modulus_factor, extra_plies):
    """A schedule of the job with other core modulus and plies, kept, because a moved slider asks for it again."""
    build = with_core_modulus(jobs.schedule(job, key, jobs.catalogue(job)), core_modulus_factor)
    return build.with_layers(_with_extra(build.layers, extra_plies))


def _with_extra(layers, extra):
    """Layers with the count of the last mat-backed fabric changed."""
    backed = [k for k, layer in enumerate(layers) if isinstance(layer, Ply) and layer.reinforcement.has_mat]
    if extra == 0 or not backed:
        return layers
    last = backed[-1]
    count = layers[last].count + extra
    if count < 1:
        raise InputError("plies", "must leave at least one of the fabric [-]", count, "take away fewer")
    return [replace(layer, count=count) if k == last else layer for k, layer in enumerate(layers)]
