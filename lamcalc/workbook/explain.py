"""Show the working: formulas with the numbers put in, step by step, ending at the package's own value."""

import html
from dataclasses import dataclass

import numpy as np

from lamcalc import units
from lamcalc.mechanics import fibre_content
from lamcalc.sentences import told
from lamcalc.shop import mixing
from lamcalc.workbook.page_checks import KINDS

__all__ = ["Working", "catalyst_working", "fabric_working", "glass_working", "margin_working", "ply_working", "resin_working",
           "show", "stiffness_working", "thickness_working"]


# units that the workings are written in, and their like in US units; their arithmetic needs the factors told in the text
_US = {"mm": "in", "g/m2": "oz/yd2", "kg/m3": "lb/ft3", "kg/m2": "lb/ft2", "MPa": "psi", "N mm": "lbf in",
       "N mm2/mm": "lbf in2/in", "m2": "ft2", "m": "ft", "kg": "lb"}


def _unit(unit, system):
    return _US[unit] if system == "us" else unit


def _in(value, unit, system):
    """A value in the unit that the working uses."""
    return units.convert(float(value), unit, _US[unit]) if system == "us" else float(value)


def _told(value, unit, system):
    return f"{_in(value, unit, system):.6g} {_unit(unit, system)}"


def _ending(title, steps, value, unit, system, **more):
    """A working whose value comes in a unit of the system."""
    return Working(title, steps, _in(value, unit, system), _unit(unit, system), **more)


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


def thickness_working(schedule, system="metric"):
    """Working of the thickness of a schedule, layer by layer.

    Parameters
    ----------
    schedule : Schedule
        Fabrics and whatever else is in it [-].
    system : {"metric", "us"}
        Unit system of the figures [-].

    Returns
    -------
    Working
        Ends at the schedule's total thickness [mm or in].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> len(thickness_working(job.schedule(job.load_demo(), "transom_inner_skin")).steps)
    6
    """
    steps = tuple(f"layer {row + 1}: {_told(t, 'mm', system)}" for row, t in enumerate(np.asarray(schedule.row_thickness_mm)))
    return _ending("total thickness", (*steps, "total = sum of the layers"), schedule.total_thickness_mm, "mm", system)


def glass_working(schedule, system="metric"):
    """Working of the glass content of a schedule.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].
    system : {"metric", "us"}
        Unit system of the figures [-].

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
    glass, resin = (_told(mass, "kg/m2", system) for mass in (schedule.glass_kg_m2, schedule.resin_kg_m2))
    return Working("glass content by mass", (
        "glass / (glass + resin)", f"{glass} / ({glass} + {resin})"),
        float(schedule.glass_fraction), "(fraction)")


def ply_working(areal_weight_gsm, weight_fraction, *, fibre_density_kg_m3=2560.0, resin_density_kg_m3=1200.0,
                system="metric"):
    """Working of the thickness of one ply.

    Parameters
    ----------
    areal_weight_gsm : float
        Dry weight [g/m2].
    weight_fraction : float
        Glass content by mass [-].
    fibre_density_kg_m3, resin_density_kg_m3 : float
        Densities [kg/m3].
    system : {"metric", "us"}
        Unit system of the figures [-].

    Returns
    -------
    Working
        Ends at the ply's thickness without voids [mm or in].

    Examples
    --------
    >>> ply_working(450.0, 0.30).last
    'ply thickness = 1.05078 mm'
    """
    value = fibre_content.ply_thickness(areal_weight_gsm, weight_fraction, fibre_density_kg_m3=fibre_density_kg_m3,
                                        resin_density_kg_m3=resin_density_kg_m3)
    resin = _told(fibre_content.resin_areal_weight(areal_weight_gsm, weight_fraction), "g/m2", system)
    dry, (rf, rm) = _told(areal_weight_gsm, "g/m2", system), (
        f"{_in(density, 'kg/m3', system):.6g}" for density in (fibre_density_kg_m3, resin_density_kg_m3))
    weights = f"{dry.split(' ')[0]} / {rf} + {resin.split(' ')[0]} / {rm}"
    rule, last = ("g/m2 over kg/m3 gives mm", weights) if system == "metric" else (
        "oz/yd2 over lb/ft3, then over 12, gives in", f"({weights}) / 12")
    return _ending("ply thickness", (
        f"dry weight / fibre density + resin weight / resin density ({rule})",
        "resin weight = dry weight (1 - glass content) / glass content",
        f"resin weight = {dry.split(' ')[0]} (1 - {weight_fraction:g}) / {weight_fraction:g} = {resin}", last), value, "mm", system)


def catalyst_working(can, resin_kg, percent, system="metric"):
    """Working of a catalyst dose by volume.

    Parameters
    ----------
    can : ResinCan
        What the can says [-].
    resin_kg : float
        Resin [kg].
    percent : float
        Catalyst by volume [%].
    system : {"metric", "us"}
        Unit system of the figures [-].

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
    volume = f"{dose.resin_ml:.6g} mL"  # in mL in both systems, as syringes show it
    told = (f"{resin_kg:g} kg / {can.liquid_density_kg_m3:g} kg/m3 x 1e6" if system == "metric" else
            f"{_told(resin_kg, 'kg', system)} / {units.convert(can.liquid_density_kg_m3, 'kg/m3', 'lb/gal'):.6g} lb/gal x 3785.41 mL/gal")
    return Working("catalyst", (
        "resin volume = resin mass / density; catalyst = resin volume x percent / 100",
        f"resin volume = {told} = {volume}", f"{volume} x {percent:g} / 100"), float(dose.ml), "mL", source="the window is the can's")


