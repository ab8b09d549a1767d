"""What notebook 02 shows: which way the plies of a schedule should run."""

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from lamcalc import units
from lamcalc.errors import InputError
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.strength import Margin, design_factor
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.parts.panel_repair import laminate_figures
from lamcalc.schedule import PROPERTY_MODELS, Ply, Schedule, fabric_constants
from lamcalc.shop import job as jobs
from lamcalc.shop.job_schedule import first_schedule
from lamcalc.studies import compare, published_cases
from lamcalc.workbook import explain, plots_orientation, style, tables
from lamcalc.workbook.controls import Choice, QuantitySlider, UnitSystem
from lamcalc.workbook.follow import Followed
from lamcalc.workbook.how_sure import HowSure, laminate_model
from lamcalc.workbook.page_thickness import GLASS_WORDS, inputs_table
from lamcalc.workbook.panel import Panel

SINGLE = ("ud_400", "biax090_18oz", "biax45_17oz", "wr_600", "csm_450")
FIRST_0_90, FIRST_45 = "biax090_1808", "biax45_1708"
AS_DRAWN = "as drawn"
COOLING_K, BOW_LENGTH_MM = 20.0, 1000.0
PULL = 100.0  # N/mm along the sheet, an example to compare margins under
ERRORS_DEG = np.arange(0.0, 91.0, 3.0)
CAUTIONS = (
    "Stiffness is not strength. A sheet that is stiff enough in a direction can still crack there: check strength and "
    "the bond lines separately.",
    "Both property models assume well-wetted fabric without air. For mat, read the remark above before you believe the "
    "third digit.",
    "Which face of a combination fabric carries the mat, and which stitched layer is +45, differs from roll to roll: "
    "look at yours and set angle and mat side to match.",
    "An unsymmetric skin bows when it cools from cure. Bonded to a core it is held straight, and the bond line carries "
    "the difference.",
    *tables.GENERAL_CAUTIONS,
)


@dataclass(frozen=True)
class Change:
    """A stack as drawn and with one ply changed.

    Parameters
    ----------
    drawn, changed : Laminate
        The two stacks [-].
    cracks : tuple of LaminateFigures or None
        Strength figures of the two; None where a fabric's strength is not known [-].
    words : str
        What was changed [-].
    model : str
        Property model [-].
    schedule : Schedule
        The changed stack as layers [-].
    still : str
        Why turning the ply changes nothing; empty where it does [-].
    """

    drawn: Laminate
    changed: Laminate
    cracks: tuple
    words: str
    model: str
    schedule: Schedule
    still: str = ""


