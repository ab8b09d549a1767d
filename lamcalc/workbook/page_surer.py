"""What notebook 11 shows: what would be lighter, cheaper, surer?"""

from functools import cached_property

import numpy as np
import pandas as pd

from lamcalc import units
from lamcalc.errors import InputError, NotThere
from lamcalc.schedule import layer_name
from lamcalc.sentences import told_problem
from lamcalc.shop.job_stringer import stringer_result
from lamcalc.shop.job_surer import (
    GROUPS,
    RULE_WORDS,
    panel_search,
    panel_targets,
    same_fabrics,
    stock_plies,
    stringer_search,
    transom_odds,
    transom_shares,
    transom_study,
    uncertain_transom,
)
from lamcalc.shop.job_transom import transom_part
from lamcalc.studies.distributions import READING
from lamcalc.studies.known_cases import CITATION, ishigami_table
from lamcalc.workbook import tables
from lamcalc.workbook.controls import Choice, QuantitySlider, UnitSystem
from lamcalc.workbook.how_sure import SEED, bands_frame, inputs_frame
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_surer import SurerPicture

AS_FOUND = "as found, fabrics not known"
CAUTIONS = (
    "Bands and chances say what the stated spreads lead to. Most spreads are assumed or remembered, not measured in "
    "your shop: your own weighed panels and caliper readings are worth more.",
    "What is not varied is taken as exact: loads, bolts, the joint to the hull, thickness of cores and kept layers, "
    "voids, workmanship, rot, water and age. A small chance here is not a promise.",
    "A chance of one in a hundred of missing a margin is not one in a hundred of breaking: margins have a design "
    "factor in them, and the loads are estimates.",
    "Inputs are drawn as if they had nothing to do with each other. In a real board or batch stiffness and strength "
    "often go up and down together, which widens the band.",
    "Turn and deflection of the plate are read off a curve through builds with softer and stiffer cores; against "
    "solving every sample it was found within 1.5 % for the board and the cast core, within 7 % for plywood.",
    "A search finds the least of what it was asked for, and nothing it was not asked for: impact, wear, edges, "
    "fasteners, laminating in one day and what the crew lays well are not in it.",
    "The lightest laminate sits at the very edge of its targets. Read the margin before you choose it.",
    *tables.GENERAL_CAUTIONS,
)


