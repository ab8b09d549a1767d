"""Quality of a part from the as-built readings of the job file, and its stiffness as built against as designed."""

from dataclasses import dataclass, replace
from functools import cached_property

from lamcalc.errors import InputError
from lamcalc.parts.schedule_variants import with_glass_fraction
from lamcalc.parts.transom import bending_stiffness
from lamcalc.schedule import CoreLayer, Ply
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.job_schedule import catalogue, schedule
from lamcalc.shop.quality import QualityReport, assess
from lamcalc.shop.takeoff import take_off
from lamcalc.shop.takeoff_layers import chosen_schedule


@dataclass(frozen=True)
class JobQuality:
    """Quality of one part.

    Parameters
    ----------
    laminate : str
        Schedule that was measured [-].
    report : QualityReport
        Checks with verdicts in words [-].
    designed : Schedule
        The laminate as designed [-].
    by_thickness : Schedule or None
        With every ply scaled to the measured thickness: the dry glass is the same, the resin differs; None where no
        thickness was read, as the three below [-].
    by_glass : Schedule or None
        With every ply shifted to the as-built glass fraction, no voids [-].
    stiffness : DataFrame or None
        As designed and as built: laminate, and the whole part where its laminate is known [kN/mm, kN m2/m].
    sentence : str
        Stiffness in words; empty without it [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> job_quality(load_demo(), "transom").laminate
    'transom_inner_skin'
    """

    laminate: str
    report: QualityReport
    designed: object
    by_thickness: object
    by_glass: object
    stiffness: object
    sentence: str


def scaled_to_thickness(stack, thickness_mm):
    """A laminate whose plies are thicker or thinner in one proportion, with the dry glass unchanged.

    Parameters
    ----------
    stack : Schedule
        Plies only [-].
    thickness_mm : float
        Measured thickness [mm].

    Returns
    -------
    Schedule
        Same fabrics; the glass fraction of every ply follows from its thickness [-].

    Notes
    -----
    By thickness a mat-backed fabric keeps its own split of resin between mat and stitched layers as nearly as one
    fraction for the ply allows; compare by ratios of the same model.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> round(scaled_to_thickness(schedule(load_demo(), "transom_inner_skin"), 5.6).total_thickness_mm, 3)
    5.6
    """
    factor, thick = thickness_mm / stack.structural_thickness_mm, iter(stack.row_thickness_mm)
    layers = []
    for layer in stack.laid:
        t = float(next(thick))
        layers.append(replace(layer, count=1, glass_fraction=None, thickness_mm=t * factor) if isinstance(layer, Ply) else layer)
    return stack.with_layers(layers)


def job_quality(job, name, option=None, *, readings=None, part=None):
    """Quality page of a part.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    readings : AsBuilt, optional
        Other readings than the job's [-].
    part : PartTakeOff, optional
        Its take-off, if there already [-].

    Returns
    -------
    JobQuality or None
        None where the job has no as-built readings of the part [-].

    Raises
    ------
    InputError
        If a reading is out of range.

    Notes
    -----
    Thickness, burn-off and implied fraction are held against the laminate measured; the masses on the scale against
    the part's whole laminate with its bond lines, because that is what was weighed.  The part's stiffness is
    1/d11 and 1/d22 of the whole wall with the measured plies in place of the designed ones.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> found = job_quality(load_demo(), "transom")
    >>> found.report.as_built.fraction_from, found.report.verdict.split(":")[0]
    ('burn-off', 'watch')
    """
    readings = job.as_built.get(name) if readings is None else readings
    if readings is None or not judged(readings):
        return None
    return quality_case(job, name, option, laminate=readings.laminate, part=part).of(readings)


def judged(readings):
    """Whether there is anything among the readings that is held against a limit.

    Parameters
    ----------
    readings : AsBuilt
        As the job file writes them [-].

    Returns
    -------
    bool
        False for a laminate and a note alone [-].

    Examples
    --------
    >>> from lamcalc.shop.job_readings import AsBuilt
    >>> judged(AsBuilt(laminate="skin")), judged(AsBuilt(laminate="skin", barcol=[41, 40, 42]))
    (False, True)
    """
    return bool(readings.thickness_mm or readings.barcol or readings.coupon or readings.glass_used_kg or readings.resin_used_kg)


