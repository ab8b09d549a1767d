"""Schedules whose glass content, fabric weight, moduli, strengths, angles and cores are drawn at random.

The physics is that of `lamcalc.schedule`: the same functions with arrays of
samples in front of the sub-layers.
"""

from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics import fibre_content
from lamcalc.mechanics.strength import PlyStrengths, design_factor, strengths_small_craft
from lamcalc.parts.layer_strength import NAMES, schedule_strengths
from lamcalc.schedule import PUTTY, CoreLayer, Ply, Schedule, SolidLayer, Sublayers, fabric_constants
from lamcalc.studies.distributions import Distribution, Uncertain

KIND_WORDS = {
    "csm": "mat",
    "woven": "woven roving",
    "cloth": "cloth",
    "ud": "unidirectional fabric",
    "stitched": "stitched layers",
}
_MODULI = ("e1", "e2", "g12", "g13", "g23")


@dataclass(frozen=True)
class AssumedSpreads:
    """Spreads taken where the catalogue knows none; every one is assumed and is shown as such.

    Parameters
    ----------
    glass : float
        Half width of a triangle about the typical glass fraction, as a share of it [-].
    weight : float
        Coefficient of variation of a fabric's dry weight, one draw a fabric [-].
    modulus : float
        Of the moduli of fabric plies beside the property model, one draw for all [-].
    strength : float
        Of the strengths of laminate layers beside the property model, one draw for all [-].
    kept : float
        Of the moduli of layers that stay or are entered by hand [-].
    core : float
        Of core moduli and strengths [-].
    angle_deg : float
        Standard deviation of the direction of every layer laid [deg].

    Examples
    --------
    >>> AssumedSpreads().angle_deg
    2.0
    """

    glass: float = 0.10
    weight: float = 0.03
    modulus: float = 0.10
    strength: float = 0.10
    kept: float = 0.15
    core: float = 0.15
    angle_deg: float = 2.0


ASSUMED = AssumedSpreads()


@dataclass(frozen=True)
class DrawnSchedule(Schedule):
    """One random version of a schedule.

    Parameters
    ----------
    layers : tuple of Ply, CoreLayer, SolidLayer or Coat
        First layer against the mould [-].
    fibres : mapping of str to Fibre
        Fibres that the reinforcements name [-].
    name : str
        What the schedule is [-].
    property_model : str
        How ply constants were found [-].
    prices : mapping of str to Price
        Prices [-].
    drawn : Sublayers
        Its sub-layers, which take the place of those worked out from the layers [-].

    Examples
    --------
    >>> issubclass(DrawnSchedule, Schedule)
    True
    """

    drawn: Sublayers = None

    @property
    def sublayers(self):
        """The sub-layers as drawn [-]."""
        return self.drawn


