"""Conversions against the definitions of the units and figures of the trade."""

import pytest

from lamcalc import units

pytestmark = pytest.mark.published

# exact definitions: 1 in = 25.4 mm, 1 yd = 0.9144 m, 1 lb = 0.45359237 kg (international yard and pound, 1959),
# 1 US gal = 231 in3, 1 lbf = 4.4482216152605 N (standard gravity 9.80665 m/s2), 1 hp = 550 ft lbf/s
DEFINITIONS = [
    (1, "in", "mm", 25.4), (1, "ft", "m", 0.3048), (1, "yd", "m", 0.9144), (1, "mil", "um", 25.4),
    (1, "lb", "kg", 0.45359237), (1, "oz", "g", 28.349523125), (16, "oz", "lb", 1.0), (1, "gal", "mL", 3785.411784),
    (1, "fl oz", "mL", 29.5735295625), (128, "fl oz", "gal", 1.0), (1, "qt", "mL", 946.352946),
    (1, "lbf", "N", 4.4482216152605), (1, "ft lbf", "N m", 1.3558179483314004),
    (1, "psi", "Pa", 6894.757293168361), (1, "ksi", "psi", 1000.0), (1, "Msi", "GPa", 6.894757293168361),
    (1, "oz/yd2", "g/m2", 28.349523125 / 0.9144**2), (1, "oz/ft2", "oz/yd2", 9.0),
    (1, "lb/ft3", "kg/m3", 0.45359237 / 0.3048**3), (1, "hp", "W", 745.6998715822702), (1, "knot", "km/h", 1.852),
    (32, "degF", "degC", 0.0), (212, "degF", "degC", 100.0), (-40, "degC", "degF", -40.0), (0, "degC", "K", 273.15),
    (18, "delta_degF", "delta_degC", 10.0), (100, "%", "fraction", 1.0), (180, "deg", "rad", 3.141592653589793),
    (1, "kN m2/m", "N mm", 1e6), (1, "lbf in2/in", "N mm", 4.4482216152605 * 25.4),
    (1, "lbf in/in", "N mm/mm", 4.4482216152605), (1, "lbf/in", "N/mm", 4.4482216152605 / 25.4),
    (1, "kN m2", "N mm2", 1e9), (1, "lbf in2", "N mm2", 4.4482216152605 * 25.4**2),
    (1, "uin/in/degF", "um/m/K", 1.8), (1, "kgf", "N", 9.80665), (1, "bar", "kPa", 100.0),
]


@pytest.mark.parametrize(("value", "source", "target", "expected"), DEFINITIONS)
def test_definition(value, source, target, expected):
    assert units.convert(value, source, target) == pytest.approx(expected, rel=1e-12, abs=1e-12)


def test_mass_per_area_is_not_a_pressure():
    with pytest.raises(units.InputError, match="not a fabric weight"):
        units.convert(1, "lb/ft2", "psf")


@pytest.mark.parametrize(("oz_ft2", "printed"), [(0.75, 229), (1.0, 305), (1.5, 458), (2.0, 610)])
def test_mat_weights(oz_ft2, printed):
    """Trade table of mat weights, computed from the definitions and sold as 225, 300, 450, 600 g/m2."""
    assert units.parse(f"{oz_ft2} oz/ft2", "mat_weight") == pytest.approx(printed, abs=0.5)


@pytest.mark.parametrize(("cloth", "mat", "oz_yd2", "gsm"), [
    (12, 0.75, 18.75, 636), (17, 0.75, 23.75, 805), (18, 0.75, 24.75, 839), (24, 1.5, 37.5, 1271)])
def test_mat_backed_fabrics(cloth, mat, oz_yd2, gsm):
    """1208, 1708, 1808 and 2415: cloth per square yard plus mat per square foot (naming convention of the trade)."""
    weight = units.parse(f"{cloth} oz/yd2 + {mat} oz/ft2", "areal_weight")
    assert weight == pytest.approx(gsm, abs=0.5)
    assert units.to_system(weight, "areal_weight", "us") == pytest.approx(oz_yd2, abs=0.005)
