"""What fairing takes from the strips of a bent part, on its way into the prediction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from panelwright import units
from panelwright.mechanics import strips
from panelwright.panels.stack import StackLayer


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
    source = f"{whole.source}, less what fairing takes round {units.show(radius, 'length')}"
    left = replace(whole, low=low, value=value, high=high, source=source)
    return replace(layer, inputs={**layer.inputs, "solid_thickness": left})
