"""Change one thing in a panel file and leave every other character as it is.

A layer is its lines: the ``[[layer]]`` header, what stands below it, and the comments right above.
Values are changed by tomlkit, which keeps comments, blanks and the person's own units.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from panelwright.errors import InputError, Problem
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.layers import MOST_LAYERS
from panelwright.panels.places import places
from panelwright.panels.shop_words import quoted, read_phrase

_NUMBER = re.compile(r"-?\d+(\.\d+)?")


def _lines(text: str) -> list[str]:
    return text.splitlines(keepends=True)


def _heads(text: str) -> list[int]:
    """Where the layers of the panel itself begin: index of the line of each header."""
    found = places(text)
    heads: list[int] = []
    while ("layer", len(heads)) in found:
        heads.append(found["layer", len(heads)] - 1)
    return heads


def _ends(text: str, lines: Sequence[str], heads: Sequence[int]) -> list[int]:
    """Where each of them ends: at the next layer, or at a table that is not its own."""
    ends = []
    stop = _end_of_layers(text, len(lines), heads)
    for head in heads:
        after = [other for other in heads if other > head]
        ends.append(min(after, default=stop))
    return ends


def _end_of_layers(text: str, count: int, heads: Sequence[int]) -> int:
    """The first line after the last layer that belongs to another table."""
    below = [
        line - 1
        for path, line in places(text).items()
        if path and path[0] != "layer" and heads and line - 1 > heads[-1]
    ]
    return min(below, default=count)


def _spans(text: str) -> list[tuple[int, int]]:
    """First line and the line after the last of each layer, comments right above it included."""
    lines, heads = _lines(text), _heads(text)
    starts = []
    for head in heads:
        start = head
        while start > 0 and lines[start - 1].lstrip().startswith("#"):
            start -= 1
        starts.append(start)
    ends = _ends(text, lines, heads)
    return [
        (start, min([end, *(other for other in starts if other > start)]))
        for start, end in zip(starts, ends, strict=True)
    ]


def layer_count(text: str) -> int:
    """How many layers the file lists itself; those of groups are not counted."""
    return len(_heads(text))


def _place(text: str, layer: int) -> tuple[int, int]:
    spans = _spans(text)
    if not 0 <= layer < len(spans):
        problem = Problem("there is no such layer", str(layer + 1), f"1 to {len(spans)}")
        raise InputError(problem)
    return spans[layer]


def _parted(block: Sequence[str]) -> tuple[list[str], list[str]]:
    """A block without the blank lines at its end, and these."""
    body = list(block)
    blanks: list[str] = []
    while body and not body[-1].strip():
        blanks.insert(0, body.pop())
    if body and not body[-1].endswith("\n"):
        body[-1] += "\n"
    return body, blanks


def layer_names(text: str) -> tuple[str, ...]:
    """What each layer of the file is, in the person's own words; empty for a file not in TOML."""
    try:
        layers = tomllib.loads(text).get("layer", [])
    except ValueError:
        return ()
    if not isinstance(layers, list):
        return ()
    return tuple(_called(layer) for layer in layers if isinstance(layer, dict))


def _called(layer: Mapping[str, Any]) -> str:
    """The first value of a layer, and what is said of its thickness and its repeats."""
    kind = next((str(value) for value in layer.values() if isinstance(value, str)), "layer")
    times = f"{layer['repeat']} × " if layer.get("repeat", 1) != 1 else ""
    thick = f", {layer['thickness']}" if isinstance(layer.get("thickness"), str) else ""
    return f"{times}{kind}{thick}"


def remove_layer(text: str, layer: int) -> str:
    """The file without one layer, counted from 0.

    Raises :class:`InputError` for a layer that is not there, and for the last one left.
    """
    start, end = _place(text, layer)
    if layer_count(text) == 1:
        raise InputError(Problem("a panel has at least one layer", hint="add another one first"))
    lines = _lines(text)
    return "".join(lines[:start] + lines[end:])


def _without(text: str, layer: int) -> tuple[list[str], list[str]]:
    """A layer's own lines, and all lines without them."""
    start, end = _place(text, layer)
    lines = _lines(text)
    body, _ = _parted(lines[start:end])
    return body, lines[:start] + lines[end:]


