"""Pictures of the transom comparison: results in, Axes out."""

import numpy as np
from matplotlib.patches import Circle, Polygon, Rectangle

from lamcalc import units
from lamcalc.workbook import style


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
    for y in (upper, upper - bolts.row_spacing):
        for x in (-bolts.upper_spacing / 2, bolts.upper_spacing / 2):
            ax.add_patch(Rectangle(((x - bolts.plate_width / 2) * scale, (y - bolts.plate_height / 2) * scale),
                                   bolts.plate_width * scale, bolts.plate_height * scale, facecolor=style.COLOURS["stone"],
                                   edgecolor=style.COLOURS["ink"], hatch="//", lw=0.8))
            ax.add_patch(Circle((x * scale, y * scale), bolts.bolt_diameter / 2 * scale, color=style.COLOURS["ink"]))
    label = units.unit_label("small_length", system)
    ax.set(xlim=(-half * 1.06 * scale, half * 1.06 * scale), ylim=(-shape.vee * 1.4 * scale - 10 * scale, top * 1.12 * scale),
           xlabel=f"across, from the centreline [{label}]", ylabel=f"above the chines [{label}]")
    ax.set_aspect("equal")
    ax.set_title("seen from astern: bolts and backing plates", fontsize=10)
    return ax


def draw_stiffness(ax, comparison, system="metric"):
    """Bending stiffness of every build, split into skins and core.

    Parameters
    ----------
    ax : Axes
        Where to draw [-].
    comparison : TransomComparison
        The builds [-].
    system : {"metric", "us"}
        Units of the axes [-].

    Returns
    -------
    Axes
        The same axes [-].
    """
    results = comparison.results
    ei, core = _stiffness(comparison, system)
    place = np.arange(len(results))
    ax.bar(place, ei - core, 0.6, color=style.COLOURS["sea"], edgecolor=style.COLOURS["ink"], hatch="//", label="skins and bond lines")
    ax.bar(place, core, 0.6, bottom=ei - core, color=style.COLOURS["ochre"], edgecolor=style.COLOURS["ink"], hatch="..", label="core")
    ax.axhline(ei[0], color=style.COLOURS["brick"], ls="--", lw=1.4)
    for x, value, result in zip(place, ei, results):
        ax.text(x, value, f"{comparison.stiffness_ratio(result):.2f}", ha="center", va="bottom", fontsize=9)
    ax.set_xticks(place, ["original"] + [f"option {k}" for k in range(1, len(results))], fontsize=9)
    ax.set(ylabel=f"stiffness upwards [{units.unit_label('flexural_stiffness_per_width', system)}]", ylim=(0, _top(ei)))
    ax.set_title("bending stiffness; number: over original", fontsize=10)
    ax.legend(fontsize=8, loc="upper right", frameon=False)
    return ax


def _stiffness(comparison, system):
    """Stiffness upwards of every build, and the core's part of it [unit shown]."""
    ei = np.array([float(units.to_system(r.ei_up, "flexural_stiffness_per_width", system)) for r in comparison.results])
    return ei, np.array([r.core_share for r in comparison.results]) * ei


def _top(ei):
    return style.stepped(1.3 * ei.max())  # room for the legend


class TransomPicture:
    """The transom and the stiffness of its builds in one reused figure.

    Examples
    --------
    >>> TransomPicture().figure.get_size_inches().tolist()
    [9.2, 3.6]
    """

    def __init__(self):
        self.figure, axes = style.new_figure(9.2, 3.6, columns=2)
        self.figure.subplots_adjust(left=0.08, right=0.98, bottom=0.16, top=0.9, wspace=0.24)
        self.axes = axes[0]
        self._scene, self._now = style.Scene(self.figure, self._set_up, self._move), None

    def _set_up(self, *key):
        """Both axes anew; what moves, from back to front: bars and their numbers, the line of the original."""
        comparison, system = self._now, key[-1]
        for ax in self.axes:
            ax.clear()
            style.dress(ax)
        outline, bars = self.axes
        draw_outline(outline, comparison.transom, system)
        draw_stiffness(bars, comparison, system)
        return [*bars.patches, bars.lines[0], bars.spines["bottom"], *bars.texts]

    def _move(self, *artists):
        """Heights of the bars, skins first, then the cores on top of them."""
        *artists, comparison, system = artists
        ei, core = _stiffness(comparison, system)
        count = len(ei)
        for k, (skins, cores) in enumerate(zip(artists[:count], artists[count:2 * count], strict=True)):
            skins.set_height(ei[k] - core[k])
            cores.set_y(ei[k] - core[k])
            cores.set_height(core[k])
        artists[2 * count].set_ydata([ei[0], ei[0]])
        for text, value, result in zip(artists[-count:], ei, comparison.results, strict=True):
            text.set_y(value)
            text.set_text(f"{comparison.stiffness_ratio(result):.2f}")

    def draw(self, comparison, system):
        """HTML picture of a comparison.

        Parameters
        ----------
        comparison : TransomComparison
            The builds [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            ``<img>`` element with alternative text [-].
        """
        self._now, part = comparison, comparison.transom
        words = "; ".join(f"{r.name} {comparison.stiffness_ratio(r):.2f}" for r in comparison.results)
        key = part.outline, part.bolts, part.bolts_below_edge, len(comparison.results), _top(_stiffness(comparison, system)[0]), system
        return self._scene.image(key, "Left: transom from astern with cut-out, four bolts and backing plates. Right: bars of "
                                      f"bending stiffness over the original build: {words}.", comparison, system)
