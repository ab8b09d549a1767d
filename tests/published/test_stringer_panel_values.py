"""Stringers and panels against printed values and hand arithmetic."""

import numpy as np
import pytest

from lamcalc.materials import catalogue
from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.schedule import CoreLayer, Schedule, SolidLayer

pytestmark = pytest.mark.published

STRONG = (100.0, 100.0, 100.0, 100.0, 58.0)


def solid(thickness, e, strengths=STRONG, **more):
    return Schedule((SolidLayer("sheet", thickness, e, strengths_mpa=strengths, **more),), {})


def test_hat_on_plate_by_hand():
    """Identity, hand arithmetic: plate 300 x 9, two 3 mm webs 91 high, crown 100 x 5; axis 26.89 mm, EI 5.596e10."""
    bar = Stringer("angle", solid(9.0, 10e3), solid(6.0, 10e3), 91.0, cap=solid(5.0, 12e3), cap_width=100.0, attached=300.0)
    section = bar.section()
    assert section.neutral_axis_mm == pytest.approx(26.89, rel=1e-3)
    assert section.ei == pytest.approx(5.596e10, rel=1e-3)


def test_attached_plating_of_the_class_guidance_example():
    """Lloyd's Register, Guidance Notes, July 2013, stiffener example: half of it 151 mm, printed web 2 x 4.853 mm."""
    hat = Stringer("hat", solid(9.132, 10e3), solid(4.853, 10e3), 100.0, (50.0,), 120.0, 100.0, former=Former(80.0))
    assert hat.attached_width() / 2 == pytest.approx(151, rel=0.0034)
    # half of the printed 4.853 is per web: both webs together over the height of 100 mm
    assert hat.section().web_area_mm2 == pytest.approx(2 * 4.853 * 100.0, rel=1e-9)


def test_small_craft_stiffener_rule_row():
    """20 kN/m2, 400 mm apart, 1000 mm long, sigma_d 50, tau_d 29, E 10000: 13.333 cm3, 1.3793 cm2, 4.16 cm4.

    ISO 12215-5 constants from memory; the design stresses come from 0.5 of 100 and 58 MPa.
    """
    bar = Stringer("angle", solid(6.0, 10e3), solid(5.0, 10e3), 100.0, cap=solid(5.0, 10e3), cap_width=60.0, attached=200.0)
    load = StringerLoad(1000.0, 400.0, pressure=0.020)
    checks = {c.requirement.name: c.requirement.value
              for c in assess_stringer(bar, load, level="iso_level_b").rule_checks}
    assert checks["stiffener section modulus at the flange"] == pytest.approx(13333, rel=1e-3)
    assert checks["stiffener web area"] == pytest.approx(137.93, rel=1e-3)
    assert checks["stiffener second moment"] == pytest.approx(4.16e4, rel=1e-3)


def test_stringer_stresses_by_hand():
    """Hand arithmetic on the hat of axis 26.89 mm and EI 5.596e10: q 8 N/mm on 900 mm, fixed ends.

    M = 8 x 900^2/12 = 540 000 N mm; crown top at 105 mm: 540e3 x 12e3 x 78.11/5.596e10 = 9.045 MPa;
    plate outside: 540e3 x 10e3 x 26.89/5.596e10 = 2.595 MPa; end shear 3600 N.
    """
    bar = Stringer("angle", solid(9.0, 10e3), solid(6.0, 10e3), 91.0, cap=solid(5.0, 12e3), cap_width=100.0, attached=300.0)
    found = assess_stringer(bar, StringerLoad(900.0, 400.0, pressure=0.020), level="iso_level_b")
    demand = {m.name.split(":")[0]: m.demand for m in found.margins}
    assert demand["flange"] == pytest.approx(9.045, rel=1e-3)
    assert demand["plate"] == pytest.approx(2.595, rel=1e-3)
    # shear at the axis: first moment of the plate about 26.89 and of the web below it, over 6 mm
    moment = 10e3 * (300 * 9 * 22.39 + 6 * 17.89**2 / 2)
    assert found.web_shear == pytest.approx(3600 * moment / 5.596e10 / 6.0, rel=1e-3)
    # 1/384 of q L^4/EI
    assert found.bending_mm == pytest.approx(8 * 900**4 / 384 / 5.596e10, rel=1e-3)


