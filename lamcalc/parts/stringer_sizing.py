"""Lightest or cheapest stringer of a stated grid: every combination is worked out, none is guessed."""

from dataclasses import dataclass, replace
from itertools import product

from lamcalc.errors import InputError, positive
from lamcalc.parts.basis import choice
from lamcalc.parts.stringer import assess_stringer

LARGEST_GRID = 2000


@dataclass(frozen=True, eq=False)
class SizingResult:
    """Every stringer of a grid and the best of those that meet the targets.

    Parameters
    ----------
    plies, cap_layers, heights : tuple
        The grid: layers over the former [-], cap layers [-], heights [mm].
    results : tuple of StringerResult
        One for every combination, plies outermost, heights innermost [-].
    passes : tuple of bool
        Whether each meets the targets [-].
    objective : {"mass", "cost"}
        What is made least [-].
    reserve : float
        Least reserve factor asked for [-].
    use_rules : bool
        Whether the rule checks had to be met too [-].

    Examples
    --------
    >>> SizingResult.__dataclass_params__.frozen
    True
    """

    plies: tuple
    cap_layers: tuple
    heights: tuple
    results: tuple
    passes: tuple
    objective: str
    reserve: float
    use_rules: bool

    @property
    def combinations(self):
        """Layers, cap layers and height of every result, a list of tuples [-, -, mm]."""
        return list(product(self.plies, self.cap_layers, self.heights))

    def with_targets(self, *, objective=None, reserve=None, use_rules=None, heights=None):
        """The same combinations judged by other targets; nothing is computed again.

        Parameters
        ----------
        objective : {"mass", "cost"}, optional
            What to make least [-].
        reserve : float, optional
            Least reserve factor for every margin [-].
        use_rules : bool, optional
            Whether the rule checks must be met as well [-].
        heights : sequence of float, optional
            Heights of the grid that may be chosen [mm].

        Returns
        -------
        SizingResult
            The other choice [-].

        Raises
        ------
        InputError
            If the objective is not known or the reserve not positive.
        """
        wanted = self.objective if objective is None else choice("objective", objective, ("mass", "cost"))
        least = self.reserve if reserve is None else float(positive("reserve factor", reserve))
        rules = self.use_rules if use_rules is None else bool(use_rules)
        passes = tuple(_passes(result, least, rules) and (heights is None or combination[2] in heights)
                       for combination, result in zip(self.combinations, self.results, strict=True))
        return replace(self, objective=wanted, reserve=least, use_rules=rules, passes=passes)

    def _value(self, result):
        return result.stringer.mass_kg_m if self.objective == "mass" else result.stringer.cost_per_m

    @property
    def best_index(self):
        """Place of the best combination, None if none meets the targets; ties go to the stiffer one [-]."""
        fit = [k for k, ok in enumerate(self.passes) if ok]
        return min(fit, key=lambda k: (self._value(self.results[k]), -self.results[k].ei)) if fit else None

    @property
    def best(self):
        """Result of the best combination, None if none meets the targets [-]."""
        return None if self.best_index is None else self.results[self.best_index]

    @property
    def cautions(self):
        """Cautions of the best result, or of the first if none passes [-]."""
        return (self.best or self.results[0]).cautions

    @property
    def sentence(self):
        """The answer in words [-]."""
        asked = f"reserve factor {self.reserve:g} or more and the deflection limit" + (
            " and the rule checks" if self.use_rules else "; the rule checks were NOT asked for")
        start = f"Of {len(self.results)} combinations {sum(self.passes)} meet the targets ({asked}). "
        if self.best is None:
            return start + "Widen the grid: more layers, more cap or a higher former."
        plies, cap, height = self.combinations[self.best_index]
        what = "lightest" if self.objective == "mass" else "cheapest"
        best = self.best
        return start + (f"The {what} has {plies} layer{'s' * (plies > 1)} over the former, {cap} in the cap and is "
                        f"{height:g} mm high: {best.stringer.mass_kg_m:.3g} kg/m, cost {best.stringer.cost_per_m:.3g} "
                        f"per m, least reserve factor {best.least.reserve_factor:.2f}, deflection "
                        f"{best.deflection_mm:.2f} mm.")

    def table(self):
        """Every combination with its figures.

        Returns
        -------
        DataFrame
            One row a combination in grid order [-].
        """
        import pandas as pd

        rows = []
        for k, ((plies, cap, height), r) in enumerate(zip(self.combinations, self.results, strict=True)):
            rows.append({"layers over former": plies, "cap layers": cap, "height [mm]": height,
                         "mass [kg/m]": r.stringer.mass_kg_m, "cost [money/m]": r.stringer.cost_per_m,
                         "EI [kN m2]": r.ei / 1e9, "deflection [mm]": r.deflection_mm,
                         "least reserve factor [-]": r.least.reserve_factor if r.least else float("nan"),
                         "decided by": r.least.name if r.least else "nothing could be checked",
                         "meets targets": "yes" if self.passes[k] else "no",
                         "best": "yes" if k == self.best_index else ""})
        return pd.DataFrame(rows)


