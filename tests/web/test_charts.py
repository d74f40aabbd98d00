"""The chart as a page, as data for its script, and as a sheet."""

from __future__ import annotations

import csv
import io
import json
import math
from typing import Any

import pytest
from fastapi.testclient import TestClient

from panelwright.jobs.shelf import Shelf
from panelwright.panels.charted import PROPERTIES
from panelwright.reports.chart_spec import SHAPES
from panelwright.web.app import create_app

from .conftest import HERE
from .reading import read

CHART = "/lineup/chart"


def twin(visitor: TestClient, query: str = "") -> dict[str, Any]:
    answer = visitor.get(f"{CHART}.json{query}")
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def test_the_page_has_chart_table_and_key(visitor: TestClient, shelf: Shelf) -> None:
    page = read(visitor, CHART)
    assert page.status == 200
    for number in ("P-0001", "P-0007"):
        assert shelf.panel(number).title in page.text
        assert f"/panel/{number}" in page.links
    assert "handbook only" in page.text
    assert "equally stiff plate per kilogram" in page.text
    assert "goes with the cube of mass per area" in page.text
    assert "Estimates, not certification" in page.text
    assert all(one.name in page.text for one in PROPERTIES.values())


def test_the_lists_are_those_of_the_job(visitor: TestClient) -> None:
    html = read(visitor, CHART).html
    assert html.count("<option value=") >= 2 * len(PROPERTIES)
    assert '<option value="areal_mass" selected>' in html


def test_data_places_each_point_in_the_units_of_its_axis(visitor: TestClient, shelf: Shelf) -> None:
    found = twin(visitor, "?across=thickness&up=modulus_bent_along&solids=")
    points = found["points"]
    at = points["id"].index("P-0001")
    made = shelf.panel("P-0001").prediction
    assert made.section is not None
    bent = made.section.moduli["Ex_bending"]
    assert points["mx"][at] == pytest.approx(1e3 * made.thickness.value, rel=1e-5)
    assert points["my"][at] == pytest.approx(bent.value / 1e9, rel=1e-5)
    assert points["y0"][at] == pytest.approx(bent.low / 1e9, rel=1e-5)
    assert points["y1"][at] == pytest.approx(bent.high / 1e9, rel=1e-5)
    values = {one["name"]: one["value"] for one in found["spec"]["params"]}
    assert values["up_name"] == "Modulus bent along, GPa"
    assert values["across_name"] == "Thickness, mm"
    assert all(values["up_low"] <= y <= values["up_high"] for y in points["my"])
    assert set(points["kind"]) <= set(SHAPES)
    assert len({len(column) for column in points.values()}) == 1


def test_data_are_in_the_units_chosen(visitor: TestClient) -> None:
    metric = twin(visitor, "?solids=")["points"]
    mark = read(visitor, CHART).fields["mark"]
    visitor.post("/look", data={"mark": mark, "system": "imperial"})
    found = twin(visitor, "?solids=")
    assert found["units"] == "imperial"
    # 1 lb/ft2 is 0.45359237 kg over 0.09290304 m2
    per = 0.45359237 / 0.09290304
    assert found["points"]["mx"] == pytest.approx([one / per for one in metric["mx"]], rel=1e-4)
    assert "lb/ft²" in found["points"]["across"][0]


def test_lines_are_straight_and_of_slope_three_on_logarithmic_axes(visitor: TestClient) -> None:
    """E^(1/3)/ρ (ashby-1992, from memory): EI of equally good plates goes with m³."""
    found = twin(visitor, "?solids=3+mm%3B+10+mm")
    lines: dict[int, list[tuple[float, float]]] = {}
    for row in found["spec"]["datasets"]["lines"]:
        lines.setdefault(row["line"], []).append((row["mx"], row["my"]))
    assert len(lines) > 1
    for (x0, y0), (x1, y1) in lines.values():
        assert math.log(y1 / y0) / math.log(x1 / x0) == pytest.approx(3.0, rel=1e-4)


def test_a_part_in_other_units_is_the_same_part(visitor: TestClient) -> None:
    metric = twin(visitor, "?part=si,4,7,300,2000&solids=")
    mark = read(visitor, CHART).fields["mark"]
    visitor.post("/look", data={"mark": mark, "system": "imperial"})
    found = twin(visitor, "?part=si,4,7,300,2000&solids=")
    values, before = (
        {one["name"]: one["value"] for one in of["spec"]["params"]} for of in (found, metric)
    )
    assert before["across_high"] == 7.0
    assert values["across_high"] == pytest.approx(7.0 * 0.09290304 / 0.45359237, rel=1e-4)
    assert found["points"]["id"] == metric["points"]["id"]


