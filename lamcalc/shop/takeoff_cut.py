"""Cut list of a part: strips, laps, the cutting plan of every fabric, and core by the sheet."""

import math
from dataclasses import dataclass, replace

from lamcalc.errors import InputError, positive
from lamcalc.schedule import CoreLayer, Ply
from lamcalc.shop.limits import LAP, STAGGER
from lamcalc.shop.nesting import Piece, cover_width, nest
from lamcalc.shop.takeoff_resin import Supply

TURNED = ("Turned: a piece of mat cut across the direction of the schedule, because that takes less of the roll. Mat is the same in "
          "every direction.")


@dataclass(frozen=True)
class CutPiece:
    """One strip of one ply.

    Parameters
    ----------
    group : str
        'laminate', 'tabbing' or 'crown' [-].
    ply : int
        Number in the order laid [-].
    material, name : str
        Key and generic name of the fabric [-].
    angle_deg : float
        Roll direction from the x of the part, as it is cut [deg].
    mat_side : str
        'down', 'up' or '-' [-].
    strip, strips : int
        Number of the strip and strips of the ply [-].
    along_mm, across_mm : float
        Size along and across the roll [mm].
    copies : int
        How many alike, one for each part [-].
    seams_mm : tuple of float
        Seams of the ply, across its strips from the first strip's edge [mm].
    staggered : bool
        Whether the seams keep clear of those of the ply before [-].
    turned : bool
        Whether it is cut across the direction that the schedule gives; mat alone [-].

    Examples
    --------
    >>> CutPiece("laminate", 1, "csm_450", "mat", 0.0, "-", 1, 1, 1500.0, 710.0, 1, (), True).label
    'laminate 1'
    """

    group: str
    ply: int
    material: str
    name: str
    angle_deg: float
    mat_side: str
    strip: int
    strips: int
    along_mm: float
    across_mm: float
    copies: int
    seams_mm: tuple
    staggered: bool
    turned: bool = False

    @property
    def label(self):
        """What is written on the piece [-]."""
        return f"{self.group} {self.ply}" + (f".{self.strip}" if self.strips > 1 else "")

    @property
    def names(self):
        """Names of the copies in the cutting plan [-]."""
        return tuple(self.label + (f" of {k + 1}" if self.copies > 1 else "") for k in range(self.copies))


@dataclass(frozen=True)
class Fabric:
    """One fabric of a part: net, cut and to buy.

    Parameters
    ----------
    material, name : str
        Key and generic name [-].
    areal_weight_gsm : float
        Dry weight [g/m2].
    net_m2 : float
        Area in the schedule [m2].
    lap_m2 : float
        Area that lies double in laps [m2].
    plan : CuttingPlan
        Pieces on the roll [mm].
    to_buy_m : float
        Running length: the cutting plan, or net and laps with the waste allowance if that is longer [m].

    Examples
    --------
    >>> plan = nest([Piece("1", 1500, 710)], width_mm=1040)
    >>> round(Fabric("csm_450", "mat", 450.0, 0.843, 0.0, plan, 1.5).waste_share, 2)
    0.46
    """

    material: str
    name: str
    areal_weight_gsm: float
    net_m2: float
    lap_m2: float
    plan: object
    to_buy_m: float

    def metres(self, loss):
        """Running length to buy: the cutting plan, or net and laps with an allowance if that is longer.

        Parameters
        ----------
        loss : float
            Allowance as a share of net and laps [-].

        Returns
        -------
        float
            Length [m].
        """
        least = (self.net_m2 + self.lap_m2) * (1 + positive("allowance on glass", loss, zero=True)) / self.plan.width_mm * 1e3
        return float(max(self.plan.length_mm / 1e3, least))

    @property
    def net_kg(self):
        """Glass in the schedule [kg]."""
        return self.net_m2 * self.areal_weight_gsm / 1e3

    @property
    def lap_kg(self):
        """Glass that lies double in laps [kg]."""
        return self.lap_m2 * self.areal_weight_gsm / 1e3

    @property
    def to_buy_m2(self):
        """Area off the roll [m2]."""
        return self.to_buy_m * self.plan.width_mm / 1e3

    @property
    def waste_share(self):
        """Share of what is bought that is not in the laminate [-]."""
        return 1 - (self.net_m2 + self.lap_m2) / self.to_buy_m2


