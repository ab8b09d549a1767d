"""Searches, spreads and checks at their ends: against listing everything, closed forms and balances."""

from dataclasses import replace

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.strength import interlaminar_check
from lamcalc.parts.panel import Panel, PanelLoad
from lamcalc.parts.panel_repair import compare_repair
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.parts.stringer_sizing import size_stringer
from lamcalc.schedule import CoreLayer, Ply, Schedule, SolidLayer
from lamcalc.shop.readings import spread, trimmed_mean
from lamcalc.studies.distributions import Distribution, Uncertain, typical
from lamcalc.studies.search import search_caps, search_sandwich
from lamcalc.studies.search_model import Targets, make_palette
from lamcalc.studies.search_problem import key_codes, layer_sets
from lamcalc.studies.sensitivity import one_at_a_time, variance_based
from lamcalc.studies.uncertain_parts import StringerModel
from lamcalc.studies.uncertainty import FunctionModel, Quantity

pytestmark = pytest.mark.invariant
SHOP = catalogue.load()
STRONG = (100.0, 100.0, 100.0, 100.0, 58.0)


def ply(name, **more):
    return Ply(SHOP.reinforcement(name), SHOP.resin("iso_polyester"), SHOP.process("hand"), **more)


def laid(name, count=1):
    return Schedule((ply(name, count=count),), SHOP.fibres, name=name)


HAT = Stringer("hat", laid("csm_450", 5), laid("biax45_1708", 2), 95.0, (75.0, 100.0), 110.0, 70.0, laid("ud_400", 3), 70.0,
               Former(80.0))
LOAD = StringerLoad(900.0, 460.0, pressure=0.018)
FOAM = CoreLayer(SHOP.core("pvc_80"), 15.0)


# --- searches ------------------------------------------------------------------------------------------------------------

