"""The bench on its page: the same readings, sentences and findings as the command line."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path

import openpyxl
import pytest
from fastapi.testclient import TestClient

from panelwright.errors import InputError
from panelwright.jobs.measure import readings_of
from panelwright.jobs.reconcile import reconcile_piece
from panelwright.jobs.shelf import Shelf
from panelwright.reports.bench_words import of_closure, split_rows
from panelwright.samples.readings import KINDS, ON_A_PHOTO, read_reading, standing
from panelwright.samples.sheets import readings_of_text
from panelwright.web.app import create_app

from .conftest import HERE
from .reading import Page, read, send

BENCH = "/piece/S-0001/bench"
TWILL = """format = 1
title = "Plate"
process = "hand lay-up"
[[layer]]
cloth = "twill 300"
repeat = 4
"""
ROOF = {
    "mass": "413.8 g by 0.1 g",
    "length": "250.2",
    "width": "250.1 mm",
    "thickness@A1": "31.68",
}
PLATE = {
    "mass": "1350 g",
    "length": "600",
    "width": "800",
    "cloth": "1210",
    **{f"thickness@{at}": "1.87" for at in ("A1", "A2", "A3")},
}


@pytest.fixture
def bench(own_shelf: Shelf, root: Path) -> Iterator[TestClient]:
    """A browser before a shelf with a cored panel, S-0001 a piece of it with nothing read."""
    number, _ = own_shelf.save_panel((root / "examples" / "camper-roof.toml").read_text("utf-8"))
    own_shelf.save_piece(number, title="Coupon")
    with TestClient(create_app(own_shelf), base_url=HERE) as client:
        yield client


def _keep(client: TestClient, **fields: object) -> Page:
    return send(client, BENCH, BENCH, **fields)


def _wrong(page: Page) -> set[str]:
    return {str(a.get("name")) for _, a in page.attributes if a.get("aria-invalid") == "true"}


def test_piece_and_panel_lead_to_the_bench(visitor: TestClient) -> None:
    assert BENCH in read(visitor, "/piece/S-0001").links
    panel = next(
        link
        for link in read(visitor, "/piece/S-0001").links
        if link.startswith("/panel/") and "?" in link
    )
    assert BENCH in read(visitor, panel.partition("?")[0]).links
    assert "/house" in read(visitor, "/materials").links


def test_every_reading_of_the_command_has_a_field_that_says_its_unit(bench: TestClient) -> None:
    page = read(bench, BENCH)
    told = {str(a["name"]): str(a["placeholder"]) for _, a in page.attributes if "placeholder" in a}
    for kind in KINDS.values():
        if kind.when == ON_A_PHOTO:
            continue  # on a page of its own
        of = [unit for name, unit in told.items() if name.partition("@")[0] == kind.name]
        assert of, kind.name
    assert told["mass"] == "g, by 1"
    assert told["cloth"] == "g/m², by 1"
    assert told["thickness@A1"] == "mm, by 0.01"
    assert told["hours"] == "h, by 0.25"
    assert told["temperature"] == "°C, by 1"
    order = ("Before the build", "After the build", "In the furnace, tub or oven")
    assert sorted(order, key=page.text.index) == list(order)


def test_four_readings_are_kept_and_reconciled(bench: TestClient, own_shelf: Shelf) -> None:
    page = _keep(bench, **ROOF, date="2026-11-25", remark="flat")
    assert page.status == 200
    kept = readings_of(own_shelf.piece("S-0001"))
    typed = [(*name.partition("@"), text) for name, text in ROOF.items()]
    wanted = {read_reading(what, text, at) for what, _, at, text in typed}
    assert set(kept) == wanted
    assert len(kept) == 4
    done = reconcile_piece(own_shelf, "S-0001")
    assert done.sentence() in page.text
    assert done.reconciled is not None
    for one in done.reconciled.compared:
        assert page.html.count(f"{one.name}: predicted ") == 1
        for row in split_rows(one, "si"):
            assert " ".join(part for part in row if part) in page.text
    for line in done.book:
        assert line.relation in page.text
    assert "stands: 413.8 g" in page.text
    assert "cannot be told from zero" in page.text


def test_what_is_refused_is_marked_and_stays_as_typed(bench: TestClient, own_shelf: Shelf) -> None:
    typed = {"mass": "heavy <b>", "length": "-3", "humidity": "140", "cloth": "1210", "remark": "x"}
    page = _keep(bench, **typed)
    assert page.status == 400
    assert _wrong(page) == {"mass", "length", "humidity"}
    assert {name: page.fields[name] for name in typed} == typed
    for name in ("mass", "length", "humidity"):
        with pytest.raises(InputError) as refused:
            read_reading(name, typed[name])
        for problem in refused.value.problems:
            assert problem.sentence() in page.text
    assert own_shelf.piece("S-0001").records == ()


def test_nothing_typed_is_told(bench: TestClient) -> None:
    page = _keep(bench)
    assert page.status == 400
    assert "No reading is given" in page.text


def test_readings_in_mixed_units_are_told_and_none_is_kept(
    bench: TestClient, own_shelf: Shelf
) -> None:
    page = _keep(bench, **{"thickness@A1": "31.7", "thickness@B2": "31.6", "thickness@C3": "3 m"})
    assert page.status == 400
    assert "another unit, or a slip" in page.text
    assert _wrong(page) == {"thickness@C3"}
    assert own_shelf.piece("S-0001").records == ()


def test_taking_the_place_of_a_reading_asks_why(bench: TestClient, own_shelf: Shelf) -> None:
    _keep(bench, **ROOF)
    asked = _keep(bench, mass="415 g")
    assert asked.status == 400
    assert "a reading of this stands already. Given: 413.8 g" in asked.text
    assert asked.fields["mass"] == "415 g"
    asked = _keep(bench, mass="415 g", standing="instead")
    assert asked.status == 400
    assert "needs a reason" in asked.text
    assert _wrong(asked) == {"reason"}
    told = _keep(bench, mass="415 g", standing="instead", reason="the scale was not level")
    assert "stands: 415 g" in told.text
    every = readings_of(own_shelf.piece("S-0001"))
    assert [one.value for one in every if one.what == "mass"] == pytest.approx([0.4138, 0.415])
    assert [one.value for one in standing(every) if one.what == "mass"] == pytest.approx([0.415])
    beside = _keep(bench, mass="414 g", standing="beside")
    assert "stands: 415 g, 414 g" in beside.text


def test_a_pasted_table_names_row_and_column_and_is_given_back(bench: TestClient) -> None:
    table = "reading,at,value\nthickness,A1,thick\nmass,,413.8\n"
    page = _keep(bench, paste=table)
    assert page.status == 400
    with pytest.raises(InputError) as refused:
        readings_of_text(table, "pasted")
    for problem in refused.value.problems:
        assert problem.sentence() in page.text
    assert "thickness,A1,thick mass,,413.8" in page.text
    assert "stands: 413.8 g" in _keep(bench, paste=table.replace("thick\n", "31.68\n")).text


def test_a_spreadsheet_is_read_and_one_with_formulas_refused(bench: TestClient) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (("reading", "at", "value"), ("mass", "", 413.8), ("thickness", "corner", 31.68)):
        sheet.append(row)
    page = _keep(bench, files={"table": ("read.xlsx", _bytes(book))})
    assert page.status == 200
    assert "stands: 413.8 g" in page.text
    assert "Stands at other points: corner 31.68 mm" in page.text
    sheet["C2"] = "=400+13.8"
    page = _keep(bench, files={"table": ("sums.xlsx", _bytes(book))})
    assert page.status == 400
    assert "sums.xlsx" in page.text
    assert "formula" in page.text
    assert "Choose sums.xlsx once more" in page.text


def test_what_does_not_close_comes_first(own_shelf: Shelf) -> None:
    own_shelf.save_piece(own_shelf.save_panel(TWILL)[0])
    with TestClient(create_app(own_shelf), base_url=HERE) as client:
        thick = {name: "2.6" if "thickness" in name else text for name, text in PLATE.items()}
        page = _keep(client, **thick)
    broken = [
        c for c in reconcile_piece(own_shelf, "S-0001").work.findings.closures if not c.closes
    ]
    assert broken
    for one in broken:
        assert page.text.index(of_closure(one, "si")) < page.text.index("Why it differs".lower())


def test_house_values_are_shown_switched_forgotten_and_exported(own_shelf: Shelf) -> None:
    own_shelf.save_piece(own_shelf.save_panel(TWILL)[0])
    with TestClient(create_app(own_shelf), base_url=HERE) as client:
        assert "No house values yet" in read(client, "/house").text
        assert "/house" in _keep(client, **PLATE).links
        (value,) = own_shelf.house()
        page = read(client, "/house")
        assert value.words in page.text
        assert "1 plate: too few to rest on" in page.text
        off = send(client, "/house", "/house", key=value.key, word="off")
        assert "Switch it on" in off.text
        assert [one.used for one in own_shelf.house()] == [False]
        send(client, "/house", "/house", key=value.key, word="on")
        assert [one.used for one in own_shelf.house()] == [True]
        rows = list(csv.DictReader(io.StringIO(client.get("/house/values.csv").text)))
        assert [(row["key"], row["plates"], row["used"]) for row in rows] == [
            (value.key, "1", "yes")
        ]
        wrong = send(client, "/house", "/house", key="resins/none/soak", word="off")
        assert "no such house value" in wrong.text
        odd = send(client, "/house", "/house", key=value.key, word="burn")
        assert (odd.status, "no word on a house value" in odd.text) == (400, True)
        reset = send(client, "/house", "/house", key=value.key, word="reset", remark="a trial")
        assert "No house values yet" in reset.text


def _bytes(book: openpyxl.Workbook) -> bytes:
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()
