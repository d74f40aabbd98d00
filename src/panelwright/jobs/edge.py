"""Thickness from a photo of a cut edge: what can be marked on it, and what marks come to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from panelwright.errors import InputError, Problem
from panelwright.jobs.measure import of_the_family, resolved_as_kept
from panelwright.jobs.shelf import PanelOnShelf, Photo, Piece, Shelf
from panelwright.panels.records import Prediction
from panelwright.samples.findings import edges_of
from panelwright.samples.found import Edge
from panelwright.samples.known import Book
from panelwright.samples.readings import KINDS, ON_A_PHOTO, Reading, standing

#: Places that a page has fields for; more come from a table.
PLACES = 5


@dataclass(frozen=True)
class Boundary:
    """A boundary to mark: its number, what lies about it, how deep it was predicted (0 to 1)."""

    number: int
    words: str
    depth: float


@dataclass(frozen=True)
class Marked:
    """A photo of a piece with the readings that stand on it, and what they come to."""

    piece: Piece
    panel: PanelOnShelf
    photo: Photo
    boundaries: tuple[Boundary, ...]
    readings: tuple[Reading, ...]
    edge: Edge | None


def name_of(photo: Photo) -> str:
    """How the readings of a photo are told from those of another."""
    return photo.sha256[:8]


def boundaries_of(prediction: Prediction, also: Sequence[int] = ()) -> tuple[Boundary, ...]:
    """The boundaries of a panel's layers; plies that are described once are not told apart.

    also : further boundaries by their number, where some are marked already.
    """
    layers = prediction.layers
    shown = {0, len(layers), *also}
    shown |= {
        number
        for number, (one, other) in enumerate(pairwise(layers), start=1)
        if (one.described, one.name) != (other.described, other.name)
    }
    whole = sum(layer.thickness.value for layer in layers) or 1.0
    return tuple(
        Boundary(
            number,
            _words(prediction, number),
            sum(layer.thickness.value for layer in layers[:number]) / whole,
        )
        for number in sorted(shown)
    )


def _words(prediction: Prediction, number: int) -> str:
    if number == 0:
        return "outside face"
    if number == len(prediction.layers):
        return "inside face"
    return f"beneath layer {number}, {prediction.layers[number - 1].name}"


def edge_photo(shelf: Shelf, number: str, sha256: str) -> Marked:
    """A photo of a piece as it stands marked. Raises :class:`InputError` where there is none."""
    piece = shelf.piece(number)
    photo = next((one for one in piece.photos if one.sha256 == sha256), None)
    if photo is None:
        what = "there is no such photo of this piece"
        raise InputError(Problem(what, sha256[:8], hint=f"the photos of {piece.number}"))
    panel = shelf.panel(piece.panel, piece.revision)
    name = name_of(photo)
    stands = tuple(
        one
        for one in standing(of_the_family(shelf, piece))
        if KINDS[one.what].when == ON_A_PHOTO and one.at.partition("/")[0] == name
    )
    edge = edge_of(shelf, panel, stands)
    marked = () if edge is None else edge.photo.boundaries
    boundaries = boundaries_of(panel.prediction, marked)
    return Marked(piece, panel, photo, boundaries, stands, edge)


def edge_of(shelf: Shelf, panel: PanelOnShelf, readings: Sequence[Reading]) -> Edge | None:
    """What readings on one photo come to; None where there are none. Raises InputError."""
    if not readings:
        return None
    resolved = resolved_as_kept(panel, shelf)
    found = edges_of(readings, Book(resolved.layers))
    return found[0] if found else None
