"""The shop's results as models for uncertainty and sensitivity: a laminate, a transom, a stringer.

Laminates and transoms run in batches.  A stringer has no batch form: each sample
goes through the part's own assessment, so ask for hundreds of samples there, not
for thousands, or bring an executor.
"""

from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.beams import PointLoad, Support, beam_response
from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.samples import sampled_laminates
from lamcalc.mechanics.strength import design_factor
from lamcalc.mechanics.transverse_shear import rotated_shear_modulus, shear_stiffness, shear_stress_profile
from lamcalc.parts.panel import core_design_factor
from lamcalc.parts.stringer import Stringer, StringerLoad, assess_stringer
from lamcalc.parts.transom import Transom, assess
from lamcalc.parts.transom_strength import with_assumed_strength
from lamcalc.schedule import CoreLayer, Schedule, Sublayers
from lamcalc.studies.distributions import Distribution, Uncertain, typical
from lamcalc.studies.drawn_layers import ASSUMED, AssumedSpreads, DrawnLayers
from lamcalc.studies.uncertainty import Quantity

# samples of a beam at a time: a beam keeps many stations a sample
_BEAMS = 64
_LABEL = "laminate"
# design factors of margins that a strength has no part in
ELASTIC = ("web_buckling", "wrinkling")
_THICK = Quantity("thickness", "thickness", "mm", "thickness", False)
_MASS = Quantity("mass", "mass put in", "kg", "mass", False)
_LAMINATE = (
    _THICK,
    Quantity("glass_fraction", "glass content of the fabric layers", "-", "fraction"),
    Quantity("areal_mass", "mass per area", "kg/m2", "areal_mass", False),
    Quantity("resin", "resin in the laminate per area", "kg/m2", "areal_mass", False),
    Quantity("e_x", "modulus along, in the plane", "MPa", "modulus"),
    Quantity("e_y", "modulus across, in the plane", "MPa", "modulus"),
    Quantity("g_xy", "shear modulus in the plane", "MPa", "modulus"),
    Quantity("ei_x", "bending stiffness along", "N mm", "flexural_stiffness_per_width"),
    Quantity("ei_y", "bending stiffness across", "N mm", "flexural_stiffness_per_width"),
)
_RESIN_TO_BUY = Quantity("resin_to_buy", "resin to buy for the fabric layers", "kg", "mass", False)
_RATIO = Quantity("ratio", "first-ply strength ratio under the given loads (Tsai-Wu, no design factor)")


def _waste_input(waste):
    """Resin that is lost beside what stays, uncertain by an assumed third."""
    return Uncertain(
        "waste",
        "resin lost to brush, bucket and run-off",
        Distribution.varying(float(positive("resin waste", waste)), 0.3),
        kind="fraction",
    )


