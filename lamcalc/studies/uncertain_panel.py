"""A panel of hull or sole as a model for uncertainty and sensitivity; a sample at a time, as for the stringer."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.parts.panel import assess_panel
from lamcalc.parts.panel_model import Panel, PanelLoad
from lamcalc.schedule import Schedule
from lamcalc.studies.drawn_layers import ASSUMED, AssumedSpreads, DrawnLayers
from lamcalc.studies.uncertainty import Quantity

_LABEL = "laminate"
# how `assess_panel` names the margins of fabric layers
_LAMINATE = ("laminate:", "first skin:", "last skin:", "interlaminar")
_RESULTS = (
    Quantity("thickness", "thickness", "mm", "thickness", False),
    Quantity("areal_mass", "mass per area", "kg/m2", "areal_mass", False),
    Quantity("deflection", "largest deflection", "mm", "thickness", False),
    Quantity("margin", "least reserve factor"),
)


@dataclass(frozen=True, eq=False)
class PanelModel:
    """A panel under its load.

    Parameters
    ----------
    panel : Panel
        Size, edges and curvature [mm].
    load : PanelLoad
        Pressure or patch load [MPa, N].
    schedule : Schedule
        The laminate [-].
    assumed : AssumedSpreads
        Spreads where the catalogue knows none [-].
    chunk : int
        Samples at a time [-].

    Notes
    -----
    Each sample goes through `assess_panel`, some hundredths of a second.  The drawn strength factor acts on the
    layers; skins that wrinkle and cores take what is drawn for their own stiffness and shear strength.  Size, edges
    and load are taken as exact.

    Examples
    --------
    >>> PanelModel.__dataclass_params__.frozen
    True
    """

    panel: Panel
    load: PanelLoad
    schedule: Schedule
    assumed: AssumedSpreads = ASSUMED
    chunk: int = 32

    @cached_property
    def layers(self):
        """The schedule as random layers [-]."""
        return DrawnLayers(((_LABEL, self.schedule),), self.assumed)

    @cached_property
    def inputs(self):
        """What varies, as a tuple of `Uncertain` [-]."""
        return self.layers.inputs

    @property
    def results(self):
        """What comes out, as a tuple of `Quantity` [-]."""
        return _RESULTS if self._all_checked else tuple(q for q in _RESULTS if q.key != "margin")

    @cached_property
    def _all_checked(self):
        """Whether a least reserve factor can be told: one of the checked alone would pass for that of the panel."""
        found = assess_panel(self.panel, self.load, self.schedule)
        return bool(found.margins) and not found.unchecked

    def __call__(self, draws):
        drawn = self.layers.sublayers(_LABEL, draws)
        rows = [self._one(drawn, draws, k) for k in range(len(next(iter(draws.values()))))]
        return dict(zip((q.key for q in self.results), np.array(rows).T, strict=True))

    def _one(self, drawn, draws, k):
        build = self.layers.version(_LABEL, drawn, draws, k)
        found = assess_panel(self.panel, self.load, build)
        factor = float(draws["strength"][k, 0]) if "strength" in draws else 1.0
        row = (float(build.structural_thickness_mm), float(build.areal_mass_kg_m2), found.deflection_mm)
        if not self._all_checked:
            return row
        return (*row, min(m.reserve_factor * (factor if m.name.startswith(_LAMINATE) else 1.0) for m in found.margins))
