"""Picture of a stringer: its section to scale with the bending axis, and how much of every limit is used."""

import numpy as np
from matplotlib.patches import Polygon

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.scene import RunningScale, Scene

SLOTS = (
    "plating",
    "legs",
    "web, bending",
    "crown",
    "cap",
    "former",
    "web, shear",
    "web, buckling",
    "bond line",
    "deflection",
)
MOST_USE = 1.5
# how the names of margins begin, the longer before the shorter
_BEGINNINGS = (("leg", "legs"), ("plate", "plating"), ("former", "former"), ("web in shear", "web, shear"),
               ("web buckling", "web, buckling"), ("web folding", "web, buckling"), ("web wrinkling", "web, buckling"),
               ("free edge of the web", "web, buckling"), ("web", "web, bending"), ("crown", "crown"), ("flange", "crown"),
               ("cap", "cap"), ("bond line", "bond line"))


def use_of_limits(result):
    """Share used of every limit, 1 where the reserve factor is 1.

    Parameters
    ----------
    result : StringerResult
        An assessed stringer [-].

    Returns
    -------
    dict of str to float
        By the names of `SLOTS`; NaN where there is nothing to check [-].

    Examples
    --------
    >>> from lamcalc.shop import job, job_stringer
    >>> use = use_of_limits(job_stringer.stringer_result(job.load_demo()))
    >>> round(use["deflection"], 2), use["former"] != use["former"]
    (0.17, True)
    """
    use = dict.fromkeys(SLOTS, float("nan"))
    for margin in result.margins:
        # a margin without a slot would be missing from the picture: that is an error
        (slot, *_) = [slot for begins, slot in _BEGINNINGS if margin.name.startswith(begins)]
        use[slot] = float(np.fmax(use[slot], 1 / margin.reserve_factor))
    use["deflection"] = result.deflection_mm / result.deflection_limit_mm
    return use


def outlines(result):
    """Corners of the parts of a hat on its plating.

    Parameters
    ----------
    result : StringerResult
        An assessed hat or solid-core stringer [-].

    Returns
    -------
    dict of str to ndarray, shape (corners, 2)
        Plating beyond and plating counted, former, skin, legs and cap; without a cap a shape of no size [mm].

    Examples
    --------
    >>> from lamcalc.shop import job, job_stringer
    >>> parts = outlines(job_stringer.stringer_result(job.load_demo()))
    >>> float(parts["cap"][:, 1].max().round(1))
    104.2
    """
    part, t = result.stringer, result.stringer.skin.structural_thickness_mm
    deck, wide = part.plating.structural_thickness_mm, result.section.parts[0].width_mm.item() / 2
    foot, top, y = part.base_width / 2, part.top_width / 2, deck + part.height
    # thickness is measured across the slanting web
    side = t * part.slant / part.height
    skin = [
        (-foot - side, deck),
        (-top - side, y + t),
        (top + side, y + t),
        (foot + side, deck),
        (foot, deck),
        (top, y),
        (-top, y),
        (-foot, deck),
    ]
    legs, steps = [], np.cumsum([0.0, *part.skin.row_thickness_mm])
    for k, leg in enumerate(part.legs):
        legs.append((foot + leg, steps[k], steps[k + 1]))
    right = [(foot, 0.0)] + [corner for leg, low, high in legs for corner in ((leg, low), (leg, high))] + [(foot, t)]
    half = (part.cap_width or 0.0) / 2
    cap = 0.0 if part.cap is None else part.cap.structural_thickness_mm
    beyond = max(wide, foot + max(part.legs, default=0.0)) + 8.0
    return {
        "beyond": _box(-beyond, beyond, 0.0, deck),
        "plating": _box(-wide, wide, 0.0, deck),
        "former": np.array([(-foot, deck), (-top, y), (top, y), (foot, deck)]),
        "skin": np.array(skin),
        "legs right": np.array([(x, deck + z) for x, z in right]),
        "legs left": np.array([(-x, deck + z) for x, z in right]),
        "cap": _box(-half, half, y + t, y + t + cap),
    }


def _box(left, right, low, high):
    return np.array([(left, low), (left, high), (right, high), (right, low)])


_LOOKS = {
    "beyond": ("paper", ""),
    "plating": ("sky", ""),
    "former": ("paper", ".."),
    "skin": ("ochre", "//"),
    "legs right": ("ochre", "//"),
    "legs left": ("ochre", "//"),
    "cap": ("brick", ""),
}


# sides of a square of the section's grid: squares keep the section to scale at every size
SQUARES = {"metric": (5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 75.0, 100.0, 150.0, 200.0, 300.0),
           "us": (0.2, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0)}
_ACROSS, _UP = 8, 4  # squares


