"""Transverse shear of any lay-up: closed forms, what must not matter, and plain integration."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelwright.mechanics import lamina, laminate, transverse_shear
from panelwright.mechanics.arrays import Array
from tests.reference.cases import mechanics_cases
from tests.reference.sections import Plies, Section, isotropic, section
from tests.reference.stiffness import plies_of

from .stacks import any_plies, random_plies, split
from .test_laminate import angles, near, shares_of_a_layer

#: Weights of the three points at which the flow through a layer is given.
GAUSS = np.array([5.0, 8.0, 5.0]) / 18.0


def rotation(angle: float) -> Array:
    """Components of a vector in axes x, y from those in axes turned by an angle."""
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, -s], [s, c]])


def alike_in_the_plane(rng: np.random.Generator, layers: int) -> Plies:
    """Layers alike in every direction of the plane, unlike in shear through the thickness."""
    plies = random_plies(rng, (layers,))
    shear = plies.E1 / (2.0 * (1.0 + plies.nu12))
    return replace(plies, E2=plies.E1, G12=shear)


def padded(plies: Plies, at: int) -> Plies:
    """The same stack with a layer of no thickness, and moduli, before layer ``at``."""
    size = plies.thickness.size
    order = np.insert(np.arange(size), at, min(at, size - 1))
    taken = plies.take(order)
    thickness = taken.thickness.copy()
    thickness[at] = 0.0
    return replace(taken, thickness=thickness)


@given(st.floats(1e6, 1e11), st.floats(0.0, 0.49), st.floats(1e-4, 0.1), st.integers(1, 5))
def test_an_isotropic_plate_has_five_sixths(
    modulus: float, poisson: float, thickness: float, layers: int
) -> None:
    """Reissner's factor, 5/6, for the parabola of a rectangular section (handbook fact)."""
    shear = modulus / (2.0 * (1.0 + poisson))
    each = np.full(layers, thickness / layers)
    made = section(isotropic(np.array(modulus), np.array(poisson), np.array(shear), each))
    near(made.S, np.eye(2) * 5.0 / 6.0 * shear * thickness)


@given(any_plies(), st.integers(0, 5), shares_of_a_layer)
def test_a_layer_written_as_two_is_one(plies: Plies, at: int, share: float) -> None:
    near(section(split(plies, at % plies.thickness.size, share)).S, section(plies).S)


@given(any_plies(), st.integers(0, 6))
def test_a_layer_without_thickness_changes_nothing(plies: Plies, at: int) -> None:
    near(section(padded(plies, at % (plies.thickness.size + 1))).S, section(plies).S)


@given(any_plies())
def test_flow_vanishes_at_both_faces(plies: Plies) -> None:
    """Read at layers of no thickness laid on both faces; equilibrium."""
    flow = section(padded(padded(plies, 0), plies.thickness.size + 1)).flow
    largest = np.max(np.abs(flow))
    assert np.all(flow[-1] == 0.0)
    np.testing.assert_allclose(flow[0], 0.0, rtol=0.0, atol=1e-11 * largest)


@given(any_plies(), st.integers(1, 5))
def test_flow_is_the_same_on_both_sides_of_a_glue_line(plies: Plies, at: int) -> None:
    """Between two layers the flow is what the layer of no thickness between them passes on."""
    at %= plies.thickness.size
    flow = section(padded(plies, at)).flow
    near(flow[at], np.broadcast_to(flow[at, :1], flow[at].shape))


@given(any_plies())
def test_flow_adds_up_to_the_force(plies: Plies) -> None:
    """Equilibrium: over the thickness it is the force of 1 that made it, and nothing sideways."""
    made = section(plies)
    force = np.einsum("lpsf,p,l->sf", made.flow, GAUSS, made.thickness)
    largest = np.max(np.abs(made.flow)) * float(made.total)
    np.testing.assert_allclose(force, np.eye(2), rtol=0.0, atol=1e-10 * max(largest, 1.0))


