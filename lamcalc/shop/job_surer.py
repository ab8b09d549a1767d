"""From a job file to lighter, cheaper and surer: searches and uncertain models of a job's parts."""

from collections import Counter
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.samples import sampled_laminates
from lamcalc.parts.layer_strength import schedule_strengths, unlike_evidence
from lamcalc.parts.schedule_variants import across_unstated, with_across_as_along
from lamcalc.parts.transom import assess, bending_stiffness
from lamcalc.parts.transom_comparison import STIFFNESS_SCATTER
from lamcalc.schedule import Coat, Ply, Schedule
from lamcalc.shop import job as jobs
from lamcalc.shop.job_panel import panel_part
from lamcalc.shop.job_stringer import stringer_case
from lamcalc.shop.job_transom import original_of, transom_case, transom_part
from lamcalc.studies.search import search_caps, search_single_skin
from lamcalc.studies.search_model import OrderRules, Targets, make_palette
from lamcalc.studies.sensitivity import SwingResult, one_at_a_time, variance_based
from lamcalc.studies.uncertain_parts import StringerModel, TransomModel
from lamcalc.studies.uncertainty import Chance, Quantity, UncertaintyResult, run_uncertainty

# both signs: no panel is loaded from one side only for all its life
_UNIT_MOMENTS = ((1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0))
RULES = OrderRules(first=("csm",), never=(("woven", "woven"),))
# what may vary, by the beginnings of the keys
GROUPS = {
    "everything": ("",),
    "lay-up: glass content, weight, direction, resin lost": ("glass", "weight", "angle", "waste"),
    "stiffness and strength of the laminate": ("modulus", "strength", "kept"),
    "the core": ("core",),
}
RULE_WORDS = "mat against the mould side, never roving on roving"


def stock_plies(job):
    """Plies of every fabric that the job has a price for, in the resin and process that most plies of its schedules have.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    tuple of Ply
        One of each fabric [-].

    Raises
    ------
    InputError
        If no fabric has a price.

    Examples
    --------
    >>> sorted(ply.reinforcement.id for ply in stock_plies(jobs.load_demo()))[:3]
    ['biax090_1808', 'biax45_1208', 'biax45_1708']
    """
    shelf, priced = jobs.catalogue(job), jobs.prices(job)
    fabrics = [key for key in shelf.reinforcements if key in priced]
    laid = [layer for key in job.schedules for layer in jobs.schedule(job, key, shelf).layers if isinstance(layer, Ply)]
    if not fabrics or not laid:
        raise InputError(
            "stock of the job",
            "must have at least one fabric with a price, and a ply [-]",
            len(fabrics),
            "add prices to the job file",
        )
    ways = Counter((ply.resin.id, ply.process.id) for ply in laid)
    resin, process = max(ways, key=ways.get)
    return tuple(Ply(shelf.reinforcement(key), shelf.resin(resin), shelf.process(process)) for key in fabrics)


def panel_targets(job, name=None):
    """What a new laminate of a panel must reach: the bending stiffness and moments of the original.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the panel; the first if not given [-].

    Returns
    -------
    Targets
        1/d11, 1/d22 and the moments under which the first layer of the original fails, each way [N mm, N mm/mm].

    Raises
    ------
    InputError
        If the panel has no original, or a layer of it has no strength.

    Notes
    -----
    Tsai-Wu on the free laminate, the same criterion as in the search; coats carry nothing.

    Examples
    --------
    >>> panel_targets(jobs.load_demo(), "bottom").asked
    ('stiffness_x', 'stiffness_y', 'margin')
    """
    part = panel_part(job, name)
    if part.original is None:
        raise InputError(
            "original of the panel", "must be named for a search [-]", None, 'give original = "a schedule"'
        )
    old = jobs.schedule(job, part.original)
    known = schedule_strengths(old)
    if known.unchecked:
        raise InputError(
            "strength of the original",
            "must be known for a search [MPa]",
            ", ".join(known.unchecked),
            "enter tested strengths",
        )
    s, moments = old.sublayers, np.array(_UNIT_MOMENTS)
    found = sampled_laminates(s.e1, s.e2, s.nu12, s.g12, s.angle_deg, s.thickness_mm, strengths=known.plies, M=moments)
    carried = moments * found.ratio[:, None]
    x, y = bending_stiffness(old.laminate)
    return Targets(stiffness_x=x, stiffness_y=y, margin=1.0, moments=tuple(map(tuple, carried.tolist())))


