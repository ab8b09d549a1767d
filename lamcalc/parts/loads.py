"""Front door to the loads on a boat part: the user's own, rule pressures, and outboards.

`pressures` holds the rule pressures, `outboard` power and mass, `thrust` what
the engine pushes, `transom_loads` the bolts; all are reachable from here.
"""

from dataclasses import dataclass

from lamcalc.errors import InputError, positive
from lamcalc.parts.basis import CAUTION, DesignPressure, Factor, factor_table, status_label
from lamcalc.parts.outboard import EngineMass, PowerLimit, engine_mass, power_limit, rigged_mass, size_factor
from lamcalc.parts.outboard_mount import BoltPattern, OutboardEngine
from lamcalc.parts.pressure_bases import (
    bottom_displacement_base,
    bottom_minimum,
    bottom_planing_base,
    deck_base,
    side_minimum,
)
from lamcalc.parts.pressure_factors import (
    LoadedArea,
    area_factor,
    design_category_factor,
    dynamic_load_factor,
    height_factor,
    longitudinal_factor,
)
from lamcalc.parts.pressures import (
    MotorCraft,
    bottom_pressure,
    bulkhead_pressure,
    deck_pressure,
    side_pressure,
    transom_pressure,
)
from lamcalc.parts.thrust import (
    ThrustClaim,
    check_thrust_claim,
    cruising_thrust,
    disc_thrust,
    static_thrust,
    thrust_estimates,
)
from lamcalc.parts.transom_loads import TransomCase, TransomLoad, bolt_row_tension, plate_pressure, transom_load

__all__ = [
    "BoltPattern", "DesignPressure", "EngineMass", "Factor", "LoadedArea", "MotorCraft", "OutboardEngine",
    "PatchLoad", "PowerLimit", "ThrustClaim", "TransomCase", "TransomLoad",
    "area_factor", "bolt_row_tension", "bottom_displacement_base", "bottom_minimum", "bottom_planing_base",
    "bottom_pressure", "bulkhead_pressure", "check_thrust_claim", "cruising_thrust", "deck_base", "deck_pressure",
    "design_category_factor", "disc_thrust", "dynamic_load_factor", "engine_mass", "factor_table", "height_factor",
    "longitudinal_factor", "patch_load", "plate_pressure", "power_limit", "rigged_mass", "side_minimum",
    "side_pressure", "size_factor", "static_thrust", "thrust_estimates", "transom_load", "transom_pressure",
    "user_load",
]


@dataclass(frozen=True)
class PatchLoad:
    """A force spread over a rectangle, such as a foot, a jack or a trailer roller.

    Parameters
    ----------
    force : float or ndarray, shape (...)
        Force, any dynamic factor included [N].
    length : float or ndarray, shape (...)
        Patch along x [mm].
    width : float or ndarray, shape (...)
        Patch along y [mm].
    basis : str
        Where the load comes from, in words [-].
    status : str
        How it is known, such as 'user' or 'assumed' [-].

    Examples
    --------
    >>> PatchLoad(1200.0, 100.0, 100.0, "helm, one person jumping", "assumed").pressure
    0.12
    """

    force: object
    length: object
    width: object
    basis: str
    status: str

    @property
    def pressure(self):
        """Pressure on the patch [MPa]."""
        return self.force / (self.length * self.width)

    @property
    def label(self):
        """Status in the words to show [-]."""
        return status_label(self.status)


def _basis(basis, status):
    status_label(status)
    if not str(basis).strip():
        raise InputError("basis of the load", "must say where the load comes from [-]", basis,
                         "write a few words for the printed page")
    return str(basis).strip()


def user_load(pressure_kn_m2, *, basis, status="user"):
    """A design pressure that the user states, in the same form as a rule pressure.

    Parameters
    ----------
    pressure_kn_m2 : array_like, shape (...)
        Design pressure [kN/m2].
    basis : str
        Where it comes from, in words [-].
    status : str
        'user', or 'assumed' to have it shown as unverified [-].

    Returns
    -------
    DesignPressure
        The pressure with its one factor [kN/m2].

    Raises
    ------
    InputError
        If the pressure is not positive or above 1000 kN/m2, or the basis is empty.

    Examples
    --------
    >>> load = user_load(18, basis="bottom, from the designer", status="assumed")
    >>> load.value_mpa, load.unverified
    (0.018, ('P',))
    """
    words = _basis(basis, status)
    pressure = positive("pressure", pressure_kn_m2, "kN/m2")
    if (pressure > 1000).any():
        raise InputError("pressure", "must be in kN/m2, not above 1000 [kN/m2]", float(pressure.max()),
                         "it looks like N/m2: divide by 1000")
    return DesignPressure(pressure, (Factor("P", words, pressure, "kN/m2", "user", status),), "user load", (CAUTION,))


def patch_load(force, *, length, width, basis, status="user"):
    """A force on a rectangle that the user states.

    Parameters
    ----------
    force : array_like, shape (...)
        Force, any dynamic factor included [N].
    length : array_like, shape (...)
        Patch along x [mm].
    width : array_like, shape (...)
        Patch along y [mm].
    basis : str
        Where it comes from, in words [-].
    status : str
        'user', or 'assumed' to have it shown as unverified [-].

    Returns
    -------
    PatchLoad
        The load [N, mm].

    Raises
    ------
    InputError
        If force or patch is not positive, or the basis is empty.

    Examples
    --------
    >>> patch_load(1200, length=100, width=100, basis="sole at the helm").label
    'user'
    """
    return PatchLoad(positive("force", force, "N")[()], positive("patch length", length, "mm")[()],
                     positive("patch width", width, "mm")[()], _basis(basis, status), status)
