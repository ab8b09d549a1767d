"""Take-off of a job: cut list, resin in the laminate and resin to buy, buying list with stock, cost by part."""

import math
from dataclasses import replace

from lamcalc.errors import NotThere, positive
from lamcalc.schedule import SolidLayer
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.limits import LAP, STAGGER, THINNER_SHARE, Limit
from lamcalc.shop.takeoff_cut import core_supplies
from lamcalc.shop.takeoff_layers import chosen_schedule, laid_layers
from lamcalc.shop.takeoff_records import BuyLine, PartTakeOff, TakeOff
from lamcalc.shop.takeoff_resin import Supply, gel_coat_supplies, laminate_resin, putty_supplies
from lamcalc.shop.takeoff_turns import cut_with_turns

__all__ = ["SOLVENT_SHARE", "BuyLine", "PartTakeOff", "TakeOff", "compare_fractions", "labour", "labour_words", "material_name",
           "take_off"]
SOLVENT_SHARE = Limit("clean-up solvent for a kilogram of mixed resin", 0.10, "L/kg", "proposal",
                      "no source found: count the empty cans of a past job and enter your own")
_ROUNDING = 1e-9  # a sum of floats must not open another container


def take_off(job, *, parts=None, options=None, combination_fraction=None, lap_mm=float(LAP), stagger_mm=float(STAGGER),
             thinner_percent_v=0.0, thinner_limit_v=float(THINNER_SHARE), solvent_l_kg=float(SOLVENT_SHARE)):
    """What to cut, mix and buy for the parts of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    parts : sequence of str, optional
        Parts to take off; every part with a chosen schedule if not given [-].
    options : mapping of str to str, optional
        Another option than the chosen one, by part [-].
    combination_fraction : float, optional
        Glass fraction of a whole ply of mat-backed fabric, instead of the catalogue's by component [-].
    lap_mm, stagger_mm : float
        Lap at seams, and distance of seams of neighbouring plies [mm].
    thinner_percent_v : float
        Styrene in the gel coat [% by volume].
    thinner_limit_v : float
        Highest share that the resin's sheet allows [% by volume].
    solvent_l_kg : float
        Solvent for a kilogram of mixed resin; a proposal without a source [L/kg].

    Returns
    -------
    TakeOff
        Cut lists, resin, buying list, cost [-].

    Raises
    ------
    InputError
        If a part, option or roll width is unknown, nothing is chosen, or the thinner passes its limit.

    Notes
    -----
    Resin in the laminate follows from glass and glass fraction, M_r = M_g (1 - g)/g; resin to buy adds the job's loss.
    Fabric to buy is the running length of the cutting plan, or the net area with the job's allowance if that is longer.
    Mat has no direction: it is turned by 90 degrees where that takes less of the roll and no more of laps.
    Laps are extra to the schedule and stand on their own line.  Quantities are for the chosen glass fraction; a wet
    hand uses more.

    References
    ----------
    Mass balance; ordering charts of fibreglass suppliers print buying numbers, which are larger than what stays.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> transom = take_off(load_demo(), combination_fraction=0.43).parts["transom"]
    >>> use = transom.resins[0]
    >>> round(use.stays_kg, 2), round(use.to_buy_kg, 1), round(use.catalyst_ml)
    (5.98, 6.9, 94)
    """
    shelf, options = catalogue(job), dict(options or {})
    positive("solvent", solvent_l_kg, "L/kg", zero=True)
    names = [p for p, entry in job.parts.items() if entry.chosen or p in options] if parts is None else list(parts)
    if not names:
        raise NotThere("part with a chosen schedule", "enter [parts.NAME] with `chosen` in the job file")
    found = {}
    for name in names:
        schedule = chosen_schedule(job, name, options.get(name))
        layers, needs = laid_layers(job, name, option=schedule, shelf=shelf, combination_fraction=combination_fraction)
        copies = job.parts[name].number
        pieces, laps, cloths = cut_with_turns(job, layers, copies, shelf, lap_mm=lap_mm, stagger_mm=stagger_mm)
        putty, fillers = putty_supplies(job, needs, copies, shelf)
        coats, additives = gel_coat_supplies(job, layers, copies, shelf, thinner_percent_v=thinner_percent_v,
                                             thinner_limit_v=thinner_limit_v)
        resins = (*laminate_resin(job, layers, laps, copies, shelf), *putty, *coats)
        supplies = [*core_supplies(job, layers, copies), *fillers, *additives, *_solids(layers, copies),
                    *_formers(job.parts[name], copies)]
        mixed = sum(r.to_buy_kg for r in resins)
        if mixed and solvent_l_kg:
            supplies.append(Supply("acetone", "cleaning, never thinning", mixed * solvent_l_kg, "L"))
        found[name] = PartTakeOff(name, job.parts[name].title or name, schedule, copies, tuple(layers), pieces,
                                  cloths, resins, tuple(supplies),
                                  sum(need.core_removed_kg for need in needs) * copies)
    return _priced(job, found, combination_fraction, shelf)


