"""The catalogue as an object: shelves of records, look-ups and tables for reading.

Everything here is frozen and holds no file, so one catalogue may be shared by
threads and sent to other processes.
"""

from dataclasses import dataclass, field

from lamcalc.errors import InputError, positive
from lamcalc.materials import _tables
from lamcalc.materials._text import close_to
from lamcalc.materials.lookups import SINGULAR, LookUps, Shelf


@dataclass(frozen=True, eq=False)
class Catalogue(LookUps):
    """Everything that can be bought, with the shop's own materials merged over it.

    Parameters
    ----------
    sources, fibres, resins, reinforcements, cores : Shelf
        Records by id [-].
    veneers, plywood_sizes, processes, outboards, tested_laminates : Shelf
        Records by id [-].
    labels : dict of str to dict
        For each table, what each field means and its unit, from the schema [-].
    own : str
        Name of the file of own materials, empty if none [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> catalogue.load().reinforcement("csm_450").name
    'chopped strand mat 450 g/m2 (1.5 oz/ft2)'
    """

    sources: Shelf
    fibres: Shelf
    resins: Shelf
    reinforcements: Shelf
    cores: Shelf
    veneers: Shelf
    plywood_sizes: Shelf
    processes: Shelf
    outboards: Shelf
    tested_laminates: Shelf
    labels: dict = field(default_factory=dict, repr=False)
    own: str = ""

    def plywood_size(self, thickness_mm):
        """Stock plywood of one nominal thickness.

        Parameters
        ----------
        thickness_mm : float
            Nominal thickness [mm].

        Returns
        -------
        PlywoodSize
            Plies, fewest plies, inch size and mass [-].

        Raises
        ------
        InputError
            If no stock sheet has this thickness; nothing is rounded.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> float(catalogue.load().plywood_size(12).plies)
        9.0
        """
        wanted = float(positive("plywood thickness", thickness_mm, "mm"))
        sizes = {size.thickness_mm: size for size in self.plywood_sizes.values()}
        if wanted not in sizes:
            stock = ", ".join(f"{size:g}" for size in sizes)
            raise InputError("plywood thickness", f"must be a stock size, {stock} [mm]", wanted,
                             "take a stock size, or give the number of plies yourself")
        return sizes[wanted]

    def outboard_for(self, *, power_kw):
        """Power band that an engine falls in.

        Parameters
        ----------
        power_kw : float
            Engine power [kW].

        Returns
        -------
        Outboard
            The first band whose upper end is not below the power [-].

        Raises
        ------
        InputError
            If the power is not positive or above the last band.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> catalogue.load().outboard_for(power_kw=30).id
        'outboard_64_9hp'
        """
        power = float(positive("engine power", power_kw, "kW"))
        bands = sorted(self.outboards.values(), key=lambda band: band.power_kw_high)
        for band in bands:
            if power <= band.power_kw_high:
                return band
        last = bands[-1].power_kw_high
        raise InputError("engine power", f"must be at most {last:g} [kW], the end of the table", power,
                         "take the mass from the engine maker")

    def tested(self, reinforcement, process, resin=""):
        """The shop's own test values for a fabric and a process, if there are any.

        Parameters
        ----------
        reinforcement, process : str
            Ids [-].
        resin : str
            Id; values for this resin go before values for any resin [-].

        Returns
        -------
        TestedLaminate or None
            The record, None if nothing was tested [-].

        Raises
        ------
        InputError
            If an id is unknown.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> catalogue.load().tested("csm_450", "hand") is None
        True
        """
        self.reinforcement(reinforcement), self.process(process)
        if resin:
            self.resin(resin)
        found = {test.resin: test for test in self.tested_laminates.values()
                 if (test.reinforcement, test.process) == (reinforcement, process)}
        return found.get(resin) or found.get("")

    def table(self, kind, *, ranges=False):
        """All records of one kind as a table.

        Parameters
        ----------
        kind : str
            Name of the table, such as 'cores' [-].
        ranges : bool
            Whether to add the low and high ends [-].

        Returns
        -------
        DataFrame
            One row a record; units in the column names; every status and source
            that occurs among its values.  `value_table` gives them one by one [-].

        Raises
        ------
        InputError
            If there is no such kind.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> float(catalogue.load().table("fibres").loc["e_glass", "density [kg/m3]"])
        2560.0
        """
        return _tables.overview(self._kind(kind), kind, self.labels, ranges)

    def value_table(self, kind, key):
        """Every value of one record with its own status and source.

        Parameters
        ----------
        kind : str
            Name of the table, such as 'cores' [-].
        key : str
            Id of the record [-].

        Returns
        -------
        DataFrame
            One row a value: low, typical and high in the unit of the row [-].

        Raises
        ------
        InputError
            If there is no such kind or record.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> table = catalogue.load().value_table("cores", "pu_board_416")
        >>> table.loc["density", ["unit", "status"]].tolist()
        ['kg/m3', 'source seen']
        """
        self._kind(kind)
        return _tables.values(self._find(kind, key), kind, self.labels, self.sources)

    def _kind(self, kind):
        if kind not in SINGULAR:
            raise InputError("kind of table", f"must be one of {', '.join(SINGULAR)}", kind, close_to(kind, SINGULAR))
        return getattr(self, kind)
