"""Panels of the shelf lined up on a page: the same figures as on the command line."""

from __future__ import annotations

import csv
import io

import pytest
from fastapi.testclient import TestClient
from pypdf import PdfReader

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


def test_a_piece_is_marked_on_the_shelf_and_stands_as_measured(
    visitor: TestClient, shelf: Shelf
) -> None:
    assert 'name="panel" value="S-0001"' in read(visitor, "/shelf").html
    page = read(visitor, "/lineup?panel=S-0001&panel=P-0007")
    assert page.status == 200
    assert page.fields["members"] == "S-0001; P-0007"
    assert "● measured: thickness, mass, mean density; all else predicted" in page.text
    assert page.text.count("● measured") == 4  # said of the piece, and in its three cells
    assert shelf.piece("S-0001").title in page.text


DUTY = "&duty=kneel+on+it%2C+600+mm+x+310+mm%2C+clamped%2C+span/100"


def test_what_each_must_bear_has_its_rows(visitor: TestClient) -> None:
    page = read(visitor, THREE + DUTY)
    assert "What each must bear" in page.text
    assert "kneel on it: 800 N on 60 mm x 60 mm" in page.text
    assert "Limit used up" in page.text
    own = read(visitor, "/lineup?members=P-0007%3B+9+mm+birch+plywood&duty=own")
    assert "A knee between the frames" in own.text


def test_each_just_keeps_its_duty(visitor: TestClient) -> None:
    page = read(visitor, f"{THREE}{DUTY}&equal=just+keeping+the+duty")
    assert 'value="just keeping the duty" selected' in page.html
    assert "Each as thick as just keeps what it must bear." in page.text
    assert "A kept: deflection; B kept: deflection; C kept: deflection." in page.text


def test_numbers_to_be_guessed_are_nowhere_on_the_page(visitor: TestClient) -> None:
    told, hidden = read(visitor, THREE), read(visitor, f"{THREE}&hide=yes")
    assert "times as stiff" in told.text
    assert "times as stiff" not in hidden.text
    assert "best:" not in hidden.text
    assert "▸" not in hidden.text
    assert "Show the answers" in hidden.text


@pytest.mark.parametrize("hide", ["", "&hide=yes"])
def test_sheets_to_hang_beside_them(visitor: TestClient, hide: str) -> None:
    answer = visitor.get(f"{THREE}&sheet=card{hide}")
    assert answer.headers["content-type"] == "application/pdf"
    sheets = PdfReader(io.BytesIO(answer.content)).pages
    assert len(sheets) == 3
    assert ("your guess" in sheets[0].extract_text()) is bool(hide)


def test_the_page_explains(visitor: TestClient) -> None:
    page = read(visitor, THREE)
    for heading in ("Why", "What each layer gives", "For their density", "What ends them"):
        assert heading in page.text
    assert "Shapley" in page.text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("members=P-0001", "2"),
        ("members=P-0001%3B+P-9999", "P-9999"),
        ("members=P-0001%3B+unobtainium", "unobtainium"),
        ("members=P-0001%3B+S-0002", "Nothing was measured of S-0002"),
        ("members=P-0001%3B+P-0002&duty=dance", "What is &#39;dance&#39; in a duty?"),
        ("members=P-0001%3B+P-0002&equal=just+keeping+the+duty", "No duty is named"),
        ("members=P-0001%3B+P-0002&equal=cost", "there is no price of"),
    ],
)
def test_what_cannot_be_lined_up_is_told_and_stays_typed(
    visitor: TestClient, query: str, said: str
) -> None:
    page = read(visitor, f"/lineup?{query}")
    assert page.status == 400
    assert said in page.html
    assert page.fields["members"].startswith("P-0001")
