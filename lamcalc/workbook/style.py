"""House style of pictures: colours that survive colour blindness and a black-and-white printer.

Lightness rises from `ink` to `sky`, so that lines stay apart in grey; areas also
carry a hatch.  Figures are made without pyplot, once, and redrawn.
"""

import base64
import html
import io
import re
import struct
import zlib
from contextlib import contextmanager
from types import MappingProxyType

import numpy as np
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from lamcalc.workbook.turns import one_at_a_time

COLOURS = MappingProxyType({
    "ink": "#1b2a41", "brick": "#a8432a", "sea": "#3d7f86", "ochre": "#d79a2b", "stone": "#9aa0a6", "sky": "#a9cbdd",
    "paper": "#ffffff", "alarm": "#8f1d14",
})
CYCLE = ("ink", "brick", "sea", "ochre", "stone", "sky")
LINES = ("-", "--", "-.", ":", (0, (5, 1, 1, 1, 1, 1)), (0, (1, 1)))
MARKERS = ("o", "s", "^", "D", "v", "P")
HATCHES = ("", "//", "..", "xx", "\\\\", "++")
WHITE = MappingProxyType({"facecolor": "#ffffff", "edgecolor": "none", "pad": 1.0})  # behind a figure that a line or bar crosses
DPI = 84
_TAKERS = []  # who wants the figures that are shown, see `collected`
_NUMBER = re.compile(r"[-+]?[0-9.]*")
_QUANTITY = re.compile(r"[-+]?[0-9.]+ \S{1,12}(?: \S{1,8})?")


def colour(index):
    """House colour of the n-th series.

    Parameters
    ----------
    index : int
        Number of the series, from 0; it wraps round [-].

    Returns
    -------
    str
        Colour as a hexadecimal triplet [-].

    Examples
    --------
    >>> colour(0) == colour(6)
    True
    """
    return COLOURS[CYCLE[index % len(CYCLE)]]


def new_figure(width_in=6.6, height_in=3.4, columns=1, rows=1):
    """A figure with a canvas of its own and its axes in house style.

    Parameters
    ----------
    width_in, height_in : float
        Size on the screen [in].
    columns, rows : int
        Grid of axes [-].

    Returns
    -------
    tuple of (Figure, ndarray of Axes)
        Figure and its axes, shape (rows, columns) [-].

    Examples
    --------
    >>> new_figure()[1].shape
    (1, 1)
    """
    figure = Figure(figsize=(width_in, height_in), dpi=DPI)
    FigureCanvasAgg(figure)
    axes = figure.subplots(rows, columns, squeeze=False)
    for ax in axes.flat:
        dress(ax)
    figure.subplots_adjust(left=0.13, right=0.97, bottom=0.17, top=0.9, wspace=0.34, hspace=0.45)
    return figure, axes


def new_polar(columns=1, width_in=6.8, height_in=3.9):
    """A figure with polar axes: 0 deg to the right, angles counted from x towards y.

    Parameters
    ----------
    columns : int
        Number of axes side by side [-].
    width_in, height_in : float
        Size on the screen [in].

    Returns
    -------
    tuple of (Figure, ndarray of Axes)
        Figure and its axes, shape (columns,) [-].

    Examples
    --------
    >>> new_polar(2)[1].shape
    (2,)
    """
    figure = Figure(figsize=(width_in, height_in), dpi=DPI)
    FigureCanvasAgg(figure)
    axes = figure.subplots(1, columns, squeeze=False, subplot_kw={"projection": "polar"})[0]
    for ax in axes:
        ax.grid(True, color="#d7dade", linewidth=0.6)
        ax.set_thetagrids(range(0, 360, 45))
        ax.tick_params(labelsize=8)
    figure.subplots_adjust(left=0.06, right=0.94, bottom=0.24, top=0.82, wspace=0.32)
    return figure, axes


def dress(ax):
    """Put the house style on axes.

    Parameters
    ----------
    ax : Axes
        Axes to dress [-].

    Returns
    -------
    Axes
        The same axes [-].

    Examples
    --------
    >>> dress(new_figure()[1][0, 0]).get_facecolor()
    (1.0, 1.0, 1.0, 1.0)
    """
    ax.grid(True, color="#d7dade", linewidth=0.6)
    ax.set_axisbelow(True)
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    ax.tick_params(labelsize=9)
    return ax


@one_at_a_time
def png(figure):
    """Bytes of a figure as PNG, drawn once and lightly packed because it is redrawn at every key press.

    Parameters
    ----------
    figure : Figure
        Figure to draw, at its own resolution [-].

    Returns
    -------
    bytes
        PNG file [-].

    Examples
    --------
    >>> png(new_figure()[0])[:4]
    b'\\x89PNG'
    """
    figure.canvas.draw()
    return packed(np.asarray(figure.canvas.buffer_rgba()))


