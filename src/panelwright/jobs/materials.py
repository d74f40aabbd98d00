"""Look into the catalogue: what there is, and all that is known of one thing."""

from __future__ import annotations

from panelwright.errors import Problem, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row, Table


def list_tables(catalogue: Catalogue) -> list[Table]:
    """All tables, each with its rows and what it says of where its numbers come from."""
    return [catalogue.table(name) for name in catalogue.tables]


def row_of(catalogue: Catalogue, table: str, row: str) -> Row:
    """One row by its table and id. Raises :class:`UnknownName`."""
    return catalogue.table(table).row(row)


def search(catalogue: Catalogue, text: str) -> list[Row]:
    """Rows that have every word in name, aliases or note, names first.

    Raises :class:`UnknownName` where nothing has, with the nearest names.
    """
    found = catalogue.search(text)
    if found:
        return found
    nearest = _nearest(catalogue, text)
    raise UnknownName(
        Problem("nothing in the catalogue has these words", text, hint=" or ".join(nearest)),
        nearest,
    )


def _nearest(catalogue: Catalogue, text: str) -> tuple[str, ...]:
    names: list[str] = []
    for table in ("cloths", "timbers", "cores", "resins", "glues", "plywoods", "fibres", "coats"):
        try:
            catalogue.find(table, text)
        except UnknownName as unknown:
            names += unknown.nearest[:1]
    return tuple(names[:3])


def show(catalogue: Catalogue, name: str) -> list[Row]:
    """The rows of that id, name or alias, in whatever tables have it.

    Raises :class:`UnknownName` with the nearest names.
    """
    found = []
    for table in catalogue.tables:
        try:
            found.append(catalogue.find(table, name))
        except UnknownName:
            continue
    if found:
        return found
    near = tuple(dict.fromkeys(row.name for row in catalogue.search(name)))[:3]
    nearest = near or _nearest(catalogue, name)
    raise UnknownName(
        Problem("nothing in the catalogue has this name", name, hint=" or ".join(nearest)), nearest
    )
