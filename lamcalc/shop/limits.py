"""Shop limits and factors, every one with its unit, status and source, in one place.

A limit is a default: the can, the data sheet and the shop's own records overrule it
through the keyword argument of the function that uses it.
"""

from dataclasses import dataclass

from lamcalc.sentences import Sentence, bare, label

STATUSES = ("source described", "common practice", "proposal", "from memory", "derived")
SEVERITIES = ("refuse", "warn", "note")


@dataclass(frozen=True)
class Limit:
    """A number that the shop works to, with where it comes from.

    Parameters
    ----------
    name : str
        What is limited [-].
    value : float
        The default that the functions use [as `unit` says].
    unit : str
        Unit of the value [-].
    status : str
        One of `STATUSES`; 'from memory' means that nobody has verified it [-].
    source : str
        Publication described, or why the figure was chosen [-].
    low, high : float, optional
        Range met in the sources [as `unit` says].

    Examples
    --------
    >>> print(TEMPERATURE_FLOOR)
    lowest laminating temperature: 15 degC (15-18) [source described: class guidance on FRP ship approval; the class \
rules themselves ask for 18]
    """

    name: str
    value: float
    unit: str
    status: str
    source: str
    low: float | None = None
    high: float | None = None

    def __post_init__(self):
        if self.status not in STATUSES:
            raise ValueError(f"unknown status {self.status!r}")

    def __float__(self):
        return float(self.value)

    @property
    def words(self):
        """Name, value, range, status and source, to be told in either unit system; the source is quoted [-]."""
        unit = self.unit.removesuffix("/min")
        ends = {} if self.low is None else {"low": bare(self.low, unit), "high": bare(self.high, unit)}
        doubt = ", unverified" if self.status == "from memory" else ""
        return Sentence("{name}: {value}" + (" ({low}-{high})" if ends else "") + " [{origin}]", name=self.name, **ends,
                        value=self.amount(float(f"{self.value:.4g}")), origin=f"{self.status}{doubt}: {self.source}")

    def amount(self, value):
        """A value of the kind that is limited, to be told in either unit system.

        Parameters
        ----------
        value : float
            Value [as `unit` says].

        Returns
        -------
        Sentence
            With its unit [-].

        Examples
        --------
        >>> from lamcalc.sentences import told
        >>> told(WET_OUT_RATE.amount(0.1), "us"), str(WET_OUT_RATE.amount(0.1))
        ('0.2205 lb/min', '0.1 kg/min')
        """
        unit = self.unit.removesuffix("/min")
        return Sentence("{value}" + ("" if unit == "-" else " {unit}") + self.unit[len(unit):],
                        value=bare(value, unit), unit=label(unit))

    def __str__(self):
        return str(self.words)


@dataclass(frozen=True)
class Finding:
    """One remark of a check, in words.

    Parameters
    ----------
    severity : str
        'refuse', 'warn' or 'note' [-].
    subject : str
        What was looked at [-].
    text : str
        What was found and what to do [-].
    limit : Limit, optional
        The limit behind it [-].

    Examples
    --------
    >>> print(Finding("warn", "humidity", "82 % is above 80 %: wait"))
    warn: humidity: 82 % is above 80 %: wait
    """

    severity: str
    subject: str
    text: str
    limit: Limit | None = None

    def __post_init__(self):
        if self.severity not in SEVERITIES:
            raise ValueError(f"unknown severity {self.severity!r}")

    def __str__(self):
        tail = f" [{self.limit.status}: {self.limit.source}]" if self.limit else ""
        return f"{self.severity}: {self.subject}: {self.text}{tail}"


_CLASS = "class society rules for FRP ships, section on workshops"
_SCARF_TEST = "Rothbarth and Pinto (2019): 1:6, 1:12 and 1:20 tested on polyester/glass, 1:12 best, 1:20 not different"

TEMPERATURE_FLOOR = Limit("lowest laminating temperature", 15, "degC", "source described",
                          "class guidance on FRP ship approval; the class rules themselves ask for 18", 15, 18)
TEMPERATURE_RECOMMENDED = Limit("recommended laminating temperature", 18, "degC", "source described",
                                f"{_CLASS}: 18 held from 24 h before, within 3 degC a day", 18, 22)
TEMPERATURE_WARM = Limit("warm day", 25, "degC", "common practice", "shorten the batches and the stack above this")
HUMIDITY_HIGH = Limit("highest relative humidity", 80, "%", "source described", f"{_CLASS}: no condensation")
DEW_POINT_MARGIN = Limit("surface above dew point", 3, "K", "from memory", "coating and laminating practice")
GEL_FACTOR = Limit("gel time factor for 10 degC (18 degF)", 2.3, "-", "from memory",
                   "polyester rate rises 2-3 times (50-70 kJ/mol); the wider range is shown", 1.5, 3.0)
