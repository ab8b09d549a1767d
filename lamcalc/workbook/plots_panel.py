"""Picture of a panel: where it moves and where it fails first, and how much of every limit is used."""

import numpy as np
from matplotlib.colors import LinearSegmentedColormap

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.scene import Scene

SLOTS = (
    "first skin",
    "last skin",
    "core",
    "core in shear",
    "first skin wrinkling",
    "last skin wrinkling",
    "core crushed under the patch",
    "laminate",
    "interlaminar shear",
    "deflection",
    "thickness by rule",
)
LABELS = (
    "skin laid first",
    "skin laid last",
    "core, bending",
    "core, shear",
    "wrinkling, skin laid first",
    "wrinkling, skin laid last",
    "core, crushing",
    "layers",
    "shear between layers",
    "deflection",
    "thickness by rule",
)
MOST_USE = 2.0
_UNCHECKED = {"wrinkling of the skins": ("first skin wrinkling", "last skin wrinkling")}
GRID = 33
# light for still, dark for moving: keeps its order in grey
MAP = LinearSegmentedColormap.from_list(
    "movement", [style.COLOURS["paper"], style.COLOURS["sky"], style.COLOURS["sea"], style.COLOURS["ink"]]
)


def use_of_limits(result):
    """Share used of every limit, 1 where the reserve factor is 1.

    Parameters
    ----------
    result : PanelResult
        An assessed panel [-].

    Returns
    -------
    dict of str to float
        By the names of `SLOTS`; NaN where there is nothing to check [-].

    Examples
    --------
    >>> from lamcalc.shop import job, job_panel
    >>> use = use_of_limits(job_panel.panel_result(job.load_demo(), "sole", "sole_board"))
    >>> round(use["deflection"], 2), use["laminate"] != use["laminate"]
    (0.46, True)
    """
    use = dict.fromkeys(SLOTS, float("nan"))
    for margin in result.margins:
        name = margin.name.split(":")[0]
        name = next((slot for slot in ("interlaminar shear", "core in shear") if name.startswith(slot)), name)
        if name in use:
            use[name] = float(np.fmax(use[name], 1 / margin.reserve_factor))
    limit = result.deflection_limit_mm
    use["deflection"] = float("nan") if limit is None else result.deflection_mm / limit
    for check in result.rule_checks:
        if check.requirement.name in ("single-skin thickness", "core plus half of both skins"):
            use["thickness by rule"] = 1 / check.ratio
    return use


def _unchecked(result):
    """Slots of which something has no strength, or did not settle."""
    slots = {slot for name in result.unchecked for slot in _UNCHECKED.get(name, (name.split(":")[0].split(" of ")[0],))}
    return set(SLOTS) if any(name.startswith("plate solution") for name in result.unchecked) else slots


