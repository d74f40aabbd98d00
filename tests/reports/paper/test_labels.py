"""Labels on paper: what a reader of codes and a reader of text find on them."""

from __future__ import annotations

import io
import time
from pathlib import Path

import pypdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from panelwright.errors import InputError
from panelwright.reports.paper.labels import COLUMNS, ROWS, Label, labels_page
from panelwright.reports.paper.pages import SHEETS, Paper, pdf

MM = 72.0 / 25.4


def labels(count: int) -> list[Label]:
    return [
        Label(
            f"P-{n:04d}",
            f"Hatch lid {n} <outer> & inner",
            ("12.4 mm", "predicted only"),
            f"P-{n:04d}",
        )
        for n in range(1, count + 1)
    ]


def codes(made: bytes) -> set[str]:
    """What a code reader finds on all pages."""
    found: set[str] = set()
    for page in pypdfium2.PdfDocument(made):
        picture = page.render(scale=3).to_pil()
        found |= {code.text for code in zxingcpp.read_barcodes(picture)}
    return found


@pytest.mark.parametrize("paper", Paper)
def test_codes_on_a_sheet_are_read_back(paper: Paper) -> None:
    made = pdf(labels_page(labels(5), paper))
    assert codes(made) == {f"P-{n:04d}" for n in range(1, 6)}


def test_an_address_fits_into_the_code() -> None:
    holds = "http://192.168.178.231:8377/piece/S-0123"  # invented
    made = pdf(labels_page([Label("S-0123", "Lid", (), holds)]))
    assert codes(made) == {holds}


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize(
    ("count", "skip", "pages"), [(24, 0, 1), (24, 1, 2), (1, 23, 1), (49, 0, 3)]
)
def test_a_sheet_is_filled_and_no_page_is_left_blank(
    paper: Paper, count: int, skip: int, pages: int
) -> None:
    read = pypdf.PdfReader(io.BytesIO(pdf(labels_page(labels(count), paper, skip))))
    texts = [page.extract_text() for page in read.pages]
    assert len(texts) == pages
    assert [text.count("P-") for text in texts][-1] == (count + skip - 1) % (COLUMNS * ROWS) + 1 - (
        skip if pages == 1 else 0
    )
    assert sum(text.count("P-") for text in texts) == count
    width, height = (float(side) for side in read.pages[0].mediabox[2:])
    sheet = SHEETS[paper]
    assert (width / MM, height / MM) == pytest.approx((sheet.width, sheet.height), abs=0.1)


def test_words_on_a_label_are_text_and_never_markup() -> None:
    html = labels_page(labels(1))
    assert "&lt;outer&gt; &amp; inner" in html
    text = pypdf.PdfReader(io.BytesIO(pdf(html))).pages[0].extract_text()
    assert "P-0001" in text
    assert "<outer>" in text


@pytest.mark.parametrize(
    ("count", "skip", "said"), [(0, 0, "Given: 0"), (501, 0, "1 to 500"), (1, 24, "0 to 23")]
)
def test_what_cannot_be_printed_is_refused(count: int, skip: int, said: str) -> None:
    with pytest.raises(InputError, match=said):
        labels_page(labels(count), Paper.A4, skip)


def test_the_same_labels_give_the_same_bytes() -> None:
    html = labels_page(labels(2))
    first = pdf(html)
    time.sleep(1.1)  # fonts keep the second at which they were put in
    assert pdf(html) == first


def test_a_page_takes_no_file_of_this_machine(tmp_path: Path) -> None:
    picture = tmp_path / "secret.png"
    Image.new("RGB", (8, 8), "red").save(picture)
    made = pdf(f'<html lang="en"><title>x</title><p>words<img alt="" src="{picture.as_uri()}">')
    page = pypdf.PdfReader(io.BytesIO(made)).pages[0]
    assert "words" in page.extract_text()
    assert not list(page.images)
