"""Fillets for any angle, and the putty that fills them."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, angle, fraction, positive
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.limits import FILLET_HEAVY, FILLET_RADIUS, PUTTY_LOSS, Finding


def _corner(angle_deg):
    faces = angle("angle between the faces", angle_deg)
    if not ((faces > 0) & (faces < 180)).all():
        raise InputError("angle between the faces", "must lie between 0 and 180 [deg]", angle_deg,
                         "measure it on the side where the fillet goes")
    return np.radians(faces)


def fillet_area(radius_mm, angle_deg=90.0):
    """Section of a concave fillet between two faces at any angle.

    Parameters
    ----------
    radius_mm : array_like, shape (...)
        Radius of the fillet [mm].
    angle_deg : array_like, shape (...)
        Angle between the faces on the fillet's side, between 0 and 180 [deg].

    Returns
    -------
    ndarray, shape (...)
        Area [mm2]; the same number is the volume in mL per metre.

    Raises
    ------
    InputError
        If the radius is negative or the angle out of range.

    Notes
    -----
    area = r^2 (cot(phi/2) - (pi - phi)/2): the kite between corner and tangent points less the circular sector.

    References
    ----------
    Geometry; 0.2146 r^2 at 90 degrees.

    Examples
    --------
    >>> float(fillet_area(20).round(1)), float(fillet_area(20, 104).round(1))
    (85.8, 47.2)
    """
    phi = _corner(angle_deg)
    return positive("fillet radius", radius_mm, "mm", zero=True)**2 * (1 / np.tan(phi / 2) - (np.pi - phi) / 2)


def fillet_arc(radius_mm, angle_deg=90.0):
    """Developed length of the fillet's surface.

    Parameters
    ----------
    radius_mm : array_like, shape (...)
        Radius of the fillet [mm].
    angle_deg : array_like, shape (...)
        Angle between the faces, between 0 and 180 [deg].

    Returns
    -------
    ndarray, shape (...)
        r (pi - phi) [mm].

    Raises
    ------
    InputError
        If the radius is negative or the angle out of range.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> float(fillet_arc(20).round(2))
    31.42
    """
    return positive("fillet radius", radius_mm, "mm", zero=True) * (np.pi - _corner(angle_deg))


def fillet_reach(radius_mm, angle_deg=90.0):
    """Distance from the corner to where the fillet meets each face.

    Parameters
    ----------
    radius_mm : array_like, shape (...)
        Radius of the fillet [mm].
    angle_deg : array_like, shape (...)
        Angle between the faces, between 0 and 180 [deg].

    Returns
    -------
    ndarray, shape (...)
        r cot(phi/2) [mm].

    Raises
    ------
    InputError
        If the radius is negative or the angle out of range.

    References
    ----------
    Geometry.

    Examples
    --------
    >>> float(fillet_reach(20).round(2))
    20.0
    """
    return positive("fillet radius", radius_mm, "mm", zero=True) / np.tan(_corner(angle_deg) / 2)


def fillet_volume_ml(radius_mm, *, length_mm, angle_deg=90.0, loss=float(PUTTY_LOSS)):
    """Putty to mix for a fillet, loss included.

    Parameters
    ----------
    radius_mm : array_like, shape (...)
        Radius of the fillet [mm].
    length_mm : array_like, shape (...)
        Length of the corner [mm].
    angle_deg : array_like, shape (...)
        Angle between the faces [deg].
    loss : float
        Squeeze-out and pot loss on top of the net volume, 0.20 to 0.30 by common practice; 0 for net [-].

    Returns
    -------
    ndarray, shape (...)
        Volume [mL].

    Raises
    ------
    InputError
        If an input is out of range.

    References
    ----------
    Geometry; loss by common practice.

    Examples
    --------
    >>> float(fillet_volume_ml(20, length_mm=3100, angle_deg=104, loss=0).round())
    146.0
    """
    net = fillet_area(radius_mm, angle_deg) * positive("length of the corner", length_mm, "mm") / 1e3
    return net * (1 + fraction("loss", loss, zero=True))


def check_fillet(radius_mm, *, areal_weight_gsm):
    """Radius of a fillet against the fabric that must lie in it.

    Parameters
    ----------
    radius_mm : float
        Radius of the fillet [mm].
    areal_weight_gsm : float
        Heaviest fabric of the tabbing [g/m2].

    Returns
    -------
    tuple of Finding
        Warnings; empty if the radius suits [-].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Common practice 10 to 25 mm; from memory: 800 g/m2 roving needs 12 mm.

    Examples
    --------
    >>> check_fillet(20, areal_weight_gsm=805)
    ()
    """
    radius = float(positive("fillet radius", radius_mm, "mm"))
    heavy = float(positive("fabric weight", areal_weight_gsm, "g/m2")) >= 800
    least = FILLET_HEAVY if heavy else FILLET_RADIUS
    smallest = least.value if heavy else least.low
    if radius < smallest:
        return (Finding("warn", "fillet radius",
                        Sentence("{radius} is below {least}: the fabric bridges the corner",
                                 radius=Figure(radius, "small_length", digits=2),
                                 least=Figure(smallest, "small_length", digits=2)), least),)
    return ()


@dataclass(frozen=True)
class Filler:
    """A filler powder or fibre.

    Parameters
    ----------
    name : str
        Name by kind [-].
    bulk_density_kg_m3 : float
        Density of the loose powder, as scooped [kg/m3]; from memory, weigh a cup of your own.
    solid_density_kg_m3 : float
        Density of the particles in the resin [kg/m3]; from memory.

    Examples
    --------
    >>> FILLERS["fumed silica"].bulk_density_kg_m3
    50.0
    """

    name: str
    bulk_density_kg_m3: float
    solid_density_kg_m3: float


FILLERS = {item.name: item for item in (Filler("fumed silica", 50.0, 2200.0), Filler("microfibre", 100.0, 1500.0),
                                        Filler("milled glass fibre", 600.0, 2560.0),
                                        Filler("glass balloons", 120.0, 200.0))}


@dataclass(frozen=True)
class PuttyRecipe:
    """Loose parts of filler to one part of resin, by volume.

    Parameters
    ----------
    name : str
        Use [-].
    parts : tuple of (str, float)
        Filler and its loose parts to one part of mixed resin [by volume].
    status, source : str
        Where it comes from [-].

    Examples
    --------
    >>> RECIPES["fillet"].parts[0]
    ('microfibre', 1.0)
    """

    name: str
    parts: tuple
    status: str
    source: str


RECIPES = {item.name: item for item in (
    PuttyRecipe("fillet", (("microfibre", 1.0), ("fumed silica", 0.25)), "common practice",
                "1 part mixed resin, 1 to 1.5 parts microfibre and silica to peanut butter; the split is a proposal"),
    PuttyRecipe("structural", (("milled glass fibre", 0.5), ("fumed silica", 0.5)), "proposal",
                "bedding of a core in the laminating resin; stiff enough to hang"),
    PuttyRecipe("fairing", (("glass balloons", 1.8), ("fumed silica", 0.2)), "common practice",
                "balloons with about 10 % silica by volume; the amount to one part of resin is a proposal"))}


@dataclass(frozen=True)
class Putty:
    """What to put into the pot for a volume of putty.

    Parameters
    ----------
    recipe : PuttyRecipe
        Recipe used [-].
    volume_ml : float
        Putty, loss included [mL].
    resin_ml, resin_g : float
        Mixed resin [mL], [g].
    fillers : tuple of (str, float, float)
        Filler, loose volume and mass [mL], [g].

    Examples
    --------
    >>> round(putty(100, "fillet").volume_ml)
    100
    """

    recipe: PuttyRecipe
    volume_ml: float
    resin_ml: float
    resin_g: float
    fillers: tuple

    @property
    def mass_g(self):
        """Mass of the whole pot [g]."""
        return self.resin_g + sum(mass for _, _, mass in self.fillers)

    def table(self):
        """Recipe for the sheet.

        Returns
        -------
        pandas.DataFrame
            One row an ingredient, units in the column names [-].

        Examples
        --------
        >>> list(putty(100, "fairing").table()["ingredient"])
        ['mixed resin', 'glass balloons', 'fumed silica']
        """
        import pandas as pd

        rows = [["mixed resin", self.resin_ml, self.resin_g], *[list(item) for item in self.fillers]]
        return pd.DataFrame(rows, columns=["ingredient", "loose volume [mL]", "mass [g]"])


def putty(volume_ml, recipe="fillet", *, resin_density_kg_m3=1100.0):
    """Resin and filler for a volume of putty.

    Parameters
    ----------
    volume_ml : float
        Putty to make, loss included [mL].
    recipe : str or PuttyRecipe
        'fillet', 'structural', 'fairing', or a recipe of your own [-].
    resin_density_kg_m3 : float
        Density of the mixed liquid resin; of the same family as the laminate [kg/m3].

    Returns
    -------
    Putty
        Loose volumes and masses [mL], [g].

    Raises
    ------
    InputError
        If the recipe or a filler is unknown, or the volume not positive.

    Notes
    -----
    Loose filler is mostly air: in the putty it takes only mass / particle density.  Hence
    V = V_resin (1 + sum parts * bulk density / solid density), without air stirred in.  Filler densities are from
    memory and unverified: weigh a cup.  Mixed resin is resin with its catalyst or hardener.

    References
    ----------
    Recipes: see `PuttyRecipe.status` and `source`.  Volume balance.

    Examples
    --------
    >>> mix = putty(183, "structural")
    >>> round(mix.resin_ml), [(name, round(mass)) for name, _, mass in mix.fillers]
    (162, [('milled glass fibre', 49), ('fumed silica', 4)])
    """
    if not isinstance(recipe, PuttyRecipe):
        if recipe not in RECIPES:
            raise InputError("putty recipe", f"must be one of {', '.join(RECIPES)}", recipe, "or enter your own recipe")
        recipe = RECIPES[recipe]
    unknown = [name for name, _ in recipe.parts if name not in FILLERS]
    if unknown:
        raise InputError("filler", f"must be one of {', '.join(FILLERS)}", unknown[0],
                         "add its two densities to FILLERS")
    volume = float(positive("putty", volume_ml, "mL"))
    parts = [(FILLERS[name], float(positive(f"parts of {name}", part, zero=True))) for name, part in recipe.parts]
    resin = volume / (1 + sum(part * f.bulk_density_kg_m3 / f.solid_density_kg_m3 for f, part in parts))
    fillers = tuple((f.name, part * resin, part * resin * f.bulk_density_kg_m3 / 1e3) for f, part in parts)
    return Putty(recipe, volume, resin, resin * float(positive("resin density", resin_density_kg_m3, "kg/m3")) / 1e3,
                 fillers)
