"""The build sheet, its labels and its lists: all that the plan says stands on paper."""

from __future__ import annotations

import csv
import io
from datetime import date
from functools import cache
from pathlib import Path

import openpyxl
import pypdf
import pypdfium2
import pytest

from panelwright.errors import InputError
from panelwright.fabrication.part import read_part
from panelwright.fabrication.plan import BuildPlan
from panelwright.jobs.build import build
from panelwright.panels.description import Description
from panelwright.reports.build_files import files_of
from panelwright.reports.build_words import pot_rows
from panelwright.reports.drawing import pots_svg
from panelwright.reports.paper.build_labels import build_labels
from panelwright.reports.paper.build_sheet import build_sheet, build_sheet_html
from panelwright.reports.paper.pages import SHEETS, Paper
from panelwright.reports.shopping import BUY_HEAD, shopping_csv, shopping_xlsx
from tests.jobs.panels import EXAMPLES, described, shipped

PARTS = EXAMPLES[0].parent / "parts"
DRAWN = date(2026, 11, 25)
MM = 72.0 / 25.4


@cache
def planned(name: str, text: str = "") -> BuildPlan:
    def find(other: str) -> Description:
        return described((PARTS / other).resolve())

    if name.startswith("parts/"):
        path = PARTS / name.removeprefix("parts/")
        told = read_part(path.read_text(encoding="utf-8"), path.name)
        return build(None, told, shipped(), find, 64)
    job = read_part(text) if text else None
    return build(described(PARTS.parent / name), job, shipped(), find, 64)


def sheets(made: bytes) -> list[str]:
    return [
        " ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(made)).pages
    ]


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", ["parts/rowing-tender.toml", "parts/camper-roof.toml"])
def test_a_job_on_paper(name: str, paper: Paper) -> None:
    plan = planned(name)
    made = build_sheet(plan, DRAWN, paper)
    found = sheets(made)
    text = " ".join(found)
    assert plan.title in text
    assert all(f"{number} of {len(found)}" in page for number, page in enumerate(found, start=1))
    for row in pot_rows(plan):
        assert row.parts in text
        assert f"{row.grams} {row.parts}" in text
    for part in plan.parts:
        assert part.name in text
    assert "Before you mix" in text
    assert text.index("Before you mix") < text.index("Steps")
    assert "not certified" in found[-1]
    width, height = (
        float(side) for side in pypdf.PdfReader(io.BytesIO(made)).pages[0].mediabox[2:]
    )
    assert (width / MM, height / MM) == pytest.approx(
        (SHEETS[paper].width, SHEETS[paper].height), abs=0.1
    )


def test_every_step_has_its_number_and_its_lines_to_write_on() -> None:
    plan = planned("parts/rowing-tender.toml")
    html = build_sheet_html(plan, DRAWN)
    assert html.count('class="tick"') == len(plan.steps)
    assert html.count('class="write"') == sum(len(step.boxes) for step in plan.steps)
    grounds = [step.ground for step in plan.steps if step.ground]
    assert html.count("[common practice]") == grounds.count("common practice") > 0
    assert html.count("[published and read]") == grounds.count("published and read") > 0
    assert html.count("<strong>Hold.</strong>") == sum(step.hold for step in plan.steps)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_makes_a_sheet(path: Path) -> None:
    [first, *_] = sheets(build_sheet(planned(path.name), DRAWN))
    assert "To buy" in first


def test_nothing_is_drawn_past_the_frame() -> None:
    """Ink between the frame and the edge of the sheet would be cut off by the printer."""
    made = build_sheet(planned("parts/rowing-tender.toml"), DRAWN)
    for page in pypdfium2.PdfDocument(made):
        drawn = page.render(scale=1.0, grayscale=True).to_numpy()
        image = drawn.reshape(drawn.shape[:2])
        assert image[:, : int(15.0 * MM)].min() > 250
        assert image[:, int(204.5 * MM) :].min() > 250
        assert image[: int(6.0 * MM)].min() > 250
        assert image[int(291.5 * MM) :].min() > 250


def test_what_was_typed_is_text_and_nothing_else() -> None:
    wild = planned("camper-roof.toml", 'format = 1\ntitle = "<b>&"\n[[part]]\nname = "=1+1<i>"\n')
    html = build_sheet_html(wild, DRAWN)
    assert "<b>&" not in html
    assert "&lt;b&gt;&amp;" in html
    book = openpyxl.load_workbook(io.BytesIO(shopping_xlsx(wild)))
    kinds = {cell.data_type for row in book["Pots"].iter_rows() for cell in row}
    assert "f" not in kinds


def test_the_clock_is_told_in_words() -> None:
    plan = planned("parts/rowing-tender.toml")
    session = next(s for s in plan.sessions if s.batches and len(s.batches[0].pots) > 2)
    svg = pots_svg(session, session.batches[0], plan.day, 700.0)
    assert "Pots begun: 1 at 13:00, 2 at " in svg
    assert "use by 13:" in svg
    assert svg.count("<title>") == 1


@pytest.mark.parametrize("count", [1, 40, 300])
def test_many_pots_stay_legible(count: int) -> None:
    """Numbers of pots too narrow for theirs are left out, the last one is not."""
    cap = 3.26 * 1000.0 / count / 2.0
    text = f'format = 1\n[mix]\npot_cap = "{max(cap, 60.0):.0f} g"\npot_life = "3 h"\n'
    plan = planned("bench-top.toml", text)
    session = plan.sessions[0]
    svg = pots_svg(session, session.batches[0], plan.day, 700.0)
    assert f">{len(session.batches[0].pots)}<" in svg


def test_the_shopping_list_twice() -> None:
    plan = planned("parts/camper-roof.toml")
    rows = list(csv.reader(io.StringIO(shopping_csv(plan).decode("utf-8-sig"))))
    assert tuple(rows[0]) == BUY_HEAD
    assert len(rows) == 1 + len(plan.buys)
    book = openpyxl.load_workbook(io.BytesIO(shopping_xlsx(plan)))
    assert book.sheetnames == ["To buy", "To cut", "Pots"]
    for line, row in zip(
        plan.buys, book["To buy"].iter_rows(min_row=2, values_only=True), strict=True
    ):
        assert row[1] == line.what
        assert row[3] == pytest.approx(line.need, rel=1e-3)
    foam = next(row for row in rows if row[1].startswith("PET foam"))
    assert foam[2] == "3 sheets"
    assert float(foam[8]) == 3 * 78


def test_a_label_for_each_piece_and_each_pot() -> None:
    plan = planned("parts/rowing-tender.toml")
    labels = build_labels(plan)
    pieces = sum(
        part.count * len(cloth.chosen.pieces) for part in plan.parts for cloth in part.cut.cloth
    )
    pots = sum(mix.pots for mix in plan.mixes)
    assert len(labels) == pieces + pots
    assert any(label.number == "Pot 5" and "use by" in label.lines[2] for label in labels)


def test_the_files() -> None:
    made = files_of(planned("parts/camper-roof.toml"), DRAWN, Paper.LETTER, "imperial")
    assert list(made) == ["build-sheet.pdf", "shopping.csv", "shopping.xlsx", "labels.pdf"]
    assert "ft²" in sheets(made["build-sheet.pdf"])[0]
    assert made["labels.pdf"].startswith(b"%PDF")


def test_more_labels_than_can_be_printed() -> None:
    many = planned("camper-roof.toml", "format = 1\n[[part]]\ncount = 1000\n")
    with pytest.raises(InputError, match="more labels than can be printed"):
        build_labels(many)