class SurerPage:
    """The tables, sentences and pictures of notebook 11.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    panel : str, optional
        Panel whose laminate is searched; the first with an original build if not given [-].
    result : str
        Result of the transom that is looked at, a key of `TransomModel.results` [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> page = SurerPage(job.load_demo())
    >>> "proved" in page.bottom_words().data
    True
    """

    def __init__(self, job, panel=None, result="turn", *, system=None):
        self.job, self.key, self.system = job, result, system or job.units
        self._panel = panel or next((key for key, part in job.parts.items() if part.kind == "panel" and part.original), None)

    @property
    def name(self):
        """Panel whose laminate is searched [-]."""
        if self._panel is None:
            raise NotThere("panel with an original build", "name it: original = \"a schedule\" in [parts.NAME] of the job file")
        return self._panel

    def _show(self, value, kind):
        return units.show(float(value), kind, self.system)

    @cached_property
    def _study(self):
        return transom_study(self.job, key=self.key, samples=2000, seed=SEED)

    @cached_property
    def _finds(self):
        """Original fabrics, lightest and cheapest laminate of the panel, by words."""
        found = {"fabrics as moulded": same_fabrics(self.job, self.name)}
        if not found["fabrics as moulded"].glass_kg_m2:  # entered as solid layers: no fabrics to price
            found = {AS_FOUND: found["fabrics as moulded"]}
        for words, objective in (("lightest", "mass"), ("cheapest", "cost")):
            result = panel_search(self.job, self.name, objective)
            if result.best:
                found[words] = result.best[0].schedule
        return found

    def answer(self):
        """The answer in a sentence a part, or why there is none, as HTML [-]."""
        return tables.show_sentence(" ".join(_tried(say, self.system) for say in (self._panel_words, self._stringer_words, self._transom_words)))

    def _panel_words(self):
        title, finds = self.job.parts[self.name].title or self.name, self._finds
        if "lightest" not in finds:
            return f"{title}: nothing from this stock bends no more and carries no less within 3 to 7 layers."
        old, light, cheap = next(iter(finds.values())), finds["lightest"], finds["cheapest"]
        in_money = ("the cheapest from it cannot be compared, for nobody knows the fabrics of the original" if AS_FOUND in finds
                    else f"{_less(cheap.cost_per_m2, old.cost_per_m2)} in material the cheapest")
        return (
            f"{title}: {self._show(light.areal_mass_kg_m2, 'areal_mass')} instead of "
            f"{self._show(old.areal_mass_kg_m2, 'areal_mass')} is the lightest from this stock that bends no more "
            f"and carries no less, and {in_money}."
        )

    def _stringer_words(self):
        sizing, now = stringer_search(self.job), stringer_result(self.job)
        if sizing.best is None:
            return "Stringer: none of the builds tried meets every check."
        verdict = "holds as drawn" if now.holds else "does not meet every check as drawn"
        return (
            f"Stringer: it {verdict}; the lightest of those tried that does is "
            f"{self._build_words(sizing)} ({self._per_length(sizing.best.stringer.mass_kg_m)}, as drawn "
            f"{self._per_length(now.stringer.mass_kg_m)})."
        )

    def _transom_words(self):
        odds = transom_odds(self.job, seed=SEED)
        known = max(len(one.chances) for one in odds)
        blind = [one.title for one in odds if len(one.chances) < known]
        best = min((one for one in odds if len(one.chances) == known), key=lambda one: one.worst.share)
        lead = f"of the options the surest is {best.title}"
        if best.worst.share > 0.5:
            lead = f"none of the options is likely to meet every target; the least unlikely is {best.title}"
        left = f" Left out, because not every target could be checked: {'; '.join(blind)}." if blind else ""
        return f"Transom: {lead}; the target it misses most often: {best.worst.words(self.system)}.{left}"

    def _per_length(self, per_m):
        per = 1.0 if self.system == "metric" else units.convert(1.0, "ft", "m")
        return f"{self._show(per_m * per, 'mass')} per {'m' if self.system == 'metric' else 'ft'}"

    def _build_words(self, sizing):
        plies, cap, height = sizing.combinations[sizing.best_index]
        return f"{plies} over the former, {cap} in the cap, {self._show(height, 'small_length')} high"

    def bottom(self):
        """Original fabrics, lightest and cheapest laminate of the panel, as HTML [-]."""
        finds = list(self._finds.items())
        wanted = panel_targets(self.job, self.name)
        stiff = [1 / np.diag(s.laminate.compliance[2])[:2] for _, s in finds]
        per, unit = (1.0, "m2") if self.system == "metric" else (units.convert(1.0, "ft2", "m2"), "ft2")
        frame = tables.frame(
            self.system,
            {
                "laminate": (None, [words for words, _ in finds]),
                "layers from the mould": (None, [" / ".join(tables.fabric_name(layer_name(one), self.system) for one in s.laid) for _, s in finds]),
                "mass": ("areal_mass", [s.areal_mass_kg_m2 for _, s in finds]),
                "thickness": ("thickness", [s.structural_thickness_mm for _, s in finds]),
            },
        )
        frame.insert(
            3, f"material [{self.job.prices.currency}/{unit}]", ["-" if words == AS_FOUND else f"{s.cost_per_m2 * per:.2f}" for words, s in finds]
        )
        frame["stiffness over original [-]"] = [
            f"{min(d[0] / wanted.stiffness_x, d[1] / wanted.stiffness_y):.2f}" for d in stiff
        ]
        return tables.show_table(frame)

    def bottom_words(self):
        """What was searched and how sure it is, as HTML [-]."""
        result = panel_search(self.job, self.name)
        fabrics = ", ".join(tables.fabric_name(ply.reinforcement.name, self.system) for ply in stock_plies(self.job))
        proof = (
            f"All {result.sequences:,} orders of 3 to 7 layers are covered: nothing better exists among them (proved)."
            if result.proved
            else "The search was stopped: nothing is proved."
        )
        none = "" if result.best else " " + result.sentence
        return tables.show_sentence(
            f"Asked: bend no more than the laminate that came out, both ways, and carry at least its moments before "
            f"the first layer fails, either way round; {RULE_WORDS}. From: {fabrics}. {proof}{none}"
        )

    def stringers(self):
        """The stringer as drawn, the lightest and the cheapest of the grid, as HTML [-]."""
        sizing, now = stringer_search(self.job), stringer_result(self.job)
        rows = [("as drawn", now)]
        for words, objective in (("lightest that meets all", "mass"), ("cheapest that meets all", "cost")):
            best = sizing.with_targets(objective=objective).best
            rows += [] if best is None else [(words, best)]
        per, unit = (1.0, "m") if self.system == "metric" else (units.convert(1.0, "ft", "m"), "ft")
        frame = tables.frame(
            self.system,
            {
                "stringer": (None, [words for words, _ in rows]),
                "layers over the former": (None, [len(r.stringer.skin.laid) for _, r in rows]),
                "layers in the cap": (
                    None,
                    [0 if r.stringer.cap is None else len(r.stringer.cap.laid) for _, r in rows],
                ),
                "height": ("small_length", [r.stringer.height for _, r in rows]),
                "EI": ("bending_stiffness", [r.ei for _, r in rows]),
                "deflection": ("thickness", [r.deflection_mm for _, r in rows]),
            },
        )
        label = units.unit_label("mass", self.system)
        frame.insert(
            4,
            f"mass [{label}/{unit}]",
            tables.column([r.stringer.mass_kg_m * per for _, r in rows], "mass", self.system),
        )
        frame.insert(
            5, f"material [{self.job.prices.currency}/{unit}]", [f"{r.stringer.cost_per_m * per:.2f}" for _, r in rows]
        )
        frame["least reserve factor [-]"] = [f"{r.least.reserve_factor:.2f}" if r.least else "-" for _, r in rows]
        frame["meets every check"] = ["yes" if r.holds else "no: " + "; ".join(_first(r.shortfalls)) for _, r in rows]
        return tables.show_table(frame)

    def stringers_words(self):
        """What was tried, as HTML [-]."""
        sizing = stringer_search(self.job)
        heights = " and ".join(self._show(h, "small_length") for h in sizing.heights)
        return tables.show_sentence(
            f"Tried: {sizing.plies[0]} to {sizing.plies[-1]} layers over the former, {sizing.cap_layers[0]} to "
            f"{sizing.cap_layers[-1]} in the cap, {heights} high: {sum(sizing.passes)} of {len(sizing.results)} builds "
            "meet every margin, the deflection limit and the rule checks. Each was worked out in full, so within them "
            "nothing better exists."
        )

    def chances(self):
        """Chance of each option of the transom of missing each target, as HTML [-]."""
        odds = transom_odds(self.job, seed=SEED)
        rows = {}
        for one in odds:
            for chance in one.chances:
                sign = "at least" if chance.at_least else "at most"
                target = f"{chance.quantity.name}: {sign} {chance.quantity.show(chance.target, self.system)}"
                rows.setdefault(target, {})[one.title] = _chance_text(chance)
        names = [one.title for one in odds]
        frame = pd.DataFrame(
            [
                {"chance of missing": target, **{name: found.get(name, "not known") for name in names}}
                for target, found in rows.items()
            ]
        )
        return tables.show_table(frame)

    def factors(self):
        """Design factors in the reserve factors of the transom, with rule and status, as HTML [-]."""
        models = [uncertain_transom(self.job, option) for option in transom_part(self.job).options]
        return tables.show_list(dict.fromkeys(words for model in models for words in model.factors))

    def bands(self):
        """Bands of the chosen build, as HTML [-]."""
        return tables.show_table(bands_frame(self._study.result, self.system))

    def bands_words(self):
        """Which build, how many samples, as HTML [-]."""
        study = self._study
        return tables.show_sentence(
            f"{study.title}: {study.chance.words(self.system)}. {study.result.samples} samples, seed {SEED}."
        )

    def figure(self):
        """Where the result lies and what moves it, as an HTML picture [-]."""
        from IPython.display import HTML

        return HTML(SurerPicture().draw(self._study, self.system, live=False))

    def matters(self):
        """Inputs ranked by swing and by share of the scatter, as HTML [-]."""
        swings, study = self._study.swings, transom_shares(self.job, key=self.key, seed=SEED)
        shares = {share.key: share for share in study.shares}
        quantity = swings.quantity
        rows = [
            (s.name, quantity.show(s.low, self.system), quantity.show(s.high, self.system), _share_text(shares[s.key]))
            for s in swings.swings
            if s.size > 1e-9 * abs(swings.typical)
        ]
        return tables.show_table(
            pd.DataFrame(
                rows,
                columns=[
                    "input, largest swing first",
                    f"{quantity.name} at its low end",
                    f"{quantity.name} at its high end",
                    "share of the scatter [%]",
                ],
            )
        )

    def matters_words(self):
        """What matters most, as HTML [-]."""
        share = transom_shares(self.job, key=self.key, seed=SEED)
        return tables.show_sentence(f"{self._study.swings.words(self.system)} {share.sentence}")

    def inputs(self):
        """Every input that varies, with its spread, status and origin, as HTML [-]."""
        return tables.show_table(inputs_frame(uncertain_transom(self.job).inputs, self.system))

    def reading(self):
        """What low and high mean, as HTML [-]."""
        return tables.show_sentence(
            f'{READING} "x" is a factor on the value that the other notebooks use. Glass content, fabric '
            "and core are drawn once for the whole job; the direction of every layer apart."
        )

    def check(self):
        """A case with a closed form, printed and sampled, as HTML [-]."""
        return tables.show_table(
            ishigami_table().map(lambda value: value if isinstance(value, str) else f"{value:.2f}")
        )

    def check_words(self):
        """Where the closed form comes from, as HTML [-]."""
        return tables.show_sentence(f"{CITATION}.")

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def panel(self, unit_system=None):
        """The live panel.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Panel; its `box` is what a notebook shows [-].
        """
        part = transom_part(self.job)
        options = [(self.job.schedules[key].title or key, key) for key in part.options]
        results = [(q.name, q.key) for q in uncertain_transom(self.job).results]
        controls = {
            "option": Choice("Core option", options, part.chosen or part.options[0]),
            "key": Choice("Result", results, self.key),
            "share": QuantitySlider("Target, of the typical value", "fraction", 1.1, 0.5, 2.0, 0.01),
            "group": Choice("What varies", [(words, words) for words in GROUPS], "everything"),
            "samples": Choice("Samples", [(f"{n}", n) for n in (100, 300, 1000, 3000)], 300),
        }
        return Panel(
            controls,
            self.study,
            words=_words,
            table=_table,
            picture=SurerPicture(),
            unit_system=unit_system or UnitSystem(system=self.system),
        )

    def study(self, option, key, share, group, samples):
        """One result of one build.

        Parameters
        ----------
        option : str
            Schedule of the build [-].
        key : str
            Result [-].
        share : float
            Target as a share of the typical value [-].
        group : str
            What varies [-].
        samples : int
            Samples; the seed is fixed [-].

        Returns
        -------
        SurerStudy
            Samples, chance, swings [-].
        """
        return transom_study(self.job, option, key, share=share, group=group, samples=samples, seed=SEED)


