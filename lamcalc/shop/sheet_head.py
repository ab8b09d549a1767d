"""Head of the sheet: what is built, the figures that the crew looks for first, and what the stack lies on."""

from lamcalc.schedule import CoreLayer, Ply
from lamcalc.sentences import counted
from lamcalc.shop.sheet_safety import PRESSED

_UNDER = {"mould": "against the mould or table", "fresh_gel_coat": "on fresh gel coat",
          "gel_coat": "on ground gel coat",
          "wood": "on wood", "core": "on core", "waxed": "on a waxed surface", "polyester": "on the old laminate",
          "vinyl_ester": "on the old laminate", "epoxy": "on the old laminate"}


def builds(job, part, layers):
    """What is built, in a sentence or two.

    Parameters
    ----------
    job : Job
        The job [-].
    part : PartTakeOff
        Take-off [-].
    layers : sequence of SheetLayer
        In the order laid [-].

    Returns
    -------
    str
        Sentences [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_layers import sheet_layers
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> part = take_off(job).parts["stringers"]
    >>> builds(job, part, sheet_layers(job, part))
    'Hat laid over the former: 1708 all over. 5 plies. Make 2 alike.'
    """
    entry = job.schedules[part.schedule]
    plies = sum(isinstance(item.layer, Ply) and not item.existing for item in layers)
    cores = sum(isinstance(item.layer, CoreLayer) and not item.existing for item in layers)
    sentences = [entry.title or part.schedule, counted(plies, "ply", "plies") + (f" and {cores} of core" if cores else "")]
    if part.copies > 1:
        sentences.append(f"Make {part.copies} alike")
    if entry.laid == "inner_first":
        sentences.append("Laid from outside: the innermost layer goes in first")
    sentences += _processes(layers)
    if job.parts[part.name].note:
        sentences.append(job.parts[part.name].note.rstrip("."))
    return ". ".join(s.rstrip(".") for s in sentences) + "."


def _processes(layers):
    """How the plies are pressed, where a roller alone does not do it: thickness and strength hang on it."""
    plies = [item for item in layers if isinstance(item.layer, Ply) and not item.existing]
    for process in dict.fromkeys(item.layer.process.id for item in plies):
        if process in PRESSED:
            mine = [item for item in plies if item.layer.process.id == process]
            name = mine[0].layer.process.name
            which = "all plies" if len(mine) == len(plies) else ", ".join(dict.fromkeys(item.piece for item in mine))
            yield f"{name[:1].upper()}{name[1:]}: {which}"


def facts(stack, part, plans, words):
    """The figures that are looked for first.

    Parameters
    ----------
    stack : Schedule
        Schedule of the part [-].
    part : PartTakeOff
        Take-off [-].
    plans : sequence of BatchPlan
        Pots [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    list of (str, str, str)
        Name, figure, and the same in the other system or a remark [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> part = take_off(job, options={"transom": "transom_plywood"}).parts["transom"]
    >>> facts(schedule(job, part.schedule), part, (), Words("metric"))[0][1:]
    ('48.68 mm', '(1.917 in)')
    """
    low, high = stack.thickness_band_mm()
    ready = sum(r.to_buy_kg for r in part.resins)
    found = [("thickness, whole stack", *words.split(stack.total_thickness_mm, "thickness")),
             ("may come out at", *_range(words, low, high)),
             ("mass added, joints included" + (f", {part.copies} together" if part.copies > 1 else ""),
              *words.split(part.mass_kg, "mass")),
             ("resin to have ready", *words.split(ready, "mass"))]
    if plans:
        pots, sessions = sum(len(p.batches) for p in plans), sum(len(p.sessions) for p in plans)
        found.append(("pots", f"{pots}", f"in {sessions} session{'' if sessions == 1 else 's'}"))
    return found


def _range(words, low, high):
    main, _, rest = words.band(low, high, "thickness").partition(" (")
    return main, f"({rest}"


def lies_on(substrate, layers):
    """What the first layer of the drawing lies on.

    Parameters
    ----------
    substrate : str
        Substrate of the sequence review [-].
    layers : sequence of SheetLayer
        In the order laid [-].

    Returns
    -------
    str
        Words for the drawing [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_layers import sheet_layers
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> lies_on("polyester", sheet_layers(job, take_off(job).parts["bottom"]))
    'on the old laminate'
    """
    return "outside of the boat" if layers[0].existing else _UNDER.get(substrate, "against the mould or table")


def faces(flipped, existing):
    """What the last layer of the drawing faces.

    Parameters
    ----------
    flipped : bool
        Whether the inner side is laid first [-].
    existing : bool
        Whether the first layer is there already [-].

    Returns
    -------
    str
        Words for the drawing [-].

    Examples
    --------
    >>> faces(True, False)
    'outside of the boat'
    """
    return "outside of the boat" if flipped else "inside of the boat" if existing else "last layer laid"
