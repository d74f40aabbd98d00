"""Rows by their numbers, and numbers for new ones."""

from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem
from panelwright.shelf.records import panel_id, panel_number, piece_id, piece_number
from panelwright.shelf.tables import PanelRow, PieceRow


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


def piece_row(session: Session, number: str) -> PieceRow:
    """The row of a piece; InputError where there is none."""
    row = session.get(PieceRow, piece_id(number))
    if row is None:
        last = session.scalar(select(func.max(PieceRow.id)))
        allowed = f"up to {piece_number(last)}" if last else "none yet"
        raise InputError(Problem("there is no such piece on the shelf", number, allowed))
    return row


def belonging(session: Session, of: str) -> tuple[int, int | None]:
    """The rows of a panel, or of a piece and its panel, by a number of either."""
    if of.strip()[:1].upper() == "S":
        piece = piece_row(session, of)
        return piece.panel_id, piece.id
    return panel_row(session, of).id, None
