"""Strips, seams and the cutting plan: rectangles on a roll or on sheets, by shelves, the same for the same job."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.sentences import rule_sentence
from lamcalc.shop.limits import LAP, STAGGER
from lamcalc.shop.tabbing import strips_for_width

_STEP_MM = 10.0  # seams are moved in steps that can be marked with a tape measure
_TOUCH = 1e-6  # mm; sums of floats must not refuse a piece that fits exactly


@dataclass(frozen=True)
class Strips:
    """How a width is covered from a roll.

    Parameters
    ----------
    widths_mm : tuple of float
        Width of every strip, laps included [mm].
    seams_mm : tuple of float
        Middle of every lap, from the edge where the first strip lies [mm].
    lap_mm : float
        Lap at each seam [mm].
    staggered : bool
        Whether every seam keeps its distance from the seams of the ply before [-].

    Examples
    --------
    >>> cover_width(1180, roll_mm=1040).widths_mm
    (1040.0, 190.0)
    """

    widths_mm: tuple
    seams_mm: tuple
    lap_mm: float
    staggered: bool

    @property
    def lap_width_mm(self):
        """Width that lies double in all laps together [mm]."""
        return self.lap_mm * len(self.seams_mm)


def cover_width(width_mm, *, roll_mm, lap_mm=float(LAP), stagger_mm=float(STAGGER), avoid_mm=()):
    """Strips that cover a width, their seams clear of the seams of the ply before.

    Parameters
    ----------
    width_mm : float
        Width to cover [mm].
    roll_mm : float
        Width of the roll [mm].
    lap_mm : float
        Lap at each seam; 50 or more for a ply that carries load [mm].
    stagger_mm : float
        Least distance from the seams of the ply before [mm].
    avoid_mm : sequence of float
        Seams of the ply before, from the same edge [mm].

    Returns
    -------
    Strips
        The fewest strips, ceil((width - lap)/(roll - lap)); one more where the stagger needs it [mm].

    Raises
    ------
    InputError
        If a size is out of range or the lap is as wide as the roll.

    Notes
    -----
    The first strip is narrowed in steps of 10 mm until all seams are clear; no strip is narrower than two laps.
    Where no place is clear even with one more strip, the fewest strips are kept and `staggered` is False.

    References
    ----------
    Class society rules for FRP ships: laps 50 mm or more, stagger 100 mm or more.  The search is a proposal.

    Examples
    --------
    >>> cover_width(1180, roll_mm=1040, avoid_mm=(1015.0,)).seams_mm
    (915.0,)
    """
    width, roll = float(positive("width", width_mm, "mm")), float(positive("roll width", roll_mm, "mm"))
    lap = float(positive("lap", lap_mm, "mm", zero=True))
    stagger = float(positive("stagger", stagger_mm, "mm", zero=True))
    fewest = int(strips_for_width(width, roll_mm=roll, lap_mm=lap))
    if fewest == 1:
        return Strips((width,), (), lap, True)
    fallback = None
    for count in (fewest, fewest + 1):
        for first in np.arange(roll, 2 * lap, -_STEP_MM):
            widths = _widths(width, float(first), roll, lap)
            if len(widths) != count or widths[-1] < 2 * lap:
                continue
            seams = tuple(float(s) for s in np.cumsum([w - lap for w in widths[:-1]]) + lap / 2)
            if all(abs(s - a) >= stagger - _TOUCH for s in seams for a in avoid_mm):
                return Strips(widths, seams, lap, True)
            fallback = fallback or Strips(widths, seams, lap, False)
    if fallback is None:
        raise InputError("roll width",
                         rule_sentence("must take strips of two laps at least, {limit} [mm]", limit=2 * lap), roll_mm,
                         "choose a wider roll")
    return fallback


def _widths(width, first, roll, lap):
    widths, covered = [min(first, width)], min(first, width)
    while covered < width - _TOUCH:
        strip = min(roll, width - covered + lap)
        widths.append(strip)
        covered += strip - lap
    return tuple(widths)


@dataclass(frozen=True)
class Piece:
    """A rectangle to cut.

    Parameters
    ----------
    label : str
        What is written on it [-].
    along_mm : float
        Size along the roll, or along the face grain of a sheet [mm].
    across_mm : float
        Size across the roll [mm].
    turnable : bool
        Whether it may be turned by 90 degrees: random mat and boards without a grain [-].
    turned : bool
        Whether these sizes are already turned from what the schedule says of the roll [-].

    Examples
    --------
    >>> Piece("1", 1500, 710).turnable
    False
    """

    label: str
    along_mm: float
    across_mm: float
    turnable: bool = False
    turned: bool = False

    def __post_init__(self):
        positive(f"piece {self.label}: size along", self.along_mm, "mm")
        positive(f"piece {self.label}: size across", self.across_mm, "mm")


@dataclass(frozen=True)
class Place:
    """Where a piece lies.

    Parameters
    ----------
    piece : Piece
        The piece [-].
    x_mm, y_mm : float
        Corner, along and across the roll or sheet [mm].
    along_mm, across_mm : float
        Size as it lies [mm].
    sheet : int
        Number of the sheet, from 1; 1 on a roll [-].

    Examples
    --------
    >>> nest([Piece("1", 1500, 710)], width_mm=1270).places[0].x_mm
    0.0
    """

    piece: Piece
    x_mm: float
    y_mm: float
    along_mm: float
    across_mm: float
    sheet: int = 1

    @property
    def turned(self):
        """Whether it lies turned by 90 degrees from what the schedule says of the roll [-]."""
        return self.piece.turned != ((self.along_mm, self.across_mm) != (self.piece.along_mm, self.piece.across_mm))


@dataclass(frozen=True)
class CuttingPlan:
    """All pieces on a roll or on sheets.

    Parameters
    ----------
    width_mm : float
        Width of the roll or sheet [mm].
    sheet_length_mm : float or None
        Length of a sheet, None for a roll [mm].
    places : tuple of Place
        One for each piece [-].
    length_mm : float
        Running length of the roll; sheets times their length for sheets [mm].
    sheets : int
        Sheets used, 0 for a roll [-].

    Examples
    --------
    >>> nest([Piece("1", 1500, 600), Piece("2", 1500, 600)], width_mm=1270).length_mm
    1500.0
    """

    width_mm: float
    sheet_length_mm: float | None
    places: tuple
    length_mm: float
    sheets: int

    @property
    def area_m2(self):
        """Area of the pieces [m2]."""
        return sum(p.along_mm * p.across_mm for p in self.places) / 1e6

    @property
    def used_m2(self):
        """Area of roll or sheets that is cut up [m2]."""
        return self.length_mm * self.width_mm / 1e6

    @property
    def offcut_share(self):
        """Share of the cut-up area that becomes no piece [-]."""
        return 1 - self.area_m2 / self.used_m2 if self.used_m2 else 0.0


def nest(pieces, *, width_mm, sheet_length_mm=None):
    """Lay rectangles on a roll, or on sheets, shelf by shelf.

    Parameters
    ----------
    pieces : sequence of Piece
        What is to be cut [mm].
    width_mm : float
        Width of the roll or sheet [mm].
    sheet_length_mm : float, optional
        Length of a sheet; a roll has no end [mm].

    Returns
    -------
    CuttingPlan
        Every piece placed, none over another, all inside the width [mm].

    Raises
    ------
    InputError
        If a piece is larger than the roll or sheet.

    Notes
    -----
    First fit by falling length: a piece goes behind a shorter one of the same shelf where it fits, else beside it,
    else on the next shelf.  Pieces that may be turned are tried as given, lengthwise and crosswise, then one by one;
    the shortest plan wins, and what is turned without need goes back.  So leave to turn never makes a plan longer.
    Straight cuts are enough.  The plan is good, not proven shortest.

    References
    ----------
    Shelf packing, first fit decreasing: textbook algorithm (from memory).

    Examples
    --------
    >>> plan = nest([Piece("a", 900, 700), Piece("b", 500, 300), Piece("c", 400, 300)], width_mm=1040)
    >>> plan.length_mm, len(plan.places)
    (900.0, 3)
    """
    width = float(positive("roll or sheet width", width_mm, "mm"))
    longest = None if sheet_length_mm is None else float(positive("sheet length", sheet_length_mm, "mm"))
    pieces = tuple(pieces)
    if not pieces:
        return CuttingPlan(width, longest, (), 0.0, 0)
    ways = [[_lie(p, width, longest, way) for p in pieces] for way in ("given", "long", "short")]
    lying = min(ways, key=lambda one: _plan(one, width, longest).length_mm)
    return _plan(_turned_back(_turned_singly(lying, width, longest), width, longest), width, longest)


def _turned_singly(lying, width, longest):
    """Pieces turned one after another as long as the plan grows shorter."""
    best, again = _plan(lying, width, longest).length_mm, True
    while again:
        again = False
        for k, (piece, along, across) in enumerate(lying):
            if along == across or len(_fits(piece, width, longest)) < 2:
                continue
            trial = [*lying[:k], (piece, across, along), *lying[k + 1:]]
            length = _plan(trial, width, longest).length_mm
            if length < best - _TOUCH:
                lying, best, again = trial, length, True
    return lying


def _turned_back(lying, width, longest):
    """Pieces turned without need as they were given; a cutter expects them so."""
    best = _plan(lying, width, longest).length_mm
    for k, (piece, along, across) in enumerate(lying):
        given = piece.along_mm, piece.across_mm
        if (along, across) == given or given not in _fits(piece, width, longest):
            continue
        trial = [*lying[:k], (piece, *given), *lying[k + 1:]]
        if _plan(trial, width, longest).length_mm <= best:
            lying = trial
    return lying


def _fits(piece, width, longest):
    """Sizes, as given and turned if it may be, in which a piece fits."""
    both = [(piece.along_mm, piece.across_mm)]
    if piece.turnable:
        both.append((piece.across_mm, piece.along_mm))
    return [s for s in both if s[1] <= width + _TOUCH and (longest is None or s[0] <= longest + _TOUCH)]


def _lie(piece, width, longest, way):
    """Size of a piece as it lies, in the wanted direction if it may be turned and fits so."""
    fit = _fits(piece, width, longest)
    if not fit:
        raise InputError(f"piece {piece.label}", "must fit the width of the roll, or the sheet [mm]",
                         (piece.along_mm, piece.across_mm), "cut it into strips or choose a larger size")
    chosen = {"given": fit[0], "long": max(fit), "short": min(fit)}[way]
    return piece, *chosen


def _plan(lying, width, longest):
    shelves = _shelves(lying, width)
    places, start, sheets = [], [], []
    for shelf in shelves:
        sheet, x = _next_start(shelf["length"], sheets, longest)
        start.append((sheet, x))
        for column in shelf["columns"]:
            for piece, along, across, offset in column["pieces"]:
                places.append(Place(piece, x + offset, column["y"], along, across, sheet))
    length = sheets[0] if longest is None else len(sheets) * longest
    return CuttingPlan(width, longest, tuple(places), float(length), 0 if longest is None else len(sheets))


def _next_start(length, sheets, longest):
    """Sheet and place along it where the next shelf begins; `sheets` keeps the length used on each."""
    for number, used in enumerate(sheets):
        if longest is None or used + length <= longest + _TOUCH:
            sheets[number] = used + length
            return number + 1, used
    sheets.append(length)
    return len(sheets), 0.0


def _shelves(lying, width):
    shelves = []
    for piece, along, across in sorted(lying, key=lambda item: (-item[1], -item[2], item[0].label)):
        if not any(_put_on(shelf, piece, along, across, width) for shelf in shelves):
            shelves.append({"length": along, "used": across,
                            "columns": [_column(0.0, across, piece, along, across)]})
    return shelves


def _column(y, wide, piece, along, across):
    return {"y": y, "wide": wide, "used": along, "pieces": [(piece, along, across, 0.0)]}


def _put_on(shelf, piece, along, across, width):
    for column in shelf["columns"]:
        if across <= column["wide"] + _TOUCH and column["used"] + along <= shelf["length"] + _TOUCH:
            column["pieces"].append((piece, along, across, column["used"]))
            column["used"] += along
            return True
    if shelf["used"] + across <= width + _TOUCH:
        shelf["columns"].append(_column(shelf["used"], across, piece, along, across))
        shelf["used"] += across
        return True
    return False
