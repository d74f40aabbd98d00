"""Strips in bending and shear, and what a panel is like: equal stiffness, merit for its mass.

Loads, stiffness and what follows are per width; a beam of a given width takes its totals.
"""

from __future__ import annotations

from typing import NamedTuple

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
    symbol="EA",
    unit="N/m",
    equation="EA = E t",
    source="definition: force per width for a stretch, free across",
    inputs={"modulus": "E [Pa]", "thickness": "t [m]"},
)
def sheet_stiffness(modulus: ArrayLike, thickness: ArrayLike) -> Array:
    """Stiffness of a sheet that is pulled, per width.

    modulus : in the plane, the sheet free across. Both broadcast; N/m.
    """
    return array(modulus) * array(thickness)


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


# --- Strips under load ----------------------------------------------------------------------------


class Strip(NamedTuple):
    """How a strip answers a load W in all, by its span L: shares of W L³/EI, W L/S, W L and W."""

    bending: float
    shear: float
    moment: float
    force: float


#: Deflection at mid-span, or at the end of a cantilever; largest moment and shear force.
STRIPS = {
    "three points": Strip(1.0 / 48.0, 1.0 / 4.0, 1.0 / 4.0, 1.0 / 2.0),
    "simply supported, uniform": Strip(5.0 / 384.0, 1.0 / 8.0, 1.0 / 8.0, 1.0 / 2.0),
    "clamped, in the middle": Strip(1.0 / 192.0, 1.0 / 4.0, 1.0 / 8.0, 1.0 / 2.0),
    "clamped, uniform": Strip(1.0 / 384.0, 1.0 / 8.0, 1.0 / 12.0, 1.0 / 2.0),
    "cantilever, at the end": Strip(1.0 / 3.0, 1.0, 1.0, 1.0),
    "cantilever, uniform": Strip(1.0 / 8.0, 1.0 / 2.0, 1.0 / 2.0, 1.0),
}


@formula(
    symbol="w",
    unit="m",
    equation="w = k_b W L³/EI + k_s W L/S",
    source="allen-1969, chapter 2 (from memory), k_b and k_s by how the strip is held",
    inputs={
        "load": "W [N/m]",
        "span": "L [m]",
        "stiffness": "EI [N m]",
        "shear_stiffness": "S [N/m]",
        "by_bending": "k_b [-]",
        "by_shear": "k_s [-]",
    },
    valid="three points k_b 1/48, k_s 1/4; uniform 5/384, 1/8; cantilever 1/3, 1",
)
def strip_deflection(
    load: ArrayLike,
    span: ArrayLike,
    stiffness: ArrayLike,
    shear_stiffness: ArrayLike,
    by_bending: ArrayLike,
    by_shear: ArrayLike,
) -> Array:
    """Deflection of a strip, bending and shear together.

    load : in all, per width, N/m; by_bending, by_shear : of ``STRIPS``. All broadcast; m.
    """
    bent = array(by_bending) * ratio(array(span) ** 3, stiffness)
    return array(array(load) * (bent + array(by_shear) * ratio(span, shear_stiffness)))


@formula(
    symbol="M",
    unit="N",
    equation="M = k_m W L",
    source="beam theory",
    inputs={"load": "W [N/m]", "span": "L [m]", "by_load": "k_m [-]"},
    valid="three points k_m 1/4; uniform 1/8, clamped 1/12; cantilever 1, uniform 1/2",
)
def strip_moment(load: ArrayLike, span: ArrayLike, by_load: ArrayLike) -> Array:
    """Largest bending moment of a strip, per width.

    load : in all, per width, N/m; by_load : of ``STRIPS``. All broadcast; N.
    """
    return array(by_load) * array(load) * array(span)


