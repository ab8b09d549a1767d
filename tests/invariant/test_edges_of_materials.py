"""Mat and weave expand like a cross ply of the same aligned plies; section tables name their columns and sums."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.micromechanics import ply_constants_micromechanics
from lamcalc.mechanics.sections import Part, Section

pytestmark = pytest.mark.invariant
GLASS = {"fibre_e1": 72.4e3, "fibre_nu12": 0.22, "resin_e": 3.4e3, "resin_nu": 0.36}
EXPANSION = {"fibre_alpha1": 5e-6, "resin_alpha": 70e-6}


@pytest.mark.parametrize("kind", ["csm", "woven"])
@pytest.mark.parametrize("content", [0.18, 0.35])
def test_mat_and_weave_expand_like_a_cross_ply(kind, content):
    ud = ply_constants_micromechanics("ud", content, **GLASS, **EXPANSION)
    cross = Laminate.from_plies(ud.e1, ud.e2, ud.nu12, ud.g12, [0, 90, 90, 0], [1.0] * 4, alpha1=ud.alpha1,
                               alpha2=ud.alpha2)
    free = cross.response(delta_t=1.0).eps0
    found = ply_constants_micromechanics(kind, content, **GLASS, **EXPANSION)
    assert [float(found.alpha1), float(found.alpha2)] == pytest.approx([free[0], free[1]], rel=1e-9)
    assert float(ud.alpha1) < free[0] < float(ud.alpha2)


def test_expansion_of_the_fibre_across_and_what_is_missing():
    left, given = (ply_constants_micromechanics("ud", 0.35, **GLASS, **EXPANSION, **more) for more in
                   ({}, {"fibre_alpha2": 5e-6}))
    assert (float(left.alpha1), float(left.alpha2)) == (float(given.alpha1), float(given.alpha2))
    other = ply_constants_micromechanics("ud", 0.35, **GLASS, **EXPANSION, fibre_alpha2=9e-6)
    assert float(other.alpha2) > float(left.alpha2)
    assert ply_constants_micromechanics("ud", 0.35, **GLASS).alpha1 is None
    for part in ({"fibre_alpha1": 5e-6}, {"resin_alpha": 70e-6}, {"fibre_alpha2": 5e-6}):
        with pytest.raises(InputError) as caught:
            ply_constants_micromechanics("ud", 0.35, **GLASS, **part)
        assert str(caught.value) == ("expansion must be given for both fibre and resin [1/K]; received nothing. "
                                     "Next: give all or none of them.")


def test_table_of_a_section():
    # two equal bars of 10 x 6 mm side by side, one twice as stiff: 1/3 and 2/3 of EI
    bars = Section((Part("soft", 10.0, 6.0, 3.0, 10e3), Part("stiff", 10.0, 6.0, 3.0, 20e3)))
    assert list(bars.table().columns) == [
        "part", "width [mm]", "height [mm]", "middle above base [mm]", "E [MPa]", "E A [N]", "share of EI [-]",
        "section modulus, bottom fibre [mm3]", "section modulus, top fibre [mm3]"]
    rows = bars.table(1800.0).to_dict("list")
    assert rows["part"] == ["soft", "stiff"] and rows["E [MPa]"] == [10e3, 20e3]
    assert rows["E A [N]"] == pytest.approx([6e5, 12e5], rel=1e-12)
    assert rows["share of EI [-]"] == pytest.approx([1 / 3, 2 / 3], rel=1e-12)
    assert rows["middle above base [mm]"] == [3.0, 3.0] and rows["width [mm]"] == [10.0, 10.0]
    for side in ("bottom", "top"):
        # stress = M y E / EI = 1800 * 3 * E/(30e3 * 180): 10 and 20 MPa; modulus = M / stress
        assert np.abs(rows[f"stress, {side} fibre [MPa]"]) == pytest.approx([10.0, 20.0], rel=1e-12)
        assert np.abs(rows[f"section modulus, {side} fibre [mm3]"]) == pytest.approx([180.0, 90.0], rel=1e-12)
    assert rows["stress, top fibre [MPa]"][0] == -rows["stress, bottom fibre [MPa]"][0]
    with pytest.raises(InputError) as caught:
        Section((Part("bar", 10.0, 6.0, 3.0, np.array([10e3, 20e3])),)).table()
    assert (caught.value.rule, caught.value.value) == ("must be a single section for a table", (2,))
    assert caught.value.next_step == "pick one of the batch"
