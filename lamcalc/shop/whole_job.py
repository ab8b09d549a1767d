"""The whole chain of the shop floor for a part and for a job: from the job file to everything that the sheet prints."""

from dataclasses import dataclass, replace
from typing import NamedTuple

from lamcalc.errors import InputError
from lamcalc.parts.basis import RuleRequirement
from lamcalc.parts.layer_strength import RuleCheck
from lamcalc.parts.thrust import usual_thrust
from lamcalc.parts.transom import assess
from lamcalc.parts.transom_strength import NOT_ASSESSED
from lamcalc.schedule import CoreLayer, Ply
from lamcalc.sentences import Figure, Sentence, joined, problem_words
from lamcalc.shop.burn_off import glass_words
from lamcalc.shop.engine_entry import thrust_caution
from lamcalc.shop.field_words import field_figure, figure
from lamcalc.shop.job_batches import job_batches
from lamcalc.shop.job_joints import CLAMP_BOLTS, CLAMP_DIAMETER, CLAMP_TORQUE, job_joints
from lamcalc.shop.job_panel import panel_result
from lamcalc.shop.job_quality import job_quality
from lamcalc.shop.job_schedule import catalogue, name_of_kind, schedule
from lamcalc.shop.job_stringer import stringer_result
from lamcalc.shop.job_survey import job_survey
from lamcalc.shop.job_transom import transom_case, transom_comparison
from lamcalc.shop.limits import GEL_FACTOR, GEL_FACTOR_EPOXY, GEL_PERCENT_POWER, POT_MASS_FACTOR, WET_OUT_RATE
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.shop.sequence import review_part
from lamcalc.shop.takeoff import take_off
from lamcalc.shop.takeoff_layers import chosen_schedule

DOUBTFUL = ("assumed", "from memory", "proposal")


class Unverified(NamedTuple):
    """An input that nobody has read in a document or measured.

    Parameters
    ----------
    what, value, status, source : str
        What it is, its value with unit, its status, and where it comes from [-].

    Examples
    --------
    >>> print(Unverified("load", "1200 N", "assumed", "job file"))
    load: 1200 N (assumed, unverified; job file)
    """

    what: str
    value: str
    status: str
    source: str

    @property
    def words(self):
        """The whole as one sentence, told in either unit system [-]."""
        return Sentence("{what}: {value} ({status}, unverified; {source})", **self._asdict())

    def __str__(self):
        return str(self.words)


@dataclass(frozen=True)
class PartWork:
    """Everything computed for one part; None where it does not apply.

    Parameters
    ----------
    name, title : str
        Part and its title [-].
    part : Part
        As the job file has it [-].
    schedule : Schedule
        What is built [-].
    take_off : PartTakeOff
        Cut list, resin, supplies [kg].
    batches : BatchPlan or None
        Pots with their clock; None where a can is not described well enough [kg, min].
    review : Review
        Findings on the sequence [-].
    joints : JobJoints
        Scarf, tabbing, fillet, putty, clamps, holes, plates [mm].
    margins : tuple of Margin or None
        With the factor's rule [-].
    rule_checks : tuple of RuleCheck or None
        Requirements of rules [-].
    quality : JobQuality or None
        From the as-built readings [-].
    survey : SurveyMap or None
        From the survey readings [-].
    unverified : tuple of Unverified
        Every assumed or from-memory input [-].
    problems : tuple of str
        What could not be computed, in sentences [-].
    against : tuple of str
        What the comparison of the options holds against this one, sentences for `told` [-].
    unchecked : tuple of str
        What its margins say nothing of, because a strength or the joint is not given or a solution did not settle [-].
    doubts : tuple of str
        Loads that look mistyped or taken too low, sentences for `told` [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> part_work(load_demo(), "sole").take_off.schedule
    'sole_board'
    """

    name: str
    part: object
    title: str
    schedule: object
    take_off: object
    batches: object
    review: object
    joints: object
    margins: tuple | None
    rule_checks: tuple | None
    quality: object
    survey: object
    unverified: tuple
    problems: tuple = ()
    against: tuple = ()
    unchecked: tuple = ()
    doubts: tuple = ()

    @property
    def least(self):
        """Margin with the smallest reserve factor, None if none was computed [-]."""
        return min(self.margins or (), key=lambda margin: margin.reserve_factor, default=None)

    @property
    def failed(self):
        """Margins that do not hold and requirements that are not met [-]."""
        return (tuple(m for m in self.margins or () if not m.holds), tuple(c for c in self.rule_checks or () if not c.holds))


@dataclass(frozen=True)
class WholeJob:
    """A job with all its parts that have a chosen schedule.

    Parameters
    ----------
    job : Job
        The job [-].
    parts : tuple of PartWork
        In the order of the file [-].
    take_off : TakeOff
        Of these parts together, with buying list and cost [kg].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [work.name for work in whole_job(load_demo()).parts]
    ['transom', 'stringers', 'bottom', 'sole']
    """

    job: object
    parts: tuple
    take_off: object


