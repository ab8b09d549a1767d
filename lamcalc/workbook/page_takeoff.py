"""What notebook 06 shows: what to buy and cut, and what it costs."""

from functools import cached_property

import pandas as pd

from lamcalc import units
from lamcalc.sentences import counted, joined, told
from lamcalc.shop.floor_entry import price_doubts
from lamcalc.shop.job_schedule import catalogue, first_part
from lamcalc.shop.practice_claims import claims_table
from lamcalc.shop.tabbing import strips_for_width
from lamcalc.shop.takeoff import compare_fractions, labour_words, material_name, take_off
from lamcalc.shop.takeoff_cut import TURNED
from lamcalc.workbook import explain, plots_takeoff, style, tables
from lamcalc.workbook.controls import Choice, QuantitySlider, UnitSystem
from lamcalc.workbook.panel import Panel

CAUTIONS = (
    "Resin in the laminate and resin to buy are two numbers: never enter the one where the other is meant.",
    "A wet hand uses more than the plan. The allowances for loss are the shop's own; count the empty cans afterwards.",
    "Peroxide catalyst burns skin and blinds eyes; keep it away from promoter, rags, acetone and heat. Styrene needs a "
    "respirator and a fan. Acetone and wet rags are a fire waiting: lidded metal bin, outdoors.",
    *tables.GENERAL_CAUTIONS,
)


