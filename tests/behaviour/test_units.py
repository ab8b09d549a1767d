"""Reading, printing and refusing quantities."""

import subprocess
import sys
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc import units
from lamcalc.errors import InputError
from lamcalc.sentences import Figure, Sentence, told

pytestmark = pytest.mark.behaviour

READ = [
    ("17 oz/yd2", "areal_weight", 576.3977), ("0.75 oz/ft2", "areal_weight", 228.8638), ("450 g/m2", "mat_weight", 450),
    ("450gsm", "areal_weight", 450), ("450 g/m\u00b2", "areal_weight", 450),
    ("9 oz per square yard", "cloth_weight", 305.1517),
    ("3/4 in", "small_length", 19.05), ("1 1/2 in", "thickness", 38.1), ("1-1/2 in", "thickness", 38.1),
    ('1\u00bd"', "thickness", 38.1), ("\u00be in.", "thickness", 19.05), (" .5in ", "thickness", 12.7),
    ("-1 1/2 in", "length", -38.1), ("5 ft 6 in", "length", 1676.4), ("5' 6\"", "length", 1676.4),
    ("5'", "length", 1524),
    ("2 lb 3 oz", "mass", 0.9922333), ("8 oz", "small_mass", 0.2267962), ("8 fl oz", "small_volume", 236.5882),
    ("8 fl. oz.", "small_volume", 236.5882), ("1 gal", "volume", 3.785412), ("26 lb/ft3", "density", 416.48),
    ("26 pcf", "density", 416.48), ("9 sq ft", "area", 0.8361274), ("20 C", "temperature", 20),
    ("68 F", "temperature", 20),
    ("68 \u00b0F", "temperature", 20), ("-5 degC", "temperature", -5), ("\u22125 C", "temperature", -5),
    ("10 C", "temperature_difference", 10), ("18 F", "temperature_difference", 10), ("10 N m", "moment", 1e4),
    ("10 N\u00b7m", "moment", 1e4), ("350 ft lbf", "moment", 474536.3), ("350 ft-lbf", "moment", 474536.3),
    ("26 kPa", "pressure", 0.026), ("26 kN/m2", "pressure", 0.026), ("0.93 Msi", "modulus", 6412.124),
    ("6.4e3 MPa", "modulus", 6400), ("5 KN", "force", 5000), ("25 kn", "speed", 25), ("20 mil", "film", 0.508),
    ("30 %", "fraction", 0.3), ("45\u00b0", "angle", 45), ("2 h", "time", 120), ("20 hp", "power", 14.913997),
    ("30 um/m/K", "expansion", 3e-5), ("6 MM", "thickness", 6),
]
REFUSED = [
    ("1,5 mm", "thickness", "thickness must not contain a comma"), ("1,500 lb", "mass", "nothing between thousands"),
    ("450", "mat_weight", "mat weight must be followed by its unit [g/m2]"), ("30", "fraction", "write it like 30 %"),
    ("17 oz", "areal_weight", "say over which area: oz/yd2 for cloth, oz/ft2 for mat"),
    ("450 g", "areal_weight", "say over which area"),
    ("17 oz/yd2", "mass", "mass must be a mass [kg], not a fabric weight"),
    ("8 oz", "small_volume", "volume must be a volume [mL], not a mass; received '8 oz'. Next: oz is a weight"),
    ("8 fl oz", "small_mass", "mass must be a mass [kg], not a volume; received '8 fl oz'. Next: fl oz is a volume"),
    ("350 lb", "force", "must be a force [N], not a mass; received '350 lb'. Next: lb and kg are masses; write lbf"),
    ("350 ft lb", "moment", "write lbf or N where a force is meant"),
    ("5 kN", "speed", "speed must be a speed [knot], not a force"), ("20 C", "thickness", "not a temperature"),
    ("45 deg", "fraction", "fraction must be a fraction [fraction], not an angle"), ("30 %", "angle", "not a fraction"),
    ("0.75 oz/yd2", "mat_weight", "between 90 and 1300 [g/m2]"),
    ("17 oz/ft2", "cloth_weight", "between 15 and 3000 [g/m2]"),
    ("18 oz/ft2", "areal_weight", "mat is sold per ft2 and cloth per yd2"),
    ("3 furlong", "length", "not a unit that is read here"), ("5 m/", "length", "missing or incomplete"),
    ("5 mm/0", "length", "not a unit that is read here"), ("1/0 in", "length", "divided by zero"),
    ("1.5.2 mm", "length", "must be a number and a unit"), ("abc", "length", "write it like 1.2 m or 4 ft"),
    ("", "length", "must be a number and a unit"), ("nan mm", "length", "must be a number and a unit"),
    ("1e400 mm", "length", "finite number"), (float("nan"), "length", "finite number"),
    (None, "length", "finite number"),
]


