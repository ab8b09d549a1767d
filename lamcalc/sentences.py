"""Sentences with figures in them, told in metric or US units when they are printed.

Inside the package everything is metric; whoever writes a sentence puts its figures in as `Figure`s, and whoever prints it
tells it in the units of the page.  Refusals are told the same way: their rule names its unit in brackets.
"""

import re
from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, shown
from lamcalc.units import KINDS, convert, show, system_unit, unit_label


@dataclass(frozen=True)
class Figure:
    """A quantity inside a sentence.

    Parameters
    ----------
    value : float
        Value [internal unit of the kind, or `unit`].
    kind : str
        Kind of quantity, a key of `KINDS` [-].
    unit : str, optional
        Unit of the value if it is not the internal one [-].
    high : float, optional
        Upper end of a range that starts at `value` [as `value`].
    digits : int, optional
        Significant digits, trailing zeros left out; the kind's own decimals if not given [-].

    Examples
    --------
    >>> Figure(12, "small_length", digits=2).told("us"), Figure(4, "thickness", high=6, digits=2).told("metric")
    ('0.47 in', '4 to 6 mm')
    """

    value: float
    kind: str
    unit: str | None = None
    high: float | None = None
    digits: int | None = None

    def told(self, system):
        """Number or range with its unit.

        Parameters
        ----------
        system : {'metric', 'us'}
            Unit system [-].

        Returns
        -------
        str
            Text [-].
        """
        texts = [self._number(value, system) for value in (self.value, self.high) if value is not None]
        return f"{' to '.join(texts)} {unit_label(self.kind, system)}"

    def _number(self, value, system):
        if self.digits is None:
            return show(value, self.kind, system, unit=self.unit).partition(" ")[0]
        shown = convert(float(value), self.unit or KINDS[self.kind].internal, system_unit(self.kind, system))
        return f"{float(f'{shown:.{self.digits}g}'):.12g}"


class Sentence(str):
    """A sentence whose figures can be told in either unit system; as a plain string it is metric.

    Parameters
    ----------
    template : str
        Text with a name in braces for every fact [-].
    capital : bool
        Whether it starts with a capital [-].
    **facts : Figure, Sentence, str or number
        What stands in the braces [-].

    Examples
    --------
    >>> said = Sentence("{thick} and {count} plies", thick=Figure(5.5, "thickness", digits=2), count=6)
    >>> said, told(said, "us"), told("plain", "us")
    ('5.5 mm and 6 plies', '0.22 in and 6 plies', 'plain')
    """

    def __new__(cls, template, /, *, capital=False, **facts):
        """The sentence in metric units, with a capital first if asked for."""
        made = super().__new__(cls, _filled(template, facts, "metric", capital))
        made.template, made.facts, made.opens = template, facts, capital
        return made

    def __getnewargs_ex__(self):
        """What pickling needs to build it again."""
        return (self.template,), {"capital": self.opens, **self.facts}


def _filled(template, facts, system, capital):
    text = template.format_map({name: fact.told(system) if isinstance(fact, Figure) else told(fact, system)
                                for name, fact in facts.items()})
    return text[:1].upper() + text[1:] if capital else text


def told(text, system, *, capital=False):
    """A text in one unit system.

    Parameters
    ----------
    text : Sentence or str
        Sentence; any other text or number comes back as it is [-].
    system : {'metric', 'us'}
        Unit system [-].
    capital : bool
        Whether it starts with a capital [-].

    Returns
    -------
    str
        Text [-].

    Examples
    --------
    >>> told(Sentence("{t} is warm", t=Figure(30, "temperature", digits=3)), "us")
    '86 degF is warm'
    """
    if isinstance(text, Sentence):
        text = _filled(text.template, text.facts, system, text.opens)
    return text[:1].upper() + text[1:] if capital else text


def joined(separator, texts):
    """Sentences put together, still able to be told in either unit system.

    Parameters
    ----------
    separator : str
        What goes between, without braces [-].
    texts : iterable of str
        Sentences or plain texts [-].

    Returns
    -------
    Sentence
        The whole [-].

    Examples
    --------
    >>> told(joined("; ", ["one", Sentence("{t}", t=Figure(25.4, "thickness"))]), "us")
    'one; 1.000 in'
    """
    facts = {f"part{k}": text for k, text in enumerate(texts)}
    return Sentence(separator.join(f"{{{name}}}" for name in facts), **facts)


