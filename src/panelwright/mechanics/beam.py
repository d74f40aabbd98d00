"""Strips in bending, and what a panel is like: equal stiffness, merit for its mass."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="EI",
    unit="N m",
    equation="EI = E t³/12",
    source="beam theory, per width",
    inputs={"modulus": "E [Pa]", "thickness": "t [m]"},
)
def solid_strip(modulus: ArrayLike, thickness: ArrayLike) -> Array:
    """Bending stiffness of a solid strip per width.

    Both broadcast; N m.
    """
    return array(modulus) * array(thickness) ** 3 / 12.0


@formula(
    symbol="t_eq",
    unit="m",
    equation="t_eq = (12 EI/E)^(1/3)",
    source="beam theory, solved for the thickness",
    inputs={"stiffness": "EI [N m]", "modulus": "E [Pa]"},
)
def thickness_as_stiff(stiffness: ArrayLike, modulus: ArrayLike) -> Array:
    """Thickness of a solid that is as stiff in bending.

    stiffness : per width, N m; modulus : of the solid. Both broadcast; m.
    """
    return array(np.cbrt(12.0 * ratio(stiffness, modulus)))


@formula(
    symbol="t_eq",
    unit="m",
    equation="t_eq between the sheets made, straight in EI^(1/3)",
    source="interpolation: EI goes nearly as the cube of the thickness",
    inputs={
        "stiffness": "EI [N m]",
        "sheets": "t_k [m]",
        "sheet_stiffness": "EI_k [N m]",
    },
)
def thickness_between_sheets(
    stiffness: ArrayLike, sheets: ArrayLike, sheet_stiffness: ArrayLike
) -> Array:
    """Thickness of a plywood as stiff in bending, between those that whole veneers make.

    stiffness : any shape; sheets, sheet_stiffness : ``(K,)``, both rising. Beyond the ends in
    proportion to the cube root. m.
    """
    root, thickness = np.cbrt(array(sheet_stiffness)), array(sheets)
    wanted = np.cbrt(array(stiffness))
    inside = np.interp(wanted, root, thickness)
    low, high = wanted * thickness[0] / root[0], wanted * thickness[-1] / root[-1]
    found = np.where(wanted < root[0], low, np.where(wanted > root[-1], high, inside))
    return array(found)


@formula(
    symbol="E/ρ",
    unit="m²/s²",
    equation="E/ρ",
    source="definition: specific modulus, ties and sheets in their plane",
    inputs={"modulus": "E [Pa]", "density": "ρ [kg/m³]"},
)
def specific_modulus(modulus: ArrayLike, density: ArrayLike) -> Array:
    """Modulus over density.

    Both broadcast.
    """
    return ratio(modulus, density)


@formula(
    symbol="E^(1/3)/ρ",
    unit="Pa^(1/3) m³/kg",
    equation="E^(1/3)/ρ",
    source="definition: merit of a plate in bending for its mass",
    inputs={"modulus": "E [Pa]", "density": "ρ [kg/m³]"},
)
def plate_merit(modulus: ArrayLike, density: ArrayLike) -> Array:
    """Cube root of the modulus over the density.

    modulus : in bending. Both broadcast.
    """
    return ratio(np.cbrt(array(modulus)), density)


@formula(
    symbol="EI/m",
    unit="N m³/kg",
    equation="EI/m",
    source="definition",
    inputs={"stiffness": "EI [N m]", "mass": "m [kg/m²]"},
)
def stiffness_for_mass(stiffness: ArrayLike, mass: ArrayLike) -> Array:
    """Bending stiffness per width over mass per area.

    Both broadcast.
    """
    return ratio(stiffness, mass)


@formula(
    symbol="ρ",
    unit="kg/m³",
    equation="ρ = m/t",
    source="definition",
    inputs={"mass": "m [kg/m²]", "thickness": "t [m]"},
)
def mean_density(mass: ArrayLike, thickness: ArrayLike) -> Array:
    """Density of the whole panel.

    Both broadcast; kg/m3.
    """
    return ratio(mass, thickness)


#: First root of cos x cosh x = 1, squared: a free strip in its first bending.
FREE_STRIP = 22.373285


@formula(
    symbol="E",
    unit="Pa",
    equation="E = 12 m (2πf L²/22.373)²/t³",
    source="beam theory: first bending of a free strip, shear and width left out",
    inputs={
        "frequency": "f [Hz]",
        "length": "L [m]",
        "mass": "m [kg/m²]",
        "thickness": "t [m]",
    },
    valid="length well over the width and 20 thicknesses",
)
def modulus_of_free_strip(
    frequency: ArrayLike, length: ArrayLike, mass: ArrayLike, thickness: ArrayLike
) -> Array:
    """Modulus along a strip or a narrow plate from the first bending note it gives, hung free.

    frequency : Hz; length, thickness : m; mass : per area, kg/m2. All broadcast; Pa.
    """
    pace = 2.0 * np.pi * array(frequency) * array(length) ** 2 / FREE_STRIP
    return ratio(12.0 * array(mass) * pace**2, array(thickness) ** 3)


@formula(
    symbol="r",
    unit="-",
    equation="r = P/P_tab",
    source="definition",
    inputs={"value": "P [any]", "tabulated": "P_tab [any]"},
)
def over_tabulated(value: ArrayLike, tabulated: ArrayLike) -> Array:
    """A property of a piece over that of the handbook.

    Both broadcast.
    """
    return ratio(value, tabulated)
