"""How long a user waits: from a key press to the repaint of a panel, and from opening a notebook to its use.

Run it from the project folder, with chromium installed and nothing else at work on the machine::

    .venv/bin/python tests/benchmarks/latency.py            # every notebook
    .venv/bin/python tests/benchmarks/latency.py 01 03      # only these

In JupyterLab and a real Chromium an arrow key is pressed on the first slider of each panel that changes anything (on its
first list where it has no slider), one press after the other, and the page itself takes the time: from the key's own
time stamp until the frame in which the last change in sentence, picture, table or problem stands complete, pictures
loaded, and until that has been painted, pictures decoded.  The end of painting is the first message handled after the
animation frame that follows; the browser's own stamps of painted elements differ from it by a few milliseconds.  Notebooks are opened as the command `open` leads to
them: the index by its address in a fresh browser, the others by a click on their link there.  Opening counts from there
to the notebook's cells on the screen, to an idle kernel, and to the end of *Run All Cells* with the panel in view.

Wanted: half of the presses within 60 ms, nine of ten within 100 ms, ready to use within 10 s.  A busy machine makes
every figure larger; the load before each notebook is printed with it.
"""

import argparse
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "behaviour"))

import lab as labs  # it lies beside the browser tests

PRESSES, INDEX = 24, "00_index.ipynb"
MEDIAN_MS, NINE_OF_TEN_MS, READY_S = 60.0, 100.0, 10.0
# a change is told by the observer, its frame by the first frame callback that finds the pictures loaded, its paint by the
# first message after the next frame once they are decoded; 300 ms of quiet end a press
WATCH = """(box, [quiet, limit]) => {
  const parts = [...box.querySelectorAll(".lam-shown")];
  const pictures = () => parts.flatMap(part => [...part.querySelectorAll("img")]);
  let pressed = null, changed = null, framed = null, painted = null, waiting = 0;
  const frame = () => requestAnimationFrame(() => {
    if (pictures().every(img => img.complete)) framed = performance.now(); else frame(); });
  const stamp = () => new Promise(done => requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => done(performance.now());
    channel.port2.postMessage(0); }));
  const seen = async () => {
    if (pressed === null) return;
    changed = performance.now();
    waiting += 1;
    frame();
    await Promise.allSettled(pictures().map(img => img.decode()));
    painted = Math.max(painted ?? 0, await stamp());
    waiting -= 1; };
  const observer = new MutationObserver(seen);
  parts.forEach(part => observer.observe(part, {subtree: true, childList: true, attributes: true, characterData: true}));
  const key = event => { pressed = event.timeStamp; };
  window.addEventListener("keydown", key, true);
  window.lamWait = new Promise(done => {
    const start = performance.now();
    const look = setInterval(() => {
      const now = performance.now();
      if ((painted !== null && framed !== null && !waiting && now - changed > quiet) || now - start > limit) {
        clearInterval(look); observer.disconnect(); window.removeEventListener("keydown", key, true);
        done(painted === null || pressed === null ? null : [framed - pressed, painted - pressed]); } }, 20); }); }"""

# back to the index, and away from the notebook in front with its kernel
TO_INDEX = "async name => { await window.jupyterapp.commands.execute('docmanager:open', {path: name}); }"
LEAVE = """async () => {
  const book = window.jupyterapp.shell.currentWidget;
  await book.sessionContext.shutdown();
  book.context.model.dirty = false;
  book.close(); }"""


def controls(panel):
    """Sliders of a panel that are not grey, then its lists: the control, the keys forth and back, and its name."""
    for kind, inside, keys in (("slider", ".noUi-target:not([disabled]) .noUi-handle", ("ArrowRight", "ArrowLeft")),
                               ("dropdown", "select:not([disabled])", ("ArrowDown", "ArrowUp"))):
        for one in panel.locator(f".widget-{kind}:has({inside}):visible").all():
            yield one.locator(inside).first, keys, one.locator("label").first.inner_text()


def times(book, panel, presses=PRESSES):
    """Milliseconds from key press to frame and to paint for the first control that changes anything, and its name.

    A press that changes nothing is left out and turns the direction: it was the end of a scale.  After four of them in a
    row the next control is tried: an allowance, for one, may have no say in the present choice.
    """
    for target, (forth, back), name in controls(panel):
        found, key, idle = [], forth, 0
        while len(found) < presses and idle < 4:
            target.focus()
            panel.evaluate(WATCH, [300, 3000])
            book.page.keyboard.press(key)
            taken = book.page.evaluate("() => window.lamWait")
            if taken is None:
                key, idle = back if key == forth else forth, idle + 1
                continue
            found.append(taken)
            idle = 0
        if found:
            return found, name
    return [], "nothing changed"


