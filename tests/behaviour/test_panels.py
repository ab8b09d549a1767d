"""Every control of the panels, moved from Python: the number shown is the package's, in both unit systems."""

import re
import threading
import time

import numpy as np
import pytest

from lamcalc import units
from lamcalc.materials import catalogue
from lamcalc.mechanics.fibre_content import ply_thickness
from lamcalc.schedule import Ply, Schedule
from lamcalc.shop import job
from lamcalc.workbook import style
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_orientation import OrientationPage
from lamcalc.workbook.page_thickness import ThicknessPage
from lamcalc.workbook.controls import Choice, Count, QuantitySlider, UnitSystem
from lamcalc.workbook.panel import Panel

pytestmark = pytest.mark.behaviour
SYSTEMS = ("metric", "us")


@pytest.fixture(scope="module")
def demo():
    return job.load_demo()


@pytest.fixture()
def thickness(demo):
    return ThicknessPage(demo).panel()


@pytest.fixture()
def orientation(demo):
    return OrientationPage(demo).panel()


def cells(panel):
    """Rows of the table shown, by their first cell."""
    rows = re.findall(r"<tr>(.*?)</tr>", panel.numbers.value)
    found = [re.sub(r"<[^>]+>", "|", row).strip("|").split("||") for row in rows]
    return {row[0]: row[1:] for row in found}


def shown(value, kind, system):
    return units.show(float(value), kind, system).split(" ")[0]


def expected_schedule(fabric="biax45_1708", resin="iso_polyester", process="hand", count=2, **overrule):
    shop = catalogue.load()
    ply = Ply(shop.reinforcement(fabric), shop.resin(resin), shop.process(process), count=count, **overrule)
    return Schedule((ply,), shop.fibres)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("name, value, changes", [
    ("fabric", "csm_450", {"fabric": "csm_450"}),
    ("fabric", "carbon_biax45_400", {"fabric": "carbon_biax45_400"}),
    ("resin", "epoxy", {"resin": "epoxy"}),
    ("process", "infusion", {"process": "infusion"}),
    ("count", 5, {"count": 5}),
])
def test_thickness_panel_follows_its_controls(thickness, system, name, value, changes):
    thickness.switch.value = system
    thickness.controls[name].widget.value = value
    want = expected_schedule(**changes)
    assert thickness.problem.value == ""
    assert cells(thickness)["all layers"][0] == shown(want.total_thickness_mm, "thickness", system)
    assert cells(thickness)["resin in the laminate"][0] == shown(1000 * want.resin_kg_m2, "areal_weight", system)
    assert cells(thickness)["laminate"][0] == shown(want.areal_mass_kg_m2, "areal_mass", system)
    assert units.show(want.total_thickness_mm, "thickness", system) in thickness.sentence.value


@pytest.mark.parametrize("system", SYSTEMS)
def test_glass_content_slider_against_the_closed_form(thickness, system):
    thickness.switch.value = system
    thickness.controls["fabric"].widget.value = "csm_450"
    thickness.controls["count"].widget.value = 1
    thickness.controls["basis"].widget.value = "glass"
    thickness.controls["glass"].widget.value = 35.0
    by_hand = 450 / 3072 * (2.56 / 0.35 - 1.36)
    assert thickness.controls["glass"].value == pytest.approx(0.35)
    assert cells(thickness)["one layer"][0] == shown(by_hand, "thickness", system)
    assert shown(ply_thickness(450.0, 0.35), "thickness", system) == shown(by_hand, "thickness", system)


@pytest.mark.parametrize("system, entry", [("metric", 1.4), ("us", 0.055)])
def test_measured_thickness_slider(thickness, system, entry):
    thickness.switch.value = system
    thickness.controls["basis"].widget.value = "measured"
    thickness.controls["measured"].widget.value = entry
    measured = entry if system == "metric" else entry * 25.4
    want = expected_schedule(thickness_mm=measured)
    assert thickness.controls["measured"].value == pytest.approx(measured)
    assert units.show(want.glass_fraction, "fraction", system) in thickness.sentence.value
    assert cells(thickness)["one layer"][0] == shown(measured, "thickness", system)


