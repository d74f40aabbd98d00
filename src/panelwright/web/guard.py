"""What stands before every page: hosts, sizes, forms, who is let in, and the headers of answers."""

from __future__ import annotations

from typing import Final
from urllib.parse import quote, urlsplit

from python_multipart.multipart import parse_options_header
from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import cookie_parser
from starlette.responses import JSONResponse, PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from panelwright.web.access import Access, is_welcome

VISIT: Final = "panelwright_visit"
#: Largest body of a request: a photo of a phone, or an exported shelf.
MOST_BYTES = 40 * 2**20
#: Pages for those who are not let in.
OPEN_PATHS = ("/enter", "/static/")

HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; "
        "font-src 'self'; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; "
        "base-uri 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), microphone=(self), geolocation=()",
    "X-Frame-Options": "DENY",
}


class TooLarge(HTTPException):
    """A body over the limit."""

    def __init__(self) -> None:
        super().__init__(413, _TOO_LARGE)


class Guard:
    """An ASGI application before another."""

    def __init__(self, app: ASGIApp, access: Access) -> None:
        self.app = app
        self.access = access

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or pass on to the pages."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        refused = self._refused(scope, headers)
        if refused is not None:
            await refused(scope, receive, _with_headers(send))
            return
        cookie = cookie_parser(headers.get("cookie", "")).get(VISIT, "")
        known, let_in = self.access.reads(cookie) if cookie else (False, False)
        fresh = "" if known else self.access.visit(let_in=False)
        let_in = let_in or not self.access.open_to_network
        if not let_in and not str(scope["path"]).startswith(OPEN_PATHS):
            await _turned_away(scope)(scope, receive, _with_headers(send, fresh))
            return
        scope["visit"] = cookie if known else fresh
        await self.app(scope, _limited(receive), _with_headers(send, fresh))

    def _refused(self, scope: Scope, headers: Headers) -> Response | None:
        """The answer to a request that goes no further."""
        if not is_welcome(headers.get("host", ""), self.access.open_to_network):
            return PlainTextResponse(_STRANGE_HOST, status_code=421)
        length = headers.get("content-length") or "0"
        if not length.isdecimal():
            return PlainTextResponse("The length of the request is no number.", status_code=400)
        if int(length) > MOST_BYTES:
            return PlainTextResponse(_TOO_LARGE, status_code=413)
        if scope["method"] not in {"GET", "HEAD"} and not _is_from_here(headers):
            return PlainTextResponse(_FROM_ELSEWHERE, status_code=403)
        if not _is_plain_text(headers.get("content-type", "")):
            return PlainTextResponse(_STRANGE_LETTERS, status_code=415)
        return None


def _is_plain_text(kind: str) -> bool:
    """Whether the letters of a body are UTF-8, as those of every browser are from our pages."""
    charset = parse_options_header(kind)[1].get(b"charset", b"utf-8")
    return charset.lower() in {b"utf-8", b"utf8"}


_STRANGE_LETTERS = "The letters of a form must be UTF-8."
_STRANGE_HOST = (
    "This address leads to the workshop by a name that is not its own. Open it by the address that "
    "it printed when it started."
)
_TOO_LARGE = f"That is larger than the {MOST_BYTES // 2**20} MB that are taken at once."
_LEFT = (
    "The passphrase is needed again; nothing is kept yet. Open /enter in another tab and come in, "
    "then load this page again: what you typed is sent again."
)
_FROM_ELSEWHERE = "This form was sent from another site; open the page here and send it again."


def _is_from_here(headers: Headers) -> bool:
    """Whether a form comes from one of our own pages, as far as the browser says."""
    site = headers.get("sec-fetch-site")
    if site is not None and site not in {"same-origin", "none"}:
        return False
    origin = headers.get("origin")
    return origin is None or urlsplit(origin).netloc == headers.get("host")


def _turned_away(scope: Scope) -> Response:
    if str(scope["path"]).startswith("/api"):
        return JSONResponse({"problems": ["The passphrase is needed first."]}, status_code=401)
    if scope["method"] not in {"GET", "HEAD"} and scope["path"] != "/enter":
        return PlainTextResponse(_LEFT, status_code=403)
    query = bytes(scope["query_string"]).decode("latin-1")
    asked = quote(str(scope["path"]) + (f"?{query}" if query else ""), safe="/")
    return RedirectResponse(f"/enter?to={asked}", status_code=303)


def _limited(receive: Receive) -> Receive:
    """The body of a request, refused where it grows beyond the limit whatever its header said."""
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_BYTES:
            raise TooLarge
        return message

    return counted


def _with_headers(send: Send, visit: str = "") -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
            headers.setdefault("Cache-Control", "no-store")
            if visit and "set-cookie" not in headers:
                headers.append("set-cookie", f"{VISIT}={visit}; Path=/; HttpOnly; SameSite=Strict")
        await send(message)

    return sent
