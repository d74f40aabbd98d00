"""Finding panels: by words, by what they are, in some order, a page at a time."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import ColumnElement, Select, TextClause, func, select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem
from panelwright.shelf.panels import OfCard, card_adapter
from panelwright.shelf.pieces import found_by_panel, newest_photo_by_panel, pieces_by_panel
from panelwright.shelf.records import (
    MEASURED,
    ORDERS,
    PREDICTED,
    Card,
    Counted,
    Filter,
    Found,
    Page,
    panel_number,
)
from panelwright.shelf.tables import CardRow, CoreRow, PanelRow, TagRow
from panelwright.shelf.texts import unpack
from panelwright.shelf.words import has_words

MOST_ON_A_PAGE = 500

Condition = ColumnElement[bool] | TextClause

_ORDERS = {
    "newest": PanelRow.changed.desc(),
    "number": PanelRow.id,
    "title": func.lower(PanelRow.title),
    "thinnest": PanelRow.thickness,
    "thickest": PanelRow.thickness.desc(),
    "lightest": PanelRow.areal_mass,
    "heaviest": PanelRow.areal_mass.desc(),
}


def _conditions(session: Session, wanted: Filter) -> dict[str, list[Condition]]:
    """What must hold, by the facet that it comes from; "" for the rest."""
    rest: list[Condition] = []
    for column, (low, high) in (
        (PanelRow.thickness, wanted.thickness),
        (PanelRow.areal_mass, wanted.areal_mass),
    ):
        rest += [column >= low] if low is not None else []
        rest += [column <= high] if high is not None else []
    said = has_words(session, wanted.text)
    rest += [said] if said is not None else []
    found: dict[str, list[Condition]] = {"": rest, "core": [], "process": [], "standing": []}
    found["tag"] = [
        PanelRow.id.in_(select(TagRow.panel_id).where(TagRow.word == tag)) for tag in wanted.tags
    ]
    if wanted.cores:
        bearing = select(CoreRow.panel_id).where(CoreRow.word.in_(wanted.cores))
        found["core"] = [PanelRow.id.in_(bearing)]
    if wanted.processes:
        found["process"] = [PanelRow.process.in_(wanted.processes)]
    if wanted.standing:
        found["standing"] = [PanelRow.standing == wanted.standing]
    return found


def _facets(
    session: Session, conditions: dict[str, list[Condition]]
) -> dict[str, tuple[Counted, ...]]:
    """How many panels each word would leave; words of a facet that adds are not held to it."""
    ways = {
        "tag": (TagRow.word, TagRow.panel_id),
        "core": (CoreRow.word, CoreRow.panel_id),
        "process": (PanelRow.process, None),
        "standing": (PanelRow.standing, None),
    }
    found = {}
    for facet, (word, joined) in ways.items():
        own = () if facet == "tag" else (facet,)
        held = [one for name, all_ in conditions.items() if name not in own for one in all_]
        query = select(word, func.count()).group_by(word)
        if joined is not None and held:
            query = query.join(PanelRow, PanelRow.id == joined)
        counted = session.execute(query.where(*held).order_by(func.count().desc(), word))
        found[facet] = tuple(Counted(said, count) for said, count in counted)
    return found


def ordered(session: Session, wanted: Filter) -> tuple[Select[PanelRow], int]:
    """The panels for which all that is wanted holds, in order, and how many there are.

    Raises :class:`InputError` for an unknown word.
    """
    if wanted.order not in ORDERS:
        raise InputError(Problem("no order is called so", wanted.order[:40], ", ".join(ORDERS)))
    if wanted.standing not in {"", PREDICTED, MEASURED}:
        allowed = f"{PREDICTED}, {MEASURED}"
        raise InputError(Problem("no standing is called so", wanted.standing[:40], allowed))
    held = [one for all_ in _conditions(session, wanted).values() for one in all_]
    total = int(session.scalar(select(func.count()).select_from(PanelRow).where(*held)) or 0)
    order = (_ORDERS[wanted.order], PanelRow.id.desc())
    return select(PanelRow).where(*held).order_by(*order), total


def find_panels(session: Session, wanted: Filter) -> Page[Card]:
    """The panels for which all that is wanted holds; InputError for an unknown word."""
    query, total = ordered(session, wanted)
    size = max(1, min(wanted.size, MOST_ON_A_PAGE))
    offset = max(0, wanted.offset)
    rows = session.scalars(query.limit(size).offset(offset)).all()
    conditions = _conditions(session, wanted)
    return Page(_cards(session, rows), total, offset, size, _facets(session, conditions))


def _cards(session: Session, rows: Sequence[PanelRow]) -> tuple[Card, ...]:
    ids = [row.id for row in rows]
    data = {
        row.panel_id: row.data
        for row in session.scalars(select(CardRow).where(CardRow.panel_id.in_(ids)))
    }
    tags = _words_by_panel(session, TagRow, ids)
    cores = _words_by_panel(session, CoreRow, ids)
    pieces, photos = pieces_by_panel(session, ids), newest_photo_by_panel(session, ids)
    found = found_by_panel(session, ids)
    return tuple(
        _card(
            row,
            card_adapter().validate_json(unpack(data[row.id])),
            tags=tags.get(row.id, ()),
            cores=cores.get(row.id, ()),
            pieces=pieces.get(row.id, 0),
            photo=photos.get(row.id, ""),
            found=found.get(row.id),
        )
        for row in rows
    )


def _words_by_panel(
    session: Session, table: type[TagRow] | type[CoreRow], ids: list[int]
) -> dict[int, tuple[str, ...]]:
    found: dict[int, tuple[str, ...]] = {}
    query = select(table.panel_id, table.word).where(table.panel_id.in_(ids))
    for panel, word in session.execute(query.order_by(table.word)):
        found[panel] = (*found.get(panel, ()), word)
    return found


def _card(
    row: PanelRow,
    shown: OfCard,
    *,
    tags: tuple[str, ...],
    cores: tuple[str, ...],
    pieces: int,
    photo: str,
    found: Found | None,
) -> Card:
    return Card(
        number=panel_number(row.id),
        title=row.title,
        tags=tags,
        revision=row.revision,
        changed=row.changed,
        process=row.process,
        cores=cores,
        standing=row.standing,
        thickness=shown.thickness,
        areal_mass=shown.areal_mass,
        stiffness_along=shown.stiffness_along,
        stiffness_across=shown.stiffness_across,
        layers=shown.layers,
        pieces=pieces,
        photo=photo,
        found=found,
    )