def test_only_the_entry_in_use_can_be_moved(thickness):
    def grey():
        return {name for name, control in thickness.controls.items() if control.widget.disabled}

    assert grey() == {"glass", "measured"}
    thickness.controls["basis"].widget.value = "glass"
    assert grey() == {"measured"}
    thickness.controls["basis"].widget.value = "measured"
    assert grey() == {"glass"}


def test_impossible_thickness_gets_a_sentence_and_recovers(thickness):
    thickness.controls["basis"].widget.value = "measured"
    thickness.controls["measured"].widget.value = 0.15
    said = thickness.problem.value
    assert 'role="alert"' in said and "Next:" in said and "0.15" in said
    assert "Traceback" not in said
    assert thickness.sentence.value == thickness.numbers.value == thickness.image.value == ""
    thickness.controls["measured"].widget.value = 1.2
    assert thickness.problem.value == "" and "layers" in thickness.sentence.value


def test_metric_and_us_switch_changes_everything_at_once(thickness):
    values = {name: control.value for name, control in thickness.controls.items()}
    before = (thickness.sentence.value, thickness.numbers.value, thickness.image.value)
    assert "[mm]" in thickness.controls["measured"].widget.description
    thickness.switch.value = "us"
    assert "[in]" in thickness.controls["measured"].widget.description
    assert thickness.controls["measured"].widget.value == pytest.approx(1.2 / 25.4)
    assert all(old != new for old, new in
               zip(before, (thickness.sentence.value, thickness.numbers.value, thickness.image.value)))
    everything = thickness.sentence.value + re.sub(r"base64,[^\"]+", "", thickness.image.value) + thickness.numbers.value
    assert not re.search(r"\bmm\b|g/m2|kg/m2|/m2", everything.replace("(805 g/m2)", ""))
    thickness.switch.value = "metric"
    assert {name: control.value for name, control in thickness.controls.items()} == values
    assert (thickness.sentence.value, thickness.numbers.value) == before[:2]


def test_panels_that_share_a_switch_change_together(demo):
    shared = UnitSystem()
    one, two = ThicknessPage(demo).panel(shared), OrientationPage(demo).panel(shared)
    one.switch.value = "us"
    assert two.switch.value == "us" and "lbf/in" in two.numbers.value and "kN" not in two.numbers.value


def test_a_page_in_us_units_has_no_metric_units_but_in_trade_names(demo):
    page = ThicknessPage(demo, system="us")
    text = page.table().data + page.ways_to_count().data
    assert "[in]" in text and "[oz/yd2]" in text
    assert not re.search(r"\[(mm|g/m2|kg/m2)\]", text)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("moves", [
    {"turn_deg": 15.0}, {"turn_deg": -45.0, "row": 2}, {"fabric": "biax45_1708"}, {"model": "small_craft"},
    {"row": 4, "fabric": "wr_600", "turn_deg": 30.0, "model": "small_craft"},
])
def test_orientation_panel_follows_its_controls(demo, orientation, system, moves):
    orientation.switch.value = system
    for name, value in moves.items():
        orientation.controls[name].widget.value = value
    shop, model = catalogue.load(), moves.get("model", "micromechanics")
    drawn = job.schedule(demo, "transom_inner_skin", property_model=model)
    layers = [Ply(one.reinforcement, one.resin, one.process, angle_deg=one.angle_deg) for one in drawn.laid]
    row = moves.get("row", 1)
    old = layers[row]
    fabric = shop.reinforcement(moves["fabric"]) if "fabric" in moves else old.reinforcement
    layers[row] = Ply(fabric, old.resin, old.process, angle_deg=old.angle_deg + moves.get("turn_deg", 0.0))
    want = drawn.with_layers(layers).laminate
    found = cells(orientation)
    assert orientation.problem.value == ""
    assert found["stretching stiffness along"][1:3] == [
        shown(drawn.laminate.A[0, 0], "stiffness_per_width", system), shown(want.A[0, 0], "stiffness_per_width", system)]
    assert found["shear stiffness"][2] == shown(want.A[2, 2], "stiffness_per_width", system)
    assert found["bending stiffness across"][2] == shown(want.D[1, 1], "flexural_stiffness_per_width", system)
    assert found["twisting stiffness"][2] == shown(want.D[2, 2], "flexural_stiffness_per_width", system)
    assert found["thickness"][2] == shown(want.total_thickness_mm, "thickness", system)


