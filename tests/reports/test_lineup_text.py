"""Sentences of a line-up: what is printed of a difference multiplies to what is printed of it."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelwright.jobs.lineup import entrant, known_solid, line_up
from panelwright.panels.lineup_records import Cause, LineUp, Member, Terms, Why
from panelwright.reports.lineup_sheet import csv_rows
from panelwright.reports.lineup_why_words import why_sentence
from panelwright.reports.lineup_words import remarks
from tests.jobs.panels import EXAMPLES, described, shipped

FACTOR = st.floats(0.05, 20.0)


def _member(letter: str) -> Member:
    return Member(letter, "panel", False, None, (), None)


def _lineup(why: Why) -> LineUp:
    return LineUp(Terms(), (_member("A"), _member("B")), (), (why,))


@given(first=FACTOR, second=FACTOR, rest=FACTOR)
def test_printed_factors_multiply_to_the_printed_whole(
    first: float, second: float, rest: float
) -> None:
    """To 3 %: three factors in two or three digits."""
    causes = tuple(
        Cause(name, factor, 3e-3, 1e-3, "glass", "carbon")
        for name, factor in (
            ("thickness of the core", first),
            ("make of the faces", second),
            ("the core itself", rest),
        )
    )
    ratio = math.prod(cause.factor for cause in causes)
    if ratio < 1.0:
        causes = tuple(
            Cause(one.name, 1.0 / one.factor, 3e-3, 1e-3, "glass", "carbon") for one in causes
        )
        ratio = 1.0 / ratio
    ordered = tuple(sorted(causes, key=lambda one: -abs(math.log(one.factor))))
    why = Why("areal_mass", 0, 1, ratio, ordered)
    said = why_sentence(_lineup(why), why)
    if "as each other" in said:
        assert ratio == pytest.approx(1.0, abs=0.005)
        return
    head, _, told = said.partition(": ")
    whole = float(re.search(r"is ([\d.]+) times", head)[1])  # type: ignore[index]
    factors = [float(one) for one in re.findall(r"(?:^|, )([\d.]+) from", told)]
    assert math.prod(factors) == pytest.approx(whole, rel=0.03)
    assert whole == pytest.approx(ratio, rel=0.05)


def test_a_sheet_has_a_row_of_units_sources_and_what_was_measured() -> None:
    steel = known_solid("3 mm steel", shipped())
    assert steel is not None
    lineup = line_up([entrant(described(EXAMPLES[0]), shipped()), steel], shipped())
    head, unit, *rows = csv_rows(lineup)
    assert {len(row) for row in (head, unit, *rows)} == {len(head)}
    units = dict(zip(head, unit, strict=True))
    assert units["insulation"] == "m2 K/W"
    assert units["stiffness_along_low"] == "N m"
    told = [dict(zip(head, row, strict=True)) for row in rows]
    assert [one["measured"] for one in told] == ["nothing", "nothing"]
    assert all(one["sources"] for one in told)
    assert told[1]["evidence"].endswith("handbook only")


def test_what_is_the_same_of_all_is_said_once() -> None:
    solids = [known_solid(one, shipped()) for one in ("3 mm steel", "4 mm aluminium")]
    lineup = line_up([one for one in solids if one is not None], shipped())
    said = remarks(lineup, full=False)
    assert "Core shear along: not known." in said
    assert "Mean density: sinks." in said
