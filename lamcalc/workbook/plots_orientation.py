"""Pictures of direction: stiffness round the compass of a sheet, and what a wrong angle costs."""

import numpy as np
from matplotlib.ticker import MaxNLocator

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.plots_thickness import label

DIRECTIONS_DEG = np.arange(0.0, 361.0, 3.0)


def polar(ax, curves, kind, words, system):
    """Draw stiffness over direction, one line a sheet.

    Parameters
    ----------
    ax : PolarAxes
        Where to draw; cleared first [-].
    curves : dict of str to (ndarray, ndarray)
        Directions [deg] and values [internal unit of the kind] by name [-].
    kind : str
        Kind of quantity, as in `lamcalc.units` [-].
    words : str
        What is drawn [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    PolarAxes
        The same axes [-].

    Examples
    --------
    >>> ax = style.new_polar()[1][0]
    >>> curves = {"mat": (np.array([0.0, 90.0]), np.array([6e3, 6e3]))}
    >>> polar(ax, curves, "modulus", "pull", "metric").get_title()
    'pull [GPa]'
    """
    shown = {name: units.to_system(values, kind, system) for name, (_, values) in curves.items()}
    if [line.get_label() for line in ax.get_lines()] == list(curves):  # a panel redraws: keep ticks and legend
        for line, (name, (direction, _)) in zip(ax.get_lines(), curves.items()):
            line.set_data(np.radians(direction), shown[name])
    else:
        _compass(ax, curves, shown)
    ax.set_rlim(0, 1.08 * max(values.max() for values in shown.values()))
    ax.set_title(label(words, kind, system), fontsize=10, pad=14)
    return ax


def _compass(ax, curves, shown):
    ax.clear()
    ax.grid(True, color="#d7dade", linewidth=0.6)
    ax.set_thetagrids(range(0, 360, 45), ["0 deg", "45", "90", "135", "180", "225", "270", "315"])
    ax.tick_params(labelsize=8)
    ax.tick_params(axis="x", pad=5)
    for index, (name, (direction, _)) in enumerate(curves.items()):
        ax.plot(np.radians(direction), shown[name], label=name, color=style.colour(index),
                linestyle=style.LINES[index % len(style.LINES)], linewidth=1.8)
    ax.set_rlim(0, 1.0)
    ax.yaxis.set_major_locator(MaxNLocator(4))
    ax.set_rlabel_position(22)
    ax.legend(fontsize=8, frameon=False, loc="upper center", bbox_to_anchor=(0.5, -0.12))


def wrong_angle(ax, error_deg, kept, words):
    """Draw what is left of a stiffness when one ply lies at a wrong angle.

    Parameters
    ----------
    ax : Axes
        Where to draw; cleared first [-].
    error_deg : ndarray, shape (errors,)
        Error of the angle [deg].
    kept : dict of str to ndarray, shape (errors,)
        Stiffness over that of the stack as drawn, by name [-].
    words : str
        Which ply is meant [-].

    Returns
    -------
    Axes
        The same axes [-].

    Examples
    --------
    >>> ax = style.new_figure()[1][0, 0]
    >>> wrong_angle(ax, np.array([0.0, 10.0]), {"stretch along": np.array([1.0, 0.98])}, "ply 2").get_xlabel()
    'error of the angle of ply 2 [deg]'
    """
    ax.clear()
    style.dress(ax)
    for index, (name, values) in enumerate(kept.items()):
        ax.plot(error_deg, 100 * values, label=name, color=style.colour(index), linestyle=style.LINES[index])
    ax.set_xlabel(f"error of the angle of {words} [deg]")
    ax.set_ylabel("stiffness, as drawn = 100 [%]")
    ax.legend(fontsize=9, frameon=False)
    return ax
