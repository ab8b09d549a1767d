"""What notebook 05 shows: will the panel hold, and is the patch as good as what came out?"""

from dataclasses import dataclass
from functools import cached_property, wraps
from types import SimpleNamespace

import numpy as np
import pandas as pd

from lamcalc import units
from lamcalc.parts.panel import Panel as PlatePanel
from lamcalc.parts.panel import PanelLoad, PanelResult, assess_panel
from lamcalc.parts.panel_repair import bending_stiffness
from lamcalc.parts.rules import moment_factor, panel_moment, panel_shear
from lamcalc.schedule import CoreLayer, Schedule, SolidLayer
from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.job_panel import (
    panel_case,
    panel_close_out,
    panel_part,
    panel_repair,
    panel_result,
    panel_variant,
    planned_core_mm,
)
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.shop.tried_entry import tried_doubts
from lamcalc.workbook import explain, tables
from lamcalc.workbook.controls import Choice, QuantitySlider, UnitSystem
from lamcalc.workbook.how_sure import ONE_BY_ONE, HowSure
from lamcalc.workbook.page_checks import check_name, margins_frame, numbers_frame, rules_frame, verdict
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_panel import PanelPicture

EDGES = (("all clamped: the laminate runs on", "CCCC"), ("all resting on bearers", "SSSS"),
         ("long edges clamped, short ones resting", "SSCC"), ("long edges resting, short ones clamped", "CCSS"))
MORE = tuple((f"{n:+d}" if n else "as planned", n) for n in (-1, 0, 1, 2, 3, 4))
OWN_CORE = "as planned"


NO_REPAIR = "The job has no panel with an original build and options, so there is no patch to compare."
NO_SOLE = "The job has no new panel (one with options and without an original build), so there is nothing to choose."


def _needs(which, missing):
    """Let a method say in a sentence that the job lacks its panel: what comes after it, cautions included, still runs."""
    def wrap(method):
        @wraps(method)
        def told(self, *arguments, **options):
            return tables.show_sentence(missing) if getattr(self, which) is None else method(self, *arguments, **options)
        return told
    return wrap


def _no_panel(words, unit_system):
    """What stands in place of a live panel that the job has no part for."""
    import ipywidgets as widgets

    return SimpleNamespace(box=widgets.HTML(f"<p>{words}</p>"), unit_system=unit_system)


def _layer_by_layer(result):
    return "no margin known" if result.least is None else f"reserve factor {result.least.reserve_factor:.2f} layer by layer"


def _thickness_checks(result):
    return [check for check in result.rule_checks if check.requirement.name == "single-skin thickness"]


def _edge_choices(edges):
    """The usual ways to hold a panel, and the job's own where it is none of them."""
    if edges in {key for _, key in EDGES}:
        return EDGES
    sides = {key: [side for side, found in zip(("left", "right", "bottom", "top"), edges, strict=True) if found == key] for key in edges}
    held = {"C": "clamped", "S": "resting", "F": "free"}
    own = "; ".join(f"{', '.join(names)} {held[key]}" for key, names in sides.items())
    return ((f"as in the job: {own}", edges), *EDGES)


@dataclass(frozen=True)
class Tried:
    """A panel that was tried, with its bending stiffness over that of the original.

    Parameters
    ----------
    result : PanelResult
        The panel [-].
    stiffness : float or None
        Bending stiffness across the short side over the original's, None without an original [-].
    planned_core : float or None
        Core of the job's plan for this option where it is not as thick as the one tried [mm].

    Examples
    --------
    >>> Tried.__dataclass_params__.frozen
    True
    """

    result: PanelResult
    stiffness: float | None = None
    planned_core: float | None = None


