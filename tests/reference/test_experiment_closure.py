"""Thickness from cloth mass and fibre fraction against the gauge, on published panels.

Sources: in the files of ``experiments``. The ratios that do not close are known from a hand check
that used the same densities; see ``closure``.
"""

from __future__ import annotations

import pytest

from .cases import experiments
from .closure import (
    DO_NOT_CLOSE,
    NOT_CHECKABLE,
    BurnOff,
    Closure,
    burn_offs,
    closures,
    cloth_mass,
)

PIECES = tuple(closures())

#: Measured over computed, as the hand check has it (two or three digits).
HAND_CHECK = {
    ("glass-ud-handlayup-5x868", ""): (0.661, 0.0005),
    ("glass-triax-handlayup-5x759", ""): (0.892, 0.0005),
    ("glass-3-plates-mass-balance-resin-batch", "plate 1"): (0.92, 0.005),
    ("glass-3-plates-mass-balance-resin-batch", "plate 2"): (0.90, 0.005),
    ("glass-3-plates-mass-balance-resin-batch", "plate 3"): (0.914, 0.0015),
}


def _id(item: Closure | BurnOff) -> str:
    return " ".join(filter(None, (item.experiment, item.piece, getattr(item, "basis", ""))))


@pytest.mark.parametrize("piece", PIECES, ids=_id)
def test_closes_or_is_named(piece: Closure) -> None:
    assert piece.closes != ((piece.experiment, piece.piece) in DO_NOT_CLOSE), f"{piece.ratio:.3f}"


@pytest.mark.parametrize(
    "piece", [piece for piece in PIECES if piece.closes and not piece.nominal], ids=_id
)
def test_gauged_pieces_lie_within_the_scatter_of_the_hand_check(piece: Closure) -> None:
    assert 0.94 <= piece.ratio <= 1.07


@pytest.mark.parametrize(
    "piece", [piece for piece in PIECES if (piece.experiment, piece.piece) in HAND_CHECK], ids=_id
)
def test_outliers_are_as_far_off_as_by_hand(piece: Closure) -> None:
    ratio, printed_to = HAND_CHECK[piece.experiment, piece.piece]
    assert piece.ratio == pytest.approx(ratio, abs=printed_to)


def test_every_experiment_is_checked_or_says_why_not() -> None:
    known = {experiment["id"]: experiment["panel"] for experiment in experiments()}
    without_cloth = {name for name, panel in known.items() if cloth_mass(panel) is None}
    assert set(NOT_CHECKABLE) == without_cloth
    assert {piece.experiment for piece in PIECES} == known.keys() - without_cloth
    assert len(known) == 33


@pytest.mark.parametrize("plate", tuple(burn_offs()), ids=_id)
def test_burn_off(plate: BurnOff) -> None:
    """Fibre and void fraction from density and burn-off, as the records print them.

    The records do not print the fibre density they used: 1 % of it is 1 % of the fibre fraction.
    ASTM D3171 and D2734 (from memory) put the error of the void content at about 0.02; records
    and formulas agree far better, because both start from the same weighings.
    """
    assert plate.volume_fraction == pytest.approx(plate.volume_fraction_printed, rel=0.0125)
    assert plate.void == pytest.approx(plate.void_printed, abs=0.0025)
