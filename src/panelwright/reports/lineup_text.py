"""A line-up as a builder reads it: the rows side by side, who is best, and why."""

from __future__ import annotations

import math
from collections.abc import Sequence

from panelwright import units
from panelwright.panels.lineup import ALL, CAUSES, FOUND, OTHER_FOUND, WHOLE
from panelwright.panels.lineup_records import (
    COST,
    KEEP,
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
from panelwright.reports.duty_text import held_words, lasting_words, load_words, size_words
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
#: Stands before what was measured on a piece.
MEASURED_MARK = "●"
#: Factors nearer to 1 than this are told as nothing.
NOTHING = 0.005
#: Product of rounded factors over the rounded whole, less 1, that is still read as the same.
ROUNDED = 0.025
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
    number, _, unit = figures.partition(" ")
    ends = ""
    if high > low:
        ends = units.show_range(low, high, dimension, system).partition(" (")[0]
        ends = ends.removesuffix(unit).rstrip()
    return number, ends, unit


def _cell(cell: Cell, row: Row, system: str, currency: str) -> str:
    """The middle, and its range beneath."""
    if cell.value is None:
        return DASH
    middle, ends, _ = shown(cell.value, row, system, currency)
    mark = f"{MEASURED_MARK} " if cell.is_measured else ""
    return f"{mark}{middle}\n{ends}" if ends else f"{mark}{middle}"


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


def _members(lineup: LineUp, system: str) -> str:
    rows = []
    for member in lineup.members:
        parts = [change_words(member, system), "handbook only" * member.handbook_only]
        parts.append(piece_words(lineup, member))
        title = title_of(member)
        said = "; ".join(part for part in parts if part)
        rows.append([member.letter, narrow(title, NAME), narrow(said, REMARK) if said else ""])
    return table(rows)


# --- Why ------------------------------------------------------------------------------------------

_MORE = {
    "stiffness_along": "as stiff along",
    "stiffness_across": "as stiff across",
    "areal_mass": "as heavy",
}


def _length(value: float, system: str, figures: int = 2) -> str:
    """A length in few figures: what is told is a difference."""
    told = units.show(float(f"{value:.{figures}g}"), "thickness", first_system(system))
    return told.partition(" (")[0]


def _found_words(cause: Cause, letter: str) -> str:
    """A piece that was found to be heavier or lighter than predicted."""
    lighter = (cause.factor < 1.0) == (cause.name == FOUND)
    off = abs(cause.factor - 1.0 if cause.name == FOUND else 1.0 / cause.factor - 1.0)
    word = "lighter" if lighter else "heavier"
    return f"{letter} as weighed, {100 * off:.0f} % {word} than predicted"


def cause_words(cause: Cause, system: str) -> str:
    """One cause as it is said after its factor."""
    own, other = cause.own, cause.other
    if cause.name == WHOLE[0]:
        alike = f"{own:.2g}" == f"{other:.2g}"
        here, there = (_length(one, system, 3 if alike else 2) for one in (own, other))
        return f"being {here} thick in place of {there}"
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


def _factor(value: float, digits: int) -> str:
    return f"{float(f'{value:.{digits}g}'):g}" if abs(value - 1.0) >= 0.1 else f"{value:.{digits}f}"


def _factors(ratio: float, parts: Sequence[float]) -> tuple[str, list[str]]:
    """A ratio and its factors, in two digits if what is printed then still multiplies to it."""
    for digits in (2, 3):
        whole, told = _factor(ratio, digits), [_factor(one, digits) for one in parts]
        if abs(math.prod(map(float, told)) / float(whole) - 1.0) < ROUNDED:
            break
    return whole, told


def why_sentence(lineup: LineUp, why: Why, system: str = "si") -> str:
    """One panel against another: how much more, and the two largest causes."""
    one, other = (lineup.members[at] for at in (why.panel, why.against))
    names = [f"{m.letter} ({title_of(m)})" for m in (one, other)]
    if why.ratio - 1.0 < NOTHING:
        return f"{names[0]} and {names[1]} are {_MORE[why.key]} as each other."
    told = [cause for cause in why.causes[:2] if abs(cause.factor - 1.0) >= NOTHING]
    rest = why.ratio / math.prod(cause.factor for cause in told)
    letters = {FOUND: one.letter, OTHER_FOUND: other.letter}
    words = [
        _found_words(cause, letters[cause.name])
        if cause.name in letters
        else cause_words(cause, system)
        for cause in told
    ]
    factors = [cause.factor for cause in told]
    if abs(rest - 1.0) >= NOTHING:
        words, factors = [*words, "the rest"], [*factors, rest]
    ratio, said = _factors(why.ratio, factors)
    parts = [f"{factor} from {of}" for factor, of in zip(said, words, strict=True)]
    return f"{names[0]} is {ratio} times {_MORE[why.key]} as {names[1]}: {', '.join(parts)}."


def _whys(lineup: LineUp, system: str) -> str:
    lines = [wrapped(why_sentence(lineup, why, system), first="  • ") for why in lineup.why]
    return "\n".join([*lines, wrapped(SPLIT, first="  ")]) if lines else ""


# --- Duties ---------------------------------------------------------------------------------------


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


def _duties(lineup: LineUp, system: str) -> str:
    lines = []
    for at in range(len(lineup.asked)):
        lines.append(wrapped(duty_words(lineup, at, system), first="  ", rest="     "))
        if kept := kept_words(lineup, at):
            lines.append(wrapped(kept, first="     "))
    return "\n".join(lines)


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


#: What the table beside the handbook says.
CORRECTED = (
    "As it lies in the panel, its resin with it, above the bare fibre, timber at its moisture "
    "or core of the handbook. E/ρ pulled, E^⅓/ρ bent as a plate, G/ρ in shear, in MPa, "
    "Pa^⅓ and MPa for kg/m³."
)


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


def corrected_text(lineup: LineUp, system: str) -> str:
    """Each material as it lies in its panel, above the handbook's, both for their density."""
    found = corrected_rows(lineup, first_system(system))
    rows = table(found, right=(2, 3, 4, 5, 6, 7), indent="  ")
    return f"{rows}\n{wrapped(CORRECTED, first='  ')}" if found else ""


# --- The whole ------------------------------------------------------------------------------------

#: Rows whose words are told beside the value.
_ENDS = ("moment_along_first", "moment_along_ultimate", "shear_along", "density", "bow")
_DUTY_ENDS = ("_deflection", "_first_damage", "_reserve")


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


def _remarks(lineup: LineUp, full: bool) -> str:
    return "\n".join(wrapped(one, first="  • ") for one in remarks(lineup, full))


def lineup_text(lineup: LineUp, system: str = "si", full: bool = False) -> str:
    """Who stands there, on what terms, the rows with their ranges, the best, and why.

    full : also what ends each under a duty, and each material beside its handbook.
    """
    by_system = "\n\n".join(_table(lineup, one) for one in SYSTEMS[system])
    titled = [
        ("Side by side", by_system),
        ("What each must bear", _duties(lineup, system)),
        ("The best", f"{_verdicts(lineup)}\n{wrapped(BEST, first='  ')}"),
        ("Why", _whys(lineup, system)),
        ("What ends them, and what is not known", _remarks(lineup, full)),
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


def evidence_kinds(lineup: LineUp) -> list[str]:
    """The evidence that the stiffness of each panel rests on, else its mass."""
    said = []
    for at, member in enumerate(lineup.members):
        values = [lineup.row(key).cells[at].value for key in ("stiffness_along", "areal_mass")]
        kind = next(value.evidence for value in values if value is not None)
        said.append(f"{kind.value}{', handbook only' * member.handbook_only}")
    return said


def evidence_words(lineup: LineUp) -> str:
    """The same by letter, in one sentence."""
    pairs = zip(lineup.members, evidence_kinds(lineup), strict=True)
    return f"{'; '.join(f'{member.letter} {kind}' for member, kind in pairs)}."


def csv_rows(lineup: LineUp) -> Sequence[Sequence[str]]:
    """The line-up as rows of a sheet in SI: names, units, then one row for each panel.

    Each property has its middle and the ends of its range; last what of it was measured on a
    piece, evidence and sources.
    """
    rows = (*lineup.rows, *lineup.duties)
    head, unit = ["letter", "title", "terms"], ["-", "-", "-"]
    for row in rows:
        known = [cell.value.unit for cell in row.cells if cell.value is not None]
        said = known[0].replace("per m2", f"{lineup.currency}/m2") if known else "-"
        head += [row.key, f"{row.key}_low", f"{row.key}_high"]
        unit += [said, said, said]
    found = [[*head, "measured", "evidence", "sources"], [*unit, "-", "-", "-"]]
    evidence = evidence_kinds(lineup)
    for at, member in enumerate(lineup.members):
        line = [member.letter, member.title, change_words(member, "si") or "as it is"]
        for row in rows:
            value = row.cells[at].value
            ends = () if value is None else (value.value, value.low, value.high)
            line += [f"{one:.6g}" for one in ends] or ["", "", ""]
        measured = [row.key for row in rows if row.cells[at].is_measured]
        sources = " | ".join(member.sources)
        line += [" ".join(measured) or "nothing", evidence[at], sources]
        found.append(line)
    return found
