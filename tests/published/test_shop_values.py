"""Shop figures against the source that prints them; tolerance is half a unit of the last printed digit."""

import pytest

from lamcalc.shop import climate, fillets, fresh_air, joints, mixing, quality
from lamcalc.shop.resin_can import ResinCan

pytestmark = pytest.mark.published


@pytest.mark.parametrize("radius, angle, ml_per_m, half_digit", [
    (10, 90, 21.5, 0.05), (20, 90, 86, 0.5), (20, 104, 47, 0.5)])
def test_fillet_volume(radius, angle, ml_per_m, half_digit):
    """Geometry of a concave fillet, 0.2146 r^2 at 90 degrees (handbook value)."""
    assert float(fillets.fillet_area(radius, angle)) == pytest.approx(ml_per_m, abs=half_digit)


def test_fillet_of_an_inch():
    """1.43 fl oz a foot for one inch radius: 29.5735 mL and 0.3048 m."""
    fl_oz_per_ft = float(fillets.fillet_volume_ml(25.4, length_mm=304.8, loss=0)) / 29.5735
    assert fl_oz_per_ft == pytest.approx(1.43, abs=0.005)


@pytest.mark.parametrize("ratio, factor", [(6, 0.162), (8, 0.123), (12, 0.083), (20, 0.050)])
def test_scarf_shear(ratio, factor):
    """Average shear over laminate stress; ratios of Rothbarth and Pinto (2019), 1:8 usual for plywood."""
    assert float(joints.scarf_shear_factor(ratio)) == pytest.approx(factor, abs=0.0005)


def test_hat_section_tapes():
    """Hat of base 110, top 70, height 95 mm with legs 75 and 100 mm: developed widths 414 and 464 mm (by hand)."""
    web = (95**2 + 20**2)**0.5
    body = 2 * web + 70
    assert [round(body + float(joints.tape_width(leg))) for leg in (75, 100)] == [414, 464]


@pytest.mark.parametrize("air, humidity, dew", [(20, 50, 9.3), (25, 60, 16.7), (30, 70, 23.9), (10, 80, 6.7)])
def test_dew_point(air, humidity, dew):
    """Dew points as printed in coating inspectors' tables, one decimal (values from memory)."""
    assert float(climate.dew_point(air, humidity)) == pytest.approx(dew, abs=0.05)


def test_saturated_air_has_its_own_dew_point():
    assert float(climate.dew_point(17.0, 100)) == pytest.approx(17.0, abs=1e-12)


def test_styrene_conversion():
    """NIOSH Pocket Guide: 1 ppm = 4.26 mg/m3."""
    assert float(fresh_air.mg_m3_per_ppm(fresh_air.STYRENE_MOLAR_MASS_G)) == pytest.approx(4.26, abs=0.005)


@pytest.mark.parametrize("percent, cc", [(0.5, 5), (0.75, 7), (1, 9), (1.5, 14), (2, 18)])
def test_board_building_book(percent, cc):
    """Catalyst for a quart as a board-building book prints it; it rounds to whole cc, within 6 %."""
    assert float(mixing.catalyst_ml(946.353, percent)) == pytest.approx(cc, rel=0.06)


def test_ten_ml_per_kilogram():
    """Called 1 %; it is 1.10 % by volume and 1.16 % by weight at 1.10 and 1.16 g/mL."""
    can = ResinCan(name="resin", family="polyester", gel_minutes=20, at_c=20, at_percent_v=1.1, catalyst_window=(1, 2),
                   liquid_density_kg_m3=1100, catalyst_density_kg_m3=1160)
    dose = mixing.catalyst_dose(can, 1.0, 1.16, basis="weight")
    assert dose.ml == pytest.approx(10.0, abs=1e-9)
    assert dose.percent_v == pytest.approx(1.10, abs=1e-9)


@pytest.mark.parametrize("resin_share, rise", [(1.0, 208), (0.7, 175)])
def test_adiabatic_rise(resin_share, rise):
    """375 J/g over 1.8 wr + 0.8 wg; heats from memory, so this checks arithmetic only."""
    assert float(climate.adiabatic_rise(1 - resin_share)) == pytest.approx(rise, abs=0.5)


def test_void_balance():
    """35 % glass and 1.43 g/cm3 measured: 3.0 % voids at 2.56 and 1.20 g/cm3."""
    assert quality.check_voids(1430, glass_fraction=0.35).measured == pytest.approx(0.030, abs=0.0005)
