"""Batches of a part from the job file: resin by ply with losses, cans, crew and today's readings to one clock."""

from dataclasses import replace

from lamcalc.errors import InputError
from lamcalc.schedule import Coat, CoreLayer, Ply
from lamcalc.sentences import Figure, Sentence, joined
from lamcalc.shop.batching import Climate, CrewRules, PlyNeed, plan_batches
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.resin_can import can_from_record
from lamcalc.shop.takeoff import take_off
from lamcalc.shop.takeoff_layers import laid_layers
from lamcalc.shop.takeoff_turns import cut_with_turns

PUTTY_NAME = ", for putty"  # a pot of its own: fillers go in, so it is never shared with a ply


def job_can(job, resin, shelf=None):
    """The can of a resin with its name on the shelf.

    Parameters
    ----------
    job : Job
        The job [-].
    resin : str
        Key of the resin [-].
    shelf : Catalogue, optional
        Materials; the job's if not given [-].

    Returns
    -------
    ResinCan
        What the label says [-].

    Raises
    ------
    InputError
        If the job does not describe the can, or an epoxy can lacks its pot life.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> job_can(load_demo(), "gel_coat").usual
    2.0
    """
    shelf = catalogue(job) if shelf is None else shelf
    if resin not in job.resins:
        raise InputError(f"can of {resin}", "must be described before pots can be planned [-]", None,
                         f"add [resins.{resin}] to the job file from the label")
    record = shelf.resin(resin)
    return can_from_record(record.name, record.family.replace("_", " "), job.resins[resin])


def job_climate(job):
    """Today's readings of the job's shop.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    Climate
        Air, hull and humidity [degC, %].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> job_climate(load_demo()).hull_c
    17.0
    """
    floor = job.shop
    return Climate(air_c=floor.air_temperature_c, hull_c=floor.hull_temperature_c, humidity_percent=floor.humidity_percent)


def resin_needs(job, name, option=None, part=None):
    """Resin to mix, ply by ply, in the order laid: laps, tapes, bond lines, putty and gel coat included.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    part : PartTakeOff, optional
        Its take-off with usual laps, if there already [-].

    Returns
    -------
    tuple of PlyNeed
        All copies of the part together [kg].

    Raises
    ------
    InputError
        If the part, the option or a can is unknown.

    Notes
    -----
    A ply's share is its resin in the laminate and in its laps, with the job's loss; the sums by resin are those of the
    take-off.  A new session starts where something must have cured: above a bedded core, at every gel coat, after a
    close-out of the edges, and at the tabbing.  The pours of a cast core are not planned: what follows them waits for
    the next day and says so.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [need.name for need in resin_needs(load_demo(), "bottom")][-1]
    'laminate 7: gel coat'
    """
    shelf, entry = catalogue(job), job.parts.get(name)
    layers, putty = laid_layers(job, name, option=option, shelf=shelf)
    part = part or take_off(job, parts=[name], options={name: option} if option else None).parts[name]
    laps = {id(item): area for item, area in cut_with_turns(job, layers, entry.number, shelf)[1]}
    buys = {use.use: use for use in part.resins}
    coats = iter([use for use in part.resins if use.use == "gel coat"])
    needs = [_putty(job, shelf, buys, need, k == 0) for k, need in enumerate(putty) if need.use == "edge close-out"]
    bonds, cured, group = iter([need for need in putty if need.use.startswith("bond line")]), bool(needs), "laminate"
    poured = {}
    for item in layers:
        if item.group == "tabbing" != group:
            needs += [_putty(job, shelf, buys, need, True) for need in putty if need.use == "fillet"]
            cured = True  # the tapes wait until the fillet is firm
        group = item.group
        if isinstance(item.layer, Coat):
            needs += _coat(job, shelf, item, next(coats))
            cured = True
        elif isinstance(item.layer, CoreLayer):
            cured = True
            if item.layer.core.family == "cast":
                poured.setdefault(len(needs), []).append(_pour(item, entry.number))
        elif isinstance(item.layer, Ply):
            kg = item.resin_gsm * (item.area_m2 + laps[id(item)]) * entry.number / 1e3 * (1 + job.waste.resin)
            needs.append(PlyNeed(name=f"{item.group} {item.number}: {item.layer.reinforcement.name}", resin_kg=kg,
                                 thickness_mm=_thickness(item, shelf), can=job_can(job, item.layer.resin.id, shelf),
                                 glass_fraction=item.glass_gsm / (item.glass_gsm + item.resin_gsm),
                                 new_session=cured and not item.bond and bool(needs)))
            cured = False
            if item.bond:
                needs += [_putty(job, shelf, buys, need, False) for need in [next(bonds, None)] if need]
    return tuple(replace(need, after=joined("; ", poured[k])) if k in poured else need for k, need in enumerate(needs))


