"""Sheets to hang beside panels."""

from __future__ import annotations

import io

from pypdf import PdfReader

from panelwright.reports.paper.exhibit import exhibit, exhibit_page, exhibit_pdf
from tests.jobs.panels import EXAMPLES, predicted, predicted_text

ROOF = next(path for path in EXAMPLES if path.stem == "camper-roof")


def test_three_numbers_and_one_sentence() -> None:
    made = predicted(ROOF)
    card = exhibit(made)
    assert [name for name, _, _ in card.figures] == [
        "Thickness",
        "Mass",
        "As stiff along as birch plywood",
    ]
    assert "PET foam 110 kg/m³ between them" in card.why
    assert card.scale == "life size"


def test_hidden_numbers_are_nowhere_on_the_sheet() -> None:
    made = predicted(ROOF)
    card, page = exhibit(made), exhibit_page([made], hide=True)
    for _, value, ends in card.figures:
        assert value not in page
        assert ends not in page
    assert card.why not in page
    assert card.title in page


def test_a_sheet_for_each_panel() -> None:
    content = exhibit_pdf([predicted(ROOF), predicted(ROOF)])
    assert len(PdfReader(io.BytesIO(content)).pages) == 2


def test_a_solid_panel_says_so() -> None:
    made = predicted_text('format = 1\n[[layer]]\nplywood = "birch plywood"\nthickness = "9 mm"')
    assert "solid through and through" in exhibit(made).why
