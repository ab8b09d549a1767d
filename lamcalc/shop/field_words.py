"""Fields of the job file and values of the catalogue as words with a figure, told in either unit system."""

import re

from lamcalc.sentences import Figure, Sentence

# unit of the internal value, the kind of quantity it is shown as, and the fields that end so
_UNITS = {"mm": "small_length", "MPa": "stress", "kPa": "pressure", "N": "force", "N m": "moment", "kg": "mass", "g": "small_mass",
          "kg/m3": "density", "g/m2": "areal_weight", "m2": "area", "mm2": "section_area", "m": "length", "degC": "temperature", "kW": "power",
          "kn": "speed", "m3/h": "air_flow"}
_ENDINGS = {"mm": "mm", "mpa": "MPa", "kpa": "kPa", "n": "N", "kg": "kg", "g": "g", "kg_m3": "kg/m3", "gsm": "g/m2",
            "m2": "m2", "m": "m", "c": "degC", "kw": "kW", "knots": "kn"}
_PLAIN = {"percent": "%", "minutes": "min", "min": "min", "deg": "deg", "h": "h"}
_SHORT = {"e": "modulus", "g": "shear modulus", "crush": "crushing strength", "nu12": "Poisson's ratio"}
_SKIN = re.compile(r"\be$")


def figure(value, unit):
    """A value with its unit, to be put into a sentence.

    Parameters
    ----------
    value : float
        Value [as `unit`].
    unit : str
        Unit; one without a counterpart in the other system stays as it is [-].

    Returns
    -------
    Figure or str
        What `Sentence` takes [-].

    Examples
    --------
    >>> figure(10, "MPa").told("us"), figure(0.5, "-"), figure(0.1, "kg/min").template
    ('1450 psi', '0.5', '{mass} a minute')
    """
    if unit == "kg/min":
        return Sentence("{mass} a minute", mass=Figure(value, "mass"))
    if unit in _UNITS:
        own = "knot" if unit == "kn" else unit
        return Figure(value, _UNITS[unit], own, digits=4)
    return f"{value:g}" + ("" if unit in ("-", "") else f" {unit}")


def unit_of(field):
    """Unit that a field of the job file is named after.

    Parameters
    ----------
    field : str
        Name of the field [-].

    Returns
    -------
    str
        Unit; empty for a field without one [-].

    Examples
    --------
    >>> unit_of("density_kg_m3"), unit_of("e_mpa"), unit_of("title")
    ('kg/m3', 'MPa', '')
    """
    for ending in sorted((*_ENDINGS, *_PLAIN), key=len, reverse=True):
        if field.endswith(f"_{ending}"):
            return _ENDINGS.get(ending) or _PLAIN[ending]
    return ""


def field_figure(field, value):
    """A field of the job file as its name in words and its value with unit.

    Parameters
    ----------
    field : str
        Name of the field; its ending is its unit [-].
    value : object
        Its value: a number, a text or a record of fields [-].

    Returns
    -------
    Sentence
        'name value unit' [-].

    Examples
    --------
    >>> from lamcalc.sentences import told
    >>> told(field_figure("outer_skin_e_mpa", 8500), "us"), str(field_figure("count", 2)), str(field_figure("crush_mpa", 10))
    ('outer skin modulus 1233000 psi', 'count 2', 'crushing strength 10 MPa')
    """
    if not isinstance(value, int | float) or isinstance(value, bool):
        return Sentence("{name} {value}", name=field.replace("_", " "), value=str(value).replace("_", " "))
    stem, ending = _parts(field)
    unit = (_ENDINGS.get(ending) or _PLAIN[ending]) if ending else "-"
    return Sentence("{name} {value}", name=_name(stem), value=figure(value, unit))


def field_words(field):
    """A field of the job file as words, without the unit that its name ends in.

    Parameters
    ----------
    field : str
        Name of the field [-].

    Returns
    -------
    str
        Words [-].

    Examples
    --------
    >>> field_words("base_width_mm"), field_words("crush_mpa"), field_words("own_materials")
    ('base width', 'crushing strength', 'own materials')
    """
    return _name(_parts(field)[0])


def _parts(field):
    """Name and unit ending of a field; no ending where it has no unit."""
    for ending in sorted((*_ENDINGS, *_PLAIN), key=len, reverse=True):
        stem = field.removesuffix(f"_{ending}")
        if stem != field:
            return stem, ending
    return field, ""


def _name(stem):
    return _SKIN.sub("modulus", _SHORT.get(stem, stem.replace("_", " ")))
