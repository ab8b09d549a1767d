"""Changes to the document of a job by field path, and the blank job file."""

import re

from lamcalc.errors import InputError
from lamcalc.shop.job_places import places, replaced

BLANK = """\
# Job file. Numbers stand in the unit that the field is named after; a text such as "3/4 in" is converted.
format = 1
name = "new job"
units = "metric" # shown to the user: metric or us
notes = []

[craft]
description = "not described yet"
length_m = 5.0 # measure

[shop]
air_temperature_c = 20.0 # read the thermometer
hull_temperature_c = 20.0 # on the surface that is laid on
humidity_percent = 60
crew = 1
labour_per_hour = 0.0
status = "assumed" # write "measured" when the three readings above are yours

[waste] # shares of the net quantity, as fractions (common practice)
glass = 0.12
resin = 0.15
gel_coat = 0.20
putty = 0.25

[resins]

[prices]
currency = "money"
date = {date}
items = []

[stock]
rolls = []
containers = []
sheets = []

[survey]

[schedules]

[parts]

[as_built]

{mark}
"""


def edited(text, changes):
    """Text of a job file after changes; comments and order stay.

    Parameters
    ----------
    text : str
        A job file [-].
    changes : mapping of str to object
        Value by field path; None takes a field out; a list place one past the end adds to the list [-].

    Returns
    -------
    str
        The text, not checked yet [-].

    Raises
    ------
    InputError
        If a path leads nowhere or a value cannot stand in a job file.

    Examples
    --------
    >>> edited("crew = 2 # people", {"crew": 3})
    'crew = 3 # people'
    """
    import tomlkit
    from tomlkit.exceptions import TOMLKitError

    where, spans, rest = places(text), {}, {}
    for path, value in changes.items():
        span = where.values.get(tuple(_steps(path)))
        plain = _plain(value)
        try:
            if span and text[span[0]] not in "[{" and not isinstance(plain, dict | list | None):
                spans[span] = tomlkit.item(plain).as_string()  # a value in place of a value: only its own text changes
            else:
                rest[path] = plain
        except (TOMLKitError, TypeError, ValueError):
            raise _unfit(path, value) from None
    text = replaced(text, spans)
    if not rest:
        return text
    document = tomlkit.parse(text)
    for path, value in rest.items():
        try:
            _set(document, path, value)
        except InputError:
            raise
        except (TOMLKitError, TypeError, ValueError):
            raise _unfit(path, value) from None
    return document.as_string()


def _unfit(path, value):
    return InputError(path, "must be a number, text, date, list or table [-]", value, "check the value")


def _steps(path):
    """Keys and list places of a path such as schedules.inner_skin.layers[2].count."""
    if not isinstance(path, str) or not re.fullmatch(r"\w+(\[\d+\])*(\.\w+(\[\d+\])*)*", path):
        raise InputError("field path", "must be names joined by dots, with list places in brackets [-]", path,
                         "write it like parts.transom.engine.mass_kg or schedules.inner_skin.layers[2].count")
    return [int(step[1:-1]) if step[0] == "[" else step for step in re.findall(r"\w+|\[\d+\]", path)]


def _plain(value):
    """Numbers of NumPy, tuples and models as plain TOML values."""
    if hasattr(value, "model_dump"):
        value = value.model_dump(exclude_none=True)
    if hasattr(value, "tolist"):
        value = value.tolist()
    if isinstance(value, dict):
        return {str(key): _plain(one) for key, one in value.items()}
    return [_plain(one) for one in value] if isinstance(value, list | tuple) else value


def _set(document, path, value):
    import tomlkit

    here, steps = document, _steps(path)
    for place, step in enumerate(steps[:-1]):
        if isinstance(step, str) and isinstance(here, dict) and step not in here:
            here[step] = tomlkit.inline_table() if isinstance(here, tomlkit.items.InlineTable) else tomlkit.table()
        here = _inside(here, step, path, steps[place])
    last = steps[-1]
    if value is None:
        _inside(here, last, path, last)
        del here[last]
    elif isinstance(last, int) and isinstance(here, list) and last == len(here):
        here.append(value)
    elif isinstance(last, str) and isinstance(here, dict):
        here[last] = _written(value)
    else:
        _inside(here, last, path, last)
        here[last] = _written(value)


def _written(value):
    """A list of tables one table a line; with headers of its own it would swallow the fields that follow the list."""
    import tomlkit

    if not (isinstance(value, list) and value and all(isinstance(one, dict) for one in value)):
        return value
    lines = tomlkit.array()
    for one in value:
        line = tomlkit.inline_table()
        line.update(one)
        lines.append(line)
    return lines.multiline(True)


def _inside(here, step, path, shown):
    fits = isinstance(here, list) if isinstance(step, int) else isinstance(here, dict)
    if not fits or (step >= len(here) if isinstance(step, int) else step not in here):
        raise InputError("field path", f"leads nowhere at {shown!r} [-]", path, "check the names and the list places")
    return here[step]
