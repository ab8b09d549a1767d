"""What notebook 08 shows: is the order right, and how is it joined?"""

import html
from dataclasses import replace
from functools import cached_property

import pandas as pd
from IPython.display import HTML

from lamcalc import units
from lamcalc.schedule import CoreLayer, Ply, layer_name
from lamcalc.sentences import counted, told
from lamcalc.shop.job_joints import job_joints
from lamcalc.shop.job_schedule import first_part, schedule
from lamcalc.shop.practice_claims import claims_table
from lamcalc.shop.scarf import scarf_length, scarf_shear_factor
from lamcalc.shop.sequence import context_of, review, review_part
from lamcalc.workbook import tables
from lamcalc.workbook.controls import Choice, QuantitySlider, UnitSystem
from lamcalc.workbook.follow import Followed
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_sequence import OrderPicture

CAUTIONS = (
    "Every repair is a secondary bond: it holds by the grinding. Clean before and after, no wax, no dust, inside the resin's window.",
    "Grinding: respirator, goggles, ear protection, extraction, and a fire watch afterwards. No sparks near styrene or acetone.",
    "Clamp snug, not tight: a starved joint looks perfect from outside. Keep hands out from under a hanging core.",
    "Bolt size, pattern and torque come from the engine's manual, not from here.",
    "Peroxide burns eyes; a pot of putty heats faster than thin laminate: mix small.",
    *tables.GENERAL_CAUTIONS,
)


