"""Likeness: the thickness of a known solid that is as stiff, or as heavy."""

from __future__ import annotations

import numpy as np
import pytest

from panelwright.materials.catalogue import Catalogue
from panelwright.panels.evaluate import evaluate
from panelwright.panels.likeness import PLYWOODS, TIMBERS, Likeness, Solid, liken, solids
from panelwright.panels.section import section
from panelwright.panels.stack import stack_of

from .written import layer, resolved


def shipped() -> dict[str, Solid]:
    return {solid.name: solid for solid in solids(Catalogue.shipped())}


def likened(name: str, *parts: str) -> Likeness:
    """A panel file of these parts beside one solid."""
    stack = stack_of(resolved(*parts).layers)
    build = evaluate(stack)
    return liken(shipped()[name], section(stack, build).strip, build.areal_mass)


def test_plywoods_come_first_and_every_solid_is_there() -> None:
    names = list(shipped())
    assert names[0] == "birch plywood"
    assert len(names) == len(PLYWOODS) + len(TIMBERS) + 8
    assert "western redcedar board" in names


@pytest.mark.parametrize("thickness", [3.0, 8.0, 40.0])
@pytest.mark.parametrize("species", ["western redcedar", "Sitka spruce"])
def test_a_board_is_like_itself(species: str, thickness: float) -> None:
    board = layer(board=species, thickness=f"{thickness} mm", moisture="10 %")
    found = likened(f"{species} board", board)
    for value in (found.along, found.across, found.mass):
        assert value == pytest.approx(thickness * 1e-3, rel=1e-9)


@pytest.mark.parametrize("count", [3, 5, 9, 13])
def test_a_sheet_of_plywood_is_like_itself(count: int) -> None:
    """Whole veneers of 1.4 mm: sheets that are made, so nothing lies between."""
    thickness = 1.4 * count
    sheet = layer(plywood="birch plywood", thickness=f"{thickness:.1f} mm", moisture="10 %")
    found = likened("birch plywood", sheet)
    for value in (found.along, found.across, found.mass):
        assert value == pytest.approx(thickness * 1e-3, rel=1e-9)


def test_between_two_sheets_lies_between() -> None:
    birch = shipped()["birch plywood"]
    made = (birch.sheets[2], birch.sheets[3])
    ends = (birch.along[2], birch.along[3])
    half = np.cbrt(ends).mean() ** 3
    found = liken(birch, np.array([half, half]), np.array(1.0))
    assert found.along == pytest.approx(sum(made) / 2.0, rel=1e-9)
    assert made[0] < float(found.along) < made[1]


#: EI of 3 mm of each, N m for a metre of width: E t³/12 by hand. Moduli from general engineering
#: handbooks, from memory: 210, 70 and 3.2 GPa.
BY_HAND = {"steel": 472.5, "aluminium": 157.5, "acrylic sheet": 7.2}


@pytest.mark.parametrize(("name", "stiffness"), BY_HAND.items())
def test_three_millimetres_by_hand(name: str, stiffness: float) -> None:
    found = liken(shipped()[name], np.array([stiffness, 8.0 * stiffness]), np.array(1.0))
    assert found.along == pytest.approx(3e-3, rel=1e-9)
    assert found.across == pytest.approx(6e-3, rel=1e-9)


def test_as_heavy_is_mass_over_density() -> None:
    """Densities by hand: steel 7850 kg/m3 (from memory), birch plywood 680 (common practice)."""
    for name, density in (("steel", 7850.0), ("birch plywood", 680.0)):
        found = liken(shipped()[name], np.array([100.0, 100.0]), np.array([3.4, 6.8]))
        np.testing.assert_allclose(found.mass, np.array([3.4, 6.8]) / density, rtol=1e-9)


def test_plywood_grows_stiffer_with_every_pair_of_veneers() -> None:
    """Along, across and in their sum, as the share of crossed veneers tends to a half."""
    for name in ("birch plywood", "okoume plywood", "poplar plywood", "softwood plywood"):
        solid = shipped()[name]
        for way in (solid.along, solid.across):
            assert np.all(np.diff(way) > 0.0)
        ratio = solid.across / solid.along
        assert np.all(np.diff(ratio) > 0.0)
        assert ratio[-1] < 1.0


def test_many_panels_at_once() -> None:
    birch = shipped()["birch plywood"]
    strips = np.array([[10.0, 5.0], [300.0, 200.0], [90000.0, 80000.0]])
    masses = np.array([2.0, 5.0, 30.0])
    many = liken(birch, strips, masses)
    for row in range(3):
        one = liken(birch, strips[row], masses[row])
        for name in ("along", "across", "mass"):
            assert getattr(many, name)[row] == pytest.approx(float(getattr(one, name)), rel=1e-12)
