"""What both faces say of a line-up: figures, terms, pieces, duties, remarks."""

from __future__ import annotations

from panelwright import units
from panelwright.panels.lineup import ALL
from panelwright.panels.lineup_records import (
    COST,
    KEEP,
    STIFFNESS,
    STRENGTH,
    WEAKER,
    Corrected,
    LineUp,
    Member,
    Row,
)
from panelwright.panels.spread import Ranged
from panelwright.reports.duty_text import held_words, lasting_words, load_words, size_words
from panelwright.reports.layout import first_system, narrow, printed, sentence
from panelwright.reports.strength_text import scaled

#: Stands before what was measured on a piece.
MEASURED_MARK = "●"
#: Rows whose words are told beside the value.
_ENDS = ("moment_along_first", "moment_along_ultimate", "shear_along", "density", "bow")
_DUTY_ENDS = ("_deflection", "_first_damage", "_reserve")
#: What the table beside the handbook says.
CORRECTED = (
    "As it lies in the panel, its resin with it, above the bare fibre, timber at its moisture "
    "or core of the handbook. E/ρ pulled, E^⅓/ρ bent as a plate, G/ρ in shear, in MPa, "
    "Pa^⅓ and MPa for kg/m³."
)


def _figures(value: Ranged, row: Row, system: str) -> tuple[str, float, float, float]:
    """Dimension and figures of a value as they are told."""
    if row.dimension == "width_moment":
        return scaled(value, system, small=False)
    return row.dimension, value.value, value.low, value.high


def shown(value: Ranged, row: Row, system: str, currency: str = "") -> tuple[str, str, str]:
    """Middle, range and unit of a cell."""
    if not row.dimension:
        middle, ends = f"{value.value:.2f}", f"{value.low:.2f} … {value.high:.2f}"
        return middle, ends if value.high > value.low else "", f"{currency}/m²"
    dimension, middle_, low, high = _figures(value, row, system)
    figures = units.show(middle_, dimension, system, low, high).partition(" (")[0]
    number, _, unit = figures.partition(" ")
    ends = ""
    if high > low:
        ends = units.show_range(low, high, dimension, system).partition(" (")[0]
        ends = ends.removesuffix(unit).rstrip()
    return number, ends, unit


def change_words(member: Member, system: str) -> str:
    """What was done to a panel, in words; empty where nothing was."""
    change = member.change
    if change is None:
        return ""
    what = "its whole thickness" if change.part == ALL else f"its {change.part}"
    before, after = (
        units.show(one, "thickness", first_system(system)).partition(" (")[0]
        for one in (change.before, change.after)
    )
    said = f"{what} {after} in place of {before} ({change.size:.3g} times)"
    said += "; predicted, no longer the piece" * member.is_piece
    return f"{said}; {change.rounded}" if change.rounded else said


def piece_words(lineup: LineUp, member: Member) -> str:
    """What was measured of a piece, and that the rest is predicted; empty for a panel."""
    if not member.is_piece or member.change is not None:
        return ""
    at = lineup.members.index(member)
    found = [row.name.lower() for row in lineup.rows if row.cells[at].is_measured]
    return f"{MEASURED_MARK} measured: {', '.join(found)}; all else predicted"


def terms_words(lineup: LineUp) -> str:
    """On what terms the panels stand, in one sentence."""
    terms, first = lineup.terms, lineup.members[0]
    if not terms.equal:
        return "As they are."
    if terms.equal == KEEP:
        return "Each as thick as just keeps what it must bear."
    way = {WEAKER: "the weaker way"}.get(terms.way, terms.way)
    said = {
        STIFFNESS: f"bending stiffness {way}",
        STRENGTH: f"moment {way} at {terms.level}",
        COST: "material cost",
    }.get(terms.equal, terms.equal)
    return f"Equal {said}: that of {first.letter}."


def title_of(member: Member) -> str:
    """What a panel is called; that a solid is of the handbook alone is said beside it."""
    return printed(member.title).replace(" (handbook only)", "")


