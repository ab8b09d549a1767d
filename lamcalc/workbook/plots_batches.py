"""Batch clock: when each pot is mixed, wetted out, and gels."""

from matplotlib.patches import Rectangle

from lamcalc.sentences import counted
from lamcalc.shop.batch_plan import clock
from lamcalc.workbook import style
from lamcalc.workbook.scene import RunningScale, Scene

STEPS_MIN = (5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0, 240.0, 360.0, 720.0, 1440.0, 2880.0)
_ROOM = 8  # rows are laid out for so many pots more at a time
_LOOKS = (("sea", "", "mix and wet out"), ("sky", "//", "time left until it must be on the job"),
          ("ochre", "xx", "gel, first to last"))


class ClockPicture:
    """The reused picture of the batch clock, one row a pot.

    Examples
    --------
    >>> ClockPicture().axes.get_xlabel()
    'time of the first day [h:min]'
    """

    def __init__(self):
        figure, axes = style.new_figure(6.8, 3.4)
        self.axes, self._time = axes[0, 0], None
        self._scene = Scene(figure, self._set_up, self._move)
        self._set_up(_ROOM)

    def _set_up(self, room):
        """Axes with rows for at most so many pots; what moves: three bars and a number a row, and the time scale."""
        ax = self.axes
        ax.clear()
        style.dress(ax)
        ax.set(ylim=(1, 0), yticks=[], xlabel="time of the first day [h:min]", ylabel="pot [-]")
        ax.yaxis.labelpad = 20
        self._time = RunningScale.along(ax, "x", 6, steps=STEPS_MIN, told=lambda minutes: clock(float(minutes)))
        bars = []
        for colour, hatch, words in _LOOKS:
            bars += [ax.add_patch(Rectangle((0, 0), 0, 0, facecolor=style.COLOURS[colour], hatch=hatch, linewidth=0.6,
                                            edgecolor=style.COLOURS["ink"], label=words)) for _ in range(room)]
        ax.legend(handles=bars[::room], fontsize=8, frameon=False, ncols=3, loc="lower center", bbox_to_anchor=(0.5, 0.98))
        numbers = [ax.text(-0.015, 0, "", fontsize=9, ha="right", va="center") for _ in range(room)]
        return [*bars, *(ax.spines[side] for side in ("left", "bottom")), *numbers, *self._time.texts]

    def _move(self, *artists):
        *artists, pots = artists
        room = (len(artists) - 2 - len(self._time.texts)) // 4
        bars, numbers = artists[:3 * room], artists[3 * room + 2:4 * room + 2]
        self._time.reach(min((pot.mix_at for pot in pots), default=480.0), max((pot.gels.high for pot in pots), default=540.0))
        spans = ([(pot.mix_at, pot.done_by) for pot in pots], [(pot.done_by, max(pot.use_by, pot.done_by)) for pot in pots],
                 [(pot.gels.low, pot.gels.high) for pot in pots])
        row = 1.0 / max(len(pots), 4)
        for k in range(room):
            used = k < len(pots)
            numbers[k].set_text(str(k + 1) if used else "")
            numbers[k].set_y((k + 0.5) * row)
            for which, pairs in enumerate(spans):
                bar = bars[which * room + k]
                bar.set_visible(used)
                if used:
                    start, end = self._time.at(pairs[k])
                    bar.set_bounds(start, (k + 0.22) * row, end - start, 0.56 * row)

    def draw(self, pots, *, live=True):
        """Clock of the first day as HTML.

        Parameters
        ----------
        pots : sequence of Batch
            Pots of that day [-].
        live : bool
            False for a page that is read without running, see `Scene.image` [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        room = _ROOM * max(1, -(-len(pots) // _ROOM))
        return self._scene.image((room,), f"Clock of {counted(len(pots), 'pot')}: mixing, latest time on the job, and gel.", pots, live=live)