def stepped_legs(legs, count, *, first_step_mm=0.0):
    """Legs for any number of layers: the given ones, then wider by the last step.

    Parameters
    ----------
    legs : sequence of float
        Leg of each layer in the order laid, at least one [mm].
    count : int
        Number of layers wanted [-].
    first_step_mm : float
        Step where there is one leg only [mm].

    Returns
    -------
    tuple of float
        Legs [mm].

    References
    ----------
    Common practice: legs end in steps, so that not all layers end on one line.

    Examples
    --------
    >>> stepped_legs((75.0, 100.0), 4), stepped_legs((75.0, 100.0), 1)
    ((75.0, 100.0, 125.0, 150.0), (75.0,))
    """
    step = legs[-1] - legs[-2] if len(legs) > 1 else first_step_mm
    return tuple(legs[k] if k < len(legs) else legs[-1] + step * (k - len(legs) + 1) for k in range(count))


def _with_layers(schedule, count):
    """The schedule with its first fabric laid so many times."""
    return schedule.with_layers([replace(schedule.layers[0], count=count)])


def with_counts(stringer, *, plies, cap_layers):
    """A hat or solid-core stringer with other numbers of layers.

    Parameters
    ----------
    stringer : Stringer
        The design to vary; skin and cap of one kind of layer each, legs grow by their last step [-].
    plies : int
        Layers over the former [-].
    cap_layers : int
        Layers of the cap, 0 for none [-].

    Returns
    -------
    Stringer
        The changed design [-].

    Raises
    ------
    InputError
        If the stringer is an angle, a schedule has several kinds of layers, or there is no cap to vary.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.parts.stringer import Former, Stringer
    >>> from lamcalc.schedule import Ply, Schedule
    >>> shop = catalogue.load()
    >>> ply = Ply(shop.reinforcement("biax45_1708"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> skin = Schedule((ply,), shop.fibres)
    >>> hat = Stringer("hat", skin, skin, 90.0, (50.0,), 100.0, 70.0, former=Former(80.0))
    >>> with_counts(hat, plies=2, cap_layers=0).legs
    (50.0, 50.0)
    """
    _require_variable(stringer, (cap_layers,))
    cap = {"cap": None, "cap_width": None}
    if cap_layers:
        cap = {"cap": _with_layers(stringer.cap, cap_layers), "cap_width": stringer.cap_width}
    return replace(stringer, skin=_with_layers(stringer.skin, plies), legs=stepped_legs(stringer.legs, plies), **cap)


def size_stringer(stringer, load, *, plies, cap_layers, heights, objective="mass", reserve=1.0, use_rules=True,
                  **options):
    """Best hat or solid-core stringer of a grid of layers, cap layers and heights.

    Parameters
    ----------
    stringer : Stringer
        The design to vary; skin and cap of one kind of layer each, legs grow by their last step [-].
    load : StringerLoad
        What bends it, with the deflection limit [-].
    plies : sequence of int
        Numbers of layers over the former to try [-].
    cap_layers : sequence of int
        Numbers of cap layers to try, 0 for none [-].
    heights : sequence of float
        Heights of the former to try [mm].
    objective : {"mass", "cost"}
        What to make least [-].
    reserve : float
        Least reserve factor for every margin [-].
    use_rules : bool
        Whether the rule checks must be met as well [-].
    **options
        Passed on to `assess_stringer` [-].

    Returns
    -------
    SizingResult
        All combinations and the best one [-].

    Raises
    ------
    InputError
        If the grid is empty or too large, the stringer is an angle, or a schedule has several kinds of layers.

    Notes
    -----
    Every combination is worked out in full and the least of those that pass is taken,
    so within the grid nothing better exists.  A combination with a layer of unknown strength never passes.

    References
    ----------
    .. [1] Enumeration (common practice).
    """
    choice("objective", objective, ("mass", "cost"))
    reserve = float(positive("reserve factor", reserve))
    grid = tuple(tuple(values) for values in (plies, cap_layers, heights))
    size = len(grid[0]) * len(grid[1]) * len(grid[2])
    if not 1 <= size <= LARGEST_GRID:
        raise InputError("grid", f"must have 1 to {LARGEST_GRID} combinations [-]", size, "shorten or fill the lists")
    _require_variable(stringer, grid[1])
    # schedules remember their laminates: one for every count, shared by the combinations
    skins = {count: _with_layers(stringer.skin, count) for count in grid[0]}
    caps = {count: {"cap": _with_layers(stringer.cap, count)} if count else {"cap": None, "cap_width": None}
            for count in grid[1]}
    results = []
    for count, cap, height in product(*grid):
        trial = replace(stringer, skin=skins[count], legs=stepped_legs(stringer.legs, count), height=height, **caps[cap])
        results.append(assess_stringer(trial, load, **options))
    passes = tuple(_passes(r, reserve, use_rules) for r in results)
    return SizingResult(*grid, tuple(results), passes, objective, reserve, use_rules)


def _require_variable(stringer, cap_layers):
    if stringer.kind == "angle":
        raise InputError("sizing", "is for hat and solid-core stringers [-]", stringer.kind, "vary an angle by hand")
    for name, schedule in (("skin", stringer.skin), ("cap", stringer.cap)):
        if schedule is not None and len(schedule.layers) != 1:
            raise InputError(f"{name} of the stringer", "must be one kind of layer for sizing [-]",
                             len(schedule.layers), "give one layer; the sizing changes how often it is laid")
    if stringer.cap is None and any(cap_layers):
        raise InputError("cap layers", "need a stringer with a cap to vary [-]", cap_layers,
                         "add the cap, or try 0 only")


def _passes(result, reserve, use_rules):
    strong = result.least is not None and result.least.reserve_factor >= reserve and not result.unchecked
    stiff = result.deflection_mm <= result.deflection_limit_mm
    return bool(strong and stiff and (not use_rules or all(check.holds for check in result.rule_checks)))
