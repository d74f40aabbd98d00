"""Try a change of a panel before it is kept: the text, and what it would come to."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from panelwright.errors import InputError, Problem
from panelwright.jobs.shelf import snapshot_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.editing import (
    add_layer,
    copy_layer,
    layer_count,
    layer_names,
    move_layer,
    remove_layer,
)
from panelwright.panels.records import Prediction

__all__ = ["changed", "layer_names", "tried"]

#: What may be done to one layer, by its word.
_CHANGES: Mapping[str, Callable[[str, int], str]] = {
    "up": lambda text, layer: move_layer(text, layer, layer - 1),
    "down": lambda text, layer: move_layer(text, layer, layer + 1),
    "copy": copy_layer,
    "remove": remove_layer,
}


def changed(text: str, do: str, words: str, catalogue: Catalogue) -> str:
    """The panel file after one change.

    do : ``up 2``, ``down 2``, ``copy 2``, ``remove 2`` for the layer of that number, counted from
    1 at the outside; ``add`` for one more inside the last, said in shop words; empty for none.
    Raises :class:`InputError`.
    """
    word, _, number = do.partition(" ")
    if not word:
        return text
    if word == "add":
        return add_layer(text, layer_count(text), words, catalogue)
    if word not in _CHANGES or not number.isdecimal():
        raise InputError(Problem("there is no such change", do, "up, down, copy, remove, add"))
    return _CHANGES[word](text, int(number) - 1)


def tried(text: str, catalogue: Catalogue) -> Prediction:
    """What a text would come to; nothing is kept. Raises :class:`InputError`."""
    return snapshot_of(text, catalogue).prediction