def test_the_sheet_has_units_ranges_and_sources(visitor: TestClient, shelf: Shelf) -> None:
    answer = visitor.get(f"{CHART}?up=moment_along_first&sheet=csv&solids=9+mm")
    assert answer.headers["content-disposition"].endswith('"chart.csv"')
    head, units, *rows = list(csv.reader(io.StringIO(answer.text)))
    assert dict(zip(head, units, strict=True))["moment_along_first"] == "N"
    assert dict(zip(head, units, strict=True))["areal_mass_low"] == "kg/m2"
    by_id = {row[1]: dict(zip(head, row, strict=True)) for row in rows}
    camper = by_id["P-0002"]
    made = shelf.panel("P-0002").prediction
    assert float(camper["areal_mass_high"]) == pytest.approx(made.areal_mass.high, rel=1e-5)
    assert camper["sources"].count(" | ") > 5
    assert by_id["9 mm birch plywood"]["standing"] == "handbook only"
    assert len(rows) == len(twin(visitor, "?up=moment_along_first&solids=9+mm")["points"]["n"])


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("up=wobble", "up: there is nothing of this name to put up. Given: wobble."),
        ("across=%3Cscript%3E", "there is nothing of this name to put across"),
        ("up_axis=sideways", "up_axis: no axis is called so. Given: sideways."),
        ("of=everything", "of: no set of panels is called so. Given: everything."),
        ("part=si,1,2", "part: this is no part of a chart. Given: si,1,2."),
        ("part=si,1,nan,2,3", "part: this is no part of a chart."),
        ("of=named&members=P-9999", "P-9999"),
        ("solids=1,5+mm", "A comma can be a decimal point"),
        ("standing=asleep", "no standing is called so"),
    ],
)
def test_what_is_refused_is_told_and_stays_typed(
    visitor: TestClient, query: str, said: str
) -> None:
    page = read(visitor, f"{CHART}?{query}")
    assert page.status == 400
    assert said.lower() in page.text.lower()
    assert "<script>" not in page.html
    answer = visitor.get(f"{CHART}.json?{query}")
    assert answer.status_code == 400
    assert said.lower() in " ".join(answer.json()["problems"]).lower()


def test_an_empty_shelf_says_so(own_shelf: Shelf) -> None:
    with TestClient(create_app(own_shelf), base_url=HERE) as client:
        page = read(client, f"{CHART}?solids=")
        assert page.status == 200
        assert "the shelf has no such panel" in page.text
        assert "/new" in page.links
        assert twin(client, "?solids=")["points"]["n"] == []
        assert read(client, CHART).html.count("<tr>") > 10, "solids stand there all the same"


def test_who_is_left_out_is_told_on_the_page(visitor: TestClient) -> None:
    page = read(visitor, f"{CHART}?up=moment_along_first")
    assert "left out, because the strength of a layer is not known" in page.text
    assert "left out, because the handbook has no strength of it here" in page.text


def test_no_price_is_told_on_the_page(own_shelf: Shelf) -> None:
    own_shelf.save_panel('format = 1\n[[layer]]\ncloth = "E-glass twill 200 g/m2"')
    with TestClient(create_app(own_shelf), base_url=HERE) as client:
        money = read(client, f"{CHART}?up=cost&solids=")
    assert "No prices at hand" in money.text
    assert "Nothing can be shown here." in money.text


def test_shelf_and_line_up_lead_there(visitor: TestClient) -> None:
    shelf = read(visitor, "/shelf?find=tender")
    assert "/lineup/chart?find=tender" in shelf.links
    assert 'formaction="/lineup/chart"' in shelf.html
    marked = read(visitor, f"{CHART}?panel=P-0001&panel=P-0002&of=named")
    assert marked.fields["members"] == "P-0001; P-0002"
    found = twin(visitor, "?panel=P-0001&panel=P-0002&of=named&solids=")
    assert {"P-0001", "P-0002"} <= set(found["points"]["id"])
    line_up = read(visitor, "/lineup?members=P-0001%3B+P-0002")
    assert "/lineup/chart?of=named&members=P-0001%3B+P-0002" in line_up.links


def test_all_of_it_is_data(visitor: TestClient) -> None:
    found = twin(visitor)
    text = json.dumps(found)
    assert "://" not in text, "nothing is fetched from elsewhere"
    assert not [key for key in ("function", "=>") if key in text]


def test_a_long_table_comes_in_parts(visitor: TestClient) -> None:
    everyone = len(twin(visitor)["points"]["n"])
    page = read(visitor, f"{CHART}?rows=0")
    assert f'<td class="n">{everyone}</td>' in page.html
    more = read(visitor, f"{CHART}?rows=20")
    assert '<td class="n">20</td>' not in more.html
    assert '<td class="n">21</td>' in more.html
