"""Bringing an export onto a shelf: all of it or nothing, and nothing here is written over.

What is on the shelf already, equal in all, is left alone. What has the number of something else
is refused, or given a new number where that is wanted.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Container
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.panels.stored import Snapshot, load
from panelwright.samples.house import LEARNT, OFF, ON, RESET
from panelwright.samples.readings import Reading
from panelwright.shelf import panels, pieces, supplies
from panelwright.shelf.archive import Archive
from panelwright.shelf.export import tables
from panelwright.shelf.photos import Folder, read_kept
from panelwright.shelf.records import (
    PREDICTED,
    Gauged,
    Imported,
    Price,
    Record,
    Remnant,
    panel_id,
    panel_number,
    piece_id,
    piece_number,
)
from panelwright.shelf.rows import next_id
from panelwright.shelf.sheets import COLUMNS, LATER, Line, read_table, written
from panelwright.shelf.tables import (
    HouseRow,
    OwnMaterialsRow,
    PanelRow,
    PhotoRow,
    PieceRow,
    RevisionRow,
)
from panelwright.shelf.texts import checked, pack, unpack

#: Has a text of own materials refused that no catalogue would take.
Check = Callable[[str], object]

MOST_CLASHES = 5  # named in a refusal


def import_archive(
    session: Session, photos: Folder, archive: Archive, *, beside: bool, check: Check
) -> Imported:
    """Bring all of an export onto the shelf.

    beside : give new numbers to what clashes, in place of a refusal.
    Raises :class:`InputError` with what is wrong and where; the session is then to be rolled back.
    """
    arriving = _Arriving(session, archive, beside)
    arriving.panels()
    arriving.pieces()
    arriving.photos(photos)
    arriving.supplies(check)
    arriving.house()
    arriving.remnants()
    if arriving.clashes:
        listed = ", ".join(arriving.clashes[:MOST_CLASHES])
        more = len(arriving.clashes) - MOST_CLASHES
        given = listed + (f" and {more} more" if more > 0 else "")
        what = "something else stands on this shelf under these numbers"
        raise InputError(Problem(what, given, hint="--beside, which gives new numbers"))
    for panel in arriving.touched:
        panels.refresh_words_of(session, panel)
    return arriving.told


def _by(lines: list[Line], column: str) -> dict[str, list[Line]]:
    found: dict[str, list[Line]] = defaultdict(list)
    for line in lines:
        found[line[column]].append(line)
    return found


def _moment(line: Line, column: str) -> str:
    """A moment as written; InputError for another text."""
    try:
        datetime.fromisoformat(line[column])
    except ValueError:
        raise line.refuse("this is not a moment", column) from None
    return line[column]


def _reading(line: Line) -> Reading:
    value = line.number_of("value_si")
    if value is None:
        raise line.refuse("a reading has no value", "value_si")
    division = line.number_of("division_si") or 0.0
    return Reading(line["what"], value, line["point"], division, line["reason"])


@dataclass
class _Counts:
    panels: int = 0
    pieces: int = 0
    photos: int = 0
    there: int = 0
    renumbered: dict[str, str] = field(default_factory=dict)


class _Arriving:
    """An import on its way: what came, what is here, and which number became which row."""

    def __init__(self, session: Session, archive: Archive, beside: bool) -> None:
        self.session, self.archive, self.beside = session, archive, beside
        self.lines = {
            name: []
            if name in LATER and name not in archive.names
            else read_table(name, archive.read(name))
            for name in COLUMNS
        }
        here = tables(session)
        self.here = {name: read_table(name, written(name, here[name])) for name in COLUMNS}
        self.counts = _Counts()
        self.clashes: list[str] = []
        self.touched: list[int] = []
        self.panel_of: dict[str, int] = {}
        self.piece_of: dict[str, int] = {}
        self.fresh_pieces: set[int] = set()

    @property
    def told(self) -> Imported:
        """What it brought."""
        one = self.counts
        return Imported(one.panels, one.pieces, one.photos, one.there, one.renumbered)

    # Panels -------------------------------------------------------------------------------------

    def panels(self) -> None:
        """Panels with revisions and tags."""
        revisions = _by(self.lines["revisions.csv"], "panel")
        tags = _by(self.lines["tags.csv"], "panel")
        fresh: dict[str, PanelRow] = {}
        for line in self.lines["panels.csv"]:
            number = line["panel"]
            if number != panel_number(panel_id(number)) or number in self.panel_of:
                raise line.refuse("this is no number, or it stands twice", "panel")
            if number not in revisions:
                raise line.refuse("a panel has no revision", "panel")
            labels = tuple(tag["tag"] for tag in tags.get(number, ()))
            here = self.session.get(PanelRow, panel_id(number))
            if here is not None and self._is_here(here, revisions[number], labels):
                self.counts.there += 1
            else:
                fresh[number] = here = self._new_panel(line, here is not None)
            self.panel_of[number] = here.id
        self._refuse_strange(revisions, self.panel_of)
        self._refuse_strange(tags, self.panel_of)
        for line in self.lines["revisions.csv"]:  # in the order in which they were made
            if line["panel"] in fresh:
                self._revision(fresh[line["panel"]], line)
        for number, row in fresh.items():
            panels.set_tags(self.session, row, tuple(tag["tag"] for tag in tags.get(number, ())))

    def _new_panel(self, line: Line, is_taken: bool) -> PanelRow:
        number = line["panel"]
        row = PanelRow(
            id=panel_id(number),
            title="",
            revision=0,
            made=_moment(line, "made"),
            changed="",
            process="",
            standing=PREDICTED,
            thickness=0.0,
            areal_mass=0.0,
        )
        if is_taken:
            row.id = self._free(PanelRow.id, self.lines["panels.csv"], panel_id, "panel")
            self._renumber(number, panel_number(row.id))
        self.session.add(row)
        self.session.flush()
        self.counts.panels += 1
        self.touched.append(row.id)
        return row

    def _free(
        self, column: object, lines: list[Line], id_of: Callable[[str], int], key: str
    ) -> int:
        """A number that neither is here nor arrives."""
        arriving = max((id_of(line[key]) for line in lines), default=0)
        return max(next_id(self.session, column), arriving + 1)

    def _renumber(self, old: str, new: str) -> None:
        if self.beside:
            self.counts.renumbered[old] = new
        else:
            self.clashes.append(old)

    def _files(self, line: Line) -> tuple[str, str]:
        stem = f"panels/{line['panel']}/{line.count_of('revision')}"
        return self.archive.text(f"{stem}.toml"), self.archive.text(f"{stem}.json")

    def _is_here(self, row: PanelRow, lines: list[Line], tags: tuple[str, ...]) -> bool:
        """Whether a panel of this number is the same in all its revisions."""
        if row.revision != len(lines) or set(tags) != set(panels.tags_of(self.session, row.id)):
            return False
        for line in lines:
            kept = panels.revision_row(self.session, row, line.count_of("revision"))
            same = (kept.made, kept.remark) == (line["made"], line["remark"])
            if not same or (kept.text, unpack(kept.snapshot)) != self._files(line):
                return False
        return True

    def _revision(self, row: PanelRow, line: Line) -> None:
        text, stored = self._files(line)
        if line.count_of("revision") != row.revision + 1:
            raise line.refuse("a revision is missing or out of order", "revision")
        snapshot = self._snapshot(line, text, stored)
        revision = RevisionRow(
            panel_id=row.id,
            number=row.revision + 1,
            made=_moment(line, "made"),
            remark=line["remark"],
            version=checked(snapshot.prediction.version, "version"),
            catalogue=checked(snapshot.prediction.catalogue, "catalogue"),
            text=checked(text, "panel file", 200_000),
            snapshot=pack(stored),
        )
        panels.put_revision(self.session, row, revision, snapshot)

    @staticmethod
    def _snapshot(line: Line, text: str, stored: str) -> Snapshot:
        try:
            snapshot = load(stored)
        except PanelwrightError:
            raise line.refuse("its stored prediction cannot be read", "panel") from None
        if snapshot.prediction.text != text:
            raise line.refuse("its stored prediction is of another panel file", "panel")
        return snapshot

    @staticmethod
    def _refuse_strange(lines: dict[str, list[Line]], known: Container[str]) -> None:
        for key, (line, *_) in lines.items():
            if key not in known:
                raise line.refuse("what it belongs to is not in it", next(iter(line)))

    # Pieces -------------------------------------------------------------------------------------

    def pieces(self) -> None:
        """Pieces with their records."""
        gauged = _by(self.lines["thicknesses.csv"], "record")
        read = _by(self.lines["readings.csv"], "record")
        came, here = self._family(self.lines), self._family(self.here)
        for line in self.lines["pieces.csv"]:
            number = line["piece"]
            if number != piece_number(piece_id(number)) or number in self.piece_of:
                raise line.refuse("this is no number, or it stands twice", "piece")
            is_taken = self.session.get(PieceRow, piece_id(number)) is not None
            if is_taken and came[number] == here.get(number):
                self.piece_of[number] = piece_id(number)
                self.counts.there += 1
            else:
                self._piece(line, is_taken)
        for line in self.lines["records.csv"]:
            points = gauged.get(line["record"], [])
            piece = self.piece_of.get(line["piece"])
            if piece is None:
                raise line.refuse("there is no such piece in it", "piece")
            if piece in self.fresh_pieces:
                row = self.session.get_one(PieceRow, piece)
                pieces.add_record(
                    self.session, row, self._record(line, points, read.get(line["record"], []))
                )
        records = {line["record"] for line in self.lines["records.csv"]}
        self._refuse_strange(gauged, records)
        self._refuse_strange(read, records)

    @staticmethod
    def _family(lines: dict[str, list[Line]]) -> dict[str, object]:
        """All that is told of each piece, to be compared."""
        gauged = _by(lines["thicknesses.csv"], "record")
        read = _by(lines["readings.csv"], "record")
        records: dict[str, list[object]] = defaultdict(list)
        for line in lines["records.csv"]:
            points = [(one["point"], one["thickness_m"]) for one in gauged[line["record"]]]
            cells = [line[column] for column in COLUMNS["records.csv"][1:]]
            told = [[one[c] for c in COLUMNS["readings.csv"][1:]] for one in read[line["record"]]]
            records[line["piece"]].append((cells, points, told))
        return {
            line["piece"]: (list(line.values()), records[line["piece"]])
            for line in lines["pieces.csv"]
        }

    def _piece(self, line: Line, is_taken: bool) -> None:
        number = line["piece"]
        if line["panel"] not in self.panel_of:
            raise line.refuse("there is no such panel in it", "panel")
        if line["cut_from"] and line["cut_from"] not in self.piece_of:
            raise line.refuse("the piece it was cut from must stand before it", "cut_from")
        row = PieceRow(
            id=piece_id(number),
            panel_id=self.panel_of[line["panel"]],
            revision=line.count_of("revision"),
            title=line["title"],
            cut_from=self.piece_of[line["cut_from"]] if line["cut_from"] else None,
            cut_at=line["cut_at"],
            place=line["place"],
            remains=line["left"],
            remark=line["remark"],
            made=_moment(line, "made"),
        )
        if is_taken:
            row.id = self._free(PieceRow.id, self.lines["pieces.csv"], piece_id, "piece")
            self._renumber(number, piece_number(row.id))
        self.session.add(row)
        self.session.flush()
        self.piece_of[number] = row.id
        self.fresh_pieces.add(row.id)
        self.touched.append(row.panel_id)
        self.counts.pieces += 1

    @staticmethod
    def _record(line: Line, points: list[Line], read: list[Line]) -> Record:
        gauged = []
        for point in points:
            thickness = point.number_of("thickness_m")
            if thickness is None:
                raise point.refuse("a point has no thickness", "thickness_m")
            gauged.append(Gauged(point["point"], thickness))
        return Record(
            date=line["date"],
            gross=line.number_of("gross_kg"),
            tare=line.number_of("tare_kg") or 0.0,
            length=line.number_of("length_m"),
            width=line.number_of("width_m"),
            gauged=tuple(gauged),
            remark=line["remark"],
            made=_moment(line, "made"),
            areal_mass=line.number_of("areal_mass_kg_m2"),
            thickness=line.number_of("mean_thickness_m"),
            readings=tuple(map(_reading, read)),
            who=line["who"],
            again=line["again"],
            improve=line["improve"],
        )

    # The rest -----------------------------------------------------------------------------------

    def photos(self, folder: Folder) -> None:
        """Photos: their files first, then what they belong to."""
        for name in sorted(self.archive.names):
            if name.startswith("photos/"):
                content = self.archive.read(name)
                folder.keep(read_kept(content, name[len("photos/") : -len(".jpg")]))
        here = {self._photo_key(line, line["of"]) for line in self.here["photos.csv"]}
        for line in self.lines["photos.csv"]:
            of = self._owner(line)
            if self._photo_key(line, of) in here:
                continue
            if f"photos/{line['sha256']}.jpg" not in self.archive.names:
                raise line.refuse("its file is missing", "sha256")
            self._photo(line, of)

    def _owner(self, line: Line) -> str:
        """What a photo belongs to, by its number here."""
        of = line["of"]
        if of in self.piece_of:
            return piece_number(self.piece_of[of])
        if of in self.panel_of:
            return panel_number(self.panel_of[of])
        raise line.refuse("there is no such panel or piece in it", "of")

    @staticmethod
    def _photo_key(line: Line, of: str) -> tuple[str, ...]:
        return (of, *(line[column] for column in COLUMNS["photos.csv"] if column != "of"))

    def _photo(self, line: Line, of: str) -> None:
        piece = piece_id(of) if of.startswith("S") else None
        panel = (
            self.session.get_one(PieceRow, piece).panel_id if piece is not None else panel_id(of)
        )
        self.session.add(
            PhotoRow(
                id=next_id(self.session, PhotoRow.id),
                panel_id=panel,
                piece_id=piece,
                sha256=line["sha256"],
                name=line["name"],
                caption=line["caption"],
                width=line.count_of("width_px"),
                height=line.count_of("height_px"),
                added=_moment(line, "added"),
            )
        )
        self.session.flush()
        self.touched.append(panel)
        self.counts.photos += 1

    def supplies(self, check: Check) -> None:
        """Own materials and prices. Own materials that are in force here stay in force."""
        before = supplies.own_materials(self.session)
        texts = set(self.session.scalars(select(OwnMaterialsRow.text)))
        for line in self.lines["materials.csv"]:
            text = self.archive.text(f"materials/{line.count_of('state')}.toml")
            if text not in texts:
                check(text)
                self._own_materials(line, text)
        now = supplies.own_materials(self.session)
        if before.number and now.text != before.text:
            self._keep_in_force(before.text)
        here = {tuple(line.values()) for line in self.here["prices.csv"]}
        for line in self.lines["prices.csv"]:
            if tuple(line.values()) not in here:
                supplies.add_price(self.session, Price(*line.values()))

    def house(self) -> None:
        """What was learnt of the pieces that arrived, and what was said of house values."""
        said_here = {tuple(line.values()) for line in self.here["house.csv"]}
        for line in self.lines["house.csv"]:
            if line["said"] not in {LEARNT, OFF, ON, RESET}:
                raise line.refuse("this is no word on a house value", "said")
            piece = self.piece_of.get(line["piece"]) if line["piece"] else None
            if line["piece"] and piece is None:
                raise line.refuse("there is no such piece in it", "piece")
            if tuple(line.values()) in said_here or (
                piece is not None and piece not in self.fresh_pieces
            ):
                continue
            self.session.add(
                HouseRow(
                    id=next_id(self.session, HouseRow.id),
                    key=checked(line["key"], "key"),
                    said=line["said"],
                    piece_id=piece,
                    value=line.number_of("value_si"),
                    u=line.number_of("u_si"),
                    remark=line["remark"],
                    made=_moment(line, "made"),
                )
            )
            self.session.flush()

    def remnants(self) -> None:
        """What is left over of the builds that arrived, and of none."""
        here = {tuple(line.values()) for line in self.here["remnants.csv"]}
        for line in self.lines["remnants.csv"]:
            piece = self.piece_of.get(line["piece"]) if line["piece"] else None
            if line["piece"] and piece is None:
                raise line.refuse("there is no such piece in it", "piece")
            if tuple(line.values()) in here:
                continue
            gone = _moment(line, "gone") if line["gone"] else ""
            number = "" if piece is None else piece_number(piece)
            words = (line["material"], line["amount"], number, line["remark"])
            supplies.add_remnant(self.session, Remnant(*words, _moment(line, "made"), gone))

    def _own_materials(self, line: Line, text: str) -> None:
        row = OwnMaterialsRow(
            id=next_id(self.session, OwnMaterialsRow.id),
            text=checked(text, "materials", supplies.MOST_TEXT),
            made=_moment(line, "made"),
            remark=line["remark"],
        )
        self.session.add(row)
        self.session.flush()

    def _keep_in_force(self, text: str) -> None:
        if self.beside:
            supplies.add_own_materials(self.session, text, "still in force after an import")
        else:
            self.clashes.append("the shop's own materials")
