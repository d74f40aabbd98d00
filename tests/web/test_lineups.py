"""Panels of the shelf lined up on a page: the same figures as on the command line."""

from __future__ import annotations

import csv
import io

import pytest
from fastapi.testclient import TestClient

from panelwright.jobs.shelf import Shelf

from .reading import read

THREE = "/lineup?members=P-0001%3B+P-0002%3B+birch+plywood+12+mm"


def test_panels_of_the_shelf_beside_a_solid(visitor: TestClient, shelf: Shelf) -> None:
    page = read(visitor, THREE)
    assert page.status == 200
    for number in ("P-0001", "P-0002"):
        assert shelf.panel(number).title in page.text
    assert "handbook only" in page.text
    assert "times as stiff" in page.text
    assert page.html.count("<svg") >= 3


def test_those_marked_on_the_shelf(visitor: TestClient) -> None:
    assert 'name="panel" value="P-0001"' in read(visitor, "/shelf").html
    marked = read(visitor, "/lineup?panel=P-0001&panel=P-0002")
    assert marked.status == 200
    assert marked.fields["members"] == "P-0001; P-0002"


def test_equal_terms_are_met(visitor: TestClient) -> None:
    answer = visitor.get(f"{THREE}&equal=mass&sheet=csv")
    rows = list(csv.reader(io.StringIO(answer.text)))
    assert answer.headers["content-disposition"].endswith('"line-up.csv"')
    at = rows[0].index("areal_mass")
    assert rows[1][at] == "kg/m2"
    masses = [float(row[at]) for row in rows[2:]]
    assert len(masses) == 3
    assert max(masses) == pytest.approx(min(masses), rel=1e-3)


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("members=P-0001", "2"),
        ("members=P-0001%3B+P-9999", "P-9999"),
        ("members=P-0001%3B+unobtainium", "unobtainium"),
    ],
)
def test_what_cannot_be_lined_up_is_told_and_stays_typed(
    visitor: TestClient, query: str, said: str
) -> None:
    page = read(visitor, f"/lineup?{query}")
    assert page.status == 400
    assert said in page.text
    assert page.fields["members"].startswith("P-0001")