def duty_words(lineup: LineUp, at: int, system: str) -> str:
    """What one duty asks: its loads, the field, how it is held, for how long."""
    one = lineup.asked[at]
    loads = "; ".join(load_words(load, system) for load in one.loads)
    lasts = "" if one.lasts is None else f", for {lasting_words(one.lasts)}"
    number = f"Duty {at + 1}, " if len(lineup.asked) > 1 else ""
    name = "" if one.name in {"duty", one.loads[0].words} else f"{printed(one.name)}: "
    field = f"{size_words(one, system)}, {held_words(one)}"
    return f"{number}{name}{loads}{lasts}; {field}."


def kept_words(lineup: LineUp, at: int) -> str:
    """Who keeps a duty, and by which limit it is told; empty where it sets none."""
    row = next((row for row in lineup.duties if row.key == f"duty_{at + 1}_used"), None)
    if row is None:
        return ""
    pairs = zip(lineup.members, row.cells, strict=True)
    return sentence("; ".join(f"{member.letter} {printed(cell.said)}" for member, cell in pairs))


def _corrected_row(letter: str, one: Corrected, system: str) -> list[str]:
    def modulus(value: float) -> str:
        return units.show(value, "modulus", system)

    def density(value: float) -> str:
        return units.show(value, "density", system).rpartition(" ")[0]

    here, book = one.here, one.handbook
    return [
        letter,
        narrow(printed(one.layer), 26),
        f"{density(here.density)}\n{density(book.density)}",
        f"{modulus(here.modulus)}\n{modulus(book.modulus)}",
        f"{modulus(here.shear)}\n{modulus(book.shear)}",
        f"{here.pulled / 1e6:.3g}\n{book.pulled / 1e6:.3g}",
        f"{here.bent:.3g}\n{book.bent:.3g}",
        f"{here.sheared / 1e6:.3g}\n{book.sheared / 1e6:.3g}",
    ]


def corrected_rows(lineup: LineUp, system: str) -> list[list[str]]:
    """A head, and a row for each material as it lies in its panel, above the handbook's."""
    seen: dict[tuple[str, int], list[str]] = {}
    for member in lineup.members:
        for one in member.corrected:
            row = _corrected_row(member.letter, one, system)
            seen.setdefault((one.layer, round(one.here.pulled)), row)
    unit = units.show(1.0, "density", system).rpartition(" ")[2]
    head = ["", "here, above\nthe handbook", unit, "E", "G", "E/ρ", "E^⅓/ρ", "G/ρ"]
    return [head, *seen.values()] if seen else []


def remarks(lineup: LineUp, full: bool) -> list[str]:
    """What stands beside a value or in its place, row by row; the same of all is said once."""
    found = []
    for row in (*lineup.rows, *lineup.duties):
        is_told = row.key in _ENDS or (full and row.key.endswith(_DUTY_ENDS))
        pairs = zip(lineup.members, row.cells, strict=True)
        told = [
            (m.letter, cell.said)
            for m, cell in pairs
            if cell.said and (is_told or (cell.value is None and not row.key.endswith("_used")))
        ]
        said = list(dict.fromkeys(word for _, word in told))
        if len(said) == 1 and len(told) == len(lineup.members):
            found.append(f"{row.name}: {printed(said[0])}.")
        elif told:
            by_word = (
                f"{', '.join(letter for letter, other in told if other == word)} {word}"
                for word in said
            )
            found.append(f"{row.name}: {printed('; '.join(by_word))}.")
    return found


def evidence_kinds(lineup: LineUp) -> list[str]:
    """The evidence that the stiffness of each panel rests on, else its mass."""
    said = []
    for at, member in enumerate(lineup.members):
        values = [lineup.row(key).cells[at].value for key in ("stiffness_along", "areal_mass")]
        kind = next(value.evidence for value in values if value is not None)
        said.append(f"{kind.value}{', handbook only' * member.handbook_only}")
    return said
