"""Panels on equal terms against closed forms, independent root finding and all orders of change."""

from __future__ import annotations

import math
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from panelwright.jobs.lineup import Entrant, known_solid
from panelwright.jobs.lineup_terms import SHEETS
from panelwright.mechanics.comparing import (
    shares_of_difference,
    thermal_resistance,
    timber_conductivity,
)
from panelwright.panels import lineup
from panelwright.panels.description import read
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.section import section
from tests.jobs.panels import EXAMPLES, described, panel, shipped

PANELS = [resolve(described(path), shipped()) for path in EXAMPLES]
STIFF = [one for one in PANELS if lineup.has_core(one.layers)]


def _solid(words: str) -> Resolved:
    found = known_solid(words, shipped())
    assert isinstance(found, Entrant)
    return found.resolved


def _stiffness(resolved: Resolved, way: int) -> float:
    return float(section(*lineup.stacked(resolved)).strip[way])


def _mass(resolved: Resolved) -> float:
    return float(lineup.stacked(resolved)[1].areal_mass)


def _size_for_stiffness(resolved: Resolved, part: str, target: float, way: int = 0) -> float:
    stack, _ = lineup.stacked(resolved)
    sizes = lineup.of_sizes(
        stack,
        lineup.part_of(resolved.layers, part),
        lambda many, build, size: lineup.bending_stiffness(many, build, way),
    )
    found = lineup.size_for(target, sizes)
    assert found is not None
    return found


# --- Solid plates: closed forms -------------------------------------------------------------------


@pytest.mark.parametrize("words", ["aluminium", "acrylic", "window glass", "Sitka spruce board"])
def test_equally_stiff_plates_weigh_by_density_over_the_cube_root_of_the_modulus(
    words: str,
) -> None:
    """ashby-1992 (from memory): the lightest stiff plate has the largest E^(1/3)/ρ."""
    steel, other = _solid("3 mm steel"), _solid(f"10 mm {words}")
    size = _size_for_stiffness(other, lineup.ALL, _stiffness(steel, 0))
    stack, build = lineup.stacked(other)
    modulus = float(section(stack, build).constants.E1[0])
    density = float(build.density[0])
    ratio = density / 7850.0 * (210e9 / modulus) ** (1.0 / 3.0)
    part = lineup.part_of(other.layers, lineup.ALL)
    scaled = _mass(lineup.scaled_panel(other, part, size))
    assert scaled / _mass(steel) == pytest.approx(ratio, rel=1e-8)


def test_known_plates_in_round_figures() -> None:
    """Equally stiff, aluminium weighs half of steel: 2700/7850 (210/70)^(1/3) = 0.496.

    A figure of common practice in teaching; the moduli are those of EN 1993 and EN 1999.
    """
    steel, aluminium = _solid("2 mm steel"), _solid("2 mm aluminium")
    size = _size_for_stiffness(aluminium, lineup.ALL, _stiffness(steel, 0))
    assert 2.0 * size == pytest.approx(2.0 * 3.0 ** (1.0 / 3.0), rel=1e-9)
    ratio = size * _mass(aluminium) / _mass(steel)
    assert ratio == pytest.approx(0.496, abs=5e-4)


def _sheet(modulus: str, strength: str, density: str) -> Resolved:
    constants = (
        f'[layer.lamina]\ndensity = "{density}"\nE1 = "{modulus}"\nE2 = "{modulus}"\n'
        f'G12 = "3 GPa"\nnu12 = 0.3\nX1t = "{strength}"\nX1c = "{strength}"\n'
        f'X2t = "{strength}"\nX2c = "{strength}"\nS12 = "{strength}"\n'
    )
    return resolve(read(panel(f'thickness = "5 mm"\n{constants}')), shipped())


@pytest.mark.parametrize("ultimate", [False, True])
def test_equally_strong_plates_weigh_by_density_over_the_root_of_the_strength(
    ultimate: bool,
) -> None:
    """M = σ t²/6 a width (beam theory), so that the mass goes by ρ/σ^(1/2): ashby-1992."""
    one, other = _sheet("70 GPa", "200 MPa", "2700 kg/m3"), _sheet("10 GPa", "50 MPa", "500 kg/m3")
    stack, build = lineup.stacked(one)
    target = float(lineup.bending_strength(stack, build, 0, ultimate))
    assert target == pytest.approx(200e6 * 5e-3**2 / 6.0, rel=1e-9)
    stack, _ = lineup.stacked(other)
    sizes = lineup.of_sizes(
        stack,
        lineup.part_of(other.layers, lineup.ALL),
        lambda many, build, size: lineup.bending_strength(many, build, 0, ultimate),
    )
    size = lineup.size_for(target, sizes)
    assert size is not None
    assert size * _mass(other) / _mass(one) == pytest.approx(
        500.0 / 2700.0 * math.sqrt(200.0 / 50.0), rel=1e-8
    )


