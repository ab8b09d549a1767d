"""Cutting plan of a roll, drawn."""

from matplotlib.patches import Rectangle

from lamcalc import units
from lamcalc.workbook import style


def cutting_plan(ax, plan, name, system):
    """Draw pieces on the roll.

    Parameters
    ----------
    ax : Axes
        Where to draw; cleared first [-].
    plan : CuttingPlan
        Pieces placed [mm].
    name : str
        Fabric [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    Axes
        The same axes [-].
    """
    ax.clear()
    style.dress(ax)
    scale, unit = (1e-3, "m") if system == "metric" else (1 / 304.8, "ft")
    for k, place in enumerate(plan.places):
        ax.add_patch(Rectangle((place.x_mm * scale, place.y_mm * scale), place.along_mm * scale, place.across_mm * scale,
                               facecolor=style.COLOURS["sky"], edgecolor=style.COLOURS["ink"], linewidth=0.8,
                               hatch=style.HATCHES[k % 2 * 2]))
        ax.text((place.x_mm + place.along_mm / 2) * scale, (place.y_mm + place.across_mm / 2) * scale,
                place.piece.label + ("\nturned" if place.turned else ""), ha="center", va="center", fontsize=8,
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8})
    ax.set_xlim(0, plan.length_mm * scale)
    ax.set_ylim(0, plan.width_mm * scale)
    ax.set_ylabel(f"across the roll [{unit}]")
    width = units.show(plan.width_mm, "length", system)
    ax.set_xlabel(f"roll {width} wide, {plan.offcut_share:.0%} offcut; along the roll [{unit}]")
    ax.set_title(name, fontsize=8, pad=3)
    ax.grid(False)
    return ax
