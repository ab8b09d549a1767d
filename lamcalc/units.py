"""Every conversion, and the reading and printing of quantities with units.

Values travel through the package as plain numbers in the internal unit of their
kind (table `KINDS`); this module is the only place where units change.  pint does
the conversions; it is imported at the first one, and the factor of every pair of
units is remembered, so that later conversions are one multiplication.

Only spellings listed in `SPELLINGS` are read.  `oz` and `lb` are avoirdupois
masses; a fluid ounce is `fl oz` and a pound of force `lbf`.
"""

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from types import MappingProxyType

import numpy as np

from lamcalc.errors import InputError, number

SYSTEMS = ("metric", "us")
MOST_CHARACTERS = 200  # of an entry or a unit; nobody writes longer ones, and a longer one is not worth the time


@dataclass(frozen=True)
class Kind:
    """How one kind of quantity is kept, shown and read.

    Parameters
    ----------
    words : str
        Plain name for messages [-].
    internal : str
        Unit in which the package calculates [-].
    metric, us : str
        Units shown in the two systems [-].
    metric_decimals, us_decimals : int or None
        Decimals shown, or None for four significant digits [-].
    example : str
        An entry that is understood [-].
    low, high : float
        Plausible range in the internal unit; outside it an entry is refused [internal unit of the kind].

    Examples
    --------
    >>> KINDS["areal_weight"].us
    'oz/yd2'
    """

    words: str
    internal: str
    metric: str
    us: str
    metric_decimals: int | None
    us_decimals: int | None
    example: str
    low: float = -math.inf
    high: float = math.inf


KINDS = MappingProxyType({
    "length": Kind("length", "mm", "m", "ft", 3, 2, "1.2 m or 4 ft"),
    "small_length": Kind("length", "mm", "mm", "in", 1, 3, "19 mm or 3/4 in"),
    "thickness": Kind("thickness", "mm", "mm", "in", 2, 3, "5.4 mm or 3/16 in"),
    "film": Kind("film thickness", "mm", "mm", "mil", 2, 1, "0.5 mm or 20 mil"),
    "area": Kind("area", "m2", "m2", "ft2", 3, 2, "0.84 m2 or 9 ft2"),
    "areal_weight": Kind("fabric weight", "g/m2", "g/m2", "oz/yd2", 0, 2,
                         "450 g/m2, 17 oz/yd2 (cloth) or 0.75 oz/ft2 (mat)", 15.0, 3000.0),
    "cloth_weight": Kind("cloth weight", "g/m2", "g/m2", "oz/yd2", 0, 2, "600 g/m2 or 18 oz/yd2", 15.0, 3000.0),
    "mat_weight": Kind("mat weight", "g/m2", "g/m2", "oz/ft2", 0, 2, "450 g/m2 or 1.5 oz/ft2", 90.0, 1300.0),
    "areal_mass": Kind("mass per area", "kg/m2", "kg/m2", "lb/ft2", 2, 2, "8.5 kg/m2 or 1.7 lb/ft2"),
    "mass": Kind("mass", "kg", "kg", "lb", 2, 2, "115 kg or 250 lb"),
    "small_mass": Kind("mass", "kg", "g", "oz", 1, 2, "225 g or 8 oz"),
    "volume": Kind("volume", "L", "L", "gal", 2, 2, "4 L or 1 gal"),
    "small_volume": Kind("volume", "mL", "mL", "fl oz", 1, 2, "15 mL or 0.5 fl oz"),
    "section_area": Kind("section area", "mm2", "mm2", "in2", None, None, "500 mm2 or 0.78 in2"),
    "section_modulus": Kind("section modulus", "mm3", "cm3", "in3", None, None, "13 cm3 or 0.8 in3"),
    "second_moment": Kind("second moment of area", "mm4", "cm4", "in4", None, None, "42 cm4 or 1 in4"),
    "density": Kind("density", "kg/m3", "kg/m3", "lb/ft3", 0, 1, "416 kg/m3 or 26 lb/ft3"),
    "coverage": Kind("coverage", "m2/L", "m2/L", "ft2/gal", 2, 1, "2 m2/L or 80 ft2/gal"),
    "temperature": Kind("temperature", "degC", "degC", "degF", 1, 1, "20 C or 68 F"),
    "temperature_difference": Kind("temperature difference", "delta_degC", "delta_degC", "delta_degF", 1, 1,
                                   "10 C or 18 F"),
    "expansion": Kind("expansion coefficient", "1/K", "um/m/K", "uin/in/degF", None, None, "30 um/m/K"),
    "force": Kind("force", "N", "N", "lbf", None, None, "1500 N or 340 lbf"),
    "moment": Kind("moment", "N mm", "N m", "ft lbf", None, None, "475 N m or 350 ft lbf"),
    "force_per_width": Kind("force per width", "N/mm", "N/mm", "lbf/in", None, None, "5 N/mm or 29 lbf/in"),
    "moment_per_width": Kind("moment per width", "N mm/mm", "N mm/mm", "lbf in/in", None, None,
                             "350 N mm/mm or 79 lbf in/in"),
    "stiffness_per_width": Kind("stretching stiffness per width", "N/mm", "kN/mm", "lbf/in", None, None,
                                "58 kN/mm or 330000 lbf/in"),
    "flexural_stiffness_per_width": Kind("bending stiffness per width", "N mm", "kN m2/m", "lbf in2/in", None, None,
                                         "1.2 kN m2/m or 11000 lbf in2/in"),
    "bending_stiffness": Kind("bending stiffness EI", "N mm2", "kN m2", "lbf in2", None, None,
                              "5 kN m2 or 1.7e6 lbf in2"),
    "pressure": Kind("pressure", "MPa", "kPa", "psi", None, None, "26 kPa or 3.8 psi"),
    "stress": Kind("stress", "MPa", "MPa", "psi", None, None, "85 MPa or 12300 psi"),
    "modulus": Kind("modulus", "MPa", "GPa", "Msi", None, None, "6.4 GPa or 0.93 Msi"),
    "air_flow": Kind("air flow", "m3/h", "m3/h", "ft3/min", 0, 0, "1200 m3/h or 700 ft3/min"),
    "speed": Kind("speed", "knot", "knot", "mph", 1, 1, "25 knots or 29 mph"),
    "power": Kind("power", "kW", "kW", "hp", 1, 1, "15 kW or 20 hp"),
    "time": Kind("time", "min", "min", "min", 0, 0, "25 min or 2 h"),
    "angle": Kind("angle", "deg", "deg", "deg", 1, 1, "45 deg"),
    "fraction": Kind("fraction", "fraction", "%", "%", 1, 1, "30 % or 0.30 fraction"),
})