class OrientationPage(Followed):
    """The tables, sentences and pictures of notebook 02.

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
    >>> page = OrientationPage(jobs.load_demo(), "transom_inner_skin")
    >>> page.variants()[AS_DRAWN].total_thickness_mm > 5
    True
    """

    def __init__(self, job, name=None, *, system=None):
        self._asked, name = name, name or first_schedule(job)
        self.job, self.system = job, system or job.units
        self.shop = jobs.catalogue(job)
        self.schedule = jobs.schedule(job, name)
        self._rows = {layer.reinforcement.id: row for row, layer in reversed(list(enumerate(self.schedule.laid)))
                      if isinstance(layer, Ply)}
        self._drawn = {}
        self._row = self._first_woven_or_stitched()

    def _first_woven_or_stitched(self):
        """Row of the ply whose direction counts: the demo's 0/90, else the first that is not mat alone."""
        plies = [(row, layer) for row, layer in enumerate(self.schedule.laid) if isinstance(layer, Ply)]
        if not plies:
            raise InputError("schedule", "must have a ply of fabric for this page [-]", self.schedule.name,
                             "choose another schedule: OrientationPage(job, \"its name\")")
        turned = [row for row, layer in plies if layer.reinforcement.directional]
        return self._rows.get(FIRST_0_90, (turned or [plies[0][0]])[0])

    def _has_the_usual_swaps(self):
        """Whether the schedule has the fabrics that the usual swaps are about: an 1808 and two 1708 in a row."""
        row = self._rows.get(FIRST_45)
        after = self.schedule.laid[row + 1] if row is not None and row + 1 < len(self.schedule.laid) else None
        return FIRST_0_90 in self._rows and isinstance(after, Ply) and after.reinforcement.id == FIRST_45

    def _show(self, value, kind):
        return units.show(float(value), kind, self.system)

    def _single(self, fabric):
        first = next(layer for layer in self.schedule.layers if isinstance(layer, Ply))
        return Schedule((Ply(self.shop.reinforcement(fabric), first.resin, first.process),), self.shop.fibres)

    def variants(self):
        """The schedule as drawn and with usual changes and mistakes.

        Returns
        -------
        dict of str to Schedule
            Schedules by what was changed [-].
        """
        if not self._has_the_usual_swaps():
            return self._turned()
        s, r090, r45 = self.schedule, self._rows[FIRST_0_90], self._rows[FIRST_45]
        swap45, swap090 = self.shop.reinforcement(FIRST_45), self.shop.reinforcement(FIRST_0_90)
        both = compare.with_ply(compare.with_ply(s, r45, reinforcement=swap090), r45 + 1, reinforcement=swap090)
        return {
            AS_DRAWN: s,
            "0/90 (1808) swapped for a +-45 (1708)": compare.with_ply(s, r090, reinforcement=swap45),
            "both +-45 (1708) swapped for 0/90 (1808)": both,
            "0/90 laid 15 deg off": compare.with_ply(s, r090, angle_deg=s.laid[r090].angle_deg + 15.0),
            "one +-45 laid as 0/90": compare.with_ply(s, r45, angle_deg=s.laid[r45].angle_deg + 45.0),
            "0/90 laid mat side up": compare.with_ply(s, r090, mat_side="up"),
        }

    def _turned(self):
        """The schedule as drawn and with one ply laid wrong, whatever its fabrics are."""
        s, row = self.schedule, self._row
        ply, name = s.laid[row], f"layer {row + 1}"
        ways = {AS_DRAWN: s}
        for off in (15.0, 45.0, 90.0):
            ways[f"{name} laid {off:.0f} deg off"] = compare.with_ply(s, row, angle_deg=ply.angle_deg + off)
        if ply.reinforcement.has_mat and ply.reinforcement.directional:
            up = "down" if ply.mat_side == "up" else "up"
            ways[f"{name} laid mat side {up}"] = compare.with_ply(s, row, mat_side=up)
        return ways

    def _answer_turned(self, stiff):
        ply, turned = self.schedule.laid[self._row], self._turned()[f"layer {self._row + 1} laid 45 deg off"].laminate
        stretch, shear = (100 * (turned.A[k, k] / self.schedule.laminate.A[k, k] - 1) for k in (0, 2))
        change = (f"changes the stretching stiffness along the roll by {stretch:+.0f} % and shear by {shear:+.0f} %"
                  if max(abs(stretch), abs(shear)) >= 0.5 else "changes nothing")
        return tables.show_sentence(
            f"0/90 plies carry pull and bending along and across the sheet, +-45 plies carry shear and twist, and a "
            f"skin wants both. {self.schedule.name} is {self._range(stiff)}; layer {self._row + 1}, "
            f"{ply.reinforcement.name}, laid 45 deg off {change}.")

    def _range(self, stiff):
        """Least and greatest stiffness; one figure where no direction shows another."""
        low, high = (self._show(end, "modulus") for end in (stiff.stretch.min(), stiff.stretch.max()))
        return f"{low} stiff, the same in every direction" if low == high else f"between {low} and {high} stiff, depending on the direction"

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        stiff = compare.directional_stiffness(self.schedule.laminate, plots_orientation.DIRECTIONS_DEG)
        if not self._has_the_usual_swaps():
            return self._answer_turned(stiff)
        swapped = self.variants()["0/90 (1808) swapped for a +-45 (1708)"].laminate
        loss = 1 - swapped.A[0, 0] / self.schedule.laminate.A[0, 0]
        gain = swapped.A[2, 2] / self.schedule.laminate.A[2, 2] - 1
        return tables.show_sentence(
            f"0/90 plies carry pull and bending along and across the sheet, +-45 plies carry shear and twist, and a "
            f"skin wants both. This one is between {self._show(stiff.stretch.min(), 'modulus')} and "
            f"{self._show(stiff.stretch.max(), 'modulus')} stiff in every direction; swapping its 0/90 for a +-45 takes "
            f"{100 * loss:.0f} % off the stretching stiffness along the roll and adds {100 * gain:.0f} % in shear.")

    def table(self):
        """Single plies: stiffness along, at 45, across and in shear, as HTML [-]."""
        found = [compare.directional_stiffness(self._single(f).laminate, [0.0, 45.0, 90.0]) for f in SINGLE]
        columns = {f"pulled at {a} deg": ("modulus", [d.stretch[i] for d in found]) for i, a in enumerate((0, 45, 90))}
        return tables.show_table(tables.frame(self.system, {
            "single ply": (None, [self.shop.reinforcement(f).name for f in SINGLE]), **columns,
            "shear": ("modulus", [d.shear[0] for d in found])}))

    def figure(self):
        """Stiffness round the compass, single plies and stacks, as an HTML picture [-]."""
        figure, axes = style.new_polar(2, 8.4, 5.0)
        turn = plots_orientation.DIRECTIONS_DEG
        singles = {tables.fabric_name(self.shop.reinforcement(f).name, self.system):
                   (turn, compare.directional_stiffness(self._single(f).laminate, turn).stretch) for f in SINGLE}
        stacks = {name: (turn, compare.directional_stiffness(one.laminate, turn).stretch)
                  for name, one in list(self.variants().items())[:4]}
        figure.subplots_adjust(bottom=0.34, top=0.88)
        plots_orientation.polar(axes[0], singles, "modulus", "single plies, pulled", self.system)
        plots_orientation.polar(axes[1], stacks, "modulus", "whole skin, pulled", self.system)
        return tables.show_picture(figure, (
            "Two compass plots of stiffness when pulled. Left, single plies: a unidirectional is a narrow figure of "
            "eight, 0/90 and +-45 fabrics are four-leaved, mat is a circle. Right, whole skins: nearly round."))

    def inputs(self):
        """Every number that goes in, with unit, status and source, as HTML [-]."""
        first = next(layer for layer in self.schedule.layers if isinstance(layer, Ply))
        fibre, resin = self.shop.fibre(first.reinforcement.fibre), first.resin
        rows = [(f"modulus of {fibre.name} along the fibre", fibre.e1, "modulus"),
                (f"Poisson ratio of {fibre.name} (a plain number)", fibre.require("nu12"), None),
                (f"modulus of cured {resin.name}", resin.require("e"), "modulus"),
                (f"Poisson ratio of cured {resin.name} (a plain number)", resin.require("nu"), None)]
        rows += [(f"glass content of {GLASS_WORDS[kind]}, {first.process.name}", first.process.glass_fraction(kind),
                  "fraction") for kind in ("csm", "woven", "stitched", "ud")]
        plain = [row for row in rows if row[2] is None]
        shown = inputs_table([(w, v.typical, k, v) for w, v, k in rows if k], self.system,
                             lambda key: self.shop.source(key).citation)
        extra = pd.DataFrame({"input": [w for w, _, _ in plain], "value": [f"{v.typical:g}" for _, v, _ in plain],
                              "unit": "-", "known range": [tables.known_range(v, None, self.system) for _, v, _ in plain],
                              "status": [v.status + (", unverified" if v.unverified else "") for _, v, _ in plain],
                              "source": [self.shop.source(v.source).citation for _, v, _ in plain]})
        return tables.show_table(pd.concat([shown, extra]))

    def models(self):
        """Both property models side by side, as HTML [-]."""
        first = next(layer for layer in self.schedule.layers if isinstance(layer, Ply))
        fibre = self.shop.fibre(first.reinforcement.fibre)
        asked = (("mat", "csm", "csm"), ("woven roving", "woven", "woven"), ("stitched layer, its own axes", "ud", "stitched"))
        psi = [float(first.process.glass_fraction(key)) for _, _, key in asked]
        kinds = [kind for _, kind, _ in asked]
        found = {model: fabric_constants(kinds, psi, fibre, first.resin, model=model)
                 for model in ("micromechanics", "small_craft")}
        columns = {"layer": (None, [words for words, _, _ in asked]), "glass content": ("fraction", psi)}
        for key, words in (("e1", "pulled along"), ("e2", "pulled across"), ("g12", "shear")):
            for model, short in (("micromechanics", "(a)"), ("small_craft", "(b)")):
                columns[f"{words} {short}"] = ("modulus", found[model][key])
        return tables.show_table(tables.frame(self.system, columns))

    def mat_range(self):
        """Mat at low, usual and high glass content in every model, as HTML [-]."""
        first = next(layer for layer in self.schedule.layers if isinstance(layer, Ply))
        value = first.process.glass_fraction("csm")
        psi = np.array([value.bounds[0], value.typical, value.bounds[1]])
        found = compare.mat_models(self.shop.fibre(first.reinforcement.fibre), first.resin, psi)
        return tables.show_table(tables.frame(self.system, {
            "mat": (None, ["wet", "usual", "dry"]), "glass content": ("fraction", psi),
            "raw average over all directions": ("modulus", found.oriented_average),
            "raw Krenchel 3/8": ("modulus", found.krenchel), "(a) micromechanics": ("modulus", found.micromechanics),
            "(b) small craft": ("modulus", found.small_craft),
            "(a) above (b)": ("fraction", found.micromechanics / found.small_craft - 1)}))

    def swaps(self):
        """Usual changes and mistakes: what they do to the whole skin, as HTML [-]."""
        ways = self.variants()
        stack = [one.laminate for one in ways.values()]
        return tables.show_table(tables.frame(self.system, {
            "skin": (None, ways), "thickness": ("thickness", [one.total_thickness_mm for one in ways.values()]),
            "stretching along": ("stiffness_per_width", [s.A[0, 0] for s in stack]),
            "stretching across": ("stiffness_per_width", [s.A[1, 1] for s in stack]),
            "shear": ("stiffness_per_width", [s.A[2, 2] for s in stack]),
            "bending along": ("flexural_stiffness_per_width", [s.D[0, 0] for s in stack]),
            "twisting": ("flexural_stiffness_per_width", [s.D[2, 2] for s in stack])}))

    def margins(self):
        """Loads at which each skin first cracks, where, and the margin under one pull, as HTML [-]."""
        ways = self.variants()
        found = [laminate_figures(one) for one in ways.values()]
        factor, pull = design_factor("iso_ply"), self._show(PULL, "force_per_width")
        columns = {f"first crack, {way} {to}": (kind, [getattr(one, name)[k] for one in found])
                   for way, name, kind in (("pulled", "crack_force", "force_per_width"),
                                           ("bent", "crack_moment", "moment_per_width"))
                   for k, to in enumerate(("along", "across"))}
        columns["cracks first when pulled along"] = (None, [one.crack_place_force[0] for one in found])
        columns["stitched pair as one layer, pulled along"] = ("force_per_width", [one.first_force[0] for one in found])
        for words, name in (("first crack", "crack_force"), ("pair as one layer", "first_force")):
            left = [Margin(way, PULL, getattr(one, name)[0], factor, "N/mm") for way, one in zip(ways, found, strict=True)]
            columns[f"reserve factor under {pull} along, {words}"] = (None, [f"{m.reserve_factor:.2f}" for m in left])
        return tables.show_table(tables.frame(self.system, {"skin": (None, ways), **columns}))

    def margin_basis(self):
        """What the margins stand on: usable share with its rule, and the strengths' own status, as HTML [-]."""
        return tables.show_list([
            f"Usable share: {design_factor('iso_ply').words}. A reserve factor of 1 just meets it. Go by the smaller one.",
            "First crack: every stitched layer alone, criterion of largest stress; strengths across the fibre are from memory, "
            "unverified.",
            "Stitched pair as one layer: the rule's line for woven roving, printed and read; that it holds for stitched fabric "
            "is from memory, unverified.",
            *dict.fromkeys(schedule_strengths(self.schedule).cautions)])

    def coupling(self):
        """How strongly each skin mixes stretch, shear, bending and twist, as HTML [-]."""
        ways = self.variants()
        found = [compare.coupling(one.laminate) for one in ways.values()]
        bow = [float(compare.cooling_bow(one.laminate, COOLING_K, BOW_LENGTH_MM)) for one in ways.values()]
        length, drop = self._show(BOW_LENGTH_MM, "length"), self._show(COOLING_K, "temperature_difference")
        return tables.show_table(tables.frame(self.system, {
            "skin": (None, ways), "stretch with bending (B)": ("fraction", [f.stretch_bend for f in found]),
            "stretch with shear (A16, A26)": ("fraction", [f.stretch_shear for f in found]),
            "bending with twist (D16, D26)": ("fraction", [f.bend_twist for f in found]),
            f"bow of a free strip {length} long, cooled by {drop}": ("small_length", bow)}))

    def wrong_figure(self):
        """What a wrong angle of the 0/90 ply costs, as an HTML picture [-]."""
        row = self._row
        what = ", the 0/90" if row == self._rows.get(FIRST_0_90) else ""
        drawn, turned = self.schedule.laminate, compare.with_row_turned(self.schedule, row, ERRORS_DEG)
        kept = {"stretching along": turned.A[:, 0, 0] / drawn.A[0, 0], "shear": turned.A[:, 2, 2] / drawn.A[2, 2],
                "bending along": turned.D[:, 0, 0] / drawn.D[0, 0]}
        figure, axes = style.new_figure(6.8, 3.2)
        plots_orientation.wrong_angle(axes[0, 0], ERRORS_DEG, kept, f"layer {row + 1}{what}")
        worst = int(np.argmin(kept["stretching along"]))
        tail = ", while shear rises" if kept["shear"][worst] > 1 else ""
        return tables.show_picture(figure, (
            f"Lines of stiffness over the error of the angle; stretching along is least at {ERRORS_DEG[worst]:.0f} deg, "
            f"{100 * kept['stretching along'][worst]:.0f} % of that as drawn{tail}."))

    def workings(self):
        """Bending stiffness of the skin as drawn and changed, with the numbers put in, folded, as HTML [-]."""
        return explain.show(*(replace(explain.stiffness_working(one, self.system), title=f"bending stiffness along, {name}")
                              for name, one in self.variants().items()))

    def check(self):
        """A published case, printed and computed, as HTML [-]."""
        return tables.show_table(published_cases.direction_case(), digits=4)

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def _choices(self):
        """Lists of the panel with their starts."""
        plies = [(f"{row + 1}: {layer.reinforcement.name}", row) for row, layer in enumerate(self.schedule.laid)
                 if isinstance(layer, Ply)]
        fabrics = [(AS_DRAWN, AS_DRAWN), *((f.name, key) for key, f in self.shop.reinforcements.items())]
        return {"row": (plies, self._row), "fabric": (fabrics, AS_DRAWN)}

    def _fabric(self, row, fabric):
        return self.schedule.laid[row].reinforcement if fabric == AS_DRAWN else self.shop.reinforcement(fabric)

    def _idle(self, row, fabric, **_others):
        return () if self._fabric(row, fabric).directional else ("turn_deg",)

    def _takes(self):
        return {"compute": self.change, "choices": self._choices(), "idle": self._idle}

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
        models = [(words, key) for key, words in PROPERTY_MODELS.items() if key != "tested"]
        controls = {"row": Choice("Layer to change", *choices["row"]),
                    "fabric": Choice("Its fabric", *choices["fabric"]),
                    "turn_deg": QuantitySlider("Turned by", "angle", 0.0, -90.0, 90.0, 5.0),
                    "model": Choice("Property model", models, "micromechanics")}
        return Panel(controls, self.change, words=_words, table=_numbers, picture=_Compasses(), idle=self._idle,
                     unit_system=unit_system or UnitSystem(system=self.system),
                     sure=HowSure(lambda found: laminate_model(found.schedule)))

    def change(self, row, fabric, turn_deg, model):
        """The schedule with one ply changed.

        Parameters
        ----------
        row : int
            Row of the ply table, from 0 [-].
        fabric : str
            Catalogue key of the new fabric, or 'as drawn' [-].
        turn_deg : float
            Turn of the ply [deg].
        model : str
            Property model [-].

        Returns
        -------
        Change
            Both stacks [-].

        Examples
        --------
        >>> page = OrientationPage(jobs.load_demo())
        >>> found = page.change(1, "as drawn", 45.0, "micromechanics")
        >>> bool(found.changed.A[0, 0] < found.drawn.A[0, 0])
        True
        """
        if model not in self._drawn:  # the same for every change that is tried
            whole = replace(self.schedule, property_model=model)
            self._drawn[model] = whole, _strength_figures(whole)
        drawn, figures = self._drawn[model]
        old = drawn.laid[row]
        new = self._fabric(row, fabric)
        changed = compare.with_ply(drawn, row, reinforcement=new, angle_deg=old.angle_deg + turn_deg)
        what = [] if new is old.reinforcement else [f"replaced by {new.name}"]
        what += [f"turned by {turn_deg:.0f} deg"] if turn_deg and new.directional else []
        still = "" if new.directional else f"Layer {row + 1} is mat, which has no direction: it cannot be turned."
        changed_figures = _strength_figures(changed)
        cracks = None if figures is None or changed_figures is None else (figures, changed_figures)
        return Change(drawn.laminate, changed.laminate, cracks,
                      f"layer {row + 1} {' and '.join(what)}" if what else "nothing changed", PROPERTY_MODELS[model], changed, still)


