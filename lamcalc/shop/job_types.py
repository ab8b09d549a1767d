"""Building blocks of the job file: numbers with a unit and a range, texts, names, frozen tables.

A number is written plainly in the unit that its field is named after, or as a
text with its own unit (`"3/4 in"`), which is converted once, here.  Every check
gives the rule in words, so that the reader of a message needs no program text.
"""

import re
from datetime import date
from functools import partial
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, Strict
from pydantic_core import PydanticCustomError

from lamcalc import errors, units
from lamcalc.sentences import Sentence, rule_sentence
from lamcalc.shop.field_words import figure

STATUSES = ("measured", "data sheet", "source seen", "from memory", "common practice", "assumed")
KIND_OF_UNIT = {
    "mm": "small_length", "m": "length", "kg": "mass", "g": "small_mass", "N": "force", "MPa": "modulus",
    "kPa": "pressure", "kg/m3": "density", "degC": "temperature", "kW": "power", "min": "time", "m2": "area",
    "deg": "angle",
}


def broken(rule, next_step="", *, field=None, value=None):
    """The error that a validator of the job model raises: rule, next step and place in words.

    Parameters
    ----------
    rule : str
        The rule that is broken, with its unit [-].
    next_step : str
        What to do next [-].
    field : str, optional
        Field inside the table being checked, where the check looks at several [-].
    value : object, optional
        The value received, where it is not the whole table [-].

    Returns
    -------
    PydanticCustomError
        To be raised [-].

    Examples
    --------
    >>> str(broken("must be greater than 0 [mm]"))
    'must be greater than 0 [mm]'
    """
    return PydanticCustomError("rule", "{rule}", {"rule": rule, "next_step": next_step, "field": field, "value": value})


class Record(BaseModel):
    """A table of the job file: frozen, and closed to fields that nobody defined."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


class FrozenTable(dict):
    """A dictionary that cannot be changed: the named tables of a job.

    Examples
    --------
    >>> FrozenTable(a=1)["a"] = 2
    Traceback (most recent call last):
    TypeError: a job is frozen: use lamcalc.shop.job.update
    """

    def _refuse(self, *_, **__):
        raise TypeError("a job is frozen: use lamcalc.shop.job.update")

    __setitem__ = __delitem__ = clear = pop = popitem = setdefault = update = __ior__ = _refuse

    def __reduce__(self):
        return FrozenTable, (dict(self),)

    def __hash__(self):
        return hash(tuple(self.items()))


def _house(check, *arguments, **options):
    """Run one of the house's input checks and hand on its sentence."""
    try:
        return float(check("", *arguments, **options))
    except errors.InputError as problem:
        raise broken(problem.rule, problem.next_step) from None


def _plain_number(value, unit):
    """The number as written, or converted from a text that carries its own unit."""
    if isinstance(value, str):
        kind = KIND_OF_UNIT.get(unit)
        if kind is None:
            raise broken(f"must be a number [{unit}]", "write digits without quotation marks")
        try:
            internal = units.KINDS[kind].internal
            value = units.parse(value, kind)
            return value if internal == unit else units.convert(value, internal, unit)
        except errors.InputError as problem:
            raise broken(problem.rule, problem.next_step) from None
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise broken(f"must be a number [{unit}]", "write digits without quotation marks")
    if abs(value) > 1e300 and isinstance(value, int):
        raise broken(f"must be a number of reasonable size [{unit}]", "check the entry")
    return value


# what a plain number out of range most likely is, and how that is written
_SLIPS = {("mm", "least"): ("inches", "in"), ("MPa", "least"): ("GPa", "GPa"), ("degC", "most"): ("degrees Fahrenheit", "degF")}


def _hint(which, end, written, unit):
    """Next step for a number beyond its range."""
    slip = None if isinstance(written, str) else _SLIPS.get((unit, which))
    tail = '; if it is in {name}, write "{entry}" in quotation marks' if slip else ""
    return Sentence("check the unit and the number; {end} is the " + which + " that is taken" + tail, end=figure(end, unit),
                    **({"name": slip[0], "entry": f"{written:g} {slip[1]}"} if slip else {}))


def _rule(words, end, unit):
    return rule_sentence(f"{words} [{unit}]", end=end)


def _quantity(value, *, unit, above, least, most):
    written, value = value, _plain_number(value, unit)
    if above == 0 or (least or 0) > 0:
        value = _house(errors.positive, value, unit)
    elif least == 0:
        value = _house(errors.positive, value, unit, zero=True)
    else:
        value = _house(errors.number, value, unit)
    if most is not None and value > most:
        raise broken(_rule("must be at most {end}", most, unit), _hint("most", most, written, unit))
    if least is not None and value < least:
        raise broken(_rule("must be {end} or more", least, unit), _hint("least", least, written, unit))
    return value


def quantity(unit, *, above=None, least=None, most=None):
    """Type of a number with a unit and the range that makes sense.

    Parameters
    ----------
    unit : str
        Unit of the number; a text with another unit of the same kind is converted to it [-].
    above : 0, optional
        The number must be greater than this [as `unit` says].
    least, most : float, optional
        Smallest and largest allowed [as `unit` says].

    Returns
    -------
    type
        For the fields of a `Record` [-].

    Examples
    --------
    >>> from pydantic import TypeAdapter
    >>> TypeAdapter(quantity("mm", above=0, most=300)).validate_python("3/4 in")
    19.05
    """
    return Annotated[float, BeforeValidator(partial(_quantity, unit=unit, above=above, least=least, most=most))]


