"""Sizes of paper, the templates of printed pages, and PDF made of them."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any, cast

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from panelwright.errors import PanelwrightError, Problem


class Paper(StrEnum):
    """Sheets that a shop's printer takes."""

    A4 = "A4"
    LETTER = "Letter"


@dataclass(frozen=True)
class Sheet:
    """Sides of a sheet held upright, mm (ISO 216; ANSI/ASME Y14.1)."""

    width: float
    height: float


SHEETS = {Paper.A4: Sheet(210.0, 297.0), Paper.LETTER: Sheet(215.9, 279.4)}


class NoPrinter(PanelwrightError):
    """PDF cannot be made here."""


@cache
def templates() -> Environment:
    """The templates of this package; everything put in them is escaped."""
    return Environment(
        loader=PackageLoader("panelwright.reports.paper", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def page(template: str, **values: Any) -> str:
    """A printed page as HTML with its style in it: it needs nothing else but fonts."""
    return templates().get_template(template).render(**values)


@cache
def fonts() -> Markup:
    """The faces of the sheets as CSS, the fonts in it: a page asks for no file."""
    from panelwright.reports.fonts import style_sheet

    return Markup(style_sheet())


def pdf(html: str) -> bytes:
    """A page as PDF, tagged for screen readers; the same bytes each time.

    Raises :class:`NoPrinter` where WeasyPrint, or the library it draws letters with, is missing.
    """
    return _written(_laid_out(html))


def pdf_on_one_sheet(pages: Sequence[Callable[[], str]]) -> bytes:
    """The first of some versions of a page that fits on one sheet, else the last, as PDF.

    pages : what makes each version, from the fullest down. Raises as :func:`pdf`.
    """
    document = _laid_out(pages[0]())
    for make in pages[1:]:
        if len(document.pages) == 1:
            break
        document = _laid_out(make())
    return _written(document)


def _laid_out(html: str) -> Any:
    """A page broken into sheets. It holds all it needs: nothing is fetched for it."""
    try:
        from weasyprint import HTML
        from weasyprint.urls import URLFetcher
    except (ImportError, OSError) as wrong:
        problem = Problem(
            "PDF cannot be made here: WeasyPrint or its library pango is missing",
            str(wrong).splitlines()[0],
            hint="printing the page from the browser, or installing panelwright with its extra "
            "`pdf` and pango (on Debian and Ubuntu: sudo apt install libpangoft2-1.0-0)",
        )
        raise NoPrinter(problem) from None
    closed = URLFetcher(allowed_protocols=("data",))
    return HTML(string=html, url_fetcher=closed).render(pdf_variant="pdf/ua-1")


#: Time that fonts put into a PDF claim to be made at: the same page gives the same bytes.
MADE_AT = "0"


def _written(document: Any) -> bytes:
    kept = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = MADE_AT
    try:
        return cast("bytes", document.write_pdf())
    finally:
        if kept is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = kept