class PanelPicture:
    """The reused picture of one panel; only values, positions and texts change."""

    def __init__(self):
        self._figure, axes = style.new_figure(9.4, 3.9, columns=2)
        self._map, self._bars = axes[0]
        self._map.set_position([0.08, 0.16, 0.42, 0.66])
        self._bars.set_position([0.70, 0.16, 0.28, 0.74])
        self._image = self._map.imshow(
            np.zeros((GRID, GRID)), cmap=MAP, origin="lower", aspect="equal", interpolation="bilinear"
        )
        self._map.grid(False)
        (self._move,) = self._map.plot(
            [0], [0], "o", markersize=7, markerfacecolor=style.COLOURS["ochre"], markeredgecolor=style.COLOURS["ink"]
        )
        (self._fail,) = self._map.plot(
            [0],
            [0],
            "X",
            markersize=9,
            markerfacecolor=style.COLOURS["brick"],
            markeredgecolor=style.COLOURS["paper"],
            clip_on=False,
        )
        self._words = self._map.text(0.0, 1.03, "", fontsize=8, va="bottom", transform=self._map.transAxes)
        self._limit = self._dress_bars()
        self._scene = Scene(self._figure, self._place, _as_they_are)

    def _dress_bars(self):
        ax, places = self._bars, np.arange(len(SLOTS))
        self._widths = ax.barh(places, np.zeros(len(SLOTS)), height=0.62, edgecolor=style.COLOURS["ink"], linewidth=0.6)
        self._texts = [ax.text(0, y, "", fontsize=8, va="center", bbox=style.WHITE) for y in places]
        limit = ax.axvline(1.0, color=style.COLOURS["alarm"], linewidth=1.4)
        ax.set(
            xlim=(0, MOST_USE),
            xticks=[0, 0.5, 1, 1.5, 2],
            yticks=places,
            yticklabels=LABELS,
            xlabel="share of the usable limit [-]",
        )
        ax.invert_yaxis()
        ax.grid(False, axis="y")
        ax.set_title("what is used; 1 is the limit", fontsize=10)
        return limit

    def draw(self, result, system, *, live=True):
        """Picture of an assessed panel as HTML.

        Parameters
        ----------
        result : PanelResult
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
        result = getattr(result, "result", result)
        scale, panel = float(units.to_system(1.0, "small_length", system)), result.panel
        moved = np.abs(result.solution.field(GRID).deflection)
        self._image.set_data(moved.T)
        self._image.set_clim(0.0, moved.max())
        x, y = np.unravel_index(int(moved.argmax()), moved.shape)
        self._move.set_data([panel.length * scale * x / (GRID - 1)], [panel.width * scale * y / (GRID - 1)])
        fail = result.worst_place
        self._fail.set_data(*([[], []] if fail is None else [[fail[0] * scale], [fail[1] * scale]]))
        most = units.show(result.deflection_mm, "thickness", system)
        self._words.set_text(f"movement, dark is most: {most} at the dot;\ncross: where the first layer would fail")
        use, blind = use_of_limits(result), _unchecked(result)
        for bar, text, name in zip(self._widths, self._texts, SLOTS, strict=True):
            self._one_bar(bar, text, use[name], name in blind)
        known = {label: use[name] for name, label in zip(SLOTS, LABELS, strict=True) if use[name] == use[name]}
        worst = max(known, key=known.get) if known else "nothing"
        return self._scene.image(
            (panel.length * scale, panel.width * scale, system),
            (
                f"Left: map of the panel's movement, {most} at most. Right: share of every limit used, most by {worst}"
                + (f": {100 * known[worst]:.0f} percent." if known else ".")
                + (f" Not checked: {', '.join(result.unchecked)}." if result.unchecked else "")
            ),
            live=live,
        )

    def _one_bar(self, bar, text, used, blind):
        known = bool(np.isfinite(used))
        over = known and used > 1
        bar.set_width(min(used, MOST_USE) if known else 0.0)
        bar.set_facecolor(style.COLOURS["brick" if over else "sea"])
        bar.set_hatch("xx" if over else "")
        text.set_position((min(used, 1.80) + 0.03 if known else 0.03, text.get_position()[1]))
        text.set_text("NOT CHECKED" if blind else f"{100 * used:.0f} %" if known else "-")
        text.set_color(style.COLOURS["alarm" if blind else "ink"])

    def _place(self, length, width, system):
        """Limits and labels, and everything that moves, from back to front."""
        label = units.unit_label("small_length", system)
        self._image.set_extent((0, length, 0, width))
        self._map.set(
            xlim=(0, length), ylim=(0, width), xlabel=f"along the panel [{label}]", ylabel=f"across [{label}]"
        )
        frames = [ax.spines[side] for ax in (self._map, self._bars) for side in ("left", "bottom")]
        return [
            self._image, self._move, self._words, *self._widths, self._limit, *frames, self._fail, *self._texts
        ]


def _as_they_are(*_artists):
    """Nothing left to move: `PanelPicture.draw` has put the new data in already."""