def same_fabrics(job, name=None):
    """The fabrics of a panel's original laid again in the resin of `stock_plies`, without coats, with prices.

    An original of which no fabric is known, an old laminate entered as solid layers, comes as it is, without prices.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the panel; the first if not given [-].

    Returns
    -------
    Schedule
        What the finds of `panel_search` are compared with [-].

    Raises
    ------
    InputError
        If the panel has no original, or no fabric has a price.

    Examples
    --------
    >>> round(same_fabrics(jobs.load_demo(), "bottom").areal_mass_kg_m2, 1)
    8.0
    """
    part, resin = panel_part(job, name), stock_plies(job)[0].resin
    if part.original is None:
        raise InputError(
            "original of the panel", "must be named for a search [-]", None, 'give original = "a schedule"'
        )
    old = jobs.schedule(job, part.original)
    plies = [replace(layer, resin=resin) for layer in old.layers if isinstance(layer, Ply)]
    if not plies:
        return old.with_layers([layer for layer in old.layers if not isinstance(layer, Coat)])
    return Schedule(tuple(plies), old.fibres, name=old.name, prices=jobs.prices(job))


@lru_cache(maxsize=16)
def panel_search(job, name=None, objective="mass", layers=(3, 7)):
    """Best schedules from the job's stock that bend no more and carry no less than a panel's original.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the panel; the first if not given [-].
    objective : {"mass", "cost", "layers"}
        What to make least [-].
    layers : tuple of (int, int)
        Least and most layers [-].

    Returns
    -------
    SearchResult
        Proved best ones, or the proof that there is none [-].

    Raises
    ------
    InputError
        As `panel_targets` and `stock_plies`.

    Examples
    --------
    >>> panel_search(jobs.load_demo(), "bottom", layers=(1, 2)).best
    ()
    """
    shelf = jobs.catalogue(job)
    palette = make_palette(stock_plies(job), shelf.fibres, prices=jobs.prices(job))
    targets = panel_targets(job, name)
    unlike = unlike_evidence(jobs.schedule(job, panel_part(job, name).original), palette.stock)
    return search_single_skin(
        palette, replace(targets, basis=unlike), objective=objective, rules=RULES, layers=layers, best=3
    )


@lru_cache(maxsize=4)
def stringer_search(job, name=None, *, plies=(1, 2, 3), cap_layers=(0, 1, 2, 3), heights=None):
    """Every stringer of a small grid about the job's, judged by margins, deflection limit and rules.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the stringer; the first if not given [-].
    plies, cap_layers : tuple of int
        Layers over the former and in the cap [-].
    heights : tuple of float, optional
        Heights of the former; the job's and 15 less if not given [mm].

    Returns
    -------
    SizingResult
        All combinations; `with_targets` picks the cheapest of the same ones [-].

    Raises
    ------
    InputError
        As `stringer_case` and `size_stringer`.

    Examples
    --------
    >>> len(stringer_search(jobs.load_demo(), plies=(2,), cap_layers=(0, 3), heights=(95.0,)).results)
    2
    """
    hat, load = stringer_case(job, name)
    tried = (hat.height - 15.0, hat.height) if heights is None else heights
    return search_caps(hat, load, plies=plies, cap_layers=cap_layers if hat.cap is not None else (0,), heights=tried)


