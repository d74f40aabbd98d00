"""Materials with their sources: the catalogue, the shop's own rows, prices."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response

from panelwright.errors import PanelwrightError, UnknownName
from panelwright.jobs.materials import list_tables, row_of, search
from panelwright.jobs.shelf import Price
from panelwright.reports.materials_text import row_values
from panelwright.web.panels import seen, shelf_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import page

router = APIRouter()
MOST = 200


@router.get("/materials", response_class=HTMLResponse)
def materials(request: Request, find: str = "", table: str = "") -> Response:
    """Tables of the catalogue, and the rows that have some words."""
    catalogue = shelf_of(request).catalogue()
    tables = list_tables(catalogue)
    rows, wrong = [], ""
    if table:
        rows = list(catalogue.table(table))
    elif find.strip():
        try:
            rows = search(catalogue, find)
        except UnknownName as unknown:
            wrong = unknown.problems[0].sentence()
    return page(
        request,
        "materials.html",
        tables=tables,
        rows=rows[:MOST],
        total=len(rows),
        find=find,
        table=table,
        wrong=wrong,
    )


@router.get("/materials/own", response_class=HTMLResponse)
def own(request: Request) -> Response:
    """The shop's own materials and prices."""
    shelf = shelf_of(request)
    values: dict[str, Any] = {
        "text": shelf.own_materials().text,
        "wrong": [],
        "prices": shelf.prices(),
    }
    return page(request, "own.html", **values, typed={})


@router.post("/materials/own", dependencies=[OwnForm])
def keep_own(request: Request, text: Annotated[str, Form()] = "") -> Response:
    """Keep the shop's own materials."""
    shelf = shelf_of(request)
    try:
        shelf.save_own_materials(text.replace("\r\n", "\n"))
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
        values: dict[str, Any] = {
            "text": text,
            "wrong": wrong,
            "prices": shelf.prices(),
            "typed": {},
        }
        return page(request, "own.html", status=400, **values)
    return seen("/materials/own")


@router.post("/materials/price", dependencies=[OwnForm])
def keep_price(
    request: Request,
    material: Annotated[str, Form()] = "",
    amount: Annotated[str, Form()] = "",
    currency: Annotated[str, Form()] = "",
    per: Annotated[str, Form()] = "",
    date: Annotated[str, Form()] = "",
    remark: Annotated[str, Form()] = "",
) -> Response:
    """Keep a price."""
    shelf = shelf_of(request)
    try:
        shelf.save_price(Price(material, amount, currency, per, date, remark))
    except PanelwrightError as refused:
        typed = {"material": material, "amount": amount, "currency": currency, "per": per}
        values: dict[str, Any] = {
            "text": shelf.own_materials().text,
            "wrong": [problem.sentence() for problem in refused.problems],
            "prices": shelf.prices(),
            "typed": {**typed, "date": date, "remark": remark},
        }
        return page(request, "own.html", status=400, **values)
    return seen("/materials/own")


@router.get("/materials/{table}/{row}", response_class=HTMLResponse)
def material(request: Request, table: str, row: str) -> Response:
    """All that is known of one row, column by column, with evidence and source."""
    found = row_of(shelf_of(request).catalogue(), table, row)
    return page(request, "material.html", row=found, values=row_values(found))
