"""What notebook 04 shows: how big must the stringer be?"""

from functools import cached_property

import pandas as pd

from lamcalc import units
from lamcalc.mechanics.beam_cases import standard_beam
from lamcalc.mechanics.stiffeners import attached_width
from lamcalc.parts.rules import requirement
from lamcalc.sentences import counted, told
from lamcalc.shop.job_schedule import name_of_kind
from lamcalc.shop.job_stringer import (
    SHAPE_ONLY,
    former_choices,
    stringer_part,
    stringer_result,
    stringer_sizing,
    stringer_variant,
)
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.shop.tried_entry import tried_doubts
from lamcalc.workbook import explain, tables
from lamcalc.workbook.controls import Choice, Count, QuantitySlider, UnitSystem
from lamcalc.workbook.how_sure import ONE_BY_ONE, HowSure
from lamcalc.workbook.page_checks import check_name, margins_frame, numbers_frame, rules_frame, verdict
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_stringer import StringerPicture

ENDS = (("run on over the supports (fixed)", "fixed"), ("free to turn (simple)", "simple"))
SIZING = {"plies": (1, 2, 3, 4), "cap_layers": (0, 1, 2, 3, 4), "heights": (35.0, 50.0, 65.0, 80.0, 95.0, 110.0)}


class StringerPage:
    """The tables, sentences and pictures of notebook 04.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    name : str, optional
        Part of the job to look at; the first stringer if not given [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> page = StringerPage(job.load_demo())
    >>> "0.75 mm" in page.answer().data
    True
    """

    def __init__(self, job, name=None, *, system=None):
        self.job, self.name, self.system = job, name, system or job.units
        self.part = stringer_part(job, name)

    @cached_property
    def result(self):
        """The job's stringer, assessed [-]."""
        return stringer_result(self.job, self.name)

    @cached_property
    def _sizing(self):
        heights = tuple(sorted({*SIZING["heights"], self.part.height_mm}))
        return stringer_sizing(self.job, self.name, **{**SIZING, "heights": heights})

    def _show(self, value, kind):
        return units.show(float(value), kind, self.system)

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        return tables.show_sentence(f"As drawn: {words(self.result, self.system)} {self._remedy()}"
                                    + tables.left_out(self.job, "stringer", (self._key,)),
                                    [told(line, self.system) for line in entry_doubts(self.job, self._key)])

    @property
    def _key(self):
        return name_of_kind(self.job, "stringer", self.name)

    def _remedy(self):
        best = self._sizing.with_targets(heights=(self.part.height_mm,)).best
        if self.result.holds or best is None:
            return ""
        hat = best.stringer
        cap = 0 if hat.cap is None else len(hat.cap.laid)
        return (
            f"What meets everything at this height: {counted(len(hat.skin.laid), 'layer')} over the former and {cap} in the cap, "
            f"{self._per_length(hat.mass_kg_m, 'mass')}."
        )

    def _per_length(self, per_m, kind):
        per = 1.0 if self.system == "metric" else units.convert(1.0, "ft", "m")
        value = units.show(per_m * per, kind, self.system) if kind else f"{per_m * per:.2f}"
        return f"{value} per {'m' if self.system == 'metric' else 'ft'}"

    def table(self):
        """The figures that answer the question, as HTML [-]."""
        return tables.show_table(figures_frame(self.result, self.system, self.job.prices.currency))

    def margins(self):
        """Every margin with factor, rule and status, as HTML [-]."""
        return tables.show_table(margins_frame(self.result.margins, self.system, self.result.unchecked))

    def workings(self):
        """Every reserve factor with the numbers put in, folded, as HTML [-]."""
        return explain.show(*(explain.margin_working(margin, self.system) for margin in self.result.margins))

    def rules(self):
        """What rules ask for beside what is there, as HTML [-]."""
        return tables.show_table(rules_frame(self.result.rule_checks, self.system))

    def web(self):
        """The web rule beside the buckling that it guards against, in words, as HTML [-]."""
        found = self.result
        rule = next(c for c in found.rule_checks if c.requirement.name == "web depth over thickness")
        folds = [m.capacity / m.demand for m in found.margins if m.name.startswith(("web buckling", "web folding"))]
        said = (
            f"Each web is {rule.have:.1f} times as deep as it is thick; a committee draft of 1999 (seen) allows "
            f"{rule.requirement.value:.0f}, and the edition of 2008 is said to keep that (second hand). "
        )
        if folds:
            said += (
                f"It is a rule of thumb against webs that fold. Worked out as a plate without any help from the "
                f"former, the web folds at {min(folds):.1f} times the load, compression and shear counted. "
            )
        if rule.holds:
            return tables.show_sentence(said + "The rule is met.")
        sound = all(margin.holds for margin in found.margins) and not found.unchecked
        return tables.show_sentence(
            said
            + ("Every margin worked out here holds, but the rule is not met" if sound
               else "The rule is not met, and not every margin holds or could be checked")
            + ": the verdict says so until another layer is laid, the former is lower, or a surveyor accepts it."
        )

    def figure(self):
        """Section and use of limits as an HTML picture [-]."""
        from IPython.display import HTML

        return HTML(StringerPicture().draw(self.result, self.system, live=False))

    def inputs(self):
        """Every number that goes in, with unit, status and source, as HTML [-]."""
        part, hat, load = self.part, self.result.stringer, self.result.load
        file = "job file"
        rows = [
            ("former: width at the foot", self._show(part.base_width_mm, "small_length"), "given", file),
            ("former: width at the top", self._show(part.top_width_mm, "small_length"), "given", file),
            ("former: height", self._show(part.height_mm, "small_length"), "given", file),
            ("former: density", self._show(part.former.density_kg_m3, "density"), "given", file),
            ("unsupported span", self._show(load.span, "small_length"), "given", file),
            ("distance to the next stringer", self._show(load.spacing, "small_length"), "given", file),
            (
                "design pressure on the bottom",
                self._show(load.pressure, "pressure"),
                f"{part.pressure_status}, unverified",
                file,
            ),
            ("deflection limit", f"span/{load.deflection_over:g}", "asked for", file),
            (
                "ends of the span",
                "held against turning: the stringer runs on",
                "assumed, unverified",
                "common practice",
            ),
            (
                "attached plating",
                self._show(hat.attached_width(load), "small_length"),
                "source seen",
                "class guidance notes of July 2013, stiffener example: foot of the stringer + 20 x plating",
            ),
        ]
        for words_, stack in (("over the former", hat.skin), ("in the cap", hat.cap), ("plating", hat.plating)):
            if stack is not None:
                rows.append(
                    (
                        f"{words_}: {stack.name}",
                        f"{self._show(stack.structural_thickness_mm, 'thickness')}, {counted(len(stack.laid), 'layer')}",
                        "computed from the schedule",
                        "notebook 01",
                    )
                )
        return tables.show_table(pd.DataFrame(rows, columns=["input", "value", "status", "source"]))

    def formers(self):
        """The same stringer over formers that carry or not, as HTML [-]."""
        keys = {key: name for name, key in former_choices(self.job)}
        rows = []
        for key in (SHAPE_ONLY, "pvc_80", "ply_meranti"):
            found = self._variant(former=key)
            rows.append((keys[key], found))
        return tables.show_table(self._compare(rows, "former"))

    def _variant(self, **changes):
        hat, load = self.result.stringer, self.result.load
        values = {
            "height_mm": hat.height,
            "plies": len(hat.skin.laid),
            "span_mm": load.span,
            "pressure": load.pressure,
            "cap_layers": 0 if hat.cap is None else len(hat.cap.laid),
            "former": SHAPE_ONLY,
            "ends": "fixed",
        }
        return stringer_variant(self.job, name=self.name, **(values | changes))

    def _compare(self, rows, first):
        """Builds beside each other: name and result of each."""
        money = self.job.prices.currency
        return pd.DataFrame(
            [
                {
                    first: name,
                    f"EI [{units.unit_label('bending_stiffness', self.system)}]": tables.column(
                        r.ei, "bending_stiffness", self.system
                    )[0],
                    "deflection": self._show(r.deflection_mm, "thickness"),
                    "least reserve factor": f"{r.least.reserve_factor:.2f}" if r.least else "-",
                    "decided by": check_name(r.least).split(":")[0] if r.least else "-",
                    "mass": self._per_length(r.stringer.mass_kg_m, "mass"),
                    f"material [{money}]": self._per_length(r.stringer.cost_per_m, None),
                    "verdict": verdict(r, self.system),
                }
                for name, r in rows
            ]
        )

    def sizing(self):
        """Least mass and least cost for several targets, as HTML [-]."""
        all_, rows = self._sizing, [("as drawn", self.result)]
        drawn = self._show(self.part.height_mm, "small_length")
        targets = [
            ("any height", {}),
            ("any height, half as strong again", {"reserve": 1.5}),
            ("any height, twice as strong", {"reserve": 2.0}),
            (f"height kept at {drawn}", {"heights": (self.part.height_mm,)}),
            (
                f"height kept at {drawn}, draft web rule not asked for",
                {"heights": (self.part.height_mm,), "use_rules": False},
            ),
        ]
        for name, target in targets:
            found = {what: all_.with_targets(objective=what, **target) for what in ("mass", "cost")}
            same = found["mass"].best is found["cost"].best
            for what, label in (("mass", "lightest and cheapest" if same else "lightest"), ("cost", "cheapest")):
                if found[what].best is not None and not (same and what == "cost"):
                    plies, cap, high = all_.combinations[found[what].best_index]
                    rows.append(
                        (
                            f"{label}, {name}: {plies} over the former, {cap} in the cap, "
                            f"{self._show(high, 'small_length')} high",
                            found[what].best,
                        )
                    )
        return tables.show_table(self._compare(rows, "build"))

    def sizing_words(self):
        """How many builds were tried, as HTML [-]."""
        found = self._sizing
        low, high = (self._show(h, "small_length") for h in (min(found.heights), max(found.heights)))
        return tables.show_sentence(
            f"{len(found.results)} builds were worked out in full: {min(found.plies)} to {max(found.plies)} layers over the "
            f"former, {min(found.cap_layers)} to {max(found.cap_layers)} in the cap, {low} to {high} high. "
            f"{sum(found.passes)} of them meet every margin, the deflection limit and the rules."
        )

    def cut(self):
        """Cloth to cut, as HTML [-]."""
        rows, per = self.result.cut_table(), "m" if self.system == "metric" else "ft"
        factor = 1.0 if self.system == "metric" else units.convert(1.0, "ft", "m")
        frame = tables.frame(
            self.system,
            {
                "layer": (None, rows["layer"]),
                "width to cut": ("small_length", rows["developed width [mm]"]),
                "length each": ("length", [self.part.length_mm] * len(rows)),
                "pieces": (None, [self.part.number] * len(rows)),
                "mass": ("mass", factor * rows["mass [kg/m]"]),
            },
        )
        return tables.show_table(
            frame.rename(columns=lambda name: f"{name[:-1]}/{per}]" if name.startswith("mass") else name)
        )

    def check(self):
        """Published cases, printed and computed, as HTML [-]."""
        half = float(attached_width("lr_frp", thickness_mm=9.132, base_width_mm=120.0)) / 2
        args = (0.020, 400.0, 1000.0)
        beam = standard_beam("fixed_uniform", load_n=7200.0, span_mm=900.0, ei=5.596e10, ga=1e30)
        guide, memory = (
            "Lloyd's Register, Guidance Notes, July 2013, stiffener example (seen)",
            "ISO 12215-5:2008 formula, from memory, unverified",
        )
        rows = [
            ("half width of attached plating, foot 120, plating 9.132 [mm]", 151.0, half, guide),
            (
                "required section modulus, 20 kN/m2, 400 x 1000 mm, 50 MPa [cm3]",
                13.333,
                requirement("iso_stiffener_modulus", *args, design_stress=50.0).value / 1e3,
                memory,
            ),
            (
                "required web area, the same, 29 MPa [cm2]",
                1.3793,
                requirement("iso_stiffener_web", *args, design_shear_stress=29.0).value / 1e2,
                memory,
            ),
            (
                "required second moment, the same, E 10 GPa [cm4]",
                4.16,
                requirement("iso_stiffener_second_moment", *args, e=10e3).value / 1e4,
                memory,
            ),
            (
                "deflection of a fixed beam, q L4/384EI, 8 N/mm on 900 mm, EI 56 kN m2 [mm]",
                0.24426,
                float(beam.bending_mm),
                "beam theory, by hand",
            ),
        ]
        frame = pd.DataFrame(rows, columns=["case", "printed or by hand", "computed", "source"])
        frame["difference [%]"] = [
            f"{100 * (b / a - 1):+.2f}" for a, b in zip(frame["printed or by hand"], frame["computed"])
        ]
        return tables.show_table(
            frame[["case", "printed or by hand", "computed", "difference [%]", "source"]], digits=5
        )

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(
            (
                "The web rule (depth at most 30 times the thickness) comes from a 1999 committee draft that was seen; the "
                "edition of 2008 is said to keep it. It guards against webs that fold. The margin against buckling in shear "
                "that is worked out beside it takes the web without its former, with an assumed half of the elastic load.",
                *self.result.cautions,
                *tables.GENERAL_CAUTIONS,
            )
        )

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
        hat, load = self.result.stringer, self.result.load
        controls = {
            "height_mm": QuantitySlider("Height of the former", "small_length", hat.height, 20, 200, 5),
            "plies": Count("Layers over the former", len(hat.skin.laid), 1, 6),
            "cap_layers": Count("Layers in the crown cap", 0 if hat.cap is None else len(hat.cap.laid), 0, 8),
            "span_mm": QuantitySlider("Unsupported span", "small_length", load.span, 300, 2500, 50),
            "pressure": QuantitySlider("Design pressure", "pressure", load.pressure, 0.002, 0.080, 0.001),
            "ends": Choice("Ends of the span", ENDS, load.ends),
            "former": Choice("Former", former_choices(self.job), SHAPE_ONLY),
        }
        return Panel(
            controls,
            self._variant,
            words=words,
            table=numbers_frame,
            picture=StringerPicture(),
            unit_system=unit_system or UnitSystem(system=self.system),
            sure=HowSure(_model, ONE_BY_ONE),
            asked=lambda found: tried_doubts(self.job, self._key, found),
        )


