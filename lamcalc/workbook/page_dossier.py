"""What notebook 12 shows: how far the numbers can be trusted, row by row against printed values."""

import importlib.util
import math
import sys
from collections import Counter
from functools import cached_property
from pathlib import Path

import pandas as pd
from IPython.display import HTML

from lamcalc.errors import InputError
from lamcalc.workbook import tables
from lamcalc.workbook.controls import Choice, TextFilter
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_dossier import GROUPS, DossierPicture, group_of, topic_of

ALL = "all"
# rows of the live table: a longer one is slow to draw, and nobody reads it; the notebook lists all rows anyway
MOST_ROWS = 30
CHECKOUT = Path(__file__).resolve().parents[2]
CAUTIONS = (
    ("Agreement with a printed value shows that the sums are done right, not that your laminate is as the sums assume: "
     "weigh, measure and test your own panel."),
    "Rows from memory were never held against a text. They catch slips of the pen, no more; so do rows of arithmetic.",
    "Most printed cases are of one ply, one beam or one plate. A whole boat has joints, holes and loads that nobody printed.",
    "The tolerance is half a unit of the last printed digit unless the row says why not. A source may be wrong in all its digits.",
    *tables.GENERAL_CAUTIONS,
)
STATUS_WORDS = (
    ("source seen", "the number was read in the source, or in a page that quotes it"),
    ("from memory", "remembered from a source that nobody could open: unverified"),
    ("common practice", "a rule that many use, with no single source"),
    ("derived (arithmetic)", "follows from definitions by arithmetic, worked out by hand"),
)
LEFT = "<style>.lam-rows td, .lam-rows th {text-align: left !important; vertical-align: top}</style>"
FEM_COMMAND = ".venv/bin/python tests/benchmarks/fem_table.py"


def runner(checkout=CHECKOUT):
    """The module that runs the check rows, the same that the tests use.

    Parameters
    ----------
    checkout : path
        Folder of the project's checkout [-].

    Returns
    -------
    module
        ``tests/published/rows.py`` [-].

    Raises
    ------
    InputError
        If the package is installed without its tests.

    Examples
    --------
    >>> runner().FILES
    ('mechanics', 'marine', 'shop')
    """
    path = Path(checkout) / "tests" / "published" / "rows.py"
    if not path.is_file():
        raise InputError("check rows", "must lie in the folder tests/published of the checkout [-]",
                         "an installed package without its tests", "open this notebook from a checkout of the project")
    name = "lamcalc_check_rows"
    if name not in sys.modules or Path(sys.modules[name].__file__) != path:
        spec = importlib.util.spec_from_file_location(name, path)
        module = importlib.util.module_from_spec(spec)
        sys.modules[name] = module
        spec.loader.exec_module(module)
    return sys.modules[name]


