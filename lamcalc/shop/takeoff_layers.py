"""What is laid, layer by layer, for each kind of part: area, blank, and the putty that goes with it."""

from dataclasses import dataclass, replace

from lamcalc.errors import InputError, fraction
from lamcalc.schedule import Coat, CoreLayer, Ply, Schedule, layer_name
from lamcalc.shop.fillets import fillet_volume_ml
from lamcalc.shop.job_schedule import schedule, tape_plies
from lamcalc.shop.scarf import scarf_plan
from lamcalc.shop.tabbing import tape_width


@dataclass(frozen=True)
class LaidLayer:
    """One new layer of a part, in the order laid.

    Parameters
    ----------
    number : int
        Number in the order laid, from 1 within its group [-].
    group : str
        'laminate', 'tabbing' or 'crown' [-].
    layer : Ply, CoreLayer, Coat or SolidLayer
        Material [-].
    area_m2 : float
        Area covered on one part [m2].
    length_mm, width_mm : float
        Blank: the rectangle round it, x of the part along the length [mm].
    glass_gsm, resin_gsm, mass_gsm : float
        From the schedule [g/m2].
    coats : int
        Coats that make a film [-].
    waxed : bool
        Whether the last coat carries wax [-].
    bond : bool
        Whether it beds the core that follows [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [item.name for item in laid_layers(load_demo(), "sole")[0]][0]
    'chopped strand mat 300 g/m2 (0.98 oz/ft2)'
    """

    number: int
    group: str
    layer: object
    area_m2: float
    length_mm: float
    width_mm: float
    glass_gsm: float
    resin_gsm: float
    mass_gsm: float
    coats: int = 1
    waxed: bool = False
    bond: bool = False

    @property
    def name(self):
        """Generic name of the material [-]."""
        return layer_name(self.layer)


@dataclass(frozen=True)
class PuttyNeed:
    """Putty for one use.

    Parameters
    ----------
    use : str
        What it is for [-].
    net_ml : float
        Volume that stays, for one part [mL].
    resin : str
        Resin that it is mixed from [-].
    recipe : str
        Name of the recipe [-].
    core_removed_kg : float
        Core that the putty takes the place of, on one part [kg].

    Examples
    --------
    >>> PuttyNeed("fillet", 146.0, "iso_polyester", "fillet").recipe
    'fillet'
    """

    use: str
    net_ml: float
    resin: str
    recipe: str
    core_removed_kg: float = 0.0


def chosen_schedule(job, part, option=None):
    """Name of the schedule that a part is built from.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of the part [-].
    option : str, optional
        Another of the part's options [-].

    Returns
    -------
    str
        Name of the schedule [-].

    Raises
    ------
    InputError
        If the job has no such part or option, or nothing is chosen.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> chosen_schedule(load_demo(), "sole")
    'sole_board'
    """
    if part not in job.parts:
        raise InputError("part", "must be a part of this job [-]", part, f"choose one of: {', '.join(job.parts)}")
    entry = job.parts[part]
    name = option or entry.chosen
    if name is None or name not in entry.options:
        raise InputError(f"schedule of part {part}", f"must be one of {', '.join(entry.options) or 'its options'} [-]",
                         name, "set `chosen` in the job file")
    return name