@given(any_plies())
def test_stiffness_is_symmetric_positive_and_below_the_sum_of_shear(plies: Plies) -> None:
    """No more than all layers shearing alike would give: the upper bound of energy."""
    made = section(plies)
    xz, yz, both = np.einsum("lc,l->c", made.shear, made.thickness)
    upper = np.array([[xz, both], [both, yz]])
    near(made.S, made.S.T)
    assert np.min(np.linalg.eigvalsh(made.S)) > 0.0
    assert np.min(np.linalg.eigvalsh(upper - made.S)) > -1e-11 * np.max(upper)


@given(any_plies(most=1), st.floats(0.01, np.pi / 2 - 0.01), st.integers(1, 3))
def test_plies_to_and_fro_have_a_positive_stiffness(plies: Plies, angle: float, times: int) -> None:
    pairs = plies.take(np.zeros(2 * times, np.intp))
    made = section(replace(pairs, angle=np.tile([angle, -angle], times)))
    assert np.max(np.abs(made.B)) > 0.0
    assert np.min(np.linalg.eigvalsh(made.S)) > 0.0


@given(st.integers(0, 2**32 - 1), st.integers(1, 6), angles)
def test_a_panel_alike_in_its_plane_turns_its_shear_with_it(
    seed: int, layers: int, angle: float
) -> None:
    plies = alike_in_the_plane(np.random.default_rng(seed), layers)
    turn = rotation(angle)
    near(section(plies.turned(angle)).S, turn @ section(plies).S @ turn.T, within=1e-9)


@given(any_plies())
def test_a_quarter_turn_swaps_along_and_across(plies: Plies) -> None:
    turn = rotation(np.pi / 2)
    near(section(plies.turned(np.pi / 2)).S, turn @ section(plies).S @ turn.T, within=1e-10)


@given(any_plies())
def test_shares_add_up_to_one(plies: Plies) -> None:
    shares = transverse_shear.shear_shares(section(plies).flexibilities)
    np.testing.assert_allclose(np.sum(shares, axis=0), 1.0, rtol=1e-12)
    assert np.all(shares >= 0.0)


def test_shares_of_three_equal_layers() -> None:
    """Integral of (1 - s²)² over the middle third, over that of the whole: 376/648 (calculus)."""
    stuff = np.full(3, 1e10)
    made = section(isotropic(stuff, np.array(0.3), stuff / 2.6, np.full(3, 0.002)))
    expected = np.array([136.0, 376.0, 136.0]) / 648.0
    shares = transverse_shear.shear_shares(made.flexibilities)
    np.testing.assert_allclose(shares, np.stack([expected, expected], axis=-1), rtol=1e-12)


# --- Thin skins on a soft core --------------------------------------------------------------------


@pytest.mark.parametrize("case_id", ["shear-k04"])
def test_thin_skin_formula_of_the_case(case_id: str) -> None:
    """G d²/tc as the case prints it, at the tolerance that the case gives the exact stiffness."""
    case = next(case for case in mechanics_cases() if case.id == case_id)
    printed = case.expected["thin_skin_formula_G_d2_over_tc"]
    ours = printed.shown(section(plies_of(case)).S[0, 0])
    assert ours == pytest.approx(printed.value, rel=case.expected["shear_stiffness_x"].rel)


@pytest.mark.parametrize("skin", [4e-4, 2e-4, 1e-4])
def test_thin_skins_come_to_the_formula(skin: float) -> None:
    """S tends to G d²/tc as the skins thin and the core has no stiffness along (handbook formula).

    What is left goes with the skin over the core: halved skins, halved difference or better.
    """
    core, shear = 0.02, 2.8e7

    def off(skin: float) -> float:
        made = section(
            isotropic(
                np.array([2e10, 1e3, 2e10]),
                np.array(0.3),
                np.array([8e9, shear, 8e9]),
                np.array([skin, core, skin]),
            )
        )
        return float(made.S[0, 0] / (shear * (core + skin) ** 2 / core)) - 1.0

    assert abs(off(skin)) < 2.0 * skin / core * 1e-2
    assert abs(off(skin / 2.0)) <= 0.55 * abs(off(skin))


# --- Coupled lay-ups, integrated plainly ----------------------------------------------------------

SLICES = 1000


