"""Keep panels and pieces: what both faces ask of the shelf.

Pages and sheets show the prediction as it was stored; :meth:`Shelf.today` gives today's beside it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from statistics import fmean

from platformdirs import user_data_path

from panelwright.errors import InputError, Problem
from panelwright.jobs.changes import Change, changes
from panelwright.jobs.check import check_text
from panelwright.jobs.house import house_values, house_values_of, own_of
from panelwright.jobs.predict import Evaluated, evaluate_panel, go_on, prediction_of
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.weighing import weighed_uptake
from panelwright.panels.charted import Charted
from panelwright.panels.description import read
from panelwright.panels.records import Prediction
from panelwright.panels.resolve import resolve
from panelwright.panels.stored import Kept, Snapshot
from panelwright.samples.house import OFF, ON, RESET, HouseValue
from panelwright.samples.reconcile import Lesson
from panelwright.shelf import charting, house, panels, pieces, supplies
from panelwright.shelf.archive import opened_archive
from panelwright.shelf.database import Database, open_database
from panelwright.shelf.export import export_shelf
from panelwright.shelf.finding import find_panels
from panelwright.shelf.importing import import_archive
from panelwright.shelf.keeping import copy_shelf, look_over
from panelwright.shelf.photos import Picture, read_picture, smaller
from panelwright.shelf.records import (
    AGAIN,
    MEASURED,
    ORDERS,
    PREDICTED,
    Card,
    Counted,
    Filter,
    Found,
    Gauged,
    Imported,
    OnChart,
    OwnMaterials,
    Page,
    PanelOnShelf,
    Photo,
    Piece,
    Price,
    Record,
    Remnant,
    Revision,
    Verified,
    panel_number,
    piece_number,
)
from panelwright.shelf.rows import belonging, panel_row, piece_row
from panelwright.shelf.texts import MOST_LINE

__all__ = [
    "AGAIN",
    "MEASURED",
    "ORDERS",
    "PREDICTED",
    "Card",
    "Counted",
    "Filter",
    "Found",
    "Gauged",
    "Imported",
    "OnChart",
    "OwnMaterials",
    "Page",
    "PanelOnShelf",
    "Photo",
    "Piece",
    "Price",
    "Record",
    "Remnant",
    "Revision",
    "Shelf",
    "Verified",
    "open_shelf",
    "usual_place",
]

PLACE = "PANELWRIGHT_SHELF"
PHOTOS = "PANELWRIGHT_PHOTOS"
OWN_FILE = "materials on the shelf"


def usual_place() -> str:
    """The folder or address that the environment names, else the platform's data folder."""
    return os.environ.get(PLACE) or str(_data_folder() / "shelf")


def _data_folder() -> Path:
    return user_data_path("panelwright", appauthor=False)


def open_shelf(where: str | Path | None = None) -> Shelf:
    """The shelf in a folder or at a database's address; made where there is none.

    Raises :class:`ShelfError` with one sentence where it cannot be had.
    """
    photos = Path(os.environ.get(PHOTOS) or _data_folder() / "photos")
    return Shelf(open_database(where or usual_place(), photos))


def inputs_of(done: Evaluated) -> tuple[Kept, ...]:
    """Every resolved input of a panel, each under what it is a value of."""
    resolved = done.resolved
    kept = [
        Kept(f"{number} {layer.name}: {field.replace('_', ' ')}", given)
        for number, layer in enumerate(resolved.layers, start=1)
        for field, given in layer.inputs.items()
    ]
    for name, given in (*resolved.bench.items(), *resolved.model_errors.items()):
        kept.append(Kept(name.replace("_", " "), given))
    return tuple(kept)


def snapshot_of(
    text: str,
    catalogue: Catalogue,
    file: str = "panel file",
    between: Callable[[], None] = go_on,
) -> Snapshot:
    """The prediction of a panel file with all that it rests on. Raises :class:`InputError`.

    The same file from the same rows comes to the same: what was asked lately is not worked anew.
    between : called between the parts of the work; what it raises ends it.
    """
    return _snapshot(_Asked(text, catalogue, file, between))


