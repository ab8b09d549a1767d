"""Survey of a core panel: readings on a grid become a map, a cut line and a list of what nobody knows."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.sentences import Figure, Sentence, rule_sentence
from lamcalc.shop.limits import GROWTH_MARGIN, PANEL_WET, PINLESS_RISE, WOOD_DECAY, WOOD_DRY, Finding
from lamcalc.shop.outline import CutRegion, merge_rectangles
from lamcalc.shop.readings import Spread, areal_mass_kg_m2, spread

__all__ = ["CutRegion", "SurveyMap", "areal_mass_kg_m2", "map_survey", "ready_to_encapsulate"]


@dataclass(frozen=True)
class SurveyMap:
    """Map of one panel.

    Parameters
    ----------
    x_mm, y_mm : ndarray, shape (columns,), (rows,)
        Places of the readings [mm].
    tap : ndarray of str, shape (rows, columns)
        'C' crisp, 'D' dull, '' not tapped [-].
    moisture : ndarray, shape (rows, columns)
        Meter readings, NaN where not read [% MC, or the meter's scale].
    bad, damp, unread : ndarray of bool, shape (rows, columns)
        To be cut; to be dried; neither tapped nor read [-].
    regions : tuple of CutRegion
        Cut lines [mm], [m2].
    removed_area_m2, panel_area_m2 : float
        Area inside the cut lines and of the panel surveyed [m2].
    wet_share : float
        Wet readings over all moisture readings; NaN without a meter [-].
    skin : Spread or None
        Skin thickness of the plugs without gel coat, None without a plug [mm].
    not_opened : tuple of str
        What was not opened, stated plainly [-].
    findings : tuple of Finding
        Suspicions, warnings and notes in words [-].

    Examples
    --------
    >>> found = map_survey([0, 200, 400], [0], tap=["CCC"], moisture=[[10, 11, 10]])
    >>> found.removed_area_m2
    0.0
    """

    x_mm: np.ndarray
    y_mm: np.ndarray
    tap: np.ndarray
    moisture: np.ndarray
    bad: np.ndarray
    damp: np.ndarray
    unread: np.ndarray
    regions: tuple
    removed_area_m2: float
    panel_area_m2: float
    wet_share: float
    skin: Spread | None
    not_opened: tuple
    findings: tuple

    @property
    def removed_share(self):
        """Removed area over panel area [-]."""
        return self.removed_area_m2 / self.panel_area_m2

    def removed_mass_kg(self, *, thickness_mm, density_kg_m3):
        """Mass of the core that comes out.

        Parameters
        ----------
        thickness_mm : float
            Core thickness [mm].
        density_kg_m3 : float
            Density of the core; wet core is heavier, so weigh a piece [kg/m3].

        Returns
        -------
        float
            Mass [kg].

        Raises
        ------
        InputError
            If an input is not positive.

        Examples
        --------
        >>> found = map_survey([0, 500, 1000], [0, 500, 1000], tap=["CCC", "CDC", "CCC"])
        >>> round(found.removed_mass_kg(thickness_mm=36, density_kg_m3=580), 3)
        1.879
        """
        return self.removed_area_m2 * float(areal_mass_kg_m2(thickness_mm, density_kg_m3))

    def table(self):
        """Grid of readings for the sheet, top row first as seen on the wall.

        Returns
        -------
        pandas.DataFrame
            Rows by height, columns by place; each cell tap, moisture and mark [mm].

        Examples
        --------
        >>> map_survey([0, 200], [0], tap=["CD"], moisture=[[10, 30]]).table().iloc[0, 1]
        'D 30 cut'
        """
        import pandas as pd

        rows = [[self._cell(i, j) for j in range(len(self.x_mm))] for i in range(len(self.y_mm))]
        frame = pd.DataFrame(rows, columns=[f"{x:g}" for x in self.x_mm],
                             index=pd.Index(self.y_mm, name="height [mm] / place [mm]"))
        return frame.sort_index(ascending=False)

    def _cell(self, row, column):
        if self.unread[row, column]:
            return "not read"
        meter = self.moisture[row, column]
        mark = "cut" if self.bad[row, column] else "dry it" if self.damp[row, column] else ""
        parts = (str(self.tap[row, column]), "" if np.isnan(meter) else f"{meter:g}", mark)
        return " ".join(part for part in parts if part)


def map_survey(x_mm, y_mm, *, tap=None, moisture=None, meter="pin", reference=None, extent_mm=None,
               margin_mm=float(GROWTH_MARGIN), plugs_mm=(), gel_coat_mm=0.0, not_opened=()):
    """Bad region, cut line and suspicions from tap and moisture readings on a grid.

    Parameters
    ----------
    x_mm, y_mm : array_like, shape (columns,), (rows,)
        Places of the readings, rising; y upwards [mm].
    tap : sequence of str, shape (rows,), optional
        One string a row: C crisp, D dull, - not tapped [-].
    moisture : array_like, shape (rows, columns), optional
        Meter readings, NaN where not read [% MC, or the meter's scale].
    meter : str
        'pin' (percent in the wood) or 'pinless' (compare only) [-].
    reference : float, optional
        Pinless reading of a known-good spot of the same build-up [meter's scale].
    extent_mm : tuple of float, optional
        Panel: x from, x to, y from, y to; the grid's own box if not given [mm].
    margin_mm : float
        Cut beyond the last bad reading, 150 as a proposal [mm].
    plugs_mm : array_like, shape (n,)
        Skin thickness of the plugs [mm].
    gel_coat_mm : float
        Gel coat included in the plugs, taken off [mm].
    not_opened : sequence of str
        Areas that nobody opened [-].

    Returns
    -------
    SurveyMap
        Map, cut lines and findings [mm], [m2].

    Raises
    ------
    InputError
        If the grid does not rise, readings do not fit it, a letter is unknown, or a pinless meter has no reference.

    Notes
    -----
    Bad is dull or wet: at 22 % or more by pins, or 1.5 times the reference by a pinless meter.  Between bad neighbours,
    also diagonal ones, everything is bad.  The region grows by the margin and is clipped to the panel; sound islands
    inside the cut line come out with it.  This is a first cut: go on until the core is dry and bonded.

    References
    ----------
    Wood-drying notes (12 and 22 %), surveyors' articles on percussion testing; margin and pinless factor are proposals.

    Examples
    --------
    >>> found = map_survey([0, 500, 1000], [0, 500, 1000], tap=["CCC", "CDC", "CCC"])
    >>> found.regions[0].corners_mm
    ((350.0, 350.0), (650.0, 350.0), (650.0, 650.0), (350.0, 650.0))
    """
    x, y = _rising("places across", x_mm), _rising("heights", y_mm)
    sounds, readings = _tap_grid(tap, x, y), _moisture_grid(moisture, x, y, meter)
    if tap is None and moisture is None:
        raise InputError("survey", "must hold tap or moisture readings", None, "tap or read the grid")
    wet, damp = _wet_and_damp(readings, meter, reference)
    dull, known = sounds == "D", ~np.isnan(readings)
    bad, unread = dull | wet, (sounds == "") & ~known
    panel = _panel(x, y, extent_mm)
    margin = float(positive("growth margin", margin_mm, "mm"))
    regions = merge_rectangles(_clip(_grow(bad, x, y, margin), panel)) if bad.any() else ()
    panel_area = (panel[1] - panel[0]) * (panel[3] - panel[2]) / 1e6
    removed = float(sum(region.area_m2 for region in regions))
    wet_share = float(wet.sum() / known.sum()) if known.any() else float("nan")
    skin = _skin(plugs_mm, gel_coat_mm)
    facts = _Facts(x, y, dull, wet, damp & ~bad, unread, sounds != "", known, margin, meter, skin)
    findings = tuple(_suspicions(facts)) + tuple(_warnings(facts, bad, removed / panel_area, wet_share))
    unknown = tuple(not_opened) + _unknown(unread, skin)
    return SurveyMap(x, y, sounds, readings, bad, damp & ~bad, unread, regions, removed, panel_area, wet_share, skin,
                     unknown, findings)


def _rising(name, values):
    places = np.atleast_1d(number(name, values, "mm"))
    if places.ndim != 1 or places.size == 0 or (np.diff(places) <= 0).any():
        raise InputError(name, "must be one list that rises [mm]", values, "sort the places, each once")
    return places


def _tap_grid(tap, x, y):
    grid = np.full((len(y), len(x)), "", dtype="<U1")
    if tap is None:
        return grid
    rows = list(tap)
    if len(rows) != len(y) or any(len(row) != len(x) for row in rows):
        raise InputError("tap readings", f"must be {len(y)} rows of {len(x)} letters", tap, "one row a height")
    for i, row in enumerate(rows):
        for j, letter in enumerate(row):
            if letter not in ("C", "D", "-", " ", ""):
                raise InputError("tap reading", "must be C for crisp, D for dull or - for not tapped", letter,
                                 f"correct row {i + 1}, place {j + 1}")
            grid[i, j] = letter if letter in ("C", "D") else ""
    return grid


def _moisture_grid(moisture, x, y, meter):
    if meter not in ("pin", "pinless"):
        raise InputError("meter", "must be 'pin' or 'pinless'", meter, "a pinless number is no percentage in laminate")
    if moisture is None:
        return np.full((len(y), len(x)), np.nan)
    try:
        grid = np.array(moisture, dtype=float)
    except (TypeError, ValueError):
        raise InputError("moisture readings", "must be numbers [%]", moisture, "write nan where not read") from None
    if grid.shape != (len(y), len(x)):
        raise InputError("moisture readings", f"must be {len(y)} rows of {len(x)} readings [%]", list(grid.shape),
                         "write nan where not read")
    known = grid[~np.isnan(grid)]
    if not (np.isfinite(known) & (known >= 0)).all() or (meter == "pin" and (known > 200).any()):
        raise InputError("moisture reading", "must lie between 0 and 200 for pins, 0 or more otherwise [%]", known,
                         "read the meter again")
    if meter == "pin" and known.size and (known > 0).any() and known.max() < 1:
        raise InputError("moisture readings", "must be in percent, not fractions [%]", known, "write 28 for 28 %")
    return grid


def _wet_and_damp(readings, meter, reference):
    if meter == "pin":
        with np.errstate(invalid="ignore"):
            return readings >= WOOD_DECAY.value, readings >= WOOD_DRY.value
    if np.isnan(readings).all():
        return np.zeros(readings.shape, bool), np.zeros(readings.shape, bool)
    if reference is None:
        raise InputError("reference of the pinless meter", "is needed: its number is no percentage in laminate", None,
                         "read a known-good spot of the same build-up")
    good = float(positive("reference of the pinless meter", reference, "meter's scale"))
    with np.errstate(invalid="ignore"):
        return readings >= PINLESS_RISE.value * good, readings > good


def _panel(x, y, extent_mm):
    if extent_mm is None:
        if len(x) < 2 and len(y) < 2:
            raise InputError("panel", "must be given where there is a single reading [mm]", None, "enter extent_mm")
        # a single line of readings still stands for a strip as wide as its spacing
        pad_x = 0.0 if len(x) > 1 else float(np.diff(y).max()) / 2
        pad_y = 0.0 if len(y) > 1 else float(np.diff(x).max()) / 2
        return (float(x[0] - pad_x), float(x[-1] + pad_x), float(y[0] - pad_y), float(y[-1] + pad_y))
    box = number("panel", extent_mm, "mm")
    if box.shape != (4,) or box[0] >= box[1] or box[2] >= box[3]:
        raise InputError("panel", "must be x from, x to, y from, y to [mm]", extent_mm, "each 'from' below its 'to'")
    if x[0] < box[0] or x[-1] > box[1] or y[0] < box[2] or y[-1] > box[3]:
        raise InputError("panel", "must contain every reading [mm]", extent_mm, "check the places")
    return tuple(float(v) for v in box)


def _grow(bad, x, y, margin):
    """Grown rectangles round bad readings and round every pair of bad neighbours."""
    boxes = [(x[j], x[j], y[i], y[i]) for i, j in zip(*np.nonzero(bad))]
    for i, j in zip(*np.nonzero(bad)):
        for k, m in ((i, j + 1), (i + 1, j), (i + 1, j + 1), (i + 1, j - 1)):
            if 0 <= k < len(y) and 0 <= m < len(x) and bad[k, m]:
                boxes.append((min(x[j], x[m]), max(x[j], x[m]), y[i], y[k]))
    return np.array(boxes) + np.array([-margin, margin, -margin, margin])


def _clip(boxes, panel):
    x0, x1, y0, y1 = panel
    return np.column_stack([boxes[:, :2].clip(x0, x1), boxes[:, 2:].clip(y0, y1)])


def _skin(plugs_mm, gel_coat_mm):
    plugs = np.atleast_1d(np.asarray(plugs_mm, dtype=object))
    if plugs.size == 0:
        return None
    values = positive("plug thickness", plugs_mm, "mm")
    coat = float(positive("gel coat", gel_coat_mm, "mm", zero=True))
    if values.min() <= coat:
        raise InputError("gel coat",
                         rule_sentence("must be less than every plug, {limit} [mm]",
                                       limit=values.min()), coat, "check the plugs")
    return spread("skin thickness", np.atleast_1d(values) - coat, "mm")


@dataclass(frozen=True)
class _Facts:
    x: np.ndarray
    y: np.ndarray
    dull: np.ndarray
    wet: np.ndarray
    damp: np.ndarray
    unread: np.ndarray
    tapped: np.ndarray
    metered: np.ndarray
    margin: float
    meter: str
    skin: Spread | None


def _suspicions(facts):
    crisp = facts.tapped & ~facts.dull
    counts = ((facts.dull & facts.wet, "warn", "dull and wet: wet or rotten core, or a disbond with water in it"),
              (facts.dull & facts.metered & ~facts.wet, "warn", "dull but not wet: a disbond, or only a frame behind"),
              (crisp & facts.wet, "warn", "crisp but wet: water that has not loosened the bond yet, or a meter over "
               "paint, non-skid or metal"),
              (facts.dull & ~facts.metered, "warn", "dull, no meter reading: read it"))
    for where, severity, words in counts:
        if where.any():
            yield Finding(severity, "suspicion", f"{int(where.sum())} reading(s) {words}; confirm by a plug")
    low = facts.y <= facts.y[0] + (facts.y[-1] - facts.y[0]) / 3
    if len(facts.y) > 2 and facts.wet.any() and facts.wet[low].sum() > 2 / 3 * facts.wet.sum():
        yield Finding("warn", "suspicion", "the wet readings lie low: water stands there, so look for the way in above "
                      "(bolts, drain, splash well) and stop it first")
    if facts.damp.any():
        yield Finding("note", "damp", f"{int(facts.damp.sum())} reading(s) between dry and wet: dry them, read again "
                      "a day later", WOOD_DRY)


def _warnings(facts, bad, removed_share, wet_share):
    edge = np.zeros_like(bad)
    edge[[0, -1], :] = edge[:, [0, -1]] = True
    if (bad & edge).any():
        yield Finding("warn", "edge of the map", "a bad reading lies on the edge of the grid: read further out, the "
                      "bad region may go on")
    beside = _neighbours(bad) & facts.unread
    if beside.any():
        yield Finding("warn", "unread", f"{int(beside.sum())} unread place(s) beside bad ones: treat as bad until read")
    spacing = max([0.0, *np.diff(facts.x), *np.diff(facts.y)])
    if bad.any() and spacing > facts.margin:
        yield Finding("warn", "spacing", Sentence("readings are up to {spacing} apart, more than the margin of {margin}: read "
                                              "between a bad place and its good neighbours",
                                              spacing=Figure(spacing, "small_length", digits=3),
                                              margin=Figure(facts.margin, "small_length", digits=3)), GROWTH_MARGIN)
    if (removed_share > PANEL_WET.value) or wet_share > PANEL_WET.value:
        yield Finding("warn", "panel", f"{removed_share:.0%} of the area comes out and {_share(wet_share)} of the "
                      "readings are wet: replace the whole core panel", PANEL_WET)
    if facts.meter == "pinless":
        yield Finding("note", "meter", "pinless readings are compared with a good spot, they are no percentage",
                      PINLESS_RISE)
    if facts.metered.any():
        yield Finding("note", "meter",
                      "some meters read dry on laminates that ran with water when cut: confirm by plugs")
    if facts.skin and facts.skin.count > 1 and facts.skin.deviation > 0.15 * facts.skin.mean:
        yield Finding("warn", "skin", Sentence("thickness varies from {range}: use the smallest for the strength",
                                           range=Figure(facts.skin.least, "thickness", high=facts.skin.most, digits=2)))


def _neighbours(mask):
    padded, (rows, columns) = np.pad(mask, 1), mask.shape
    return np.any([padded[i:i + rows, j:j + columns] for i in range(3) for j in range(3)], axis=0)


def _share(value):
    return "an unknown share" if np.isnan(value) else f"{value:.0%}"


def _unknown(unread, skin):
    lines = []
    if unread.any():
        lines.append(f"{int(unread.sum())} of {unread.size} grid places neither tapped nor read")
    lines.append("no plug taken: skin thickness and core unseen" if skin is None
                 else f"core seen in {skin.count} plug(s) only, everything else by tap and meter")
    return tuple(lines)


def ready_to_encapsulate(readings_percent, *, day_later_percent=None, limit_percent=float(WOOD_DRY)):
    """Whether plywood is dry enough to be sealed in.

    Parameters
    ----------
    readings_percent : array_like, shape (n,)
        Pin readings [% MC].
    day_later_percent : array_like, shape (n,), optional
        The same places a day later, heat off [% MC].
    limit_percent : float
        Moisture content that must not be reached, 12 [% MC].

    Returns
    -------
    tuple of Finding
        Verdict in words; 'refuse' means not yet [-].

    Raises
    ------
    InputError
        If a reading is negative or the two lists differ in length.

    References
    ----------
    Wood-drying notes: below 12 %, lower preferred; the surface dries first and rebounds when the heat stops.

    Examples
    --------
    >>> [item.severity for item in ready_to_encapsulate([9, 10], day_later_percent=[9, 11])]
    ['note']
    """
    first = np.atleast_1d(positive("moisture reading", readings_percent, "% MC", zero=True))
    if first.size == 0:
        raise InputError("moisture readings", "must hold at least one [% MC]", readings_percent, "read the core")
    limit = float(positive("moisture limit", limit_percent, "% MC"))
    if first.max() >= limit:
        return (Finding("refuse", "moisture", f"{first.max():g} % is not below {limit:g} %: dry on", WOOD_DRY),)
    if day_later_percent is None:
        return (Finding("warn", "moisture", f"all below {limit:g} %; read again a day later with the heat off, the "
                        "surface dries first", WOOD_DRY),)
    later = np.atleast_1d(positive("moisture reading", day_later_percent, "% MC", zero=True))
    if later.shape != first.shape:
        raise InputError("moisture readings a day later", f"must be as many as the first, {first.size} [% MC]",
                         day_later_percent, "read the same places")
    if later.max() >= limit:
        return (Finding("refuse", "moisture", f"rebounded to {later.max():g} %, not below {limit:g} %: dry on",
                        WOOD_DRY),)
    return (Finding("note", "moisture", f"at most {max(first.max(), later.max()):g} % on both days, below {limit:g} %: "
                    "seal the core", WOOD_DRY),)