def stiffness_working(schedule, system="metric"):
    """Working of the bending stiffness along the schedule, layer by layer about its middle, then freed of coupling.

    Parameters
    ----------
    schedule : Schedule
        The layers [-].
    system : {"metric", "us"}
        Unit system of the figures [-].

    Returns
    -------
    Working
        Ends at 1/d11, the bending stiffness of a strip that is free to curl sideways [N mm2/mm or lbf in2/in].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> len(stiffness_working(job.schedule(job.load_demo(), "transom_inner_skin")).steps)
    16
    """
    laminate, sub = schedule.laminate, schedule.sublayers
    stiff = [_in(q, "MPa", system) for q in np.asarray(laminate.qbar)[:, 0, 0]]
    z = [_in(height, "mm", system) for height in np.asarray(laminate.z_mm)]
    cubes = [f"layer {row + 1}, {kind} at {angle:g} deg: {q:.6g} x (({high:.6g})^3 - ({low:.6g})^3) / 3 = {q * (high**3 - low**3) / 3:.6g}"
             for row, kind, angle, q, low, high in zip(sub.row, sub.kind, sub.angle_deg, stiff, z[:-1], z[1:], strict=True)]
    d11, free = float(laminate.D[0, 0]), 1 / float(laminate.compliance[2][0, 0])
    bending = _unit("N mm", system)
    return _ending("bending stiffness along", (
        f"D11 = sum of Q11 (z_high^3 - z_low^3) / 3, z from the middle of the stack [{_unit('mm', system)}], Q11 of the turned layer "
        f"[{_unit('MPa', system)}]", *cubes,
        f"D11 = {_told(d11, 'N mm', system)}, with both sides held flat",
        "free to curl and stretch: 1 / d11, d from the inverse of the 6 x 6 matrix of A, B and D",
        f"d11 = {1 / _in(free, 'N mm', system):.6g} /({bending})", f"1 / {1 / _in(free, 'N mm', system):.10g}"),
        free, "N mm2/mm", system,
        source="classical laminate theory; every material value stands with its source in the table of inputs")


