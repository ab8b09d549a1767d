"""Own values of cores far from what the catalogue has of them, and processes that the shop has no tool for."""

from lamcalc.errors import InputError
from lamcalc.sentences import Sentence
from lamcalc.shop.field_words import field_figure, figure
from lamcalc.shop.job_schedule import catalogue

FAR = 5.0  # own choice: makers' sheets of one core differ up to two or three times, psi and MPa 145 times
# own choice: unidirectional glass at its densest; hand-laid mat has 0.25 to 0.35, woven rovings 0.40 to 0.55
STIFFEST_GLASS_MPA = 45_000.0
MOST_GLASS = {"mat": 0.45, "mixed": 0.55, "woven": 0.65}
_GLASS = {"mat": "mat takes", "mixed": "mat and rovings mixed take", "woven": "woven rovings take"}
_KNOWN = {"density_kg_m3": "density_kg_m3", "e_mpa": "e_x", "e2_mpa": "e_y", "g_mpa": "g_xz", "crush_mpa": "compressive_strength",
          "shear_strength_mpa": "shear_strength"}
_PUMPED = {"vacuum_bag": "a vacuum bag", "infusion": "infusion"}


def material_doubts(job, name, part=None):
    """Own core values and processes of a part's schedules that hardly fit.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    part : Part, optional
        The part as a panel tries it; that of the job if not given [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    Asked about: an own value more than 5 times the catalogue's typical one, or less than a fifth of it (own choice);
    a fabric laid in a bag or infused where the shop is entered without a vacuum pump; an old skin stiffer than 45 GPa, or
    with more glass than hand lay-up of its kind takes (own choice).

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [material_doubts(load_demo(), name) for name in load_demo().parts]
    [[], [], [], []]
    """
    part, shelf, found = job.parts[name] if part is None else part, catalogue(job), []
    for schedule in dict.fromkeys(key for _, key in part.schedule_names):
        try:
            layers = job.layers(schedule)
        except InputError:  # refused elsewhere, in words
            continue
        for layer in layers:
            found += _core(layer, shelf) if layer.kind == "core" else _solid(layer) if layer.kind == "solid" else ()
        if not job.shop.vacuum_pump:
            found += _pumped(job.schedules[schedule].title or schedule, layers)
    return list(dict.fromkeys(found))


def _core(layer, shelf):
    try:
        core = shelf.core(layer.core)
    except InputError:
        return
    for field, value in layer.own.items():
        known = getattr(core, _KNOWN[field])
        if known is None or 1 / FAR <= value / float(known) <= FAR:
            continue
        times = value / float(known)
        yield Sentence("{entered} of {core} is {times} what the catalogue has of it, {known}: read the maker's sheet again, "
                       "and the unit",
                       entered=field_figure(field, value), core=core.name, known=figure(float(known), known.unit),
                       times=f"{times:.0f} times" if times > 1 else f"1/{1 / times:.0f} of")


def _solid(layer):
    if layer.e_mpa is not None and layer.e_mpa > STIFFEST_GLASS_MPA:
        yield Sentence("{name}: a modulus of {entered} is more than any glass laminate has, {most} (own choice): check it, and "
                       "the unit",
                       name=layer.name, entered=figure(layer.e_mpa, "MPa"), most=figure(STIFFEST_GLASS_MPA, "MPa"))
    if layer.glass_fraction is not None and layer.glass_fraction > MOST_GLASS[layer.glass_kind]:
        yield Sentence("{name}: a glass content of {share:g} is more than {kind} by hand, {most:g} (own choice): weigh again; "
                       "filler and gel coat in the coupon count as "
                       "glass", name=layer.name, share=layer.glass_fraction, kind=_GLASS[layer.glass_kind],
                       most=MOST_GLASS[layer.glass_kind])


def _pumped(title, layers):
    for process in dict.fromkeys(layer.process for layer in layers if getattr(layer, "process", None) in _PUMPED):
        yield Sentence("{title} is planned with {process}, but the shop is entered without a vacuum pump: laid by hand it "
                       "comes out thicker, heavier and weaker; set vacuum_pump = true, or the process by hand", title=title,
                       process=_PUMPED[process])
