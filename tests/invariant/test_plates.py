"""Plates: limits, symmetries, superposition, batches, stated error."""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.mechanics.elasticity import ExactPlate, cross_ply_stiffness, orthotropic_stiffness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plate_basis import is_held
from lamcalc.mechanics.plate_batch import panel_response
from lamcalc.mechanics.plate_navier import NavierPlate, factored_shear_stiffness
from lamcalc.mechanics.plate_series import isotropic_stiffness, simply_supported_uniform
from lamcalc.mechanics.plates import Patch, Plate, reduced_bending_stiffness

pytestmark = pytest.mark.invariant
D = 1e6 * np.array([[2.0, 0.6, 0.3], [0.6, 1.2, 0.2], [0.3, 0.2, 0.7]])
SHEAR = np.array([[250.0, 30.0], [30.0, 180.0]])
HELD = [e for e in map("".join, itertools.product("CSF", repeat=4)) if is_held(e)]
edges_strategy = st.sampled_from(HELD)
shear_strategy = st.sampled_from([None, SHEAR])
quick = settings(max_examples=8, deadline=None)


@st.composite
def stiffnesses(draw):
    """Any positive definite D, with strong bend-twist coupling too."""
    root = np.diag([draw(st.floats(0.5, 2.0)) for _ in range(3)])
    root[np.tril_indices(3, -1)] = [draw(st.floats(-0.7, 0.7)) for _ in range(3)]
    return 1e6 * root @ root.T


# limits ---------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("edges, factor, moment", [
    ("SSFF", 5 / 384, 1 / 8), ("CCFF", 1 / 384, 1 / 24), ("CFFF", 1 / 8, 0.0)])
