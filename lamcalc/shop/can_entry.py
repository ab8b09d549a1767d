"""What the cans say, where it can hardly be meant: a ratio turned over, seconds as minutes, kilograms as grams."""

from datetime import date

from lamcalc.sentences import Figure, Sentence

# marine epoxies are sold from 1 : 1 to 5 : 1 by volume; peroxide is dosed at 1 to 3 % (common practice, from memory)
RATIOS, DOSES = (1.0, 6.0), (0.8, 3.5)
# own choice: a fast cup of 100 g gels in 5 minutes, a slow infusion resin in 4 hours
MINUTES = (5.0, 240.0)
# own choice: gel times are told for a cup, mostly of 100 g
GRAMS = (20.0, 1000.0)
USUAL_GRAMS = 100.0
# own choice; cans tell their times at 20 to 30 degC (common practice)
HOTTEST_C = 40.0


def can_doubts(job, resins=None, today=None):
    """Entries of the cans of a job that no usual can has, and cans past their day.

    Parameters
    ----------
    job : Job
        The job [-].
    resins : collection of str, optional
        Cans to look at, by name; all of the job if not given [-].
    today : date, optional
        Today's date; that of the computer if not given [-].

    Returns
    -------
    list of Sentence
        Sentences for `told`; empty where nothing looks wrong [-].

    Notes
    -----
    Asked about: resin to hardener outside 1 to 6 by volume; a usual dose outside 0.8 to 3.5 %; a gel time or pot life
    outside 5 to 240 minutes; a pot outside 20 g to 1 kg; a time told for more than 40 degC; a pot life without its mass,
    which is taken as for 100 g; a day on the can that is past.
    The ends are own choice, a little wider than common practice.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> can_doubts(load_demo())
    []
    """
    found = []
    for name, can in job.resins.items():
        if resins is None or name in resins:
            words = name.replace("_", " ")
            found += _two_part(words, can) if can.kind == "two_part" else _catalysed(words, can)
            found += _past(words, can.best_before, today or date.today())
    return found


def _past(name, best_before, today):
    if best_before is None or today <= best_before:
        return []
    return [Sentence("{name} was best before {day}, and today is {today}: an old can may gel late, or not at all; make a trial cup and let it "
                     "harden before anything is laid with it, or open a new one (common practice), and enter its "
                     "day", name=name, day=best_before.isoformat(), today=today.isoformat())]


def _outside(value, ends):
    return value is not None and not ends[0] <= value <= ends[1]


def _two_part(name, can):
    found = []
    if _outside(can.ratio_by_volume, RATIOS):
        found.append(Sentence("{ratio:g} volumes of {name} resin to one of hardener is not a ratio that such resins have, 1 to "
                              "5 (common practice): read the can; 3 : 1 by volume is written 3, resin "
                              "first", ratio=can.ratio_by_volume, name=name))
    if can.pot_life_minutes is not None and can.pot_life_mass_g is None:
        found.append(Sentence("the pot life of {name} has no mass beside it and is taken as that of {usual}: read the can, and "
                              "enter pot_life_mass_g", name=name, usual=Figure(USUAL_GRAMS, "small_mass", "g", digits=3)))
    return found + _clock(name, can.pot_life_minutes, can.pot_life_mass_g, can.pot_life_temperature_c)


def _catalysed(name, can):
    found = []
    if _outside(can.catalyst_usual_percent, DOSES):
        found.append(Sentence("{dose:g} % of catalyst in {name} is outside the 1 to 3 % of common practice: too little never "
                              "cures through, too much burns and weakens it; read the "
                              "can", dose=can.catalyst_usual_percent, name=name))
    return found + _clock(name, can.gel_minutes, can.gel_mass_g, can.gel_temperature_c)


def _clock(name, minutes, grams, temperature):
    found = []
    if _outside(minutes, MINUTES):
        found.append(Sentence("{minutes:g} minutes in the pot is no usual time for {name}, {low:g} to {high:g} (own choice): "
                              "read the can, and whether it tells seconds, minutes or "
                              "hours", minutes=minutes, name=name, low=MINUTES[0], high=MINUTES[1]))
    if _outside(grams, GRAMS):
        found.append(Sentence("a pot of {pot} is no usual one to tell the time of {name} for, mostly {usual}: read the can, "
                              "and the unit",
                              pot=Figure(grams, "small_mass", "g", digits=5), name=name,
                              usual=Figure(USUAL_GRAMS, "small_mass", "g", digits=3)))
    if temperature is not None and temperature > HOTTEST_C:
        found.append(Sentence("the time of {name} in the pot is told for {hot}, above {most} (own choice; cans tell it for {low} to "
                              "{high}, common practice), so that all times here come out too long: read the can, and the unit; degrees "
                              "Fahrenheit are written like {fahrenheit}",
                              name=name, fahrenheit=f'"{temperature:g} degF"', **{
                                  key: Figure(value, "temperature", "degC", digits=3) for key, value in
                                  (("hot", temperature), ("most", HOTTEST_C), ("low", 20.0), ("high", 30.0))}))
    return found
