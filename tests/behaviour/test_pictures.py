"""Pictures as files: whole, in both formats, and a job without figures is told so."""

import base64
import io
import struct
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from matplotlib import image

from lamcalc.shop import job as jobs
from lamcalc.workbook import style
from lamcalc.workbook.pictures import DRAWN, job_pictures, picture_writer

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def drawn():
    return job_pictures(jobs.load_demo())


def test_the_demo_has_every_picture_in_both_formats(drawn):
    files, missing = drawn
    assert missing == [] and set(files) == {f"picture_{name}.{end}" for name in DRAWN for end in ("png", "svg")}


@pytest.mark.parametrize("name", DRAWN)
def test_both_formats_show_the_same_figure(drawn, name):
    files, _ = drawn
    png, svg = files[f"picture_{name}.png"], ElementTree.fromstring(files[f"picture_{name}.svg"])
    wide, high = struct.unpack(">II", png[16:24])
    drawn_wide, drawn_high = (float(svg.get(side).removesuffix("pt")) for side in ("width", "height"))
    assert wide / high == pytest.approx(drawn_wide / drawn_high, rel=0.01)
    assert wide == pytest.approx(drawn_wide / 72 * style.DPI, rel=0.02)
    assert sum(1 for _ in svg.iter("{http://www.w3.org/2000/svg}path")) > 10


def pixels(png):
    return image.imread(io.BytesIO(png))[..., :3]


def test_moving_parts_of_a_live_picture_are_in_both_files():
    figure, axes = style.new_figure()
    scene = style.Scene(figure, lambda: axes[0, 0].plot([], [], gid="mover", lw=8),
                        lambda line, high: line.set_data([0, 1], [0, high]))
    kept = []
    with style.collected(lambda one, alt: kept.append([style.saved(one, kind) for kind in ("png", "svg")])):
        shown = scene.image((), "a line", 1.0)
    png, svg = kept[0]
    on_screen = pixels(base64.b64decode(shown.split("base64,")[1].split('"')[0]))
    assert b'id="mover"' in svg
    assert np.abs(pixels(png) - on_screen).max(axis=-1).mean() < 0.002  # the line covers over a hundredth of it
    assert np.abs(pixels(style.png(figure)) - on_screen).max(axis=-1).mean() > 0.01
    # saving does not spoil what is shown next
    assert scene.image((), "a line", 1.0) == shown


@pytest.mark.parametrize("name", DRAWN)
def test_the_file_is_the_picture_of_the_notebook(drawn, name):
    files, _ = drawn
    shown = DRAWN[name](jobs.load_demo(), "metric")
    on_screen = pixels(base64.b64decode(getattr(shown, "data", shown).split("base64,")[1].split('"')[0]))
    assert np.abs(pixels(files[f"picture_{name}.png"]) - on_screen).max(axis=-1).mean() < 0.01


def test_the_button_writes_or_says_why_not(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    button, said = picture_writer(jobs.new("skiff")).children
    button.click()
    assert "0 pictures" in said.value and "No picture of stringer" in said.value
    (tmp_path / "in the way").write_text("")
    button, said = picture_writer(jobs.new("skiff"), "in the way").children
    button.click()
    assert "nothing to show" in said.value
