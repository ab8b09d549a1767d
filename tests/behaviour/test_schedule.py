"""The schedule: ply table, thickness and its band, mass balance, cost, property models, bad input."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.transverse_shear import shear_stiffness
from lamcalc.schedule import Coat, CoreLayer, Ply, Price, Schedule, SolidLayer

pytestmark = pytest.mark.behaviour
SHOP = catalogue.load()
HAND, ISO = SHOP.process("hand"), SHOP.resin("iso_polyester")


def ply(fabric, **changes):
    return Ply(SHOP.reinforcement(fabric), ISO, HAND, **changes)


def schedule(*layers, **changes):
    return Schedule(layers, SHOP.fibres, **changes)


def test_trade_figures():
    """805 g/m2 for 1708 (17 oz/yd2 + 3/4 oz/ft2) and 1.05 mm for 450 g/m2 mat at 0.30 (ISO 12215-5 Table H.1: 1.051)."""
    assert schedule(ply("biax45_1708")).glass_kg_m2 * 1000 == pytest.approx(805.3, abs=0.05)
    assert schedule(ply("csm_450")).total_thickness_mm == pytest.approx(1.051, abs=0.0005)


def test_table_h1_ply_by_ply_from_the_catalogue():
    """ISO 12215-5 Table H.1: mat 300, 300, roving 500, mat 450, roving 800, mat 450, roving 800, small-craft moduli."""
    stack = [ply(f"{kind}_{w}") for kind, w in (("csm", 300), ("csm", 300), ("wr", 500), ("csm", 450), ("wr", 800),
                                                ("csm", 450), ("wr", 800))]
    wall = schedule(*stack, property_model="small_craft")
    np.testing.assert_allclose(wall.row_thickness_mm, [0.701, 0.701, 0.647, 1.051, 1.035, 1.051, 1.035], atol=0.0005)
    np.testing.assert_allclose(wall.sublayers.e1, [6400, 6400, 13240, 6400, 13240, 6400, 13240], rtol=1e-9)
    assert wall.total_thickness_mm == pytest.approx(6.219, abs=0.0015)  # the table adds rounded plies
    assert wall.glass_fraction == pytest.approx(0.384, abs=0.0005)
    assert wall.glass_kg_m2 == pytest.approx(3.6)


def test_demo_bottom_panel_by_hand():
    """300, 450 mat, 600 roving, 450, 600, 450: 5.40 mm, 2850 g glass, 5150 g resin, 35.6 % glass, 42 % woven."""
    wall = schedule(*[ply(f) for f in ("csm_300", "csm_450", "wr_600", "csm_450", "wr_600", "csm_450")])
    assert wall.total_thickness_mm == pytest.approx(5.40, abs=0.01)
    assert wall.resin_kg_m2 == pytest.approx(5.150, abs=0.001)
    assert wall.glass_fraction == pytest.approx(0.356, abs=0.0005)
    assert wall.woven_share == pytest.approx(0.42, abs=0.005)


def test_components_become_sublayers_in_the_right_order():
    down, up = schedule(ply("biax45_1708")).sublayers, schedule(ply("biax45_1708", mat_side="up")).sublayers
    assert list(down.kind) == ["csm", "ud", "ud"] and list(up.kind) == ["ud", "ud", "csm"]
    assert list(down.angle_deg[1:]) == [45, -45] and list(up.angle_deg[:2]) == [45, -45]
    assert list(schedule(ply("biax090_1808", angle_deg=30)).sublayers.angle_deg) == [30, 120, 30]


def test_woven_cloth_brings_no_false_coupling():
    wall = schedule(ply("wr_600")).laminate
    assert np.abs(wall.B).max() == 0 and abs(wall.A[0, 2]) < 1e-9 * wall.A[0, 0]


@given(st.lists(st.sampled_from(["csm_300", "csm_450", "wr_600", "biax45_1708", "biax090_1808", "ud_400"]), min_size=1, max_size=6),
       st.integers(1, 3))
def test_masses_balance_and_table_adds_up(fabrics, count):
    wall = schedule(*[ply(f, count=count) for f in fabrics])
    assert wall.areal_mass_kg_m2 == pytest.approx(wall.glass_kg_m2 + wall.resin_kg_m2, rel=1e-12)
    table = wall.table()
    assert len(table) == count * len(fabrics)
    assert table["running total [mm]"].iloc[-1] == pytest.approx(wall.total_thickness_mm)
    assert table["running total [in]"].iloc[-1] * 25.4 == pytest.approx(wall.total_thickness_mm)
    assert table["mass [g/m2]"].sum() / 1000 == pytest.approx(wall.areal_mass_kg_m2)
    assert table["glass [g/m2]"].sum() == pytest.approx(sum(SHOP.reinforcement(f).areal_weight_gsm for f in fabrics) * count)


@given(st.floats(0.25, 0.6))
def test_a_given_glass_fraction_and_the_thickness_it_makes_agree(psi):
    by_fraction = schedule(ply("biax45_1708", glass_fraction=psi))
    assert by_fraction.glass_fraction == pytest.approx(psi, rel=1e-12)
    by_thickness = schedule(ply("biax45_1708", thickness_mm=by_fraction.total_thickness_mm))
    np.testing.assert_allclose(by_thickness.sublayers.weight_fraction, by_fraction.sublayers.weight_fraction, rtol=1e-9)


def test_thickness_bands():
    wall = schedule(ply("csm_450"), CoreLayer(SHOP.core("pvc_80"), 15.0))
    low, high = wall.thickness_band_mm("15 percent")
    assert (low, high) == pytest.approx((15 + 1.0508 * 0.85, 15 + 1.0508 * 1.15), abs=0.001)
    fractions = HAND.glass_fraction("csm").bounds
    thick, thin = (schedule(ply("csm_450", glass_fraction=psi)).total_thickness_mm for psi in fractions)
    assert schedule(ply("csm_450")).thickness_band_mm() == pytest.approx((thin, thick))
    with pytest.raises(InputError, match="'fraction' or '15 percent'"):
        wall.thickness_band_mm("wide")


@pytest.mark.parametrize(("fabric", "process"), [("biax090_18oz", "vacuum_bag"), ("csm_450", "vacuum_bag"), ("biax45_1708", "hand_complex")])
def test_a_process_without_a_known_range_scatters_like_any_laminate(fabric, process):
    # the catalogue knows no low and high glass fraction there: that is no promise that the thickness comes out exactly
    wall = Schedule((Ply(SHOP.reinforcement(fabric), ISO, SHOP.process(process)),), SHOP.fibres)
    t = wall.total_thickness_mm
    assert wall.thickness_band_mm() == pytest.approx((0.85 * t, 1.15 * t))


def test_cost_by_hand():
    prices = {"csm_450": Price(3.0, "m2"), "iso_polyester": Price(6.9, "kg"), "pvc_80_15mm": Price(120.0, "sheet", sheet_m2=3.0)}
    wall = schedule(ply("csm_450"), CoreLayer(SHOP.core("pvc_80"), 15.0), prices=prices)
    assert wall.cost_per_m2 == pytest.approx(3.0 + 6.9 * 1.05 + 40.0)
    assert schedule(ply("csm_450"), prices={"csm_450": Price(3.0, "m2")}).unpriced == ("iso_polyester",)


def test_coats_add_thickness_and_mass_but_no_stiffness():
    plain, coated = schedule(ply("csm_450")), schedule(Coat("gel coat", 0.5), ply("csm_450"))
    assert coated.total_thickness_mm == pytest.approx(plain.total_thickness_mm + 0.5)
    assert coated.areal_mass_kg_m2 == pytest.approx(plain.areal_mass_kg_m2 + 0.6)
    np.testing.assert_allclose(coated.laminate.A, plain.laminate.A)
    with pytest.raises(InputError, match="first or the last"):
        schedule(ply("csm_450"), Coat("gel coat", 0.5), ply("csm_450"))


def test_existing_layers_are_neither_bought_nor_added():
    wall = schedule(SolidLayer("old skin", 4.5, 8500.0, density_kg_m3=1500.0), ply("csm_450"))
    assert wall.new_areal_mass_kg_m2 == pytest.approx(1.5) and wall.areal_mass_kg_m2 == pytest.approx(1.5 + 6.75)
    assert wall.row_cost[0] == 0


def test_plywood_from_veneers_against_panel_figures():
    """Equal veneers of okoume: E along 7736 for 5 plies in bending (BV NR546 veneers, layered by hand)."""
    core = SHOP.core("ply_okoume")
    panel = schedule(CoreLayer(core, 10.0, veneer=SHOP.veneer("okoume"), plies=5))
    d = panel.laminate.D
    strip = 1 - 0.472**2 * 525 / 9630  # the layered hand value takes no plane-stress stiffening
    assert 12 * d[0, 0] / 10**3 * strip == pytest.approx(7736, abs=0.5)
    assert 12 * d[1, 1] / 10**3 * strip == pytest.approx(2419, abs=0.5)
    assert d[0, 0] > 2.5 * d[1, 1]
    s = panel.sublayers
    g = float(shear_stiffness(panel.laminate.qbar, s.thickness_mm, s.g_xz, axis="x")) / 10
    assert 185 < g < 810  # between rolling shear and shear along the grain of one veneer
    with pytest.raises(InputError, match="odd whole number"):
        CoreLayer(core, 10.0, veneer=SHOP.veneer("okoume"), plies=4)


def test_property_models():
    mat = {m: schedule(ply("csm_450"), property_model=m).sublayers.e1[0] for m in ("micromechanics", "small_craft")}
    assert mat["small_craft"] == pytest.approx(6400)
    assert 5800 < mat["micromechanics"] < 7200
    carbon = Ply(SHOP.reinforcement("carbon_ud_300"), SHOP.resin("epoxy"), HAND)
    with pytest.raises(InputError, match="fitted to E-glass only"):
        schedule(carbon, property_model="small_craft").laminate
    with pytest.raises(InputError, match="property model"):
        schedule(ply("csm_450"), property_model="guess")


def test_mirrored_stack_is_symmetric():
    fabrics = [ply("csm_450"), ply("biax090_1808"), ply("wr_600")]
    back = [replace(p, mat_side="up") for p in fabrics[::-1]]
    wall = schedule(*fabrics, *back).laminate
    assert np.abs(wall.B[:2, :2]).max() < 1e-9 * wall.A[0, 0] * wall.total_thickness_mm


@pytest.mark.parametrize("make, words", [
    (lambda: schedule(), "at least one layer"),
    (lambda: ply("csm_450", glass_fraction=43), "looks like a percentage: write 0.43"),
    (lambda: ply("csm_450", angle_deg=np.pi / 4), "looks like radians"),
    (lambda: ply("csm_450", angle_deg=float("nan")), "finite"),
    (lambda: ply("csm_450", thickness_mm=-1), "greater than 0"),
    (lambda: ply("csm_450", thickness_mm=1, glass_fraction=0.3), "not both"),
    (lambda: ply("csm_450", count=0), "whole number from 1 to 200"),
    (lambda: ply("csm_450", count=1.5), "whole number from 1 to 200"),
    (lambda: ply("csm_450", mat_side="left"), "'down' or 'up'"),
    (lambda: ply("csm_45"), "csm_450"),
    (lambda: CoreLayer(SHOP.core("pvc_80"), 0), "greater than 0"),
    (lambda: SolidLayer("skin", 4, -5), "greater than 0"),
    (lambda: Price(-1, "kg"), "0 or more"),
    (lambda: Price(1, "pound"), "per m2, per kg or per sheet"),
    (lambda: Price(1, "sheet"), "sheet area"),
    (lambda: schedule(Coat("gel coat", 0.5)).laminate, "carries load"),
])
def test_bad_input_gets_a_sentence(make, words):
    with pytest.raises(InputError, match=words):
        make()
