"""Panels in the database: saving a revision, reading one."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

from pydantic import TypeAdapter
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem
from panelwright.panels.charted import Charted, bare, charted
from panelwright.panels.records import LayerRecord
from panelwright.panels.spread import Ranged
from panelwright.panels.stored import Snapshot, dump, load
from panelwright.shelf.pieces import photos_of_panel, pieces_of_panel, words_of_pieces
from panelwright.shelf.records import (
    PREDICTED,
    PanelOnShelf,
    Revision,
    panel_number,
)
from panelwright.shelf.rows import next_id, panel_row
from panelwright.shelf.tables import CardRow, CoreRow, PanelRow, RevisionRow, TagRow
from panelwright.shelf.texts import checked, checked_tags, now, pack, unpack
from panelwright.shelf.words import keep_words

NO_CORE = "no core"
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
    charted: Charted | None = None


@cache
def card_adapter() -> TypeAdapter[OfCard]:
    """What writes and reads cards as JSON."""
    return TypeAdapter(OfCard)


def core_words(snapshot: Snapshot) -> tuple[str, ...]:
    """What holds the faces apart, without densities: ``PET foam``; NO_CORE where nothing does."""
    names = {
        _DENSITY.sub("", layer.name)
        for layer in snapshot.prediction.layers
        if layer.kind in _BETWEEN_FACES
    }
    return tuple(sorted(names)) or (NO_CORE,)


def charted_of(snapshot: Snapshot) -> Charted:
    """What a stored prediction can be charted by, with the sources it rests on."""
    sources = dict.fromkeys(one.given.source for one in snapshot.inputs if one.given.source)
    return charted(snapshot.prediction, tuple(sources))


def _card_data(snapshot: Snapshot) -> bytes:
    made = snapshot.prediction
    stiff = made.section
    layers = tuple(
        _bare_layer(layer, bare(layer.thickness), bare(layer.areal_mass)) for layer in made.layers
    )
    card = OfCard(
        bare(made.thickness),
        bare(made.areal_mass),
        None if stiff is None else bare(stiff.stiffness_along),
        None if stiff is None else bare(stiff.stiffness_across),
        layers,
        charted_of(snapshot),
    )
    return pack(card_adapter().dump_json(card).decode("utf-8"))


def _bare_layer(layer: LayerRecord, thickness: Ranged, mass: Ranged) -> LayerRecord:
    return replace(layer, thickness=thickness, areal_mass=mass)


# Saving -----------------------------------------------------------------------------------------


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
    said += words_of_pieces(session, row.id)
    keep_words(session, row.id, " ".join([*said, *tags_of(session, row.id)]))


def refresh_words_of(session: Session, panel: int) -> None:
    """:func:`refresh_words` of a panel by its row, after something was written of its pieces."""
    row = session.get_one(PanelRow, panel)
    refresh_words(session, row, snapshot_of(revision_row(session, row)))


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
    found = None
    if 1 <= wanted <= row.revision:  # a number beyond those of a database never reaches it
        found = session.scalars(
            select(RevisionRow).where(RevisionRow.panel_id == row.id, RevisionRow.number == wanted)
        ).first()
    if found is None:
        what = f"there is no such revision of {panel_number(row.id)}"
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
        pieces=pieces_of_panel(session, row.id),
        photos=photos_of_panel(session, row.id),
    )
