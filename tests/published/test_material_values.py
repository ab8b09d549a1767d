"""Catalogue values against the printed tables that they come from."""

import math

import pytest

from lamcalc.materials import catalogue

pytestmark = pytest.mark.published

GRAM_PER_OUNCE, SQUARE_METRE_PER_YARD, SQUARE_METRE_PER_FOOT = 28.349523125, 0.83612736, 0.09290304  # exact definitions

# BV NR546 (November 2018) Sec 8 Table 1, third-party transcription
VENEERS = {
    "okoume": (440, 9630, 525, 750, 810, 185, 0.472, 62, 36, 2, 6, 8),
    "mahogany": (540, 11900, 750, 860, 1020, 265, 0.467, 78, 46, 3, 9, 10),
    "sipo": (620, 13715, 950, 940, 1195, 335, 0.463, 91, 53, 4, 11, 10),
    "sapelli": (670, 14625, 1060, 980, 1280, 375, 0.461, 102, 50, 4, 12, 11),
    "silver_birch": (680, 15085, 1115, 1000, 1325, 395, 0.460, 106, 56, 4, 13, 11),
    "keruing": (730, 16230, 1260, 1050, 1440, 450, 0.458, 115, 65, 5, 15, 12),
    "moabi": (800, 17835, 1480, 1110, 1600, 525, 0.456, 125, 70, 6, 17, 12),
}
VENEER_FIELDS = (
    "density_kg_m3",
    "e_l",
    "e_t",
    "g_lt",
    "g_lr",
    "g_rt",
    "nu_lt",
    "tensile_strength_l",
    "compressive_strength_l",
    "tensile_strength_t",
    "compressive_strength_t",
    "shear_strength_lt",
)

# 33 CFR 183 subpart H as updated from ABYC S-30:
# last hp and kW of the band, then lb dry, running, controls, battery, fuel, total
OUTBOARDS = (
    (2, 1.5, 30, 32, 0, 0, 0, 32),
    (3.9, 2.9, 42, 44, 0, 0, 0, 44),
    (6.9, 5.1, 66, 69, 0, 0, 25, 94),
    (10.9, 8.1, 105, 110, 5, 20, 50, 185),
    (22.9, 17.1, 127, 133, 6, 45, 50, 234),
    (34.9, 26.0, 187, 196, 9, 45, 100, 350),
    (64.9, 48.4, 286, 300, 14, 45, 100, 459),
    (94.9, 70.8, 439, 461, 22, 45, 100, 628),
    (104.9, 78.2, 458, 481, 23, 45, 100, 649),
    (144.9, 108.1, 526, 552, 26, 45, 100, 723),
    (194.9, 145.3, 561, 589, 28, 45, 100, 762),
    (209.9, 156.5, 652, 685, 33, 45, 100, 863),
    (300, 223.7, 699, 734, 35, 45, 100, 914),
    (350, 261.0, 884, 928, 44, 45, 100, 1117),
)
OUTBOARD_FIELDS = (
    "dry_mass_kg",
    "running_mass_kg",
    "controls_mass_kg",
    "battery_mass_kg",
    "fuel_mass_kg",
    "total_mass_kg",
)

# equal plies of okoume from the veneer table, worked apart from this package:
# bending modulus along and across, membrane modulus along and across, panel shear along and across
OKOUME_PANELS = {
    3: (9293, 862, 6595, 3560, 381, 249),
    5: (7736, 2419, 5988, 4167, 344, 268),
    7: (7002, 3153, 5728, 4427, 331, 276),
    9: (6583, 3572, 5583, 4572, 324, 282),
    13: (6124, 4031, 5428, 4727, 316, 287),
}

# BV NR500 (2024) and NR546 (2018), second hand: fewest plies by thickness in mm
FEWEST_PLIES = {3: 3, 4: 3, 5: 3, 6: 5, 8: 5, 9: 7, 10: 7, 12: 9, 15: 9, 18: 11, 25: 13}


@pytest.fixture(scope="module")
def shop():
    """The shipped catalogue."""
    return catalogue.load()


@pytest.mark.parametrize("species", VENEERS)
def test_veneers_are_as_printed(shop, species):
    """Every number of the veneer table, digit by digit."""
    veneer = shop.veneer(species)
    assert tuple(float(getattr(veneer, name)) for name in VENEER_FIELDS) == VENEERS[species]
    assert veneer.source == "BVNR546" and "ONE VENEER" in veneer.g_rt.note


@pytest.mark.parametrize("row", OUTBOARDS, ids=lambda row: f"{row[0]} hp")
def test_outboard_masses_are_as_printed(shop, row):
    """Printed pounds, converted, to the 0.1 kg that the catalogue keeps."""
    band = shop.outboard_for(power_kw=row[1])
    assert (band.power_hp_high, band.power_kw_high) == row[:2]
    masses = [float(getattr(band, name)) for name in OUTBOARD_FIELDS]
    assert masses == pytest.approx([pounds * 0.45359237 for pounds in row[2:]], abs=0.0501)


