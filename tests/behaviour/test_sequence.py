"""Sequence review: every rule with a stack that breaks it and one that does not."""

from dataclasses import replace

import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.schedule import Coat, CoreLayer, Ply, Schedule, SolidLayer
from lamcalc.shop.job import load_demo, update
from lamcalc.shop.sequence import RULES, Context, resin_table, review, review_part, rules_table

pytestmark = pytest.mark.behaviour
SHOP = catalogue.load()


def ply(fabric, resin="iso_polyester", **more):
    return Ply(SHOP.reinforcement(fabric), SHOP.resin(resin), SHOP.process("hand"), **more)


def core(name="pu_board_416", thickness_mm=18.0):
    return CoreLayer(SHOP.core(name), thickness_mm)


def old_skin(existing=True):
    return SolidLayer("old skin", 5.0, e1=8500, existing=existing)


def found(layers, **context):
    result = review(Schedule(tuple(layers), SHOP.fibres), Context(**context))
    return {f.rule_id: f for f in result.findings}


MAT, ROVING = ply("csm_450"), ply("wr_600")
GEL = Coat("gel coat", 0.5)
TRANSOM = (old_skin(), MAT, core(), MAT, core(), MAT)
CASES = [  # rule, layers and context that break it, layers it points at; layers and context that do not
    ("mat_at_bond", ([old_skin(), ply("biax45_17oz"), MAT], {}), (2,), ([old_skin(), MAT, ply("biax45_17oz")], {})),
    ("mat_at_bond", ([MAT, ply("biax45_17oz"), core()], {}), (2, 3), ([MAT, ply("biax45_17oz"), MAT, core()], {})),
    ("mat_at_bond", ([ply("biax45_17oz")], {"substrate": "polyester"}), (1,),
     ([ply("biax45_17oz", "epoxy")], {"substrate": "polyester"})),
    ("mat_first", ([GEL, ply("biax45_17oz")], {}), (2,), ([GEL, MAT, ply("biax45_17oz")], {})),
    ("bare_first_epoxy", ([ply("biax090_18oz", "epoxy")], {}), (1,), ([ply("biax45_1708", "epoxy"), ply("biax090_18oz", "epoxy")], {})),
    ("bare_first_epoxy", ([GEL, ply("biax090_18oz", "epoxy")], {}), (2,), ([GEL, MAT, ply("biax45_17oz")], {})),
    ("roving_first", ([ROVING, MAT], {}), (1,), ([MAT, ROVING], {})),
    ("roving_first", ([MAT, ROVING], {"laid": "inner_first"}), (2,), ([ROVING, MAT], {"laid": "inner_first"})),
    ("roving_first", ([old_skin(), ROVING, MAT], {}), (2,), ([old_skin(), MAT, ROVING], {})),
    ("roving_on_roving", ([MAT, replace(ROVING, count=2), MAT], {}), (2, 3), ([MAT, ROVING, MAT, ROVING], {})),
    ("mat_side", ([MAT, ply("biax45_1708", mat_side="up")], {}), (2,), ([MAT, ply("biax45_1708")], {})),
    ("mat_side", ([ply("biax45_1708"), MAT], {"laid": "inner_first"}), (1,),
     ([ply("biax45_1708", mat_side="up"), MAT], {"laid": "inner_first"})),
    ("mat_side", ([MAT, ply("biax45_1208", mat_side="up"), MAT, core()], {}), (2,),
     ([MAT, ply("biax45_1208", mat_side="up"), core()], {})),
    ("balance", ([MAT, ply("ud_400", angle_deg=30.0)], {}), (1, 2),
     ([MAT, ply("ud_400", angle_deg=30.0), ply("ud_400", angle_deg=-30.0)], {})),
    ("symmetry", ([MAT, ROVING, ply("ud_400")], {}), (1, 2, 3), ([MAT, ROVING, MAT], {})),
    ("woven_share", ([MAT, ROVING, ply("csm_600")], {}), (1, 2, 3),
     ([MAT, ROVING, MAT], {})),  # 600 of 1500 g/m2 is 40 %, the least that is allowed
    ("woven_share", ([ply("csm_450", "epoxy")], {}), (1,), ([MAT], {})),  # with epoxy nothing is usual about mat alone
    ("woven_share", ([MAT, ROVING, ply("csm_600"), ply("csm_450", "epoxy")], {}), (1, 2, 3, 4), ([MAT, MAT], {})),
    ("mat_only", ([old_skin(), MAT, replace(MAT, count=2)], {}), (2, 3, 4), ([MAT, ROVING, ply("csm_600")], {})),
    ("mat_only", ([ply("csm_450", "vinyl_ester")], {}), (1,), ([MAT], {"structural": False})),
    ("mat_only", ([MAT, core("ply_meranti"), MAT], {}), (1, 3), ([ply("csm_450", "epoxy")], {})),
    ("heavy_mat_on_gel_coat", ([GEL, ply("csm_600"), ROVING], {}), (2,), ([GEL, ply("csm_1_5oz"), ROVING], {})),
    ("heavy_mat_on_gel_coat", ([ply("csm_2oz")], {"substrate": "fresh_gel_coat"}), (1,),
     ([ply("csm_2oz")], {"substrate": "mould"})),
    ("loose_mat_epoxy", ([ply("csm_450", "epoxy")], {}), (1,), ([ply("biax45_1708", "epoxy"), MAT], {})),
    ("resin_structure", ([ply("biax45_1708", "epoxy"), MAT], {}), (2,), ([MAT, ply("biax45_1708", "epoxy")], {})),
    ("resin_structure", ([ply("biax45_1708", "vinyl_ester")], {"substrate": "epoxy"}), (1,),
     ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy"})),
    ("resin_structure", ([old_skin(), MAT], {"old_resin": "epoxy"}), (2,), ([old_skin(), MAT], {})),
    ("resin_cosmetic", ([ply("biax45_1708", "epoxy"), GEL], {}), (2,), ([MAT, GEL], {})),
    ("resin_cosmetic", ([ply("biax45_1708", "epoxy"), MAT], {"structural": False}), (2,), ([MAT, MAT], {})),
    ("secondary_bond", ([old_skin(), MAT], {}), (2,), ([MAT, MAT], {})),
    ("old_resin", ([old_skin(), MAT], {}), (2,), ([old_skin(), MAT], {"old_resin_known": True})),
    ("bare_wood", ([MAT, core("ply_meranti"), MAT], {}), (3,),
     ([MAT, core("ply_meranti"), ply("biax45_1708", "epoxy")], {})),
    ("unground", ([MAT], {"substrate": "gel_coat"}), (1,), ([MAT], {"substrate": "fresh_gel_coat"})),
    ("unground", ([MAT], {"substrate": "waxed"}), (1,), ([MAT], {"substrate": "polyester"})),
    ("wax_below", ([MAT, MAT], {"waxed": (1,)}), (1, 2), ([MAT, MAT], {"waxed": (2,)})),
    ("wax_below", ([MAT, MAT], {"waxed": (2,), "laid": "inner_first"}), (2, 1),
     ([MAT, MAT], {"waxed": (1,), "laid": "inner_first"})),
    ("amine_order",
     ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy", "epoxy_preparation": ("sand", "wash")}), (1,),
     ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy", "epoxy_preparation": ("wash", "sand")})),
    ("amine_order", ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy", "epoxy_preparation": ("sand",)}), (1,),
     ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy", "epoxy_preparation": ("wash",)})),
    ("amine_wash", ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy", "epoxy_preparation": ("wash",)}), (1,),
     ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy", "epoxy_preparation": ("wash", "sand")})),
    ("amine_wash", ([ply("biax45_1708", "epoxy")], {"substrate": "epoxy"}), (1,),
     ([ply("biax45_1708", "epoxy")], {"substrate": "polyester"})),
    ("tack_lost", ([MAT, ROVING], {"gaps_h": {2: 72}}), (2,), ([MAT, ROVING], {"gaps_h": {2: 72}, "ground": (2,)})),
    ("tack_lost", ([ply("csm_450", "dcpd_polyester"), MAT], {"gaps_h": {2: 30}}), (2,),
     ([MAT, MAT], {"gaps_h": {2: 30}})),
    ("tack_check", ([MAT, MAT], {"gaps_h": {2: 30}}), (2,), ([MAT, MAT], {"gaps_h": {2: 12}})),
    ("session_thick", ([replace(MAT, count=6)], {}), (1, 2, 3, 4, 5, 6),
     ([replace(MAT, count=6)], {"session_starts": (4,)})),
    ("session_split", ([replace(MAT, count=5)], {}), (1, 2, 3, 4, 5), ([replace(MAT, count=3)], {})),
    ("end_grain", ([MAT, core("ply_meranti"), MAT], {}), (2,),
     ([MAT, core("ply_meranti"), MAT], {"end_grain_sealed": True})),
    ("edge_open", ([MAT, core(), MAT], {}), (2,), ([MAT, core(), MAT], {"edge_close_out_mm": 12})),
    ("no_fillet", ([MAT], {"tabbing_gsm": 805}), (), ([MAT], {"tabbing_gsm": 805, "fillet_radius_mm": 20})),
    ("fillet_tight", ([MAT], {"tabbing_gsm": 814, "fillet_radius_mm": 8}), (),
     ([MAT], {"tabbing_gsm": 814, "fillet_radius_mm": 20})),
    ("fillet_wet", ([MAT], {"tabbing_gsm": 805, "fillet_radius_mm": 20}), (),
     ([MAT], {"tabbing_gsm": 805, "fillet_radius_mm": 20, "fillet_firm": True})),
    ("window_out", (TRANSOM, {"window_mm": (41, 43)}), (), (TRANSOM, {"window_mm": (41, 57)})),
    ("window_close", (TRANSOM, {"window_mm": (41, 44.2)}), (), (TRANSOM, {"window_mm": (41, 57)})),
    ("bond_line", ([old_skin(), core(), MAT], {}), (1, 2), ([old_skin(), MAT, core(), MAT], {})),
    ("bond_line", ([MAT, replace(core(), count=2), MAT], {}), (2, 3), ([MAT, core(), MAT, core(), MAT], {})),
]


@pytest.mark.parametrize("rule, bad, plies, good", CASES, ids=[f"{c[0]}-{k}" for k, c in enumerate(CASES)])
def test_rule(rule, bad, plies, good):
    hit = found(bad[0], **bad[1])
    assert rule in hit and hit[rule].plies == plies
    assert hit[rule].severity == RULES[rule].severity and hit[rule].do and "{" not in str(hit[rule])
    assert rule not in found(good[0], **good[1])


def test_every_rule_has_a_case():
    assert {c[0] for c in CASES} == set(RULES)


def test_refusals_come_first_and_decide():
    result = review(Schedule((ROVING, ROVING, core(), MAT), SHOP.fibres))
    severities = [f.severity for f in result.findings]
    assert severities == sorted(severities, key=("refuse", "warn", "note").index)
    assert result.worst == "refuse" and not result.accepted
    table = result.table()
    assert list(table["layers"][:2]) == ["1", "1, 2"] and len(table) == len(severities)


def test_nothing_wrong_is_none():
    good = (ply("csm_300"), ply("biax090_1808"), ply("csm_300"))
    assert review(Schedule(good, SHOP.fibres)).of("roving_first") == ()
    assert review(Schedule((ply("biax45_1708"),), SHOP.fibres)).worst in ("none", "note")


def test_loose_mat_with_epoxy_is_never_refused():
    assert found([ply("csm_450", "epoxy")])["loose_mat_epoxy"].severity == "warn"


EPOXY_STACKS = {  # stack in epoxy that is advised on, and the stack as advised
    "bare fabric on a mould": ([ply("biax090_18oz", "epoxy")], [ply("biax45_1708", "epoxy"), ply("biax090_18oz", "epoxy")]),
    "roving on a mould": ([ply("wr_600", "epoxy")], [ply("biax45_1708", "epoxy"), ply("wr_600", "epoxy")]),
    "roving on roving": ([ply("biax45_1708", "epoxy"), ply("wr_600", "epoxy", count=2)],
                         [ply("biax45_1708", "epoxy"), ply("wr_600", "epoxy"), ply("biax45_1708", "epoxy"), ply("wr_600", "epoxy")]),
    "old laminate": ([old_skin(), ply("biax45_1708", "epoxy")], [old_skin(), ply("biax45_1708", "epoxy")]),
}
ON_MAT = {"mat_first", "bare_first_epoxy", "roving_first", "roving_on_roving", "mat_at_bond", "loose_mat_epoxy"}


@pytest.mark.parametrize("stack", EPOXY_STACKS)
def test_what_is_advised_for_epoxy_needs_no_loose_mat_and_settles_it(stack):
    before, after = EPOXY_STACKS[stack]
    asked = found(before)
    advice = " ".join(str(asked[rule].do) for rule in (ON_MAT | {"secondary_bond"}) & set(asked))
    assert "stitched" in advice or "wet it with epoxy" in advice
    assert not ON_MAT & set(found(after))


def test_polyester_is_still_told_to_lay_mat():
    assert str(found([GEL, ply("biax45_17oz")])["mat_first"].do) == "lay mat first"
    assert "lay mat or a mat side first" in str(found([old_skin(), MAT])["secondary_bond"].do)
    shares = [str(found([ply("csm_450", resin), ply("csm_450", resin), ply("biax45_17oz", resin), ply("csm_600", resin)])["woven_share"].do)
              for resin in ("iso_polyester", "epoxy")]
    assert shares == ["replace mat by fabric, but keep mat at the bond", "replace mat by fabric"]
    assert found([ply("biax090_18oz", "epoxy")])["bare_first_epoxy"].severity == "note"


def test_epoxy_row_of_the_resin_table():
    """The one row that shop habit and physics agree to refuse for structure."""
    table = resin_table()
    assert table.loc["epoxy", "polyester"].startswith("not for structure")
    assert table.loc["epoxy", "epoxy"] == "good" and table.loc["polyester", "epoxy"] == "good"


def test_every_rule_names_status_and_source():
    table = rules_table()
    assert (table[["reason", "do", "status", "source"]] != "").all().all()
    memory = found([MAT, ROVING], gaps_h={2: 72})["tack_lost"]
    assert "from memory, unverified" in memory.source


def test_session_advice_names_the_layer():
    assert "stop after layer 4" in found([replace(MAT, count=6)])["session_thick"].do


def test_patch_is_read_from_the_bond_outwards():
    job = load_demo()
    good = review_part(job, "bottom", "bottom_patch_rovings")
    assert good.laid == "inner_first" and good.accepted and not good.of("roving_first") and not good.of("mat_side")
    assert good.of("secondary_bond")[0].plies == (7,)
    turned = review_part(update(job, {"schedules.bottom_patch_stitched.layers[3].mat_side": "down"}), "bottom",
                         "bottom_patch_stitched")
    assert turned.of("mat_side")[0].plies == (4,)
    wrong = review_part(job, "bottom", "bottom_patch_rovings", laid="outer_first")
    assert wrong.laid == "outer_first" and wrong.of("secondary_bond")[0].plies != (7,)


def test_demo_parts():
    """The demo's own schedules: nothing refused; wood asks for sealed end grain; the waxed non-skid lies last."""
    job = load_demo()
    for part, entry in job.parts.items():
        for option in entry.options:
            assert review_part(job, part, option).accepted
    plywood = review_part(job, "transom", "transom_plywood")
    assert [f.plies for f in plywood.of("end_grain")] == [(4,), (6,)]
    assert not review_part(job, "transom", "transom_board").of("end_grain")
    assert not review_part(job, "sole").of("wax_below")
    narrow = update(job, {"parts.transom.window.high_mm": 45})
    assert review_part(narrow, "transom").worst == "refuse"


@pytest.mark.parametrize("wrong, message", [
    ({"substrate": "sand"}, "substrate must be one of"), ({"laid": "sideways"}, "order of laying"),
    ({"epoxy_preparation": ("wipe",)}, "'wash' and 'sand'"), ({"gaps_h": {1: -1}}, "hours before layer 1"),
    ({"window_mm": (57, 41)}, "rise from low to high"), ({"waxed": (9,)}, "layers 1 to 1"),
])
def test_messages(wrong, message):
    with pytest.raises(InputError, match=message):
        review(Schedule((MAT,), SHOP.fibres), Context(**wrong))