def margin_working(margin, system="metric"):
    """Working of a reserve factor.

    Parameters
    ----------
    margin : Margin
        The check [-].
    system : {"metric", "us"}
        Unit system of the figures [-].

    Returns
    -------
    Working
        Ends at the reserve factor [-].

    Examples
    --------
    >>> from lamcalc.mechanics.margins import Margin, design_factor
    >>> margin_working(Margin("skin", 30.0, 85.0, design_factor("iso_ply"), "MPa")).last
    'reserve factor, skin = 1.41667 -'
    """
    demand, capacity, unit = margin.demand, margin.capacity, margin.unit
    if system == "us" and unit in KINDS:
        kind, factor = KINDS[unit]
        demand, capacity = (units.to_system(value * factor, kind, system) for value in (demand, capacity))
        unit = units.unit_label(kind, system)
    return Working(f"reserve factor, {told(margin.name, system)}", (
        f"usable = {margin.factor.of} x design factor; reserve factor = usable / what occurs; 1 or more holds",
        f"{margin.factor.of} {capacity:.6g} {unit}, design factor {margin.factor.value:g}, what occurs {demand:.6g} {unit}",
        f"{capacity:.6g} x {margin.factor.value:.10g} / {demand:.6g}"), float(margin.reserve_factor), "-",
        source=margin.factor.words)


def fabric_working(fabric, loss, system="metric"):
    """Working of the running length of a fabric to buy.

    Parameters
    ----------
    fabric : FabricTakeOff
        From the take-off of a part [-].
    loss : float
        Allowance on glass as a share [-].
    system : {"metric", "us"}
        Unit system of the figures [-].

    Returns
    -------
    Working
        Ends at the length [m or ft].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> fabric_working(take_off(load_demo()).parts["transom"].fabrics[0], 0.12).unit
    'm'
    """
    wide, plan = fabric.plan.width_mm / 1e3, fabric.plan.length_mm / 1e3
    least = (fabric.net_m2 + fabric.lap_m2) * (1 + loss) / wide
    tenth = "a tenth of a metre" if system == "metric" else "0.1 m, about 4 in"
    return _ending(f"to buy, {fabric.name}", (
        f"the longer of the cutting plan and of (net area + laps) x (1 + allowance) / roll width, rounded up to {tenth} when bought",
        f"by area: ({_told(fabric.net_m2, 'm2', system)} + {_told(fabric.lap_m2, 'm2', system)}) x (1 + {loss:g}) "
        f"/ {_told(wide, 'm', system)} = {_told(least, 'm', system)}",
        f"by cutting plan: {_told(plan, 'm', system)}", f"{_in(max(plan, least), 'm', system):.10g}"), fabric.metres(loss), "m", system,
        status="cutting plan computed; roll width and allowance from the job file", source="mass and area balance; allowance common practice")


def resin_working(use, loss, system="metric"):
    """Working of the resin to buy for one use.

    Parameters
    ----------
    use : ResinUse
        From the take-off of a part [-].
    loss : float
        Allowance on resin as a share [-].
    system : {"metric", "us"}
        Unit system of the figures [-].

    Returns
    -------
    Working
        Ends at the mass to buy [kg or lb].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> resin_working(take_off(load_demo()).parts["transom"].resins[0], 0.15).title
    'resin to buy for laminate'
    """
    return _ending(f"resin to buy for {use.use}", (
        "what stays x (1 + loss in brush, bucket and run-off)",
        f"{_in(use.stays_kg, 'kg', system):.10g} x (1 + {loss:.10g})"), use.to_buy_kg, "kg", system,
        status="what stays is computed from the glass content of each layer; the loss is the job's",
        source="mass balance; loss common practice until you have weighed your own")


def show(*workings):
    """Workings one under the other, each folded until it is asked for.

    Parameters
    ----------
    *workings : Working
        The workings [-].

    Returns
    -------
    IPython.display.HTML
        For a notebook cell [-].

    Examples
    --------
    >>> "show the working" in show(ply_working(450.0, 0.30)).data
    True
    """
    from IPython.display import HTML

    return HTML("".join(working.html() for working in workings))
