"""Live pictures: the still part is drawn once, lines and areas move by the figure, words are set by the browser."""

import html

import numpy as np
from matplotlib.text import Text
from matplotlib.transforms import ScaledTranslation

from lamcalc.workbook import style
from lamcalc.workbook.turns import one_at_a_time

_SIDES = {"left": "start", "center": "middle", "right": "end"}
# share of the letter height by which the first line lies below the given height
_DROPS = {"top": 0.80, "center": 0.35, "baseline": 0.0, "center_baseline": 0.35, "bottom": -0.22}
_LINE = 1.2  # height of a line over that of its letters


class Scene:
    """A figure whose still part is drawn once, and whose moving parts are laid over it at every key press.

    Ticks, labels and legends take most of a drawing's time, and words take more than lines and areas.  The still part
    depends on little: the unit system, which series there are.  That little is the `key`.  While it stays the same only
    the moving artists are drawn, and moving words not even that: they go to the browser as words.

    Parameters
    ----------
    figure : Figure
        Figure made by `style.new_figure` [-].
    set_up : callable
        Gets the parts of `key`; clears and dresses the axes, sets their limits, legends and labels, and returns the
        artists that move, from back to front [-].
    move : callable
        Gets the artists, then whatever `image` is given; puts new data into them [-].

    Notes
    -----
    In a page's picture: make the `Scene` once, and let ``draw(result, system)`` of the picture return
    ``scene.image(key, alt, result, system)``.  The key must hold everything that changes the still part.  The ends of
    an axis need not be in it: see `RunningScale`.  Artists may change their data, colour, text and visibility, but not
    their number: keep spare ones invisible.  They lie over the legend, so give that a corner where they do not go, and
    words lie over everything.

    Examples
    --------
    >>> figure, axes = style.new_figure()
    >>> def set_up(top):
    ...     axes[0, 0].clear()
    ...     axes[0, 0].set(xlim=(0, 1), ylim=(0, top))
    ...     return axes[0, 0].plot([], [])
    >>> scene = Scene(figure, set_up, lambda line, height: line.set_data([0, 1], [0, height]))
    >>> scene.png((5.0,), 3.0) == scene.png((5.0,), 4.0)
    False
    """

    def __init__(self, figure, set_up, move):
        self.figure, self._set_up, self._move = figure, set_up, move
        self._key, self._moving, self._still = None, (), None

    def _arrange(self, key, data):
        """Every artist where `data` wants it; the still part anew if the key has changed."""
        if key != self._key:
            self._key = None  # a set-up that fails leaves nothing half drawn behind
            self._moving = tuple(self._set_up(*key))
            for artist in self._moving:
                artist.set_animated(True)
            self.figure.canvas.draw()
            self._still, self._key = self.figure.canvas.copy_from_bbox(self.figure.bbox), key
        self._move(*self._moving, *data)

    def png(self, key, *data):
        """Bytes of the picture without its moving words.

        Parameters
        ----------
        key : tuple
            Everything that the still part depends on; given to `set_up` [-].
        *data : object
            Given to `move` [-].

        Returns
        -------
        bytes
            PNG file [-].
        """
        self._arrange(key, data)
        self.figure.canvas.restore_region(self._still)
        for artist in self._moving:
            if not isinstance(artist, Text):
                self.figure.draw_artist(artist)
        return style.packed(np.asarray(self.figure.canvas.buffer_rgba()))

    @one_at_a_time
    def image(self, key, alt, *data, live=True):
        """HTML of the picture with its alternative text.

        Parameters
        ----------
        key : tuple
            Everything that the still part depends on; given to `set_up` [-].
        alt : str
            What the picture shows, in a sentence [-].
        *data : object
            Given to `move` [-].
        live : bool
            True for a panel: words laid over the picture; False for a page that is read without running: all of it in
            one picture, which takes longer [-].

        Returns
        -------
        str
            ``<img>`` element, in a panel inside a ``<div>`` with its words [-].
        """
        if live:
            picture = style.element(self.png(key, *data), alt)
            shown = words_over(picture, self.figure, [artist for artist in self._moving if isinstance(artist, Text)])
        else:
            self._arrange(key, data)
            shown = style.element(style.saved(self.figure, "png"), alt)
        style.note(self.figure, alt)
        return shown


def words_over(picture, figure, texts):
    """A picture with words laid over it, which a browser sets much faster than a figure draws them.

    Parameters
    ----------
    picture : str
        ``<img>`` element of the figure [-].
    figure : Figure
        Its figure [-].
    texts : sequence of Text
        Words; those that are empty or invisible are left out [-].

    Returns
    -------
    str
        The picture alone if there are no words, else a ``<div>`` with both [-].

    Examples
    --------
    >>> figure, axes = style.new_figure()
    >>> label = axes[0, 0].text(0.5, 0.5, "3 & 4")
    >>> "3 &amp; 4</text>" in words_over(style.image(figure, "axes"), figure, [label])
    True
    """
    shown = [text for text in texts if text.get_visible() and text.get_text()]
    if not shown:
        return picture
    width, height = figure.bbox.size
    return (f'<div style="position:relative;display:inline-block;max-width:100%;line-height:0">{picture}'
            f'<svg viewBox="0 0 {width:.0f} {height:.0f}" aria-hidden="true" font-family="DejaVu Sans, Verdana, sans-serif" '
            'style="position:absolute;left:0;top:0;width:100%;height:100%">'
            f'{"".join(_set(text, height) for text in shown)}</svg></div>')


