"""Notebooks run cell by cell in a shell without a kernel, on any job file, as Run All does."""

import html
import re
from contextlib import contextmanager
from pathlib import Path

import nbformat

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"


class Run:
    """What the cells of a notebook showed.

    Parameters
    ----------
    cells : list of (str, str, bool)
        Source, text shown, and whether the notebook went on after it [-].
    """

    def __init__(self, cells):
        self.cells = cells

    @property
    def text(self):
        """All texts below each other [-]."""
        return "\n".join(shown for _, shown, _ in self.cells)

    @property
    def stopped(self):
        """Sources of the cells at which Run All would have stopped [-]."""
        return [source for source, _, went_on in self.cells if not went_on]

    def shown(self, call):
        """Text of the cell that holds a call.

        Parameters
        ----------
        call : str
            Part of its source [-].
        """
        (found,) = [shown for source, shown, _ in self.cells if call in source]
        return found


def words(markup):
    """The text of HTML, one table row a line.

    Parameters
    ----------
    markup : str
        HTML [-].
    """
    text = re.sub(r"<style.*?</style>|base64,[A-Za-z0-9+/=]+", "", markup, flags=re.DOTALL)
    text = re.sub(r'<img[^>]*alt="([^"]*)"[^>]*>', r"\1", text)
    text = re.sub(r"</t[dh]>\s*<t[dh][^>]*>", " | ", text)
    return html.unescape(re.sub(r"<[^>]+>", "", re.sub(r"</(?:tr|p|li|h\d)>", "\n", text)))


@contextmanager
def shell():
    """An interactive shell that keeps what is displayed."""
    from IPython.core.displaypub import CapturingDisplayPublisher
    from IPython.core.interactiveshell import InteractiveShell
    from traitlets.config import Config

    InteractiveShell.clear_instance()
    found = InteractiveShell.instance(config=Config({"HistoryManager": {"enabled": False}}))
    found.display_pub = CapturingDisplayPublisher()
    try:
        yield found
    finally:
        InteractiveShell.clear_instance()


def run(name, *, inside):
    """Run every code cell of a notebook.

    Parameters
    ----------
    name : str
        Start of its file name [-].
    inside : InteractiveShell
        Shell to run it in [-].

    Returns
    -------
    Run
        What was shown [-].
    """
    kept, cells = inside.display_pub.outputs, []
    for cell in nbformat.read(next(NOTEBOOKS.glob(f"{name}_*.ipynb")), as_version=4).cells:
        if cell.cell_type != "code":
            continue
        kept.clear()
        result = inside.run_cell(cell.source)
        shown = [output["data"].get("text/html", "") for output in kept] + list(_texts(result.result))
        cells.append((cell.source, words("\n".join(shown)), result.success))
    return Run(cells)


def _texts(found):
    """Text of a page object, or of a box with all that is in it."""
    for trait in ("data", "description", "value"):
        value = getattr(found, trait, "")
        yield value if isinstance(value, str) else ""
    for child in getattr(found, "children", ()):
        yield from _texts(child)