class PanelPage:
    """The tables, sentences and pictures of notebook 05.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    bottom, sole : str, optional
        Panel that is repaired, and panel with options; the first of each kind if not given [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Raises
    ------
    InputError
        If the job has no panel at all, or not the one asked for.

    Notes
    -----
    Where the job has a repaired panel or a new one alone, the other's tables say so in a sentence.

    Examples
    --------
    >>> page = PanelPage(jobs.load_demo())
    >>> page.bottom, page.sole
    ('bottom', 'sole')
    """

    def __init__(self, job, bottom=None, sole=None, *, system=None):
        self.job, self.system = job, system or job.units
        self.unit_system = UnitSystem(system=self.system)  # both live panels follow one switch
        panels = {key: part for key, part in job.parts.items() if part.kind == "panel" and part.options}
        self.bottom = bottom or next((key for key, part in panels.items() if part.original), None)
        self.sole = sole or next((key for key, part in panels.items() if not part.original), None)
        for name in {self.bottom, self.sole} - {None} or {None}:
            panel_part(job, name)

    def _show(self, value, kind):
        return units.show(float(value), kind, self.system)

    def _load_words(self, load):
        shown = [self._show(load.force, "force")] * bool(load.force)
        return " and ".join([*shown, *[f"{self._show(load.pressure, 'pressure')} all over"] * bool(load.pressure)])

    def _title(self, key):
        return self.job.schedules[key].title or key

    @cached_property
    def repairs(self):
        """Every option of the repair against the original, by name [-]."""
        if self.bottom is None:
            return {}
        return {key: panel_repair(self.job, self.bottom, key) for key in panel_part(self.job, self.bottom).options}

    @cached_property
    def _by_rule(self):
        return {key: panel_repair(self.job, self.bottom, key, property_model="small_craft") for key in self.repairs}

    @cached_property
    def floors(self):
        """Every option of the sole, by name [-]."""
        if self.sole is None:
            return {}
        return {key: panel_result(self.job, self.sole, key) for key in panel_part(self.job, self.sole).options}

    # --- the patch -----------------------------------------------------------------------------------------------

    @_needs("bottom", NO_REPAIR)
    def answer_patch(self):
        """Whether each patch is as good as what came out, in words, as HTML [-]."""
        return tables.show_sentence(" ".join(self._one_patch(key, found) for key, found in self.repairs.items()) + self._left_out())

    def _left_out(self):
        return tables.left_out(self.job, "panel", (self.bottom, self.sole))

    def _one_patch(self, key, found):
        ratios = found.ratios
        bend, moment, force = (min(v for k, v in ratios.items() if k.startswith(start)) for start in
                               ("bending", "moment", "force"))
        as_good = "as good as the original in every figure" if found.equivalent else "not as good in every figure"
        start = (f"{self._title(key)}: {as_good}. {bend:.2f} of the old bending stiffness, {moment:.2f} of the bending "
                 f"moment and {force:.2f} of the force in the plane at which the first layer fails.{self._lost(found.repair)}")
        if found.equivalent:
            return start
        again = min(v for k, v in self._by_rule[key].ratios.items() if k.startswith("force"))
        crack, crack_again = (_least(r.crack_ratios, "force") for r in (found, self._by_rule[key]))
        return (f"{start} In the plane the answer hangs on where the stiffness comes from: {force:.2f} with stiffness from "
                f"fibre and resin, {again:.2f} with the rule's own stiffness lines, which belong to its strength lines. The "
                f"resin of its stitched layers first cracks across the fibres at {crack:.2f} or {crack_again:.2f} of the "
                "original's force (strength across the fibre from memory, unverified): a way in for water, no loss of the "
                f"fibres. Pressure loads a panel mainly in bending, where this patch {'is' if moment >= 1 else 'is not'} "
                "the better one; a panel that moves more than about half its thickness is pulled in its plane as well.")

    def _lost(self, result):
        """As good as the original is not good enough where the load breaks a margin."""
        least = result.least
        if least is None or least.holds:
            return ""
        return (f" Under {self._load_words(result.load)} it does NOT hold: {told(least.name, self.system)}, "
                f"reserve factor {least.reserve_factor:.2f}; see the margins below.")

    @_needs("bottom", NO_REPAIR)
    def answer_load(self):
        """Whether the bottom panel holds its pressure, in words, as HTML [-]."""
        first = next(iter(self.repairs.values()))
        named = {"The original": first.original, **{self._title(k): r.repair for k, r in self.repairs.items()}}
        load, status = first.original.load, panel_part(self.job, self.bottom).load_status
        said = "; ".join(f"{name}: {_layer_by_layer(r)}, {self._by_thickness(r)}" for name, r in named.items())
        split = any(check.holds != r.least.holds for r in named.values() if r.least for check in _thickness_checks(r))
        return tables.show_sentence(
            f"Under {self._load_words(load)} ({status}, unverified): {said}." + (
                " Two ways of the same rule "
                "disagree here: the layers are checked against tensile strength, the thickness formula against bending "
                "strength, which comes out higher. Where the layers say no, ask a licensed designer before you rely on the "
                "formula." if split else ""), self._asked(self.bottom))

    def _asked(self, name):
        return [told(line, self.system) for line in entry_doubts(self.job, name)]

    def _by_thickness(self, result):
        found = _thickness_checks(result)
        if not found:
            return "no thickness formula"
        return (f"{self._show(found[0].have, 'thickness')} thick where the formula asks for "
                f"{self._show(found[0].requirement.value, 'thickness')}")

    @_needs("bottom", NO_REPAIR)
    def patch_table(self):
        """Original against every option, figure by figure, as HTML [-]."""
        first = next(iter(self.repairs.values()))
        frame = pd.DataFrame({"figure": [row[0] for row in _figures(first, self.system)],
                              "original": [row[1] for row in _figures(first, self.system)]})
        for number, found in enumerate(self.repairs.values(), 1):
            rows = _figures(found, self.system)
            frame[f"patch {number}"] = [row[2] for row in rows]
            frame[f"patch {number} over original"] = [row[3] for row in rows]
        return tables.show_table(frame)

    @_needs("bottom", NO_REPAIR)
    def patch_names(self):
        """Which patch is what, as HTML [-]."""
        rows = [("original", self._title(panel_part(self.job, self.bottom).original), "-", "-")]
        for number, (key, found) in enumerate(self.repairs.items(), 1):
            rows.append((f"patch {number}", self._title(key), "yes" if found.equivalent else "no",
                         "; ".join(found.shortfalls) or "nothing"))
        return tables.show_table(pd.DataFrame(rows, columns=["build", "what", "as good in every figure", "what is short"]))

    @_needs("bottom", NO_REPAIR)
    def two_models(self):
        """Strength ratios by both ways to find the stiffness of the layers, as HTML [-]."""
        rows = []
        for number, key in enumerate(self.repairs, 1):
            for words, found in (("from fibre and resin", self.repairs[key]), ("the rule's own lines", self._by_rule[key])):
                rows.append({"patch": f"patch {number}", "stiffness of the layers": words}
                            | {f"{name}, over original": f"{_least(ratios, start):.2f}" for name, ratios, start in (
                                ("first layer, bending", found.ratios, "moment"), ("first layer, in the plane", found.ratios,
                                                                                   "force"),
                                ("first crack, in the plane", found.crack_ratios, "force"),
                                ("last load, in the plane", found.last_ratios, "last force"))})
        return tables.show_table(pd.DataFrame(rows))

    @_needs("bottom", NO_REPAIR)
    def patch_figure(self, number=None):
        """Movement of the bottom panel and its use of limits, as HTML [-].

        Parameters
        ----------
        number : int, optional
            Which patch, from 1; the last one where the job has fewer, the original if left out [-].
        """
        from IPython.display import HTML

        found = list(self.repairs.values())[0 if number is None else min(number, len(self.repairs)) - 1]
        return HTML(PanelPicture().draw(found.original if number is None else found.repair, self.system, live=False))

    @_needs("bottom", NO_REPAIR)
    def patch_margins(self):
        """Every margin of the original and the patches, as HTML [-]."""
        first = next(iter(self.repairs.values()))
        named = {"original": first.original, **{f"patch {n}": r.repair for n, r in enumerate(self.repairs.values(), 1)}}
        return tables.show_table(pd.concat([margins_frame(r.margins, self.system, r.unchecked).assign(build=name)
                                            for name, r in named.items()])[
            ["build", "check", "occurs", "fails at", "reserve factor", "verdict", "design factor and whose",
             "status of the factor"]])

    @_needs("bottom", NO_REPAIR)
    def patch_rules(self):
        """What the rules ask of the bottom panel, as HTML [-]."""
        first = next(iter(self.repairs.values()))
        named = {"original": first.original, **{f"patch {n}": r.repair for n, r in enumerate(self.repairs.values(), 1)}}
        return tables.show_table(pd.concat([rules_frame(r.rule_checks, self.system).assign(build=name)
                                            for name, r in named.items()]))

    # --- the sole ------------------------------------------------------------------------------------------------

    @_needs("sole", NO_SOLE)
    def answer_sole(self):
        """Which sole holds, and what each costs in mass and money, as HTML [-]."""
        area = panel_part(self.job, self.sole).area_m2
        said = []
        for key, found in self.floors.items():
            s, limit, least = found.schedule, found.deflection_limit_mm, found.least
            allowed = "" if limit is None else f" of {self._show(limit, 'thickness')} allowed"
            margin = "no margin known" if least is None else (
                f"least reserve factor {least.reserve_factor:.2f} ({check_name(least).split(':')[0]})")
            said.append(f"{self._title(key)}: {self._show(found.deflection_mm, 'thickness')}{allowed} under "
                        f"{self._load_words(found.load)}, {margin}, {self._show(area * s.areal_mass_kg_m2, 'mass')}, "
                        f"material {area * s.cost_per_m2:.0f} {self.job.prices.currency}{tables.without(s.unpriced)}. {verdict(found, self.system)}")
        others = "" if self.bottom else self._left_out()
        return tables.show_sentence(" ".join(said) + others, self._asked(self.sole))

    @_needs("sole", NO_SOLE)
    def sole_table(self):
        """The sole options side by side, as HTML [-]."""
        rows, area = {}, panel_part(self.job, self.sole).area_m2
        for number, (key, found) in enumerate(self.floors.items(), 1):
            rows[f"option {number}"] = _floor_figures(found, self._title(key), panel_close_out(self.job, self.sole, key), area,
                                                      self.job.prices.currency, self.system)
        return tables.show_table(pd.DataFrame(rows).rename_axis("figure").reset_index())

    @_needs("sole", NO_SOLE)
    def sole_margins(self):
        """Every margin of the sole options, the filled edge included, as HTML [-]."""
        frames = []
        for number, (key, found) in enumerate(self.floors.items(), 1):
            edge = panel_close_out(self.job, self.sole, key)
            margins = (*found.margins, *(edge.margins if edge else ()))
            frames.append(margins_frame(margins, self.system, found.unchecked).assign(build=f"option {number}"))
        frame = pd.concat(frames)
        return tables.show_table(frame[["build", *(name for name in frame.columns if name != "build")]])

    @_needs("sole", NO_SOLE)
    def sole_figure(self, number=1):
        """Movement of a sole option and its use of limits, as HTML [-].

        Parameters
        ----------
        number : int
            Which option, from 1; the last one where the job has fewer [-].
        """
        from IPython.display import HTML

        return HTML(PanelPicture().draw(list(self.floors.values())[min(number, len(self.floors)) - 1], self.system, live=False))

    # --- both ----------------------------------------------------------------------------------------------------

    def workings(self):
        """Every reserve factor of the first patch and of the first sole with the numbers put in, folded, as HTML [-]."""
        shown = [found.repair for found in list(self.repairs.values())[:1]] + list(self.floors.values())[:1]
        return explain.show(*(explain.margin_working(margin, self.system) for found in shown for margin in found.margins))

    def inputs(self):
        """Every number that goes in, with unit and status, as HTML [-]."""
        rows = []
        for name in filter(None, (self.bottom, self.sole)):
            part, (panel, load) = panel_part(self.job, name), panel_case(self.job, name)
            rows += [(f"{name}: between supports", f"{self._show(panel.length, 'small_length')} x "
                      f"{self._show(panel.width, 'small_length')}", "given"),
                     (f"{name}: edges", {k: w for w, k in _edge_choices(panel.edges)}[panel.edges],
                      f"{part.edges.status}, unverified")]
            rows += [(f"{name}: pressure", self._show(load.pressure, "pressure"), f"{part.load_status}, unverified")
                     ] if load.pressure else []
            rows += [(f"{name}: load on a patch", f"{self._show(load.force, 'force')} on "
                      f"{self._show(load.patch_x, 'small_length')} x {self._show(load.patch_y, 'small_length')}",
                      f"{part.load_status}, unverified")] if load.force else []
            if load.deflection_over:
                rows.append((f"{name}: deflection limit", f"short side/{load.deflection_over:g}", "asked for"))
            if part.edge_close_out_mm:
                rows.append((f"{name}: core taken back at the edges", self._show(part.edge_close_out_mm, "small_length"),
                             part.edge_close_out_status))
        for found in self.floors.values():
            for layer in found.schedule.laid:
                if isinstance(layer, CoreLayer):
                    rows += [(f"{layer.core.name}: {words}", units.show(float(value), kind, self.system),
                              value.status + (", unverified" if value.unverified else ""), tables.known_range(value, kind, self.system))
                             for words, value, kind in (
                        ("density", layer.core.density_kg_m3, "density"), ("shear modulus", layer.core.g_xz, "modulus"),
                        ("shear strength", layer.core.shear_strength, "stress"),
                        ("crushing strength", layer.core.compressive_strength, "stress")) if value is not None]
        whole = [(*row, "-")[:4] for row in rows]
        return tables.show_table(pd.DataFrame(whole, columns=["input", "value", "status", "known range"])
                                 [["input", "value", "known range", "status"]])

    def check(self):
        """Published cases, printed and computed, as HTML [-]."""
        sheet = Schedule((SolidLayer("sheet", 6.0, 10e3),), {})
        rigidity = 10e3 * 6.0**3 / 12 / (1 - 0.3**2)
        rows = []
        for words, edges, ratio, printed, status in (
                ("square plate, all edges resting", "SSSS", 1.0, 0.00406, "source seen"),
                ("square plate, all edges clamped", "CCCC", 1.0, 0.00126, "source seen"),
                ("clamped plate, sides 1.5 : 1", "CCCC", 1.5, 0.00220, "from memory, unverified")):
            found = assess_panel(PlatePanel(ratio * 400.0, 400.0, edges=edges), PanelLoad(pressure=0.01), sheet)
            rows.append((f"{words}: deflection over q b4/D [-]", printed,
                         abs(found.solution.max_deflection) * rigidity / 0.01 / 400.0**4,
                         f"Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. ({status})"))
        rule = "ISO 12215-5:2008, Table H.1 of the 2009 replacement (printed values reproduced)"
        rows += [("panel of 400 mm under 26 kN/m2: moment [N mm/mm]", 347.0,
                  panel_moment(0.026, 400.0, k2=moment_factor(3.0)), rule),
                 ("the same: shear force [N/mm]", 5.2, panel_shear(0.026, 400.0), rule)]
        frame = pd.DataFrame(rows, columns=["case", "printed", "computed", "source"])
        frame["difference [%]"] = [f"{100 * (b / a - 1):+.2f}" for a, b in zip(frame["printed"], frame["computed"])]
        return tables.show_table(frame[["case", "printed", "computed", "difference [%]", "source"]], digits=4)

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        key = next(iter(self.floors), None)
        edge = panel_close_out(self.job, self.sole, key) if key else None
        lines = [line for found in self.repairs.values() for line in found.cautions]
        lines += [line for found in self.floors.values() for line in found.cautions]
        lines = [line for line in lines if "estimated error" not in line and "times the thickness" not in line]
        return tables.show_list(tuple(dict.fromkeys((
            "Where the movement is more than about half the thickness, straight-line plate theory overstates it several "
            "times: such a panel will not move as far as shown. Use the figure to compare builds, no more.",
            *lines, *(edge.cautions if edge else ()), *tables.GENERAL_CAUTIONS))))

    # --- live ----------------------------------------------------------------------------------------------------

    def bottom_panel(self, unit_system=None):
        """The live panel of the bottom.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Panel; its `box` is what a notebook shows [-].
        """
        if self.bottom is None:
            return _no_panel(NO_REPAIR, unit_system or self.unit_system)
        part, (plate, load) = panel_part(self.job, self.bottom), panel_case(self.job, self.bottom)
        names = [key for key in (part.original, *part.options) if key]
        controls = {
            "option": Choice("Laminate", [(self._title(key), key) for key in names], names[-1]),
            "pressure": QuantitySlider("Design pressure", "pressure", load.pressure, 0.002, 0.060, 0.001),
            "extra_plies": Choice("Layers of the last fabric", MORE, 0),
            "edges": Choice("Edges", _edge_choices(plate.edges), plate.edges),
        }
        return self._live(self.bottom, controls, unit_system)

    def sole_panel(self, unit_system=None):
        """The live panel of the sole.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Panel; its `box` is what a notebook shows [-].
        """
        if self.sole is None:
            return _no_panel(NO_SOLE, unit_system or self.unit_system)
        part, (plate, load) = panel_part(self.job, self.sole), panel_case(self.job, self.sole)
        first = part.chosen or part.options[0]
        built = {key: [layer.thickness_mm for layer in jobs.schedule(self.job, key).laid if isinstance(layer, CoreLayer)]
                 for key in part.options}
        shelf = jobs.catalogue(self.job)
        cores = [("as planned", OWN_CORE)] + [(core.name, key) for key, core in shelf.cores.items()
                                              if core.g_xz is not None and core.e_x is not None
                                              and "former only" not in core.name]
        controls = {
            "option": Choice("Skins of", [(self._title(key), key) for key in part.options], first),
            **({"core": Choice("Core", cores, OWN_CORE),
                "core_thickness_mm": QuantitySlider("Core thickness", "small_length", built[first][0], 6, 40, 0.5),
                } if all(built.values()) else {}),  # an option without a core has none to change
            "force": QuantitySlider("Load on the patch", "force", load.force, 0, 5000, 100),
            "pressure": QuantitySlider("Pressure all over", "pressure", load.pressure, 0.0, 0.020, 0.0005),
            "extra_plies": Choice("Layers of the last fabric", MORE, 0),
            "edges": Choice("Edges", _edge_choices(plate.edges), plate.edges),
        }
        return self._live(self.sole, controls, unit_system)

    def _live(self, name, controls, unit_system):
        return Panel(controls, lambda **values: self.tried(name, **values), words=words, table=_numbers,
                     picture=PanelPicture(), unit_system=unit_system or self.unit_system,
                     sure=HowSure(_model, ONE_BY_ONE),
                     asked=lambda found: tried_doubts(self.job, name, found.result))

    def tried(self, name, option, core=OWN_CORE, **changes):
        """A laminate of a panel with other load, edges, layers or core.

        Parameters
        ----------
        name, option : str
            Part and schedule of the job [-].
        core : str
            Core of the catalogue, or 'as planned' [-].
        **changes
            As in `panel_variant` [-].

        Returns
        -------
        Tried
            The panel, and its stiffness over the original's [-].

        Raises
        ------
        InputError
            As `panel_variant`.

        Examples
        --------
        >>> page = PanelPage(jobs.load_demo())
        >>> round(page.tried("bottom", "bottom_patch_stitched").stiffness, 2)
        1.58
        """
        own = None if core == OWN_CORE else core
        found = panel_variant(self.job, name, option, core=own, **changes)
        if name != self.bottom:
            tried, planned = changes.get("core_thickness_mm"), planned_core_mm(self.job, option)
            other = tried is not None and planned is not None and not np.isclose(tried, planned, rtol=1e-6)
            return Tried(found, planned_core=planned if other else None)
        return Tried(found, bending_stiffness(found.schedule)[1] / self._original_bending)

    @cached_property
    def _original_bending(self):
        return bending_stiffness(jobs.schedule(self.job, panel_part(self.job, self.bottom).original))[1]


