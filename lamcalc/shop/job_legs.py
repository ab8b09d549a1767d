"""Legs of stringers when a ply is added or taken out: one leg a ply, or the job would be refused."""

from dataclasses import dataclass

from lamcalc import units
from lamcalc.errors import InputError
from lamcalc.parts.stringer_sizing import stepped_legs
from lamcalc.sentences import Figure, Sentence, bare, counted, joined, label
from lamcalc.shop.limits import TABBING_STEP
from lamcalc.shop.screen_words import title


@dataclass(frozen=True)
class LegChange:
    """Legs of one part before and after a change of its plies.

    Parameters
    ----------
    part : str
        Name of the part [-].
    title : str
        What people call it [-].
    before, after : tuple of float
        Legs in the order laid [mm].

    Examples
    --------
    >>> print(LegChange("stringers", "Pair", (75.0, 100.0), (75.0, 100.0, 125.0)).words())
    Legs of 'Pair': 125 mm put in for the new ply, 25 mm more than the leg before it as at the last step; now 75, 100, 125 mm.
    >>> print(LegChange("stringers", "Two stringers", (75.0, 100.0), (75.0,)).words())
    Legs of 'Two stringers': 100 mm taken out; now 75 mm.
    """

    part: str
    title: str
    before: tuple
    after: tuple

    def words(self):
        """What was put in or taken out, and what it is now.

        Returns
        -------
        Sentence
            To be told in either unit system [-].
        """
        more = self.after[len(self.before):]
        done = (Sentence("{legs} put in for the new {plies}, {why}", legs=_listed(more), why=self._why(),
                         plies="ply" if len(more) == 1 else "plies")
                if more else Sentence("{legs} taken out", legs=_listed(self.before[len(self.after):])))
        return Sentence("Legs of '{part}': {done}; now {legs}.", part=self.title, done=done, legs=_listed(self.after))

    def _why(self):
        step = self.after[len(self.before)] - self.before[-1]
        if step == 0:
            return "as long as the leg before"
        like = "at the last step" if len(self.before) > 1 else f"tabbing is stepped ({TABBING_STEP.status})"
        return Sentence("{step} {each} than the leg before it as {like}", step=Figure(abs(step), "small_length", digits=4),
                        each="more" if step > 0 else "less", like=like)


def _listed(legs):
    return Sentence("{numbers} {unit}", numbers=joined(", ", [bare(leg, "mm") for leg in legs]), unit=label("mm"))


def legged_parts(job, schedule):
    """Stringers that are laid with a schedule, alone or included in one of their options.

    Parameters
    ----------
    job : Job
        The job [-].
    schedule : str
        Name of the schedule [-].

    Returns
    -------
    list of str
        Names of the parts [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> legged_parts(load_demo(), "stringer_skin"), legged_parts(load_demo(), "stringer_crown")
    (['stringers'], [])
    """
    return [name for name, part in job.parts.items() if part.kind == "stringer" and any(
        _holds(job, option, schedule) for option in part.options)]


def _holds(job, name, wanted):
    return name == wanted or any(_holds(job, one.schedule, wanted) for one in job.schedules[name].layers if one.kind == "include")


def _plies(job, name, changed, entries):
    """Plies of a schedule while one that is in it has other layers."""
    layers = entries if name == changed else job.schedules[name].layers
    return sum(_plies(job, one.schedule, changed, entries) if one.kind == "include" else one.count
               for one in layers if one.kind in ("ply", "include"))


def leg_changes(job, schedule, entries):
    """What other layers of a schedule make of the legs of the stringers laid with it.

    Parameters
    ----------
    job : Job
        The job before the change [-].
    schedule : str
        Name of the schedule [-].
    entries : sequence of layers
        Its layers after the change, as the job model has them [-].

    Returns
    -------
    list of LegChange
        Empty where no leg changes [-].

    Raises
    ------
    InputError
        If a stringer would be left without a ply, or its options would have different numbers of plies.

    Notes
    -----
    Legs belong to places in the order laid, not to fabrics: the first ones stay, a ply more has the last step again, a
    ply less takes the last leg with it.

    References
    ----------
    Common practice; step after a single leg: shop rule for tabbing, from memory.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> job = load_demo()
    >>> [change.after for change in leg_changes(job, "stringer_skin", 2 * job.schedules["stringer_skin"].layers)]
    [(75.0, 100.0, 125.0, 150.0)]
    """
    found = []
    for name in legged_parts(job, schedule):
        part, whose = job.parts[name], title(job, name)
        counts = {option: _plies(job, option, schedule, entries) for option in part.options}
        count = next(plies for option, plies in counts.items() if _holds(job, option, schedule))
        if count == 0:
            raise InputError("schedule", f"must keep a ply: '{whose}' is laid with it [-]", None, "change the ply instead")
        other = next((option for option, plies in counts.items() if plies != count), None)
        if other:
            raise InputError(f"legs of '{whose}'", f"are one list for all its options, so '{title(job, other)}' with "
                             f"{counted(counts[other], 'ply', 'plies')} must have as many [-]", count,
                             "let the part have one option in the job file, then change its plies")
        if count != len(part.legs_mm):
            found.append(LegChange(name, whose, part.legs_mm, _legs(part.legs_mm, count)))
    return found


def _legs(legs, count):
    stepped = stepped_legs(legs, count, first_step_mm=float(TABBING_STEP))
    return tuple(leg if leg > 0 else min(legs) for leg in stepped)


def legs_text(legs, system):
    """Legs to be shown in a field and entered there.

    Parameters
    ----------
    legs : sequence of float
        Legs in the order laid [mm].
    system : {"metric", "us"}
        Unit system; the field's label has the unit [-].

    Returns
    -------
    str
        Numbers with commas between [-].

    Examples
    --------
    >>> legs_text((75.0, 100.0), "metric"), legs_text((75.0, 101.6), "us")
    ('75, 100', '2.953, 4')
    """
    return ", ".join(f"{float(units.to_system(leg, 'small_length', system)):.4g}" for leg in legs)


def legs_entered(text, legs, system):
    """Legs as entered in a field.

    Parameters
    ----------
    text : str
        Lengths with commas between, in the unit of the page or with their own [-].
    legs : sequence of float
        Legs before; one whose number was left as it was shown is kept as it is [mm].
    system : {"metric", "us"}
        Unit system of the page [-].

    Returns
    -------
    list of float
        Legs in the order laid [mm].

    Raises
    ------
    InputError
        If a length cannot be read.

    Examples
    --------
    >>> legs_entered("2.953, 4 1/2 in", (75.0, 100.0), "us")
    [75.0, 114.3]
    """
    shown = legs_text(legs, system).split(", ")
    pieces = [piece.strip() for piece in text.replace(";", ",").strip(" ,").split(",")]
    unit = units.system_unit("small_length", system)
    return [float(legs[k]) if k < len(legs) and piece == shown[k] else round(_length(piece, unit), 6)
            for k, piece in enumerate(pieces)]


def _length(piece, unit):
    try:
        return float(units.parse(piece, "small_length", default_unit=unit))
    except InputError as problem:
        raise InputError("Legs", "must be lengths with commas between them [-]", piece,
                         f"write each as a number of {unit}, or with its unit") from problem