def _solids(layers, copies):
    """New homogeneous layers that are no core, bought by mass."""
    return [Supply(i.layer.name, "layer of the schedule", i.area_m2 * i.mass_gsm * copies / 1e3, "kg",
                   net_kg=i.area_m2 * i.mass_gsm * copies / 1e3) for i in layers if isinstance(i.layer, SolidLayer)]


def _formers(part, copies):
    """New formers of hat stringers, by mass; a solid of trapezoid section as long as the stringer."""
    former = getattr(part, "former", None)
    if former is None or former.existing:
        return []
    section = (part.base_width_mm + part.top_width_mm) / 2 * part.height_mm
    kg = section * part.length_mm * copies * former.density_kg_m3 / 1e9
    return [Supply(f"{former.material} former", "inside the stringers, offcuts not counted", kg, "kg", net_kg=kg)]


def _demands(job, part):
    """Item, thickness, amount, unit and density or width, of everything that a part uses up."""
    for fabric in part.fabrics:
        yield fabric.material, None, fabric.to_buy_m, "m", fabric.plan.width_mm / 1e3
    for use in part.resins:
        yield use.resin, None, use.to_buy_kg, "kg", use.to_buy_kg / use.to_buy_l if use.to_buy_l else 1.0
        if use.catalyst_g:
            yield "catalyst", None, use.catalyst_g / 1e3, "kg", use.catalyst_g / use.catalyst_ml
    for supply in part.supplies:
        yield supply.item, supply.thickness_mm, supply.amount, supply.unit, None


def _unit_price(entry, unit, ratio):
    """Price of one `unit`; None where the list prices by another measure that cannot be converted."""
    if entry is None:
        return None
    price, per = entry.metric
    if per == unit:
        return price
    if ratio is not None and (per, unit) == ("m2", "m"):
        return price * ratio
    if ratio is not None and (per, unit) == ("L", "kg"):
        return price / ratio
    return None


def _priced(job, parts, combination_fraction, shelf):
    costs, totals, unpriced = dict.fromkeys(parts, 0.0), {}, []
    for name, part in parts.items():
        for item, thickness, amount, unit, ratio in _demands(job, part):
            price = _unit_price(job.prices.of(item, thickness), unit, ratio)
            if price is None:
                unpriced.append(_called(shelf, job.prices, item, thickness))
            costs[name] += amount * (price or 0.0)
            total = totals.setdefault((item, thickness, unit), [0.0, ratio])
            total[0] += amount
    basis = ("catalogue glass fraction of each component of a mat-backed fabric" if combination_fraction is None else
             f"glass fraction {combination_fraction:g} of the whole ply for mat-backed fabrics")
    lines = tuple(replace(_line(job, *key, amount, ratio), name=material_name(shelf, key[0])) for key, (amount, ratio) in totals.items())
    return TakeOff(parts, lines, costs, tuple(dict.fromkeys(unpriced)), job.prices.currency,
                   job.prices.date.isoformat(), basis)


def _called(shelf, prices, item, thickness):
    """A material without a price; with its thickness where the list has a price of another."""
    name = material_name(shelf, item)
    if thickness is None or all(entry.item != item for entry in prices.items):
        return name
    return Sentence("{name}, {thickness}", name=name, thickness=Figure(thickness, "thickness"))


def material_name(shelf, item):
    """What the catalogue calls a material; goods of the shop are called as the job has them.

    Parameters
    ----------
    shelf : Catalogue
        Catalogue with the job's own materials [-].
    item : str
        Key on the price list [-].

    Returns
    -------
    str
        Name [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> material_name(catalogue.load(), "csm_450"), material_name(catalogue.load(), "wax_solution")
    ('chopped strand mat 450 g/m2 (1.5 oz/ft2)', 'wax solution')
    """
    for shelf_part in (shelf.reinforcements, shelf.cores, shelf.resins):
        if item in shelf_part:
            return shelf_part[item].name
    return item.replace("_", " ")


