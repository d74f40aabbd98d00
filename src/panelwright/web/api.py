"""The twins of the pages for machines: JSON, SI units, read only."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Request

from panelwright.jobs.materials import list_tables, row_of, search
from panelwright.jobs.shelf import MEASURED, ORDERS, PREDICTED, Filter, Piece
from panelwright.jobs.working import headline_names, work
from panelwright.panels.description import read
from panelwright.reports.materials_text import row_json, tables_json
from panelwright.reports.prediction_json import as_json, quantity
from panelwright.reports.working_text import working_passages
from panelwright.web.answers import (
    FoundPanels,
    KeptPanel,
    MaterialRow,
    Names,
    Prices,
    Refusal,
    Remnants,
    Rows,
    Tables,
    Today,
    Worked,
)
from panelwright.web.panels import Revised, shelf_of

_REFUSED: dict[int | str, dict[str, Any]] = {
    code: {"model": Refusal} for code in (400, 401, 404, 422, 503)
}
router = APIRouter(responses=_REFUSED)


def _number(letter: str) -> Any:
    """A number as it is told of; what else is written for one is read, or refused in words."""
    shape = {"pattern": f"^{letter}-[0-9]{{3}}[1-9]$"}
    return Path(description=f"such as {letter}-0001", json_schema_extra=shape)


PanelNumber = Annotated[str, _number("P")]
PieceNumber = Annotated[str, _number("S")]
Name = Annotated[str, Path(max_length=200)]
Length = Annotated[float | None, Query(ge=0, allow_inf_nan=False)]


@router.get("/shelf", response_model=FoundPanels)
def shelf(
    request: Request,
    find: Annotated[str, Query(max_length=200)] = "",
    tag: Annotated[list[str] | None, Query(max_length=20)] = None,
    core: Annotated[list[str] | None, Query(max_length=20)] = None,
    process: Annotated[list[str] | None, Query(max_length=20)] = None,
    standing: Annotated[str, Query(json_schema_extra={"enum": ["", MEASURED, PREDICTED]})] = "",
    order: Annotated[str, Query(json_schema_extra={"enum": list(ORDERS)})] = ORDERS[0],
    thickness_from: Length = None,
    thickness_to: Length = None,
    areal_mass_from: Length = None,
    areal_mass_to: Length = None,
    offset: Annotated[int, Query(ge=0, le=10**9)] = 0,
    size: Annotated[int, Query(ge=1, le=200)] = 24,
) -> dict[str, Any]:
    """Panels for which all that is asked holds; m, kg/m2."""
    wanted = Filter(
        text=find,
        tags=tuple(tag or ()),
        thickness=(thickness_from, thickness_to),
        areal_mass=(areal_mass_from, areal_mass_to),
        cores=tuple(core or ()),
        processes=tuple(process or ()),
        standing=standing,
        order=order,
        size=size,
        offset=offset,
    )
    found = shelf_of(request).find(wanted)
    return {
        "total": found.total,
        "offset": found.offset,
        "panels": [
            {
                "number": card.number,
                "title": card.title,
                "tags": list(card.tags),
                "revision": card.revision,
                "changed": card.changed,
                "process": card.process,
                "cores": list(card.cores),
                "standing": card.standing,
                "thickness": quantity(card.thickness),
                "areal_mass": quantity(card.areal_mass),
                "pieces": card.pieces,
            }
            for card in found.items
        ],
        "facets": {
            name: [asdict(one) for one in counted] for name, counted in found.facets.items()
        },
    }


@router.get("/panel/{number}", response_model=KeptPanel)
def panel(request: Request, number: PanelNumber, revision: Revised = None) -> dict[str, Any]:
    """A panel with its file and the prediction that was stored with it."""
    kept = shelf_of(request).panel(number, revision)
    return {
        "number": kept.number,
        "title": kept.title,
        "tags": list(kept.tags),
        "standing": kept.standing,
        "revision": kept.revision,
        "made": kept.made,
        "remark": kept.remark,
        "file": kept.text,
        "prediction": as_json(kept.snapshot.prediction),
        "revisions": [asdict(one) for one in kept.revisions],
        "pieces": [_piece(one) for one in kept.pieces],
        "photos": [asdict(one) for one in kept.photos],
    }


def _piece(piece: Piece) -> dict[str, Any]:
    return asdict(piece)


@router.get("/panel/{number}/today", response_model=Today)
def today(request: Request, number: PanelNumber, revision: Revised = None) -> dict[str, Any]:
    """Today's prediction of the same file, and where a headline has moved and why."""
    now, moved = shelf_of(request).today(number, revision)

    def value(one: Any) -> Any:
        return None if one is None else quantity(one)

    return {
        "prediction": as_json(now),
        "moved": [
            {"name": one.name, "then": value(one.then), "now": value(one.now), "cause": one.cause}
            for one in moved
        ],
    }


@router.get("/panel/{number}/working", response_model=Names)
def workings(request: Request, number: PanelNumber) -> dict[str, Any]:
    """Names of the numbers that have a working."""
    shelf = shelf_of(request)
    kept = shelf.panel(number)
    return {"names": list(headline_names(read(kept.text), shelf.catalogue()))}


@router.get("/panel/{number}/working/{name}", response_model=Worked)
def working(request: Request, number: PanelNumber, name: Name) -> dict[str, Any]:
    """The steps of one number, the result first, and the given values."""
    shelf = shelf_of(request)
    done = work(read(shelf.panel(number).text), shelf.catalogue(), name)
    steps, givens = working_passages(done.node, done.layers)
    return {
        "name": done.name,
        "value": float(done.node.value),
        "steps": [asdict(one) for one in steps],
        "given": [asdict(one) for one in givens],
    }


@router.get("/piece/{number}", response_model=Piece)
def piece(request: Request, number: PieceNumber) -> dict[str, Any]:
    """A piece with its records and its family."""
    return _piece(shelf_of(request).piece(number))


@router.get("/materials", response_model=Tables | Rows)
def materials(request: Request, find: Annotated[str, Query(max_length=200)] = "") -> dict[str, Any]:
    """Tables of the catalogue, or the rows that have some words."""
    catalogue = shelf_of(request).catalogue()
    if not find.strip():
        return {"tables": tables_json(list_tables(catalogue))}
    return {"rows": [row_json(row) for row in search(catalogue, find)[:200]]}


@router.get("/materials/{table}/{row}", response_model=MaterialRow)
def material(request: Request, table: Name, row: Name) -> dict[str, Any]:
    """All that is known of one row."""
    return row_json(row_of(shelf_of(request).catalogue(), table, row))


@router.get("/prices", response_model=Prices)
def prices(request: Request) -> dict[str, Any]:
    """The shop's own prices."""
    return {"prices": [asdict(one) for one in shelf_of(request).prices()]}


@router.get("/remnants", response_model=Remnants)
def remnants(request: Request) -> dict[str, Any]:
    """What is left over of materials, and what was used up."""
    return {"remnants": [asdict(one) for one in shelf_of(request).remnants()]}
