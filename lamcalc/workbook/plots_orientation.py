"""Pictures of direction: stiffness round the compass of a sheet, and what a wrong angle costs."""

import numpy as np
from matplotlib.ticker import MaxNLocator

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.plots_thickness import label
from lamcalc.workbook.scene import RunningScale, Scene

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
    for line, (direction, _), values in zip(_compass(ax, curves), curves.values(), shown.values(), strict=True):
        line.set_data(np.radians(direction), values)
    ax.set_rlim(0, 1.08 * max(values.max() for values in shown.values()))
    ax.yaxis.set_major_locator(MaxNLocator(4))
    ax.set_rlabel_position(22)
    ax.set_title(label(words, kind, system), fontsize=10, pad=14)
    return ax


def _compass(ax, names):
    """An empty compass with its legend; the lines to be filled, one a name."""
    ax.clear()
    ax.grid(True, color="#d7dade", linewidth=0.6)
    ax.set_thetagrids(range(0, 360, 45), ["0 deg", "45", "90", "135", "180", "225", "270", "315"])
    ax.tick_params(labelsize=8)
    ax.tick_params(axis="x", pad=5)
    lines = [ax.plot([], [], label=name, color=style.colour(index), linestyle=style.LINES[index % len(style.LINES)],
                     linewidth=1.8)[0] for index, name in enumerate(names)]
    ax.legend(fontsize=8, frameon=False, loc="upper center", bbox_to_anchor=(0.5, -0.12))
    return lines


class CompassPicture:
    """The reused compass plot of a sheet as drawn and changed, pulled and bent.

    Parameters
    ----------
    names : (str, str)
        Names of the two lines, such as 'as drawn' and 'changed' [-].

    Examples
    --------
    >>> [ax.get_title() for ax in CompassPicture(("old", "new")).axes]
    ['apparent modulus, pulled [GPa]', 'apparent modulus, bent [GPa]']
    """

    WAYS = (("stretch", "pulled"), ("bend", "bent"))

    def __init__(self, names):
        figure, self.axes = style.new_polar(2, 7.4, 4.2)
        self._names, self._scales = names, ()
        self._scene = Scene(figure, self._set_up, self._move)
        self._set_up("metric")

    def _set_up(self, system):
        """Both compasses anew; what moves: two lines each, and the figures from the middle to the rim."""
        lines = []
        for ax, (_, way) in zip(self.axes, self.WAYS, strict=True):
            lines += _compass(ax, self._names)
            ax.set_title(label(f"apparent modulus, {way}", "modulus", system), fontsize=10, pad=14)
        self._scales = [RunningScale.outward(ax) for ax in self.axes]
        return [*lines, *(text for scale in self._scales for text in scale.texts)]

    def _move(self, *artists):
        *artists, both, system = artists
        lines = iter(artists)
        for scale, (what, _) in zip(self._scales, self.WAYS, strict=True):
            values = [units.to_system(getattr(one, what), "modulus", system) for one in both]
            scale.reach(0.0, max(each.max() for each in values))
            for each in values:
                next(lines).set_data(np.radians(DIRECTIONS_DEG), scale.at(each))

    def draw(self, both, words, system):
        """Picture of two sheets as HTML.

        Parameters
        ----------
        both : sequence of two DirectionalStiffness
            Apparent moduli over `DIRECTIONS_DEG`, in the order of the names [-].
        words : str
            What was changed [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        return self._scene.image((system,), (
            f"Compass plots of the skin's apparent modulus when pulled and when bent, as drawn and with {words}."), both, system)


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
