"""The log of house values in the database: what pieces told, and what is switched off or reset.

Nothing in it is changed: the newest word of a key or of a piece holds.
"""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from panelwright.samples.house import LEARNT, OFF, ON, RESET
from panelwright.samples.reconcile import Lesson
from panelwright.shelf.records import HouseWord, piece_number
from panelwright.shelf.rows import next_id
from panelwright.shelf.tables import HouseRow, PieceRow
from panelwright.shelf.texts import MOST_LINE, checked, now


def say(session: Session, key: str, said: str, remark: str = "") -> None:
    """Switch a value off or on, or begin it anew."""
    assert said in {OFF, ON, RESET}
    _add(session, key, said, remark=checked(remark, "remark"))


def keep_lessons(session: Session, piece: PieceRow, lessons: Sequence[Lesson]) -> None:
    """What a piece tells now, in place of what it told before."""
    told = {lesson.key: lesson for lesson in lessons}
    query = select(HouseRow.key).where(HouseRow.piece_id == piece.id).distinct()
    for key in {*session.scalars(query), *told}:
        lesson = told.get(key)
        value, u = (None, None) if lesson is None else (lesson.value, lesson.u)
        _add(session, key, LEARNT, piece.id, value, u)


def _add(
    session: Session,
    key: str,
    said: str,
    piece: int | None = None,
    value: float | None = None,
    u: float | None = None,
    *,
    remark: str = "",
) -> None:
    row = HouseRow(
        id=next_id(session, HouseRow.id),
        key=checked(key, "key", MOST_LINE, lines=False),
        said=said,
        piece_id=piece,
        value=value,
        u=u,
        remark=remark,
        made=now(),
    )
    session.add(row)
    session.flush()


def newest_word(session: Session) -> int:
    """The number of the newest word; 0 for none."""
    return int(session.scalar(select(func.max(HouseRow.id))) or 0)


def words(session: Session) -> tuple[HouseWord, ...]:
    """The whole log, the oldest first, each with the first of the piece's family."""
    cut = session.execute(select(PieceRow.id, PieceRow.cut_from))
    parents: dict[int, int | None] = {row.id: row.cut_from for row in cut}

    def first(piece: int) -> int:
        while (parent := parents.get(piece)) is not None:
            piece = parent
        return piece

    rows = session.scalars(select(HouseRow).order_by(HouseRow.id))
    return tuple(
        HouseWord(
            row.key,
            row.said,
            "" if row.piece_id is None else piece_number(row.piece_id),
            "" if row.piece_id is None else piece_number(first(row.piece_id)),
            row.value,
            row.u,
            row.remark,
            row.made,
        )
        for row in rows
    )
