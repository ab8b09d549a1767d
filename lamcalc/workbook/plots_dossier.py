"""Picture of the check rows: how far each lies from its printed value, topic by topic."""

import numpy as np

from lamcalc.workbook import style
from lamcalc.workbook.scene import Scene

GROUPS = ("source seen", "from memory", "common practice", "derived (arithmetic)")
# places for rows beyond one tolerance and for refuted claims
BEYOND, REFUTED = 1.18, 1.38


def group_of(status):
    """Which of the four kinds of evidence a row's status belongs to.

    Parameters
    ----------
    status : str
        Status as the check file has it [-].

    Returns
    -------
    str
        One of `GROUPS` [-].

    Examples
    --------
    >>> group_of("source seen (quoted)"), group_of("derived")
    ('source seen', 'derived (arithmetic)')
    """
    return next(group for group in GROUPS if status.startswith(group.split(" (")[0]))


def topic_of(row):
    """Name of a row's topic with its file, so that topics of two files do not mix.

    Parameters
    ----------
    row : CheckRow
        A check row [-].

    Returns
    -------
    str
        File and topic [-].
    """
    return f"{row.file}: {row.raw['topic'].lstrip('0123456789 ')}"


class DossierPicture:
    """Dots of the rows over their topics; topics and axes are drawn once, dots move.

    Parameters
    ----------
    topics : sequence of str
        All topics, first at the top [-].
    """

    def __init__(self, topics):
        self._place = {topic: k for k, topic in enumerate(topics)}
        self.figure, axes = style.new_figure(7.4, 1.2 + 0.165 * len(topics))
        self.figure.subplots_adjust(left=0.33, right=0.97, top=0.93, bottom=0.07)
        self._scene = Scene(self.figure, lambda: self._still(axes[0, 0], topics), self._move)

    def _still(self, ax, topics):
        ax.clear()
        style.dress(ax)
        ax.set(xlim=(-0.05, 1.5), ylim=(len(topics) - 0.4, -0.6),
               xlabel="distance from the printed value [tolerances]")
        ax.set_yticks(range(len(topics)), topics, fontsize=7.5)
        ax.set_xticks([0, 0.25, 0.5, 0.75, 1, BEYOND, REFUTED], ["0", "0.25", "0.5", "0.75", "1", "more", "refuted"])
        ax.axvline(1.0, color=style.COLOURS["alarm"], linewidth=1.4)
        dots = [ax.plot([], [], style.MARKERS[k], color=style.colour(k), markersize=5, alpha=0.75, label=group)[0]
                for k, group in enumerate(GROUPS)]
        ax.legend(loc="lower left", bbox_to_anchor=(-0.45, 1.0), ncols=4, fontsize=8, frameon=False)
        return dots

    def _move(self, *given):
        *dots, rows = given
        for line, group in zip(dots, GROUPS):
            chosen = [row for row in rows if group_of(row.status) == group]
            x = [REFUTED if row.rule == "refuted" else min(row.in_tolerances, BEYOND) for row in chosen]
            # equal rows would hide each other
            offset = 0.5 * ((np.arange(len(chosen)) * 0.618) % 1.0) - 0.25
            line.set_data(x, np.array([self._place[topic_of(row)] for row in chosen]) + offset)

    def draw(self, rows, system):
        """Picture of some rows as HTML.

        Parameters
        ----------
        rows : sequence of CheckRow
            Rows to show [-].
        system : {"metric", "us"}
            Unit system; tolerances have no unit [-].

        Returns
        -------
        str
            ``<img>`` element [-].
        """
        inside = sum(row.agrees and row.rule != "refuted" for row in rows)
        return self._scene.image((), (
            f"Dots for {len(rows)} check rows by topic: {inside} lie within one tolerance of the printed value, "
            f"{sum(row.rule == 'refuted' for row in rows)} are claims that the sums refute."), rows)
