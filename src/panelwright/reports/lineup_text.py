"""A line-up as a builder reads it: the rows side by side, who is best, and why."""

from __future__ import annotations

from collections.abc import Sequence

from panelwright import units
from panelwright.panels.lineup import ALL, CAUSES, WHOLE
from panelwright.panels.lineup_records import (
    COST,
    STIFFNESS,
    STRENGTH,
    WEAKER,
    Cause,
    Cell,
    Corrected,
    LineUp,
    Member,
    Row,
    Why,
)
from panelwright.panels.spread import Ranged
from panelwright.reports.layout import (
    SYSTEMS,
    first_system,
    heading,
    narrow,
    printed,
    sentence,
    table,
    wrapped,
)
from panelwright.reports.prediction_text import ESTIMATES
from panelwright.reports.strength_text import PER_WIDTH, scaled

#: Panels that stand side by side on a line of the terminal.
BESIDE = 4
#: Columns of the name of a row, of a name, of a remark.
LABEL, NAME, REMARK = 22, 30, 58
DASH = "–"
#: Factors nearer to 1 than this are told as nothing.
NOTHING = 0.005
SPLIT = (
    "The causes multiply to the whole, exactly. Each is the mean, over all orders in which they "
    "could be changed one by one, of the logarithm of what it changes (Shapley's value)."
)
BEST = (
    "Ranges hold nine of ten. Where two share more than half of the narrower one, there is no "
    "real difference."
)


# --- Figures --------------------------------------------------------------------------------------


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
    number, _, unit = figures.rpartition(" ")
    ends = ""
    if high > low:
        ends = units.show_range(low, high, dimension, system).partition(" (")[0].rpartition(" ")[0]
    return number, ends, unit


def _cell(cell: Cell, row: Row, system: str, currency: str) -> str:
    """The middle, and its range beneath."""
    if cell.value is None:
        return DASH
    middle, ends, _ = shown(cell.value, row, system, currency)
    return f"{middle}\n{ends}" if ends else middle


def _unit(row: Row, system: str, currency: str) -> str:
    known = [cell.value for cell in row.cells if cell.value is not None]
    return shown(known[0], row, system, currency)[2] if known else ""


def _row_cells(row: Row, some: range, system: str, currency: str) -> list[str]:
    unit = _unit(row, system, currency)
    label = f"{row.name}{f', {unit}' if unit else ''}"
    cells = [_cell(row.cells[at], row, system, currency) for at in some]
    return [narrow(label, LABEL), *cells]


def _table(lineup: LineUp, system: str) -> str:
    parts = []
    count = len(lineup.members)
    for first in range(0, count, BESIDE):
        some = range(first, min(first + BESIDE, count))
        rows = [["", *(lineup.members[at].letter for at in some)]]
        rows += [
            _row_cells(row, some, system, lineup.currency)
            for row in (*lineup.rows, *lineup.duties)
            if any(cell.value is not None for cell in row.cells)
        ]
        parts.append(table(rows, right=range(1, len(some) + 1)))
    return "\n\n".join(parts)


def _verdicts(lineup: LineUp) -> str:
    rows = [[row.name, row.verdict] for row in (*lineup.rows, *lineup.duties) if row.verdict]
    return table(rows, indent="  ")


# --- Who ------------------------------------------------------------------------------------------


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
    return f"{said}; {change.rounded}" if change.rounded else said


def terms_words(lineup: LineUp) -> str:
    """On what terms the panels stand, in one sentence."""
    terms, first = lineup.terms, lineup.members[0]
    if not terms.equal:
        return "As they are."
    way = {WEAKER: "the weaker way"}.get(terms.way, terms.way)
    said = {
        STIFFNESS: f"bending stiffness {way}",
        STRENGTH: f"moment {way} at {terms.level}",
        COST: "material cost",
    }.get(terms.equal, terms.equal)
    return f"Equal {said}: that of {first.letter}."


