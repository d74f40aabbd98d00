"""The strength of a predicted panel as records: each load, both signs, at two levels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from panelwright.jobs.stiffness import Stiffened
from panelwright.mechanics import sandwich_failure
from panelwright.mechanics.arrays import Array
from panelwright.panels import faces, strength
from panelwright.panels.checks import TIMBER
from panelwright.panels.records import FIRST, ULTIMATE, CriteriaRecord, StrengthRecord
from panelwright.panels.spread import Ranged, with_model_error
from panelwright.panels.stack import StackLayer
from panelwright.panels.strength import Strength, Weakest

#: Loads as a person does them, positive and negative, in the order of ``strength.LOADS``.
ACTIONS = (
    ("pulled along", "pressed along"),
    ("pulled across", "pressed across"),
    ("sheared in its plane", "sheared in its plane, the other way"),
    ("bent along, outside stretched", "bent along, outside pressed"),
    ("bent across, outside stretched", "bent across, outside pressed"),
)
#: Unit of each of these loads, per width.
UNITS = ("N/m", "N/m", "N/m", "N", "N")
SHEARED = ("shear force along", "shear force across")
#: Loads of ``strength.LOADS`` that press a face in one direction, and which way that is.
PRESSING = {0: 0, 1: 1, 3: 0, 4: 1}
PLACES = ("outer face", "inner face")
WRINKLES = ("the outer skin wrinkles", "the inner skin wrinkles")
CRIMPS = "the core crimps in shear"
DIMPLES = ("the outer skin buckles into the cells", "the inner skin buckles into the cells")
CRUSHED = "pressed square on"
#: A skin that would wrinkle at more than so many times what it bears is not told.
FAR = 20.0
#: Kinds of layer that are not there to bear anything.
NOT_BEARING = ("damping layer",)
_NEEDED = {
    "cloth": ("strain_1t",),
    "core": ("given_S13",),
    "bulking mat": ("given_S13",),
    "lamina": ("given_X1t",),
    **dict.fromkeys(TIMBER, ("bend_12",)),
}


def unknown_strength(layers: list[StackLayer]) -> list[str]:
    """Names of the layers whose strength is not known; films do not count."""
    found = [
        layer.name
        for layer in layers
        if not layer.film
        and layer.kind not in NOT_BEARING
        and not any(name in layer.inputs for name in _NEEDED.get(layer.kind, ()))
    ]
    return list(dict.fromkeys(found))


@dataclass(frozen=True)
class _Panel:
    """A panel and its draws with their states of damage."""

    done: Stiffened
    layers: list[StackLayer]
    middle: strength.States
    drawn: strength.States

    def value(self, middle: Weakest, drawn: Weakest, unit: str, error: str) -> Ranged | None:
        """A load with its range; None where no limit is known."""
        if not np.isfinite(middle.load):
            return None
        finite = np.where(np.isfinite(drawn.load), drawn.load, middle.load)
        return _ranged(self.done, middle.load, finite, unit, error)

    def where(self, end: Weakest, level: str, shear: bool) -> tuple[str, str, str]:
        """Layer, place and mode in words."""
        layer = self.layers[int(end.layer)]
        if shear:
            return _said(layer), "", _shear_mode(layer, int(end.mode), level)
        return _said(layer), PLACES[int(end.place)], _mode(layer, int(end.mode), level)


def _ranged(done: Stiffened, middle: Array, drawn: Array, unit: str, error: str) -> Ranged:
    """A load with the range of its draws and of the model; error : a row of ``model_errors``."""
    return done.ranged(middle, with_model_error(drawn, done.errors[error]), unit)


def _said(layer: StackLayer) -> str:
    if layer.kind != "cloth" or layer.angle is None or layer.form == "woven":
        return layer.name
    angle = f"{layer.angle:g}".replace("-", "\N{MINUS SIGN}")
    return f"{layer.name}, fibre at {angle}°"


_TIMBER_MODES = (
    "breaks along its grain",
    "crushes along its grain",
    "splits along its grain",
    "crushes across its grain",
    "shears along its grain",
)
_PLY_MODES = (
    "breaks along its fibre",
    "crushes along its fibre",
    "cracks along its fibre",
    "crushes across its fibre",
    "shears along its fibre",
)
#: Cloth with fibre both ways: what ends it, and what damages it first.
_YARN_MODES = ("breaks", "crushes", "breaks", "crushes", "shears between its yarns")
_FIRST_YARN_MODES = ("cracks", "crushes", "cracks", "crushes", "shears between its yarns")


def _mode(layer: StackLayer, mode: int, level: str) -> str:
    """What happens under a load in the plane or in bending, in words for the kind of layer."""
    if layer.kind in TIMBER:
        return _TIMBER_MODES[mode]
    if "held_across" in layer.inputs:
        return (_FIRST_YARN_MODES if level == FIRST else _YARN_MODES)[mode]
    return _PLY_MODES[mode]


def _shear_mode(layer: StackLayer, mode: int, level: str) -> str:
    """What happens under a transverse shear force."""
    if layer.kind in ("core", "bulking mat"):
        return "the core yields in shear" if level == FIRST else "the core shears through"
    if layer.kind in TIMBER:
        return "rolls in shear across its grain" if mode == 1 else "shears along its grain"
    return "shears between its plies"


def strength_records(done: Stiffened, layers: list[StackLayer]) -> tuple[StrengthRecord, ...]:
    """First damage and ultimate of every load that some limit is known for."""
    panel = _Panel(
        done,
        layers,
        strength.states(done.stack, done.build, done.made),
        strength.states(done.drawn_stack, done.drawn_build, done.drawn),
    )
    return (*_in_plane(panel), *_in_shear(panel), *_crushing(panel))


def _in_plane(panel: _Panel) -> Iterator[StrengthRecord]:
    done = panel.done
    for load, actions in enumerate(ACTIONS):
        unit = UNITS[load]
        middles = strength.in_plane(panel.middle, done.stack, done.build, load)
        draws = strength.in_plane(panel.drawn, done.drawn_stack, done.drawn_build, load)
        for action, sign, middle, drawn in zip(actions, (1, -1), middles, draws, strict=True):
            yield from _levels(panel, action, sign, middle, drawn, unit, shear=False)
            if load in PRESSING:
                far = FAR * float(middle.ultimate.load)
                for record in _instability(panel, action, sign, load, unit):
                    if record.value.value <= far:
                        yield record


def _in_shear(panel: _Panel) -> Iterator[StrengthRecord]:
    done = panel.done
    for way, action in enumerate(SHEARED):
        middle = strength.in_shear(panel.middle, done.stack, done.build, way)
        drawn = strength.in_shear(panel.drawn, done.drawn_stack, done.drawn_build, way)
        yield from _levels(panel, action, 1, middle, drawn, "N/m", shear=True)


def _levels(
    panel: _Panel, action: str, sign: int, middle: Strength, drawn: Strength, unit: str, shear: bool
) -> Iterator[StrengthRecord]:
    error = "shear_strength" if shear else "strength"
    for level, end, ends in (
        (FIRST, middle.first, drawn.first),
        (ULTIMATE, middle.ultimate, drawn.ultimate),
    ):
        value = panel.value(end, ends, unit, error)
        if value is not None:
            yield StrengthRecord(action, sign, level, value, *panel.where(end, level, shear))


def _instability(
    panel: _Panel, action: str, sign: int, load: int, unit: str
) -> Iterator[StrengthRecord]:
    """A pressed face that wrinkles or dimples, a pressed panel that crimps: only with a core."""
    done, way = panel.done, PRESSING[load]
    parts = (
        (done.stack, done.build, done.made),
        (done.drawn_stack, done.drawn_build, done.drawn),
    )
    skins = [faces.faces(*part, way) for part in parts]
    for fails, words in ((faces.wrinkling, WRINKLES), (faces.dimpling, DIMPLES)):
        middle, drawn = (
            fails(of, build, made, load, sign, way)
            for of, (_, build, made) in zip(skins, parts, strict=True)
        )
        value = panel.value(middle, drawn, unit, "shear_strength")
        if value is not None:
            face = int(middle.layer)
            yield StrengthRecord(action, sign, ULTIMATE, value, "", PLACES[face], words[face])
    if load == way and sign < 0 and np.any(skins[0].core_modulus > 0.0):
        middle_force, forces = (
            sandwich_failure.crimping_force(made.shear[..., way, way]) for _, _, made in parts
        )
        value = _ranged(done, middle_force, forces, unit, "shear_strength")
        yield StrengthRecord(action, sign, ULTIMATE, value, "", "", CRIMPS)


def _crushing(panel: _Panel) -> Iterator[StrengthRecord]:
    """Pressure square on: the core."""
    done = panel.done
    middle, drawn = (faces.crushing(stack) for stack in (done.stack, done.drawn_stack))
    if np.isfinite(middle):
        value = _ranged(done, middle, drawn, "Pa", "shear_strength")
        yield StrengthRecord(CRUSHED, -1, ULTIMATE, value, "", "", "the core crushes")


def criteria_records(done: Stiffened) -> tuple[CriteriaRecord, ...]:
    """Every load in the plane and in bending by several criteria, at the middle values."""
    loads = strength.by_criteria(done.stack, done.build, done.made)
    found = []
    for load, actions in enumerate(ACTIONS):
        for sign, action in enumerate(actions):
            values = {name: float(value[load, sign]) for name, value in loads.items()}
            known = {name: value for name, value in values.items() if np.isfinite(value)}
            if known:
                found.append(CriteriaRecord(action, known, UNITS[load]))
    return tuple(found)
