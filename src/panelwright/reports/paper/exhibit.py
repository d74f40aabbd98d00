"""A panel on a sheet to hang beside it: its name, its section, three numbers, one sentence why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from panelwright import units
from panelwright.panels.records import Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.drawing import card_svg
from panelwright.reports.drawing.scales import PX_PER_M
from panelwright.reports.layout import first_system, printed, sentence
from panelwright.reports.paper.ink import inked
from panelwright.reports.paper.pages import Paper, fonts, page, pdf
from panelwright.reports.section_text import merged

#: Width and largest height of the section, px; what it needs beside its thickness.
WIDE, HIGH, BESIDE = 600.0, 220.0, 60.0
#: Titles longer than this are set smaller, and smaller still with a lower section, so that all of
#: it stays on one sheet; the class of each.
TITLES = ((44, "longest"), (22, "long"))
FOOT = "Ranges hold nine of ten. Estimates, not certification."
MEASURED, PREDICTED, HANDBOOK = "measured", "predicted", "by the handbook only"


@dataclass(frozen=True)
class Hung:
    """What a sheet hangs beside: a panel, or a piece with what was measured of it.

    thickness, areal_mass : as measured on a piece; None where they are predicted;
    ``handbook_only`` : nobody here made one.
    """

    prediction: Prediction
    title: str = ""
    handbook_only: bool = False
    thickness: Ranged | None = None
    areal_mass: Ranged | None = None


@dataclass(frozen=True)
class Figure:
    """One of the three numbers, its range, and whether it was measured."""

    name: str
    middle: str
    ends: str
    basis: str


@dataclass(frozen=True)
class Exhibit:
    """What stands on one sheet."""

    title: str
    size: str
    made_of: str
    picture: Markup
    scale: str
    figures: tuple[Figure, ...]
    why: str


def _figure(
    name: str, value: Ranged, dimension: str, system: str, basis: str, found: Ranged | None = None
) -> Figure:
    basis = basis if found is None else MEASURED
    value = found or value
    one = first_system(system)
    middle = units.show(value.value, dimension, one, value.low, value.high).partition(" (")[0]
    ends = units.show_range(value.low, value.high, dimension, one) if value.high > value.low else ""
    return Figure(name, middle, ends.partition(" (")[0], basis)


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


def exhibit(hung: Hung, system: str = "si") -> Exhibit:
    """The sheet of one panel or piece."""
    prediction = hung.prediction
    basis = HANDBOOK if hung.handbook_only else PREDICTED
    figures = [
        _figure("Thickness", prediction.thickness, "thickness", system, basis, hung.thickness),
        _figure("Mass", prediction.areal_mass, "areal_mass", system, basis, hung.areal_mass),
    ]
    if prediction.likeness:
        like = prediction.likeness[0]
        figures.append(
            _figure(f"As stiff along as {like.name}", like.along, "thickness", system, basis)
        )
    thick = prediction.thickness.value
    title = printed(hung.title or prediction.title).replace(" (handbook only)", "")
    size = next((size for length, size in TITLES if len(title) > length), "usual")
    high = min(thick * PX_PER_M + BESIDE, HIGH if size != "longest" else 0.6 * HIGH)
    picture = card_svg(prediction.layers, thick, WIDE, high)
    cut = "cut short" in picture.partition("</title>")[0]
    return Exhibit(
        title,
        size,
        f"From the outside inwards: {_names(prediction)}.",
        inked(picture),
        "cut short where the lines break" if cut else "life size",
        tuple(figures),
        why_stiff(prediction),
    )


def exhibit_page(
    hung: Sequence[Hung],
    paper: Paper = Paper.A4,
    system: str = "si",
    hide: bool = False,
) -> str:
    """Sheets as HTML, one for each; hide : numbers and sentence left to be guessed."""
    cards = [exhibit(one, system) for one in hung]
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
    hung: Sequence[Hung],
    paper: Paper = Paper.A4,
    system: str = "si",
    hide: bool = False,
) -> bytes:
    """The same as PDF. Raises NoPrinter where PDF cannot be made here."""
    return pdf(exhibit_page(hung, paper, system, hide))
