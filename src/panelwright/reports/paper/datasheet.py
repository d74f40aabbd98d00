"""A panel on one sheet of paper: section, figures, layers, ledger, cautions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from panelwright import units
from panelwright.panels.records import Prediction
from panelwright.reports.drawing import (
    ledger_svg,
    polar_svg,
    section_caption,
    section_svg,
)
from panelwright.reports.figures import headlines, stack_rows, stack_units
from panelwright.reports.layout import printed, sentence
from panelwright.reports.paper.ink import LESS, MARGINS, PX, inked, less
from panelwright.reports.paper.labels import code
from panelwright.reports.paper.pages import SHEETS, Paper, fonts, page, pdf_on_one_sheet
from panelwright.reports.stiffness_text import like
from panelwright.reports.strength_text import weakest_at

#: Width of the stiffness by direction, px.
POLAR = 290.0


@dataclass(frozen=True)
class Standing:
    """What the title block says of a panel beside its prediction; ``holds``: what its code says."""

    kind: str
    number: str
    revision: str
    standing: str
    drawn: date
    holds: str


@dataclass(frozen=True)
class _Room:
    """How much is told: layers, worries, cautions, and whether the stiffness is drawn."""

    layers: int
    worries: int
    controls: bool  # how each danger is usually met, beside its name
    polar: bool
    ledger: bool


#: From the most that is told to the least; the first that fits on one sheet is taken.
_ROOMS = (
    _Room(14, 6, controls=True, polar=True, ledger=True),
    _Room(12, 4, controls=False, polar=True, ledger=True),
    _Room(12, 4, controls=True, polar=False, ledger=True),
    _Room(10, 3, controls=False, polar=False, ledger=True),
    _Room(8, 2, controls=False, polar=False, ledger=False),
)


def _size(prediction: Prediction, system: str) -> str:
    if prediction.length is None or prediction.width is None:
        return "not given"
    sides = (prediction.length, prediction.width)
    return " × ".join(units.show(side, "length", system) for side in sides)


def _whole(prediction: Prediction, system: str) -> str:
    mass = prediction.mass
    if mass is None:
        return "size not given"
    return units.show(mass.value, "mass", system, mass.low, mass.high)


def _html(
    prediction: Prediction, standing: Standing, paper: Paper, system: str, room: _Room
) -> str:
    wide = (SHEETS[paper].width - MARGINS) * PX
    layers = stack_rows(prediction, system)
    caption, scale = section_caption(prediction, wide)
    says = (
        text.replace("\n", " ")
        for text in (like(prediction, system), weakest_at(prediction, system))
    )
    worries = [*prediction.warnings, *prediction.assumed]
    cautions = [
        sentence(caution.name) + f" {sentence(caution.usual_control)}" * room.controls
        for caution in prediction.cautions
    ]
    return page(
        "datasheet.html",
        fonts=fonts(),
        paper=paper.value,
        kind=standing.kind,
        number=standing.number,
        title=printed(prediction.title),
        size=_size(prediction, system),
        process=prediction.process,
        revision=standing.revision,
        standing=standing.standing,
        whole=_whole(prediction, system),
        date=f"{standing.drawn:%d %b %Y}".lstrip("0"),
        code=code(standing.holds),
        section_title=caption,
        section_scale=scale,
        section=inked(section_svg(prediction, wide, system=system)),
        figures=headlines(prediction, system),
        says=[text for text in says if text],
        layers=layers[: room.layers],
        stack_units=stack_units(system),
        more_layers=max(0, len(layers) - room.layers),
        ledger=inked(less(ledger_svg(prediction, LESS * wide, system))) if room.ledger else "",
        polar=inked(less(polar_svg(prediction, POLAR, system)))
        if room.polar and prediction.section is not None
        else "",
        worries=[sentence(worry) for worry in worries[: room.worries]],
        more_worries=max(0, len(worries) - room.worries),
        cautions=cautions,
    )


def datasheet_pages(
    prediction: Prediction, standing: Standing, paper: Paper = Paper.A4, system: str = "si"
) -> Sequence[Callable[[], str]]:
    """The same sheet as HTML, told in more and then in fewer words; the first is the fullest."""
    return [partial(_html, prediction, standing, paper, system, room) for room in _ROOMS]


def datasheet(
    prediction: Prediction, standing: Standing, paper: Paper = Paper.A4, system: str = "si"
) -> bytes:
    """The datasheet as PDF, on one sheet wherever the words can be made fewer.

    Raises NoPrinter where PDF cannot be made here.
    """
    return pdf_on_one_sheet(datasheet_pages(prediction, standing, paper, system))
