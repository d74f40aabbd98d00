"""Pieces in the database: their family, where they lie, what was read off them, photos."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem
from panelwright.samples.readings import MOST, Reading, check_reading
from panelwright.shelf.photos import Picture
from panelwright.shelf.records import (
    AGAIN,
    MEASURED,
    Found,
    Gauged,
    Photo,
    Piece,
    Record,
    panel_number,
    piece_number,
)
from panelwright.shelf.rows import next_id, panel_row, piece_row
from panelwright.shelf.tables import (
    GaugedRow,
    PanelRow,
    PhotoRow,
    PieceRow,
    ReadingRow,
    RecordRow,
)
from panelwright.shelf.texts import MOST_LINE, checked, now

MOST_GAUGED = 500


@dataclass(frozen=True)
class Said:
    """What is written of a piece; None leaves what was written before."""

    title: str | None = None
    place: str | None = None
    left: str | None = None
    remark: str | None = None

    def check(self) -> Said:
        """Itself, if all of it can be kept."""
        for key in ("title", "place", "left"):
            checked(getattr(self, key) or "", key, MOST_LINE, lines=False)
        checked(self.remark or "", "remark")
        return self


def add_piece(session: Session, panel: PanelRow, said: Said) -> PieceRow:
    """A new piece of a panel as it is now, not cut from another."""
    said.check()
    row = PieceRow(
        id=next_id(session, PieceRow.id),
        panel_id=panel.id,
        revision=panel.revision,
        title=said.title or "",
        cut_from=None,
        cut_at="",
        place=said.place or "",
        remains=said.left or "",
        remark=said.remark or "",
        made=now(),
    )
    session.add(row)
    session.flush()
    return row


def cut_piece(session: Session, parent: PieceRow, cut_at: str, said: Said) -> PieceRow:
    """A new piece cut from another, of the same panel and revision."""
    checked(cut_at, "cut at", MOST_LINE, lines=False)
    panel = panel_row(session, panel_number(parent.panel_id))
    row = add_piece(session, panel, said)
    row.cut_from, row.cut_at, row.revision = parent.id, cut_at, parent.revision
    session.flush()
    return row


def write_on(row: PieceRow, said: Said) -> None:
    """Write something else of a piece."""
    said.check()
    row.title = row.title if said.title is None else said.title
    row.place = row.place if said.place is None else said.place
    row.remains = row.remains if said.left is None else said.left
    row.remark = row.remark if said.remark is None else said.remark


# Records ----------------------------------------------------------------------------------------


def add_record(session: Session, piece: PieceRow, record: Record) -> None:
    """What was read off a piece, beside what was read before. Raises :class:`InputError`."""
    _check_record(record)
    row = RecordRow(
        id=next_id(session, RecordRow.id),
        piece_id=piece.id,
        date=record.date,
        gross=record.gross,
        tare=record.tare,
        length=record.length,
        width=record.width,
        remark=record.remark,
        made=record.made or now(),
        areal_mass=record.areal_mass,
        thickness=record.thickness,
        who=record.who,
        again=record.again,
        improve=record.improve,
    )
    session.add(row)
    session.flush()
    session.add_all(
        GaugedRow(record_id=row.id, number=number, point=one.at, thickness=one.thickness)
        for number, one in enumerate(record.gauged, start=1)
    )
    session.add_all(
        ReadingRow(
            record_id=row.id,
            number=number,
            what=one.what,
            point=one.at,
            value=one.value,
            division=one.division,
            reason=one.reason,
        )
        for number, one in enumerate(record.readings, start=1)
    )
    panel = session.get_one(PanelRow, piece.panel_id)
    if record.areal_mass is not None or record.thickness is not None:
        panel.standing = MEASURED
    session.flush()


def _check_record(record: Record) -> None:
    if len(record.readings) > MOST:
        given = str(len(record.readings))
        raise InputError(Problem("too many readings for one record", given, f"up to {MOST}"))
    for reading in record.readings:
        checked(reading.what, "reading", MOST_LINE, lines=False)
        checked(reading.at, "point", MOST_LINE, lines=False)
        checked(reading.reason, "reason", MOST_LINE, lines=False)
        check_reading(reading)
    checked(record.date, "date", 40, lines=False)
    checked(record.remark, "remark")
    checked(record.who, "who", MOST_LINE, lines=False)
    checked(record.improve, "improve")
    if record.again not in AGAIN:
        allowed = ", ".join(AGAIN[1:])
        raise InputError(Problem("this is no verdict", record.again[:40], allowed, key="again"))
    if len(record.gauged) > MOST_GAUGED:
        given = str(len(record.gauged))
        raise InputError(Problem("too many points for one record", given, f"up to {MOST_GAUGED}"))
    for one in record.gauged:
        checked(one.at, "point", MOST_LINE, lines=False)
    values = [("length", record.length), ("width", record.width), ("weight", record.gross)]
    values += [(f"thickness at {one.at}", one.thickness) for one in record.gauged]
    for key, value in values:
        if value is not None and not (math.isfinite(value) and value > 0.0):
            raise InputError(Problem("this must be more than nothing", f"{value:g}", key=key))
    if not (math.isfinite(record.tare) and record.tare >= 0.0):
        raise InputError(Problem("a tare is nothing or more", f"{record.tare:g}", key="tare"))
    if record.gross is not None and record.gross <= record.tare:
        what = "it weighs no more than what it was weighed in"
        given = f"{record.gross:g} kg, tare {record.tare:g} kg"
        raise InputError(Problem(what, given, hint="the weight with the tare in it"))


# Photos -----------------------------------------------------------------------------------------


def add_photo(
    session: Session, panel: int, piece: int | None, picture: Picture, name: str, caption: str
) -> PhotoRow:
    """Have a picture that lies in the folder belong to a panel or to one of its pieces."""
    row = PhotoRow(
        id=next_id(session, PhotoRow.id),
        panel_id=panel,
        piece_id=piece,
        sha256=picture.sha256,
        name=checked(name, "name", MOST_LINE, lines=False),
        caption=checked(caption, "caption", MOST_LINE, lines=False),
        width=picture.width,
        height=picture.height,
        added=now(),
    )
    session.add(row)
    session.flush()
    return row


def photo_of(row: PhotoRow) -> Photo:
    """The record of a photo."""
    of = panel_number(row.panel_id) if row.piece_id is None else piece_number(row.piece_id)
    return Photo(row.sha256, of, row.name, row.caption, row.width, row.height, row.added)


def photos_of_panel(session: Session, panel: int) -> tuple[Photo, ...]:
    """The photos of a panel itself, the newest first."""
    rows = session.scalars(
        select(PhotoRow)
        .where(PhotoRow.panel_id == panel, PhotoRow.piece_id.is_(None))
        .order_by(PhotoRow.id.desc())
    )
    return tuple(photo_of(row) for row in rows)


# Reading ----------------------------------------------------------------------------------------


def pieces_of_panel(session: Session, panel: int) -> tuple[Piece, ...]:
    """The families of a panel's pieces, each from its first."""
    rows = session.scalars(
        select(PieceRow).where(PieceRow.panel_id == panel).order_by(PieceRow.id)
    ).all()
    return _families(session, rows, {None})


