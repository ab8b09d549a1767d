"""Boat parts as a job file describes them: transom, stringer, panel."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from lamcalc.sentences import rule_sentence
from lamcalc.shop.job_details import (
    Bolts, Edges, Engine, Former, Outline, PatchLoad, Repair, Screening, Tabbing, Window,
)
from lamcalc.shop.job_types import (
    Flag, Length, Name, Note, Pressure, Record, Status, Text, broken, many, quantity, whole,
)


class Part(Record):
    """What every part has.

    Parameters
    ----------
    title : str
        Name for people [-].
    number : int
        How many alike [-].
    original : str, optional
        Schedule of what came out or is there [-].
    options : tuple of str
        Schedules that are compared [-].
    chosen : str, optional
        The option that is built [-].
    labour_hours : float, optional
        Working hours reckoned for the part, all copies and all people together [h].
    end_grain_sealed, fillet_firm, old_resin_proved : bool
        Settled at the boat: edges and holes of wooden cores sealed, fillet firm before the tapes, old resin known [-].
    note : str
        Anything else [-].

    Examples
    --------
    >>> Part(title="helm sole").number
    1
    """

    title: Text = ""
    number: whole(1, 100) = 1
    original: Name | None = None
    options: many(Name, most=50) = ()
    chosen: Name | None = None
    labour_hours: quantity("h", least=0, most=10_000) | None = None
    end_grain_sealed: Flag = False
    fillet_firm: Flag = False
    old_resin_proved: Flag = False
    note: Note = ""

    @property
    def schedule_names(self):
        """Field and name of every schedule that the part refers to, for checking them [-]."""
        named = [("original", self.original), ("chosen", self.chosen)]
        return [(field, name) for field, name in named if name] + [("options", name) for name in self.options]

    @model_validator(mode="after")
    def _chosen_is_an_option(self):
        if self.chosen and self.chosen not in self.options:
            raise broken(f"must be one of the options: {', '.join(self.options) or 'none given'} [-]",
                         "add it to options or choose another", field="chosen", value=self.chosen)
        return self


class TransomPart(Part):
    """A transom under an outboard.

    Parameters
    ----------
    kind : {"transom"}
        Marks the part [-].
    title, number, original, options, chosen, labour_hours, end_grain_sealed, fillet_firm, old_resin_proved, note
        As in `Part` [-].
    outline : Outline
        Shape [mm].
    engine : Engine
        Outboard [-].
    bolts : Bolts
        Engine bolts [mm].
    window : Window
        Clamping window [mm].
    edges : Edges
        How the edges are held [-].
    knees_at_mm : tuple of float
        Places of knees that carry the load into the bottom, from the centreline, port negative [mm].
    knee_width_mm : float
        Width that a knee holds on the transom [mm].
    inner_skin : str, optional
        Schedule of the new inner skin alone [-].
    tabbing : Tabbing, optional
        Joint to the hull [-].
    screening : Screening, optional
        Skin moduli for a hand check [MPa].

    Examples
    --------
    >>> TransomPart.model_fields["kind"].annotation
    typing.Literal['transom']
    """

    kind: Literal["transom"]
    outline: Outline
    engine: Engine
    bolts: Bolts
    window: Window
    edges: Edges
    knees_at_mm: many(quantity("mm", least=-5_000, most=5_000), most=12) = ()
    knee_width_mm: Length = 50.0
    inner_skin: Name | None = None
    tabbing: Tabbing | None = None
    screening: Screening | None = None

    @property
    def schedule_names(self):
        """Field and name of every schedule that the part refers to, for checking them [-]."""
        return super().schedule_names + ([("inner_skin", self.inner_skin)] if self.inner_skin else [])

    @model_validator(mode="after")
    def _bolts_on_the_wall(self):
        room = (self.outline.top_width_mm + self.outline.chine_width_mm) / 2 - self.bolts.plate_width_mm
        if self.bolts.upper_spacing_mm > room:
            raise broken(rule_sentence("must leave the bolt plates on the transom: at most {most} [mm]",
                                       most=max(room, 0)),
                         "measure centre to centre again, and check the outline",
                         field=("bolts", "upper_spacing_mm"), value=self.bolts.upper_spacing_mm)
        return self


class StringerPart(Part):
    """Hat-section stringers on a bottom.

    Parameters
    ----------
    kind : {"stringer"}
        Marks the part [-].
    title, number, original, options, chosen, labour_hours, end_grain_sealed, fillet_firm, old_resin_proved, note
        As in `Part`; the options are schedules laid all over the hat [-].
    base_width_mm, top_width_mm, height_mm : float
        Former: width at the foot, width of the crown, height [mm].
    length_mm : float
        Length of each stringer [mm].
    spacing_mm : float
        Centre to centre [mm].
    span_mm : float
        Unsupported span [mm].
    pressure_kpa : float
        Design pressure on the bottom [kPa].
    pressure_status : str
        Where the pressure comes from [-].
    former : Former
        What the hat is laid over [-].
    legs_mm : tuple of float
        Leg on the bottom, one a layer of the chosen schedule, in the order laid [mm].
    crown : str, optional
        Schedule of the crown cap [-].
    crown_width_mm : float, optional
        Width of the cap [mm].
    plating : str, optional
        Schedule of the bottom that the stringer is bonded to [-].
    plating_width_mm : float, optional
        Width of bottom that works with the stringer; by rule if not given [mm].
    deflection_limit_span_over : float
        Limit as span divided by this [-].

    Examples
    --------
    >>> StringerPart.model_fields["kind"].annotation
    typing.Literal['stringer']
    """

    kind: Literal["stringer"]
    base_width_mm: Length
    top_width_mm: Length
    height_mm: Length
    length_mm: Length
    spacing_mm: Length
    span_mm: Length
    pressure_kpa: Pressure
    pressure_status: Status = "assumed"
    former: Former
    legs_mm: many(Length, least=1, most=50)
    crown: Name | None = None
    crown_width_mm: Length | None = None
    plating: Name | None = None
    plating_width_mm: Length | None = None
    deflection_limit_span_over: quantity("-", least=10, most=5_000)

    @property
    def schedule_names(self):
        """Field and name of every schedule that the part refers to, for checking them [-]."""
        extra = [("crown", self.crown), ("plating", self.plating)]
        return super().schedule_names + [(field, name) for field, name in extra if name]

    @model_validator(mode="after")
    def _crown_not_wider_than_foot(self):
        if self.top_width_mm > self.base_width_mm:
            raise broken(rule_sentence("must be at most base_width_mm, {most} [mm]",
                                       most=self.base_width_mm), "exchange the two",
                         field="top_width_mm", value=self.top_width_mm)
        return self

    @model_validator(mode="after")
    def _crown_has_a_width(self):
        if (self.crown is None) != (self.crown_width_mm is None):
            raise broken("must be given together with crown [mm]", "give both or neither",
                         field="crown_width_mm", value=self.crown_width_mm)
        return self


class PanelPart(Part):
    """A bottom, side, deck or sole panel.

    Parameters
    ----------
    kind : {"panel"}
        Marks the part [-].
    title, number, original, options, chosen, labour_hours, end_grain_sealed, fillet_firm, old_resin_proved, note
        As in `Part` [-].
    span_mm : float
        Short side between supports [mm].
    length_mm : float
        Long side between supports [mm].
    piece_length_mm, piece_width_mm : float, optional
        Whole piece that is built, over several spans; the single span if not given [mm].
    pressure_kpa : float, optional
        Design pressure [kPa].
    patch_load : PatchLoad, optional
        Load on part of the panel [N].
    load_status : str
        Where the load comes from [-].
    edges : Edges
        How the edges are held; left and right are the short sides [-].
    deflection_limit_span_over : float, optional
        Limit as span divided by this [-].
    repair : Repair, optional
        Scarfed patch [mm].
    edge_close_out_mm : float, optional
        Depth of core taken back and filled along every edge [mm].
    edge_close_out_status : str
        Where that depth comes from [-].

    Examples
    --------
    >>> PanelPart.model_fields["kind"].annotation
    typing.Literal['panel']
    """

    kind: Literal["panel"]
    span_mm: Length
    length_mm: Length
    piece_length_mm: Length | None = None
    piece_width_mm: Length | None = None
    pressure_kpa: Pressure | None = None
    patch_load: PatchLoad | None = None
    load_status: Status = "assumed"
    edges: Edges
    deflection_limit_span_over: quantity("-", least=10, most=5_000) | None = None
    repair: Repair | None = None
    edge_close_out_mm: quantity("mm", least=0, most=200) | None = None
    edge_close_out_status: Status = "assumed"

    @property
    def area_m2(self):
        """Area of the whole piece [m2]."""
        return (self.piece_length_mm or self.length_mm) * (self.piece_width_mm or self.span_mm) / 1e6

    @model_validator(mode="after")
    def _loaded_and_ordered(self):
        if self.pressure_kpa is None and self.patch_load is None:
            raise broken("is missing: a panel needs pressure_kpa or patch_load [kPa]", "enter the load",
                         field="pressure_kpa")
        if self.span_mm > self.length_mm:
            raise broken(rule_sentence("must be at most length_mm, {most} [mm]",
                                       most=self.length_mm), "exchange the two",
                         field="span_mm", value=self.span_mm)
        if (self.piece_length_mm is None) != (self.piece_width_mm is None):
            raise broken("must be given together with piece_width_mm [mm]", "give both or neither",
                         field="piece_length_mm", value=self.piece_length_mm)
        return self


AnyPart = Annotated[TransomPart | StringerPart | PanelPart, Field(discriminator="kind")]
