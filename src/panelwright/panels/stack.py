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
    # stiffness of cloth
    fibre_E1: Array
    fibre_E2: Array
    fibre_G12: Array
    fibre_nu: Array
    resin_E: Array
    resin_nu: Array
    is_woven: Array
    is_random: Array
    warp_share: Array
    crimp: Array
    # stiffness of timber
    moe_12: Array  # of the handbook's bending test
    moe_green: Array
    intersection_moisture: Array
    true_over_bending: Array
    gravity_power: Array
    flat_share: Array  # of strips whose width runs along the rings
    rings_seen: Array  # 1 where the ring angle was given
    ring_angle: Array  # rad, between the width and the rings
    grain_slope: Array  # rad, between the length and the grain
    knot_share: Array  # diameter of the largest knot over the width of the face
    ratio_T: Array
    ratio_R: Array
    ratio_LR: Array
    ratio_LT: Array
    ratio_RT: Array
    nu_LR: Array
    nu_LT: Array
    nu_RT: Array
    # stiffness as given or tabulated: cores, sheets, constants
    given_E1: Array
    given_E2: Array
    given_G12: Array
    given_nu12: Array
    given_G13: Array
    given_G23: Array
    # stiffness of films
    film_E: Array
    film_nu: Array
    angle: Array  # rad, from x, seen from outside
    # free movement with heat and moisture
    fibre_heat_along: Array  # 1/K
    fibre_heat_across: Array
    resin_heat: Array
    timber_heat_along: Array
    given_heat: Array
    shrink_along: Array  # green to oven-dry, as a share of the green size
    shrink_radial: Array
    shrink_tangential: Array
    # damage of cloth: strains and strengths at the fibre fraction of the table
    strain_1t: Array
    strain_1c: Array
    strain_1c_power: Array
    strain_2t: Array
    strain_2c: Array
    strain_crack: Array
    shear_12: Array
    shear_between: Array
    strain_fraction: Array
    held_across: Array  # 1 where fibre runs across as well: woven, random
    is_yarn: Array  # 1 for the few yarns across a tape
    # damage of timber: small clear wood, at 12 % and green
    bend_12: Array
    bend_green: Array
    crush_12: Array
    crush_green: Array
    wood_shear_12: Array
    wood_shear_green: Array
    split_12: Array
    press_12: Array
    rolling_12: Array
    # strength as given or tabulated: cores, constants
    given_X1t: Array
    given_X1c: Array
    given_X2t: Array
    given_X2c: Array
    given_S12: Array
    given_S13: Array
    given_S23: Array
    yield_share: Array  # of the shear strength at which a core yields
    through_E: Array  # of cores, through the thickness
    crush: Array  # strength of cores pressed square on
    cell_size: Array  # m, of honeycomb
    wrinkling_share: Array  # of cores: what waviness of the faces leaves of their wrinkling force


#: Names of the stack's arrays, in order.
FIELDS = tuple(entry.name for entry in fields(Stack))
_NAMES_BY_UNIT = {
    "kg/m²": "fibre_mass thread_mass edge_spread soak film_applied film_sunk",
    "kg/m³": "fibre_density resin_density thread_density solid_density fill_density "
    "kerf_resin_density film_density",
    "m": "gauged_thickness solid_thickness kerf_width kerf_pitch kerf_depth edge_cover cell_size",
    "1/m": "curvature",
    "Pa": "fibre_E1 fibre_E2 fibre_G12 resin_E moe_12 moe_green given_E1 given_E2 given_G12 "
    "given_G13 given_G23 film_E shear_12 shear_between bend_12 bend_green crush_12 crush_green "
    "wood_shear_12 wood_shear_green split_12 press_12 rolling_12 given_X1t given_X1c given_X2t "
    "given_X2c given_S12 given_S13 given_S23 through_E crush",
    "rad": "angle ring_angle grain_slope",
    "1/K": "fibre_heat_along fibre_heat_across resin_heat timber_heat_along given_heat",
}
#: Unit of each array that has one.
UNITS = {name: unit for unit, names in _NAMES_BY_UNIT.items() for name in names.split()}


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
    form: str = ""  # of a cloth; class of a core
    fibre_group: str = ""  # of a cloth
    film: str = ""  # "seal film", "glue line" or "coat"
    resin: str = ""  # product of cloth resin, soak, kerf resin
    film_product: str = ""
    edge_product: str = ""
    material: str = ""  # where the layer may bear a name of its own

    @property
    def bought(self) -> str:
        """What it is bought as."""
        return self.material or self.name


def stack_of(layers: list[StackLayer]) -> Stack:
    """The middle values of the layers as a stack of shape ``(L,)``."""
    columns = {}
    for name in FIELDS:
        column = np.zeros(len(layers))
        for index, layer in enumerate(layers):
            if name in layer.inputs:
                column[index] = layer.inputs[name].value
        columns[name] = column
    return Stack(**columns)


def origins(layers: list[StackLayer], name: str) -> list[Input | None]:
    """The input behind each entry of one array."""
    return [layer.inputs.get(name) for layer in layers]
