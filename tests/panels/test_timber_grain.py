"""Rings and slope of grain of timber layers.

Ratios of western redcedar: Wood Handbook, FPL-GTR-190, Table 5-1 (from memory), in the catalogue.
"""

from __future__ import annotations

import pytest

from panelwright.errors import InputError
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import Constants, section
from panelwright.panels.stack import stack_of

BOARD = 'format = 1\n[[layer]]\nboard = "western redcedar"\nthickness = "8 mm"\nmoisture = "12 %"\n'


def constants(extra: str = "") -> Constants:
    stack = stack_of(resolve(read(BOARD + extra), Catalogue.shipped()).layers)
    return section(stack, evaluate(stack)).constants


def ratio(column: str) -> float:
    row = Catalogue.shipped().find("timbers", "western redcedar")
    found = Catalogue.shipped().table("timber_elastic_ratios").row(row.text("elastic_ratios"))
    value = found.number(column)
    assert value is not None
    return value


@pytest.mark.parametrize(("angle", "column"), [(0, "E_T_over_E_L"), (90, "E_R_over_E_L")])
def test_flat_and_quarter_sawn(angle: int, column: str) -> None:
    own = constants(f"ring_angle = {angle}\n")
    assert float(own.E2[0] / own.E1[0]) == pytest.approx(ratio(column), rel=1e-9)


def test_rings_at_an_angle_are_softer_than_either_way() -> None:
    """Rolling shear is soft: the modulus across dips between the two directions."""
    at = {angle: float(constants(f"ring_angle = {angle}\n").E2[0]) for angle in (0, 45, 90)}
    assert at[45] < min(at[0], at[90])


def test_rings_not_known_are_the_mean_with_a_range_over_both() -> None:
    flat, quarter = (float(constants(f"ring_angle = {a}\n").E2[0]) for a in (0, 90))
    assert float(constants().E2[0]) == pytest.approx((flat + quarter) / 2.0, rel=1e-9)
    (layer,) = resolve(read(BOARD), Catalogue.shipped()).layers
    share = layer.inputs["flat_share"]
    assert share.low <= 0.1
    assert share.high >= 0.9


def test_shear_of_the_face_by_the_rings() -> None:
    own = constants("ring_angle = 0\n")
    assert float(own.G12[0] / own.E1[0]) == pytest.approx(ratio("G_LT_over_E_L"), rel=1e-9)
    assert float(own.G13[0] / own.E1[0]) == pytest.approx(ratio("G_LR_over_E_L"), rel=1e-9)


@pytest.mark.parametrize("slope", ['"1:10"', '"1 in 10"', '"5.7106 deg"'])
def test_slope_of_grain_by_hankinson(slope: str) -> None:
    """FPL-GTR-190, equation 5-2 (from memory), n = 2: by hand, tan = 0.1."""
    straight, sloped = constants(), constants(f"grain_slope = {slope}\n")
    share = float(straight.E2[0] / straight.E1[0])
    sine2 = 0.01 / 1.01
    by_hand = share / (sine2 + share * (1.0 - sine2))
    assert float(sloped.E1[0] / straight.E1[0]) == pytest.approx(by_hand, rel=1e-5)


@pytest.mark.parametrize(
    "bad", ["ring_angle = 120", 'grain_slope = "1:0.5"', 'grain_slope = "steep"']
)
def test_no_such_angle(bad: str) -> None:
    with pytest.raises(InputError, match=r"angle|slope"):
        read(BOARD + bad)
