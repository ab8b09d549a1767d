"""What lies in a part in the order laid, for the table and the drawing of the sheet."""

from dataclasses import dataclass

import numpy as np

from lamcalc.schedule import Coat, CoreLayer, Ply, Schedule, SolidLayer, layer_name
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.job_schedule import schedule as job_schedule


@dataclass(frozen=True)
class SheetLayer:
    """One layer in the order laid.

    Parameters
    ----------
    piece : str
        What is written on the cut piece, such as 'laminate 3'; empty where nothing is cut [-].
    layer_number : int or None
        Row of the schedule's table, None for tabbing and crown [-].
    layer : Ply, CoreLayer, Coat or SolidLayer
        Material [-].
    thickness_mm : float
        Cured thickness [mm].
    running_mm : float or None
        Total after it is laid, None for tabbing and crown [mm].
    existing : bool
        Whether it is there already [-].
    bands : tuple of (str, float, float)
        Sub-layers in the order laid: kind, thickness and direction [mm], [deg].
    mat_towards : str
        Which way the mat faces in words; '-' without one [-].
    coats : int
        Coats that make a film [-].
    waxed : bool
        Whether the last coat carries wax [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> sheet_layers(job, take_off(job).parts["bottom"])[0].piece
    'laminate 1'
    """

    piece: str
    layer_number: int | None
    layer: object
    thickness_mm: float
    running_mm: float | None
    existing: bool
    bands: tuple
    mat_towards: str
    coats: int = 1
    waxed: bool = False


def sheet_layers(job, part):
    """Layers of a part in the order laid: what is there, what is laid on it, then tabbing or crown.

    Parameters
    ----------
    job : Job
        The job [-].
    part : PartTakeOff
        Take-off of the part [-].

    Returns
    -------
    tuple of SheetLayer
        First laid first [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> layers = sheet_layers(job, take_off(job).parts["transom"])
    >>> [(item.piece, item.mat_towards) for item in layers][7:9]
    [('laminate 6', 'down, to what is there'), ('laminate 7', 'down, to what is there')]
    """
    shelf = catalogue(job)
    entry, stack = job.schedules[part.schedule], job_schedule(job, part.schedule, shelf)
    flipped = entry.laid == "inner_first"
    order = list(range(len(stack.laid)))[::-1 if flipped else 1]
    waiting = [item for item in part.layers if item.group == "laminate"]
    out, total = [], 0.0
    for row in order:
        layer, thickness = stack.laid[row], float(stack.row_thickness_mm[row])
        existing = entry.existing or getattr(layer, "existing", False)
        total += thickness
        match = waiting.pop(0) if waiting and not existing and waiting[0].name == layer_name(layer) else None
        out.append(SheetLayer(_piece(match), row + 1, layer, thickness, total, existing,
                              _bands(stack, row, layer, thickness, flipped), _mat(layer, flipped),
                              match.coats if match else 1, match.waxed if match else False))
    for item in part.layers:
        if item.group != "laminate":
            single = Schedule((item.layer,), shelf.fibres)
            thickness = float(single.row_thickness_mm[0])
            out.append(SheetLayer(_piece(item), None, item.layer, thickness, None, False,
                                  _bands(single, 0, item.layer, thickness, False), _mat(item.layer, False)))
    return tuple(out)


def _piece(item):
    return "" if item is None else f"{item.group} {item.number}"


def _mat(layer, flipped):
    if not isinstance(layer, Ply) or not layer.reinforcement.has_mat:
        return "-"
    if all(c.kind == "csm" for c in layer.reinforcement.components):
        return "-"
    return "down, to what is there" if (layer.mat_side == "down") != flipped else "UP, away from what is there"


def _bands(stack, row, layer, thickness_mm, flipped):
    """Sub-layers of one row; a coat has none of its own."""
    if isinstance(layer, Coat):
        return (("coat", thickness_mm, 0.0),)
    flat = stack.sublayers
    mine = np.flatnonzero(flat.row == row)
    bands = [(str(flat.kind[i]), float(flat.thickness_mm[i]), float(flat.angle_deg[i])) for i in mine]
    if isinstance(layer, CoreLayer):
        return (("plywood" if layer.core.family == "plywood" else "core", thickness_mm, layer.angle_deg),)
    if isinstance(layer, SolidLayer):
        return (("there" if layer.existing else "putty", thickness_mm, 0.0),)
    return tuple(bands[::-1] if flipped else bands)
