"""The sheet of a piece: what stands on it is what the bench says of it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from panelwright import units
from panelwright.jobs.edge import edge_photo
from panelwright.jobs.reconcile import Reconciliation, reconcile_piece
from panelwright.jobs.shelf import Photo as Kept
from panelwright.jobs.shelf import Piece, Shelf
from panelwright.reports.layout import first_system
from panelwright.reports.paper.pages import Paper
from panelwright.reports.paper.piece_sheet import Photo, PieceSheet, piece_sheet
from panelwright.samples.readings import AFTER, BEFORE, KINDS

#: Most px of a photo on paper: 66 mm at more dots than a printer shows.
MOST_PX = 1400


def sheet_of(
    shelf: Shelf, number: str, paper: Paper = Paper.A4, system: str = "si", holds: str = ""
) -> bytes:
    """A piece on one sheet as PDF. holds : what its code says; its number where it is empty.

    Raises :class:`InputError` where there is no such piece, NoPrinter where PDF cannot be made.
    """
    one = first_system(system)
    done = reconcile_piece(shelf, number)
    piece = done.work.piece
    said = [record for record in piece.records if record.again or record.improve]
    last = said[-1] if said else None
    return piece_sheet(
        PieceSheet(
            number=piece.number,
            title=piece.title or done.title,
            panel=f"{piece.panel}, {done.title}",
            revision=piece.revision,
            drawn=date.today(),
            holds=holds or piece.number,
            prediction=done.work.panel.prediction,
            says=done.sentence(one),
            findings=done.work.findings,
            compared=() if done.reconciled is None else done.reconciled.compared,
            duties=tuple((change.before, change.after) for change in done.duties),
            facts=tuple(_facts(piece, done, one)),
            again=last.again if last else "",
            improve=last.improve if last else "",
            photo=_photo(shelf, piece),
        ),
        paper,
        one,
    )


def _photo(shelf: Shelf, piece: Piece) -> Photo | None:
    """The photo whose edge is marked, else the newest; None where there is none."""
    marked = {kept.sha256: edge_photo(shelf, piece.number, kept.sha256) for kept in piece.photos}

    def is_marked(kept: Kept) -> bool:
        edge = marked[kept.sha256].edge
        return edge is not None and bool(edge.layers)

    chosen = next((kept for kept in piece.photos if is_marked(kept)), None)
    chosen = chosen or next(iter(piece.photos), None)
    if chosen is None:
        return None
    return Photo(
        shelf.photo(chosen.sha256, MOST_PX),
        chosen.width,
        chosen.height,
        chosen.caption or chosen.name,
        marked[chosen.sha256].edge,
    )


def _facts(piece: Piece, done: Reconciliation, system: str) -> Iterator[tuple[str, str]]:
    """Who, when, where and how, and what was read beside mass and thickness."""
    days = sorted({record.date or record.made[:10] for record in piece.records})
    people = dict.fromkeys(record.who for record in piece.records if record.who)
    yield from (
        (name, value)
        for name, value in (
            ("Measured", ", ".join(days)),
            ("By", ", ".join(people)),
            ("Cut from", " ".join(part for part in (piece.cut_from, piece.cut_at) if part)),
            ("Lies", piece.place),
            ("Left untested", piece.left),
        )
        if value
    )
    for kind in KINDS.values():
        of = [one for one in done.work.readings if one.what == kind.name]
        if of and kind.when in {BEFORE, AFTER} and kind.name != "thickness":
            shown = units.show(of[-1].value, kind.dimension, system)
            more = f" and {len(of) - 1} more" if len(of) > 1 else ""
            yield kind.name.capitalize(), f"{shown}{more}"
    remarks = [record.remark for record in piece.records if record.remark]
    if remarks:
        yield "Remark", remarks[-1]
