"""Batch clock: when each pot is mixed, wetted out, and gels."""

import numpy as np

from lamcalc.shop.batch_plan import clock
from lamcalc.workbook import style


class ClockBars:
    """Bars of a clock that are moved, not drawn anew, when the plan changes.

    Parameters
    ----------
    ax : Axes
        Where to draw [-].

    Examples
    --------
    >>> ClockBars(style.new_figure()[1][0, 0]).ax.get_xlabel()
    'time of the first day [h:min]'
    """

    def __init__(self, ax):
        self.ax = ax
        style.dress(ax)
        colours = style.COLOURS
        self._looks = ({"color": colours["sea"], "hatch": "", "label": "mix and wet out"},
                       {"color": colours["sky"], "hatch": "//", "label": "time left until it must be on the job"},
                       {"color": colours["ochre"], "hatch": "xx", "label": "gel, first to last"})
        self._bars = [[], [], []]
        ax.set_xlabel("time of the first day [h:min]")
        ax.set_ylabel("pot [-]")
        self._legend = None

    def update(self, batches):
        """Show other pots.

        Parameters
        ----------
        batches : sequence of Batch
            Pots of one day [-].
        """
        spans = [[(b.mix_at, b.done_by) for b in batches], [(b.done_by, max(b.use_by, b.done_by)) for b in batches],
                 [(b.gels.low, b.gels.high) for b in batches]]
        for bars, look, pairs in zip(self._bars, self._looks, spans, strict=True):
            while len(bars) < len(pairs):
                bar = self.ax.barh(len(bars) + 1, 1.0, left=0.0, height=0.55, edgecolor=style.COLOURS["ink"], linewidth=0.6,
                                   color=look["color"], hatch=look["hatch"], label=look["label"] if not bars else None)[0]
                bars.append(bar)
            for k, bar in enumerate(bars):
                bar.set_visible(k < len(pairs))
                if k < len(pairs):
                    bar.set_x(pairs[k][0])
                    bar.set_width(pairs[k][1] - pairs[k][0])
        if self._legend is None and batches:
            self._legend = self.ax.legend(fontsize=8, frameon=False, loc="lower left")
        if batches:
            self._scale(batches)

    def _scale(self, batches):
        low, high = min(b.mix_at for b in batches), max(b.gels.high for b in batches)
        self.ax.set_xlim(low - 5, high + 5)
        self.ax.set_ylim(len(batches) + 0.6, 0.4)
        self.ax.set_yticks(np.arange(1, len(batches) + 1))
        step = max(15, 15 * int(np.ceil((high - low) / 8 / 15)))
        ticks = np.arange(step * np.floor(low / step), high + step, step)
        self.ax.set_xticks(ticks, [clock(float(t)) for t in ticks])
        self.ax.set_xlim(low - 5, high + 5)