def cut_pieces(job, layers, copies, shelf, *, lap_mm=float(LAP), stagger_mm=float(STAGGER), turned=frozenset()):
    """Cut list of the plies of one part, and the area in laps by fabric.

    Parameters
    ----------
    job : Job
        Gives the roll widths [-].
    layers : sequence of LaidLayer
        In the order laid [-].
    copies : int
        Parts alike [-].
    shelf : Catalogue
        Materials [-].
    lap_mm, stagger_mm : float
        Lap at seams and distance of seams of neighbouring plies [mm].
    turned : set of (str, int)
        Group and number of the plies whose roll runs across the direction of the schedule; only for mat [-].

    Returns
    -------
    tuple of (tuple of CutPiece, list of (LaidLayer, float))
        Pieces, and the lap area of each ply on one part [m2].

    Notes
    -----
    A roll direction between 0 and 90 degrees is cut from the rectangle that surrounds the turned blank.
    Seams keep clear of those of the ply before; a core between two plies ends that, for they do not touch.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> pieces, laps = cut_pieces(job, laid_layers(job, "sole")[0], 1, catalogue(job))
    >>> [(p.label, p.across_mm) for p in pieces][:2]
    [('laminate 1.1', 1040.0), ('laminate 1.2', 190.0)]
    """
    out, laps, before = [], [], {}
    for item in layers:
        if not isinstance(item.layer, Ply):
            if isinstance(item.layer, CoreLayer):
                before = {}  # the skins of a core are no neighbours
            continue
        across_it = (item.group, item.number) in turned
        angle = (item.layer.angle_deg + 90) % 180 if across_it else item.layer.angle_deg
        turn = math.radians(angle)
        c, s = abs(round(math.cos(turn), 12)), abs(round(math.sin(turn), 12))
        along, across = item.length_mm * c + item.width_mm * s, item.length_mm * s + item.width_mm * c
        way = item.group, round(angle % 180, 6)
        strips = cover_width(across, roll_mm=roll_width(job, item.layer, shelf), lap_mm=lap_mm, stagger_mm=stagger_mm,
                             avoid_mm=before.get(way, ()))
        before = {way: strips.seams_mm}
        laps.append((item, strips.lap_width_mm * along / 1e6 * min(1.0, item.area_m2 * 1e6 / (along * across))))
        fabric = item.layer.reinforcement
        out += [CutPiece(item.group, item.number, fabric.id, fabric.name, angle,
                         item.layer.mat_side if fabric.has_mat else "-", k + 1, len(strips.widths_mm), along, width,
                         copies, strips.seams_mm, strips.staggered, across_it) for k, width in enumerate(strips.widths_mm)]
    return tuple(out), laps


def no_direction(fabric):
    """Whether a fabric has no direction at all: random mat in every layer.

    Parameters
    ----------
    fabric : Reinforcement
        The fabric [-].

    Returns
    -------
    bool
        False for anything woven, stitched or unidirectional, mat-backed or not [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shelf = catalogue.load()
    >>> no_direction(shelf.reinforcement("csm_450")), no_direction(shelf.reinforcement("biax45_1708"))
    (True, False)
    """
    return all(component.kind == "csm" for component in fabric.components)


def roll_width(job, ply, shelf):
    """Width of the roll that a ply is cut from: the job's, else the catalogue's.

    Parameters
    ----------
    job : Job
        The job [-].
    ply : Ply
        The ply [-].
    shelf : Catalogue
        Materials [-].

    Returns
    -------
    float
        Width [mm].

    Raises
    ------
    InputError
        If neither knows it.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> roll_width(job, laid_layers(job, "sole")[0][0].layer, catalogue(job))
    1040.0
    """
    fabric = ply.reinforcement
    for roll in job.stock.rolls:
        if roll.item == fabric.id:
            return roll.width_mm
    if fabric.roll_width_mm is None:
        raise InputError(f"roll width of {fabric.id}", "must be known [mm]", None, "add it to stock.rolls of the job")
    return float(fabric.roll_width_mm)


