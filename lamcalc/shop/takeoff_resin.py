"""Resin that stays in a part and resin to buy, with catalyst; putty, gel coat, wax and thinner."""

from dataclasses import dataclass

from lamcalc.schedule import Coat, Ply
from lamcalc.shop.coating import thinner_ml, wax_ml, wet_film_mm
from lamcalc.shop.fillets import putty
from lamcalc.shop.limits import FILM_SHRINKAGE, THINNER_SHARE
from lamcalc.shop.mixing import catalyst_dose, mass_ratio_from_volume
from lamcalc.shop.resin_can import ResinCan

FILLER_ITEMS = {"fumed silica": "silica", "microfibre": "microfibre", "milled glass fibre": "milled_glass_fibre",
                "glass balloons": "glass_balloons"}


@dataclass(frozen=True)
class ResinUse:
    """Resin or gel coat for one use: what stays in the part and what is bought, never the same number.

    Parameters
    ----------
    use : str
        'laminate', 'tabbing', 'crown', 'laps', 'gel coat' or 'putty, ...' [-].
    resin : str
        Key of the resin [-].
    stays_kg : float
        In the laminate, putty or film [kg].
    to_buy_kg, to_buy_l : float
        With the loss of pot, brush and run-off [kg], [L].
    catalyst_ml, catalyst_g : float or None
        For what is bought; None where there is no can or the resin is epoxy [mL], [g].
    hardener_kg : float or None
        Part of `to_buy_kg` that is hardener; epoxy only [kg].

    Examples
    --------
    >>> ResinUse("laminate", "iso_polyester", 5.98, 6.88, 6.25, 93.8, 108.8, None).stays_kg
    5.98
    """

    use: str
    resin: str
    stays_kg: float
    to_buy_kg: float
    to_buy_l: float
    catalyst_ml: float | None
    catalyst_g: float | None
    hardener_kg: float | None


@dataclass(frozen=True)
class Supply:
    """Anything else that a part uses up.

    Parameters
    ----------
    item : str
        Key on the price list [-].
    use : str
        What it is for [-].
    amount : float
        Quantity, losses included [as `unit` says].
    unit : str
        'kg', 'L', 'm2' or 'sheet' [-].
    thickness_mm : float, optional
        Of a sheet [mm].
    net_kg : float
        What stays in the part [kg].
    plan : CuttingPlan, optional
        Pieces on the sheets [mm].

    Examples
    --------
    >>> Supply("silica", "putty, fillet", 0.02, "kg").unit
    'kg'
    """

    item: str
    use: str
    amount: float
    unit: str
    thickness_mm: float | None = None
    net_kg: float = 0.0
    plan: object = None


def can_of(job, resin, shelf):
    """The can of a catalysed resin as the batches want it; None for epoxy and where the job describes no can.

    Parameters
    ----------
    job : Job
        The job [-].
    resin : str
        Key of the resin [-].
    shelf : Catalogue
        Materials [-].

    Returns
    -------
    ResinCan or None
        Window in percent by volume, whatever the job file writes [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> can_of(load_demo(), "iso_polyester", catalogue(load_demo())).catalyst_window
    (1.0, 2.5)
    """
    entry = job.resins.get(resin)
    if entry is None or entry.kind != "catalysed":
        return None
    by_volume = 1.0 if entry.catalyst_basis == "volume" else entry.liquid_density_kg_m3 / entry.catalyst_density_kg_m3
    record = shelf.resin(resin)
    return ResinCan(name=record.name, family=record.family.replace("_", " "), gel_minutes=entry.gel_minutes,
                    at_c=entry.gel_temperature_c, at_percent_v=entry.gel_catalyst_percent * by_volume,
                    at_mass_g=entry.gel_mass_g, liquid_density_kg_m3=entry.liquid_density_kg_m3,
                    catalyst_density_kg_m3=entry.catalyst_density_kg_m3,
                    catalyst_window=(entry.catalyst_low_percent * by_volume, entry.catalyst_high_percent * by_volume))


def resin_use(job, shelf, use, resin, *, stays_kg, to_buy_kg):
    """Litres and catalyst, or hardener, for a mass of resin.

    Parameters
    ----------
    job : Job
        The job [-].
    shelf : Catalogue
        Materials [-].
    use, resin : str
        What for, and key of the resin [-].
    stays_kg, to_buy_kg : float
        What stays and what is bought [kg].

    Returns
    -------
    ResinUse
        With catalyst at the can's usual percentage [kg, L, mL, g].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> job = load_demo()
    >>> use = resin_use(job, catalogue(job), "laminate", "iso_polyester", stays_kg=1.0, to_buy_kg=1.1)
    >>> round(use.to_buy_l, 3), round(use.catalyst_ml, 2)
    (1.0, 15.0)
    """
    entry, can = job.resins.get(resin), can_of(job, resin, shelf)
    if can is not None:
        basis = "weight" if entry.catalyst_basis == "mass" else "volume"
        dose = (catalyst_dose(can, to_buy_kg, entry.catalyst_usual_percent, basis=basis) if to_buy_kg else None)
        return ResinUse(use, resin, stays_kg, to_buy_kg, to_buy_kg / can.liquid_density_kg_m3 * 1e3,
                        dose.ml if dose else 0.0, dose.grams if dose else 0.0, None)
    if entry is None:
        density = float(shelf.resin(resin).require("liquid_density_kg_m3"))
        return ResinUse(use, resin, stays_kg, to_buy_kg, to_buy_kg / density * 1e3, None, None, None)
    ratio = float(mass_ratio_from_volume(entry.ratio_by_volume, resin_density_kg_m3=entry.resin_density_kg_m3,
                                         hardener_density_kg_m3=entry.hardener_density_kg_m3))
    hardener = to_buy_kg / (1 + ratio)
    litres = ((to_buy_kg - hardener) / entry.resin_density_kg_m3 + hardener / entry.hardener_density_kg_m3) * 1e3
    return ResinUse(use, resin, stays_kg, to_buy_kg, litres, None, None, hardener)