@formula(
    symbol="V",
    unit="N/m",
    equation="V = k_v W",
    source="beam theory",
    inputs={"load": "W [N/m]", "by_load": "k_v [-]"},
    valid="k_v 1/2 between two ends, 1 for a cantilever",
)
def strip_shear_force(load: ArrayLike, by_load: ArrayLike) -> Array:
    """Largest shear force of a strip, per width.

    load : in all, per width, N/m; by_load : of ``STRIPS``. Both broadcast; N/m.
    """
    return array(by_load) * array(load)


@formula(
    symbol="k_b",
    unit="-",
    equation="k_b = r (3 − 4r²)/48, r = a/L",
    source="beam theory, two equal loads",
    inputs={"arm": "a [m]", "span": "L [m]"},
    valid="a from each end to the load beside it, at most L/2; deflection at mid-span",
)
def four_point_bending(arm: ArrayLike, span: ArrayLike) -> Array:
    """Share of W L³/EI in the deflection of a strip bent at four points.

    Both broadcast.
    """
    r = ratio(arm, span)
    return array(r * (3.0 - 4.0 * r * r) / 48.0)


@formula(
    symbol="k_s, k_m",
    unit="-",
    equation="k_s = k_m = a/(2L)",
    source="beam theory, two equal loads",
    inputs={"arm": "a [m]", "span": "L [m]"},
    valid="a from each end to the load beside it, at most L/2",
)
def four_point_arm(arm: ArrayLike, span: ArrayLike) -> Array:
    """Share of W L/S in the deflection, and of W L in the moment, of a strip bent at four points.

    Both broadcast.
    """
    return 0.5 * ratio(arm, span)


@formula(
    symbol="p",
    unit="Pa",
    equation="p = m g",
    source="definition",
    inputs={"mass": "m [kg/m²]", "acceleration": "g [m/s²]"},
)
def pressure_of_mass(mass: ArrayLike, acceleration: ArrayLike) -> Array:
    """Pressure that a mass lying on a panel makes, its own or what it carries.

    mass : per area, kg/m2. Both broadcast; Pa.
    """
    return array(mass) * array(acceleration)


@formula(
    symbol="EI",
    unit="N m",
    equation="EI = (L₂² − L₁²)/(48 (w₂/(P L₂) − w₁/(P L₁)))",
    source="allen-1969, chapter 2 (from memory): three points at two spans, solved",
    inputs={
        "load": "W [N/m]",
        "deflection": "w₁ [m]",
        "span": "L₁ [m]",
        "other_deflection": "w₂ [m]",
        "other_span": "L₂ [m]",
    },
    valid="the same strip and load, spans well apart",
)
def stiffness_of_two_spans(
    load: ArrayLike,
    deflection: ArrayLike,
    span: ArrayLike,
    other_deflection: ArrayLike,
    other_span: ArrayLike,
) -> Array:
    """Bending stiffness of a strip, per width, from its deflections at three points at two spans.

    load : per width, N/m. All broadcast; N m.
    """
    slope = ratio(deflection, array(load) * array(span))
    other = ratio(other_deflection, array(load) * array(other_span))
    return ratio(array(other_span) ** 2 - array(span) ** 2, 48.0 * (other - slope))


@formula(
    symbol="S",
    unit="N/m",
    equation="S = P L/(4 (w − P L³/(48 EI)))",
    source="allen-1969, chapter 2 (from memory): three points, solved",
    inputs={
        "load": "W [N/m]",
        "deflection": "w [m]",
        "span": "L [m]",
        "stiffness": "EI [N m]",
    },
    valid="short spans, where shear gives a good part of the deflection",
)
def shear_stiffness_of_strip(
    load: ArrayLike, deflection: ArrayLike, span: ArrayLike, stiffness: ArrayLike
) -> Array:
    """Transverse shear stiffness of a strip, per width, from its deflection at three points.

    load : per width, N/m; stiffness : in bending, N m. All broadcast; N/m.
    """
    force, length = array(load), array(span)
    sheared = array(deflection) - force * ratio(length**3, 48.0 * array(stiffness))
    return ratio(force * length, 4.0 * sheared)


