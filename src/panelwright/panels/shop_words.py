"""One line of shop words -> a panel file: "biax 300, 8 mm redcedar, 2 x twill 200".

Layers run from the outside in, with commas between them. Every layer becomes a ``[[layer]]`` of
the panel file, which is then read like any other, so there is one way in.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from panelwright.errors import InputError, Problem, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import FORMAT
from panelwright.panels.resolve.cloth import read_cloth
from panelwright.panels.resolve.cores import read_core

MOST_WORDS = 2000
LEAST_LIKENESS = 0.45
EXAMPLE = "biax 300, 8 mm redcedar, 2 x twill 200"

_TIMES = re.compile(r"^(\d{1,3})\s*(?:x|×|\*|times|layers? of|coats? of)\s+(?=\S)", re.IGNORECASE)
_COATS = re.compile(r"^(\d{1,2})\s+coats?\s+(?:of\s+)?(?=\S)", re.IGNORECASE)
_ANGLE = re.compile(r"\s+(?:at|@)\s*(-?\d+(?:\.\d+)?)\s*(?:deg|°)?\s*$", re.IGNORECASE)
_LENGTH = re.compile(
    r"(?<![\w./])"
    r"((?:\d+[ -])?\d+/\d+|\d+[½¼¾⅛⅜⅝⅞]|[½¼¾⅛⅜⅝⅞]|\d+(?:\.\d+)?)"
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


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _solid(words: str, thickness: str, catalogue: Catalogue) -> tuple[str, ...]:
    """Key and name of a layer that has a thickness: core, plywood or timber."""
    nearest: list[str] = []
    size = f"thickness = {_quoted(thickness)}"
    lowered = words.lower()
    for kind, table in (("plywood", "plywoods"), ("core", "cores"), ("timber", "timbers")):
        try:
            if kind == "core":
                core = read_core(words, catalogue)
                key = "bulking_mat" if core.row.text("core_class") == "bulking_mat" else "core"
                return (f"{key} = {_quoted(words)}", size)
            row = catalogue.find(table, _without_kind(words) if kind == "timber" else words)
        except UnknownName as unknown:
            nearest += unknown.nearest
            continue
        if kind == "timber":
            key = next((k for k in ("board", "veneer") if k in lowered), "strips")
            return (f"{key} = {_quoted(row.name)}", size)
        return (f"plywood = {_quoted(row.name)}", size)
    detail = "commas part the layers" if ";" in words else ""
    raise NotUnderstood(f"{thickness} {words}", _closest(words, nearest), detail)


def _without_kind(words: str) -> str:
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
                return (f"{key} = {_quoted(catalogue.find(table, words).name)}",)
            except UnknownName:
                continue
        detail = unknown.problems[0].what.split(": ", 1)[-1]
        if ";" in words:
            detail = "commas part the layers"
        raise NotUnderstood(words, unknown.nearest, detail) from None
    return (f"cloth = {_quoted(words)}",)


def read_phrase(phrase: str, catalogue: Catalogue) -> Phrase:
    """One layer from its words.

    Raises :class:`NotUnderstood`.
    """
    rest, extra = phrase, []
    coats = _COATS.match(rest)
    times = None if coats else _TIMES.match(rest)
    if coats:
        rest = rest[coats.end() :]
        extra.append(f"coats = {coats[1]}")
    elif times:
        rest = rest[times.end() :]
        extra.append(f"repeat = {times[1]}")
    angle = _ANGLE.search(rest)
    if angle:
        rest = rest[: angle.start()]
        extra.insert(0, f"angle = {angle[1]}")
    length = _LENGTH.search(rest)
    if length is None:
        return Phrase(phrase, (*_thin(rest, catalogue), *extra))
    words = " ".join((rest[: length.start()] + rest[length.end() :]).split())
    thickness = f"{length[1]} {_unit(length[2])}"
    if not words:
        raise NotUnderstood(phrase, (), "a thickness without a name")
    return Phrase(phrase, (*_solid(words, thickness, catalogue), *extra))


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
    head = [f"format = {FORMAT}", f"title = {_quoted(title)}"]
    head += [f"process = {_quoted(process)}"] if process else []
    head += [f"resin = {_quoted(resin)}"] if resin else []
    if size:
        head.append(f"size = {{ length = {_quoted(size[0])}, width = {_quoted(size[1])} }}")
    body = ["\n".join(("[[layer]]", *phrase.lines)) for phrase in found]
    return "\n\n".join(["\n".join(head), *body]) + "\n"
