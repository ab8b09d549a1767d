"""What an outboard does to the transom: moments, bolt pull, plate pressure, shear.

Signs.  Origin on the axis of the upper bolt row at the aft face of the
transom.  Thrust is positive ahead: the water pushes the propeller, and with it
the lower leg, *forward*.  The bracket then turns so that its top is pulled
*aft*, away from the transom (upper bolts in tension), and its heel bears on the
transom below.  The engine's weight hangs aft of the bolts and turns the bracket
the same way.  A moment is positive when it pulls the top aft.  Astern thrust is
negative: the lower row is pulled and the top of the bracket bears.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.parts.basis import GRAVITY, Factor, factor_table, plain
from lamcalc.sentences import rule_sentence

CAUTIONS = (
    "Loads are estimates: the engine maker's manual and the builder's plate decide on engine and bolts.",
    "Not covered: steering and side loads, striking the ground, towing points, fatigue, passenger craft. "
    "For those use local codes and a licensed designer or surveyor.",
    "Plate pressure is an average; a thin plate bends and presses harder round the bolt.",
)


@dataclass(frozen=True)
class TransomCase:
    """One load case on the transom.

    Parameters
    ----------
    name : str
        Name of the case [-].
    thrust : float or ndarray, shape (...)
        Thrust, positive ahead [N].
    vertical_factor : float or ndarray, shape (...)
        Multiple of the engine's weight [g].
    thrust_moment, weight_moment, resultant_moment : float or ndarray, shape (...)
        Moments about the upper bolt row, positive when they pull the top aft [N mm].
    upper_row_tension : float or ndarray, shape (...)
        Pull in the upper row by heel and pull: moment over row-to-heel, thrust ahead not deducted [N].
    upper_row_equilibrium : float or ndarray, shape (...)
        Pull in the upper row with the horizontal force balanced, the thrust ahead deducted [N].
    lower_row_tension : float or ndarray, shape (...)
        Pull in the lower row where the top of the bracket bears [N].
    bearing_force : float or ndarray, shape (...)
        Force of the heel, or of the top of the bracket, on the transom [N].
    bolt_tension : float or ndarray, shape (...)
        Greatest pull in one bolt [N].
    plate_pressure : float or ndarray, shape (...)
        Mean pressure under the plate of that bolt [MPa].
    bolt_shear : float or ndarray, shape (...)
        Vertical shear on one bolt, shared equally, friction not counted [N].

    Examples
    --------
    >>> from lamcalc.parts.outboard_mount import BoltPattern, OutboardEngine
    >>> engine = OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560, centre_above=60)
    >>> load = transom_load(engine, BoltPattern(12, 327, 200, 60, 60, 5), trailering_factor=2.5)
    >>> load.cases[0].thrust_moment
    1176000.0
    """

    name: str
    thrust: object
    vertical_factor: object
    thrust_moment: object
    weight_moment: object
    resultant_moment: object
    upper_row_tension: object
    upper_row_equilibrium: object
    lower_row_tension: object
    bearing_force: object
    bolt_tension: object
    plate_pressure: object
    bolt_shear: object


@dataclass(frozen=True)
class TransomLoad:
    """All load cases of an outboard on its transom.

    Parameters
    ----------
    cases : tuple of TransomCase
        Load cases [N, N mm, MPa].
    factors : tuple of Factor
        Inputs and formulas with their status [-].
    notes : tuple of str
        Assumptions that acted [-].
    cautions : tuple of str
        What the figures do not cover [-].

    Examples
    --------
    >>> from lamcalc.parts.outboard_mount import BoltPattern, OutboardEngine
    >>> engine = OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560, centre_above=60)
    >>> load = transom_load(engine, BoltPattern(12, 327, 200, 60, 60, 5), trailering_factor=2.5)
    >>> load.governing.name, round(load.governing.bolt_tension)
    ('full thrust ahead in a seaway', 4151)
    """

    cases: tuple
    factors: tuple
    notes: tuple
    cautions: tuple = CAUTIONS

    @property
    def governing(self):
        """Case with the greatest pull in one bolt [-]."""
        return max(self.cases, key=lambda case: float(np.max(case.bolt_tension)))

    def case(self, name):
        """Load case by name.

        Parameters
        ----------
        name : str
            Name of a case [-].

        Returns
        -------
        TransomCase
            The case [N, N mm, MPa].

        Raises
        ------
        InputError
            If there is no such case.
        """
        for case in self.cases:
            if case.name == name:
                return case
        raise InputError("load case", f"must be one of {', '.join(c.name for c in self.cases)} [-]", name, "choose one")

    def table(self):
        """The cases, one a row, in the units of the column names.

        Returns
        -------
        pandas.DataFrame
            Moments in N m, forces in kN, pressure in MPa [-].
        """
        import pandas as pd

        columns = {"thrust [kN]": ("thrust", 1e3), "weight factor [g]": ("vertical_factor", 1.0),
                   "thrust moment [N m]": ("thrust_moment", 1e3), "weight moment [N m]": ("weight_moment", 1e3),
                   "resultant moment [N m]": ("resultant_moment", 1e3),
                   "upper row pull [kN]": ("upper_row_tension", 1e3),
                   "upper row pull, balanced [kN]": ("upper_row_equilibrium", 1e3),
                   "lower row pull [kN]": ("lower_row_tension", 1e3), "bearing force [kN]": ("bearing_force", 1e3),
                   "pull per bolt [kN]": ("bolt_tension", 1e3), "plate pressure [MPa]": ("plate_pressure", 1.0),
                   "shear per bolt [kN]": ("bolt_shear", 1e3)}
        data = {title: [np.asarray(getattr(case, field)) / unit for case in self.cases]
                for title, (field, unit) in columns.items()}
        if any(value.ndim for values in data.values() for value in values):
            raise InputError("transom load table", "needs one engine, not a batch [-]", "a batch", "pick one design")
        return pd.DataFrame({title: [value.item() for value in values] for title, values in data.items()},
                            index=pd.Index([case.name for case in self.cases], name="load case"))

    def factor_table(self):
        """Inputs and formulas with status.

        Returns
        -------
        pandas.DataFrame
            As `lamcalc.parts.basis.factor_table` [-].
        """
        return factor_table(self.factors)


def bolt_row_tension(moment, row_to_heel):
    """Pull in a bolt row when the bracket heels on its edge: moment over lever.

    Parameters
    ----------
    moment : array_like, shape (...)
        Moment that opens the row [N mm].
    row_to_heel : array_like, shape (...)
        Distance from the bolt row to the edge that bears [mm].

    Returns
    -------
    float or ndarray, shape (...)
        Pull in the whole row [N].

    Raises
    ------
    InputError
        If the lever is not positive.

    Notes
    -----
    With the moment taken about the bolt row this is, exactly, the force of the
    heel; the balanced pull of the upper row is less by the thrust ahead.  The
    greater figure is the practice and the default.

    References
    ----------
    Common practice; statics.

    Examples
    --------
    >>> round(bolt_row_tension(5520e3, 300))
    18400
    """
    return plain(number("moment", moment, "N mm") / positive("row to heel", row_to_heel, "mm"))


def plate_pressure(bolt_tension, net_plate_area):
    """Mean pressure of a backing plate on the core or skin.

    Parameters
    ----------
    bolt_tension : array_like, shape (...)
        Pull in the bolt [N].
    net_plate_area : array_like, shape (...)
        Plate area less the hole [mm2].

    Returns
    -------
    float or ndarray, shape (...)
        Pressure [MPa].

    Raises
    ------
    InputError
        If the pull is negative or the area not positive.

    Notes
    -----
    An average over a stiff plate.  Tightening the bolt presses too: add the
    preload where it is known.

    References
    ----------
    Common practice; force over area.

    Examples
    --------
    >>> plate_pressure(10000, 2500)
    4.0
    """
    return plain(positive("bolt tension", bolt_tension, "N", zero=True) / positive("plate area", net_plate_area, "mm2"))


def _case(name, engine, bolts, *, thrust, vertical, jolt, arm):
    """Statics of one case; see the signs at the top of the module."""
    weight = np.asarray(engine.mass_kg, float) * GRAVITY
    thrust_moment = thrust * np.asarray(engine.thrust_below, float)
    weight_moment = weight * (vertical * arm + jolt * np.asarray(engine.centre_above, float))
    moment = thrust_moment + weight_moment
    aft = jolt * weight - thrust  # net horizontal pull of the engine on the bolts
    opens_top = moment >= 0
    heel = np.asarray(bolt_row_tension(moment, bolts.row_to_heel))
    lower = np.where(opens_top, 0.0, bolt_row_tension(-moment, bolts.row_spacing))
    balanced = np.maximum(np.where(opens_top, heel + aft, aft - lower), 0.0)
    upper = np.where(opens_top, heel + np.maximum(aft, 0.0), balanced)
    bearing = np.where(opens_top, heel, np.maximum(lower - aft, 0.0))
    bolt = np.maximum(upper / bolts.upper_bolts, lower / bolts.lower_bolts)
    shear = np.broadcast_to(vertical * weight / (bolts.upper_bolts + bolts.lower_bolts), bolt.shape)
    pressure = plate_pressure(bolt, bolts.net_plate_area)
    return TransomCase(name, *map(plain, (thrust, vertical, thrust_moment, weight_moment, moment, upper, balanced,
                                          lower, bearing, bolt, pressure, shear)))


def transom_load(engine, bolts, *, trailering_factor, astern_fraction=1.0, fore_aft_factor=0.0):
    """Loads of an outboard on its transom in four cases.

    Parameters
    ----------
    engine : OutboardEngine
        Mass and thrust [kg, mm, N].
    bolts : BoltPattern
        Bolts, plates and heel [mm].
    trailering_factor : array_like, shape (...)
        Multiple of the weight when trailering or slamming [g], 1 or more; 2 to 3 is common practice.
    astern_fraction : float
        Thrust astern as part of the thrust ahead [-]; 1 is the safe bound.
    fore_aft_factor : array_like, shape (...)
        Fore-and-aft jolt on the road that throws the engine aft [g]; 0 leaves it out.

    Returns
    -------
    TransomLoad
        Cases 'full thrust ahead', 'full thrust astern', 'trailering' and 'full thrust ahead in a seaway'
        (thrust and multiplied weight together).

    Raises
    ------
    InputError
        If a factor is out of range, or the propeller axis does not lie below the bracket's heel.

    Notes
    -----
    Thrust moment T d; weight moment n W a (+ j W u for a jolt j), about the
    upper bolt row.  Heel and pull: upper row = moment / row-to-heel.  Balanced
    pull: the same less the thrust ahead.  Astern: lower row = -moment / row
    spacing, the bracket taken to bear at the upper bolts (safe side).  Pull and
    shear are shared equally in a row or among all bolts.  Trim, rake and the
    stiffness of the transom are left out.

    References
    ----------
    Statics; trailering factor, heel and pull: common practice.

    Examples
    --------
    >>> from lamcalc.parts.outboard_mount import BoltPattern, OutboardEngine
    >>> engine = OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560, centre_above=60)
    >>> load = transom_load(engine, BoltPattern(12, 327, 200, 60, 60, 5), trailering_factor=2.5)
    >>> [round(case.resultant_moment / 1000) for case in load.cases]
    [1370, -982, 484, 1660]
    """
    factor = number("trailering factor", trailering_factor, "g")
    if (factor < 1).any():
        raise InputError("trailering factor", "must be 1 or more [g]", plain(factor), "2 to 3 is common practice")
    astern = fraction("astern fraction", astern_fraction, zero=True, one=True)
    jolt = positive("fore-and-aft factor", fore_aft_factor, "g", zero=True)
    if (np.asarray(engine.thrust_below, float) <= bolts.row_to_heel).any():
        raise InputError("propeller axis below the upper bolts",
                         rule_sentence("must be more than the heel's {limit} [mm]", limit=bolts.row_to_heel),
                         plain(engine.thrust_below), "measure from the upper bolts to the propeller axis")
    ahead, arm = np.asarray(engine.thrust, float), np.asarray(engine.centre_aft, float)
    road_arm = arm if engine.tilted_centre_aft is None else np.asarray(engine.tilted_centre_aft, float)
    one, none = np.asarray(1.0), np.asarray(0.0)
    cases = (
        _case("full thrust ahead", engine, bolts, thrust=ahead, vertical=one, jolt=none, arm=arm),
        _case("full thrust astern", engine, bolts, thrust=-astern * ahead, vertical=one, jolt=none, arm=arm),
        _case("trailering", engine, bolts, thrust=none, vertical=factor, jolt=jolt, arm=road_arm),
        _case("full thrust ahead in a seaway", engine, bolts, thrust=ahead, vertical=factor, jolt=none, arm=arm))
    notes = ["upper row by heel and pull; the balanced pull beside it is less by the thrust",
             "full static thrust and the multiplied weight at once is a safe-side combination"]
    notes.append("levers are taken from the upper bolts in the transom: a bracket that sets the engine back adds its own length to "
                 "that of the centre of mass, and its own mass to the engine's; bracket and struts are not assessed")
    if bolts.heel_below is None:
        notes.append("heel of the bracket not given: lever taken to the lower bolts, the safe side")
    if engine.tilted_centre_aft is None:
        notes.append("tilted centre of mass not given: trailering uses the running arm, tilting moves it aft")
    return TransomLoad(cases, _factors(engine, bolts, factor, astern, jolt), tuple(notes))


def _factors(engine, bolts, factor, astern, jolt):
    """Every input and formula with its status."""
    practice, derived = "common practice", "derived"
    return (
        Factor("m", "engine running mass", engine.mass_kg, "kg", "input", engine.mass_status),
        Factor("a", "centre of mass aft of the bolts", engine.centre_aft, "mm", "input", "user"),
        Factor("u", "centre of mass above the upper bolts", engine.centre_above, "mm", "input", "user"),
        Factor("T", "static thrust ahead", engine.thrust, "N", "input or estimate", engine.thrust_status),
        Factor("d", "propeller axis below the upper bolts", engine.thrust_below, "mm", "input", "user"),
        Factor("n", "trailering or slamming factor", factor, "g", "weight x 2 to 3",
               practice if np.all((2 <= factor) & (factor <= 3)) else "user"),
        Factor("k", "thrust astern over thrust ahead", astern, "-", "1 is the safe bound", "assumed"),
        Factor("j", "fore-and-aft jolt", jolt, "g", "input", "user"),
        Factor("h", "upper row to heel", bolts.row_to_heel, "mm", "moment / h = pull of the upper row",
               practice if bolts.heel_below is None else "user"),
        Factor("r", "row spacing", bolts.row_spacing, "mm", "-moment / r = pull of the lower row", "user"),
        Factor("A", "plate area less hole", bolts.net_plate_area, "mm2", "pressure = pull / A", derived))
