"""A panel on a sheet to hang beside it: its name, its section, three numbers, one sentence why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from panelwright import units
from panelwright.panels.records import Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.drawing import card_svg
from panelwright.reports.layout import first_system, printed, sentence
from panelwright.reports.paper.ink import inked
from panelwright.reports.paper.pages import Paper, fonts, page, pdf
from panelwright.reports.section_text import merged

#: Width of the section, px.
WIDE, HIGH = 600.0, 220.0
FOOT = (
    "Predicted, with ranges that hold nine of ten; the section life size unless it is cut short. "
    "Estimates, not certification."
)


@dataclass(frozen=True)
class Exhibit:
    """What stands on one sheet."""

    title: str
    made_of: str
    picture: Markup
    scale: str
    figures: tuple[tuple[str, str, str], ...]
    why: str


def _figure(name: str, value: Ranged, dimension: str, system: str) -> tuple[str, str, str]:
    one = first_system(system)
    middle = units.show(value.value, dimension, one, value.low, value.high).partition(" (")[0]
    ends = units.show_range(value.low, value.high, dimension, one) if value.high > value.low else ""
    return name, middle, ends.partition(" (")[0]


def _names(prediction: Prediction) -> str:
    parts = []
    for _, same in merged(prediction.layers):
        name = printed(same[0].name)
        parts.append(f"{len(same)} × {name}" if len(same) > 1 else name)
    return "; ".join(parts)


def why_stiff(prediction: Prediction) -> str:
    """One sentence on where the stiffness along comes from, by the shares of the layers."""
    section = prediction.section
    if section is None:
        return "Its stiffness is not known: give it or test it."
    skins = [not layer.drawn.is_core for layer in prediction.layers]
    shares = [share[0] for share in section.bending_shares]
    cores = [layer for layer in prediction.layers if layer.drawn.is_core]
    if not cores or not any(skins):
        return sentence(
            "it is solid through and through: twice as thick, it would be eight times as stiff"
        )
    core = max(cores, key=lambda layer: layer.thickness.value)
    stiff = sum(share for share, skin in zip(shares, skins, strict=True) if skin)
    mass = sum(
        layer.share_of_mass for layer, skin in zip(prediction.layers, skins, strict=True) if skin
    )
    return sentence(
        f"its faces, {100 * mass:.0f} % of its mass, give {100 * stiff:.0f} % of its stiffness "
        f"along: they lie apart, with the {printed(core.name)} between them"
    )


def exhibit(prediction: Prediction, system: str = "si") -> Exhibit:
    """The sheet of one panel."""
    figures = [
        _figure("Thickness", prediction.thickness, "thickness", system),
        _figure("Mass", prediction.areal_mass, "areal_mass", system),
    ]
    if prediction.likeness:
        like = prediction.likeness[0]
        figures.append(_figure(f"As stiff along as {like.name}", like.along, "thickness", system))
    picture = card_svg(prediction.layers, prediction.thickness.value, WIDE, HIGH)
    cut = "cut short" in picture.partition("</title>")[0]
    return Exhibit(
        printed(prediction.title),
        f"From the outside inwards: {_names(prediction)}.",
        inked(picture),
        "cut short where the lines break" if cut else "life size",
        tuple(figures),
        why_stiff(prediction),
    )


def exhibit_page(
    predictions: Sequence[Prediction],
    paper: Paper = Paper.A4,
    system: str = "si",
    hide: bool = False,
) -> str:
    """Sheets as HTML, one for each panel; hide : numbers and sentence left to be guessed."""
    cards = [exhibit(one, system) for one in predictions]
    title = ", ".join(card.title for card in cards)
    return page(
        "exhibit.html",
        cards=cards,
        title=title,
        paper=paper.value,
        fonts=fonts(),
        hide=hide,
        foot=FOOT,
    )


def exhibit_pdf(
    predictions: Sequence[Prediction],
    paper: Paper = Paper.A4,
    system: str = "si",
    hide: bool = False,
) -> bytes:
    """The same as PDF. Raises NoPrinter where PDF cannot be made here."""
    return pdf(exhibit_page(predictions, paper, system, hide))