class StringerPicture:
    """The reused picture of one stringer; only positions and texts change."""

    def __init__(self):
        self._figure, axes = style.new_figure(9.0, 3.7, columns=2)
        self._section, self._bars = axes[0]
        self._shapes = {name: Polygon([(0, 0), (1, 0), (1, 1)], closed=True, facecolor=style.COLOURS[colour], hatch=hatch,
                                      edgecolor=style.COLOURS["ink"], linewidth=0.7)
                        for name, (colour, hatch) in _LOOKS.items()}
        for shape in self._shapes.values():
            self._section.add_patch(shape)
        self._axis = self._section.axhline(0.0, color=style.COLOURS["ink"], linestyle="--", linewidth=1.2)
        self._axis_words = self._section.text(0.0, 1.03, "", fontsize=8, ha="left", va="bottom",
                                              transform=self._section.transAxes)
        self._across = RunningScale.along(self._section, "x", _ACROSS, told=lambda value: f"{value:.4g}")
        self._up = RunningScale.along(self._section, "y", _UP, told=lambda value: f"{value:.4g}")
        width = 0.46
        self._section.set_position([0.08, 0.17, width, width * 9.0 / 3.7 * _UP / _ACROSS])
        self._bars.set_position([0.69, 0.15, 0.29, 0.75])
        self._limit = self._dress_bars()
        self._scene = Scene(self._figure, self._place, _as_they_are)

    def _dress_bars(self):
        ax, places = self._bars, np.arange(len(SLOTS))
        self._widths = ax.barh(places, np.zeros(len(SLOTS)), height=0.62, edgecolor=style.COLOURS["ink"], linewidth=0.6)
        self._texts = [ax.text(0, y, "", fontsize=8, va="center", bbox=style.WHITE) for y in places]
        limit = ax.axvline(1.0, color=style.COLOURS["alarm"], linewidth=1.4)
        ax.set(xlim=(0, MOST_USE), yticks=places, yticklabels=SLOTS, xlabel="share of the usable limit [-]")
        ax.invert_yaxis()
        ax.grid(False, axis="y")
        ax.set_title("what is used; 1 is the limit", fontsize=10)
        return limit

    def draw(self, result, system, *, live=True):
        """Picture of an assessed stringer as HTML.

        Parameters
        ----------
        result : StringerResult
            Result of the package [-].
        system : {"metric", "us"}
            Unit system [-].
        live : bool
            False for a page that is read without running, see `Scene.image` [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        scale = float(units.to_system(1.0, "small_length", system))
        corners = {name: scale * points for name, points in outlines(result).items()}
        everything = np.concatenate(list(corners.values()))
        reach, high = np.abs(everything[:, 0]).max(), everything[:, 1].max()
        side = next((one for one in SQUARES[system] if _ACROSS * one >= 2.02 * reach and _UP * one >= 1.02 * high),
                    SQUARES[system][-1])
        self._across.run(-_ACROSS / 2 * side, side)
        self._up.run(0.0, side)
        for name, shape in self._shapes.items():
            x, y = corners[name].T
            shape.set_xy(np.column_stack([self._across.at(x), self._up.at(y)]))
        axis = scale * float(result.section.neutral_axis_mm)
        self._axis.set_ydata([self._up.at(axis)] * 2)
        self._axis_words.set_text(
            "section to scale; blue: plating counted with the stringer;\ndashed: bending axis, "
            f"{units.show(axis / scale, 'small_length', system)} up"
        )
        use, left = use_of_limits(result), "not there or NOT CHECKED" if result.unchecked else "not there"
        for bar, text, name in zip(self._widths, self._texts, SLOTS, strict=True):
            self._one_bar(bar, text, use[name], left)
        worst = max((name for name in SLOTS if use[name] == use[name]), key=lambda name: use[name])
        return self._scene.image((system,), (
            f"Left: section of the stringer on its plating, {units.show(high / scale, 'small_length', system)} high over "
            f"all, bending axis at {units.show(axis / scale, 'small_length', system)}. Right: share of every limit used, "
            f"most by {worst}: {100 * use[worst]:.0f} percent."), live=live)

    def _one_bar(self, bar, text, used, left):
        known = bool(np.isfinite(used))
        bar.set_width(min(used, MOST_USE) if known else 0.0)
        over = known and used > 1
        bar.set_facecolor(style.COLOURS["brick" if over else "sea"])
        bar.set_hatch("xx" if over else "")
        text.set_position((min(used, 1.30) + 0.03 if known else 0.03, text.get_position()[1]))
        text.set_text(f"{100 * used:.0f} %" if known else left)

    def _place(self, system):
        """Labels, and everything that moves, from back to front."""
        label = units.unit_label("small_length", system)
        self._section.set(xlabel=f"across [{label}]", ylabel=f"above the outer face [{label}]")
        frames = [ax.spines[side] for ax in (self._section, self._bars) for side in ("left", "bottom")]
        return [*self._shapes.values(), self._axis, *self._widths, self._limit, *frames, self._axis_words, *self._texts,
                *self._across.texts, *self._up.texts]


def _as_they_are(*_artists):
    """Nothing left to move: `StringerPicture.draw` has put the new data in already."""
