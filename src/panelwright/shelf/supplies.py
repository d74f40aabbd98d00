"""The shop's own materials, prices and remnants in the database: added to, never written over."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal, InvalidOperation

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from panelwright.errors import InputError, Problem
from panelwright.shelf.records import OwnMaterials, Price, Remnant, piece_number
from panelwright.shelf.rows import next_id, piece_row
from panelwright.shelf.tables import OwnMaterialsRow, PriceRow, RemnantRow
from panelwright.shelf.texts import MOST_LINE, checked, now

#: What a price may be for, with the words of the shop.
PER = ("kg", "m2", "m3", "m", "l", "piece")
MOST_TEXT = 1_000_000


def own_materials(session: Session) -> OwnMaterials:
    """The newest state; number 0 and no text where there is none."""
    row = session.scalars(select(OwnMaterialsRow).order_by(OwnMaterialsRow.id.desc())).first()
    if row is None:
        return OwnMaterials(0, "", "")
    return OwnMaterials(row.id, row.text, row.made, row.remark)


def add_own_materials(session: Session, text: str, remark: str) -> int:
    """A new state of the shop's own materials; its number."""
    row = OwnMaterialsRow(
        id=next_id(session, OwnMaterialsRow.id),
        text=checked(text, "materials", MOST_TEXT),
        made=now(),
        remark=checked(remark, "remark"),
    )
    session.add(row)
    session.flush()
    return row.id


def newest_number(session: Session) -> int:
    """The number of the newest state of the own materials; 0 for none."""
    return int(session.scalar(select(func.max(OwnMaterialsRow.id))) or 0)


def prices(session: Session) -> tuple[Price, ...]:
    """All prices, by material, the newest first."""
    rows = session.scalars(
        select(PriceRow).order_by(PriceRow.material, PriceRow.date.desc(), PriceRow.id.desc())
    )
    return tuple(
        Price(row.material, row.amount, row.currency, row.per, row.date, row.remark, row.made)
        for row in rows
    )


def add_price(session: Session, price: Price) -> None:
    """A price beside those before it. Raises :class:`InputError`."""
    _check_price(price)
    row = PriceRow(
        id=next_id(session, PriceRow.id),
        material=price.material,
        amount=price.amount,
        currency=price.currency,
        per=price.per,
        date=price.date,
        remark=price.remark,
        made=price.made or now(),
    )
    session.add(row)
    session.flush()


def _check_price(price: Price) -> None:
    if not checked(price.material, "material", MOST_LINE, lines=False).strip():
        raise InputError(Problem("a price is of a material", key="material"))
    checked(price.remark, "remark")
    if not _is_amount(price.amount):
        hint = "digits with a point, such as 12.50"
        raise InputError(Problem("this is not an amount", price.amount[:40], hint=hint))
    if not re.fullmatch("[A-Z]{3}", price.currency):
        allowed = "three capitals, such as EUR"
        raise InputError(Problem("this is not a currency", price.currency[:40], allowed))
    if price.per not in PER:
        raise InputError(Problem("a price is per", price.per[:40], ", ".join(PER)))
    try:
        date.fromisoformat(price.date)
    except ValueError:
        allowed = "year-month-day, such as 2026-05-31"
        raise InputError(Problem("this is not a date", price.date[:40], allowed)) from None


def _is_amount(text: str) -> bool:
    try:
        return bool(re.fullmatch(r"[0-9]{1,12}(\.[0-9]{1,6})?", text)) and Decimal(text) >= 0
    except InvalidOperation:
        return False


# Remnants ---------------------------------------------------------------------------------------


def remnants(session: Session) -> tuple[Remnant, ...]:
    """All that is or was left over: what lies there first, by material, the newest first."""
    order = (RemnantRow.gone != "", RemnantRow.material, RemnantRow.id.desc())
    return tuple(remnant_of(row) for row in session.scalars(select(RemnantRow).order_by(*order)))


def remnant_of(row: RemnantRow) -> Remnant:
    """The record of a remnant."""
    piece = "" if row.piece_id is None else piece_number(row.piece_id)
    return Remnant(row.material, row.amount, piece, row.remark, row.made, row.gone, row.id)


def add_remnant(session: Session, remnant: Remnant) -> None:
    """A remnant beside those before it. Raises :class:`InputError`."""
    for key in ("material", "amount"):
        if not checked(getattr(remnant, key), key, MOST_LINE, lines=False).strip():
            raise InputError(Problem(f"what is left over has no {key}", key=key))
    row = RemnantRow(
        id=next_id(session, RemnantRow.id),
        material=remnant.material.strip(),
        amount=remnant.amount.strip(),
        piece_id=piece_row(session, remnant.piece).id if remnant.piece else None,
        remark=checked(remnant.remark, "remark"),
        made=remnant.made or now(),
        gone=remnant.gone,
    )
    session.add(row)
    session.flush()


def use_up(session: Session, number: int) -> None:
    """A remnant is gone; once gone it stays so. Raises :class:`InputError` for no such one."""
    row = session.get(RemnantRow, number)
    if row is None:
        raise InputError(Problem("there is no such remnant", str(number)))
    row.gone = row.gone or now()
    session.flush()
