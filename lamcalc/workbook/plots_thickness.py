"""Pictures of ply thickness: the stack ply by ply, and thickness over glass content."""

import numpy as np

from lamcalc import units
from lamcalc.workbook import style

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


def over_glass_content(ax, sheet, here, usual, system):
    """Draw cured thickness over glass content, with the usual range and the present point.

    Parameters
    ----------
    ax : Axes
        Where to draw; cleared first [-].
    sheet : FabricSheet
        Results over glass content [-].
    here : tuple of (float, float)
        Present glass fraction [-] and thickness [mm].
    usual : tuple of (float, float)
        Usual range of the glass fraction [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    Axes
        The same axes [-].

    Examples
    --------
    >>> from lamcalc.studies.compare import fabric_sheet
    >>> found = fabric_sheet(450.0, np.linspace(0.2, 0.4, 5))
    >>> over_glass_content(style.new_figure()[1][0, 0], found, (0.3, 1.05), (0.25, 0.35), "us").get_ylabel()
    'cured thickness [in]'
    """
    tallest = units.to_system(max(np.max(sheet.thickness_mm), here[1]), "thickness", system)
    move_glass_content(*glass_content_axes(ax, usual, 1.04 * tallest, system), sheet, here, system)
    return ax


def thickness_end(sheet, here, system):
    """End of the thickness axis that holds a fabric and the present point.

    Parameters
    ----------
    sheet : FabricSheet
        Results over glass content [-].
    here : tuple of (float, float)
        Present glass fraction [-] and thickness [mm].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    float
        A round number [unit shown].

    Examples
    --------
    >>> from lamcalc.studies.compare import fabric_sheet
    >>> thickness_end(fabric_sheet(450.0, np.linspace(0.2, 0.4, 5)), (0.3, 1.05), "metric")
    2.0
    """
    return style.axis_end(units.to_system(max(np.max(sheet.thickness_mm), here[1]), "thickness", system) * 1.04)


def glass_content_axes(ax, usual, end, system):
    """Draw what stays while a fabric is tried out.

    Parameters
    ----------
    ax : Axes
        Where to draw; cleared first [-].
    usual : tuple of (float, float)
        Usual range of the glass fraction [-].
    end : float
        End of the thickness axis [unit shown].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    tuple of (Line2D, Line2D)
        The line and the point that move [-].

    Examples
    --------
    >>> len(glass_content_axes(style.new_figure()[1][0, 0], (0.25, 0.35), 2.0, "metric"))
    2
    """
    ax.clear()
    style.dress(ax)
    line, = ax.plot([], [], color=style.COLOURS["ink"], label="thickness rule")
    if usual[0] < usual[1]:
        ax.axvspan(100 * usual[0], 100 * usual[1], color=style.COLOURS["sky"], alpha=0.45, zorder=0,
                   label="usual for this process")
    else:
        ax.axvline(100 * usual[0], color=style.COLOURS["sea"], linestyle="--", label="typical for this process")
    dot, = ax.plot([], [], "o", markersize=9, color=style.COLOURS["brick"], label="your choice")
    ax.set(xlim=(17, 88), ylim=(0, end), xlabel="glass content by mass [%]",
           ylabel=label("cured thickness", "thickness", system))
    ax.legend(fontsize=9, frameon=False, loc="upper right")
    return line, dot


def move_glass_content(line, dot, sheet, here, system):
    """Put a fabric and the present point into the picture.

    Parameters
    ----------
    line, dot : Line2D
        What `glass_content_axes` returned [-].
    sheet : FabricSheet
        Results over glass content [-].
    here : tuple of (float, float)
        Present glass fraction [-] and thickness [mm].
    system : {"metric", "us"}
        Unit system [-].

    Examples
    --------
    >>> from lamcalc.studies.compare import fabric_sheet
    >>> line, dot = glass_content_axes(style.new_figure()[1][0, 0], (0.25, 0.35), 2.0, "metric")
    >>> move_glass_content(line, dot, fabric_sheet(450.0, np.linspace(0.2, 0.4, 5)), (0.3, 1.05), "metric")
    >>> len(line.get_xdata())
    5
    """
    line.set_data(100 * sheet.weight_fraction, units.to_system(sheet.thickness_mm, "thickness", system))
    dot.set_data([100 * here[0]], [units.to_system(here[1], "thickness", system)])