def part_work(job, name, option=None, *, comparison=None):
    """Everything for one part of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    comparison : TransomComparison, optional
        Comparison of the options of the first transom; made here if not given, and for any other [-].

    Returns
    -------
    PartWork
        Schedule, take-off, batches, review, joints, margins, quality, survey, and what nobody verified [-].

    Raises
    ------
    InputError
        If the part or option is unknown, or its schedule cannot be built.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> work = part_work(load_demo(), "transom")
    >>> round(work.joints.fillet.net_ml), len(work.quality.report.checks) > 4
    (146, True)
    """
    option = chosen_schedule(job, name, option)
    part, problems = job.parts[name], []
    taken = take_off(job, parts=[name], options={name: option}).parts[name]
    batches = _tried(lambda: job_batches(job, name, option, part=taken), "No batches", problems)
    joints = _tried(lambda: job_joints(job, name, option), "No joints", problems)
    margins, rule_checks, unchecked = (
        _tried(lambda: _strength(job, name, option), "No margins", problems) or (None, None, ()))
    quality = _tried(lambda: job_quality(job, name, option, part=taken), "No quality page", problems)
    survey = _tried(lambda: job_survey(job, name), "No survey map", problems)
    against = _tried(lambda: _against(job, name, option, comparison), "No comparison with the other options", problems)
    return PartWork(name, part, part.title or name, schedule(job, option), taken, batches, review_part(job, name, option),
                    joints, margins, rule_checks, quality, survey, unverified_inputs(job, name, option), tuple(problems),
                    against or (), unchecked, _doubts(job, name, option) if margins else entry_doubts(job, name))


def whole_job(job):
    """Everything for every part of a job that has a chosen schedule.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    WholeJob
        Parts and the take-off of all of them [-].

    Raises
    ------
    InputError
        If no part has a chosen schedule, or one cannot be computed.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> round(whole_job(load_demo()).take_off.parts["transom"].glass_kg("laminate"), 2)
    3.46
    """
    names = [name for name, part in job.parts.items() if part.chosen]
    found = take_off(job, parts=names)
    return WholeJob(job, tuple(part_work(job, name) for name in names), found)


def _tried(compute, words, problems):
    """A result, or None and a sentence: one missing input must not take the whole sheet away."""
    try:
        return compute()
    except InputError as error:
        problems.append(joined(": ", [words, problem_words(error)]))
        return None


def _strength(job, name, option):
    kind = job.parts[name].kind
    if kind == "transom":
        found = assess(transom_case(job, name), option, schedule(job, option)).strength
        # what no transom is assessed for stands with the comparison; soft cores are not limited in the plane
        return found.margins, None, tuple(one for one in found.not_assessed
                                          if one not in NOT_ASSESSED and not one.startswith("core in bending"))
    result = (stringer_result if kind == "stringer" else panel_result)(job, name, option)
    checks, limit = result.rule_checks, result.deflection_limit_mm
    if limit is not None and result.deflection_mm > limit:  # a limit that is kept needs no line on the sheet
        asked = RuleRequirement("deflection", limit, "mm", "limit in the job file",
                                f"span/{result.load.deflection_over:g}", "user")
        checks = (*checks, RuleCheck(asked, result.deflection_mm, at_most=True))
    return result.margins, checks, result.unchecked


def _doubts(job, name, option):
    """Loads to be asked about; where the thrust may be too low, with the margin that the formula's greater end would leave."""
    doubts = entry_doubts(job, name)
    if job.parts[name].kind != "transom" or thrust_caution(job, name) is None:
        return doubts
    case, most = transom_case(job, name), usual_thrust(job.parts[name].engine.power_kw)[1]
    harder = replace(case, engine=replace(case.engine, thrust=most))
    least = min(assess(harder, option, schedule(job, option)).strength.margins, key=lambda margin: margin.reserve_factor)
    told_too = Sentence("At {most} the smallest margin would be {factor}, {name}: {verdict}.", most=Figure(most, "force"),
                        factor=f"{least.reserve_factor:.2f}", name=least.name, verdict=least.verdict)
    return (*doubts[:-1], joined(" ", [doubts[-1], told_too]))


def _against(job, name, option, comparison):
    """What the comparison of a transom's options holds against one of them; nothing for other parts."""
    part = job.parts[name]
    if part.kind != "transom" or option not in part.options:
        return ()
    # the one that is handed in is of the first transom
    comparison = comparison if comparison and name == name_of_kind(job, "transom") else transom_comparison(job, name)
    return comparison.objections(comparison.options[part.options.index(option)])


