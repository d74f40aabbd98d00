"""The section of a described panel against hand arithmetic and handbook formulas."""

from __future__ import annotations

import numpy as np
import pytest

from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.section import Movement, Section, movement, section
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import FIELDS, Stack, stack_of

from .written import layer, resolved


def made(*parts: str) -> tuple[Stack, Build, Section]:
    """Stack, build and section of a panel file of these parts."""
    stack = stack_of(resolved(*parts).layers)
    build = evaluate(stack)
    return stack, build, section(stack, build)


def section_of(*parts: str) -> Section:
    return made(*parts)[2]


def moved(*parts: str) -> Movement:
    return movement(*made(*parts))


def lamina(thickness: str, angle: float = 0.0, **constants: object) -> str:
    """A layer by its constants; text with units, numbers as they are."""
    given = {"density": "1500 kg/m3", **constants}
    words = ", ".join(
        f'{k} = "{v}"' if isinstance(v, str) else f"{k} = {v}" for k, v in given.items()
    )
    return f'[[layer]]\nthickness = "{thickness}"\nangle = {angle}\nlamina = {{ {words} }}\n'


STEEL = lamina(
    "3 mm",
    E1="210 GPa",
    E2="210 GPa",
    G12="80.769 GPa",
    G13="80.769 GPa",
    G23="80.769 GPa",
    nu12=0.3,
)
TIMBER = layer(strips="western redcedar", thickness="8 mm", moisture="10 %")
TENDER = (
    layer(cloth="biax 300", fibre_mass_fraction="0.5")
    + TIMBER
    + layer(cloth="twill 200", repeat=2, fibre_mass_fraction="0.45")
)


# --- Solids and sandwiches by hand ----------------------------------------------------------------


def test_steel_sheet_by_hand() -> None:
    """Plate theory: A = E t/(1 − ν²), D = E t³/(12 (1 − ν²)), EI = E t³/12, S = 5/6 G t."""
    steel = section_of(STEEL)
    assert steel.extension[0] == pytest.approx(210e9 * 3e-3 / 0.91, rel=1e-9)
    assert steel.extension[1] == pytest.approx(0.3 * 210e9 * 3e-3 / 0.91, rel=1e-9)
    assert steel.bending[0] == pytest.approx(472.5 / 0.91, rel=1e-9)
    assert steel.bending[5] == pytest.approx(80.769e9 * 27e-9 / 12.0, rel=1e-9)
    np.testing.assert_allclose(steel.strip, 472.5, rtol=1e-9)
    np.testing.assert_allclose(np.diagonal(steel.shear), 5.0 / 6.0 * 80.769e9 * 3e-3, rtol=1e-9)
    np.testing.assert_allclose(steel.coupling, 0.0, atol=1e-6)
    assert steel.unlikeness < 1e-12


#: Shares of the moment of inertia of n equal veneers whose grain lies along: 26 of 27, 99 of 125,
#: 244 of 343 (counted in units of the veneer's own t³/12). Common practice of plywood makers.
VENEERS = {3: (26, 27), 5: (99, 125), 7: (244, 343)}


@pytest.mark.parametrize("count", VENEERS)
def test_plywood_of_equal_veneers(count: int) -> None:
    """EI = t³/12 (E_L p + E_T (n³ − p)), no Poisson's ratio: along and across."""
    with_grain, whole = VENEERS[count]
    E_L, E_T = 12.5e9, 0.6e9
    veneers = "".join(
        lamina("1.5 mm", 90.0 * (i % 2), E1="12.5 GPa", E2="0.6 GPa", G12="0.7 GPa", nu12=0.0)
        for i in range(count)
    )
    unit = 1.5e-3**3 / 12.0
    along = unit * (E_L * with_grain + E_T * (whole - with_grain))
    across = unit * (E_T * with_grain + E_L * (whole - with_grain))
    np.testing.assert_allclose(section_of(veneers).strip, (along, across), rtol=1e-9)


def test_birch_plywood_of_the_catalogue() -> None:
    """The same by the moduli that its veneers have: what Poisson's ratio adds is below 1 %."""
    sheet = section_of(layer(plywood="birch plywood", thickness="7 mm"))
    E_L, E_T = float(sheet.constants.E1[0]), float(sheet.constants.E2[0])
    assert len(sheet.constants.E1) == 5  # 1.4 mm a veneer
    unit = 1.4e-3**3 / 12.0
    by_hand = unit * np.array([99 * E_L + 26 * E_T, 26 * E_L + 99 * E_T])
    np.testing.assert_allclose(sheet.strip, by_hand, rtol=0.01)