class DossierPage:
    """The tables, sentences and pictures of notebook 12.

    Parameters
    ----------
    rows : sequence of CheckRow, optional
        Computed check rows; those of the checkout if not given [-].

    Raises
    ------
    InputError
        If the package is installed without its tests.

    Examples
    --------
    >>> page = DossierPage(runner().published_rows()[:5])
    >>> len(page.rows)
    5
    """

    def __init__(self, rows=None):
        self._runner = runner()
        self.rows = tuple(self._runner.published_rows() if rows is None else rows)

    @cached_property
    def topics(self):
        """Topics in the order of the files [-]."""
        return tuple(dict.fromkeys(topic_of(row) for row in self.rows))

    @cached_property
    def _picture(self):
        return DossierPicture(self.topics)

    def answer(self):
        """The answer in a sentence, as HTML [-]."""
        refuted = sum(row.rule == "refuted" for row in self.rows)
        wrong = [row.id for row in self.rows if not row.agrees]
        kinds = Counter(group_of(row.status) for row in self.rows)
        verdict = "every one agrees" if not wrong else f"{len(wrong)} do NOT agree ({', '.join(wrong)})"
        return tables.show_sentence(
            f"As far as {len(self.rows)} numbers from outside reach: {verdict}. {kinds['source seen']} of them were read in a "
            f"source, {kinds['from memory']} are remembered, {kinds['common practice']} are common practice and "
            f"{kinds['derived (arithmetic)']} are arithmetic. {refuted} are claims or misprints that the sums refute, as they should.")

    def table(self):
        """Rows, evidence and largest difference by topic, as HTML [-]."""
        found = []
        for topic in self.topics:
            rows = [row for row in self.rows if topic_of(row) == topic]
            kinds = Counter(group_of(row.status) for row in rows)
            worst = max((row.in_tolerances for row in rows if row.rule != "refuted"), default=math.nan)
            found.append((topic, len(rows), *(kinds[group] for group in GROUPS), sum(row.rule == "refuted" for row in rows),
                          f"{worst:.2f}", sum(not row.agrees for row in rows)))
        return tables.show_table(pd.DataFrame(found, columns=[
            "topic", "rows", *GROUPS, "claims refuted", "largest difference [tolerances]", "not in agreement"]))

    def figure(self):
        """Distance from the printed value by topic, as an HTML picture [-]."""
        return HTML(self._picture.draw(self.rows, "metric"))

    def inputs(self):
        """What the words of status mean, and how many rows have them, as HTML [-]."""
        kinds = Counter(group_of(row.status) for row in self.rows)
        return tables.show_table(pd.DataFrame([(word, kinds[word], words) for word, words in STATUS_WORDS],
                                              columns=["status", "rows", "what it means"]))

    def everything(self):
        """All rows with source, printed value, ours, difference and status, as an HTML table that scrolls [-]."""
        # plain cells: a style in every cell of a table this long would double the notebook
        with pd.option_context("display.max_colwidth", None):
            table = row_table(self.rows).to_html(index=False, border=0, justify="left")
        return HTML(f'{LEFT}<div class="lam-rows" style="max-height:460px;overflow:auto">{table}</div>')

    def disagreements(self):
        """Where sources disagree with each other, as HTML [-]."""
        return tables.show_list(self._runner.known_disagreements())

    def special(self):
        """Rows with something to explain: cut-off digits, errors of a source, refuted claims, as HTML [-]."""
        rows = [row for row in self.rows if row.note and not row.note.startswith(("hand arithmetic", "as above"))]
        return tables.show_table(pd.DataFrame(
            [(row.id, row.quantity, _with_unit(row.printed, row), _with_unit(number_text(row), row), row.note, row.source)
             for row in rows], columns=["row", "quantity", "printed", "ours", "what to know", "source"]))

    def check(self):
        """A printed digit changed on purpose shows up, as HTML [-]."""
        row = next(row for row in self.rows if row.rule == "value" and row.agrees and row.printed[-1] in "1234567")
        wrong = self._runner.check_row(row.file, row.raw | {"expected": row.printed[:-1] + str(int(row.printed[-1]) + 2)})
        return tables.show_table(row_table((row, wrong)).assign(
            agrees=["yes" if r.agrees else "NO" for r in (row, wrong)]).drop(columns=["topic", "status"]))

    def independent(self):
        """How the finite-element comparison is repeated, as HTML [-]."""
        return tables.show_sentence(
            "Five models in solid, plane and plate elements (unsymmetric strip under tension and cooling, clamped panel, sandwich "
            "beam, hat-stiffened strip, transom with bolt patches) are solved on three meshes each and held against this package "
            f"in the tests. They take about a minute, so they are not run here; for the table: {FEM_COMMAND}")

    def cautions(self):
        """What to keep in mind, as HTML [-]."""
        return tables.show_list(CAUTIONS)

    def chosen(self, topic=ALL, status=ALL, special=ALL, word=""):
        """Rows that pass the filters.

        Parameters
        ----------
        topic : str
            Topic with its file, a file's name, or 'all' [-].
        status : str
            One of the four kinds of evidence, or 'all' [-].
        special : {"all", "noted", "differs"}
            All rows, those with a note, or those that do not agree [-].
        word : str
            Text that must occur in the row, upper or lower case alike [-].

        Returns
        -------
        tuple of CheckRow
            Rows in the order of the files; none where rows that do not agree are asked for and all agree [-].

        Raises
        ------
        InputError
            If no row passes the other filters.
        """
        wanted = word.strip().lower()
        found = tuple(row for row in self.rows if (
            topic in (ALL, row.file, topic_of(row)) and status in (ALL, group_of(row.status))
            and (row.note or special != "noted") and wanted in " ".join((row.id, topic_of(row), row.quantity, row.source, row.note)).lower()))
        if not found:
            raise InputError("filters", "must leave a row [-]", word or special, "choose 'all' or another word")
        return tuple(row for row in found if not row.agrees) if special == "differs" else found

    def panel(self):
        """Live panel: filter the rows.

        Returns
        -------
        Panel
            Show its ``box`` [-].
        """
        files = [(f"all of {name}", name) for name in self._runner.FILES]
        controls = {
            "topic": Choice("Topic", [(ALL, ALL), *files, *((topic, topic) for topic in self.topics)], ALL),
            "status": Choice("How the value was read", [(ALL, ALL), *((group, group) for group in GROUPS)], ALL),
            "special": Choice("Rows", [(ALL, ALL), ("with a note", "noted"), ("that do not agree", "differs")], ALL),
            "word": TextFilter("Text in the row"),
        }
        return Panel(controls, self.chosen, words=_words, table=lambda rows, _system: row_table(farthest(rows)), picture=self._picture,
                     units_shown=False, table_first=True)