_SAME = {  # pint name: spellings read; the first is the one printed
    "millimeter": "mm millimetre millimeter millimetres millimeters", "centimeter": "cm", "meter": "m metre meter",
    "micrometer": "um micron microns", "inch": "in inch inches", "microinch": "uin", "foot": "ft foot feet",
    "yard": "yd yard yards", "thou": "mil mils thou", "gram": "g gram grams", "milligram": "mg",
    "kilogram": "kg kilogram kilograms", "metric_ton": "t tonne tonnes",
    "avoirdupois_ounce": "oz ounce ounces", "avoirdupois_pound": "lb lbs pound pounds",
    "US_fluid_ounce": "floz", "milliliter": "mL ml cc", "liter": "L l litre liter litres liters",
    "US_liquid_gallon": "gal gallon gallons", "US_liquid_quart": "qt quart quarts",
    "newton": "N", "kilonewton": "kN KN", "pound_force": "lbf", "kip": "kip", "kilogram_force": "kgf",
    "pascal": "Pa", "kilopascal": "kPa", "megapascal": "MPa", "gigapascal": "GPa", "bar": "bar",
    "pound_force_per_square_inch": "psi", "kip_per_square_inch": "ksi", "megapound_force_per_square_inch": "Msi",
    "degree_Celsius": "degC C celsius", "degree_Fahrenheit": "degF F fahrenheit", "kelvin": "K",
    "delta_degree_Celsius": "delta_degC", "delta_degree_Fahrenheit": "delta_degF",
    "knot": "knot knots kn kt", "mile_per_hour": "mph", "kilometer": "km", "hour": "h hour hours", "minute": "min",
    "second": "s", "watt": "W", "kilowatt": "kW", "horsepower": "hp", "degree": "deg degree degrees",
    "radian": "rad", "percent": "% percent", "dimensionless": "fraction",
}
SPELLINGS = MappingProxyType({word: name for name, words in _SAME.items() for word in words.split()})
_WHOLE = {"gsm": "g/m2", "psf": "lbf/ft2", "pcf": "lb/ft3"}  # trade names of compound units
_REWRITE = [  # trade and typographic forms, in order
    (r"°\s*(?=[CF]\b)", "deg"), ("°", " deg"), ("²", "2"), ("³", "3"), ("⁴", "4"),
    ("[·⋅*]|(?<=[A-Za-z2-4])-(?=[A-Za-z])", " "),
    ("[µμ]", "u"), (r"\^|\*\*", ""), (r"\bper\b", "/"), (r"\bfl\.?\s*(oz|ounces?)\b\.?", "floz"),
    (r"\b(?:square|sq)\b\.?\s*([A-Za-z]+)", r"\g<1>2"), (r"\b(?:cubic|cu)\b\.?\s*([A-Za-z]+)", r"\g<1>3"),
]
_ANGLES = ("degree", "radian")
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = r"[-+]?(?:\d+[ -]+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)"
_QUANTITY = re.compile(rf"\s*(?P<number>{_NUMBER})(?![\d./])\s*(?P<unit>[^\d+][^+]*?)?\s*$")
_TIDY = [  # entry as written: minus sign, inch and foot marks, vulgar fractions, 5 ft 6 in as a sum
    ("\u2212", "-"), (r"''|[\"\u2033\u201d]", " in "), ("['\u2032\u2019]", " ft "),
    *((rf"\s*{sign}", f" {form}") for sign, form in _VULGAR.items()),
    (r"\b(ft|feet|foot|lbs?)\b\.?\s+(?=\d)", r"\1 + "),
]


