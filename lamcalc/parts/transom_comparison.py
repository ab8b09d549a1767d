"""Which core goes into a transom: any number of builds against the original, under the same engine."""

from dataclasses import dataclass

from lamcalc import units
from lamcalc.errors import InputError, fraction
from lamcalc.parts.layer_strength import margins_table
from lamcalc.parts.panel import CRUSH_FACTOR
from lamcalc.parts.schedule_variants import across_unstated, with_across_as_along, with_core_modulus, with_glass_fraction
from lamcalc.parts.transom import Transom, TransomResult, assess, bending_stiffness
from lamcalc.schedule import CoreLayer
from lamcalc.sentences import Figure, Sentence, told

# hand lay-up scatters more than this: a build within it counts as stiff as the original
STIFFNESS_SCATTER = 0.05
# a build of which these are not known cannot be recommended
UNKNOWN_CORE = ("core in shear", "plate solution")
# builds whose brackets turn this little more than the best count as equal: the views differ by more
TURN_SCATTER = 0.10


@dataclass(frozen=True)
class TransomComparison:
    """Builds of one transom side by side.

    Parameters
    ----------
    transom : Transom
        Shape, engine and bolts [-].
    original : TransomResult
        The build that came out [-].
    options : tuple of TransomResult
        The builds that could go in [-].
    stiffest : TransomResult, optional
        The original with the modulus across a face grain that nobody stated taken as the one along [-].
    currency : str
        Name of the money that the prices are in [-].

    Examples
    --------
    >>> TransomComparison.__dataclass_params__.frozen
    True
    """

    transom: Transom
    original: TransomResult
    options: tuple
    stiffest: TransomResult | None = None
    currency: str = "money"

    def yardstick(self, result):
        """The original as a build is held against it.

        Parameters
        ----------
        result : TransomResult
            A build [-].

        Returns
        -------
        TransomResult
            The original; for a build with another core the stiffest that it may have been, where nobody stated its modulus
            across the face grain [-].
        """
        return self.original if self.stiffest is None or across_unstated(result.schedule) else self.stiffest

    @property
    def yardstick_note(self):
        """What builds with another core are held against, where the original's modulus is not stated; else empty [-]."""
        if self.stiffest is None:
            return ""
        return Sentence("The original's modulus across its face grain is not stated. The table has it by the catalogue's ratio; "
                        "builds with another core must equal the original as stiff across as along, {ei} upwards and "
                        "{turn:.1f} mrad, the safe side.", turn=self.stiffest.worst_turn_mrad,
                        ei=Figure(self.stiffest.ei_up, "flexural_stiffness_per_width"))

    @property
    def results(self):
        """Original and options, as a tuple of `TransomResult` [-]."""
        return (self.original, *self.options)

    def stiffness_ratio(self, result):
        """Smaller of the two bending stiffness ratios to the original.

        Parameters
        ----------
        result : TransomResult
            A build [-].

        Returns
        -------
        float
            Ratio, 1 is as stiff as the original in its weaker direction [-].
        """
        old = self.yardstick(result)
        return min(result.ei_across / old.ei_across, result.ei_up / old.ei_up)

    def failings(self, result, system="metric"):
        """What keeps a build from being recommended.

        Parameters
        ----------
        result : TransomResult
            A build [-].
        system : {"metric", "us"}
            Unit system of the words [-].

        Returns
        -------
        list of str
            One sentence for each failing; empty if there is none [-].
        """
        return [told(one, system) for one in self.objections(result)]

    def objections(self, result):
        """What keeps a build from being recommended, to be told in either unit system.

        Parameters
        ----------
        result : TransomResult
            A build [-].

        Returns
        -------
        tuple of str
            Sentences for `told`; empty if there is none [-].
        """
        low, high = self.transom.window_low, self.transom.window_high
        found = []
        if not result.fits_window:
            found.append(Sentence("{have} is outside the engine's clamping window of {low} to {high}",
                                  have=Figure(result.thickness_mm, "thickness"), low=Figure(low, "thickness"),
                                  high=Figure(high, "thickness")))
        if self.stiffness_ratio(result) < 1.0 - STIFFNESS_SCATTER:
            found.append(f"its bending stiffness is only {self.stiffness_ratio(result):.2f} of the original build")
        if result.worst_turn_mrad > self.yardstick(result).worst_turn_mrad:
            found.append(f"the bracket turns {result.worst_turn_mrad:.1f} mrad, more than the "
                         f"{self.yardstick(result).worst_turn_mrad:.1f} of the original")
        if result.crush_use > CRUSH_FACTOR.value:
            found.append(Sentence("the bolt plates press {have}, above half of the core's {strength}",
                                  have=Figure(result.crush_pressure_mpa, "stress"),
                                  strength=Figure(result.crush_strength_mpa, "stress")))
        # what nobody knows must not win against what is known to be too weak
        found += [f"not checked: {one}" for one in result.strength.not_assessed if one.startswith(UNKNOWN_CORE)]
        return (*found, *(words for words in result.strength.refusals if not words.startswith("bolt plates on the core")))

    @property
    def recommended(self):
        """The cheapest, then lightest, of the builds without a failing whose brackets turn least, else None [-].

        Turns within a tenth of the least count as equal.  Where a price is missing, mass decides instead of cost.
        """
        equal = self._equal
        return min(equal, key=self._rank) if equal else None

    @property
    def _equal(self):
        """Builds without a failing whose turn lies within the scatter of the least."""
        fit = [result for result in self.options if not self.failings(result)]
        least = min((result.worst_turn_mrad for result in fit), default=0.0)
        return [result for result in fit if result.worst_turn_mrad <= (1 + TURN_SCATTER) * least]

    @property
    def _priced(self):
        return not any(result.unpriced for result in self._equal)

    def _rank(self, result):
        return (result.cost, result.core_mass_kg) if self._priced else (result.core_mass_kg,)

    @property
    def recommendation(self):
        """The answer in words with the figure that decides, metric [-]."""
        return self.recommendation_in("metric")

    def recommendation_in(self, system):
        """The answer in words with the figure that decides.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system of the words [-].

        Returns
        -------
        str
            Recommendation, and why the others fall behind [-].
        """
        best = self.recommended
        if best is None:
            return "None of the builds can be recommended. " + " ".join(
                f"{r.name}: {'; '.join(self.failings(r, system))}." for r in self.options)
        trait = "cheapest" if self._priced else "lightest, as prices are missing,"
        why = ("it lets the bracket turn least" if len(self._equal) == 1 else
               f"it is the {trait} of those that let the bracket turn least (a tenth either way counts as equal)")
        words = [f"{best.name}: of the builds that fit the clamping window, match the original's stiffness within 5 % and "
                 f"hold in every margin that was assessed, {why}: {best.worst_turn_mrad:.1f} mrad against "
                 f"{self.yardstick(best).worst_turn_mrad:.1f} for the original when it was sound "
                 f"(stiffness {self.stiffness_ratio(best):.2f} of it), material {_money(self.currency, best)}. Least margin: "
                 f"{told(best.strength.worst.name, system)}, reserve factor {best.strength.worst.reserve_factor:.2f} "
                 f"({best.strength.worst.factor.words}). Not assessed: {'; '.join(best.strength.not_assessed)}."]
        for other in self.options:
            if other is best:
                continue
            refused = self.failings(other, system)
            if refused:
                words.append(f"{other.name} falls out: {'; '.join(refused)}.")
            else:
                words.append(f"{other.name} also passes: turn {other.worst_turn_mrad:.1f} mrad, core "
                             f"{_mass_difference(other.core_mass_kg - best.core_mass_kg, system)}, material {_money(self.currency, other, best)}, stiffness "
                             f"{self.stiffness_ratio(other):.2f} of the original.")
        if self._fit(best) != "yes":
            thin, thick = best.thickness_band_mm
            words.append(told(Sentence(
                "It may come out {thin} to {thick} thick, not all of which the engine clamps: measure as it grows.",
                thin=Figure(thin, "thickness"), thick=Figure(thick, "thickness")), system))
        if any(core.family == "plywood" for core in _cores(best)):
            words.append("Plywood earns this only dry and sealed on every edge and hole: wet wood is why the old one comes out.")
        doubtful = [value.status for core in _cores(best) for value in (core.e_x, core.g_xz, core.compressive_strength)
                    if value is not None and value.unverified]
        if doubtful:
            words.append("Its core values are not verified: get the maker's sheet before buying.")
        return " ".join(words)

    def table(self):
        """The comparison, one build a column.

        Returns
        -------
        DataFrame
            Rows carry the units in their names [-].
        """
        import pandas as pd

        rows = {
            "total thickness [mm]": [r.thickness_mm for r in self.results],
            "thickness to expect [mm]": ["{:.1f} to {:.1f}".format(*r.thickness_band_mm) for r in self.results],
            "fits the clamping window": [self._fit(r) for r in self.results],
            "core mass [kg]": [r.core_mass_kg for r in self.results],
            "mass put in, core and skins [kg]": [float("nan"), *(r.new_mass_kg for r in self.options)],
            "bending stiffness upwards [kN m2/m]": [r.ei_up / 1e6 for r in self.results],
            "bending stiffness across [kN m2/m]": [r.ei_across / 1e6 for r in self.results],
            "stiffness over original [-]": [self.stiffness_ratio(r) for r in self.results],
            "shear stiffness upwards [kN/mm]": [r.shear_up / 1e3 for r in self.results],
            "skins' share of stiffness [%]": [100 * r.skin_share for r in self.results],
            "core's share of stiffness [%]": [100 * r.core_share for r in self.results],
        }
        for k, (case, _, _) in enumerate(self.transom.cases):
            rows[f"strip deflection, {case} [mm]"] = [r.strip_deflection_mm[k] for r in self.results]
            rows[f"plate deflection, {case} [mm]"] = [r.plate_deflection_mm[k] for r in self.results]
        rows |= {
            "largest turn of the bracket [mrad]": [r.worst_turn_mrad for r in self.results],
            "pressure under bolt plate [MPa]": [r.crush_pressure_mpa for r in self.results],
            "core crushing strength [MPa]": [r.crush_strength_mpa for r in self.results],
            "crush use, keep to 0.5 [-]": [r.crush_use for r in self.results],
            f"material cost without waste [{self.currency}]": [float("nan") if r.unpriced else r.cost for r in self.results],
        }
        rows["least reserve factor [-]"] = [r.strength.worst.reserve_factor for r in self.results]
        rows["decided by"] = [r.strength.worst.name for r in self.results]
        return pd.DataFrame(rows, index=[r.name for r in self.results]).T.rename_axis("figure")

    def _fit(self, result):
        """Whether the planned thickness fits the window, and all that may come out [-]."""
        thin, thick = result.thickness_band_mm
        if not result.fits_window:
            return "no"
        inside = self.transom.window_low <= thin and thick <= self.transom.window_high
        return "yes" if inside else "as planned, not all to expect"

    def margins_table(self):
        """All margins of all builds, with design factor, rule and status.

        Returns
        -------
        DataFrame
            One margin of one build a row [-].
        """
        import pandas as pd

        return pd.concat([margins_table(r.strength.margins).assign(build=r.name) for r in self.results], ignore_index=True)