def test_a_sandwich_of_thin_faces_grows_its_core_as_the_handbook_says() -> None:
    """EI = E_f t_f d²/2 + E_f t_f³/6 + E_c c³/12 (allen-1969, chapter 2, from memory)."""
    face = (
        'thickness = "0.5 mm"\n[layer.lamina]\ndensity = "2700 kg/m3"\nE1 = "70 GPa"\n'
        'E2 = "70 GPa"\nG12 = "26.9 GPa"\nnu12 = 0.3\n'
    )
    text = panel(face, 'core = "PVC foam 60 kg/m3"\nthickness = "20 mm"', face)
    resolved = resolve(read(text), shipped())
    stack, _ = lineup.stacked(resolved)
    core = float(stack.given_E1[1])
    target = 4.0 * _stiffness(resolved, 0)
    size = _size_for_stiffness(resolved, lineup.CORE, target)
    t, c = 0.5e-3, 20e-3 * size
    thin = 70e9 * t * (c + t) ** 2 / 2.0
    whole = thin + 70e9 * t**3 / 6.0 + core * c**3 / 12.0
    # the core shares the faces' Poisson contraction within a part in ten thousand
    assert whole == pytest.approx(target, rel=1e-3)
    # the thin-face form alone leaves out the core's own bending
    assert thin == pytest.approx(target, rel=0.01)
    # so that twice as deep between the faces is four times as stiff
    assert (c + t) / (20e-3 + t) == pytest.approx(2.0, rel=5e-3)


# --- Against independent root finding -------------------------------------------------------------


@settings(max_examples=40)
@given(
    which=st.integers(0, len(STIFF) - 1),
    target=st.floats(0.3, 30.0),
    way=st.sampled_from([0, 1]),
    part=st.sampled_from([lineup.CORE, lineup.FACES, lineup.ALL]),
)
def test_the_size_is_that_of_a_root_finder_of_its_own(
    which: int, target: float, way: int, part: str
) -> None:
    """brentq of scipy, one whole panel at a time from its inputs."""
    resolved = STIFF[which]
    belongs = lineup.part_of(resolved.layers, part)
    wanted = target * _stiffness(resolved, way)

    def off(log_size: float) -> float:
        scaled = lineup.scaled_panel(resolved, belongs, math.exp(log_size))
        return math.log(_stiffness(scaled, way) / wanted)

    ends = (math.log(lineup.LEAST), math.log(lineup.MOST))
    if off(ends[0]) * off(ends[1]) > 0.0:
        stack, _ = lineup.stacked(resolved)
        sizes = lineup.of_sizes(
            stack,
            belongs,
            lambda many, build, size: lineup.bending_stiffness(many, build, way),
        )
        assert lineup.size_for(wanted, sizes) is None
        return
    root = brentq(off, *ends, xtol=1e-13, rtol=1e-13)
    found = _size_for_stiffness(resolved, part, wanted, way)
    assert math.log(found) == pytest.approx(root, abs=1e-8)


@pytest.mark.parametrize("ultimate", [False, True])
@pytest.mark.parametrize("target", [1.5, 4.0])
def test_equal_strength_is_that_of_a_root_finder_of_its_own(ultimate: bool, target: float) -> None:
    resolved = resolve(
        read(
            panel(
                'cloth = "E-glass biaxial 600 g/m2"',
                'strips = "western redcedar"\nthickness = "8 mm"',
                'cloth = "E-glass biaxial 600 g/m2"',
            )
        ),
        shipped(),
    )
    belongs = lineup.part_of(resolved.layers, lineup.CORE)

    def strength(one: Resolved) -> float:
        return float(lineup.bending_strength(*lineup.stacked(one), 0, ultimate))

    wanted = target * strength(resolved)
    stack, _ = lineup.stacked(resolved)
    sizes = lineup.of_sizes(
        stack,
        belongs,
        lambda many, build, size: lineup.bending_strength(many, build, 0, ultimate),
    )
    found = lineup.size_for(wanted, sizes)
    assert found is not None
    root = brentq(
        lambda size: strength(lineup.scaled_panel(resolved, belongs, size)) - wanted, 0.5, 20.0
    )
    assert found == pytest.approx(root, rel=1e-6)


