"""Strength of plies: what the fibre bears before it breaks, and what the ply bears with it."""

from __future__ import annotations

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="ε_f",
    unit="-",
    equation="ε_f = X_f/E_f",
    source="kaw-2006, section 3.4.1",
    inputs={"strength": "X_f [Pa]", "modulus": "E_f [Pa]"},
    valid="fibre that is straight in its diagram up to failure",
)
def fibre_failure_strain(strength: ArrayLike, modulus: ArrayLike) -> Array:
    """Strain at which a fibre breaks.

    Both broadcast.
    """
    return ratio(strength, modulus)


@formula(
    symbol="X₁t",
    unit="Pa",
    equation="X₁t = X_f Vf + E_m ε_f (1 − Vf)",
    source="kaw-2006, section 3.4.1",
    inputs={
        "strength": "X_f [Pa]",
        "matrix": "E_m [Pa]",
        "failure_strain": "ε_f [-]",
        "volume_fraction": "Vf [-]",
    },
    valid="resin that stretches further than the fibre; an upper bound for hand-laid plies",
)
def tensile_strength_along(
    strength: ArrayLike,
    matrix: ArrayLike,
    failure_strain: ArrayLike,
    volume_fraction: ArrayLike,
) -> Array:
    """Tensile strength of a unidirectional ply along its fibre, the fibre breaking first.

    All broadcast; Pa.
    """
    v = array(volume_fraction)
    return array(strength) * v + array(matrix) * array(failure_strain) * (1.0 - v)