def test_sandwich_by_the_parallel_axis() -> None:
    """EI = E t d²/2 + E t³/6 + E_c c³/12; the first term alone is the thin-face formula."""
    face = lamina("1 mm", E1="20 GPa", E2="20 GPa", G12="8.85 GPa", nu12=0.13)
    core = lamina("20 mm", E1="75 MPa", E2="75 MPa", G12="28.4 MPa", nu12=0.13)
    thin = 20e9 * 1e-3 * 21e-3**2 / 2.0
    whole = thin + 20e9 * 1e-3**3 / 6.0 + 75e6 * 20e-3**3 / 12.0
    strip = section_of(face, core, face).strip
    np.testing.assert_allclose(strip, whole, rtol=1e-9)
    # thin faces leave out (t/d)²/3 of the faces and the core's own bending
    error = (1.0 / 21.0) ** 2 / 3.0 + 75e6 * 20e-3**3 / 12.0 / thin
    assert float(strip[0]) / thin - 1.0 == pytest.approx(error, rel=1e-6)


def test_sandwich_shear_by_the_hand_formula() -> None:
    """S = G d²/c for thin stiff faces (Allen 1969, from memory)."""
    cloth = layer(cloth="twill 200", repeat=2, fibre_mass_fraction="0.45")
    stack, build, panel = made(cloth, layer(core="PVC foam 80", thickness="20 mm"), cloth)
    distance = 20e-3 + float(build.layer_thickness[0] + build.layer_thickness[1])
    by_hand = float(stack.given_G13[2]) * distance**2 / 20e-3
    np.testing.assert_allclose(np.diagonal(panel.shear), by_hand, rtol=2e-3)
    np.testing.assert_allclose(panel.shear_shares[2], 1.0, atol=0.01)


# --- What must not matter, and what must ----------------------------------------------------------


def test_a_quarter_turn_swaps_along_and_across() -> None:
    turned = TENDER.replace('"twill 200"', '"twill 200"\nangle = 90')
    turned = turned.replace('"biax 300"', '"biax 300"\nangle = 90')
    turned = turned.replace('"western redcedar"', '"western redcedar"\nangle = 90')
    here, there = section_of(TENDER), section_of(turned)
    for name in ("strip", "neutral", "bending_shares", "shear_shares"):
        np.testing.assert_allclose(
            getattr(there, name)[..., ::-1], getattr(here, name), rtol=1e-9, atol=1e-15
        )
    # y has become −x: what couples the two directions changes its sign
    np.testing.assert_allclose(np.diagonal(there.shear)[::-1], np.diagonal(here.shear), rtol=1e-9)
    assert there.shear[0, 1] == pytest.approx(-here.shear[0, 1], rel=1e-9)
    moduli, other = here.extension_moduli, there.extension_moduli
    assert other[0] == pytest.approx(moduli[1], rel=1e-9)
    assert other[2] == pytest.approx(moduli[2], rel=1e-9)
    # ν_xy/E_x = ν_yx/E_y
    assert other[3] / other[0] == pytest.approx(moduli[3] / moduli[0], rel=1e-9)


def test_a_mirrored_panel_does_not_couple() -> None:
    half = layer(cloth="twill 200", repeat=2) + layer(core="PVC foam 80", thickness="20 mm")
    panel = section_of("mirror = true\n", half)
    scale = np.sqrt(np.max(np.abs(panel.extension)) * np.max(np.abs(panel.bending)))
    assert np.max(np.abs(panel.coupling)) < 1e-12 * scale
    np.testing.assert_allclose(panel.neutral, 0.0, atol=1e-15)
    assert panel.unlikeness < 1e-12


def test_a_stitched_biaxial_from_one_roll_is_not_its_own_mirror() -> None:
    """Turned over by hand, ±45 has its plies at the same places: twist goes with stretch.

    By hand: the plies nearer the faces on both sides are the same one, so B16 = B26 stay, and B11,
    B12, B22, B66 are nothing.
    """
    half = layer(cloth="biax 300") + layer(core="PVC foam 80", thickness="20 mm")
    panel = section_of("mirror = true\n", half)
    scale = np.sqrt(np.max(np.abs(panel.extension)) * np.max(np.abs(panel.bending)))
    normal, twist = panel.coupling[[0, 1, 2, 5]], panel.coupling[[3, 4]]
    assert np.max(np.abs(normal)) < 1e-12 * scale
    assert np.min(np.abs(twist)) > 1e-4 * scale
    assert twist[0] == pytest.approx(twist[1], rel=1e-9)


def test_turned_inside_out_the_neutral_plane_changes_sides() -> None:
    thick = layer(cloth="twill 200", repeat=4)
    core = layer(core="PVC foam 80", thickness="10 mm")
    thin = layer(cloth="twill 200")
    out, inwards = section_of(thick, core, thin), section_of(thin, core, thick)
    np.testing.assert_allclose(out.neutral, -inwards.neutral, rtol=1e-9)
    assert np.all(out.neutral > 0.0)
    np.testing.assert_allclose(out.strip, inwards.strip, rtol=1e-9)


def test_shares_add_up() -> None:
    panel = section_of(TENDER)
    np.testing.assert_allclose(np.sum(panel.bending_shares, axis=0), 1.0, rtol=1e-12)
    np.testing.assert_allclose(np.sum(panel.shear_shares, axis=0), 1.0, rtol=1e-12)