class TakeOffPage:
    """The tables, sentences and pictures of notebook 06.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> "credits" in TakeOffPage(job.load_demo()).answer().data
    True
    """

    def __init__(self, job, *, system=None):
        self.job, self.system, self.found = job, system or job.units, take_off(job)

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        found, parts = self.found, self.found.parts.values()
        missing = f", WITHOUT {told(joined(', ', found.unpriced), self.system)}, for which the list has no price" if found.unpriced else ""
        stays, buys = (sum(getattr(p, name)() for p in parts) for name in ("resin_in_laminate_kg", "resin_to_buy_kg"))
        return tables.show_sentence(
            f"The buying list comes to {found.buying_cost:.2f} {found.currency} at prices of {found.price_date}, whole cans and "
            f"sheets{missing}: {self._mass(sum(p.glass_kg() for p in parts))} of glass goes in, {self._mass(stays)} of resin stays in "
            f"the laminate, {self._mass(buys)} of laminating resin is mixed for it. {labour_words(self.job, found.parts)}",
            [told(line, self.system) for line in price_doubts(self.job)])

    def _mass(self, kg):
        return units.show(float(kg), "mass", self.system)

    def buying(self):
        """Buying list, as HTML [-]."""
        rows = [{"item": line.words(self.system),
                 "needed": line.shown(self.system, line.need), "on the shelf": line.shown(self.system, line.on_shelf),
                 "to buy": line.shown(self.system), "containers or sheets": "-" if line.packs is None else f"{line.packs:g}",
                 f"cost [{self.found.currency}]": "no price" if line.cost is None else f"{line.cost:.2f}",
                 "price": line.status} for line in self.found.buying]
        return tables.show_table(pd.DataFrame(rows))

    def workings(self, name=None):
        """Fabric and resin of a part with the numbers put in, folded, as HTML.

        Parameters
        ----------
        name : str, optional
            Part; the first with a chosen schedule if not given [-].

        Returns
        -------
        IPython.display.HTML
            Workings [-].
        """
        part, waste = self.found.parts[name or first_part(self.job)], self.job.waste
        resins = [explain.resin_working(use, waste.resin, self.system) for use in part.resins if use.use in ("laminate", "tabbing", "crown", "laps")]
        return explain.show(*(explain.fabric_working(fabric, waste.glass, self.system) for fabric in part.fabrics), *resins)

    def cost(self):
        """Masses and cost by part: what stays and what is bought in columns of their own, as HTML [-]."""
        found = self.found
        return tables.show_table(tables.frame(self.system, {
            "part": (None, [p.title for p in found.parts.values()]),
            "glass in the laminate": ("mass", [p.glass_kg() for p in found.parts.values()]),
            "resin in the laminate": ("mass", [p.resin_in_laminate_kg() for p in found.parts.values()]),
            "laminating resin to buy, laps included": ("mass", [p.resin_to_buy_kg() for p in found.parts.values()]),
            "mass added, joints included": ("mass", [p.mass_kg for p in found.parts.values()]),
            f"materials [{found.currency}, prices of {found.price_date}]": (None, [f"{c:.2f}" for c in found.cost_by_part.values()]),
        }))

    def cuts(self, name=None):
        """Cut list of a part, as HTML.

        Parameters
        ----------
        name : str, optional
            Part; the first that will do if not given [-].

        Returns
        -------
        IPython.display.HTML
            Table [-].
        """
        pieces = self.found.parts[name or first_part(self.job)].pieces
        return tables.show_table(tables.frame(self.system, {
            "piece": (None, [p.label for p in pieces]), "fabric": (None, [p.name for p in pieces]),
            "along roll": ("small_length", [p.along_mm for p in pieces]),
            "across roll": ("small_length", [p.across_mm for p in pieces]),
            "roll direction [deg]": (None, [f"{p.angle_deg:g}" + (", turned" if p.turned else "") for p in pieces]),
            "mat side": (None, [p.mat_side for p in pieces]), "copies": (None, [p.copies for p in pieces])}))

    def fractions(self, name=None):
        """Both ways to count the glass of mat-backed fabrics, kept apart, as HTML.

        Parameters
        ----------
        name : str, optional
            Part; the first that will do if not given [-].

        Returns
        -------
        IPython.display.HTML
            Table [-].
        """
        rows = compare_fractions(self.job, name or first_part(self.job))
        return tables.show_table(tables.frame(self.system, {
            "glass fractions": (None, rows["glass fractions"]), **{
                words: ("mass", rows[f"{words} [kg]"]) for words in ("glass", "resin in the laminate", "resin to buy")}}))

    def figure(self, name=None):
        """Cutting plan of the first mat-backed fabric of a part, as an HTML picture.

        Parameters
        ----------
        name : str, optional
            Part; the first that will do if not given [-].

        Returns
        -------
        IPython.display.HTML
            Picture [-].
        """
        fabric = max(self.found.parts[name or first_part(self.job)].fabrics, key=lambda f: len(f.plan.places))
        figure, axes = style.new_figure(6.8, 2.8)
        plots_takeoff.cutting_plan(axes[0, 0], fabric.plan, fabric.name, self.system)
        return tables.show_picture(figure, roll_words(fabric))

    def inputs(self):
        """Allowances, roll widths and prices, as HTML [-]."""
        job = self.job
        rows = [(f"loss of {name.replace('_', ' ')}", f"{100 * getattr(job.waste, name):g}", "%", "job file")
                for name in ("glass", "resin", "gel_coat", "putty")]
        shelf = catalogue(self.job)
        called = lambda item: material_name(shelf, item)
        rows += [(f"roll of {called(roll.item)}", units.show(roll.width_mm, "small_length", self.system).split()[0],
                  units.unit_label("small_length", self.system), f"job file, {roll.status}") for roll in job.stock.rolls]
        rows += [(f"price of {called(p.item)}" + (f", {units.show(p.thickness_mm, 'small_length', self.system)}" if p.thickness_mm else ""),
                  f"{p.price:g}", f"{job.prices.currency} per {p.per}", f"job file of {job.prices.date}, {p.status}") for p in job.prices.items]
        return tables.show_table(pd.DataFrame(rows, columns=["input", "value", "unit", "source"]))

    def claims(self):
        """Contradictions about amounts, as HTML [-]."""
        return tables.show_table(claims_table("take-off"))

    def check(self):
        """A published case, as HTML [-]."""
        return tables.show_table(pd.DataFrame([{
            "case": "strips of 38 in cloth for 108 in with laps of 2 in", "printed": 3,
            "computed": int(strips_for_width(108 * 25.4, roll_mm=38 * 25.4, lap_mm=2 * 25.4)),
            "source": "fibreglass supplier's page on how much resin and glass is needed"}]))

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    @cached_property
    def _fabrics(self):
        return [(f"{fabric.name}: {part.title}", (name, k)) for name, part in self.found.parts.items()
                for k, fabric in enumerate(part.fabrics)]

    def panel(self, unit_system=None):
        """Live panel: one fabric of one part with other allowances.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Show its ``box`` [-].
        """
        controls = {"fabric": Choice("Fabric of a part", self._fabrics, self._fabrics[0][1]),
                    "glass_loss": QuantitySlider("Allowance on glass", "fraction", self.job.waste.glass, 0.0, 0.5, 0.01),
                    "resin_loss": QuantitySlider("Allowance on resin", "fraction", self.job.waste.resin, 0.0, 0.5, 0.01)}
        return Panel(controls, self.amounts, words=_words, table=_numbers, picture=RollPicture(),
                     unit_system=unit_system or UnitSystem(system=self.system))

    def amounts(self, fabric, glass_loss, resin_loss):
        """Amounts of one fabric, and of the resin of its part, for other allowances.

        Parameters
        ----------
        fabric : tuple of (str, int)
            Part and number of its fabric [-].
        glass_loss, resin_loss : float
            Allowances as shares of the net [-].

        Returns
        -------
        dict
            Fabric, its area with the allowance, metres to buy, resin that stays and resin to buy [m2, m, kg].
        """
        part = self.found.parts[fabric[0]]
        one = part.fabrics[fabric[1]]
        metres = one.metres(glass_loss)
        stays = part.resin_in_laminate_kg("laminate", "tabbing", "crown", "laps")
        return {"fabric": one, "wanted": (one.net_m2 + one.lap_m2) * (1 + glass_loss), "metres": metres, "stays": stays, "buys": stays * (1 + resin_loss), "title": part.title}


