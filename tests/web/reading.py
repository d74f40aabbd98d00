"""Read a page by what it means: its text, its links, its forms."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any

from fastapi.testclient import TestClient
from httpx2 import Response

#: Scripts that a page may name; none holds a script itself.
OWN_SCRIPTS = {
    "/static/htmx.min.js",
    "/static/workshop.js",
    "/static/floor.js",
    "/static/edge.js",
    "/static/vega.min.js",
    "/static/vega-lite.min.js",
    "/static/vega-embed.min.js",
    "/static/chart.js",
}


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.links: list[str] = []
        self.fields: dict[str, str] = {}
        self.attributes: list[tuple[str, dict[str, str | None]]] = []
        self._hidden = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.attributes.append((tag, found))
        if tag in {"style", "script"}:
            self._hidden += 1
        if tag == "a" and found.get("href"):
            self.links.append(str(found["href"]))
        if tag == "input" and found.get("name"):
            self.fields[str(found["name"])] = found.get("value") or ""

    def handle_endtag(self, tag: str) -> None:
        if tag in {"style", "script"}:
            self._hidden -= 1

    def handle_data(self, data: str) -> None:
        if not self._hidden:
            self.texts.append(data)


class Page:
    """An answer, read."""

    def __init__(self, answer: Response) -> None:
        reader = _Reader()
        reader.feed(answer.text)
        self.status = answer.status_code
        self.html = answer.text
        self.text = re.sub(r"\s+", " ", " ".join(reader.texts)).strip()
        self.links = reader.links
        self.fields = reader.fields
        self.attributes = reader.attributes
        self.scripts = [found.get("src") for tag, found in reader.attributes if tag == "script"]


def read(client: TestClient, path: str) -> Page:
    """A page by its path."""
    return Page(client.get(path))


def send(client: TestClient, form: str, action: str, **fields: Any) -> Page:
    """Fill in the form of a page and send it, as a browser does."""
    mark = read(client, form).fields["mark"]
    files = fields.pop("files", None)
    return Page(client.post(action, data={"mark": mark, **fields}, files=files))
