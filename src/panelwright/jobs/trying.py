"""Try a change of a panel before it is kept: the text, and what it would come to."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from panelwright.errors import InputError, Problem
from panelwright.jobs.predict import glance_of, go_on
from panelwright.jobs.shelf import snapshot_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.editing import (
    add_duty,
    add_layer,
    copy_layer,
    group_layers,
    layer_count,
    layer_names,
    mirror_layers,
    move_layer,
    remove_duty,
    remove_layer,
    repeat_layer,
    set_value,
)
from panelwright.panels.layer_fields import FileLayer, LayerField, file_layers, path_of
from panelwright.panels.records import Prediction
from panelwright.panels.resolve import resolve

__all__ = [
    "FileLayer",
    "LayerField",
    "changed",
    "file_layers",
    "glanced",
    "layer_names",
    "tried",
]

#: What may be done to one layer, by its word.
_CHANGES: Mapping[str, Callable[[str, int], str]] = {
    "up": lambda text, layer: move_layer(text, layer, layer - 1),
    "down": lambda text, layer: move_layer(text, layer, layer + 1),
    "copy": copy_layer,
    "repeat": repeat_layer,
    "remove": remove_layer,
}
_ALLOWED = f"{', '.join(_CHANGES)}, move, group, set, add, mirror, duty, unduty"


def changed(text: str, do: str, words: str, catalogue: Catalogue) -> str:
    """The panel file after one change.

    do : ``up 2``, ``down 2``, ``copy 2``, ``repeat 2``, ``remove 2`` for the layer of that number,
    counted from 1 at the outside; ``move 3 1`` puts the third in the place of the first; ``group
    1 2`` puts these and all between into a group that ``words`` name; ``set layer.2.thickness``
    writes ``words`` there; ``add`` lays one more inside the last, said in shop words, ``add 2``
    inside the second; ``mirror`` lays all again in reverse, or no longer; ``duty`` adds one with
    the ready load that ``words`` name, ``unduty 1`` takes the first away; empty for none.
    Raises :class:`InputError`.
    """
    if not do.strip():
        return text
    word, *given = do.split()
    if word == "mirror" and not given:
        return mirror_layers(text)
    if word == "duty" and not given:
        return add_duty(text, words)
    if word == "set" and len(given) == 1:
        return set_value(text, path_of(given[0]), words)
    if all(one.isdecimal() for one in given):
        made = _of_layers(text, word, [int(one) - 1 for one in given], words, catalogue)
        if made is not None:
            return made
    raise InputError(Problem("there is no such change", do, _ALLOWED))


def _of_layers(text: str, word: str, at: list[int], words: str, catalogue: Catalogue) -> str | None:
    """The file after a change of layers counted from 0; None for a word that is none of them."""
    if word == "add" and len(at) < 2:
        return add_layer(text, at[0] + 1 if at else layer_count(text), words, catalogue)
    if word == "move" and len(at) == 2:
        return move_layer(text, *at)
    if word == "group" and len(at) == 2:
        return group_layers(text, at[0], at[1], words)
    if word == "unduty" and len(at) == 1:
        return remove_duty(text, *at)
    return _CHANGES[word](text, *at) if word in _CHANGES and len(at) == 1 else None


def tried(text: str, catalogue: Catalogue, between: Callable[[], None] = go_on) -> Prediction:
    """What a text would come to; nothing is kept.

    between : called between the parts of the work; what it raises ends it. Raises
    :class:`InputError`.
    """
    return snapshot_of(text, catalogue, between=between).prediction


def glanced(text: str, catalogue: Catalogue) -> Prediction:
    """The same at its middle values alone, in a tenth of the time. Raises :class:`InputError`."""
    return glance_of(resolve(read(text), catalogue), catalogue)
