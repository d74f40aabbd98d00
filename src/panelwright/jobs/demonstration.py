"""A shelf to look around in: the examples as panels, with pieces. All of it is invented."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import panelwright
from panelwright.errors import Problem, ShelfError
from panelwright.jobs.demonstration_edge import SawnEdge
from panelwright.jobs.edge import boundaries_of, name_of
from panelwright.jobs.floor import begin
from panelwright.jobs.shelf import Gauged, Price, Record, Shelf

INVENTED = "invented"
REMARK = "Invented, to look around in."


@dataclass(frozen=True)
class _Piece:
    """An invented piece of an example, and how many of it were cut from it."""

    panel: str
    title: str
    place: str
    left: str
    record: Record
    cut: tuple[tuple[str, str], ...] = ()  # title, where


def _record(
    date: str, gross: float, tare: float, length: float, width: float, *gauged: float
) -> Record:
    points = ("corner by the mark", "middle", "far corner", "long side", "short side")
    return Record(
        date=date,
        gross=gross,
        tare=tare,
        length=length,
        width=width,
        gauged=tuple(Gauged(at, mm / 1e3) for at, mm in zip(points, gauged, strict=False)),
        remark=REMARK,
    )


#: kg, m; thickness in mm.
PIECES = (
    _Piece(
        "tender-topside",
        "Try-out, three strips wide",
        "rack 2, upper shelf",
        "two thirds, the end with the mark",
        _record("2026-03-14", 0.5976, 0.018, 0.60, 0.20, 9.1, 8.8, 9.0, 8.9, 9.2),
        (
            ("Bending strip along", "60 mm from the end without the mark, long way along"),
            ("Bending strip across", "next to it, long way across"),
            ("Burn-off coupon", "25 mm square, from the corner by the mark"),
        ),
    ),
    _Piece(
        "bench-top",
        "Offcut of the finished top",
        "under the bench",
        "all of it",
        _record("2026-04-02", 1.012, 0.0, 0.42, 0.30, 28.4, 28.1, 28.6),
    ),
    _Piece(
        "camper-roof",
        "Witness panel, bagged with the roof",
        "rack 1",
        "half, with the serial side",
        _record("2026-05-21", 0.7944, 0.0, 0.40, 0.30, 31.9, 31.7, 32.1, 31.8),
        (("Peel test strip", "along the edge that lay by the pump"),),
    ),
)

PRICES = (
    Price("epoxy, laminating", "19.50", "EUR", "kg", "2026-01-15", REMARK),
    Price("E-glass biaxial ±45 300 g/m²", "6.80", "EUR", "m2", "2026-01-15", REMARK),
    Price("western redcedar strips", "2400", "EUR", "m3", "2026-02-03", REMARK),
    Price("end-grain balsa, 150 kg/m3", "31.00", "EUR", "m2", "2026-02-03", REMARK),
)

#: The example whose piece was sawn through, and its thickness over the predicted one.
SAWN, MADE = "bench-top", 1.03

#: What a camper roof is being built by, to look at the clock of its pots.
BUILD = """\
# Invented, to look around in.
format = 1
title = "Camper roof"

[mix]
ratio = "100:32 by mass"
pot_life = "50 min"
pot_life_at = "20 degC"
pot_cap = "800 g"

[shop]
hands = 3
rate = "4.5 m2/h"
temperature = "19 degC"
"""


def example_files() -> dict[str, Path]:
    """The example panel files by name: in the package once installed, else in the project."""
    package = Path(panelwright.__file__).parent
    for folder in (package / "examples", package.parents[1] / "examples"):
        found = {path.stem: path for path in sorted(folder.glob("*.toml"))}
        if found:
            return found
    raise ShelfError(Problem("the example panels are missing from this installation"))


def _saw(shelf: Shelf, number: str) -> None:
    """A photo of a piece's sawn edge, drawn, and marked."""
    prediction = shelf.panel(shelf.piece(number).panel).prediction
    layers = tuple((one.kind, MADE * 1e3 * one.thickness.value) for one in prediction.layers)
    edge = SawnEdge(layers)
    photo = shelf.add_photo(edge.photo(), "sawn-edge.png", number, "Sawn edge: drawn, invented")
    boundaries = [one.number for one in boundaries_of(prediction)]
    marks = tuple(edge.marks(name_of(photo), boundaries))
    shelf.save_piece(number=number, record=Record("2026-04-03", remark=REMARK, readings=marks))


def fill_with_demonstration(shelf: Shelf) -> int:
    """Put the examples, pieces of some and prices on a shelf; the number of panels.

    Everything bears the tag or the remark that it is invented.
    """
    numbers = {}
    for name, path in example_files().items():
        text = path.read_text("utf-8")
        numbers[name], _ = shelf.save_panel(text, remark=REMARK, tags=(INVENTED,), file=path.name)
    for one in PIECES:
        first = shelf.save_piece(
            numbers[one.panel],
            title=one.title,
            place=one.place,
            left=one.left,
            remark=REMARK,
            record=one.record,
        )
        for title, where in one.cut:
            shelf.save_piece(cut_from=first, cut_at=where, title=title, remark=REMARK)
        if one.panel == SAWN:
            _saw(shelf, first)
    begin(shelf, numbers["camper-roof"], BUILD)
    for price in PRICES:
        shelf.save_price(price)
    return len(numbers)
