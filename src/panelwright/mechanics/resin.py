"""Resin on the bench: how much to mix for what goes into the part."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula


@formula(
    symbol="r_c",
    unit="kg/m²",
    equation="r_c = Σ over the layers that hold this cause",
    source="definition",
    inputs={"mass": "x_i [kg/m²]", "belongs": "1 or 0 [-]"},
)
def mass_of_cause(mass: ArrayLike, belongs: ArrayLike) -> Array:
    """Mass per area that one cause has in the panel.

    mass : of the layers, ``(..., L)``, kg/m2; belongs : ``(L,)``, 1 where the cause applies.
    """
    return array(np.sum(array(mass) * array(belongs), axis=-1))


@formula(
    symbol="r_p",
    unit="kg/m²",
    equation="r_p = n q",
    source="definition",
    inputs={"per_face": "q [kg/m²]", "faces": "n [-]"},
)
def resin_in_sacrificial_cloth(per_face: ArrayLike, faces: ArrayLike) -> Array:
    """Resin that leaves with peel ply, bleeder or mesh: mixed, but not in the part.

    per_face : taken up on one face, kg/m2; faces : how many. Both broadcast.
    """
    return array(per_face) * array(faces)


@formula(
    symbol="r_l",
    unit="kg/m²",
    equation="r_l = x r",
    source="common practice",
    inputs={"share": "x [-]", "resin": "r [kg/m²]"},
)
def resin_in_lines(share: ArrayLike, resin: ArrayLike) -> Array:
    """Resin left in feed lines and the catch pot, as a share of what the part takes.

    Both broadcast; kg/m2.
    """
    return array(share) * array(resin)


@formula(
    symbol="r_t",
    unit="kg/m²",
    equation="r_t = p Σ r",
    source="definition: mixed = (in the part + taken away) (1 + p)",
    inputs={"loss": "p [-]", "used": "Σ r [kg/m²]"},
)
def pot_and_tool_loss(loss: ArrayLike, used: ArrayLike) -> Array:
    """Resin that stays in pots, on rollers and on the floor.

    loss : share added on top of what is used; used : kg/m2. Both broadcast.
    """
    return array(loss) * array(used)


@formula(
    symbol="r",
    unit="kg/m²",
    equation="r = Σ r_c",
    source="definition",
    inputs={"parts": "r_c [kg/m²]"},
)
def total(parts: ArrayLike) -> Array:
    """Sum over causes.

    parts : causes on the last axis, ``(..., C)``, kg/m2. Gives shape ``(...)``.
    """
    return array(np.sum(parts, axis=-1))


@formula(
    symbol="b",
    unit="kg/m²",
    equation="b = m (1 + w)",
    source="definition",
    inputs={"mass": "m [kg/m²]", "waste": "w [-]"},
)
def with_waste(mass: ArrayLike, waste: ArrayLike) -> Array:
    """What to buy of something of which a share is cut away.

    mass : in the part; waste : added on top. Both broadcast.
    """
    return array(mass) * (1.0 + array(waste))


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈m/p⌉",
    source="definition",
    inputs={"mass": "m [kg]", "pack": "p [kg]"},
)
def packs(mass: ArrayLike, pack: ArrayLike) -> Array:
    """How many packs to buy.

    mass, pack : kg; a millionth of a pack more than full does not open another.
    """
    return array(np.ceil(array(mass) / array(pack) - 1e-6))


@formula(
    symbol="r",
    unit="kg/m²",
    equation="r = a w + b",
    source="see the rule's own source",
    inputs={
        "cloth_mass": "w [kg/m²]",
        "per_cloth": "a [-]",
        "per_area": "b [kg/m²]",
    },
)
def rule_of_thumb(cloth_mass: ArrayLike, per_cloth: ArrayLike, per_area: ArrayLike) -> Array:
    """Resin by a rule of the trade that knows only cloth and area.

    All broadcast; kg/m2.
    """
    return array(per_cloth) * array(cloth_mass) + array(per_area)
