"""What a take-off says: one part, one line of the buying list, the whole job; tables in both unit systems."""

from dataclasses import dataclass

from lamcalc.units import show, to_system

LAMINATE_USES = ("laminate", "tabbing", "crown")
_SMALL = 0.9995  # kg or L below which grams and millilitres are shown
_KINDS = {"kg": ("mass", "kg"), "L": ("volume", "L"), "m": ("length", "m"), "m2": ("area", "m2")}


@dataclass(frozen=True)
class PartTakeOff:
    """What one part takes, all its copies together.

    Parameters
    ----------
    name, title, schedule : str
        Part, its title, and the schedule it is built from [-].
    copies : int
        Parts alike [-].
    layers : tuple of LaidLayer
        New layers in the order laid, for one part [-].
    pieces : tuple of CutPiece
        Cut list [mm].
    fabrics : tuple of Fabric
        Net, laps and to buy [m2], [m].
    resins : tuple of ResinUse
        By use: what stays and what is bought [kg].
    supplies : tuple of Supply
        Core, fillers, wax, thinner, solvent [as each says].
    core_removed_kg : float
        Core taken back at the edges, where putty takes its place [kg].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> part = take_off(load_demo(), combination_fraction=0.43).parts["transom"]
    >>> round(part.glass_kg("laminate"), 2), round(part.resin_in_laminate_kg("laminate"), 2)
    (3.46, 5.98)
    """

    name: str
    title: str
    schedule: str
    copies: int
    layers: tuple
    pieces: tuple
    fabrics: tuple
    resins: tuple
    supplies: tuple
    core_removed_kg: float = 0.0

    def glass_kg(self, *uses):
        """Glass of the schedule, laps left out.

        Parameters
        ----------
        *uses : str
            'laminate', 'tabbing', 'crown'; all of them if none is named [-].

        Returns
        -------
        float
            Mass [kg].
        """
        uses = uses or LAMINATE_USES
        return sum(i.glass_gsm * i.area_m2 for i in self.layers if i.group in uses) * self.copies / 1e3

    def resin_in_laminate_kg(self, *uses):
        """Resin that stays in the laminate; it sets thickness and mass and is not the amount to buy.

        Parameters
        ----------
        *uses : str
            'laminate', 'tabbing', 'crown', 'laps'; the first three if none is named [-].

        Returns
        -------
        float
            Mass [kg].
        """
        return sum(r.stays_kg for r in self.resins if r.use in (uses or LAMINATE_USES))

    def resin_to_buy_kg(self, *uses):
        """Resin to buy, with the loss of pot, brush and run-off.

        Parameters
        ----------
        *uses : str
            Uses as in `resins`; laminate, tabbing, crown and laps if none is named [-].

        Returns
        -------
        float
            Mass [kg].
        """
        return sum(r.to_buy_kg for r in self.resins if r.use in (uses or LAMINATE_USES + ("laps",)))

    @property
    def mass_kg(self):
        """Mass of what is added: laminate, laps, putty, film and core [kg]."""
        glass = sum(f.net_kg + f.lap_kg for f in self.fabrics)
        others = sum(s.net_kg for s in self.supplies) - self.core_removed_kg
        return glass + sum(r.stays_kg for r in self.resins) + others

    def cut_table(self):
        """Cut list, strip by strip, in both unit systems.

        Returns
        -------
        pandas.DataFrame
            Units in the column names [-].
        """
        import pandas as pd

        return pd.DataFrame([{
            "piece": p.label, "fabric": p.name, "roll direction [deg]": p.angle_deg, "mat side": p.mat_side,
            "strip": f"{p.strip} of {p.strips}", "along roll [mm]": round(p.along_mm, 1),
            "across roll [mm]": round(p.across_mm, 1),
            "along roll [in]": float(to_system(p.along_mm, "small_length", "us")),
            "across roll [in]": float(to_system(p.across_mm, "small_length", "us")), "copies": p.copies,
            "seams from first edge [mm]": ", ".join(f"{s:.0f}" for s in p.seams_mm) or "-",
            "seams clear of ply before": "yes" if p.staggered else "NO: shift by hand or use a wider roll",
            "turned by 90 deg": "yes" if p.turned else "no",
        } for p in self.pieces])

    def resin_table(self):
        """Resin by use: two named numbers, never one, with catalyst.

        Returns
        -------
        pandas.DataFrame
            Units in the column names [-].
        """
        import pandas as pd

        return pd.DataFrame([{
            "use": r.use, "resin": r.resin, "stays in the part [kg]": r.stays_kg, "to buy [kg]": r.to_buy_kg,
            "stays in the part [lb]": float(to_system(r.stays_kg, "mass", "us")),
            "to buy [lb]": float(to_system(r.to_buy_kg, "mass", "us")), "to buy [L]": r.to_buy_l,
            "to buy [gal]": float(to_system(r.to_buy_l, "volume", "us")), "catalyst [mL]": r.catalyst_ml,
            "catalyst [g]": r.catalyst_g, "hardener in it [kg]": r.hardener_kg,
        } for r in self.resins])


