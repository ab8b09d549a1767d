"""Readings against their limits."""

import numpy as np

from lamcalc import units
from lamcalc.shop.limits import FRACTION_BAND, HARDNESS_ACCEPT, THICKNESS_BAND
from lamcalc.workbook import style


class ReadingsPicture:
    """Thickness, glass content and hardness against their limits; points and lines are moved, not drawn anew.

    Examples
    --------
    >>> ReadingsPicture().axes.shape
    (1, 3)
    """

    def __init__(self):
        self.figure, self.axes = style.new_figure(7.4, 3.0, columns=3)
        colours = style.COLOURS
        self._points, self._lines, self._bands = [], [], []
        for ax in self.axes[0]:
            style.dress(ax)
            self._points.append(ax.plot([], [], "o", color=colours["brick"], markersize=6)[0])
            self._lines.append(ax.axhline(0, color=colours["ink"], linestyle="--"))
            self._bands.append(ax.axhspan(0, 1, color=colours["sky"], alpha=0.5, zorder=0))
        self.figure.subplots_adjust(wspace=0.45)

    def draw(self, found, system):
        """Readings as HTML.

        Parameters
        ----------
        found : tuple of (JobQuality, AsBuilt)
            Result and readings [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            ``<img>`` element [-].
        """
        quality, readings = found
        to = lambda v: units.to_system(v, "thickness", system)
        planned = quality.designed.structural_thickness_mm
        band = float(THICKNESS_BAND)
        self._set(0, to(np.array(readings.thickness_mm)), to(planned), (to(planned * (1 - band)), to(planned * (1 + band))),
                  f"thickness [{units.unit_label('thickness', system)}]", "reading [-]")
        checks = {c.name: c for c in quality.report.checks}
        shown = [name for name in ("mass balance", "burn-off", "glass fraction from thickness") if name in checks]
        # each method is held against its own plan: the scale weighs the bond lines too
        gaps = np.array([100 * (checks[n].measured - checks[n].expected) for n in shown])
        share = 100 * float(FRACTION_BAND)
        self._set(1, gaps, 0.0, (-share, share), "glass by mass less its plan [%]", "method [-]")
        self.axes[0, 1].set_xticks(range(1, len(shown) + 1), [{"mass balance": "scale", "burn-off": "burn-off"}.get(n, "thickness") for n in shown],
                                   fontsize=8)
        least = readings.barcol_limit or float(HARDNESS_ACCEPT)
        self._set(2, np.array(readings.barcol or [np.nan]), least, (least, max([least + 20, *readings.barcol])), "hardness [Barcol]", "reading [-]")
        return style.image(self.figure, "Readings of thickness, glass content and hardness beside their plans and usual limits.")

    def _set(self, k, values, line, band, label, below):
        ax = self.axes[0, k]
        self._points[k].set_data(np.arange(1, len(values) + 1), values)
        self._lines[k].set_ydata([line, line])
        self._bands[k].set_y(band[0])
        self._bands[k].set_height(band[1] - band[0])
        every = np.array([*values, line, *band], dtype=float)
        low, high = np.nanmin(every), np.nanmax(every)
        ax.set_ylim(low - 0.1 * (high - low), high + 0.1 * (high - low))
        ax.set_xlim(0.5, len(values) + 0.5)
        ax.set_ylabel(label)
        ax.set_xlabel(below)