@dataclass(frozen=True)
class QualityCase:
    """What readings of a part are held against; it does not change with the readings.

    Parameters
    ----------
    laminate : str
        Schedule that is measured [-].
    plies : Schedule
        Its plies as designed [-].
    whole : Schedule
        The whole part as designed [-].
    planned_balance_fraction : float
        Glass by weight of everything that is weighed: laminate and bond lines [-].
    densities : dict of str to float
        Fibre and resin [kg/m3].
    ways : tuple of (str, str)
        Words for the two directions of the whole part: a transom's run across the boat and upwards [-].
    core_mm : float
        Thickness of the cores between the measured plies, 0 without one [mm].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> round(quality_case(load_demo(), "transom", laminate="transom_inner_skin").planned_balance_fraction, 3)
    0.362
    """

    laminate: str
    plies: object
    whole: object
    planned_balance_fraction: float
    densities: dict
    ways: tuple = ("along", "across")
    core_mm: float = 0.0

    @cached_property
    def outer(self):
        """Layers of the whole part before the measured ones, as a list; None where these are not the last laid [-]."""
        layers, tail = [_once(layer) for layer in self.whole.laid], len(self.plies.layers)
        fits = len(layers) > tail and layers[-tail:] == list(self.plies.layers)
        return layers[:-tail] if fits else None

    @cached_property
    def designed_figures(self):
        """Figures as designed; they do not change with the readings [-]."""
        return _figures(self.plies, self)

    def of(self, readings):
        """Quality for a set of readings.

        Parameters
        ----------
        readings : AsBuilt
            As the job file writes them [-].

        Returns
        -------
        JobQuality
            Checks and stiffness [-].

        Raises
        ------
        InputError
            If a reading is out of range.
        """
        plies, coupon = self.plies, readings.coupon
        if readings.thickness_mm:
            self._check_core_not_measured(readings.thickness_mm)
        report = assess(
            planned_glass_fraction=plies.glass_fraction, planned_thickness_mm=plies.structural_thickness_mm,
            planned_balance_fraction=self.planned_balance_fraction, thickness_mm=list(readings.thickness_mm) or None,
            areal_weight_gsm=1e3 * plies.glass_kg_m2, glass_kg=readings.glass_used_kg, resin_kg=readings.resin_used_kg,
            coupons_g=[(coupon.dry_mass_g, coupon.residue_mass_g)] if coupon else None,
            density_kg_m3=coupon.density_kg_m3 if coupon else None, hardness=list(readings.barcol) or None,
            hardness_accept=readings.barcol_limit, **self.densities)
        if report.as_built is None:
            return JobQuality(self.laminate, report, plies, None, None, None, "")
        thick = scaled_to_thickness(plies, report.as_built.thickness_mm)
        glass = with_glass_fraction(plies, report.as_built.glass_fraction - plies.glass_fraction)
        frame = _stiffness(self, thick, glass)
        return JobQuality(self.laminate, report, plies, thick, glass, frame, _sentence(frame))


    def _check_core_not_measured(self, readings_mm):
        """Readings through a core say nothing of the plies: they would pass for plies full of resin."""
        mean, plies = sum(readings_mm) / len(readings_mm), self.plies.structural_thickness_mm
        if self.core_mm and mean > plies + self.core_mm / 2:
            raise InputError("as-built thickness", Sentence(
                "must be that of the plies alone: {name} has {core} of core in it [mm]", name=self.laminate,
                core=Figure(self.core_mm, "thickness")), round(mean, 3), Sentence(
                "measure the skins at an edge or a hole and enter both together, planned {plies}, or name the schedule of one skin; "
                "the whole stack is held against the limits on the sheet by hand", plies=Figure(plies, "thickness")))


