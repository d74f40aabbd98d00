"""The stack: numbers only, one array per property, the layers on the last axis.

One panel has arrays of shape ``(L,)``, ``n`` draws of its uncertain causes ``(n, L)``, a set of
candidates ``(N, L)``; the same functions serve all. A layer is cloth, solid or film: what it is
not stays zero and adds nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields

import numpy as np

from panelwright.mechanics.arrays import Array
from panelwright.provenance import Input


@dataclass(frozen=True)
class Stack:
    """What the formulas start from. Every array is ``(..., L)``, SI units, fractions 0 to 1."""

    # cloth
    fibre_mass: Array  # kg/m2, dry
    fibre_density: Array
    fibre_mass_fraction: Array  # by process, or as given
    fibre_volume_given: Array  # 0 where not given
    gauged_thickness: Array  # m, 0 where not gauged
    resin_density: Array
    void_fraction: Array
    thread_mass: Array  # stitching, kg/m2
    thread_density: Array
    cloth_moisture: Array  # of the dry mass
    # solids
    solid_thickness: Array
    solid_density: Array  # as given or tabulated; 0 where timber gravity serves
    tabulated_gravity: Array
    tabulated_moisture: Array
    moisture: Array
    fill_density: Array  # resin that a bulking mat holds, kg/m3 of the layer
    kerf_width: Array
    kerf_pitch: Array
    kerf_depth: Array
    curvature: Array  # 1/m
    kerf_resin_density: Array
    edge_cover: Array  # m, 0 where there are no edges to glue
    edge_spread: Array  # kg/m2 of edge
    edge_kept: Array
    soak: Array  # below the surface, all faces, kg/m2
    # films: seal film, glue line, coat
    film_applied: Array
    film_sunk: Array
    film_kept: Array
    film_density: Array


#: Names of the stack's arrays, in order.
FIELDS = tuple(entry.name for entry in fields(Stack))
UNITS = {
    "fibre_mass": "kg/m²",
    "fibre_density": "kg/m³",
    "gauged_thickness": "m",
    "resin_density": "kg/m³",
    "thread_mass": "kg/m²",
    "thread_density": "kg/m³",
    "solid_thickness": "m",
    "solid_density": "kg/m³",
    "fill_density": "kg/m³",
    "kerf_width": "m",
    "kerf_pitch": "m",
    "kerf_depth": "m",
    "curvature": "1/m",
    "kerf_resin_density": "kg/m³",
    "edge_cover": "m",
    "edge_spread": "kg/m²",
    "soak": "kg/m²",
    "film_applied": "kg/m²",
    "film_sunk": "kg/m²",
    "film_density": "kg/m³",
}


@dataclass(frozen=True)
class StackLayer:
    """One layer of the stack before it becomes a column of the arrays.

    ``laid`` numbers the layer as laid, from 0 at the outside; several stack layers (the plies of
    one cloth, a board and its seal films) share it. ``film`` and ``product`` words say what a film
    is and which mixes the layer draws on.
    """

    name: str
    kind: str
    laid: int
    inputs: dict[str, Input] = field(default_factory=dict)
    angle: float | None = None  # degrees, seen from outside
    form: str = ""  # of a cloth
    film: str = ""  # "seal film", "glue line" or "coat"
    resin: str = ""  # product of cloth resin, soak, kerf resin
    film_product: str = ""
    edge_product: str = ""


def stack_of(layers: list[StackLayer]) -> Stack:
    """The middle values of the layers as a stack of shape ``(L,)``."""
    zero = np.zeros(len(layers))
    columns = {}
    for name in FIELDS:
        column = zero.copy()
        for index, layer in enumerate(layers):
            if name in layer.inputs:
                column[index] = layer.inputs[name].value
        columns[name] = column
    return Stack(**columns)


def origins(layers: list[StackLayer], name: str) -> list[Input | None]:
    """The input behind each entry of one array."""
    return [layer.inputs.get(name) for layer in layers]
