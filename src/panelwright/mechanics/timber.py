"""Timber in the shop: the air in it, and how it moves by the coefficient of a table."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike
from panelwright.working import formula

#: Density of the wall of a wood cell, kg/m3 (fpl-gtr-190, from memory).
CELL_WALL_DENSITY = 1500.0


@formula(
    symbol="V_a",
    unit="m",
    equation="V_a = t (1 − ρ₀/ρ_w)",
    source="geometry; fpl-gtr-190, density of the cell wall (from memory)",
    inputs={
        "thickness": "t [m]",
        "dry_density": "ρ₀ [kg/m³]",
        "wall_density": "ρ_w [kg/m³]",
    },
    valid="dry timber; water in the wood takes some of the room",
)
def air_in_timber(
    thickness: ArrayLike, dry_density: ArrayLike, wall_density: ArrayLike = CELL_WALL_DENSITY
) -> Array:
    """Air held in a timber core, per area.

    thickness : m; dry_density : oven-dry [kg/m3]; wall_density : of the cell wall [kg/m3].
    All broadcast; m3/m2.
    """
    return np.asarray(thickness, np.float64) * (
        1.0 - np.asarray(dry_density, np.float64) / np.asarray(wall_density, np.float64)
    )


@formula(
    symbol="ΔV_a",
    unit="m",
    equation="ΔV_a = V_a (T₂ − T₁)/T₁",
    source="definition of an ideal gas at constant pressure",
    inputs={"air": "V_a [m]", "temperature_from": "T₁ [K]", "temperature_to": "T₂ [K]"},
    valid="an upper bound, for both faces together; negative when the core cools and draws in",
)
def expelled_air(air: ArrayLike, temperature_from: ArrayLike, temperature_to: ArrayLike) -> Array:
    """Air that must leave a core as it warms, per area.

    air : in the core [m3/m2]; temperatures : K. All broadcast; m3/m2.
    """
    start = np.asarray(temperature_from, np.float64)
    return np.asarray(air, np.float64) * (np.asarray(temperature_to, np.float64) - start) / start


@formula(
    symbol="ΔD",
    unit="m",
    equation="ΔD = D C (M₂ − M₁), M in percent",
    source="fpl-gtr-190, chapter 13, with the coefficients of table 13-5",
    inputs={
        "size": "D [m]",
        "coefficient": "C [-]",
        "moisture_from": "M₁ [-]",
        "moisture_to": "M₂ [-]",
    },
    valid="6 to 14 % moisture; free timber",
)
def change_of_size_by_coefficient(
    size: ArrayLike, coefficient: ArrayLike, moisture_from: ArrayLike, moisture_to: ArrayLike
) -> Array:
    """How much a free piece grows or shrinks, by a tabulated coefficient.

    size : at ``moisture_from`` [m]; coefficient : share for each percent of moisture; moistures :
    fractions of the dry mass. All broadcast; same unit as ``size``.
    """
    percent = 100.0 * (np.asarray(moisture_to, np.float64) - np.asarray(moisture_from, np.float64))
    return np.asarray(size, np.float64) * np.asarray(coefficient, np.float64) * percent
