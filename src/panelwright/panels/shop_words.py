"""One line of shop words -> a panel file: "biax 300, 8 mm redcedar, 2 x twill 200".

Layers run from the outside in, with commas between them. Every layer becomes a ``[[layer]]`` of
the panel file, which is then read like any other, so there is one way in.
"""

from __future__ import annotations

import difflib
import json
import re
from dataclasses import dataclass

from panelwright.errors import InputError, Problem, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import FORMAT
from panelwright.panels.resolve.cloth import read_cloth
from panelwright.panels.resolve.cores import DensityMissing, read_core
from panelwright.panels.resolve.solids import bulking_mat

MOST_WORDS = 2000
LEAST_LIKENESS = 0.45
#: Kinds of layer without a direction.
NO_DIRECTION = frozenset({"coat", "glue", "bulking_mat"})
EXAMPLE = "biax 300, 8 mm redcedar, 2 x twill 200"

_TIMES = re.compile(
    r"^(\d{1,3})\s*(?:x|×|\*|times|layers?(?:\s+of)?|plies(?:\s+of)?|coats?(?:\s+of)?)\s+(?=\S)",
    re.IGNORECASE,
)
_ANGLE = re.compile(r"\s+(?:at|@)\s*(-?\d+(?:\.\d+)?)\s*(?:deg|°)?\s*$", re.IGNORECASE)
_LENGTH = re.compile(
    r"(?<![\w./])"
    r"((?:\d{1,2}[ -])?\d+/\d+|\d+[½¼¾⅛⅜⅝⅞]|[½¼¾⅛⅜⅝⅞]|\d+(?:\.\d+)?)"
    r"\s*(mm|cm|inch(?:es)?|in|\"|″|'')(?![\w])"
)


@dataclass(frozen=True)
class Phrase:
    """One layer as understood: the words, and the lines of its ``[[layer]]``."""

    words: str
    lines: tuple[str, ...]


class NotUnderstood(InputError):
    """One phrase is not understood; ``phrase`` is it and ``nearest`` what it may mean."""

    def __init__(self, phrase: str, nearest: tuple[str, ...], detail: str = "") -> None:
        self.phrase = phrase
        self.nearest = nearest
        self.detail = detail
        problem = Problem(
            f"what is {phrase!r}{f' ({detail})' if detail else ''}?",
            hint=_choice(nearest) if nearest else f'words such as "{EXAMPLE}"',
        )
        super().__init__(problem)


def _choice(names: tuple[str, ...]) -> str:
    *most, last = [repr(name) for name in names]
    return f"{', '.join(most)} or {last}" if most else last


def phrases(text: str) -> list[str]:
    """The words of each layer: the text parted at commas outside brackets."""
    parts = re.split(r",(?![^()]*\))", text)
    return [" ".join(part.split()) for part in parts if part.strip()]


def quoted(text: str) -> str:
    """Text as TOML writes it: its escapes are those of JSON, and DEL is escaped too."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


#: Kinds of solid layer in the order they are looked for, and the tables that know them.
KINDS_OF_SOLID = (
    ("plywood", "plywoods"),
    ("bulking mat", "cores"),
    ("core", "cores"),
    ("timber", "timbers"),
)


def _solid(words: str, thickness: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Key and name of a layer that has a thickness: core, plywood or timber."""
    nearest: list[str] = []
    size = f"thickness = {quoted(thickness)}"
    lowered = words.lower()
    for kind, table in KINDS_OF_SOLID:
        try:
            if kind == "core":
                read_core(words, catalogue)
                return (f"core = {quoted(words)}", size)
            if kind == "bulking mat":
                bulking_mat(catalogue, words)
                return (f"bulking_mat = {quoted(words)}", size)
            row = catalogue.find(table, without_kind(words) if kind == "timber" else words)
        except DensityMissing as unknown:
            raise NotUnderstood(
                f"{thickness} {words}", unknown.nearest, "of what density"
            ) from None
        except UnknownName as unknown:
            nearest += unknown.nearest
            continue
        if kind == "timber":
            key = next((k for k in ("board", "veneer") if k in lowered), "strips")
            return (f"{key} = {quoted(row.name)}", size)
        return (f"plywood = {quoted(row.name)}", size)
    raise NotUnderstood(f"{thickness} {words}", _closest(words, nearest), _slip(words, catalogue))


def _slip(words: str, catalogue: Catalogue) -> str:
    """What is wrong with words that go with a thickness and are no solid layer."""
    try:
        read_cloth(words, catalogue)
    except UnknownName:
        return "commas part the layers" if ";" in words else ""
    return "a cloth goes by its mass, and its thickness follows"


def without_kind(words: str) -> str:
    """The words of a timber without those for what it is made up into."""
    return " ".join(
        w for w in words.split() if w.lower() not in {"board", "veneer", "strips", "strip"}
    )


