"""What damage leaves of a layer, and strengths that move with what the panel file says of it."""

from __future__ import annotations

from math import atan, cos, sin

import numpy as np
import pytest

from panelwright.mechanics import criteria
from panelwright.panels import strength

from .test_strength import ACROSS, ALONG, BENT, CORE, HEAD, SKIN, Made, _row, lamina

UD = '[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\ndirections = "100 % at 0"\n'
BOARD = '[[layer]]\nboard = "Sitka spruce"\nthickness = "20 mm"\nmoisture = "12 %"\n'


def damaged(panel: Made, in_shear: bool, mat_broken: bool = False) -> dict[str, np.ndarray]:
    """Constants of the layers after damage."""
    own = panel.states.own
    found = strength.damaged(panel.stack, panel.build, panel.made, own, in_shear, mat_broken)
    return vars(found.constants)


def test_a_cracked_ply_keeps_its_stress_and_no_poisson_ratio() -> None:
    # hahn-tsai-1974: E2 becomes X2t over the strain of the fibre, G12 half of S12 over it
    panel = Made(UD)
    whole, own, strain = vars(panel.made.constants), panel.states.own, panel.stack.strain_1t
    cracked, sheared = damaged(panel, in_shear=False), damaged(panel, in_shear=True)
    assert cracked["E1"] == pytest.approx(whole["E1"])
    assert cracked["E2"] == pytest.approx(own.X2t / strain)
    assert cracked["nu12"] == pytest.approx(0.01 * whole["nu12"])
    assert cracked["G12"] == pytest.approx(whole["G12"])
    assert sheared["G12"] == pytest.approx(own.S12 / (2.0 * strain))


def test_split_timber_and_given_layers_keep_one_per_cent() -> None:
    for panel in (Made(BOARD), Made(lamina())):
        whole, found = vars(panel.made.constants), damaged(panel, in_shear=True)
        assert found["E1"] == pytest.approx(whole["E1"])
        for name in ("E2", "nu12", "G12"):
            assert found[name] == pytest.approx(0.01 * whole[name])


def test_woven_cloth_gives_way_in_shear_alone() -> None:
    panel = Made(SKIN)
    whole, found = vars(panel.made.constants), damaged(panel, in_shear=True)
    for name in ("E1", "E2", "nu12"):
        assert found[name] == pytest.approx(whole[name])
    assert np.all(found["G12"] < whole["G12"])


def test_the_yarn_of_a_tape_breaks_with_it_and_sets_no_limit() -> None:
    # 5 % of the fibre across: pulled across, the tape is not borne up by it
    panel = Made('[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\n')
    yarn = panel.stack.is_yarn > 0.0
    assert list(yarn) == [False, True]
    whole, found = vars(panel.made.constants), damaged(panel, in_shear=True)
    assert found["E1"] == pytest.approx(np.where(yarn, 0.01, 1.0) * whole["E1"])
    for bears in panel.states.bears[1:]:
        assert all(np.all(strains[yarn] == 0.0) for strains in bears)
        assert np.all(bears[0][~yarn] > 0.0)


def test_mat_alone_bears_its_strain_and_no_more() -> None:
    # once the mat is broken nothing is left to set a limit: that state bears nothing, not all
    head = 'format = 1\nprocess = "hand lay-up"\nresin = "polyester, kind not stated"\n'
    panel = Made('[[layer]]\ncloth = "E-glass chopped mat 450 g/m2"\n', head)
    end, _ = panel.under(ALONG)
    wanted = panel.stack.strain_1t * panel.made.constants.E1 * panel.build.thickness
    assert float(end.ultimate.load) == pytest.approx(float(wanted[0]), rel=1e-9)


def test_a_broken_mat_sets_no_limit_to_the_fibre_beside_it() -> None:
    head = 'format = 1\nprocess = "hand lay-up"\nresin = "polyester, kind not stated"\n'
    panel = Made(UD + '[[layer]]\ncloth = "E-glass chopped mat 100 g/m2"\n' + UD, head)
    mat = panel.stack.is_random > 0.0
    assert list(mat) == [False, True, False]
    assert all(np.all(strains[mat] == 0.0) for strains in panel.states.bears[-1])
    assert np.all(panel.states.bears[-2][0][mat] > 0.0)


def test_little_fibre_and_voids_weaken_the_shear_of_a_ply() -> None:
    # resin alone, about 40 MPa, at Vf 0.20; 7 % for each per cent of voids between plies
    dense, poor = Made(UD), Made(UD + "fibre_volume_fraction = 0.2\n")
    assert dense.states.own.S12[0] > 50e6
    assert float(poor.states.own.S12[0]) == pytest.approx(40e6)
    sound = Made(UD + 'void_fraction = "0 %"\n').states.own
    holes = Made(UD + 'void_fraction = "2 %"\n').states.own
    assert float(holes.S13[0] / sound.S13[0]) == pytest.approx(0.86)
    assert float(holes.S23[0] / sound.S23[0]) == pytest.approx(0.86)


def test_sloping_grain_takes_from_both_by_hankinson() -> None:
    # N = PQ/(P sin² + Q cos²), Wood Handbook, chapter 5; tension against splitting, compression
    # against compression across
    straight, sloped = Made(BOARD).states.own, Made(BOARD + 'grain_slope = "1:10"\n').states.own
    s, c = sin(atan(0.1)), cos(atan(0.1))
    for name, across in (("X1t", "X2t"), ("X1c", "X2c")):
        p, q = getattr(straight, name), getattr(straight, across)
        assert getattr(sloped, name) == pytest.approx(p * q / (p * s**2 + q * c**2))
        assert getattr(sloped, across) == pytest.approx(q)


