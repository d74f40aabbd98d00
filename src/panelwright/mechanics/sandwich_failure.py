"""How a sandwich fails besides its layers: faces that wrinkle, dimple or crimp, cores that crush.

The thickness of a face enters through its own bending stiffness D_f per width, so that a laminated
or a timber face is one case with a sheet of metal (D_f = E t³/12). Forces are per width. A strength
or stiffness of 0 is one that is not known or a layer that is not there: the result is then 0, which
:func:`panelwright.mechanics.criteria.used_share` leaves out.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.mechanics.two_faces import DIRECTIONS
from panelwright.working import formula

#: Of perfect faces on a thick core (hoff-mautner-1945), and as design takes it.
WRINKLING_THEORY, WRINKLING_DESIGN = 0.91, 0.5
#: Of perfect faces on a core that takes no shear, √(2/3), and as design takes it.
ANTIPLANE_THEORY, ANTIPLANE_DESIGN = 0.82, 0.33
#: The same mode with what design leaves of the theory of a thick core, 0.5 of 0.91.
ANTIPLANE_ALIKE = ANTIPLANE_THEORY * WRINKLING_DESIGN / WRINKLING_THEORY
#: Euler load over that of pinned ends.
PINNED, FIXED = 1.0, 4.0


# --- Wrinkling ------------------------------------------------------------------------------------


@formula(
    symbol="N_w",
    unit="N/m",
    equation="N_w = k c (12 D_f E_c G_c)^(1/3)",
    source="hoff-mautner-1945 (from memory): for a sheet σ = c (E_f E_c G_c)^(1/3)",
    inputs={
        "face_bending": "D_f [N m]",
        "core_modulus": "E_c [Pa]",
        "core_shear": "G_c [Pa]",
        "coefficient": "c [-]",
        "knock_down": "k [-]",
    },
    valid="c 0.91 for perfect faces, 0.5 in design; k for more waviness than usual",
)
def wrinkling_force(
    face_bending: ArrayLike,
    core_modulus: ArrayLike,
    core_shear: ArrayLike,
    coefficient: ArrayLike = WRINKLING_DESIGN,
    knock_down: ArrayLike = 1.0,
) -> Array:
    """Compression at which a face wrinkles on a thick core, per width.

    face_bending : of the face by itself, in the direction of the load, N m; core_modulus : through
    the thickness; core_shear : in the plane of the load and the thickness. All broadcast; N/m.
    """
    stiff = 12.0 * array(face_bending) * array(core_modulus) * array(core_shear)
    return array(knock_down) * array(coefficient) * np.cbrt(stiff)


@formula(
    symbol="B₁",
    unit="-",
    equation="B₁ = 3/(12 (3 − ν)² (1 + ν)²)^(1/3)",
    source="allen-1969, chapter 8 (from memory)",
    inputs={"core_poisson": "ν [-]"},
    valid="isotropic core",
)
def allen_coefficient(core_poisson: ArrayLike) -> Array:
    """Coefficient of wrinkling on a core of which Poisson's ratio is known.

    core_poisson : of the core, any shape.
    """
    nu = array(core_poisson)
    return 3.0 / np.cbrt(12.0 * (3.0 - nu) ** 2 * (1.0 + nu) ** 2)


@formula(
    symbol="N_w",
    unit="N/m",
    equation="N_w = k B₁ (12 D_f E_c²)^(1/3)",
    source="allen-1969, chapter 8 (from memory): for a sheet σ = B₁ E_f^(1/3) E_c^(2/3)",
    inputs={
        "face_bending": "D_f [N m]",
        "core_modulus": "E_c [Pa]",
        "coefficient": "B₁ [-]",
        "knock_down": "k [-]",
    },
    valid="perfect face on a thick isotropic core",
)
def allen_wrinkling_force(
    face_bending: ArrayLike,
    core_modulus: ArrayLike,
    coefficient: ArrayLike,
    knock_down: ArrayLike = 1.0,
) -> Array:
    """Compression at which a perfect face wrinkles on an isotropic foam, per width.

    coefficient : of :func:`allen_coefficient`. All broadcast; N/m.
    """
    stiff = 12.0 * array(face_bending) * array(core_modulus) ** 2
    return array(knock_down) * array(coefficient) * np.cbrt(stiff)


@formula(
    symbol="N_w",
    unit="N/m",
    equation="N_w = k c √(12 D_f E_c/t_c)",
    source="mil-hdbk-23a (from memory): for a sheet σ = c E_f √(E_c t_f/(E_f t_c))",
    inputs={
        "face_bending": "D_f [N m]",
        "core_modulus": "E_c [Pa]",
        "core_thickness": "t_c [m]",
        "coefficient": "c [-]",
        "knock_down": "k [-]",
    },
    valid="springs 2E_c/t_c without shear: honeycomb, or a core thinner than the wrinkles reach",
)
def antiplane_wrinkling_force(
    face_bending: ArrayLike,
    core_modulus: ArrayLike,
    core_thickness: ArrayLike,
    coefficient: ArrayLike = ANTIPLANE_DESIGN,
    knock_down: ArrayLike = 1.0,
) -> Array:
    """Compression at which faces wrinkle against each other on a core of springs, per width.

    core_modulus : through the thickness. All broadcast; N/m. The shear of the core, left out here,
    adds to it: on a foam of usual thickness this is far too low.
    """
    stiff = 12.0 * array(face_bending) * ratio(core_modulus, core_thickness)
    return array(knock_down) * array(coefficient) * np.sqrt(stiff)


@formula(
    symbol="W",
    unit="m",
    equation="W = (9 D_f E_c/G_c²)^(1/3)",
    source="hoff-mautner-1945 (from memory): for a sheet 0.91 t_f (E_f E_c/G_c²)^(1/3)",
    inputs={"face_bending": "D_f [N m]", "core_modulus": "E_c [Pa]", "core_shear": "G_c [Pa]"},
)
def wrinkle_reach(face_bending: ArrayLike, core_modulus: ArrayLike, core_shear: ArrayLike) -> Array:
    """Depth of core that takes part in a wrinkle: a core is thick if half of it is more.

    core_modulus : through the thickness. All broadcast; m.
    """
    stiff = 9.0 * array(face_bending) * array(core_modulus)
    return array(np.cbrt(ratio(stiff, array(core_shear) ** 2)))


#: Core over twice the reach of a wrinkle below which both faces go over in one long wave, and what
#: the faces bear together where the reach is half the core, over G_c W.
_LONG_WAVE, _AT_REACH = 3.0 ** (-1.0 / 3.0), 2.0 / np.sqrt(3.0) - 1.0 / 3.0


@formula(
    symbol="N_w",
    unit="N/m",
    equation=(
        "N_w = N_0 g(r)/g(1), r = min(t_c/(2W), 1); g = r up to r = 3^(−1/3), "
        "else g = 2/√(3r) − 1/(3r²)"
    ),
    source=(
        "solved for faces that do not stretch on a core that carries nothing along its plane, both "
        "waving the same way: the least of D_f k² + (G_c t_c/2)/(1 + G_c t_c² k²/(12 E_c)) over k"
    ),
    inputs={"thick": "N_0 [N/m]", "core_thickness": "t_c [m]", "reach": "W [m]"},
    valid="within 6 % of an isotropic core of the same thickness against a thick one",
)
def thin_core_wrinkling_force(
    thick: ArrayLike, core_thickness: ArrayLike, reach: ArrayLike
) -> Array:
    """Compression at which a face wrinkles where the core is thin: both faces then go together.

    thick : of :func:`wrinkling_force`, as if the core were thick; reach : of
    :func:`wrinkle_reach`. All broadcast; N/m. Unchanged once half the core is as deep as the
    reach; in proportion to the shear stiffness, as crimping is, where it is very thin.
    """
    r = np.minimum(ratio(core_thickness, 2.0 * array(reach)), 1.0)
    held = np.maximum(r, _LONG_WAVE)
    waves = 2.0 / np.sqrt(3.0 * held) - 1.0 / (3.0 * held**2)
    return array(array(thick) * np.where(r < _LONG_WAVE, r, waves) / _AT_REACH)


@formula(
    symbol="N_w",
    unit="N/m",
    equation=(
        "ρ N_w² − A(1 + ρ) N_w + N_m N_a = 0, A = (N_m + N_a)/2: N_w the least of N_m, N_a for "
        "ρ = 1, √(N_m N_a) for ρ = −1"
    ),
    source=(
        "solved for two like faces on one core, (A − N_w)(A − ρ N_w) = (N_m − N_a)²/4, with the "
        "least of each mode over the wave length"
    ),
    inputs={
        "mirrored": "N_m [N/m]",
        "together": "N_a [N/m]",
        "other": "ρ [-]",
    },
    valid="ρ from −1, the other face pulled as much, to 1, pressed as much",
)
def wrinkling_of_two_faces(mirrored: ArrayLike, together: ArrayLike, other: ArrayLike) -> Array:
    """Compression at which a face wrinkles, by what the other face does meanwhile, per width.

    mirrored, together : forces in both faces at which they wave against each other and the same
    way; other : force in the other face over that in this one. All broadcast; N/m.
    """
    against, same, part = array(mirrored), array(together), array(other)
    mean = (against + same) * (1.0 + part) / 2.0
    left = np.sqrt(np.maximum(mean**2 - 4.0 * part * against * same, 0.0))
    return ratio(2.0 * against * same, mean + left)


@formula(
    symbol="N_n",
    unit="N/m",
    equation="N_n = −(N_x cos²φ + N_y sin²φ + 2 N_xy sinφ cosφ)",
    source="definition: turning a force in the plane",
    inputs={
        "along": "N_x [N/m]",
        "across": "N_y [N/m]",
        "shear": "N_xy [N/m]",
        "direction": "φ [rad]",
    },
)
def pressed_at(
    along: ArrayLike, across: ArrayLike, shear: ArrayLike, direction: ArrayLike = DIRECTIONS
) -> Array:
    """Compression square on the crests of wrinkles that run in a direction, per width.

    along, across, shear : forces in a face, tension positive; direction : in which the wrinkles
    follow one another, from x, rad. All broadcast; negative where it is a pull.
    """
    c, s = np.cos(array(direction)), np.sin(array(direction))
    return -(array(along) * c * c + array(across) * s * s + 2.0 * array(shear) * s * c)


def _half_space(core_shear: ArrayLike, core_poisson: ArrayLike) -> tuple[Array, Array]:
    """Stiffness of the surface of a half-space per wave number: own, and coupled to its sliding."""
    nu = array(core_poisson)
    each = array(core_shear) / (3.0 - 4.0 * nu)
    return 4.0 * (1.0 - nu) * each, 2.0 * (1.0 - 2.0 * nu) * each


@formula(
    symbol="y",
    unit="-",
    equation="y: E_f y³/6 + a y²/4 = a, a = 4G_c(1 − ν)/(3 − 4ν); y = π t_f/half wave",
    source="solved for the least of the perfect wrinkling stress over the wave length",
    inputs={"face_modulus": "E_f [Pa]", "core_shear": "G_c [Pa]", "core_poisson": "ν [-]"},
    valid="as the perfect wrinkling stress",
)
def wrinkle_wave_number(
    face_modulus: ArrayLike, core_shear: ArrayLike, core_poisson: ArrayLike
) -> Array:
    """Wave number of the wrinkles of a perfect face times its thickness.

    face_modulus : held across, E/(1 − ν²), or 12 D_f/t_f³. All broadcast.
    """
    e, (a, _) = array(face_modulus), _half_space(core_shear, core_poisson)
    y = np.cbrt(6.0 * ratio(a, e))  # without the sliding: above the root, so Newton goes down to it
    for _ in range(6):
        y = y - ratio(e * y**3 / 6.0 + a * y**2 / 4.0 - a, e * y**2 / 2.0 + a * y / 2.0)
    return y


@formula(
    symbol="ℓ",
    unit="m",
    equation="ℓ = π t_f/y",
    source="definition",
    inputs={"face_thickness": "t_f [m]", "wave_number": "y [-]"},
)
def wrinkle_half_wave(face_thickness: ArrayLike, wave_number: ArrayLike) -> Array:
    """Half a wave length of the wrinkles of a face.

    wave_number : of :func:`wrinkle_wave_number`. Both broadcast; m.
    """
    return np.pi * ratio(face_thickness, wave_number)


@formula(
    symbol="σ",
    unit="Pa",
    equation=(
        "σ = (E_f y²/12)/(1 + E_f y²/(10 G_f)) + a/y + a y/4 + b; a = 4G_c(1 − ν)/(3 − 4ν), "
        "b = 2G_c(1 − 2ν)/(3 − 4ν)"
    ),
    source="solved for a face that bends and does not stretch, glued to an elastic half-space",
    inputs={
        "face_modulus": "E_f [Pa]",
        "core_shear": "G_c [Pa]",
        "core_poisson": "ν [-]",
        "wave_number": "y [-]",
        "face_shear": "G_f [Pa]",
    },
    valid="perfect face on a thick isotropic core: what 0.5 in design is to be seen against",
)
def perfect_wrinkling_stress(
    face_modulus: ArrayLike,
    core_shear: ArrayLike,
    core_poisson: ArrayLike,
    wave_number: ArrayLike,
    face_shear: ArrayLike = 0.0,
) -> Array:
    """Stress at which a face without waviness wrinkles, its glued side sliding as it turns.

    face_modulus : held across, E/(1 − ν²), or 12 D_f/t_f³; wave_number : of
    :func:`wrinkle_wave_number`; face_shear : through the face, 0 to leave its shear out. All
    broadcast; Pa.
    """
    y, (a, b) = array(wave_number), _half_space(core_shear, core_poisson)
    bent = array(face_modulus) * y**2
    return bent / (12.0 + 1.2 * ratio(bent, face_shear)) + ratio(a, y) + a * y / 4.0 + b


# --- Other modes of the faces ---------------------------------------------------------------------


@formula(
    symbol="σ_d",
    unit="Pa",
    equation="σ_d = 2 E_f/(1 − ν_f²) (t_f/s)²",
    source="mil-hdbk-23a (from memory), buckling of the face within a cell",
    inputs={
        "face_modulus": "E_f [Pa]",
        "face_poisson": "ν_f [-]",
        "face_thickness": "t_f [m]",
        "cell_size": "s [m]",
    },
    valid="honeycomb, s across the flats; also the gaps of a core in strips or slit blocks",
)
def dimpling_stress(
    face_modulus: ArrayLike,
    face_poisson: ArrayLike,
    face_thickness: ArrayLike,
    cell_size: ArrayLike,
) -> Array:
    """Compression at which a face buckles into the cells of the core.

    cell_size : 0 for a core without cells, which gives 0: not judged. All broadcast; Pa.
    """
    held = array(face_modulus) / (1.0 - array(face_poisson) ** 2)
    return 2.0 * held * ratio(face_thickness, cell_size) ** 2


@formula(
    symbol="p_c",
    unit="Pa",
    equation="p_c = the least X_c that is known",
    source="definition: all cores under a pressure bear the same",
    inputs={"strength": "X_c [Pa]"},
)
def softest_core(strength: ArrayLike) -> Array:
    """Pressure square on the panel at which its softest core crushes.

    strength : of the layers through the thickness, ``(..., L)``, Pa; 0 where a layer is no core or
    it is not known. Gives ``(...)``, Pa; infinite where none is known.
    """
    held = array(strength)
    return array(np.min(np.where(held > 0.0, held, np.inf), axis=-1))


@formula(
    symbol="N_c",
    unit="N/m",
    equation="N_c = S",
    source="allen-1969, chapter 2 (from memory): the limit of buckling at a short wave",
    inputs={"shear_stiffness": "S [N/m]"},
)
def crimping_force(shear_stiffness: ArrayLike) -> Array:
    """Compression of the whole panel at which it crimps in shear, per width.

    shear_stiffness : transverse, of the panel in the direction of the load, N/m. Gives N/m.
    """
    return 1.0 * array(shear_stiffness)


@formula(
    symbol="σ",
    unit="Pa",
    equation="σ = N/t",
    source="definition",
    inputs={"force": "N [N/m]", "thickness": "t [m]"},
)
def mean_stress(force: ArrayLike, thickness: ArrayLike) -> Array:
    """Stress that a force per width makes in a face, or in both.

    thickness : of what carries it, m. Both broadcast; Pa.
    """
    return ratio(force, thickness)


@formula(
    symbol="P_E",
    unit="N/m",
    equation="P_E = f π² EI/L²",
    source="beam theory, Euler",
    inputs={"bending": "EI [N m]", "length": "L [m]", "fixity": "f [-]"},
    valid="f 1 for pinned ends, 4 for fixed ones",
)
def euler_force(bending: ArrayLike, length: ArrayLike, fixity: ArrayLike = PINNED) -> Array:
    """Compression at which a strut buckles without shear, per width.

    All broadcast; N/m.
    """
    return array(fixity) * np.pi**2 * ratio(bending, array(length) ** 2)


@formula(
    symbol="P",
    unit="N/m",
    equation="1/P = 1/P_E + 1/S",
    source="allen-1969, chapter 2 (from memory)",
    inputs={"euler": "P_E [N/m]", "shear_stiffness": "S [N/m]"},
)
def column_force(euler: ArrayLike, shear_stiffness: ArrayLike) -> Array:
    """Compression at which a sandwich strut buckles, bending and shear together, per width.

    Both broadcast; N/m.
    """
    p, s = array(euler), array(shear_stiffness)
    return ratio(p * s, p + s)


# --- The core -------------------------------------------------------------------------------------


@formula(
    symbol="τ_c",
    unit="Pa",
    equation="τ_c = V/d",
    source="allen-1969, chapter 2 (from memory)",
    inputs={"shear_force": "V [N/m]", "distance": "d [m]"},
    valid="faces thin and far stiffer than the core; d between the middles of the faces",
)
def core_shear_stress(shear_force: ArrayLike, distance: ArrayLike) -> Array:
    """Shear stress in the core by the hand formula.

    Both broadcast; Pa.
    """
    return ratio(shear_force, distance)


@formula(
    symbol="p",
    unit="Pa",
    equation="p = M²/(EI d)",
    source="beam theory: the face force M/d turned by the curvature M/EI",
    inputs={"moment": "M [N]", "bending": "EI [N m]", "distance": "d [m]"},
    valid="d between the middles of the faces",
)
def bending_pressure(moment: ArrayLike, bending: ArrayLike, distance: ArrayLike) -> Array:
    """Pressure with which the faces of a bent panel squeeze its core.

    moment : per width. All broadcast; Pa. Against the flatwise compressive strength of the core.
    """
    return ratio(array(moment) ** 2, array(bending) * array(distance))


@formula(
    symbol="k",
    unit="Pa/m",
    equation="k = E_c/t_c",
    source="definition: the core as springs, its far side held",
    inputs={"core_modulus": "E_c [Pa]", "core_thickness": "t_c [m]"},
)
def core_springs(core_modulus: ArrayLike, core_thickness: ArrayLike) -> Array:
    """Pressure for a depth of dent.

    core_modulus : through the thickness. Both broadcast; Pa/m.
    """
    return ratio(core_modulus, core_thickness)


@formula(
    symbol="λ",
    unit="1/m",
    equation="λ = (k/(4 D_f))^(1/4)",
    source="hetenyi-1946 (from memory)",
    inputs={"springs": "k [Pa/m]", "face_bending": "D_f [N m]"},
)
def dent_decay(springs: ArrayLike, face_bending: ArrayLike) -> Array:
    """How fast the dent of a face on its core dies away: 1/λ is its reach.

    Both broadcast; 1/m.
    """
    return np.sqrt(np.sqrt(ratio(springs, 4.0 * array(face_bending))))


@formula(
    symbol="δ",
    unit="m",
    equation="δ = q λ/(2k)",
    source="hetenyi-1946 (from memory), infinite beam under a point load",
    inputs={"line_load": "q [N/m]", "decay": "λ [1/m]", "springs": "k [Pa/m]"},
)
def dent_depth(line_load: ArrayLike, decay: ArrayLike, springs: ArrayLike) -> Array:
    """Depth of the dent under a line load.

    decay : of :func:`dent_decay`. All broadcast; m.
    """
    return array(line_load) * ratio(decay, 2.0 * array(springs))


@formula(
    symbol="M_f",
    unit="N",
    equation="M_f = q/(4λ)",
    source="hetenyi-1946 (from memory), infinite beam under a point load",
    inputs={"line_load": "q [N/m]", "decay": "λ [1/m]"},
)
def dent_moment(line_load: ArrayLike, decay: ArrayLike) -> Array:
    """Moment in the face itself under a line load, per width.

    decay : of :func:`dent_decay`. Both broadcast; N.
    """
    return ratio(line_load, 4.0 * array(decay))


@formula(
    symbol="p",
    unit="Pa",
    equation="p = q λ/2",
    source="hetenyi-1946 (from memory), infinite beam under a point load",
    inputs={"line_load": "q [N/m]", "decay": "λ [1/m]"},
)
def dent_pressure(line_load: ArrayLike, decay: ArrayLike) -> Array:
    """Greatest compression of the core under a line load.

    decay : of :func:`dent_decay`. Both broadcast; Pa.
    """
    return array(line_load) * array(decay) / 2.0


@formula(
    symbol="q_c",
    unit="N/m",
    equation="q_c = 2 X_c/λ",
    source="hetenyi-1946 (from memory), solved for the load",
    inputs={"crushing": "X_c [Pa]", "decay": "λ [1/m]"},
)
def crushing_line_load(crushing: ArrayLike, decay: ArrayLike) -> Array:
    """Line load at which the core under the face begins to crush.

    crushing : flatwise compressive strength, Pa; decay : of :func:`dent_decay`. Both broadcast;
    N/m.
    """
    return ratio(2.0 * array(crushing), decay)


@formula(
    symbol="p_c",
    unit="Pa",
    equation="p_c = X_c/(1 + x ker′x), x = a (k/D_f)^(1/4)",
    source=(
        "timoshenko-woinowsky-krieger-1959, plates on elastic foundation (from memory): pressure "
        "under the middle of a round load, ker being Kelvin's function"
    ),
    inputs={
        "crushing": "X_c [Pa]",
        "radius": "a [m]",
        "springs": "k [Pa/m]",
        "face_bending": "D_f [N m]",
    },
)
def crushing_patch_pressure(
    crushing: ArrayLike, radius: ArrayLike, springs: ArrayLike, face_bending: ArrayLike
) -> Array:
    """Pressure on a round patch of a face at which the core under it begins to crush.

    crushing : flatwise compressive strength of the core; springs : of :func:`core_springs`. All
    broadcast; Pa. More than the core bears by itself, because the face spreads the load.
    """
    x = array(radius) * np.sqrt(np.sqrt(ratio(springs, face_bending)))
    return ratio(crushing, _under_a_patch(x))


#: Places and weights of the sum that stands for the integral over t from 0 to 10.
_HYPERBOLIC = np.cosh(np.linspace(0.0, 10.0, 101))
_SUM = np.full(101, 10.0 / 100.0)
_SUM[[0, -1]] /= 2.0
#: Below this radius over the reach of the dent a patch is a point.
_POINT = 0.02


def _under_a_patch(x: Array) -> Array:
    """Share of an even load that the springs under its middle carry, 1 + x ker′x.

    From K₁(z) = ∫ cosh t exp(−z cosh t) dt at z = x (1 + i)/√2, summed: the trapezoidal rule is
    exact to rounding here (the integrand is smooth to π/4 off the real axis: exp(−π²/2h) is left).
    """
    a = np.maximum(x, _POINT)[..., None] / np.sqrt(2.0)
    along = np.minimum(a * _HYPERBOLIC, 200.0)  # what lies beyond adds nothing
    waves = along * np.exp(-along) * (np.cos(along) + np.sin(along))
    return array(np.where(x > _POINT, 1.0 - waves @ _SUM, np.pi * x**2 / 8.0))


@formula(
    symbol="P",
    unit="N",
    equation="P = p π a²",
    source="definition",
    inputs={"pressure": "p [Pa]", "radius": "a [m]"},
)
def patch_force(pressure: ArrayLike, radius: ArrayLike) -> Array:
    """Force of an even pressure on a round patch.

    Both broadcast; N.
    """
    return array(pressure) * np.pi * array(radius) ** 2
