"""A photo of a cut edge as a form: what is refused stays as typed, what is moved needs a reason."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

from panelwright.jobs.measure import readings_of
from panelwright.jobs.shelf import Shelf
from panelwright.samples.readings import standing
from panelwright.web.app import create_app
from tests.samples.edges import Drawn
from tests.samples.panels import CORED

from .conftest import HERE
from .reading import read, send

EDGE = Drawn((0.80, 15.0, 0.72))


@pytest.fixture
def edge(own_shelf: Shelf) -> Iterator[tuple[TestClient, str]]:
    """A browser, and the page of a photo of S-0001."""
    own_shelf.save_piece(own_shelf.save_panel(CORED)[0], title="Offcut")
    photo = own_shelf.add_photo(EDGE.picture(), "edge.jpg", "S-0001", "Sawn")
    with TestClient(create_app(own_shelf), base_url=HERE) as client:
        yield client, f"/piece/S-0001/edge/{photo.sha256}"


def _typed(**more: str) -> dict[str, str]:
    (x1, y1), (x2, y2) = EDGE.scale
    marks = {"length": "20 mm by 0.5 mm", "scale 1": f"{x1} {y1}", "scale 2": f"{x2} {y2}"}
    for boundary, deep in zip((0, 2, 3, 5), EDGE.depths, strict=True):
        x, y = EDGE.at(0.0, deep)
        marks[f"mark 1/{boundary}"] = f"{x} {y}"
    return marks | {name.replace("_", " "): text for name, text in more.items()}


def test_piece_and_bench_lead_to_the_photo(edge: tuple[TestClient, str]) -> None:
    client, address = edge
    assert address in read(client, "/piece/S-0001").links
    assert address in read(client, "/piece/S-0001/bench").links


def test_marks_are_kept_and_told_beside_the_section(
    edge: tuple[TestClient, str], own_shelf: Shelf
) -> None:
    client, address = edge
    page = send(client, address, address, **_typed())
    assert page.status == 200
    assert "0.800 mm" in page.text
    assert "16.52 mm" in page.text
    assert "found 16.52 mm predicted 16.60 mm" in page.text
    assert "one tells nothing of the scatter" in page.text
    assert page.fields["length"] == "20 mm by 0.5 mm"
    piece = read(client, "/piece/S-0001")
    assert "6 marks on a photo of the cut edge" in piece.text
    (record,) = own_shelf.piece("S-0001").records
    assert record.thickness == pytest.approx(0.01652, rel=1e-6)


def test_a_moved_mark_needs_a_reason_and_the_old_one_stays(
    edge: tuple[TestClient, str], own_shelf: Shelf
) -> None:
    client, address = edge
    first = send(client, address, address, **_typed())
    stands = {name: first.fields[name] for name in _typed()}
    x, y = EDGE.at(0.0, EDGE.depths[-1] + 0.5)
    moved = {**stands, "mark 1/5": f"{x:.1f} {y:.1f}"}
    asked = send(client, address, address, **moved)
    assert asked.status == 400
    assert "needs a reason" in asked.text
    assert asked.fields["mark 1/5"] == moved["mark 1/5"]
    told = send(client, address, address, **moved, reason="the burr")
    assert "17.02 mm" in told.text
    every = [one for one in readings_of(own_shelf.piece("S-0001")) if one.what == "edge y"]
    assert len(every) == 5
    assert len(standing(every)) == 4
    gone = {name: told.fields[name] for name in _typed()} | {"mark 1/3": ""}
    told = send(client, address, address, **gone, reason="not to be seen")
    assert "layers 3 to 5" in told.text
    assert told.fields["mark 1/3"] == ""


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("mark 1/0", "middle", "a mark is two numbers"),
        ("mark 1/0", "9000 3", "outside the photo"),
        ("length", "20 kg", "a mass"),
        ("mark 1/5", "1200 1", "out of order"),
        ("length", "", "length between the scale marks is missing|Still needed"),
    ],
)
def test_what_cannot_be_is_refused_and_stays(
    edge: tuple[TestClient, str], own_shelf: Shelf, name: str, text: str, says: str
) -> None:
    client, address = edge
    page = send(client, address, address, **{**_typed(), name: text})
    assert any(part in page.text for part in says.split("|"))
    if page.status == 400:
        assert page.fields[name] == text
        assert own_shelf.piece("S-0001").records == ()


def test_looking_keeps_nothing(edge: tuple[TestClient, str], own_shelf: Shelf) -> None:
    client, address = edge
    found = send(client, address, f"{address}/look", **_typed())
    assert "16.52 mm" in found.text
    wrong = send(client, address, f"{address}/look", **{**_typed(), "mark 1/5": "1200 1"})
    assert "out of order" in wrong.text
    nothing = send(client, address, f"{address}/look")
    assert "Still needed" in nothing.text
    assert own_shelf.piece("S-0001").records == ()


def test_a_photo_of_something_else_has_no_edge(edge: tuple[TestClient, str]) -> None:
    client, _ = edge
    assert client.get(f"/piece/S-0001/edge/{'0' * 64}").status_code == 404
