"""The strength of a predicted panel as records: each load, both signs, at two levels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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
#: Loads that bend, by their place: along, across.
BENDING = (3, 4)
SHEARED = ("shear force along", "shear force across")
#: Loads of ``strength.LOADS`` that press a panel in one direction as a whole, and which way.
PRESSING = {0: 0, 1: 1}
#: Direction of each load, degrees from x: ridges that do not lie square to it are told.
ALONG_THE_LOAD = (0.0, 90.0, None, 0.0, 90.0)
#: Degrees off the load from which that is told.
TOLD = 12.0
PLACES = ("outer face", "inner face")
WRINKLES = ("the outer skin wrinkles", "the inner skin wrinkles")
CRIMPS = "the core crimps in shear"
#: Wrinkles of both faces, where their core is thin.
TOGETHER = (
    "the outer skin wrinkles, the inner one with it",
    "the inner skin wrinkles, the outer one with it",
)
DIMPLES = ("the outer skin buckles into the cells", "the inner skin buckles into the cells")
CRUSHED = "pressed square on"
EDGES = ("an edge on the outside", "an edge on the inside")
HEELS = ("a heel on the outside", "a heel on the inside")
DENTS = ("the core crushes under the outer skin", "the core crushes under the inner skin")
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
class Named:
    """Layers of a panel, to say in words where something ends."""

    layers: list[StackLayer]

    def where(
        self, layer: int, place: int, mode: int, level: str, shear: bool
    ) -> tuple[str, str, str]:
        """Layer, place and mode in words."""
        one = self.layers[layer]
        if shear:
            return _said(one), self.interface(layer, place), _shear_mode(one, mode, level)
        return _said(one), PLACES[place], _mode(one, mode, level)

    def interface(self, index: int, place: int) -> str:
        """Between which layers, numbered as laid, a face of a layer lies; empty within a layer."""
        ends = (index, index)
        if self.layers[index].kind == "glue line":
            ends = (self._beyond(index, -1), self._beyond(index, 1))
        elif place != 1:
            ends = (index, self._beyond(index, place - 1))
        if ends[0] == ends[1]:
            return ""
        first, second = sorted(self.layers[end].laid + 1 for end in ends)
        return f"between layers {first} and {second}" if first != second else f"in layer {first}"

    def _beyond(self, index: int, step: int) -> int:
        """The next layer that way, past seal films; the layer itself where there is none."""
        for other in range(index + step, len(self.layers) if step > 0 else -1, step):
            if self.layers[other].film != "seal film":
                return other
        return index


@dataclass(frozen=True)
class _Panel:
    """A panel and its draws with their states of damage."""

    done: Stiffened
    layers: list[StackLayer]
    middle: strength.States
    drawn: strength.States
    skins: tuple[faces.Faces, faces.Faces]  # of the panel and of its draws

    def value(self, middle: Weakest, drawn: Weakest, unit: str, error: str) -> Ranged | None:
        """A load with its range; None where no limit is known."""
        if not np.isfinite(middle.load):
            return None
        finite = np.where(np.isfinite(drawn.load), drawn.load, middle.load)
        return _ranged(self.done, middle.load, finite, unit, error)

    @property
    def named(self) -> Named:
        """Its layers by their words."""
        return Named(self.layers)

    def where(self, end: Weakest, level: str, shear: bool) -> tuple[str, str, str]:
        """Layer, place and mode in words."""
        where = int(end.layer), int(end.place), int(end.mode)
        return self.named.where(*where, level, shear)


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
    if layer.kind == "glue line":
        return "the glue shears"
    if layer.kind in TIMBER:
        return "rolls in shear across its grain" if mode == 1 else "shears along its grain"
    return "shears between its plies"


def strength_records(done: Stiffened, layers: list[StackLayer]) -> Iterator[StrengthRecord]:
    """First damage and ultimate of every load that some limit is known for, one by one."""
    panel = _panel(done, layers)
    yield from _in_plane(panel, range(len(ACTIONS)))
    yield from _in_shear(panel)
    yield from _crushing(panel)
    yield from _dents(panel)


def bending_records(done: Stiffened, layers: list[StackLayer]) -> Iterator[StrengthRecord]:
    """As :func:`strength_records`, of bending and of transverse shear alone."""
    panel = _panel(done, layers)
    yield from _in_plane(panel, BENDING)
    yield from _in_shear(panel)


def _panel(done: Stiffened, layers: list[StackLayer]) -> _Panel:
    return _Panel(
        done,
        layers,
        strength.states(done.stack, done.build, done.made),
        strength.states(done.drawn_stack, done.drawn_build, done.drawn),
        (
            faces.faces(done.stack, done.build, done.made),
            faces.faces(done.drawn_stack, done.drawn_build, done.drawn),
        ),
    )


def unknown_glue(layers: list[StackLayer]) -> list[str]:
    """Names of the glue lines whose strength is not known."""
    lines = (one for one in layers if one.kind == "glue line" and "given_S13" not in one.inputs)
    return list(dict.fromkeys(one.name for one in lines))


def _in_plane(panel: _Panel, some: Sequence[int]) -> Iterator[StrengthRecord]:
    done = panel.done
    for load in some:
        unit, actions = UNITS[load], ACTIONS[load]
        middles = strength.in_plane(panel.middle, done.stack, done.build, load)
        draws = strength.in_plane(panel.drawn, done.drawn_stack, done.drawn_build, load)
        ends = [list(_instability(panel, load, sign)) for sign in (1, -1)]
        loads = [record.value.value for records in ends for record in records]
        for number, (sign, middle, drawn) in enumerate(zip((1, -1), middles, draws, strict=True)):
            yield from _levels(panel, actions[number], sign, middle, drawn, unit, shear=False)
            end = float(middle.ultimate.load)
            # what is pulled wrinkles the other way, if at all: told only where it ends the panel
            far = end if load in PRESSING and sign > 0 else FAR * min([end, *loads])
            if np.isfinite(far):
                yield from (record for record in ends[number] if record.value.value <= far)


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


def _instability(panel: _Panel, load: int, sign: int) -> Iterator[StrengthRecord]:
    """A pressed face that wrinkles or dimples, a pressed panel that crimps: only with a core."""
    done, unit, action = panel.done, UNITS[load], ACTIONS[load][0 if sign > 0 else 1]
    parts = ((done.build, done.made), (done.drawn_build, done.drawn))
    for fails, said in ((faces.wrinkling, _wrinkled), (faces.dimpling, _dimpled)):
        middle, drawn = (
            fails(of, *part, load, sign) for of, part in zip(panel.skins, parts, strict=True)
        )
        value = panel.value(middle, drawn, unit, "shear_strength")
        if value is not None:
            mode = said(panel, middle, load, sign)
            place = PLACES[int(middle.layer)]
            yield StrengthRecord(action, sign, ULTIMATE, value, "", place, mode)
    if load in PRESSING and sign < 0 and np.any(panel.skins[0].core_modulus > 0.0):
        way = PRESSING[load]
        middle_force, forces = (
            sandwich_failure.crimping_force(made.shear[..., way, way]) for _, made in parts
        )
        value = _ranged(done, middle_force, forces, unit, "shear_strength")
        yield StrengthRecord(action, sign, ULTIMATE, value, "", "", CRIMPS)


def _wrinkled(panel: _Panel, end: Weakest, load: int, sign: int) -> str:
    """How a face wrinkles, with the way its ridges run where that is not square to the load."""
    face, way = int(end.layer), int(end.mode)
    of, done = panel.skins[0], panel.done
    together = faces.go_together(of, done.build, done.made, load, sign)
    words = (TOGETHER if together[face, way] else WRINKLES)[face]
    follow, expected = float(np.degrees(faces.DIRECTIONS[way])), ALONG_THE_LOAD[load]
    if expected is not None and abs((follow - expected + 90.0) % 180.0 - 90.0) < TOLD:
        return words
    ridges = f"{follow - 90.0 if follow > 0.0 else 90.0:.0f}".replace("-", "\N{MINUS SIGN}")
    return f"{words}, ridges at {ridges}°"


def _dimpled(panel: _Panel, end: Weakest, load: int, sign: int) -> str:
    return DIMPLES[int(end.layer)]


def _crushing(panel: _Panel) -> Iterator[StrengthRecord]:
    """Pressure square on: the core."""
    done = panel.done
    middle, drawn = (faces.crushing(stack) for stack in (done.stack, done.drawn_stack))
    if np.isfinite(middle):
        value = _ranged(done, middle, drawn, "Pa", "shear_strength")
        yield StrengthRecord(CRUSHED, -1, ULTIMATE, value, "", "", "the core crushes")


def _dents(panel: _Panel) -> Iterator[StrengthRecord]:
    """An edge and a heel on either side: the core under the skin."""
    done = panel.done
    middle, drawn = (faces.dents(of) for of in panel.skins)
    round_patch = f"{2000.0 * faces.HEEL:.0f} mm round"
    for name, actions, unit, footprint in (
        ("line", EDGES, "N/m", "a long straight edge"),
        ("patch", HEELS, "N", round_patch),
    ):
        load, loads = getattr(middle, name), getattr(drawn, name)
        for face, action in enumerate(actions):
            if np.isfinite(load[face]):
                found = np.where(np.isfinite(loads[:, face]), loads[:, face], load[face])
                value = _ranged(done, load[face], found, unit, "shear_strength")
                place, mode = PLACES[face], DENTS[face]
                yield StrengthRecord(action, -1, FIRST, value, "", place, mode, footprint=footprint)


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
