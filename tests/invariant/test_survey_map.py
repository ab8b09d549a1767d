"""Survey maps: what must hold for any readings, checked by counting small squares instead of joining rectangles."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.shop.survey import map_survey

pytestmark = pytest.mark.invariant
STEP = 50  # mm; places, margins and panel edges are multiples, so that squares of this side fill every cut region


@st.composite
def readings(draw):
    """Places, letters, moisture, panel and margin, all on a grid of STEP."""
    columns, rows = draw(st.integers(1, 5)), draw(st.integers(1, 4))
    x = np.cumsum(draw(st.lists(st.integers(1, 6), min_size=columns, max_size=columns))) * STEP
    y = np.cumsum(draw(st.lists(st.integers(1, 6), min_size=rows, max_size=rows))) * STEP
    tap = ["".join(draw(st.sampled_from("CCCD-")) for _ in range(columns)) for _ in range(rows)]
    moisture = np.array([[draw(st.sampled_from([np.nan, 8.0, 11.9, 12.0, 15.0, 21.9, 22.0, 35.0])) for _ in range(columns)]
                         for _ in range(rows)])
    reach = [draw(st.integers(0, 4)) * STEP for _ in range(4)]
    panel = (x[0] - reach[0] - STEP, x[-1] + reach[1] + STEP, y[0] - reach[2] - STEP, y[-1] + reach[3] + STEP)
    return {"x_mm": x, "y_mm": y, "tap": tap, "moisture": moisture, "extent_mm": panel,
            "margin_mm": draw(st.integers(1, 5)) * STEP}


def cut_squares(case):
    """Squares inside the cut line, found square by square: none of the package's geometry is used."""
    x, y, margin, panel = case["x_mm"], case["y_mm"], case["margin_mm"], case["extent_mm"]
    bad = {(i, j) for i in range(len(y)) for j in range(len(x)) if case["tap"][i][j] == "D" or case["moisture"][i, j] >= 22}
    pairs = {((i, j), (k, m)) for i, j in bad for k, m in bad if max(abs(i - k), abs(j - m)) <= 1}
    inside = np.zeros((int(panel[3] - panel[2]) // STEP, int(panel[1] - panel[0]) // STEP), dtype=bool)
    for row in range(inside.shape[0]):
        for column in range(inside.shape[1]):
            px, py = panel[0] + (column + 0.5) * STEP, panel[2] + (row + 0.5) * STEP
            inside[row, column] = any(
                min(x[j], x[m]) - margin < px < max(x[j], x[m]) + margin and min(y[i], y[k]) - margin < py < max(y[i], y[k]) + margin
                for (i, j), (k, m) in pairs)
    return inside


def filled(inside):
    """The same with islands: sound squares from which no way leads out over sides come out with the rest."""
    out = np.pad(~inside, 1, constant_values=True)
    reached = np.zeros_like(out)
    reached[0, 0] = True
    for _ in range(out.size):
        grown = reached.copy()
        for axis in (0, 1):
            for way in (1, -1):
                grown |= np.roll(reached, way, axis=axis)
        grown &= out
        if (grown == reached).all():
            break
        reached = grown
    return ~reached[1:-1, 1:-1]


@settings(max_examples=40, deadline=None)
@given(readings())
def test_removed_area_is_that_of_the_squares(case):
    found = map_survey(**case)
    squares = cut_squares(case)
    least, most = squares.sum() * STEP**2 / 1e6, filled(squares).sum() * STEP**2 / 1e6
    # an island that touches the outside by a corner only may come out or not: between both counts
    assert least - 1e-9 <= found.removed_area_m2 <= most + 1e-9
    assert 0 <= found.removed_share <= 1 and (found.removed_area_m2 > 0) == bool(squares.any())
    assert found.panel_area_m2 == pytest.approx(squares.size * STEP**2 / 1e6)


@settings(max_examples=30, deadline=None)
@given(readings(), st.integers(-20, 20), st.integers(-20, 20))
def test_a_moved_origin_moves_the_cut_line_only(case, right, up):
    shift = np.array([right * STEP, up * STEP], dtype=float)
    panel = np.array(case["extent_mm"]) + np.repeat(shift, 2)
    moved = map_survey(**{**case, "x_mm": case["x_mm"] + shift[0], "y_mm": case["y_mm"] + shift[1], "extent_mm": tuple(panel)})
    found = map_survey(**case)
    assert moved.removed_area_m2 == pytest.approx(found.removed_area_m2)
    for one, other in zip(moved.regions, found.regions, strict=True):
        assert np.allclose(one.corners_mm, np.array(other.corners_mm) + shift)


@settings(max_examples=40, deadline=None)
@given(readings())
def test_seen_from_the_other_side_the_same_area_comes_out(case):
    found = map_survey(**case)
    flipped = map_survey(**{**case, "x_mm": -case["x_mm"][::-1], "tap": [row[::-1] for row in case["tap"]],
                            "moisture": case["moisture"][:, ::-1],
                            "extent_mm": (-case["extent_mm"][1], -case["extent_mm"][0], *case["extent_mm"][2:])})
    assert flipped.removed_area_m2 == pytest.approx(found.removed_area_m2)
    assert np.array_equal(flipped.bad, found.bad[:, ::-1]) and np.array_equal(flipped.damp, found.damp[:, ::-1])


@settings(max_examples=30, deadline=None)
@given(readings(), st.data())
def test_one_more_bad_reading_never_saves_a_part_of_the_panel(case, data):
    found = map_survey(**case)
    row, column = data.draw(st.integers(0, len(case["y_mm"]) - 1)), data.draw(st.integers(0, len(case["x_mm"]) - 1))
    worse = case["moisture"].copy()
    worse[row, column] = 40.0
    more = map_survey(**{**case, "moisture": worse})
    assert more.removed_area_m2 >= found.removed_area_m2 - 1e-12 and more.bad[row, column]
    wider = map_survey(**{**case, "margin_mm": case["margin_mm"] + STEP})
    assert wider.removed_area_m2 >= found.removed_area_m2 - 1e-12
    assert not (found.bad & found.damp).any() and not (found.unread & (found.bad | found.damp)).any()
