"""Show the working: formulas with the numbers put in, step by step, ending at the package's own value."""

import html
from dataclasses import dataclass

import numpy as np

from lamcalc.mechanics import fibre_content
from lamcalc.shop import mixing

__all__ = ["Working", "catalyst_working", "glass_working", "ply_working", "thickness_working"]


@dataclass(frozen=True)
class Working:
    """The working of one number.

    Parameters
    ----------
    title : str
        What the number is [-].
    steps : tuple of str
        Formula, numbers put in, result [-].
    value : float
        The package's value [as `unit` says].
    unit : str
        Unit of the value [-].
    status, source : str
        How far the inputs are verified, and where the formula comes from [-].

    Examples
    --------
    >>> Working("count", ("1 + 1",), 2.0, "-").last
    'count = 2 -'
    """

    title: str
    steps: tuple
    value: float
    unit: str
    status: str = "computed"
    source: str = "definition"

    @property
    def last(self):
        """The final line [-]."""
        return f"{self.title} = {self.value:.6g} {self.unit}"

    def html(self):
        """The working, folded until it is asked for.

        Returns
        -------
        str
            ``<details>`` element, usable by keyboard [-].
        """
        lines = "".join(f"<li>{html.escape(step)}</li>" for step in (*self.steps, self.last))
        return (f"<details><summary>show the working: {html.escape(self.title)}</summary><ol>{lines}</ol>"
                f"<p>{html.escape(self.status)}; {html.escape(self.source)}</p></details>")


def thickness_working(schedule):
    """Working of the thickness of a schedule, layer by layer.

    Parameters
    ----------
    schedule : Schedule
        Fabrics and whatever else is in it [-].

    Returns
    -------
    Working
        Ends at the schedule's total thickness [mm].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> len(thickness_working(job.schedule(job.load_demo(), "transom_inner_skin")).steps)
    6
    """
    steps = tuple(f"layer {row + 1}: {t:.6g} mm" for row, t in enumerate(np.asarray(schedule.row_thickness_mm, dtype=float)))
    return Working("total thickness", (*steps, "total = sum of the layers"), float(schedule.total_thickness_mm), "mm")


def glass_working(schedule):
    """Working of the glass content of a schedule.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].

    Returns
    -------
    Working
        Ends at the schedule's glass fraction [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> glass_working(job.schedule(job.load_demo(), "transom_inner_skin")).title
    'glass content by mass'
    """
    glass, resin = float(schedule.glass_kg_m2), float(schedule.resin_kg_m2)
    return Working("glass content by mass", (
        "glass / (glass + resin)", f"{glass:.6g} kg/m2 / ({glass:.6g} kg/m2 + {resin:.6g} kg/m2)"),
        float(schedule.glass_fraction), "(fraction)")


def ply_working(areal_weight_gsm, weight_fraction, *, fibre_density_kg_m3=2560.0, resin_density_kg_m3=1200.0):
    """Working of the thickness of one ply.

    Parameters
    ----------
    areal_weight_gsm : float
        Dry weight [g/m2].
    weight_fraction : float
        Glass content by mass [-].
    fibre_density_kg_m3, resin_density_kg_m3 : float
        Densities [kg/m3].

    Returns
    -------
    Working
        Ends at the ply's thickness without voids [mm].

    Examples
    --------
    >>> ply_working(450.0, 0.30).last
    'ply thickness = 1.05078 mm'
    """
    w, psi, rf, rm = areal_weight_gsm, weight_fraction, fibre_density_kg_m3, resin_density_kg_m3
    value = fibre_content.ply_thickness(w, psi, fibre_density_kg_m3=rf, resin_density_kg_m3=rm)
    return Working("ply thickness", (
        "dry weight / fibre density + resin weight / resin density (g/m2 over kg/m3 gives mm)",
        "resin weight = dry weight (1 - glass content) / glass content",
        f"resin weight = {w:g} (1 - {psi:g}) / {psi:g} = {float(fibre_content.resin_areal_weight(w, psi)):.6g} g/m2",
        f"{w:g} / {rf:g} + {float(fibre_content.resin_areal_weight(w, psi)):.6g} / {rm:g}"), float(value), "mm")


def catalyst_working(can, resin_kg, percent):
    """Working of a catalyst dose by volume.

    Parameters
    ----------
    can : ResinCan
        What the can says [-].
    resin_kg : float
        Resin [kg].
    percent : float
        Catalyst by volume [%].

    Returns
    -------
    Working
        Ends at the dose [mL].

    Examples
    --------
    >>> from lamcalc.shop.resin_can import ResinCan
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> catalyst_working(can, 1.1, 1.5).last
    'catalyst = 15 mL'
    """
    dose = mixing.catalyst_dose(can, resin_kg, percent)
    return Working("catalyst", (
        "resin volume = resin mass / density; catalyst = resin volume x percent / 100",
        f"resin volume = {resin_kg:g} kg / {can.liquid_density_kg_m3:g} kg/m3 x 1e6 = {dose.resin_ml:.6g} mL",
        f"{dose.resin_ml:.6g} mL x {percent:g} / 100"), float(dose.ml), "mL", source="the window is the can's")