@dataclass(frozen=True)
class BuyLine:
    """One line of the buying list.

    Parameters
    ----------
    item : str
        Key on the price list [-].
    need : float
        Of all parts, losses included [as `unit` says].
    unit : str
        'm', 'kg', 'L', 'm2' or 'sheet' [-].
    on_shelf : float
        Counted on the shelf [as `unit` says].
    packs : int or None
        Containers or sheets to buy, rounded up; None where nothing tells the size [-].
    pack_size : float or None
        Content of one [as `unit` says].
    to_buy : float
        After the shelf, in whole containers where there are any [as `unit` says].
    cost : float or None
        None without a price [money].
    thickness_mm : float, optional
        Of a sheet [mm].
    status : str
        Where the price comes from; 'no price' without one [-].
    name : str
        Name of the material; the key in words if not given [-].

    Examples
    --------
    >>> BuyLine("acetone", 1.2, "L", 0.0, 1, 5.0, 5.0, 21.0).shown("metric")
    '5.00 L'
    """

    item: str
    need: float
    unit: str
    on_shelf: float
    packs: int | None
    pack_size: float | None
    to_buy: float
    cost: float | None
    thickness_mm: float | None = None
    status: str = "no price"
    name: str = ""

    def words(self, system):
        """What it is called on the list, with the thickness of a sheet.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Name [-].
        """
        name = self.name or self.item.replace("_", " ")
        return f"{name}, {show(self.thickness_mm, 'small_length', system)}" if self.thickness_mm else name

    def shown(self, system, amount=None):
        """Amount to buy, or another amount of this line, as text.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].
        amount : float, optional
            Amount in the unit of the line [as `unit` says].

        Returns
        -------
        str
            Number and unit [-].
        """
        amount = self.to_buy if amount is None else amount
        if self.unit == "sheet":
            return f"{amount:g} sheet" + ("" if amount == 1 else "s")
        kind, unit = _KINDS[self.unit]
        if kind in ("mass", "volume") and 0 < max(amount, self.to_buy) < _SMALL:
            kind = f"small_{kind}"  # hundredths of a kilogram or gallon say nothing about a few grams
        return show(amount, kind, system, unit=unit)


@dataclass(frozen=True)
class TakeOff:
    """Take-off of a job.

    Parameters
    ----------
    parts : dict of str to PartTakeOff
        By part [-].
    buying : tuple of BuyLine
        All parts together, stock subtracted [-].
    cost_by_part : dict of str to float
        Materials used up, losses included, at list price; containers not rounded [money].
    unpriced : tuple of str
        Names of what costs nothing here because the list has no price [-].
    currency, price_date : str
        Of the price list [-].
    basis : str
        Which glass fractions were used, in words [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.takeoff import take_off
    >>> take_off(load_demo()).price_date
    '2026-03-02'
    """

    parts: dict
    buying: tuple
    cost_by_part: dict
    unpriced: tuple
    currency: str
    price_date: str
    basis: str

    @property
    def buying_cost(self):
        """Cost of the buying list, whole containers and sheets [money]."""
        return sum(line.cost or 0.0 for line in self.buying)

    def buying_table(self):
        """Buying list in both unit systems.

        Returns
        -------
        pandas.DataFrame
            Texts with units; cost with currency and date of the prices in its column name [-].
        """
        import pandas as pd

        return pd.DataFrame([{
            "item": line.words("metric"),
            "needed, metric": line.shown("metric", line.need), "needed, US": line.shown("us", line.need),
            "on the shelf": line.shown("metric", line.on_shelf),
            "to buy, metric": line.shown("metric"), "to buy, US": line.shown("us"),
            "containers or sheets": line.packs,
            f"cost [{self.currency}, prices of {self.price_date}]": line.cost, "key": line.item.replace(" ", "_"), "price": line.status,
        } for line in self.buying])

    def cost_table(self):
        """Materials by part.

        Returns
        -------
        pandas.DataFrame
            Cost with currency and date of the prices in its column name [-].
        """
        import pandas as pd

        return pd.DataFrame([{"part": part, "schedule": self.parts[part].schedule,
                              f"materials [{self.currency}, prices of {self.price_date}]": cost}
                             for part, cost in self.cost_by_part.items()])
