"""Sequence review: a schedule and what the job says, against the rule set; every finding points at its layers."""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

from lamcalc.errors import InputError, number, positive
from lamcalc.sentences import Sentence, told
from lamcalc.shop.job_schedule import schedule as job_schedule
from lamcalc.shop.job_schedule import tape_plies
from lamcalc.shop.limits import SEVERITIES, TEMPERATURE_WARM
from lamcalc.shop.sequence_checks import raw_findings, steps_of
from lamcalc.shop.sequence_rules import RULES, Rule, resin_table, rules_table
from lamcalc.shop.takeoff_layers import chosen_schedule

__all__ = ["Context", "Review", "RULES", "SequenceFinding", "context_of", "resin_table", "review", "review_part",
           "rules_table"]
SUBSTRATES = ("mould", "fresh_gel_coat", "gel_coat", "polyester", "vinyl_ester", "epoxy", "wood", "core", "waxed")
_OLD = ("polyester", "vinyl_ester", "epoxy")


@dataclass(frozen=True, kw_only=True)
class Context:
    """What the schedule itself does not say.

    Parameters
    ----------
    laid : {"outer_first", "inner_first"}
        Which end of the list is laid first; from the bond outwards for a patch from outside [-].
    substrate : str
        What the first layer goes on where the schedule holds nothing before it: 'mould', 'fresh_gel_coat',
        'gel_coat', 'polyester', 'vinyl_ester', 'epoxy', 'wood', 'core' or 'waxed' [-].
    old_resin : {"polyester", "vinyl_ester", "epoxy"}
        Resin of existing layers in the schedule [-].
    old_resin_known : bool
        Whether somebody proved it [-].
    structural : bool
        Whether the laminate carries load [-].
    waxed : tuple of int
        Numbers of layers that carry wax [-].
    gaps_h : mapping of int to float
        Hours from the gel of the layer before to this layer, by number [h].
    ground : tuple of int
        Layers before which the surface is ground [-].
    session_starts : tuple of int
        Layers that begin a new session [-].
    hot_day : bool
        Whether the lower end of the session limit holds [-].
    epoxy_preparation : tuple of str
        Steps on cured epoxy in their order, such as ('wash', 'sand') [-].
    end_grain_sealed : bool
        Whether the job says that end grain of wood is sealed [-].
    edge_close_out_mm : float, optional
        Core taken back along edges [mm].
    tabbing_gsm : float, optional
        Heaviest tape of tabbing; None without tabbing [g/m2].
    fillet_radius_mm : float, optional
        Fillet under the tabbing [mm].
    fillet_firm : bool
        Whether the job says that the fillet is firm before the tapes [-].
    window_mm : tuple of float, optional
        Thickness that the engine's clamps take, low and high [mm].

    Raises
    ------
    InputError
        If a word is unknown or a number out of range.

    Examples
    --------
    >>> Context(substrate="polyester").on_old_laminate
    True
    """

    laid: str = "outer_first"
    substrate: str = "mould"
    old_resin: str = "polyester"
    old_resin_known: bool = False
    structural: bool = True
    waxed: tuple = ()
    gaps_h: object = field(default_factory=dict)
    ground: tuple = ()
    session_starts: tuple = ()
    hot_day: bool = False
    epoxy_preparation: tuple = ()
    end_grain_sealed: bool = False
    edge_close_out_mm: float | None = None
    tabbing_gsm: float | None = None
    fillet_radius_mm: float | None = None
    fillet_firm: bool = False
    window_mm: tuple | None = None

    def __post_init__(self):
        for name, value, known in (("order of laying", self.laid, ("outer_first", "inner_first")),
                                   ("substrate", self.substrate, SUBSTRATES), ("old resin", self.old_resin, _OLD)):
            if value not in known:
                raise InputError(name, f"must be one of {', '.join(known)} [-]", value, "choose one of them")
        for step in self.epoxy_preparation:
            if step not in ("wash", "sand"):
                raise InputError("epoxy preparation", "must be made of 'wash' and 'sand' [-]", step, "name the steps")
        for layer, hours in self.gaps_h.items():
            positive(f"hours before layer {layer}", hours, "h", zero=True)
        object.__setattr__(self, "gaps_h", MappingProxyType(dict(self.gaps_h)))
        if self.window_mm is not None:
            low, high = (float(number("clamp window", value, "mm")) for value in self.window_mm)
            if not 0 < low <= high:
                raise InputError("clamp window", "must rise from low to high [mm]", self.window_mm, "exchange the two")

    @property
    def on_old_laminate(self):
        """Whether the first layer goes on an old laminate [-]."""
        return self.substrate in _OLD

    @property
    def fresh_gel_coat(self):
        """Whether the first layer goes on fresh gel coat [-]."""
        return self.substrate == "fresh_gel_coat"