def _percent(value, *, most):
    if isinstance(value, float) and 0 < value < 0.1:
        share = f"{value * 100:g}"
        raise broken("must be a percentage [%]", f"it looks like a fraction: write {share} for {share} %")
    return _quantity(value, unit="%", above=None, least=0, most=most)


def percent(most=100):
    """Type of a percentage (fields named `..._percent`).

    Parameters
    ----------
    most : float
        Largest allowed [%].

    Returns
    -------
    type
        For the fields of a `Record` [-].

    Examples
    --------
    >>> from pydantic import TypeAdapter
    >>> TypeAdapter(percent()).validate_python(63)
    63.0
    """
    return Annotated[float, BeforeValidator(partial(_percent, most=most))]


def _fraction(value, *, zero):
    return _house(errors.fraction, _plain_number(value, "-"), zero=zero)


def _angle(value):
    return _house(errors.angle, _plain_number(value, "deg"))


def _whole(value, *, least, most):
    if isinstance(value, bool) or not isinstance(value, int) or not least <= value <= most:
        raise broken(f"must be a whole number from {least} to {most} [-]", "count again")
    return value


def whole(least, most):
    """Type of a whole number in a range.

    Parameters
    ----------
    least, most : int
        Smallest and largest allowed [-].

    Returns
    -------
    type
        For the fields of a `Record` [-].

    Examples
    --------
    >>> from pydantic import TypeAdapter
    >>> TypeAdapter(whole(1, 9)).validate_python(4)
    4
    """
    return Annotated[int, BeforeValidator(partial(_whole, least=least, most=most))]


def _text(value, *, longest, empty):
    if not isinstance(value, str):
        raise broken("must be a text [-]", "put it between quotation marks")
    if not value.strip() and not empty:
        raise broken("must not be empty [-]", "write it out")
    if len(value) > longest:
        raise broken(f"must have at most {longest} characters [-]", "shorten it")
    if re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", value):
        raise broken("must not contain control characters [-]", "type the text again")
    return str(value)


def text(longest=300, *, empty=True):
    """Type of a text of limited length without control characters.

    Parameters
    ----------
    longest : int
        Characters allowed [-].
    empty : bool
        Whether it may be empty [-].

    Returns
    -------
    type
        For the fields of a `Record` [-].

    Examples
    --------
    >>> from pydantic import TypeAdapter
    >>> TypeAdapter(text()).validate_python("sole springs near the helm")
    'sole springs near the helm'
    """
    return Annotated[str, BeforeValidator(partial(_text, longest=longest, empty=empty))]


def _name(value):
    if not isinstance(value, str) or not re.fullmatch(r"[a-z0-9][a-z0-9_]{0,59}", value):
        raise broken("must be lower-case letters, digits and underscores, at most 60 [-]", "write it like csm_450")
    return str(value)


def many(item, *, least=0, most=500):
    """Type of a list of limited length, kept as a tuple.

    Parameters
    ----------
    item : type
        Type of the members [-].
    least, most : int
        Smallest and largest number of members [-].

    Returns
    -------
    type
        For the fields of a `Record` [-].

    Examples
    --------
    >>> from pydantic import TypeAdapter
    >>> TypeAdapter(many(Thickness)).validate_python([5.2, 5.0])
    (5.2, 5.0)
    """
    return Annotated[tuple[item, ...], Field(min_length=least, max_length=most)]


def table(item):
    """Type of a table whose keys are names chosen by the user.

    Parameters
    ----------
    item : type
        Type of the members [-].

    Returns
    -------
    type
        For the fields of a `Record` [-].

    Examples
    --------
    >>> from pydantic import TypeAdapter
    >>> TypeAdapter(table(Fraction)).validate_python({"glass": 0.12})
    {'glass': 0.12}
    """
    return Annotated[dict[Name, item], Field(max_length=200), AfterValidator(FrozenTable)]


Name = Annotated[str, BeforeValidator(_name)]
Text = text()
Note = text(20_000)
Status = Literal[STATUSES]
Day = Annotated[date, Strict()]
Flag = Annotated[bool, Strict()]
Fraction = Annotated[float, BeforeValidator(partial(_fraction, zero=False))]
Allowance = Annotated[float, BeforeValidator(partial(_fraction, zero=True))]
Angle = Annotated[float, BeforeValidator(_angle)]
# lower ends: what is below them is an entry in metres, g/cm3 or GPa
Thickness = quantity("mm", least=0.05, most=300)
Film = quantity("mm", least=0, most=50)
Length = quantity("mm", least=1, most=30_000)
Width = quantity("mm", least=100, most=30_000)
Reach = quantity("mm", least=0, most=30_000)
Offset = quantity("mm", least=-5_000, most=5_000)
Modulus = quantity("MPa", above=0, most=500_000)
SkinModulus = quantity("MPa", least=100, most=500_000)
Density = quantity("kg/m3", least=10, most=20_000)
LiquidDensity = quantity("kg/m3", least=500, most=3_000)
Mass = quantity("kg", above=0, most=5_000)
Money = quantity("money", least=0, most=1e9)
Temperature = quantity("degC", least=-30, most=60)
Pressure = quantity("kPa", above=0, most=2_000)