def _mass_difference(mass_kg, system):
    """Difference in words with its sign."""
    return ("+" if mass_kg >= 0 else "-") + units.show(abs(mass_kg), "mass", system)


def _money(currency, result, other=None):
    """Material cost in words, or the difference to another build; a sum with a price missing is no sum."""
    if result.unpriced or (other is not None and other.unpriced):
        return "not known, prices are missing"
    return f"{result.cost:.0f} {currency}" if other is None else f"{result.cost - other.cost:+.0f} {currency}"


def _cores(result):
    return [layer.core for layer in result.schedule.laid if isinstance(layer, CoreLayer)]


def compare_cores(transom, options, original):
    """Compare builds of a transom with the one that came out.

    Parameters
    ----------
    transom : Transom
        Shape, engine, bolts and window [-].
    options : mapping of str to Schedule
        Builds by name [-].
    original : Schedule
        The original build when it was sound [-].

    Returns
    -------
    TransomComparison
        Results, table and recommendation [-].

    Raises
    ------
    InputError
        If there is no option or a build has no core.
    """
    if not options:
        raise InputError("core options", "must have at least one build", "none", "add a schedule to the job")
    stiffest = None
    if across_unstated(original) and not all(map(across_unstated, options.values())):
        stiffest = assess(transom, "original build", with_across_as_along(original))
    return TransomComparison(transom, assess(transom, "original build", original),
                             tuple(assess(transom, name, schedule) for name, schedule in options.items()), stiffest)