QUANTITIES = (("stretching stiffness along", "A", 0, "stiffness_per_width"), ("stretching stiffness across", "A", 1, "stiffness_per_width"),
              ("shear stiffness", "A", 2, "stiffness_per_width"), ("bending stiffness along", "D", 0, "flexural_stiffness_per_width"),
              ("bending stiffness across", "D", 1, "flexural_stiffness_per_width"), ("twisting stiffness", "D", 2, "flexural_stiffness_per_width"))


def _terms(found):
    return [(words, float(getattr(found.drawn, block)[i, i]), float(getattr(found.changed, block)[i, i]), kind)
            for words, block, i, kind in QUANTITIES]


def _strength_figures(schedule):
    """Strength figures, None where the strength of a fabric is not known."""
    try:
        return laminate_figures(schedule)
    except InputError:
        return None


def _cracks(found):
    """Loads of the first crack, pulled and bent along, as drawn and as changed."""
    return [] if found.cracks is None else [(f"first crack, {way} along", *(getattr(one, name)[0] for one in found.cracks), kind)
            for way, name, kind in (("pulled", "crack_force", "force_per_width"), ("bent", "crack_moment", "moment_per_width"))]


def _percent(old, new):
    change = round(100 * (new / old - 1), 1)
    return f"{change:+.1f}" if change else "0.0"


