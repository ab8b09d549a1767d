"""A build of a transom under its engine: stiffness, deflection, strength, mass and cost.

Axes of a transom schedule: x runs across the boat, y upwards, the first layer is
the outer skin.  Two views of the same wall are given side by side, because
neither is the truth: a *strip* between the bottom and the edge of the cut-out,
and a *plate* held at sides and bottom.  Deflection is positive aft.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.beams import PointLoad, Support, beam_response
from lamcalc.mechanics.plates import reduced_bending_stiffness
from lamcalc.mechanics.sandwich_failure import local_crush
from lamcalc.mechanics.sections import Section
from lamcalc.mechanics.transverse_shear import shear_stiffness
from lamcalc.parts.loads import BoltPattern, OutboardEngine, transom_load
from lamcalc.parts.transom_model import row_fields
from lamcalc.parts.transom_strength import TransomStrength, TransomStrengthBasis, transom_strength
from lamcalc.schedule import CoreLayer, Schedule
from lamcalc.sentences import Figure, Sentence, rule_sentence

CAUTIONS = (
    "Screening figures: loads are estimates and most core properties are not test values. The maker's data sheet of "
    "the very board, the engine maker's manual and the builder's plate decide.",
    "A new engine size, weight or height makes the repairer the designer. Passenger craft, towing points and coded "
    "boats: local codes and a licensed designer or surveyor.",
    "Not covered: two engines or one beside the centreline, fatigue, impact, steering loads, wet or rotten wood, holes "
    "other than the bolts, tightening preload.",
)
# mm, 1-7/8 in: upper bolts of an engine clamped or bolted on its own, as mounting pages have them
USUAL_BELOW_EDGE = 47.6


@dataclass(frozen=True)
class TransomOutline:
    """Shape of a transom.

    Parameters
    ----------
    top_width, chine_width : float
        Width at the top edge and at the chines [mm].
    height : float
        Top edge above the chines [mm].
    vee : float
        Keel below the chines [mm].
    cut_out_width, cut_out_depth : float
        Engine cut-out in the top edge [mm].
    given_area_m2 : float, optional
        Measured net area, used instead of the computed one [m2].

    Raises
    ------
    InputError
        If a size is negative, the cut-out does not fit, or the measured area differs
        from the outline's by more than a tenth.

    Examples
    --------
    >>> TransomOutline(1500, 1240, 620, 90, 480, 130).net_area_m2.__round__(3)
    0.843
    """

    top_width: float
    chine_width: float
    height: float
    vee: float = 0.0
    cut_out_width: float = 0.0
    cut_out_depth: float = 0.0
    given_area_m2: float | None = None

    def __post_init__(self):
        for name in ("top_width", "chine_width", "height"):
            positive(name.replace("_", " "), getattr(self, name), "mm")
        for name in ("vee", "cut_out_width", "cut_out_depth"):
            positive(name.replace("_", " "), getattr(self, name), "mm", zero=True)
        if self.cut_out_depth >= self.height or self.cut_out_width >= self.top_width:
            raise InputError("cut-out", "must be smaller than the transom [mm]", (self.cut_out_width, self.cut_out_depth),
                             "measure width and depth of the cut-out")
        if self.given_area_m2 is not None:
            measured = float(positive("net area", self.given_area_m2, "m2"))
            if abs(measured / self._outline_m2 - 1) > 0.1:
                raise InputError("net area",
                                 rule_sentence("must lie within a tenth of the outline's {area} [m2]",
                                               area=round(self._outline_m2, 3)),
                                 measured, "check the outline or leave the area out")

    @property
    def _outline_m2(self):
        wall = 0.5 * (self.top_width + self.chine_width) * self.height + 0.5 * self.chine_width * self.vee
        return (wall - self.cut_out_width * self.cut_out_depth) / 1e6

    @property
    def net_area_m2(self):
        """Area without the cut-out; the measured one if given [m2]."""
        return self._outline_m2 if self.given_area_m2 is None else float(self.given_area_m2)

    @property
    def strip_span(self):
        """Height at the centreline from keel to the edge of the cut-out [mm]."""
        return self.height + self.vee - self.cut_out_depth

    @property
    def plate_height(self):
        """Mean height from the bottom, half the vee counted, to the edge of the cut-out [mm]."""
        return self.height + 0.5 * self.vee - self.cut_out_depth

    @property
    def mean_width(self):
        """Mean of the widths at the top edge and at the chines [mm]."""
        return 0.5 * (self.top_width + self.chine_width)


@dataclass(frozen=True)
class Transom:
    """A transom with its engine, bolts and the engine's clamping window.

    Parameters
    ----------
    outline : TransomOutline
        Shape [mm].
    engine : OutboardEngine
        Mass, thrust and arms [kg, N, mm].
    bolts : BoltPattern
        Bolts and backing plates [mm].
    trailering_factor : float
        Multiple of the engine's weight on the road or when slamming [g].
    window_low, window_high : float
        Thinnest and thickest transom that the engine clamps [mm].
    bolts_below_edge : float
        Upper bolt row below the edge of the cut-out [mm]; 1-7/8 in is what mounting pages say.
    edges : str
        Plate edges left, right, bottom, top: C clamped, S simply supported, F free [-].
    strip_width : float, optional
        Width of the strip that carries the bolts [mm]; bolt spacing, one plate and one row spacing if not given (assumed).
    knees : tuple of float
        Places of knees across, from the centreline, that run over the whole height [mm].
    knee_width : float
        Width over which a knee holds the wall [mm].
    basis : TransomStrengthBasis
        What the margins take for bolts, plates and tabbing [-].

    Raises
    ------
    InputError
        If the window is empty, the bolts do not lie on the transom, or a value is out of range.

    Examples
    --------
    >>> engine = OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560, centre_above=60)
    >>> wall = Transom(TransomOutline(1500, 1240, 620, 90, 480, 130), engine, BoltPattern(12, 327, 200, 60, 60, 5), 2.5,
    ...                41, 57)
    >>> wall.carrying_width
    587.0
    """

    outline: TransomOutline
    engine: OutboardEngine
    bolts: BoltPattern
    trailering_factor: float
    window_low: float
    window_high: float
    bolts_below_edge: float = USUAL_BELOW_EDGE
    edges: str = "SSSF"
    strip_width: float | None = None
    knees: tuple = ()
    knee_width: float = 50.0
    basis: TransomStrengthBasis = field(default_factory=TransomStrengthBasis)

    def __post_init__(self):
        low, high = positive("window low", self.window_low, "mm"), positive("window high", self.window_high, "mm")
        if low > high:
            raise InputError("clamping window", "must have its low end below its high end [mm]",
                             (self.window_low, self.window_high), "swap the two")
        positive("bolts below the edge", self.bolts_below_edge, "mm")
        lowest = self.outline.plate_height - self.bolts_below_edge - self.bolts.row_to_heel - self.bolts.plate_height / 2
        if lowest <= 0:
            raise InputError("bolt rows",
                             Sentence("must lie on the transom, {limit} high below the cut-out [mm]",
                                      limit=Figure(self.outline.plate_height, "small_length", digits=4)),
                             self.bolts_below_edge + self.bolts.row_to_heel, "check row spacing, heel and outline")
        if self.strip_width is not None:
            positive("strip width", self.strip_width, "mm")
        object.__setattr__(self, "knees", tuple(float(x) for x in self.knees))
        positive("knee width", self.knee_width, "mm")
        if any(abs(x) + self.knee_width / 2 > self.outline.mean_width / 2 for x in self.knees):
            raise InputError("knees",
                             rule_sentence("must lie within {limit} of the centreline [mm]",
                                           limit=self.outline.mean_width / 2), self.knees,
                             "measure from the centreline to the middle of the knee")

    @property
    def carrying_width(self):
        """Width of the strip view [mm]."""
        if self.strip_width is not None:
            return float(self.strip_width)
        wide = self.bolts.upper_spacing + self.bolts.plate_width + self.bolts.row_spacing
        return float(min(wide, self.outline.mean_width))

    @cached_property
    def load(self):
        """Load cases of the engine, a `TransomLoad` [N, N mm, MPa]."""
        return transom_load(self.engine, self.bolts, trailering_factor=self.trailering_factor)

    @cached_property
    def cases(self):
        """Name, force at the upper row and at the heel or lower row, aft positive, for every case [-, N, N]."""
        rest = transom_load(self.engine, self.bolts, trailering_factor=1.0).case("trailering")
        named = (("engine weight at rest", rest), *((case.name, case) for case in self.load.cases))
        return tuple((name, *_row_forces(case)) for name, case in named)


def _row_forces(case):
    """Forces on the transom at the upper row and at the lower row, positive aft [N]."""
    if case.resultant_moment >= 0:
        return float(case.upper_row_equilibrium), -float(case.bearing_force)
    # a heavy engine with little thrust astern pulls both rows: then the top of the bracket does not bear
    return float(case.upper_row_equilibrium) - float(case.bearing_force), float(case.lower_row_tension)


@dataclass(frozen=True)
class TransomResult:
    """One build of the transom and what it does under the engine.

    Parameters
    ----------
    name : str
        Name of the build [-].
    schedule : Schedule
        Its layers [-].
    thickness_mm : float
        Total thickness with coats [mm].
    thickness_band_mm : tuple of (float, float)
        Range to expect [mm].
    fits_window : bool
        Whether the total thickness lies in the clamping window [-].
    core_mass_kg, new_mass_kg, total_mass_kg : float
        Core, everything that is added, and the whole wall [kg].
    ei_across, ei_up : float
        Bending stiffness per width for bending across the boat and upwards [N mm2/mm].
    shear_across, shear_up : float
        Shear stiffness per width for the same two directions [N/mm].
    core_share, skin_share : float
        Parts of `ei_up` that core and everything else carry [-].
    strip_deflection_mm, strip_shear_part_mm : tuple of float
        Largest deflection of the strip in each case, and the part of it that is shear [mm].
    plate_deflection_mm : tuple of float
        Largest deflection of the plate in each case [mm].
    bracket_turn_mrad : tuple of float
        Turn of the bracket, difference of the two bolt rows over their distance, plate view [mrad].
    plate_moments : tuple of tuple of float
        Largest Mx and My of the plate in each case [N mm/mm].
    crush_pressure_mpa, crush_strength_mpa : float
        Pressure under the plate of the hardest pulled bolt, and crushing strength of the weakest core [MPa].
    cost : float
        Material in the wall without waste [money].
    unpriced : tuple of str
        Materials without a price [-].
    strength : TransomStrength
        Margins, and what was not assessed [-].

    Examples
    --------
    >>> TransomResult.__dataclass_params__.frozen
    True
    """

    name: str
    schedule: Schedule
    thickness_mm: float
    thickness_band_mm: tuple
    fits_window: bool
    core_mass_kg: float
    new_mass_kg: float
    total_mass_kg: float
    ei_across: float
    ei_up: float
    shear_across: float
    shear_up: float
    core_share: float
    skin_share: float
    strip_deflection_mm: tuple
    strip_shear_part_mm: tuple
    plate_deflection_mm: tuple
    bracket_turn_mrad: tuple
    plate_moments: tuple
    crush_pressure_mpa: float
    crush_strength_mpa: float
    cost: float
    unpriced: tuple
    strength: TransomStrength

    @property
    def crush_use(self):
        """Crush pressure over crushing strength; keep it at or below 0.5 (factor of this workbook, common practice) [-]."""
        return self.crush_pressure_mpa / self.crush_strength_mpa

    @property
    def worst_turn_mrad(self):
        """Largest turn of the bracket in any case, a magnitude [mrad]."""
        return max(abs(turn) for turn in self.bracket_turn_mrad)


def bending_stiffness(laminate):
    """Bending stiffness per width of a wall that is free to bend across as well.

    Parameters
    ----------
    laminate : Laminate
        The wall [-].

    Returns
    -------
    tuple of (float, float)
        1/d11 across the boat and 1/d22 upwards [N mm2/mm].

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> wall = Laminate.from_plies(8500.0, 8500.0, 0.3, 3269.0, [0.0], [10.0])
    >>> [round(ei, -2) for ei in bending_stiffness(wall)]
    [708300.0, 708300.0]
    """
    d = laminate.compliance[2]
    return float(1 / d[0, 0]), float(1 / d[1, 1])


def assess(transom, name, schedule):
    """Everything the comparison shows for one build.

    Parameters
    ----------
    transom : Transom
        Shape, engine and bolts [-].
    name : str
        Name of the build [-].
    schedule : Schedule
        Its layers, outer skin first, with at least one core [-].

    Returns
    -------
    TransomResult
        Thickness, mass, stiffness, deflections, crush and cost [as the fields say].

    Raises
    ------
    InputError
        If the schedule has no core or a core lacks a crushing strength.

    Notes
    -----
    Strip: beam of `Transom.carrying_width` between keel and cut-out edge, simply
    supported at both, bending and shear.  Plate: Ritz plate with first-order
    shear from the bottom (half the vee) to the edge of the cut-out, so the wall
    beside the cut-out is left out, the safe side.  Bolt rows act as two patches
    of the plates' size; unsymmetric stacks enter by their reduced stiffness.
    Crush: pull of the hardest pulled bolt over the net plate, no spread through the skin.

    References
    ----------
    Statics of the bracket: `lamcalc.parts.loads.transom_load`; plate: `lamcalc.mechanics.plates`.
    """
    cores = [layer.core for layer in schedule.laid if isinstance(layer, CoreLayer)]
    if not cores:
        raise InputError(f"transom schedule {name}", "must have a core", "no core layer", "add the core")
    wall, s, area = schedule.laminate, schedule.sublayers, transom.outline.net_area_m2
    across, up = bending_stiffness(wall)
    shear = [float(shear_stiffness(wall.qbar, wall.thickness_mm, g, axis=axis))
             for g, axis in ((s.g_xz, "x"), (s.g_yz, "y"))]
    in_core = np.isin(s.kind, ("core", "veneer"))
    share = Section.from_layers(wall.qbar[:, 1, 1], wall.thickness_mm, width_mm=1.0).ei_share
    core_rows = [isinstance(layer, CoreLayer) for layer in schedule.laid]
    deflection, shear_part = _strip(transom, up, shear[1])
    plate_deflection, turn, moments, fields, forces = _plate(transom, wall, shear)
    strength = min(float(core.require("compressive_strength")) for core in cores)
    crush = local_crush(max(float(case.bolt_tension) for case in transom.load.cases), crush_strength=strength,
                        plate_length_mm=transom.bolts.plate_height, plate_width_mm=transom.bolts.plate_width,
                        hole_diameter_mm=transom.bolts.hole)
    t = schedule.total_thickness_mm
    return TransomResult(
        name, schedule, t, schedule.thickness_band_mm(), transom.window_low <= t <= transom.window_high,
        float(schedule.row_mass_gsm[core_rows].sum()) / 1000 * area, schedule.new_areal_mass_kg_m2 * area,
        schedule.areal_mass_kg_m2 * area, across, up, *shear, float(share[in_core].sum()), float(share[~in_core].sum()),
        deflection, shear_part, plate_deflection, turn, moments, float(crush.pressure_mpa), strength,
        schedule.cost_per_m2 * area, schedule.unpriced,
        transom_strength(transom, schedule, fields, forces, (float(crush.pressure_mpa), strength), transom.basis))


def _strip(transom, ei_up, shear_up):
    """Largest deflection and its shear part, in each case, of the strip view [mm]."""
    span, width = transom.outline.strip_span, transom.carrying_width
    upper = span - transom.bolts_below_edge
    rows = [PointLoad(upper, np.array([up for _, up, _ in transom.cases])),
            PointLoad(upper - transom.bolts.row_to_heel, np.array([low for _, _, low in transom.cases]))]
    held = [Support(0.0), Support(span)]
    both = beam_response(ei_up * width, shear_up * width, span, held, rows)
    bending = beam_response(ei_up * width, np.inf, span, held, rows)
    worst = np.abs(both.deflection_mm).argmax(axis=-1)
    pick = np.arange(len(worst)), worst
    total = both.deflection_mm[pick]
    return tuple(total.tolist()), tuple((total - bending.deflection_mm[pick]).tolist())


def _plate(transom, wall, shear):
    """Largest deflection [mm], turn of the bracket [mrad], largest Mx, My [N mm/mm] in each case; unit fields; row forces."""
    width, height, bolts = transom.outline.mean_width, transom.outline.plate_height, transom.bolts
    upper = height - transom.bolts_below_edge
    xs, lower_xs = ((width / 2 - apart / 2, width / 2 + apart / 2) for apart in (bolts.upper_spacing, bolts.between_lower))
    fields = row_fields(width, height, transom.edges, reduced_bending_stiffness(wall.A, wall.B, wall.D).tobytes(),
                        np.diag(shear).astype(float).tobytes(), xs, (upper, upper - bolts.row_to_heel),
                        (bolts.plate_width, bolts.plate_height), tuple(width / 2 + x for x in transom.knees),
                        transom.knee_width, lower_xs)
    forces = np.array([(up, low) for _, up, low in transom.cases])
    at = forces @ fields.at_bolts
    turn = (at[:, 0] - at[:, 2]) / bolts.row_to_heel * 1e3
    bending = reduced_bending_stiffness(wall.A, wall.B, wall.D)
    return (_largest(forces @ fields.deflection), tuple(turn.tolist()),
            tuple(zip(*(_largest(np.einsum("cr,rp->cp", forces, (fields.curvatures @ bending)[..., k])) for k in (0, 1)))),
            fields, forces)


def _largest(values):
    """Value of the largest magnitude in each case."""
    pick = np.abs(values).argmax(axis=1)
    return tuple(values[np.arange(len(values)), pick].tolist())