def _model(found):
    from lamcalc.studies.uncertain_parts import StringerModel  # here, so that the notebook starts sooner

    return StringerModel(found.stringer, found.load)


def words(found, system):
    """An assessed stringer in a sentence.

    Parameters
    ----------
    found : StringerResult
        Result of the package [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Height, layers, deflection, least margin and verdict [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> words(stringer_result(job.load_demo()), "us")[:24]
    'A former 3.740 in high, '
    """
    hat, worst = found.stringer, found.least
    cap = 0 if hat.cap is None else len(hat.cap.laid)
    least = (
        ""
        if worst is None
        else f"; the least reserve factor is {worst.reserve_factor:.2f} ({check_name(worst).split(':')[0]})"
    )
    return (
        f"A former {units.show(hat.height, 'small_length', system)} high, {counted(len(hat.skin.laid), 'layer')} over it and {cap} in "
        f"the cap: it bends {units.show(found.deflection_mm, 'thickness', system)} of "
        f"{units.show(found.deflection_limit_mm, 'thickness', system)} allowed (span/{found.load.deflection_over:g})"
        f"{least}. {verdict(found, system)}"
    )


def figures_frame(found, system, currency="money"):
    """The figures that a builder asks for.

    Parameters
    ----------
    found : StringerResult
        Result of the package [-].
    system : {"metric", "us"}
        Unit system [-].
    currency : str
        Name of the money [-].

    Returns
    -------
    DataFrame
        One row a figure [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> figures_frame(stringer_result(job.load_demo()), "metric").iloc[0, 1]
    '33.36 kN m2'
    """

    def show(value, kind):
        return units.show(float(value), kind, system)

    def percent(strains):
        # largest first, whatever its sign; the sign says tension or compression
        worst = max(strains, key=abs)
        return f"{100 * abs(worst):.3f} % {'stretched' if worst > 0 else 'squeezed'}"

    web, metric = found.rule_checks, system == "metric"
    slender = next(c for c in web if c.requirement.name == "web depth over thickness")
    per = 1.0 if metric else units.convert(1.0, "ft", "m")
    at = "at the supports" if found.load.ends == "fixed" else "in the middle of the span"
    rows = [
        ("bending stiffness EI, with attached plating", show(found.ei, "bending_stiffness")),
        ("bending axis above the outer face of the plating", show(found.section.neutral_axis_mm, "small_length")),
        (f"strain at the top of the crown, {at}", percent(found.crown_strain)),
        (f"strain at the outer face of the plating, {at}", percent(found.plate_strain)),
        (
            "deflection: bending and shear",
            f"{show(found.bending_mm, 'thickness')} + {show(found.shearing_mm, 'thickness')}",
        ),
        (f"deflection allowed, span/{found.load.deflection_over:g}", show(found.deflection_limit_mm, "thickness")),
        ("shear stress in the webs", show(found.web_shear, "stress")),
        ("depth over thickness of a web (at most 30 by the 1999 draft)", f"{slender.have:.1f}"),
        (
            "shear stress in the bond under the legs",
            "-" if found.bond_shear is None else show(found.bond_shear, "stress"),
        ),
        ("mass, without the plating", f"{show(per * found.stringer.mass_kg_m, 'mass')} per {'m' if metric else 'ft'}"),
        ("material, without waste", f"{per * found.stringer.cost_per_m:.2f} {currency} per {'m' if metric else 'ft'}"),
    ]
    return pd.DataFrame(rows, columns=["figure", "value"])
