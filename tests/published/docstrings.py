"""The examples of the docstrings as calls: what tests of all public functions at once start from."""

import contextlib
import dataclasses
import doctest
import inspect
import io
import re
from pathlib import Path

import numpy as np

from lamcalc.errors import InputError

ROOT = Path(__file__).resolve().parents[2]
PLACES = ["mechanics/*.py", "schedule.py", "shop/takeoff*.py", "shop/batch*.py", "shop/quality*.py"]
MODULES = [".".join(path.relative_to(ROOT).with_suffix("").parts)
           for place in PLACES for path in sorted((ROOT / "lamcalc").glob(place)) if path.stem != "__init__"]
# arguments that the examples leave out
MODULI = {"plate_g": 3000.0, "skin_g": 2900.0, "former_g": 12.0, "cap_g": 2800.0}
CAP = {"cap_width_mm": 60.0, "cap_thickness_mm": 3.0, "cap_e": 20000.0, "web_e": 9000.0}
FLANGE = {"flange_width_mm": 50.0, "flange_thickness_mm": 4.0, "flange_e": 14000.0, "flange_g": 2700.0}
RESIDUAL = {"residual": [1.0, 2.0, 0.5]}
MORE = {
    "stiffeners.attached_width": [{"rule": "bv_span", "span_mm": 900.0}, {"spacing_mm": 200.0}, {"spacing_mm": 900.0}],
    "stiffeners.hat_section": [CAP | MODULI],
    "stiffeners.solid_core_section": [{"plate_g": 3000.0, "skin_g": 2900.0, "core_g": 40.0}],
    "stiffeners.angle_section": [{"plate_g": 3000.0, "web_g": 2900.0} | FLANGE],
    "criteria.assess": [RESIDUAL, {"criterion": "max_strain", "nu12": 0.3, "nu21": 0.08}],
    "strength.max_stress": [RESIDUAL], "strength.max_strain": [RESIDUAL], "strength.tsai_hill": [RESIDUAL],
    "strength.tsai_wu": [RESIDUAL], "strength.hashin": [RESIDUAL],
    "micromechanics.ply_constants_micromechanics": [
        {"fibre_e2": 15000.0, "fibre_g12": 24000.0},
        {"fibre_alpha1": 5e-6, "fibre_alpha2": 6e-6, "resin_alpha": 60e-6}],
    "micromechanics.ply_constants_small_craft": [{"nu12": 0.25}],
    "strength_models.strengths_micromechanics": [{"kind": "csm"}, {"kind": "woven"}],
    "ply_strengths.PlyStrengths": [{"s_transverse": 30.0}],
    "chunks.total_free_strain": [{"free_strain": [[1e-4, 2e-4, 3e-5]], "delta_t": 20.0}],
    "failure.first_ply_failure": [{"free_strain": [[1e-4, 2e-4, 3e-5]], "delta_t": 20.0, "N": (5.0, 1.0, 0.5)}],
    "progressive.last_ply_failure": [{"free_strain": [[1e-4, 2e-4, 3e-5]] * 3, "delta_t": 20.0}],
    "thermal.residual_state": [{"free_strain": [[1e-4, 2e-4, 3e-5]] * 2}],
    "interlaminar.interlaminar_check": [{"interface_strength": [6.0], "axis": "y"}],
    "interlaminar.interlaminar_margin": [{"interface_strength": [6.0]}],
    "plate_navier.NavierPlate": [{"shear": [[300.0, 0.0], [0.0, 400.0]]}],
    "plate_batch.panel_response": [{"shear": 300.0, "stations": 13, "order": 6}],
    "strain_space.first_ply_ratio": [{"residual": [[[1e-4, 2e-4, 0.0], [0.0, 1e-4, 0.0]]]}],
    "sections.Part": [{"g_mpa": 3000.0}],
    "plates.Plate": [{"shear": 300.0, "order": 8}],
    "quality_checks.check_hardness": [{"accept": 35.0}, {"data_sheet": 45.0}],
    "quality.assess": [{"areal_weight_gsm": 3200.0, "planned_balance_fraction": 0.36, "hardness": [40.0] * 10}],
    "batching.plan_batches": [{"floor_c": 10.0}],
}


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
    """Public functions, classes and methods of a module (mutation testing adds names that begin with x)."""
    for name, item in list(vars(module).items()):
        if (name.startswith(("_", "x_")) or not callable(item) or not item.__doc__
                or getattr(item, "__module__", "") != module.__name__):
            continue
        yield name, item
        for key, value in list(vars(item).items()) if inspect.isclass(item) else ():
            method = getattr(value, "__func__", value)
            if inspect.isfunction(method) and method.__doc__ and not key.startswith(("_", "x\u01c1")):
                yield f"{name}.{key}", getattr(item, key)


@contextlib.contextmanager
def recorded(name, item, module, scope):
    """Let a recorder stand in the place of a function, class or method while an example runs."""
    recorder, (owner, _, key) = Recorder(item), name.rpartition(".")
    if not owner:
        scope[name] = recorder
        yield recorder
        return
    place = getattr(module, owner)
    plain = vars(place)[key]
    setattr(place, key, staticmethod(recorder) if isinstance(plain, classmethod)
            else lambda *args, **kwargs: recorder(*args, **kwargs))
    try:
        yield recorder
    finally:
        setattr(place, key, plain)


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
    """Run the example of a docstring: complaints, and calls (the first that the function accepts; that with MORE)."""
    said, calls = io.StringIO(), []
    for test in doctest.DocTestFinder(recurse=False).find(item, name, globs=dict(vars(module))):
        with recorded(name, item, module, test.globs) as recorder:
            doctest.DocTestRunner(verbose=False).run(test, out=said.write)
        calls += recorder.calls
    for args, kwargs in calls:
        with contextlib.suppress(InputError, NameError):  # a refused call; a lambda of an example that is over
            item(*args, **kwargs)
            call = inspect.signature(item).bind(*args, **kwargs)
            call.apply_defaults()
            more = MORE.get(f"{module.__name__.rpartition('.')[2]}.{name}", [])
            others = [inspect.BoundArguments(call.signature, call.arguments | one) for one in more]
            return said.getvalue(), [call, *others]
    return said.getvalue(), []


def spoilt(value, bad):
    """The value with its last number replaced; None if it holds no numbers."""
    if value is None or isinstance(value, (bool, str)):
        return None
    with contextlib.suppress(TypeError, ValueError):
        array = np.array(value)
        if array.dtype.kind in "if" and array.size:
            array = array.astype(float)
            array.flat[-1] = bad
            return float(array) if array.ndim == 0 else array
    return None


def parts(result, path=""):
    """Arrays of a result by name."""
    if dataclasses.is_dataclass(result):
        for field in dataclasses.fields(result):
            yield from parts(getattr(result, field.name), f"{path}.{field.name}")
    elif isinstance(result, (tuple, list)):
        for i, item in enumerate(result):
            yield from parts(item, f"{path}[{i}]")
    elif isinstance(result, (np.ndarray, float, int, np.generic)) and not isinstance(result, bool):
        yield path, np.asarray(result)
