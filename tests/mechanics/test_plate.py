"""Plates by Ritz: closed forms, what must not matter, energy, convergence, refusals."""

from __future__ import annotations

import itertools
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.errors import FormulaError
from panelwright.mechanics import beam, laminate, plate
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.plate import Edge, Edges, Plate
from panelwright.mechanics.sides import Side, integrals, places, products, quadrature, shapes, side
from tests.reference.sections import Plies, section

from .stacks import random_plies

EDGES = [
    edges
    for edges in itertools.product(Edge, repeat=4)
    if Edge.CLAMPED in edges or sum(edge is Edge.SUPPORTED for edge in edges) > 1
]
SUPPORTED: Edges = (Edge.SUPPORTED,) * 4
seeds = st.integers(0, 2**32 - 1)
some_edges = st.sampled_from(EDGES)


def panel(seed: int, layers: int = 3) -> Plies:
    """A random lay-up, unsymmetric, with layers at any angle; a few mm thick."""
    return random_plies(np.random.default_rng(seed), (layers,))


def stiff(plies: Plies) -> Array:
    made = section(plies)
    return plate.section_matrix(made.whole, made.S)


def solved(of: Plate, made: Array, load: Array, coarser: int = 0) -> Array:
    return plate.solve(of, plate.factor(plate.stiffness(of, made)), load, coarser)


def no_coupling(made: Array) -> Array:
    """The same section with B, and what couples bending and twisting, taken out."""
    kept = made.copy()
    kept[:3, 3:6] = kept[3:6, :3] = 0.0
    for normal, shear in ((0, 2), (1, 2), (3, 5), (4, 5), (6, 7)):
        kept[normal, shear] = kept[shear, normal] = 0.0
    return kept


# --- Polynomials along a side ---------------------------------------------------------------------


@given(st.floats(0.1, 5.0), st.lists(st.floats(0.05, 0.95), max_size=4), st.integers(2, 9))
@settings(max_examples=40)
def test_functions_of_a_side(length: float, shares: list[float], order: int) -> None:
    """Ends and cuts have a function of their own that is 1 there; slopes are slopes; sums hold."""
    cuts = [share * length for share in shares if min(abs(share - s) for s in [2.0, *shares]) == 0]
    of = side(length, cuts)
    at = shapes(of, of.cuts)[0]
    ends = [0, *range(2, len(of.orders) + 1), 1]
    np.testing.assert_allclose(at[:, ends], np.eye(len(of.cuts)), atol=1e-9)
    np.testing.assert_allclose(np.delete(at, ends, axis=1), 0.0, atol=1e-9)
    x = np.linspace(0.013, 0.987, 7) * length
    step = 1e-6 * length
    if np.min(np.abs(np.subtract.outer(x, of.cuts))) > step:
        rises = (shapes(of, x + step)[0] - shapes(of, x - step)[0]) / (2.0 * step)
        np.testing.assert_allclose(rises, shapes(of, x)[1], atol=1e-4 / length)
    np.testing.assert_allclose(shapes(of, x)[0][:, ends].sum(axis=1), 1.0)
    whole = integrals(of, 0.0, length)
    halves = integrals(of, 0.0, length / 3.0) + integrals(of, length / 3.0, length)
    np.testing.assert_allclose(halves, whole, atol=1e-12 * length)
    finer = quadrature(of, 5)
    at = shapes(of, finer[0])[:2]
    exact = np.einsum("p,ipk,jpl->ijkl", finer[1], at, at)
    np.testing.assert_allclose(products(of), exact, atol=1e-9 * np.max(np.abs(exact)))


def test_places_look_at_each_part_by_itself() -> None:
    of = side(2.0, [0.5, 0.7])
    at = places(of)
    assert (at[0], at[-1]) == (0.0, 2.0)
    assert np.all(np.diff(at) > 0.0)
    for cut in (0.5, 0.7):
        assert np.sum(np.abs(at - cut) < 1e-8) == 2
        assert not np.any(at == cut)


def test_cuts_that_are_none_count_once() -> None:
    assert side(1.0, [0.0, 0.4, 0.4, 0.4 + 1e-9, 1.0]).cuts == (0.0, 0.4, 1.0)


# --- The matrix -----------------------------------------------------------------------------------


