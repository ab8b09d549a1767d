"""The job as a frozen pydantic model: all tables of a job file and the checks across them."""

import re
from typing import Annotated, Literal

from pydantic import BeforeValidator, PrivateAttr, model_validator

from lamcalc.sentences import counted
from lamcalc.shop.job_floor import Craft, Prices, ResinCan, Shop, Stock, Waste
from lamcalc.shop.job_layers import IncludeEntry, ScheduleEntry
from lamcalc.shop.job_parts import AnyPart
from lamcalc.shop.job_readings import AsBuilt, SurveyArea
from lamcalc.shop.job_types import FrozenTable, Note, Record, broken, many, table, text

FORMAT = 1
MOST_LAYERS = 300


def _relative(value):
    """A file name below the job's folder: no other folder can be reached from it."""
    if not isinstance(value, str) or not value.strip() or len(value) > 200 or re.search(r"[\x00-\x1f\x7f\\:]", value):
        raise broken("must be a relative file name with forward slashes [-]", "write it like own_materials.toml")
    if value.startswith(("/", "~")) or any(part in ("", ".", "..") for part in value.split("/")):
        raise broken("must stay inside the job's folder [-]", "put the file beside the job file and write its name")
    return value


class Job(Record):
    """A whole job; made by `lamcalc.shop.job.load`, `load_demo` or `new`.

    Parameters
    ----------
    format : {1}
        Version of the file format [-].
    name : str
        Name of the job [-].
    units : {"metric", "us"}
        Units shown to the user; the file keeps the unit that each field is named after [-].
    own_materials : str, optional
        File of own materials, relative to the job file [-].
    craft : Craft
        The boat [-].
    shop : Shop
        The place and the day [-].
    waste : Waste
        Allowances, as fractions [-].
    resins : mapping of str to CatalysedResin or TwoPartResin
        What the cans say [-].
    prices : Prices
        Price list with its date [money].
    stock : Stock
        Shelf and sizes sold [-].
    survey : mapping of str to SurveyArea
        Findings by part [-].
    schedules : mapping of str to ScheduleEntry
        Named schedules [-].
    parts : mapping of str to TransomPart, StringerPart or PanelPart
        What is repaired or built [-].
    as_built : mapping of str to AsBuilt
        Readings by part [-].
    notes : tuple of str
        Anything else [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> job.load_demo().parts["transom"].engine.mass_kg
    104.0
    """

    format: Literal[FORMAT]
    name: text(200, empty=False)
    units: Literal["metric", "us"] = "metric"
    own_materials: Annotated[str, BeforeValidator(_relative)] | None = None
    craft: Craft
    shop: Shop
    waste: Waste
    resins: table(ResinCan) = FrozenTable()
    prices: Prices
    stock: Stock = Stock()
    survey: table(SurveyArea) = FrozenTable()
    schedules: table(ScheduleEntry) = FrozenTable()
    parts: table(AnyPart) = FrozenTable()
    as_built: table(AsBuilt) = FrozenTable()
    notes: many(Note, most=200) = ()

    _text: str = PrivateAttr("")
    _source_path: object = PrivateAttr(None)
    _disk: object = PrivateAttr(None)
    _own: object = PrivateAttr(None)  # what the own materials hold: with others it is another job, and nothing kept fits
    _migrated_from: object = PrivateAttr(None)

    @property
    def text(self):
        """The job file as text, comments included [-]."""
        return self._text

    @property
    def source_path(self):
        """Where the job was loaded from or saved to; None for one that has no file [-]."""
        return self._source_path

    @property
    def migrated_from(self):
        """Older format that the file was in, None if it was up to date [-]."""
        return self._migrated_from

    @property
    def document(self):
        """A fresh tomlkit document of the job file, to be edited and given to `save` [-]."""
        import tomlkit

        return tomlkit.parse(self._text)

    def layers(self, name):
        """Layers of a schedule in order, included schedules written out.

        Parameters
        ----------
        name : str
            Name of the schedule [-].

        Returns
        -------
        tuple of layers
            Outer side first [-].

        Raises
        ------
        KeyError
            If the job has no schedule of that name.

        Examples
        --------
        >>> from lamcalc.shop import job
        >>> [layer.kind for layer in job.load_demo().layers("transom_inner_skin")]
        ['ply', 'ply', 'ply', 'ply']
        """
        out = []
        for layer in self.schedules[name].layers:
            out += self.layers(layer.schedule) if isinstance(layer, IncludeEntry) else [layer]
        return tuple(out)

    @model_validator(mode="after")
    def _references(self):
        for check in (self._includes, self._part_schedules, self._legs, self._readings):
            for field, value, rule, next_step in check():
                raise broken(rule, next_step, field=field, value=value)
        return self

    def _unknown_schedule(self, field, name):
        known = ", ".join(self.schedules) or "none yet"
        return field, name, "must be the name of a schedule of this job [-]", f"choose one of: {known}"

    def _includes(self):
        """Included schedules that are missing, lead back to themselves, or would be bought although they exist."""
        edges = {name: [(place, layer.schedule) for place, layer in enumerate(entry.layers)
                        if isinstance(layer, IncludeEntry)] for name, entry in self.schedules.items()}
        sizes = {}

        def visit(name, trail):
            for place, target in edges[name]:
                field = ("schedules", name, "layers", place, "schedule")
                if target not in edges:
                    yield self._unknown_schedule(field, target)
                elif target in trail + (name,):
                    yield field, target, "must not lead back to itself [-]", "take one of the includes out"
                else:
                    if not self.schedules[name].existing and self._bought_again(target):
                        yield (field, target, "must not exist already, or it would be bought and laid again [-]",
                               "enter what stays as solid layers, with the thickness measured")
                    if target not in sizes:
                        yield from visit(target, trail + (name,))
            sizes[name] = (len(self.schedules[name].layers)
                           + sum(sizes.get(target, 1) - 1 for _, target in edges[name]))
            if sizes[name] > MOST_LAYERS:
                yield (("schedules", name), f"{sizes[name]} layers",
                       f"must have at most {MOST_LAYERS} layers with its includes [-]", "take includes out")

        for name in edges:
            if name not in sizes:
                yield from visit(name, ())

    def _bought_again(self, name):
        """Whether a schedule that exists has layers that cannot say so themselves where it is included."""
        entry = self.schedules[name]
        return entry.existing and not all(getattr(layer, "existing", False) for layer in entry.layers)

    def _part_schedules(self):
        for part, entry in self.parts.items():
            for field, name in entry.schedule_names:
                if name not in self.schedules:
                    where = ("options", entry.options.index(name)) if field == "options" else (field,)
                    yield self._unknown_schedule(("parts", part, *where), name)

    def _legs(self):
        """A stringer needs one leg for every layer of each of its options."""
        for part, entry in self.parts.items():
            for name in entry.options if entry.kind == "stringer" else ():
                layers = sum(layer.count for layer in self.layers(name) if layer.kind == "ply")
                if layers != len(entry.legs_mm):
                    yield (("parts", part, "legs_mm"), counted(len(entry.legs_mm), "leg"),
                           f"must have one leg a ply of schedule {name}, {layers} [-]",
                           "enter the legs in the order laid")

    def _readings(self):
        """Readings of a part that is not there; a job without any part may hold readings alone."""
        for table_name, entries in (("survey", self.survey), ("as_built", self.as_built)):
            for part in entries:
                if self.parts and part not in self.parts:
                    yield ((table_name, part), part, "must be the name of a part of this job [-]",
                           f"delete [{table_name}.{part}], or add the part, or choose one of: {', '.join(self.parts) or 'none yet'}")
        for part, entry in self.as_built.items():
            if entry.laminate not in self.schedules:
                yield self._unknown_schedule(("as_built", part, "laminate"), entry.laminate)