def _model(found):
    from lamcalc.studies.uncertain_panel import PanelModel  # here, so that the notebook starts sooner

    return PanelModel(found.result.panel, found.result.load, found.result.schedule)


def _least(ratios, start):
    return min(value for name, value in ratios.items() if name.startswith(start))


def _figures(found, system):
    """Rows of the comparison: words, original, repair, ratio as texts."""
    def show(value, kind):
        return units.show(float(value), kind, system)

    rows = []
    for words_, kind, name in (("bending stiffness", "flexural_stiffness_per_width", "bending"),
                               ("stiffness in the plane", "stiffness_per_width", "stretching"),
                               ("moment at which the first layer fails", "moment_per_width", "first_moment"),
                               ("force at which the first layer fails", "force_per_width", "first_force"),
                               ("told beside: moment at the first crack", "moment_per_width", "crack_moment"),
                               ("told beside: force at the first crack", "force_per_width", "crack_force")):
        pair = list(zip(("along", "across"), getattr(found.old, name), getattr(found.new, name), strict=True))
        rows += [(f"{words_}, {way}", show(old, kind), show(new, kind), f"{new / old:.2f}") for way, old, new in pair]
    for name, kind in (("moment", "moment_per_width"), ("force", "force_per_width")):
        for way, old, new in zip(("along", "across"), *(last[name] for last in found.last), strict=True):
            rows.append((f"told beside: last {name} (estimate), {way}", show(old, kind), show(new, kind), f"{new / old:.2f}"))
    old, new = found.original, found.repair
    rows.append(("movement under the load, straight-line theory", show(old.deflection_mm, "thickness"),
                 show(new.deflection_mm, "thickness"), f"{new.deflection_mm / old.deflection_mm:.2f}"))
    start = [("thickness without gel coat", show(found.old.thickness_mm, "thickness"), show(found.new.thickness_mm, "thickness"),
              f"{found.new.thickness_mm / found.old.thickness_mm:.2f}"),
             ("mass", show(found.old.areal_mass_kg_m2, "areal_mass"), show(found.new.areal_mass_kg_m2, "areal_mass"),
              f"{found.new.areal_mass_kg_m2 / found.old.areal_mass_kg_m2:.2f}")]
    return start + rows


