"""JupyterLab in a real Chromium: a server on a copy of the notebooks, and a notebook handled as a user handles it."""

import json
import os
import secrets
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from importlib.util import find_spec
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = shutil.which("chromium")
SWITCHES = ("--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync", "--disable-dev-shm-usage",
            "--disable-background-networking", "--disable-component-update", "--force-color-profile=srgb")
PATIENCE = 90_000  # ms; a condition that holds sooner ends the wait
BOOK = ".jp-NotebookPanel:not(.lm-mod-hidden)"
# asked of the kernel's own connection: the mark on the screen says idle before there is a kernel
BUSY = f"""() => {{
  const kernel = window.jupyterapp.shell.currentWidget?.sessionContext?.session?.kernel;
  const waiting = [...document.querySelectorAll("{BOOK} .jp-InputPrompt")].some(prompt => prompt.textContent.includes("*"));
  return !kernel || kernel.connectionStatus !== "connected" || kernel.status !== "idle" || waiting; }}"""
CELLS = """() => window.jupyterapp.shell.currentWidget.content.model.sharedModel.toJSON().cells
  .filter(cell => cell.cell_type === "code")"""
# a run is over when the last cell has its number, or when one has failed and the rest were not started
DONE = """before => {
  const cells = window.jupyterapp.shell.currentWidget.content.model.sharedModel.toJSON().cells
    .filter(cell => cell.cell_type === "code");
  return cells.every((cell, place) => cell.execution_count === before + place + 1)
    || cells.some(cell => cell.outputs.some(output => output.output_type === "error")); }"""
# cells outside the window are not drawn: bring the one with a panel into view by its number
SHOW = """async number => {
  const book = window.jupyterapp.shell.currentWidget.content;
  book.activeCellIndex = number;
  await book.scrollToItem(number, "start"); }"""


def missing():
    """What this machine lacks for a browser test; empty if nothing.

    Returns
    -------
    list of str
        Names [-].
    """
    return [name for name, there in (("chromium", CHROMIUM), ("playwright", find_spec("playwright"))) if not there]


def _settings(folder):
    """Jupyter's own folders inside `folder`, quiet about news, and the package of this checkout in front."""
    places = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
              "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "workspaces", "IPYTHONDIR": "ipython"}
    for place in places.values():
        (folder / place).mkdir()
    quiet = folder / "settings" / "@jupyterlab" / "apputils-extension"
    quiet.mkdir(parents=True)
    (quiet / "notification.jupyterlab-settings").write_text(
        json.dumps({"fetchNews": "false", "checkForUpdates": False, "doNotDisturbMode": True}), encoding="utf-8")
    path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    return {**os.environ, **{name: str(folder / place) for name, place in places.items()},
            "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1"}


def _free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def _answers(url):
    try:
        with urllib.request.urlopen(url, timeout=2):
            return True
    except urllib.error.HTTPError as error:
        error.close()
        return True
    except OSError:
        return False


@contextmanager
def server(folder):
    """JupyterLab on a copy of the notebooks.

    Parameters
    ----------
    folder : Path
        Empty folder for the copy, the settings and the log [-].

    Yields
    ------
    tuple of (str, str, Path)
        Address, token and folder of the copied notebooks [-].

    Raises
    ------
    RuntimeError
        If the server ends at once or does not answer.
    """
    books = folder / "notebooks"
    shutil.copytree(ROOT / "notebooks", books, ignore=shutil.ignore_patterns(".ipynb_checkpoints", "lamcalc-output"))
    port, token = _free_port(), secrets.token_hex(16)
    words = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ServerApp.ip=127.0.0.1",
             f"--ServerApp.port={port}", "--ServerApp.port_retries=0", f"--IdentityProvider.token={token}",
             f"--ServerApp.root_dir={books}", "--LabApp.news_url=None", "--LabApp.expose_app_in_browser=True",
             "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate"]
    address, log = f"http://127.0.0.1:{port}", folder / "server.log"
    with log.open("wb") as out, subprocess.Popen(words, cwd=books, env=_settings(folder), stdin=subprocess.DEVNULL,
                                                 stdout=out, stderr=subprocess.STDOUT) as process:
        try:
            end = time.monotonic() + PATIENCE / 1000
            while not _answers(f"{address}/api/status?token={token}"):
                if process.poll() is not None or time.monotonic() > end:
                    raise RuntimeError(f"JupyterLab did not start; it said: {log.read_text(errors='replace')[-2000:]}")
                time.sleep(0.1)
            yield address, token, books
        finally:
            process.terminate()  # on this signal the server ends its kernels too
            try:
                process.wait(30)
            except subprocess.TimeoutExpired:
                process.kill()