def laid_layers(job, part, *, option=None, shelf=None, combination_fraction=None):
    """New layers of a part in the order laid, and its putty.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    shelf : Catalogue, optional
        Materials; the job's if not given [-].
    combination_fraction : float, optional
        Glass fraction of a whole ply of mat-backed fabric, instead of the catalogue's by component [-].

    Returns
    -------
    tuple of (list of LaidLayer, list of PuttyNeed)
        For one part; `number` of the part multiplies both [-].

    Raises
    ------
    InputError
        If the part or option is unknown, or a fraction is out of range.

    Notes
    -----
    Transom: rectangle round the outline for the blank, measured area for resin.  Stringer: developed width of the hat
    with its legs.  Patch: one rectangle a ply from the ring map.  Layers that exist already are left out.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> layers, putty = laid_layers(load_demo(), "bottom")
    >>> [round(item.length_mm) for item in layers if item.glass_gsm][0], layers[-1].name[:8]
    (266, 'gel coat')
    """
    from lamcalc.shop.job_schedule import catalogue

    shelf = catalogue(job) if shelf is None else shelf
    name = chosen_schedule(job, part, option)
    entry = job.parts[part]
    rows = _rows(job, name, shelf, combination_fraction)
    sizes = (_panel_sizes(entry, rows, ground_skin_mm(job, part, shelf)) if entry.kind == "panel"
             else {"transom": _transom_sizes, "stringer": _hat_sizes}[entry.kind](entry, rows))
    layers = [_laid(k + 1, "laminate", row, size) for k, (row, size) in enumerate(zip(rows, sizes, strict=True))
              if not row["existing"] and not row["putty"]]
    layers = [replace(item, number=k + 1) for k, item in enumerate(layers)]
    putty = _bond_putty(rows, sizes) + _edge_putty(entry, rows)
    if entry.kind == "transom" and entry.tabbing:
        layers += _tapes(entry.tabbing, tape_plies(job, part, shelf), shelf, combination_fraction)
        putty.append(PuttyNeed("fillet", float(fillet_volume_ml(
            entry.tabbing.fillet_radius_mm, length_mm=entry.tabbing.length_mm,
            angle_deg=entry.tabbing.included_angle_deg, loss=0)), entry.tabbing.tapes[0].resin, "fillet"))
    if entry.kind == "stringer" and entry.crown:
        cap = _rows(job, entry.crown, shelf, combination_fraction)
        size = (entry.crown_width_mm * entry.length_mm / 1e6, entry.length_mm, entry.crown_width_mm)
        layers += [_laid(k + 1, "crown", row, size) for k, row in enumerate(cap) if not row["existing"]]
    return layers, [need for need in putty if need.net_ml > 0]


def _whole_ply(layer, combination_fraction):
    if (combination_fraction is None or not isinstance(layer, Ply) or not layer.reinforcement.has_mat
            or layer.glass_fraction is not None or layer.thickness_mm is not None):
        return layer
    return replace(layer, glass_fraction=float(fraction("combination fraction", combination_fraction)))


def _rows(job, name, shelf, combination_fraction):
    """Every laid layer of a schedule with masses and what the job file says of it, in the order laid."""
    stack = schedule(job, name, shelf)
    stack = stack.with_layers(_whole_ply(layer, combination_fraction) for layer in stack.layers)
    entries = []
    for entry in job.layers(name):
        putty = entry.kind == "bond" and entry.putty_thickness_mm > 0
        entries += [(entry, False)] * getattr(entry, "count", 1) + [(entry, True)] * putty
    whole = job.schedules[name].existing
    rows = [{"layer": layer, "entry": entry, "putty": putty, "glass": glass, "resin": resin, "mass": mass,
             "thickness": t, "existing": whole or getattr(layer, "existing", False)}
            for layer, (entry, putty), glass, resin, mass, t in zip(
                stack.laid, entries, stack.row_glass_gsm, stack.row_resin_gsm, stack.row_mass_gsm,
                stack.row_thickness_mm, strict=True)]
    return rows[::-1] if job.schedules[name].laid == "inner_first" else rows


def _laid(number, group, row, size):
    area, length, width = size
    return LaidLayer(number, group, row["layer"], area, length, width, float(row["glass"]), float(row["resin"]),
                     float(row["mass"]), getattr(row["entry"], "coats", 1), getattr(row["entry"], "waxed", False),
                     row["entry"].kind == "bond")


def _transom_sizes(entry, rows):
    shape = entry.outline
    if shape.polygon_mm:
        xs, ys = zip(*shape.polygon_mm, strict=True)
        box = (max(xs) - min(xs), max(ys) - min(ys))
    else:
        box = (max(shape.top_width_mm, shape.chine_width_mm), shape.height_mm + shape.vee_mm)
    return [(shape.area_m2, *box)] * len(rows)


def _hat_sizes(entry, rows):
    """Developed width: crown, two webs and two legs; a layer that is no ply lies on the widest."""
    web = (entry.height_mm**2 + ((entry.base_width_mm - entry.top_width_mm) / 2)**2)**0.5
    girth = entry.top_width_mm + 2 * web
    legs, out = list(entry.legs_mm), []
    for row in rows:
        leg = legs.pop(0) if isinstance(row["layer"], Ply) else max(entry.legs_mm)
        width = girth + 2 * leg
        out.append((width * entry.length_mm / 1e6, entry.length_mm, width))
    return out


