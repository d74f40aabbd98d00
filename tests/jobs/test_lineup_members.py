"""Pieces in a line-up: measured where it was measured, predicted elsewhere."""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import pytest

from panelwright.errors import InputError, PanelwrightError
from panelwright.jobs.lineup import entrant, line_up
from panelwright.jobs.lineup_card import hung
from panelwright.jobs.lineup_members import is_number, member, piece_of_file
from panelwright.jobs.measure import measure
from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.panels.description import read
from panelwright.panels.lineup import FOUND
from panelwright.panels.lineup_records import MASS, STIFFNESS, THICKNESS, LineUp, Terms
from panelwright.provenance import SIGMAS_OF_90, Evidence
from panelwright.reports.lineup_why_words import why_sentence
from panelwright.reports.lineup_words import change_words, piece_words
from panelwright.samples.readings import Reading, read_reading

from .panels import panel, shipped

BIAX = 'cloth = "E-glass biaxial 600 g/m2"'
FOAM = panel(BIAX, 'core = "PET foam 110 kg/m3"\nthickness = "15 mm"', BIAX)
STRIPS = panel(BIAX, 'strips = "western redcedar"\nthickness = "8 mm"\nmoisture = "12 %"', BIAX)
#: 690 g over 600 x 250 mm: 4.6 kg/m2 by hand; four points whose mean is 17.0 mm.
READ = {"mass": "690 g by 1 g", "length": "600 mm by 1 mm", "width": "250 mm by 1 mm"}
POINTS = (16.9, 17.1, 17.05, 16.95)


def readings() -> list[Reading]:
    points = [read_reading("thickness", f"{mm} mm", f"A{n}") for n, mm in enumerate(POINTS)]
    return [*(read_reading(name, value) for name, value in READ.items()), *points]


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    opened = open_shelf(tmp_path / "shelf")
    opened.save_panel(FOAM)
    opened.save_panel(STRIPS)
    measure(opened, "P-0001", readings(), title="witness")
    yield opened
    opened.close()


def lined(shelf: Shelf, *words: str, terms: Terms | None = None) -> LineUp:
    catalogue = shelf.catalogue()
    members = [member(word, catalogue, shelf) for word in words]
    return line_up(members, catalogue, terms or Terms())


def middle(lineup: LineUp, key: str, at: int) -> float:
    value = lineup.row(key).cells[at].value
    assert value is not None, (key, at)
    return value.value


def test_a_piece_stands_as_it_was_weighed_and_gauged(shelf: Shelf) -> None:
    """By hand: 0.690/(0.6 x 0.25) kg/m2, the mean of the points, and their ratio."""
    lineup = lined(shelf, "S-0001", "P-0001")
    assert middle(lineup, "areal_mass", 0) == pytest.approx(4.6, rel=1e-9)
    assert middle(lineup, "thickness", 0) == pytest.approx(17.0e-3, rel=1e-9)
    assert middle(lineup, "density", 0) == pytest.approx(4.6 / 17.0e-3, rel=1e-9)
    measured = {row.key for row in lineup.rows if row.cells[0].is_measured}
    assert measured == {"areal_mass", "thickness", "density"}
    assert not any(row.cells[1].is_measured for row in lineup.rows)
    assert lineup.members[0].title == "S-0001 witness"
    assert piece_words(lineup, lineup.members[0]).startswith("● measured: thickness, mass")


def test_its_range_is_that_of_its_uncertainty(shelf: Shelf) -> None:
    """JCGM 100: divisions as even spreads, 1/√12 of a step; the rule's own 0.3 mm beside it."""
    cell = lined(shelf, "S-0001", "P-0001").row("areal_mass").cells[0].value
    assert cell is not None
    u_side = math.hypot(1.0 / math.sqrt(12.0), 0.3)
    relative = math.sqrt(
        (1.0 / math.sqrt(12.0) / 690.0) ** 2 + (u_side / 600.0) ** 2 + (u_side / 250.0) ** 2
    )
    assert cell.high - cell.value == pytest.approx(SIGMAS_OF_90 * relative * 4.6, rel=1e-3)
    assert cell.evidence is Evidence.MEASURED
    assert {driver.cause for driver in cell.drivers} == {"mass", "length", "width"}


def test_what_was_not_measured_is_as_predicted(shelf: Shelf) -> None:
    """As its panel was when it was made: what it taught since changes the next one alone."""
    piece, panel_then = member("S-0001", shelf.book(), shelf), entrant(read(FOAM), shelf.book())
    lineup = line_up([piece, panel_then], shelf.book())
    for row in lineup.rows:
        if row.key not in {"areal_mass", "thickness", "density"}:
            assert row.cells[0] == row.cells[1], row.key


@pytest.mark.parametrize(
    ("equal", "key", "value"), [(MASS, "areal_mass", 4.6), (THICKNESS, "thickness", 17.0e-3)]
)
def test_others_are_made_equal_to_what_was_measured(
    shelf: Shelf, equal: str, key: str, value: float
) -> None:
    lineup = lined(shelf, "S-0001", "P-0002", terms=Terms(equal))
    assert middle(lineup, key, 1) == pytest.approx(value, rel=1e-6)


