"""A chart as it is drawn for paper: marks and lines where their values are."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree as ET

import pytest

from panelwright.panels.charts import FOUND, HALF_FOUND, PREDICTED
from panelwright.reports.chart_spec import SHAPES
from panelwright.reports.drawing.chart import chart_svg, mark_svg, outline
from tests.reports.test_chart_words import invented

SVG = "{http://www.w3.org/2000/svg}"


def _paths(svg: str, kind: str) -> list[str]:
    return [
        one.attrib["d"] for one in ET.fromstring(svg).iter(f"{SVG}path") if one.get("class") == kind
    ]


@pytest.mark.parametrize("width", [336.0, 668.0, 800.0])
@pytest.mark.parametrize("count", [0, 1, 12, 300])
def test_it_is_drawn_at_every_width(width: float, count: int) -> None:
    svg = chart_svg(invented(count), width)
    tree = ET.fromstring(svg)
    assert float(tree.attrib["width"]) == width
    told = tree.find(f"{SVG}desc")
    assert told is not None
    assert str(count) in str(told.text)
    bars = "".join(_paths(svg, "med" if count <= 60 else "hair"))
    assert bars.count("H") == count


def test_bars_stand_where_their_values_are() -> None:
    """Two points a decade apart across lie a decade of the axis apart on the drawing."""
    found = invented(2)
    svg = chart_svg(found, 800.0)
    (bars,) = _paths(svg, "med")
    places = [
        (float(left), float(right))
        for left, right in re.findall(r"M([\d.]+) [\d.]+H([\d.]+)", bars)
    ]
    low, high = found.across.low, found.across.high
    span = (800.0 - 16.0 - 66.0) / math.log(high / low)
    for point, (left, right) in zip(reversed(found.points), places, strict=True):
        assert left == pytest.approx(66.0 + span * math.log(point.across.low / low), abs=0.06)
        assert right == pytest.approx(66.0 + span * math.log(point.across.high / low), abs=0.06)


def test_lines_rise_three_decades_for_one_across() -> None:
    """E^(1/3)/ρ (ashby-1992, from memory): EI with the cube of the mass."""
    found = invented(6)
    svg = chart_svg(found, 800.0)
    decade = (800.0 - 16.0 - 66.0) / math.log10(found.across.high / found.across.low)
    height = 0.72 * 800.0
    up = (height - 52.0 - 34.0) / math.log10(found.up.high / found.up.low)
    for data in _paths(svg, "chain"):
        (x0, y0), (x1, y1) = (
            tuple(map(float, pair.split())) for pair in data.removeprefix("M").split("L")
        )
        assert ((y0 - y1) / up) / ((x1 - x0) / decade) == pytest.approx(3.0, rel=5e-3)


@pytest.mark.parametrize("kind", SHAPES)
def test_each_kind_has_a_mark_of_its_own(kind: str) -> None:
    places = [
        float(one) for one in re.findall(r"-?\d+\.?\d*", outline(SHAPES[kind], 50.0, 50.0, 10.0))
    ]
    assert all(0.0 <= one <= 60.5 for one in places)
    marks = {mark_svg(kind, one) for one in (PREDICTED, HALF_FOUND, FOUND)}
    assert len(marks) == 3
    assert len({re.sub("<title>.*?</title>", "", mark) for mark in marks}) >= 2


def test_marks_differ_from_each_other() -> None:
    assert len(set(SHAPES.values())) == len(SHAPES)


def test_thousands_of_points_are_no_heavy_picture() -> None:
    assert len(chart_svg(invented(2000), 668.0)) < 400_000
