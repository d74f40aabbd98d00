"""Where each key of a TOML text stands, so that a problem can name its line.

The TOML readers at hand keep no line numbers of valid keys. This scanner follows headers, dotted
and quoted keys, lists and inline tables; what a value says does not matter here.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

#: A path into the parsed file: keys and list positions, such as ``("layer", 1, "thickness")``.
Path = tuple[str | int, ...]

_TOKEN = re.compile(
    # A string that is not closed reaches to the end of its line, or of the text: no second look.
    r'(?P<string>"""(?:\\.|[^\\])*?(?:"{3,5}|\Z)'
    r"|'''.*?(?:'{3,5}|\Z)"
    r'|"(?:\\[^\n]|[^"\\\n])*"?'
    r"|'[^'\n]*'?)"
    r"|(?P<comment>\#[^\n]*)"
    r"|(?P<newline>\n)"
    r"|(?P<mark>[\[\]{}=,.])"
    r"|(?P<blank>[^\S\n]+)"
    r"|(?P<word>[^\s\[\]{}=,.\"'#]+|.)",
    re.DOTALL,
)
_PASSED_OVER = frozenset({"comment", "blank"})
#: Places are noted down to here; no panel file goes deeper, and a text made to hurt may.
DEEPEST = 12


class _Token(NamedTuple):
    kind: str
    text: str
    line: int
    end: int


def _tokens(text: str) -> Iterator[_Token]:
    line = 1
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or ""
        if kind not in _PASSED_OVER:
            yield _Token(kind, match[0], line, match.end())
        line += match[0].count("\n")
    yield _Token("end", "", line, len(text))


def _name(token: _Token) -> str:
    """The key that a token stands for."""
    if token.kind != "string":
        return token.text
    try:
        return str(json.loads(token.text)) if token.text[0] == '"' else token.text[1:-1]
    except ValueError:
        return token.text[1:-1]


@dataclass
class _Open:
    """A list or an inline table that is not closed yet; ``count`` numbers the items of a list."""

    path: Path
    count: int | None


class _Scanner:
    def __init__(self, text: str) -> None:
        self.lines: dict[Path, int] = {}
        self._tokens = list(_tokens(text))
        self._next = 0
        self._counts: dict[Path, int] = {}
        self._table: Path = ()

    @property
    def here(self) -> _Token:
        return self._tokens[self._next]

    def take(self) -> _Token:
        token = self.here
        if token.kind != "end":
            self._next += 1
        return token

    def run(self) -> None:
        while self.here.kind != "end":
            if self.here.text == "[":
                self.header()
            elif self.here.kind in {"word", "string"}:
                self.value(self.key(self._table))
            self.rest_of_line()

    def rest_of_line(self) -> None:
        while self.take().kind not in {"newline", "end"}:
            pass

    def note(self, below: Path, part: str | int, line: int) -> Path:
        """The path one deeper, with its line."""
        if len(below) >= DEEPEST:
            return below
        path = (*below, part)
        self.lines.setdefault(path, line)
        return path

    def names(self) -> list[_Token]:
        """The parts of a dotted key."""
        found = []
        while self.here.kind in {"word", "string"} or self.here.text == ".":
            token = self.take()
            if token.text != ".":
                found.append(token)
        return found

    def key(self, below: Path) -> Path:
        """A key and its ``=``; each part of it is noted."""
        path = below
        for token in self.names():
            path = self.note(path, _name(token), token.line)
        if self.here.text == "=":
            self.take()
        return path

    def header(self) -> None:
        opened = self.take()
        of_list = self.here.text == "[" and self.here.end == opened.end + 1
        if of_list:
            self.take()
        path: Path = ()
        names = [_name(token) for token in self.names()][:DEEPEST]
        for place, name in enumerate(names, start=1):
            path = self.note(path, name, opened.line)
            if of_list and place == len(names):
                self._counts[path] = self._counts.get(path, -1) + 1
            if path in self._counts:
                path = self.note(path, self._counts[path], opened.line)
        self._table = path

    def value(self, path: Path) -> None:
        """Pass over one value, noting the items of lists and the keys of inline tables."""
        opened: list[_Open] = []
        while self.here.kind != "end" and (opened or self.here.kind != "newline"):
            token = self.take()
            if token.text == "[":
                opened.append(_Open(path, 0))
                path = self.item(opened[-1])
            elif token.text == "{":
                opened.append(_Open(path, None))
                path = self.item(opened[-1])
            elif token.text == "," and opened:
                path = self.item(opened[-1])
            elif token.text in {"]", "}"} and opened:
                path = opened.pop().path

    def item(self, inside: _Open) -> Path:
        """The path of the next item of a list, or of the next key of an inline table."""
        while self.here.kind == "newline":
            self.take()
        if inside.count is None:
            return self.key(inside.path)
        inside.count += 1
        return self.note(inside.path, inside.count - 1, self.here.line)


def places(text: str) -> dict[Path, int]:
    """Line number (from 1) of each table, key and list item of a TOML text.

    text : any text; what is not TOML is passed over. Raises nothing.
    """
    scanner = _Scanner(text.replace("\r\n", "\n"))
    scanner.run()
    return scanner.lines


def line_of(lines: dict[Path, int], path: Iterable[str | int]) -> int | None:
    """Line of a path, or of the nearest thing above it that has one."""
    whole = tuple(path)
    for end in range(len(whole), 0, -1):
        if whole[:end] in lines:
            return lines[whole[:end]]
    return None
