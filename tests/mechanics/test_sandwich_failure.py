"""Failure of sandwiches: forms that the publications give otherwise, and limits."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse, special
from scipy.integrate import fixed_quad
from scipy.sparse.linalg import spsolve

from panelwright.mechanics import beam, criteria, lamina
from panelwright.mechanics import sandwich_failure as ours
from panelwright.mechanics.arrays import Array

faces = st.floats(5e9, 120e9)
thicknesses = st.floats(0.3e-3, 6e-3)
cores = st.floats(20e6, 3e9)
shears = st.floats(8e6, 500e6)


def _zone(face: float, core: float, shear: float) -> tuple[float, float]:
    """Least force over the depth of the zone, and that depth (Hoff and Mautner, energy method).

    The core moves less and less, in a straight line, down to a depth W; over the wave length the
    force is then 2 √(D E/W) + G W/3.
    """
    depth = np.geomspace(1e-5, 1.0, 400_001)
    force = 2.0 * np.sqrt(face * core / depth) + shear * depth / 3.0
    at = int(np.argmin(force))
    return float(force[at]), float(depth[at])


@pytest.mark.parametrize(
    ("face", "core", "shear"), [(10.0, 75e6, 29e6), (1.0, 1e8, 2e7), (200.0, 3e9, 1.5e8)]
)
def test_theory_and_reach_come_from_the_energy_of_the_zone(
    face: float, core: float, shear: float
) -> None:
    force, depth = _zone(face, core, shear)
    theory = ours.wrinkling_force(face, core, shear, ours.WRINKLING_THEORY)
    assert theory == pytest.approx(force, rel=2e-3)  # 0.91 is rounded from 0.9086
    assert ours.wrinkle_reach(face, core, shear) == pytest.approx(depth, rel=1e-3)


@given(faces, thicknesses, cores, shears, st.floats(0.3, 1.0))
def test_a_sheet_wrinkles_at_half_the_root_of_three_moduli(
    face: float, thickness: float, core: float, shear: float, knock_down: float
) -> None:
    """σ = 0.5 (E_f E_c G_c)^(1/3) (Hoff and Mautner 1945, from memory), whatever the thickness."""
    force = ours.wrinkling_force(
        beam.solid_strip(face, thickness), core, shear, knock_down=knock_down
    )
    stress = ours.mean_stress(force, thickness)
    assert stress == pytest.approx(knock_down * 0.5 * np.cbrt(face * core * shear), rel=1e-9)


@given(faces, thicknesses, cores, st.floats(0.003, 0.1))
def test_springs_give_the_least_force_over_the_wave_length(
    face: float, thickness: float, core: float, deep: float
) -> None:
    bending = float(beam.solid_strip(face, thickness))
    waves = np.geomspace(1.0, 1e5, 20_001)
    least = np.min(bending * waves**2 + 2.0 * core / deep / waves**2)
    force = ours.antiplane_wrinkling_force(bending, core, deep, np.sqrt(2.0 / 3.0))
    assert force == pytest.approx(least, rel=1e-5)


@given(faces, shears, st.floats(0.1, 0.45))
def test_no_other_wave_length_wrinkles_sooner(face: float, shear: float, poisson: float) -> None:
    wave = ours.wrinkle_wave_number(face, shear, poisson)
    around = wave * np.linspace(0.5, 2.0, 61)
    stresses = ours.perfect_wrinkling_stress(face, shear, poisson, around)
    least = ours.perfect_wrinkling_stress(face, shear, poisson, wave)
    assert np.all(stresses >= least * (1.0 - 1e-12))


@given(faces, shears, st.floats(0.1, 0.45))
def test_design_lies_well_below_a_perfect_face(face: float, shear: float, poisson: float) -> None:
    """0.5 is some 64 % of what Allen (1969, from memory) has for a perfect face on foam."""
    core = 2.0 * shear * (1.0 + poisson)
    strip = beam.solid_strip(face, 1.0)
    design = ours.wrinkling_force(strip, core, shear)
    allen = ours.allen_wrinkling_force(strip, core, ours.allen_coefficient(poisson))
    wave = ours.wrinkle_wave_number(face, shear, poisson)
    perfect = ours.perfect_wrinkling_stress(face, shear, poisson, wave)
    assert 0.62 < design / allen < 0.66
    assert perfect > 0.98 * allen


def test_the_shear_of_a_face_only_softens_it() -> None:
    stiff, soft = (
        ours.perfect_wrinkling_stress(20e9, 30e6, 0.3, 0.22, face_shear)
        for face_shear in (0.0, 3e9)
    )
    assert 0.97 * stiff < soft < stiff


def test_both_ways_across_a_face_count_by_their_own_bending() -> None:
    """A face stiff along and soft across wrinkles across: D_f carries the direction."""
    stiffness = lamina.reduced_stiffness(40e9, 10e9, 4e9, 0.28)
    along, across = (
        ours.wrinkling_force(beam.solid_strip(stiffness[place], 1e-3), 75e6, 29e6)
        for place in (0, 2)
    )
    assert along / across == pytest.approx(np.cbrt(4.0))


# --- Thin cores -----------------------------------------------------------------------------------


def _layer_of_core(deep: float, poisson: float, bending: float) -> tuple[float, float]:
    """Least force in both faces, mirrored and together, on an exact layer of isotropic core.

    Plane stress, the glued sides do not slide (Allen 1969, chapter 8, from memory; both limits
    were worked out again: G t_c/2 and 2E_c/(t_c (1 − ν²)) as the waves get long). Shear modulus 1.
    """
    core = 2.0 * (1.0 + poisson)
    reach = float(ours.wrinkle_reach(bending, core, 1.0))
    waves = np.geomspace(1e-5, 20.0, 40_001) / reach
    x = np.minimum(waves * deep, 300.0)
    both, one = (1.0 + poisson) * (3.0 - poisson) * np.sinh(x), (1.0 + poisson) ** 2 * x
    mirrored = 2.0 * core * waves * (np.cosh(x) + 1.0) / (both - one)
    together = 2.0 * core * waves * (np.cosh(x) - 1.0) / (both + one)
    force = [
        float(np.min(bending * waves**2 + springs / waves**2)) for springs in (mirrored, together)
    ]
    return force[0], force[1]


@pytest.mark.parametrize("poisson", [0.1, 0.3, 0.4])
@pytest.mark.parametrize("share", [0.05, 0.3, 0.5, 0.7, 0.8, 1.0, 1.5, 3.0])
def test_thin_cores_take_from_wrinkling_what_an_exact_layer_takes(
    share: float, poisson: float
) -> None:
    bending = 100.0
    core = 2.0 * (1.0 + poisson)
    reach = float(ours.wrinkle_reach(bending, core, 1.0))
    thick, _ = _layer_of_core(60.0 * reach, poisson, bending)
    mirrored, together = _layer_of_core(2.0 * share * reach, poisson, bending)
    left = float(ours.thin_core_wrinkling_force(1.0, 2.0 * share * reach, reach))
    assert left == pytest.approx(min(mirrored, together) / thick, rel=0.06)


def test_design_stays_well_below_an_exact_layer_at_every_thickness() -> None:
    for poisson in (0.1, 0.3, 0.4):
        core = 2.0 * (1.0 + poisson)
        reach = float(ours.wrinkle_reach(100.0, core, 1.0))
        for share in np.geomspace(0.02, 5.0, 60):
            deep = 2.0 * share * reach
            thick = ours.wrinkling_force(100.0, core, 1.0)
            design = float(ours.thin_core_wrinkling_force(thick, deep, reach))
            assert design < 0.68 * min(_layer_of_core(deep, poisson, 100.0))


def test_thin_cores_are_the_least_of_waves_the_same_way() -> None:
    """The energy of faces on a core that carries nothing along its plane, over all wave lengths."""
    bending, core, shear = 10.0, 75e6, 29e6
    reach = float(ours.wrinkle_reach(bending, core, shear))
    waves = np.geomspace(1e-3, 1e4, 200_001)
    for share in (0.2, 0.6, 0.7, 0.8, 1.0):
        deep = 2.0 * share * reach
        soft = shear * deep**2 / (12.0 * core)
        least = np.min(bending * waves**2 + shear * deep / 2.0 / (1.0 + soft * waves**2))
        scale = shear * reach / (2.0 / np.sqrt(3.0) - 1.0 / 3.0) ** -1.0  # at half the reach
        left = ours.thin_core_wrinkling_force(scale, deep, reach)
        assert left == pytest.approx(least, rel=1e-4)


def test_a_core_as_deep_as_the_wrinkles_reach_is_thick_without_a_jump() -> None:
    depths = 2.0 * np.array([0.999999, 1.0, 1.000001, 7.0])
    assert ours.thin_core_wrinkling_force(5.0, depths, 1.0) == pytest.approx(5.0, rel=1e-5)
    crossing = 2.0 * 3.0 ** (-1.0 / 3.0) * np.array([1.0 - 1e-9, 1.0 + 1e-9])
    below, above = ours.thin_core_wrinkling_force(5.0, crossing, 1.0)
    assert below == pytest.approx(above, rel=1e-8)


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0), st.floats(-1.0, 1.0))
def test_two_faces_lose_their_balance_where_their_energy_does(
    mirrored: float, together: float, other: float
) -> None:
    """The least load at which [[A − N, B], [B, A − ρN]] is singular, A ± B the two modes."""
    a, b = (mirrored + together) / 2.0, (together - mirrored) / 2.0
    held = np.array([[a, b], [b, a]])
    # N v = K⁻¹ … : largest eigenvalue of K^(−1/2) diag(1, ρ) K^(−1/2) is 1/N
    values, vectors = np.linalg.eigh(held)
    root = vectors @ np.diag(values**-0.5) @ vectors.T
    largest = np.max(np.linalg.eigvalsh(root @ np.diag([1.0, other]) @ root))
    found = ours.wrinkling_of_two_faces(mirrored, together, other)
    assert found == pytest.approx(1.0 / largest, rel=1e-6)


# --- Dents ----------------------------------------------------------------------------------------


def test_a_line_load_crushes_where_a_solved_beam_on_springs_says() -> None:
    """A beam on springs by finite differences, its far ends held: pressure under a line load."""
    bending, springs, load = 6.2, 4e9, 1.0
    step, count = 2e-4, 2001
    x = (np.arange(count) - count // 2) * step
    ones = np.ones(count)
    fourth = sparse.diags(
        [ones[2:], -4 * ones[1:], 6 * ones, -4 * ones[1:], ones[2:]], [-2, -1, 0, 1, 2]
    )
    pushed = np.where(x == 0.0, load / step, 0.0)
    dent = spsolve((bending * fourth / step**4 + sparse.diags(springs * ones)).tocsc(), pushed)
    decay = ours.dent_decay(springs, bending)
    assert ours.crushing_line_load(springs * np.max(dent), decay) == pytest.approx(load, rel=2e-3)


@pytest.mark.parametrize("radius", [0.002, 0.01, 0.03, 0.1])
def test_a_patch_crushes_where_the_transform_of_a_plate_on_springs_says(radius: float) -> None:
    """w(0) = p a ∫ J₁(κa)/(D κ⁴ + k) dκ, the Hankel transform of a round load on a plate."""
    bending, springs = 6.2, 4e9

    def part(wave: float) -> float:
        return float(special.j1(wave * radius)) / (bending * wave**4 + springs)

    far = 60.0 * (springs / bending) ** 0.25
    ends = np.linspace(0.0, far, 800)
    depth = radius * sum(
        fixed_quad(np.vectorize(part), *span, n=12)[0] for span in itertools.pairwise(ends)
    )
    pressure = ours.crushing_patch_pressure(springs * depth, radius, springs, bending)
    assert pressure == pytest.approx(1.0, rel=1e-3)


@pytest.mark.parametrize("wide", [0.01, 0.019, 0.021, 0.1, 0.5, 1.0, 2.0, 4.0, 8.0, 15.0, 40.0])
def test_the_middle_of_a_patch_follows_kelvins_function(wide: float) -> None:
    """1 + x ker′x of a general library of functions."""
    pressure = ours.crushing_patch_pressure(1.0, wide, 1.0, 1.0)
    assert 1.0 / pressure == pytest.approx(
        1.0 + wide * special.kerp(wide), rel=1e-3 if wide < 0.02 else 1e-8
    )


def test_a_wide_patch_crushes_at_the_strength_of_the_core() -> None:
    assert ours.crushing_patch_pressure(1e6, 1.0, 4e9, 6.2) == pytest.approx(1e6, rel=1e-6)
    assert ours.patch_force(2e6, 0.03) == pytest.approx(2e6 * np.pi * 9e-4)


# --- Struts and cores -----------------------------------------------------------------------------


@given(st.floats(10.0, 1e5), st.floats(0.1, 5.0), st.floats(1e4, 1e7))
def test_a_strut_bears_less_than_bending_or_shear_allow(
    bending: float, length: float, shear: float
) -> None:
    euler = ours.euler_force(bending, length)
    both = ours.column_force(euler, shear)
    assert both < min(float(euler), shear)
    assert 1.0 / both == pytest.approx(1.0 / euler + 1.0 / shear, rel=1e-12)


def test_a_strut_stiff_in_shear_is_eulers_and_a_short_one_crimps() -> None:
    long, short = ours.euler_force(1e3, 2.0), ours.euler_force(1e3, 1e-3)
    assert ours.column_force(long, 1e15) == pytest.approx(long)
    assert ours.column_force(short, 5e5) == pytest.approx(ours.crimping_force(5e5), rel=1e-3)


@given(thicknesses, faces, cores, st.floats(0.003, 0.1), st.floats(1.0, 1e5))
def test_the_core_carries_the_line_load(
    thickness: float, face: float, core: float, deep: float, load: float
) -> None:
    """The core pushes back over the whole dent as much as the load (Hetényi: its shape)."""
    springs = ours.core_springs(core, deep)
    decay = ours.dent_decay(springs, beam.solid_strip(face, thickness))
    depth = ours.dent_depth(load, decay, springs)
    x = np.linspace(0.0, 30.0, 30_001) / decay
    shape = np.exp(-decay * x) * (np.cos(decay * x) + np.sin(decay * x))
    assert 2.0 * np.trapezoid(springs * depth * shape, x) == pytest.approx(load, rel=1e-5)
    # the pressure at the middle is the springs at the depth of the dent; the moment is D_f κ there
    assert ours.dent_pressure(load, decay) == pytest.approx(springs * depth, rel=1e-9)
    bent = beam.solid_strip(face, thickness) * 2.0 * decay**2 * depth
    assert ours.dent_moment(load, decay) == pytest.approx(bent, rel=1e-9)


def test_the_crushing_load_brings_the_core_to_its_strength() -> None:
    load = ours.crushing_line_load(1.1e6, 113.0)
    assert ours.dent_pressure(load, 113.0) == pytest.approx(1.1e6)


@given(faces, thicknesses, st.floats(0.005, 0.1), st.floats(1e6, 4e8))
def test_bent_faces_squeeze_the_core(
    face: float, thickness: float, apart: float, stress: float
) -> None:
    """p = 2 σ² t_f/(E_f d) (Allen 1969, from memory), faces thin, stress σ in both."""
    bending = face * thickness * apart**2 / 2.0
    pressure = ours.bending_pressure(stress * thickness * apart, bending, apart)
    assert pressure == pytest.approx(2.0 * stress**2 * thickness / (face * apart), rel=1e-9)


def test_shear_in_a_core_is_the_force_over_the_distance_of_the_faces() -> None:
    assert ours.core_shear_stress(20e3, 0.04) == pytest.approx(0.5e6)


# --- What is not there ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "mode",
    [
        lambda x: ours.wrinkling_force(x, 75e6, 29e6),
        lambda x: ours.wrinkling_force(10.0, x, 29e6),
        lambda x: ours.allen_wrinkling_force(10.0, x, 0.57),
        lambda x: ours.antiplane_wrinkling_force(10.0, 75e6, x),
        lambda x: ours.dimpling_stress(70e9, 0.3, 0.5e-3, x),
        lambda x: ours.dimpling_stress(70e9, 0.3, x, 6e-3),
        ours.crimping_force,
        lambda x: ours.mean_stress(1e5, x),
        lambda x: ours.column_force(x, x),
        lambda x: ours.euler_force(1e3, x),
        lambda x: ours.wrinkle_half_wave(x, ours.wrinkle_wave_number(x, x, 0.3)),
        lambda x: ours.perfect_wrinkling_stress(x, x, 0.3, ours.wrinkle_wave_number(x, x, 0.3)),
        lambda x: ours.thin_core_wrinkling_force(x, 0.02, x),
        lambda x: ours.thin_core_wrinkling_force(10.0, x, 0.01),
        lambda x: ours.wrinkling_of_two_faces(x, x, -1.0),
        lambda x: ours.crushing_patch_pressure(x, 0.03, x, x),
        lambda x: ours.crushing_line_load(x, ours.dent_decay(ours.core_springs(x, x), x)),
    ],
)
def test_what_is_not_there_is_no_limit(mode: Callable[[float], Array]) -> None:
    with np.errstate(all="raise"):
        capacity = mode(0.0)
        used = criteria.used_share(1e5, capacity)
    assert used == 0.0
    assert criteria.least_reserve([used]) == np.inf