@pytest.mark.parametrize(("text", "kind", "expected"), READ)
def test_reads(text, kind, expected):
    assert units.parse(text, kind) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("text", "kind", "words"), REFUSED)
def test_refuses(text, kind, words):
    with pytest.raises(InputError) as caught:
        units.parse(text, kind)
    assert words in str(caught.value)
    assert "Next: " in str(caught.value)


def test_bare_numbers_take_the_default_unit():
    assert units.parse("450", "mat_weight", default_unit="g/m2") == 450
    assert units.parse(1.5, "mat_weight", default_unit="oz/ft2") == pytest.approx(457.7, abs=0.05)
    assert units.parse("30", "fraction", default_unit="%") == pytest.approx(0.3)
    assert units.parse("3/4 in", "thickness", default_unit="mm") == pytest.approx(19.05)  # a written unit wins
    with pytest.raises(InputError, match="not a length"):
        units.parse("3", "mass", default_unit="mm")


@pytest.mark.parametrize("kind", units.KINDS)
def test_every_kind_reads_its_own_example_and_both_systems(kind):
    rule = units.KINDS[kind]
    for example in rule.example.replace(" (cloth)", "").replace(" (mat)", "").replace(", ", " or ").split(" or "):
        units.parse(example, kind)
    for system in units.SYSTEMS:
        assert units.unit_label(kind, system) in units.show(1.0, kind, system)
        value = np.array([0.5, 1.0, 300.0])
        there = units.to_system(value, kind, system)
        assert units.from_system(there, kind, system) == pytest.approx(value, rel=1e-12)


@given(st.sampled_from([name for name in units.KINDS if not name.startswith("temp")]), st.sampled_from(units.SYSTEMS),
       st.floats(20.0, 1e4))
def test_what_is_printed_can_be_read_back(kind, system, value):
    rule = units.KINDS[kind]
    if not np.isfinite(rule.low) or rule.low <= value <= rule.high:
        shown = units.show(value, kind, system)
        number = float(shown.split(" ")[0])
        # half a unit of the last printed digit
        digits = len(shown.split(" ")[0].partition(".")[2])
        slack = 0.51 * 10.0**-digits if digits else 0.5 + 5.1e-4 * abs(number)
        step = units.from_system(slack, kind, system)
        if rule.low <= units.from_system(number, kind, system) <= rule.high:
            assert abs(units.parse(shown, kind) - value) <= step


PRINTED = [
    (5.4321, "thickness", "5.43 mm", "0.214 in"), (805.26, "areal_weight", "805 g/m2", "23.75 oz/yd2"),
    (450.0, "mat_weight", "450 g/m2", "1.47 oz/ft2"), (6400.0, "modulus", "6.400 GPa", "0.9282 Msi"),
    (850226.0, "flexural_stiffness_per_width", "0.8502 kN m2/m", "7525 lbf in2/in"),
    (0.3, "fraction", "30.0 %", "30.0 %"),
    (20.0, "temperature", "20.0 degC", "68.0 degF"), (10.0, "temperature_difference", "10.0 degC", "18.0 degF"),
    (15.0, "small_volume", "15.0 mL", "0.51 fl oz"), (416.0, "density", "416 kg/m3", "26.0 lb/ft3"),
    (0.0, "force", "0.000 N", "0.000 lbf"), (-0.001, "thickness", "0.00 mm", "0.000 in"),
    (123456.0, "force", "123500 N", "27750 lbf"), (1e-9, "modulus", "1e-12 GPa", "1.45e-13 Msi"),
]