def test_a_piece_that_is_scaled_is_no_longer_that_piece(shelf: Shelf) -> None:
    lineup = lined(shelf, "P-0002", "S-0001", terms=Terms(STIFFNESS))
    assert not any(row.cells[1].is_measured for row in lineup.rows)
    assert "predicted, no longer the piece" in change_words(lineup.members[1], "si")


def test_the_causes_multiply_to_the_ratio_that_was_measured(shelf: Shelf) -> None:
    for words in (("S-0001", "P-0001"), ("P-0002", "S-0001"), ("S-0001", "P-0002")):
        lineup = lined(shelf, *words)
        why = next(one for one in lineup.why if one.key == "areal_mass")
        pair = [middle(lineup, "areal_mass", at) for at in (why.panel, why.against)]
        assert why.ratio == pytest.approx(pair[0] / pair[1], rel=1e-12)
        whole = math.prod(cause.factor for cause in why.causes)
        assert whole == pytest.approx(why.ratio, rel=1e-12)
    piece, panel_then = member("S-0001", shelf.book(), shelf), entrant(read(FOAM), shelf.book())
    same = line_up([piece, panel_then], shelf.book())
    (why,) = (one for one in same.why if one.key == "areal_mass")
    assert why.causes[0].name in {FOUND, "as the other was found"}
    assert "than predicted" in why_sentence(same, why)


def test_a_piece_by_the_file_of_its_panel_and_its_readings(shelf: Shelf) -> None:
    of_file = piece_of_file(read(FOAM), readings(), shipped())
    of_shelf = member("s1", shelf.catalogue(), shelf)
    pairs = [line_up([one, of_shelf], shipped()) for one in (of_file, of_shelf)]
    for key in ("areal_mass", "thickness", "stiffness_along"):
        assert middle(pairs[0], key, 0) == pytest.approx(middle(pairs[1], key, 0), rel=1e-12)
    assert pairs[0].row("thickness").cells[0].is_measured


def test_a_sheet_of_a_piece_has_what_was_measured(shelf: Shelf) -> None:
    made = hung(member("S-0001", shelf.catalogue(), shelf), shelf.catalogue())
    assert made.title == "S-0001 witness"
    assert made.areal_mass is not None
    assert made.areal_mass.value == pytest.approx(4.6)
    assert hung(member("P-0001", shelf.catalogue(), shelf), shelf.catalogue()).areal_mass is None


def test_a_variant_differs_in_what_is_said(shelf: Shelf) -> None:
    words = ("P-0001", "P-0001 with layer 2 thickness = 20 mm", "P-1 with resin = vinyl ester")
    lineup = lined(shelf, *words)
    thickness = [middle(lineup, "thickness", at) for at in range(3)]
    assert thickness[1] - thickness[0] == pytest.approx(5e-3, rel=1e-9)
    assert lineup.members[1].title == "Panel with layer 2 thickness = 20 mm"
    assert middle(lineup, "stiffness_along", 2) != middle(lineup, "stiffness_along", 0)
    of_words = member("biax 600, 10 mm PET foam 110, biax 600 with process = infusion", shipped())
    assert of_words.resolved.process.id == "infusion"


def test_revisions_of_one_stand_side_by_side(shelf: Shelf) -> None:
    shelf.save_panel(FOAM.replace("15 mm", "25 mm"), "P-0001")
    lineup = lined(shelf, "P-0001 revision 1", "p1 r2", "P-0001")
    assert [one.title for one in lineup.members] == [
        "Panel, revision 1",
        "Panel, revision 2",
        "Panel",
    ]
    thickness = [middle(lineup, "thickness", at) for at in range(3)]
    assert thickness[1] - thickness[0] == pytest.approx(10e-3, rel=1e-9)
    assert thickness[2] == thickness[1]


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("S-0009", "There is no such piece"),
        ("P-0009", "There is no such panel"),
        ("S-0002", "Nothing was measured of S-0002 strip"),
        ("unobtainium", "What is 'unobtainium'?"),
        ("P-0001 with layer 9 thickness = 1 mm", "Given: layer 9 thickness = 1 mm"),
        ("P-0001 with thicker core", "A variant differs by key = value"),
        ("P-0001 with layer 2 thickness = banana", "banana"),
        ("P-0001 revision 7", "7"),
        ("S-0001 with resin = epoxy", "A piece is as it was made"),
    ],
)
def test_who_is_not_there_is_refused(shelf: Shelf, word: str, said: str) -> None:
    shelf.save_piece(cut_from="S-0001", title="strip")
    with pytest.raises(PanelwrightError) as wrong:
        member(word, shelf.catalogue(), shelf)
    assert said in wrong.value.problems[0].sentence()


def test_a_number_without_a_shelf_is_refused() -> None:
    with pytest.raises(InputError, match="none is open"):
        member("P-0001", shipped())


@pytest.mark.parametrize(
    ("word", "expected"), [("P-0001", True), ("s12", True), ("p 3", True), ("3 mm steel", False)]
)
def test_numbers_are_told_from_words(word: str, expected: bool) -> None:
    assert is_number(word) is expected