def test_a_damping_layer_hardly_stiffens() -> None:
    """Rubber of 8 MPa (common practice) against glass: below 1 % of the panel."""
    panel = layer(cloth="twill 200", repeat=2) + layer(core="PVC foam 80", thickness="20 mm")
    panel += layer(cloth="twill 200", repeat=2)
    damped = panel + layer(damping="cork rubber", thickness="3 mm", density="1000 kg/m3")
    np.testing.assert_allclose(section_of(damped).strip, section_of(panel).strip, rtol=0.01)


def test_constants_of_woven_cloth_lie_between() -> None:
    """Half of the tows along: E1 = E2, near the mean of the straight ply's two, less crimp."""
    own = section_of(layer(cloth="twill 200", fibre_mass_fraction="0.45")).constants
    straight = section_of(
        layer(cloth="UD 300", fibre_mass_fraction="0.45", directions="100 % at 0")
    ).constants
    assert own.E1[0] == pytest.approx(own.E2[0], rel=1e-9)
    mean = (straight.E1[0] + straight.E2[0]) / 2.0
    assert 0.88 * mean < own.E1[0] < mean


# --- Draws ----------------------------------------------------------------------------------------


def test_a_drawn_section_is_its_single_panels() -> None:
    layers = resolved(TENDER).layers
    many = drawn_stack(layers, 8)
    drawn = section(many, evaluate(many))
    moves = movement(many, evaluate(many), drawn)
    for row in range(8):
        one = Stack(**{name: getattr(many, name)[row] for name in FIELDS})
        single = section(one, evaluate(one))
        for name in ("extension", "coupling", "bending", "shear", "strip", "bending_shares"):
            _same(getattr(drawn, name)[row], getattr(single, name))
        alone = movement(one, evaluate(one), single)
        _same(moves.per_moisture[row], alone.per_moisture)
        _same(moves.per_degree[row], alone.per_degree)


def _same(row: Array, single: Array) -> None:
    np.testing.assert_allclose(row, single, rtol=0.0, atol=1e-12 * np.max(np.abs(single)))


def test_draws_of_one_panel_are_all_unlike() -> None:
    many = drawn_stack(resolved(TENDER).layers, 8)
    assert len(set(section(many, evaluate(many)).strip[:, 0])) == 8


# --- Movement -------------------------------------------------------------------------------------


def test_a_homogeneous_plate_grows_and_stays_flat() -> None:
    board = moved(layer(board="western redcedar", thickness="8 mm", moisture="10 %"))
    for free in (board.per_degree, board.per_moisture):
        assert free[1] > free[0] > 0.0  # more across the grain than along
        np.testing.assert_allclose(free[3:], 0.0, atol=1e-12)


def test_timber_across_the_grain_by_hand() -> None:
    """Wood Handbook, table 4-3 (from memory): cedar shrinks by 5.0 % tangentially, 2.4 % radially.

    Of the green size, straight over 30 points: at 10 % two thirds are done. The rings are not
    known: the mean of both.
    """
    board = moved(layer(board="western redcedar", thickness="8 mm", moisture="10 %"))
    ways = [shrinkage / 30.0 / (1.0 - shrinkage * 20.0 / 30.0) for shrinkage in (0.050, 0.024)]
    assert board.per_moisture[1] == pytest.approx(sum(ways) / 2.0, rel=1e-3)


def _two_layers(skin: tuple[float, float], board: tuple[float, float], strain: float) -> float:
    """Curvature of two strips that grow unlike: Timoshenko 1925, from memory."""
    (t1, e1), (t2, e2) = skin, board
    m, n, h = t1 / t2, e1 / e2, t1 + t2
    over = 3.0 * (1.0 + m) ** 2 + (1.0 + m * n) * (m**2 + 1.0 / (m * n))
    return 6.0 * strain * (1.0 + m) ** 2 / (h * over)


def test_strips_glassed_on_one_face_by_timoshenko() -> None:
    """Across the strips; Poisson's ratio couples the two ways, which the strip formula leaves out.

    Along the grain the wood hardly moves and is stiff, so that both layers are all but held that
    way: it stiffens the glass by 1/(1 − ν²), ν 0.147, the wood by less. So within 2.2 %.
    """
    glass = layer(cloth="twill 200", fibre_mass_fraction="0.45")
    stack, build, panel = made(glass, TIMBER)
    board = moved(TIMBER)
    free = float(board.per_moisture[1])
    t, own = build.layer_thickness, panel.constants
    by_hand = _two_layers((t[0], own.E2[0]), (t[1], own.E2[1]), free)
    curved = movement(stack, build, panel).per_moisture[4]
    assert curved < 0.0  # the bare inside grows: the middle goes inwards
    assert -float(curved) == pytest.approx(by_hand, rel=0.022)


def test_a_symmetric_panel_only_grows() -> None:
    glass = layer(cloth="twill 200", repeat=2)
    panel = moved("mirror = true\n", glass, TIMBER)
    for free in (panel.per_degree, panel.per_moisture):
        np.testing.assert_allclose(free[3:], 0.0, atol=1e-12)
        assert free[1] > 0.0
