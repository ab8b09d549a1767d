"""The craft, the shop floor, prices and stock as a job file writes them."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from lamcalc.shop.job_types import (
    Allowance,
    Day,
    Flag,
    Length,
    LiquidDensity,
    Money,
    Name,
    Note,
    Record,
    Status,
    Temperature,
    Text,
    Thickness,
    broken,
    many,
    percent,
    quantity,
    whole,
)
from lamcalc.units import convert

Shelf = quantity("-", least=0, most=100_000)
SOLD_IN_US = {"lb": "kg", "gal": "L", "qt": "L", "ft2": "m2", "yd2": "m2", "ft": "m", "yd": "m"}  # and the metric measure of each
CatalystPercent = percent(10)


class Craft(Record):
    """The boat and the complaint.

    Parameters
    ----------
    description : str
        What it is [-].
    length_m : float
        Length over all [m].
    age_years : float, optional
        Age [years].
    engine_power_kw : float, optional
        Installed power [kW].
    construction, use, storage, owner, complaint, deadline : str
        As the owner tells it [-].

    Examples
    --------
    >>> Craft(description="coaching launch", length_m=5.4).owner
    ''
    """

    description: Text
    length_m: quantity("m", above=0, most=30)
    age_years: quantity("years", least=0, most=200) | None = None
    engine_power_kw: quantity("kW", above=0, most=1_000) | None = None
    construction: Text = ""
    use: Text = ""
    storage: Text = ""
    owner: Text = ""
    complaint: Note = ""
    deadline: Text = ""


class Shop(Record):
    """The place and the day.

    Parameters
    ----------
    air_temperature_c, hull_temperature_c : float
        Of the air and of the surface that is laid on [degC].
    humidity_percent : float
        Relative humidity [%].
    crew : int
        People who wet out at the same time [-].
    labour_per_hour : float
        Rate in the currency of `prices` [money/h].
    place, season : str
        Where and when, in words [-].
    vacuum_pump : bool
        Whether there is one [-].
    tools : tuple of str
        What can be measured with [-].
    status : str
        Where the temperatures and the humidity come from [-].

    Examples
    --------
    >>> Shop(air_temperature_c=18.5, hull_temperature_c=17, humidity_percent=63, crew=2, labour_per_hour=46).crew
    2
    """

    air_temperature_c: Temperature
    hull_temperature_c: Temperature
    humidity_percent: quantity("%", least=1, most=100)
    crew: whole(1, 50)
    labour_per_hour: Money
    place: Text = ""
    season: Text = ""
    vacuum_pump: Flag = False
    tools: many(Text, most=50) = ()
    status: Status = "measured"


class Waste(Record):
    """What is bought beyond what stays in the boat, as a share of the net quantity.

    Parameters
    ----------
    glass, resin, gel_coat, putty : float
        Allowances, as fractions [-].

    Examples
    --------
    >>> Waste(glass=0.12, resin=0.15, gel_coat=0.20).resin
    0.15
    """

    glass: Allowance
    resin: Allowance
    gel_coat: Allowance
    putty: Allowance = 0.25


class CatalysedResin(Record):
    """Polyester, vinyl ester or gel coat as its can describes it.

    Parameters
    ----------
    kind : {"catalysed"}
        Marks the resin as cured by a peroxide catalyst [-].
    liquid_density_kg_m3 : float
        Density of the liquid [kg/m3].
    catalyst_low_percent, catalyst_high_percent : float
        Window on the can [%].
    catalyst_usual_percent : float
        What the shop starts from [%].
    catalyst_basis : {"volume", "mass"}
        Whether the percentages are by volume or by mass [-].
    catalyst_density_kg_m3 : float
        Density of the catalyst [kg/m3].
    gel_minutes : float
        Gel time [min].
    gel_temperature_c : float
        At this temperature [degC].
    gel_catalyst_percent : float
        With this much catalyst [%].
    gel_mass_g : float
        In a pot of this mass [g].
    best_before : date, optional
        Day on the can, the earliest of several [-].
    status : str
        Where the values come from [-].

    Examples
    --------
    >>> CatalysedResin(kind="catalysed", liquid_density_kg_m3=1100, catalyst_low_percent=1.0,
    ...     catalyst_high_percent=2.5, catalyst_usual_percent=1.5, catalyst_density_kg_m3=1160, gel_minutes=28,
    ...     gel_temperature_c=20, gel_catalyst_percent=1.5, gel_mass_g=100, status="data sheet").catalyst_basis
    'volume'
    """

    kind: Literal["catalysed"]
    liquid_density_kg_m3: LiquidDensity
    catalyst_low_percent: CatalystPercent
    catalyst_high_percent: CatalystPercent
    catalyst_usual_percent: CatalystPercent
    catalyst_basis: Literal["volume", "mass"] = "volume"
    catalyst_density_kg_m3: LiquidDensity
    gel_minutes: quantity("min", above=0, most=2_000)
    gel_temperature_c: Temperature
    gel_catalyst_percent: CatalystPercent
    gel_mass_g: quantity("g", above=0, most=100_000)
    best_before: Day | None = None
    status: Status

    @model_validator(mode="after")
    def _inside_the_window(self):
        low, high = self.catalyst_low_percent, self.catalyst_high_percent
        if low > high:
            raise broken(f"must be at most catalyst_high_percent, {high:g} [%]", "exchange the two",
                         field="catalyst_low_percent", value=low)
        if not low <= self.catalyst_usual_percent <= high:
            raise broken(f"must lie in the can's window, {low:g} to {high:g} [%]", "stay inside the window",
                         field="catalyst_usual_percent", value=self.catalyst_usual_percent)
        return self


class TwoPartResin(Record):
    """Epoxy: resin and hardener in a fixed ratio.

    Parameters
    ----------
    kind : {"two_part"}
        Marks the resin as two-part [-].
    ratio_by_volume : float
        Volumes of resin for one of hardener [-].
    resin_density_kg_m3, hardener_density_kg_m3 : float
        Densities of the liquids [kg/m3].
    pot_life_minutes : float, optional
        Pot life [min].
    pot_life_temperature_c : float, optional
        At this temperature [degC].
    pot_life_mass_g : float, optional
        In a pot of this mass [g].
    best_before : date, optional
        Day on the cans of resin and hardener, the earliest of them [-].
    status : str
        Where the values come from [-].

    Examples
    --------
    >>> TwoPartResin(kind="two_part", ratio_by_volume=2, resin_density_kg_m3=1150, hardener_density_kg_m3=1000,
    ...              status="data sheet").ratio_by_volume
    2.0
    """

    kind: Literal["two_part"]
    ratio_by_volume: quantity("-", above=0, most=20)
    resin_density_kg_m3: LiquidDensity
    hardener_density_kg_m3: LiquidDensity
    pot_life_minutes: quantity("min", above=0, most=2_000) | None = None
    pot_life_temperature_c: Temperature | None = None
    pot_life_mass_g: quantity("g", above=0, most=100_000) | None = None
    best_before: Day | None = None
    status: Status


ResinCan = Annotated[CatalysedResin | TwoPartResin, Field(discriminator="kind")]


class PriceEntry(Record):
    """Price of one material.

    Parameters
    ----------
    item : str
        Name in the catalogue, or any other name for consumables [-].
    price : float
        Amount [money per `per`].
    per : {"m2", "kg", "L", "m", "lb", "gal", "qt", "ft2", "yd2", "ft", "yd", "sheet", "each"}
        What the price is for; m, ft and yd run along the roll [-].
    thickness_mm : float, optional
        Thickness of the sheet [mm].
    sheet_length_mm, sheet_width_mm : float, optional
        Size of the sheet [mm].
    status : str
        Where the price comes from [-].

    Examples
    --------
    >>> PriceEntry(item="csm_450", price=3.00, per="m2").price
    3.0
    """

    item: Name
    price: Money
    per: Literal["m2", "kg", "L", "m", *SOLD_IN_US, "sheet", "each"]
    thickness_mm: Thickness | None = None
    sheet_length_mm: Length | None = None
    sheet_width_mm: Length | None = None
    status: Status = "data sheet"

    @property
    def metric(self):
        """Amount and metric measure that it is for [money], [-]."""
        per = SOLD_IN_US.get(self.per, self.per)
        return (self.price if per == self.per else self.price / convert(1.0, self.per, per)), per

    @model_validator(mode="after")
    def _sheet_has_a_size(self):
        for name in ("thickness_mm", "sheet_length_mm", "sheet_width_mm"):
            if self.per == "sheet" and getattr(self, name) is None:
                raise broken("is missing: a price per sheet needs its thickness and size [mm]",
                             "enter what one sheet measures", field=name)
        return self


class Prices(Record):
    """Price list with currency and date.

    Parameters
    ----------
    currency : str
        Name of the money [-].
    date : date
        When the prices were taken [-].
    items : tuple of PriceEntry
        The list [-].

    Examples
    --------
    >>> import datetime
    >>> Prices(currency="credits", date=datetime.date(2026, 3, 2)).items
    ()
    """

    currency: Text
    date: Day
    items: many(PriceEntry, most=500) = ()

    def of(self, item, thickness_mm=None):
        """Price of a material, or None where the list has none.

        Parameters
        ----------
        item : str
            Name of the material [-].
        thickness_mm : float, optional
            Thickness, for sheets [mm].

        Returns
        -------
        PriceEntry or None
            The entry [-].
        """
        # goods of the shop are called in words, "wood former"; a name on the list has underscores
        found = [entry for entry in self.items if entry.item in (item, item.replace(" ", "_"))
                 and (entry.thickness_mm is None or thickness_mm is None or entry.thickness_mm == thickness_mm)]
        return found[0] if found else None

    @model_validator(mode="after")
    def _once_each(self):
        seen = set()
        for place, entry in enumerate(self.items):
            key = entry.item, entry.thickness_mm
            if key in seen:
                raise broken("must be listed once [-]", "delete one of the two prices", field=("items", place, "item"),
                             value=entry.item)
            seen.add(key)
        return self


class Roll(Record):
    """A fabric as it is sold and what is left on the shelf.

    Parameters
    ----------
    item : str
        Name in the catalogue [-].
    width_mm : float
        Width of the roll [mm].
    on_shelf_m : float
        Length counted on the shelf [m].
    status : str
        Where the figures come from [-].

    Examples
    --------
    >>> Roll(item="csm_450", width_mm=1040).on_shelf_m
    0.0
    """

    item: Name
    width_mm: Length
    on_shelf_m: quantity("m", least=0, most=10_000) = 0.0
    status: Status = "measured"


class Container(Record):
    """A liquid or powder as it is sold and what is left on the shelf.

    Parameters
    ----------
    item : str
        Name in the catalogue, or of the consumable [-].
    size : float
        Content of one container sold [as `unit` says].
    unit : {"kg", "L", "lb", "gal", "qt"}
        Unit of size and shelf [-].
    on_shelf : float
        Quantity left [as `unit` says].
    status : str
        Where the figures come from [-].

    Examples
    --------
    >>> Container(item="iso_polyester", size=5, unit="kg").on_shelf
    0.0
    """

    item: Name
    size: quantity("-", above=0, most=10_000)
    unit: Literal["kg", "L", "lb", "gal", "qt"]
    on_shelf: Shelf = 0.0
    status: Status = "measured"

    @property
    def metric(self):
        """Content of one, quantity left, and their metric unit [kg or L]."""
        unit = SOLD_IN_US.get(self.unit, self.unit)
        factor = 1.0 if unit == self.unit else convert(1.0, self.unit, unit)
        return self.size * factor, self.on_shelf * factor, unit


class Sheet(Record):
    """Core sheets on the shelf.

    Parameters
    ----------
    item : str
        Name in the catalogue [-].
    thickness_mm, length_mm, width_mm : float
        Size of one sheet [mm].
    on_shelf : int
        Sheets counted [-].
    status : str
        Where the figures come from [-].

    Examples
    --------
    >>> Sheet(item="pu_board_416", thickness_mm=18, length_mm=2440, width_mm=1220).on_shelf
    0
    """

    item: Name
    thickness_mm: Thickness
    length_mm: Length
    width_mm: Length
    on_shelf: whole(0, 1_000) = 0
    status: Status = "measured"


class Stock(Record):
    """What is on the shelf, and in which sizes it is sold.

    Parameters
    ----------
    rolls : tuple of Roll
        Fabrics [mm, m].
    containers : tuple of Container
        Resins and consumables [kg or L].
    sheets : tuple of Sheet
        Cores [mm].

    Examples
    --------
    >>> Stock().rolls
    ()
    """

    rolls: many(Roll) = ()
    containers: many(Container) = ()
    sheets: many(Sheet) = ()
