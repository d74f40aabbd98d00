"""Sheets to hang beside panels."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.paper.exhibit import (
    MEASURED,
    PREDICTED,
    Hung,
    exhibit,
    exhibit_page,
    exhibit_pdf,
)
from panelwright.reports.paper.pages import Paper
from tests.jobs.panels import EXAMPLES, predicted, predicted_text

ROOF = next(path for path in EXAMPLES if path.stem == "camper-roof")


def test_three_numbers_and_one_sentence() -> None:
    made = Hung(predicted(ROOF))
    card = exhibit(made)
    assert [one.name for one in card.figures] == [
        "Thickness",
        "Mass",
        "As stiff along as birch plywood",
    ]
    assert "PET foam 110 kg/m³ between them" in card.why
    assert card.scale == "life size"


def test_what_was_measured_of_a_piece_stands_in_place_of_its_prediction() -> None:
    mass = Ranged(6.5, 6.4, 6.6, "kg/m2", Evidence.MEASURED)
    card = exhibit(Hung(predicted(ROOF), "S-0003 witness", areal_mass=mass))
    assert card.title == "S-0003 witness"
    assert [one.basis for one in card.figures] == [PREDICTED, MEASURED, PREDICTED]
    assert card.figures[1].middle == "6.50 kg/m²"
    assert card.figures[1].ends == "6.40 … 6.60 kg/m²"


def test_hidden_numbers_are_nowhere_on_the_sheet() -> None:
    made = Hung(predicted(ROOF))
    card, page = exhibit(made), exhibit_page([made], hide=True)
    for one in card.figures:
        assert one.middle not in page
        assert one.ends not in page
    assert card.why not in page
    assert card.title in page


def test_a_sheet_for_each_panel() -> None:
    content = exhibit_pdf([Hung(predicted(ROOF))] * 2)
    assert len(PdfReader(io.BytesIO(content)).pages) == 2


@pytest.mark.parametrize("paper", list(Paper))
def test_all_of_a_long_one_stays_on_its_sheet(paper: Paper) -> None:
    made = predicted(ROOF)
    title = "Two of glass mat, a heavy foam, biaxial and mat, redcedar strips, biaxial and twill"
    content = exhibit_pdf([Hung(made, title)], paper)
    assert len(PdfReader(io.BytesIO(content)).pages) == 1


def test_a_solid_panel_says_so() -> None:
    made = Hung(
        predicted_text('format = 1\n[[layer]]\nplywood = "birch plywood"\nthickness = "9 mm"')
    )
    assert "solid through and through" in exhibit(made).why
