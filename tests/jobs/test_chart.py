"""Charts of the shelf: the same values as elsewhere, and a sentence for each that is left out."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from panelwright.errors import InputError
from panelwright.jobs.chart import MOST_NAMED, NAMED, NONE, Wanted, chart, drawn, gathered
from panelwright.jobs.lineup import entrant, known_solid, line_up
from panelwright.jobs.measure import worked
from panelwright.jobs.pricing import newest_prices
from panelwright.jobs.shelf import Filter, Price, Shelf, open_shelf
from panelwright.panels.charted import Charted
from panelwright.panels.charts import FOUND, HALF_FOUND, PREDICTED, Chart, Compared, Point
from panelwright.panels.description import read
from panelwright.panels.lineup_records import LineUp
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.chart_words import sentences

from .panels import panel

BIAX = 'cloth = "E-glass biaxial 300 g/m2"'
#: Invented, all of them.
PRICES = (
    ("E-glass biaxial ±45 300 g/m²", "6.80", "m2"),
    ("PET foam 110 kg/m³", "12", "kg"),
    ("epoxy, laminating", "19.50", "kg"),
)


@pytest.fixture(scope="module")
def full(demonstration: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    """The demonstration, to be read."""
    folder = tmp_path_factory.mktemp("charts") / "shelf"
    shutil.copytree(demonstration, folder)
    made = open_shelf(folder)
    yield made
    made.close()


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Shelf]:
    """A shelf with nothing on it."""
    made = open_shelf(tmp_path / "shelf")
    yield made
    made.close()


def by_id(found: Chart) -> dict[str, Point]:
    return {one.of.id: one for one in found.points}


def said(found: Chart) -> str:
    return " ".join(sentences(found))


# --- The values are those of everywhere else -----------------------------------------------------


@pytest.fixture(scope="module")
def beside(full: Shelf) -> LineUp:
    """Panels of the shelf and two solids in a line-up."""
    words = ("P-0002", "P-0004", "P-0005", "P-0007")
    catalogue = full.catalogue()
    solids = [known_solid(one, catalogue) for one in ("3 mm steel", "9 mm birch plywood")]
    panels = [entrant(read(full.panel(one).text), catalogue) for one in words]
    return line_up([*panels, *(one for one in solids if one is not None)], catalogue)


@pytest.mark.parametrize(
    "key",
    [
        "thickness",
        "density",
        "stiffness_along",
        "stiffness_across",
        "moment_along_first",
        "moment_across_ultimate",
        "shear_along",
        "insulation",
        "resin_to_mix",
    ],
)
def test_middles_are_those_of_the_line_up(full: Shelf, beside: LineUp, key: str) -> None:
    names = ("P-0002", "P-0004", "P-0005", "P-0007", "3 mm steel", "9 mm birch plywood")
    found = chart(full, Wanted(up=key, log_up=False, of=NAMED, named=names))
    points = by_id(found)
    for name, mass, cell in zip(
        names, beside.row("areal_mass").cells, beside.row(key).cells, strict=True
    ):
        assert mass.value is not None
        assert (name in points) == (cell.value is not None)
        if cell.value is not None:
            assert points[name].across.value == pytest.approx(mass.value.value, rel=1e-9)
            assert points[name].up.value == pytest.approx(cell.value.value, rel=1e-9)


def test_ranges_are_those_of_the_stored_prediction(full: Shelf) -> None:
    points = by_id(chart(full, Wanted()))
    for number in ("P-0001", "P-0006"):
        made = full.panel(number).prediction
        assert made.section is not None
        across, up = points[number].across, points[number].up
        assert (across.low, across.high) == (made.areal_mass.low, made.areal_mass.high)
        stiff = made.section.stiffness_along
        assert (up.low, up.high) == (stiff.low, stiff.high)


def test_pieces_stand_where_their_findings_say(full: Shelf) -> None:
    points = by_id(chart(full, Wanted(up="thickness")))
    findings = worked(full, full.piece("S-0001")).findings
    mass, thick = findings.get("areal mass"), findings.get("thickness")
    assert mass is not None
    assert thick is not None
    piece = points["S-0001"]
    assert piece.standing == FOUND
    assert (piece.across.value, piece.across.low) == (mass.value, mass.low)
    assert (piece.up.value, piece.up.high) == (thick.value, thick.high)
    assert piece.up.evidence is Evidence.MEASURED
    assert points["P-0007"].standing == PREDICTED
    half = by_id(chart(full, Wanted()))["S-0001"]
    assert half.standing == HALF_FOUND
    assert half.up.value == by_id(chart(full, Wanted()))["P-0007"].up.value


def test_where_nothing_is_measured_pieces_are_told_not_shown(full: Shelf) -> None:
    found = chart(full, Wanted("moment_along_first", "stiffness_along"))
    assert {one.standing for one in found.points} == {PREDICTED}
    assert not [one for one in found.points if one.of.id.startswith("S-")]
    assert "pieces are not shown" in said(found).lower()


def test_solids_are_the_handbooks(full: Shelf) -> None:
    found = chart(full, Wanted(solids=("3 mm", "10 mm"), of=NONE))
    names = {one.of.title for one in found.points}
    assert {"3 mm steel", "10 mm aluminium", "3 mm acrylic sheet", "10 mm birch plywood"} <= names
    assert all(one.of.handbook_only for one in found.points)
    steel = by_id(found)["3 mm steel"]
    assert steel.across.value == pytest.approx(7850.0 * 3e-3)  # the handbook's density
    assert steel.up.value == pytest.approx(210e9 * 3e-3**3 / 12.0, rel=1e-9)  # EI of a sheet


def test_a_line_goes_through_whom_is_chosen(full: Shelf) -> None:
    best = chart(full, Wanted())
    chosen = chart(full, Wanted(through="P-0006"))
    assert best.through != chosen.through == full.panel("P-0006").title
    point = by_id(chosen)["P-0006"]
    (x, *_), (y, *_) = chosen.guides[0].across, chosen.guides[0].up
    assert y / x**3 == pytest.approx(point.up.value / point.across.value**3)


# --- Who is left out -----------------------------------------------------------------------------


def test_an_empty_shelf_and_one_panel(empty: Shelf) -> None:
    none = chart(empty, Wanted())
    assert (none.points, none.guides, none.left_out) == ((), (), ())
    number, _ = empty.save_panel(panel(BIAX, BIAX))
    one = chart(empty, Wanted())
    assert list(by_id(one)) == [number]
    assert one.guides
    assert one.across.low < one.points[0].across.low < one.points[0].across.high < one.across.high


def test_who_has_not_the_property_is_told_with_the_reason(full: Shelf) -> None:
    found = chart(full, Wanted(up="moment_along_first", solids=("10 mm",)))
    reasons = {one.why: one.titles for one in found.left_out}
    unknown = next(why for why in reasons if why.startswith("the strength of a layer"))
    assert full.panel("P-0006").title in reasons[unknown]
    assert "10 mm steel" in reasons["the handbook has no strength of it here"]
    everyone, _ = gathered(full, Wanted(up="moment_along_first", solids=("10 mm",)))
    left = sum(len(one.titles) for one in found.left_out)
    assert left + len(found.points) == len(everyone)
    assert f"{len(reasons[unknown])} left out, because {unknown}" in said(found)


def test_nought_on_a_logarithmic_axis(full: Shelf) -> None:
    log = chart(full, Wanted(up="resin_to_mix", solids=("10 mm",)))
    assert "10 mm steel" not in by_id(log)
    assert "take an even one" in said(log)
    even = chart(full, Wanted(up="resin_to_mix", log_up=False, solids=("10 mm",)))
    assert by_id(even)["10 mm steel"].up.value == 0.0


def test_a_stiffness_that_is_not_known(empty: Shelf) -> None:
    sheet = 'name = "mystery board"\nthickness = "5 mm"\n[layer.lamina]\ndensity = "700 kg/m3"'
    empty.save_panel(panel(BIAX, sheet, BIAX))
    found = chart(empty, Wanted())
    assert not found.points
    assert "the stiffness of a layer is not known" in said(found)
    assert chart(empty, Wanted(up="thickness")).points


def test_a_panel_that_was_kept_before_it_was_worked_out() -> None:
    one = Ranged(100.0, 90.0, 110.0, "N m", Evidence.GIVEN)
    old = Charted(values={"stiffness_along": one, "areal_mass": one})
    found = drawn([Compared("P-0001", "Old one", old)], Wanted(up="sheet_stiffness_along"))
    assert "kept before" in said(found)
    assert "keep it anew" in said(found)


# --- Money ---------------------------------------------------------------------------------------


def test_no_prices_and_a_price_that_is_missing(empty: Shelf) -> None:
    text = panel(
        BIAX, 'core = "PET foam 110 kg/m3"\nthickness = "15 mm"', BIAX, head='title = "Lid"'
    )
    empty.save_panel(text)
    assert "no prices at hand" in said(chart(empty, Wanted(up="cost"))).lower()
    empty.save_price(Price(PRICES[0][0], PRICES[0][1], "EUR", PRICES[0][2], "2026-01-15"))
    found = chart(empty, Wanted(up="cost"))
    assert not found.points
    assert "There is no price of PET foam 110 kg/m³; epoxy, laminating." in said(found)
    assert "1 left out, because its cost is not known" in said(found)


def test_a_cost_is_that_of_the_line_up(empty: Shelf) -> None:
    text = panel(BIAX, 'core = "PET foam 110 kg/m3"\nthickness = "15 mm"', BIAX)
    number, _ = empty.save_panel(text)
    for material, amount, per in PRICES:
        empty.save_price(Price(material, amount, "EUR", per, "2026-01-15"))
    found = chart(empty, Wanted(up="cost", log_up=False))
    catalogue = empty.catalogue()
    twice = [entrant(read(text), catalogue), entrant(read(text), catalogue)]
    told = (
        line_up(twice, catalogue, prices=newest_prices(empty.prices())).row("cost").cells[0].value
    )
    assert told is not None
    value = by_id(found)[number].up
    assert (value.value, value.low, value.high) == pytest.approx((told.value, told.low, told.high))
    assert found.currency == "EUR"


# --- What is refused -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "told"),
    [
        ({"up": "wobble"}, "nothing of this name to put up"),
        ({"across": "P-0001"}, "nothing of this name to put across"),
        ({"of": NAMED, "named": ("P-9999",)}, "P-9999"),
        ({"of": NAMED, "named": ("unobtainium",)}, "unobtainium"),
        ({"of": NAMED, "named": ("steel",)}, "ow thick the steel is has to be said"),
        ({"of": NAMED, "named": ("S-0002",)}, "nothing was measured of it yet"),
        (
            {"of": NAMED, "named": tuple(f"{n} mm steel" for n in range(1, MOST_NAMED + 3))},
            "Too many are named",
        ),
        ({"solids": ("thick",)}, "Allowed: a thickness"),
        ({"solids": ("3000 mm",)}, "solids: this is no thickness of a sheet"),
        ({"solids": tuple(f"{n} mm" for n in range(1, 9))}, "solids: too many thicknesses"),
        ({"part": (3.0, 3.0, 1.0, 2.0)}, "There is no such part of the chart"),
        ({"part": (-1.0, 3.0, 1.0, 2.0)}, "There is no such part of the chart"),
    ],
)
def test_what_is_refused_is_told_in_a_sentence(
    full: Shelf, wanted: dict[str, Any], told: str
) -> None:
    with pytest.raises(InputError) as refused:
        chart(full, Wanted(**wanted))
    assert told in " ".join(one.sentence() for one in refused.value.problems)


# --- Which of the shelf --------------------------------------------------------------------------


def test_a_part_is_looked_at_and_the_rest_counted(full: Shelf) -> None:
    whole = chart(full, Wanted())
    part = chart(full, Wanted(part=(4.0, 7.0, 300.0, 2000.0)))
    assert (part.across.low, part.across.high, part.up.high) == (4.0, 7.0, 2000.0)
    assert 0 < part.hidden < len(whole.points)
    assert f"{part.hidden} points lie outside" in said(part)
    assert all(4.0 <= x <= 7.0 * (1 + 1e-9) for line in part.guides for x in line.across)


def test_only_what_is_looked_for(full: Shelf) -> None:
    found = chart(full, Wanted(wanted=Filter(text="tender")))
    assert set(by_id(found)) == {"P-0007", "S-0001"}
    both = chart(full, Wanted(of=NAMED, named=("P-0001", "S-0001", "3 mm steel")))
    assert {"P-0001", "S-0001", "3 mm steel"} <= set(by_id(both))


def test_more_than_a_chart_takes(full: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("panelwright.jobs.chart.MOST", 3)
    found = chart(full, Wanted())
    assert len([one for one in found.points if one.of.id.startswith("P-")]) == 3
    assert "The first 3 of 7 panels are shown" in said(found)


def test_a_card_of_before_there_were_charts(demonstration: Path, tmp_path: Path) -> None:
    import json

    from panelwright.shelf.tables import CardRow
    from panelwright.shelf.texts import pack, unpack

    shutil.copytree(demonstration, tmp_path / "shelf")
    made = open_shelf(tmp_path / "shelf")
    before = chart(made, Wanted())
    with made._database.writing() as session:
        for row in session.query(CardRow):
            card = json.loads(unpack(row.data))
            del card["charted"]
            row.data = pack(json.dumps(card))
    made.close()
    made = open_shelf(tmp_path / "shelf")
    assert made.find(Filter()).total == 7
    again = chart(made, Wanted())
    assert by_id(again).keys() == by_id(before).keys()
    assert by_id(again)["P-0001"].up == by_id(before)["P-0001"].up
    made.close()