@dataclass(frozen=True)
class DrawnLayers:
    """Random versions of one or several schedules that share resin, crew and rolls.

    Parameters
    ----------
    schedules : tuple of (str, Schedule)
        Schedules by label [-].
    assumed : AssumedSpreads
        Spreads where the catalogue knows none [-].

    Notes
    -----
    Glass content: one draw for all layers of a kind and process, because one crew lays them wet or dry.
    A ply with a glass content or thickness that was measured keeps its glass content; one with a measured
    thickness keeps its weight too.  Tested plies keep both.  Coats, densities, Poisson ratios, core thickness
    and the thickness of kept layers do not vary.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> [item.key for item in DrawnLayers((("skin", Schedule((mat,), shop.fibres)),)).inputs]
    ['glass:hand:csm', 'weight', 'modulus', 'strength']
    """

    schedules: tuple
    assumed: AssumedSpreads = ASSUMED

    def __post_init__(self):
        # plain dictionaries travel to other processes, read-only views do not
        object.__setattr__(
            self,
            "schedules",
            tuple(
                (label, replace(schedule, fibres=dict(schedule.fibres), prices=dict(schedule.prices)))
                for label, schedule in self.schedules
            ),
        )

    @cached_property
    def by_label(self):
        """Schedules by label [-]."""
        return dict(self.schedules)

    def _layers(self, kind):
        return [
            (schedule, layer) for _, schedule in self.schedules for layer in schedule.layers if isinstance(layer, kind)
        ]

    @cached_property
    def _fabrics(self):
        return tuple(dict.fromkeys(layer.reinforcement.id for _, layer in self._layers(Ply)))

    @cached_property
    def _turned(self):
        """Column of the drawn angles for each layer laid that has a direction, by label and row."""
        places = [
            (label, row)
            for label, schedule in self.schedules
            for row, layer in enumerate(schedule.laid)
            if isinstance(layer, Ply) and layer.reinforcement.directional
        ]
        return {place: column for column, place in enumerate(places)}

    @cached_property
    def inputs(self):
        """What varies, as a tuple of `Uncertain` [-]."""
        a, found = self.assumed, []
        found += self._glass_inputs()
        if self._fabrics:
            found.append(
                Uncertain(
                    "weight",
                    "dry weight of the fabrics",
                    Distribution.varying(1.0, a.weight, shape="normal"),
                    len(self._fabrics),
                )
            )
            found.append(
                Uncertain("modulus", "stiffness of the new fabric layers", Distribution.varying(1.0, a.modulus))
            )
        if self._fabrics or self._layers(SolidLayer):
            found.append(
                Uncertain("strength", "strength of the laminate layers", Distribution.varying(1.0, a.strength))
            )
        if self._turned:
            found.append(
                Uncertain(
                    "angle",
                    "direction of the layers",
                    Distribution.scattered(0.0, a.angle_deg, unit="deg"),
                    len(self._turned),
                    "angle",
                )
            )
        if self._layers(SolidLayer):
            found.append(Uncertain("kept", "stiffness of the layers that stay", Distribution.varying(1.0, a.kept)))
        return tuple(found) + self._core_inputs()

    def _glass_inputs(self):
        found = {}
        for schedule, layer in self._layers(Ply):
            if _content_known(schedule, layer):
                continue
            for part in layer.reinforcement.components:
                key = f"glass:{layer.process.id}:{part.fraction_kind}"
                value = layer.process.glass_fraction(part)
                if value.low is None or value.high is None:
                    reach = self.assumed.glass * value.typical
                    spread = Distribution(
                        "triangular",
                        value.typical - reach,
                        value.typical,
                        value.typical + reach,
                        "-",
                        "assumed",
                        f"assumed {100 * self.assumed.glass:g} % either way",
                    )
                else:
                    spread = Distribution.of_value("glass fraction", value, shape="normal")
                found[key] = Uncertain(
                    key,
                    f"glass content of {KIND_WORDS[part.fraction_kind]}, {layer.process.name}",
                    spread,
                    kind="fraction",
                )
        return list(found.values())

    def _core_inputs(self):
        found = {}
        for _, layer in self._layers(CoreLayer):
            core = layer.core
            rows = [
                ("e", "modulus in the plane of", core.e_x),
                ("g", "shear modulus of", core.g_xz),
                ("tau", "shear strength of", core.shear_strength),
            ]
            if layer.veneer is not None:
                rows[0] = ("e", "modulus of the veneers of", layer.veneer.e_l)
                rows[1] = ("g", "shear modulus of the veneers of", layer.veneer.g_lr)
            for short, words, value in rows:
                if value is not None:
                    key = f"core_{short}:{core.id}"
                    found[key] = Uncertain(
                        key,
                        f"{words} {core.name.split(',')[0]}",
                        Distribution.of_value(words, value, variation=self.assumed.core),
                        kind="modulus" if short in "eg" else "stress",
                    )
        return tuple(found.values())

    def _over_typical(self, draws, key):
        """Drawn value over the typical one, shape (samples, 1)."""
        spread = next(item.spread for item in self.inputs if item.key == key)
        return draws[key] / spread.typical

    def sublayers(self, label, draws):
        """Sub-layers of all samples of one schedule.

        Parameters
        ----------
        label : str
            Label of the schedule [-].
        draws : dict of str to ndarray, shape (samples, count)
            Values of the inputs [as each says].

        Returns
        -------
        Sublayers
            Row and kind as in the schedule, all else of shape (samples, sublayers) [-].

        Raises
        ------
        InputError
            If a drawn value does not suit the property model.
        """
        schedule = self.by_label[label]
        nominal, samples = schedule.sublayers, len(next(iter(draws.values())))
        names = [item.name for item in fields(Sublayers) if item.name not in ("row", "kind")]
        out = {name: np.repeat(getattr(nominal, name)[None], samples, axis=0) for name in names}
        row = 0
        for layer in schedule.layers:
            columns = [np.flatnonzero(nominal.row == row + k) for k in range(layer.count)]
            for name, value in self._changes(schedule, layer, nominal, columns[0], draws).items():
                out[name][:, np.concatenate(columns)] = np.tile(value, layer.count)
            for k in range(layer.count):
                if (label, row + k) in self._turned:
                    turned = out["angle_deg"][:, columns[k]] + draws["angle"][:, [self._turned[label, row + k]]]
                    out["angle_deg"][:, columns[k]] = _half_turned(turned)
            row += layer.count
        return Sublayers(nominal.row, nominal.kind, **out)

    def _changes(self, schedule, layer, nominal, columns, draws):
        """New values of one layer laid once, by field, shape (samples, its sub-layers)."""
        if isinstance(layer, Ply):
            return self._fabric(schedule, layer, nominal, columns, draws)
        if isinstance(layer, SolidLayer):
            return {name: getattr(nominal, name)[columns] * draws["kept"] for name in _MODULI}
        if isinstance(layer, CoreLayer):
            stretch = self._over_typical(draws, f"core_e:{layer.core.id}")
            shear = self._over_typical(draws, f"core_g:{layer.core.id}")
            return {
                name: getattr(nominal, name)[columns] * (stretch if name in ("e1", "e2", "g12") else shear)
                for name in _MODULI
            }
        return {}

    def _fabric(self, schedule, ply, nominal, columns, draws):
        if nominal.kind[columns[0]] == "tested":
            return {name: getattr(nominal, name)[columns] * draws["modulus"] for name in _MODULI}
        psi = np.repeat(nominal.weight_fraction[columns][None], len(draws["modulus"]), axis=0)
        if not _content_known(schedule, ply):
            stack = ply.reinforcement.stack(mat_down=ply.mat_side == "down")
            psi = np.concatenate([draws[f"glass:{ply.process.id}:{part.fraction_kind}"] for part in stack], axis=1)
        weight = np.repeat(nominal.areal_weight_gsm[columns][None], len(psi), axis=0)
        if ply.thickness_mm is None:
            weight = weight * draws["weight"][:, [self._fabrics.index(ply.reinforcement.id)]]
        fibre, voids = schedule.fibres[ply.reinforcement.fibre], float(ply.process.void_fraction)
        densities = {
            "fibre_density_kg_m3": float(fibre.density_kg_m3),
            "resin_density_kg_m3": float(ply.resin.density_kg_m3),
        }
        constants = fabric_constants(
            list(nominal.kind[columns]),
            psi,
            fibre,
            ply.resin,
            ply.reinforcement,
            model=schedule.property_model,
            void_fraction=voids,
        )
        return (
            constants
            | {name: constants[name] * draws["modulus"] for name in _MODULI}
            | {
                "weight_fraction": psi,
                "areal_weight_gsm": weight,
                "thickness_mm": fibre_content.ply_thickness(weight, psi, void_fraction=voids, **densities),
                "density_kg_m3": fibre_content.laminate_density(psi, void_fraction=voids, **densities),
                "resin_gsm": fibre_content.resin_areal_weight(weight, psi),
            }
        )

    def strengths(self, label, sublayers, draws, *, level="iso_level_c"):
        """Strengths of all samples of one schedule.

        Parameters
        ----------
        label : str
            Label of the schedule [-].
        sublayers : Sublayers
            Its drawn sub-layers [-].
        draws : dict of str to ndarray, shape (samples, count)
            Values of the inputs [as each says].
        level : str
            Evaluation level as in `schedule_strengths` [-].

        Returns
        -------
        PlyStrengths, shape (samples, sublayers)
            In-plane strengths, level included [MPa].

        Raises
        ------
        InputError
            If a layer has no strength.

        Notes
        -----
        Fabrics by `strengths_small_craft` at their drawn glass content, tested and entered layers as they are, all
        times the drawn factor; cores as the schedule has them.
        """
        schedule = self.by_label[label]
        known = schedule_strengths(schedule, level=level)
        unknown = [name for name in known.unchecked if name != PUTTY]  # told as not assessed where margins are shown
        if unknown:
            raise InputError(
                "strength of the layers",
                "must be known for a margin [MPa]",
                ", ".join(unknown),
                "enter tested strengths, or study stiffness only",
            )
        values = [np.repeat(getattr(known.plies, name)[None], len(draws["strength"]), axis=0) for name in NAMES]
        laid = [schedule.laid[row] for row in sublayers.row]
        fabric = np.array([isinstance(layer, Ply) for layer in laid]) & (sublayers.kind != "tested")
        if fabric.any():
            found = strengths_small_craft(sublayers.kind[fabric], sublayers.weight_fraction[:, fabric])
            for value, name in zip(values, NAMES, strict=True):
                value[:, fabric] = getattr(found, name) * design_factor(level).value
        laminate = np.array([not isinstance(layer, CoreLayer) for layer in laid])
        return PlyStrengths(*(np.where(laminate, value * draws["strength"], value) for value in values))

    def version(self, label, sublayers, draws, sample):
        """One sample of a schedule as a schedule that every part takes.

        Parameters
        ----------
        label : str
            Label of the schedule [-].
        sublayers : Sublayers
            Its drawn sub-layers, from `sublayers` [-].
        draws : dict of str to ndarray, shape (samples, count)
            Values of the inputs [as each says].
        sample : int
            Which sample [-].

        Returns
        -------
        DrawnSchedule
            The schedule with this sample's sub-layers and core shear strengths [-].
        """
        schedule = self.by_label[label]
        one = Sublayers(
            *(
                value if value.ndim == 1 else value[sample]
                for value in (getattr(sublayers, item.name) for item in fields(Sublayers))
            )
        )
        layers = tuple(self._with_core(layer, draws, sample) for layer in schedule.layers)
        return DrawnSchedule(
            layers, schedule.fibres, schedule.name, schedule.property_model, schedule.prices, drawn=one
        )

    def _with_core(self, layer, draws, sample):
        key = None if not isinstance(layer, CoreLayer) else f"core_tau:{layer.core.id}"
        if key not in draws:
            return layer
        own = layer.core.shear_strength
        strength = replace(own, typical=own.typical * float(self._over_typical(draws, key)[sample, 0]))
        return replace(layer, core=replace(layer.core, shear_strength=strength))


def _half_turned(angle_deg):
    """Small angles turned by half a turn, the same direction: a draw of 0.785 degrees is not pi/4 in disguise."""
    return np.where((np.abs(angle_deg) < 2.0) & (angle_deg != 0.0), angle_deg + 180.0, angle_deg)


def _content_known(schedule, ply):
    """Whether glass content was measured, so that it does not vary."""
    tested = schedule.property_model == "tested" and ply.tested is not None
    return tested or ply.glass_fraction is not None or ply.thickness_mm is not None
