"""Working ahead changes when a panel computes, never what it says."""

import re
import sys
import threading
import time
from types import SimpleNamespace

import ipywidgets as widgets
import pytest

from lamcalc.shop import job as jobs
from lamcalc.workbook import ahead, page_sheet, page_transom
from lamcalc.workbook.controls import Choice, Count, QuantitySlider, TextFilter
from lamcalc.workbook.editor import schedule_editor
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_dossier import DossierPage
from lamcalc.workbook.page_orientation import OrientationPage
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_quality import QualityPage
from lamcalc.workbook.page_sequence import SequencePage
from lamcalc.workbook.page_stringer import StringerPage
from lamcalc.workbook.page_surer import SurerPage
from lamcalc.workbook.page_takeoff import TakeOffPage
from lamcalc.workbook.page_thickness import ThicknessPage
from lamcalc.workbook.panel import Panel

pytestmark = pytest.mark.behaviour
PANELS = {
    "01": lambda job: ThicknessPage(job).panel(), "02": lambda job: OrientationPage(job).panel(), "03": page_transom.panel,
    "04": lambda job: StringerPage(job).panel(), "05 bottom": lambda job: PanelPage(job).bottom_panel(),
    "05 sole": lambda job: PanelPage(job).sole_panel(), "06": lambda job: TakeOffPage(job).panel(),
    "07": lambda job: BatchesPage(job).panel(), "08": lambda job: SequencePage(job).panel(),
    "09": lambda job: QualityPage(job).panel(), "10": page_sheet.panel, "11": lambda job: SurerPage(job).panel(),
    "12": lambda job: DossierPage().panel(),
}


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


def at_once(monkeypatch):
    """Whatever is to be worked out ahead is worked out now; how often that was so far."""
    done = []
    monkeypatch.setattr(ahead, "soon", lambda work: done.append(work()))
    return done


def plain(html):
    """What a panel shows, without the numbers that hatches of a drawing get by chance."""
    return re.sub(r"(id=\"|url\(#)[^\")]*", "", html)


def step(control, up=True):
    """The user presses an arrow key on a control."""
    widget = control.widget
    if isinstance(widget, widgets.Dropdown):
        widget.index += 1 if up else -1
    elif not isinstance(widget, widgets.Text):
        widget.value += getattr(widget, "step", 1) * (1 if up else -1)


def can_step(control, up):
    widget = control.widget
    if isinstance(widget, widgets.Text) or widget.disabled:
        return False
    if isinstance(widget, widgets.Dropdown):
        return widget.index + 1 < len(widget.options) if up else widget.index > 0
    step = getattr(widget, "step", 1)
    return widget.value + step <= widget.max * (1 + 1e-9) if up else widget.value - step >= widget.min - 1e-9


@pytest.mark.parametrize("which", PANELS)
def test_a_panel_that_works_ahead_says_the_same(which, demo, monkeypatch):
    moves = []
    with monkeypatch.context() as patch:
        at_once(patch)
        panel = PANELS[which](demo)
        for place, (name, control) in enumerate(panel.controls.items()):
            if name == "samples":  # more of them only take longer
                continue
            for up in (True, True, False)[:1 if place else 3]:  # once is enough to see that the others count
                if can_step(control, up):
                    step(control, up)
                    moves.append((name, up, panel.view.value, panel.unit_system.system))
    assert moves
    again = PANELS[which](demo)
    for name, up, said, _system in moves:
        again._answers.forget()  # nothing remembered either
        step(again.controls[name], up)
        assert plain(again.view.value) == plain(said), (name, up)


def counting(**controls):
    """A panel that counts how often it computes."""
    asked = []

    def compute(**values):
        asked.append(values)
        return values

    return Panel(controls, compute, words=lambda values, system: f"{values} in {system} units"), asked


def test_the_next_step_is_ready_when_the_key_comes(monkeypatch):
    at_once(monkeypatch)
    panel, asked = counting(load=QuantitySlider("Load", "force", 100.0, 0.0, 1000.0, 10.0))
    step(panel.controls["load"])
    assert [values["load"] for values in asked] == [100.0, 110.0, 120.0]
    step(panel.controls["load"])
    assert [values["load"] for values in asked] == [100.0, 110.0, 120.0, 130.0]
    assert panel.result == {"load": 120.0} and ": 120.0} in metric units" in panel.sentence.value
    step(panel.controls["load"], up=False)  # the one before is remembered, and so is the one before that
    assert len(asked) == 4 and panel.result == {"load": 110.0}


def test_steps_in_us_units_are_found_as_well(monkeypatch):
    at_once(monkeypatch)
    panel, asked = counting(load=QuantitySlider("Load", "force", 100.0, 0.0, 1000.0, 10.0))
    panel.unit_system.system = "us"
    for _press in range(5):
        step(panel.controls["load"])
    assert [values["load"] for values in asked] == pytest.approx([100, 100, 110, 120, 130, 140, 150, 160])


