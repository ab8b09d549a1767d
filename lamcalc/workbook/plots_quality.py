"""Readings against their limits."""

import numpy as np
from matplotlib.ticker import MaxNLocator

from lamcalc import units
from lamcalc.shop.limits import FRACTION_BAND, HARDNESS_ACCEPT, THICKNESS_BAND
from lamcalc.workbook import style
from lamcalc.workbook.scene import RunningScale, Scene

_METHODS = {"mass balance": "scale", "burn-off": "burn-off", "glass fraction from thickness": "thickness"}


class ReadingsPicture:
    """Thickness, glass content and hardness against their limits; points and lines are moved, not drawn anew.

    Examples
    --------
    >>> ReadingsPicture().axes.shape
    (1, 3)
    """

    def __init__(self):
        figure, self.axes = style.new_figure(8.6, 3.2, columns=3)
        figure.subplots_adjust(left=0.10, right=0.98, wspace=0.48)
        self._scales, self._scene = (), Scene(figure, self._set_up, self._move)

    def _set_up(self, readings, methods, hardness, system):
        """The three axes anew; what moves: band, line of the plan and points of each, and the figures of its scale."""
        labels = (f"thickness [{units.unit_label('thickness', system)}]", "glass by mass less its plan [%]", "hardness [Barcol]")
        below = ("reading [-]", "method [-]", "reading [-]" if hardness else "none was measured")
        moving, self._scales = [], []
        for ax, label, under, count in zip(self.axes[0], labels, below, (readings, len(methods), hardness), strict=True):
            ax.clear()
            style.dress(ax)
            count = max(count, 1)
            ax.set(xlim=(0.5, count + 0.5), xlabel=under, ylabel=label)
            ax.xaxis.set_major_locator(MaxNLocator(5, integer=True))
            moving += [ax.axhspan(0, 1, color=style.COLOURS["sky"], alpha=0.5, zorder=0),
                       ax.axhline(0, color=style.COLOURS["ink"], linestyle="--"),
                       ax.plot(np.arange(1, count + 1), np.zeros(count), "o", color=style.COLOURS["brick"], markersize=6)[0],
                       ax.spines["left"], ax.spines["bottom"]]
            self._scales.append(RunningScale.along(ax))
        self.axes[0, 1].set_xticks(range(1, len(methods) + 1), [_METHODS[name] for name in methods], fontsize=8)
        return [*moving, *(text for scale in self._scales for text in scale.texts)]

    def _move(self, *artists):
        *artists, shown = artists
        for k, (values, line, band) in enumerate(shown):
            every = np.array([*values, line, *band], dtype=float)
            low, high = np.nanmin(every), np.nanmax(every)
            scale, room = self._scales[k], 0.05 * (high - low)
            scale.reach(low - room, high + room)
            area, plan, points = artists[5 * k:5 * k + 3]
            area.set_y(scale.at(band[0]))
            area.set_height(scale.at(band[1]) - scale.at(band[0]))
            plan.set_ydata([scale.at(line)] * 2)
            points.set_data(np.arange(1, len(values) + 1), scale.at(values))

    def draw(self, found, system, *, live=True):
        """Readings as HTML.

        Parameters
        ----------
        found : tuple of (JobQuality, AsBuilt)
            Result and readings [-].
        system : {"metric", "us"}
            Unit system [-].
        live : bool
            False for a page that is read without running, see `Scene.image` [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        quality, readings = found
        planned, band = quality.designed.structural_thickness_mm, float(THICKNESS_BAND)
        thick, plan, low, high = (units.to_system(np.array(value), "thickness", system) for value in (
            readings.thickness_mm, planned, planned * (1 - band), planned * (1 + band)))
        checks = {c.name: c for c in quality.report.checks}
        methods = tuple(name for name in _METHODS if name in checks)
        # each method is held against its own plan: the scale weighs the bond lines too
        gaps = np.array([100 * (checks[name].measured - checks[name].expected) for name in methods])
        share, least = 100 * float(FRACTION_BAND), readings.barcol_limit or float(HARDNESS_ACCEPT)
        hardness = np.array(readings.barcol or [np.nan])
        shown = ((thick, plan, (low, high)), (gaps, 0.0, (-share, share)),
                 (hardness, least, (least, max([least + 20, *readings.barcol]))))
        return self._scene.image(
            (len(thick), methods, len(readings.barcol), system),
            "Readings of thickness, glass content and hardness beside their plans and usual limits.", shown, live=live)