def test_a_window_of_glass_takes_out_of_all_sandwiches_those_outside_it():
    """Glass over glass and resin of the fabrics alone, by the masses of each schedule; up to two layers a skin are listed."""
    stock = make_palette([ply("csm_450"), ply("wr_600"), FOAM], SHOP.fibres)
    found = search_sandwich(stock, Targets(), layers=(1, 2), best=1000).best

    def share(one):
        return one.schedule.glass_kg_m2 / (one.schedule.areal_mass_kg_m2 - 0.015 * float(FOAM.core.density_kg_m3))

    shares = sorted(map(share, found))
    low, high = shares[len(shares) // 4] - 1e-6, shares[3 * len(shares) // 4] + 1e-6
    inside = search_sandwich(stock, Targets(glass_share=(low, high)), layers=(1, 2), best=1000).best
    wanted = sorted(round(share(one), 9) for one in found if low <= share(one) <= high)
    assert sorted(round(share(one), 9) for one in inside) == wanted and 0 < len(wanted) < len(found)
    assert not search_sandwich(stock, Targets(glass_share=(0.9, 0.95)), layers=(1, 2)).best


@pytest.mark.parametrize("layers", [(0, 3), (3, 2), (1, 13), (1.0, 2), (1, "2")])
def test_numbers_of_layers_that_cannot_be_listed_are_refused(layers):
    with pytest.raises(InputError, match="layers must be a least and a most number, from 1 to 12"):
        layer_sets(3, layers)


def test_sets_of_layers_are_counted_before_they_are_made():
    """Ways to take n of k kinds: (k + n - 1)! / n! / (k - 1)!; of 30 kinds 12 layers alone are 7.9 thousand million."""
    assert len(layer_sets(3, (2, 4))) == 6 + 10 + 15
    with pytest.raises(InputError, match="give too many sets of layers.*received"):
        layer_sets(30, (12, 12))


def test_prices_that_do_not_fit_a_whole_number_of_64_bits_are_refused():
    keys = np.array([[1, 2, 3]])
    assert key_codes(keys, (2**20, 2**20, 2**20), ("mass", "cost", "layers")).tolist() == [
        (1 * (2**20 + 1) + 2) * (2**20 + 1) + 3]
    with pytest.raises(InputError, match="prices are too large to be added exactly"):
        key_codes(keys, (2**21, 2**21, 2**21), ("mass", "cost", "layers"))


def test_more_sandwiches_than_can_be_listed_are_refused():
    names = [name for name, fabric in SHOP.reinforcements.items() if SHOP.fibres[fabric.fibre].id == "e_glass"][:8]
    stock = make_palette([*map(ply, names), *(replace(FOAM, thickness_mm=float(t)) for t in range(6, 60))], SHOP.fibres)
    with pytest.raises(InputError, match="give too many sandwiches"):
        search_sandwich(stock, Targets(), layers=(1, 5))


def test_a_search_of_caps_that_was_stopped_says_how_far_it_came():
    whole = search_caps(HAT, LOAD, plies=(2, 3), cap_layers=(0, 3), heights=(80.0, 95.0))
    assert whole.proved and len(whole.results) == 8
    part = search_caps(HAT, LOAD, plies=(2, 3), cap_layers=(0, 3), heights=(80.0, 95.0), progress=lambda done, *_: done < 1)
    assert part.stopped and not part.proved and part.sentence.startswith(f"Stopped after {len(part.results)} of 8 combinations, ")
    assert part.combinations == whole.combinations[:len(part.results)]
    for grid in ({"plies": ()}, {"heights": tuple(float(h) for h in range(50, 50000))}):
        values = {"plies": (2, 3), "cap_layers": (0, 3), "heights": (95.0,)} | grid
        with pytest.raises(InputError, match="grid must have 1 to .* combinations"):
            search_caps(HAT, LOAD, **values)


def test_sizing_is_for_stringers_whose_layers_can_be_counted():
    grid = {"plies": (2,), "cap_layers": (0, 3), "heights": (95.0,)}
    assert len(size_stringer(HAT, LOAD, **grid).results) == 2
    mixed = Schedule((ply("csm_450"), ply("wr_600")), SHOP.fibres)
    with pytest.raises(InputError, match="skin of the stringer must be one kind of layer for sizing.*received 2. Next: give one"):
        size_stringer(replace(HAT, skin=mixed), LOAD, **grid)
    with pytest.raises(InputError, match="cap layers need a stringer with a cap to vary"):
        size_stringer(replace(HAT, cap=None, cap_width=None), LOAD, **grid)
    angle = Stringer("angle", laid("csm_450", 5), Schedule((SolidLayer("bar", 10.0, 10e3, strengths_mpa=STRONG),), {}), 90.0,
                     (75.0, 100.0), tabbing=laid("biax45_1708", 2))
    with pytest.raises(InputError) as caught:
        size_stringer(angle, LOAD, **grid)
    assert str(caught.value) == ("sizing is for hat and solid-core stringers [-]; received 'angle'. Next: vary an angle by hand.")
    with pytest.raises(InputError, match="grid must have 1 to .*; received 0. Next: shorten or fill the lists"):
        size_stringer(HAT, LOAD, **(grid | {"plies": ()}))
    with pytest.raises(InputError, match="objective must be one of mass, cost"):
        size_stringer(HAT, LOAD, **grid).with_targets(objective="weight")


def test_the_table_of_a_grid_says_which_combination_meets_the_targets():
    found = size_stringer(HAT, LOAD, plies=(2, 3), cap_layers=(0, 3), heights=(60.0, 95.0))
    least = [one.least.reserve_factor for one in found.results]
    between = sorted(least)[4] * (1 - 1e-9)
    harder = found.with_targets(reserve=between, use_rules=False, heights=(95.0,))
    table = harder.table()
    heads = ["layers over former", "cap layers", "height [mm]"]
    met = dict(zip(table[heads].itertuples(index=False, name=None), table["meets targets"], strict=True))
    assert set(met) == set(found.combinations) and len(table) == 8
    for factor, one, combination in zip(least, found.results, found.combinations, strict=True):
        holds = factor >= between and one.deflection_mm <= one.deflection_limit_mm and not one.unchecked
        assert met[combination] == ("yes" if holds and combination[2] == 95.0 else "no")
    assert harder.reserve == between and "yes" in met.values()


# --- spreads -------------------------------------------------------------------------------------------------------------

def test_a_stringer_not_checked_throughout_draws_no_reserve_factor():
    """A skin of unknown strength: the least of the others would pass for that of the stringer."""
    bare = replace(HAT, skin=Schedule((SolidLayer("sheet", 3.0, 10e3),), {}), legs=(75.0,))
    full, lacking = StringerModel(HAT, LOAD), StringerModel(bare, LOAD)
    assert {q.key for q in full.results} - {q.key for q in lacking.results} == {full.results[-1].key}
    found, one = lacking(typical(lacking.inputs)), assess_stringer(bare, LOAD)
    assert [found[q.key][0] for q in lacking.results] == pytest.approx([one.ei, bare.mass_kg_m, one.deflection_mm], rel=1e-12)


def test_swings_and_shares_of_a_sum_stand_in_their_tables():
    """y = 2 a + 3 b + 0 c, all uniform from -1 to 1: swings 4 x 0.8 and 6 x 0.8 between the tenth and ninetieth point;
    variances 4 and 9 of 13."""
    spread = Distribution("uniform", -1.0, 0.0, 1.0)
    model = FunctionModel(lambda d: {"y": 2 * d["a"][:, 0] + 3 * d["b"][:, 0] + 0 * d["c"][:, 0]},
                          tuple(Uncertain(k, f"part {k}", spread) for k in "abc"), (Quantity("y", "outcome"),))
    swings = one_at_a_time(model, "y")
    table = swings.table()
    assert table["input"].tolist() == ["part b", "part a", "part c"]
    assert [one.size for one in swings.swings] == pytest.approx([4.8, 3.2, 0.0])
    at = [next(name for name in table if name.startswith(f"result at {end}")) for end in ("low", "high")]
    assert table[at].to_numpy() == pytest.approx(np.array([[-2.4, 2.4], [-1.6, 1.6], [0.0, 0.0]]))
    assert table[["input low", "input high"]].to_numpy() == pytest.approx(np.array([[-0.8, 0.8]] * 3))
    shares = variance_based(model, "y", samples=4096).table()
    assert shares["input"].tolist()[:2] == ["part b", "part a"]
    for way in ("on its own [-]", "with others [-]"):
        assert shares[way][:2].tolist() == pytest.approx([9 / 13, 4 / 13], abs=0.05)


# --- checks --------------------------------------------------------------------------------------------------------------

def test_a_patch_of_which_a_strength_is_unknown_is_not_shown_to_be_equivalent():
    panel, load = Panel(600, 400), PanelLoad(pressure=0.01)
    known = Schedule((SolidLayer("sheet", 5.0, 10e3, strengths_mpa=STRONG),), {})
    veil = SolidLayer("veil", 0.1, 100.0)
    both = Schedule((SolidLayer("sheet", 5.0, 10e3, strengths_mpa=STRONG), veil), {}, name="with a veil")
    same = replace(known, name="again")
    assert compare_repair(panel, load, known, same).equivalent
    found = compare_repair(panel, load, known, both)
    assert not found.equivalent and not found.shortfalls
    assert "Not shown to be equivalent." in found.sentence and "No strength known: veil" in found.sentence
    thin = Schedule((SolidLayer("sheet", 4.0, 10e3, strengths_mpa=STRONG),), {}, name="thin")
    short = compare_repair(panel, load, known, thin)
    # 4 mm for 5: bending stiffness 0.8 cubed, moment 0.8 squared
    assert "0.51 of the original" in short.sentence and "0.64 of the original" in short.sentence
    table = short.table().set_index("figure")["repair over original [-]"]
    assert table.filter(like="bending stiffness").tolist() == pytest.approx([0.512] * 2)


def test_shear_between_plies_and_inside_them_by_the_parabola():
    """One material, plies of 1, 2 and 1 mm, 60 N/mm: 1.5 V/h = 22.5 MPa in the middle, 3/4 of it a quarter from the faces."""
    wall = Laminate.from_plies(10e3, 10e3, 0.3, 10e3 / 2.6, [0.0] * 3, [1.0, 2.0, 1.0])
    found = interlaminar_check(wall, 45.0, 60.0)
    assert found.interface_ratio.tolist() == pytest.approx([45 / (22.5 * 0.75)] * 2)
    assert found.ply_ratio.tolist() == pytest.approx([45 / (22.5 * 0.75), 2.0, 45 / (22.5 * 0.75)])
    assert float(found.ratio) == pytest.approx(2.0)
    many = interlaminar_check(wall, 45.0, [60.0, 30.0])
    assert many.ratio.tolist() == pytest.approx([2.0, 4.0])
    with pytest.raises(InputError, match="result must hold one laminate for this"):
        _ = many.worst


def test_a_value_of_a_material_in_words_with_the_ends_that_are_known():
    value = SHOP.core("pvc_80").e_x
    for low, high, words, bounds in ((None, None, "80 MPa, assumed", (80, 80)), (70, None, "80 (70 to ?) MPa, assumed", (70, 80)),
                                     (None, 90, "80 (? to 90) MPa, assumed", (80, 90)),
                                     (70, 90, "80 (70 to 90) MPa, assumed", (70, 90))):
        one = replace(value, typical=80, low=low, high=high, unit="MPa", status="assumed")
        assert str(one).startswith(words) and one.bounds == bounds and float(one) == 80


def test_the_mean_of_readings_by_hand_and_of_one_alone():
    three, one = spread("thickness", [3.0, 5.0, 4.0], "mm"), spread("thickness", [4.0], "mm")
    assert (three.count, three.mean, three.deviation, three.least, three.most) == pytest.approx((3, 4, 1, 3, 5))
    assert (one.count, one.mean, one.deviation, one.least, one.most) == (1, 4.0, 0.0, 4.0, 4.0)
    assert trimmed_mean([1.0, 2.0, 3.0, 100.0]) == 2.5


def test_fields_that_a_material_does_not_have_are_refused_by_name():
    foam = SHOP.core("pvc_80")
    assert foam.require_all("e_x", "g_xz") == (foam.e_x, foam.g_xz)
    with pytest.raises(InputError, match="field of Core.* must be one of .*e_x.*received 'modulus'"):
        foam.require_all("e_x", "modulus")
    bare = replace(foam, e_x=None, g_xz=None)
    with pytest.raises(InputError, match="^e_x, g_xz of pvc_80 must be known for this calculation.*give them in your own"):
        bare.require_all("e_x", "g_xz", "density_kg_m3")
    with pytest.raises(InputError, match="^g_xz of pvc_80 must be known.*give it in your own materials file; ask the maker"):
        bare.require_all("density_kg_m3", "g_xz", hint="ask the maker")
