"""Words and figures of the printed pages: both unit systems, tape-measure inches, short names of layers."""

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from lamcalc.errors import InputError
from lamcalc.schedule import CoreLayer, Ply
from lamcalc.units import SYSTEMS, show, to_system

_TRADE_NUMBER = re.compile(r", (\d{4})$")
_SIGNS = tuple((re.compile(pattern), sign) for pattern, sign in (
    (r"\+-(?=\d)", "\u00b1"), (r"\bdeg([CF])\b", "\u00b0\\1"), (r" deg\b", "\u00b0"), (r"(?<=\d) x (?=\w)", " \u00d7 "),
    (r"\b(mm|m|in|ft|yd)2\b", "\\1\u00b2"), (r"\b(mm|cm|m|in|ft)3\b", "\\1\u00b3"), (r"\b(mm|cm|in)4\b", "\\1\u2074"),
    (r"(?<=\d) (?=[a-zA-Z\u00b0%])", "\u00a0")))
_WEIGHT_TAIL = re.compile(r",? \d[\d.]* (?:kg/m3|g/m2).*$")


@dataclass(frozen=True)
class Words:
    """Figures in the units of the page, with the other system in brackets where the crew measures.

    Parameters
    ----------
    system : {"metric", "us"}
        Units of the page [-].

    Raises
    ------
    InputError
        If the system is unknown.

    Examples
    --------
    >>> Words("metric").both(5.4, "thickness"), Words("us").tape(1500)
    ('5.40 mm (0.213 in)', '59 1/16 in (1500 mm)')
    """

    system: str = "metric"

    def __post_init__(self):
        if self.system not in SYSTEMS:
            raise InputError("unit system", "must be 'metric' or 'us' [-]", self.system, "choose one of the two")

    @property
    def other(self):
        """The other unit system [-]."""
        return SYSTEMS[1 - SYSTEMS.index(self.system)]

    def one(self, value, kind, unit=None):
        """A figure in the units of the page.

        Parameters
        ----------
        value : float
            Value [as `unit`].
        kind : str
            Kind of quantity [-].
        unit : str, optional
            Unit of the value; the internal one if not given [-].

        Returns
        -------
        str
            Number and unit [-].
        """
        return show(float(value), kind, self.system, unit=unit)

    def both(self, value, kind, unit=None):
        """A figure in both systems, the page's first.

        Parameters
        ----------
        value : float
            Value [as `unit`].
        kind : str
            Kind of quantity [-].
        unit : str, optional
            Unit of the value; the internal one if not given [-].

        Returns
        -------
        str
            'metric (us)' or 'us (metric)' [-].
        """
        return f"{self.one(value, kind, unit)} ({show(float(value), kind, self.other, unit=unit)})"

    def mass(self, kg):
        """A mass in both systems: grams and ounces below a kilogram, as a kitchen scale shows it.

        Parameters
        ----------
        kg : float
            Mass [kg].

        Returns
        -------
        str
            Number and unit, the other system in brackets [-].
        """
        return self.both(kg, "small_mass" if abs(kg) < 0.9995 else "mass", "kg")

    def volume(self, litres):
        """A volume in both systems: millilitres and fluid ounces below a litre.

        Parameters
        ----------
        litres : float
            Volume [L].

        Returns
        -------
        str
            Number and unit, the other system in brackets [-].
        """
        return self.both(litres, "small_volume" if abs(litres) < 0.9995 else "volume", "L")

    def split(self, value, kind, unit=None):
        """A figure in both systems, apart.

        Parameters
        ----------
        value : float
            Value [as `unit`].
        kind : str
            Kind of quantity [-].
        unit : str, optional
            Unit of the value; the internal one if not given [-].

        Returns
        -------
        tuple of str
            The page's system, and the other in brackets [-].
        """
        return self.one(value, kind, unit), f"({show(float(value), kind, self.other, unit=unit)})"

    def band(self, low, high, kind):
        """A range in both systems.

        Parameters
        ----------
        low, high : float
            Ends [internal unit of the kind].
        kind : str
            Kind of quantity [-].

        Returns
        -------
        str
            'low to high (low to high)' [-].
        """
        def words(system):
            left, right = (show(float(v), kind, system).partition(" ") for v in (low, high))
            return f"{left[0]} to {right[0]} {right[2]}"

        return f"{words(self.system)} ({words(self.other)})"

    def tape(self, *lengths_mm, up=False):
        """Lengths as a tape reads them: whole millimetres, inches in sixteenths.

        Parameters
        ----------
        *lengths_mm : float
            Sizes of one piece [mm].
        up : bool
            Rounded up in both systems, for what must be at least so long [-].

        Returns
        -------
        str
            'a x b mm (a x b in)' or the other way round [-].
        """
        whole = _ceiling if up else round
        texts = {"metric": " x ".join(f"{whole(float(mm))}" for mm in lengths_mm) + " mm",
                 "us": " x ".join(sixteenths(mm, up=up) for mm in lengths_mm) + " in"}
        return f"{texts[self.system]} ({texts[self.other]})"


def _ceiling(value):
    """Next whole number; a sum of floats must not open another."""
    return math.ceil(value - 1e-9)