def test_orientation_panel_refuses_what_a_model_cannot_do(orientation):
    orientation.controls["fabric"].widget.value = "carbon_biax45_400"
    assert orientation.problem.value == ""
    orientation.controls["model"].widget.value = "small_craft"
    assert "E-glass only" in orientation.problem.value and orientation.numbers.value == ""
    orientation.controls["fabric"].widget.value = "as drawn"
    assert orientation.problem.value == "" and "Nothing changed" in orientation.sentence.value


def test_pictures_are_redrawn_with_words(thickness, orientation):
    for panel, name, value in ((thickness, "count", 3), (orientation, "turn_deg", 20.0)):
        before = panel.image.value
        panel.controls[name].widget.value = value
        assert panel.image.value != before
        assert re.search(r'<img alt="[^"]{20,}"', panel.image.value)


def test_a_panel_says_what_broke_and_escapes_it():
    def breaks(count):
        raise RuntimeError("<b>no</b>")

    panel = Panel({"count": Count("Layers", 1, 1, 3)}, breaks, words=lambda found, system: "fine")
    assert "&lt;b&gt;no&lt;/b&gt;" in panel.problem.value and panel.sentence.value == ""


def test_temperature_slider_keeps_its_value_through_the_switch():
    slider = QuantitySlider("Hull", "temperature", 17.0, 0.0, 40.0, 0.5)
    slider.use("us")
    assert slider.widget.value == pytest.approx(62.6) and "degF" in slider.widget.description
    assert (slider.widget.min, slider.widget.max) == pytest.approx((32.0, 104.0))
    slider.use("metric")
    assert slider.value == 17.0


def test_a_slider_that_sends_its_own_value_back_has_not_moved():
    calls = []
    slider = QuantitySlider("Thickness", "thickness", 1.2, 0.1, 4.0, 0.05)
    slider.on_change(lambda: calls.append(slider.value))
    slider.use("us")
    shown = slider.widget.value
    slider.widget.value = np.nextafter(shown, 1.0)  # what a browser sends of the number that it was given
    assert calls == [] and slider.value == 1.2
    slider.widget.value = shown + slider.widget.step
    assert calls == [pytest.approx(1.25)]


def test_choice_has_no_unit_and_calls_back():
    calls = []
    choice = Choice("Kind", [("a", 1), ("b", 2)], 1)
    choice.on_change(lambda: calls.append(choice.value))
    choice.use("us")
    choice.widget.value = 2
    assert calls == [2]


def figures_on(text):
    """Words laid over a picture, from left to right and top to bottom as the browser gets them."""
    return re.findall(r"<text [^>]*>([^<]*)</text>", text)


def test_a_reused_picture_forgets_the_scale_of_the_one_before(thickness):
    thickness.controls["count"].widget.value = 3
    tops = []
    for system in SYSTEMS:
        thickness.unit_system.system = system
        shown = figures_on(thickness.image.value)
        assert len(shown) == 6 and shown[0] == "0"
        steps = np.diff([float(text) for text in shown])
        assert np.allclose(steps, steps[0])
        tops.append(float(shown[-1]))
    thickness.unit_system.system = "metric"
    # both scales hold the same thickness, so their ends are alike in length
    assert 0.5 < tops[0] / 25.4 / tops[1] < 2.0
    assert figures_on(thickness.image.value)[-1] == f"{tops[0]:g}"


