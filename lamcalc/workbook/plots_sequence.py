"""The layers of a part in the order laid, with the rules' findings at each."""

from lamcalc.workbook import style

MARKS = {"refuse": ("brick", "xx", "refused"), "warn": ("ochre", "//", "warning"), "note": ("sky", "", "note"),
         "none": ("paper", "", "nothing found")}


class OrderPicture:
    """One bar a layer; bars are recoloured, not drawn anew.

    Parameters
    ----------
    names : sequence of str
        Layers, numbered as the review numbers them [-].

    Examples
    --------
    >>> OrderPicture(["mat"]).ax.get_xlabel()
    'gravest finding at the layer, in words [-]'
    """

    def __init__(self, names):
        self.figure, axes = style.new_figure(6.8, max(2.2, 0.42 * len(names) + 1.0))
        self.ax = style.dress(axes[0, 0])
        self._bars = [self.ax.barh(k + 1, 1.0, height=0.7, edgecolor=style.COLOURS["ink"], linewidth=0.8)[0] for k in range(len(names))]
        self._texts = [self.ax.text(0.02, k + 1, "", va="center", fontsize=8,
                                    bbox={"facecolor": "white", "edgecolor": "none", "pad": 0.8}) for k in range(len(names))]
        self.ax.set_yticks(range(1, len(names) + 1))
        self.ax.set_xticks([])
        self.ax.set_xlim(0, 1)
        self.ax.invert_yaxis()
        self.ax.grid(False)
        self.ax.set_ylabel("layer of the schedule [-]")
        self.ax.set_xlabel("gravest finding at the layer, in words [-]")

    def update(self, names, review):
        """Show a review.

        Parameters
        ----------
        names : sequence of str
            Layers in the order of the schedule [-].
        review : Review
            Findings [-].
        """
        order = ("none", "note", "warn", "refuse")
        for k, (bar, text, name) in enumerate(zip(self._bars, self._texts, names, strict=True)):
            mine = [f for f in review.findings if k + 1 in f.plies]
            worst = max((f.severity for f in mine), key=order.index, default="none")
            colour, hatch, word = MARKS[worst]
            bar.set_facecolor(style.COLOURS[colour])
            bar.set_hatch(hatch)
            text.set_text(f"{name}: {word}")
