"""What is wrong in a job file, in words: line, field, rule, value received, next step."""

import re
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from functools import cache
from typing import Literal, get_args, get_origin

from pydantic import BaseModel

from lamcalc.errors import InputError
from lamcalc.sentences import Sentence, joined, received_words, rule_words, told
from lamcalc.shop import job_details, job_floor, job_layers, job_model, job_parts, job_readings
from lamcalc.shop.field_words import unit_of
from lamcalc.shop.job_places import places

MOST_SHOWN = 20
MOST_KEPT = 200
_US_ENTRY = re.compile(r"\d\s*(?:in|inch|inches|ft|foot|feet|yd|mil|oz|lbs?|lbf|psi|ksi|Msi|gal|qt|hp|mph|(?:deg)?F|[\"'])(?:[\s/.\d]|$)")
# fields that a newcomer has no figure for
_USUAL = {"trailering_factor": "2.5 is common practice for a boat that is trailered or slams"}
_WORDS = {
    "tuple_type": ("must be a list in square brackets [-]", "write it like [1, 2]"),
    "model_type": ("must be a table [-]", "write its fields one by one"),
    "model_attributes_type": ("must be a table [-]", "write its fields one by one"),
    "dict_type": ("must be a table [-]", "write its fields one by one"),
    "bool_type": ("must be true or false [-]", "write true or false without quotation marks"),
    "date_type": ("must be a date [-]", "write it like 2026-03-02 without quotation marks"),
    "union_tag_not_found": ("needs the field kind [-]", "say what it is, for example kind = \"ply\""),
}


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong in a job file.

    Parameters
    ----------
    field : str
        Path of the field, such as parts.transom.engine.mass_kg; empty for the whole file [-].
    rule : str
        The rule with its unit [-].
    received : str
        The value received, as shown; a Sentence where it is a number with a known unit [-].
    next_step : str
        What to do next [-].
    line : int, optional
        Line of the file [-].

    Examples
    --------
    >>> print(Problem("shop.crew", "must be a whole number from 1 to 50 [-]", "0", "count again", 12))
    line 12, shop.crew: must be a whole number from 1 to 50 [-]; received 0. Next: count again.
    """

    field: str
    rule: str
    received: str = "nothing"
    next_step: str = ""
    line: int | None = None

    def words(self, *, place=None, entered=False):
        """The problem in a sentence.

        Parameters
        ----------
        place : str, optional
            What it is about in other words than line and field [-].
        entered : bool
            Whether the value was entered on a page, so that it is told in either unit system; a file is quoted as it is
            written [-].

        Returns
        -------
        Sentence
            Place, rule, value received and next step [-].
        """
        if place is None:
            place = ", ".join(part for part in (f"line {self.line}" if self.line else "", self.field) if part)
        stop = "" if self.next_step.endswith("?") else "."
        return Sentence("{place}: {rule}; received {received}." + (" Next: {next_step}{stop}" if self.next_step else ""),
                        place=place or "the file", rule=rule_words(self.rule) if entered else str(self.rule),
                        received=self.received if entered else str(self.received),
                        next_step=self.next_step if entered else str(self.next_step), stop=stop)

    def __str__(self):
        return str(self.words())


class JobError(InputError):
    """A job file that cannot be used, with every problem found.

    Parameters
    ----------
    source : str
        Name of the file, or words for it [-].
    problems : sequence of Problem
        At least one [-].
    entered : bool
        Whether the values were entered on a page, not in the file [-].

    Examples
    --------
    >>> print(JobError("launch.toml", [Problem("name", "is missing [-]", line=1)]))
    launch.toml: line 1, name: is missing [-]; received nothing.
    """

    def __init__(self, source, problems, entered=False):
        self.source, self.problems, self.entered = source, tuple(problems), entered
        first = self.problems[0]
        super().__init__(first.field, first.rule, first.received, first.next_step)
        self.args = (str(self.words()),)

    def words(self):
        """All problems below each other, to be told in either unit system.

        Returns
        -------
        Sentence
            Source and problems, the first 20 of very many [-].
        """
        lines = [problem.words(entered=self.entered) for problem in self.problems[:MOST_SHOWN]]
        more = len(self.problems) - len(lines)
        lines += [f"and {more} more"] if more else []
        if len(lines) == 1:
            return joined(": ", [self.source, *lines])
        return joined("\n  ", [f"{self.source}: {len(self.problems)} problems", *lines])

    def __reduce__(self):
        return JobError, (self.source, self.problems, self.entered)


def short(text, longest=80):
    """A text cut to a length, with dots where something is missing.

    Parameters
    ----------
    text : str
        Any text [-].
    longest : int
        Characters kept [-].

    Returns
    -------
    str
        At most that long [-].

    Examples
    --------
    >>> short("a long sentence", 8)
    'a lon...'
    """
    return text if len(text) <= longest else text[:longest - 3] + "..."


def shown(value):
    """A value as a job file would show it, shortened.

    Parameters
    ----------
    value : object
        Plain data [-].

    Returns
    -------
    str
        One line [-].

    Examples
    --------
    >>> shown(True), shown(-104), shown({"a": 1})
    ('true', '-104', 'a table')
    """
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict | BaseModel):
        return "a table"
    if isinstance(value, list | tuple):
        return f"a list of {len(value)}"
    if isinstance(value, str):
        return short(repr(value))
    return short(value.isoformat() if isinstance(value, date) else str(value))


def _received(value, rule):
    """A number of the model, which is in the unit of the rule, as a message in either unit system shows it."""
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    words = received_words(value, rule) if plain else None
    return words if isinstance(words, Sentence) else shown(value)


@cache
def _tables():
    """Field names of every table of the model, and its kind where it has one."""
    found = {}
    for module in (job_model, job_floor, job_layers, job_parts, job_details, job_readings):
        for record in vars(module).values():
            if isinstance(record, type) and issubclass(record, BaseModel):
                kind = record.model_fields.get("kind")
                found[record.__name__] = tuple(record.model_fields), kind and kind.annotation.__args__[0]
    return found


@cache
def _choices(name):
    """What may stand in a field of this name, where it is one of few words."""
    for module in (job_model, job_floor, job_layers, job_parts, job_details, job_readings):
        for record in vars(module).values():
            field = record.model_fields.get(name) if isinstance(record, type) and issubclass(record, BaseModel) else None
            if field is not None and get_origin(field.annotation) is Literal and len(get_args(field.annotation)) > 1:
                return tuple(str(one) for one in get_args(field.annotation))
    return ()


def _missing(name):
    """Rule and next step for a field that is not there: its unit, or the words to choose from."""
    choices, unit = _choices(name), unit_of(name)
    if choices:
        return "is missing [-]", f"add it: {name} = one of " + ", ".join(f'"{one}"' for one in choices)
    if unit and unit not in ("-", "%"):
        return f"is missing [{unit}]", f'add it: {name} = a number in {unit}, or a text with a unit of its own in quotation marks'
    return "is missing [-]", "add it" + (f": {_USUAL[name]}" if name in _USUAL else "")


def _advice(name, beside):
    """Next step for an unknown field: where it belongs, or the nearest name of the table it stands in."""
    names, tag = set(beside), beside.get("kind")

    def fit(table):
        fields, kind = table
        return kind == tag, sum(field in names for field in fields), -len(fields)

    here, _ = max(_tables().values(), key=fit)
    near = get_close_matches(name, here, 1, 0.7) + [field for field in here if name in field or field in name]
    homes = sorted(table for table, (fields, _) in _tables().items() if name in fields)
    if homes:
        return f"move it: this name belongs to {' or '.join(homes[:4])}"
    return f"did you mean {near[0]}?" if near else f"the fields here are {', '.join(here)}"


def _path(location, data):
    """Path in the file of a pydantic location, without the tags of choices."""
    path, entered = [], True
    for part in location:
        tag = entered and isinstance(data, dict) and part == data.get("kind")
        entered = not tag
        if tag or part == "[key]":
            continue
        path.append(part)
        known = isinstance(data, dict) and part in data or isinstance(data, list) and isinstance(part, int)
        data = data[part] if known else None
    return tuple(path)


def _at(path, data):
    """What the file has at a path; None where it has nothing."""
    for part in path:
        known = isinstance(data, dict) and part in data or isinstance(data, list) and isinstance(part, int) and part < len(data)
        data = data[part] if known else None
    return data


def _beside(path, data):
    for part in path[:-1]:
        data = data[part]
    return data if isinstance(data, dict) else {}


def _dotted(path):
    return "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path).lstrip(".")


def _in_words(error, beside):
    """Rule and next step of a pydantic error; `beside` is the table that it stands in."""
    context = error.get("ctx") or {}
    kind = error["type"]
    if kind == "rule":
        return context["rule"], context["next_step"]
    if kind == "extra_forbidden":
        return "is not a field of a job file here [-]", _advice(str(error["loc"][-1]), beside)
    if kind == "missing":
        return _missing(str(error["loc"][-1]))
    if kind in _WORDS:
        return _WORDS[kind]
    if kind in ("literal_error", "union_tag_invalid"):
        choices = str(context.get("expected") or context.get("expected_tags"))
        return f"must be one of {choices} [-]".replace("' or '", "', '"), "choose one of these"
    if kind in ("too_short", "too_long"):
        size = f"at least {context['min_length']}" if kind == "too_short" else f"at most {context['max_length']}"
        return f"must have {size} entries [-]", "check the list"
    return error["msg"][0].lower() + error["msg"][1:] + " [-]", "check the entry"


def problems(failure, data, text):
    """Every problem of a failed validation, in the order of the file.

    Parameters
    ----------
    failure : pydantic.ValidationError
        What the model refused [-].
    data : dict
        Plain data of the file [-].
    text : str
        Its text, for the line numbers [-].

    Returns
    -------
    list of Problem
        With line numbers; the first 200 of very many [-].
    """
    where = places(text)
    found = []
    for error in failure.errors(include_url=False)[:MOST_KEPT]:
        context = error.get("ctx") or {}
        extra = context.get("field") or ()
        location = error["loc"] + ((extra,) if isinstance(extra, str) else tuple(extra))
        path = _path(location, data)
        if error["type"] == "too_short" and len(error["input"]) >= context["min_length"]:
            continue  # a member that is wrong itself was left out of pydantic's count
        rule, next_step = _in_words(error, _beside(path, data))
        gone = error["type"] == "missing" or "is missing" in rule
        value = context["value"] if context.get("value") is not None else error["input"]
        if error["type"] == "union_tag_invalid":
            path, value = path + ("kind",), context["tag"]
        written = _at(path, data)
        value = written if isinstance(written, str) else value  # "7 in", not the 177.8 that it was read as
        if isinstance(value, str) and _US_ENTRY.search(value):
            rule, next_step = told(rule_words(rule), "us"), told(next_step, "us")  # in the units of what was entered
        found.append(Problem(_dotted(path), rule, "nothing" if gone else _received(value, rule), next_step, where.line(path)))
    return sorted(found, key=lambda problem: problem.line or 0)
