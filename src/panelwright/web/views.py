"""From records to pages: templates, the look a browser has chosen, links and forms."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from panelwright import units
from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import least_kept
from panelwright.reports.duty_text import VERDICTS
from panelwright.reports.layout import first_system, plural, printed, sentence
from panelwright.web.access import Access

LOOK = "panelwright_look"
SYSTEMS = ("si", "imperial", "both")
INKS = ("film", "blueprint")
#: Widths that drawings are made for, px, by the class of what shows them.
WIDTHS = {"phone": 336, "tablet": 668, "desk": 800}
NARROW = {"phone": 336, "tablet": 668, "desk": 520}


@dataclass(frozen=True)
class Look:
    """How a browser wants its pages: units, and film (light) or blueprint (dark) or neither."""

    system: str = "si"
    ink: str = ""


def look_of(request: Request) -> Look:
    """The look that was chosen in this browser."""
    system, _, ink = request.cookies.get(LOOK, "").partition(".")
    return Look(system if system in SYSTEMS else "si", ink if ink in INKS else "")


@cache
def templates() -> Environment:
    """The templates; whatever is put into them is escaped."""
    made = Environment(
        loader=PackageLoader("panelwright.web", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {
        "printed": printed,
        "sentence": sentence,
        "flat": lambda text: " ".join(str(text).split()),
        "day": lambda text: str(text)[:10],
        "marks": _marks,
    }
    made.globals |= {"plural": plural, "shown": shown, "span": span}
    made.globals |= {"verdicts": VERDICTS, "least_kept": least_kept}
    return made


def with_unit(text: str, unit: str) -> str:
    """What was typed into a field that names its unit: a number alone is meant in that unit."""
    return f"{text.strip()} {unit}" if re.fullmatch(r"\s*[0-9.]+\s*", text) else text


def shown(value: Ranged, dimension: str, system: str) -> str:
    """A quantity in one system, the first of two where both are wanted."""
    one = first_system(system)
    return units.show(value.value, dimension, one, value.low, value.high).partition(" (")[0]


def span(value: Ranged, dimension: str, system: str) -> str:
    """Its range, without the unit."""
    if value.high <= value.low:
        return ""
    one = first_system(system)
    return units.show_range(value.low, value.high, dimension, one).rpartition(" ")[0]


def _marks(text: str) -> Markup:
    """Marks of steps and given values in the text of a working, as links to them."""
    safe = str(escape(text))
    linked = re.sub(r"\((\d+|[a-z]\d*)\)", r'<a href="#at-\1">(\1)</a>', safe)
    return Markup(linked)


def access_of(request: Request) -> Access:
    """The keys of this run of the server."""
    access: Access = request.app.state.access
    return access


def page(request: Request, template: str, *, status: int = 200, **values: Any) -> HTMLResponse:
    """A page in the look of the browser, its forms marked as ours."""
    look = look_of(request)
    mark = access_of(request).form_mark(request.scope["visit"])
    made = templates().get_template(template)
    html = made.render(
        look=look,
        system=look.system,
        mark=mark,
        path=request.url.path,
        here=str(request.url.path) + (f"?{request.url.query}" if request.url.query else ""),
        access=access_of(request),
        read_only=request.app.state.shelf.read_only,
        **values,
    )
    return HTMLResponse(html, status_code=status)