@dataclass(frozen=True)
class SequenceFinding:
    """One finding of the review.

    Parameters
    ----------
    rule : Rule
        The rule that found it [-].
    plies : tuple of int
        Rows of the schedule's table, from 1; empty where it is no matter of a ply [-].
    wrong : str
        What is wrong [-].

    Examples
    --------
    >>> SequenceFinding(RULES["no_fillet"], (), RULES["no_fillet"].wrong).severity
    'warn'
    """

    rule: Rule
    plies: tuple
    wrong: str

    @property
    def rule_id(self):
        """Key of the rule [-]."""
        return self.rule.id

    @property
    def severity(self):
        """'refuse', 'warn' or 'note' [-]."""
        return self.rule.severity

    @property
    def do(self):
        """What to do [-]."""
        return self.rule.do

    @property
    def source(self):
        """Status and source of the rule; 'from memory' is marked unverified [-]."""
        doubt = ", unverified" if self.rule.status == "from memory" else ""
        return Sentence("{status}: {origin}", status=f"{self.rule.status}{doubt}", origin=self.rule.origin)

    def __str__(self):
        return f"{self.severity}: {self.wrong} Do: {self.do}. [{self.rule_id}; {self.source}]"


@dataclass(frozen=True)
class Review:
    """All findings, the gravest first, in the order laid within a severity.

    Parameters
    ----------
    schedule : str
        Name of the schedule [-].
    laid : str
        Order of laying [-].
    findings : tuple of SequenceFinding
        Findings [-].

    Examples
    --------
    >>> Review("skin", "outer_first", ()).worst
    'none'
    """

    schedule: str
    laid: str
    findings: tuple

    @property
    def worst(self):
        """Gravest severity, 'none' without a finding [-]."""
        return self.findings[0].severity if self.findings else "none"

    @property
    def accepted(self):
        """Whether nothing is refused [-]."""
        return self.worst != "refuse"

    def of(self, rule_id):
        """Findings of one rule.

        Parameters
        ----------
        rule_id : str
            Key of the rule [-].

        Returns
        -------
        tuple of SequenceFinding
            Empty if it found nothing [-].
        """
        return tuple(f for f in self.findings if f.rule_id == rule_id)

    def table(self, system="metric"):
        """Findings for the sheet.

        Parameters
        ----------
        system : {"metric", "us"}
            Units of the figures [-].

        Returns
        -------
        pandas.DataFrame
            One row a finding [-].

        Examples
        --------
        >>> list(Review("skin", "outer_first", ()).table().columns)[:3]
        ['severity', 'layers', 'what is wrong']
        """
        import pandas as pd

        columns = ["severity", "layers", "what is wrong", "what to do", "why", "rule", "status and source"]
        rows = [[f.severity, ", ".join(map(str, f.plies)) or "-", told(f.wrong, system), told(f.do, system), f.rule.reason, f.rule_id, told(f.source, system)]
                for f in self.findings]
        return pd.DataFrame(rows, columns=columns)