# pound, yard and nautical mile: international agreements of 1959 and 1929; gallon 231 in3 and horsepower 550 ft lbf/s:
# US customary; 9.80665 m/s2: standard gravity of 1901; a test compares all with the unit library's own list
_DEFINITIONS = """
micro- = 1e-6
milli- = 1e-3
centi- = 1e-2
kilo- = 1e3
mega- = 1e6
giga- = 1e9
meter = [length]
second = [time]
gram = [mass]
kelvin = [temperature]; offset: 0
radian = []
percent = 0.01
degree = 3.1415926535897932384626433832795028841971693993751 / 180 * radian
minute = 60 * second
hour = 60 * minute
yard = 0.9144 * meter
foot = yard / 3
inch = yard / 36
thou = inch / 1000
mile = 5280 * foot
nautical_mile = 1852 * meter
liter = 1e-3 * meter ** 3
US_liquid_gallon = 231 * inch ** 3
US_liquid_quart = US_liquid_gallon / 4
US_fluid_ounce = US_liquid_gallon / 128
metric_ton = 1000 * kilogram
avoirdupois_pound = 0.45359237 * kilogram
avoirdupois_ounce = avoirdupois_pound / 16
newton = kilogram * meter / second ** 2
kilogram_force = 9.80665 * newton
pound_force = 9.80665 * avoirdupois_pound * meter / second ** 2
kip = 1000 * pound_force
pascal = newton / meter ** 2
bar = 1e5 * pascal
pound_force_per_square_inch = pound_force / inch ** 2
kip_per_square_inch = kip / inch ** 2
knot = nautical_mile / hour
mile_per_hour = mile / hour
watt = newton * meter / second
horsepower = 550 * foot * pound_force / second
degree_Celsius = kelvin; offset: 273.15
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
"""


@cache
def _registry():
    """The pint registry; imported here because importing pint costs more than the rest of the package.

    It knows the units of `_SAME` only: the hundreds of others would delay every start by half a second.
    """
    import pint

    # exact factors: an inch is 127/5 mm, not 25.399999999999999
    registry = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.load_definitions(_DEFINITIONS.split("\n"))
    return registry


def _clean(unit):
    for pattern, form in _REWRITE:
        unit = re.sub(pattern, form, unit)
    unit = unit.strip().rstrip(".").strip()
    return _WHOLE.get(unit, unit)


def _token(word, unit, compound):
    match = re.fullmatch(r"([A-Za-z_%]+?)(-?\d)?", word)
    name, power = match.groups() if match else (word, None)
    low = name.lower()
    if name not in SPELLINGS and low in SPELLINGS and low not in ("kn", "mb"):
        name = low
    if name not in SPELLINGS:
        raise InputError("unit", "is not a unit that is read here [-]", unit,
                         "write it like mm, in, g/m2, oz/yd2, oz/ft2, lb/ft3, N m, ft lbf, psi, fl oz or %")
    pint_name = SPELLINGS[name]
    if compound and pint_name.startswith("degree_"):
        pint_name = "delta_" + pint_name
    return f"{pint_name}**{power or 1}"