def sensitivity(result, *, modulus_spread=0.3, glass_spread=0.05):
    """How much core modulus and glass fraction move the bending stiffness upwards, one at a time.

    Parameters
    ----------
    result : TransomResult
        A build [-].
    modulus_spread : float
        Core modulus lower and higher by this share [-].
    glass_spread : float
        Fibre weight fraction of the plies lower and higher by this much [-].

    Returns
    -------
    DataFrame
        One input a row: stiffness at its low and high end, and the swing in per cent of the typical [-].

    Raises
    ------
    InputError
        If a spread is out of range.
    """
    import pandas as pd

    spread = float(fraction("modulus spread", modulus_spread))
    runs = ((f"core modulus, {-100 * spread:+.0f} to {100 * spread:+.0f} %", with_core_modulus, (1 - spread, 1 + spread)),
            (f"glass fraction of the plies, {-glass_spread:+.2f} to {glass_spread:+.2f}", with_glass_fraction,
             (-glass_spread, glass_spread)))
    rows = []
    for name, change, ends in runs:
        low, high = (bending_stiffness(change(result.schedule, end).laminate)[1] for end in ends)
        rows.append({"input": name, "stiffness at low end [kN m2/m]": low / 1e6,
                     "stiffness at high end [kN m2/m]": high / 1e6, "swing [%]": 100 * (high - low) / result.ei_up})
    return pd.DataFrame(rows)
