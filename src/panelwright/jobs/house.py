"""House values between the shelf's log, the catalogue and a prediction."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from panelwright import units
from panelwright.errors import PanelwrightError
from panelwright.materials.catalogue import Catalogue, Own
from panelwright.panels.resolve import Resolved
from panelwright.provenance import Input
from panelwright.samples.house import LEARNT, OFF, RESET, HouseValue, learn, plates
from panelwright.shelf.records import HouseWord

#: How the source of a house value begins, by which a prediction knows it.
MARK = "house value"

#: In what each column is shown.
DIMENSIONS = {
    "fibre_mass_fraction": "fraction",
    "soak": "cloth_mass",
    "density": "density",
    "pot_loss": "fraction",
    "ply_labour": "ratio",
}
_NAMES = {
    "fibre_mass_fraction": "fibre mass fraction",
    "soak": "soak of one face",
    "density": "density",
    "pot_loss": "pot and tool loss",
    "ply_labour": "hours a square metre of one ply",
}


def house_values(words: Sequence[HouseWord], book: Catalogue) -> tuple[HouseValue, ...]:
    """The house values that a log comes to. What is not in the book any more is left out."""
    told: dict[str, dict[str, tuple[str, str, float, float]]] = {}
    off: set[str] = set()
    for word in words:
        of = told.setdefault(word.key, {})
        if word.said == LEARNT:
            of.pop(word.piece, None)
            if word.value is not None and word.u is not None:
                of[word.piece] = (word.plate, word.piece, word.value, word.u)
        elif word.said == RESET:
            of.clear()
        elif word.said == OFF:
            off.add(word.key)
        else:
            off.discard(word.key)
    found = []
    for key, lessons in sorted(told.items()):
        value = _value(key, list(lessons.values()), book, key not in off) if lessons else None
        if value is not None:
            found.append(value)
    return tuple(found)


def _value(
    key: str, lessons: list[tuple[str, str, float, float]], book: Catalogue, used: bool
) -> HouseValue | None:
    table, id, column = key.split("/")
    try:
        row = book.table(table).row(id)
        said = row.input(column)
    except (PanelwrightError, KeyError):
        return None
    name = f"{_NAMES.get(column, column)}: {row.name}"
    return learn(key, name, said, plates(lessons), used)


def shown_value(key: str, value: float, low: float, high: float) -> str:
    """A value of a key with its range, in shop units."""
    column = key.rpartition("/")[2]
    if column == "ply_labour":
        return f"{value / 3600:.2g} h/m² ({low / 3600:.2g} to {high / 3600:.2g})"
    dimension = DIMENSIONS[column]
    middle = units.show(value, dimension, "si", low, high)
    return f"{middle} ({units.show_range(low, high, dimension)})"


def said_of_book(value: HouseValue) -> str:
    """What the book says of the same."""
    book = value.book
    return shown_value(value.key, book.value, book.low, book.high)


def own_of(value: HouseValue) -> Own:
    """A house value as the cell of the catalogue that it stands in for."""
    table, id, column = value.key.split("/")
    source = f"{MARK} of {value.words}; the book says {said_of_book(value)}"
    return Own(table, id, column, value.value, value.low, value.high, source)


def _inputs(resolved: Resolved) -> Iterator[tuple[str, Input]]:
    for layer in resolved.layers:
        yield from layer.inputs.items()
    yield from resolved.bench.items()


def _used(resolved: Resolved) -> Iterator[tuple[str, Input, float]]:
    """Each house value that a panel rests on: its column, the input, over how many faces."""
    for field, given in _inputs(resolved):
        column = {"solid_density": "density"}.get(field, field)
        if MARK in given.source and given.row and column in DIMENSIONS:
            yield column, given, 2.0 if given.source.startswith("2 ×") else 1.0


def house_values_of(resolved: Resolved) -> dict[str, float]:
    """The house values that a panel was predicted with, by ``table/id/column``."""
    return {f"{g.row}/{column}": g.value / times for column, g, times in _used(resolved)}


def house_words(resolved: Resolved) -> list[str]:
    """One sentence for each house value that a panel was predicted with."""
    said = {}
    for column, given, times in _used(resolved):
        key = f"{given.row}/{column}"
        shown = shown_value(key, given.value / times, given.low / times, given.high / times)
        source = given.source.partition("house value")[2]
        said[key] = f"{given.cause}: {shown}, your {MARK}{source}"
    return list(said.values())