# kind of quantity of a number whose metric unit is told beside it
KIND_OF_UNIT = {"mm": "small_length", "m": "length", "m2": "area", "mm2": "section_area", "N": "force", "N/mm": "force_per_width",
                "N mm/mm": "moment_per_width", "MPa": "stress", "kPa": "pressure", "kN/m2": "pressure", "kg": "mass",
                "kg/m3": "density", "g/m2": "areal_weight", "kg/m2": "areal_mass", "degC": "temperature", "kW": "power", "L": "volume",
                "kN m2/m": "flexural_stiffness_per_width"}


class _Bare(Figure):
    """A number of a rule, whose unit stands in the brackets behind it."""

    def told(self, system):
        """The number without its unit: as entered, four digits where converted."""
        return f"{self.value:g}" if system == "metric" else self._number(self.value, system)


class _Received(Figure):
    """A number received, in metric as every message shows a value."""

    def told(self, system):
        """The number or numbers without their unit, four digits where converted."""
        if system == "metric":
            return shown(self.value)
        found = np.asarray(convert(np.asarray(self.value, dtype=float), self.unit, system_unit(self.kind, system)))
        return np.array2string(found, threshold=6, precision=4) if found.ndim else f"{float(found):.4g}"


class _Label(Figure):
    """A unit alone."""

    def told(self, system):
        """The unit in metric as the rule has it."""
        return self.unit if system == "metric" else unit_label(self.kind, system)


def counted(number, word, words=None):
    """A number of things: one of them in the singular.

    Parameters
    ----------
    number : int
        How many [-].
    word : str
        What one is called [-].
    words : str, optional
        What several are called; the word and an s if not given [-].

    Returns
    -------
    str
        Number and word [-].

    Examples
    --------
    >>> counted(1, "layer"), counted(3, "layer"), counted(0, "ply", "plies")
    ('1 layer', '3 layers', '0 plies')
    """
    return f"{number} {word if number == 1 else words or word + 's'}"


def rule_sentence(template, **figures):
    """The rule of an `InputError` with figures in it, to be told in either unit system.

    Parameters
    ----------
    template : str
        Text with a name in braces for every figure, and the unit of the figures in brackets [-].
    **figures : float or Figure
        Numbers in that unit; a `Figure` brings its own [as the brackets say].

    Returns
    -------
    Sentence
        Rule [-].

    Examples
    --------
    >>> print(InputError("core", rule_sentence("must be at most {most} [mm]", most=25.4), 30.0))
    core must be at most 25.4 [mm]; received 30.0.
    >>> told_problem(InputError("core", rule_sentence("must be at most {most} [mm]", most=25.4), 30.0), "us")
    'core must be at most 1 [in]; received 1.181.'
    """
    unit = re.search(r"\[([^][]+)\]", template)[1]
    return Sentence(template, **{name: _in_rule(value, unit) for name, value in figures.items()})


def bare(value, unit):
    """A number whose unit stands elsewhere in the sentence.

    Parameters
    ----------
    value : float
        Value [as `unit` says].
    unit : str
        Its metric unit [-].

    Returns
    -------
    Figure or str
        What `Sentence` takes; plain text for a unit without a counterpart [-].

    Examples
    --------
    >>> told(Sentence("{low} to {high}", low=bare(25.4, "mm"), high=bare(50.8, "mm")), "us"), bare(2.5, "%")
    ('1 to 2', '2.5')
    """
    return _Bare(float(value), KIND_OF_UNIT[unit], unit, digits=4) if unit in KIND_OF_UNIT else f"{value:g}"


def label(unit):
    """A metric unit whose number stands elsewhere in the sentence.

    Parameters
    ----------
    unit : str
        Metric unit [-].

    Returns
    -------
    Figure or str
        What `Sentence` takes; the same text for a unit without a counterpart [-].

    Examples
    --------
    >>> told(Sentence("[{unit}]", unit=label("mm")), "us"), label("%")
    ('[in]', '%')
    """
    return _Label(0.0, KIND_OF_UNIT[unit], unit) if unit in KIND_OF_UNIT else unit


