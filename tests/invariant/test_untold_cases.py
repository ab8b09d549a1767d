"""Cases that other tests pass over: a coupled ply turned, residual stress in a mode, signs that are not there."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.criteria import assess, hashin_indices
from lamcalc.mechanics.failure import first_ply_failure, mode_names
from lamcalc.mechanics.fasteners import thread_stress_area
from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plate_inputs import checked_matrix
from lamcalc.mechanics.plate_series import simply_supported_centre_load
from lamcalc.mechanics.plates import Plate
from lamcalc.mechanics.ply_strengths import PlyStrengths
from lamcalc.mechanics.progressive import last_ply_failure
from lamcalc.mechanics.stack_code import format_stack_code, parse_stack_code
from lamcalc.schedule import Ply, Schedule

pytestmark = pytest.mark.invariant
OWN = Path(__file__).parents[2] / "data" / "own_materials_example.toml"
GLASS = PlyStrengths(1062.0, 610.0, 31.0, 118.0, 72.0)


def test_turning_twice_is_turning_once_by_the_sum():
    # the second turn starts from a ply with Q16 and Q26
    q = reduced_stiffness(38600.0, 8270.0, 0.26, 4140.0)
    twice = rotated_stiffness(rotated_stiffness(q, 30.0), 20.0)
    np.testing.assert_allclose(twice, rotated_stiffness(q, 50.0), rtol=1e-12)
    many = rotated_stiffness(rotated_stiffness(np.broadcast_to(q, (3, 3, 3)), [10.0, -40.0, 70.0]), [5.0, 15.0, -70.0])
    np.testing.assert_allclose(many, rotated_stiffness(np.broadcast_to(q, (3, 3, 3)), [15.0, -25.0, 0.0]), atol=1e-8)


def test_a_hashin_criterion_whose_sign_is_not_there_is_not_used_at_all():
    pulled = hashin_indices([500.0, 20.0, 10.0], GLASS)
    assert float(pulled.fibre_compression) == 0.0 == float(pulled.matrix_compression)
    pushed = hashin_indices([-500.0, -20.0, 10.0], GLASS)
    assert float(pushed.fibre_tension) == 0.0 == float(pushed.matrix_tension)


def test_the_mode_at_first_failure_counts_what_is_there_without_load():
    wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 90.0, 45.0, 90.0], [0.5, 0.7, 0.4, 0.6],
                               alpha1=8.6e-6, alpha2=22.1e-6)
    rng = np.random.default_rng(4)
    for n in rng.normal(0.0, 60.0, (12, 3)):
        for delta_t in (0.0, -90.0):
            found = first_ply_failure(wall, GLASS, n, delta_t=delta_t)
            load = wall.ply_stresses(wall.response(N=n), axes="ply")
            rest = wall.ply_stresses(wall.response(delta_t=delta_t), delta_t=delta_t, axes="ply")
            plain = assess(load, GLASS.each(lambda x: np.asarray(x)), criterion="tsai_wu", residual=rest)
            np.testing.assert_allclose(found.ratio, plain.ratio.min(), rtol=1e-9)
            face = int(np.argmin(plain.ratio.reshape(-1)))
            assert found.mode == plain.mode.reshape(-1)[face]


def test_the_mode_of_every_face_counts_what_is_there_without_load():
    wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 90.0, 45.0, 90.0], [0.5, 0.7, 0.4, 0.6],
                               alpha1=8.6e-6, alpha2=22.1e-6)
    rest = wall.ply_stresses(wall.response(delta_t=-150.0), delta_t=-150.0, axes="ply")
    told, loaded, cold = [], [], []
    for n in np.random.default_rng(4).normal(0.0, 60.0, (40, 3)):
        load = wall.ply_stresses(wall.response(N=n), axes="ply")
        told.append(mode_names(first_ply_failure(wall, GLASS, n, delta_t=-150.0).mode_codes))
        loaded.append(assess(load, GLASS.each(np.asarray), criterion="tsai_wu", residual=rest).mode)
        cold.append(assess(load, GLASS.each(np.asarray), criterion="tsai_wu").mode)
    assert (np.array(loaded) != np.array(cold)).any()
    np.testing.assert_array_equal(told, loaded)


def test_a_fibre_that_fails_first_leaves_its_share_of_the_stiffness():
    # one ply pulled along its fibres: the work goes by 1/e1, so what is left is the share that broken fibres keep
    ply = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0], [1.0])
    found = last_ply_failure(ply, GLASS, [100.0, 0.0, 0.0])
    assert found.history[0].modes == ("fibre tension",)
    np.testing.assert_allclose(found.history[0].stiffness_share, found.knock_downs.fibre, rtol=1e-9)


@pytest.mark.parametrize("order, edges", [(6, "SSSS"), (8, "CCCC"), (10, "SFSF")])
def test_half_of_the_shapes_between_the_edges_are_told_as_modes(order, edges):
    D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    plate, most = Plate(400, 600, D, edges=edges, order=order), (order - 2) ** 2 // 2
    assert plate.frequencies(8.0, most).values.shape == (most,)
    with pytest.raises(InputError, match=f"1 to {most} at order {order}"):
        plate.frequencies(8.0, most + 1)


def test_a_square_plate_bends_alike_both_ways_under_a_load_at_its_centre():
    square = simply_supported_centre_load(1.0, [0.0, 0.3, 0.45])
    np.testing.assert_allclose(square.beta_short, square.beta_long, rtol=1e-9)
    # a very long plate is a strip: its closed form leaves 1 across and the Poisson ratio along
    strip = simply_supported_centre_load(1000.0, [0.0, 0.25])
    np.testing.assert_allclose([strip.beta_short, strip.beta_long], [[1.0, 1.0], [0.0, 0.25]], atol=1e-9)


@pytest.mark.parametrize("place", [(0, 1), (0, 2), (1, 2)])
def test_a_stiffness_with_one_term_too_large_beside_the_diagonal_is_refused(place):
    for term in (1.2, -1.2):
        matrix = np.eye(3)
        matrix[place] = matrix[place[::-1]] = term
        with pytest.raises(InputError, match="positive"):
            checked_matrix("stiffness", matrix, 3, "N mm")


@pytest.mark.parametrize("angles, code", [([0, 90, 0], "[0/90bar]s"), ([45, -45, 0, 90, 0, -45, 45], "[45/-45/0/90bar]s")])
def test_a_middle_ply_that_is_not_doubled_is_told(angles, code):
    assert format_stack_code(angles) == code and list(parse_stack_code(code)) == angles


def test_thickness_alone_may_make_the_batch_of_a_last_ply_failure():
    angle = [0.0, 90.0]
    walls = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, angle, [[0.5, 0.5], [1.0, 1.0], [0.4, 0.8]])
    found = last_ply_failure(walls, GLASS, [100.0, 0.0, 0.0])
    assert found.last_ratio.shape == (3,)
    for k, t in enumerate(([0.5, 0.5], [1.0, 1.0], [0.4, 0.8])):
        one = last_ply_failure(Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, angle, t), GLASS, [100.0, 0.0, 0.0])
        assert found.last_ratio[k] == pytest.approx(float(one.last_ratio), rel=1e-12)


@pytest.fixture(scope="module")
def shop():
    return catalogue.load()


def test_tested_values_count_only_where_the_schedule_asks_for_them():
    own = catalogue.load(own=OWN)
    plain = Ply(own.reinforcement("biax090_1808"), own.resin("iso_polyester"), own.process("hand"))
    ours = replace(plain, tested=own.tested("biax090_1808", "hand", "iso_polyester"))
    computed, entered, wanted = (Schedule((ply,), own.fibres, property_model=model) for ply, model in (
        (plain, "micromechanics"), (ours, "micromechanics"), (ours, "tested")))
    assert entered.laminate.in_plane.ex == computed.laminate.in_plane.ex
    assert entered.total_thickness_mm == computed.total_thickness_mm
    # the example file: e1 12900, e2 12400, nu12 0.17, g12 3100 MPa, 1.27 mm at 0.43 glass
    found = wanted.laminate.in_plane
    assert [float(x) for x in (found.ex, found.ey, found.nuxy, found.gxy)] == pytest.approx([12900, 12400, 0.17, 3100])
    assert wanted.total_thickness_mm == pytest.approx(1.27) and wanted.glass_fraction == pytest.approx(0.43)
    weight = float(plain.reinforcement.areal_weight_gsm)
    assert wanted.areal_mass_kg_m2 == pytest.approx(weight / 0.43 / 1e3)


def test_the_thickness_band_takes_the_density_of_the_fibre_laid(shop):
    ply = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    fibre = shop.fibres[ply.reinforcement.fibre]
    density = replace(fibre.density_kg_m3, typical=1440.0, low=1440.0, high=1440.0)
    light = dict(shop.fibres) | {ply.reinforcement.fibre: replace(fibre, density_kg_m3=density)}
    heavy_band, light_band = (Schedule((ply,), fibres).thickness_band_mm() for fibres in (shop.fibres, light))
    more = 0.45 / 1.44 - 0.45 / (float(fibre.density_kg_m3) / 1e3)  # mm of glass replaced by the lighter fibre
    for low, high in zip(heavy_band, light_band, strict=True):
        assert high - low == pytest.approx(more / (1 - float(ply.process.void_fraction)), rel=1e-9)


@pytest.mark.parametrize("inches, area", [(0.25, 0.0318), (0.3125, 0.0524), (0.375, 0.0775), (0.5, 0.1419), (0.625, 0.226),
                                          (0.75, 0.334), (1.0, 0.606)])
def test_inch_threads_have_the_stress_area_of_the_tables(inches, area):
    # in2, ASME B1.1 coarse threads, from memory
    assert thread_stress_area(25.4 * inches) / 25.4**2 == pytest.approx(area, rel=2e-3)


def test_metric_threads_are_not_taken_for_inch_threads():
    # mm2, ISO 898-1, from memory
    for diameter, area in ((6, 20.1), (8, 36.6), (10, 58.0), (12, 84.3), (16, 157.0), (20, 245.0)):
        assert thread_stress_area(diameter) == pytest.approx(area, abs=0.5 if area > 100 else 0.05)
    for diameter in (11.0, 12.5, 12.75, 26.0):
        with pytest.raises(InputError, match="bolt diameter must be one of 6, 8"):
            thread_stress_area(diameter)


def test_voids_take_room_but_weigh_nothing(shop):
    hand = shop.process("hand")
    porous = replace(hand, void_fraction=replace(hand.void_fraction, typical=0.05))
    plies = [Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), process) for process in (hand, porous)]
    dense, loose = (Schedule((ply,), shop.fibres) for ply in plies)
    assert loose.total_thickness_mm == pytest.approx(dense.total_thickness_mm / 0.95, rel=1e-12)
    assert loose.areal_mass_kg_m2 == pytest.approx(dense.areal_mass_kg_m2, rel=1e-12)
    weights = loose.total_thickness_mm * loose.sublayers.density_kg_m3[0] / 1e3
    assert weights == pytest.approx(loose.glass_kg_m2 + loose.resin_kg_m2, rel=1e-12)