@dataclass(frozen=True, eq=False)
class LaminateModel:
    """Thickness, mass, resin, moduli, bending stiffness and first-ply failure of one schedule.

    Parameters
    ----------
    schedule : Schedule
        The laminate [-].
    N : tuple of float, optional
        Force per width x, y, xy [N/mm].
    M : tuple of float, optional
        Moment per width x, y, xy [N].
    area_m2 : float, optional
        Area laid, for the resin to buy [m2].
    waste : float
        Typical share of resin that is lost beside what stays [-].
    assumed : AssumedSpreads
        Spreads where the catalogue knows none [-].
    chunk : int
        Samples at a time [-].

    Raises
    ------
    InputError
        If a load or area is out of range, or a layer has no strength although loads are given.

    Notes
    -----
    `sampled_laminates` on the drawn layers; strengths of evaluation level C, as everywhere in the workbook.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Ply
    >>> from lamcalc.studies.uncertainty import run_uncertainty
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"), count=3)
    >>> found = run_uncertainty(LaminateModel(Schedule((mat,), shop.fibres)), samples=500, seed=1)
    >>> bool(2.6 < found.band("thickness").low < 3.15 < found.band("thickness").high < 3.9)
    True
    """

    schedule: Schedule
    N: tuple | None = None
    M: tuple | None = None
    area_m2: float | None = None
    waste: float = 0.15
    assumed: AssumedSpreads = ASSUMED
    chunk: int = 1024

    def __post_init__(self):
        for name, unit in (("N", "N/mm"), ("M", "N")):
            value = getattr(self, name)
            if value is not None and number(name, value, unit).shape != (3,):
                raise InputError(
                    name, f"must be three values x, y, xy [{unit}]", value, "enter 0 for what does not act"
                )
        if self.area_m2 is not None:
            positive("area", self.area_m2, "m2"), positive("resin waste", self.waste)

    @cached_property
    def layers(self):
        """The schedule as random layers [-]."""
        return DrawnLayers(((_LABEL, self.schedule),), self.assumed)

    @property
    def _loaded(self):
        return self.N is not None or self.M is not None

    @cached_property
    def inputs(self):
        """What varies, as a tuple of `Uncertain` [-]."""
        found = tuple(
            item
            for item in self.layers.inputs
            if not item.key.startswith("core_tau") and (self._loaded or item.key != "strength")
        )
        return found if self.area_m2 is None else (*found, _waste_input(self.waste))

    @cached_property
    def results(self):
        """What comes out, as a tuple of `Quantity` [-]."""
        return (*_LAMINATE, *((_RATIO,) if self._loaded else ()), *((_RESIN_TO_BUY,) if self.area_m2 else ()))

    def __call__(self, draws):
        s = self.layers.sublayers(_LABEL, draws)
        strengths = self.layers.strengths(_LABEL, s, draws) if self._loaded else None
        found = _laminates(s, strengths, self.N or (0.0, 0.0, 0.0), self.M or (0.0, 0.0, 0.0))
        if self.area_m2 is not None:
            found["resin_to_buy"] = found["resin"] * self.area_m2 * (1 + draws["waste"][:, 0])
        return found


def _qbar(s):
    """Stiffness of drawn sub-layers in laminate axes, shape (samples, sublayers, 3, 3) [MPa]."""
    return rotated_stiffness(reduced_stiffness(s.e1, s.e2, s.nu12, s.g12), s.angle_deg)


def _laminates(s, strengths=None, N=(0.0, 0.0, 0.0), M=(0.0, 0.0, 0.0)):
    """Figures of drawn sub-layers by key of `_LAMINATE`, and the strength ratio."""
    found = sampled_laminates(s.e1, s.e2, s.nu12, s.g12, s.angle_deg, s.thickness_mm, strengths=strengths, N=N, M=M)
    glass, resin = s.areal_weight_gsm.sum(axis=1), s.resin_gsm.sum(axis=1)
    bending = found.total_thickness_mm**3 / 12
    return {
        "thickness": found.total_thickness_mm,
        "areal_mass": s.mass_gsm.sum(axis=1) / 1000,
        "resin": resin / 1000,
        "glass_fraction": np.divide(glass, glass + resin, out=np.zeros_like(glass), where=glass > 0),
        "e_x": found.in_plane.ex,
        "e_y": found.in_plane.ey,
        "g_xy": found.in_plane.gxy,
        "ei_x": found.flexural.ex * bending,
        "ei_y": found.flexural.ey * bending,
        "ratio": found.ratio,
    }


_TRANSOM = (
    _THICK,
    _MASS,
    Quantity("ei_up", "bending stiffness upwards", "N mm", "flexural_stiffness_per_width"),
    Quantity("ei_across", "bending stiffness across", "N mm", "flexural_stiffness_per_width"),
    Quantity("deflection", "largest deflection, strip view", "mm", "thickness", False),
    Quantity("layer_margin", "least reserve factor of the skins"),
    Quantity("plate_deflection", "largest deflection, plate view", "mm", "thickness", False),
    Quantity("turn", "turn of the bracket", "mrad", "", False),
    Quantity("core_margin", "reserve factor of the core in shear"),
)
# shear stiffness of the core over typical at which the plate is solved; samples beyond are solved one by one
_ANCHORS = (0.4, 0.7, 1.0, 1.5, 2.8)


