"""What cannot be, and what worries a good foreman, once a panel is in numbers."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator

import numpy as np

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.mechanics.fractions import HEXAGONAL_PACKING, SQUARE_PACKING
from panelwright.panels.evaluate import Build
from panelwright.panels.layers import ClothLayer
from panelwright.panels.resolve.panel import Resolved

SOLIDS = frozenset({"strips", "board", "veneer", "plywood", "core", "damping layer", "lamina"})
TIMBER = frozenset({"strips", "board", "veneer", "plywood"})
#: Moisture above which timber should not be glued or sheathed. Common practice.
TOO_WET = 0.14
#: How far below the softening of the resin the hottest service temperature should stay, K.
HEAT_MARGIN = 20.0
ZERO_CELSIUS = 273.15


def _place(resolved: Resolved, laid: int) -> tuple[str | int, ...]:
    return (*resolved.laid[laid].path, resolved.laid[laid].kind)


def refuse_impossible(resolved: Resolved, build: Build) -> None:
    """Raise :class:`InputError` for layers whose fibre could not lie in them.

    build : of the middle values, arrays ``(L,)``.
    """
    problems = []
    for index, layer in enumerate(resolved.layers):
        fraction = float(build.fibre_volume_fraction[index])
        room = float(build.fibre_mass_fraction[index])
        if layer.kind != "cloth" or (0.0 <= fraction <= HEXAGONAL_PACKING and 0.0 < room <= 1.0):
            continue
        what = (
            "this layer is thinner than its bare fibre"
            if not 0.0 < room <= 1.0
            else f"more fibre than fits: {units.show(fraction, 'fraction')} by volume"
        )
        allowed = f"below {HEXAGONAL_PACKING:.3f} by volume, the closest that round fibres pack"
        hint = "check cloth mass, fibre fraction and thickness against each other"
        problem = Problem(what, layer.name, allowed, hint)
        problems.append(resolved.description.problem(_place(resolved, layer.laid), problem))
    if problems:
        raise InputError(list(dict.fromkeys(problems)))


def _tight_packing(resolved: Resolved, build: Build) -> Iterator[str]:
    for index, layer in enumerate(resolved.layers):
        fraction = float(build.fibre_volume_fraction[index])
        if layer.kind == "cloth" and fraction > SQUARE_PACKING:
            yield (
                f"Layer {layer.laid + 1}: {units.show(fraction, 'fraction')} fibre by volume is "
                f"more than a square packing holds (78.5 %). Weigh or gauge it again."
            )


def _heat(resolved: Resolved, build: Build) -> Iterator[str]:
    service = resolved.description.panel.service
    softens = resolved.resin.number("softening_temperature")
    if service is None or service.temperature is None or softens is None:
        return
    if service.temperature.high > softens - HEAT_MARGIN:
        hot = units.show(service.temperature.high, "temperature")
        soft = units.show(softens, "temperature")
        yield (
            f"Service up to {hot}: {resolved.resin.name} softens near {soft} "
            f"({resolved.resin.evidence('softening_temperature')}). Post-cure, or take a resin "
            f"that stays hard {HEAT_MARGIN:.0f} K above."
        )


def _wet_timber(resolved: Resolved, build: Build) -> Iterator[str]:
    for layer in resolved.layers:
        moisture = layer.inputs.get("moisture")
        if layer.kind in TIMBER and moisture is not None and moisture.value > TOO_WET:
            shown = units.show(moisture.value, "fraction")
            yield (
                f"Timber at {shown} moisture: glue and sheathe at 8 to 12 % (common practice), "
                f"or it blisters in the sun and shrinks behind the skin."
            )
            return


def _cold_shop(resolved: Resolved, build: Build) -> Iterator[str]:
    shop = resolved.description.panel.shop
    if shop is not None and shop.temperature.value < 10.0 + ZERO_CELSIUS:
        yield (
            f"Shop at {shop.temperature.text}: most room-temperature resins and glues want 10 °C "
            f"or more (common practice); see the data sheet."
        )


def _one_face(resolved: Resolved, build: Build) -> Iterator[str]:
    solid = [one.kind in {"strips", "board", "veneer", "plywood"} for one in resolved.laid]
    cloth = [one.kind == "cloth" for one in resolved.laid]
    if not any(solid) or not any(cloth):
        return
    first, last = solid.index(True), len(solid) - 1 - solid[::-1].index(True)
    if any(cloth[:first]) != any(cloth[last + 1 :]):
        yield (
            "Only one face of the timber is glassed: it cups as its moisture changes. Do the "
            "second face within days, in the same air."
        )


def _nothing_between(resolved: Resolved, build: Build) -> Iterator[str]:
    kinds = [one.kind for one in resolved.laid]
    solids = {"strips", "board", "veneer", "plywood", "core", "damping"}
    for index, pair in enumerate(itertools.pairwise(kinds)):
        if set(pair) <= solids:
            yield (
                f"Layers {index + 1} and {index + 2} lie on each other with nothing between: "
                f'add a [[layer]] with glue = "..." or neither its mass nor its bond is counted.'
            )


def _attacked(resolved: Resolved, build: Build) -> Iterator[str]:
    if not resolved.resin.number("styrene_content"):
        return
    for layer in resolved.layers:
        if layer.form in {"xps", "eps", "pvc_lin"}:
            yield (
                f"{resolved.resin.name} holds styrene, which dissolves or softens {layer.name}: "
                f"use epoxy."
            )


def _mat_in_epoxy(resolved: Resolved, build: Build) -> Iterator[str]:
    if resolved.resin.number("styrene_content") or "epoxy" not in resolved.resin.name:
        return
    if any(layer.form == "mat" for layer in resolved.layers):
        yield (
            "Chopped mat with powder or emulsion binder needs styrene to wet out: with epoxy take "
            "a stitched mat."
        )


def _galvanic(resolved: Resolved, build: Build) -> Iterator[str]:
    cloths = [one.layer for one in resolved.laid if isinstance(one.layer, ClothLayer)]
    has_carbon = any("carbon" in cloth.cloth.lower() for cloth in cloths)
    if has_carbon and any(layer.form == "al_honeycomb" for layer in resolved.layers):
        yield "Carbon against aluminium corrodes it where it gets wet: part them with a glass ply."


def _bad_match(resolved: Resolved, build: Build) -> Iterator[str]:
    """Stitched cloth on both faces that is not its own mirror image."""
    angles = _angles_outside_in(resolved)
    if resolved.description.panel.mirror and angles != angles[::-1]:
        yield (
            "The second half is laid from the same roll turned over, which is not the mirror image "
            "of the first: the panel couples a little (it twists or bends when pulled). Write the "
            "second half out, with its stitched ±45 run across (angle = 90), and it matches."
        )


def _angles_outside_in(resolved: Resolved) -> list[tuple[str, float | None]]:
    """Cloth plies with their direction, 0 up to 180 degrees: turned half round is the same."""
    return [
        (layer.name, None if layer.angle is None else round(layer.angle, 6) % 180.0)
        for layer in resolved.layers
        if layer.kind == "cloth"
    ]


def _thirsty(resolved: Resolved, build: Build) -> Iterator[str]:
    soak, cloth = float(np.sum(build.soak)), float(np.sum(build.cloth_resin))
    if cloth > 0.0 and soak > 0.5 * cloth:
        share = units.show(soak / (soak + cloth), "fraction")
        yield (
            f"{share} of the resin sinks below the surface of the core or timber: weigh a sample, "
            f"and seal before laying if that is too much."
        )


WORRIES: tuple[Callable[[Resolved, Build], Iterator[str]], ...] = (
    _attacked,
    _wet_timber,
    _tight_packing,
    _one_face,
    _nothing_between,
    _heat,
    _galvanic,
    _mat_in_epoxy,
    _cold_shop,
    _bad_match,
    _thirsty,
)


def worries(resolved: Resolved, build: Build) -> list[str]:
    """Sentences on what may go wrong, the worst first.

    build : of the middle values, arrays ``(L,)``.
    """
    found = [text for worry in WORRIES for text in worry(resolved, build)]
    return list(dict.fromkeys(found))
