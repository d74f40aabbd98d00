"""A line-up drawn: what is known of every panel stands in it, and nothing is drawn false."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree as ET

import pytest

from panelwright.jobs.lineup import entrant, known_solid, line_up
from panelwright.panels.lineup_records import LineUp
from panelwright.reports.drawing.lineup import MERIT, bars_svg, merit_svg
from tests.jobs.panels import EXAMPLES, described, shipped


@cache
def lineup() -> LineUp:
    files = [path for path in EXAMPLES if path.stem in {"tender-topside", "camper-roof"}]
    steel = known_solid("3 mm steel", shipped())
    assert steel is not None
    return line_up([*(entrant(described(path), shipped()) for path in files), steel], shipped())


def words(svg: str) -> list[str]:
    return [one.text or "" for one in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


@pytest.mark.parametrize("system", ["si", "imperial"])
def test_bars_say_each_value_and_what_is_not_known(system: str) -> None:
    said = words(bars_svg(lineup(), system=system))
    assert any(text.startswith("Mass") and "best: B" in text for text in said)
    assert said.count("not known: the strength of steel") == 1
    unit = "kg/m²" if system == "si" else "lb/ft²"
    assert sum(unit in text for text in said) == 3


def test_lines_of_equal_merit_rise_with_the_cube_of_the_mass() -> None:
    """A solid plate: EI with t³, its mass with t (beam theory); a decade across is three up."""
    svg = merit_svg(lineup())
    assert MERIT in words(svg)
    chains = re.findall(r'class="chain" d="M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)"', svg)
    assert len(chains) == 3
    ticks = {
        one.text: (float(one.get("x", 0)), float(one.get("y", 0)))
        for one in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    }
    across = ticks["20"][0] - ticks["10"][0]  # px for a doubling of the mass
    up = ticks["1000"][1] - ticks["2000"][1]  # px for a doubling of the stiffness
    for x1, y1, x2, y2 in (map(float, chain) for chain in chains):
        assert (y1 - y2) / up == pytest.approx(3.0 * (x2 - x1) / across, rel=0.01)


def test_any_property_against_any_other() -> None:
    said = words(merit_svg(lineup(), "insulation", "moment_along_first", system="imperial"))
    assert "Moment along at first damage against insulation" in said
    assert not any(text.startswith("C ") for text in said)
    assert MERIT not in said
