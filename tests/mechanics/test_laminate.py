"""What a laminate keeps whatever its layers are, and closed forms that it must meet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelwright.mechanics import lamina, laminate
from panelwright.mechanics.arrays import Array
from tests.reference.cases import Case, mechanics_cases
from tests.reference.sections import Plies, Section, isotropic, section
from tests.reference.stiffness import plies_of

from .stacks import Flags, any_plies, inverse, random_plies, split, without

angles = st.floats(-np.pi, np.pi)
shares_of_a_layer = st.floats(0.01, 0.99)


def near(ours: Array, expected: Array, within: float = 1e-11) -> None:
    """Equal to a share of the largest entry of the block."""
    largest = np.max(np.abs(expected), initial=0.0)
    np.testing.assert_allclose(ours, expected, rtol=0.0, atol=within * largest)


def near_sums(ours: Section, expected: Section) -> None:
    """A, B and D alike; B on the scale of A times the thickness, since it may be nought."""
    near(ours.A, expected.A)
    near(ours.D, expected.D)
    scale = np.max(expected.A) * float(expected.total)
    np.testing.assert_allclose(ours.B, expected.B, rtol=0.0, atol=1e-11 * scale)


def turned_by_inversion(values: Array, angle: float) -> Array:
    """Stiffness turned by another route than its invariants: through the compliance."""
    return inverse(lamina.turned_compliance(inverse(values), -angle))


@given(any_plies(), angles)
def test_turned_and_back_is_as_before(plies: Plies, angle: float) -> None:
    compliance = inverse(plies.own_stiffness)
    back = lamina.turned_compliance(lamina.turned_compliance(compliance, angle), -angle)
    near(back, compliance)


@given(any_plies(most=1), angles)
def test_stiffness_and_compliance_turn_alike(plies: Plies, angle: float) -> None:
    own = plies.own_stiffness[0]
    turned = lamina.turned_stiffness(lamina.invariants(own), angle)
    near(turned_by_inversion(own, angle), turned, within=1e-10)


@given(any_plies(), angles)
def test_turning_keeps_what_is_invariant(plies: Plies, angle: float) -> None:
    """Tsai and Pagano (1968), from memory: Q11 + Q22 + 2 Q12 and Q66 - Q12 do not change."""

    def kept(q: Array) -> Array:
        return np.stack([q[..., 0] + q[..., 2] + 2.0 * q[..., 1], q[..., 5] - q[..., 1]], axis=-1)

    near(kept(section(plies.turned(angle)).stiffness), kept(plies.own_stiffness))


@given(st.floats(-1e-2, 1e-2), st.floats(-1e-2, 1e-2), angles)
def test_free_strain_turns_as_a_tensor(along: float, across: float, angle: float) -> None:
    """Tensor of small strain; the engineering shear is twice its component."""
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, -s], [s, c]])
    tensor = turn @ np.diag([along, across]) @ turn.T
    expected = np.array([tensor[0, 0], tensor[1, 1], 2.0 * tensor[0, 1]])
    found = lamina.turned_expansion(along, across, angle)
    np.testing.assert_allclose(found, expected, rtol=0.0, atol=1e-15)


@given(any_plies(), angles)
def test_a_panel_turned_half_round_is_the_same(plies: Plies, angle: float) -> None:
    made, again = (section(plies.turned(by)) for by in (angle, angle + np.pi))
    near_sums(again, made)


@given(any_plies())
def test_every_angle_the_other_way_turns_the_sign_of_the_couplings(plies: Plies) -> None:
    made, other = section(plies), section(replace(plies, angle=-plies.angle))
    signs = np.array([1.0, 1.0, 1.0, -1.0, -1.0, 1.0])
    near(other.A, signs * made.A)
    near(other.D, signs * made.D)


@given(any_plies(), st.integers(0, 5), shares_of_a_layer)
def test_a_layer_written_as_two_is_one(plies: Plies, at: int, share: float) -> None:
    near_sums(section(split(plies, at % plies.thickness.size, share)), section(plies))


@given(any_plies())
def test_whole_stiffness_is_symmetric_and_positive(plies: Plies) -> None:
    whole = section(plies).whole
    np.testing.assert_array_equal(whole, whole.T)
    scale = 1.0 / np.sqrt(np.diag(whole))
    assert np.min(np.linalg.eigvalsh(whole * np.outer(scale, scale))) > 0.0


@given(any_plies())
def test_compliance_undoes_stiffness(plies: Plies) -> None:
    """On the scale of each entry, because forces and moments have other units."""
    made = section(plies)
    scale = np.sqrt(np.diag(made.whole))
    product = (made.whole @ made.compliance) * scale[None, :] / scale[:, None]
    np.testing.assert_allclose(product, np.eye(6), rtol=0.0, atol=1e-9)


@given(any_plies(most=1), st.integers(3, 7), angles)
def test_plies_all_round_make_a_sheet_alike_in_every_direction(
    plies: Plies, directions: int, first: float
) -> None:
    around = first + np.pi * np.arange(directions) / directions
    one = plies.take(np.zeros(directions, np.intp))
    A11, A12, A22, A16, A26, A66 = section(replace(one, angle=around)).A
    near(np.array([A22, A16, A26, 2.0 * A66]), np.array([A11, 0.0, 0.0, A11 - A12]))


@given(any_plies())
def test_mirrored_layers_leave_no_coupling(plies: Plies) -> None:
    there_and_back = np.concatenate(
        [np.arange(plies.thickness.size), np.arange(plies.thickness.size)[::-1]]
    )
    made = section(plies.take(there_and_back))
    assert laminate.unlikeness(made.A, made.B, made.D) < 1e-12
    assert np.max(np.abs(made.neutral)) < 1e-12 * made.total


@given(any_plies())
def test_unlikeness_lies_between_nought_and_one(plies: Plies) -> None:
    made = section(plies)
    assert 0.0 <= laminate.unlikeness(made.A, made.B, made.D) < 1.0


@given(any_plies())
def test_bending_about_the_neutral_plane_pulls_nothing(plies: Plies) -> None:
    made = section(plies)
    for way, place in enumerate((0, 2)):
        about = laminate.coupling_stiffness(
            made.stiffness, made.thickness, made.heights - made.neutral[way]
        )
        assert abs(about[place]) < 1e-11 * made.A[place] * made.total


@given(any_plies())
def test_shares_of_bending_add_up_to_one(plies: Plies) -> None:
    made = section(plies)
    shares = laminate.bending_shares(made.stiffness, made.thickness, made.heights, made.neutral)
    np.testing.assert_allclose(np.sum(shares, axis=0), 1.0, rtol=1e-12)
    assert np.all(shares >= 0.0)


@given(any_plies(), angles)
def test_moduli_at_an_angle_are_those_of_the_panel_turned(plies: Plies, angle: float) -> None:
    """The compliance seen along a direction, against the panel turned so that x lies along it."""
    made, turned = section(plies), section(plies.turned(-angle))
    near(lamina.turned_compliance(made.a, angle), turned.a, within=1e-8)
    near(lamina.turned_compliance(made.d, angle), turned.d, within=1e-8)


@given(any_plies(most=1), st.integers(1, 5))
def test_a_plate_of_one_stuff_has_its_constants(plies: Plies, layers: int) -> None:
    """In its plane and in bending, and the strip E t³/12 (beam theory), however it is written."""
    plate = replace(plies.take(np.zeros(layers, np.intp)), angle=np.zeros(layers))
    made = section(plate)
    constants = np.array([plies.E1, plies.E2, plies.G12, plies.nu12])[:, 0]
    np.testing.assert_allclose(made.moduli, constants, rtol=1e-9)
    np.testing.assert_allclose(laminate.bending_moduli(made.d, made.total), constants, rtol=1e-9)
    np.testing.assert_allclose(made.strip, constants[:2] * made.total**3 / 12.0, rtol=1e-9)


def test_shares_of_bending_of_three_equal_layers() -> None:
    """Geometry: of the cube of 3 the middle layer has 1, so 1/27, and each face 13/27."""
    stuff = np.full(3, 1e10)
    made = section(isotropic(stuff, np.array(0.3), stuff / 2.6, np.full(3, 0.002)))
    shares = laminate.bending_shares(made.stiffness, made.thickness, made.heights, made.neutral)
    expected = np.array([13.0, 1.0, 13.0]) / 27.0
    np.testing.assert_allclose(shares, np.stack([expected, expected], axis=-1), rtol=1e-12)


# --- Written from both ends -----------------------------------------------------------------------

UNSYMMETRIC = [
    case
    for case in mechanics_cases()
    if case.id in {"clt-c02", "clt-c04", "clt-c08", "clt-c09", "shear-k03h", "shear-k06"}
]


@pytest.mark.parametrize("case", UNSYMMETRIC, ids=lambda case: case.id)
def test_written_from_the_other_end(case: Case) -> None:
    """A published lay-up read backwards: B with the other sign, everything else alike.

    Sources in the cases. Where a case gives no through-thickness shear, that of the plane is used.
    """
    plies = plies_of(case)
    if "clt" in case.id:
        plies = replace(plies, G13=plies.G12, G23=plies.G12 / 2.0)
    made, other = section(plies), section(plies.from_the_other_end())
    assert laminate.unlikeness(made.A, made.B, made.D) > 0.01
    near(other.B, -made.B)
    near(other.neutral, -made.neutral)
    near(other.compliance[:3, 3:], -made.compliance[:3, 3:])
    for name in ("A", "D", "a", "d", "moduli", "strip", "S"):
        near(getattr(other, name), getattr(made, name))


# --- Free strains ---------------------------------------------------------------------------------


@given(
    any_plies(most=1),
    st.integers(1, 5),
    st.tuples(st.floats(-1e-2, 1e-2), st.floats(-1e-2, 1e-2)),
)
def test_a_plate_of_one_stuff_swells_and_stays_flat(
    plies: Plies, layers: int, free: tuple[float, float]
) -> None:
    plate = plies.take(np.zeros(layers, np.intp))
    expansion = lamina.turned_expansion(*free, plate.angle)
    found = section(plate).free_strains(expansion)
    largest = np.max(np.abs(free)) + 1e-12
    np.testing.assert_allclose(found[:3], expansion[0], rtol=0.0, atol=1e-9 * largest)
    bound = 1e-9 * largest / float(np.sum(plate.thickness))
    np.testing.assert_allclose(found[3:], 0.0, rtol=0.0, atol=bound)


@given(
    st.floats(1e-4, 2e-2),
    st.floats(0.05, 20.0),
    st.floats(0.02, 50.0),
    st.floats(-1e-2, 1e-2).filter(lambda strain: abs(strain) > 1e-6),
)
def test_two_strips_bend_as_timoshenko_says(
    outer: float, over: float, stiffer: float, longer: float
) -> None:
    """Timoshenko (1925), J. Opt. Soc. Am. 11, equation 4, from memory.

    k = 6 e (1 + m)² / (h (3 (1 + m)² + (1 + m n)(m² + 1/(m n)))), with m the ratio of the
    thicknesses, n that of the moduli, h the whole thickness and e the difference in free strain;
    here the outer strip is the longer one: the panel rises outwards.
    """
    inner = outer * over
    modulus = 1e10 * np.array([stiffer, 1.0])
    made = section(isotropic(modulus, np.array(0.0), modulus / 2.0, np.array([outer, inner])))
    found = made.free_strains(lamina.turned_expansion(np.array([longer, 0.0]), 0.0, 0.0))[3]
    m, n = outer / inner, stiffer
    stiff = 3.0 * (1.0 + m) ** 2 + (1.0 + m * n) * (m**2 + 1.0 / (m * n))
    expected = 6.0 * longer * (1.0 + m) ** 2 / ((outer + inner) * stiff)
    assert found == pytest.approx(expected, rel=1e-9)


# --- Many at once ---------------------------------------------------------------------------------

STACKS, LAYERS = 200, 8
BLOCKS = (
    "stiffness", "heights", "A", "B", "D", "a", "d", "moduli", "strip", "neutral", "flow",
    "flexibilities", "S",
)  # fmt: skip


def with_gaps() -> tuple[Plies, Flags]:
    """Random stacks in which any layer but one may not be there, and which are there."""
    rng = np.random.default_rng(2026)
    gone = rng.uniform(size=(STACKS, LAYERS)) < 0.4
    gone[np.arange(STACKS), rng.integers(0, LAYERS, STACKS)] = False
    return without(random_plies(rng, (STACKS, LAYERS)), gone), ~gone


def test_a_row_of_many_stacks_is_the_single_stack() -> None:
    plies, _ = with_gaps()
    with np.errstate(all="raise"):
        batch = section(plies)
        for row in range(STACKS):
            single = section(plies.row(row))
            for name in BLOCKS:
                near(getattr(batch, name)[row], getattr(single, name), within=1e-12)
            for rows in (slice(0, 3), slice(3, 6)):
                for columns in (slice(0, 3), slice(3, 6)):
                    near(
                        batch.compliance[row, rows, columns],
                        single.compliance[rows, columns],
                        within=1e-12,
                    )


def test_layers_that_are_not_there_change_nothing() -> None:
    plies, there = with_gaps()
    batch = section(plies)
    assert np.sum(~there) > STACKS  # most stacks have a gap
    for row in range(STACKS):
        alone = section(plies.row(row).take(np.flatnonzero(there[row])))
        for name in ("A", "D", "S", "strip"):
            near(getattr(batch, name)[row], getattr(alone, name))
        near_sums(
            Section(*(getattr(batch, n)[row] for n in ("stiffness", "shear", "thickness"))), alone
        )


def test_leading_axes_of_any_number() -> None:
    plies, _ = with_gaps()
    folded = Plies(*(values.reshape(4, 50, LAYERS) for values in vars(plies).values()))
    flat, made = section(plies), section(folded)
    for name in (*BLOCKS, "compliance"):
        values = getattr(flat, name)
        np.testing.assert_array_equal(getattr(made, name), values.reshape(4, 50, *values.shape[1:]))