@dataclass(frozen=True)
class _Asked:
    """What a snapshot is asked of; who may end the work makes no difference to it."""

    text: str
    catalogue: Catalogue
    file: str
    between: Callable[[], None] = field(compare=False)


@lru_cache(maxsize=32)
def _snapshot(asked: _Asked) -> Snapshot:
    done = evaluate_panel(resolve(read(asked.text, asked.file), asked.catalogue))
    prediction = prediction_of(done, asked.catalogue, asked.between)
    return Snapshot(prediction, inputs_of(done), house_values_of(done.resolved))


class Shelf:
    """An open shelf. May be used by many threads at once."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._charted: dict[tuple[int, int], Charted] = {}
        self._books: dict[int, Catalogue] = {0: Catalogue.shipped()}
        self._houses: dict[tuple[int, int], tuple[Catalogue, tuple[HouseValue, ...]]] = {}

    @property
    def name(self) -> str:
        """Where it is."""
        return self._database.name

    @property
    def just_made(self) -> bool:
        """Whether it was made when it was opened."""
        return self._database.just_made

    @property
    def read_only(self) -> bool:
        """Whether it may only be read."""
        return self._database.read_only

    def close(self) -> None:
        """Let go of it."""
        self._database.close()

    def catalogue(self) -> Catalogue:
        """What panels here are predicted with: the book, with the shop's house values in it."""
        return self._house()[0]

    def book(self) -> Catalogue:
        """The catalogue with the shop's own materials, without its house values."""
        with self._database.reading() as session:
            number = supplies.newest_number(session)
            if number not in self._books:
                own = supplies.own_materials(session)
                self._books[number] = _with_own(own.text)
            return self._books[number]

    # House values -------------------------------------------------------------------------------

    def house(self) -> tuple[HouseValue, ...]:
        """The house values, also those that are switched off."""
        return self._house()[1]

    def _house(self) -> tuple[Catalogue, tuple[HouseValue, ...]]:
        book = self.book()
        with self._database.reading() as session:
            state = supplies.newest_number(session), house.newest_word(session)
            if state not in self._houses:
                values = house_values(house.words(session), book)
                used = [own_of(value) for value in values if value.used]
                self._houses = {state: (book.with_values(used) if used else book, values)}
            return self._houses[state]

    def switch_house(self, key: str, said: str, remark: str = "") -> None:
        """Switch a house value off or on, or forget what was told of it so far.

        key : ``table/id/column`` of one that is there. Raises :class:`InputError`.
        """
        assert said in {OFF, ON, RESET}
        keys = [value.key for value in self.house()]
        if key not in keys:
            hint = ", ".join(keys[:5])
            raise InputError(Problem("there is no such house value", key[:80], hint=hint))
        with self._database.writing() as session:
            house.say(session, key, said, remark)

    # Panels -------------------------------------------------------------------------------------

    def find(self, wanted: Filter | None = None) -> Page[Card]:
        """The panels for which all that is wanted holds."""
        with self._database.reading() as session:
            return find_panels(session, wanted or Filter())

    def to_chart(self, wanted: Filter, most: int) -> tuple[tuple[OnChart, ...], int]:
        """The first ``most`` of the panels wanted, as they are charted, and how many there are."""
        with self._database.reading() as session:
            return charting.to_chart(session, wanted, most, self._charted)

    def to_chart_these(self, numbers: Sequence[str]) -> tuple[OnChart, ...]:
        """Panels by their numbers, as they are charted; InputError where there is none."""
        with self._database.reading() as session:
            ids = [panel_row(session, number).id for number in numbers]
            return charting.these(session, ids, self._charted)

    def texts(self, numbers: Sequence[str]) -> dict[str, str]:
        """The files of panels as they were written last; InputError where there is none."""
        with self._database.reading() as session:
            rows = {number: panel_row(session, number) for number in numbers}
            return {number: panels.revision_row(session, row).text for number, row in rows.items()}

    def panel(self, number: str, revision: int | None = None) -> PanelOnShelf:
        """A panel at its newest revision or another; InputError where there is none."""
        with self._database.reading() as session:
            return panels.read_panel(session, number, revision)

    def save_panel(
        self,
        text: str,
        number: str | None = None,
        *,
        remark: str = "",
        tags: tuple[str, ...] | None = None,
        after: int | None = None,
        file: str = "panel file",
    ) -> tuple[str, int]:
        """Predict a panel file and keep both, as a new panel or the next revision of one.

        tags : in place of those it bears; None leaves them. after : the revision that the text
        was made from; InputError where somebody has saved another since.
        Returns the panel's number and revision, once they are on the disk. Raises
        :class:`InputError` for a text that is refused; nothing is saved then.
        """
        catalogue = self.catalogue()
        duties = check_text(text, catalogue, file)
        snapshot = replace(snapshot_of(text, catalogue, file), duties=duties)
        with self._database.writing() as session:
            if number is None:
                row = panels.add_panel(session, snapshot, remark, tags or ())
            else:
                row = panel_row(session, number)
                _refuse_if_older(row.revision, after, number)
                panels.add_revision(session, row, snapshot, remark)
                if tags is not None:
                    panels.set_tags(session, row, tags)
            panels.refresh_words(session, row, snapshot)
            number, revision = panel_number(row.id), row.revision
        return number, revision  # once the database has let go: it is on the disk

    def tag_panel(self, number: str, tags: tuple[str, ...]) -> None:
        """Give a panel these tags in place of those it bears. Raises :class:`InputError`."""
        with self._database.writing() as session:
            row = panel_row(session, number)
            panels.set_tags(session, row, tags)
            panels.refresh_words_of(session, row.id)

    def today(
        self, number: str, revision: int | None = None
    ) -> tuple[Prediction, tuple[Change, ...]]:
        """What the same file would be predicted today, and where a headline has moved and why."""
        kept = self.panel(number, revision)
        now = snapshot_of(kept.text, self.catalogue())
        return now.prediction, changes(kept.snapshot, now)

    # Pieces -------------------------------------------------------------------------------------

    def piece(self, number: str) -> Piece:
        """A piece with all that was cut from it; InputError where there is none."""
        with self._database.reading() as session:
            return pieces.read_piece(session, number)

    def save_piece(
        self,
        panel: str = "",
        *,
        number: str | None = None,
        cut_from: str = "",
        cut_at: str = "",
        title: str | None = None,
        place: str | None = None,
        left: str | None = None,
        remark: str | None = None,
        record: Record | None = None,
        lessons: Sequence[Lesson] | None = None,
        photos: Sequence[tuple[bytes, str]] = (),
    ) -> str:
        """Keep a piece of a panel, cut from another or the first of its family; its number.

        number : a piece that is there already: what is None stays as it was written, and a record
        is added to those before; lessons : what its readings tell of house values, in place of what
        they told. photos : content and name of each; where one is refused, nothing
        is kept. Returns once it is on the disk. Raises :class:`InputError`.
        """
        said = pieces.Said(title, place, left, remark)
        pictures = [_picture(content, name) for content, name in photos]
        with self._database.writing() as session:
            if number is not None:
                row = piece_row(session, number)
                pieces.write_on(row, said)
            elif cut_from:
                row = pieces.cut_piece(session, piece_row(session, cut_from), cut_at, said)
            else:
                row = pieces.add_piece(session, panel_row(session, panel), said)
            if record is not None:
                pieces.add_record(session, row, with_findings(record))
            if lessons is not None:
                house.keep_lessons(session, row, lessons)
            for picture, name in pictures:
                self._database.photos.keep(picture)
                pieces.add_photo(session, row.panel_id, row.id, picture, name, "")
            panels.refresh_words_of(session, row.panel_id)
            kept = piece_number(row.id)
        return kept  # noqa: RET504  what is given back is on the disk

    # Photos -------------------------------------------------------------------------------------

    def add_photo(self, content: bytes, name: str, of: str, caption: str = "") -> Photo:
        """Keep a photo of a panel or a piece, without metadata, at all its pixels.

        Raises :class:`InputError` for what is no photo or too large; nothing is kept then.
        """
        if self.read_only:
            with self._database.writing():
                pass  # refuses
        picture, name = _picture(content, name)
        with self._database.writing() as session:
            panel, piece = belonging(session, of)
            self._database.photos.keep(picture)
            row = pieces.add_photo(session, panel, piece, picture, name, caption)
            panels.refresh_words_of(session, panel)
            photo = pieces.photo_of(row)
        return photo  # noqa: RET504  what is given back is on the disk

    def photo(self, sha256: str, most: int | None = None) -> bytes:
        """The JPEG of a photo, no side over ``most`` px. Raises InputError, ShelfError."""
        content = self._database.photos.read(sha256)
        return content if most is None else smaller(content, most)

    # Materials and prices -----------------------------------------------------------------------

    def own_materials(self) -> OwnMaterials:
        """The shop's own materials as they were last saved."""
        with self._database.reading() as session:
            return supplies.own_materials(session)

    def save_own_materials(self, text: str, remark: str = "") -> int:
        """Keep the shop's own materials, a TOML text, in place of those before; their number.

        Raises :class:`CatalogueError` with all that is refused; nothing is saved then.
        """
        catalogue = _with_own(text)
        with self._database.writing() as session:
            number = supplies.add_own_materials(session, text, remark)
        self._books[number] = catalogue
        return number

    def prices(self) -> tuple[Price, ...]:
        """All prices, by material, the newest first."""
        with self._database.reading() as session:
            return supplies.prices(session)

    def save_price(self, price: Price) -> None:
        """Keep a price beside those before. Raises :class:`InputError`."""
        with self._database.writing() as session:
            supplies.add_price(session, price)

    def remnants(self) -> tuple[Remnant, ...]:
        """All that is or was left over of materials: what lies there first."""
        with self._database.reading() as session:
            return supplies.remnants(session)

    def save_remnants(self, left: Iterable[Remnant]) -> None:
        """Keep what is left over beside what was before: all, or none with :class:`InputError`."""
        with self._database.writing() as session:
            for one in left:
                supplies.add_remnant(session, one)

    def use_up(self, number: int) -> None:
        """A remnant is gone. Raises :class:`InputError` for no such one."""
        with self._database.writing() as session:
            supplies.use_up(session, number)

    # The whole of it ----------------------------------------------------------------------------

    def export(self, path: Path) -> None:
        """Write all of it to a new zip of plain files; never over another file."""
        with self._database.reading() as session:
            export_shelf(session, self._database.photos, path)

    def import_(self, path: Path, *, beside: bool = False) -> Imported:
        """Bring all of an exported shelf here, or nothing.

        What is here already stays as it is. beside : give new numbers to what has the number of
        something else here, which is refused otherwise. Raises :class:`InputError`.
        """
        with opened_archive(path) as archive, self._database.writing() as session:
            return import_archive(
                session, self._database.photos, archive, beside=beside, check=_with_own
            )

    def backup(self, folder: Path) -> None:
        """Copy it into a new folder, which is itself a shelf. It may be in use meanwhile."""
        copy_shelf(self._database, folder)

    def fill_with_demonstration(self) -> int:
        """Put invented panels and pieces on it, to look around in; the number of panels."""
        from panelwright.jobs.demonstration import fill_with_demonstration

        return fill_with_demonstration(self)

    def verify(self) -> Verified:
        """Read all of it and tell what is wrong."""
        return look_over(self._database)


def _picture(content: bytes, name: str) -> tuple[Picture, str]:
    """The picture of a file, and the last part of its name."""
    last = Path(name).name or "photo"
    return read_picture(content, last[:MOST_LINE]), last


def _with_own(text: str) -> Catalogue:
    return Catalogue.shipped().with_text(text, OWN_FILE)


def with_findings(record: Record) -> Record:
    """The record with what its readings come to: areal mass and mean thickness."""
    mass = thickness = None
    if record.gross is not None and record.length and record.width:
        area = record.length * record.width
        mass = float(weighed_uptake(record.tare, record.gross, area))
    if record.gauged:
        thickness = fmean(one.thickness for one in record.gauged)
    return replace(record, areal_mass=mass, thickness=thickness)


def _refuse_if_older(newest: int, after: int | None, number: str) -> None:
    if after is not None and after != newest:
        what = f"{number} was saved by somebody else meanwhile"
        hint = f"look at revision {newest}, then save yours after it"
        raise InputError(Problem(what, f"after revision {after}", f"{newest}", hint))
