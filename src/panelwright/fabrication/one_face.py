"""What glassing one face does to a planked shell until the other is done."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from panelwright.fabrication.strip_records import PERCENT, Air, practice
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import laminate, moisture
from panelwright.mechanics.arrays import Array
from panelwright.panels.section import movement_unfinished
from panelwright.panels.spread import Ranged, causes_of, ranged
from panelwright.panels.stack import Stack, StackLayer
from panelwright.provenance import Input


@dataclass(frozen=True)
class OneFace:
    """A shell glassed outside only, as its timber takes up or loses water.

    ``rise`` : of the middle over ``chord`` (m) for 1 % of moisture, bulging outwards positive;
    ``allowed`` : that can be pulled back, m; ``step`` : change of moisture that makes it;
    ``driest``, ``dampest`` : humidity to keep the shop within until the inside is glassed.
    """

    chord: float
    rise: Ranged
    allowed: float
    step: float
    humidity: float | None = None
    driest: float | None = None
    dampest: float | None = None
    ends: tuple[float, float] | None = None  # rise at the shop's driest and dampest, m
    advice: tuple[str, ...] = ()


def one_face(
    stack: Stack,
    many: Stack,
    layers: Sequence[StackLayer],
    chord: float,
    inputs: Sequence[Input],
    catalogue: Catalogue,
    air: Air | None = None,
) -> OneFace | None:
    """What the first face does to a shell before the other is on; None where nothing is left out.

    stack, many : of the panel in the middle, ``(L,)``, and drawn, ``(n, L)``; layers : its L
    layers; chord : over which the rise is told, such as the widest girth, m; inputs : all of the
    panel, for what drives the range; air : of the shop.
    """
    timbers = [index for index, layer in enumerate(layers) if layer.kind == "strips"]
    if not timbers or max(timbers) == len(layers) - 1:
        return None
    last = max(timbers)
    round_girth = (
        4 if abs(math.cos(math.radians(layers[last].angle or 0.0))) > math.sqrt(0.5) else 3
    )

    def rise(of: Stack) -> Array:
        curved = movement_unfinished(of, last).per_moisture[..., round_girth]
        return laminate.rise(curved, chord)

    found = ranged(float(rise(stack)), rise(many), "m", causes_of(inputs, many.moisture.shape[0]))
    allowed = practice(catalogue, "one_face_rise").value * chord
    step = PERCENT * allowed / max(abs(found.low), abs(found.high), 1e-12)
    record = OneFace(chord, found, allowed, step)
    if air is not None:
        record = _in_air(record, layers[last].inputs["moisture"].value, air)
    return replace(record, advice=_advice(record))


def _in_air(record: OneFace, now: float, air: Air) -> OneFace:
    """The humidity at which the timber stays as it is, the bounds to either side, and the ends."""
    steps = (max(now - record.step, 0.0), now, now + record.step)
    driest, humidity, dampest = moisture.humidity_for_moisture(air.temperature, steps)
    settled = moisture.equilibrium_moisture(air.temperature, [air.driest, air.dampest])
    rises = record.rise.value * (settled - now) / PERCENT
    return replace(
        record,
        humidity=float(humidity),
        driest=float(driest),
        dampest=float(dampest),
        ends=(float(rises[0]), float(rises[1])),
    )


def _advice(of: OneFace) -> tuple[str, ...]:
    steady = "keep the air of the shop as it was when the outside was glassed"
    if of.driest is not None and of.dampest is not None:
        steady = (
            f"keep the shop between {100.0 * of.driest:.0f} and {100.0 * of.dampest:.0f} % "
            "humidity until the inside is glassed"
        )
    return (
        steady,
        "glass the inside within days of taking the shell off the mould",
        "brace the edges with spreaders or a cradle at once",
        "closed in: sponge the bare face with water; opened: warm and dry the air",
    )
