"""Moduli of a ply from those of fibre and resin: competing rules side by side.

Vf is the fibre volume fraction. Every rule says where it comes from and what it is good for; the
choice of a default stands in :mod:`panelwright.panels.resolve` and in the docs, with its reason.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

_FIBRE_MATRIX = {"fibre": "P_f [Pa]", "matrix": "P_m [Pa]", "volume_fraction": "Vf [-]"}


@formula(
    symbol="P",
    unit="as P_f",
    equation="P = P_f Vf + P_m (1 − Vf)",
    source="rule of mixtures; kaw-2006, examples 3.3 and 3.5",
    inputs=_FIBRE_MATRIX,
    valid="along the fibre; for E₁ and ν₁₂",
)
def rule_of_mixtures(fibre: ArrayLike, matrix: ArrayLike, volume_fraction: ArrayLike) -> Array:
    """A property along the fibre, where fibre and resin strain alike.

    All broadcast.
    """
    v = array(volume_fraction)
    return array(fibre) * v + array(matrix) * (1.0 - v)


@formula(
    symbol="P",
    unit="Pa",
    equation="1/P = Vf/P_f + (1 − Vf)/P_m",
    source="rule of mixtures in series; kaw-2006, examples 3.4 and 3.6",
    inputs=_FIBRE_MATRIX,
    valid="a lower bound across the fibre",
)
def series_mixture(fibre: ArrayLike, matrix: ArrayLike, volume_fraction: ArrayLike) -> Array:
    """A property across the fibre, where fibre and resin would bear the same stress.

    All broadcast.
    """
    v = array(volume_fraction)
    return 1.0 / (v / array(fibre) + (1.0 - v) / array(matrix))


@formula(
    symbol="P",
    unit="Pa",
    equation="P = P_m (1 + ξηVf)/(1 − ηVf), η = (P_f/P_m − 1)/(P_f/P_m + ξ)",
    source="halpin-tsai-1969; kaw-2006, section 3.3.2",
    inputs={**_FIBRE_MATRIX, "xi": "ξ [-]"},
    valid="ξ = 2 for E₂ is good; ξ = 1 for G₁₂ is low",
)
def halpin_tsai(
    fibre: ArrayLike, matrix: ArrayLike, volume_fraction: ArrayLike, xi: ArrayLike
) -> Array:
    """A property across the fibre between the two mixtures, by one shape factor.

    xi : 2 for the modulus across round fibres, 1 for shear. All broadcast.
    """
    over = ratio(fibre, matrix)
    eta = (over - 1.0) / (over + array(xi))
    v = array(volume_fraction)
    return array(matrix) * (1.0 + array(xi) * eta * v) / (1.0 - eta * v)


@formula(
    symbol="P",
    unit="Pa",
    equation="P = P_m/(1 − √Vf (1 − P_m/P_f))",
    source="chamis-1983",
    inputs=_FIBRE_MATRIX,
    valid="E₂, G₁₂, G₂₃; above the rule of mixtures where √Vf (P_f/P_m − 1) < 1",
)
def chamis(fibre: ArrayLike, matrix: ArrayLike, volume_fraction: ArrayLike) -> Array:
    """A property across the fibre, from a square of fibre in a square of resin.

    All broadcast.
    """
    return array(matrix) / (1.0 - np.sqrt(volume_fraction) * (1.0 - ratio(matrix, fibre)))


@formula(
    symbol="G₁₂",
    unit="Pa",
    equation="G₁₂ = G_m (1 + 0.6√Vf)/((1 − Vf)^1.25 + Vf G_m/G_f)",
    source="foerster-knappe-1971 (from memory)",
    inputs=_FIBRE_MATRIX,
    valid="fitted to tests of glass in resin, Vf to 0.7",
)
def foerster_knappe_shear(fibre: ArrayLike, matrix: ArrayLike, volume_fraction: ArrayLike) -> Array:
    """Shear modulus of a unidirectional ply by the fit of Förster and Knappe to tests.

    All broadcast; Pa.
    """
    v = array(volume_fraction)
    below = (1.0 - v) ** 1.25 + v * ratio(matrix, fibre)
    return array(matrix) * (1.0 + 0.6 * np.sqrt(v)) / below


@formula(
    symbol="G",
    unit="Pa",
    equation="G = E/(2 (1 + ν))",
    source="definition: isotropic solid",
    inputs={"modulus": "E [Pa]", "poisson": "ν [-]"},
)
def isotropic_shear(modulus: ArrayLike, poisson: ArrayLike) -> Array:
    """Shear modulus of an isotropic solid.

    Both broadcast; Pa.
    """
    return array(modulus) / (2.0 * (1.0 + array(poisson)))


@formula(
    symbol="P_v",
    unit="Pa",
    equation="P_v = P (1 − v/(1 − Vf))²",
    source="gibson-ashby-1997, closed cells between first and second power",
    inputs={
        "modulus": "P [Pa]",
        "void_fraction": "v [-]",
        "volume_fraction": "Vf [-]",
    },
    valid="voids lie in the resin; below 10 % of it",
)
def voided_matrix(
    modulus: ArrayLike, void_fraction: ArrayLike, volume_fraction: ArrayLike
) -> Array:
    """Modulus of the resin with the voids that lie in it.

    void_fraction : of the ply's volume. All broadcast; Pa.
    """
    share = array(void_fraction) / np.maximum(1.0 - array(volume_fraction), 1e-9)
    return array(modulus) * np.clip(1.0 - share, 0.0, 1.5) ** 2


@formula(
    symbol="E",
    unit="Pa",
    equation="E = 3E₁/8 + 5E₂/8",
    source="tsai-pagano-1968",
    inputs={"E1": "E₁ [Pa]", "E2": "E₂ [Pa]"},
    valid="fibre at random in the plane",
)
def random_modulus_rule(E1: ArrayLike, E2: ArrayLike) -> Array:
    """Modulus of a mat by the rule of three and five eighths.

    Of the unidirectional ply of the same fibre fraction; both broadcast.
    """
    return 0.375 * array(E1) + 0.625 * array(E2)


@formula(
    symbol="G",
    unit="Pa",
    equation="G = E₁/8 + E₂/4",
    source="tsai-pagano-1968",
    inputs={"E1": "E₁ [Pa]", "E2": "E₂ [Pa]"},
    valid="fibre at random in the plane",
)
def random_shear_rule(E1: ArrayLike, E2: ArrayLike) -> Array:
    """Shear modulus of a mat by the rule of one eighth and one quarter.

    Of the unidirectional ply of the same fibre fraction; both broadcast.
    """
    return 0.125 * array(E1) + 0.25 * array(E2)


@formula(
    symbol="E",
    unit="Pa, Pa, -",
    equation="E = (U₁ − U₄)(U₁ + U₄)/U₁, G = U₅, ν = U₄/U₁",
    source="tsai-pagano-1968; average of the stiffness over all angles",
    inputs={"combinations": "U [Pa]"},
)
def random_constants(combinations: ArrayLike) -> Array:
    """Modulus, shear modulus and Poisson's ratio of a mat: the ply's stiffness over all angles.

    combinations : of :func:`panelwright.mechanics.lamina.invariants`, ``(..., 5)``. Gives
    ``(..., 3)``.
    """
    u = array(combinations)
    u1, u4, u5 = u[..., 0], u[..., 3], u[..., 4]
    return np.stack([ratio((u1 - u4) * (u1 + u4), u1), u5 + 0.0 * u1, ratio(u4, u1)], axis=-1)


@formula(
    symbol="E",
    unit="Pa",
    equation="E = η Ef Vf + Em (1 − Vf), η = Σ aₙ cos⁴θₙ",
    source="krenchel-1964",
    inputs={
        "fibre": "Ef [Pa]",
        "matrix": "Em [Pa]",
        "volume_fraction": "Vf [-]",
        "efficiency": "η [-]",
    },
    valid="η: 1 along, 1/2 for 0/90, 1/4 for ±45, 3/8 at random",
)
def efficiency_rule(
    fibre: ArrayLike, matrix: ArrayLike, volume_fraction: ArrayLike, efficiency: ArrayLike
) -> Array:
    """Modulus of a laminate by the efficiency of its fibre directions.

    All broadcast; Pa.
    """
    v = array(volume_fraction)
    return array(efficiency) * array(fibre) * v + array(matrix) * (1.0 - v)


@formula(
    symbol="β",
    unit="1/m",
    equation="β = √(2G_m/(Ef r² ln(R/r)))",
    source="cox-1952",
    inputs={
        "fibre": "Ef [Pa]",
        "shear": "G_m [Pa]",
        "radius": "r [m]",
        "reach": "R/r [-]",
    },
)
def shear_lag(fibre: ArrayLike, shear: ArrayLike, radius: ArrayLike, reach: ArrayLike) -> Array:
    """How fast a short fibre picks up load from its ends.

    reach : half the distance of fibres over their radius. All broadcast; 1/m.
    """
    return np.sqrt(2.0 * array(shear) / (array(fibre) * np.log(reach))) / array(radius)


@formula(
    symbol="η_l",
    unit="-",
    equation="η_l = 1 − tanh(βl/2)/(βl/2)",
    source="cox-1952",
    inputs={"lag": "β [1/m]", "length": "l [m]"},
)
def length_efficiency(lag: ArrayLike, length: ArrayLike) -> Array:
    """Share of a fibre's stiffness that its length lets work.

    Both broadcast.
    """
    half = array(lag) * array(length) / 2.0
    return 1.0 - np.tanh(half) / half


@formula(
    symbol="α₁",
    unit="1/K",
    equation="α₁ = (α_f Ef Vf + α_m Em Vm)/(Ef Vf + Em Vm)",
    source="schapery-1968; kaw-2006, section 3.5",
    inputs={
        "fibre": "Ef [Pa]",
        "matrix": "Em [Pa]",
        "fibre_expansion": "α_f [1/K]",
        "matrix_expansion": "α_m [1/K]",
        "volume_fraction": "Vf [-]",
    },
)
def expansion_along(
    fibre: ArrayLike,
    matrix: ArrayLike,
    fibre_expansion: ArrayLike,
    matrix_expansion: ArrayLike,
    volume_fraction: ArrayLike,
) -> Array:
    """Thermal expansion of a ply along its fibre.

    All broadcast; 1/K.
    """
    v = array(volume_fraction)
    f, m = array(fibre) * v, array(matrix) * (1.0 - v)
    return ratio(array(fibre_expansion) * f + array(matrix_expansion) * m, f + m)


@formula(
    symbol="α₂",
    unit="1/K",
    equation="α₂ = (1 + ν_f)α_f Vf + (1 + ν_m)α_m Vm − α₁ν₁₂",
    source="schapery-1968; kaw-2006, section 3.5",
    inputs={
        "fibre_expansion": "α_f [1/K]",
        "matrix_expansion": "α_m [1/K]",
        "fibre_poisson": "ν_f [-]",
        "matrix_poisson": "ν_m [-]",
        "volume_fraction": "Vf [-]",
        "along": "α₁ [1/K]",
        "poisson": "ν₁₂ [-]",
    },
)
def expansion_across(
    fibre_expansion: ArrayLike,
    matrix_expansion: ArrayLike,
    fibre_poisson: ArrayLike,
    matrix_poisson: ArrayLike,
    volume_fraction: ArrayLike,
    along: ArrayLike,
    poisson: ArrayLike,
) -> Array:
    """Thermal expansion of a ply across its fibre.

    All broadcast; 1/K.
    """
    v = array(volume_fraction)
    f = (1.0 + array(fibre_poisson)) * array(fibre_expansion) * v
    m = (1.0 + array(matrix_poisson)) * array(matrix_expansion) * (1.0 - v)
    return f + m - array(along) * array(poisson)


@formula(
    symbol="α",
    unit="1/K",
    equation="α = (α₁(Q₁₁ + Q₁₂) + α₂(Q₂₂ + Q₁₂))/(Q₁₁ + Q₂₂ + 2Q₁₂)",
    source="laminate of equal plies at right angles, or at all angles, free to move",
    inputs={"along": "α₁ [1/K]", "across": "α₂ [1/K]", "stiffness": "Q [Pa]"},
)
def balanced_expansion(along: ArrayLike, across: ArrayLike, stiffness: ArrayLike) -> Array:
    """Thermal expansion of woven and random cloth, alike in both directions.

    along, across : of the unidirectional ply, ``(..., L)``; stiffness : of that ply,
    ``(..., L, 6)``. 1/K.
    """
    q = array(stiffness)
    first, second = q[..., 0] + q[..., 1], q[..., 2] + q[..., 1]
    return ratio(array(along) * first + array(across) * second, first + second)


@formula(
    symbol="Q",
    unit="Pa, Pa, Pa, -",
    equation="Q = s Q(0°) + (1 − s) Q(90°), with E₁ of the tows times the crimp factor k",
    source="laminate of its two tow directions; crimp: common practice",
    inputs={
        "E1": "E₁ [Pa]",
        "E2": "E₂ [Pa]",
        "G12": "G₁₂ [Pa]",
        "nu12": "ν₁₂ [-]",
        "warp_share": "s [-]",
        "crimp": "k [-]",
    },
    valid="woven cloth; k 1 for straight tows, about 0.9 for a plain weave",
)
def woven_constants(
    E1: ArrayLike,
    E2: ArrayLike,
    G12: ArrayLike,
    nu12: ArrayLike,
    warp_share: ArrayLike,
    crimp: ArrayLike,
) -> Array:
    """Constants of a woven cloth, from the unidirectional ply of its fibre fraction.

    warp_share : of the fibre along axis 1; crimp : what waviness leaves of E1. All ``(..., L)``.
    Gives E1, E2, G12, nu12 as ``(..., L, 4)``; zeros where E1 is 0.
    """
    along, across = array(E1) * array(crimp), array(E2)
    nu = array(nu12)
    free = 1.0 - nu * nu * ratio(across, along)
    q11, q22, s = along / free, across / free, array(warp_share)
    q12 = nu * q22
    warp, weft = s * q11 + (1.0 - s) * q22, (1.0 - s) * q11 + s * q22
    return np.stack(
        [
            warp - ratio(q12 * q12, weft),
            weft - ratio(q12 * q12, warp),
            array(G12) + 0.0 * warp,
            ratio(q12, weft),
        ],
        axis=-1,
    )


@formula(
    symbol="P",
    unit="as P",
    equation="P = P_ply, P_woven or P_random by the form of the cloth",
    source="definition",
    inputs={
        "straight": "P_ply [any]",
        "woven": "P_woven [any]",
        "random": "P_random [any]",
        "is_woven": "1 or 0 [-]",
        "is_random": "1 or 0 [-]",
    },
)
def by_form(
    straight: ArrayLike,
    woven: ArrayLike,
    random: ArrayLike,
    is_woven: ArrayLike,
    is_random: ArrayLike,
) -> Array:
    """The constants that belong to the form of a cloth.

    All broadcast.
    """
    picked = np.where(array(is_woven) > 0.0, array(woven), array(straight))
    return np.where(array(is_random) > 0.0, array(random), picked)


@formula(
    symbol="P",
    unit="as P",
    equation="P = P_cloth + P_timber + P_given + P_film (a layer is one of them)",
    source="definition",
    inputs={
        "cloth": "P_cloth [any]",
        "timber": "P_timber [any]",
        "given": "P_given [any]",
        "film": "P_film [any]",
    },
)
def of_the_layer(cloth: ArrayLike, timber: ArrayLike, given: ArrayLike, film: ArrayLike) -> Array:
    """A constant of a layer, whatever the layer is made of.

    All broadcast; what a layer is not is 0.
    """
    return array(cloth) + array(timber) + array(given) + array(film)


@formula(
    symbol="G",
    unit="Pa",
    equation="G = (P₁ + P₂)/2",
    source="definition",
    inputs={"first": "P₁ [Pa]", "second": "P₂ [Pa]"},
    valid="through-thickness shear of woven and random cloth: between G₁₂ and G₂₃ of the ply",
)
def mean_of_two(first: ArrayLike, second: ArrayLike) -> Array:
    """The mean of two values.

    Both broadcast.
    """
    return 0.5 * (array(first) + array(second))


@formula(
    symbol="η",
    unit="-",
    equation="η = Σ aₙ cos⁴θₙ",
    source="krenchel-1964",
    inputs={"shares": "aₙ [-]", "angles": "θₙ [rad]"},
    valid="stiffness across the fibre left out; Σ aₙ = 1",
)
def direction_efficiency(shares: ArrayLike, angles: ArrayLike) -> Array:
    """Efficiency of fibre that lies in several directions, seen along one of them.

    shares : of the fibre in each direction, ``(..., N)``; angles : from the direction asked for,
    ``(..., N)``, rad. Gives ``(...)``.
    """
    return array(np.sum(array(shares) * np.cos(array(angles)) ** 4, axis=-1))


@formula(
    symbol="η_f",
    unit="-",
    equation="η_f = E/(E_f Vf)",
    source="definition",
    inputs={"modulus": "E [Pa]", "fibre": "E_f [Pa]", "volume_fraction": "Vf [-]"},
    valid="above 1 by what the resin adds, where all fibre lies straight along",
)
def fibre_use(modulus: ArrayLike, fibre: ArrayLike, volume_fraction: ArrayLike) -> Array:
    """Modulus of a ply over what its fibre alone would give, all of it straight along.

    All broadcast.
    """
    return ratio(modulus, array(fibre) * array(volume_fraction))
