"""Design pressures that are missing, or below anything that the package's own rules give for the place: kPa entered for psi."""

import re

from lamcalc.parts.basis import GRAVITY
from lamcalc.parts.pressure_bases import DECK_MINIMUM_KN_M2, bottom_minimum, side_minimum
from lamcalc.parts.pressure_factors import design_category_factor
from lamcalc.sentences import Figure, Sentence

# the lightest craft that there can be: own choice, so that no boat is asked without reason
LEAST_WATERLINE = 0.7  # of the length over all
PERSON_KG = 75.0
PERSON_N = PERSON_KG * GRAVITY
# the first that its name or title has; the rules know no other place without more figures
_PLACES = (("bottom", r"\bbottom|\bkeel"), ("deck", r"deck|\bsole\b|\bfloor|\bcockpit|\bwalkway|\bplatform"),
           ("side", r"\bside|\btopside|\btransom|\bhull|\bshell"))


def place_of(name, part):
    """Where on the craft a part lies, as far as the rules for pressure know the place.

    Parameters
    ----------
    name : str
        Name of the part in the job file [-].
    part : StringerPart or PanelPart
        The part [-].

    Returns
    -------
    str
        'bottom', 'side' or 'deck' by the words of its name and title, a stringer always 'bottom'; empty if unknown [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> parts = load_demo().parts
    >>> [place_of(name, parts[name]) for name in ("stringers", "bottom", "sole")]
    ['bottom', 'bottom', 'deck']
    """
    if part.kind == "stringer":
        return "bottom"
    words = f"{name} {part.title}".replace("_", " ").lower()
    return next((place for place, pattern in _PLACES if re.search(pattern, words)), "")


def lowest_pressure_kpa(job, place):
    """Lowest design pressure that the small-craft rule can give on a place of a job's craft.

    Parameters
    ----------
    job : Job
        The job; its craft's length and its engines count [-].
    place : {"bottom", "side", "deck"}
        Where the pressure acts [-].

    Returns
    -------
    float
        The rule's minimum for the lightest craft of that length [kPa].

    Notes
    -----
    Own choice: design category D, waterline 0.7 of the length over all, nothing aboard but the engines and one person
    of 75 kg, the hull weightless.  The rule's pressures grow with each of them.

    References
    ----------
    ISO 12215-5:2008, as in `pressure_bases`.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [round(lowest_pressure_kpa(load_demo(), place), 1) for place in ("bottom", "side", "deck")]
    [3.9, 1.4, 5.0]
    """
    if place == "deck":
        return DECK_MINIMUM_KN_M2
    water = {"waterline_length_m": LEAST_WATERLINE * job.craft.length_m, "category_factor": design_category_factor("D").value}
    if place == "side":
        return float(side_minimum(**water))
    engines = sum(part.engine.mass_kg for part in job.parts.values() if part.kind == "transom")
    return float(bottom_minimum(loaded_mass_kg=PERSON_KG + engines, **water))


def pressure_doubts(job, name, part=None):
    """Whether a design pressure is less than the rules give anywhere on that place, or missing where it would decide.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of a stringer or panel [-].
    part : StringerPart or PanelPart, optional
        The part with another pressure; that of the job if not given [-].

    Returns
    -------
    list of Sentence
        One sentence for `told`; empty where nothing looks wrong or no rule applies [-].

    Notes
    -----
    A deck with a load on a patch alone is asked for its pressure where the rule's least one bends a strip across the span
    more than the patch does, p b^2/8 against F/(l + b) b/4 (1 - w/2b), w across and l along: the patch counted as carried
    by its own length and one span (own choice; plate solutions of demo soles deflect more under the pressure there).

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> pressure_doubts(load_demo(), "bottom")
    []
    """
    part = job.parts[name] if part is None else part
    place, pressure = place_of(name, part), getattr(part, "pressure_kpa", None)
    if place == "deck" and pressure is None:
        return _foot_alone(part)
    if not place or pressure is None:
        return []
    least = lowest_pressure_kpa(job, place)
    if pressure >= least:
        return []
    whose = "the rule's own minimum" if place == "deck" else "for the lightest boat of that length, own choice"
    # how it is written helps where it was written: not with a pressure that a slider was moved to
    hint = "; a value in psi is written like {psi}" if pressure == job.parts[name].pressure_kpa else ""
    return [Sentence("a design pressure of {pressure} is less than the small-craft rule gives on the {place} of any boat of "
                     "{length}, at least {least} ({whose}): check the unit" + hint, place=place,
                     pressure=Figure(pressure, "pressure", "kPa", digits=3), whose=whose,
                     least=Figure(least, "pressure", "kPa", digits=2),
                     length=Figure(job.craft.length_m, "length", "m", digits=3),
                     **({"psi": f'"{pressure:.3g} psi"'} if hint else {}))]


def _foot_alone(part):
    load, span = getattr(part, "patch_load", None), part.span_mm
    if load is None:  # a panel tries no pressure at all
        return []
    if load.force_n < PERSON_N or load.mean_kpa < DECK_MINIMUM_KN_M2:  # asked about by itself
        return []
    pressed = DECK_MINIMUM_KN_M2 / 1000 * span**2 / 8  # N mm a mm, as below
    stood_on = load.force_n / (load.length_mm + span) * span / 4 * (1 - min(load.width_mm, span) / (2 * span))
    if pressed <= stood_on:
        return []
    return [Sentence("a load of {force} on a patch alone bends a deck of {span} span less than the small-craft rule's least pressure all "
                     "over it, {least}: enter the pressure too", force=Figure(load.force_n, "force", digits=3),
                     span=Figure(span, "small_length", digits=4), least=Figure(DECK_MINIMUM_KN_M2, "pressure", "kPa", digits=2))]