class Lab:
    """A browser at the door of a running JupyterLab.

    Parameters
    ----------
    browser : Browser
        Chromium, started by Playwright [-].
    address, token : str
        Of the server [-].
    pictures : Path
        Folder for screenshots [-].
    """

    def __init__(self, browser, address, token, pictures):
        self.browser, self.address, self.token, self.pictures = browser, address, token, pictures
        self.strangers, self.complaints = [], []  # addresses elsewhere that were asked for; errors of the page's scripts
        self.context = browser.new_context(viewport={"width": 1200, "height": 900})
        self.context.set_default_timeout(PATIENCE)
        self.context.route("**/*", self._gate)

    def _gate(self, route):
        if route.request.url.startswith((self.address, "data:", "blob:")):
            route.continue_()
        else:
            self.strangers.append(route.request.url)
            route.abort()

    def open(self, name):
        """Open a notebook, unrun.

        Parameters
        ----------
        name : str
            File name [-].

        Returns
        -------
        Book
            The open notebook; `close` it [-].
        """
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.complaints.append(f"{name}: {error}"))
        page.goto(f"{self.address}/doc/tree/{name}?token={self.token}&reset", wait_until="domcontentloaded")
        page.wait_for_selector(f"{BOOK} .jp-Cell", timeout=PATIENCE)
        return Book(self, page, name)

    def close(self):
        """Close every page."""
        self.context.unroute_all(behavior="ignoreErrors")
        self.context.close()


