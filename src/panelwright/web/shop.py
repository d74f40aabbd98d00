"""Pages beside the shelf: the way in, the look, what the workshop is."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from panelwright.web.access import IN_THE_CLEAR, STAYS
from panelwright.web.guard import VISIT
from panelwright.web.views import INKS, LOOK, SYSTEMS, access_of, look_of, page

router = APIRouter()

_TOO_MANY = "Too many wrong passphrases: wait a minute, then try again."
_NOT_IT = "That is not the passphrase. It is the one typed where the workshop was started."


class StaleForm(Exception):
    """A form of an earlier visit, with what was typed: it is shown again, not lost."""

    def __init__(self, action: str, fields: list[tuple[str, str]]) -> None:
        self.action = action
        self.fields = fields


#: What is never shown again: keys, and what the editor of a panel says in its text as well.
_NOT_SHOWN = frozenset({"mark", "passphrase", "stands", "held", "wide", "cut", "open", "desk"})


def _is_shown(name: str) -> bool:
    return name not in _NOT_SHOWN and not name.startswith(("at.", "group_", "layer_words"))


async def own_form(request: Request, mark: Annotated[str, Form()] = "") -> None:
    """Refuse a form that was not made by a page of this visit."""
    if access_of(request).is_own_form(request.scope["visit"], mark):
        return
    form = await request.form()
    typed = [(k, v) for k, v in form.multi_items() if isinstance(v, str) and _is_shown(k)]
    raise StaleForm(request.url.path, typed)


OwnForm = Depends(own_form)


def _within(to: str) -> str:
    """A path of this site; the shelf for anything else."""
    inside = to.startswith("/") and not to.startswith(("//", "/\\"))
    return to if inside and to.isprintable() else "/shelf"


@router.get("/", response_class=RedirectResponse)
def home() -> RedirectResponse:
    """The workshop opens at the shelf."""
    return RedirectResponse("/shelf", status_code=303)


@router.get("/enter", response_class=HTMLResponse)
def enter(request: Request, to: str = "/shelf") -> Response:
    """The way in, for who comes over the network."""
    return page(request, "enter.html", to=_within(to), wrong="", clear=IN_THE_CLEAR)


@router.post("/enter", dependencies=[OwnForm])
def let_in(
    request: Request, passphrase: Annotated[str, Form()] = "", to: Annotated[str, Form()] = "/shelf"
) -> Response:
    """Let in who knows the passphrase."""
    access = access_of(request)
    if not access.open_to_network:
        return RedirectResponse(_within(to), status_code=303)
    right = access.guess(passphrase)
    if not right:
        wrong = _TOO_MANY if right is None else _NOT_IT
        values = {"to": _within(to), "wrong": wrong, "clear": IN_THE_CLEAR}
        return page(request, "enter.html", status=403, **values)
    answer = RedirectResponse(_within(to), status_code=303)
    answer.set_cookie(
        VISIT, access.visit(let_in=True), httponly=True, samesite="strict", max_age=int(STAYS)
    )
    return answer


@router.post("/look", dependencies=[OwnForm])
def choose_look(
    request: Request,
    system: Annotated[str, Form()] = "",
    ink: Annotated[str, Form()] = "",
    to: Annotated[str, Form()] = "/shelf",
) -> Response:
    """Remember units, and film or blueprint, in this browser."""
    now = look_of(request)
    system = system if system in SYSTEMS else now.system
    ink = ink if ink in INKS else now.ink
    answer = RedirectResponse(_within(to), status_code=303)
    year = 365 * 24 * 3600
    answer.set_cookie(LOOK, f"{system}.{ink}", max_age=year, samesite="strict", httponly=True)
    return answer


@router.get("/about", response_class=HTMLResponse)
def about(request: Request) -> Response:
    """What the figures are, what they are not, and what the signs mean."""
    from panelwright.reports.drawing import key_svg

    widths = {"phone": 336, "tablet": 668, "desk": 826}
    key = {name: key_svg(width) for name, width in widths.items()}
    return page(request, "about.html", key=key)