def follow(index, name):
    """Another notebook, opened in the same page by its link in the open index."""
    index.page.evaluate(TO_INDEX, index.name)
    link = index.page.locator(f'{labs.BOOK} a[href*="{name}"]').first
    link.scroll_into_view_if_needed()
    start = time.perf_counter()
    link.click()
    index.page.wait_for_function("name => window.jupyterapp.shell.currentWidget?.context?.path === name", arg=name)
    index.page.wait_for_selector(f"{labs.BOOK} .jp-Cell", timeout=labs.PATIENCE)
    return labs.Book(index.lab, index.page, name), start


def measure(opened):
    """Seconds to cells, idle kernel and ready; then panel by panel the control and the milliseconds."""
    book, start = opened
    waited = [time.perf_counter() - start]
    book.wait_idle()
    waited.append(time.perf_counter() - start)
    book.run()
    waited.append(time.perf_counter() - start)
    panels = []
    for which, cell in enumerate(book.panel_cells()):
        book.show_panel(which)
        panel = book.page.locator(f'{labs.BOOK} [data-windowed-list-index="{cell}"] .lam-panel:has(.lam-shown)')
        if panel.count():
            panels.append(times(book, panel.first))
    return waited, panels


def measured(lab, names):
    """Name, load and `measure` of each notebook, as a user comes to it: the index first, then by its links."""
    start = time.perf_counter()
    index = lab.open(INDEX)
    found = measure((index, start))
    for name in names:
        load = os.getloadavg()[0] if hasattr(os, "getloadavg") else float("nan")
        if name != INDEX:
            found = measure(follow(index, name))
            index.page.evaluate(LEAVE)
        yield name, load, *found


def row(name, opened, words, taken):
    """One line of the table."""
    if not taken:
        return f"{name[:20]:<20} {words[:34]:<34} {'':>47}" + "".join(f"{one:>9.1f}" for one in opened)
    (framed, framed_late), (painted, painted_late) = (
        (statistics.median(times), sorted(times)[-(-9 * len(times) // 10) - 1]) for times in zip(*taken, strict=True))
    held = "yes" if framed <= MEDIAN_MS and framed_late <= NINE_OF_TEN_MS else "NO"
    return (f"{name[:20]:<20} {words[:34]:<34} {len(taken):>7} {framed:>7.0f} {framed_late:>7.0f} {held:>7}"
            f" {painted:>7.0f} {painted_late:>7.0f}"
            + "".join(f"{one:>9.1f}" for one in opened) + f" {'yes' if opened[-1] <= READY_S else 'NO':>7}")


def main(wanted):
    """Print the table."""
    lacking = labs.missing()
    if lacking:
        sys.exit(f"This needs {', '.join(lacking)}.")
    names = sorted(path.name for path in (labs.ROOT / "notebooks").glob("[0-9][0-9]_*.ipynb"))
    names = [name for name in names if not wanted or name[:2] in wanted]
    print(f"{'notebook':<20} {'control moved':<34} {'presses':>7} {'frame':>7} {'9 of 10':>7} {'<60/100':>7} {'painted':>7} {'9 of 10':>7}"
          f"{'cells':>9}{'kernel':>9}{'ready':>9} {'<10 s':>7}    load")
    print(f"{'':<20} {'':<34} {'':>7} {'[ms]':>7} {'[ms]':>7} {'':>7} {'[ms]':>7} {'[ms]':>7}{'[s]':>9}{'[s]':>9}{'[s]':>9}")
    with tempfile.TemporaryDirectory() as folder, labs.laboratory(Path(folder), labs.ROOT / "artifacts") as lab:
        lab.context.unroute_all()  # the tests ask a gate about every address, which delays opening
        for name, load, opened, panels in measured(lab, names):
            for taken, words in panels or [([], "no panel")]:
                print(f"{row(name.removesuffix('.ipynb'), opened, words, taken)} {load:>7.1f}", flush=True)


if __name__ == "__main__":
    reader = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    reader.add_argument("notebook", nargs="*", help="first two digits, such as 01")
    main(set(reader.parse_args().notebook))
