"""Names on price list, shelf and cans that mean nothing: a slip there passes in silence, as a price or a can that is missing."""

from difflib import get_close_matches

from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.takeoff_resin import FILLER_ITEMS


def unknown_names(job, found):
    """Names of materials that neither the catalogue has nor the job needs.

    Parameters
    ----------
    job : Job
        The job [-].
    found : TakeOff
        Its take-off, for the goods that no catalogue lists [-].

    Returns
    -------
    tuple of str
        A sentence a name, with the nearest known one; empty where every name is known [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> unknown_names(job, take_off(job))
    ()
    """
    shelf = catalogue(job)
    known = {*shelf.reinforcements, *shelf.cores, *shelf.resins}
    goods = {*_GOODS, *(line.item.replace(" ", "_") for line in found.buying)}
    places = [("resins", name, known) for name in job.resins]
    places += [("prices", entry.item, known | goods) for entry in job.prices.items]
    places += [(f"stock.{kind}", entry.item, known | goods) for kind in ("rolls", "containers", "sheets")
               for entry in getattr(job.stock, kind)]
    return tuple(_sentence(place, name, names) for place, name, names in places if name not in names)


# goods of the shop that one job needs and the next does not
_GOODS = ("acetone", "catalyst", "styrene", "wax_solution", "wood_former", "foam_former", *FILLER_ITEMS.values())


def _sentence(place, name, names):
    near = get_close_matches(name, sorted(names), 1, 0.7)
    return (f"[{place}] has {name!r}, which is no material of the catalogue and nothing this job needs"
            + (f"; did you mean {near[0]}" if near else ""))
