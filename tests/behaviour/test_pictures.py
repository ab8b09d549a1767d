"""Pictures as files: whole, in both formats, and a job without figures is told so."""

import base64
import io
import re
import struct
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest
from matplotlib import image

from lamcalc.shop import job as jobs
from lamcalc.workbook import style
from lamcalc.workbook.pictures import DRAWN, job_pictures, picture_writer
from lamcalc.workbook.scene import RunningScale, Scene

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
    scene = Scene(figure, lambda: axes[0, 0].plot([], [], gid="mover", lw=8),
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


def test_moving_words_are_drawn_into_files_and_set_by_the_browser_in_a_panel():
    figure, axes = style.new_figure()
    scene = Scene(figure, lambda: [axes[0, 0].text(0.5, 0.25, "", ha="center", va="center", fontsize=20)],
                  lambda text, words: text.set_text(words))
    live, still = scene.image((), "a word", "3 < 4 MPa"), scene.image((), "a word", "3 < 4 MPa", live=False)
    width, height = figure.bbox.size
    x, y, size, side, words = re.search(
        r'<text x="([0-9.]+)" y="([0-9.]+)" font-size="([0-9.]+)" text-anchor="(\w+)"[^>]*>([^<]+)</text>', live).groups()
    at = axes[0, 0].transData.transform((0.5, 0.25))
    assert float(x) == pytest.approx(at[0], abs=0.1) and side == "middle" and words == "3 &lt; 4 MPa"
    # the middle of the letters stands at the height asked for
    assert float(y) - 0.35 * float(size) == pytest.approx(height - at[1], abs=0.2)
    assert float(size) == pytest.approx(20 * style.DPI / 72, abs=0.1)
    drawn = [pixels(base64.b64decode(one.split("base64,")[1].split('"')[0])) for one in (live, still)]
    spot = np.s_[int(height - at[1]) - 12:int(height - at[1]) + 12, int(at[0]) - 40:int(at[0]) + 40]
    assert "<text" not in still and drawn[1][spot].min() < 0.3 < 0.7 < drawn[0][spot].min()
    assert "<text" not in scene.image((), "a word", "")


@pytest.mark.parametrize(("low", "high"), [(0.0, 5.51), (0.0, 1e-3), (-3.0, 3.0), (38.0, 41.5), (0.0, 0.0), (7.0, 7.0), (-0.2, 1e6)])
def test_a_running_scale_holds_its_values_at_round_figures(low, high):
    scale = RunningScale.along(style.new_figure()[1][0, 0])
    scale.reach(low, high)
    figures = np.array([float(text.get_text()) for text in scale.texts])
    assert figures[0] <= low + 1e-12 and figures[-1] >= high - 1e-9 * abs(high)
    assert np.allclose(np.diff(figures), figures[1] - figures[0], rtol=1e-4)
    assert np.allclose(scale.at(figures), np.linspace(0, 1, 6), atol=1e-4)
    if high > low:  # not wastefully long
        assert figures[-1] - figures[0] <= 4 * (high - low)


def test_a_running_scale_takes_the_steps_and_words_it_is_given():
    scale = RunningScale.along(style.new_figure()[1][0, 0], "x", 4, steps=(15.0, 30.0, 60.0), told=lambda value: f"{value:.0f} min")
    scale.reach(40.0, 130.0)
    assert [text.get_text() for text in scale.texts] == ["30 min", "60 min", "90 min", "120 min", "150 min"]
    scale.reach(0.0, 1000.0)  # beyond the largest step the scale ends early rather than breaking
    assert scale.texts[-1].get_text() == "240 min"


@pytest.mark.parametrize("name", DRAWN)
def test_the_file_is_the_picture_of_the_notebook(drawn, name):
    files, _ = drawn
    shown = DRAWN[name](jobs.load_demo(), "metric")
    on_screen = pixels(base64.b64decode(getattr(shown, "data", shown).split("base64,")[1].split('"')[0]))
    assert np.abs(pixels(files[f"picture_{name}.png"]) - on_screen).max(axis=-1).mean() < 0.01


def test_the_button_writes_or_says_why_not(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    button, said = picture_writer(jobs.new("skiff")).children[:2]
    button.click()
    assert "0 pictures" in said.value and "No picture of stringer" in said.value
    (tmp_path / "in the way").write_text("")
    button, said = picture_writer(jobs.new("skiff"), "in the way").children[:2]
    button.click()
    assert "nothing to show" in said.value