class Book:
    """One open notebook.

    Parameters
    ----------
    lab : Lab
        Where it is open [-].
    page : Page
        Its page [-].
    name : str
        File name [-].
    """

    def __init__(self, lab, page, name):
        self.lab, self.page, self.name, self._ran = lab, page, name, 0

    def wait_idle(self):
        """Wait until the kernel has nothing left to do."""
        self.page.wait_for_function(f"() => !({BUSY})()", timeout=PATIENCE)

    def run(self):
        """Run every cell from the top, and bring the first panel into view.

        Returns
        -------
        Book
            Itself [-].
        """
        self.wait_idle()
        self.page.evaluate("() => window.jupyterapp.commands.execute('notebook:run-all-cells')")
        self.page.wait_for_function(DONE, arg=self._ran, timeout=PATIENCE)
        self.wait_idle()
        self._ran = max(filter(None, self.counts()), default=0)
        if self.panel_cells():
            self.show_panel()
        return self

    def outputs(self):
        """Every output of every code cell, as the notebook file would hold them.

        Returns
        -------
        list of dict
            Outputs [-].
        """
        return [output for cell in self.page.evaluate(CELLS) for output in cell["outputs"]]

    def counts(self):
        """Execution counts of the code cells.

        Returns
        -------
        list of int
            None where a cell has not run [-].
        """
        return [cell["execution_count"] for cell in self.page.evaluate(CELLS)]

    def panel_cells(self):
        """Numbers of the cells whose output is a live panel.

        Returns
        -------
        list of int
            Places among all cells [-].
        """
        cells = self.page.evaluate("() => window.jupyterapp.shell.currentWidget.content.model.sharedModel.toJSON().cells")
        return [number for number, cell in enumerate(cells) if any(
            "application/vnd.jupyter.widget-view+json" in output.get("data", {}) for output in cell.get("outputs", ()))]

    def show_panel(self, which=0):
        """Bring a panel into view.

        Parameters
        ----------
        which : int
            First panel 0, second 1 [-].
        """
        self.page.evaluate(SHOW, self.panel_cells()[which])
        cell = self.panel_cells()[which]
        self.page.locator(f'[data-windowed-list-index="{cell}"] .jupyter-widgets').first.scroll_into_view_if_needed()

    def slider(self, label):
        """Handle of the slider whose label begins with a text.

        Parameters
        ----------
        label : str
            First words of the label [-].

        Returns
        -------
        Locator
            Takes the keyboard [-].
        """
        return self.page.locator(f'.widget-slider:has(label:text-matches("^{label}")) .noUi-handle').first

    def field(self, label):
        """Drop-down or entry whose label begins with a text.

        Parameters
        ----------
        label : str
            First words of the label [-].

        Returns
        -------
        Locator
            Takes the keyboard [-].
        """
        return self.page.locator(f'.jupyter-widgets:has(> label:text-matches("^{label}")) :is(select, input)').first

    def press(self, target, key, times=1):
        """Put the keyboard on a control and press a key.

        Parameters
        ----------
        target : Locator
            The control [-].
        key : str
            Name of the key [-].
        times : int
            How often [-].
        """
        target.focus()
        for _ in range(times):
            self.page.keyboard.press(key)

    def choose(self, label, option):
        """Choose from a drop-down with the keyboard alone, by its arrow keys.

        Parameters
        ----------
        label : str
            First words of the drop-down's label [-].
        option : str
            Text of the entry [-].
        """
        target = self.field(label)
        place = [text.replace("\xa0", " ") for text in target.locator("option").all_text_contents()].index(option)
        away = place - target.evaluate("list => list.selectedIndex")
        self.press(target, "ArrowDown" if away > 0 else "ArrowUp", abs(away))

    def switch(self, words):
        """Press a button of the unit switch with the keyboard.

        Parameters
        ----------
        words : str
            What stands on it [-].
        """
        self.press(self.page.get_by_role("button", name=words, exact=True).first, "Enter")

    def wait_for(self, css, words):
        """Wait until words stand in a part of the screen.

        Parameters
        ----------
        css : str
            Which part [-].
        words : str
            What must stand there [-].

        Raises
        ------
        AssertionError
            With what stands there instead.
        """
        try:
            self.page.wait_for_function("([css, words]) => [...document.querySelectorAll(css)].some(one => "
                                        "one.innerText.includes(words))", arg=[css, words], timeout=20_000)
        except Exception as error:
            have = self.page.locator(css).all_inner_texts()
            raise AssertionError(f"{self.name}, {css}: wanted {words!r}; the screen shows {have!r}") from error

    def text(self, css):
        """Text of a part of the screen.

        Parameters
        ----------
        css : str
            Which part [-].

        Returns
        -------
        str
            As a reader sees it [-].
        """
        return self.page.locator(css).first.inner_text().strip()

    def picture(self, name):
        """Keep what the window shows.

        Parameters
        ----------
        name : str
            File name without its ending [-].
        """
        self.lab.pictures.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=self.lab.pictures / f"{name}.jpg", type="jpeg", quality=60)

    def close(self):
        """Close the page and end its kernel."""
        self.page.evaluate("() => window.jupyterapp.shell.currentWidget.sessionContext.shutdown()")
        self.page.close()


@contextmanager
def laboratory(folder, pictures):
    """Server and browser together.

    Parameters
    ----------
    folder : Path
        Empty folder for copies and settings [-].
    pictures : Path
        Folder for screenshots [-].

    Yields
    ------
    Lab
        Ready to open notebooks [-].
    """
    from playwright.sync_api import sync_playwright

    with server(folder) as (address, token, books), sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, headless=True, args=list(SWITCHES))
        try:
            lab = Lab(browser, address, token, pictures)
            lab.books = books
            yield lab
            lab.close()
        finally:
            browser.close()