def _floor_figures(found, title, edge, area, currency, system):
    """Figures of a sole option by name."""
    def show(value, kind):
        return units.show(float(value), kind, system)

    s = found.schedule
    rows = {"what": title, "total thickness": show(s.total_thickness_mm, "thickness"),
            "mass of the whole piece, edge as the middle": show(area * s.areal_mass_kg_m2, "mass"),
            f"material for the whole piece [{currency}]": f"{area * s.cost_per_m2:.0f}"
            + ("" if not s.unpriced else " (no price for all of it)"),
            "movement under the load": show(found.deflection_mm, "thickness"),
            "movement allowed": "no limit asked for" if found.deflection_limit_mm is None else show(found.deflection_limit_mm, "thickness"),
            "shear stress in the core": "-" if found.core_shear is None else show(found.core_shear, "stress")}
    least = found.least
    rows |= {"least reserve factor": "-" if least is None else f"{least.reserve_factor:.2f}",
             "decided by": "-" if least is None else check_name(least, system), "whose factor": "-" if least is None else least.factor.words}
    if edge is not None:
        rows |= {"edge: core taken back all round": f"{show(edge.depth_mm, 'small_length')} over {show(edge.length_mm, 'length')}",
                 "edge: filler": show(edge.volume_l, "volume"), "edge: core that comes out": show(edge.core_removed_kg, "mass"),
                 "edge: reserve factor in bearing": f"{edge.margins[0].reserve_factor:.2f}" if edge.margins else "not checked"}
    return rows | {"verdict": verdict(found, system)}


