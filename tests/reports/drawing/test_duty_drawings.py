"""Duties drawn: no word on another, what is told is what is drawn."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from panelwright.jobs.check import check_text
from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import AT_LEAST, AT_MOST, DutyRecord, LimitRecord
from panelwright.provenance import Evidence
from panelwright.reports.drawing import field_svg, gauge_svg, through_svg
from tests.jobs.panels import EXAMPLES, shipped
from tests.reports.drawing.boxes import faults, parsed

DUTIES = [
    duty
    for path in EXAMPLES
    if "[[duty]]" in path.read_text("utf-8")
    for duty in check_text(path.read_text("utf-8"), shipped())
]


@pytest.mark.parametrize("system", ["si", "imperial"])
@pytest.mark.parametrize("width", [336.0, 520.0, 668.0])
@pytest.mark.parametrize("duty", DUTIES, ids=lambda duty: duty.name)
def test_no_word_lies_on_another(duty: DutyRecord, width: float, system: str) -> None:
    for svg in (field_svg(duty, width, system), through_svg(duty, min(width, 420.0), system)):
        assert faults(svg) == []
        assert " style=" not in svg


def test_the_field_says_how_it_is_held_and_how_far_it_goes() -> None:
    duty = DUTIES[-1]
    told = " ".join(parsed(field_svg(duty, 520.0)).itertext())
    assert "unsure" in told
    assert duty.name in told
    free = replace(duty.ways[0], edges=("clamped", "free", "simply supported", "free"))
    drawn = field_svg(replace(duty, ways=(free,)), 520.0)
    for word in ("clamped", "free", "simply supported"):
        assert f">{word}<" in drawn
    assert field_svg(replace(duty, deflections=()), 520.0) == ""


def test_the_layer_that_governs_is_the_solid_one() -> None:
    duty = DUTIES[-1]
    governs = duty.governing_layer
    assert governs is not None
    svg = through_svg(duty, 420.0)
    assert svg.count('class="solid"') == 1
    assert duty.through[governs].layer.split()[0] in svg
    first = duty.ways[0].first_governs
    assert first.startswith(duty.through[governs].layer[:12]) or "core crushes" in first


def _limit(value: float, sense: str = AT_MOST) -> LimitRecord:
    given = Ranged(value, 0.8 * value, 1.2 * value, "-", Evidence.GIVEN)
    return LimitRecord("it", "ratio", sense, 1.0, "1", given, "yes", "")


@pytest.mark.parametrize(
    ("limit", "is_past"),
    [
        (_limit(0.5), False),
        (_limit(1.5), True),
        (_limit(2.0, AT_LEAST), False),
        (_limit(0.5, AT_LEAST), True),
    ],
)
def test_a_gauge_is_solid_past_the_whole_of_the_limit(limit: LimitRecord, is_past: bool) -> None:
    svg = gauge_svg(limit, 200.0)
    assert ('class="solid"' in svg) == is_past
    used = limit.used
    assert used is not None
    assert f"{100.0 * used:.0f} % of the limit used up" in svg


def test_a_gauge_of_what_is_not_known_says_so() -> None:
    svg = gauge_svg(replace(_limit(1.0), value=None), 200.0)
    assert "not known" in svg
    assert not re.search(r"nan|inf\b", svg)