@lru_cache(maxsize=16)
def uncertain_transom(job, option=None, name=None):
    """One build of a job's transom with uncertain inputs; kept, because it remembers the plate it solved.

    Parameters
    ----------
    job : Job
        The job, whose resin waste is the typical one [-].
    option : str, optional
        Schedule of the build; the chosen one, else the first [-].
    name : str, optional
        Name of the transom; the first if not given [-].

    Returns
    -------
    TransomModel
        For `run_uncertainty` and the sensitivity studies [-].

    Raises
    ------
    InputError
        If the job has no such transom or option.

    Examples
    --------
    >>> uncertain_transom(jobs.load_demo(), "transom_board").schedule.name
    'Core option 2: 2 x 18 mm glass-reinforced polyurethane board'
    """
    part = transom_part(job, name)
    chosen = option or part.chosen or part.options[0]
    if chosen not in (*part.options, part.original):
        raise InputError(
            "transom option", f"must be one of {', '.join(part.options)} [-]", option, "choose one of them"
        )
    return TransomModel(transom_case(job, name), jobs.schedule(job, chosen, jobs.catalogue(job)), job.waste.resin)


def uncertain_stringer(job, name=None, *, margins=True):
    """A job's stringer with uncertain inputs.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the stringer; the first if not given [-].
    margins : bool
        Whether deflection and margins are worked out as well [-].

    Returns
    -------
    StringerModel
        For `run_uncertainty` and the sensitivity studies [-].

    Raises
    ------
    InputError
        As `stringer_case`.

    Examples
    --------
    >>> [q.key for q in uncertain_stringer(jobs.load_demo(), margins=False).results]
    ['ei', 'mass']
    """
    return StringerModel(*stringer_case(job, name), margins)


@dataclass(frozen=True, eq=False)
class TransomOdds:
    """One build of a transom with its bands and its chances of missing the targets.

    Parameters
    ----------
    option : str
        Schedule of the build [-].
    title : str
        Its title [-].
    result : UncertaintyResult
        All samples [-].
    chances : tuple of Chance
        Chance of missing each target [-].

    Examples
    --------
    >>> TransomOdds.__dataclass_params__.frozen
    True
    """

    option: str
    title: str
    result: UncertaintyResult
    chances: tuple

    @property
    def worst(self):
        """The target that is missed most often, a `Chance` [-]."""
        return max(self.chances, key=lambda chance: chance.share)


@lru_cache(maxsize=8)
def transom_targets(job, name=None):
    """What a new build of a job's transom should reach, whatever varies.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the transom; the first if not given [-].

    Returns
    -------
    tuple of (str, float)
        Result and target: stiffness upwards of the sound original less 5 %, turn of the bracket no larger than the
        original's, reserve factors of 1 [as the results say].

    Raises
    ------
    InputError
        If the job has no such transom.

    Notes
    -----
    The original counts as it was when sound, at typical values: how uncertain it was itself is left out.  Where its
    modulus across the face grain is not stated and an option has another core, it counts as stiff across as along.

    Examples
    --------
    >>> [key for key, _ in transom_targets(jobs.load_demo())]
    ['ei_up', 'turn', 'core_margin', 'layer_margin']
    """
    part, shelf = transom_part(job, name), jobs.catalogue(job)
    old = jobs.schedule(job, original_of(job, part), shelf)
    if not all(across_unstated(jobs.schedule(job, option, shelf)) for option in part.options):
        old = with_across_as_along(old)
    sound = assess(transom_case(job, name), "original build", old)
    return (
        ("ei_up", (1 - STIFFNESS_SCATTER) * sound.ei_up),
        ("turn", sound.worst_turn_mrad),
        ("core_margin", 1.0),
        ("layer_margin", 1.0),
    )


@lru_cache(maxsize=8)
def transom_odds(job, name=None, *, samples=2000, seed=1):
    """Bands and chances of every option of a job's transom.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str, optional
        Name of the transom; the first if not given [-].
    samples : int
        Samples of each option [-].
    seed : int
        Seed [-].

    Returns
    -------
    tuple of TransomOdds
        In the order of the options [-].

    Raises
    ------
    InputError
        As `uncertain_transom` and `run_uncertainty`.
    """
    found = []
    for option in transom_part(job, name).options:
        result = _samples(uncertain_transom(job, option, name), "everything", samples, seed)
        known = {quantity.key for quantity in result.results}
        chances = tuple(result.chance(key, target) for key, target in transom_targets(job, name) if key in known)
        found.append(TransomOdds(option, job.schedules[option].title or option, result, chances))
    return tuple(found)


