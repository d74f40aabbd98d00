"""What goes with the answer to a duty: what is assumed, what to watch, what is drawn of it."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from panelwright.jobs.checked import Checked, joined, least
from panelwright.mechanics import beam, laminate, loads, plate
from panelwright.mechanics.plate import Edge
from panelwright.panels import bearing, duty
from panelwright.panels.duty import Borne, Field
from panelwright.panels.lasting import Left
from panelwright.panels.verdicts import ThroughRecord, WayRecord

#: Deflections that differ by less are alike.
ALIKE = 1.05
#: Deflection as a share of the span from which a figure means only that it is far too soft.
FAR = 0.1
#: Share of the thickness from which a deflection is no longer small.
LARGE = 0.5
#: Places of a picture, each way.
GRID = 31
NOT_COVERED = (
    "impact, slamming and fatigue",
    "fire, and heat or water beyond what the prediction says of them",
    "holes, cut-outs, inserts, joints and the edges of the panel themselves",
    "buckling of the panel as a whole under forces in its plane",
    "double curvature",
)
ASSUMED = (
    "edges are closed: nothing crushes the core there, no water gets in",
    "no load comes in by fasteners",
    "the panel is flat, and what supports it does not give way",
)
STANDARD = (
    "a design pressure is not invented here: the applicable standard, class rules or a licensed "
    "engineer or naval architect give it"
)


def unsure(ways: tuple[WayRecord, ...]) -> str:
    """How much of the answer is due to edges that nobody is sure of."""
    if len(ways) < 2:
        return ""
    loose, tight = (way.deflection.value for way in ways)
    if loose < ALIKE * tight:
        return "how the unsure edges hold makes no difference here"
    return (
        f"not knowing how the edges hold makes {loose / tight:.1f} times the deflection: "
        "each limit is judged on the worse"
    )


def _is_even(field: Field) -> bool:
    return all(one.over is None and one.rise == 0.0 for one in field.acting)


def by_hand(of: Checked, field: Field, way: Borne) -> float | None:
    """A bracketing value by one wave; for an even load on four edges of one kind."""
    if way.bent is None or not _is_even(field) or len(set(way.bent.held.edges)) > 1:
        return None
    one = {"simply supported": beam.one_wave_supported, "clamped": beam.one_wave_clamped}
    wave = one.get(str(way.bent.held.edges[0]))
    if wave is None:
        return None
    made = of.middle.made
    free = laminate.bending_free_to_stretch(made.extension, made.coupling, made.bending)
    d11, d12, d22, _, _, d66 = (float(free[..., k]) for k in range(6))
    pressure = field.mean_pressure
    shear = made.shear
    return float(
        wave(pressure, field.length, field.width, d11, d12, d22, d66, shear[0, 0], shear[1, 1])
    )


def assumes(of: Checked, field: Field, way: Borne) -> Iterator[str]:
    """What is taken for granted of the surroundings."""
    pressure = field.mean_pressure
    a, b = field.length, field.width
    spans = {"bottom and top": (b, a), "left and right": (a, b)}
    deflection = max(abs(way.deflection.value), 1e-9)
    if way.bent is not None:
        for words, (breadth, span) in spans.items():
            edges = (
                way.bent.held.edges[2:] if words.startswith("bottom") else way.bent.held.edges[:2]
            )
            if all(edge is Edge.FREE for edge in edges):
                continue
            stiff = float(loads.stiff_enough_bearer(pressure, breadth / 2.0, span, deflection))
            yield (
                f"what bears the edges {words} has an EI of at least {_round(stiff)} N·m², "
                "and so gives less than a tenth of the panel's own deflection"
            )
    yield from ASSUMED


def _round(value: float) -> str:
    """Two figures, whole from 10 on."""
    digits = 1 - math.floor(math.log10(value)) if value > 0.0 else 0
    return f"{round(value, digits):.0f}" if value >= 10.0 else f"{value:.2g}"


def warnings(of: Checked, field: Field, borne: list[Borne], left: Left) -> Iterator[str]:
    """What to watch: where the theory ends, what is not known."""
    thick = float(of.done.build.thickness)
    span = min(field.length, field.width) if borne[0].bent is not None else field.length
    if any(abs(way.deflection.value) > FAR * span for way in borne):
        yield (
            "a deflection of more than a tenth of the span is beyond what this theory can tell: "
            "it says only that the panel is far too soft"
        )
    elif any(abs(way.deflection.value) > LARGE * thick for way in borne if way.bent is not None):
        yield (
            "the deflection exceeds half the thickness: the real one is less, since the panel "
            "also hangs in its plane; the pull on its edges is not told, and is not nothing"
        )
    for one in field.acting:
        dents = any(found.how == duty.DENT for way in borne for found in way.first)
        if one.over is not None and dents:
            yield (
                f"under “{one.words}” the skin bends by itself, which this theory does not see: "
                "the core under it is judged by the formula for a dent"
            )
    for way in borne:
        if abs(way.deflection.last_change) > bearing.CONVERGED_DEFLECTION:
            yield _changes("the deflection", way.deflection.last_change)
        for name, found in (("first damage", way.first), ("the end", way.ends)):
            end = least(found)
            if (
                end is not None
                and not of.unknown
                and abs(end.at.last_change) > bearing.CONVERGED_STRESS
            ):
                yield _changes(f"the reserve at {name}", end.at.last_change)
    if left.unknown or left.unknown_strength:
        names = tuple(dict.fromkeys((*left.unknown, *left.unknown_strength)))
        told = f"how {joined(names)} takes a load that lasts is not known"
        yield f"{told}: test it, or shorten the load"
    yield STANDARD


def _changes(what: str, change: float) -> str:
    return f"{what} still changes by {100.0 * abs(change):.2g} % on the last refinement"


# --- Pictures -------------------------------------------------------------------------------------


def grid(way: Borne) -> tuple[tuple[float, ...], ...]:
    """Deflections inwards over an even grid of the field."""
    if way.bent is None:
        return ()
    held = way.bent.held
    x, y = (np.linspace(0.0, side.length, GRID) for side in (held.x, held.y))
    found = plate.deflection_at(held, way.bent.unknowns[:, :1], x, y)[0]
    return tuple(tuple(float(f"{value:.4g}") for value in row) for row in -found)


def through(of: Checked, way: Borne) -> Iterator[ThroughRecord]:
    """Stress along the fibre or grain through the thickness, where first damage governs."""
    if way.through is None:
        return
    heights, thick = of.middle.made.heights, of.middle.build.layer_thickness
    for at, layer in enumerate(of.done.resolved.layers):
        if float(thick[at]) <= 0.0:
            continue
        stress = way.through.stresses[0, 0, at, :, 0]
        z, half = float(heights[at]), float(thick[at]) / 2.0
        yield ThroughRecord(layer.name, z + half, z - half, (float(stress[0]), float(stress[1])))


def governing(of: Checked, way: Borne) -> int | None:
    """Place of the layer that governs among those that have a thickness."""
    first = least(tuple(one for one in way.first if one.how == duty.IN_PLANE))
    if first is None or of.unknown:
        return None
    return int(np.count_nonzero(of.middle.build.layer_thickness[: first.layer] > 0.0))