def _closest(words: str, names: list[str]) -> tuple[str, ...]:
    """The three names that look most like the words; none that do not look like them at all."""

    def likeness(name: str) -> float:
        return difflib.SequenceMatcher(None, words.lower(), name.lower()).ratio()

    close = [name for name in dict.fromkeys(names) if likeness(name) >= LEAST_LIKENESS]
    return tuple(sorted(close, key=lambda name: -likeness(name))[:3])


def _thin(words: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Key and name of a layer without a thickness: cloth, coat or glue."""
    try:
        read_cloth(words, catalogue)
    except UnknownName as unknown:
        for key, table in (("coat", "coats"), ("glue", "glues")):
            try:
                return (f"{key} = {quoted(catalogue.find(table, words).name)}",)
            except UnknownName:
                continue
        detail = unknown.problems[0].what.split(": ", 1)[-1]
        raise _not_thin(words, unknown.nearest, detail, catalogue) from None
    return (f"cloth = {quoted(words)}",)


_LOUD = re.compile(r"\d\s*(?:MM|Mm|CM|Cm|IN|In|INCH|Inch)\b")


def _not_thin(
    words: str, nearest: tuple[str, ...], detail: str, catalogue: Catalogue
) -> NotUnderstood:
    """The question to ask of words without a thickness that are no cloth, coat or glue."""
    if words.isdigit():
        return NotUnderstood(words, (), 'commas part the layers; a decimal has a point: "1.5 mm"')
    if ";" in words:
        return NotUnderstood(words, nearest, "commas part the layers")
    if _LOUD.search(words):
        return NotUnderstood(words, (), "mm, cm and in are written small")
    try:
        _solid(words, "", catalogue)
    except NotUnderstood as solid:
        close = _closest(words, [*nearest, *solid.nearest]) or nearest
        as_solid = close[:1] == solid.nearest[:1]
        return NotUnderstood(words, close, solid.detail if as_solid else detail)
    return NotUnderstood(words, (), "how thick is it")


def read_phrase(phrase: str, catalogue: Catalogue) -> Phrase:
    """One layer from its words.

    Raises :class:`NotUnderstood`.
    """
    times = _TIMES.match(phrase)
    rest = phrase[times.end() :] if times else phrase
    angle = _ANGLE.search(rest)
    if angle:
        rest = rest[: angle.start()]
    try:
        lines = _layer(rest, catalogue)
    except NotUnderstood as unclear:
        raise NotUnderstood(phrase, unclear.nearest, unclear.detail) from None
    kind = lines[0].split(" ", 1)[0]
    if angle:
        if kind in NO_DIRECTION:
            raise NotUnderstood(phrase, (), f"a {kind.replace('_', ' ')} has no direction")
        lines = (*lines, f"angle = {angle[1]}")
    if times:
        lines = (*lines, f"{'coats' if kind == 'coat' else 'repeat'} = {int(times[1])}")
    return Phrase(phrase, lines)


def _layer(rest: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Key, name and thickness of a layer from its words without count and angle."""
    thickness, words = sized(rest)
    if not thickness:
        return _thin(rest, catalogue)
    if not words:
        raise NotUnderstood(rest, (), "a thickness without a name")
    return _solid(words, thickness, catalogue)


def sized(phrase: str) -> tuple[str, str]:
    """The thickness in a phrase, with its unit, and the other words; empty where there is none."""
    length = _LENGTH.search(phrase)
    if length is None:
        return "", phrase
    words = " ".join((phrase[: length.start()] + phrase[length.end() :]).split())
    return f"{length[1]} {_unit(length[2])}", words


def _unit(text: str) -> str:
    return "in" if text in {'"', "″", "''", "inch", "inches"} else text


def panel_file(
    text: str,
    catalogue: Catalogue,
    *,
    title: str = "Panel",
    process: str | None = None,
    resin: str | None = None,
    size: tuple[str, str] | None = None,
) -> str:
    """The panel file that one line of shop words stands for.

    size : length and width as written. Raises :class:`NotUnderstood` for the first phrase that
    means nothing, :class:`InputError` for no words or far too many.
    """
    if len(text) > MOST_WORDS:
        raise InputError(
            Problem("too many words", f"{len(text)} characters", f"up to {MOST_WORDS}")
        )
    found = [read_phrase(phrase, catalogue) for phrase in phrases(text)]
    if not found:
        raise InputError(Problem("no layers are named", hint=f'words such as "{EXAMPLE}"'))
    head = [f"format = {FORMAT}", f"title = {quoted(title)}"]
    head += [f"process = {quoted(process)}"] if process else []
    head += [f"resin = {quoted(resin)}"] if resin else []
    if size:
        head.append(f"size = {{ length = {quoted(size[0])}, width = {quoted(size[1])} }}")
    body = ["\n".join(("[[layer]]", *phrase.lines)) for phrase in found]
    return "\n\n".join(["\n".join(head), *body]) + "\n"