GEL_FACTOR_EPOXY = Limit("epoxy pot life factor for 10 degC", 2.0, "-", "source described",
                         "adhesives laboratory note on pot life and temperature, measured 1.5-2.5", 1.5, 2.5)
GEL_PERCENT_POWER = Limit("gel time falls with catalyst to the power", 0.75, "-", "proposal",
                          "no law was found; use the can's own table where there is one", 0.5, 1.0)
POT_MASS_FACTOR = Limit("pot life factor for each doubling of the mass left in the pot", 0.85, "-", "proposal",
                        "a large mass heats itself; bounded, not predicted", 0.7, 1.0)
GEL_SHARE = Limit("share of the gel time in which a batch is wetted out", 2 / 3, "-", "common practice",
                  "leaves a third to roll out and to clear the pot")
WET_OUT_RATE = Limit("wet-out rate of one person", 0.10, "kg/min", "proposal",
                     "mixed resin laid and rolled by hand; time your own crew and enter it", 0.05, 0.15)
POT_SIZE = Limit("largest single mix", 2.0, "kg", "proposal", "a pot that is poured out at once", 0.5, 3.0)
MIXING_MINUTES = Limit("measuring and stirring", 2.0, "min", "proposal", "the clock starts with the second part", 1, 3)
SESSION_THICKNESS = Limit("laminate laid in one session", 5.0, "mm", "common practice",
                          "polyester, 4-6 mm, less in hot weather; go on when hand-cool", 4.0, 6.0)
SESSION_PLIES = Limit("plies laid in one session", 4, "-", "common practice", "polyester, 3-4 plies", 3, 4)
SESSION_GAP = Limit("pause between sessions", 240, "min", "proposal",
                    "go on when the laminate is hand-cool, not earlier")
BULK_EXOTHERM = Limit("temperature of a neglected pot", 150, "degC", "source described",
                      "resin supplier's do and don't list: above 150 in bulk")
HEAT_OF_CURE = Limit("heat of cure, polyester and vinyl ester", 375, "J/g", "from memory", "resin chemistry texts")
HEAT_OF_CURE_EPOXY = Limit("heat of cure, room-temperature epoxy", 450, "J/g", "from memory", "resin chemistry texts",
                           400, 550)
RESIN_HEAT_CAPACITY = Limit("heat capacity of resin", 1.8, "J/(g K)", "from memory", "handbook value")
GLASS_HEAT_CAPACITY = Limit("heat capacity of glass", 0.8, "J/(g K)", "from memory", "handbook value")
CATALYST_DENSITY = Limit("density of MEK peroxide solution", 1160, "kg/m3", "from memory", "use the bottle's sheet",
                         1100, 1180)
WAX_SHARE = Limit("wax solution in the last coat", 3.0, "% by volume", "source described",
                  "wax additive page: 1/2 to 1 oz a quart; common practice about 3 %", 1.5, 3.2)
THINNER_SHARE = Limit("styrene as thinner", 5.0, "% by volume", "common practice",
                      "suppliers allow from 5-8 up to 10-15; the sheet of the resin governs")
FILM_SHRINKAGE = Limit("volume shrinkage of gel coat", 0.07, "-", "source described",
                       "composites guide, polyester up to 8 %, others 5-13 %", 0.05, 0.13)
STYRENE_SHARE = Limit("styrene in liquid polyester", 0.42, "-", "source described", "isophthalic data sheet, 38-42 %",
                      0.38, 0.42)
STYRENE_LOSS = Limit("styrene lost to the air in hand lay-up", 0.11, "-", "from memory", "emission factor guides")
STYRENE_EXPOSURE = Limit("styrene in the air", 20, "ppm", "source described",
                         "ACGIH 20 (older sheet); NIOSH 50; OSHA 100 time-weighted; the local limit governs", 20, 100)

SCARF_RATIO = Limit("length of a scarf over its thickness, at least", 12, "-", "source described",
                    "repair texts advise 12:1 or flatter; " + _SCARF_TEST, 12, 20)
SCARF_TESTED = Limit("steepest scarf tested", 6, "-", "source described",
                     _SCARF_TEST + "; literature range 1:6 to 1:60", 6, 60)
TABBING_FIRST = Limit("first leg of tabbing", 50, "mm", "from memory", "class rules start near 50 mm")
TABBING_STEP = Limit("step of tabbing", 25, "mm", "from memory", "each next ply 25 mm longer")
LAP = Limit("lap at a seam", 50, "mm", "source described", "class society rules for FRP ships: 50 mm or more")
STAGGER = Limit("stagger of neighbouring seams", 100, "mm", "source described",
                "class society rules for FRP ships: 100 mm or more")
FILLET_RADIUS = Limit("fillet radius under tabbing", 20, "mm", "common practice",
                      "10-25 mm; the fabric carries the load, the fillet only meets its bend radius", 10, 25)