def read_piece(session: Session, number: str) -> Piece:
    """A piece with all that was cut from it."""
    row = piece_row(session, number)
    rows = session.scalars(
        select(PieceRow).where(PieceRow.panel_id == row.panel_id).order_by(PieceRow.id)
    ).all()
    family = _families(session, rows, {row.cut_from})
    return next(piece for piece in family if piece.number == piece_number(row.id))


def _families(
    session: Session, rows: Sequence[PieceRow], under: set[int | None]
) -> tuple[Piece, ...]:
    ids = [row.id for row in rows]
    records, photos = _records(session, ids), _photos(session, ids)
    below: dict[int | None, list[PieceRow]] = defaultdict(list)
    for row in rows:
        below[row.cut_from].append(row)

    def family(row: PieceRow) -> Piece:
        return Piece(
            number=piece_number(row.id),
            panel=panel_number(row.panel_id),
            revision=row.revision,
            title=row.title,
            cut_from="" if row.cut_from is None else piece_number(row.cut_from),
            cut_at=row.cut_at,
            place=row.place,
            left=row.remains,
            remark=row.remark,
            made=row.made,
            records=tuple(records[row.id]),
            photos=tuple(photos[row.id]),
            cut=tuple(family(child) for child in below[row.id]),
        )

    return tuple(family(row) for parent in under for row in below[parent])


