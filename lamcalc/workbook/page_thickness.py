"""What notebook 01 shows: how thick, heavy and dear the plies of a schedule will be."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pandas as pd

from lamcalc import units
from lamcalc.schedule import Ply, Schedule
from lamcalc.sentences import counted
from lamcalc.shop import job as jobs
from lamcalc.shop.job_schedule import first_schedule
from lamcalc.studies import claims, compare, published_cases
from lamcalc.workbook import explain, plots_thickness, style, tables
from lamcalc.workbook.controls import Choice, Count, QuantitySlider, UnitSystem
from lamcalc.workbook.follow import Followed
from lamcalc.workbook.how_sure import HowSure, laminate_model
from lamcalc.workbook.panel import Panel

COMBINATION_FRACTION = 0.43
FIRST_FABRIC = "biax45_1708"
BASES = (("the catalogue, part by part", "catalogue"), ("glass content I give", "glass"),
         ("layer thickness I measured", "measured"))
CAUTIONS = (
    "The thickness rule counts no air. Voids and starved or pooled resin change the thickness, so measure the cured "
    "laminate before you trust a number that depends on it.",
    "Mat bonded with a styrene-soluble binder does not wet out properly in epoxy: use stitched mat or plain fabric.",
    "The resin shown is what stays in the laminate. Buy more for brush, bucket and run-off.",
    "Stiffness grows with thickness, but thick resin-rich laminate is not strong laminate: glass carries the load.",
    *tables.GENERAL_CAUTIONS,
)


@dataclass(frozen=True)
class Layup:
    """One fabric laid some times, with its thickness over glass content.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].
    sheet : FabricSheet
        All layers together over glass content [-].
    usual : tuple of (float, float)
        Usual range of the glass fraction [-].
    """

    schedule: Schedule
    sheet: compare.FabricSheet
    usual: tuple

    @property
    def here(self):
        """Glass fraction and thickness of the layers [-, mm]."""
        return self.schedule.glass_fraction, self.schedule.total_thickness_mm


class ThicknessPage(Followed):
    """The tables, sentences and pictures of notebook 01.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    name : str, optional
        Schedule of the job to look at; the first that will do if not given [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Examples
    --------
    >>> page = ThicknessPage(jobs.load_demo(), "transom_inner_skin")
    >>> "5.51 mm" in page.answer().data
    True
    """

    def __init__(self, job, name=None, *, system=None):
        self._asked, name = name, name or first_schedule(job)
        self.job, self.name, self.system = job, name, system or job.units
        self.shop = jobs.catalogue(job)
        self.schedule = jobs.schedule(job, name)

    def _show(self, value, kind):
        return units.show(float(value), kind, self.system)

    def _source(self, key):
        return self.shop.source(key).citation

    def workings(self):
        """Thickness, glass content and bending stiffness with the numbers put in, folded, as HTML [-]."""
        sub = self.schedule.sublayers
        first = next((k for k, kind in enumerate(sub.kind) if kind in ("csm", "ud", "woven", "cloth")), None)
        ply = next((layer for layer in self.schedule.laid if isinstance(layer, Ply)), None)
        one = () if first is None else (explain.ply_working(
            float(sub.areal_weight_gsm[first]), float(sub.weight_fraction[first]),
            fibre_density_kg_m3=float(self.schedule.fibres[ply.reinforcement.fibre].density_kg_m3),
            resin_density_kg_m3=float(ply.resin.density_kg_m3), system=self.system),)
        return explain.show(*one, *(work(self.schedule, self.system) for work in (
            explain.thickness_working, explain.glass_working, explain.stiffness_working)))

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        s = self.schedule
        low, high = s.thickness_band_mm()
        other = "us" if self.system == "metric" else "metric"
        return tables.show_sentence(
            f"{s.name}: it cures to {self._show(s.total_thickness_mm, 'thickness')} "
            f"({units.show(s.total_thickness_mm, 'thickness', other)}); anything from {self._show(low, 'thickness')} to "
            f"{self._show(high, 'thickness')} is within usual hand work. It weighs "
            f"{self._show(s.areal_mass_kg_m2, 'areal_mass')} and the material costs "
            f"{money(s.cost_per_m2, self.job.prices.currency, self.system)}, before waste{tables.without(s.unpriced)}.")

    def table(self):
        """The schedule layer by layer with a total, as HTML [-]."""
        s = self.schedule
        cost, per = money_column(s.row_cost, self.system)
        cost = [text if priced else "no price" for priced, text in zip(s.row_priced, cost, strict=True)]
        rows = tables.frame(self.system, {
            "layer": (None, np.arange(1, len(s.laid) + 1)), "material": (None, s.table()["material"]),
            "dry weight": ("areal_weight", s.row_glass_gsm),
            "glass content": ("fraction", s.table()["glass fraction [-]"]),
            "thickness": ("thickness", s.row_thickness_mm),
            "running total": ("thickness", np.cumsum(s.row_thickness_mm)),
            "resin": ("areal_weight", s.row_resin_gsm), "mass": ("areal_mass", s.row_mass_gsm / 1000),
        }).assign(**{f"material cost [{self.job.prices.currency}/{per}]": cost})
        total = ["", "total", *(tables.column(v, k, self.system)[0] for v, k in (
            (1000 * s.glass_kg_m2, "areal_weight"), (s.glass_fraction, "fraction"), (s.total_thickness_mm, "thickness"))),
                 "", tables.column(1000 * s.resin_kg_m2, "areal_weight", self.system)[0],
                 tables.column(s.areal_mass_kg_m2, "areal_mass", self.system)[0], "no price for all of it" if s.unpriced else money_column(s.cost_per_m2, self.system)[0][0]]
        return tables.show_table(pd.concat([rows, pd.DataFrame([total], columns=rows.columns)]))

    def figure(self):
        """The schedule as it builds up, as an HTML picture [-]."""
        figure, axes = style.new_figure(6.8, 3.2)
        plots_thickness.stack(axes[0, 0], self.schedule.sublayers, self.system)
        return tables.show_picture(figure, (
            f"Bars for the {counted(len(self.schedule.laid), 'layer')} of {self.schedule.name}, each starting where the one before "
            f"ends; together {self._show(self.schedule.total_thickness_mm, 'thickness')}."))

    @cached_property
    def _plies(self):
        return {layer.reinforcement.id: layer for layer in self.schedule.layers if isinstance(layer, Ply)}

    def inputs(self):
        """Every number that goes in, with unit, status and source, as HTML [-]."""
        rows = [(f"dry weight of {ply.reinforcement.name}", ply.reinforcement.areal_weight_gsm, "areal_weight",
                 ply.reinforcement) for ply in self._plies.values()]
        first = next(iter(self._plies.values()))
        kinds = {part.fraction_kind for ply in self._plies.values() for part in ply.reinforcement.components}
        for kind in sorted(kinds):
            value = first.process.glass_fraction(kind)
            rows.append((f"glass content of {GLASS_WORDS[kind]}, {first.process.name}", value.typical, "fraction", value))
        fibre = self.shop.fibre(first.reinforcement.fibre)
        rows += [(f"density of {fibre.name}", fibre.density_kg_m3.typical, "density", fibre.density_kg_m3),
                 (f"density of cured {first.resin.name}", first.resin.density_kg_m3.typical, "density",
                  first.resin.density_kg_m3)]
        return tables.show_table(inputs_table(rows, self.system, self._source))

    def ways_to_count(self):
        """The same skin counted part by part and with one glass content for whole combination fabrics, as HTML [-]."""
        whole = compare.with_whole_fraction(self.schedule, COMBINATION_FRACTION)
        ways = {"each mat and stitched layer at its own glass content (used here)": self.schedule,
                f"combination fabrics as one layer at {100 * COMBINATION_FRACTION:.0f} % glass": whole}
        return tables.show_table(tables.frame(self.system, {
            "how it is counted": (None, ways),
            "total thickness": ("thickness", [way.total_thickness_mm for way in ways.values()]),
            "glass content": ("fraction", [way.glass_fraction for way in ways.values()]),
            "resin": ("areal_weight", [1000 * way.resin_kg_m2 for way in ways.values()])}))

    def names(self):
        """What the trade name of a mat-backed fabric really weighs, as HTML [-]."""
        fabric = self.shop.reinforcement(FIRST_FABRIC)
        parts = [*fabric.stack(), fabric]
        words = [f"{PART_WORDS[p.kind]}{f' at {p.angle_deg:+.0f} deg' if p.kind == 'ud' else ''}" for p in parts[:-1]]
        weight = [part.areal_weight_gsm for part in parts]
        return tables.show_table(pd.DataFrame({
            "part of one layer of 1708": [*words, "together"],
            "[g/m2]": tables.column(weight, "areal_weight", "metric"),
            "[oz/yd2], as cloth is sold": tables.column(weight, "cloth_weight", "us"),
            "[oz/ft2], as mat is sold": tables.column(weight, "mat_weight", "us")}))

    def claims(self):
        """Sayings that contradict each other, and what the thickness rule says, as HTML [-]."""
        return tables.show_table(claims.claims_table())

    def check(self):
        """A published case, printed and computed, as HTML [-]."""
        return tables.show_table(published_cases.thickness_case(), digits=4)

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def _laid_most(self):
        """Fabric that the schedule lays most often, and its resin: where the panel starts."""
        plies = [(layer.reinforcement.id, layer.resin.id) for layer in self.schedule.laid if isinstance(layer, Ply)]
        return max(plies, key=plies.count, default=(FIRST_FABRIC, "iso_polyester"))

    def _choices(self):
        """Lists of the panel with their starts."""
        fabric, resin = self._laid_most()
        return {"fabric": ([(f.name, key) for key, f in self.shop.reinforcements.items()], fabric),
                "resin": ([(r.name, key) for key, r in self.shop.resins.items() if r.family != "gel_coat"], resin),
                "process": ([(p.name, key) for key, p in self.shop.processes.items()], "hand")}

    def _takes(self):
        return {"compute": self.layup, "words": self._words, "table": self._numbers, "choices": self._choices()}

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
        choices = self._choices()
        controls = {
            "fabric": Choice("Fabric", *choices["fabric"]),
            "resin": Choice("Resin", *choices["resin"]),
            "process": Choice("How it is laid", *choices["process"]),
            "count": Count("Layers", 2, 1, 12),
            "basis": Choice("Glass content from", BASES, "catalogue"),
            "glass": QuantitySlider("Glass content by mass", "fraction", 0.40, 0.20, 0.75, 0.01),
            "measured": QuantitySlider("Thickness of one layer", "thickness", 1.2, 0.1, 4.0, 0.05),
        }
        return Panel(controls, self.layup, words=self._words, table=self._numbers, picture=plots_thickness.ContentPicture(),
                     unit_system=unit_system or UnitSystem(system=self.system), idle=_idle,
                     sure=HowSure(lambda found: laminate_model(found.schedule)))

    def layup(self, fabric, resin, process, count, basis, glass, measured):
        """One fabric laid some times.

        Parameters
        ----------
        fabric, resin, process : str
            Catalogue keys [-].
        count : int
            How many layers [-].
        basis : {"catalogue", "glass", "measured"}
            What sets the glass content [-].
        glass : float
            Glass fraction, used with basis 'glass' [-].
        measured : float
            Cured thickness of one layer, used with basis 'measured' [mm].

        Returns
        -------
        Layup
            The layers and their thickness over glass content [-].

        Examples
        --------
        >>> page = ThicknessPage(jobs.load_demo())
        >>> found = page.layup("csm_450", "iso_polyester", "hand", 1, "catalogue", 0.3, 1.0)
        >>> round(found.here[1], 2)
        1.05
        """
        cloth, mixed, way = self.shop.reinforcement(fabric), self.shop.resin(resin), self.shop.process(process)
        ply = Ply(cloth, mixed, way, count=count, glass_fraction=glass if basis == "glass" else None,
                  thickness_mm=measured if basis == "measured" else None)
        schedule = Schedule((ply,), self.shop.fibres, name=cloth.name, prices=jobs.prices(self.job))
        sheet = compare.fabric_sheet(
            count * cloth.areal_weight_gsm, np.linspace(0.2, 0.75, 56), void_fraction=float(way.void_fraction),
            fibre_density_kg_m3=float(self.shop.fibre(cloth.fibre).density_kg_m3),
            resin_density_kg_m3=float(mixed.density_kg_m3))
        return Layup(schedule, sheet, compare.usual_glass_range(cloth, way))

    def _words(self, found, system):
        s = found.schedule
        low, high = s.thickness_band_mm()
        band = "" if low == high else (f"; expect {units.show(low, 'thickness', system)} to "
                                       f"{units.show(high, 'thickness', system)}")
        count = s.layers[0].count
        return (f"{count} layer{'' if count == 1 else 's'} of {s.name}: "
                f"{units.show(s.total_thickness_mm, 'thickness', system)} thick at "
                f"{units.show(s.glass_fraction, 'fraction', system)} glass{band}. {_place(s.glass_fraction, found.usual)}")

    def _numbers(self, found, system):
        s = found.schedule
        rows = [("dry fibre", 1000 * s.glass_kg_m2, "areal_weight"), ("resin in the laminate", 1000 * s.resin_kg_m2, "areal_weight"),
                ("laminate", s.areal_mass_kg_m2, "areal_mass"), ("one layer", s.row_thickness_mm[0], "thickness"),
                ("all layers", s.total_thickness_mm, "thickness")]
        shown = pd.DataFrame({"quantity": [row[0] for row in rows],
                              "value": [tables.column(v, k, system)[0] for _, v, k in rows],
                              "unit": [units.unit_label(k, system) for _, _, k in rows]})
        price = money_column(s.cost_per_m2, system) if not s.unpriced else (["no price in the job for all of it"], "-")
        unit = f"{self.job.prices.currency}/{price[1]}" if not s.unpriced else "-"
        return pd.concat([shown, pd.DataFrame({"quantity": ["material cost"], "value": price[0], "unit": [unit]})])


GLASS_WORDS = {"csm": "mat", "woven": "woven roving", "cloth": "cloth", "ud": "unidirectional", "stitched": "stitched layers"}
PART_WORDS = {"csm": "mat", "woven": "woven roving", "cloth": "cloth", "ud": "stitched layer"}


def _idle(basis, **_others):
    return {"catalogue": ("glass", "measured"), "glass": ("measured",), "measured": ("glass",)}[basis]


def _place(glass_fraction, usual):
    if usual[0] == usual[1]:
        return "The catalogue knows no range for this process, only a typical figure."
    if glass_fraction < usual[0]:
        return "That is wetter than usual for this process: heavy, and no stronger."
    if glass_fraction > usual[1]:
        return "That is drier than usual for this process: check for dry fibre and air."
    return "That glass content is usual for this process."


def money_column(per_m2, system):
    """Costs per area as text.

    Parameters
    ----------
    per_m2 : array_like, shape (rows,)
        Costs [money/m2].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    tuple of (list of str, str)
        One text a row, and the unit of area [-].

    Examples
    --------
    >>> money_column([10.7639], "us")
    (['1.00'], 'ft2')
    """
    area = units.KINDS["area"]
    unit = area.metric if system == "metric" else area.us
    return [f"{value / units.convert(1.0, 'm2', unit):.2f}" for value in np.atleast_1d(per_m2)], unit


def money(per_m2, currency, system):
    """A cost per area in words.

    Parameters
    ----------
    per_m2 : float
        Cost [money/m2].
    currency : str
        Name of the money [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Amount, currency and area [-].

    Examples
    --------
    >>> money(62.2, "credits", "metric")
    '62.20 credits per m2'
    """
    text, unit = money_column(per_m2, system)
    return f"{text[0]} {currency} per {unit}"


def inputs_table(rows, system, citation):
    """Inputs with their unit, status and source.

    Parameters
    ----------
    rows : sequence of (str, float, str, object)
        Words, value [internal unit], kind, and the record or value that has `status` and `source` [-].
    system : {"metric", "us"}
        Unit system [-].
    citation : callable
        Turns a source key into its citation [-].

    Returns
    -------
    DataFrame
        Columns input, value, unit, known range, status, source [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> glass = catalogue.load().fibre("e_glass").density_kg_m3
    >>> inputs_table([("density", 2560.0, "density", glass)], "metric", str)["unit"].tolist()
    ['kg/m3']
    """
    return pd.DataFrame({
        "input": [row[0] for row in rows],
        "value": [tables.column(row[1], row[2], system)[0] for row in rows],
        "unit": [units.unit_label(row[2], system) for row in rows],
        "known range": [tables.known_range(row[3], row[2], system) for row in rows],
        "status": [row[3].status + (", unverified" if row[3].status in ("from memory", "assumed") else "") for row in rows],
        "source": [citation(row[3].source) for row in rows]})