FILLET_HEAVY = Limit("fillet radius under roving of 800 g/m2 or more", 12, "mm", "from memory",
                     "a heavy roving will not lie in less")
PUTTY_LOSS = Limit("squeeze-out and pot loss of putty", 0.25, "-", "common practice", "add 20-30 %", 0.20, 0.30)
NUT_FACTOR = Limit("nut factor K in torque = K d force", 0.2, "-", "from memory",
                   "dry steel; lubricated thread 0.15, so the force can be a third higher", 0.15, 0.25)
STARVATION = Limit("mean pressure that may starve a putty joint", 20, "kPa", "proposal",
                   "a builder's weights gave 2 kPa; 50 kPa is far above contact pressure")
KERF_DEPTH = Limit("kerf depth over sheet thickness", 0.6, "-", "source described", "builder's note: about 60 %")
KERF_CLOSURE = Limit("share of the kerf that closes", 0.5, "-", "proposal", "leaves the kerf open for putty")
PLUG_RING = Limit("core taken back round a hole", 12.7, "mm", "source described",
                  "owners' notes and a magazine article: about 1/2 in")
SLEEVE_GAP = Limit("glue gap round a sleeve", 0.5, "mm", "proposal", "room for thickened epoxy")
CRUSH_FACTOR = Limit("factor on core crushing", 3.0, "-", "proposal", "bolt preload stays on for years; foam creeps")

THICKNESS_POINTS = Limit("thickness readings", 10, "-", "source described",
                         "class society rules for FRP ships: at least ten points evenly over the surface")
THICKNESS_BAND = Limit("measured thickness against prediction", 0.15, "-", "derived",
                       "spread of published ply thicknesses about a class-nominal glass fraction")
FRACTION_BAND = Limit("glass fraction against plan", 0.05, "-", "proposal", "about the spread of hand lay-up")
BURN_OFF_COUPONS = Limit("burn-off coupons", 3, "-", "source described", "ASTM D2584: three or more")
BURN_OFF_MASS = Limit("burn-off coupon", 5.0, "g", "source described", "ASTM D2584: about 5 g, at most 25 x 25 mm")
BURN_OFF_TEMPERATURE = Limit("burn-off temperature", 565, "degC", "source described",
                             "ASTM D2584: 565 +- 28; ISO 1172 625 (from memory)", 537, 625)
VOIDS = Limit("void content of a hand laminate", 0.05, "-", "source described",
              "encyclopedia entry on voids: 1 % aerospace, 3-5 % less demanding", 0.03, 0.05)
HARDNESS_READINGS = Limit("hardness readings", 10, "-", "source described", "vinyl ester maker's tips: 10-12", 10, 12)
HARDNESS_ACCEPT = Limit("hardness that is accepted", 40, "Barcol", "from memory",
                        "usual figure; or 90 % of the data sheet", 40, 50)
HARDNESS_LOW = Limit("lowest hardness", 30, "Barcol", "source described",
                     "moulder's specification to BS 3532: 30 or more")
HARDNESS_SHORE = Limit("hardness of cured epoxy", 80, "Shore D", "source described", "boatbuilding page: about 80")
HARDNESS_SHEET = Limit("share of the data sheet hardness", 0.9, "-", "from memory", "usual acceptance")
WOVEN_SHARE = Limit("woven or cross-ply glass by weight", 0.40, "-", "source described",
                    "Lloyd's Register Special Service Craft Rules July 2022, Part 8 Ch 3 Sec 2.1.1: at least 40 %")

GROWTH_MARGIN = Limit("cut beyond the last bad reading", 150, "mm", "proposal",
                      "first cut; go on until the core is dry")
WOOD_DRY = Limit("plywood before it is encapsulated", 12, "% MC", "source described",
                 "wood-drying notes: below 12, lower preferred; read again a day later")
WOOD_DECAY = Limit("decay is active above", 22, "% MC", "source described", "wood-drying notes: about 22")
PANEL_WET = Limit("wet share at which the whole panel is replaced", 1 / 3, "-", "proposal",
                  "a patchwork of joints costs more")
PINLESS_RISE = Limit("pinless reading over the known-good spot", 1.5, "-", "proposal",
                     "a pinless number is no percentage in laminate, so compare only")


def limits_table():
    """Table of every limit, for the sheet and for the reader who wants to argue.

    Returns
    -------
    pandas.DataFrame
        Columns name, value, low, high, unit, status, source [as the unit column says].

    Examples
    --------
    >>> set(limits_table()["status"]) <= set(STATUSES)
    True
    """
    import pandas as pd

    limits = [item for item in globals().values() if isinstance(item, Limit)]
    columns = ("name", "value", "low", "high", "unit", "status", "source")
    return pd.DataFrame([[getattr(item, column) for column in columns] for item in limits], columns=list(columns))