@dataclass(frozen=True, eq=False)
class TransomModel:
    """A build of a transom under its engine.

    Parameters
    ----------
    transom : Transom
        Shape, engine and bolts [-].
    schedule : Schedule
        The build, outer skin first, with a core [-].
    waste : float
        Typical share of resin that is lost beside what stays [-].
    solve_every : bool
        Whether the plate is solved for every sample, some tenths of a second each, rather than read off the curve
        below [-].
    assumed : AssumedSpreads
        Spreads where the catalogue knows none [-].
    chunk : int, optional
        Samples at a time; 1024, or 16 where every plate is solved [-].

    Raises
    ------
    InputError
        If the schedule has no core.

    Notes
    -----
    Strip view as in `parts.transom.assess`: beam of the carrying width between keel and cut-out edge, simply
    supported, worst of the load cases; it is statically determinate, so the forces do not vary.  Layers: the largest
    moment of the strip, both signs, on the free laminate, by Tsai-Wu times the design factor of a ply.  Plate view:
    deflection times bending stiffness, turn times bending stiffness and core force depend on the shear stiffness
    over the bending stiffness, and hardly on anything else that varies; that curve comes from `assess` on builds
    with softer and stiffer cores, between which it is read off straight.  A sample beyond its ends is solved itself.
    `solve_every` shows what the curve leaves out.  The core margin is the lesser of plate view and bolt plates.
    Resin of tabbing, fillets and putty is not in the resin to buy.  Loads, bolts and the joint to the hull are taken
    as exact.

    References
    ----------
    .. [1] Similarity of plates by dimensional analysis (common practice).

    Examples
    --------
    >>> TransomModel.__dataclass_params__.frozen
    True
    """

    transom: Transom
    schedule: Schedule
    waste: float = 0.15
    solve_every: bool = False
    assumed: AssumedSpreads = ASSUMED
    chunk: int | None = None

    def __post_init__(self):
        if not self._cores:
            raise InputError("transom schedule", "must have a core [-]", self.schedule.name, "add the core")
        if self.chunk is None:
            object.__setattr__(self, "chunk", 16 if self.solve_every else 1024)

    @property
    def _cores(self):
        return [layer.core for layer in self.schedule.laid if isinstance(layer, CoreLayer)]

    @cached_property
    def layers(self):
        """The schedule as random layers, kept layers with their assumed strength [-]."""
        return DrawnLayers(((_LABEL, with_assumed_strength(self.schedule)[0]),), self.assumed)

    @property
    def factors(self):
        """Design factors in the two reserve factors, each in words with its rule and status, as a tuple [-]."""
        found = [f"skins: {design_factor('iso_ply').words}"]
        found += [f"{core.name.split(',')[0]} in shear: {core_design_factor(core).words}" for core in self._cores]
        return (*dict.fromkeys(found), f"strengths times {design_factor('iso_level_c').words}")

    @cached_property
    def _shear_known(self):
        return all(core.shear_strength is not None for core in self._cores)

    @cached_property
    def inputs(self):
        """What varies, as a tuple of `Uncertain` [-]."""
        return (*self.layers.inputs, _waste_input(self.waste))

    @cached_property
    def results(self):
        """What comes out, as a tuple of `Quantity`; core margins only where a shear strength is known [-]."""
        return tuple(q for q in (*_TRANSOM, _RESIN_TO_BUY) if self._shear_known or q.key != "core_margin")

    @cached_property
    def _beam(self):
        """Supports, loads and carrying width of the strip [-, N, mm]."""
        wall = self.transom
        upper = wall.outline.strip_span - wall.bolts_below_edge
        rows = (
            PointLoad(upper, np.array([up for _, up, _ in wall.cases])),
            PointLoad(upper - wall.bolts.row_to_heel, np.array([low for _, _, low in wall.cases])),
        )
        return (Support(0.0), Support(wall.outline.strip_span)), rows, wall.carrying_width

    def _strip(self, ei, shear):
        """Largest deflection of every sample [mm]."""
        held, rows, width = self._beam
        span, out = self.transom.outline.strip_span, np.empty(len(ei))
        for low in range(0, len(ei), _BEAMS):
            part = slice(low, low + _BEAMS)
            found = beam_response(ei[part, None] * width, shear[part, None] * width, span, held, rows)
            out[part] = found.max_deflection_mm.max(axis=-1)
        return out

    @cached_property
    def _moment(self):
        """Largest moment per width of the strip [N mm/mm]."""
        held, rows, width = self._beam
        found = beam_response(1e12, np.inf, self.transom.outline.strip_span, held, rows)
        return float(np.max(found.max_moment_n_mm)) / width

    @cached_property
    def _curve(self):
        """Shear over bending stiffness at the anchors; deflection, turn and core margin there, made free of stiffness.

        Shapes (anchors,) and (3, anchors).
        """
        base = typical(self.layers.inputs)
        draws = {
            key: np.repeat(value, len(_ANCHORS), axis=0)
            * (np.array(_ANCHORS)[:, None] if key.startswith("core_g") else 1.0)
            for key, value in base.items()
        }
        s = self.layers.sublayers(_LABEL, draws)
        bending, across, unit = self._stiffness(s)[:3]
        return across / bending, self._solved(s, draws) * np.array([bending, bending, unit])

    def _stiffness(self, s):
        """Mean bending stiffness, shear stiffness upwards, core stress under 1 N/mm, stiffness upwards, across."""
        qbar = _qbar(s)
        found = _laminates(s)
        up, along = found["ei_y"], found["ei_x"]
        shear = shear_stiffness(
            qbar, s.thickness_mm, rotated_shear_modulus(s.g13, s.g23, s.angle_deg, axis="y"), axis="y"
        )
        return np.sqrt(up * along), shear, self._unit_stress(qbar, s.thickness_mm), up, along

    def _solved(self, s, draws):
        """Deflection, turn and core margin of every sample by the part's own assessment, shape (3, samples)."""
        rows = []
        for k in range(len(s.thickness_mm)):
            result = assess(self.transom, "sample", self.layers.version(_LABEL, s, draws, k))
            core = [m.reserve_factor for m in result.strength.margins if m.name.startswith("core in shear")]
            rows.append(
                (max(abs(w) for w in result.plate_deflection_mm), result.worst_turn_mrad, min(core, default=np.nan))
            )
        return np.array(rows).T

    def _plate_view(self, s, draws, bending, shear, unit):
        """Deflection, turn and core margin of every sample, read off the curve or solved."""
        x, curve = self._curve
        out = np.array([np.interp(np.log(shear / bending), np.log(x), row) for row in curve]) / (bending, bending, unit)
        typical_strength = {item.key: item.spread.typical for item in self.inputs if item.key.startswith("core_tau")}
        if typical_strength:
            out[2] *= np.min([draws[key][:, 0] / value for key, value in typical_strength.items()], axis=0)
        beyond = np.flatnonzero((shear / bending < x[0]) | (shear / bending > x[-1]) | self.solve_every)
        if beyond.size:
            some = Sublayers(s.row, s.kind, *(getattr(s, item.name)[beyond] for item in fields(Sublayers)[2:]))
            out[:, beyond] = self._solved(some, {key: value[beyond] for key, value in draws.items()})
        return out

    def _unit_stress(self, qbar, thickness_mm):
        """Largest shear stress in the core under 1 N/mm along x or y, shape (samples,) [MPa]."""
        core = np.isin(self.schedule.sublayers.kind, ("core", "veneer"))
        return np.max(
            [
                np.abs(shear_stress_profile(qbar, thickness_mm, 1.0, axis=axis).ply_max_mpa[:, core]).max(axis=-1)
                for axis in "xy"
            ],
            axis=0,
        )

    def __call__(self, draws):
        s = self.layers.sublayers(_LABEL, draws)
        bending, shear, unit, up, across = self._stiffness(s)
        strengths = self.layers.strengths(_LABEL, s, draws)
        ratio = np.min(
            [_laminates(s, strengths, M=(0.0, sign * self._moment, 0.0))["ratio"] for sign in (1.0, -1.0)], axis=0
        )
        plate = self._plate_view(s, draws, bending, shear, unit)
        coats = self.schedule.total_thickness_mm - self.schedule.structural_thickness_mm
        resin = s.resin_gsm.sum(axis=1) / 1000 * self.transom.outline.net_area_m2
        return {
            "thickness": s.thickness_mm.sum(axis=1) + coats,
            "mass": self._added(s),
            "ei_up": up,
            "ei_across": across,
            "deflection": self._strip(up, shear),
            "layer_margin": ratio * design_factor("iso_ply").value,
            "plate_deflection": plate[0],
            "turn": plate[1],
            "core_margin": plate[2],
            "resin_to_buy": resin * (1 + draws["waste"][:, 0]),
        }

    def _added(self, s):
        """Mass of what is added, existing layers left out [kg]."""
        new = np.array([not getattr(layer, "existing", False) for layer in self.schedule.laid])
        nominal = self.schedule.sublayers
        change = (s.mass_gsm - nominal.mass_gsm)[:, new[s.row]].sum(axis=1) / 1000
        return (self.schedule.new_areal_mass_kg_m2 + change) * self.transom.outline.net_area_m2


