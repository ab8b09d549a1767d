"""The transom comparison: statics by hand, sanity values of the demo, limits, messages."""

from dataclasses import replace

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.beams import PointLoad, Support, beam_response
from lamcalc.mechanics.sections import Section
from lamcalc.parts.transom import Transom, TransomOutline, assess, bending_stiffness
from lamcalc.parts.transom_comparison import compare_cores, sensitivity
from lamcalc.schedule import CoreLayer, Ply, SolidLayer
from lamcalc.shop import job as jobs
from lamcalc.shop.job_transom import transom_case, transom_comparison, transom_part, transom_variant

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def job():
    return jobs.load_demo()


@pytest.fixture(scope="module")
def comparison(job):
    return transom_comparison(job)


def at_043(schedule):
    """Combination fabrics at 0.43 glass overall, as the hand figures of the demo take them."""
    return schedule.with_layers([replace(layer, glass_fraction=0.43) if isinstance(layer, Ply) and layer.reinforcement.has_mat
                                 else layer for layer in schedule.layers])


def test_hand_figures_of_the_demo_come_out(job):
    """Thickness, mass, glass and resin of the job's independent hand calculation (combination fabrics at 0.43)."""
    area = transom_case(job).outline.net_area_m2
    inner = at_043(jobs.schedule(job, "transom_inner_skin"))
    assert inner.structural_thickness_mm == pytest.approx(5.4, abs=0.05)
    for key, thickness, core_kg in (("transom_plywood", 48.6, 17.6), ("transom_board", 48.6, 12.6), ("transom_cast", 50.6, 20.5)):
        wall = at_043(jobs.schedule(job, key))
        assert wall.total_thickness_mm == pytest.approx(thickness, abs=0.05)
        core = sum(m for m, layer in zip(wall.row_mass_gsm, wall.laid) if isinstance(layer, CoreLayer)) / 1000 * area
        assert core == pytest.approx(core_kg, abs=0.05)
        assert wall.glass_kg_m2 * area == pytest.approx(3.46, abs=0.005)
        assert wall.resin_kg_m2 * area == pytest.approx(5.98, abs=0.005)


@pytest.mark.parametrize("option, stiffness", [("transom_plywood", 64), ("transom_board", 46), ("transom_cast", 47)])
def test_hand_stiffness_of_the_demo_comes_out(job, option, stiffness):
    """Outer skin 4.567 at 8.5 GPa, core, inner skin at 10.5 GPa, bond lines left out: 64, 46, 47 kN m2 per m."""
    inner = at_043(jobs.schedule(job, "transom_inner_skin")).structural_thickness_mm
    cores = [layer for layer in jobs.schedule(job, option).laid if isinstance(layer, CoreLayer)]
    section = Section.from_layers([8500, float(cores[0].core.e_x), 10500],
                                  [4.567, sum(layer.thickness_mm for layer in cores), inner], width_mm=1.0)
    assert float(section.ei) / 1e6 == pytest.approx(stiffness, abs=0.5)


def test_full_model_is_stiffer_than_the_hand_figures_because_of_the_bond_lines(comparison):
    # the hand figures take the one stated modulus of the core, which is that along the face grain: across the boat
    for result, hand in zip(comparison.options, (64, 46, 47)):
        assert hand < result.ei_across / 1e6 < 1.12 * hand


def test_outline_area():
    assert TransomOutline(1500, 1240, 620, 90, 480, 130).net_area_m2 == pytest.approx(0.843, abs=0.0005)


def test_row_forces_balance_force_and_moment(job):
    """The two row forces carry the engine's horizontal force and its moment about the upper row."""
    case = transom_case(job)
    weight, thrust = 104 * 9.80665, 2100.0
    expected = {"engine weight at rest": (0.0, weight * 190), "full thrust ahead": (-thrust, thrust * 560 + weight * 190),
                "full thrust astern": (thrust, -thrust * 560 + weight * 190), "trailering": (0.0, 2.5 * weight * 190)}
    for name, upper, lower in case.cases:
        if name in expected:
            force, moment = expected[name]
            assert upper + lower == pytest.approx(force, abs=1e-6)
            assert -lower * 200 == pytest.approx(moment, rel=1e-9)


