"""Pictures of ply thickness: the stack ply by ply, and thickness over glass content."""

import numpy as np

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.scene import RunningScale, Scene

GROUPS = {"csm": ("mat", 3), "ud": ("stitched", 2), "woven": ("woven roving", 1), "cloth": ("cloth", 5)}


def label(words, kind, system):
    """Axis label with its unit.

    Parameters
    ----------
    words : str
        What is drawn [-].
    kind : str
        Kind of quantity, as in `lamcalc.units` [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Label [-].

    Examples
    --------
    >>> label("thickness", "thickness", "us")
    'thickness [in]'
    """
    return f"{words} [{units.unit_label(kind, system)}]"


def stack(ax, sublayers, system):
    """Draw a schedule as it builds up, one bar a component, mould side left.

    Parameters
    ----------
    ax : Axes
        Where to draw; cleared first [-].
    sublayers : Sublayers
        Fabric sub-layers of a schedule [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    Axes
        The same axes [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> skin = job.schedule(job.load_demo(), "transom_inner_skin")
    >>> stack(style.new_figure()[1][0, 0], skin.sublayers, "metric").get_xlabel()
    'running total of thickness [mm]'
    """
    ax.clear()
    style.dress(ax)
    t = units.to_system(sublayers.thickness_mm, "thickness", system)
    left = np.cumsum(t) - t
    seen = set()
    for kind, row, start, width in zip(sublayers.kind, sublayers.row, left, t):
        name, index = GROUPS.get(str(kind), (str(kind), 4))
        ax.barh(row + 1, width, left=start, height=0.62, color=style.colour(index), hatch=style.HATCHES[index],
                edgecolor=style.COLOURS["ink"], linewidth=0.7, label=None if name in seen else name)
        seen.add(name)
    ax.set_yticks(np.unique(sublayers.row) + 1)
    ax.set_xlabel(label("running total of thickness", "thickness", system))
    ax.set_ylabel("layer, 1 is laid first [-]")
    ax.invert_yaxis()
    ax.grid(False, axis="y")
    ax.legend(fontsize=9, frameon=False, loc="upper right")
    return ax


class ContentPicture:
    """The reused picture of cured thickness over glass content, with the usual range and the present point.

    Examples
    --------
    >>> ContentPicture().axes.get_ylabel()
    'cured thickness [mm]'
    """

    def __init__(self):
        figure, axes = style.new_figure(6.8, 3.5)
        figure.subplots_adjust(top=0.84, bottom=0.16)
        self.axes, self._thickness = axes[0, 0], None
        self._scene = Scene(figure, self._set_up, self._move)
        self._set_up("metric")

    def _set_up(self, system):
        """The axes anew; what moves: the usual range or the line of a typical figure, curve, point, thickness scale."""
        ax, colours = self.axes, style.COLOURS
        ax.clear()
        style.dress(ax)
        usual = ax.axvspan(0, 1, color=colours["sky"], alpha=0.45, zorder=0, label="usual for this process")
        typical = ax.axvline(0, color=colours["sea"], linestyle="--", label="typical figure, where no range is known")
        line, = ax.plot([], [], color=colours["ink"], label="thickness rule")
        dot, = ax.plot([], [], "o", markersize=9, color=colours["brick"], label="your choice")
        ax.set(xlim=(17, 88), xlabel="glass content by mass [%]", ylabel=label("cured thickness", "thickness", system))
        self._thickness = RunningScale.along(ax)
        ax.legend(handles=[line, dot, usual, typical], fontsize=8, frameon=False, ncols=2, loc="lower center",
                  bbox_to_anchor=(0.5, 0.98))
        return [usual, typical, line, dot, *(ax.spines[side] for side in ("left", "bottom")), *self._thickness.texts]

    def _move(self, usual, typical, line, dot, *others):
        found, system = others[-2:]
        here = found.here[0], units.to_system(found.here[1], "thickness", system)
        curve = units.to_system(found.sheet.thickness_mm, "thickness", system)
        self._thickness.reach(0.0, max(np.max(curve), here[1]))
        low, high = (100 * end for end in found.usual)
        usual.set_visible(low < high)
        typical.set_visible(low == high)
        usual.set_x(low)
        usual.set_width(high - low)
        typical.set_xdata([low, low])
        line.set_data(100 * found.sheet.weight_fraction, self._thickness.at(curve))
        dot.set_data([100 * here[0]], [self._thickness.at(here[1])])

    def draw(self, found, system):
        """Picture of a layup as HTML.

        Parameters
        ----------
        found : Layup
            Result of the panel: layers, their sheet over glass content, usual range [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        return self._scene.image((system,), (
            f"Cured thickness falls as glass content rises; your choice is {units.show(found.here[0], 'fraction', system)} "
            f"glass and {units.show(found.here[1], 'thickness', system)}."), found, system)