def _members(lineup: LineUp, system: str) -> str:
    rows = []
    for member in lineup.members:
        parts = [change_words(member, system), "handbook only" * member.handbook_only]
        title = printed(member.title).replace(" (handbook only)", "")
        said = "; ".join(part for part in parts if part)
        rows.append([member.letter, narrow(title, NAME), narrow(said, REMARK) if said else ""])
    return table(rows)


# --- Why ------------------------------------------------------------------------------------------

_MORE = {
    "stiffness_along": "as stiff along",
    "stiffness_across": "as stiff across",
    "areal_mass": "as heavy",
}


def _length(value: float, system: str) -> str:
    # two figures: what is told is a difference
    shown_now = units.show(float(f"{value:.2g}"), "thickness", first_system(system))
    return shown_now.partition(" (")[0]


def cause_words(cause: Cause, system: str) -> str:
    """One cause as it is said after its factor."""
    own, other = cause.own, cause.other
    if cause.name == WHOLE[0]:
        return f"being {_length(own, system)} thick in place of {_length(other, system)}"
    what = "a core" if cause.name in CAUSES[2:] else "faces"
    if cause.name in {CAUSES[0], CAUSES[2]}:
        word = "thicker" if own >= other else "thinner"
        all_ = "" if what == "a core" else " in all"
        return f"{what} {_length(abs(own - other), system)} {word}{all_}"
    of, instead = printed(cause.of), printed(cause.in_place_of)
    if cause.name == WHOLE[1]:
        same = "the same laid in another way"
        return same if of == instead else f"{of} in place of {instead}"
    if of == instead or not (of and instead):
        return f"{what} of the same, laid in another way"
    return f"{what} of {of} in place of {instead}"


def _factor(value: float) -> str:
    return f"{float(f'{value:.2g}'):g}" if abs(value - 1.0) >= 0.1 else f"{value:.2f}"


def why_sentence(lineup: LineUp, why: Why, system: str = "si") -> str:
    """One panel against another: how much more, and the two largest causes."""
    one, other = (lineup.members[at] for at in (why.panel, why.against))
    names = [f"{m.letter} ({printed(m.title)})" for m in (one, other)]
    names = [name.replace(" (handbook only))", ")") for name in names]
    if why.ratio - 1.0 < NOTHING:
        return f"{names[0]} and {names[1]} are {_MORE[why.key].removeprefix('as ')} alike."
    told = [cause for cause in why.causes[:2] if abs(cause.factor - 1.0) >= NOTHING]
    parts = [f"{_factor(cause.factor)} from {cause_words(cause, system)}" for cause in told]
    rest = why.ratio
    for cause in told:
        rest /= cause.factor
    if abs(rest - 1.0) >= NOTHING:
        parts.append(f"{_factor(rest)} from the rest")
    head = f"{names[0]} is {_factor(why.ratio)} times {_MORE[why.key]} as {names[1]}"
    return f"{head}: {', '.join(parts)}."


def _whys(lineup: LineUp, system: str) -> str:
    lines = [wrapped(why_sentence(lineup, why, system), first="  • ") for why in lineup.why]
    return "\n".join([*lines, wrapped(SPLIT, first="  ")]) if lines else ""


# --- Beside the handbook --------------------------------------------------------------------------


def _ratio(one: float, other: float) -> str:
    return f"{one / other:.2f}" if other > 0.0 else DASH


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


def corrected_text(lineup: LineUp, system: str) -> str:
    """Each material as it lies in its panel, above the handbook's, both for their density."""
    first = first_system(system)
    seen: dict[tuple[str, int], list[str]] = {}
    for member in lineup.members:
        for one in member.corrected:
            row = _corrected_row(member.letter, one, first)
            seen.setdefault((one.layer, round(one.here.pulled)), row)
    unit = units.show(1.0, "density", first).rpartition(" ")[2]
    head = ["", "here, above\nthe handbook", unit, "E", "G", "E/ρ", "E^⅓/ρ", "G/ρ"]
    rows = table([head, *seen.values()], right=(2, 3, 4, 5, 6, 7), indent="  ")
    said = (
        "As it lies in the panel, its resin with it, above the bare fibre, timber at its moisture "
        "or core of the handbook. E/ρ pulled, E^⅓/ρ bent as a plate, G/ρ in shear, in MPa, "
        "Pa^⅓ and MPa for kg/m³."
    )
    return f"{rows}\n{wrapped(said, first='  ')}" if seen else ""