# --- Why ------------------------------------------------------------------------------------------


@given(st.lists(st.floats(-5.0, 5.0), min_size=8, max_size=8))
def test_shares_are_the_mean_over_all_orders(values: list[float]) -> None:
    """shapley-1953: by going through all orders, one by one."""
    found = shares_of_difference(values)
    orders = list(permutations(range(3)))
    expected = np.zeros(3)
    for order in orders:
        before = 0
        for cause in order:
            expected[cause] += values[before | 1 << cause] - values[before]
            before |= 1 << cause
    np.testing.assert_allclose(found, expected / len(orders), atol=1e-12)
    assert np.sum(found) == pytest.approx(values[7] - values[0], abs=1e-12)


def _parts(resolved: Resolved, whole: bool) -> lineup.Parts:
    return lineup.parts(resolved.layers, *lineup.stacked(resolved), whole)


@pytest.mark.parametrize(("one", "other"), list(product(range(len(PANELS)), repeat=2)))
@pytest.mark.parametrize("way", [0, 1])
def test_the_causes_multiply_to_the_whole(one: int, other: int, way: int) -> None:
    pair = (PANELS[one], PANELS[other])
    whole = not all(lineup.has_core(panel.layers) for panel in pair)
    cut = [_parts(panel, whole) for panel in pair]
    stiff = lineup.differences(
        cut[0], cut[1], lambda many, build: lineup.bending_stiffness(many, build, way)
    )
    ratio = _stiffness(pair[0], way) / _stiffness(pair[1], way)
    assert np.prod(stiff) == pytest.approx(ratio, rel=1e-12)
    heavy = lineup.differences(cut[0], cut[1], lambda many, build: build.areal_mass)
    assert np.prod(heavy) == pytest.approx(_mass(pair[0]) / _mass(pair[1]), rel=1e-12)
    if one == other:
        np.testing.assert_allclose(stiff, 1.0, rtol=1e-12)


def test_two_plates_differ_by_thickness_cubed_and_by_modulus() -> None:
    """EI = E t³/12 (beam theory): the split is that of the formula."""
    cut = [_parts(_solid(words), True) for words in ("6 mm aluminium", "2 mm steel")]
    factors = lineup.differences(
        cut[0], cut[1], lambda many, build: lineup.bending_stiffness(many, build, 0)
    )
    np.testing.assert_allclose(factors, [27.0, 70.0 / 210.0, 1.0, 1.0], rtol=1e-12)


def test_a_deeper_core_of_the_same_is_the_only_cause() -> None:
    texts = [
        panel(
            'cloth = "E-glass biaxial 300 g/m2"',
            f'core = "PET foam 110 kg/m3"\nthickness = "{mm} mm"',
            'cloth = "E-glass biaxial 300 g/m2"',
        )
        for mm in (20, 10)
    ]
    cut = [_parts(resolve(read(text), shipped()), False) for text in texts]
    factors = lineup.differences(
        cut[0], cut[1], lambda many, build: lineup.bending_stiffness(many, build, 0)
    )
    np.testing.assert_allclose(np.delete(factors, 2), 1.0, rtol=1e-12)
    assert factors[2] > 3.0


# --- Insulation -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gravity", "conductivity"),
    # Wood Handbook, FPL-GTR-190, table 4-7, from memory: Douglas-fir of the coast, northern red
    # oak, at 12 % moisture, to two decimals as printed.
    [(0.51, 0.14), (0.65, 0.18)],
)
def test_timber_conducts_as_the_handbook_has_it(gravity: float, conductivity: float) -> None:
    assert float(timber_conductivity(gravity, 0.12)) == pytest.approx(conductivity, abs=0.005)


def test_layers_add_their_resistances() -> None:
    """30 mm of 0.035 W/(m K) between twice 2 mm of 0.3: by hand 0.8571 + 0.0133."""
    found = thermal_resistance([2e-3, 30e-3, 2e-3], [0.3, 0.035, 0.3])
    assert float(found) == pytest.approx(0.87048, abs=1e-5)


def test_sheets_rise() -> None:
    assert list(SHEETS) == sorted(set(SHEETS))