def test_axis_labels_carry_units(demo):
    from lamcalc.workbook import plots_orientation, plots_thickness

    axes = style.new_figure()[1][0, 0]
    for system in SYSTEMS:
        drawn = [plots_thickness.stack(axes, job.schedule(demo, "transom_inner_skin").sublayers, system)]
        labels = [ax.get_xlabel() for ax in drawn] + [ax.get_ylabel() for ax in drawn]
        live = plots_thickness.ContentPicture()
        live._set_up(system)
        labels += [live.axes.get_xlabel(), live.axes.get_ylabel()]
        ax = plots_orientation.wrong_angle(axes, np.array([0.0, 5.0]), {"shear": np.ones(2)}, "layer 2")
        labels += [ax.get_xlabel(), ax.get_ylabel()]
        assert all(re.search(r"\[[^\]]+\]$", words) for words in labels), labels


def test_threads_take_turns_and_the_last_word_fits_the_controls():
    """A kernel may move a slider from one thread while another switches the units."""
    inside, most = [], []

    def compute(load, count):
        inside.append(1)
        most.append(len(inside))
        time.sleep(0.002)
        inside.pop()
        return load, count

    panel = Panel({"load": QuantitySlider("Load", "force", 100.0, 0.0, 1000.0, 10.0), "count": Count("Layers", 1, 1, 50)}, compute,
                  words=lambda result, system: f"{result[0]:.6f} {result[1]} {system}")

    def slide():
        for count in range(2, 40):
            panel.controls["count"].widget.value = count

    def switch():
        for k in range(21):
            panel.unit_system.system = SYSTEMS[(k + 1) % 2]

    def load():
        for step in range(38):
            shown = panel.controls["load"].widget
            shown.value = shown.value + shown.step

    threads = [threading.Thread(target=work) for work in (slide, switch, load)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert max(most) == 1  # never two answers at a time
    control = panel.controls["load"]
    scale, offset = control._factor(panel.unit_system.system)
    assert control.widget.value == pytest.approx(control.value * scale + offset)  # what is computed with is what is shown
    said = f"{control.value:.6f} {panel.controls['count'].value} {panel.unit_system.system}"
    assert panel.sentence.value.count(said) == panel.view.value.count(said) == 1


def test_a_picture_drawn_from_several_threads_is_the_same(thickness, demo):
    alone = ThicknessPage(demo).panel()
    alone.unit_system.system = "us"
    alone.controls["count"].widget.value = 7
    threads = [threading.Thread(target=work) for work in (
        lambda: [setattr(thickness.controls["count"].widget, "value", count) for count in (3, 4, 5, 6, 7)],
        lambda: [setattr(thickness.unit_system, "system", system) for system in ("us", "metric", "us", "metric", "us")])]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert thickness.view.value == alone.view.value


def test_an_option_tried_with_the_core_of_another_says_so(demo):
    """The slider keeps its value when other skins are chosen, whose title may name another thickness."""
    from lamcalc.workbook.page_panel import PanelPage

    panel = PanelPage(demo).sole_panel()
    assert "NOT as planned" not in panel.sentence.value
    other = next(key for _words, key in panel.controls["option"].widget.options if key != panel.controls["option"].value)
    panel.controls["option"].widget.value = other
    assert "NOT as planned, where the core is 12.00 mm: " in panel.sentence.value
    panel.switch.value = "us"
    assert "NOT as planned, where the core is 0.472 in: " in panel.sentence.value
    panel.switch.value = "metric"
    panel.controls["core_thickness_mm"].widget.value = 12.0
    assert "NOT as planned" not in panel.sentence.value


@pytest.mark.parametrize("own", [("thickness_mm", 1.9), ("glass_fraction", 0.28)])
def test_another_fabric_in_the_orientation_panel_does_not_keep_what_was_measured(demo, own):
    path = "schedules.transom_inner_skin.layers[1]."
    shown = []
    for one in (demo, job.update(demo, {path + own[0]: own[1]})):
        panel = OrientationPage(one).panel()
        panel.controls["fabric"].widget.value = "ud_400"
        shown.append(panel.result.changed.A[0, 0])
    assert shown[0] == pytest.approx(shown[1])


def grey(panel):
    return {name for name, control in panel.controls.items() if control.widget.disabled}


@pytest.mark.parametrize("system", SYSTEMS)
def test_mat_cannot_be_turned_and_the_sentence_says_so(orientation, system):
    orientation.switch.value = system
    assert grey(orientation) == set() and "has no direction" not in orientation.sentence.value
    orientation.controls["turn_deg"].widget.value = 30.0
    orientation.controls["row"].widget.value = 0  # mat in the demo
    assert grey(orientation) == {"turn_deg"}
    assert "Layer 1 is mat, which has no direction: it cannot be turned." in orientation.sentence.value
    assert "Nothing changed" in orientation.sentence.value and "turned by" not in orientation.sentence.value
    assert all(row[-1] in ("0.0", "change [%]") for row in cells(orientation).values())  # and so it is
    orientation.controls["fabric"].widget.value = "wr_600"
    assert grey(orientation) == set() and "turned by 30 deg" in orientation.sentence.value
    orientation.controls["row"].widget.value = 1
    orientation.controls["fabric"].widget.value = "csm_300"  # mat in place of a fabric
    assert grey(orientation) == {"turn_deg"} and "Layer 2 is mat" in orientation.sentence.value


EPOXY = {"kind": "two_part", "ratio_by_volume": 2.0, "resin_density_kg_m3": 1150.0, "hardener_density_kg_m3": 1000.0, "status": "assumed"}


def epoxy_job(**can):
    """The demo with the skin of its stringers and their crown laid in epoxy."""
    changes = {"resins.epoxy": {**EPOXY, **can}}
    changes |= {f"schedules.{name}.layers[0].resin": "epoxy" for name in ("stringer_skin", "stringer_crown")}
    return job.update(job.load_demo(), changes)


@pytest.mark.parametrize("system", SYSTEMS)
def test_without_a_pot_life_nothing_but_the_part_can_be_moved(system):
    panel = BatchesPage(epoxy_job(), "transom").panel()
    panel.switch.value = system
    assert grey(panel) == set() and panel.problem.value == ""
    panel.controls["part"].widget.value = "stringers"
    assert grey(panel) == {"hull_c", "percent", "people"} and panel.sentence.value == ""
    assert "pot life of " in panel.problem.value and "Next: read it from the can; until it stands in the job, temperature, catalyst " \
        "and people change nothing here." in panel.problem.value
    panel.controls["part"].widget.value = "bottom"
    assert grey(panel) == set() and panel.problem.value == ""


def test_a_hardener_by_its_ratio_leaves_no_catalyst_to_change():
    panel = BatchesPage(epoxy_job(pot_life_minutes=25.0, pot_life_temperature_c=20.0), "stringers").panel()
    if panel.problem.value:
        pytest.fail(panel.problem.value)
    assert grey(panel) == {"percent"} and "The catalyst cannot be changed: the hardener" in panel.sentence.value
    before = panel.numbers.value
    panel.controls["percent"].widget.value += 0.5
    assert panel.numbers.value == before  # and so it is
    panel.controls["people"].widget.value = 1
    assert panel.numbers.value != before
    panel.controls["part"].widget.value = "bottom"
    assert grey(panel) == set() and "cannot be changed" not in panel.sentence.value
