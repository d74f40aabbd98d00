"""Failure of sandwiches: forms that the publications give otherwise, and limits."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

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
        lambda x: ours.crushing_line_load(x, ours.dent_decay(ours.core_springs(x, x), x)),
    ],
)
def test_what_is_not_there_is_no_limit(mode: Callable[[float], Array]) -> None:
    with np.errstate(all="raise"):
        capacity = mode(0.0)
        used = criteria.used_share(1e5, capacity)
    assert used == 0.0
    assert criteria.least_reserve([used]) == np.inf
