"""From the job file to schedules: the demo's hand-calculated sanity values, own core values, prices, references."""

import pytest

from lamcalc.errors import InputError
from lamcalc.materials.catalogue import data_folder
from lamcalc.shop import job

pytestmark = pytest.mark.behaviour
DEMO = job.load_demo()


@pytest.fixture(scope="module")
def shelf():
    return job.catalogue(DEMO)


@pytest.fixture(scope="module")
def at_the_script_s_fractions():
    """The demo with 0.43 glass in every mat-backed fabric, as the script behind the sanity values had it."""
    changes = {f"schedules.transom_inner_skin.layers[{n}].glass_fraction": 0.43 for n in (1, 2)}
    return job.update(DEMO, changes)


AREA_M2 = 0.843
SANITY = [("transom_plywood", 48.6, 17.6), ("transom_board", 48.6, 12.6), ("transom_cast", 50.6, 20.5)]


@pytest.mark.parametrize("name, thickness_mm, core_kg", SANITY)
def test_transom_totals_of_an_independent_script(at_the_script_s_fractions, shelf, name, thickness_mm, core_kg):
    stack = job.schedule(at_the_script_s_fractions, name, shelf)
    assert stack.total_thickness_mm == pytest.approx(thickness_mm, abs=0.05)  # printed to 0.1
    cores = [layer for layer in stack.laid if hasattr(layer, "core")]
    core_mass = sum(layer.thickness_mm / 1000 * float(layer.core.density_kg_m3) for layer in cores) * AREA_M2
    assert core_mass == pytest.approx(core_kg, abs=0.05)
    assert stack.glass_kg_m2 * AREA_M2 == pytest.approx(3.46, abs=0.005)
    assert stack.resin_kg_m2 * AREA_M2 == pytest.approx(5.98, abs=0.005)


def test_inner_skin_and_bottom_of_an_independent_script(at_the_script_s_fractions, shelf):
    assert job.schedule(at_the_script_s_fractions, "transom_inner_skin", shelf).total_thickness_mm == pytest.approx(
        5.4, abs=0.05
    )
    bottom = job.schedule(DEMO, "bottom_original", shelf)
    assert bottom.structural_thickness_mm == pytest.approx(5.40, abs=0.005)
    assert bottom.total_thickness_mm == pytest.approx(5.95, abs=0.005)
    assert (bottom.glass_kg_m2, bottom.resin_kg_m2) == pytest.approx((2.850, 5.150), abs=0.0005)
    assert bottom.glass_fraction == pytest.approx(0.356, abs=0.0005)
    assert bottom.woven_share == pytest.approx(0.42, abs=0.005)


def test_every_schedule_of_the_demo_is_built_with_known_materials(shelf):
    for name, entry in DEMO.schedules.items():
        stack = job.schedule(DEMO, name, shelf)
        assert stack.name == entry.title and stack.total_thickness_mm > 0
        if not entry.existing:
            assert stack.unpriced == () and stack.cost_per_m2 > 0
        else:
            assert stack.cost_per_m2 == 0


def test_own_core_values_replace_those_of_the_catalogue_and_carry_their_status(shelf):
    board = next(layer.core for layer in job.schedule(DEMO, "transom_board", shelf).layers if hasattr(layer, "core"))
    own = {"density_kg_m3": 416, "e_x": 1600, "e_y": 1600, "g_xz": 120, "g_yz": 120, "compressive_strength": 8}
    assert {name: float(getattr(board, name)) for name in own} == own
    assert {getattr(board, name).status for name in own} == {"assumed"}
    assert float(board.g_xy) == pytest.approx(1600 / 2.6)  # isotropic in the plane, Poisson ratio 0.3
    stock = shelf.core("pu_board_416")
    assert board.shear_strength == stock.shear_strength and float(stock.e_x) != 1600
    plywood = job.schedule(DEMO, "transom_plywood", shelf).layers[3].core
    assert plywood.g_xy == shelf.core("ply_meranti").g_xy
    across = job.update(DEMO, {"schedules.transom_board.layers[3].e2_mpa": 900,
                               "schedules.transom_board.layers[3].shear_strength_mpa": 3})  # fmt: skip
    core = job.schedule(across, "transom_board", shelf).layers[3].core
    assert (float(core.e_x), float(core.e_y), float(core.shear_strength)) == (1600, 900, 3)