class SequencePage(Followed):
    """The tables, sentences and pictures of notebook 08.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].
    name : str, optional
        Part whose order is reviewed; the first that will do if not given [-].
    system : {"metric", "us"}, optional
        Unit system of everything shown; the job's if not given [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> "146" in SequencePage(job.load_demo()).joints("transom").data
    True
    """

    def __init__(self, job, name=None, *, system=None):
        self._asked, name = name, name or first_part(job)
        self.job, self.name, self.system = job, name, system or job.units
        self.stack, self.context = schedule(job, job.parts[name].chosen), context_of(job, name)
        self.found = review(self.stack, self.context)
        self.layers = [replace(layer, count=1) if isinstance(layer, Ply | CoreLayer) else layer for layer in self.stack.laid]
        self.names = [told(layer_name(layer), self.system) for layer in self.layers]

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        open_ = [self._title(name) for name, found in self._others.items() if found.worst in ("refuse", "warn")]
        more = f" To be settled in other parts too, see below: {'; '.join(open_)}." if open_ else ""
        return tables.show_sentence(f"{self._title(self.name)}: {_words(self.found)}{more}")

    def _title(self, name):
        return self.job.parts[name].title or name

    @cached_property
    def _others(self):
        return {name: review_part(self.job, name) for name, part in self.job.parts.items() if part.chosen and name != self.name}

    def findings(self):
        """Findings at their layers, as HTML [-]."""
        return tables.show_table(_findings(self.found, self.system))

    def figure(self):
        """Layers with their gravest finding, as an HTML picture [-]."""
        return HTML(OrderPicture(len(self.names)).draw(self.names, self.found, _alt(self.names, self.found), live=False))

    def joints(self, name=None):
        """Joints of a part, as HTML.

        Parameters
        ----------
        name : str, optional
            Part; the first that will do if not given [-].

        Returns
        -------
        IPython.display.HTML
            Table [-].
        """
        found, show = job_joints(self.job, name or self.name), lambda v, kind: units.show(float(v), kind, self.system)
        rows = []
        if found.scarf:
            plan = found.scarf
            rows += [("scarf on each side", show(plan.scarf_mm, "small_length"),
                      f"{plan.ratio:g}:1 of patch or skin as predicted, the thicker"),
                     ("patch", f"{show(plan.patch_length_mm, 'small_length')} x {show(plan.patch_width_mm, 'small_length')}", "largest ring")]
            rows += [(f"ring of ply {r.ply}", f"{show(r.length_mm, 'small_length')} x {show(r.width_mm, 'small_length')}",
                      f"ground {show(r.reach_mm, 'small_length')} beyond the hole") for r in plan.rings]
        if found.tabbing:
            rows += [(f"tape {k}", f"{show(width, 'small_length')} wide", f"leg {show(leg, 'small_length')} on each face")
                     for k, (leg, width) in enumerate(zip(found.tabbing.legs_mm, found.tabbing.widths_mm, strict=True), 1)]
        if found.fillet:
            f = found.fillet
            rows.append(("fillet", f"{show(f.net_ml, 'small_volume')} in place, {show(f.to_mix_ml, 'small_volume')} to mix",
                         f"radius {show(f.radius_mm, 'small_length')}, {f.angle_deg:g} deg, {show(f.length_mm, 'length')}"))
        for use, pot in zip(found.putty_uses, found.putty, strict=True):
            recipe = ", ".join(f"{what} {show(grams / 1e3, 'small_mass')}" for what, _, grams in pot.fillers)
            rows.append((f"putty, {use}", f"resin {show(pot.resin_g / 1e3, 'small_mass')}, {recipe}",
                         f"makes {show(pot.volume_ml, 'small_volume')}; {pot.recipe.status}"))
        if found.clamp:
            rows.append(("clamps", f"{units.show(found.clamp.pressure_kpa / 1e3, 'pressure', self.system)} mean",
                         "five 3/8 in bolts, snug at 3 N m (27 lbf in): assumed"))
        if found.holes:
            rows += [("bolt hole in the core", f"{show(found.holes.core_bore_mm, 'small_length')} bore, {show(found.holes.fill_ml, 'small_volume')} of fill",
                      "; ".join(told(step, self.system) for step in found.holes.steps)),
                     ("backing plate, at least", f"{show(found.plate.square_mm, 'small_length')} square",
                      f"for {units.show(found.bolt_force, 'force', self.system)} on the hardest pulled bolt")]
        if not rows:
            return tables.show_sentence("The job gives no joint for this part.")
        return tables.show_table(pd.DataFrame(rows, columns=["joint", "size", "how"]))

    def other_findings(self):
        """Findings on the order of the other parts, one table under the other, as HTML [-]."""
        return self._below(lambda name: tables.show_table(_findings(self._others[name], self.system)))

    def other_joints(self):
        """Joints of the other parts of the job, one table under the other, as HTML [-]."""
        return self._below(self.joints)

    def _below(self, show):
        """What is shown of the other parts, each below its title."""
        if not self._others:
            return tables.show_sentence("The job has no other part with a chosen schedule.")
        return HTML("".join(f"<h4>{html.escape(self._title(name))}</h4>{show(name).data}" for name in self._others))

    def inputs(self):
        """What the review takes for given, as HTML [-]."""
        c = self.context
        rows = [("laid on", c.substrate.replace("_", " "), "job file"), ("laid from", c.laid.replace("_", " "), "job file"),
                ("old resin proved", "yes" if c.old_resin_known else "no", "job file"), ("end grain sealed", "yes" if c.end_grain_sealed else "not stated", "job file")]
        rows += [(f"layer {k + 1}", f"{name}, {units.show(float(t), 'thickness', self.system)}", "schedule of the job")
                 for k, (name, t) in enumerate(zip(self.names, self.stack.row_thickness_mm, strict=True))]
        return tables.show_table(pd.DataFrame(rows, columns=["input", "value with unit", "source"]))

    def claims(self):
        """Contradictions about joints, as HTML [-]."""
        return tables.show_table(claims_table("joints"))

    def check(self):
        """Published cases, as HTML [-]."""
        rows = [("12:1 scarf on 6 mm [mm]", 72, float(scarf_length(6, 12)), "repair texts"),
                ("bond shear over laminate stress at 6:1 [-]", 0.162, float(scarf_shear_factor(6)), "Rothbarth and Pinto (2019) tested 1:6; factor derived"),
                ("bond shear over laminate stress at 20:1 [-]", 0.050, float(scarf_shear_factor(20)), "Rothbarth and Pinto (2019) tested 1:20; factor derived")]
        return tables.show_table(pd.DataFrame(rows, columns=["case", "printed", "computed", "source"]))

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def _choices(self):
        """Lists of the panel with their starts."""
        free = [k for k, layer in enumerate(self.layers) if isinstance(layer, Ply)]
        places = [("none", -1), *((f"{k + 1}: {self.names[k]}", k) for k in free)]
        backed = [place for place in places if place[1] < 0 or self.layers[place[1]].reinforcement.has_mat]
        return {"one": (places, -1), "other": (places, -1), "turned": (backed, -1)}

    def _takes(self):
        return {"compute": self.changed, "picture": _Reused(self.names), "choices": self._choices()}

    def panel(self, unit_system=None):
        """Live panel: exchange two layers, turn a mat side, change the scarf of a laminate.

        Parameters
        ----------
        unit_system : UnitSystem, optional
            Shared unit switch [-].

        Returns
        -------
        Panel
            Show its ``box`` [-].
        """
        choices = self._choices()
        controls = {"one": Choice("Exchange layer", *choices["one"]), "other": Choice("with layer", *choices["other"]),
                    "turned": Choice("Turn the mat side of layer", *choices["turned"]),
                    "fresh_angle": QuantitySlider("Turn that layer's fibres by", "angle", 0.0, -90.0, 90.0, 5.0)}
        return Panel(controls, self.changed, words=lambda found, system: _words(found[1]), table=lambda found, system: _findings(found[1], system),
                     idle=lambda turned, **_others: () if turned >= 0 else ("fresh_angle",), picture=_Reused(self.names), unit_system=unit_system or UnitSystem(system=self.system))

    def changed(self, one, other, turned, fresh_angle):
        """Review of a changed order.

        Parameters
        ----------
        one, other : int
            Layers to exchange, from 0; below 0 for none [-].
        turned : int
            Layer whose mat side and fibres are turned, from 0; below 0 for none [-].
        fresh_angle : float
            Added to the angle of that layer [deg].

        Returns
        -------
        tuple of (list of str, Review)
            Layers and findings [-].
        """
        layers = list(self.layers)
        if turned >= 0:
            ply = layers[turned]
            layers[turned] = replace(ply, mat_side="up" if ply.mat_side == "down" else "down", angle_deg=ply.angle_deg + fresh_angle)
        if one >= 0 and other >= 0:
            layers[one], layers[other] = layers[other], layers[one]
        return [layer_name(layer) for layer in layers], review(self.stack.with_layers(layers), self.context)


class _Reused:
    """The reused picture of the panel; made when it is drawn first."""

    def __init__(self, names):
        self._names = names

    @cached_property
    def _picture(self):
        return OrderPicture(len(self._names))

    def draw(self, found, system):
        """Order as HTML.

        Parameters
        ----------
        found : tuple
            Layers and review [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        names = [told(name, system) for name in found[0]]
        return self._picture.draw(names, found[1], _alt(names, found[1]))


def _alt(names, found):
    return f"{counted(len(names), 'layer')} with the gravest finding at each. {_words(found)}"


def _words(found):
    count = {word: sum(f.severity == word for f in found.findings) for word in ("refuse", "warn", "note")}
    lead = "the order is refused" if count["refuse"] else "nothing in the order is refused"
    counts = ", ".join(counted(count[word], name) for word, name in (("refuse", "refusal"), ("warn", "warning"), ("note", "note")))
    return f"{lead}: {counts}. Settle every warning before the first pot."


def _findings(found, system):
    rows = [(f.severity, ", ".join(map(str, f.plies)) or "-", told(f.wrong, system), told(f.do, system), told(f.source, system)) for f in found.findings]
    return pd.DataFrame(rows, columns=["severity", "layer", "what is wrong", "what to do", "status and source"])
