"""Pictures of uncertain results: where they lie, and which input moves them."""

import textwrap

import numpy as np
from matplotlib.patches import Patch

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.scene import Scene

BINS = 30
MOST_BARS = 7


def shown_values(values, quantity, system):
    """Values of a result in the units shown, and the unit.

    Parameters
    ----------
    values : array_like, shape (...)
        Values [as the quantity says].
    quantity : Quantity
        Which result [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    tuple of (ndarray, str)
        The same values [unit shown], and that unit.

    Examples
    --------
    >>> from lamcalc.studies.uncertainty import Quantity
    >>> shown_values([25.4], Quantity("t", "thickness", "mm", "thickness"), "us")
    (array([1.]), 'in')
    """
    if not quantity.kind:
        return np.asarray(values, dtype=float), quantity.unit
    return units.to_system(np.asarray(values, dtype=float), quantity.kind, system), units.unit_label(
        quantity.kind, system
    )


def spread_limits(values, target):
    """Ends of the axis that holds samples and target, in steps, so that they seldom change.

    Parameters
    ----------
    values : array_like, shape (samples,)
        Samples [as shown].
    target : float
        Target [as shown].

    Returns
    -------
    tuple of (float, float)
        Ends [as shown].

    Examples
    --------
    >>> spread_limits([1.0, 2.0], 2.6)
    (0.95, 2.8)
    """
    low, high = float(np.min(values)), float(np.max(values))
    wide = (high - low) or 0.1 * abs(high) or 1.0
    below, above = (max(np.ceil(4 * gap / wide), 0.0) * wide / 4 for gap in (low - target, target - high))
    return float(low - below - 0.05 * wide), float(high + above + 0.05 * wide)


def spread_still(ax, values, quantity, limits, system):
    """Draw how often a result falls where, with its 10, 50 and 90 % points, for any target.

    Parameters
    ----------
    ax : Axes
        Where to draw [-].
    values : array_like, shape (samples,)
        Samples [as the quantity says].
    quantity : Quantity
        Which result [-].
    limits : tuple of (float, float)
        Ends of the axis [as shown].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    list of Artist
        Bars, lines of the three points, line of the target: what `move_target` moves [-].

    Examples
    --------
    >>> from lamcalc.studies.uncertainty import Quantity
    >>> axes = style.new_figure()[1][0, 0]
    >>> len(spread_still(axes, np.linspace(1, 2, 50), Quantity("r", "reserve factor"), (0.9, 2.1), "metric"))
    34
    """
    ax.clear()
    style.dress(ax)
    shown, unit = shown_values(values, quantity, system)
    counts, edges = np.histogram(shown, BINS)
    share = 100 * counts / len(shown)
    top = 1.3 * share.max()
    bars = list(
        ax.bar(0.5 * (edges[1:] + edges[:-1]), share, np.diff(edges), edgecolor="white", linewidth=0.4, alpha=0.75)
    )
    points = []
    for value, words in zip(np.quantile(shown, (0.1, 0.5, 0.9)), ("10 %", "50 %", "90 %"), strict=True):
        points += ax.plot([value, value], [0, 0.82 * top], color=style.COLOURS["ink"], linewidth=1.0)
        ax.text(value, 0.83 * top, words, ha="center", va="bottom", fontsize=8)
    goal = ax.axvline(limits[0], color=style.COLOURS["alarm"], linewidth=2.0, linestyle="--", label="target")
    ax.set(xlim=limits, ylim=(0, top))
    ax.set_xlabel(f"{quantity.name} [{unit}]", fontsize=9)
    ax.set_ylabel("share of the samples [%]", fontsize=9)
    faces = [
        Patch(facecolor=colour, alpha=0.75, hatch=hatch, edgecolor="white", label=words)
        for colour, hatch, words in (
            (style.COLOURS["sea"], "", "meets the target"),
            (style.COLOURS["alarm"], "//", "misses it"),
        )
    ]
    ax.legend(handles=[*faces, goal], fontsize=8, loc="lower center", bbox_to_anchor=(0.5, 1.0), ncols=3, frameon=False)
    return [*bars, *points, goal]


