"""Mat has no direction: strips of mat turned across the part where that takes less of the roll."""

from collections import Counter, defaultdict
from dataclasses import replace

from lamcalc.errors import InputError
from lamcalc.schedule import Ply
from lamcalc.shop.limits import LAP, STAGGER
from lamcalc.shop.takeoff_cut import cut_pieces, fabrics, no_direction

_TOUCH = 1e-6  # mm and mm2; a gain or loss smaller than that is the rounding of sums


def cut_with_turns(job, layers, copies, shelf, *, lap_mm=float(LAP), stagger_mm=float(STAGGER)):
    """Cut list with plies of mat turned where the roll gains, and the fabrics with their cutting plans.

    Parameters
    ----------
    job : Job
        Gives roll widths and the waste allowance [-].
    layers : sequence of LaidLayer
        In the order laid [-].
    copies : int
        Parts alike [-].
    shelf : Catalogue
        Materials [-].
    lap_mm, stagger_mm : float
        Lap at seams and distance of seams of neighbouring plies [mm].

    Returns
    -------
    tuple of (tuple of CutPiece, list of (LaidLayer, float), tuple of Fabric)
        Pieces as they lie on the roll, lap area of each ply on one part [m2], fabrics.

    Notes
    -----
    A ply is turned only if it is mat throughout, its laps take no more area than before, no seam comes closer to one of
    the ply before, and no cutting plan grows.  So a ply without a seam keeps none, and no more is bought than without turns.
    Tried are the first so many plies with a seam, from all of them down to one, then single plies: good, not proven best.

    References
    ----------
    Common practice: chopped strand mat is random in its plane, so it is cut whichever way wastes less.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, catalogue
    >>> from lamcalc.shop.takeoff_layers import laid_layers
    >>> job = load_demo()
    >>> pieces, _, found = cut_with_turns(job, laid_layers(job, "sole")[0], 1, catalogue(job))
    >>> [(p.label, p.along_mm, p.turned) for p in pieces][:2], found[0].plan.length_mm
    ([('laminate 1.1', 1180.0, True), ('laminate 1.2', 1180.0, True)], 3540.0)
    """
    def cut(turned):
        pieces, laps = cut_pieces(job, layers, copies, shelf, lap_mm=lap_mm, stagger_mm=stagger_mm, turned=turned)
        return pieces, laps, fabrics(job, layers, pieces, laps, copies)

    turned, best = frozenset(), cut(frozenset())
    for plies in _seamed_mats(layers, best[0]):
        groups = [plies[:k] for k in range(len(plies), 0, -1)] + [[ply] for ply in plies[1:]]
        for group in groups:
            trial = turned.symmetric_difference(group)
            try:
                found = cut(trial)
            except InputError:  # a roll too narrow for strips the other way
                continue
            if _better(found, best):
                turned, best = trial, found
    pieces, laps, found = best
    return _as_they_lie(pieces, found), laps, found


def _seamed_mats(layers, pieces):
    """Plies of mat with a seam, by material; without a seam the cutting plan turns them by itself."""
    seamed, plies = {(p.group, p.ply) for p in pieces if p.seams_mm}, defaultdict(list)
    for item in layers:
        if isinstance(item.layer, Ply) and (item.group, item.number) in seamed and no_direction(item.layer.reinforcement):
            plies[item.layer.reinforcement.id].append((item.group, item.number))
    return plies.values()


def _better(found, best):
    """Whether a layout takes less of a roll, and nowhere more of a roll or of a lap, or a seam closer to another."""
    lengths = [(new.plan.length_mm, old.plan.length_mm) for new, old in zip(found[2], best[2], strict=True)]
    laps = [(new, old) for (_, new), (_, old) in zip(found[1], best[1], strict=True)]
    close = [sum(not p.staggered for p in one[0] if p.strip == 1) for one in (found, best)]
    return (any(new < old - _TOUCH for new, old in lengths) and all(new <= old + _TOUCH for new, old in lengths)
            and all(new <= old + _TOUCH / 1e6 for new, old in laps) and close[0] <= close[1])


def _as_they_lie(pieces, found):
    """Cut list with the sizes as they lie on the roll; copies that lie differently in rows of their own."""
    places = {(fabric.material, place.piece.label): place for fabric in found for place in fabric.plan.places}
    out = []
    for piece in pieces:
        ways = Counter()
        for name in piece.names:
            place = places[piece.material, name]
            ways[place.turned, place.along_mm, place.across_mm] += 1
        for (turned, along, across), copies in sorted(ways.items()):
            angle = piece.angle_deg if turned == piece.turned else (piece.angle_deg + 90) % 180
            out.append(replace(piece, along_mm=along, across_mm=across, copies=copies, turned=turned, angle_deg=angle))
    return tuple(out)
