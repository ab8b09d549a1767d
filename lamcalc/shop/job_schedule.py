"""From the job file to materials and schedules: the catalogue with own materials, prices, physics layers."""

from contextlib import contextmanager
from dataclasses import replace

from lamcalc.errors import InputError, NotThere
from lamcalc.shop.burn_off import burned_off


def own_materials_path(job):
    """File of the job's own materials, refused where it would lie outside the job's folder.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    Path or None
        The file, None if the job has none [-].

    Raises
    ------
    InputError
        If the job has no folder yet, or the file is missing or leads out of it by a link.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> own_materials_path(load_demo()) is None
    True
    """
    if job.own_materials is None:
        return None
    if job.source_path is None:
        raise InputError("own_materials", "needs the job's folder [-]", job.own_materials, "save the job first")
    folder = job.source_path.parent.resolve()
    try:
        path = (folder / job.own_materials).resolve()
    except (OSError, RuntimeError):  # what a link that leads back to itself raises depends on the version of Python
        raise InputError("own_materials", "must be a file, not a link without end [-]", job.own_materials,
                         "copy the file beside the job file") from None
    if not path.is_relative_to(folder):
        raise InputError("own_materials", "must stay inside the job's folder, links included [-]", job.own_materials,
                         "copy the file beside the job file")
    if not path.is_file():
        raise InputError("own_materials", "must be a file beside the job file [-]", job.own_materials,
                         "copy it there, or take the field out of the job file")
    return path


def catalogue(job):
    """The catalogue with the job's own materials merged over it.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    Catalogue
        Materials by name [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> catalogue(load_demo()).core("pu_board_416").family
    'pu_board'
    """
    return _merged(job)


def _merged(job):
    from lamcalc.materials import catalogue as shelf

    return shelf.load(own=own_materials_path(job))


def _own_core(core, entry):
    """The catalogue's core with the job's own values, each marked with the job's status."""
    from lamcalc.materials.records import Value

    def value(number, status=entry.status):
        return Value(float(number), None, None, "MPa", status, "job file")

    own = {}
    if entry.density_kg_m3 is not None:
        own["density_kg_m3"] = Value(entry.density_kg_m3, None, None, "kg/m3", entry.status, "job file")
    if entry.e_mpa is not None:
        core = core.with_own_moduli(value(entry.e_mpa), None if entry.e2_mpa is None else value(entry.e2_mpa))
        if core.family != "plywood":  # crossed veneers are not isotropic in the plane; other boards are taken as such
            softer = min(float(core.require("e_x")), float(core.require("e_y")))
            own["g_xy"] = value(softer / (2 * (1 + float(core.require("nu_xy")))), "computed")
    if entry.g_mpa is not None:
        own["g_xz"] = own["g_yz"] = value(entry.g_mpa)
    if entry.crush_mpa is not None:
        own["compressive_strength"] = value(entry.crush_mpa)
    if entry.shear_strength_mpa is not None:
        own["shear_strength"] = value(entry.shear_strength_mpa)
    return replace(core, **own)


def _layer(entry, shelf, existing):
    """One layer of the job file as one or two layers of a schedule."""
    from lamcalc.schedule import PUTTY, Coat, CoreLayer, Ply, SolidLayer

    if entry.kind == "ply":
        return [Ply(shelf.reinforcement(entry.reinforcement), shelf.resin(entry.resin), shelf.process(entry.process),
                    angle_deg=entry.angle_deg, mat_side=entry.mat_side, count=entry.count,
                    glass_fraction=entry.glass_fraction, thickness_mm=entry.thickness_mm,
                    tested=shelf.tested(entry.reinforcement, entry.process, entry.resin))]
    if entry.kind == "core":
        core = shelf.core(entry.core)
        core = _own_core(core, entry) if entry.own else core
        return [CoreLayer(core, entry.thickness_mm, angle_deg=entry.angle_deg, count=entry.count)]
    if entry.kind == "solid" and entry.glass_fraction is not None:
        return [replace(burned_off(entry, shelf), existing=entry.existing or existing)]
    if entry.kind == "solid":
        return [SolidLayer(entry.name, entry.thickness_mm, e1=entry.e_mpa, e2=entry.e2_mpa, nu12=entry.nu12,
                           g12=entry.g12_mpa, density_kg_m3=entry.density_kg_m3, status=entry.status,
                           existing=entry.existing or existing)]
    if entry.kind == "coat":
        coat = shelf.resin(entry.resin)
        return [Coat(coat.name, entry.thickness_mm, entry.density_kg_m3 or float(coat.density_kg_m3), resin=entry.resin,
                     existing=entry.existing or existing)]
    mat = Ply(shelf.reinforcement(entry.reinforcement), shelf.resin(entry.resin), shelf.process(entry.process))
    if entry.putty_thickness_mm == 0:
        return [mat]
    return [mat, SolidLayer(PUTTY, entry.putty_thickness_mm, e1=entry.putty_e_mpa, status=entry.status or "assumed",
                            density_kg_m3=entry.putty_density_kg_m3, existing=existing)]