def packed(pixels):
    """PNG file of opaque pixels: RGB, no filter, lightest packing (a third of the time of the usual writer).

    Parameters
    ----------
    pixels : ndarray, shape (height, width, 3 or 4)
        Red, green, blue of 0 to 255; anything more is left out [-].

    Returns
    -------
    bytes
        PNG file [-].

    Examples
    --------
    >>> packed(np.zeros((2, 2, 4), dtype=np.uint8))[:4]
    b'\\x89PNG'
    """
    height, width = pixels.shape[:2]
    rows = np.zeros((height, 1 + 3 * width), dtype=np.uint8)  # each row begins with its filter type, 0
    rows[:, 1:] = pixels[..., :3].reshape(height, -1)
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    chunks = ((b"IHDR", head), (b"IDAT", zlib.compress(rows, 1)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks)


@contextmanager
def collected(take):
    """Hand every figure that is shown inside the block to a function, to keep it as a file.

    Parameters
    ----------
    take : callable
        Called with the figure and its alternative text, after it was drawn [-].

    Examples
    --------
    >>> shown = []
    >>> with collected(lambda figure, alt: shown.append(alt)):
    ...     picture = image(new_figure()[0], "empty axes")
    >>> shown
    ['empty axes']
    """
    _TAKERS.append(take)
    try:
        yield
    finally:
        _TAKERS.remove(take)


def note(figure, alt):
    """Tell whoever collects figures that one was shown.

    Parameters
    ----------
    figure : Figure
        What was shown [-].
    alt : str
        Its alternative text [-].
    """
    for take in _TAKERS:
        take(figure, alt)


@one_at_a_time
def saved(figure, kind):
    """A figure as a file, with the parts that a `Scene` moves.

    Parameters
    ----------
    figure : Figure
        Figure to draw [-].
    kind : {"png", "svg"}
        Format; the letters of an SVG are outlines, so that it looks the same everywhere [-].

    Returns
    -------
    bytes
        Content of the file [-].

    Notes
    -----
    `png` leaves out what a `Scene` draws over its still part; saving draws all of it.

    Examples
    --------
    >>> saved(new_figure()[0], "png")[:4], b"<svg" in saved(new_figure()[0], "svg")
    (b'\\x89PNG', True)
    """
    file = io.BytesIO()
    figure.savefig(file, format=kind, dpi=DPI, metadata={"Date": None} if kind == "svg" else None)
    return file.getvalue()


def image(figure, alt):
    """HTML image of a figure with its alternative text.

    Parameters
    ----------
    figure : Figure
        Figure to draw [-].
    alt : str
        What the picture shows, in a sentence [-].

    Returns
    -------
    str
        ``<img>`` element with the picture inside [-].

    Raises
    ------
    ValueError
        If the alternative text is empty.

    Examples
    --------
    >>> image(new_figure()[0], "empty axes")[:28]
    '<img alt="empty axes" width='
    """
    picture = element(png(figure), alt)
    note(figure, alt)
    return picture


def element(picture, alt):
    """A picture with its alternative text as HTML.

    Parameters
    ----------
    picture : bytes
        PNG file [-].
    alt : str
        What it shows [-].

    Returns
    -------
    str
        ``<img>`` element [-].

    Raises
    ------
    ValueError
        If the alternative text is empty.
    """
    if not alt.strip():
        raise ValueError("a picture needs an alternative text; received ''. Next: say in a sentence what it shows.")
    data = base64.b64encode(picture).decode("ascii")
    width, height = struct.unpack(">II", picture[16:24])
    # room is kept and the picture unpacked before the page is painted, so that nothing jumps or blinks at a key press
    return (f'<img alt="{html.escape(alt, quote=True)}" width="{width}" height="{height}" decoding="sync" '
            f'style="max-width:100%;height:auto" src="data:image/png;base64,{data}">')


def table_html(frame, digits=3):
    """A table as HTML in house style.

    Parameters
    ----------
    frame : DataFrame
        Table with units in its column names [-].
    digits : int
        Significant digits of floats [-].

    Returns
    -------
    str
        ``<table>`` element; text is escaped [-].

    Examples
    --------
    >>> import pandas as pd
    >>> "<table" in table_html(pd.DataFrame({"thickness [mm]": [1.05]}))
    True
    """
    texts = [[cell_text(value, digits) for value in row] for row in frame.itertuples(index=False)]
    sides = ["right" if all(_NUMBER.fullmatch(row[k]) for row in texts) else "left" for k in range(len(frame.columns))]
    cell = "text-align:{side};vertical-align:top;padding:2px 8px;border-bottom:{line}"
    head = "".join(f'<th style="{cell.format(side=side, line="2px solid #1b2a41")}">{html.escape(str(name))}</th>'
                   for side, name in zip(sides, frame.columns))
    rows = "".join("<tr>" + "".join(f'<td style="{cell.format(side=side, line="1px solid #d7dade")}{_together(text)}">{html.escape(text)}</td>'
                                    for side, text in zip(sides, row)) + "</tr>" for row in texts)
    return f'<table style="border-collapse:collapse;font-size:13px"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'


def _together(text):
    """A number is not parted from its unit by the end of a line, nor a short name from its number."""
    return ";white-space:nowrap" if " " in text and (len(text) <= 11 or _QUANTITY.fullmatch(text)) else ""


def cell_text(value, digits=3):
    """Text of one table cell.

    Parameters
    ----------
    value : object
        Number or text [as the column says].
    digits : int
        Significant digits of floats [-].

    Returns
    -------
    str
        Text; a missing number is a dash [-].

    Examples
    --------
    >>> cell_text(1234.567), cell_text(float("nan")), cell_text(0.0512)
    ('1235', '-', '0.0512')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, str)):
        return str(value)
    if value is None or value != value:
        return "-"
    if abs(value) >= 10 ** (digits - 1):
        return f"{value:.0f}"
    return f"{value:.{digits}g}"
