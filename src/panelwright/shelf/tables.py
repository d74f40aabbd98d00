"""The tables of the shelf. A changed table needs a step in ``migrations/versions``."""

from __future__ import annotations

from sqlalchemy import ForeignKey, MetaData, UniqueConstraint
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from sqlalchemy.types import Double, Integer, LargeBinary, Text

NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """What all tables share: names of constraints, and the types of columns."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map = {str: Text, float: Double, int: Integer, bytes: LargeBinary}  # noqa: RUF012


class PanelRow(Base):
    """A panel at its newest revision, in what it is found and put in order by."""

    __tablename__ = "panel"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    title: Mapped[str]
    revision: Mapped[int]
    made: Mapped[str]
    changed: Mapped[str] = mapped_column(index=True)
    process: Mapped[str] = mapped_column(index=True)
    standing: Mapped[str] = mapped_column(index=True)
    thickness: Mapped[float] = mapped_column(index=True)
    areal_mass: Mapped[float] = mapped_column(index=True)


class CardRow(Base):
    """What a card shows beside, packed."""

    __tablename__ = "card"
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), primary_key=True)
    data: Mapped[bytes]


class CoreRow(Base):
    """A core of a panel's newest revision."""

    __tablename__ = "core"
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), primary_key=True)
    word: Mapped[str] = mapped_column(primary_key=True, index=True)


class TagRow(Base):
    """A tag on a panel."""

    __tablename__ = "tag"
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), primary_key=True)
    word: Mapped[str] = mapped_column(primary_key=True, index=True)


class RevisionRow(Base):
    """One state of a panel's file, with the prediction made of it, packed."""

    __tablename__ = "revision"
    __table_args__ = (UniqueConstraint("panel_id", "number"),)
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), index=True)
    number: Mapped[int]
    made: Mapped[str]
    remark: Mapped[str]
    version: Mapped[str]
    catalogue: Mapped[str]
    text: Mapped[str]
    snapshot: Mapped[bytes]


class PieceRow(Base):
    """A physical sample."""

    __tablename__ = "piece"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), index=True)
    revision: Mapped[int]
    title: Mapped[str]
    cut_from: Mapped[int | None] = mapped_column(ForeignKey("piece.id"), index=True)
    cut_at: Mapped[str]
    place: Mapped[str]
    remains: Mapped[str]
    remark: Mapped[str]
    made: Mapped[str]


class RecordRow(Base):
    """What was read off a piece on one day, and what the readings come to."""

    __tablename__ = "record"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    piece_id: Mapped[int] = mapped_column(ForeignKey("piece.id"), index=True)
    date: Mapped[str]
    gross: Mapped[float | None]
    tare: Mapped[float]
    length: Mapped[float | None]
    width: Mapped[float | None]
    remark: Mapped[str]
    made: Mapped[str]
    areal_mass: Mapped[float | None]
    thickness: Mapped[float | None]
    who: Mapped[str] = mapped_column(server_default="")
    again: Mapped[str] = mapped_column(server_default="")
    improve: Mapped[str] = mapped_column(server_default="")


class GaugedRow(Base):
    """A thickness at a point."""

    __tablename__ = "gauged"
    record_id: Mapped[int] = mapped_column(ForeignKey("record.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    point: Mapped[str]
    thickness: Mapped[float]


class ReadingRow(Base):
    """A reading of a record."""

    __tablename__ = "reading"
    record_id: Mapped[int] = mapped_column(ForeignKey("record.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    what: Mapped[str]
    point: Mapped[str]
    value: Mapped[float]
    division: Mapped[float]
    reason: Mapped[str]


class HouseRow(Base):
    """A word on a house value: what a piece told of it, or that it is off, on, begun anew."""

    __tablename__ = "house"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    key: Mapped[str] = mapped_column(index=True)
    said: Mapped[str]
    piece_id: Mapped[int | None] = mapped_column(ForeignKey("piece.id"), index=True)
    value: Mapped[float | None]
    u: Mapped[float | None]
    remark: Mapped[str]
    made: Mapped[str]


class PhotoRow(Base):
    """A picture of a panel or of a piece; its file is named by the hash."""

    __tablename__ = "photo"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), index=True)
    piece_id: Mapped[int | None] = mapped_column(ForeignKey("piece.id"), index=True)
    sha256: Mapped[str] = mapped_column(index=True)
    name: Mapped[str]
    caption: Mapped[str]
    width: Mapped[int]
    height: Mapped[int]
    added: Mapped[str]


class OwnMaterialsRow(Base):
    """One state of the shop's own materials."""

    __tablename__ = "own_materials"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    text: Mapped[str]
    made: Mapped[str]
    remark: Mapped[str]


class RemnantRow(Base):
    """What is left over of a material; ``gone`` : when it was used up, empty while it is there."""

    __tablename__ = "remnant"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    material: Mapped[str] = mapped_column(index=True)
    amount: Mapped[str]
    piece_id: Mapped[int | None] = mapped_column(ForeignKey("piece.id"), index=True)
    remark: Mapped[str]
    made: Mapped[str]
    gone: Mapped[str]


class PriceRow(Base):
    """What a material cost at a date."""

    __tablename__ = "price"
    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    material: Mapped[str] = mapped_column(index=True)
    amount: Mapped[str]
    currency: Mapped[str]
    per: Mapped[str]
    date: Mapped[str]
    remark: Mapped[str]
    made: Mapped[str]
