"""A number with its origin, and what all records have in common.

A record is a set of `Value` objects, each with its unit, range, status and
source, so that a number never travels without its origin."""

from dataclasses import dataclass, fields

from lamcalc.errors import InputError

STATUSES = ("source seen", "from memory", "common practice", "assumed", "computed")
UNVERIFIED = ("from memory", "assumed")


@dataclass(frozen=True, slots=True)
class Value:
    """One number with its unit, range, status and source.

    Parameters
    ----------
    typical : float
        Recommended value [as `unit` says].
    low, high : float or None
        Ends of the known range, None where no range is known [as `unit` says].
    unit : str
        Unit of the three numbers [-].
    status : str
        'source seen', 'from memory', 'common practice', 'assumed' or 'computed' [-].
    source : str
        Key of the `Source` [-].
    note : str
        Remark on this number alone [-].

    Examples
    --------
    >>> modulus = Value(72400.0, 71000.0, 73000.0, "MPa", "source seen", "HYER1998")
    >>> float(modulus), modulus.bounds, modulus.unverified
    (72400.0, (71000.0, 73000.0), False)
    >>> print(modulus)
    72400 (71000 to 73000) MPa, source seen
    """

    typical: float
    low: float | None
    high: float | None
    unit: str
    status: str
    source: str
    note: str = ""

    def __float__(self):
        return float(self.typical)

    def __str__(self):
        known = [f"{end:g}" if end is not None else "?" for end in (self.low, self.high)]
        band = "" if self.low is None and self.high is None else f" ({known[0]} to {known[1]})"
        unit = "" if self.unit == "-" else f" {self.unit}"
        return f"{self.typical:g}{band}{unit}, {self.status}{', unverified' if self.unverified else ''}"

    @property
    def bounds(self):
        """Low and high end, the typical value standing in for an unknown end [as `unit` says]."""
        return (self.typical if self.low is None else self.low, self.typical if self.high is None else self.high)

    @property
    def unverified(self):
        """Whether nobody has seen a text behind the number: status 'from memory' or 'assumed' [-]."""
        return self.status in UNVERIFIED


class Record:
    """Base of all records; gives `require` and `values`.

    Examples
    --------
    >>> from lamcalc.materials.records import Fibre
    >>> issubclass(Fibre, Record)
    True
    """

    __slots__ = ()

    def require(self, field):
        """Return a value that the work cannot do without.

        Parameters
        ----------
        field : str
            Name of the field, such as 'e_x' [-].

        Returns
        -------
        Value
            The value [as its `unit` says].

        Raises
        ------
        InputError
            If the catalogue does not know the value, or has no such field.

        Examples
        --------
        >>> from lamcalc.materials.records import Source
        >>> Source("NOTES", "Own bench notes").require("how_read")
        Traceback (most recent call last):
        lamcalc.errors.InputError: how_read of NOTES must be known for this calculation; received ''. Next: give it \
in your own materials file.
        """
        return self.require_all(field)[0]

    def require_all(self, *needed, hint=""):
        """Values that a calculation needs together: all that are not known are named at once.

        Parameters
        ----------
        *needed : str
            Names of fields [-].
        hint : str
            What to do where a data sheet is silent [-].

        Returns
        -------
        tuple of Value
            The values [as the `unit` of each says].

        Raises
        ------
        InputError
            If the catalogue does not know one of them, or has no such field.

        Examples
        --------
        >>> from lamcalc.materials.records import Source
        >>> Source("NOTES", "Own bench notes").require_all("id", "citation")
        ('NOTES', 'Own bench notes')
        """
        names = [item.name for item in fields(self)]
        for field in needed:
            if field not in names:
                raise InputError(f"field of {type(self).__name__}", f"must be one of {', '.join(names)}", field)
        found = tuple(getattr(self, field) for field in needed)
        missing = [field for field, value in zip(needed, found, strict=True) if value is None or value == ""]
        if missing:
            it = "it" if len(missing) == 1 else "them"
            raise InputError(f"{', '.join(missing)} of {self.id}", "must be known for this calculation", getattr(self, missing[0]),
                             f"give {it} in your own materials file" + (f"; {hint}" if hint else ""))
        return found

    @property
    def values(self):
        """Mapping of field name to `Value`, known values only [as each `unit` says]."""
        found = {item.name: getattr(self, item.name) for item in fields(self)}
        return {name: value for name, value in found.items() if isinstance(value, Value)}