def _in_rule(value, unit):
    if isinstance(value, Figure | str):
        return value
    return shown(value) if np.ndim(value) else bare(value, unit)


_BRACKETS = re.compile(r"\[([^][]+)\]")


def _brackets(rule):
    """The units in the brackets of a rule that can be told in US units; none if one of them cannot.

    A plain rule with a figure in it would be told with a metric figure before a US unit, so it stays as it is.
    """
    found = tuple(dict.fromkeys(_BRACKETS.findall(rule)))
    figures = not isinstance(rule, Sentence) and re.search(r"(?<!\w)[1-9]|0\.", _BRACKETS.sub("", rule))
    return () if figures or not set(found) <= set(KIND_OF_UNIT) else found


def rule_words(rule):
    """The rule of an `InputError` with the unit in its brackets, to be told in either unit system.

    Parameters
    ----------
    rule : str
        Rule; one with figures in it is told only if it is a `rule_sentence` [-].

    Returns
    -------
    str or Sentence
        The same text in metric [-].

    Examples
    --------
    >>> told(rule_words("must be greater than 0 [mm]"), "us"), rule_words("must be 5 or more [mm]")
    ('must be greater than 0 [in]', 'must be 5 or more [mm]')
    """
    found = _brackets(rule)
    if not found:
        return rule
    template, facts = (rule.template, rule.facts) if isinstance(rule, Sentence) else (
        rule.replace("{", "{{").replace("}", "}}"), {})
    labels = {f"unit{k}_of_rule": label(unit) for k, unit in enumerate(found)}
    for name, mark in labels.items():
        template = template.replace(f"[{mark.unit}]", f"[{{{name}}}]")
    return Sentence(template, **facts, **labels)


def received_words(value, rule):
    """A value received, to be told in either unit system where the rule says what it is in.

    Parameters
    ----------
    value : object
        Number in the unit of the rule, or anything else [-].
    rule : str
        Rule with its unit in brackets [-].

    Returns
    -------
    str or Sentence
        As a message shows it [-].

    Examples
    --------
    >>> told(received_words(-25.4, "must be greater than 0 [mm]"), "us"), received_words("2 in", "must be a number [mm]")
    ('-1', "'2 in'")
    """
    found, several = _brackets(rule), isinstance(value, tuple) and len(value) > 1
    # whole numbers in a row are the shape of an array or a count
    fit = float if several else (int, float, np.number, np.ndarray)
    values = value if several else (value,)
    if len(found) != 1 or not all(isinstance(one, fit) and np.asarray(one).dtype.kind in "if" and np.all(np.abs(one) < 1e300)
                                  for one in values):
        return shown(value)
    facts = {f"part{k}": _Received(one, KIND_OF_UNIT[found[0]], found[0]) for k, one in enumerate(values)}
    listed = ", ".join(f"{{{name}}}" for name in facts)
    return Sentence(f"({listed})" if several else listed, **facts)


def problem_words(problem):
    """The sentence of an error, to be told in either unit system.

    Parameters
    ----------
    problem : Exception
        An `InputError` is told; one that has a method `words` by that; any other is its text [-].

    Returns
    -------
    str or Sentence
        In metric the text of the error [-].

    Examples
    --------
    >>> told(problem_words(InputError("span", "must be greater than 0 [mm]", -25.4, "measure again")), "us")
    'span must be greater than 0 [in]; received -1. Next: measure again.'
    """
    if hasattr(problem, "words"):
        return problem.words()
    if type(problem) is not InputError:
        return str(problem)
    return Sentence("{name} {rule}; received {value}." + (" Next: {next_step}." if problem.next_step else ""),
                    name=problem.name, rule=rule_words(problem.rule), next_step=problem.next_step,
                    value=received_words(problem.value, problem.rule))


def told_problem(problem, system):
    """The sentence of an error in one unit system.

    Parameters
    ----------
    problem : Exception
        As for `problem_words` [-].
    system : {'metric', 'us'}
        Unit system [-].

    Returns
    -------
    str
        Text [-].

    Examples
    --------
    >>> told_problem(ValueError("no"), "us")
    'no'
    """
    return str(problem) if system == "metric" else told(problem_words(problem), system)