def unverified_inputs(job, name, option=None):
    """Assumed and from-memory inputs of a part: job file, catalogue, and the limits of the shop.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].

    Returns
    -------
    tuple of Unverified
        Rows without repeats [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> rows = unverified_inputs(load_demo(), "transom")
    >>> {"assumed", "from memory"} <= {row.status for row in rows}
    True
    """
    option, part, shelf = chosen_schedule(job, name, option), job.parts[name], catalogue(job)
    stack = schedule(job, option, shelf)
    rows = list(_job_rows(part, part.title or name))
    for entry in (option, getattr(part, "crown", None)):
        for k, layer in enumerate(job.layers(entry) if entry else ()):
            rows += _job_rows(layer, f"{entry}, layer {k + 1}")
    # what stays and what came out: the margins or the ratios hang on them
    for entry in dict.fromkeys((option, part.original, getattr(part, "plating", None))):
        rows += _regression_rows(job, entry) if entry else ()
    plies = [layer for layer in stack.layers if isinstance(layer, Ply)]
    resins = dict.fromkeys(["gel_coat"] * any(item.kind == "coat" for item in job.layers(option)) + [ply.resin.id for ply in plies])
    for resin in resins:
        rows += _job_rows(job.resins[resin], f"can of {resin.replace('_', ' ')}") if resin in job.resins else ()
    for area in [job.survey[name]] if name in job.survey else ():
        rows += _job_rows(area, "survey")
    rows += _catalogue_rows(stack, plies, shelf)
    epoxy = {shelf.resin(resin).family == "epoxy" for resin in resins}
    limits = [GEL_FACTOR, GEL_PERCENT_POWER] if False in epoxy else []
    limits += [GEL_FACTOR_EPOXY] if True in epoxy else []
    limits += [POT_MASS_FACTOR, WET_OUT_RATE]
    limits += [CLAMP_BOLTS, CLAMP_TORQUE, CLAMP_DIAMETER] if part.kind == "transom" else []
    rows += [Unverified(limit.name, Sentence("{value}", value=figure(limit.value, limit.unit)), limit.status, limit.source)
             for limit in limits if limit.status in DOUBTFUL]
    return tuple(dict.fromkeys(rows))


def _job_rows(record, what):
    """Rows of a record of the job file and of the records inside it, by their status fields."""
    values = {field: value for field, value in record if field not in getattr(record, "unused", ())}
    for field, status in values.items():
        if field.endswith("status") and status in DOUBTFUL:
            stem = field.removesuffix("status").rstrip("_")
            shown = {key: v for key, v in values.items() if (key.startswith(stem) and not key.endswith("status") if stem
                                                             else isinstance(v, int | float) and not isinstance(v, bool))}
            shown = shown or {key: v for key, v in values.items() if key in ("pressure_kpa", "patch_load") and v is not None}
            text = joined(", ", [_field(key, v) for key, v in shown.items() if v is not None]) or ", ".join(
                f"{key} {v.replace('_', ' ')}" for key, v in values.items() if isinstance(v, str) and not key.endswith("status"))
            if text and any(value is not None for value in shown.values()) or not shown:
                yield Unverified(what, text, status, "job file")
    for field, value in values.items():
        inner = value if isinstance(value, tuple | list) else (value,)
        for one in inner:
            if hasattr(type(one), "model_fields"):
                yield from _job_rows(one, f"{what}, {field.replace('_', ' ')}")


def _regression_rows(job, name):
    """Old laminates known by their glass content: nobody measured the stiffness and strength that are computed with."""
    for k, layer in enumerate(job.layers(name)):
        if getattr(layer, "kind", "") == "solid" and layer.glass_fraction is not None:
            yield Unverified(f"{name}, layer {k + 1}, {layer.name}", glass_words(layer), "from regression",
                             "small-craft type, ISO 12215-5:2008, as new: wear and water are not in it")


def _field(name, value):
    if hasattr(type(value), "model_fields"):
        return Sentence("{name}: {parts}", name=name.replace("_", " "), parts=joined(", ", [_field(k, v) for k, v in value]))
    return field_figure(name, value)


def _catalogue_rows(stack, plies, shelf):
    for ply in plies:
        fibre = shelf.fibre(ply.reinforcement.fibre)
        found = [(f"glass content of {part.kind} in {ply.reinforcement.name}", ply.process.glass_fraction(part.fraction_kind))
                 for part in ply.reinforcement.components]
        found += [(f"density of {fibre.name}", fibre.density_kg_m3), (f"modulus of {fibre.name}", fibre.e1),
                  (f"density of cured {ply.resin.name}", ply.resin.density_kg_m3)]
        yield from _value_rows(found, shelf)
    for layer in stack.layers:
        if isinstance(layer, CoreLayer):
            core = layer.core
            # of boards without grain both moduli are one figure
            across = None if core.e_y == core.e_x else core.e_y
            yield from _value_rows([(f"{core.name}: {words}", value) for words, value in (
                ("density", core.density_kg_m3), ("modulus", core.e_x), ("modulus across the face grain", across),
                ("shear modulus", core.g_xz), ("crushing strength", core.compressive_strength),
                ("shear strength", core.shear_strength), ("bending strength", core.bending_strength))], shelf)


def _value_rows(found, shelf):
    for what, value in found:
        if value is not None and value.unverified:
            try:
                source = shelf.source(value.source).citation
            except InputError:
                source = value.source or "job file"
            yield Unverified(what, Sentence("{value}", value=figure(value.typical, value.unit)), value.status, source)
