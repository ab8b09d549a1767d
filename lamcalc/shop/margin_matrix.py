"""Margins of several builds side by side: a row a check, a column a build, the factors below."""

from dataclasses import dataclass
from string import ascii_lowercase

from lamcalc.sentences import told
from lamcalc.shop.sheet_checks import reserve_words


@dataclass(frozen=True)
class MarginMatrix:
    """Margins of several builds as text.

    Parameters
    ----------
    rows : tuple of tuple of str
        Name of the check, then one text a build: reserve factor, verdict, letter of the factor, where it is decided [-].
    factors : tuple of str
        Design factors with rule and status, each behind its letter [-].
    not_assessed : tuple of str
        What was not assessed and for which builds, in sentences [-].

    Examples
    --------
    >>> MarginMatrix((), (), ()).rows
    ()
    """

    rows: tuple
    factors: tuple
    not_assessed: tuple


def margin_matrix(results, system="metric"):
    """Margins of several builds side by side.

    Parameters
    ----------
    results : sequence of TransomResult
        The builds, each with `name` and `strength` [-].
    system : {"metric", "us"}
        Unit system of the words [-].

    Returns
    -------
    MarginMatrix
        Every margin of every build once [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_transom import transom_comparison
    >>> results = transom_comparison(load_demo()).results
    >>> [cell.partition(" ")[2] for cell in margin_matrix(results).rows[3][1:3]]
    ['does not hold: less margin than the rule asks (c)', 'does not hold: less margin than the rule asks (c)']
    """
    checks, letters = {}, {}
    for place, result in enumerate(results):
        for margin in result.strength.margins:
            check, _, where = told(margin.name, system).partition(": ")
            letter = letters.setdefault(margin.factor.words, _letter(len(letters)))
            text = f"{reserve_words(margin)} {margin.verdict} ({letter})" + (f"; {where}" if where else "")
            checks.setdefault(check, {}).setdefault(place, []).append(text)
    rows = tuple((check, *("; ".join(cells.get(place, ["-"])) for place in range(len(results)))) for check, cells in checks.items())
    return MarginMatrix(rows, tuple(f"({letter}) {words}" for words, letter in letters.items()), _not_assessed(results))


def _letter(number):
    """a to z, then aa to az and on."""
    more, last = divmod(number, 26)
    return (_letter(more - 1) if more else "") + ascii_lowercase[last]


def _not_assessed(results):
    builds = {}
    for result in results:
        for what in result.strength.not_assessed:
            builds.setdefault(what, []).append(result.name)
    lines = {}
    for what, names in builds.items():
        lines.setdefault("any build" if len(names) == len(results) else ", ".join(names), []).append(what)
    return tuple(f"Not assessed for {names}: {'; '.join(what)}." for names, what in lines.items())