def ground_skin_mm(job, part, shelf):
    """Skin that the scarf of a patch is ground into: the original as its schedule has it, 0 where none can be told.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of the part [-].
    shelf : Catalogue
        Materials [-].

    Returns
    -------
    float
        Thickness without coats; 0 for a sandwich, a part without an original or one that is not patched [mm].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_schedule import catalogue
    >>> round(ground_skin_mm(load_demo(), "bottom", catalogue(load_demo())), 2)
    5.4
    """
    entry = job.parts[part]
    if getattr(entry, "repair", None) is None or entry.original is None:
        return 0.0
    old = schedule(job, entry.original, shelf)
    return 0.0 if any(isinstance(layer, CoreLayer) for layer in old.laid) else old.structural_thickness_mm


def _panel_sizes(entry, rows, skin_mm):
    if entry.repair is None:
        length, width = (entry.piece_length_mm or entry.length_mm), (entry.piece_width_mm or entry.span_mm)
        return [(entry.area_m2, length, width)] * len(rows)
    repair, plies = entry.repair, [row for row in rows if isinstance(row["layer"], Ply)]
    if not plies:
        raise InputError("patch", "must have at least one ply [-]", 0, "add the plies to its schedule")
    plan = scarf_plan([row["thickness"] for row in plies], hole_length_mm=repair.damage_length_mm,
                      hole_width_mm=repair.damage_width_mm, ratio=repair.scarf_ratio, skin_mm=skin_mm,
                      smallest_first=repair.first_laid == "smallest")
    rings = iter(plan.rings)
    sides = {"coat": (plan.patch_length_mm, plan.patch_width_mm),
             "other": (repair.damage_length_mm, repair.damage_width_mm)}
    out = []
    for row in rows:
        ring = next(rings) if isinstance(row["layer"], Ply) else None
        length, width = ((ring.length_mm, ring.width_mm) if ring
                         else sides["coat" if isinstance(row["layer"], Coat) else "other"])
        out.append((length * width / 1e6, length, width))
    return out


def _tapes(tabbing, plies, shelf, combination_fraction):
    out = []
    for k, (tape, ply) in enumerate(zip(tabbing.tapes, plies, strict=True)):
        ply = _whole_ply(ply, combination_fraction)
        stack = Schedule((ply,), shelf.fibres)
        width = float(tape_width(tape.leg_mm, fillet_radius_mm=tabbing.fillet_radius_mm,
                                 angle_deg=tabbing.included_angle_deg))
        out.append(LaidLayer(k + 1, "tabbing", ply, width * tabbing.length_mm / 1e6, tabbing.length_mm, width,
                             float(stack.row_glass_gsm[0]), float(stack.row_resin_gsm[0]),
                             float(stack.row_mass_gsm[0])))
    return out


def _bond_putty(rows, sizes):
    """Putty of bond lines: what counts in the thickness and what only fills hollows."""
    needs = [(row["entry"], size[0]) for row, size in zip(rows, sizes, strict=True)
             if row["entry"].kind == "bond" and not row["putty"] and not row["existing"]]
    return [PuttyNeed(f"bond line {k + 1}", (entry.putty_thickness_mm + entry.putty_fill_mm) * area * 1e3,
                      entry.resin, "structural") for k, (entry, area) in enumerate(needs)]


def _edge_putty(entry, rows):
    """Core taken back and filled along all four edges of a panel."""
    depth = getattr(entry, "edge_close_out_mm", None)
    cores = [row for row in rows if isinstance(row["layer"], CoreLayer) and not row["existing"]]
    resins = [row["layer"].resin.id for row in rows if isinstance(row["layer"], Ply)]
    if not depth or not cores or not resins or entry.repair is not None:
        return []
    length, width = (entry.piece_length_mm or entry.length_mm), (entry.piece_width_mm or entry.span_mm)
    frame = length * width - max(length - 2 * depth, 0) * max(width - 2 * depth, 0)
    return [PuttyNeed("edge close-out", frame * sum(row["thickness"] for row in cores) / 1e3, resins[0], "structural",
                      frame / 1e6 * sum(row["mass"] for row in cores) / 1e3)]
