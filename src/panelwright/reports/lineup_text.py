"""A line-up as a builder reads it: the rows side by side, who is best, and why."""

from __future__ import annotations

from panelwright.panels.lineup_records import (
    Cell,
    LineUp,
    Row,
)
from panelwright.reports.layout import (
    SYSTEMS,
    first_system,
    heading,
    narrow,
    sentence,
    table,
    wrapped,
)
from panelwright.reports.lineup_why_words import SPLIT, why_sentence
from panelwright.reports.lineup_words import (
    CORRECTED,
    MEASURED_MARK,
    change_words,
    corrected_rows,
    duty_words,
    evidence_kinds,
    kept_words,
    piece_words,
    remarks,
    shown,
    terms_words,
    title_of,
)
from panelwright.reports.prediction_text import ESTIMATES
from panelwright.reports.strength_text import PER_WIDTH

#: Panels that stand side by side on a line of the terminal.
BESIDE = 4
#: Columns of the name of a row, of a name, of a remark.
LABEL, NAME, REMARK = 22, 30, 58
DASH = "–"
BEST = (
    "Ranges hold nine of ten. Where two share more than half of the narrower one, there is no "
    "real difference."
)


# --- Figures --------------------------------------------------------------------------------------


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


def _whys(lineup: LineUp, system: str) -> str:
    lines = [wrapped(why_sentence(lineup, why, system), first="  • ") for why in lineup.why]
    return "\n".join([*lines, wrapped(SPLIT, first="  ")]) if lines else ""


# --- Duties ---------------------------------------------------------------------------------------


def _duties(lineup: LineUp, system: str) -> str:
    lines = []
    for at in range(len(lineup.asked)):
        lines.append(wrapped(duty_words(lineup, at, system), first="  ", rest="     "))
        if kept := kept_words(lineup, at):
            lines.append(wrapped(kept, first="     "))
    return "\n".join(lines)


# --- Beside the handbook --------------------------------------------------------------------------


def corrected_text(lineup: LineUp, system: str) -> str:
    """Each material as it lies in its panel, above the handbook's, both for their density."""
    found = corrected_rows(lineup, first_system(system))
    rows = table(found, right=(2, 3, 4, 5, 6, 7), indent="  ")
    return f"{rows}\n{wrapped(CORRECTED, first='  ')}" if found else ""


# --- The whole ------------------------------------------------------------------------------------


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


def evidence_words(lineup: LineUp) -> str:
    """The same by letter, in one sentence."""
    pairs = zip(lineup.members, evidence_kinds(lineup), strict=True)
    return f"{'; '.join(f'{member.letter} {kind}' for member, kind in pairs)}."