def _put(text: str, at: int, body: Sequence[str]) -> str:
    """The file with the lines of a layer put before layer ``at``, or after the last."""
    lines, spans = _lines(text), _spans(text)
    if len(spans) >= MOST_LAYERS:
        raise InputError(Problem("that is too many layers", str(len(spans) + 1), f"{MOST_LAYERS}"))
    if at < len(spans):
        place = spans[at][0]
        return "".join([*lines[:place], *body, "\n", *lines[place:]])
    place = spans[-1][1] if spans else len(lines)
    before, blanks = _parted(lines[:place])
    gap = blanks or ["\n"]
    after = lines[place:]
    return "".join([*before, *gap[:1], *body, *(["\n"] if after else []), *after])


def move_layer(text: str, layer: int, to: int) -> str:
    """The file with one layer moved so that it is layer ``to``; both counted from 0."""
    count = layer_count(text)
    if not 0 <= to < count:
        raise InputError(Problem("there is no such place", str(to + 1), f"1 to {count}"))
    if to == layer:
        return text
    body, rest = _without(text, layer)
    return _put("".join(rest), to, body)


def copy_layer(text: str, layer: int) -> str:
    """The file with the same layer once more, right after it."""
    body, _ = _without(text, layer)
    return _put(text, layer + 1, body)


def add_layer(text: str, at: int, words: str, catalogue: Catalogue) -> str:
    """The file with a layer said in shop words put before layer ``at``, counted from 0.

    Raises :class:`NotUnderstood` for words that mean nothing.
    """
    phrase = read_phrase(words.strip(), catalogue)
    body = ["[[layer]]\n", *(f"{line}\n" for line in phrase.lines)]
    return _put(text, max(0, at), body)


def repeat_layer(text: str, layer: int) -> str:
    """The file with one layer laid once more: ``repeat`` one higher."""
    _place(text, layer)
    now = tomllib.loads(text)["layer"][layer].get("repeat", 1)
    return set_value(text, ("layer", layer, "repeat"), str(int(now) + 1))


def mirror_layers(text: str) -> str:
    """The file with ``mirror = true``, or without it where it stands."""
    is_on = _parsed(text).get("mirror") is True
    return set_value(text, ("mirror",), "" if is_on else "true")


def group_layers(text: str, first: int, last: int, name: str) -> str:
    """The file with some layers put into a group, and the group laid in their place.

    first, last : counted from 0, both of it. Raises :class:`InputError` for layers that are not
    there, a name that is taken or none.
    """
    if not name.strip():
        raise InputError(Problem("the group has no name", hint='a name such as "skin"'))
    if first > last:
        first, last = last, first
    (start, _), (_, stop) = _place(text, first), _place(text, last)
    if name in [one.get("name") for one in tomllib.loads(text).get("group", [])]:
        raise InputError(Problem("two groups have this name", name, hint="another name"))
    lines = _lines(text)
    body, blanks = _parted(lines[start:stop])
    inner = [_HEADER.sub(r"\1group.layer", line) for line in body]
    use = ["[[layer]]\n", f"group = {quoted(name)}\n"]
    rest, _ = _parted([*lines[:start], *use, *blanks, *lines[stop:]])
    return "".join([*rest, "\n[[group]]\n", f"name = {quoted(name)}\n\n", *inner])


def add_duty(text: str, ready: str) -> str:
    """The file with one more duty below all else: a ready load, and limits to begin with."""
    table = _parsed(text)
    lines = ["[[duty]]\n"]
    if ready.strip():
        lines += [
            f"name = {quoted(ready.strip().capitalize())}\n",
            f"ready = {quoted(ready.strip())}\n",
        ]
    if "size" not in table:
        lines.append('span = { length = "600 mm", width = "400 mm" }\n')
    lines.append('limits = { deflection = "span/100", reserve = 2 }\n')
    body, _ = _parted(_lines(text))
    return "".join([*body, "\n", *lines])


