"""The layers of a part in the order laid, with the rules' findings at each."""

from lamcalc.workbook import style
from lamcalc.workbook.scene import Scene

MARKS = {"refuse": ("brick", "xx", "refused"), "warn": ("ochre", "//", "warning"), "note": ("sky", "", "note"),
         "none": ("paper", "", "nothing found")}


class OrderPicture:
    """One bar a layer; bars are recoloured, not drawn anew.

    Parameters
    ----------
    count : int
        Number of layers, as the review counts them [-].

    Examples
    --------
    >>> OrderPicture(3).ax.get_xlabel()
    'gravest finding at the layer, in words [-]'
    """

    def __init__(self, count):
        figure, axes = style.new_figure(6.8, max(2.2, 0.42 * count + 1.0))
        self.ax, self._count = style.dress(axes[0, 0]), count
        self.ax.set(xlim=(0, 1), ylim=(count + 0.6, 0.4), xticks=[], yticks=range(1, count + 1),
                    ylabel="layer of the schedule [-]", xlabel="gravest finding at the layer, in words [-]")
        self.ax.grid(False)
        self._bars = [self.ax.barh(k + 1, 1.0, height=0.7, edgecolor=style.COLOURS["ink"], linewidth=0.8)[0] for k in range(count)]
        self._texts = [self.ax.text(0.02, k + 1, "", va="center", fontsize=8,
                                    bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8}) for k in range(count)]
        frame = [self.ax.spines[side] for side in ("left", "bottom")]
        self._scene = Scene(figure, lambda: [*self._bars, *frame, *self._texts], self._move)

    def _move(self, *artists):
        *_artists, names, review = artists
        order = ("none", "note", "warn", "refuse")
        for k, (bar, text, name) in enumerate(zip(self._bars, self._texts, names, strict=True)):
            worst = max((f.severity for f in review.findings if k + 1 in f.plies), key=order.index, default="none")
            colour, hatch, word = MARKS[worst]
            bar.set_facecolor(style.COLOURS[colour])
            bar.set_hatch(hatch)
            text.set_text(f"{name}: {word}")

    def draw(self, names, review, alt, *, live=True):
        """Picture of a review as HTML.

        Parameters
        ----------
        names : sequence of str
            Layers in the order of the schedule [-].
        review : Review
            Findings [-].
        alt : str
            What the picture shows, in a sentence [-].
        live : bool
            False for a page that is read without running, see `Scene.image` [-].

        Returns
        -------
        str
            Picture with alternative text [-].
        """
        return self._scene.image((), alt, names, review, live=live)