_STRINGER = (
    Quantity("ei", "bending stiffness EI with plating", "N mm2", "bending_stiffness"),
    Quantity("mass", "mass of stringer per length", "kg/m", "", False),
)
_STRINGER_MARGINS = (
    Quantity("deflection", "largest deflection", "mm", "thickness", False),
    Quantity("margin", "least reserve factor"),
)


@dataclass(frozen=True, eq=False)
class StringerModel:
    """A stringer on its plating under its load.

    Parameters
    ----------
    stringer : Stringer
        The build [-].
    load : StringerLoad
        What bends it [-].
    margins : bool
        Whether deflection and margins are worked out as well, a few hundredths of a second a sample [-].
    assumed : AssumedSpreads
        Spreads where the catalogue knows none [-].
    chunk : int
        Samples at a time [-].

    Notes
    -----
    Each sample goes through `Stringer.section` or `assess_stringer`.  The drawn strength factor acts on every
    margin but those against buckling and wrinkling, which are elastic.  Resin and fabrics of plating, skin and cap are
    drawn together.  The former and the load are taken as exact.

    Examples
    --------
    >>> StringerModel.__dataclass_params__.frozen
    True
    """

    stringer: Stringer
    load: StringerLoad
    margins: bool = True
    assumed: AssumedSpreads = ASSUMED
    chunk: int = 32

    @cached_property
    def layers(self):
        """Its schedules as random layers [-]."""
        found = {item.name: getattr(self.stringer, item.name) for item in fields(self.stringer)}
        return DrawnLayers(
            tuple((name, value) for name, value in found.items() if isinstance(value, Schedule)), self.assumed
        )

    @cached_property
    def inputs(self):
        """What varies, as a tuple of `Uncertain` [-]."""
        return tuple(
            item
            for item in self.layers.inputs
            if not item.key.startswith("core_tau") and (self.margins or item.key != "strength")
        )

    @property
    def results(self):
        """What comes out, as a tuple of `Quantity` [-]."""
        margins = _STRINGER_MARGINS if self._all_checked else _STRINGER_MARGINS[:1]
        return (*_STRINGER, *(margins if self.margins else ()))

    @cached_property
    def _all_checked(self):
        """Whether a least reserve factor can be told: one of the checked alone would pass for that of the stringer."""
        return not assess_stringer(self.stringer, self.load).unchecked

    def __call__(self, draws):
        drawn_layers = {label: self.layers.sublayers(label, draws) for label, _ in self.layers.schedules}
        rows = [self._one(drawn_layers, draws, k) for k in range(len(next(iter(draws.values()))))]
        return dict(zip((q.key for q in self.results), np.array(rows).T, strict=True))

    def _one(self, drawn_layers, draws, k):
        build = replace(
            self.stringer, **{label: self.layers.version(label, s, draws, k) for label, s in drawn_layers.items()}
        )
        if not self.margins:
            return float(build.section(self.load).ei), build.mass_kg_m
        result = assess_stringer(build, self.load)
        factor = float(draws["strength"][k, 0])
        row = result.ei, build.mass_kg_m, result.deflection_mm
        if not self._all_checked:
            return row
        return (*row, min(m.reserve_factor * (1.0 if m.factor.name in ELASTIC else factor) for m in result.margins))