def _pour(item, copies):
    """What the crew has to know of a lift that no product record lets us plan."""
    kg, thick = item.area_m2 * item.mass_gsm * copies / 1e3, item.layer.thickness_mm
    return Sentence("pour core {number} ({thick}, {mass} net, {name}) by its own product sheet: its catalyst, thickest lift, "
                    "pots and waiting time are NOT in this plan; go on only when it is hard and hand-cool", number=item.number,
                    thick=Figure(thick, "thickness"), mass=Figure(kg, "mass"), name=item.layer.core.name)


def _thickness(item, shelf):
    from lamcalc.schedule import Schedule

    return float(Schedule((item.layer,), shelf.fibres).row_thickness_mm[0])


def _putty(job, shelf, buys, need, new_session):
    can = job_can(job, need.resin, shelf)
    return PlyNeed(name=f"putty, {need.use}", resin_kg=buys[f"putty, {need.use}"].to_buy_kg, thickness_mm=0.0,
                   can=replace(can, name=can.name + PUTTY_NAME), new_session=new_session)


def _coat(job, shelf, item, use):
    can = job_can(job, use.resin, shelf)
    words = [f", coat {k + 1} of {item.coats}" if item.coats > 1 else "" for k in range(item.coats)]
    return [PlyNeed(name=f"{item.group} {item.number}: gel coat{word}", resin_kg=use.to_buy_kg / item.coats,
                    thickness_mm=item.layer.thickness_mm / item.coats, can=can, new_session=True) for word in words]


def job_batches(job, name, option=None, *, part=None, climate=None, people=None, percent_v=None, tray=False):
    """Batch plan of a part: pots, sessions and clock for today's readings.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    part : PartTakeOff, optional
        Its take-off, if there already [-].
    climate : Climate, optional
        Readings; the job's if not given [degC].
    people : int, optional
        Hands that wet out; the job's crew if not given [-].
    percent_v : float, optional
        Catalyst of every laminating resin; each can's usual if not given [% by volume].
    tray : bool
        Whether every batch is poured out flat at once, as in `CrewRules` [-].

    Returns
    -------
    BatchPlan
        Sessions in the order laid [-].

    Raises
    ------
    InputError
        If a can is missing or lacks its pot life, the day is too cold, or the catalyst leaves the can's window.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> plan = job_batches(load_demo(), "bottom")
    >>> [batch.can.name for batch in plan.batches][0], plan.climate.hull_c
    ('vinyl ester', 17.0)
    """
    needs = resin_needs(job, name, option, part)
    if not needs:
        raise InputError(f"batches of {name}", "need at least one new ply, bond or coat [-]", 0, "add plies to its schedule")
    return plan_needs(job, needs, climate=climate, people=people, percent_v=percent_v, tray=tray)


def plan_needs(job, needs, *, climate=None, people=None, percent_v=None, tray=False):
    """Batch plan of needs that are known already, for another day, crew or catalyst.

    Parameters
    ----------
    job : Job
        The job [-].
    needs : sequence of PlyNeed
        In the order laid [-].
    climate : Climate, optional
        Readings; the job's if not given [degC].
    people : int, optional
        Hands that wet out; the job's crew if not given [-].
    percent_v : float, optional
        Catalyst of every laminating resin, gel coat left at its can's usual [% by volume].
    tray : bool
        Whether every batch is poured out flat at once, as in `CrewRules` [-].

    Returns
    -------
    BatchPlan
        Sessions in the order laid [-].

    Raises
    ------
    InputError
        If the day is too cold or the catalyst leaves the can's window.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> job = load_demo()
    >>> len(plan_needs(job, resin_needs(job, "bottom")[:1], people=1).batches)
    1
    """
    names = {need.can.name for need in needs if not need.can.is_epoxy and need.can.family != "gel coat"}
    doses = None if percent_v is None else dict.fromkeys(names, percent_v)
    return plan_batches(needs, climate or job_climate(job), percent_v=doses,
                        rules=CrewRules(people=people or job.shop.crew, tray=tray))
