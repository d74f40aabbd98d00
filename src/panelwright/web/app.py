"""The workshop as an application: its routes, its errors, what stands before it."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, PlainTextResponse, Response
from starlette.exceptions import HTTPException
from starlette.staticfiles import StaticFiles

import panelwright
from panelwright.errors import InputError, PanelwrightError, Problem, ShelfError, UnknownName
from panelwright.jobs.shelf import Shelf
from panelwright.reports.drawing import style_sheet as drawing_styles
from panelwright.reports.fonts import FACES, data, style_sheet
from panelwright.reports.paper.pages import NoPrinter
from panelwright.web import (
    api,
    bench,
    builds,
    charts,
    edges,
    floor,
    lineups,
    live,
    materials,
    panels,
    pieces,
    remnants,
    sheets,
    shop,
)
from panelwright.web.access import Access
from panelwright.web.answers import with_prediction
from panelwright.web.desks import Desks
from panelwright.web.guard import HEADERS, Guard
from panelwright.web.views import page

#: What a browser may keep, s.
KEEP = "max-age=86400"


def create_app(shelf: Shelf, access: Access | None = None) -> FastAPI:
    """The application over an open shelf.

    access : keys of this run; without one only this machine is served.
    """
    app = FastAPI(
        title="Panelwright",
        version=panelwright.__version__,
        description="What the pages of the workshop show, for machines: SI units, read only.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    app.state.shelf = shelf
    app.state.access = access or Access()
    app.state.desks = Desks()
    app.state.part_files = builds.PartFiles()
    for part in (
        shop,
        panels,
        live,
        lineups,
        charts,
        pieces,
        bench,
        edges,
        builds,
        floor,
        remnants,
        materials,
        sheets,
    ):
        app.include_router(part.router, include_in_schema=False)
    app.include_router(api.router, prefix="/api")
    app.add_api_route("/static/faces.css", _faces, include_in_schema=False)
    app.add_api_route("/static/drawing.css", _drawing, include_in_schema=False)
    app.add_api_route("/static/fonts/{name}", _font, include_in_schema=False)
    folder = files("panelwright.web").joinpath("static")
    app.mount("/static", StaticFiles(directory=str(folder)), name="static")
    app.add_exception_handler(PanelwrightError, _refused)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(shop.StaleForm, _stale)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(Exception, _broken)
    app.add_middleware(Guard, access=app.state.access)
    told = app.openapi
    app.openapi = cache(lambda: with_prediction(told()))  # type: ignore[method-assign]
    return app


def _css(text: str) -> Response:
    return Response(text, media_type="text/css", headers={"Cache-Control": KEEP})


def _faces() -> Response:
    return _css(style_sheet("/static/fonts"))


def _drawing() -> Response:
    return _css(drawing_styles())


def _font(name: str) -> Response:
    face = next((face for face in FACES if face.file == name), None)
    if face is None:
        raise HTTPException(404)
    return Response(data(face), media_type="font/woff2", headers={"Cache-Control": KEEP})


# --- What is refused ------------------------------------------------------------------------------


def _status(wrong: PanelwrightError) -> int:
    if isinstance(wrong, ShelfError | NoPrinter):
        return 503
    return 404 if isinstance(wrong, UnknownName) or _is_missing(wrong) else 400


def _is_missing(wrong: PanelwrightError) -> bool:
    return isinstance(wrong, InputError) and any("there is no" in p.what for p in wrong.problems)


def _told(request: Request, status: int, problems: list[Problem]) -> Response:
    """The same words on the page, at a machine's door and on the command line."""
    sentences = [problem.sentence() for problem in problems]
    if request.url.path.startswith("/api"):
        return JSONResponse({"problems": sentences}, status_code=status)
    return page(request, "refused.html", status=status, sentences=sentences)


async def _refused(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, PanelwrightError)
    return _told(request, _status(wrong), list(wrong.problems))


async def _invalid(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, RequestValidationError)
    problems = [
        Problem(str(error["msg"]), str(error.get("input", ""))[:60], key=str(error["loc"][-1]))
        for error in wrong.errors()
    ]
    return _told(request, 422, problems)


async def _stale(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, shop.StaleForm)
    return page(request, "stale.html", status=403, action=wrong.action, fields=wrong.fields)


async def _http(request: Request, wrong: Exception) -> Response:
    assert isinstance(wrong, HTTPException)
    said = {404: "there is no such page", 405: "this page does not take that"}
    what = said.get(wrong.status_code, str(wrong.detail))
    problem = Problem(what, request.url.path, hint="the shelf, at /shelf")
    return _told(request, wrong.status_code, [problem])


def _broken(request: Request, wrong: Exception) -> Response:
    """A fault of ours: the server's own record says what it was."""
    return PlainTextResponse(_BROKEN, status_code=500, headers=HEADERS)


_BROKEN = (
    "The workshop has met a fault of its own and has kept nothing of this. Go back: what you typed "
    "may still stand there. The window where the workshop was started says what went wrong."
)
