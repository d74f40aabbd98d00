"""The factor cell by cell against that of the whole matrix: another way to the same answer."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.errors import FormulaError
from panelwright.mechanics import plate, plate_cells
from panelwright.mechanics.plate import Edge, Edges
from panelwright.mechanics.sides import Side, products, products_of_parts, side
from tests.reference.sections import section

from .stacks import random_plies

EDGES = [
    edges
    for edges in itertools.product(Edge, repeat=4)
    if Edge.CLAMPED in edges or sum(edge is Edge.SUPPORTED for edge in edges) > 1
]
SIDES = [
    side(0.6),
    side(0.6, [0.2, 0.3]),
    side(0.6, [0.31], [2, 7]),
    side(0.6, [0.1, 0.2, 0.25, 0.5], [3, 4, 2, 5, 4]),
]


def made(seed: int) -> np.ndarray:
    of = section(random_plies(np.random.default_rng(seed), (3,)))
    return plate.section_matrix(of.whole, of.S)


@given(
    st.integers(0, 2**32 - 1),
    st.sampled_from(EDGES),
    st.sampled_from(SIDES),
    st.sampled_from(SIDES[1:]),
    st.sampled_from([0, 1]),
    st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_it_solves_as_the_whole(
    seed: int, edges: Edges, x: Side, y: Side, coarser: int, coupled: bool
) -> None:
    of, of_section = plate.plate(x, y, edges, coupled), made(seed)
    loads = np.stack([plate.pressure(of, 1e3, -4e2, 7e2), plate.pressure(of, 0.0, 1.0)], axis=-1)
    whole = plate.factor(plate.stiffness(of, of_section))
    by_cells = plate_cells.factor_by_cells(of, of_section)
    expected = plate.solve(of, whole, loads, coarser)
    found = plate.solve(of, by_cells, loads, coarser)
    scale = np.max(np.abs(expected), axis=0)
    np.testing.assert_allclose(found / scale, expected / scale, atol=1e-7)
    alone = plate.solve(of, by_cells, loads[:, 0], coarser)
    np.testing.assert_allclose(alone, found[:, 0], atol=1e-9 * scale[0])


@pytest.mark.parametrize("of", SIDES)
def test_parts_add_up_to_the_side(of: Side) -> None:
    whole = np.zeros((2, 2, of.size + 1, of.size + 1))
    for part, functions in zip(products_of_parts(of), of.functions, strict=True):
        whole[:, :, functions[:, None], functions] += part
    exact = products(of)
    np.testing.assert_allclose(whole[:, :, :-1, :-1], exact, atol=1e-12 * np.max(np.abs(exact)))


@pytest.mark.parametrize("nought", [slice(6, 8), slice(3, 6), slice(0, 8)])
def test_a_limp_plate_is_refused(nought: slice) -> None:
    of, of_section = plate.plate(SIDES[1], SIDES[2], (Edge.CLAMPED,) * 4), made(1)
    of_section[nought, :] = of_section[:, nought] = 0.0
    with pytest.raises(FormulaError, match="without stiffness"):
        plate_cells.factor_by_cells(of, of_section)


def test_the_faster_of_the_two() -> None:
    whole, cut = (plate.plate(SIDES[0], y, (Edge.CLAMPED,) * 4) for y in SIDES[:2])
    assert isinstance(plate_cells.fastest(whole, made(0)), plate.Factor)
    assert isinstance(plate_cells.fastest(cut, made(0)), plate_cells.FactorByCells)