def remove_duty(text: str, place: int) -> str:
    """The file without one duty, counted from 0, and without the loads below it."""
    heads = [at for path, at in places(text).items() if path == ("duty", place)]
    if not heads:
        count = len(_parsed(text).get("duty", []))
        raise InputError(Problem("there is no such duty", str(place + 1), f"1 to {count}"))
    lines, start = _lines(text), heads[0] - 1
    below = [
        at - 1
        for path, at in places(text).items()
        if (at - 1 > start and path[:2] != ("duty", place) and path[0] != "duty")
        or (path[:1] == ("duty",) and len(path) == 2 and path[1] > place)  # type: ignore[operator]
    ]
    while start > 0 and lines[start - 1].lstrip().startswith("#"):
        start -= 1
    stop = min(below, default=len(lines))
    body, _ = _parted([*lines[:start], *lines[stop:]])
    return "".join(body)


def _parsed(text: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except ValueError as wrong:
        raise InputError(Problem(f"this is not TOML: {wrong}")) from None


_HEADER = re.compile(r"^(\s*\[+)layer(?=[\].])")


# --- Values ---------------------------------------------------------------------------------------


def _table(document: Mapping[str, Any], path: Sequence[str | int]) -> Any:
    table: Any = document
    for part in path[:-1]:
        try:
            if isinstance(part, str) and isinstance(table, dict) and part not in table:
                table[part] = tomlkit.inline_table()
            table = table[part]
        except (KeyError, IndexError, TypeError):
            said = " ".join(str(one) for one in path)
            raise InputError(Problem("there is no such place in the file", said)) from None
    return table


def _written(typed: str, before: Any) -> Any:
    """What was typed as a value: a bare number where one stood or none is needed, else text."""
    if isinstance(before, bool) or typed in {"true", "false"}:
        return typed == "true" if typed in {"true", "false"} else typed
    bare = before is None or (isinstance(before, int | float) and not isinstance(before, str))
    if bare and _NUMBER.fullmatch(typed):
        return float(typed) if "." in typed else int(typed)
    return typed


def _with_line_on_top(text: str, line: str) -> str:
    """The file with one more key of the panel below those that are there."""
    lines = _lines(text)
    first = min(
        (at for path, at in places(text).items() if path[0] in {"layer", "group"}), default=0
    )
    at = first - 1 if first else len(lines)
    while at and (not lines[at - 1].strip() or lines[at - 1].lstrip().startswith("#")):
        at -= 1
    return "".join([*lines[:at], line, *lines[at:]])


def _without_value(document: tomlkit.TOMLDocument, path: Sequence[str | int]) -> str:
    """The file without one key, and without the inline table that held nothing else."""
    holder: Any = document
    holders = []
    for part in path[:-1]:
        known = part in holder if isinstance(part, str) else -1 < part < len(holder)
        if not known:
            return tomlkit.dumps(document)
        holders.append((holder, part))
        holder = holder[part]
    if path[-1] in holder:
        holder.remove(path[-1])
        if isinstance(holder, tomlkit.items.InlineTable) and not holder and holders:
            above, part = holders[-1]
            above.remove(part)
    return tomlkit.dumps(document)


def set_value(text: str, path: Sequence[str | int], typed: str) -> str:
    """The file with one value as typed; nothing typed takes the key away.

    path : such as ``("layer", 1, "thickness")``. Raises :class:`InputError` for a place that is
    not there and a file that is not TOML.
    """
    try:
        document = tomlkit.parse(text)
    except TOMLKitError as wrong:
        raise InputError(Problem(f"this is not TOML: {wrong}")) from None
    key, given = path[-1], typed.strip()
    if not given:
        return _without_value(document, path)
    table = _table(document, path)
    value = _written(given, table.get(key))
    if len(path) == 1 and key not in table:
        return _with_line_on_top(text, f"{key} = {tomlkit.item(value).as_string()}\n")
    if table.get(key) != value or isinstance(table.get(key), bool) != isinstance(value, bool):
        is_new = key not in table
        table[key] = value
        if is_new and isinstance(table, tomlkit.items.InlineTable):
            _table(document, path[:-1])[path[-2]] = _spaced(table)
    return tomlkit.dumps(document)


def _spaced(table: tomlkit.items.InlineTable) -> Any:
    """An inline table as a person writes it, with blanks inside its braces."""
    inner = ", ".join(f"{key} = {tomlkit.item(value).as_string()}" for key, value in table.items())
    return tomlkit.parse(f"x = {{ {inner} }}")["x"]
