"""Keep panels and pieces: what both faces ask of the shelf.

Pages and sheets show the prediction as it was stored; :meth:`Shelf.today` gives today's beside it.
"""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_data_path

from panelwright.errors import InputError, Problem
from panelwright.jobs.changes import Change, changes
from panelwright.jobs.predict import Evaluated, evaluate_panel, prediction_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.records import Prediction
from panelwright.panels.resolve import resolve
from panelwright.panels.stored import Kept, Snapshot
from panelwright.shelf import panels
from panelwright.shelf.database import Database, open_database
from panelwright.shelf.records import Card, Filter, Page, PanelOnShelf, panel_number

__all__ = ["Card", "Filter", "Page", "PanelOnShelf", "Shelf", "open_shelf", "usual_place"]

PLACE = "PANELWRIGHT_SHELF"


def usual_place() -> str:
    """The folder or address that the environment names, else the platform's data folder."""
    return os.environ.get(PLACE) or str(user_data_path("panelwright", appauthor=False) / "shelf")


def open_shelf(where: str | Path | None = None) -> Shelf:
    """The shelf in a folder or at a database's address; made where there is none.

    Raises :class:`ShelfError` with one sentence where it cannot be had.
    """
    return Shelf(open_database(where or usual_place()))


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


def snapshot_of(text: str, catalogue: Catalogue, file: str = "panel file") -> Snapshot:
    """The prediction of a panel file with all that it rests on. Raises :class:`InputError`."""
    done = evaluate_panel(resolve(read(text, file), catalogue))
    return Snapshot(prediction_of(done, catalogue), inputs_of(done))


class Shelf:
    """An open shelf. May be used by many threads at once."""

    def __init__(self, database: Database) -> None:
        self._database = database

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
        """The catalogue that panels of this shelf are predicted with."""
        return Catalogue.shipped()

    def find(self, wanted: Filter | None = None) -> Page[Card]:
        """The panels for which all that is wanted holds."""
        with self._database.reading() as session:
            return panels.find_panels(session, wanted or Filter())

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
        snapshot = snapshot_of(text, self.catalogue(), file)
        with self._database.writing() as session:
            if number is None:
                row = panels.add_panel(session, snapshot, remark, tags or ())
            else:
                row = panels.panel_row(session, number)
                _refuse_if_older(row.revision, after, number)
                panels.add_revision(session, row, snapshot, remark)
                if tags is not None:
                    panels.set_tags(session, row, tags)
            panels.refresh_words(session, row, snapshot)
            number, revision = panel_number(row.id), row.revision
        return number, revision  # once the database has let go: it is on the disk

    def today(
        self, number: str, revision: int | None = None
    ) -> tuple[Prediction, tuple[Change, ...]]:
        """What the same file would be predicted today, and where a headline has moved and why."""
        kept = self.panel(number, revision)
        now = snapshot_of(kept.text, self.catalogue())
        return now.prediction, changes(kept.snapshot, now)


def _refuse_if_older(newest: int, after: int | None, number: str) -> None:
    if after is not None and after != newest:
        what = f"{number} was saved by somebody else meanwhile"
        hint = f"look at revision {newest}, then save yours after it"
        raise InputError(Problem(what, f"after revision {after}", f"{newest}", hint))