@pytest.mark.parametrize(("value", "kind", "metric", "us"), PRINTED)
def test_prints(value, kind, metric, us):
    assert (units.show(value, kind, "metric"), units.show(value, kind, "us")) == (metric, us)


def test_print_takes_another_unit():
    assert units.show(5, "small_mass", "us", unit="g") == "0.18 oz"
    with pytest.raises(InputError, match="one number"):
        units.show([1.0, 2.0], "mass", "us")


def test_arrays_convert_and_inputs_stay():
    values = np.array([[1.0, 2.0], [3.0, 4.0]])
    inches = units.to_system(values, "thickness", "us")
    assert inches.shape == (2, 2) and inches == pytest.approx(values / 25.4)
    assert values.tolist() == [[1.0, 2.0], [3.0, 4.0]]
    assert units.convert([0, 100], "degC", "degF") == pytest.approx([32, 212])
    assert isinstance(units.convert(np.float64(1.0), "in", "mm"), float)
    with pytest.raises(InputError, match="finite"):
        units.convert([1.0, np.nan], "in", "mm")


@pytest.mark.parametrize(("call", "words"), [
    (lambda: units.convert(1, "mm", "kg"), "unit must be a mass [kg], not a length"),
    (lambda: units.convert(1, "mm", "parsec"), "not a unit that is read here"),
    (lambda: units.convert(1, 3, "mm"), "must be a text"),
    (lambda: units.convert(float("inf"), "mm", "in"), "finite number"),
    (lambda: units.to_system(1, "thicknes", "us"), "choose one of length"),
    (lambda: units.show(1, "mass", "imperial"), "must be 'metric' or 'us'"),
    (lambda: units.parse("1 mm", "girth"), "kind of quantity"),
])
def test_wrong_calls(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value)


def test_tables_are_frozen():
    with pytest.raises(TypeError):
        units.KINDS["mass"] = None
    with pytest.raises(AttributeError):
        units.KINDS["mass"].metric = "t"


def test_pint_is_loaded_by_the_first_conversion_only():
    code = ("import sys, lamcalc.units as u; u.unit_label('mass', 'us'); assert 'pint' not in sys.modules; "
            "u.convert(1, 'mm', 'in'); assert 'pint' in sys.modules")
    subprocess.run([sys.executable, "-c", code], check=True)


def test_a_second_conversion_asks_no_registry(monkeypatch):
    units.convert(1.0, "oz/yd2", "g/m2")

    def refuse():
        raise AssertionError("the factor should have been remembered")

    monkeypatch.setattr(units, "_registry", refuse)
    assert units.convert(2.0, "oz/yd2", "g/m2") == pytest.approx(67.81, abs=0.005)


def test_definitions_are_those_of_the_full_unit_library():
    """Every unit read here, against the library's own list of definitions (an independent text)."""
    import pint

    full, own = pint.UnitRegistry(non_int_type=Fraction), units._registry()
    si = {"[length]": "meter", "[mass]": "kilogram", "[time]": "second", "[temperature]": "kelvin"}
    for name in set(units._SAME) - {"dimensionless"}:
        dimension = dict(full.get_dimensionality(name))
        assert dimension == dict(own.get_dimensionality(name)), name
        base = "*".join(f"{si[part]}**{int(power)}" for part, power in dimension.items()) or (
            "radian" if name in ("degree", "radian") else "dimensionless")
        theirs, ours = ([one.Quantity(Fraction(x), name).to(base).magnitude for x in (0, 1)] for one in (full, own))
        assert ours == theirs, name


@pytest.mark.parametrize("system, said", [("metric", "from 12.00 to 13.50 N m"), ("us", "from 8.851 to 9.957 ft lbf")])
def test_a_figure_whose_unit_has_a_space_tells_it_once(system, said):
    assert told(
        Sentence("from {torque}", torque=Figure(12e3, "moment", high=13.5e3)), system) == said
