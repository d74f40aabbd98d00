"""Panels in the database: saving a revision, reading one, finding many."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from pydantic import TypeAdapter
from sqlalchemy import ColumnElement, TextClause, delete, func, select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem
from panelwright.panels.records import LayerRecord
from panelwright.panels.spread import Ranged
from panelwright.panels.stored import Snapshot, dump, load
from panelwright.shelf.records import (
    ORDERS,
    PREDICTED,
    Card,
    Counted,
    Filter,
    Found,
    Page,
    PanelOnShelf,
    Revision,
    panel_id,
    panel_number,
)
from panelwright.shelf.tables import CardRow, CoreRow, PanelRow, RevisionRow, TagRow
from panelwright.shelf.texts import checked, checked_tags, now, pack, unpack
from panelwright.shelf.words import has_words, keep_words

NO_CORE = "no core"
MOST_ON_A_PAGE = 500
_BETWEEN_FACES = frozenset({"core", "strips", "board", "veneer", "plywood"})
_DENSITY = re.compile(r",? \d+(\.\d+)? kg/m[3³]$")


@dataclass(frozen=True)
class OfCard:
    """What a card shows beside the columns of its panel."""

    thickness: Ranged
    areal_mass: Ranged
    stiffness_along: Ranged | None
    stiffness_across: Ranged | None
    layers: tuple[LayerRecord, ...]


@cache
def _card_adapter() -> TypeAdapter[OfCard]:
    return TypeAdapter(OfCard)


def core_words(snapshot: Snapshot) -> tuple[str, ...]:
    """What holds the faces apart, without densities: ``PET foam``; NO_CORE where nothing does."""
    names = {
        _DENSITY.sub("", layer.name)
        for layer in snapshot.prediction.layers
        if layer.kind in _BETWEEN_FACES
    }
    return tuple(sorted(names)) or (NO_CORE,)


def _bare(value: Ranged) -> Ranged:
    """A range without what drives it: a card shows none."""
    return Ranged(value.value, value.low, value.high, value.unit, value.evidence)


def _card_data(snapshot: Snapshot) -> bytes:
    made = snapshot.prediction
    stiff = made.section
    layers = tuple(
        _bare_layer(layer, _bare(layer.thickness), _bare(layer.areal_mass)) for layer in made.layers
    )
    card = OfCard(
        _bare(made.thickness),
        _bare(made.areal_mass),
        None if stiff is None else _bare(stiff.stiffness_along),
        None if stiff is None else _bare(stiff.stiffness_across),
        layers,
    )
    return pack(_card_adapter().dump_json(card).decode("utf-8"))


def _bare_layer(layer: LayerRecord, thickness: Ranged, mass: Ranged) -> LayerRecord:
    return replace(layer, thickness=thickness, areal_mass=mass)


# Saving -----------------------------------------------------------------------------------------


def panel_row(session: Session, number: str) -> PanelRow:
    """The row of a panel; InputError where there is none."""
    row = session.get(PanelRow, panel_id(number))
    if row is None:
        last = session.scalar(select(func.max(PanelRow.id)))
        allowed = f"up to {panel_number(last)}" if last else "none yet"
        raise InputError(Problem("there is no such panel on the shelf", number, allowed))
    return row


def next_id(session: Session, column: object) -> int:
    """The first number not given yet. Only for who has the database alone."""
    return int(session.scalar(select(func.coalesce(func.max(column), 0))) or 0) + 1


def add_panel(session: Session, snapshot: Snapshot, remark: str, tags: tuple[str, ...]) -> PanelRow:
    """A new panel with its first revision."""
    row = PanelRow(
        id=next_id(session, PanelRow.id),
        title="",
        revision=0,
        made=now(),
        changed="",
        process="",
        standing=PREDICTED,
        thickness=0.0,
        areal_mass=0.0,
    )
    add_revision(session, row, snapshot, remark)
    set_tags(session, row, tags)
    return row


def add_revision(session: Session, row: PanelRow, snapshot: Snapshot, remark: str) -> None:
    """Another revision of a panel, from now on its newest."""
    moment = now()
    put_revision(
        session,
        row,
        RevisionRow(
            panel_id=row.id,
            number=row.revision + 1,
            made=moment,
            remark=checked(remark, "remark"),
            version=snapshot.prediction.version,
            catalogue=snapshot.prediction.catalogue,
            text=snapshot.prediction.text,
            snapshot=pack(dump(snapshot)),
        ),
        snapshot,
    )


def put_revision(
    session: Session, row: PanelRow, revision: RevisionRow, snapshot: Snapshot
) -> None:
    """A revision as given, and the panel's row, card and cores after it."""
    made = snapshot.prediction
    row.title = checked(made.title, "title", lines=False)
    row.revision, row.changed = revision.number, revision.made
    row.process, row.thickness = made.process, made.thickness.value
    row.areal_mass = made.areal_mass.value
    session.add(row)
    session.flush()
    revision.id = next_id(session, RevisionRow.id)
    session.add(revision)
    session.execute(delete(CoreRow).where(CoreRow.panel_id == row.id))
    session.add_all(CoreRow(panel_id=row.id, word=word) for word in core_words(snapshot))
    session.merge(CardRow(panel_id=row.id, data=_card_data(snapshot)))
    session.flush()