def turned_by_matrices(plies: Plies, layer: int) -> tuple[Array, Array]:
    """Plane stiffness (xx, yy, xy) and through-thickness shear of a layer, turned as tensors."""
    nu21 = plies.nu12[layer] * plies.E2[layer] / plies.E1[layer]
    free = 1.0 - plies.nu12[layer] * nu21
    own = np.array(
        [
            [plies.E1[layer] / free, nu21 * plies.E1[layer] / free, 0.0],
            [nu21 * plies.E1[layer] / free, plies.E2[layer] / free, 0.0],
            [0.0, 0.0, plies.G12[layer]],
        ]
    )
    c, s = np.cos(plies.angle[layer]), np.sin(plies.angle[layer])
    to_own = np.array(
        [[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2 * c * s, 2 * c * s, c * c - s * s]]
    )
    turn = rotation(float(plies.angle[layer]))
    shear = turn @ np.diag([plies.G13[layer], plies.G23[layer]]) @ turn.T
    return to_own.T @ own @ to_own, shear


def by_slices(plies: Plies) -> Array:
    """Transverse shear stiffness by thin slices: sums, one 4 x 4 system, running sums, trapezia.

    Every layer is cut into slices that are thin enough to have no bending stiffness of their own.
    """
    layers = range(plies.thickness.size - 1, -1, -1)  # from the inside up
    made = [turned_by_matrices(plies, layer) for layer in layers]
    plane = np.repeat([one for one, _ in made], SLICES, axis=0)
    soft = np.repeat([np.linalg.inv(one) for _, one in made], SLICES, axis=0)
    dz = np.repeat(plies.thickness[::-1] / SLICES, SLICES)
    edges = np.concatenate([[0.0], np.cumsum(dz)]) - np.sum(dz) / 2.0
    z = (edges[1:] + edges[:-1]) / 2.0
    flow = np.zeros((edges.size, 2, 2))  # stress xz, yz for a force along x, y
    for way in (0, 1):
        pair = plane[np.ix_(range(z.size), (way, 2), (way, 2))]
        A, B, D = (np.sum(pair * (dz * z**n)[:, None, None], axis=0) for n in range(3))
        strain, bend = np.split(
            np.linalg.solve(np.block([[A, B], [B, D]]), [0.0, 0.0, 1.0, 0.0]), 2
        )
        stress = np.einsum("nij,nj->ni", pair, strain + z[:, None] * bend)
        through = -np.cumsum(stress * dz[:, None], axis=0)
        flow[1:, way, way], flow[1:, 1 - way, way] = through.T
    lower, upper = (
        np.einsum("nia,nij,njb->nab", part, soft, part) for part in (flow[:-1], flow[1:])
    )
    flexibility = np.sum((lower + upper) / 2.0 * dz[:, None, None], axis=0)
    return np.asarray(np.linalg.inv(flexibility), np.float64)


#: Invented constants, of the size of glass cloth, carbon, timber and foam; Pa.
STUFF = {
    "glass": (3.8e10, 9e9, 3.5e9, 0.28, 3.5e9, 2.8e9),
    "carbon": (1.3e11, 8e9, 4.2e9, 0.3, 4.2e9, 3e9),
    "timber": (1e10, 5e8, 7e8, 0.35, 6e8, 8e7),
    "foam": (7.5e7, 7.5e7, 2.8e7, 0.32, 2.8e7, 2.8e7),
}
COUPLED = {
    "30/-30/foam/0": "glass 30 0.6, glass -30 0.6, foam 0 15, glass 0 0.8",
    "30/-30/foam/0/90": "glass 30 0.5, glass -30 0.5, foam 0 20, carbon 0 0.4, carbon 90 0.4",
    "45/-45/timber/20": "glass 45 0.4, glass -45 0.4, timber 0 8, carbon 20 0.5",
    "30/-30": "carbon 30 1, carbon -30 1",
    "15/timber 40/70": "carbon 15 2, timber 40 6, glass 70 1",
}


def written(words: str) -> Plies:
    """Layers from words: stuff, degrees, millimetres."""
    rows = []
    for layer in words.split(", "):
        stuff, angle, thickness = layer.split()
        rows.append([*STUFF[stuff], np.radians(float(angle)), float(thickness) / 1e3])
    return Plies(*np.array(rows).T)