@cache
def _unit(unit):
    """pint unit and its dimension in words-to-be, from a spelling such as 'oz/yd2'."""
    if len(unit) > MOST_CHARACTERS:
        raise InputError("unit", f"must be a text of at most {MOST_CHARACTERS} characters [-]", unit, "shorten it")
    top, *below = _clean(unit).split("/")
    words = top.split()
    compound = bool(below) or len(words) != 1
    if not all(part.split() for part in [top, *below]):
        raise InputError("unit", "is missing or incomplete [-]", unit, "write a unit such as mm, in or oz/yd2")
    over = [_token(word, unit, compound) for word in words if word != "1"]
    under = [_token(word, unit, compound) for part in below for word in part.split()]
    text = "*".join(over) or "dimensionless"
    return _registry().parse_units("/".join([text, *under]))


@cache
def _dimension(unit):
    found = _unit(unit)
    if found.dimensionless:
        return "angle" if any(name in str(found) for name in _ANGLES) else "fraction"
    return tuple(sorted((name, float(power)) for name, power in found.dimensionality.items()))


@cache
def _named(dimension):
    """A dimension in plain words."""
    words = (kind.words for kind in KINDS.values() if _dimension(kind.internal) == dimension)
    return _article(next(words, "quantity of another kind"))


def _article(words):
    return f"an {words}" if words[0] in "aeio" else f"a {words}"


def _hint(unit, dimension):
    """What the writer of a wrong unit probably meant."""
    words = re.findall(r"[A-Za-z]+", _clean(unit))
    if "floz" in words:
        return "fl oz is a volume; write oz for a weight"
    if "oz" in words and dimension == _dimension("L"):
        return "oz is a weight; write fl oz for a volume"
    if words in (["oz"], ["g"]) and dimension == _dimension("g/m2"):
        return "say over which area: oz/yd2 for cloth, oz/ft2 for mat, or g/m2"
    if {"lb", "lbs", "kg"} & set(words) and isinstance(dimension, tuple) and ("[time]", -2.0) in dimension:
        return "lb and kg are masses; write lbf or N where a force is meant"
    return ""


@cache
def _factors(from_unit, to_unit):
    """Scale and offset of the linear conversion between two units."""
    have, want = _dimension(from_unit), _dimension(to_unit)
    if have != want:
        raise InputError("unit", f"must be {_named(want)} [{to_unit}], not {_named(have)}", from_unit,
                         _hint(from_unit, want) or f"write it in {to_unit}")
    registry, source, target = _registry(), _unit(from_unit), _unit(to_unit)
    zero, one = (registry.Quantity(Fraction(x), source).to(target).magnitude for x in (0, 1))
    return float(one - zero), float(zero)


def convert(value, from_unit, to_unit):
    """Convert a number or an array from one unit to another.

    Parameters
    ----------
    value : array_like, shape (...)
        Value or values [`from_unit`].
    from_unit, to_unit : str
        Units, spelled as in `SPELLINGS` with powers and one or more slashes [-].

    Returns
    -------
    float or ndarray, shape (...)
        The converted value or values [`to_unit`].

    Raises
    ------
    InputError
        If a unit is not known, the two measure different things, or a value is not finite.

    Notes
    -----
    degC and degF are points on a scale; `delta_degC` and `delta_degF` are differences.

    References
    ----------
    Definitions of the international yard and pound (1 yd = 0.9144 m, 1 lb = 0.45359237 kg), as held by pint.

    Examples
    --------
    >>> round(convert(17, "oz/yd2", "g/m2"), 1)
    576.4
    >>> convert(68, "degF", "degC")
    20.0
    """
    for unit in (from_unit, to_unit):
        if not isinstance(unit, str):
            raise InputError("unit", "must be a text [-]", unit, "write a unit such as 'mm'")
    scale, offset = _factors(from_unit, to_unit)
    if type(value) is float or type(value) is int and abs(value) < 1e300:
        result = value * scale + offset
        if math.isfinite(result):
            return result
    with np.errstate(over="ignore"):  # told in words by the next line
        array = number("value", number("value", value, from_unit) * scale + offset, to_unit)
    return array if array.ndim else float(array)