def test_timber_laid_across_rolls_under_the_other_shear() -> None:
    along, across = Made(BOARD), Made(BOARD + "angle = 90\n")
    for way in (0, 1):
        one, other = along.shear(way).ultimate, across.shear(1 - way).ultimate
        assert float(one.load) == pytest.approx(float(other.load), rel=1e-9)
        assert int(one.mode) == int(other.mode)
    assert float(along.shear(1).ultimate.load) < 0.5 * float(along.shear(0).ultimate.load)


@pytest.mark.parametrize("way", [0, 1])
def test_heavier_timber_shears_and_rolls_later(way: int) -> None:
    # power 1.35 of the density within a species, older editions of the Wood Handbook (from memory)
    light, heavy = (Made(BOARD + f'density = "{d} kg/m3"\n') for d in (400, 440))
    ratio = float(heavy.shear(way).ultimate.load / light.shear(way).ultimate.load)
    assert ratio == pytest.approx(1.1**1.35, rel=1e-9)


def test_criteria_look_at_both_faces() -> None:
    # M = σ t²/6: the pressed face ends it, whichever that is
    panel = Made(lamina())
    found = strength.by_criteria(panel.stack, panel.build, panel.made)
    for name in ("maximum stress", "Tsai–Hill", "Hashin"):
        for sign in (0, 1):
            wanted = 500e6 * 4e-3**2 / 6.0
            assert float(found[name][BENT, sign]) == pytest.approx(wanted, rel=1e-9)


def test_hashin_takes_the_shear_between_plies() -> None:
    # one ply pressed at 60 degrees: its stress by Mohr's circle, judged with S23 of the ply
    panel = Made(UD + "angle = 60\n")
    own = panel.states.own
    pressed = criteria.stress_in_layer(
        [-1.0 / float(panel.build.thickness), 0.0, 0.0], np.radians(60.0)
    )
    X = (own.X1t[0], own.X1c[0], own.X2t[0], own.X2c[0], own.S12[0])
    wanted = criteria.least_reserve(criteria.hashin(pressed, *X, own.S23[0]))
    without = criteria.least_reserve(criteria.hashin(pressed, *X))
    found = strength.by_criteria(panel.stack, panel.build, panel.made)["Hashin"][ALONG, 1]
    assert float(found) == pytest.approx(float(wanted), rel=1e-9)
    assert abs(float(without) / float(wanted) - 1.0) > 1e-3


def test_norris_judges_timber_alone() -> None:
    board = Made(BOARD)
    pulled = strength.by_criteria(board.stack, board.build, board.made)["Norris"]
    assert float(pulled[ALONG, 0]) == pytest.approx(float(board.states.own.X1t[0]) * 20e-3)
    assert float(pulled[ACROSS, 0]) == pytest.approx(float(board.states.own.X2t[0]) * 20e-3)
    foam = Made(SKIN + CORE + SKIN, HEAD)
    assert np.all(np.isinf(strength.by_criteria(foam.stack, foam.build, foam.made)["Norris"]))


@pytest.mark.parametrize(
    ("across", "yarn"), [(4.0, True), (8.5, True), (11.9, True), (12.0, False)]
)
def test_below_twelve_per_cent_across_is_yarn(across: float, yarn: bool) -> None:
    # it holds a tape together, and is no ply that cracks
    cloth = '[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\n'
    panel = Made(cloth + f'directions = "{100.0 - across} % at 0, {across} % at 90"\n')
    assert list(panel.stack.is_yarn > 0.0) == [False, yarn]
    assert list(panel.stack.strain_crack > 0.0) == [True, not yarn]


@pytest.mark.parametrize(("density", "row"), [(79, "below_80"), (80, "80_and_above")])
def test_foam_yields_by_the_row_of_its_density(density: int, row: str) -> None:
    core = f'[[layer]]\ncore = "PVC foam 80"\ndensity = "{density} kg/m3"\nthickness = "20 mm"\n'
    panel = Made(SKIN + core + SKIN)
    found = _row("core_strengths", f"cross_linked_pvc_foam_{row}_shear_yield_ratio")
    assert float(panel.states.own.yields[1]) == pytest.approx(float(found["ratio"]))


def test_the_mat_of_a_cloth_with_mat_has_the_strength_of_mat() -> None:
    head = 'format = 1\nprocess = "hand lay-up"\nresin = "polyester, kind not stated"\n'
    panel = Made('[[layer]]\ncloth = "E-glass biaxial ±45 with mat 801 g/m2"\n', head)
    mat = _row("ply_strains", "e_glass_chopped_mat_hand_lay_up_polyester_eps_1t")
    ply = _row("ply_strains", "e_glass_stitched_biaxial_one_ply_hand_lay_up_polyester_eps_1t")
    wanted = np.where(panel.stack.is_random > 0.0, float(mat["strain"]), float(ply["strain"]))
    assert sorted(panel.stack.is_random) == [0.0, 0.0, 1.0]
    assert panel.stack.strain_1t == pytest.approx(0.01 * wanted)