def test_strip_view_is_the_beam_by_hand(job, comparison):
    """Simple beam, two forces: deflection at a load by the textbook formula P b x (L2 - b2 - x2) / 6 L EI."""
    result, case = comparison.options[0], transom_case(job)
    span, width = case.outline.strip_span, case.carrying_width
    upper = span - case.bolts_below_edge
    _, up, low = case.cases[1]

    def sag(x, a, p):
        b = span - a
        x, b = (x, b) if x <= a else (span - x, a)
        return p * b * x * (span**2 - b**2 - x**2) / (6 * span * result.ei_up * width)

    by_hand = sag(upper - 200, upper, up) + sag(upper - 200, upper - 200, low)
    beam = beam_response(result.ei_up * width, np.inf, span, [Support(0.0), Support(span)],
                         [PointLoad(upper, up), PointLoad(upper - 200, low)])
    assert float(beam.deflection_at(upper - 200)) == pytest.approx(by_hand, rel=1e-9)
    bending = result.strip_deflection_mm[1] - result.strip_shear_part_mm[1]
    assert abs(bending) == pytest.approx(abs(by_hand), rel=0.1)  # the largest lies close to the heel
    assert result.strip_shear_part_mm[1] * bending > 0


def test_crush_pressure_by_hand(comparison):
    """Seaway case: (2100 x 560 + 2.5 x 104 g x 190) / 200 / 2 bolts over 60 x 60 less a 12 mm hole."""
    pull = (2100 * 560 + 2.5 * 104 * 9.80665 * 190) / 200 / 2
    for result in comparison.options:
        assert result.crush_pressure_mpa == pytest.approx(pull / (3600 - np.pi * 36), rel=1e-9)


def test_shares_add_up_and_a_stiffer_core_carries_more(comparison):
    for result in comparison.results:
        assert result.core_share + result.skin_share == pytest.approx(1.0)
    ply, board, cast = comparison.options
    assert ply.core_share > board.core_share > cast.core_share


def test_recommendation_names_the_deciding_figure(comparison):
    best = comparison.recommended
    least = min(r.worst_turn_mrad for r in comparison.options if not comparison.failings(r))
    equal = [r for r in comparison.options if not comparison.failings(r) and r.worst_turn_mrad <= 1.1 * least]
    assert best in equal and best.cost == min(r.cost for r in equal)
    words = comparison.recommendation
    assert words.startswith(best.name) and f"{best.worst_turn_mrad:.1f} mrad" in words and "not verified" in words


def test_a_clear_winner_needs_no_price(comparison):
    stiff = replace(comparison.options[2], bracket_turn_mrad=(1.0,), cost=1e6)
    found = replace(comparison, options=(*comparison.options[:2], stiff))
    assert found.recommended is stiff and "it lets the bracket turn least: 1.0 mrad" in found.recommendation


def test_a_missing_price_does_not_win(comparison):
    """Cast core without its price looks cheap; mass decides then, and the words say so."""
    ply, board, cast = comparison.options
    found = replace(comparison, options=(replace(ply, strength=cast.strength), board, replace(cast, cost=1.0, unpriced=("cast_640_19mm",))))
    assert found.recommended.name == ply.name  # lighter than the cast core, which turns as little
    assert "lightest, as prices are missing" in found.recommendation and "not known" in found.recommendation
    column = found.table()["Core option 3: 38 mm cast core"]
    assert np.isnan(column["material cost without waste [credits]"])


def test_nothing_is_recommended_outside_the_window(job):
    case = replace(transom_case(job), window_low=20.0, window_high=30.0)
    found = compare_cores(case, {"a": jobs.schedule(job, "transom_board")}, jobs.schedule(job, "transom_original"))
    assert found.recommended is None and "outside the engine's clamping window of 20.00 mm to 30.00 mm" in found.recommendation


def test_a_crushing_core_falls_out(job):
    found = transom_variant(job, "transom_board", thrust=7000, engine_mass_kg=300, trailering_factor=3.0)
    assert found.options[0].crush_use == pytest.approx(found.options[0].crush_pressure_mpa / 8)
    soft = jobs.schedule(job, "transom_board")
    weak = soft.with_layers([replace(layer, core=replace(layer.core, compressive_strength=replace(
        layer.core.compressive_strength, typical=1.0))) if isinstance(layer, CoreLayer) else layer for layer in soft.layers])
    found = compare_cores(transom_case(job), {"weak": weak}, jobs.schedule(job, "transom_original"))
    assert "above half of the core's 1.000 MPa" in found.recommendation


