"""A number that makes no sense is refused by name and unit, whichever public function it is given to.

Each function is called as in the example of its docstring, with one argument spoilt at a time.  The refusal must name
that argument in words of the docstring, and must give the unit of the docstring.
"""

import importlib
import inspect
import re

import numpy as np
import pytest
from docstrings import MODULES, example, parameters, public, spoilt

from lamcalc.errors import InputError

pytestmark = pytest.mark.behaviour
NAMES = {"nu": "Poisson ratio", "e": "Young's modulus", "value": "design factor", "minutes": "clock",
         "N": "in-plane load N"}
PASSED_ON = {  # refused by the function that they are passed on to, in its words
    "Plate": ("order",), "PlateSolution.field": ("points",), "PlateSolution.peaks": ("points",),
    "Laminate.from_plies": ("alpha1", "alpha2"), "PlyStrengths.by_ply": ("shape",),
    "checked_matrix": ("value", "size"), "checked_order": ("order",), "laminate_free_strain": ("along", "across"),
    "laminate_resin": ("copies",), "orthotropic_stiffness": ("nu12", "nu13", "nu23"),
    "panel_response": ("a_mm", "b_mm", "order", "stations"),
    "putty_supplies": ("copies",),
    "gel_coat_supplies": ("copies",), "resin_use": ("to_buy_kg",),
    "worst_ply": ("points",), "rotated_expansion": ("alpha1", "alpha2"),
}
# the caller's unit, or several
FREE = ("any", "any one unit", "as `unit` says", "money per `per`", "`scale`", "`hardness_scale`")


def fits(unit, told):
    """Whether a unit is one that the docstring gives."""
    return any(one in FREE or unit in re.split(r",? or |, ", one) for one in told)


def stems(text):
    """Lower-case words of a text without the s of the plural."""
    return set(re.findall(r"[a-z]+?(?=s?\b)", text))


def complaint(error, argument, told):
    """What is wrong with the words of a refusal; empty if all is well."""
    shared = stems(f"{argument.replace('_', ' ')} {told.lower()}") & stems(str(error.name))
    if not isinstance(error.name, str) or not isinstance(error.rule, str) or not isinstance(error.next_step, str):
        return "no words"
    if error.name not in (argument, NAMES.get(argument)) and not (error.name[:1].islower() and shared):
        return "does not name the argument"
    if not error.rule[:1].islower() or error.next_step[:1] != error.next_step[:1].lower():
        return "is no sentence"
    unit = re.search(r"\[([^\]]+)\]$", error.rule)
    if error.rule == "must be a fraction between 0 and 1":
        return "" if "[-]" in told else "gives another unit than the docstring"
    if not unit or not fits(unit[1], re.findall(r"\[([^\]]+)\]", told)):
        return "gives another unit than the docstring"
    return ""


def refusals(name, item, call):
    """Refusals of a call with one argument spoilt at a time."""
    told = {one: words for one, (_, words) in parameters(item).items()}
    for argument, value in list(call.arguments.items()):
        for bad in (np.nan, -1.0):
            changed = spoilt(value, bad)
            if changed is None or argument not in told or argument in PASSED_ON.get(name, ()):
                continue
            again = inspect.BoundArguments(call.signature, {**call.arguments, argument: changed})
            try:
                with np.errstate(all="ignore"):
                    item(*again.args, **again.kwargs)
            except InputError as error:
                text = f"{name}({argument}={bad}): {error}"
                yield complaint(error, argument, told[argument]), text
                if np.isnan(bad) and "nan" not in str(error):
                    yield "does not show the value", text
            except (IndexError, TypeError, ValueError):  # counts and places in a list: not refused by name
                pass


@pytest.mark.parametrize("module", MODULES)
def test_refusals_give_name_and_unit(module):
    module = importlib.import_module(module)
    bad = []
    for name, item in public(module):
        said, calls = example(name, item, module)
        assert not said, said
        found = [one for call in calls for one in refusals(name, item, call)]
        bad += [f"{what}: {text}" for what, text in found if what]
    assert not bad, "\n".join(bad)