def _line(job, item, thickness, unit, need, ratio):
    on_shelf, size = _stock(job, item, thickness, unit, ratio)
    short = max(need - on_shelf, 0.0)
    if unit == "m":
        short = math.ceil(short * 10 - _ROUNDING) / 10  # a shop measures off tenths of a metre
    packs = None if size is None else math.ceil(short / size - _ROUNDING)
    to_buy = short if packs is None else packs * size
    entry = job.prices.of(item, thickness)
    price = _unit_price(entry, unit, ratio)
    cost, status = (None, "no price") if price is None else (to_buy * price, entry.status)
    return BuyLine(item, need, unit, on_shelf, packs, size, to_buy, cost, thickness, status)


def _stock(job, item, thickness, unit, ratio):
    """Shelf and size of one container in the unit of the line."""
    if unit == "m":  # a narrower roll than the cutting plan's does not take its pieces
        return sum(r.on_shelf_m for r in job.stock.rolls if r.item == item and r.width_mm >= 1e3 * ratio - _ROUNDING), None
    if unit == "sheet":
        sheets = [s for s in job.stock.sheets if s.item == item and s.thickness_mm == thickness]
        # the first sheet on the list sets the cutting plan; a smaller offcut does not stand for it
        return sum(s.on_shelf for s in sheets if s.length_mm >= sheets[0].length_mm and s.width_mm >= sheets[0].width_mm), 1.0
    on_shelf, size = 0.0, None
    for box in job.stock.containers:
        content, left, sold_in = box.metric
        factor = 1.0 if sold_in == unit else {"L": ratio, "kg": ratio and 1 / ratio}[sold_in]
        if box.item == item and factor:
            on_shelf, size = on_shelf + left * factor, size or content * factor
    return on_shelf, size


def labour(job, parts=None):
    """Cost of the working hours that the job gives.

    Parameters
    ----------
    job : Job
        The job [-].
    parts : iterable of str, optional
        Names of parts; all that have hours if not given [-].

    Returns
    -------
    tuple of (dict of str to float, tuple of str)
        Cost by part [money], and the parts without hours [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, update
    >>> job = update(load_demo(), {"parts.bottom.labour_hours": 6})
    >>> labour(job)[0], len(labour(job)[1])
    ({'bottom': 276.0}, 3)
    """
    names = list(job.parts if parts is None else parts)
    hours = {name: job.parts[name].labour_hours for name in names}
    return ({name: float(h) * job.shop.labour_per_hour for name, h in hours.items() if h is not None},
            tuple(name for name, h in hours.items() if h is None))


def labour_words(job, parts):
    """What the labour comes to, in a sentence.

    Parameters
    ----------
    job : Job
        The job [-].
    parts : iterable of str
        Names of parts [-].

    Returns
    -------
    str
        Sentence [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> labour_words(load_demo(), ["transom", "sole"])
    'Labour is not in it: the job gives no hours.'
    """
    cost, without = labour(job, parts)
    if not cost:
        return "Labour is not in it: the job gives no hours."
    hours = sum(job.parts[name].labour_hours for name in cost)
    missing = f"; without hours: {', '.join(job.parts[name].title or name for name in without)}" if without else ""
    return (f"Labour comes to {sum(cost.values()):.2f} {job.prices.currency} more, {hours:g} h at "
            f"{job.shop.labour_per_hour:g} an hour{missing}.")


def compare_fractions(job, part, *, combination_fraction=0.43, option=None):
    """Resin of one part's laminate by the catalogue's component fractions and by one fraction for the whole ply.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str
        Name of the part [-].
    combination_fraction : float
        Glass fraction of a whole ply of mat-backed fabric; 0.43 for polyester is from memory [-].
    option : str, optional
        One of the part's options [-].

    Returns
    -------
    pandas.DataFrame
        Two rows; glass, resin in the laminate and resin to buy [kg].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> compare_fractions(load_demo(), "transom")["resin in the laminate [kg]"].round(2).tolist()
    [6.08, 5.98]
    """
    import pandas as pd

    rows = []
    for value in (None, combination_fraction):
        options = {part: option} if option else None
        found = take_off(job, parts=[part], options=options, combination_fraction=value)
        one = found.parts[part]
        rows.append({"glass fractions": found.basis, "glass [kg]": one.glass_kg("laminate"),
                     "resin in the laminate [kg]": one.resin_in_laminate_kg("laminate"),
                     "resin to buy [kg]": one.resin_to_buy_kg("laminate")})
    return pd.DataFrame(rows)
