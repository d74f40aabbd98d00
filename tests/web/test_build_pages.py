"""What is built of a panel, on its pages: the same plan, words and files as the command line."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import openpyxl
import pypdf
import pytest
from fastapi.testclient import TestClient

from panelwright.errors import InputError
from panelwright.fabrication.part import read_part
from panelwright.jobs.build import build
from panelwright.jobs.building import first_part_file
from panelwright.jobs.shelf import Shelf
from panelwright.panels.description import Description
from panelwright.panels.description import read as read_panel
from panelwright.reports.build_words import pot_rows

from .reading import Page, read, send

PAGE = "/panel/P-0007/build"


@pytest.fixture(scope="module")
def tender(root: Path) -> str:
    """The part file of the rowing tender, its panels by their numbers on the shelf."""
    text = (root / "examples" / "parts" / "rowing-tender.toml").read_text("utf-8")
    return text.replace('"../tender-topside.toml"', '"P-0007"').replace(
        '"bulkhead-panel.toml"', '"P-0001"'
    )


def _planned(visitor: TestClient, part: str) -> Page:
    return send(visitor, PAGE, PAGE, part=part)


def test_a_panel_leads_to_its_build(visitor: TestClient) -> None:
    assert PAGE in read(visitor, "/panel/P-0007").links


def test_without_a_part_file_one_flat_panel_of_its_size_is_planned(
    visitor: TestClient, shelf: Shelf
) -> None:
    page = read(visitor, PAGE)
    size = read_panel(shelf.panel("P-0007").text).panel.size
    assert size is not None
    assert f'length = "{size.length.text}", width = "{size.width.text}"' in page.text
    for words in ("To mix", "To buy", "To cut", "Steps", "Before you mix, cut or sand", "hold"):
        assert words in page.text
    assert "Read the safety data sheets" in page.text


def test_a_panel_without_a_size_starts_from_one_that_says_so() -> None:
    started = first_part_file('format = 1\nprocess = "hand"\n[[layer]]\ncloth = "biax 300"\n')
    (part,) = read_part(started).job.part
    assert part.size is not None
    assert "write yours" in started


def test_the_page_shows_the_plan_that_the_job_makes(
    visitor: TestClient, shelf: Shelf, tender: str
) -> None:
    def find(number: str) -> Description:
        return read_panel(shelf.panel(number).text)

    page = _planned(visitor, tender)
    plan = build(read_panel(shelf.panel("P-0007").text), read_part(tender), shelf.catalogue(), find)
    assert "2 × Bulkhead" in page.text
    for row in pot_rows(plan):
        assert f"{row.numbers} {row.grams} {row.parts} {row.starts}" in page.text
    for step in plan.steps:
        assert all(box.name in page.text for box in step.boxes)
    assert page.html.count('type="checkbox"') == len(plan.steps)
    for caution in plan.cautions:
        assert caution.name.lower() in page.text.lower()


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ('format = 1\n[mix]\nratio = "2:1"\n', "by mass or by volume"),
        ("format = 1\n[[part]]\nlength = 3\n", "length"),
        ("not TOML <b>", "not TOML"),
        ("", "format"),
        ('format = 1\n[[part]]\npanel = "P-9999"\n', "P-9999"),
        ('format = 1\n[[part]]\npanel = "../secret.toml"\n', "P-0001"),
        ("format = 1\n" + "# long\n" * 4000, "too long"),
    ],
)
def test_what_is_refused_stays_as_typed(visitor: TestClient, typed: str, told: str) -> None:
    page = _planned(visitor, typed)
    assert page.status in {400, 404}
    assert told in page.text
    assert " ".join(typed.split()) in page.text
    assert "To buy" not in page.text


def test_the_sentence_is_that_of_the_command_line(visitor: TestClient) -> None:
    typed = 'format = 1\n[mix]\nratio = "2:1"\n'
    with pytest.raises(InputError) as refused:
        read_part(typed)
    page = _planned(visitor, typed)
    for problem in refused.value.problems:
        assert problem.sentence() in page.text


def test_units_and_files_keep_the_part_file(visitor: TestClient, tender: str) -> None:
    page = _planned(visitor, tender)
    (sheet,) = [link for link in page.links if "paper=Letter" in link and "sheet" in link]
    job = sheet.partition("job=")[2]
    changed = send(visitor, PAGE, "/look", system="imperial", to=f"{PAGE}?job={job}")
    assert "Rowing tender" in changed.text
    assert re.search(r"[\d.]+ lb", changed.text)
    send(visitor, PAGE, "/look", system="si", to=PAGE)
    answer = visitor.get(sheet)
    assert answer.headers["content-type"] == "application/pdf"
    first = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0]
    assert "Rowing tender" in first.extract_text()
    assert [round(float(side)) for side in first.mediabox[2:]] == [612, 792]  # ANSI Letter, pt


def test_the_shopping_list_is_that_of_the_page(visitor: TestClient, tender: str) -> None:
    page = _planned(visitor, tender)
    links = {link.split("?")[0].rpartition(".")[2]: link for link in page.links if "/shop" in link}
    rows = list(csv.reader(io.StringIO(visitor.get(links["csv"]).content.decode("utf-8-sig"))))
    assert rows[0][1:3] == ["what", "to buy"]
    assert all(row[2] in page.text for row in rows[1:])
    book = openpyxl.load_workbook(io.BytesIO(visitor.get(links["xlsx"]).content))
    assert book.sheetnames == ["To buy", "To cut", "Pots"]
    assert book["To buy"].max_row == len(rows)


@pytest.mark.parametrize("path", [f"{PAGE}?job=0123", f"{PAGE}/build-sheet.pdf?job=0123"])
def test_a_part_file_that_is_forgotten_is_told(visitor: TestClient, path: str) -> None:
    page = read(visitor, path)
    assert page.status == 400
    assert "is not here any more" in page.text


@pytest.mark.parametrize("name", ["secret.txt", "build-sheet.html", "..%2fshelf"])
def test_no_other_file_is_given(visitor: TestClient, name: str) -> None:
    assert visitor.get(f"{PAGE}/{name}").status_code == 404