def _kind(kind):
    if not isinstance(kind, str) or kind not in KINDS:
        raise InputError("kind of quantity", "is not known [-]", kind, "choose one of " + ", ".join(KINDS))
    return KINDS[kind]


def system_unit(kind, system):
    """Unit that a kind of quantity is shown in.

    Parameters
    ----------
    kind : str
        A key of `KINDS` [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Unit [-].

    Raises
    ------
    InputError
        If the kind or the system is not known.

    Examples
    --------
    >>> system_unit("thickness", "us")
    'in'
    """
    if not isinstance(system, str) or system not in SYSTEMS:
        raise InputError("unit system", "must be 'metric' or 'us' [-]", system, "choose one of the two")
    return getattr(_kind(kind), system)


def _read_number(text):
    text = re.sub(r"(?<=\d)-(?=\d+/)", " ", text)
    *whole, last = text.replace("+", "").split()
    top, _, bottom = last.partition("/")
    if bottom and float(bottom) == 0:
        raise InputError("fraction", "must not be divided by zero [-]", text, "check the entry")
    value = float(top) / float(bottom or 1)
    if not whole:
        return value
    return float(whole[0]) + math.copysign(value, -1.0 if whole[0].startswith("-") else 1.0)


def _split(entry, kind, text):
    """Number and unit text of one term of an entry."""
    if re.search(r"\d\s*,\s*\d", entry):
        raise InputError(kind.words, "must not contain a comma [-]", text,
                         "use a point for decimals (1.5) and nothing between thousands (1500)")
    match = _QUANTITY.match(entry)
    if not match:
        raise InputError(kind.words, f"must be a number and a unit [{kind.internal}]", text,
                         f"write it like {kind.example}")
    return _read_number(match["number"]), (match["unit"] or "").strip()


def _to_kind(value, unit, kind, text):
    """One value with its unit in the internal unit of a kind."""
    if kind.internal == "delta_degC":
        unit = {"C": "delta_degC", "degC": "delta_degC", "K": "delta_degC", "F": "delta_degF",
                "degF": "delta_degF"}.get(_clean(unit), unit)
    have, want = _dimension(unit), _dimension(kind.internal)
    if have != want:
        raise InputError(kind.words, f"must be {_article(kind.words)} [{kind.internal}], not {_named(have)}", text,
                         _hint(unit, want) or f"write it like {kind.example}")
    return convert(value, unit, kind.internal)


def parse(text, kind, *, default_unit=None):
    """Read an entry such as "17 oz/yd2", "1 1/2 in" or "20 C" into the internal unit.

    Parameters
    ----------
    text : str or float
        Number with its unit; vulgar fractions and sums such as 5 ft 6 in or 17 oz/yd2 + 0.75 oz/ft2 are read [-].
    kind : str
        Kind of quantity, a key of `KINDS` [-].
    default_unit : str, optional
        Unit of a bare number; without it a bare number is refused [-].

    Returns
    -------
    float
        Value in `KINDS[kind].internal` [internal unit of the kind].

    Raises
    ------
    InputError
        If the entry cannot be read, has no unit, measures something else (both are named),
        uses a decimal comma, or a fabric weight is outside anything sold (ft2 mistaken for yd2).

    Notes
    -----
    US mat is sold per square foot and cloth per square yard, a factor of nine; fabric weights
    outside 15 to 3000 g/m2 (mat 90 to 1300 g/m2) are taken for a mix-up of the two.  These limits
    are common practice.

    References
    ----------
    Common practice.

    Examples
    --------
    >>> round(parse("0.75 oz/ft2", "mat_weight"), 1)
    228.9
    >>> parse("1 1/2 in", "small_length")
    38.1
    >>> parse("0.75 oz/yd2", "mat_weight")  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    lamcalc.errors.InputError: mat weight must lie between 90 and 1300 [g/m2]; received '0.75 oz/yd2'. Next: ...
    """
    rule = _kind(kind)
    if isinstance(text, str):
        if len(text) > MOST_CHARACTERS:
            raise InputError(rule.words, f"must have at most {MOST_CHARACTERS} characters [{rule.internal}]", text,
                             f"write it like {rule.example}")
        entry = text
        for pattern, form in _TIDY:
            entry = re.sub(pattern, form, entry)
        pairs = [_split(term, rule, text) for term in re.split(r"\s\+\s", entry)]
    else:
        value = number(rule.words, text, rule.internal)
        if value.ndim or isinstance(text, bool):
            raise InputError(rule.words, f"must be one number with its unit [{rule.internal}]", text,
                             f"write it like {rule.example}")
        pairs = [(float(value), "")]
    total = 0.0
    for value, unit in pairs:
        if not unit and default_unit is None:
            raise InputError(rule.words, f"must be followed by its unit [{rule.internal}]", text,
                             f"write it like {rule.example}")
        total += _to_kind(value, unit or default_unit, rule, text)
    if not rule.low <= total <= rule.high:
        raise InputError(rule.words, f"must lie between {rule.low:g} and {rule.high:g} [{rule.internal}]", text,
                         "mat is sold per ft2 and cloth per yd2 (nine times the area): check which of the two is meant")
    return float(f"{total:.14g}")  # 1 1/2 in reads as 38.1 mm, without the last-bit noise


