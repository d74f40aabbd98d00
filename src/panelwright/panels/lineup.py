"""Panels on equal terms: a part scaled until a target is met, and why two panels differ.

Everything is evaluated for many panels at once: sizes that are tried, and mixes of two panels, lie
on the leading axis of one stack.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from panelwright.mechanics.arrays import Array, array
from panelwright.mechanics.comparing import shares_of_difference
from panelwright.panels import faces, strength
from panelwright.panels.drawn import CORES
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import Resolved
from panelwright.panels.section import section
from panelwright.panels.stack import FIELDS, Stack, StackLayer, stack_of

#: What of a layer grows with it; what lies on or under its surface is there or not.
BODY = ("fibre_mass", "thread_mass", "gauged_thickness", "solid_thickness", "kerf_depth")
SURFACE = ("soak", "film_applied", "film_sunk")
#: Words for the part that is scaled.
CORE, FACES, ALL = "core", "faces", "all"
#: Sizes that are tried, of the part as it is.
LEAST, MOST = 1.0 / 100.0, 100.0
#: Sizes tried at once, first and in each step of refinement, and the number of steps.
FIRST_SIZES, SIZES, STEPS = 97, 33, 3

#: A property of many panels at once, each with its part in another size: ``(N,)`` to ``(N,)``.
Property = Callable[[Array], Array]


def has_core(layers: list[StackLayer]) -> bool:
    """Whether something lies between or beside faces."""
    kinds = {layer.kind in CORES for layer in layers if not layer.film}
    return kinds == {True, False}


def part_of(layers: list[StackLayer], part: str) -> Array:
    """1 for each layer that belongs to a part, else 0; films belong to none.

    part : ``CORE``, ``FACES`` or ``ALL``. Of a panel of one kind of layer all is scaled.
    """
    if part == ALL or not has_core(layers):
        return array([0.0 if layer.film else 1.0 for layer in layers])
    return array(
        [float(not layer.film and (layer.kind in CORES) == (part == CORE)) for layer in layers]
    )


def scaled(stack: Stack, size: Array) -> Stack:
    """A stack whose layers are so many times as thick; what lies on them stays.

    size : ``(..., L)``; kept are the densities, the fibre fractions and the directions.
    """
    shape = np.broadcast_shapes(stack.solid_thickness.shape, size.shape)
    kept = {name: np.broadcast_to(getattr(stack, name), shape) for name in FIELDS}
    return Stack(**kept | {name: kept[name] * size for name in BODY})


def scaled_panel(resolved: Resolved, part: Array, size: float) -> Resolved:
    """A resolved panel with a part so many times as thick, ranges and all."""
    layers = []
    for layer, belongs in zip(resolved.layers, part, strict=True):
        inputs = dict(layer.inputs)
        if belongs:
            for name in (name for name in BODY if name in inputs):
                one = inputs[name]
                grown = {end: size * getattr(one, end) for end in ("value", "low", "high")}
                inputs[name] = replace(one, **grown, source=f"{size:.4g} × {one.source}")
        layers.append(replace(layer, inputs=inputs))
    return replace(resolved, layers=layers)


# --- Properties -----------------------------------------------------------------------------------


def bending_stiffness(stack: Stack, build: Build, way: int | None) -> Array:
    """EI per width along (0), across (1), or the weaker of the two (None), N m."""
    strip = section(stack, build).strip
    return array(np.min(strip, axis=-1) if way is None else strip[..., way])


def bending_strength(stack: Stack, build: Build, way: int | None, ultimate: bool) -> Array:
    """Moment per width, the smaller of its two signs, that a panel bears, N; infinite if unknown.

    way : as of :func:`bending_stiffness`; ultimate : else at first damage.
    """
    made = section(stack, build)
    found = []
    states = strength.states(stack, build, made) if ultimate else None
    skins = faces.faces(stack, build, made) if ultimate else None
    for load in (3, 4) if way is None else (3 + way,):
        for sign in (1, -1):
            if states is None or skins is None:
                found.append(strength.first_damage(stack, build, made, load, sign).load)
                continue
            ends = strength.in_plane(states, stack, build, load)
            found.append(ends[0 if sign > 0 else 1].ultimate.load)
            found.append(faces.wrinkling(skins, build, made, load, sign).load)
            found.append(faces.dimpling(skins, build, made, load, sign).load)
    return array(np.min(np.stack(found), axis=0))


# --- Scaling --------------------------------------------------------------------------------------


def size_for(target: float, property_of: Property) -> float | None:
    """How many times as thick a part must be for a property to be the target; None for no size.

    Sizes are tried on a grid that is even in their logarithm, then between the two neighbours that
    hold the target, the pair nearest the size as it is where there are several; last between two
    points by a straight line of logarithms. Exact to 1e-8 where the property has no kink there.
    """
    tried = np.geomspace(LEAST, MOST, FIRST_SIZES)
    for _ in range(STEPS + 1):
        with np.errstate(divide="ignore"):
            off = np.log(property_of(tried)) - np.log(target)
        held = np.flatnonzero(np.isfinite(off[:-1] + off[1:]) & (off[:-1] * off[1:] <= 0.0))
        if not len(held):
            return None
        at = int(held[np.argmin(np.abs(np.log(tried[held])))])
        low, high = tried[at], tried[at + 1]
        off_low, off_high = float(off[at]), float(off[at + 1])
        tried = np.geomspace(low, high, SIZES)
    share = off_low / (off_low - off_high) if off_low != off_high else 0.0
    return float(low * (high / low) ** share)


def of_sizes(
    stack: Stack, part: Array, measure: Callable[[Stack, Build, Array], Array]
) -> Property:
    """A property of a panel by the size of one of its parts.

    measure : of many stacks ``(N, L)``, their builds and the sizes ``(N,)``.
    """

    def property_of(size: Array) -> Array:
        many = scaled(stack, np.where(part > 0.0, size[:, None], 1.0))
        return measure(many, evaluate(many), size)

    return property_of


# --- Why two panels differ ------------------------------------------------------------------------

#: Causes of a difference, in the order of the bits of a mix; of panels of which one has no core,
#: the whole of each stands for its faces.
CAUSES = ("thickness of the faces", "make of the faces", "thickness of the core", "the core itself")
WHOLE = ("thickness", "make")
#: And of pieces: what was found of one over what was predicted of it.
FOUND, OTHER_FOUND = "as it was found", "as the other was found"


@dataclass(frozen=True)
class Parts:
    """Outer face, core and inner face of a panel: 1 for each layer that lies in one, (3, L).

    ``of_whole`` : it is not parted, and lies in the first.
    """

    stack: Stack
    share: Array
    thickness: Array  # of the three, m
    of_whole: bool


def parts(layers: list[StackLayer], stack: Stack, build: Build, whole: bool) -> Parts:
    """What lies outside the cores, in and between them, and inside them; or all as one.

    whole : not to be parted, as neither is a panel without a core.
    """
    place = np.arange(len(layers))
    whole = whole or not has_core(layers)
    if whole:
        cut = (len(layers), len(layers))
    else:
        core = np.flatnonzero(part_of(layers, CORE))
        cut = (int(core[0]), int(core[-1]) + 1)
    which = np.where(place < cut[0], 0, np.where(place < cut[1], 1, 2))
    share = array(np.equal(which, np.arange(3)[:, None]).astype(np.float64))
    return Parts(stack, share, array(share @ build.layer_thickness), whole)


def _sizes(one: Parts, other: Parts, causes: int) -> tuple[Array, Array]:
    """Size of the three parts of both panels in a mix: bit k of ``causes`` takes the other's."""
    sizes = np.zeros((2, 3))
    of = (one, other)
    for place in range(3):
        first = 2 if place == 1 else 0
        thick, make = causes >> first & 1, causes >> first + 1 & 1
        wanted = of[thick].thickness[place]
        if of[make].thickness[place] <= 0.0:  # nothing there to be made of: its own make
            make = thick
        if wanted > 0.0:
            sizes[make, place] = wanted / of[make].thickness[place]
    return sizes[0], sizes[1]