def _tried(say, system):
    try:
        return say()
    except InputError as problem:
        return told_problem(problem, system)


def _words(study, system):
    said = (study.result.band(study.quantity.key).words(system), study.chance.words(system), study.swings.words(system))
    return f"{study.title}. " + " ".join(f"{words[0].upper()}{words[1:]}".removesuffix(".") + "." for words in said)


def _table(study, system):
    quantity, band = study.quantity, study.result.band(study.quantity.key)
    rows = [
        ("all inputs typical", band.typical),
        ("10 % of the samples lie below", band.low),
        ("50 % lie below", band.middle),
        ("90 % lie below", band.high),
        ("target", study.target),
    ]
    shown = pd.DataFrame(
        [(words, quantity.show(value, system)) for words, value in rows], columns=[quantity.name, "value"]
    )
    return pd.concat(
        [shown, pd.DataFrame({quantity.name: ["chance of missing the target"], "value": [_chance_text(study.chance)]})]
    )


def _chance_text(chance):
    if chance.missed == 0:
        return f"below {300 / chance.samples:.2g} % (none of {chance.samples})"
    if chance.missed == chance.samples:
        return f"above {100 - 300 / chance.samples:.4g} % (all of {chance.samples})"
    return f"{100 * chance.share:.1f} % +- {100 * chance.standard_error:.1f} %"


def _share_text(share):
    if share.total < 0.005:
        return "below 1"
    return f"{100 * share.total:.0f} +- {max(100 * share.total_error, 1):.0f}"


def _less(cost, old):
    change = 100 * (cost / old - 1)
    return f"{abs(change):.0f} % {'less' if change < 0 else 'more'}"


def _first(sentences):
    return [words.split(":")[0] for words in sentences]
