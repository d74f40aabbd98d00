"""The datasheet: one sheet of paper that says what the panel is, whatever the panel."""

from __future__ import annotations

import io
from datetime import date
from pathlib import Path

import pypdf
import pypdfium2
import pytest
import zxingcpp

from panelwright.jobs.predict import predict
from panelwright.panels.description import read
from panelwright.panels.records import Prediction
from panelwright.reports.figures import figure, headlines
from panelwright.reports.paper.datasheet import Standing, datasheet
from panelwright.reports.paper.pages import SHEETS, Paper
from tests.jobs.panels import EXAMPLES, shipped

MM = 72.0 / 25.4


def standing(**changed: object) -> Standing:
    given: dict[str, object] = {
        "kind": "Panel",
        "number": "P-0012",
        "revision": "7",
        "standing": "predicted only",
        "drawn": date(2026, 11, 25),
        "holds": "P-0012",
    }
    return Standing(**{**given, **changed})  # type: ignore[arg-type]


def predicted(text: str) -> Prediction:
    return predict(read(text), shipped(), draws=128)


def sheets(made: bytes) -> list[str]:
    return [
        " ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(made)).pages
    ]


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_fits_on_one_sheet_with_its_figures(example: Path, paper: Paper) -> None:
    prediction = predicted(example.read_text("utf-8"))
    made = datasheet(prediction, standing(), paper)
    [text] = sheets(made)
    assert prediction.title in text
    assert "P-0012" in text
    for shown in headlines(prediction):
        assert f"{shown.name} {shown.number} {shown.unit}" in text
    width, height = (
        float(side) for side in pypdf.PdfReader(io.BytesIO(made)).pages[0].mediabox[2:]
    )
    assert (width / MM, height / MM) == pytest.approx(
        (SHEETS[paper].width, SHEETS[paper].height), abs=0.1
    )


def test_a_stack_of_many_layers_is_told_in_fewer_words_on_one_sheet() -> None:
    cloth = '[[layer]]\ncloth = "E-glass biaxial {} g/m2"\nangle = {}\n'
    layers = "".join(cloth.format(300 + 150 * (n % 2), n) for n in range(48))
    head = 'format = 1\ntitle = "Thick"\nprocess = "hand lay-up"\nresin = "epoxy, laminating"\n'
    prediction = predicted(head + layers)
    [text] = sheets(datasheet(prediction, standing()))
    assert "more inwards; the panel file has them all" in text


def test_the_code_on_the_sheet_holds_what_it_is_given() -> None:
    prediction = predicted(EXAMPLES[0].read_text("utf-8"))
    [page] = pypdfium2.PdfDocument(datasheet(prediction, standing(holds="S-0007")))
    [code] = zxingcpp.read_barcodes(page.render(scale=3).to_pil())
    assert code.text == "S-0007"


def test_a_title_of_markup_is_printed_as_typed() -> None:
    text = EXAMPLES[0].read_text("utf-8").replace('title = "', 'title = "<b>&amp; ', 1)
    [sheet] = sheets(datasheet(predicted(text), standing()))
    assert "<b>&amp;" in sheet


def test_inches_stand_first_where_they_are_wanted() -> None:
    prediction = predicted(EXAMPLES[0].read_text("utf-8"))
    [text] = sheets(datasheet(prediction, standing(), Paper.LETTER, "imperial"))
    inches = figure("Thickness", prediction.thickness, "thickness", "imperial")
    assert inches.unit == "in"
    assert float(inches.number) * 25.4 == pytest.approx(1e3 * prediction.thickness.value, rel=1e-3)
    assert f"{inches.number} in" in text
