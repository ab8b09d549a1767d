"""Pictures of the transom comparison: results in, Axes out."""

import numpy as np
from matplotlib.patches import Circle, Polygon, Rectangle
from matplotlib.ticker import MaxNLocator

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.scene import RunningScale, Scene


def draw_outline(ax, transom, system="metric"):
    """The transom seen from astern, with cut-out, engine bolts and backing plates, to scale.

    Parameters
    ----------
    ax : Axes
        Where to draw [-].
    transom : Transom
        Shape and bolts [-].
    system : {"metric", "us"}
        Units of the axes [-].

    Returns
    -------
    Axes
        The same axes [-].
    """
    shape, bolts = transom.outline, transom.bolts
    scale = float(units.to_system(1.0, "small_length", system))
    half, chine, cut = shape.top_width / 2, shape.chine_width / 2, shape.cut_out_width / 2
    top, floor = shape.height, shape.height - shape.cut_out_depth
    corners = [(-half, top), (-cut, top), (-cut, floor), (cut, floor), (cut, top), (half, top), (chine, 0), (0, -shape.vee),
               (-chine, 0)]
    ax.add_patch(Polygon(np.array(corners) * scale, facecolor=style.COLOURS["sky"], edgecolor=style.COLOURS["ink"], lw=1.6))
    upper = floor - transom.bolts_below_edge
    for y, apart in ((upper, bolts.upper_spacing), (upper - bolts.row_spacing, bolts.between_lower)):
        for x in (-apart / 2, apart / 2):
            ax.add_patch(Rectangle(((x - bolts.plate_width / 2) * scale, (y - bolts.plate_height / 2) * scale),
                                   bolts.plate_width * scale, bolts.plate_height * scale, facecolor=style.COLOURS["stone"],
                                   edgecolor=style.COLOURS["ink"], hatch="//", lw=0.8))
            ax.add_patch(Circle((x * scale, y * scale), bolts.bolt_diameter / 2 * scale, color=style.COLOURS["ink"]))
    label = units.unit_label("small_length", system)
    ax.set(xlim=(-half * 1.06 * scale, half * 1.06 * scale), ylim=(-shape.vee * 1.4 * scale - 10 * scale, top * 1.12 * scale),
           xlabel=f"across, from the centreline [{label}]", ylabel=f"above the chines [{label}]")
    ax.xaxis.set_major_locator(MaxNLocator(5))  # labels of a wide boat would run into each other
    ax.set_aspect("equal")
    ax.set_title("seen from astern: bolts and backing plates", fontsize=10)
    return ax


def _stiffness(comparison):
    """Stiffness of every build over the original's, as it is held against it, and the core's part of it [-]."""
    ratio = np.array([float(comparison.stiffness_ratio(r)) for r in comparison.results])
    return ratio, np.array([r.core_share for r in comparison.results]) * ratio


class TransomPicture:
    """The transom, and the bending stiffness of its builds split into skins and core, in one reused figure.

    Parameters
    ----------
    only : str, optional
        What stands under the bar of the one build shown; builds are counted as options if not given [-].

    Examples
    --------
    >>> TransomPicture().figure.get_size_inches().tolist()
    [9.2, 3.6]
    """

    def __init__(self, only=None):
        self._only = only
        self.figure, axes = style.new_figure(9.2, 3.6, columns=2)
        self.figure.subplots_adjust(left=0.08, right=0.98, bottom=0.16, top=0.9, wspace=0.24)
        self.axes, self._height = axes[0], None
        self._scene, self._part = Scene(self.figure, self._set_up, self._move), None

    def _set_up(self, *key):
        """Both axes anew; what moves, from back to front: bars, line of the original, numbers on the bars, scale."""
        count, system = key[-2:]
        for ax in self.axes:
            ax.clear()
            style.dress(ax)
        outline, bars = self.axes
        draw_outline(outline, self._part, system)
        place, ink = np.arange(count), style.COLOURS["ink"]
        skins = bars.bar(place, 0.0, 0.6, color=style.COLOURS["sea"], edgecolor=ink, hatch="//", label="skins and bond lines")
        cores = bars.bar(place, 0.0, 0.6, color=style.COLOURS["ochre"], edgecolor=ink, hatch="..", label="core")
        original = bars.axhline(0.0, color=style.COLOURS["brick"], ls="--", lw=1.4)
        numbers = [bars.text(x, 0.0, "", ha="center", va="bottom", fontsize=9, bbox=style.WHITE) for x in place]
        names = [f"option {k}" for k in range(1, count)] if self._only is None else [self._only]
        bars.set_xticks(place, ["original", *names], fontsize=9)
        self._height = RunningScale.along(bars)
        bars.set_ylabel("stiffness over the original [-]")
        bars.set_title("bending stiffness, the smaller of both directions", fontsize=10)
        bars.legend(fontsize=8, loc="upper right", frameon=False)
        return [*skins, *cores, original, bars.spines["bottom"], *numbers, *self._height.texts]

    def _move(self, *artists):
        """Heights of the bars, skins first, then the cores on top of them."""
        *artists, comparison = artists
        ratio, core = _stiffness(comparison)
        count = len(ratio)
        self._height.reach(0.0, 1.25 * ratio.max())  # room for the legend
        high, filled = self._height.at(ratio), self._height.at(core)
        for k in range(count):
            artists[k].set_height(high[k] - filled[k])
            artists[count + k].set_y(high[k] - filled[k])
            artists[count + k].set_height(filled[k])
            number = artists[2 * count + 2 + k]
            number.set_y(high[k] + 0.01)
            number.set_text(f"{ratio[k]:.2f}")
        artists[2 * count].set_ydata([high[0], high[0]])

    def draw(self, comparison, system, *, live=True):
        """HTML picture of a comparison.

        Parameters
        ----------
        comparison : TransomComparison
            The builds [-].
        system : {"metric", "us"}
            Unit system [-].
        live : bool
            False for a page that is read without running, see `Scene.image` [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        self._part = part = comparison.transom
        words = "; ".join(f"{r.name} {comparison.stiffness_ratio(r):.2f}" for r in comparison.results)
        key = part.outline, part.bolts, part.bolts_below_edge, len(comparison.results), system
        notch = "with cut-out, " if part.outline.cut_out_width > 0 else "with "
        return self._scene.image(key, f"Left: transom from astern {notch}four bolts and backing plates. Right: bars of "
                                      f"bending stiffness over the original build: {words}.", comparison, live=live)