def move_target(*artists_and_target):
    """Put the target where it is now and mark the bars that miss it.

    Parameters
    ----------
    *artists_and_target : object
        The artists of `spread_still`, the target [as shown] and whether it is a least value [-].
    """
    *artists, target, at_least = artists_and_target
    for bar in artists[:BINS]:
        middle = bar.get_x() + bar.get_width() / 2
        missed = middle < target if at_least else middle > target
        bar.set_facecolor(style.COLOURS["alarm" if missed else "sea"])
        bar.set_hatch("//" if missed else "")
    artists[-1].set_xdata([target, target])


def swing_axes(ax, study, system):
    """Draw a bar for each input from the result at its low end to the result at its high end.

    Parameters
    ----------
    ax : Axes
        Where to draw [-].
    study : SwingResult
        Swings, largest first; the largest `MOST_BARS` that move anything are drawn [-].
    system : {"metric", "us"}
        Unit system [-].

    Examples
    --------
    >>> from lamcalc.studies.sensitivity import Swing, SwingResult
    >>> from lamcalc.studies.uncertainty import Quantity
    >>> axes = style.new_figure()[1][0, 0]
    >>> study = SwingResult(Quantity("r", "ratio"), 2.0, (Swing("t", "thickness", 4.0, 6.0, 1.8, 2.3),), (0.1, 0.9))
    >>> swing_axes(axes, study, "metric")
    >>> [label.get_text() for label in axes.get_yticklabels()]
    ['thickness']
    """
    ax.clear()
    style.dress(ax)
    bars = [s for s in study.swings if s.size > 1e-9 * abs(study.typical)][:MOST_BARS] or list(study.swings[:1])
    middle = float(shown_values(study.typical, study.quantity, system)[0])
    for k, swing in enumerate(bars):
        (low, high), unit = shown_values([swing.low, swing.high], study.quantity, system)
        for end, colour, hatch, words in (
            (low, style.COLOURS["ochre"], None, "input low"),
            (high, style.COLOURS["sea"], "//", "input high"),
        ):
            ax.barh(
                k,
                end - middle,
                left=middle,
                height=0.62,
                color=colour,
                hatch=hatch,
                edgecolor="white",
                linewidth=0.4,
                label=words if k == 0 else None,
            )
    ax.axvline(middle, color=style.COLOURS["ink"], linewidth=1.0)
    ax.set_yticks(range(len(bars)), [_wrapped(s.name) for s in bars], fontsize=8)
    ax.set_ylim(len(bars) - 0.4, -0.6)
    ax.set_xlabel(f"{study.quantity.name} [{unit}]", fontsize=9)
    ax.legend(fontsize=8, loc="lower center", bbox_to_anchor=(0.4, 1.0), ncols=2, frameon=False)


def _wrapped(words, width=27):
    """Words without what is in brackets, on lines of at most so many letters."""
    return "\n".join(textwrap.wrap(words.split(" (")[0], width))


class SurerPicture:
    """The reused picture: where the result lies, and what moves it."""

    def __init__(self):
        figure, axes = style.new_figure(9.6, 3.8, columns=2)
        self._left, self._right = axes[0]
        figure.subplots_adjust(left=0.07, right=0.985, bottom=0.14, top=0.88, wspace=0.62)
        self._scene = Scene(figure, self._set_up, move_target)

    def _set_up(self, result, quantity, swings, limits, system):
        swing_axes(self._right, swings, system)
        return spread_still(self._left, result.of(quantity.key), quantity, limits, system)

    def draw(self, found, system, *, live=True):
        """Picture of a study as HTML.

        Parameters
        ----------
        found : SurerStudy
            Samples, target and swings of one result [-].
        system : {"metric", "us"}
            Unit system [-].
        live : bool
            False for a page that is read without running, see `Scene.image` [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        quantity = found.quantity
        target = float(shown_values(found.target, quantity, system)[0])
        limits = spread_limits(shown_values(found.result.of(quantity.key), quantity, system)[0], target)
        alt = (
            f"Left: how often each value comes up. {found.result.band(quantity.key).words(system)}; target "
            f"{quantity.show(found.target, system)}. Right: {found.swings.words(system)}"
        )
        return self._scene.image(
            (found.result, quantity, found.swings, limits, system), alt, target, found.chance.at_least, live=live
        )
