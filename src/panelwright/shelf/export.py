"""The whole shelf as one zip of plain files: panel files, CSV, photos, stored predictions.

The same shelf gives the same bytes. ``shelf.json`` names the format and the SHA-256 of each file.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

from sqlalchemy import select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem, ShelfError
from panelwright.shelf.photos import Folder
from panelwright.shelf.pieces import photo_of
from panelwright.shelf.records import panel_number, piece_number
from panelwright.shelf.sheets import Cell, written
from panelwright.shelf.supplies import remnant_of
from panelwright.shelf.tables import (
    GaugedRow,
    HouseRow,
    OwnMaterialsRow,
    PanelRow,
    PhotoRow,
    PieceRow,
    PriceRow,
    ReadingRow,
    RecordRow,
    RemnantRow,
    RevisionRow,
    TagRow,
)
from panelwright.shelf.texts import unpack

FORMAT = "panelwright/shelf/1"
MANIFEST = "shelf.json"
_NO_DATE = (1980, 1, 1, 0, 0, 0)  # the first that a zip can hold


def export_shelf(session: Session, photos: Folder, path: Path) -> None:
    """Write the shelf to a new zip, whole or not at all.

    Raises :class:`InputError` where a file of that name is there, :class:`ShelfError` where it
    cannot be written or a photo is missing.
    """
    if path.exists():
        hint = "another name, or move the old one away"
        raise InputError(Problem("there is a file of that name already", str(path), hint=hint))
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
    except OSError as wrong:
        raise _refuse(wrong, path) from None
    try:
        with os.fdopen(handle, "wb") as file:
            with ZipFile(file, "w", allowZip64=True) as archive:
                _fill(archive, session, photos)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, 0o644)
        os.replace(name, path)
    except OSError as wrong:
        raise _refuse(wrong, path) from None
    finally:
        Path(name).unlink(missing_ok=True)


def _refuse(wrong: OSError, path: Path) -> ShelfError:
    return ShelfError(Problem(f"the export cannot be written: {wrong.strerror}", str(path)))


def _fill(archive: ZipFile, session: Session, photos: Folder) -> None:
    hashes: dict[str, str] = {}

    def put(name: str, content: bytes) -> None:
        info = ZipInfo(name, _NO_DATE)
        info.compress_type = ZIP_STORED if name.endswith(".jpg") else ZIP_DEFLATED
        info.create_system, info.external_attr = 3, 0o644 << 16
        hashes[name] = hashlib.sha256(content).hexdigest()
        archive.writestr(info, content)

    for name, rows in tables(session).items():
        put(name, written(name, rows))
    for name, content in panel_files(session):
        put(name, content)
    for state in session.scalars(select(OwnMaterialsRow).order_by(OwnMaterialsRow.id)):
        put(f"materials/{state.id}.toml", state.text.encode("utf-8"))
    for sha256 in sorted(set(session.scalars(select(PhotoRow.sha256)))):
        put(f"photos/{sha256}.jpg", photos.read(sha256))
    manifest = {"format": FORMAT, "files": dict(sorted(hashes.items()))}
    put(MANIFEST, (json.dumps(manifest, indent=1) + "\n").encode("utf-8"))


def panel_files(session: Session) -> Iterator[tuple[str, bytes]]:
    """Panel file and stored prediction of each revision, under their names."""
    query = select(RevisionRow).order_by(RevisionRow.panel_id, RevisionRow.number)
    for row in session.scalars(query.execution_options(yield_per=50)):
        stem = f"panels/{panel_number(row.panel_id)}/{row.number}"
        yield f"{stem}.toml", row.text.encode("utf-8")
        yield f"{stem}.json", unpack(row.snapshot).encode("utf-8")


def tables(session: Session) -> dict[str, list[tuple[Cell, ...]]]:
    """All tables by the names of their files."""
    records = session.scalars(select(RecordRow).order_by(RecordRow.id)).all()
    number = {row.id: count for count, row in enumerate(records, start=1)}
    return {
        "panels.csv": [
            (panel_number(row.id), row.title, row.made, row.standing)
            for row in session.scalars(select(PanelRow).order_by(PanelRow.id))
        ],
        "revisions.csv": _revisions(session),
        "tags.csv": [
            (panel_number(row.panel_id), row.word)
            for row in sorted(
                session.scalars(select(TagRow)), key=lambda row: (row.panel_id, row.word)
            )
        ],
        "pieces.csv": [
            (
                piece_number(row.id),
                panel_number(row.panel_id),
                row.revision,
                row.title,
                "" if row.cut_from is None else piece_number(row.cut_from),
                row.cut_at,
                row.place,
                row.remains,
                row.remark,
                row.made,
            )
            for row in session.scalars(select(PieceRow).order_by(PieceRow.id))
        ],
        "records.csv": [_record(row, number[row.id]) for row in records],
        "thicknesses.csv": [
            (number[row.record_id], row.point, row.thickness)
            for row in session.scalars(
                select(GaugedRow).order_by(GaugedRow.record_id, GaugedRow.number)
            )
        ],
        "readings.csv": [
            (number[row.record_id], row.what, row.point, row.value, row.division, row.reason)
            for row in session.scalars(
                select(ReadingRow).order_by(ReadingRow.record_id, ReadingRow.number)
            )
        ],
        "house.csv": [
            (
                row.key,
                row.said,
                "" if row.piece_id is None else piece_number(row.piece_id),
                row.value,
                row.u,
                row.remark,
                row.made,
            )
            for row in session.scalars(select(HouseRow).order_by(HouseRow.id))
        ],
        "photos.csv": [
            (p.sha256, p.of, p.name, p.caption, p.width, p.height, p.added)
            for p in map(photo_of, session.scalars(select(PhotoRow).order_by(PhotoRow.id)))
        ],
        "materials.csv": [
            (row.id, row.made, row.remark)
            for row in session.scalars(select(OwnMaterialsRow).order_by(OwnMaterialsRow.id))
        ],
        "remnants.csv": [
            (one.material, one.amount, one.piece, one.remark, one.made, one.gone)
            for one in map(remnant_of, session.scalars(select(RemnantRow).order_by(RemnantRow.id)))
        ],
        "prices.csv": [
            (row.material, row.amount, row.currency, row.per, row.date, row.remark, row.made)
            for row in session.scalars(select(PriceRow).order_by(PriceRow.id))
        ],
    }


def _revisions(session: Session) -> list[tuple[Cell, ...]]:
    columns = (
        RevisionRow.panel_id,
        RevisionRow.number,
        RevisionRow.made,
        RevisionRow.version,
        RevisionRow.catalogue,
        RevisionRow.remark,
    )
    rows = session.execute(select(*columns).order_by(RevisionRow.id))
    return [(panel_number(row.panel_id), *row[1:]) for row in rows]


def _record(row: RecordRow, number: int) -> tuple[Cell, ...]:
    return (
        number,
        piece_number(row.piece_id),
        row.date,
        row.gross,
        row.tare,
        row.length,
        row.width,
        row.remark,
        row.made,
        row.areal_mass,
        row.thickness,
        row.who,
        row.again,
        row.improve,
    )
