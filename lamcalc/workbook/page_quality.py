"""What notebook 09 shows: did it come out as planned?"""

import pandas as pd
from IPython.display import HTML

from lamcalc import units
from lamcalc.errors import InputError, NotThere
from lamcalc.sentences import told
from lamcalc.shop.job_quality import judged, quality_case
from lamcalc.shop.practice_claims import claims_table
from lamcalc.shop.readings import trimmed_mean
from lamcalc.workbook import tables
from lamcalc.workbook.controls import QuantitySlider, UnitSystem
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_quality import ReadingsPicture

CAUTIONS = (
    "One coupon is a hint; the standard asks for three. Grind gel coat and filler off before burning, and burn in a vented kiln only.",
    "Hardness on a waxed, hot or gel-coated surface tells nothing about cure. Wipe, wait, read both sides.",
    "Readings that hold say that the laminate came out as planned, not that the plan was strong enough: see the margins.",
    "Grinding plugs and coupons frees glass and resin dust: respirator, goggles, extraction; no sparks near styrene or acetone.",
    *tables.GENERAL_CAUTIONS,
)
KINDS = {"mm": "thickness", "-": "fraction"}


class QualityPage:
    """The tables, sentences and pictures of notebook 09.

    Parameters
    ----------
    job : Job
        Job file as loaded, with as-built readings [-].
    name : str, optional
        Part that was measured; the first that will do if not given [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Raises
    ------
    InputError
        If the job has no as-built thickness of the part.

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> "Watch" in QualityPage(job.load_demo()).answer().data
    True
    """

    def __init__(self, job, name=None, *, system=None):
        name = name or next((key for key, built in job.as_built.items() if built.thickness_mm), None)
        if name is None:
            rest = "; what was read besides is judged on the sheet of the part" if any(map(judged, job.as_built.values())) else ""
            raise NotThere("as-built thickness readings", f"measure, then enter [as_built.NAME] in the job file{rest}")
        self.job, self.name, self.system, self.readings = job, name, system or job.units, job.as_built.get(name)
        if self.readings is None or not self.readings.thickness_mm:
            raise InputError(f"as-built readings of {name}", "must hold thickness readings [mm]", None,
                             f"measure, then enter [as_built.{name}] in the job file")
        self.case = quality_case(job, name, laminate=self.readings.laminate)
        self.found = self.case.of(self.readings)

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        return tables.show_sentence(f"{told(self.found.report.verdict, self.system, capital=True)}. {self.found.sentence}")

    def table(self):
        """Checks with standard and verdict, as HTML [-]."""
        return tables.show_table(_checks((self.found, self.readings), self.system))

    def stiffness(self):
        """Stiffness as built against as designed, as HTML [-]."""
        return tables.show_table(_stiffness(self.found, self.system))

    def figure(self):
        """Readings against limits, as an HTML picture [-]."""
        return HTML(ReadingsPicture().draw((self.found, self.readings), self.system, live=False))

    def inputs(self):
        """Readings as the job has them, as HTML [-]."""
        r, show = self.readings, lambda value, kind: units.show(value, kind, self.system)
        rows = [("thickness", "; ".join(show(t, "thickness") for t in r.thickness_mm)), ("Barcol", " ".join(f"{b:g}" for b in r.barcol) + f", after {r.barcol_hours:g} h")
                if r.barcol_hours is not None else ("Barcol", " ".join(f"{b:g}" for b in r.barcol) or "-")]
        for words, value in (("glass used", r.glass_used_kg), ("resin used", r.resin_used_kg)):
            rows.append((words, "not weighed" if value is None else show(value, "mass")))
        if r.coupon:
            rows.append(("coupon, dry and residue", f"{show(r.coupon.dry_mass_g / 1e3, 'small_mass')}, {show(r.coupon.residue_mass_g / 1e3, 'small_mass')}"))
            if r.coupon.density_kg_m3:
                rows.append(("coupon, density", show(r.coupon.density_kg_m3, "density")))
        rows = [(*row, "job file, measured") for row in rows]
        rows += [("glass content planned, laminate measured", show(self.case.plies.glass_fraction, "fraction"), "schedule"),
                 *[("glass content planned, with bond lines", show(self.case.planned_balance_fraction, "fraction"), "take-off")
                   ] * bool(self.job.parts),
                 ("thickness planned", show(self.case.plies.structural_thickness_mm, "thickness"), "schedule")]
        return tables.show_table(pd.DataFrame(rows, columns=["input", "value with unit", "source"]))

    def limits(self):
        """Limits behind the verdicts with status and source, as HTML [-]."""
        return tables.show_list(dict.fromkeys(f"{c.name}: {told(limit.words, self.system)}"
                                              for c in self.found.report.checks for limit in c.limits))

    def claims(self):
        """Contradictions about measuring, as HTML [-]."""
        return tables.show_table(claims_table("quality"))

    def check(self):
        """Published cases, as HTML [-]."""
        readings = [38, 41, 40, 35, 42, 39, 44, 37, 40, 52]
        return tables.show_table(pd.DataFrame([
            {"case": "trimmed mean of ten Barcol readings: highest and lowest dropped", "printed": 40.1, "computed": trimmed_mean(readings),
             "source": "vinyl ester maker's fabricating tips (procedure); common practice"}]), digits=4)

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def panel(self, unit_system=None):
        """Live panel: other readings.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Show its ``box`` [-].
        """
        r = self.readings
        controls = {"thicker": QuantitySlider("Readings changed by", "thickness", 0.0, -2.0, 2.0, 0.1)}
        if r.resin_used_kg is not None:
            controls["resin_kg"] = QuantitySlider("Resin used", "mass", r.resin_used_kg, 0.5 * r.resin_used_kg, 2 * r.resin_used_kg, 0.1)
        if r.coupon:
            controls["residue_kg"] = QuantitySlider("Residue of the coupon", "small_mass", r.coupon.residue_mass_g / 1e3,
                                                    0.1 * r.coupon.dry_mass_g / 1e3, 0.75 * r.coupon.dry_mass_g / 1e3, 0.00002)
        return Panel(controls, self.measured, words=lambda found, system: f"{told(found[0].report.verdict, system, capital=True)}. {found[0].sentence}",
                     table=_checks, picture=ReadingsPicture(), unit_system=unit_system or UnitSystem(system=self.system))

    def measured(self, thicker, resin_kg=None, residue_kg=None):
        """Quality for other readings.

        Parameters
        ----------
        thicker : float
            Added to every thickness reading [mm].
        resin_kg : float, optional
            Resin used [kg].
        residue_kg : float, optional
            Residue of the coupon [kg].

        Returns
        -------
        tuple of (JobQuality, AsBuilt)
            Result and the readings [-].

        Raises
        ------
        InputError
            If a reading is out of range.
        """
        r, changes = self.readings, {"thickness_mm": tuple(t + thicker for t in self.readings.thickness_mm)}
        if resin_kg is not None:
            changes["resin_used_kg"] = resin_kg
        if residue_kg is not None:
            changes["coupon"] = r.coupon.model_copy(update={"residue_mass_g": 1e3 * residue_kg})
        changed = r.model_copy(update=changes)
        return self.case.of(changed), changed


def _checks(found, system):
    rows = []
    for c in found[0].report.checks:
        kind = KINDS.get(c.unit)
        values = [units.show(v, kind, system) if kind else f"{v:.1f} {c.unit}" for v in (c.measured, c.expected)]
        rows.append((c.name, *values, c.verdict, c.standard, told(c.words, system)))
    return pd.DataFrame(rows, columns=["check", "measured", "plan or limit", "verdict", "test standard", "in words"])


def _stiffness(found, system):
    frame, rows = found.stiffness, []
    kinds = (("kN m2/m", "flexural_stiffness_per_width", 1e6), ("kN/mm", "stiffness_per_width", 1e3), ("[mm]", "thickness", 1.0), ("[-]", "fraction", 1.0))
    for row in frame.itertuples(index=False):
        kind, scale = next((kind, scale) for unit, kind, scale in kinds if unit in row[0])
        rows.append((row[0].split(" [")[0], *(units.show(v * scale, kind, system) for v in row[1:4]), f"{row[4]:.3f}", f"{row[5]:.3f}"))
    return pd.DataFrame(rows, columns=["figure", "as designed", "as built, by thickness", "as built, by glass content",
                                       "ratio by thickness [-]", "ratio by glass content [-]"])