@given(seeds, some_edges, st.floats(0.3, 3.0))
@settings(max_examples=40)
def test_the_matrix_is_symmetric_and_positive(seed: int, edges: Edges, longer: float) -> None:
    of = plate.plate(side(longer, [0.4 * longer], [5, 6]), side(1.0, orders=[8]), edges)
    matrix = plate.stiffness(of, stiff(panel(seed)))
    np.testing.assert_allclose(matrix, matrix.T, atol=1e-12 * np.max(np.abs(matrix)))
    scale = 1.0 / np.sqrt(np.diag(matrix))
    assert np.linalg.eigvalsh(matrix * scale[:, None] * scale)[0] > 1e-12


@given(seeds, seeds)
@settings(max_examples=10)
def test_the_matrix_is_linear_in_the_section(one: int, other: int) -> None:
    of = plate.plate(side(0.6), side(0.4), SUPPORTED)
    a, b = stiff(panel(one)), stiff(panel(other))
    both = plate.stiffness(of, 2.0 * a - 0.5 * b)
    apart = 2.0 * plate.stiffness(of, a) - 0.5 * plate.stiffness(of, b)
    np.testing.assert_allclose(both, apart, rtol=0.0, atol=1e-12 * np.max(np.abs(apart)))


# --- Energy, superposition, turning ---------------------------------------------------------------


@given(seeds, some_edges)
@settings(max_examples=30)
def test_work_of_the_load_is_twice_the_energy_of_the_strains(seed: int, edges: Edges) -> None:
    made = stiff(panel(seed))
    of = plate.plate(side(0.6, [0.2, 0.3], [5, 4, 6]), side(0.4, orders=[9]), edges)
    load = plate.patch(of, 300.0, (0.2, 0.3), (0.1, 0.35))
    unknowns = solved(of, made, load)
    (x, in_x), (y, in_y) = quadrature(of.x), quadrature(of.y)
    strains = plate.strains_at(of, unknowns, x, y)
    energy = np.einsum("x,y,xyi,ij,xyj", in_x, in_y, strains, made, strains)
    assert energy == pytest.approx(load @ unknowns, rel=1e-7)


@given(seeds, some_edges, st.floats(-2.0, 2.0))
@settings(max_examples=20)
def test_loads_add_up(seed: int, edges: Edges, times: float) -> None:
    of, made = plate.plate(side(0.6), side(0.4), edges), stiff(panel(seed))
    loads = np.stack([plate.pressure(of, 1e3, 4e3, -2e3), plate.pressure(of, 5e2)], axis=-1)
    apart = solved(of, made, loads)
    both = solved(of, made, loads @ np.array([1.0, times]))
    scale = np.max(np.abs(apart))
    np.testing.assert_allclose(both, apart @ np.array([1.0, times]), atol=1e-9 * scale)


@given(seeds, some_edges)
@settings(max_examples=20)
def test_a_plate_turned_by_a_right_angle_does_the_same(seed: int, edges: Edges) -> None:
    """x' along y and y' against x: sides, edges and layers change places together."""
    plies, a, b = panel(seed), 0.6, 0.4
    of = plate.plate(side(a, [0.15], [5, 6]), side(b, orders=[8]), edges)
    across = side(a, [a - 0.15], [6, 5])
    turned = plate.plate(side(b, orders=[8]), across, (*edges[2:], edges[1], edges[0]))
    one = solved(of, stiff(plies), plate.patch(of, 100.0, (0.05, 0.15), (0.1, 0.2)))
    other = solved(
        turned,
        stiff(plies.turned(-np.pi / 2.0)),
        plate.patch(turned, 100.0, (0.1, 0.2), (a - 0.15, a - 0.05)),
    )
    x, y = np.linspace(0.0, a, 5), np.linspace(0.0, b, 4)
    deflection = plate.deflection_at(of, one, x, y)
    seen = plate.deflection_at(turned, other, y, a - x[::-1]).T[::-1]
    scale = np.max(np.abs(deflection))
    np.testing.assert_allclose(seen, deflection, atol=1e-6 * scale)


@given(seeds, some_edges)
@settings(max_examples=20)
def test_pins_take_no_force(seed: int, edges: Edges) -> None:
    """Forces along the edges that hold add up to nothing; so do those of the pinned corners.

    Were a pin to bear, strains near its corner would grow without end as the sum is refined.
    """
    made = stiff(panel(seed))
    forces = []
    for order in (8, 12):
        of = plate.plate(side(0.5, orders=[order]), side(0.5, orders=[order]), edges)
        unknowns = solved(of, made, plate.pressure(of, 1e3))
        matrix = _with_pins_loose(of, made)
        forces.append(np.max(np.abs(matrix @ unknowns), initial=0.0) / 250.0)
    assert max(forces) < 1e-6