def test_another_control_gets_an_answer_of_its_own(monkeypatch):
    at_once(monkeypatch)
    panel, _asked = counting(load=QuantitySlider("Load", "force", 100.0, 0.0, 1000.0, 10.0), count=Count("Layers", 1, 1, 3),
                             kind=Choice("Kind", [("one", "a"), ("two", "b")], "a"), word=TextFilter("Word"))
    step(panel.controls["load"])
    step(panel.controls["count"])
    step(panel.controls["kind"])
    panel.controls["word"].widget.value = "mat"
    assert panel.result == {"load": 110.0, "count": 2, "kind": "b", "word": "mat"}


def test_what_takes_long_is_not_made_on_suspicion(monkeypatch):
    at_once(monkeypatch)
    monkeypatch.setattr(ahead, "LONGEST_S", -1.0)
    panel, asked = counting(count=Count("Layers", 1, 1, 9))
    step(panel.controls["count"])
    assert [values["count"] for values in asked] == [1, 2]


def test_ends_have_nothing_beyond():
    load = QuantitySlider("Load", "force", 100.0, 0.0, 100.0, 10.0)
    assert (load.further(90.0), load.further(110.0)) == (None, 90.0)
    count = Count("Layers", 1, 1, 3)
    assert (count.further(0), count.further(2)) == (2, None)
    kind = Choice("Kind", [("one", "a"), ("two", "b"), ("three", "c")], "b")
    assert (kind.further("a"), kind.further("c")) == ("c", "a")
    assert TextFilter("Word").further("mat") is None


def test_a_panel_that_is_refreshed_has_forgotten(monkeypatch):
    at_once(monkeypatch)
    panel, asked = counting(count=Count("Layers", 1, 1, 9))
    step(panel.controls["count"])
    panel.refresh()
    assert [values["count"] for values in asked] == [1, 2, 3, 2]


def test_old_answers_go_first():
    answers, made = ahead.Answers(), []
    for number in (*range(ahead.KEPT), 0, ahead.KEPT, 1):  # 0 is asked again, so that 1 is the oldest
        answers.of((number,), lambda number=number: made.append(number))
    assert made == [*range(ahead.KEPT + 1), 1]


def test_what_fails_ahead_is_told_when_it_is_asked_for():
    answers = ahead.Answers()
    for _time in range(2):
        with pytest.raises(ZeroDivisionError):
            answers.of((1,), lambda: 1 / 0)


@pytest.fixture()
def kernel(monkeypatch):
    """As in the kernel of a notebook, with a short pause."""
    monkeypatch.setitem(sys.modules, "IPython", SimpleNamespace(get_ipython=lambda: SimpleNamespace(kernel=object())))
    monkeypatch.setattr(ahead, "PAUSE_S", 0.02)
    yield
    ahead.stop()


def test_it_waits_a_moment_and_only_the_last_wish_counts(kernel):
    done, over = [], threading.Event()
    ahead.soon(lambda: done.append("first"))
    ahead.soon(lambda: (done.append("second"), over.set()))
    assert done == [] and over.wait(10)
    time.sleep(0.05)
    assert done == ["second"]


def test_a_wish_can_be_given_up_and_a_failure_stays_quiet(kernel, capfd):
    done = []
    ahead.soon(lambda: done.append("too late"))
    ahead.stop()
    ahead.soon(lambda: 1 / 0)
    time.sleep(0.1)
    assert done == [] and capfd.readouterr().err == ""


def test_who_waited_while_a_key_came_does_nothing(kernel):
    """The timer has rung, but a panel has its turn; that panel then gives the wish up."""
    from lamcalc.workbook.turns import one_at_a_time

    done = []

    @one_at_a_time
    def pressed():
        ahead.soon(lambda: done.append("stale"))
        time.sleep(0.1)  # it rings meanwhile and waits for its turn
        ahead.stop()

    pressed()
    time.sleep(0.1)
    assert done == []


def test_the_editor_works_ahead_along_a_list(demo, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    at_once(monkeypatch)
    editor, slow = schedule_editor(demo, "transom_inner_skin"), schedule_editor(demo, "transom_inner_skin")
    updates = []
    update = jobs.update
    monkeypatch.setattr(jobs, "update", lambda job, changes: updates.append(changes) or update(job, changes))
    fabric = editor.fields["reinforcement"]
    names = [name for _words, name in fabric.options]
    first = names.index(fabric.value)
    for number in (1, 2, 3):
        fabric.value = names[first + number]
        assert len(updates) == 1 + number  # each press makes only the next one
    editor.state.unit_system.system = "us"
    for number in (1, 2, 3):
        slow._answers.forget()
        slow.fields["reinforcement"].value = names[first + number]
    slow.state.unit_system.system = "us"
    assert editor.state.job.text == slow.state.job.text
    for part in ("sentence", "image", "numbers", "findings"):
        assert plain(getattr(editor, part).value) == plain(getattr(slow, part).value)
    editor.buttons["Undo"].click()
    assert editor.entries[0].reinforcement == names[first + 2]
