"""What a drawing needs of a layer, taken from the layer as it was described and resolved."""

from __future__ import annotations

import math
from collections.abc import Sequence

from panelwright.mechanics.arrays import Array
from panelwright.panels.layers import AnyLayer, StripsLayer
from panelwright.panels.records import Drawn, DrawnPly
from panelwright.panels.stack import StackLayer

#: Hatch of a kind of layer; of a cloth by its construction, of a core by its class.
_BY_KIND = {
    "strips": "strips",
    "board": "timber",
    "veneer": "timber",
    "plywood": "timber",
    "core": "foam",
    "bulking mat": "bulking mat",
    "glue line": "glue",
    "coat": "resin",
    "film": "resin",
    "damping layer": "damping",
}
_BY_FORM = {
    "woven": "woven",
    "stitched": "stitched",
    "unidirectional": "unidirectional",
    "mat": "mat",
    "balsa_end": "end grain",
    "cork": "cork",
}
#: Kinds of layer that may hold two skins apart.
CORES = frozenset({"strips", "board", "plywood", "core", "bulking mat"})


def _hatch(layer: StackLayer) -> str:
    if layer.form.endswith("honeycomb"):
        return "honeycomb"
    if layer.form == "combination":
        return "mat" if layer.angle is None else "stitched"
    return _BY_FORM.get(layer.form, _BY_KIND.get(layer.kind, "unknown"))


def _number(layer: StackLayer, name: str) -> float | None:
    found = layer.inputs.get(name)
    return None if found is None else found.value


def _kerf(body: StackLayer) -> tuple[float, float, float] | None:
    width, pitch, depth = (_number(body, f"kerf_{side}") for side in ("width", "pitch", "depth"))
    if width is None or pitch is None or depth is None:
        return None
    return width, pitch, depth


def _ring_angle(body: StackLayer) -> float | None:
    angle = _number(body, "ring_angle") if _number(body, "rings_seen") else None
    return None if angle is None else math.degrees(angle)


def drawn_layer(layer: AnyLayer, resolved: Sequence[StackLayer], thickness: Array) -> Drawn:
    """What a drawing needs of one layer.

    layer : as described; resolved : its plies, veneers and films from the outside in;
    thickness : of each, m.
    """
    body = next((one for one in resolved if one.film != "seal film"), resolved[0])
    strip = layer.strip if isinstance(layer, StripsLayer) else None
    return Drawn(
        plies=tuple(
            DrawnPly(_hatch(one), float(thick), one.angle)
            for one, thick in zip(resolved, thickness, strict=True)
        ),
        is_core=body.kind in CORES,
        density=_number(body, "solid_density"),
        width=None if strip is None or strip.width is None else strip.width.value,
        cover=None if strip is None or strip.cover is None else strip.cover.value,
        profile="" if strip is None else strip.profile,
        ring_angle=_ring_angle(body),
        cell=_number(body, "cell_size"),
        kerf=_kerf(body),
    )
