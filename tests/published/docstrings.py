"""The examples of the docstrings as calls: what tests of all public functions at once start from."""

import contextlib
import doctest
import inspect
import io
import re
from pathlib import Path

from lamcalc.errors import InputError

ROOT = Path(__file__).resolve().parents[2]
PLACES = ["mechanics/*.py", "schedule.py", "shop/takeoff*.py", "shop/batch*.py", "shop/quality*.py"]
MODULES = [".".join(path.relative_to(ROOT).with_suffix("").parts)
           for place in PLACES for path in sorted((ROOT / "lamcalc").glob(place)) if path.stem != "__init__"]


class Recorder:
    """Stands for a function or class in an example and keeps the arguments that it was called with."""

    def __init__(self, item):
        self.item, self.calls = item, []

    def __call__(self, *args, **kwargs):
        self.calls.append((args, kwargs))
        return self.item(*args, **kwargs)

    def __getattr__(self, name):
        return getattr(self.item, name)


def public(module):
    """Public functions and classes of a module (mutation testing adds names that begin with x_)."""
    for name, item in list(vars(module).items()):
        if (not name.startswith(("_", "x_")) and callable(item) and item.__doc__
                and getattr(item, "__module__", "") == module.__name__):
            yield name, item


def parameters(item):
    """Kind and words that the docstring gives to each parameter."""
    section = re.search(r"Parameters\n-+\n(.*?)(\n\n[A-Z][a-z]+\n-+|\Z)", inspect.cleandoc(item.__doc__), re.DOTALL)
    told, names = {}, []
    for line in section[1].split("\n") if section else []:
        if line and not line.startswith(" "):
            listed, _, kind = line.partition(" : ")
            names = [name.strip(" *") for name in listed.split(",")]
            told |= dict.fromkeys(names, (kind, ""))
        else:
            told |= {name: (told[name][0], told[name][1] + " " + line.strip()) for name in names}
    return told


def example(name, item, module):
    """Run the example of a docstring; complaints, and the first call that the function accepts."""
    recorder, said = Recorder(item), io.StringIO()
    for test in doctest.DocTestFinder(recurse=False).find(item, name, globs=dict(vars(module))):
        test.globs[name] = recorder
        doctest.DocTestRunner(verbose=False).run(test, out=said.write)
    for args, kwargs in recorder.calls:
        with contextlib.suppress(InputError):
            item(*args, **kwargs)
            call = inspect.signature(item).bind(*args, **kwargs)
            call.apply_defaults()
            return said.getvalue(), call
    return said.getvalue(), None
