"""What fairing takes from the strips of a bent part, on its way into the prediction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from panelwright.errors import InputError, Problem
from panelwright.fabrication.strip_records import bend, small
from panelwright.mechanics import strips
from panelwright.panels.stack import StackLayer

#: Fairing that takes more than this share of the strips leaves no shell worth the name.
MOST_PLANED = 0.5


def refuse_thin(layer: StackLayer, radius: float, share: float, where: str = "") -> None:
    """Refuse strips so wide for a bend that fairing takes half of them.

    layer : of strips; radius : across them, m; share : of the thickness that may be planed, for the
    cover that would do; where : for the message, such as "at 1.2 m ".
    Raises :class:`InputError`.
    """
    thickness, cover = layer.inputs["solid_thickness"].value, layer.inputs["edge_cover"].value
    left = float(strips.thickness_left(thickness, cover, radius))
    if left > (1.0 - MOST_PLANED) * thickness:
        return
    widest = small(float(strips.widest_cover(radius, share * thickness)))
    what = (
        f"{where}strips that cover {small(cover)} round {bend(radius)} would keep "
        f"{small(left)} of their {small(thickness)} once they are fair"
    )
    hint = f"strips that cover {widest} or less there"
    raise InputError(Problem(what, small(cover), f"up to {widest}", hint))


def faired_layers(layers: Sequence[StackLayer], radius: float) -> list[StackLayer]:
    """The layers of a panel where it is bent across its strips and faired on both faces.

    layers : as resolved, strips as thick as they are where it is flat; radius : across the strips,
    m. Strips whose cover is known get the thickness that is left, its range with it; all else
    stays. Predict these layers for the bent place, the ones given for the flat.
    """
    return [_faired(layer, radius) for layer in layers]


def _faired(layer: StackLayer, radius: float) -> StackLayer:
    if layer.kind != "strips" or "edge_cover" not in layer.inputs:
        return layer
    whole, cover = layer.inputs["solid_thickness"], layer.inputs["edge_cover"].value
    low, value, high = (
        float(strips.thickness_left(end, cover, radius))
        for end in (whole.low, whole.value, whole.high)
    )
    source = f"{whole.source}, less what fairing takes round {bend(radius)}"
    left = replace(whole, low=low, value=value, high=high, source=source)
    return replace(layer, inputs={**layer.inputs, "solid_thickness": left})
