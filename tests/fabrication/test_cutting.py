"""Cut lists of cloth and core: worked cases, geometry by hand, and what cannot be cut."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.fabrication.cutting import (
    Cloth,
    CutLine,
    Roll,
    Sheet,
    cloth_cut,
    core_sheets,
    either_run,
)
from panelwright.fabrication.outline import Outline, outline_of

CABIN = outline_of([0.0, 4.6], [3.1, 3.1])
ROLL = Roll(1.27)
#: A hull laid flat: a diamond cut off at one end.
HULL = outline_of([0.0, 2.0, 4.0], [0.0, 2.0, 1.0])


# --- Outlines -------------------------------------------------------------------------------------


@pytest.mark.parametrize("angle", [0.0, 30.0, 45.0, 90.0, 137.0])
def test_an_outline_keeps_its_area_and_reach_as_it_is_turned(angle: float) -> None:
    """The diamond has 2 m x 2 m/2 + (2 + 1)/2 m x 2 m = 5 m2; its reach is that of its corners."""
    turned = HULL.turned(angle)
    assert turned.area == pytest.approx(5.0)
    low, high = turned.across
    ray = np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
    along = HULL.corners @ ray
    reach = turned.reaches([low], [high])[0]
    assert reach == pytest.approx([np.min(along), np.max(along)])


@pytest.mark.parametrize("angle", [0.0, 25.0, 45.0, 90.0])
def test_reach_against_points_strewn_over_the_part(angle: float) -> None:
    """Points of the part that lie in a band lie within its reach, and some nearly at its ends."""
    rng = np.random.default_rng(7)
    x = rng.uniform(0.0, 4.0, 200_000)
    y = rng.uniform(-1.0, 1.0, x.size)
    inside = np.abs(y) <= 0.5 * np.interp(x, [0.0, 2.0, 4.0], [0.0, 2.0, 1.0])
    turned = Outline(np.stack([x[inside], y[inside]], axis=1)).turned(angle).corners
    low, high = HULL.turned(angle).across
    for start, end in [(low, low + 0.4), (-0.2, 0.3), (high - 0.5, high)]:
        band = turned[(turned[:, 1] >= start) & (turned[:, 1] <= end), 0]
        reach = HULL.turned(angle).reaches([start], [end])[0]
        assert reach[0] <= np.min(band) < reach[0] + 0.1
        assert reach[1] - 0.1 < np.max(band) <= reach[1]


def test_nothing_lies_beside_a_part() -> None:
    assert HULL.lengths([1.5, 0.0], [2.0, 0.1]).tolist() == [0.0, pytest.approx(4.0)]


# --- Cloth ----------------------------------------------------------------------------------------


def test_a_cabin_top_as_worked() -> None:
    """B01 of the worked cases: 3 widths, 14.1 m, 20.4 % waste."""
    cut = cloth_cut(Cloth("twill", ROLL, lap=0.05, trim=0.05), CABIN)
    assert cut.other is None
    assert cut.chosen.widths == (3,)
    assert cut.chosen.metres == pytest.approx(14.1)
    assert cut.chosen.wasted == pytest.approx(0.203663, rel=5e-3)
    assert cut.chosen.lapped == pytest.approx(0.05 / 1.22)
    assert len(cut.chosen.seams) == 1
    assert cut.chosen.seams[0] == pytest.approx((1.245, 2.465))
    assert cut.chosen.lines == (CutLine(2, 4.7, 1.27), CutLine(1, 4.7, 0.66))


@pytest.mark.parametrize(("lap", "pieces"), [(0, 3), (1, 3), (2, 3), (3, 3), (4, 4)])
def test_the_lap_that_tips_the_count(lap: float, pieces: int) -> None:
    """B02 of the worked cases: 108 in of cabin top from 38 in cloth; here in metres for inches."""
    cut = cloth_cut(Cloth("cloth", Roll(38.0), lap=lap), outline_of([0.0, 100.0], [108.0, 108.0]))
    assert cut.chosen.widths == (pieces,)


def test_the_shorter_run_is_chosen() -> None:
    """A roof of 3.2 by 1.85 m from 1.27 m: 2 x 3.2 = 6.4 m along; across 3 x 1.85 = 5.55 m."""
    roof = outline_of([0.0, 3.2], [1.85, 1.85])
    cut = cloth_cut(Cloth("biaxial", ROLL, lap=0.05, either=True), roof)
    assert cut.chosen.way == "across"
    assert cut.chosen.metres == pytest.approx(5.55)
    assert cut.other is not None
    assert cut.other.way == "along"
    assert cut.other.metres == pytest.approx(6.4)
    wanted = cloth_cut(Cloth("biaxial", ROLL, lap=0.05, either=True, run="along"), roof)
    assert (wanted.chosen.way, wanted.warnings) == ("along", ())


def test_a_direction_that_forbids_a_run_is_told() -> None:
    cut = cloth_cut(Cloth("unidirectional", ROLL, run="across"), CABIN)
    assert cut.chosen.way == "along"
    assert "not across as asked" in cut.warnings[0]


def test_seams_of_plies_keep_their_stagger() -> None:
    cut = cloth_cut(Cloth("twill", ROLL, plies=4, lap=0.05, stagger=0.06), CABIN)
    assert cut.warnings == ()
    assert cut.chosen.widths == (3, 3, 3, 3)
    for below, above in pairwise(cut.chosen.seams):
        nearest = min(abs(one - two) for one in below for two in above)
        assert nearest == pytest.approx(0.06)


def test_every_ply_is_covered_whatever_its_stagger() -> None:
    cut = cloth_cut(Cloth("twill", ROLL, plies=30, lap=0.05, stagger=0.11), CABIN)
    for ply in range(30):
        pieces = sorted((p for p in cut.chosen.pieces if p.ply == ply), key=lambda p: p.begins)
        assert pieces[0].begins == 0.0
        assert pieces[-1].begins + pieces[-1].width == pytest.approx(3.1)
        for one, two in pairwise(pieces):
            assert one.begins + one.width - two.begins == pytest.approx(0.05)


def test_stitched_cloth_keeps_the_order_it_is_predicted_with() -> None:
    """Run across, ±45 lies as -45 over +45: shorter or not, only where it is asked for."""
    roof = outline_of([0.0, 3.2], [1.85, 1.85])
    biaxial = Cloth("biaxial", ROLL, lap=0.05, either=True, swaps=True)
    cut = cloth_cut(biaxial, roof)
    assert (cut.chosen.way, cut.warnings) == ("along", ())
    assert cut.why == "there its two directions would lie in the other order"
    asked = cloth_cut(replace(biaxial, run="across"), roof)
    assert asked.chosen.way == "across"
    assert "write angle = 90 in the panel file" in asked.warnings[0]


def test_seams_over_each_other_are_told() -> None:
    assert "stagger them" in cloth_cut(Cloth("twill", ROLL, plies=2), CABIN).warnings[0]


def test_pieces_of_a_hull_are_as_long_as_it_reaches() -> None:
    """Diamond 4 m long and 2 m at its middle, cut to 1 m at one end, from 1 m cloth without laps.

    Below and above the middle: from the point to the far end, 4 m; both widths alike.
    Across: 0 to 1 m is 1 m at its widest, 1 to 2 m is 2 m, 2 to 3 m 2 m, 3 to 4 m 1.5 m.
    """
    along = cloth_cut(Cloth("twill", Roll(1.0)), HULL).chosen
    assert [piece.length for piece in along.pieces] == pytest.approx([4.0, 4.0])
    across = cloth_cut(Cloth("twill", Roll(1.0), angle=90.0), HULL).chosen
    assert sorted(piece.length for piece in across.pieces) == pytest.approx([1.0, 1.5, 2.0, 2.0])


def test_cloth_laid_slanting() -> None:
    """A square of 1 m at 45°: √2 m across; a roll of half that gives two pieces √2 m long."""
    square = outline_of([0.0, 1.0], [1.0, 1.0])
    cut = cloth_cut(Cloth("twill", Roll(0.5 * math.sqrt(2.0)), angle=45.0), square).chosen
    assert cut.way == "at 45°"
    assert [piece.length for piece in cut.pieces] == pytest.approx([math.sqrt(2.0)] * 2)
    assert cut.wasted == pytest.approx(0.5)


def test_bias_strips_as_worked() -> None:
    """B03 of the worked cases: six strips 0.4 by 1.396 m from 4.664 m of roll, 43 % waste."""
    part = outline_of([0.0, 1.396051], [2.4, 2.4])
    cut = cloth_cut(Cloth("woven", ROLL, angle=45.0, on_the_bias=True), part).chosen
    by_hand = 4.664113
    assert cut.metres <= by_hand * 1.0001
    # strips half as wide again are too short for the part; wider ones come in fewer
    six = [piece for piece in cut.pieces if piece.width == pytest.approx(0.4)]
    assert len(six) == 6
    assert cut.metres == pytest.approx(by_hand, rel=1e-5)
    assert cut.wasted == pytest.approx(0.43436, rel=5e-3)


def test_rolls_of_the_length_sold() -> None:
    """Three pieces of 4.7 m from rolls of 10 m: two in the first, one in the second, 5.9 m left."""
    cut = cloth_cut(Cloth("twill", Roll(1.27, 10.0), lap=0.05, trim=0.05), CABIN)
    assert cut.rolls == 2
    assert cut.left == pytest.approx(5.9)


@pytest.mark.parametrize(
    ("directions", "either"),
    [
        ([(0.0, 0.5), (90.0, 0.5)], True),
        ([(45.0, 0.5), (-45.0, 0.5)], True),
        ([(0.0, 0.6), (90.0, 0.4)], False),
        ([(0.0, 1.0)], False),
        ([(0.0, 1 / 3), (60.0, 1 / 3), (-60.0, 1 / 3)], False),
        ([(None, 1.0)], True),
    ],
)
def test_which_cloth_may_run_either_way(
    directions: list[tuple[float | None, float]], either: bool
) -> None:
    assert either_run(directions) is either


# --- What cannot be cut ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cloth", "what", "figure"),
    [
        (Cloth("film", Roll(2.0), one_piece=True), "narrower than the piece", "3.1 m or more"),
        (Cloth("twill", Roll(1.27, 4.0)), "shorter than its longest piece", "4.6 m or more"),
        (Cloth("tape", Roll(0.01)), "310 widths of tape", "16.3 mm wide or wider"),
        (Cloth("tape", Roll(0.05), lap=0.05), "lap of tape is as wide", "below 50 mm"),
        (
            Cloth("woven", Roll(0.05), lap=0.04, angle=45.0, on_the_bias=True),
            "no strip cut at 45°",
            "stitched at ±45",
        ),
    ],
)
def test_what_cannot_be_cut_says_what_would_do(cloth: Cloth, what: str, figure: str) -> None:
    with pytest.raises(InputError) as refused:
        cloth_cut(cloth, CABIN)
    said = str(refused.value)
    assert what.lower() in said.lower()
    assert figure in said


# --- Core -----------------------------------------------------------------------------------------


def test_sheets_as_worked() -> None:
    """B07 of the worked cases: 3 by area, 4 unturned, 3 turned with 23.4 % offcut."""
    part = outline_of([0.0, 3.6], [1.9, 1.9])
    cut = core_sheets(Sheet(2.44, 1.22), part, 0.02, 0.0)
    assert (cut.sheets, cut.turned, cut.other_way, cut.by_area) == (3, True, 4, 3)
    assert cut.wasted == pytest.approx(0.234077, rel=5e-3)
    # turned: one row of three, 3.66 m of 3.6; above it 0.54 m of 2.44
    assert cut.rows == (3,)
    assert cut.offcuts == (CutLine(2, 1.22, 0.54), CutLine(1, 1.16, 0.54), CutLine(1, 2.44, 0.06))


def test_offcuts_and_part_are_the_sheets() -> None:
    """Nothing gets lost: part and offcuts make up the sheets but for rounding and slivers."""
    part = outline_of([0.0, 3.3], [1.7, 1.7])
    cut = core_sheets(Sheet(1.2, 0.6), part, 0.02, 0.0)
    left = math.fsum(one.count * one.length * one.width for one in cut.offcuts)
    assert 3.3 * 1.7 + left == pytest.approx(cut.sheets * 1.2 * 0.6, rel=0.02)


def test_knife_cuts_open_on_the_bend() -> None:
    """E01 of the worked cases: 20 mm round 600 mm at 30 mm pitch opens 1 mm."""
    part = outline_of([0.0, 1.0], [1.0, 1.0])
    cut = core_sheets(Sheet(1.2, 0.6, pitch=0.03), part, 0.02, 1.0 / 0.6)
    assert cut.mouth == pytest.approx(0.001)
    assert cut.cuts == 39 + 19
    assert core_sheets(Sheet(1.2, 0.6), part, 0.02, 1.0 / 0.6).mouth == 0.0