@pytest.mark.parametrize("edges, deflection", [("SSSS", 0.0040624), ("CCCC", 0.0012653)])
def test_square_plate_coefficients(edges, deflection):
    """Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed.: w = c q a4/D."""
    sheet, a, q = solid(6.0, 10e3), 500.0, 0.01
    rigidity = 10e3 * 6.0**3 / 12 / (1 - 0.09)
    found = assess_panel(Panel(a, a, edges=edges), PanelLoad(pressure=q), sheet)
    assert abs(found.solution.max_deflection) * rigidity / q / a**4 == pytest.approx(deflection, rel=5e-4)
    assert found.deflection_mm >= abs(found.solution.max_deflection)


def test_clamped_square_plate_layer_margin():
    """Edge moment 0.0513 q a2 (Timoshenko and Woinowsky-Krieger, Table 35): stress 6 M/t2, first failure by hand."""
    sheet, a, q = solid(6.0, 10e3), 500.0, 0.01
    found = assess_panel(Panel(a, a), PanelLoad(pressure=q), sheet, level="iso_level_b")
    stress = 6 * 0.0513 * q * a**2 / 36.0
    assert found.facing_stress[0] == pytest.approx(stress, rel=0.01)
    layer = found.margins[0]
    assert layer.capacity == pytest.approx(1000 * q * 100.0 / stress, rel=0.01)
    # the estimate of the solution's own error only ever lowers the margin
    assert layer.capacity <= 1000 * q * 100.0 / stress


def series(D, shear, a, b, force, cx, cy, terms):
    """Navier's double series with first-order shear for a patch in the middle: deflection and Mx, My there."""
    m, n = np.meshgrid(np.arange(1, terms, 2.0), np.arange(1, terms, 2.0), indexing="ij")
    p, r = m * np.pi / a, n * np.pi / b
    q = 16 * force / (np.pi**2 * m * n * cx * cy) * np.sin(m * np.pi / 2) * np.sin(n * np.pi / 2) \
        * np.sin(p * cx / 2) * np.sin(r * cy / 2)
    rows = [[shear[0] * p**2 + shear[1] * r**2, shear[0] * p, shear[1] * r],
            [shear[0] * p, D[0, 0] * p**2 + D[2, 2] * r**2 + shear[0], (D[0, 1] + D[2, 2]) * p * r],
            [shear[1] * r, (D[0, 1] + D[2, 2]) * p * r, D[1, 1] * r**2 + D[2, 2] * p**2 + shear[1]]]
    matrix = np.stack([np.stack(row, -1) for row in rows], -2)
    load = np.stack([q, np.zeros_like(q), np.zeros_like(q)], -1)
    w, x, y = np.moveaxis(np.linalg.solve(matrix, load[..., None])[..., 0], -1, 0)
    sign = np.sin(m * np.pi / 2) * np.sin(n * np.pi / 2)
    kappa = -(p * x * sign).sum(), -(r * y * sign).sum()
    return (w * sign).sum(), D[0, 0] * kappa[0] + D[0, 1] * kappa[1], D[0, 1] * kappa[0] + D[1, 1] * kappa[1]


def test_patch_on_a_sandwich_against_the_double_series():
    """Independent double series with shear (common practice): the reported values cover it and are not far above."""
    board = catalogue.load().core("pu_board_240")
    skin = SolidLayer("skin", 2.0, 9e3, strengths_mpa=STRONG)
    wall = Schedule((skin, CoreLayer(board, 19.0), skin), {})
    found = assess_panel(Panel(1180.0, 460.0, edges="SSSS"), PanelLoad(force=1200.0), wall)
    plate = found.solution.plate
    w, mx, my = series(plate.D, np.diag(plate.shear), 1180.0, 460.0, 1200.0, 100.0, 100.0, 600)
    assert w <= found.deflection_mm < 1.06 * w
    assert mx <= found.moments[0] < 1.12 * mx
    assert my <= found.moments[1] < 1.12 * my
