"""Strength of a ply at its fibre fraction, and what a cracked ply goes on bearing: by hand."""

from __future__ import annotations

from math import sqrt

import pytest

from panelwright.mechanics import ply_strength as ours


@pytest.mark.parametrize(
    ("fraction", "power", "wanted"),
    [
        (0.45, -0.5, 2.0),
        (0.45 * 1.44, -0.5, 2.0 / 1.2),  # a root of 1.44
        (0.45 / 1.44, -0.5, 2.4),
        (0.15, -0.5, 2.0 * sqrt(1.6)),  # a third of the fibre counts as 1/1.6 of it
        (0.30, 0.0, 2.0),  # cloth that is not straight
    ],
)
def test_compression_strain_falls_with_the_root_of_the_fibre(
    fraction: float, power: float, wanted: float
) -> None:
    # SNL/MSU/DOE v29: fit on 14 plates of stitched glass, n -0.52, taken as -0.5
    assert ours.compression_strain(2.0, fraction, 0.45, power) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("fraction", "wanted"), [(0.5, 0.30), (0.6, 0.24), (0.4, 0.36), (0.35, 0.39), (0.2, 0.39)]
)
def test_resin_cracks_sooner_between_more_fibre(fraction: float, wanted: float) -> None:
    # (1 - Vf)/(1 - 0.5) times 0.30, at most 1.3 times: common practice
    assert ours.crack_strain(0.30, fraction, 0.5) == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("fraction", "wanted"), [(0.1, 40e6), (0.2, 40e6), (0.275, 50e6), (0.35, 60e6), (0.6, 60e6)]
)
def test_shear_strength_goes_over_to_that_of_the_resin(fraction: float, wanted: float) -> None:
    # resin about 40 MPa, common practice; straight from Vf 0.20 to 0.35
    assert ours.ply_shear_strength(60e6, fraction) == pytest.approx(wanted)
    assert ours.ply_shear_strength(0.0, fraction) == 0.0


@pytest.mark.parametrize(
    ("voids", "left"), [(-0.01, 1.0), (0.0, 1.0), (0.02, 0.86), (0.04, 0.72), (0.1, 0.72)]
)
def test_voids_take_shear_between_plies(voids: float, left: float) -> None:
    # 7 % for each per cent up to 4: common practice
    assert ours.shear_strength_between(30e6, voids) == pytest.approx(left * 30e6)


@pytest.mark.parametrize(
    ("strength", "times", "wanted"),
    [
        (50e6, 1.0, 2.5e9),  # 50 MPa at 2 %
        (50e6, 2.0, 1.25e9),
        (400e6, 1.0, 10e9),  # never stiffer than whole
        (1e6, 1.0, 0.1e9),  # never less than 1 %
        (0.0, 1.0, 0.1e9),  # not known
    ],
)
def test_a_cracked_ply_bears_its_stress_until_the_fibre_breaks(
    strength: float, times: float, wanted: float
) -> None:
    # hahn-tsai-1974 (from memory): the stress stays, so the secant falls with the strain
    assert ours.left_by_crack(10e9, strength, 0.02, times) == pytest.approx(wanted)


def test_ply_discount_leaves_one_per_cent() -> None:
    # kaw-2006, section 5.3 (from memory)
    assert ours.left_by_damage([10e9, 10e9], [1.0, 0.0]) == pytest.approx([0.1e9, 10e9])


def test_strength_along_the_fibre_by_the_rule_of_mixtures() -> None:
    # kaw-2006, example 3.13 (from memory): glass 1550 MPa and 85 GPa, epoxy 3.4 GPa, Vf 0.7: 1104
    found = ours.tensile_strength_along(1550e6, 3.4e9, 1550e6 / 85e9, 0.7)
    assert found / 1e6 == pytest.approx(1104.0, abs=0.5)