# --- Plates by hand -------------------------------------------------------------------------------


@formula(
    symbol="w",
    unit="m",
    equation=(
        "w = 16 p/π² (1/k_b + 1/k_s), k_b = π⁴ (D₁₁/a⁴ + 2(D₁₂ + 2D₆₆)/(a²b²) + D₂₂/b⁴), "
        "k_s = π² (S_x/a² + S_y/b²)"
    ),
    source="allen-1969, chapter 2 (from memory): the first wave of Navier's series",
    inputs={
        "pressure": "p [Pa]",
        "a": "a [m]",
        "b": "b [m]",
        "D11": "D₁₁ [N m]",
        "D12": "D₁₂ [N m]",
        "D22": "D₂₂ [N m]",
        "D66": "D₆₆ [N m]",
        "S_x": "S_x [N/m]",
        "S_y": "S_y [N/m]",
    },
    valid="all edges simply supported; D free to stretch, D₁₆ and D₂₆ left out",
)
def one_wave_supported(
    pressure: ArrayLike,
    a: ArrayLike,
    b: ArrayLike,
    D11: ArrayLike,
    D12: ArrayLike,
    D22: ArrayLike,
    D66: ArrayLike,
    S_x: ArrayLike,
    S_y: ArrayLike,
) -> Array:
    """Deflection of the middle of a simply supported plate under even pressure, by one wave.

    All broadcast; m. Its mean over the plate, 4/π² of it, is below the true one.
    """
    x, y = array(a) ** 2, array(b) ** 2
    both = array(D12) + 2.0 * array(D66)
    bent = ratio(D11, x * x) + 2.0 * ratio(both, x * y) + ratio(D22, y * y)
    sheared = ratio(S_x, x) + ratio(S_y, y)
    gives = ratio(1.0, np.pi**4 * bent) + ratio(1.0, np.pi**2 * sheared)
    return array(16.0 * array(pressure) / np.pi**2 * gives)


@formula(
    symbol="w",
    unit="m",
    equation=(
        "w = p/4 (1/k_b + 1/k_s), k_b = π⁴ (3D₁₁/a⁴ + 2(D₁₂ + 2D₆₆)/(a²b²) + 3D₂₂/b⁴)/4, "
        "k_s = 3π² (S_x/a² + S_y/b²)/16"
    ),
    source="timoshenko-woinowsky-1959 (from memory): energy of (1 − cos 2πx/a)(1 − cos 2πy/b)",
    inputs={
        "pressure": "p [Pa]",
        "a": "a [m]",
        "b": "b [m]",
        "D11": "D₁₁ [N m]",
        "D12": "D₁₂ [N m]",
        "D22": "D₂₂ [N m]",
        "D66": "D₆₆ [N m]",
        "S_x": "S_x [N/m]",
        "S_y": "S_y [N/m]",
    },
    valid="all edges clamped; D₁₆ and D₂₆ left out",
)
def one_wave_clamped(
    pressure: ArrayLike,
    a: ArrayLike,
    b: ArrayLike,
    D11: ArrayLike,
    D12: ArrayLike,
    D22: ArrayLike,
    D66: ArrayLike,
    S_x: ArrayLike,
    S_y: ArrayLike,
) -> Array:
    """Deflection of the middle of a clamped plate under even pressure, by one wave.

    All broadcast; m. Its mean over the plate, a quarter of it, is below the true one.
    """
    x, y = array(a) ** 2, array(b) ** 2
    both = array(D12) + 2.0 * array(D66)
    bent = 3.0 * ratio(D11, x * x) + 2.0 * ratio(both, x * y) + 3.0 * ratio(D22, y * y)
    sheared = 3.0 * (ratio(S_x, x) + ratio(S_y, y))
    gives = ratio(4.0, np.pi**4 * bent) + ratio(16.0, np.pi**2 * sheared)
    return array(0.25 * array(pressure) * gives)
