"""Look-ups by id, with errors that list what looks like a wrong id."""

from collections.abc import Mapping

from lamcalc.errors import InputError
from lamcalc.materials._text import close_to

SINGULAR = {
    "sources": "source", "fibres": "fibre", "resins": "resin", "reinforcements": "reinforcement", "cores": "core",
    "veneers": "veneer", "plywood_sizes": "plywood size", "processes": "process", "outboards": "outboard",
    "tested_laminates": "tested laminate",
}


class Shelf(Mapping):
    """Read-only mapping of id to record.

    Parameters
    ----------
    records : mapping of str to Record
        Records by id [-].

    Examples
    --------
    >>> len(Shelf({}))
    0
    """

    __slots__ = ("_records",)

    def __init__(self, records):
        self._records = dict(records)

    def __getitem__(self, key):
        return self._records[key]

    def __iter__(self):
        return iter(self._records)

    def __len__(self):
        return len(self._records)

    def __repr__(self):
        return f"Shelf({', '.join(self._records)})"


class LookUps:
    """Look-ups that a catalogue inherits: one method a kind of record.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> isinstance(catalogue.load(), LookUps)
    True
    """

    def _find(self, kind, key):
        shelf = getattr(self, kind)
        try:
            return shelf[key]
        except (KeyError, TypeError):
            hint = close_to(key, shelf) or f"ids begin with {', '.join(list(shelf)[:4])}"
            plural = kind.replace("_", " ")
            raise InputError(SINGULAR[kind], f"must be one of the {len(shelf)} {plural} of the catalogue", key,
                             f"{hint.rstrip('?')}; data/{kind}.csv lists all that are shipped") from None

    def fibre(self, key):
        """One fibre.

        Parameters
        ----------
        key : str
            Id such as 'e_glass' [-].

        Returns
        -------
        Fibre
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> str(catalogue.load().fibre("e_glass").e1)
        '72400 (71000 to 73000) MPa, source seen'
        """
        return self._find("fibres", key)

    def resin(self, key):
        """One resin or gel coat.

        Parameters
        ----------
        key : str
            Id such as 'iso_polyester' [-].

        Returns
        -------
        Resin
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> catalogue.load().resin("polyester")
        Traceback (most recent call last):
        lamcalc.errors.InputError: resin must be one of the 6 resins of the catalogue; received 'polyester'. Next: \
did you mean iso_polyester or dcpd_polyester or ortho_polyester; data/resins.csv lists all that are shipped.
        """
        return self._find("resins", key)

    def reinforcement(self, key):
        """One mat or fabric.

        Parameters
        ----------
        key : str
            Id such as 'biax45_1708' [-].

        Returns
        -------
        Reinforcement
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> round(catalogue.load().reinforcement("biax45_1708").areal_weight_gsm, 1)
        805.3
        """
        return self._find("reinforcements", key)

    def core(self, key):
        """One core.

        Parameters
        ----------
        key : str
            Id such as 'pu_board_416' [-].

        Returns
        -------
        Core
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> str(catalogue.load().core("ply_okoume").g_xz)
        '140 (100 to 200) MPa, assumed, unverified'
        """
        return self._find("cores", key)

    def veneer(self, key):
        """One wood species as a veneer.

        Parameters
        ----------
        key : str
            Id such as 'okoume' [-].

        Returns
        -------
        Veneer
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> shop = catalogue.load()
        >>> shop.veneer(shop.core("ply_meranti").species).status
        'computed'
        """
        return self._find("veneers", key)

    def process(self, key):
        """One way of laminating.

        Parameters
        ----------
        key : str
            Id: 'hand', 'hand_complex', 'vacuum_bag' or 'infusion' [-].

        Returns
        -------
        Process
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> str(catalogue.load().process("infusion").glass_fraction("stitched"))
        '0.65 (0.6 to 0.7), common practice'
        """
        return self._find("processes", key)

    def source(self, key):
        """One citation.

        Parameters
        ----------
        key : str
            Key such as 'ISOH1' [-].

        Returns
        -------
        Source
            The record [-].

        Raises
        ------
        InputError
            If the key is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> catalogue.load().source("MEMORY").status
        'from memory'
        """
        return self._find("sources", key)

    def outboard(self, key):
        """One power band of outboard engines.

        Parameters
        ----------
        key : str
            Id such as 'outboard_64_9hp' [-].

        Returns
        -------
        Outboard
            The record [-].

        Raises
        ------
        InputError
            If the id is unknown; close matches are listed.

        Examples
        --------
        >>> from lamcalc.materials import catalogue
        >>> catalogue.load().outboard("outboard_64_9hp").name
        'outboard 35 to 64.9 hp (26.1 to 48.4 kW)'
        """
        return self._find("outboards", key)