def test_original_against_itself_is_one(job):
    wall = jobs.schedule(job, "transom_board")  # the old plywood does not hold in shear by the rule
    found = compare_cores(transom_case(job), {"same": wall}, wall)
    assert found.stiffness_ratio(found.options[0]) == 1.0 and found.recommended is not None


def test_deflections_scale_with_the_load(job):
    base = transom_variant(job, "transom_board", thrust=2000, engine_mass_kg=100, trailering_factor=2.0).options[0]
    twice = transom_variant(job, "transom_board", thrust=4000, engine_mass_kg=200, trailering_factor=2.0).options[0]
    np.testing.assert_allclose(twice.strip_deflection_mm, 2 * np.array(base.strip_deflection_mm), rtol=1e-9)
    np.testing.assert_allclose(np.abs(twice.plate_deflection_mm), 2 * np.abs(base.plate_deflection_mm), rtol=1e-6)
    np.testing.assert_allclose(twice.bracket_turn_mrad, 2 * np.array(base.bracket_turn_mrad), rtol=1e-9)


def test_stiff_homogeneous_wall_equals_the_closed_form(job):
    """A wall of one material: EI = E h3 / 12 when free to bend across."""
    wall = jobs.schedule(job, "transom_board")
    solid = wall.with_layers([SolidLayer("block", 40.0, 9000.0)])
    assert bending_stiffness(solid.laminate)[1] == pytest.approx(9000 * 40**3 / 12, rel=1e-9)
    with pytest.raises(InputError, match="must have a core"):
        assess(transom_case(job), "block", solid)


def test_sensitivity_has_the_right_signs(comparison):
    frame = sensitivity(comparison.options[0])
    assert frame["swing [%]"].iloc[0] > 0 > frame["swing [%]"].iloc[1]  # leaner glass is thicker, so stiffer in bending
    by_hand = bending_stiffness(comparison.options[0].schedule.laminate)[1] / 1e6
    assert (frame["stiffness at low end [kN m2/m]"].iloc[0] < by_hand < frame["stiffness at high end [kN m2/m]"].iloc[0])


def test_unknown_names_and_bad_shapes_get_a_sentence(job):
    with pytest.raises(InputError, match="must be a transom of this job"):
        transom_part(job, "rudder")
    with pytest.raises(InputError, match="core option must be one of transom_plywood"):
        transom_variant(job, "balsa", thrust=1, engine_mass_kg=1, trailering_factor=1)
    with pytest.raises(InputError, match="bolt rows must lie on the transom"):
        Transom(TransomOutline(1500, 1240, 250), transom_case(job).engine, transom_case(job).bolts, 2.5, 41, 57)
    with pytest.raises(InputError, match="low end below its high end"):
        replace(transom_case(job), window_low=60.0)
    with pytest.raises(InputError, match="within a tenth"):
        TransomOutline(1500, 1240, 620, 90, 480, 130, given_area_m2=0.5)


def test_switching_units_moves_no_slider_of_the_panel(job):
    """Each unit system has a slider of its own with fixed ends, so that no browser can push a value to an end."""
    from lamcalc.workbook.page_transom import panel

    shown = panel(job)
    thrust = shown.controls["thrust"]
    metric = thrust.widget
    metric.value = 2600
    shown.switch.value = "us"
    assert thrust.widget is not metric and thrust.holder.children == (thrust.widget,)
    assert thrust.value == 2600 and thrust.widget.value == pytest.approx(584.5, abs=0.1)
    assert (metric.min, metric.max) == (500, 8000) and "[lbf]" in thrust.widget.description
    stops = (thrust.widget.value - thrust.widget.min) / thrust.widget.step
    assert stops == pytest.approx(round(stops), abs=1e-6)  # shown as it is, not rounded to another stop
    metric.value = 8000  # a late message of the slider that is no longer shown
    assert thrust.value == 2600
    assert "1.917" in shown.numbers.value
    shown.switch.value = "metric"
    assert thrust.widget is metric and metric.value == pytest.approx(2600)


def test_the_bar_of_the_panel_bears_no_number_of_an_option(job):
    """The panel shows one build, whichever is chosen: the figures beside it call it 'this build'."""
    from lamcalc.workbook import page_transom

    panel = page_transom.panel(job)
    for option in transom_part(job).options:
        panel.controls["option"].widget.value = option
        assert [label.get_text() for label in panel._picture.axes[1].get_xticklabels()] == ["original", "this build"]