def fabrics(job, layers, pieces, laps, copies):
    """Net, cut and bought amount of every fabric of a part.

    Parameters
    ----------
    job : Job
        Gives the waste allowance [-].
    layers : sequence of LaidLayer
        In the order laid [-].
    pieces : sequence of CutPiece
        Cut list [mm].
    laps : sequence of (LaidLayer, float)
        Lap area of each ply on one part [m2].
    copies : int
        Parts alike [-].

    Returns
    -------
    tuple of Fabric
        One for each fabric, in the order first laid [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> layers = laid_layers(job, "stringers")[0]
    >>> pieces, laps = cut_pieces(job, layers, 2, catalogue(job))
    >>> [f.material for f in fabrics(job, layers, pieces, laps, 2)]
    ['biax45_1708', 'ud_400']
    """
    # the first roll of a fabric on the list sets the width, as it does for the cut list
    shelf_rolls = {roll.item: roll.width_mm for roll in reversed(job.stock.rolls)}
    out = []
    for material in dict.fromkeys(p.material for p in pieces):
        mine = [i for i in layers if isinstance(i.layer, Ply) and i.layer.reinforcement.id == material]
        fabric = mine[0].layer.reinforcement
        turnable = no_direction(fabric)
        width = shelf_rolls.get(material) or float(fabric.roll_width_mm)
        cut = [Piece(name, p.along_mm, p.across_mm, turnable, p.turned) for p in pieces if p.material == material for name in p.names]
        plan = nest(cut, width_mm=width)
        net, lap = sum(i.area_m2 for i in mine) * copies, sum(a for i, a in laps if i in mine) * copies
        one = Fabric(material, fabric.name, fabric.areal_weight_gsm, net, lap, plan, plan.length_mm / 1e3)
        out.append(replace(one, to_buy_m=one.metres(job.waste.glass)))
    return tuple(out)


def core_supplies(job, layers, copies):
    """Core by the sheet, or by mass where it is poured.

    Parameters
    ----------
    job : Job
        Gives the sheet sizes [-].
    layers : sequence of LaidLayer
        In the order laid [-].
    copies : int
        Parts alike [-].

    Returns
    -------
    list of Supply
        Sheets with their cutting plan, or [kg], or [m2] where no sheet size is known.

    Notes
    -----
    A blank larger than the sheet is cut into equal pieces: put the joints over a support and stagger them.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> [(s.item, s.amount, s.unit) for s in core_supplies(job, laid_layers(job, "transom", option="transom_plywood")[0], 1)]
    [('ply_meranti', 2, 'sheet')]
    """
    groups = {}
    for item in layers:
        if isinstance(item.layer, CoreLayer):
            groups.setdefault((item.layer.core.id, item.layer.thickness_mm), []).append(item)
    return [_core(job, key, items, copies) for key, items in groups.items()]


def _core(job, key, items, copies):
    core, thickness = key
    net = sum(i.area_m2 * i.mass_gsm for i in items) * copies / 1e3
    if items[0].layer.core.family == "cast":
        return Supply(core, "core, poured", net * (1 + job.waste.resin), "kg", net_kg=net)
    size = _sheet_size(job, core, thickness)
    if size is None:
        area = sum(i.area_m2 for i in items) * copies
        return Supply(core, "core, sheet size unknown", area, "m2", thickness, net_kg=net)
    cut = []
    for item in items:
        grain = item.layer.angle_deg % 180 == 90
        blank = (item.width_mm, item.length_mm) if grain else (item.length_mm, item.width_mm)
        rows, columns = (math.ceil(b / s - 1e-9) for b, s in zip(blank, size, strict=True))
        cut += [Piece(f"core {item.number} of {k + 1}", blank[0] / rows, blank[1] / columns,
                      item.layer.core.family != "plywood") for k in range(rows * columns * copies)]
    plan = nest(cut, width_mm=size[1], sheet_length_mm=size[0])
    return Supply(core, "core", plan.sheets, "sheet", thickness, net_kg=net, plan=plan)


def _sheet_size(job, core, thickness):
    for sheet in job.stock.sheets:
        if sheet.item == core and sheet.thickness_mm == thickness:
            return sheet.length_mm, sheet.width_mm
    price = job.prices.of(core, thickness)
    return (price.sheet_length_mm, price.sheet_width_mm) if price and price.per == "sheet" else None