def words(found, system):
    """A panel that was tried, in a sentence.

    Parameters
    ----------
    found : Tried
        Result of the package [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Thickness, movement, least margin and verdict [-].

    Examples
    --------
    >>> page = PanelPage(jobs.load_demo())
    >>> words(page.tried("sole", "sole_board"), "metric")[:36]
    '21.77 mm thick, it moves 2.13 mm of '
    """
    r = found.result
    thick, limit = r.schedule.structural_thickness_mm, r.deflection_limit_mm
    said = f"{units.show(thick, 'thickness', system)} thick, it moves {units.show(r.deflection_mm, 'thickness', system)}"
    if found.planned_core is not None:
        said = f"NOT as planned, where the core is {units.show(found.planned_core, 'thickness', system)}: {said}"
    said += "" if limit is None else f" of {units.show(limit, 'thickness', system)} allowed"
    if r.deflection_mm > 0.5 * thick:
        said += f" by straight-line theory ({r.deflection_mm / thick:.1f} times its thickness: really less)"
    if r.least is not None:
        said += f"; the least reserve factor is {r.least.reserve_factor:.2f} ({check_name(r.least).split(':')[0]})"
    if found.stiffness is not None:
        said += f"; bending stiffness {found.stiffness:.2f} of the original"
    return f"{said}. {verdict(r, system)}"


def _numbers(found, system):
    return numbers_frame(found.result, system)
