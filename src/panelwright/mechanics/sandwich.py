"""Cores: what saw cuts, bends, surfaces and glue lines add to them."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="V_k",
    unit="m",
    equation="V_k = d (2k/p − k²/p²)",
    source="geometry of a square grid of saw cuts",
    inputs={"depth": "d [m]", "width": "k [m]", "pitch": "p [m]"},
    valid="k < p; cuts both ways",
)
def kerf_volume_flat(depth: ArrayLike, width: ArrayLike, pitch: ArrayLike) -> Array:
    """Volume of a grid of saw kerfs in a core that lies flat, per area.

    All broadcast, m; 0 where ``pitch`` is 0 (no kerfs). Gives m3/m2.
    """
    share = ratio(width, pitch)
    return array(depth) * (2.0 * share - share**2)


@formula(
    symbol="V_b",
    unit="m",
    equation="V_b = c² κ/2, κ = 1/R₁ + 1/R₂",
    source="geometry: each kerf opens as p c κ at the face, whatever the pitch p",
    inputs={"thickness": "c [m]", "curvature": "κ [1/m]"},
    valid="cut right through, thin scrim, cuts closed when flat",
)
def kerf_volume_bent(thickness: ArrayLike, curvature: ArrayLike) -> Array:
    """Volume of the knife cuts that open when a contoured core is bent, per area.

    thickness : of the core, m; curvature : 1/R, or the sum of both directions, 1/m. Gives m3/m2.
    """
    return array(thickness) ** 2 * array(curvature) / 2.0


@formula(
    symbol="r_k",
    unit="kg/m²",
    equation="r_k = ρm (V_k + V_b)",
    source="mass balance",
    inputs={
        "flat_volume": "V_k [m]",
        "bent_volume": "V_b [m]",
        "resin_density": "ρm [kg/m³]",
    },
    valid="kerfs filled with resin",
)
def kerf_resin(flat_volume: ArrayLike, bent_volume: ArrayLike, resin_density: ArrayLike) -> Array:
    """Resin that fills the kerfs of a core, per area.

    volumes : m3/m2; resin_density : kg/m3. All broadcast; kg/m2.
    """
    return array(resin_density) * (array(flat_volume) + array(bent_volume))


@formula(
    symbol="m_c",
    unit="kg/m²",
    equation="m_c = ρ max(c − V_k, 0)",
    source="mass balance",
    inputs={
        "thickness": "c [m]",
        "density": "ρ [kg/m³]",
        "sawn_volume": "V_k [m]",
    },
    valid="saw cuts take core away; knife cuts that open on a bend do not",
)
def solid_mass(thickness: ArrayLike, density: ArrayLike, sawn_volume: ArrayLike = 0.0) -> Array:
    """Mass per area of a core, a board or any solid layer, less what the saw took out.

    All broadcast; kg/m2.
    """
    return array(density) * np.maximum(array(thickness) - array(sawn_volume), 0.0)


@formula(
    symbol="ρ",
    unit="kg/m³",
    equation="ρ = ρ_given, else ρ_M of the timber",
    source="definition",
    inputs={"given": "ρ_given [kg/m³]", "timber": "ρ_M [kg/m³]"},
    valid="a weighed density is taken as it is at the moisture it has in the panel",
)
def solid_density(given: ArrayLike, timber: ArrayLike) -> Array:
    """Density of a solid layer: as given, or of the timber at its moisture.

    given : 0 where none was given. Both broadcast; kg/m3.
    """
    return np.where(array(given) > 0.0, given, timber)


@formula(
    symbol="r_f",
    unit="kg/m²",
    equation="r_f = t q",
    source="definition",
    inputs={"thickness": "t [m]", "fill_density": "q [kg/m³]"},
)
def fill_resin(thickness: ArrayLike, fill_density: ArrayLike) -> Array:
    """Resin that fills a bulking mat.

    thickness : of the layer, m; fill_density : resin per volume of the filled mat, kg/m3.
    """
    return array(thickness) * array(fill_density)


@formula(
    symbol="s",
    unit="kg/m²",
    equation="s = k d ρm",
    source="cell-size model, no source: weigh a sample instead",
    inputs={
        "cell_size": "d [m]",
        "resin_density": "ρm [kg/m³]",
        "fill": "k [-]",
    },
    valid="k 0.3 to 0.5; only where nothing is known of the foam",
)
def cell_fill(cell_size: ArrayLike, resin_density: ArrayLike, fill: ArrayLike = 0.4) -> Array:
    """Resin that the cut cells of a foam face take, per area of one face.

    All broadcast; kg/m2.
    """
    return array(fill) * array(cell_size) * array(resin_density)


@formula(
    symbol="g_e",
    unit="kg/m²",
    equation="g_e = (t/b) q",
    source="geometry: edges of height t every b; gougeon-2005, chapter 7, for the spread",
    inputs={"thickness": "t [m]", "cover": "b [m]", "spread": "q [kg/m²]"},
)
def edge_glue(thickness: ArrayLike, cover: ArrayLike, spread: ArrayLike) -> Array:
    """Glue spread on the edges of strips, per area of panel.

    thickness, cover : of the strips, m; spread : per area of edge, kg/m2. 0 where cover is 0.
    """
    return ratio(thickness, cover) * array(spread)


@formula(
    symbol="f",
    unit="kg/m²",
    equation="f = max(q − s, 0)",
    source="mass balance: what has sunk in does not lie on top",
    inputs={"applied": "q [kg/m²]", "sunk": "s [kg/m²]"},
)
def film_on_top(applied: ArrayLike, sunk: ArrayLike = 0.0) -> Array:
    """What a coat leaves on the surface once part of it has sunk below.

    Both broadcast; kg/m2.
    """
    return np.maximum(array(applied) - array(sunk), 0.0)


@formula(
    symbol="f_k",
    unit="kg/m²",
    equation="f_k = k f",
    source="mass balance",
    inputs={"film": "f [kg/m²]", "kept_share": "k [-]"},
    valid="k is what sanding or squeezing out leaves, 0 to 1",
)
def kept(film: ArrayLike, kept_share: ArrayLike) -> Array:
    """What is left of a coat or a glue line after sanding or squeezing out.

    Both broadcast; kg/m2.
    """
    return array(film) * array(kept_share)


@formula(
    symbol="t",
    unit="m",
    equation="t = f/ρ",
    source="definition",
    inputs={"mass": "f [kg/m²]", "density": "ρ [kg/m³]"},
)
def thickness_of_mass(mass: ArrayLike, density: ArrayLike) -> Array:
    """Thickness of a mass spread over an area: a coat, a glue line, a solid; 0 where there is none.

    Both broadcast; m.
    """
    return ratio(mass, density)


@formula(
    symbol="ρ",
    unit="kg/m³",
    equation="ρ = (m_r + m_b)/(m_r/ρm + m_b/ρb)",
    source="mass balance",
    inputs={
        "resin_mass": "m_r [kg]",
        "resin_density": "ρm [kg/m³]",
        "filler_mass": "m_b [kg]",
        "filler_density": "ρb [kg/m³]",
    },
    valid="filler below 0.64 of the volume; above it the mix holds air and is lighter and weak",
)
def filled_density(
    resin_mass: ArrayLike,
    resin_density: ArrayLike,
    filler_mass: ArrayLike,
    filler_density: ArrayLike,
) -> Array:
    """Density of resin mixed with a light or heavy filler.

    Masses in any one unit; densities kg/m3. All broadcast.
    """
    resin, filler = array(resin_mass), array(filler_mass)
    return (resin + filler) / (resin / array(resin_density) + filler / array(filler_density))


@formula(
    symbol="o",
    unit="m",
    equation="o = p c κ",
    source="geometry",
    inputs={"pitch": "p [m]", "thickness": "c [m]", "curvature": "κ [1/m]"},
    valid="cut right through, thin scrim, cuts closed when flat",
)
def kerf_mouth(pitch: ArrayLike, thickness: ArrayLike, curvature: ArrayLike) -> Array:
    """Width to which a knife cut opens at the face when a contoured core is bent.

    pitch : distance from cut to cut [m]; thickness : of the core [m]; curvature : across the
    cuts [1/m]. All broadcast; m.
    """
    return array(pitch) * array(thickness) * array(curvature)


@formula(
    symbol="S",
    unit="N/m",
    equation="S = G d²/c",
    source="allen-1969, chapter 2",
    inputs={"shear": "G [Pa]", "distance": "d [m]", "core": "c [m]"},
    valid="faces thin and far stiffer than the core; d between the middles of the faces",
)
def thin_face_shear(shear: ArrayLike, distance: ArrayLike, core: ArrayLike) -> Array:
    """Transverse shear stiffness of a sandwich by the hand formula, per width.

    shear : of the core, through its thickness, Pa; distance : of the middles of the faces, m;
    core : its thickness, m. All broadcast; N/m.
    """
    return array(shear) * ratio(array(distance) ** 2, core)