def review(schedule, context=None):
    """Review the sequence of a schedule.

    Parameters
    ----------
    schedule : Schedule
        The schedule [-].
    context : Context, optional
        What the schedule does not say; a new moulding in a mould if not given [-].

    Returns
    -------
    Review
        Findings with `.findings`, `.table()` and `.worst` [-].

    Raises
    ------
    InputError
        If the context names a layer that the schedule has not.

    Notes
    -----
    Rules look at the order laid: with ``laid="inner_first"`` from the end of the list outwards.  Numbers in findings
    are the rows of ``schedule.table()`` whatever the order.  A review without a finding is no proof of a sound
    laminate.

    References
    ----------
    Each rule carries its own; see `rules_table`.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> patch = schedule(load_demo(), "bottom_patch_rovings")
    >>> found = review(patch, Context(laid="inner_first", substrate="polyester"))
    >>> found.worst, [f.rule_id for f in found.findings]
    ('note', ['secondary_bond', 'old_resin', 'session_split'])
    """
    context = Context() if context is None else context
    _known(schedule, context)
    steps = steps_of(schedule, context.laid)
    raw = raw_findings(schedule, steps, context)
    order = {step.number: k for k, step in enumerate(steps)}
    found = [_finding(RULES[rule], plies, facts) for rule, plies, facts in raw]
    found.sort(key=lambda f: (SEVERITIES.index(f.severity), min((order[n] for n in f.plies), default=len(order))))
    return Review(schedule.name, context.laid, tuple(found))


def _finding(rule, plies, facts):
    """A finding with its sentences filled in; the advice may name a layer too."""
    return SequenceFinding(replace(rule, do=Sentence(rule.do, **facts)), plies, Sentence(rule.wrong, capital=True, **facts))


def _known(schedule, context):
    numbers = set(range(1, len(schedule.laid) + 1))
    for name in ("waxed", "gaps_h", "ground", "session_starts"):
        wrong = [n for n in getattr(context, name) if n not in numbers]
        if wrong:
            raise InputError(f"{name} of the review", f"must name layers 1 to {len(numbers)} [-]", wrong[0],
                             "look up the number in the schedule's table")


def context_of(job, part, option=None):
    """What a job file says about the sequence of a part.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].

    Returns
    -------
    Context
        To be changed with ``dataclasses.replace`` where more is known [-].

    Notes
    -----
    A repaired panel and a stringer go on an old laminate, taken as polyester until somebody proves it.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> context_of(load_demo(), "bottom").laid, context_of(load_demo(), "transom").window_mm
    ('inner_first', (41.0, 57.0))
    """
    name = chosen_schedule(job, part, option)
    entry, layers = job.parts[part], job.layers(name)
    on_old = entry.kind == "stringer" or getattr(entry, "repair", None) is not None
    rows, waxed = 0, []
    for layer in layers:
        rows += getattr(layer, "count", 1) + (layer.kind == "bond" and layer.putty_thickness_mm > 0)
        if getattr(layer, "waxed", False):
            waxed.append(rows)
    facts = {"laid": job.schedules[name].laid, "substrate": "polyester" if on_old else "mould", "waxed": tuple(waxed),
             "edge_close_out_mm": getattr(entry, "edge_close_out_mm", None), "end_grain_sealed": entry.end_grain_sealed,
             "fillet_firm": entry.fillet_firm, "old_resin_known": entry.old_resin_proved,
             "hot_day": max(job.shop.air_temperature_c, job.shop.hull_temperature_c) > TEMPERATURE_WARM.value}
    if entry.kind == "transom":
        facts["window_mm"] = (entry.window.low_mm, entry.window.high_mm)
        if entry.tabbing:
            facts["tabbing_gsm"] = max(ply.reinforcement.areal_weight_gsm for ply in tape_plies(job, part))
            facts["fillet_radius_mm"] = entry.tabbing.fillet_radius_mm
    return Context(**facts)


def review_part(job, part, option=None, **known):
    """Review the sequence of a part of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    **known : object
        Fields of `Context` that the job file does not hold [-].

    Returns
    -------
    Review
        Findings [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> review_part(load_demo(), "transom", end_grain_sealed=True).accepted
    True
    """
    context = replace(context_of(job, part, option), **known)
    return review(job_schedule(job, chosen_schedule(job, part, option)), context)
