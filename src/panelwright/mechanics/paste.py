"""Thick paste: the bed under a core, and fillets."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula


@formula(
    symbol="p",
    unit="kg/m²",
    equation="p = ρ (b + V_k)",
    source="mass balance",
    inputs={"bed": "b [m]", "kerf_volume": "V_k [m]", "density": "ρ [kg/m³]"},
    valid="kerfs open to the bed and filled by it",
)
def paste_bed(bed: ArrayLike, kerf_volume: ArrayLike, density: ArrayLike) -> Array:
    """Bonding paste under a core, with what rises into its kerfs, per area.

    bed : mean thickness [m]; kerf_volume : per area [m3/m2]; density : of the paste [kg/m3].
    All broadcast; kg/m2.
    """
    return array(density) * (array(bed) + array(kerf_volume))


@formula(
    symbol="A_f",
    unit="m²",
    equation="A_f = r² [cot(α/2) − (π − α)/2]",
    source="geometry: an arc of radius r that touches both panels",
    inputs={"radius": "r [m]", "angle": "α [rad]"},
    valid="0 < α < π; at a right angle r² (1 − π/4)",
)
def fillet_area(radius: ArrayLike, angle: ArrayLike) -> Array:
    """Cross-section of a fillet between two panels.

    radius : of the arc [m]; angle : between the panels [rad]. Both broadcast; m2.
    """
    half = array(angle) / 2.0
    return array(radius) ** 2 * (1.0 / np.tan(half) - (np.pi / 2.0 - half))


@formula(
    symbol="m_f",
    unit="kg/m",
    equation="m_f = ρ A_f",
    source="mass balance",
    inputs={"section": "A_f [m²]", "density": "ρ [kg/m³]"},
)
def fillet_mass(section: ArrayLike, density: ArrayLike) -> Array:
    """Mass of a fillet for each metre of its length.

    section : m2; density : of the paste [kg/m3]. Both broadcast; kg/m.
    """
    return array(section) * array(density)
