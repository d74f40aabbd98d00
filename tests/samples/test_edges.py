"""Thickness from marks on a photo: geometry against a linear-algebra library, budgets against the
GUM's rule for products, ranges against edges that were drawn with known layers."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import edge as formulas
from panelwright.panels.description import read
from panelwright.panels.resolve import resolve
from panelwright.panels.stack import StackLayer
from panelwright.provenance import SIGMAS_OF_90
from panelwright.samples.edge import photos_of
from panelwright.samples.findings import edges_of, reduce
from panelwright.samples.known import Book
from panelwright.samples.readings import Reading, read_readings, standing

from .edges import Drawn
from .panels import CORED, SOLID

#: mm: two plies, core, two plies, as they are drawn.
EDGE = Drawn((0.80, 15.0, 0.72))
BOUNDARIES = (0, 2, 3, 5)


def _layers(text: str = CORED) -> list[StackLayer]:
    return list(resolve(read(text, "invented"), Catalogue.shipped()).layers)


def _mark(what: str, at: str, x: float, y: float, reason: str = "") -> tuple[Reading, ...]:
    return read_readings(what, f"{x!r} {y!r}", at, reason=reason)


def marks_on(
    edge: Drawn,
    along: tuple[float, ...] = (-10.0, 0.0, 10.0),
    off: Callable[[], float] = lambda: 0.0,
    length: str = "20 mm by 0.5 mm",
) -> list[Reading]:
    """The marks of somebody who sets each ``off()`` px from where it belongs."""
    found = list(read_readings("scale length", length))
    for end, (x, y) in enumerate(edge.scale, start=1):
        found += _mark("scale mark", f"{end}", x + off(), y + off())
    for place, at in enumerate(along, start=1):
        for boundary, deep in zip(BOUNDARIES, edge.depths, strict=True):
            x, y = edge.at(at, deep)
            found += _mark("edge mark", f"{place}/{boundary}", x + off(), y + off())
    return found


@pytest.mark.parametrize("seed", range(5))
def test_the_direction_of_layers_is_the_first_principal_axis(seed: int) -> None:
    """Total least squares by the singular value decomposition of numpy.linalg."""
    rng = np.random.default_rng(seed)
    turn = rng.uniform(-math.pi / 2.0, math.pi / 2.0)
    along = rng.normal(0.0, 300.0, 8)
    points = np.outer(along, [math.cos(turn), math.sin(turn)]) + rng.normal(0.0, 3.0, (8, 2))
    points -= points.mean(axis=0)
    axis = np.linalg.svd(points)[2][0]
    found = float(formulas.direction_of_layers(points[:, 0], points[:, 1]))
    assert abs(math.cos(found) * axis[1] - math.sin(found) * axis[0]) < 1e-12


@pytest.mark.parametrize("turn", [0.0, 3.0, -20.0, 90.0, 178.0])
def test_exact_marks_give_the_thickness_that_was_drawn(turn: float) -> None:
    """However the camera was held: the layers of the drawing are what comes out."""
    edge = Drawn(EDGE.layers, turn=turn)
    (found,) = edges_of(marks_on(edge), Book(_layers()))
    for row, drawn in zip(found.layers, EDGE.layers, strict=True):
        assert 1e3 * row.found.value == pytest.approx(drawn, rel=1e-9)
    assert found.whole is not None
    assert 1e3 * found.whole.found.value == pytest.approx(16.52, rel=1e-9)
    assert [(row.first, row.last) for row in found.layers] == [(1, 2), (3, 3), (4, 5)]


def test_one_place_is_measured_along_its_own_line_and_says_so() -> None:
    (found,) = edges_of(marks_on(EDGE, along=(0.0,)), Book(_layers()))
    assert found.whole is not None
    assert 1e3 * found.whole.found.value == pytest.approx(16.52, rel=1e-9)
    assert "one place" in found.whole.found.note


def test_the_budget_is_that_of_a_product() -> None:
    """JCGM 100, equation 12: of t = L d/D relative uncertainties add in quadrature.

    By hand: 60 px/mm, marks set with a pointer of 1 px and 1.5 px beside it.
    """
    placing = math.hypot(1.0 / math.sqrt(12.0), 1.5)
    (found,) = edges_of(marks_on(EDGE), Book(_layers()))
    length = math.hypot(0.5 / math.sqrt(12.0), 0.1) / 20.0
    scale = math.sqrt(2.0) * placing / (20.0 * 60.0)
    for row, drawn in zip(found.layers, EDGE.layers, strict=True):
        marks = math.sqrt(2.0 / 3.0) * placing / (60.0 * drawn)
        expected = 1e-3 * drawn * math.sqrt(length**2 + scale**2 + marks**2)
        assert row.found.u == pytest.approx(expected, rel=1e-4)
        assert row.found.u_drawn == pytest.approx(expected, rel=0.05)
    thick, whole = found.layers[0].found, found.whole
    assert thick.contributions[0].name == "marks on the boundaries"
    assert whole is not None
    assert whole.found.contributions[0].name == "scale length"


def test_ranges_hold_the_truth_as_often_as_they_say() -> None:
    """400 people mark one edge, each with a rule and a hand of their own: 9 in 10 ranges hold."""
    rng = np.random.default_rng(3)
    held = dict.fromkeys(("layer", "whole"), 0)
    book = Book(_layers())
    for _ in range(400):
        true = 20.0 + rng.normal(0.0, 0.1) + rng.uniform(-0.25, 0.25)
        edge = Drawn(EDGE.layers, px=60.0, turn=rng.uniform(-10.0, 10.0), rule=true)
        (found,) = edges_of(marks_on(edge, off=lambda: rng.normal(0.0, 1.5)), book)
        assert found.whole is not None
        for name, row, drawn in (
            ("layer", found.layers[0], 0.80),
            ("whole", found.whole, 16.52),
        ):
            gap = 1e3 * row.found.value - drawn
            held[name] += abs(gap) <= 1e3 * SIGMAS_OF_90 * row.found.u
    assert 340 <= held["layer"] <= 390
    assert 340 <= held["whole"] <= 390


def test_places_that_scatter_make_it_less_sure() -> None:
    even = edges_of(marks_on(EDGE), Book(_layers()))[0].layers[0].found
    marks = marks_on(EDGE)
    x, y = EDGE.at(0.0, EDGE.depths[1] + 0.4)
    moved = standing([*marks, *_mark("edge mark", "2/2", x, y, "a fold in the cloth")])
    uneven = edges_of(moved, Book(_layers()))[0].layers[0].found
    assert uneven.u > 3.0 * even.u
    assert 1e3 * uneven.value == pytest.approx(0.80 + 0.4 / 3.0, rel=1e-9)


def test_a_boundary_that_is_not_seen_puts_two_layers_together() -> None:
    marks = [one for one in marks_on(EDGE) if not one.at.endswith("/3")]
    (found,) = edges_of(marks, Book(_layers()))
    assert [(row.first, row.last) for row in found.layers] == [(1, 2), (3, 5)]
    away = [one for place in "123" for one in _mark("edge mark", f"{place}/3", 0, 0, "not seen")]
    (same,) = edges_of(standing([*marks_on(EDGE), *away]), Book(_layers()))
    assert [row.found.value for row in same.layers] == [row.found.value for row in found.layers]


def test_what_is_still_needed_is_told() -> None:
    book = Book(_layers())
    (bare,) = edges_of(_mark("edge mark", "1/0", 5, 5), book)
    assert (bare.layers, bare.photo.missing) == ((), "the length between the scale marks")
    length = read_readings("scale length", "20 mm")
    (scaled,) = edges_of([*length, *_mark("scale mark", "1", 5, 5)], book)
    assert scaled.photo.missing == "two scale marks"
    missing = reduce([*length, *_mark("scale mark", "1", 5, 5)], book).missing
    assert any("two scale marks" in said for said in missing)


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (_mark("edge mark", "1/9", 9, 9), r"no such boundary.*0 \(outside face\) to 5"),
        (_mark("edge mark", "1/x", 9, 9), "no such boundary"),
        (_mark("edge mark", "1/2", 400, 1500), "boundary 3 lies above boundary 2"),
        (_mark("scale mark", "1", *EDGE.scale[1]), "lie on one point"),
    ],
)
def test_marks_that_cannot_be_are_refused(more: tuple[Reading, ...], says: str) -> None:
    with pytest.raises(InputError, match=says):
        edges_of([*marks_on(EDGE), *more], Book(_layers()))


@pytest.mark.parametrize("text", ["12", "12 thirteen", "1 2 3", "-4 7", "", "1 1e12", "1e6 1"])
def test_a_mark_is_two_numbers(text: str) -> None:
    with pytest.raises(InputError):
        read_readings("edge mark", text, "1/0")


def test_photos_are_told_apart_by_their_name() -> None:
    marks = marks_on(EDGE)
    twice = [Reading(o.what, o.value, f"a/{o.at}".rstrip("/"), o.division) for o in marks]
    names = [one.name for one in photos_of([*marks, *twice], 5)]
    assert names == ["", "a"]


def test_the_photo_stands_in_for_the_caliper_and_closes_with_it() -> None:
    book = Book(_layers())
    alone = reduce(marks_on(EDGE), book).get("thickness")
    assert alone is not None
    assert alone.note == "by the photo of the cut edge"
    assert 1e3 * alone.value == pytest.approx(16.52)
    gauged = [*marks_on(EDGE), Reading("thickness", 0.01652, "A1", 1e-5)]
    closes = [c.closes for c in reduce(gauged, book).closures if "photo" in c.says]
    assert closes == [True]
    wrong = [*marks_on(EDGE), Reading("thickness", 0.0177, "A1", 1e-5)]
    assert [c.closes for c in reduce(wrong, book).closures if "photo" in c.says] == [False]


def test_faces_on_a_photo_tell_resin_in_them_from_soak() -> None:
    """The whole of a thick panel hides what thin faces hold: a photo shows them by themselves."""
    book = Book(_layers())
    whole = [Reading("thickness", 0.01652, "A1", 1e-5)]
    by_caliper, by_photo = (
        reduce(readings, book).get("resin in the faces") for readings in (whole, marks_on(EDGE))
    )
    assert by_caliper is not None
    assert by_photo is not None
    assert by_photo.u < 0.5 * by_caliper.u
    cloth, fibre, cured = book.cloth.value, book.fibre_density.value, book.resin_density.value
    bare = 1.52e-3 * (1.0 - book.voids.value) - cloth / fibre
    assert by_photo.value == pytest.approx(cured * bare, rel=1e-9)
    gauged = [Reading("outside face", 0.80e-3, "", 1e-5), Reading("inside face", 0.72e-3, "", 1e-5)]
    at_the_edge = reduce(gauged, book).get("resin in the faces")
    assert at_the_edge is not None
    assert at_the_edge.value == pytest.approx(cured * bare, rel=1e-9)


def test_a_solid_laminate_thinner_than_its_fibre_is_refused() -> None:
    with pytest.raises(InputError, match="thinner than its fibre alone"):
        reduce([Reading("thickness", 0.30e-3, "A1", 1e-5)], Book(_layers(SOLID)))
