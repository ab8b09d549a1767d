"""Refusals of a changed job in the words of the screen: fields by their labels, schedules and parts by their titles.

The command line and the job file keep the names and lines of the file: there they are wanted.
"""

import re

import numpy as np

from lamcalc.sentences import told, told_problem
from lamcalc.shop.field_words import field_words
from lamcalc.shop.job_problems import JobError

# fields of the job as the controls of the pages are labelled
LABELS = {
    "reinforcement": "Fabric", "core": "Core", "resin": "Resin", "process": "How it is laid", "mat_side": "Mat side",
    "angle_deg": "Angle", "thickness_mm": "Thickness", "count": "How many", "legs_mm": "Legs", "own_materials": "Own materials",
    "units": "Units", "glass_fraction": "Glass content",
}
_STEP = re.compile(r"(\w+)|\[(\d+)\]")
_LAYER = re.compile(r"schedules\.(\w+), layer (\d+)(?:: (\w+))?")
_NAME = re.compile(r"(?<![\w'.])[a-z][a-z0-9]*(?:_[a-z0-9]+)+(?![\w'])")
_IN_FILE = {"take the field out of the job file": "leave the field empty"}  # what is done there, and here


def title(job, name):
    """A schedule or part as people call it.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name in the job file [-].

    Returns
    -------
    str
        Its title, else its name without underscores [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> title(load_demo(), "transom_original"), title(load_demo(), "keel_shoe")
    ('Transom as found', 'keel shoe')
    """
    found = job.schedules.get(name) or job.parts.get(name)
    return getattr(found, "title", "") or name.replace("_", " ")


def layer_numbers(job, name):
    """Numbers of the layers of a schedule as its list, drawing and findings count them: as often as they are laid.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Schedule [-].

    Returns
    -------
    list of str
        One an entry of the job file, such as '2' or '3-4' [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> layer_numbers(load_demo(), "transom_inner_skin")
    ['1', '2', '3-4', '5']
    """
    last = np.cumsum([_times(job, one) for one in job.schedules[name].layers]).tolist()
    return [f"{low}" if low == high else f"{low}-{high}" for low, high in zip([1, *(n + 1 for n in last)], last)]


def _times(job, entry):
    """How many rows of the schedule's table an entry of the job file makes."""
    if entry.kind == "include":
        return sum(_times(job, one) for one in job.layers(entry.schedule))
    return getattr(entry, "count", 1) + (getattr(entry, "putty_thickness_mm", 0) > 0)


def place_words(job, field):
    """A field path as the screen calls what stands there.

    Parameters
    ----------
    job : Job
        The job before the change [-].
    field : str
        Path such as schedules.inner_skin.layers[2].angle_deg [-].

    Returns
    -------
    str
        Words with a capital first [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> place_words(load_demo(), "schedules.transom_original.layers[1].angle_deg")
    "Angle of layer 2 of 'Transom as found'"
    >>> place_words(load_demo(), "parts.stringers.legs_mm[1]")
    "Legs of 'Two bottom stringers, re-bonded and capped'"
    """
    steps = [name or int(number) for name, number in _STEP.findall(field)]
    names = [step for step in steps if isinstance(step, str)]
    what = LABELS.get(names[-1]) or field_words(names[-1]).capitalize() if names else "The job"
    if len(names) < 2 or names[0] not in ("schedules", "parts", "as_built", "survey"):
        return what
    whose = f"'{title(job, names[1])}'"
    if names[0] == "schedules" and len(steps) > 3 and isinstance(steps[3], int):
        layer = f"{_layer(_number(job, names[1], steps[3]))} of {whose}"
        return f"{what} of {layer}" if len(names) > 3 else layer[0].upper() + layer[1:]
    return f"{what} of {whose}" if len(names) > 2 else whose


def _number(job, name, place):
    numbers = layer_numbers(job, name) if name in job.schedules else []
    if place < len(numbers):
        return numbers[place]
    last = int(numbers[-1].rpartition("-")[2]) if numbers else 0  # one more than there is: the number that it would have
    return str(last + place - len(numbers) + 1)


def told_on_screen(problem, job, system):
    """The sentence of an error on a page that changes the job.

    Parameters
    ----------
    problem : Exception
        What was refused [-].
    job : Job
        The job before the change [-].
    system : {"metric", "us"}
        Unit system of the page [-].

    Returns
    -------
    str
        One sentence a problem, without lines and names of the file [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, update
    >>> job = load_demo()
    >>> try:
    ...     update(job, {"schedules.transom_original.layers[1].thickness_mm": -25.4})
    ... except ValueError as problem:
    ...     print(told_on_screen(problem, job, "us"))
    Thickness of layer 2 of 'Transom as found': must be greater than 0 [in]; received -1. Next: check the sign and the entry.
    """
    if isinstance(problem, JobError):
        lines = [told(one.words(place=place_words(job, one.field), entered=True), system) for one in problem.problems[:3]]
        text = " ".join(line[:1].upper() + line[1:] for line in lines)
    else:
        text = _LAYER.sub(lambda found: _laid_layer(job, *found.groups()), told_problem(problem, system))
        name = getattr(problem, "name", None)
        text = text.replace(name, LABELS[name], 1) if name in LABELS else text
    for in_file, here in _IN_FILE.items():
        text = text.replace(in_file, here)
    return _NAME.sub(lambda found: _plain(job, found[0]), text).replace(" [-]", "")


def _laid_layer(job, name, number, field):
    """A layer that the package counts with what is included written out, but each entry once."""
    before = [_times(job, one) for one in job.layers(name)[:int(number)]] if name in job.schedules else [1] * int(number)
    first, last = sum(before[:-1]) + 1, sum(before)
    layer = f"{_layer(str(first) if first >= last else f'{first}-{last}')} of '{title(job, name)}'"
    return f"{LABELS.get(field) or field_words(field).capitalize()} of {layer}" if field else layer[0].upper() + layer[1:]


def _layer(number):
    return f"layers {number}" if "-" in number else f"layer {number}"


def _plain(job, name):
    """A name of the job file inside a sentence; names of materials stay as they are."""
    if name in job.schedules or name in job.parts:
        return f"'{title(job, name)}'"
    words = LABELS.get(name) or field_words(name)
    return words.lower() if name in LABELS or words != name.replace("_", " ") else name
