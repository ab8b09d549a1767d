"""The first page of the handover: the whole job on one sheet of paper, for those who read no further."""

import re
from itertools import groupby

from lamcalc.schedule import CoreLayer, Ply
from lamcalc.sentences import told
from lamcalc.shop.sheet_checks import doubts, reserve_words, shortfalls
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_tables import Table
from lamcalc.shop.sheet_words import short_name

# kinds of unverified values that are told together: the item is what differs
_SUBJECTS = tuple((re.compile(pattern), head) for pattern, head in (
    (r"survey, (?P<item>)", "survey readings"), (r"(.+), layer (?P<item>\d+)", r"\1, layer"), (r"can of (?P<item>.+)", "can of"),
    (r"glass content of .* (?P<item>\d{4})$", "glass content in"), (r"(?P<item>gel time|wet-out rate|clamp|torque|bolt)", "shop habits:"),
    (r"(.*?),? \d[\d.]* kg/m3.*: (?P<item>.+)", r"\1:")))
_COLUMNS = ("part", "what was put in, first layer first", "thickness; mass added", "smallest margin", "came out as planned")


def put_in(layers, words):
    """Layers of a part in one line, in the order laid.

    Parameters
    ----------
    layers : sequence of SheetLayer
        In the order laid [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    str
        'there already: ...; laid: ...; tabbing: ...', layers that follow on their like counted [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> put_in(sheet_layers(job, take_off(job).parts["stringers"]), Words("metric")).partition(",")[0]
    'laid: 2 x 1708 stitched +-45 with mat'
    """
    texts = []
    for group, items in groupby(layers, key=_group):
        names = [(name, len(list(alike))) for name, alike in groupby(_name(item, words) for item in items)]
        texts.append(f"{group}: " + " + ".join(f"{count} x {name}" if count > 1 else name for name, count in names))
    return "; ".join(texts)


def _group(item):
    if item.existing:
        return "there already"
    return "laid" if item.layer_number is not None else item.piece.rpartition(" ")[0]


def _name(item, words):
    name, layer = short_name(item.layer, words), item.layer
    if item.existing or isinstance(layer, CoreLayer):
        name += f" {words.one(item.thickness_mm, 'thickness')}"
    turned = getattr(layer, "angle_deg", 0.0) % 180 if isinstance(layer, Ply | CoreLayer) else 0.0
    return f"{name}, turned {turned:g} deg" if turned else name


def front_table(job, works, words):
    """What was put in, how much of it, with what margin, and whether it came out as planned.

    Parameters
    ----------
    job : Job
        The job [-].
    works : sequence of PartWork
        Parts with a take-off [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a part [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.whole_job import part_work
    >>> job = load_demo()
    >>> front_table(job, [part_work(job, "sole")], Words("metric")).rows[0][4]
    'not measured'
    """
    rows = []
    for work in works:
        layers = sheet_layers(job, work.take_off)
        total = max((item.running_mm for item in layers if item.running_mm is not None), default=None)
        size = [] if total is None else [words.one(total, "thickness")]
        rows.append((work.title, put_in(layers, words), "; ".join([*size, _mass(work.take_off.mass_kg, words)]),
                     _margin(work, words.system), _came_out(job, work)))
    return Table(_COLUMNS, tuple(rows), css="small")


def _mass(kg, words):
    """Units of the page alone: the details have both."""
    return words.mass(kg).partition(" (")[0]


def _margin(work, system):
    least = work.least
    return "NONE COMPUTED" if least is None else f"{reserve_words(least)}, {told(least.name, system)}: {least.verdict}"


def _came_out(job, work):
    """The verdict alone; what is wrong stands among the open points, the figures among the details."""
    if work.quality is None:
        return "READINGS NOT USED" if work.name in job.as_built else "not measured"
    return work.quality.report.worst


def open_points(works, system):
    """What has to be settled before the craft goes out, part by part.

    Parameters
    ----------
    works : sequence of PartWork
        Parts with a take-off [-].
    system : {"metric", "us"}
        Unit system of the words [-].

    Returns
    -------
    list of str
        One sentence a part with an open point; empty where none is open [-].

    Examples
    --------
    >>> open_points((), "metric")
    []
    """
    lines = []
    for work in works:
        points = [f"{point['word'].lower()}: {point['wrong'].rstrip('.')}" for point in
                  shortfalls(work, system) + doubts(work, system)]
        points += [] if work.margins else ["nobody knows whether it holds: no margin could be computed"]
        report = None if work.quality is None else work.quality.report
        if report is not None and report.worst != "accept":
            names = ", ".join([check.name for check in report.checks if check.verdict == report.worst]
                              + ["no thickness read"] * (report.as_built is None))
            points.append(f"as built: {report.worst}, see the details: {names}")
        lines += [f"{work.title}: {'; '.join(points)}."] if points else []
    return lines


def unverified_table(works):
    """What nobody has verified, by part: of what, the many values of one subject taken together.

    Parameters
    ----------
    works : sequence of PartWork
        Parts with a take-off [-].

    Returns
    -------
    Table
        One row a part: how many values, and of what [-].

    Examples
    --------
    >>> unverified_table(()).rows
    ()
    """
    rows = []
    for work in works:
        listed = work.unverified or ()
        words = [subjects(work.title, listed) or "nothing was listed: take every figure as unverified", *_doubtful_factor(work)]
        rows.append((work.title, f"{len(listed)} value{'' if len(listed) == 1 else 's'}: " * bool(listed) + "; ".join(words)))
    return Table(("part", "assumed, proposed or from memory"), tuple(rows), css="small")


def _doubtful_factor(work):
    doubtful = work.least is not None and work.least.factor.unverified
    return ["the design factor of the smallest margin"] if doubtful else []


def subjects(title, listed):
    """What unverified values belong to: materials, entries of the job file, the survey, the shop's habits.

    Parameters
    ----------
    title : str
        Title of the part [-].
    listed : sequence of Unverified
        The values [-].

    Returns
    -------
    str
        Subjects, each named once [-].

    Examples
    --------
    >>> from lamcalc.shop.whole_job import Unverified
    >>> subjects("Sole", [Unverified(what, "1", "assumed", "job file") for what in
    ...                   ("Sole, edges", "sole_a, layer 2", "sole_a, layer 4", "survey, tap", "survey, moisture")])
    'edges; sole_a, layers 2, 4; survey readings'
    """
    heads = {}
    for row in listed:
        head, item = _subject(title, row.what)
        heads.setdefault(head, {})[item] = None
    return "; ".join(" ".join(filter(None, (head.replace("layer", "layers") if head.endswith("layer") and len(items) > 1 else head,
                                            ", ".join(items)))) for head, items in heads.items())


def _subject(title, what):
    """Head and item of an unverified value."""
    if what == title:
        return "load", ""
    what = what.removeprefix(f"{title}, ")
    for pattern, head in _SUBJECTS:
        found = pattern.match(what)
        if found:
            return found.expand(head), found["item"] or ""
    return what.partition(":")[0].partition(" (")[0], ""