def quality_case(job, name, option=None, *, laminate, part=None):
    """What the readings of a part are held against.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].
    laminate : str
        Schedule that is measured [-].
    part : PartTakeOff, optional
        Its take-off, if there already [-].

    Returns
    -------
    QualityCase
        Call ``of(readings)`` [-].

    Raises
    ------
    InputError
        If the laminate has no plies, or the part or option is unknown.

    Notes
    -----
    A job without any part holds its readings against the measured laminate alone, without bond lines.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> quality_case(load_demo(), "transom", laminate="transom_inner_skin").plies.row_thickness_mm.size
    5
    """
    shelf = catalogue(job)
    stack = schedule(job, laminate, shelf)
    laid = [replace(layer, count=1) for layer in stack.laid if isinstance(layer, Ply)]
    if not laid:
        raise InputError(f"as-built laminate of {name}", "must have plies [-]", laminate, "name the laminate that was measured")
    plies, first = stack.with_layers(laid), laid[0]
    densities = {"fibre_density_kg_m3": float(shelf.fibre(first.reinforcement.fibre).density_kg_m3),
                 "resin_density_kg_m3": float(first.resin.density_kg_m3)}
    core = sum(layer.thickness_mm for layer in stack.laid if isinstance(layer, CoreLayer))
    if not job.parts:
        return QualityCase(laminate, plies, stack, plies.glass_fraction, densities, core_mm=core)
    option = chosen_schedule(job, name, option)
    part = part or take_off(job, parts=[name], options={name: option}).parts[name]
    glass, resin = part.glass_kg("laminate"), part.resin_in_laminate_kg("laminate")
    planned = glass / (glass + resin) if glass > 0 else plies.glass_fraction  # nothing new in the part: what was measured
    return QualityCase(laminate, plies, schedule(job, option, shelf), planned, densities,
                       ("across the boat", "upwards") if job.parts[name].kind == "transom" else ("along", "across"), core)


_FIGURES = {"thickness [mm]": lambda s: s.structural_thickness_mm, "glass by mass [-]": lambda s: s.glass_fraction,
            "stretching stiffness along, A11 [kN/mm]": lambda s: s.laminate.A[0, 0] / 1e3,
            "stretching stiffness across, A22 [kN/mm]": lambda s: s.laminate.A[1, 1] / 1e3,
            "bending stiffness along, D11 [kN m2/m]": lambda s: s.laminate.D[0, 0] / 1e6,
            "bending stiffness across, D22 [kN m2/m]": lambda s: s.laminate.D[1, 1] / 1e6}


def _figures(stack, case):
    """Figures of the laminate, and of the whole part where the laminate is the last that is laid."""
    found = {words: float(take(stack)) for words, take in _FIGURES.items()}
    if case.outer is not None:
        wall = bending_stiffness(case.whole.with_layers([*case.outer, *stack.layers]).laminate)
        found |= {f"whole part, bending stiffness {way} [kN m2/m]": float(ei) / 1e6
                  for way, ei in zip(case.ways, wall, strict=True)}
    return found


def _stiffness(case, thick, glass):
    import pandas as pd

    designed, by_thickness, by_glass = case.designed_figures, _figures(thick, case), _figures(glass, case)
    return pd.DataFrame({
        "figure": list(designed), "as designed": list(designed.values()), "as built, by thickness": list(by_thickness.values()),
        "as built, by glass content": list(by_glass.values()),
        "as built over designed, by thickness [-]": [by_thickness[k] / v for k, v in designed.items()],
        "as built over designed, by glass content [-]": [by_glass[k] / v for k, v in designed.items()]})


def _once(layer):
    """One laid layer: `laid` repeats the same record, which still says how often it is laid."""
    return replace(layer, count=1) if isinstance(layer, Ply | CoreLayer) else layer


def _sentence(frame):
    last, stretch = frame.iloc[-1], frame.iloc[2]
    words = []
    for row in (last, stretch):
        low, high = sorted((row.iloc[4], row.iloc[5]))
        words.append(f"{row['figure'].split(' [')[0]} {low:.3f} to {high:.3f}")
    return (f"Stiffness as built over as designed: {words[0]}; {words[1]}; by measured thickness and by glass content "
            "(3 decimals show the arithmetic, not the accuracy).")