@pytest.mark.parametrize("b", [30.0, 300.0, 3000.0])
def test_strip_without_poisson_ratio_is_a_beam(edges, factor, moment, b):
    solution = Plate(300.0, b, np.diag([2e6, 2e6, 1e6]), edges=edges).solve(pressure=0.01)
    place = 300.0 if edges == "CFFF" else 150.0
    assert solution.deflection(place, b / 3) == pytest.approx(factor * 0.01 * 300**4 / 2e6, rel=1e-6)
    assert solution.moments(place, b / 3)[0] == pytest.approx(moment * 0.01 * 300**2, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("ends, factor", [("SS", 5 / 384), ("CC", 1 / 384)])
def test_long_plate_is_a_beam_with_shear(ends, factor):
    """Strip with free sides: bending and shear deflection add up, w = f q L^4/D + q L^2/8 S."""
    solution = Plate(300.0, 100.0, np.diag([2e6, 2e6, 1e6]), edges=ends + "FF", shear=400.0).solve(pressure=0.01)
    assert solution.deflection(150.0, 50.0) == pytest.approx(factor * 81e6 / 2e6 + 0.01 * 300**2 / 8 / 400, rel=1e-6)


def test_middle_of_a_very_long_plate():
    """Far from the ends the plate bends to a cylinder: 5/384 q b^4 / D, also with the Poisson ratio."""
    solution = Plate(1000.0, 100.0, isotropic_stiffness(1e6, 0.3), edges="SSSS", order=24).solve(pressure=0.01)
    assert solution.deflection(500.0, 50.0) == pytest.approx(5 / 384 * 0.01 * 1e8 / 1e6, rel=1e-4)


@pytest.mark.parametrize("edges", ["SSSS", "CCCC", "CSFC", "SFSC", "CFFF"])
def test_stiff_shear_is_the_classical_plate(edges):
    classical = Plate(500, 300, D, edges=edges, order=8)
    stiff = Plate(500, 300, D, edges=edges, order=8, shear=1e12)
    ours, theirs = (p.solve(pressure=0.01) for p in (stiff, classical))
    assert ours.max_deflection == pytest.approx(theirs.max_deflection, rel=1e-6)
    assert ours.max_moments == pytest.approx(theirs.max_moments, rel=1e-6)
    assert stiff.frequencies(8.0).values == pytest.approx(classical.frequencies(8.0).values, rel=1e-6)
    assert stiff.buckling([-1, -0.3, 0.4]).values == pytest.approx(classical.buckling([-1, -0.3, 0.4]).values, rel=1e-6)


@pytest.mark.parametrize("edges", ["SSSS", "CCFC"])
def test_vanishing_core_is_a_single_skin(edges):
    """Two skins of 2 mm with a core of 1e-9 mm between them against one skin of 4 mm."""
    def wall(core):
        e, nu, skin, g = 12e3, 0.3, 2.0, 20.0
        lever = skin + core
        rigidity = e / (1 - nu**2) * (2 * skin**3 / 12 + skin * lever**2 / 2)
        return isotropic_stiffness(rigidity, nu), g * lever**2 / core if core else None

    d, shear = wall(1e-9)
    single, _ = wall(0.0)
    ours = Plate(400, 300, d, edges=edges, shear=shear, order=8).solve(pressure=0.01)
    theirs = Plate(400, 300, single, edges=edges, order=8).solve(pressure=0.01)
    assert ours.max_deflection == pytest.approx(theirs.max_deflection, rel=1e-6)
    assert ours.max_moments == pytest.approx(theirs.max_moments, rel=1e-6)


# symmetries -----------------------------------------------------------------------------------------------------------

PLACES = np.array([[0.22, 0.7, 0.5, 0.9], [0.1, 0.45, 0.8, 0.6]])
PATCH = (0.3, 0.4, 0.2, 0.3)


def solved(a, b, d, edges, shear, patch=PATCH, scale=1.0):
    loads = [Patch(200.0 * scale, patch[0] * a, patch[1] * b, patch[2] * a, patch[3] * b)]
    return Plate(a, b, d, edges=edges, shear=shear, order=6).solve(pressure=0.01 * scale, patches=loads)


def fields(solution, places):
    x, y = places[0] * solution.plate.a_mm, places[1] * solution.plate.b_mm
    return solution.deflection(x, y), solution.moments(x, y), solution.shear_forces(x, y)


def close(ours, theirs):
    assert np.abs(ours - theirs).max() <= 1e-8 * np.abs(theirs).max()


@quick
@given(edges_strategy, shear_strategy, stiffnesses())
def test_turning_the_plate_by_90_degrees_swaps_the_axes(edges, shear, raw):
    d, swap = raw, [1, 0, 2]
    w, m, q = fields(solved(500.0, 300.0, d, edges, shear), PLACES)
    turned = solved(300.0, 500.0, d[swap][:, swap], edges[2:] + edges[:2], None if shear is None else shear[::-1, ::-1],
                    patch=(PATCH[1], PATCH[0], PATCH[3], PATCH[2]))
    w2, m2, q2 = fields(turned, PLACES[::-1])
    close(w2, w), close(m2[:, swap], m), close(q2[:, ::-1], q)


@quick
@given(edges_strategy, shear_strategy, stiffnesses())
def test_mirroring_the_plate_turns_the_sign_of_bend_twist_terms(edges, shear, raw):
    d, flip = raw, np.array([1.0, 1.0, -1.0])
    w, m, q = fields(solved(500.0, 300.0, d, edges, shear), PLACES)
    mirrored = solved(500.0, 300.0, d * np.outer(flip, flip), edges[1::-1] + edges[2:],
                      None if shear is None else shear * np.array([[1, -1], [-1, 1]]), patch=(1 - PATCH[0], *PATCH[1:]))
    w2, m2, q2 = fields(mirrored, np.stack([1 - PLACES[0], PLACES[1]]))
    close(w2, w), close(m2 * flip, m), close(q2 * np.array([-1, 1]), q)


@quick
@given(edges_strategy, shear_strategy, st.floats(0.1, 10.0), st.floats(0.1, 10.0), st.floats(0.1, 10.0))
def test_scaling(edges, shear, size, stiffness, load):
    """Twice as large: w ~ q a^4 / D with shear stiffness ~ D / a^2, moments ~ q a^2."""
    w, m, q = fields(solved(500.0, 300.0, D, edges, shear), PLACES)
    scaled = Plate(500.0 * size, 300.0 * size, D * stiffness, edges=edges, order=6,
                   shear=None if shear is None else shear * stiffness / size**2)
    patch = Patch(200.0 * load * size**2, *(f * side * size for f, side in zip(PATCH, (500, 300, 500, 300))))
    w2, m2, q2 = fields(scaled.solve(pressure=0.01 * load, patches=[patch]), PLACES)
    close(w2, w * load * size**4 / stiffness), close(m2, m * load * size**2), close(q2, q * load * size)


@quick
@given(edges_strategy, shear_strategy)
def test_loads_add_up(edges, shear):
    plate = Plate(500.0, 300.0, D, edges=edges, shear=shear, order=6)
    patches = [Patch(300.0, 150, 100, 100, 80), Patch(-120.0, 400, 200, 50, 60)]
    both = plate.solve(pressure=0.01, patches=patches)
    single = [plate.solve(pressure=0.01), *(plate.solve(patches=[p]) for p in patches)]
    for k in range(3):
        close(fields(both, PLACES)[k], sum(fields(s, PLACES)[k] for s in single))


@pytest.mark.parametrize("shear", [None, SHEAR])
@pytest.mark.parametrize("edges", ["SSSS", "CSFC"])
def test_a_patch_over_the_whole_plate_is_pressure(edges, shear):
    plate = Plate(500.0, 300.0, D, edges=edges, shear=shear, order=8)
    whole, pressure = plate.solve(patches=[Patch(1500.0, 250, 150, 500, 300)]), plate.solve(pressure=0.01)
    close(whole.deflection(*(PLACES * [[500], [300]])), pressure.deflection(*(PLACES * [[500], [300]])))
    quarters = plate.solve(patches=[Patch(375.0, x, y, 250, 150) for x in (125, 375) for y in (75, 225)])
    ours, theirs = quarters.deflection(250, 150), pressure.deflection(250, 150)
    assert abs(ours / theirs - 1) < quarters.error.deflection + pressure.error.deflection + 1e-5


@pytest.mark.parametrize("edges", ["SSSS", "CCCC", "SSCC"])
def test_uniform_pressure_gives_point_symmetry(edges):
    w, m, q = fields(Plate(500.0, 300.0, D, edges=edges).solve(pressure=0.01), PLACES)
    w2, m2, q2 = fields(Plate(500.0, 300.0, D, edges=edges).solve(pressure=0.01), 1 - PLACES)
    close(w2, w), close(m2, m), close(-q2, q)


@pytest.mark.parametrize("shear", [None, SHEAR])
def test_edge_conditions(shear):
    solution = Plate(500.0, 300.0, D, edges="CSSF", shear=shear, order=12).solve(pressure=0.01)
    s = np.linspace(0.3, 0.7, 5)
    assert np.abs(solution.deflection(0, 300 * s)).max() < 1e-12
    assert np.abs(solution.deflection(500, 300 * s)).max() < 1e-12
    big = np.abs(solution.max_moments).max()
    # natural conditions hold on average: no bending moment across a simply supported or a free edge
    assert np.abs(solution.moments(500 * s, 0)[:, 1]).max() < 0.02 * big
    assert np.abs(solution.moments(500 * s, 300)[:, 1]).max() < 0.02 * big


@pytest.mark.parametrize("shear", [None, np.diag([250.0, 180.0])])
def test_forces_balance(shear):
    """The shear forces around a strip of the plate carry the pressure on it."""
    solution = Plate(500.0, 300.0, D, edges="CCCC", shear=shear, order=12).solve(pressure=0.01)
    t, weights = np.polynomial.legendre.leggauss(24)
    x, y = 250 + 150 * t, 150 + 90 * t
    qx = [(solution.shear_forces(side, y)[:, 0] * weights).sum() * 90 for side in (100.0, 400.0)]
    qy = [(solution.shear_forces(x, side)[:, 1] * weights).sum() * 150 for side in (60.0, 240.0)]
    assert qx[0] - qx[1] + qy[0] - qy[1] == pytest.approx(0.01 * 300 * 180, rel=2e-3)


# batches --------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("edges, shear", [("CCCC", None), ("CSFC", None), ("SSSS", SHEAR)])
def test_batch_is_a_loop_of_single_plates(edges, shear):
    rng = np.random.default_rng(5)
    a, b, scale = rng.uniform(200, 800, (3, 4)), rng.uniform(200, 500, (3, 4)), rng.uniform(0.5, 2, (3, 4, 1, 1))
    pressure = rng.uniform(0.005, 0.03, 4)
    slip = None if shear is None else shear * scale
    result = panel_response(a, b, D * scale, pressure, edges=edges, shear=slip, order=8, stations=17,
                            shear_forces=True)
    assert result.deflection.shape == (3, 4) and result.moments_at_mm.shape == (3, 4, 3, 2)
    for i, j in np.ndindex(3, 4):
        plate = Plate(a[i, j], b[i, j], D * scale[i, j], edges=edges, order=8,
                      shear=None if slip is None else slip[i, j])
        peaks = plate.solve(pressure=pressure[j]).peaks(17)
        assert result.deflection[i, j] == pytest.approx(peaks.deflection, rel=1e-10)
        assert result.moments[i, j] == pytest.approx(peaks.moments, rel=1e-8)
        assert result.shear_forces[i, j] == pytest.approx(peaks.shear_forces, rel=1e-7)
        assert result.deflection_at_mm[i, j] == pytest.approx(peaks.deflection_at_mm, rel=1e-6)


def test_a_batch_of_plates_gives_arrays():
    a = np.array([300.0, 400.0, 600.0])
    plate = Plate(a, 300.0, D, edges="SSCC", order=8)
    one = Plate(400.0, 300.0, D, edges="SSCC", order=8)
    patches = [Patch(100.0, 0.5 * a, 150, 0.1 * a, 30)]
    solution = plate.solve(pressure=0.01, patches=patches)
    single = one.solve(pressure=0.01, patches=[Patch(100.0, 200, 150, 40, 30)])
    assert solution.deflection(150.0, 120.0)[1] == pytest.approx(single.deflection(150.0, 120.0), rel=1e-10)
    assert solution.field(5).moments[1] == pytest.approx(single.field(5).moments, rel=1e-8, abs=1e-8)
    many, alone = (p.buckling([-1.0, 0, 0.5], count=2).values for p in (plate, one))
    assert many[1] == pytest.approx(alone)
    assert plate.frequencies([5.0, 8.0, 9.0], 2).values[1] == pytest.approx(one.frequencies(8.0, 2).values)


def test_many_loads_on_one_plate():
    plate = Plate(500.0, 300.0, D, edges="CSFC", shear=SHEAR)
    loads = np.array([100.0, -250.0])
    many = plate.solve(pressure=[0.0, 0.01], patches=[Patch(loads, 200, 100, 60, 40)])
    for k in range(2):
        one = plate.solve(pressure=[0.0, 0.01][k], patches=[Patch(loads[k], 200, 100, 60, 40)])
        assert many.max_moments[k] == pytest.approx(one.max_moments, rel=1e-8)
        assert many.error.deflection[k] == pytest.approx(one.error.deflection, rel=1e-4)


def test_order_of_batch_keeps_its_promise():
    """Deflection within 0.1 % of a high order, sides up to 1 : 7, mild coupling."""
    ratio = np.geomspace(1 / 7, 7, 13)
    a, b = 300 * np.sqrt(ratio), 300 / np.sqrt(ratio)
    mild = 1e6 * np.array([[1.0, 0.28, 0.05], [0.28, 0.8, 0.04], [0.05, 0.04, 0.33]])
    for edges in ("CCCC", "SSSS", "CCSS", "CSCS", "CSFC"):
        quick = panel_response(a, b, mild, 0.01, edges=edges)
        best = Plate(a, b, mild, edges=edges, order=20).solve(pressure=0.01).peaks(129)
        worst = np.abs(quick.deflection / best.deflection - 1).max()
        assert worst < 1e-3, edges


# stated error ---------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("matrix", [D, 1e6 * np.array([[1.0, 0.5, -0.5], [0.5, 1.0, -0.5], [-0.5, -0.5, 0.5]])])
def test_stated_error_covers_the_real_one(matrix):
    for edges in HELD[::3]:
        coarse = Plate(500.0, 300.0, matrix, edges=edges).solve(pressure=0.01)
        fine = Plate(500.0, 300.0, matrix, edges=edges, order=16).solve(pressure=0.01)
        real = abs(coarse.max_deflection / fine.max_deflection - 1)
        assert real < coarse.error.deflection + 1e-4, edges


def test_values_of_modes_are_on_the_high_side():
    coarse, fine = (Plate(500.0, 300.0, D, edges="CSFC", order=n) for n in (8, 14))
    for method, load in (("frequencies", 8.0), ("buckling", [-1.0, 0.0, 0.5])):
        high, low = getattr(coarse, method)(load, count=4), getattr(fine, method)(load, count=4)
        assert (high.values >= low.values).all() and (high.error >= 0).all()
        assert (high.values / low.values - 1 < high.error + 1e-4).all()


def test_tension_never_buckles():
    modes = Plate(500.0, 300.0, D, edges="SSSS").buckling([1.0, 0.5, 0.0])
    assert np.isinf(modes.values[0]) and modes.error[0] == 0


def test_a_loose_plate_vibrates():
    for edges, shear in (("FFFF", None), ("SFFF", None), ("FFFF", SHEAR)):
        loose = Plate(500.0, 300.0, D, edges=edges, shear=shear).frequencies(8.0, 2).values
        assert (loose > 1.0).all()


# series and elasticity ------------------------------------------------------------------------------------------------

PLY = orthotropic_stiffness(25e3, 1e3, 1e3, 0.25, 0.25, 0.25, 500.0, 500.0, 200.0)


def test_thin_exact_plate_is_classical():
    stack = cross_ply_stiffness(PLY, [0, 90, 90])
    exact = ExactPlate(500.0, 400.0, stack, [0.5, 0.4, 0.3])
    classical = NavierPlate(500.0, 400.0, *exact.laminate_stiffness)
    w = classical.solve(1e-5, load="sine").deflection(250, 200)
    assert exact.solve(1e-5, load="sine").displacement(250, 200, 0.0)[2] == pytest.approx(w, rel=2e-4)
    density = 1500.0
    frequency = classical.frequencies(density * 1.2e-3, 1, 1)[0]
    assert exact.frequency(density) == pytest.approx(frequency, rel=2e-4)


def test_exact_plate_balances_and_joins():
    stack = cross_ply_stiffness(PLY, [0, 90, 0])
    solution = ExactPlate(40.0, 30.0, stack, [3.0, 4.0, 3.0]).solve(0.5, terms=12)
    for z in (-2.0, 2.0):
        for field in ("displacement", "stress"):
            below, above = (getattr(solution, field)(13.0, 9.0, z, side=side) for side in ("below", "above"))
            joined = slice(None) if field == "displacement" else [2, 3, 4]
            assert below[joined] == pytest.approx(above[joined], rel=1e-9, abs=1e-12)
    faces = [solution.stress(13.0, 9.0, z) for z in (-5.0, 5.0)]
    assert faces[0][2:5] == pytest.approx([0, 0, 0], abs=1e-9)
    wave = ExactPlate(40.0, 30.0, stack, [3.0, 4.0, 3.0]).solve(0.5, load="sine")
    # vertical force through the four sides is the load
    z, weights = np.polynomial.legendre.leggauss(8)
    sides = 0.0
    for lo, hi in ((-5, -2), (-2, 2), (2, 5)):
        for t, w in zip((lo + hi) / 2 + (hi - lo) / 2 * z, weights * (hi - lo) / 2):
            shears = wave.stress(0.0, 15.0, t)[4], wave.stress(20.0, 0.0, t)[3]
            sides += 2 * w * (shears[0] * 2 * 30 / np.pi + shears[1] * 2 * 40 / np.pi)
    assert sides == pytest.approx(0.5 * 4 * 40 * 30 / np.pi**2, rel=1e-8)


def test_short_waves_do_not_spoil_the_exact_plate():
    """Many terms through a thick plate: the transfer matrix of the shortest wave has entries near 1e40."""
    plate = ExactPlate(40.0, 40.0, cross_ply_stiffness(PLY, [0, 90, 0]), [4.0, 4.0, 4.0])
    few, many = (plate.solve(0.5, terms=n).displacement(20, 20, 0.0)[2] for n in (15, 60))
    assert many == pytest.approx(few, rel=1e-4)


def wall(angles, thickness=None):
    t = np.full(len(angles), 1.0) if thickness is None else thickness
    return Laminate.from_plies(25e3, 1e3, 0.25, 500.0, np.asarray(angles, float), t)


def test_reduced_stiffness_is_exact_without_forces_in_the_plane():
    stack, moments = wall([0, 90, 30]), np.array([50.0, -20.0, 10.0])
    reduced = reduced_bending_stiffness(stack.A, stack.B, stack.D)
    assert reduced @ stack.response(M=moments).kappa == pytest.approx(moments, rel=1e-9)
    # it does not depend on the plane of reference
    moved = stack.B + 3.0 * stack.A, stack.D + 6.0 * stack.B + 9.0 * stack.A
    assert reduced_bending_stiffness(stack.A, *moved) == pytest.approx(reduced, rel=1e-9, abs=1e-3)


@pytest.mark.parametrize("angles, kind", [([0, 90], "cross"), ([45, -45], "angle"), ([30, -30, 30, -30], "angle")])
def test_reduced_stiffness_on_a_plate_is_close(angles, kind):
    stack = wall(angles)
    exact = NavierPlate(300.0, 300.0, stack.A, stack.B, stack.D, kind=kind).solve(0.01).deflection(150, 150)
    reduced = reduced_bending_stiffness(stack.A, stack.B, stack.D)
    ours = Plate(300.0, 300.0, (reduced + reduced.T) / 2, edges="SSSS").solve(pressure=0.01).deflection(150, 150)
    assert ours == pytest.approx(exact, rel=0.01)


def test_navier_with_shear_against_ritz():
    stack = wall([0, 90, 90, 0])
    shear = factored_shear_stiffness(500.0, 200.0, stack.angle_deg, stack.thickness_mm)
    series = NavierPlate(80.0, 60.0, stack.A, stack.B, stack.D, shear=shear).solve(0.05, terms=150)
    plate = Plate(80.0, 60.0, stack.D, edges="SSSS", shear=shear, order=12)
    solution = plate.solve(pressure=0.05)
    assert solution.deflection(40, 30) == pytest.approx(series.deflection(40, 30), rel=1e-4)
    assert solution.moments(40, 30)[0] == pytest.approx(series.moments(40, 30)[0], rel=2e-3)
    forces = shear @ series.shear_strains(10.0, 30)
    assert solution.shear_forces(10.0, 30)[0] == pytest.approx(forces[0], rel=5e-3)


def test_turning_the_plies_turns_the_shear_stiffness():
    flat, turned = (factored_shear_stiffness(500.0, 200.0, angles, [1.0, 2.0]) for angles in ([0, 0], [90, 90]))
    assert turned == pytest.approx(flat[::-1, ::-1])
    slanted = factored_shear_stiffness(500.0, 200.0, [30, 30], [1.0, 2.0])
    assert np.linalg.eigvalsh(slanted) == pytest.approx(np.linalg.eigvalsh(flat))


def test_single_series_carries_the_load():
    """Edge reactions and corner forces of the simply supported plate add up to the pressure."""
    factors = simply_supported_uniform(1.0, 0.3)
    plate = Plate(1.0, 1.0, isotropic_stiffness(1.0, 0.3), edges="SSSS", order=20).solve(pressure=1.0)
    t, weights = np.polynomial.legendre.leggauss(40)
    shear = (plate.shear_forces(0.0, (1 + t) / 2)[:, 0] * weights).sum() / 2
    assert 4 * shear == pytest.approx(1.0, rel=5e-3)
    assert abs(plate.moments(0.0, 0.0)[2]) == pytest.approx(factors.corner_force / 2, rel=1e-3)
