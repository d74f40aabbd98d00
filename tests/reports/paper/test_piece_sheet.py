"""The datasheet of a piece: one sheet with photo, findings, comparison, duties and verdict."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

from panelwright.jobs.edge import name_of
from panelwright.jobs.measure import measure
from panelwright.jobs.piece_sheet import sheet_of
from panelwright.jobs.reconcile import reconcile_piece
from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.panels.verdicts import KEPT, NOT_KEPT, ONLY_JUST
from panelwright.reports.bench_words import NO, NOT_YET, WITH_CHANGES, YES, suggested
from panelwright.reports.paper.pages import Paper
from panelwright.samples.readings import Reading, read_reading
from panelwright.samples.reconcile import Compared, Split
from tests.samples.edges import Drawn
from tests.samples.panels import CORED
from tests.samples.test_edges import marks_on

DUTY = """
[[duty]]
ready = "kneel on it"
span = { length = "600 mm", width = "400 mm" }
edges = "simply supported"
limits = { deflection = "span/50", reserve = 1.5 }
"""
EDGE = Drawn((0.80, 15.0, 0.72))


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    """A shelf with S-0001, a cored piece that was weighed and gauged."""
    opened = open_shelf(tmp_path / "shelf")
    opened.save_panel(CORED + DUTY)
    readings = [
        read_reading("mass", "1160 g by 1 g"),
        read_reading("length", "500"),
        read_reading("width", "500"),
        read_reading("temperature", "18"),
        *(Reading("thickness", 0.0165 + 1e-5 * n, f"A{n}", 1e-5) for n in range(1, 10)),
    ]
    measure(
        opened,
        "P-0001",
        readings,
        date="2026-11-25",
        who="A. Builder",
        again="with changes",
        improve="Press the outside skin out longer.",
        title="Offcut",
        place="rack 2",
        left="a third of it",
    )
    yield opened
    opened.close()


def _page(made: bytes) -> pypdf.PageObject:
    [page] = pypdf.PdfReader(io.BytesIO(made)).pages
    return page


def _text(made: bytes) -> str:
    return " ".join(_page(made).extract_text().split())


@pytest.mark.parametrize("paper", Paper)
def test_it_is_one_sheet_with_all_that_the_bench_says(shelf: Shelf, paper: Paper) -> None:
    text = _text(sheet_of(shelf, "S-0001", paper))
    done = reconcile_piece(shelf, "S-0001")
    for said in (
        "S-0001",
        "Offcut",
        done.sentence(),
        "4.64",
        "Resin by mass",
        "“kneel on it”",
        "A. Builder",
        "Lies rack 2",
        "Left untested a third of it",
        "Temperature 18 °C",
        "The builder: with changes. Press the outside skin out longer.",
        "Estimates, not certification",
    ):
        assert said in text, said
    assert done.duties[0].after.kept == KEPT


def test_a_photo_stands_on_it_and_a_marked_one_beside_the_section(shelf: Shelf) -> None:
    assert not _page(sheet_of(shelf, "S-0001")).images
    photo = shelf.add_photo(EDGE.picture(), "edge.jpg", "S-0001", "Sawn edge")
    plain = sheet_of(shelf, "S-0001")
    assert len(_page(plain).images) == 1
    assert "Sawn edge" in _text(plain)
    marks = [replace(one, at=f"{name_of(photo)}/{one.at}".rstrip("/")) for one in marks_on(EDGE)]
    measure(shelf, "S-0001", marks)
    marked = sheet_of(shelf, "S-0001")
    assert len(_page(marked).images) == 1
    assert "found 16.52 mm" in _text(marked)
    assert "predicted 16.60 mm" in _text(marked)
    assert len(marked) < 400_000  # made small enough for paper


def test_a_piece_with_nothing_read_says_so(shelf: Shelf) -> None:
    bare = shelf.save_piece("P-0001", title="Bare")
    text = _text(sheet_of(shelf, bare))
    assert "weigh and gauge" in text
    assert "not yet to be said" in text


def test_it_follows_the_system_of_units(shelf: Shelf) -> None:
    assert "oz/yd²" in _text(sheet_of(shelf, "S-0001", Paper.LETTER, "imperial"))


def _compared(found: float, *splits: Split) -> tuple[Compared, ...]:
    return (Compared("areal mass", "areal_mass", 4.0, 3.8, 4.2, found, 0.01, splits, 0.0),)


@pytest.mark.parametrize(
    ("closes", "compared", "duties", "again", "says"),
    [
        (True, (), (), NOT_YET, "weigh and gauge"),
        (False, _compared(4.0), (), NOT_YET, "measure once more"),
        (True, _compared(4.0), (("a", KEPT),), YES, "every duty is kept"),
        (True, _compared(4.0), (), YES, "no duty was set"),
        (True, _compared(4.0), (("a", ONLY_JUST),), WITH_CHANGES, "“a” only just kept"),
        (True, _compared(4.9), (("a", KEPT),), WITH_CHANGES, "areal mass lies outside"),
        (True, _compared(4.0), (("a", NOT_KEPT),), NO, "does not keep “a”"),
        (
            True,
            _compared(4.1, Split("resin in the cloth", 0.1, 0.01)),
            (),
            WITH_CHANGES,
            "press out more resin",
        ),
        (
            True,
            _compared(4.1, Split("soak", 0.1, 0.2)),
            (),
            YES,
            "within what was predicted",
        ),
    ],
)
def test_the_verdict_follows_from_what_was_found(
    closes: bool,
    compared: tuple[Compared, ...],
    duties: tuple[tuple[str, str], ...],
    again: str,
    says: str,
) -> None:
    found, change = suggested(closes, compared, duties)
    assert found == again
    assert says in change