@pytest.mark.parametrize("plies", OKOUME_PANELS)
def test_layered_okoume_panel(shop, plies):
    """The worked layered panel (equal plies, cross plies at E_T, shear in series) follows from the veneer row."""
    veneer = shop.veneer("okoume")
    faces = [-0.5 + k / plies for k in range(plies + 1)]
    along = [float(veneer.e_l if k % 2 == 0 else veneer.e_t) for k in range(plies)]
    across = [float(veneer.e_t if k % 2 == 0 else veneer.e_l) for k in range(plies)]
    bending = [
        4 * sum(e * (faces[k + 1] ** 3 - faces[k] ** 3) for k, e in enumerate(stack)) for stack in (along, across)
    ]
    membrane = [sum(stack) / plies for stack in (along, across)]
    flat = [float(veneer.g_lr if k % 2 == 0 else veneer.g_rt) for k in range(plies)]
    turned = [float(veneer.g_rt if k % 2 == 0 else veneer.g_lr) for k in range(plies)]
    shear = [plies / sum(1 / g for g in stack) for stack in (flat, turned)]
    assert [*bending, *membrane, *shear] == pytest.approx(OKOUME_PANELS[plies], abs=0.51)


def test_fewest_plies_and_usual_plies(shop):
    """The printed minimum stands in every row that has one, and no usual ply count falls below it."""
    printed = {
        size.thickness_mm: float(size.plies_minimum) for size in shop.plywood_sizes.values() if size.plies_minimum
    }
    assert printed == FEWEST_PLIES
    for thickness, fewest in FEWEST_PLIES.items():
        assert float(shop.plywood_size(thickness).plies) >= fewest


@pytest.mark.parametrize(
    ("key", "ounces_yd2", "ounces_ft2", "printed"),
    [
        ("biax45_1208", 12, 0.75, 636),
        ("biax45_1508", 15, 0.75, 737),
        ("biax45_1708", 17, 0.75, 805),
        ("biax090_1808", 18, 0.75, 839),
        ("biax45_2415", 24, 1.5, 1271),
        ("biax090_2415", 24, 1.5, 1271),
    ],
)
def test_stitched_fabric_with_mat_weighs_fabric_plus_mat(shop, key, ounces_yd2, ounces_ft2, printed):
    """Fabric per square yard, mat per square foot; neither the number alone nor the number plus eight ounces."""
    fabric = shop.reinforcement(key)
    exact = (ounces_yd2 / SQUARE_METRE_PER_YARD + ounces_ft2 / SQUARE_METRE_PER_FOOT) * GRAM_PER_OUNCE
    assert fabric.areal_weight_gsm == pytest.approx(exact, abs=0.1)
    assert fabric.areal_weight_gsm == pytest.approx(printed, abs=0.51)
    assert fabric.mat_areal_weight_gsm == pytest.approx(ounces_ft2 / SQUARE_METRE_PER_FOOT * GRAM_PER_OUNCE, abs=0.051)


def test_1708_layer_by_layer(shop):
    """Two stitched halves of 17 oz/yd2 and the mat on one face: 805.3 g/m2."""
    fabric = shop.reinforcement("biax45_1708")
    assert [(layer.kind, layer.areal_weight_gsm, layer.angle_deg) for layer in fabric.components] == [
        ("ud", 288.2, 45.0),
        ("ud", 288.2, -45.0),
        ("csm", 228.9, 0.0),
    ]
    assert round(fabric.areal_weight_gsm, 6) == 805.3
    assert fabric.woven_share == pytest.approx(576.4 / 805.3)


def test_hand_fractions_of_the_rule_table(shop):
    """ISO 12215-5 Table H.1: mat at 0.30 and roving at 0.48 give 1.05 and 1.035 mm."""
    hand = shop.process("hand")
    for kind, areal_weight, printed in (("csm", 450, 1.051), ("woven", 800, 1.035)):
        psi = float(hand.glass_fraction(kind))
        assert areal_weight / 3072 * (2.56 / psi - 1.36) == pytest.approx(printed, abs=0.0006)


def test_corrections_of_remembered_core_values(shop):
    """Printed class minima and printed panel shear rule over remembered figures."""
    assert float(shop.core("pvc_100").shear_strength) == 1.4  # ABS 1994 4.11: 1.4 to 1.5, the lower
    assert float(shop.core("pvc_80").shear_strength) <= 1.2 and shop.core("pvc_80").shear_strength.low == 1.0
    for species in ("okoume", "meranti", "douglas_fir"):
        panel = shop.core(f"ply_{species}")
        assert (panel.g_xz.low, float(panel.g_xz), panel.g_xz.high) == (100.0, 140.0, 200.0)
        assert "PANEL" in panel.g_xz.note and panel.g_xz.unverified
    # plain polyurethane foam: 40 to 43 MPa seen at 160 kg/m3, exponent 1.85
    assert float(shop.core("pu_foam_80").e_z) == pytest.approx(41.5 * 0.5**1.85, rel=0.01)
    assert math.isclose(float(shop.core("pu_board_416").density_kg_m3), 26 * 16.01846, rel_tol=2e-3)
