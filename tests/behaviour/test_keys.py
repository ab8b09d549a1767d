"""Plain keys pressed in a control belong to it: JupyterLab would move on, or delete the cell with all its controls."""

import ipywidgets as widgets
import pytest

from lamcalc.shop import job as jobs
from lamcalc.workbook import page_sheet
from lamcalc.workbook.job_bar import job_bar
from lamcalc.workbook.page_thickness import ThicknessPage
from lamcalc.workbook.pictures import picture_writer
from lamcalc.workbook.workbench import workbench

pytestmark = pytest.mark.behaviour
TYPES = (widgets.Button, widgets.Dropdown, widgets.Select, widgets.Text, widgets.FloatText, widgets.BoundedIntText,
         widgets.FloatSlider, widgets.IntSlider, widgets.ToggleButtons)


def controls(box, kept=False):
    """Every control in a box, with whether it or what it stands in keeps its keys."""
    kept = kept or "lam-panel" in box._dom_classes
    if isinstance(box, TYPES):
        yield box, kept
    for child in getattr(box, "children", ()):
        yield from controls(child, kept)


@pytest.mark.parametrize("shown", [
    lambda job: workbench(job).box, lambda job: job_bar().box, page_sheet.writer, picture_writer,
    lambda job: ThicknessPage(job).panel().box], ids=["workbench", "job bar", "pages", "pictures", "panel"])
def test_every_control_keeps_its_keys(shown, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    found = list(controls(shown(jobs.load_demo())))
    assert found
    assert [control.description for control, kept in found if not kept] == []
    box = shown(jobs.load_demo())
    assert any("data-lm-suppress-shortcuts" in str(getattr(child, "value", "")) for child in box.children)