def test_a_core_without_own_values_is_that_of_the_catalogue(shelf):
    assert job.schedule(DEMO, "sole_plywood", shelf).layers[1].core == shelf.core("ply_meranti")


def test_prices_by_sheet_mass_and_area():
    table = job.prices(DEMO)
    assert table["csm_450"].per == "m2" and table["csm_450"].amount == 3.00 and table["csm_450"].date == "2026-03-02"
    assert table["ply_meranti_18mm"].per_m2(0) == pytest.approx(92 / (2.44 * 1.22))
    assert table["ply_meranti_12mm"].amount == 61 and table["cast_640_19mm"].per == "kg"
    assert "acetone" not in table  # sold by the litre: in the buying list only


def test_bond_with_putty_that_counts_and_with_putty_that_only_fills(shelf):
    place = "schedules.transom_board.layers[2]"
    thick = job.update(DEMO, {f"{place}.putty_thickness_mm": 1.5, f"{place}.putty_e_mpa": 2500,
                              f"{place}.putty_density_kg_m3": 1100})  # fmt: skip
    plain, stack = (job.schedule(one, "transom_board", shelf) for one in (DEMO, thick))
    assert stack.total_thickness_mm == pytest.approx(plain.total_thickness_mm + 1.5)
    assert stack.areal_mass_kg_m2 == pytest.approx(plain.areal_mass_kg_m2 + 1.65)
    assert stack.layers[3].name == "putty" and not stack.layers[3].existing


def test_kept_skin_and_coat_are_existing_and_cost_nothing(shelf):
    stack = job.schedule(DEMO, "transom_plywood", shelf)
    assert stack.layers[0].existing and stack.layers[1].existing and list(stack.row_cost[:2]) == [0, 0]
    assert stack.layers[0].density_kg_m3 == float(shelf.resin("gel_coat").density_kg_m3)


def test_own_materials_of_the_job_are_merged_over_the_catalogue(tmp_path):
    example = data_folder() / "own_materials_example.toml"
    (tmp_path / "own.toml").write_bytes(example.read_bytes())
    places = {"own_materials": "own.toml", "schedules.sole_board.layers[2].core": "sample_board_450"}
    own = job.save(job.update(DEMO, places), tmp_path / "launch.toml")
    shelf = job.catalogue(own)
    test = next(iter(shelf.tested_laminates.values()))
    ply = {"kind": "ply", "reinforcement": test.reinforcement, "resin": test.resin or "iso_polyester",
           "process": test.process}  # fmt: skip
    own = job.save(job.update(own, {"schedules.stringer_skin.layers[0]": ply | {"count": 2}}))
    assert job.schedule(own, "sole_board").layers[2].core.id == "sample_board_450"
    assert job.schedule(own, "stringer_skin").layers[0].tested == test
    with pytest.raises(InputError, match="sample_board_450"):
        job.schedule(own, "sole_board", job.catalogue(DEMO))


def test_unknown_names(shelf):
    with pytest.raises(InputError, match=r"schedule must be the name of a schedule of this job \[-\]; received 'hull'"):
        job.schedule(DEMO, "hull", shelf)
    unknown = job.update(DEMO, {"schedules.stringer_skin.layers[0].reinforcement": "biax_9999"})
    with pytest.raises(InputError, match="biax_9999"):
        job.schedule(unknown, "stringer_skin", shelf)


def test_every_material_of_the_demo_is_in_the_catalogue(shelf):
    for entry in DEMO.schedules.values():
        for layer in entry.layers:
            if layer.kind in ("ply", "bond"):
                assert shelf.reinforcement(layer.reinforcement).id == layer.reinforcement
                assert shelf.resin(layer.resin).id == layer.resin and shelf.process(layer.process).id == layer.process
            elif layer.kind == "core":
                assert shelf.core(layer.core).id == layer.core
    for tape in DEMO.parts["transom"].tabbing.tapes:
        assert shelf.reinforcement(tape.reinforcement).id == tape.reinforcement