@dataclass(frozen=True, eq=False)
class SurerStudy:
    """One result of one build: its samples, a target and what moves it.

    Parameters
    ----------
    title : str
        The build [-].
    result : UncertaintyResult
        All samples [-].
    quantity : Quantity
        The result looked at [-].
    target : float
        Its target [as the quantity says].
    chance : Chance
        Chance of missing the target [-].
    swings : SwingResult
        One input at a time, largest first [-].

    Examples
    --------
    >>> SurerStudy.__dataclass_params__.frozen
    True
    """

    title: str
    result: UncertaintyResult
    quantity: Quantity
    target: float
    chance: Chance
    swings: SwingResult


def transom_study(
    job, option=None, key="turn", *, target=None, share=None, group="everything", samples=1000, seed=1, name=None
):
    """One result of one build of a job's transom, with its target and what moves it.

    Parameters
    ----------
    job : Job
        The job [-].
    option : str, optional
        Schedule of the build; the chosen one if not given [-].
    key : str
        Result, as in `TransomModel.results` [-].
    target : float, optional
        Target [as the result says]; that of `transom_targets`, else the typical value, if not given.
    share : float, optional
        Target as a share of the typical value, instead of `target` [-].
    group : str
        What varies, a key of `GROUPS` [-].
    samples : int
        Samples [-].
    seed : int
        Seed [-].
    name : str, optional
        Name of the transom; the first if not given [-].

    Returns
    -------
    SurerStudy
        Samples, chance and swings [-].

    Raises
    ------
    InputError
        If an argument is not known or out of range.

    Examples
    --------
    >>> found = transom_study(jobs.load_demo(), "transom_board", "ei_up", share=0.9, samples=100)
    >>> found.chance.missed < 20
    True
    """
    if group not in GROUPS:
        raise InputError("what varies", f"must be one of {', '.join(GROUPS)} [-]", group, "choose from the list")
    model = uncertain_transom(job, option, name)
    result = _samples(model, group, samples, seed)
    place = result.place(key)
    if share is not None:
        target = float(positive("share of the typical value", share)) * float(result.typical[place])
    if target is None:
        target = dict(transom_targets(job, name)).get(key, float(result.typical[place]))
    return SurerStudy(
        model.schedule.name,
        result,
        result.results[place],
        float(target),
        result.chance(key, target),
        _swings(model, key, result.vary),
    )


@lru_cache(maxsize=16)
def _samples(model, group, samples, seed):
    """Samples of a model, kept, because a moved target asks for the same ones again."""
    vary = tuple(item.key for item in model.inputs if item.key.startswith(GROUPS[group]))
    return run_uncertainty(model, samples=samples, seed=seed, vary=vary)


@lru_cache(maxsize=64)
def _swings(model, key, vary):
    return one_at_a_time(model, key, vary=vary)


@lru_cache(maxsize=8)
def transom_shares(job, option=None, key="turn", *, samples=512, seed=1, name=None):
    """Shares of the scatter of one result of one build of a job's transom.

    Parameters
    ----------
    job : Job
        The job [-].
    option : str, optional
        Schedule of the build; the chosen one if not given [-].
    key : str
        Result, as in `TransomModel.results` [-].
    samples : int
        Rows of each of the two sets of samples [-].
    seed : int
        Seed [-].
    name : str, optional
        Name of the transom; the first if not given [-].

    Returns
    -------
    VarianceResult
        Shares, largest first, and a sentence [-].

    Raises
    ------
    InputError
        If an argument is not known or out of range.

    Examples
    --------
    >>> len(transom_shares(jobs.load_demo(), "transom_board", samples=64).shares)
    11
    """
    return variance_based(uncertain_transom(job, option, name), key, samples=samples, seed=seed)
