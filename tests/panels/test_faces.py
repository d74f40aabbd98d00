"""The faces of a sandwich by hand: which layers, how stiff, on which core, which of them fails."""

from __future__ import annotations

import numpy as np
import pytest

from panelwright.mechanics.arrays import Array, array
from panelwright.panels import faces

from .test_strength import ACROSS, ALONG, BENT, Made, _row

THIN = '[[layer]]\ncloth = "E-glass twill 400 g/m2"\n'
THICK = THIN + "repeat = 3\n"
TAPE = '[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\ndirections = "100 % at 0"\n'


def foam(density: int) -> str:
    return f'[[layer]]\ncore = "PVC foam {density}"\nthickness = "20 mm"\n'


def of(panel: Made) -> faces.Faces:
    return faces.faces(panel.stack, panel.build, panel.made)


def at(values: Array, way: int) -> Array:
    """What each face has along (way 0) or across (1), of all directions."""
    (place,) = np.flatnonzero(np.isclose(faces.DIRECTIONS, way * np.pi / 2.0))
    return array(values[..., place])


def test_outer_face_first_by_its_own_bending() -> None:
    # D = E t³/12 of a sheet, held across
    panel = Made(THICK + foam(80) + THIN)
    t, E = panel.build.layer_thickness, panel.made.turned[..., 0]
    outer = float(E[0] * (t[0] + t[1] + t[2]) ** 3 / 12.0)
    found = at(of(panel).bending, 0)
    assert list(of(panel).layers[:, 0]) == [1.0, 1.0, 1.0, 0.0, 0.0]
    assert list(of(panel).layers[:, 1]) == [0.0, 0.0, 0.0, 0.0, 1.0]
    assert found == pytest.approx([outer, float(E[-1] * t[-1] ** 3 / 12.0)])


def test_bending_of_a_face_goes_with_the_direction_of_the_load() -> None:
    panel = Made(TAPE + foam(80) + TAPE)
    t = panel.build.layer_thickness[0]
    k = panel.made.constants
    held = 1.0 - k.nu12[0] ** 2 * k.E2[0] / k.E1[0]
    for way, E in ((0, k.E1[0]), (1, k.E2[0])):
        wanted = float(E / held * t**3 / 12.0)
        assert at(of(panel).bending, way) == pytest.approx([wanted, wanted])


def test_each_face_lies_on_its_own_core() -> None:
    panel = Made(THIN + foam(60) + foam(130) + THIN)
    rows = [_row("cores", f"pvc_x_{density}") for density in (60, 130)]
    found = of(panel)
    assert found.core_modulus == pytest.approx([1e6 * float(row["E_c"]) for row in rows])
    assert at(found.core_shear, 0) == pytest.approx([1e6 * float(row["G_L"]) for row in rows])


@pytest.mark.parametrize("angle", [0, 90])
def test_honeycomb_shears_otherwise_along_its_ribbon_than_across(angle: int) -> None:
    row = _row("cores", "ar_4_8_48")
    comb = f'[[layer]]\ncore = "{row["name"]}"\nthickness = "20 mm"\nangle = {angle}\n'
    panel = Made(THIN + comb + THIN)
    ribbon, cross = (1e6 * float(row[name]) for name in ("G_L", "G_W"))
    wanted = (ribbon, cross) if angle == 0 else (cross, ribbon)
    for way in (0, 1):
        assert at(of(panel).core_shear, way) == pytest.approx([wanted[way]] * 2)


@pytest.mark.parametrize("load", [BENT, BENT + 1])
def test_the_pressed_face_wrinkles(load: int) -> None:
    # a positive moment stretches the outside and presses the inside
    panel = Made(THIN + foam(60) + THIN)
    both = [faces.wrinkling(of(panel), panel.build, panel.made, load, sign) for sign in (1, -1)]
    assert [int(end.layer) for end in both] == [1, 0]


def test_the_softer_core_crushes_first() -> None:
    panel = Made(THIN + foam(60) + foam(130) + THIN)
    soft = _row("cores", "pvc_x_60")
    assert float(faces.crushing(panel.stack)) == pytest.approx(1e6 * float(soft["comp_strength"]))


def test_a_panel_pressed_across_wrinkles_by_its_stiffness_across() -> None:
    # 0.5 (12 D E G)^(1/3), D of the tape across: a cube root of E2/E1 less than along
    panel = Made(TAPE + foam(80) + TAPE)
    k = panel.made.constants
    for load, way, E in ((ALONG, 0, k.E1[0]), (ACROSS, 1, k.E2[0])):
        found = of(panel)
        t = panel.build.layer_thickness[0]
        held = E / (1.0 - k.nu12[0] ** 2 * k.E2[0] / k.E1[0])
        force = 0.5 * float(held * t**3 * found.core_modulus[0] * at(found.core_shear, way)[0]) ** (
            1 / 3
        )
        end = faces.wrinkling(found, panel.build, panel.made, load, -1)
        # the foam takes part of the force
        assert 2.0 * force < float(end.load) < 2.6 * force
