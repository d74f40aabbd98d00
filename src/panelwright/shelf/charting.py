"""What panels of the shelf can be charted by, read off their cards: many at once."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import MutableMapping, Sequence
from functools import cache
from typing import NamedTuple

from pydantic import TypeAdapter
from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from panelwright.panels.charted import Charted
from panelwright.shelf.finding import ordered
from panelwright.shelf.panels import charted_of, revision_row, snapshot_of
from panelwright.shelf.records import Filter, OnChart, panel_number, piece_number
from panelwright.shelf.tables import CardRow, PanelRow, PieceRow, RecordRow
from panelwright.shelf.texts import unpack

#: What was read of a panel at a revision: it never changes.
Known = MutableMapping[tuple[int, int], Charted]
#: Rows that are asked for at once: fewer than the names that a statement may hold anywhere.
AT_ONCE = 500
#: Panels that are remembered, about 10 kB each.
MOST_KNOWN = 4000


@cache
def _adapter() -> TypeAdapter[Charted | None]:
    return TypeAdapter(Charted | None)


class _Told(NamedTuple):
    """What is read of a panel itself."""

    id: int
    title: str
    revision: int


def to_chart(
    session: Session, wanted: Filter, most: int, known: Known
) -> tuple[tuple[OnChart, ...], int]:
    """The first ``most`` panels for which all that is wanted holds, and how many there are."""
    query, total = ordered(session, wanted)
    return _read(session, _told(session, query.limit(most)), known), total


def these(session: Session, ids: Sequence[int], known: Known) -> tuple[OnChart, ...]:
    """Some panels by their rows; those that are not there are left out."""
    query = select(PanelRow).where(PanelRow.id.in_(ids))
    return _read(session, _told(session, query), known)


def _told(session: Session, query: Select[PanelRow]) -> list[_Told]:
    """The few columns that are needed of each panel: many times as fast as whole rows."""
    columns = (PanelRow.id, PanelRow.title, PanelRow.revision)
    return [_Told(*row) for row in session.execute(query.with_only_columns(*columns))]


def _read(session: Session, rows: Sequence[_Told], known: Known) -> tuple[OnChart, ...]:
    if len(known) > MOST_KNOWN:
        known.clear()
    new = [row for row in rows if (row.id, row.revision) not in known]
    for first in range(0, len(new), AT_ONCE):
        some = {row.id: row for row in new[first : first + AT_ONCE]}
        cards = session.execute(
            select(CardRow.panel_id, CardRow.data).where(CardRow.panel_id.in_(some))
        )
        for panel, data in cards:
            row = some[panel]
            found = _adapter().validate_python(json.loads(unpack(data)).get("charted"))
            if found is None:  # a card of before there were charts
                whole = session.get_one(PanelRow, panel)
                found = charted_of(snapshot_of(revision_row(session, whole)))
            known[panel, row.revision] = found
    measured = _measured(session)
    return tuple(
        OnChart(
            panel_number(row.id),
            row.title,
            row.revision,
            known[row.id, row.revision],
            tuple(measured[row.id]),
        )
        for row in rows
        if (row.id, row.revision) in known
    )


def _measured(session: Session) -> dict[int, list[tuple[str, str, int]]]:
    """Pieces that something was read off, by panel: number, title, and how many records."""
    query = (
        select(PieceRow.panel_id, PieceRow.id, PieceRow.title, func.count())
        .join(RecordRow, RecordRow.piece_id == PieceRow.id)
        .group_by(PieceRow.panel_id, PieceRow.id, PieceRow.title)
        .order_by(PieceRow.id)
    )
    found: dict[int, list[tuple[str, str, int]]] = defaultdict(list)
    for panel, piece, title, records in session.execute(query):
        found[panel].append((piece_number(piece), title, records))
    return found