def to_system(value, kind, system):
    """Value or values of a kind in the unit of the chosen system.

    Parameters
    ----------
    value : array_like, shape (...)
        Value or values [internal unit of the kind].
    kind : str
        Kind of quantity, a key of `KINDS` [-].
    system : {'metric', 'us'}
        Unit system [-].

    Returns
    -------
    float or ndarray, shape (...)
        Value or values [`KINDS[kind].metric` or `.us`].

    Raises
    ------
    InputError
        If the kind or the system is not known or a value is not finite.

    Examples
    --------
    >>> round(to_system(25.4, "thickness", "us"), 6)
    1.0
    """
    return convert(value, _kind(kind).internal, system_unit(kind, system))


def from_system(value, kind, system):
    """Value or values given in the unit of the chosen system, in the internal unit.

    Parameters
    ----------
    value : array_like, shape (...)
        Value or values [`KINDS[kind].metric` or `.us`].
    kind : str
        Kind of quantity, a key of `KINDS` [-].
    system : {'metric', 'us'}
        Unit system [-].

    Returns
    -------
    float or ndarray, shape (...)
        Value or values [internal unit of the kind].

    Raises
    ------
    InputError
        If the kind or the system is not known or a value is not finite.

    Examples
    --------
    >>> round(from_system(1.0, "thickness", "us"), 6)
    25.4
    """
    return convert(value, system_unit(kind, system), _kind(kind).internal)


def unit_label(kind, system):
    """Unit in which a kind of quantity is shown.

    Parameters
    ----------
    kind : str
        Kind of quantity, a key of `KINDS` [-].
    system : {'metric', 'us'}
        Unit system [-].

    Returns
    -------
    str
        Unit for a label or a column name [-].

    Raises
    ------
    InputError
        If the kind or the system is not known.

    Examples
    --------
    >>> unit_label("mat_weight", "us")
    'oz/ft2'
    """
    return system_unit(kind, system).removeprefix("delta_")


def _digits(value, decimals):
    if decimals is None:
        size = math.floor(math.log10(abs(value))) if value else 0
        if size < -5:
            return f"{value:.4g}"
        value = round(value, 3 - size)
        decimals = max(0, 3 - size)
    text = f"{value:.{decimals}f}"
    return text.lstrip("-") if float(text) == 0 else text


def show(value, kind, system, *, unit=None):
    """Print one value of a kind with its unit and sensible digits.

    Parameters
    ----------
    value : float
        Value [internal unit of the kind, or `unit`].
    kind : str
        Kind of quantity, a key of `KINDS` [-].
    system : {'metric', 'us'}
        Unit system [-].
    unit : str, optional
        Unit of `value` if it is not the internal one [-].

    Returns
    -------
    str
        Number and unit [-].

    Raises
    ------
    InputError
        If the kind, the system or a unit is not known, or the value is not one finite number.

    Examples
    --------
    >>> show(805.26, "areal_weight", "us")
    '23.75 oz/yd2'
    >>> show(6400, "modulus", "metric")
    '6.400 GPa'
    """
    rule = _kind(kind)
    value = number(rule.words, value, rule.internal)
    if value.ndim:
        raise InputError(rule.words, f"must be one number to be printed [{rule.internal}]", value,
                         "use to_system for arrays")
    shown = convert(float(value), unit or rule.internal, system_unit(kind, system))
    decimals = rule.metric_decimals if system == "metric" else rule.us_decimals
    return f"{_digits(shown, decimals)} {unit_label(kind, system)}"