def set_tags(session: Session, row: PanelRow, tags: tuple[str, ...]) -> None:
    """Have a panel bear these tags and no others."""
    session.execute(delete(TagRow).where(TagRow.panel_id == row.id))
    session.add_all(TagRow(panel_id=row.id, word=tag) for tag in checked_tags(tags))
    session.flush()


def refresh_words(session: Session, row: PanelRow, snapshot: Snapshot) -> None:
    """Have a panel found by all that is written of it now."""
    made = snapshot.prediction
    remarks = session.scalars(select(RevisionRow.remark).where(RevisionRow.panel_id == row.id))
    layers = [word for layer in made.layers for word in (layer.name, layer.kind)]
    said = [panel_number(row.id), made.title, made.process, made.resin, *layers, *remarks]
    keep_words(session, row.id, " ".join([*said, *tags_of(session, row.id)]))


# Reading ----------------------------------------------------------------------------------------


def tags_of(session: Session, panel: int) -> tuple[str, ...]:
    """The tags of a panel."""
    found = session.scalars(select(TagRow.word).where(TagRow.panel_id == panel))
    return tuple(sorted(found))


def snapshot_of(row: RevisionRow) -> Snapshot:
    """The prediction kept with a revision; InputError where it cannot be read."""
    try:
        return load(unpack(row.snapshot))
    except ValueError as wrong:
        raise InputError(Problem("a stored prediction is damaged", str(wrong))) from None


def revision_row(session: Session, row: PanelRow, number: int | None = None) -> RevisionRow:
    """A revision of a panel, the newest by default; InputError where there is none."""
    wanted = row.revision if number is None else number
    found = session.scalars(
        select(RevisionRow).where(RevisionRow.panel_id == row.id, RevisionRow.number == wanted)
    ).first()
    if found is None:
        what = f"{panel_number(row.id)} has no such revision"
        raise InputError(Problem(what, str(wanted), f"1 to {row.revision}"))
    return found


def read_panel(session: Session, number: str, revision: int | None) -> PanelOnShelf:
    """A panel at one of its revisions."""
    row = panel_row(session, number)
    wanted = revision_row(session, row, revision)
    columns = (
        RevisionRow.number,
        RevisionRow.made,
        RevisionRow.remark,
        RevisionRow.version,
        RevisionRow.catalogue,
    )
    listed = session.execute(
        select(*columns).where(RevisionRow.panel_id == row.id).order_by(RevisionRow.number.desc())
    )
    return PanelOnShelf(
        number=panel_number(row.id),
        title=row.title,
        tags=tags_of(session, row.id),
        standing=row.standing,
        revision=wanted.number,
        text=wanted.text,
        remark=wanted.remark,
        made=wanted.made,
        snapshot=snapshot_of(wanted),
        revisions=tuple(Revision(*columns) for columns in listed),
        pieces=(),
        photos=(),
    )


# Finding ----------------------------------------------------------------------------------------

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


def find_panels(session: Session, wanted: Filter) -> Page[Card]:
    """The panels for which all that is wanted holds; InputError for an unknown order."""
    if wanted.order not in ORDERS:
        raise InputError(Problem("no order is called so", wanted.order[:40], ", ".join(ORDERS)))
    size = max(1, min(wanted.size, MOST_ON_A_PAGE))
    offset = max(0, wanted.offset)
    conditions = _conditions(session, wanted)
    held = [one for all_ in conditions.values() for one in all_]
    total = int(session.scalar(select(func.count()).select_from(PanelRow).where(*held)) or 0)
    order = (_ORDERS[wanted.order], PanelRow.id.desc())
    rows = session.scalars(
        select(PanelRow).where(*held).order_by(*order).limit(size).offset(offset)
    ).all()
    return Page(_cards(session, rows), total, offset, size, _facets(session, conditions))


def _cards(session: Session, rows: Sequence[PanelRow]) -> tuple[Card, ...]:
    ids = [row.id for row in rows]
    data = {
        row.panel_id: row.data
        for row in session.scalars(select(CardRow).where(CardRow.panel_id.in_(ids)))
    }
    tags = _words_by_panel(session, TagRow, ids)
    cores = _words_by_panel(session, CoreRow, ids)
    return tuple(
        _card(row, data[row.id], tags.get(row.id, ()), cores.get(row.id, ()), 0, "", None)
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
    data: bytes,
    tags: tuple[str, ...],
    cores: tuple[str, ...],
    pieces: int,
    photo: str,
    found: Found | None,
) -> Card:
    shown = _card_adapter().validate_json(unpack(data))
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
