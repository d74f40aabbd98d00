"""A piece on one sheet of paper: photo, section, findings, comparison, duties, verdict."""

from __future__ import annotations

import base64
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from markupsafe import Markup

from panelwright.panels.records import Prediction
from panelwright.panels.verdicts import DutyRecord
from panelwright.reports import bench_words as words
from panelwright.reports.drawing import (
    Picture,
    compared_svg,
    edge_svg,
    section_caption,
    section_svg,
)
from panelwright.reports.duty_text import ESTIMATES, VERDICTS
from panelwright.reports.layout import printed, sentence
from panelwright.reports.paper.ink import LESS, MARGINS, PX, inked, less
from panelwright.reports.paper.labels import code
from panelwright.reports.paper.pages import SHEETS, Paper, fonts, page, pdf_on_one_sheet
from panelwright.samples.found import Edge, Findings
from panelwright.samples.reconcile import Compared

#: Width of a rule with predicted over found, and of a photo beside the section, px.
RULE, PHOTO = 230.0, 250.0


@dataclass(frozen=True)
class Photo:
    """A photo with its sides in px, its caption, and what was marked on it."""

    content: bytes
    width: int
    height: int
    caption: str
    edge: Edge | None = None


@dataclass(frozen=True)
class PieceSheet:
    """What a sheet says of a piece.

    ``holds`` : what its code says; ``facts`` : who, when, where and how, name and value;
    ``duties`` : before and as found; ``again``, ``improve``: the builder's own word.
    """

    number: str
    title: str
    panel: str
    revision: int
    drawn: date
    holds: str
    prediction: Prediction
    says: str
    findings: Findings
    compared: tuple[Compared, ...] = ()
    duties: tuple[tuple[DutyRecord, DutyRecord], ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    again: str = ""
    improve: str = ""
    photo: Photo | None = None


@dataclass(frozen=True)
class _Room:
    """How much is told: findings, parts of a difference, and how wide the picture is, px."""

    findings: int
    parts: int
    facts: int
    picture: float


#: From the most that is told to the least; the first that fits on one sheet is taken.
_ROOMS = (
    _Room(20, 5, 16, 640.0),
    _Room(14, 4, 12, 500.0),
    _Room(10, 3, 8, 500.0),
    _Room(10, 3, 8, 340.0),
    _Room(6, 2, 5, 340.0),
)


def _photo_svg(sheet: PieceSheet, wide: float, system: str) -> tuple[Markup, str]:
    """Photo and section at one scale where the edge is marked; else nothing, and no caption."""
    photo = sheet.photo
    if photo is None or photo.edge is None or not photo.edge.layers:
        return Markup(), ""
    href = f"data:image/jpeg;base64,{base64.b64encode(photo.content).decode('ascii')}"
    picture = Picture(href, photo.width, photo.height)
    drawn = edge_svg(picture, photo.edge, sheet.prediction, wide, system)
    return inked(drawn), "the cut edge beside the section, one scale, the outside up"


def _html(sheet: PieceSheet, paper: Paper, system: str, room: _Room) -> str:
    wide = (SHEETS[paper].width - MARGINS) * PX
    edge, edge_caption = _photo_svg(sheet, min(room.picture, wide), system)
    still = sheet.photo if sheet.photo is not None and not edge else None
    beside = wide - (PHOTO + 20.0 if still else 0.0)
    caption, scale = section_caption(sheet.prediction, beside)
    found = words.finding_rows(sheet.findings, system, unsure=False)[1:]
    pairs = words.compared_rows(sheet.compared, system)[1:]
    verdict = words.suggested(
        all(one.closes for one in sheet.findings.closures),
        sheet.compared,
        [(after.name, after.kept) for _, after in sheet.duties],
    )
    return page(
        "piece_sheet.html",
        fonts=fonts(),
        paper=paper.value,
        sheet=sheet,
        title=printed(sheet.title),
        date=f"{sheet.drawn:%d %b %Y}".lstrip("0"),
        code=code(sheet.holds),
        edge=edge,
        edge_caption=edge_caption,
        still="" if still is None else base64.b64encode(still.content).decode("ascii"),
        section="" if edge else inked(section_svg(sheet.prediction, beside, system=system)),
        section_title=caption,
        section_scale=scale,
        pairs=[
            (row, inked(less(compared_svg(one, LESS * RULE, row[0]))))
            for one, row in zip(sheet.compared, pairs, strict=True)
        ],
        splits=[(one.name, words.split_rows(one, system)[: room.parts]) for one in sheet.compared],
        found=[row[:3] for row in found[: room.findings]],
        more_found=max(0, len(found) - room.findings),
        spread=words.of_the_map(sheet.findings.map, system) if sheet.findings.map else "",
        broken=[words.of_closure(c, system) for c in sheet.findings.closures if not c.closes],
        duties=[
            (VERDICTS[after.kept], words.of_duty(sheet.prediction.title, before, after, system))
            for before, after in sheet.duties
        ],
        facts=sheet.facts[: room.facts],
        suggested=(verdict[0], sentence(verdict[1])),
        estimates=ESTIMATES,
    )


def piece_sheet(sheet: PieceSheet, paper: Paper = Paper.A4, system: str = "si") -> bytes:
    """The sheet as PDF, on one sheet of paper wherever the words can be made fewer.

    Raises NoPrinter where PDF cannot be made here.
    """
    pages: Sequence[Callable[[], str]] = [
        partial(_html, sheet, paper, system, room) for room in _ROOMS
    ]
    return pdf_on_one_sheet(pages)