@contextmanager
def _placed(place):
    """Refuse what the catalogue lacks with the place in the job file."""
    try:
        yield
    except InputError as problem:
        raise InputError(f"{place}: {problem.name}", problem.rule, problem.value, problem.next_step) from None


def _layers(entry, shelf, existing, name, number):
    with _placed(f"schedules.{name}, layer {number}"):
        return _layer(entry, shelf, existing)


def tape_plies(job, part, shelf=None):
    """Tapes of a transom's tabbing as plies.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of a transom with tabbing [-].
    shelf : Catalogue, optional
        Materials; the job's if not given [-].

    Returns
    -------
    list of Ply
        In the order laid [-].

    Raises
    ------
    InputError
        If the catalogue lacks a fabric or resin, with its place in the job file.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [ply.reinforcement.id for ply in tape_plies(load_demo(), "transom")]
    ['biax45_1708', 'biax45_1708', 'biax45_1708']
    """
    from lamcalc.schedule import Ply

    shelf, plies = _merged(job) if shelf is None else shelf, []
    for number, tape in enumerate(job.parts[part].tabbing.tapes, 1):
        with _placed(f"parts.{part}.tabbing, tape {number}"):
            plies.append(Ply(shelf.reinforcement(tape.reinforcement), shelf.resin(tape.resin), shelf.process("hand"),
                             angle_deg=tape.angle_deg))
    return plies


def prices(job):
    """The job's prices as `schedule.Schedule` wants them: by material, cores by material and thickness.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    dict of str to schedule.Price
        Prices per m2, kg and sheet; the others are for the buying list [money].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> prices(load_demo())["iso_polyester"].amount
    6.9
    """
    out = {entry.item: _price(job, entry) for entry in job.prices.items if entry.thickness_mm is None}
    cores = [layer for entry in job.schedules.values() for layer in entry.layers if layer.kind == "core"]
    for layer in cores:
        entry = job.prices.of(layer.core, layer.thickness_mm)
        if entry is not None:
            out[f"{layer.core}_{layer.thickness_mm:g}mm"] = _price(job, entry)
    return {key: price for key, price in out.items() if price is not None}


def _price(job, entry):
    """A price of the list by area, mass or sheet; None where it is by another measure that cannot be converted."""
    from lamcalc.schedule import Price

    amount, per = entry.metric
    if per in ("L", "m"):
        shelf = _merged(job)
        if per == "L" and entry.item in shelf.resins:
            from lamcalc.shop.takeoff_resin import (
                resin_use,  # here, because a take-off begins with a schedule
            )

            amount, per = amount * resin_use(job, shelf, "", entry.item, stays_kg=0.0, to_buy_kg=1.0).to_buy_l, "kg"
        if per == "m" and entry.item in shelf.reinforcements:
            sold = [roll.width_mm for roll in job.stock.rolls if roll.item == entry.item]
            width = sold[0] if sold else shelf.reinforcement(entry.item).roll_width_mm
            amount, per = (amount / float(width) * 1e3, "m2") if width else (amount, per)
    if per not in ("m2", "kg", "sheet"):
        return None
    sheet = entry.sheet_length_mm * entry.sheet_width_mm / 1e6 if per == "sheet" else None
    return Price(amount, per, sheet_m2=sheet, date=job.prices.date.isoformat())


