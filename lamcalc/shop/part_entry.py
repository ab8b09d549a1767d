"""What is to be asked about the entries of a part: its engine, loads, sizes, materials and readings together."""

from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.engine_entry import caution_of_engine, doubts_of_engine
from lamcalc.shop.material_entry import material_doubts
from lamcalc.shop.pressure_entry import PERSON_N, place_of, pressure_doubts
from lamcalc.shop.size_entry import size_doubts
from lamcalc.shop.survey_entry import survey_doubts

LIGHT_PERSON_N = 500.0  # off the decks, own choice: pounds-force entered as newtons are found


def entry_doubts(job, name, part=None):
    """What is to be asked about the loads of one part, the caution about the thrust included.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    part : Part, optional
        The part with other loads, as a panel tries them; that of the job if not given [-].

    Returns
    -------
    tuple of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    A patch load on a deck below the weight of one person of 75 kg, 735 N, is asked about, elsewhere one below 500 N (own
    choice): pounds-force entered as newtons are found.
    For pressures see `pressure_entry`, for sizes and counts `size_entry`, for cores and processes `material_entry`, for
    readings before the work `survey_entry`.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> entry_doubts(load_demo(), "sole"), len(entry_doubts(load_demo(), "transom"))
    ((), 1)
    """
    part = job.parts[name] if part is None else part
    found = [line for ask in (size_doubts, material_doubts, survey_doubts) for line in ask(job, name, part)]
    if part.kind == "transom":
        caution = caution_of_engine(part.engine)  # last: it says what to do
        return (*doubts_of_engine(job, part), *found, *(() if caution is None else (caution,)))
    return (*_patch(name, part), *pressure_doubts(job, name, part), *found)


def asked_of_engines(job):
    """What is to be asked about the engines of a job, the caution about the thrust included.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    tuple of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> len(asked_of_engines(load_demo()))
    1
    """
    names = [name for name, part in job.parts.items() if part.kind == "transom"]
    return tuple(dict.fromkeys(line for name in names for line in entry_doubts(job, name)))


def _patch(name, part):
    load = getattr(part, "patch_load", None)
    if load is None or load.force_n >= (PERSON_N if place_of(name, part) == "deck" else LIGHT_PERSON_N):
        return []
    return [Sentence("a load of {force} on a patch is less than one person standing there, about {person}: check the unit",
                     person=Figure(PERSON_N, "force", digits=3), force=Figure(load.force_n, "force", digits=3))]