@pytest.mark.parametrize("words", COUPLED.values(), ids=COUPLED)
def test_coupled_lay_ups_against_plain_integration(words: str) -> None:
    """The same equilibrium written another way: slices that bend only as parts of the whole.

    A thousand slices a layer leave about a millionth.
    """
    plies = written(words)
    made, sliced = section(plies), by_slices(plies)
    sideways, straight = np.abs(made.flow[..., 1, 0]), np.abs(made.flow[..., 0, 0])
    assert np.max(sideways) > 0.05 * np.max(straight)  # force along x shears across as well
    near(made.S, sliced, within=1e-5)


# --- Stress under bending and twisting that change ------------------------------------------------


def slopes_of(made: Section, moments: Array) -> Array:
    """Slopes of strains and curvatures for slopes of moments, with no force in the plane."""
    load = np.concatenate([np.zeros_like(moments), moments], axis=-1)
    return laminate.strains(made.compliance, load)


@pytest.mark.parametrize("words", COUPLED.values(), ids=COUPLED)
def test_shear_of_slopes_against_plain_integration(words: str) -> None:
    """τ from the slopes of stress in a thousand slices a layer, summed from the inside."""
    plies = written(words)
    made = section(plies)
    along, across = slopes_of(made, np.array([[3.0, -1.0, 0.7], [0.4, 2.0, -1.5]]))
    ours = transverse_shear.shear_of_slopes(
        made.stiffness, made.thickness, made.heights, along, across
    )
    slices, points = 1000, (1.0 + np.array([-np.sqrt(0.6), 0.0, np.sqrt(0.6)])) / 2.0
    below = np.zeros(2)
    for layer in reversed(range(made.thickness.size)):
        t, q = made.thickness[layer], lamina.matrix(made.stiffness[layer])
        z = made.heights[layer] + t * ((np.arange(slices) + 0.5) / slices - 0.5)
        x, y = ((q @ (e[:3, None] + z * e[3:, None])) for e in (along, across))
        run = np.cumsum(np.stack([x[0] + y[2], x[2] + y[1]]), axis=1) * t / slices
        at = np.interp(points, np.arange(1, slices + 1) / slices, np.arange(slices)).astype(int)
        tau = below[:, None] - run[:, at]
        np.testing.assert_allclose(ours[layer].T, tau, atol=3e-3 * np.max(np.abs(ours)))
        below = below - run[:, -1]
    np.testing.assert_allclose(below, 0.0, atol=1e-9 * np.max(np.abs(ours)))


@given(st.integers(0, 2**32 - 1), st.integers(1, 6))
def test_shear_adds_up_to_the_force(seed: int, layers: int) -> None:
    """Whatever the slopes say; and where they say what the force says, they are left alone."""
    rng = np.random.default_rng(seed)
    made = section(random_plies(rng, (layers,)))
    along, across = slopes_of(made, rng.normal(size=(2, 3)))
    of_slopes = transverse_shear.shear_of_slopes(
        made.stiffness, made.thickness, made.heights, along, across
    )
    force = rng.normal(size=2)
    tau = transverse_shear.shear_under_force(of_slopes, made.flow, force, made.thickness)
    summed = np.einsum("l,lpw,p->w", made.thickness, tau, GAUSS)
    np.testing.assert_allclose(summed, force, atol=1e-9)
    own = np.einsum("l,lpw,p->w", made.thickness, of_slopes, GAUSS)
    same = transverse_shear.shear_under_force(of_slopes, made.flow, own, made.thickness)
    np.testing.assert_allclose(same, of_slopes, atol=1e-9 * np.max(np.abs(of_slopes)))


@given(st.integers(0, 2**32 - 1))
def test_stress_by_place_is_that_of_a_unit_force(seed: int) -> None:
    plies = random_plies(np.random.default_rng(seed), (4,))
    flow = section(plies).flow
    by_force = transverse_shear.shear_by_place(flow, plies.angle)
    for way in (0, 1):
        ours = transverse_shear.shear_stress_by_place(flow[..., way], plies.angle)
        np.testing.assert_array_equal(ours, by_force[..., way])