def mixes(one: Parts, other: Parts) -> Stack:
    """All 16 mixes of the causes of two panels as one stack ``(16, 3 (L1 + L2))``.

    Row 0 is the one panel, row 15 the other; in between, parts of the one in the thickness of the
    other, and so on. Layers that a mix lacks have no thickness and no mass.
    """
    pairs = [_sizes(one, other, causes) for causes in range(16)]
    body, there = [], []
    for place in range(3):
        for which, panel in enumerate((one, other)):
            size = array([pair[which][place] for pair in pairs])[:, None]
            body.append(size * panel.share[place])
            there.append((size > 0.0) * panel.share[place])
    columns = {}
    for name in FIELDS:
        side = np.concatenate([getattr(panel.stack, name) for panel in (one, other)])
        columns[name] = np.broadcast_to(np.tile(side, 3), (16, 3 * len(side)))
    whole = Stack(**columns)
    bodies, surfaces = np.concatenate(body, axis=-1), np.concatenate(there, axis=-1)
    return replace(
        whole,
        **{name: getattr(whole, name) * bodies for name in BODY},
        **{name: getattr(whole, name) * surfaces for name in SURFACE},
    )


def differences(one: Parts, other: Parts, measure: Callable[[Stack, Build], Array]) -> Array:
    """Factor by which each of ``CAUSES`` makes the one panel more than the other, ``(4,)``.

    measure : the property of many stacks ``(N, L)``. The factors multiply to the ratio of the two:
    the mean of their logarithms over all orders of change, as :func:`shares_of_difference` has it.
    """
    many = mixes(one, other)
    values = measure(many, evaluate(many))
    return array(np.exp(-shares_of_difference(np.log(values))))


def stacked(resolved: Resolved) -> tuple[Stack, Build]:
    """Stack and build of a resolved panel at its middle values."""
    stack = stack_of(resolved.layers)
    return stack, evaluate(stack)