def schedule(job, name, catalogue=None, *, property_model="micromechanics"):
    """A named schedule of the job as a `lamcalc.schedule.Schedule`.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the schedule in the job [-].
    catalogue : Catalogue, optional
        Materials; the shipped ones with the job's own if not given [-].
    property_model : str
        How ply constants are found [-].

    Returns
    -------
    schedule.Schedule
        Layers in the order of the file, the first against the mould [-].

    Raises
    ------
    InputError
        If the job has no schedule of that name, or a material is not in the catalogue.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> round(schedule(load_demo(), "bottom_original").total_thickness_mm, 2)
    5.95
    """
    from lamcalc.schedule import Schedule

    if name not in job.schedules:
        raise InputError("schedule", "must be the name of a schedule of this job [-]", name,
                         f"choose one of: {', '.join(job.schedules) or 'none yet'}")
    shelf = _merged(job) if catalogue is None else catalogue
    entry = job.schedules[name]
    layers = [layer for number, one in enumerate(job.layers(name), 1) for layer in _layers(one, shelf, entry.existing, name, number)]
    return Schedule(tuple(layers), shelf.fibres, name=entry.title or name, property_model=property_model,
                    prices={} if entry.existing else prices(job))


def first_schedule(job):
    """The schedule that a page shows when none is named.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str
        The new inner skin of a transom, else what is chosen for the first part, else the first schedule [-].

    Raises
    ------
    InputError
        If the job has no schedule.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> first_schedule(load_demo())
    'transom_inner_skin'
    """
    skins = [part.inner_skin for part in job.parts.values() if getattr(part, "inner_skin", None)]
    chosen = [part.chosen for part in job.parts.values() if part.chosen]
    names = [*skins, *chosen, *job.schedules]
    if not names:
        raise NotThere("schedule", "enter [schedules.NAME] with its layers in the job file")
    return names[0]


def first_part(job, has=lambda part: part.chosen):
    """The part that a page shows when none is named.

    Parameters
    ----------
    job : Job
        The job [-].
    has : callable
        Whether a part will do, called with the part [-].

    Returns
    -------
    str
        Name of the first part that will do, a transom before others [-].

    Raises
    ------
    InputError
        If no part will do.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> first_part(load_demo()), first_part(load_demo(), lambda part: part.kind == "panel")
    ('transom', 'bottom')
    """
    fit = [name for name, part in job.parts.items() if has(part)]
    if not fit:
        raise NotThere("part with a chosen schedule", "enter [parts.NAME] with `chosen` in the job file")
    return min(fit, key=lambda name: job.parts[name].kind != "transom")


def name_of_kind(job, kind, name=None):
    """Name of a part of one kind.

    Parameters
    ----------
    job : Job
        The job [-].
    kind : {"transom", "stringer", "panel"}
        Kind of part [-].
    name : str, optional
        Its name, checked; the first of that kind if not given [-].

    Returns
    -------
    str
        Name in the job file [-].

    Raises
    ------
    InputError
        If the job has no such part.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> name_of_kind(load_demo(), "panel")
    'bottom'
    """
    found = [key for key, part in job.parts.items() if part.kind == kind]
    if not found:
        raise NotThere(kind, f'add [parts.NAME] with kind = "{kind}" to the job file')
    if name is not None and name not in found:
        raise InputError(kind, f"must be a {kind} of this job, one of: {', '.join(found)} [-]", name, "choose one of these")
    return found[0] if name is None else name


def part_of_kind(job, kind, name=None):
    """A part of one kind.

    Parameters
    ----------
    job : Job
        The job [-].
    kind : {"transom", "stringer", "panel"}
        Kind of part [-].
    name : str, optional
        Name of the part; the first of that kind if not given [-].

    Returns
    -------
    Part
        The part as the file has it [-].

    Raises
    ------
    InputError
        If the job has no such part.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> part_of_kind(load_demo(), "panel", "sole").span_mm
    460.0
    """
    return job.parts[name_of_kind(job, kind, name)]