def _set(text, height):
    """One text as an SVG element; where the figure would put a white box behind it there is a white rim."""
    (x, y), size = text.get_transform().transform(text.get_position()), text.get_fontsize() * style.DPI / 72
    lines = text.get_text().split("\n")
    upright = text.get_verticalalignment()
    rise = {"bottom": len(lines) - 1, "center": (len(lines) - 1) / 2}.get(upright, 0)
    first = height - y + (_DROPS[upright] - _LINE * rise) * size
    rim = "" if text.get_bbox_patch() is None else ' stroke="#ffffff" stroke-width="4" paint-order="stroke"'
    look = f'font-size="{size:.1f}" text-anchor="{_SIDES[text.get_horizontalalignment()]}" fill="{text.get_color()}"{rim}'
    return "".join(f'<text x="{x:.1f}" y="{first + _LINE * k * size:.1f}" {look}>{html.escape(line)}</text>'
                   for k, line in enumerate(lines))


class RunningScale:
    """An axis whose ends may change at every key press: its grid lines stay, the figures at them are moving words.

    Parameters
    ----------
    texts : sequence of Text
        Where the figures stand, from the low end to the high one, equally far apart; see `along` and `outward` [-].
    steps : sequence of float, optional
        Steps from figure to figure that may be chosen, in rising order; round numbers of any size if not given [any].
    told : callable, optional
        Turns a value into its figure [-].

    Examples
    --------
    >>> figure, axes = style.new_figure()
    >>> scale = RunningScale.along(axes[0, 0])
    >>> scale.reach(0.0, 5.51)
    >>> scale.at([1.5]), [text.get_text() for text in scale.texts]
    (array([0.2]), ['0', '1.5', '3', '4.5', '6', '7.5'])
    """

    def __init__(self, texts, steps=None, told=None):
        self.texts, self._steps = list(texts), steps
        self._told = told or (lambda value: f"{np.round(value, 12) + 0.0:.6g}")
        self._low, self._wide = 0.0, 1.0

    @classmethod
    def along(cls, ax, side="y", parts=5, *, size=9, room=30, steps=None, told=None):
        """Put such a scale on one side of axes; that side runs from 0 to 1 from now on.

        Parameters
        ----------
        ax : Axes
            Axes in house style [-].
        side : {"x", "y"}
            Which axis [-].
        parts : int
            Steps from end to end [-].
        size : float
            Height of the figures [pt].
        room : float
            Room between a y axis and its label, which the figures take [pt].
        steps, told
            As for the class [-].

        Returns
        -------
        RunningScale
            The scale; its `texts` move [-].
        """
        upright, places = side == "y", np.linspace(0.0, 1.0, parts + 1)
        ax.set(**{f"{side}lim": (0.0, 1.0), f"{side}ticks": places, f"{side}ticklabels": [""] * (parts + 1)})
        getattr(ax, f"{side}axis").labelpad = room if upright else size + 4
        gap = ScaledTranslation(*((-5 / 72, 0) if upright else (0, -5 / 72)), ax.figure.dpi_scale_trans)
        look = {"fontsize": size, "transform": ax.transAxes + gap,
                "ha": "right" if upright else "center", "va": "center" if upright else "top"}
        return cls([ax.text(*((0.0, place) if upright else (place, 0.0)), "", **look) for place in places], steps, told)

    @classmethod
    def outward(cls, ax, parts=4, *, angle_deg=22.0, size=8):
        """Put such a scale on polar axes; their radius runs from 0 to 1 from now on.

        Parameters
        ----------
        ax : PolarAxes
            Axes [-].
        parts : int
            Steps from the middle to the rim [-].
        angle_deg : float
            Direction in which the figures stand [deg].
        size : float
            Height of the figures [pt].

        Returns
        -------
        RunningScale
            The scale; its `texts` move [-].
        """
        places = np.linspace(0.0, 1.0, parts + 1)
        ax.set_rlim(0.0, 1.0)
        ax.set_rticks(places[1:], [""] * parts)
        return cls([ax.text(np.radians(angle_deg), place, "", fontsize=size, ha="center", va="center", bbox={"pad": 1})
                    for place in places])

    def run(self, low, step):
        """Let the scale run from a value in steps.

        Parameters
        ----------
        low : float
            Low end [any].
        step : float
            From figure to figure, above 0 [as given].
        """
        parts = len(self.texts) - 1
        self._low, self._wide = float(low), float(parts * step)
        for text, value in zip(self.texts, low + step * np.arange(parts + 1), strict=True):
            text.set_text(self._told(value))

    def reach(self, low, high):
        """Let the scale hold two values: it begins at a whole step and takes the smallest step that will do.

        Parameters
        ----------
        low, high : float
            Smallest and largest value to be shown [any].
        """
        parts, wide = len(self.texts) - 1, (high - low) or abs(high) or 1.0
        power = 10.0 ** np.floor(np.log10(wide / parts))
        steps = np.array(self._steps or power * np.array([1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 15, 20]))
        starts = steps * np.floor(low / steps + 1e-9)
        fits = starts + parts * steps >= high - 1e-9 * wide
        chosen = int(np.argmax(fits)) if fits.any() else len(steps) - 1
        self.run(starts[chosen], steps[chosen])

    def at(self, values):
        """Where values lie on the scale.

        Parameters
        ----------
        values : array_like, shape (...)
            Values [as given to `reach`].

        Returns
        -------
        ndarray, shape (...)
            From 0 at the low end to 1 at the high end [-].
        """
        return (np.asarray(values, dtype=float) - self._low) / self._wide