def laminate_resin(job, layers, laps, copies, shelf):
    """Resin in the laminate, tabbing, crown and laps, each with what is bought for it.

    Parameters
    ----------
    job : Job
        Gives the loss [-].
    layers : sequence of LaidLayer
        In the order laid [-].
    laps : sequence of (LaidLayer, float)
        Lap area of each ply on one part [m2].
    copies : int
        Parts alike [-].
    shelf : Catalogue
        Materials [-].

    Returns
    -------
    list of ResinUse
        By use and resin [kg].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> layers = laid_layers(job, "transom", combination_fraction=0.43)[0]
    >>> uses = laminate_resin(job, layers, [], 1, catalogue(job))
    >>> round(uses[0].stays_kg, 2), round(uses[0].to_buy_kg, 1)
    (5.98, 6.9)
    """
    masses = {}
    for use, item, area in [(i.group, i, i.area_m2) for i in layers] + [("laps", i, a) for i, a in laps]:
        if isinstance(item.layer, Ply) and area > 0:
            key = use, item.layer.resin.id
            masses[key] = masses.get(key, 0.0) + item.resin_gsm * area * copies / 1e3
    return [resin_use(job, shelf, use, resin, stays_kg=kg, to_buy_kg=kg * (1 + job.waste.resin))
            for (use, resin), kg in masses.items()]


def putty_supplies(job, needs, copies, shelf):
    """Resin and fillers of the putty.

    Parameters
    ----------
    job : Job
        Gives the loss [-].
    needs : sequence of PuttyNeed
        For one part [-].
    copies : int
        Parts alike [-].
    shelf : Catalogue
        Materials [-].

    Returns
    -------
    tuple of (list of ResinUse, list of Supply)
        Resin and fillers; the volume grows by the job's putty loss [kg].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import PuttyNeed
    >>> job = load_demo()
    >>> resin, fillers = putty_supplies(job, [PuttyNeed("fillet", 146.0, "iso_polyester", "fillet")], 1, catalogue(job))
    >>> [item.item for item in fillers]
    ['microfibre', 'silica']
    """
    resins, fillers = [], []
    for need in needs:
        use, net = f"putty, {need.use}", need.net_ml * copies
        entry = job.resins.get(need.resin)
        density = (entry.liquid_density_kg_m3 if entry is not None and entry.kind == "catalysed"
                   else float(shelf.resin(need.resin).require("liquid_density_kg_m3")))
        stays = putty(net, need.recipe, resin_density_kg_m3=density)
        mixed = putty(net * (1 + job.waste.putty), need.recipe, resin_density_kg_m3=density)
        resins.append(resin_use(job, shelf, use, need.resin, stays_kg=stays.resin_g / 1e3,
                                to_buy_kg=mixed.resin_g / 1e3))
        fillers += [Supply(FILLER_ITEMS[name], use, grams / 1e3, "kg", net_kg=kept / 1e3)
                    for (name, _, grams), (_, _, kept) in zip(mixed.fillers, stays.fillers, strict=True)]
    return resins, fillers


def gel_coat_supplies(job, layers, copies, shelf, *, thinner_percent_v=0.0, thinner_limit_v=float(THINNER_SHARE)):
    """Gel coat by film thickness, wax for a waxed last coat, thinner within its limit.

    Parameters
    ----------
    job : Job
        Gives the loss [-].
    layers : sequence of LaidLayer
        In the order laid [-].
    copies : int
        Parts alike [-].
    shelf : Catalogue
        Materials [-].
    thinner_percent_v : float
        Styrene in the gel coat [% by volume].
    thinner_limit_v : float
        Highest share that the resin's sheet allows [% by volume].

    Returns
    -------
    tuple of (list of ResinUse, list of Supply)
        Gel coat [kg], wax solution and thinner [L].

    Notes
    -----
    The cured film comes from a wet film thicker by the cure shrinkage; litres are area times wet film, and the loss.
    Cured film by its cured density weighs what stays, wet film by the liquid density what is bought.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> coat, others = gel_coat_supplies(job, laid_layers(job, "sole")[0], 1, catalogue(job))
    >>> round(coat[0].to_buy_l, 2), others[0].item, round(1000 * others[0].amount)
    (1.96, 'wax_solution', 29)
    """
    coats, others = [], []
    for item in layers:
        if not isinstance(item.layer, Coat):
            continue
        record, can = shelf.resin(item.layer.resin), can_of(job, item.layer.resin, shelf)
        density = can.liquid_density_kg_m3 if can else float(record.require("liquid_density_kg_m3"))
        shrinkage = float(record.cure_shrinkage) if record.cure_shrinkage is not None else float(FILM_SHRINKAGE)
        wet = float(wet_film_mm(item.layer.thickness_mm, shrinkage=shrinkage))
        litres = item.area_m2 * copies * wet * (1 + job.waste.gel_coat)
        coats.append(resin_use(job, shelf, "gel coat", item.layer.resin, to_buy_kg=litres * density / 1e3,
                               stays_kg=item.area_m2 * copies * item.mass_gsm / 1e3))
        if item.waxed:
            wax = wax_ml(litres * 1e3 / item.coats, last_coat=True) / 1e3
            others.append(Supply("wax_solution", "last coat only", wax, "L"))
        if thinner_percent_v:
            others.append(Supply("styrene", "thinner of the gel coat", thinner_ml(
                litres * 1e3, thinner_percent_v, limit_percent_v=thinner_limit_v) / 1e3, "L"))
    return coats, others