def roll_words(fabric):
    """What the picture of a roll shows, for those who do not see it.

    Parameters
    ----------
    fabric : Fabric
        Fabric with its cutting plan [-].

    Returns
    -------
    str
        Sentence [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> roll_words(take_off(load_demo()).parts["sole"].fabrics[0])
    '3 pieces of chopped strand mat 300 g/m2 (0.98 oz/ft2) on the roll, turned: laminate 1.1, laminate 1.2, laminate 1.3.'
    """
    turned = ", ".join(place.piece.label for place in fabric.plan.places if place.turned)
    return f"{counted(len(fabric.plan.places), 'piece')} of {fabric.name} on the roll{f', turned: {turned}' if turned else ''}."


def _words(found, system):
    plan = units.show(found["fabric"].plan.length_mm, "length", system)
    length = units.show(1e3 * found["metres"], "length", system)
    why = "the cutting plan decides" if 1e3 * found["metres"] <= found["fabric"].plan.length_mm * (1 + 1e-9) else "the allowance decides"
    turned = sum(place.turned for place in found["fabric"].plan.places)
    pieces = counted(len(found["fabric"].plan.places), "piece")
    way = f" {turned} of its {pieces} {'is' if turned == 1 else 'are'} turned. {TURNED}" if turned else ""
    return (f"{found['title']}: buy {length} of {found['fabric'].name}; the plan uses {plan}, so {why}.{way} Its laminate holds "
            f"{units.show(found['stays'], 'mass', system)} of resin; mix and buy {units.show(found['buys'], 'mass', system)}.")


def _numbers(found, system):
    fabric = found["fabric"]
    rows = [("in the schedule", fabric.net_m2, "area"), ("double in laps", fabric.lap_m2, "area"),
            ("both with the allowance", found["wanted"], "area"),
            ("off the roll", found["metres"] * fabric.plan.width_mm / 1e3, "area"),
            ("resin in the part's laminate, laps included", found["stays"], "mass"), ("resin to buy for it", found["buys"], "mass")]
    return pd.DataFrame([(words, units.show(value, kind, system)) for words, value, kind in rows], columns=["amount", "value"])


class RollPicture:
    """The reused picture of a roll."""

    def __init__(self):
        self._figure, self._axes = style.new_figure(6.8, 2.8)
        self._last = None

    def draw(self, found, system):
        """Cutting plan of the fabric as HTML; drawn again only for another fabric or unit system.

        Parameters
        ----------
        found : dict
            Result of the panel [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            ``<img>`` element [-].
        """
        key = id(found["fabric"]), system
        if self._last is None or self._last[0] != key:
            fabric = found["fabric"]
            plots_takeoff.cutting_plan(self._axes[0, 0], fabric.plan, fabric.name, system)
            self._last = key, style.image(self._figure, roll_words(fabric))
        return self._last[1]