def _words(rows, _system):
    if not rows:
        return "Every row that passes the other filters agrees: there is none to show."
    agree = sum(row.agrees for row in rows)
    words = f"{len(rows)} row{'' if len(rows) == 1 else 's'}: {agree} agree, {len(rows) - agree} do not."
    if len(rows) <= MOST_ROWS:
        return words
    return f"{words} The {MOST_ROWS} that lie farthest from the printed value are shown; choose a topic, or see all rows below."


def farthest(rows):
    """The rows that a live table shows.

    Parameters
    ----------
    rows : sequence of CheckRow
        Rows [-].

    Returns
    -------
    list of CheckRow
        All of them; of many those that do not agree and those farthest from the printed value, in their order [-].

    Examples
    --------
    >>> rows = runner().published_rows()
    >>> len(farthest(rows)), farthest(rows[:5]) == list(rows[:5])
    (30, True)
    """
    def urgency(row):
        return row.agrees, row.rule == "refuted", -row.in_tolerances

    kept = {row.id for row in sorted(rows, key=urgency)[:MOST_ROWS]}
    return [row for row in rows if row.id in kept]


def row_table(rows):
    """Rows as a table of texts.

    Parameters
    ----------
    rows : sequence of CheckRow
        Rows [-].

    Returns
    -------
    DataFrame
        One row a check; values in the unit of the source [-].

    Examples
    --------
    >>> row_table(runner().published_rows()[:2])["row"].tolist()
    ['M1-01', 'M1-02']
    """
    return pd.DataFrame([
        (row.id, topic_of(row), f"{row.quantity} [{row.raw['unit']}]", row.printed, number_text(row), difference_text(row),
         f"{row.in_tolerances:.2f}{' (refuted)' if row.rule == 'refuted' else ''}",
         group_of(row.status) + (", unverified" if group_of(row.status) == "from memory" else ""),
         f"{row.source.rstrip('.')}. Note: {row.note}." if row.note else row.source)
        for row in rows], columns=["row", "topic", "quantity [unit]", "printed", "ours", "difference", "difference [tolerances]",
                                   "status", "source"])


def number_text(row):
    """The package's number with a digit more than anybody prints; what rounding leaves of a zero is 0.

    Parameters
    ----------
    row : CheckRow
        A check row [-].

    Returns
    -------
    str
        Number [unit of the row].
    """
    low, high = row.bounds
    return "0" if low <= 0 <= high and abs(row.computed) < 1e-3 * (high - low) else f"{row.computed:.6g}"


def difference_text(row):
    """Ours less printed, in the unit of the row; rounding dust is 0.

    Parameters
    ----------
    row : CheckRow
        A check row [-].

    Returns
    -------
    str
        Number with sign [unit of the row].
    """
    dust = max(1e-9 * abs(row.computed), 1e-4 * (row.bounds[1] - row.bounds[0]))
    return "0" if abs(row.difference) <= dust else f"{row.difference:+.2g}"


def _with_unit(text, row):
    return text if row.raw["unit"] == "-" else f"{text} {row.raw['unit']}"