def _with_pins_loose(of: Plate, made: Array) -> Array:
    """Rows of the matrix that belong to the pins: what they bear is this times the unknowns."""
    pins = plate._pins(of.edges)
    everything = np.arange(int(np.prod(of.shape)))
    loose = Plate(of.x, of.y, of.edges, of.first, everything, (everything.size,))
    rows = np.array([np.ravel_multi_index(pin, of.shape) for pin in pins], dtype=np.intp)
    return plate.stiffness(loose, made)[np.ix_(rows, of.free)]


@pytest.mark.parametrize("edges", EDGES, ids=lambda edges: "".join(edge[0] for edge in edges))
def test_every_mix_of_edges_holds(edges: Edges) -> None:
    """The pins leave nothing loose in the plane: an unsymmetric panel has one answer."""
    of = plate.plate(side(0.6), side(0.4), edges)
    matrix = plate.stiffness(of, stiff(panel(7)))
    scale = 1.0 / np.sqrt(np.diag(matrix))
    assert np.linalg.eigvalsh(matrix * scale[:, None] * scale)[0] > 1e-10


# --- Closed forms ---------------------------------------------------------------------------------


def navier(made: Array, a: float, b: float, waves: int = 199) -> float:
    """Deflection of the middle under a pressure of 1 by double sines, no coupling (Reddy 2004)."""
    m, n = np.meshgrid(np.arange(1, waves + 1, 2), np.arange(1, waves + 1, 2), indexing="ij")
    x, y = m * np.pi / a, n * np.pi / b
    d11, d12, d22, d66 = made[3, 3], made[3, 4], made[4, 4], made[5, 5]
    s1, s2 = made[6, 6], made[7, 7]
    rows = np.array(
        [
            [s1 * x * x + s2 * y * y, s1 * x, s2 * y],
            [s1 * x, d11 * x * x + d66 * y * y + s1, (d12 + d66) * x * y],
            [s2 * y, (d12 + d66) * x * y, d66 * x * x + d22 * y * y + s2],
        ]
    ).transpose(2, 3, 0, 1)
    load = 16.0 / (np.pi**2 * m * n)
    right = np.stack([load, 0.0 * load, 0.0 * load], axis=-1)[..., None]
    w = np.linalg.solve(rows, right)[..., 0, 0]
    return float(np.sum(w * (-1.0) ** ((m + n) // 2 - 1)))


@given(seeds, st.floats(0.1, 0.8), st.floats(0.5, 2.0))
@settings(max_examples=25)
def test_a_supported_plate_is_the_double_sine_series(seed: int, a: float, longer: float) -> None:
    made, b = no_coupling(stiff(panel(seed))), a * longer
    of = plate.plate(side(a), side(b), SUPPORTED, coupled=False)
    unknowns = solved(of, made, plate.pressure(of, 1.0))
    middle = plate.deflection_at(of, unknowns, [a / 2.0], [b / 2.0])[0, 0]
    assert middle == pytest.approx(navier(made, a, b), rel=1e-4)


@pytest.mark.parametrize(
    ("ends", "name"),
    [
        ((Edge.SUPPORTED, Edge.SUPPORTED), "simply supported, uniform"),
        ((Edge.CLAMPED, Edge.CLAMPED), "clamped, uniform"),
        ((Edge.CLAMPED, Edge.FREE), "cantilever, uniform"),
    ],
)
def test_a_plate_free_at_its_sides_is_a_strip(ends: tuple[Edge, Edge], name: str) -> None:
    """With Poisson's ratios of nil nothing bends across, and the strip is exact."""
    made = no_coupling(stiff(panel(3)))
    made[3, 4] = made[4, 3] = 0.0
    of = plate.plate(side(0.5), side(0.1), (*ends, Edge.FREE, Edge.FREE), coupled=False)
    unknowns = solved(of, made, plate.pressure(of, 1e3))
    at = 0.5 if ends[1] is Edge.FREE else 0.25
    strip = beam.STRIPS[name]
    by_hand = beam.strip_deflection(500.0, 0.5, made[3, 3], made[6, 6], strip.bending, strip.shear)
    ours = plate.deflection_at(of, unknowns, [at], [0.05])[0, 0]
    assert ours == pytest.approx(by_hand, rel=1e-9)
    forces = plate.strains_at(of, unknowns, [0.0, 0.25], [0.05])[:, 0] @ made
    assert abs(forces[0, 6]) == pytest.approx(beam.strip_shear_force(500.0, strip.force), rel=1e-6)
    largest = np.max(np.abs(forces[:, 3]))
    assert largest == pytest.approx(beam.strip_moment(500.0, 0.5, strip.moment), rel=1e-6)


def test_bending_of_a_lopsided_strip_is_free_to_stretch() -> None:
    """A strip that couples bends with D − B A⁻¹ B, supported or clamped at both ends."""
    made = section(panel(11).take(slice(0, 2)).turned(0.0))
    free = laminate.bending_free_to_stretch(made.A, made.B, made.D)
    whole = made.whole.copy()
    whole[np.ix_([0, 3], [1, 2, 4, 5])] = 0.0  # nothing across, nothing in shear
    whole[np.ix_([1, 2, 4, 5], [0, 3])] = 0.0
    alone = whole[3, 3] - whole[0, 3] ** 2 / whole[0, 0]
    eight = no_coupling(plate.section_matrix(whole, made.S))
    eight[0, 3] = eight[3, 0] = whole[0, 3]
    assert free[0] < whole[3, 3]
    for ends, name in (
        ((Edge.SUPPORTED,) * 2, "simply supported, uniform"),
        ((Edge.CLAMPED,) * 2, "clamped, uniform"),
    ):
        of = plate.plate(side(0.5), side(0.1), (ends[0], ends[1], Edge.FREE, Edge.FREE))
        unknowns = solved(of, eight, plate.pressure(of, 1e3))
        strip = beam.STRIPS[name]
        by_hand = beam.strip_deflection(500.0, 0.5, alone, eight[6, 6], strip.bending, strip.shear)
        ours = plate.deflection_at(of, unknowns, [0.25], [0.05])[0, 0]
        assert ours == pytest.approx(by_hand, rel=1e-6)


@given(seeds, st.floats(0.15, 0.8), st.floats(0.5, 2.0))
@settings(max_examples=25)
def test_hand_formulas_bracket_the_mean(seed: int, a: float, longer: float) -> None:
    """One wave below; above, a strip of either span, when Poisson's ratios are nil."""
    made, b = no_coupling(stiff(panel(seed))), a * longer
    made[3, 4] = made[4, 3] = 0.0
    args = (1e3, a, b, made[3, 3], made[3, 4], made[4, 4], made[5, 5], made[6, 6], made[7, 7])
    for edge, wave, share, name in (
        (Edge.SUPPORTED, beam.one_wave_supported, 4.0 / np.pi**2, "simply supported, uniform"),
        (Edge.CLAMPED, beam.one_wave_clamped, 0.25, "clamped, uniform"),
    ):
        of = plate.plate(side(a), side(b), (edge,) * 4, coupled=False)
        load = plate.pressure(of, 1e3)
        mean = float(load @ solved(of, made, load)) / (1e3 * a * b)
        strip = beam.STRIPS[name]
        middle = [
            float(
                beam.strip_deflection(
                    1e3 * span, span, made[3 + way, 3 + way], made[6 + way, 6 + way], *strip[:2]
                )
            )
            for way, span in enumerate((a, b))
        ]
        assert share * wave(*args) < mean < min(middle)


# --- Convergence ----------------------------------------------------------------------------------


@given(seeds, some_edges)
@settings(max_examples=15)
def test_the_sum_converges_from_below(seed: int, edges: Edges) -> None:
    """Work under the load grows with every function that is added, and settles."""
    made = stiff(panel(seed))
    work = []
    for order in (4, 6, 8, 10, 12):
        of = plate.plate(side(0.6, orders=[order]), side(0.4, orders=[order]), edges)
        load = plate.pressure(of, 1e3)
        work.append(float(load @ solved(of, made, load)))
    rises = np.diff(work) / work[-1]
    assert np.all(rises > -1e-9)
    assert rises[-1] < 2e-3


@given(seeds, some_edges)
@settings(max_examples=15)
def test_a_coarser_sum_is_that_of_lower_powers(seed: int, edges: Edges) -> None:
    made = stiff(panel(seed))
    fine = plate.plate(side(0.6, orders=[9]), side(0.4, [0.1], orders=[6, 5]), edges)
    coarse = plate.plate(side(0.6, orders=[7]), side(0.4, [0.1], orders=[5, 4]), edges)
    at = np.linspace(0.0, 0.6, 5), np.linspace(0.0, 0.4, 5)
    found = [
        plate.deflection_at(of, solved(of, made, plate.pressure(of, 1e3), steps), *at)
        for of, steps in ((fine, 1), (coarse, 0))
    ]
    np.testing.assert_allclose(found[0], found[1], atol=1e-8 * np.max(np.abs(found[1])))


def test_a_patch_wants_its_cuts() -> None:
    """Moments under a small patch: cut at its rim they settle, with smooth polynomials they lag."""
    made = no_coupling(stiff(panel(5)))
    over = (0.40, 0.45), (0.15, 0.20)

    def moment(cut: bool, orders: list[int]) -> float:
        x, y = (
            side(length, over[way] if cut else (), orders) for way, length in ((0, 0.8), (1, 0.5))
        )
        of = plate.plate(x, y, SUPPORTED, coupled=False)
        unknowns = solved(of, made, plate.patch(of, 500.0, *over))
        return float(np.max(plate.strains_at(of, unknowns, places(x), places(y))[..., 3]))

    settled = moment(True, [10, 8, 10])
    assert moment(True, []) == pytest.approx(settled, rel=0.02)
    assert moment(False, [14]) < 0.9 * settled


def test_a_thin_plate_does_not_lock() -> None:
    """A shear stiffness a million times what matters leaves the deflection as it was."""
    made = no_coupling(stiff(panel(2)))
    stiffer = made.copy()
    stiffer[6:, 6:] = np.eye(2) * 1e6 * made[3, 3]
    of = plate.plate(side(1.0), side(1.0), (Edge.CLAMPED,) * 4, coupled=False)
    thin = solved(of, stiffer, plate.pressure(of, 1.0))
    stiffer[6:, 6:] /= 30.0
    less = solved(of, stiffer, plate.pressure(of, 1.0))
    w = [plate.deflection_at(of, unknowns, [0.5], [0.5])[0, 0] for unknowns in (thin, less)]
    assert w[0] == pytest.approx(w[1], rel=2e-3)


# --- Refusals -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "edges", [edges for edges in itertools.product(Edge, repeat=4) if edges not in EDGES]
)
def test_a_mechanism_is_refused(edges: Edges) -> None:
    with pytest.raises(FormulaError, match="falls or turns about its edge") as refused:
        plate.plate(side(1.0), side(1.0), edges)
    assert "one clamped edge, or two that are simply supported" in str(refused.value)


def square(of: Side) -> Plate:
    return plate.plate(of, of, SUPPORTED)


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda: side(0.0), "A plate needs two sides. Given: 0 m. Allowed: above 0 m."),
        (lambda: side(float("nan")), "A plate needs two sides. Given: nan m."),
        (lambda: side(1.0, [1.2]), "This place is not on the plate. Given: 1.2 m."),
        (lambda: side(1.0, [0.5], [4]), "A side has one order for each part. Given: (4,)."),
        (lambda: side(1.0, (), [1]), "Allowed: 1 from 2 to 24."),
        (
            lambda: plate.patch(square(side(1.0)), 1.0, (0.8, 1.1), (0.2, 0.3)),
            "A patch lies beyond the side a of its plate. Given: from 0.8 to 1.1 m.",
        ),
        (
            lambda: plate.patch(square(side(1.0)), 1.0, (0.2, 0.3), (0.3, 0.2)),
            "A patch lies beyond the side b of its plate. Given: from 0.3 to 0.2 m.",
        ),
        (
            lambda: plate.deflection_at(
                square(side(1.0)), np.zeros(square(side(1.0)).unknowns), [1.5], [0.5]
            ),
            "This place is not on the plate. Given: 1.5 to 1.5 m. Allowed: 0 to 1 m.",
        ),
        (
            lambda: square(side(1.0, [0.1 * k for k in range(1, 10)])),
            "So many loads at once ask for too fine a sum. Given: 7917 unknowns.",
        ),
        (
            lambda: plate.factor(plate.stiffness(square(side(1.0)), np.zeros((8, 8)))),
            "A plate without stiffness in some direction has no deflection to tell.",
        ),
        (
            lambda: plate.factor(plate.stiffness(square(side(1.0)), np.full((8, 8), np.nan))),
            "A plate without stiffness in some direction has no deflection to tell.",
        ),
    ],
)
def test_refusals(act: Callable[[], object], says: str) -> None:
    with pytest.raises(FormulaError) as refused:
        act()
    assert says in str(refused.value)
