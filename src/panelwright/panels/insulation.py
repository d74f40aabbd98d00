"""What a panel sets against heat: the conductivity of its layers, by kind, and the sum of t/k."""

from __future__ import annotations

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import comparing, timber
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.checks import TIMBER
from panelwright.panels.evaluate import Build
from panelwright.panels.spread import draw
from panelwright.panels.stack import Stack, StackLayer
from panelwright.provenance import Input


def _row(catalogue: Catalogue, layer: StackLayer) -> Row | None:
    known = catalogue.table("solids").get(layer.name) if layer.kind == "lamina" else None
    solid = "" if known is None else known.id
    has = {
        "kinds": layer.kind,
        "core_classes": layer.form,
        "fibre_groups": layer.fibre_group,
        "solids": solid,
    }
    for row in catalogue.table("conductivities"):
        said = ((row.text(column), word) for column, word in has.items())
        if all(not words or word in words.split(";") for words, word in said):
            return row
    return None


def conductivities(catalogue: Catalogue, layers: list[StackLayer]) -> list[Input | None]:
    """Conductivity of each layer as tabulated, W/(m K); None for timber and where none is known."""
    rows = [None if layer.kind in TIMBER else _row(catalogue, layer) for layer in layers]
    return [
        None if row is None else row.input("conductivity", cause=f"conductivity of {row.name}")
        for row in rows
    ]


def unknown_conductivity(layers: list[StackLayer], given: list[Input | None]) -> list[str]:
    """Names of the layers whose conductivity is not known."""
    pairs = zip(layers, given, strict=True)
    found = [la.name for la, one in pairs if one is None and la.kind not in TIMBER]
    return list(dict.fromkeys(found))


def resistance(
    stack: Stack, build: Build, layers: list[StackLayer], given: list[Input | None], draws: int = 0
) -> Array:
    """Sum of t/k from face to face, m² K/W: ``()``, or ``(draws,)`` for a stack under draws.

    given : of :func:`conductivities`. Air at the faces is left out.
    """
    columns = []
    for index, (layer, one) in enumerate(zip(layers, given, strict=True)):
        if layer.kind in TIMBER:
            wet = stack.moisture[..., index]
            gravity = timber.weighed_gravity(build.density[..., index], wet)
            columns.append(comparing.timber_conductivity(gravity, wet))
        elif one is None:
            columns.append(np.zeros_like(build.thickness))
        else:
            columns.append(draw(one, draws) if draws else array(one.value))
    return comparing.thermal_resistance(build.layer_thickness, np.stack(columns, axis=-1))