def sixteenths(length_mm, *, up=False):
    """Inches to the nearest sixteenth, as a tape measure is read.

    Parameters
    ----------
    length_mm : float
        Length [mm].
    up : bool
        To the next sixteenth above instead [-].

    Returns
    -------
    str
        Whole inches and a reduced fraction, no unit [-].

    Examples
    --------
    >>> sixteenths(1500), sixteenths(50.8), sixteenths(12.7)
    ('59 1/16', '2', '1/2')
    """
    count = (_ceiling if up else round)(float(to_system(length_mm, "small_length", "us")) * 16)
    whole, rest = divmod(count, 16)
    part = f"{Fraction(rest, 16)}" if rest else ""
    return " ".join(text for text in (str(whole) if whole or not rest else "", part) if text)


def fibre_directions(layer):
    """Where the fibres of a ply run, mould side first.

    Parameters
    ----------
    layer : Ply, CoreLayer, Coat or SolidLayer
        The layer [-].

    Returns
    -------
    str
        'random', '0/90', '+45/-45' or the angle, from the x of the part; the face grain of plywood [deg].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> [fibre_directions(layer) for layer in schedule(load_demo(), "transom_inner_skin").layers][:3]
    ['random', '0/90', '+45/-45']
    """
    if isinstance(layer, CoreLayer):
        return f"face grain {roll_direction(layer.angle_deg)}" if layer.core.family == "plywood" else "-"
    if not isinstance(layer, Ply):
        return "-"
    parts = layer.reinforcement.components
    turned = [_half_turn(c.angle_deg + layer.angle_deg) for c in parts if c.kind == "ud"]
    if any(c.kind in ("woven", "cloth") for c in parts):
        turned += [_half_turn(layer.angle_deg), _half_turn(layer.angle_deg + 90)]
    if not turned:
        return "random"
    low_first = sorted(dict.fromkeys(turned), key=lambda a: (abs(a), -a))
    return "/".join(f"{a:+g}" if a % 90 else f"{abs(a):g}" for a in low_first)


def _half_turn(angle_deg):
    turned = (angle_deg + 90) % 180 - 90
    return 90.0 if turned == -90 else turned


def roll_direction(angle_deg):
    """Direction in which the roll is laid, in words.

    Parameters
    ----------
    angle_deg : float
        From the x of the part [deg].

    Returns
    -------
    str
        'along', 'across' or the angle [-].

    Examples
    --------
    >>> roll_direction(0), roll_direction(90), roll_direction(45)
    ('along', 'across', '45 deg')
    """
    return {0.0: "along", 90.0: "across"}.get(float(angle_deg) % 180, f"{angle_deg:g} deg")


def short_name(layer, words):
    """Name of a layer as it fits on a label.

    Parameters
    ----------
    layer : Ply, CoreLayer, Coat or SolidLayer
        The layer [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    str
        Kind and weight, or the name shortened [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> layers = schedule(load_demo(), "transom_inner_skin").layers
    >>> [short_name(layer, Words("us")) for layer in layers[:2]]
    ['mat 1.47 oz/ft2', '1808 stitched 0/90 with mat, 24.75 oz/yd2']
    """
    if not isinstance(layer, Ply):
        name = layer.core.name if isinstance(layer, CoreLayer) else layer.name
        return _WEIGHT_TAIL.sub("", name).split(", ")[0]
    fabric = layer.reinforcement
    kinds = {c.kind for c in fabric.components}
    if kinds == {"csm"}:
        return f"mat {words.one(fabric.areal_weight_gsm, 'mat_weight')}"
    number = _TRADE_NUMBER.search(fabric.name)
    stem = ("woven roving" if "woven" in kinds else "cloth" if "cloth" in kinds
            else "unidirectional" if len([c for c in fabric.components if c.kind == "ud"]) == 1
            else f"stitched {_plain_directions(layer)}")
    tail = " with mat," if "csm" in kinds else ""
    lead = f"{number[1]} " if number else ""
    return f"{lead}{stem}{tail} {words.one(fabric.areal_weight_gsm, 'cloth_weight')}"


def _plain_directions(layer):
    """Directions of the fabric itself, whatever way it is laid."""
    angles = {abs(_half_turn(c.angle_deg)) for c in layer.reinforcement.components if c.kind == "ud"}
    return "+-45" if angles == {45.0} else "/".join(f"{a:g}" for a in sorted(angles))


def for_print(text):
    """A text with the signs of print: plus-minus, degrees, powers, and a number kept with its unit.

    Parameters
    ----------
    text : str
        Text with plain signs [-].

    Returns
    -------
    str
        The same text set for print [-].

    Examples
    --------
    >>> for_print("+-45 deg, 805 g/m2") == "\u00b145\u00b0, 805\u00a0g/m\u00b2"
    True
    """
    for pattern, sign in _SIGNS:
        text = pattern.sub(sign, text)
    return text


def money(amount, currency):
    """An amount of money.

    Parameters
    ----------
    amount : float or None
        Amount; None without a price [money].
    currency : str
        Name of the currency [-].

    Returns
    -------
    str
        Two decimals and the currency, or 'no price' [-].

    Examples
    --------
    >>> money(12.5, "crowns"), money(None, "crowns")
    ('12.50 crowns', 'no price')
    """
    return "no price" if amount is None else f"{amount:.2f} {currency}"
