"""Coverage of the 90 % ranges on published panels: whole, reckoned rightly, told as it is.

The shares themselves stand in docs/reference_checks.md. No goal is asserted that is not met: by
process alone, thickness is covered less often than a 90 % range should be, and the page says so.
"""

from __future__ import annotations

import math

import pytest

from panelwright.materials.catalogue import Catalogue
from panelwright.provenance import Evidence

from .coverage import (
    BASES,
    BOARDS,
    KNOWN,
    MODULUS,
    STRENGTH,
    STRENGTH_KNOWN,
    THICKNESS,
    Covered,
    covered,
    left_out,
    modulus_ratios,
    of,
    off,
    share,
    thickness_ratios,
)
from .moduli import SHEAR, all_compared
from .process_alone import CAVITY_SETS, LAID

ERRORS = Catalogue.shipped().table("model_errors")


def deviation(quantity: str) -> float:
    found = ERRORS.row(quantity).number("standard_deviation")
    assert found is not None
    return found


def piece(panel: str, measured: float) -> Covered:
    """A piece whose range is 0.9 to 1.1."""
    return Covered("", panel, "", measured, 1.0, 0.9, 1.1)


def test_share_by_piece_and_by_panel() -> None:
    """Three of four pieces of one panel, none of another: 3/5 and (3/4 + 0)/2."""
    found = share([*(piece("a", m) for m in (0.9, 1.0, 1.1, 1.2)), piece("b", 0.8)])
    assert (found.pieces, found.within, found.panels) == (5, 3, 2)
    assert found.by_piece == pytest.approx(3 / 5)
    assert found.by_panel == pytest.approx(3 / 8)


def test_every_value_with_enough_data_is_counted_once() -> None:
    assert {one.panel for one in of(THICKNESS)} == set(LAID)
    assert set(LAID) <= {one.panel for one in of(MODULUS)}
    assert not {one.panel for one in of(MODULUS)} & set(CAVITY_SETS)
    assert len(of(KNOWN)) == len(all_compared())
    assert len(of(BOARDS)) == 6
    assert len(of(STRENGTH_KNOWN)) == 72
    pulled = {one.panel for one in of(STRENGTH)}
    assert pulled <= {one.panel for one in of(MODULUS)}
    assert not pulled & set(CAVITY_SETS)
    for basis in BASES:
        named = [(one.panel, one.piece) for one in of(basis)]
        assert len(named) == len(set(named))


def test_the_middles_are_those_of_the_table_of_moduli() -> None:
    """A panel turned to the pull, against a pull at an angle; shear of the panel against a ply's.

    The carbon cloth has a little glass across, which shears otherwise than its main ply.
    """
    for one, ours in zip(all_compared(), of(KNOWN), strict=True):
        within = 2e-3 if one.wanted.kind == SHEAR else 1e-9
        assert ours.predicted == pytest.approx(one.predicted, rel=within)


def test_every_range_holds_its_middle() -> None:
    for one in covered():
        assert one.low < one.predicted < one.high


def test_a_range_is_as_wide_as_its_model_error_at_least() -> None:
    """5 and 95 % of a lognormal factor; whatever else varies comes on top."""
    width = math.exp(2 * 1.645 * deviation("modulus"))
    for one in of(KNOWN):
        assert one.high / one.low > 0.97 * width


@pytest.mark.parametrize(
    ("quantity", "ratios"), [("thickness", thickness_ratios()), ("modulus", modulus_ratios())]
)
def test_published_model_errors_are_those_of_the_experiments(
    quantity: str, ratios: list[tuple[str, float]]
) -> None:
    """Rounded up to a hundredth, no piece left out."""
    assert ERRORS.row(quantity).evidence() is Evidence.PUBLISHED
    assert 0.0 <= deviation(quantity) - off(ratio for _, ratio in ratios) <= 0.01


def test_left_out_by_hand() -> None:
    """Errors 0.1 and 0.3 of one panel, judged by 0.2 of another, and that by √0.05."""
    found = left_out([("a", 1.1), ("a", 0.7), ("b", 1.2)])
    assert (found.pieces, found.panels) == (3, 2)
    assert found.all_pieces == pytest.approx(math.sqrt(0.14 / 3))
    assert found.by_panel == pytest.approx(math.sqrt((0.05 + 0.04) / 2))
    assert (found.least, found.most) == pytest.approx((0.2, math.sqrt(0.05)))
    # ln 0.7 = -0.357 against 1.645 x 0.2 = 0.329; ln 1.2 = 0.182 against 0.368
    assert (found.within, found.panels_within) == (2, 1)


@pytest.mark.parametrize(
    ("ratios", "within", "panels_within"),
    [(thickness_ratios(), 35, 12), (modulus_ratios(), 44, 19)],
)
def test_panels_judged_by_the_others_lie_in_their_range(
    ratios: list[tuple[str, float]], within: int, panels_within: int
) -> None:
    """The figures of docs/spread.md; 80 to 97 % of the pieces, as the goal is."""
    found = left_out(ratios)
    assert (found.within, found.panels_within) == (within, panels_within)
    assert 0.80 <= found.within / found.pieces <= 0.97


def test_ranges_by_hand_cover_other_plates_laid_by_hand() -> None:
    """Plates of the database of ply strains, which are not among the compared ones."""
    shipped = Catalogue.shipped()
    glass = shipped.table("fibres").row("e_glass").number("density")
    assert glass is not None
    resins = {"polyester": 1200.0, "vinyl ester": 1140.0}
    counted = {"unidirectional": 0, "stitched": 0}
    for plate in shipped.table("ply_strains_panels").where(process_words="hand lay-up"):
        group = "stitched" if "45" in plate.text("lay_up") else "unidirectional"
        row = shipped.table("fibre_fractions").row(f"glass_{group}_hand")
        v = plate.number("fibre_volume_fraction")
        assert v is not None
        mass = v * glass / (v * glass + (1.0 - v) * resins[plate.text("resin_class")])
        given = row.input("fibre_mass_fraction")
        assert given.low <= mass <= given.high, plate.id
        counted[group] += 1
    assert counted == {"unidirectional": 2, "stitched": 9}


def test_other_model_errors_are_wider_than_what_little_was_measured() -> None:
    shear = off([one.ratio for one in all_compared() if one.wanted.kind == SHEAR])
    assert deviation("shear_modulus") > shear
    assert deviation("bending_stiffness") > deviation("modulus")


def test_no_basis_is_covered_by_less_than_half() -> None:
    """A guard against gross error, below the goal of 80 to 97 %."""
    for basis in BASES:
        found = share(of(basis))
        assert found.by_piece > 0.5
        assert found.by_panel > 0.5


def test_with_the_fibre_fraction_known_the_goal_is_met() -> None:
    """80 to 97 % of the pieces. The error of the model was taken from these same pieces."""
    assert 0.80 <= share(of(KNOWN)).by_piece <= 0.97


def test_strength_from_cloth_and_process_is_covered_too_often() -> None:
    """Every plate: above the goal of 80 to 97 %, and the page says so."""
    found = share(of(STRENGTH))
    assert (found.within, found.pieces) == (31, 31)
    assert (share(of(STRENGTH_KNOWN)).within, share(of(THICKNESS)).within) == (69, 9)
