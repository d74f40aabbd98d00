"""What the shelf gives, as text and as plain values for machines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any

from panelwright import units
from panelwright.jobs.changes import Change
from panelwright.jobs.shelf import (
    MEASURED,
    Card,
    Imported,
    Page,
    PanelOnShelf,
    Piece,
    Record,
    Verified,
)
from panelwright.panels.records import Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.layout import clipped, narrow, plural, table, wrapped
from panelwright.reports.prediction_json import as_json, quantity
from panelwright.reports.prediction_text import glance


def plain(value: Any) -> Any:
    """Records as plain values; a result with its range, unit, evidence and drivers."""
    if isinstance(value, Prediction):
        return as_json(value)
    if isinstance(value, Ranged):
        return quantity(value)
    if is_dataclass(value):
        return {one.name: plain(getattr(value, one.name)) for one in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    return value


NARROW = 16  # columns of a figure in a list

# Lists ------------------------------------------------------------------------------------------


def list_text(found: Page[Card], system: str) -> str:
    """One line for each panel; ◇ stands before what is only predicted, ● before what was found."""
    if not found.total:
        return "No panel on the shelf is like that."
    rows = [("number", "title", "thickness", "mass", "core", "pieces"), *_rows(found, system)]
    last = found.offset + len(found.items)
    count = f"{found.offset + 1} to {last} of {found.total}" if found.items else "none"
    return f"{table(rows)}\n\nPanels {count}.  ◇ only predicted  ● measured"


def _rows(found: Page[Card], system: str) -> Iterator[Sequence[str]]:
    for card in found.items:
        mark = "●" if card.standing == MEASURED else "◇"
        yield (
            f"{card.number} {mark}",
            clipped(card.title, 26),
            narrow(units.show(card.thickness.value, "thickness", system), NARROW),
            narrow(units.show(card.areal_mass.value, "areal_mass", system), NARROW),
            clipped(", ".join(card.cores), 20),
            str(card.pieces or ""),
        )


# One of them ------------------------------------------------------------------------------------


def panel_text(panel: PanelOnShelf, moved: Sequence[Change] | None, system: str) -> str:
    """The panel as it was predicted when it was saved, and what belongs to it."""
    head = [
        ("number", f"{panel.number}, revision {panel.revision} of {panel.revisions[0].number}"),
        ("saved", f"{panel.made[:10]}, version {panel.prediction.version}"),
        ("standing", panel.standing),
        ("tags", ", ".join(panel.tags)),
        ("remark", panel.remark),
        ("photos", str(len(panel.photos) or "")),
    ]
    parts = [
        glance(panel.prediction, system),
        table([row for row in head if row[1]]),
        _family_text(panel.pieces, system),
    ]
    if moved is not None:
        parts.append(changes_text(moved))
    return "\n\n".join(part for part in parts if part)


def _family_text(pieces: Sequence[Piece], system: str) -> str:
    lines = list(_lines(pieces, system, ""))
    return "Pieces\n" + "\n".join(lines) if lines else ""


def _lines(pieces: Sequence[Piece], system: str, indent: str) -> Iterator[str]:
    for piece in pieces:
        said = [piece.title, piece.cut_at and f"cut {piece.cut_at}", piece.place]
        said += [_found_text(piece.records[-1], system)] if piece.records else []
        text = "; ".join(part for part in said if part)
        start = f"{indent}  {piece.number}  "
        yield wrapped(text or "no title", first=start)
        yield from _lines(piece.cut, system, f"{indent}  ")


def _found_text(record: Record, system: str) -> str:
    found = []
    if record.thickness is not None:
        found.append(units.show(record.thickness, "thickness", system))
    if record.areal_mass is not None:
        found.append(units.show(record.areal_mass, "areal_mass", system))
    return f"found {', '.join(found)}" if found else ""


def changes_text(moved: Sequence[Change]) -> str:
    """What would be predicted today where it is not what was stored, and why."""
    if not moved:
        return "Today the same would be predicted."
    rows = [("headline", "stored", "today")]
    rows += [(one.name, _figure(one.then), _figure(one.now)) for one in moved]
    cause = "\n".join(
        wrapped(f"Because: {cause}.") for cause in sorted({one.cause for one in moved})
    )
    return f"Today something else would be predicted\n{table(rows)}\n{cause}"


def _figure(value: Ranged | None) -> str:
    return "none" if value is None else f"{value.value:.4g} {value.unit}".strip()


def piece_text(piece: Piece, system: str) -> str:
    """One piece with its records and what was cut from it."""
    rows = [
        ("number", piece.number),
        ("title", piece.title),
        ("of", f"{piece.panel}, revision {piece.revision}"),
        ("cut from", " ".join(part for part in (piece.cut_from, piece.cut_at) if part)),
        ("lies", piece.place),
        ("left", piece.left),
        ("remark", piece.remark),
    ]
    parts = [table([row for row in rows if row[1]])]
    parts += [_record_text(record, system) for record in piece.records]
    if piece.cut:
        parts.append("Cut from it\n" + "\n".join(_lines(piece.cut, system, "")))
    return "\n\n".join(parts)


def _record_text(record: Record, system: str) -> str:
    def shown(value: float | None, dimension: str) -> str:
        return "" if value is None else units.show(value, dimension, system)

    rows = [
        ("weight", shown(record.gross, "mass")),
        ("tare", shown(record.tare or None, "mass")),
        ("length", shown(record.length, "length")),
        ("width", shown(record.width, "length")),
        *((f"at {one.at}", shown(one.thickness, "thickness")) for one in record.gauged),
        ("mean thickness", shown(record.thickness, "thickness")),
        ("areal mass", shown(record.areal_mass, "areal_mass")),
        ("remark", record.remark),
        ("build it so again", record.again),
        ("to change", record.improve),
    ]
    title = f"Read off it {record.date}".rstrip() + (f" by {record.who}" if record.who else "")
    return f"{title}\n" + table([row for row in rows if row[1]], indent="  ")


# What was done ----------------------------------------------------------------------------------


def added_text(told: Sequence[Mapping[str, Any]]) -> str:
    """What is kept from now on."""
    lines = []
    for one in told:
        if "materials" in one:
            lines.append(f"Own materials, state {one['materials']}")
        elif "sha256" in one:
            lines.append(f"Photo {one['sha256'][:12]} of {one['of']}")
        else:
            lines.append(f"{one['number']}, revision {one['revision']}")
    return "\n".join(lines)


def imported_text(told: Imported) -> str:
    """What an import brought."""
    lines = [
        f"Brought: {plural(told.panels, 'panel')}, {plural(told.pieces, 'piece')}, "
        f"{plural(told.photos, 'photo')}.",
        f"There already: {told.there}." if told.there else "",
        *(f"{old} is {new} here" for old, new in told.renumbered.items()),
    ]
    return "\n".join(line for line in lines if line)


def verified_text(told: Verified) -> str:
    """What is on the shelf, and whether it is in order."""
    held = (
        plural(told.panels, "panel"),
        plural(told.revisions, "revision"),
        plural(told.pieces, "piece"),
        plural(told.photos, "photo"),
    )
    wrong = plural(len(told.problems), "problem") if told.problems else "all in order"
    return "\n".join((f"{', '.join(held)}: {wrong}.", *told.notes))