# --- The whole ------------------------------------------------------------------------------------

#: Rows whose words are told beside the value.
_ENDS = ("moment_along_first", "moment_along_ultimate", "shear_along", "density", "bow")


def _remarks(lineup: LineUp) -> str:
    """What stands beside a value or in its place, row by row; the same of all is said once."""
    lines = []
    for row in lineup.rows:
        pairs = zip(lineup.members, row.cells, strict=True)
        told = [
            (m.letter, cell.said)
            for m, cell in pairs
            if cell.said and (row.key in _ENDS or cell.value is None)
        ]
        said = list(dict.fromkeys(word for _, word in told))
        if len(said) == 1 and len(told) == len(lineup.members):
            lines.append(wrapped(f"{row.name}: {printed(said[0])}.", first="  • "))
        elif told:
            by_word = (
                f"{', '.join(letter for letter, other in told if other == word)} {word}"
                for word in said
            )
            lines.append(wrapped(f"{row.name}: {printed('; '.join(by_word))}.", first="  • "))
    return "\n".join(lines)


def lineup_text(lineup: LineUp, system: str = "si", full: bool = False) -> str:
    """Who stands there, on what terms, the rows with their ranges, the best, and why.

    full : also each material beside its handbook.
    """
    by_system = "\n\n".join(_table(lineup, one) for one in SYSTEMS[system])
    titled = [
        ("Side by side", by_system),
        ("The best", f"{_verdicts(lineup)}\n{wrapped(BEST, first='  ')}"),
        ("Why", _whys(lineup, system)),
        ("What ends them, and what is not known", _remarks(lineup)),
        ("For their density", corrected_text(lineup, system) if full else ""),
    ]
    evidence = evidence_words(lineup)
    notes = " ".join(sentence(note) for note in lineup.notes)
    width = PER_WIDTH[first_system(system)]
    return "\n\n".join(
        part
        for part in (
            f"{terms_words(lineup)}\n{_members(lineup, system)}",
            *(f"{heading(title)}\n{text}" for title, text in titled if text),
            wrapped(f"Evidence, the weakest behind most of a range: {evidence}"),
            wrapped(f"{notes} Moments are {width}."),
            wrapped(ESTIMATES),
        )
        if part
    )


def evidence_words(lineup: LineUp) -> str:
    """The evidence that the stiffness of each panel rests on, else its mass."""
    said = []
    for at, member in enumerate(lineup.members):
        values = [lineup.row(key).cells[at].value for key in ("stiffness_along", "areal_mass")]
        kind = next(value.evidence for value in values if value is not None)
        said.append(f"{member.letter} {kind.value}{', handbook only' * member.handbook_only}")
    return f"{'; '.join(said)}."


def csv_rows(lineup: LineUp) -> Sequence[Sequence[str]]:
    """The line-up as rows of a sheet in SI: names, units, then one row for each panel.

    Each property has its middle and the ends of its range; last evidence and sources.
    """
    rows = (*lineup.rows, *lineup.duties)
    head, unit = ["letter", "title", "terms"], ["-", "-", "-"]
    for row in rows:
        known = [cell.value.unit for cell in row.cells if cell.value is not None]
        said = known[0].replace("per m2", f"{lineup.currency}/m2") if known else "-"
        head += [row.key, f"{row.key}_low", f"{row.key}_high"]
        unit += [said, said, said]
    found = [[*head, "evidence", "sources"], [*unit, "-", "-"]]
    evidence = evidence_words(lineup).rstrip(".").split("; ")
    for at, member in enumerate(lineup.members):
        line = [member.letter, member.title, change_words(member, "si") or "as it is"]
        for row in rows:
            value = row.cells[at].value
            ends = () if value is None else (value.value, value.low, value.high)
            line += [f"{one:.6g}" for one in ends] or ["", "", ""]
        sources = " | ".join(member.sources)
        found.append([*line, evidence[at].partition(" ")[2], sources])
    return found