def _records(session: Session, pieces: list[int]) -> dict[int, list[Record]]:
    query = select(RecordRow).where(RecordRow.piece_id.in_(pieces)).order_by(RecordRow.id)
    rows = session.scalars(query).all()
    points = _gauged(session, [row.id for row in rows])
    read = _read(session, [row.id for row in rows])
    found: dict[int, list[Record]] = defaultdict(list)
    for row in rows:
        found[row.piece_id].append(record_of(row, points[row.id], read[row.id]))
    return found


def record_of(row: RecordRow, gauged: Iterable[Gauged], read: Iterable[Reading]) -> Record:
    """The record of a row, its points and its readings."""
    return Record(
        date=row.date,
        gross=row.gross,
        tare=row.tare,
        length=row.length,
        width=row.width,
        gauged=tuple(gauged),
        remark=row.remark,
        made=row.made,
        areal_mass=row.areal_mass,
        thickness=row.thickness,
        readings=tuple(read),
        who=row.who,
        again=row.again,
        improve=row.improve,
    )


def _read(session: Session, records: list[int]) -> dict[int, list[Reading]]:
    query = select(ReadingRow).where(ReadingRow.record_id.in_(records)).order_by(ReadingRow.number)
    found: dict[int, list[Reading]] = defaultdict(list)
    for row in session.scalars(query):
        reading = Reading(row.what, row.value, row.point, row.division, row.reason)
        found[row.record_id].append(reading)
    return found


def _gauged(session: Session, records: list[int]) -> dict[int, list[Gauged]]:
    query = select(GaugedRow).where(GaugedRow.record_id.in_(records)).order_by(GaugedRow.number)
    found: dict[int, list[Gauged]] = defaultdict(list)
    for row in session.scalars(query):
        found[row.record_id].append(Gauged(row.point, row.thickness))
    return found


def _photos(session: Session, pieces: list[int]) -> dict[int, list[Photo]]:
    query = select(PhotoRow).where(PhotoRow.piece_id.in_(pieces)).order_by(PhotoRow.id.desc())
    found: dict[int, list[Photo]] = defaultdict(list)
    for row in session.scalars(query):
        assert row.piece_id is not None
        found[row.piece_id].append(photo_of(row))
    return found


def words_of_pieces(session: Session, panel: int) -> list[str]:
    """All that is written of a panel's pieces."""
    columns = (PieceRow.title, PieceRow.cut_at, PieceRow.place, PieceRow.remains, PieceRow.remark)
    pieces = session.execute(select(PieceRow.id, *columns).where(PieceRow.panel_id == panel)).all()
    columns_of = (RecordRow.remark, RecordRow.who, RecordRow.improve)
    records = session.execute(
        select(*columns_of).join(PieceRow).where(PieceRow.panel_id == panel)
    ).all()
    remarks = [word for row in records for word in row]
    captions = session.scalars(select(PhotoRow.caption).where(PhotoRow.panel_id == panel))
    said = [word for number, *words in pieces for word in (piece_number(number), *words)]
    return [*said, *remarks, *captions]


# For cards --------------------------------------------------------------------------------------


def pieces_by_panel(session: Session, panels: list[int]) -> dict[int, int]:
    """How many pieces each panel has; panels without are left out."""
    query = (
        select(PieceRow.panel_id, func.count())
        .where(PieceRow.panel_id.in_(panels))
        .group_by(PieceRow.panel_id)
    )
    return dict(session.execute(query).all())


def newest_photo_by_panel(session: Session, panels: list[int]) -> dict[int, str]:
    """The hash of the newest photo of each panel or of its pieces."""
    query = select(PhotoRow.panel_id, PhotoRow.sha256).where(PhotoRow.panel_id.in_(panels))
    return dict(session.execute(query.order_by(PhotoRow.id)).all())


def found_by_panel(session: Session, panels: list[int]) -> dict[int, Found]:
    """What the newest record of each panel's pieces comes to."""
    columns = (PieceRow.panel_id, PieceRow.id, RecordRow.areal_mass, RecordRow.thickness)
    query = (
        select(*columns)
        .join(RecordRow, RecordRow.piece_id == PieceRow.id)
        .where(PieceRow.panel_id.in_(panels))
        .where(RecordRow.areal_mass.is_not(None) | RecordRow.thickness.is_not(None))
        .order_by(RecordRow.id)
    )
    return {
        panel: Found(piece_number(piece), mass, thickness)
        for panel, piece, mass, thickness in session.execute(query)
    }