def _words(found, system):
    share = compare.coupling(found.changed)
    changes = ", ".join(f"{words} {_percent(old, new)} %" for words, old, new, _ in _terms(found)[:4])
    twist = f"Bending with twist is {100 * float(share.bend_twist):.1f} % of its limit."
    crack = ("Its strength is NOT known: strengths here are for E-glass only." if found.cracks is None else
             f"It cracks first, when pulled along, in {found.cracks[1].crack_place_force[0]} (no design factor yet).")
    still = f" {found.still}" if found.still else ""
    return f"{found.words[0].upper()}{found.words[1:]}: {changes}.{still} {twist} {crack} Model: {found.model}."


def _numbers(found, system):
    terms = _terms(found)
    thick = ("thickness", float(found.drawn.total_thickness_mm), float(found.changed.total_thickness_mm), "thickness")
    rows = [thick, *terms, *_cracks(found)]
    return pd.DataFrame({
        "quantity": [row[0] for row in rows], "unit": [units.unit_label(row[3], system) for row in rows],
        AS_DRAWN: [tables.column(row[1], row[3], system)[0] for row in rows],
        "changed": [tables.column(row[2], row[3], system)[0] for row in rows],
        "change [%]": [_percent(row[1], row[2]) for row in rows]})


class _Compasses:
    """The reused compass plot of the skin as drawn and changed."""

    def __init__(self):
        self._picture = plots_orientation.CompassPicture((AS_DRAWN, "changed"))

    def draw(self, found, system):
        """Picture of a change as HTML.

        Parameters
        ----------
        found : Change
            Result of the panel [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        both = [compare.directional_stiffness(one, plots_orientation.DIRECTIONS_DEG) for one in (found.drawn, found.changed)]
        return self._picture.draw(both, found.words, system)
