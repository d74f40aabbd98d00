"""Where each key of a TOML text stands, so that a problem can name its line.

Neither TOML reader of the platform keeps line numbers of valid keys; this scanner follows table
headers and ``key =`` lines, and skips over multi-line strings and arrays.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

#: A path into the parsed file: keys and list positions, such as ``("layer", 1, "thickness")``.
Path = tuple[str | int, ...]

_HEADER = re.compile(r"^\s*(\[\[|\[)\s*([A-Za-z0-9_\-. ]+?)\s*(\]\]|\])\s*(#.*)?$")
_KEY = re.compile(r"^\s*((?:[A-Za-z0-9_\-]+|\"[^\"]*\")(?:\s*\.\s*(?:[A-Za-z0-9_\-]+))*)\s*=(.*)$")
_STRINGS = re.compile(r'"(?:\\.|[^"\\])*"|\'[^\']*\'')


class _Scanner:
    def __init__(self) -> None:
        self.lines: dict[Path, int] = {}
        self._counts: dict[Path, int] = {}
        self._table: Path = ()

    def _absolute(self, names: list[str]) -> Path:
        """The path of a dotted header, through the last entry of each list of tables on the way."""
        path: Path = ()
        for name in names:
            path = (*path, name)
            if path in self._counts:
                path = (*path, self._counts[path])
        return path

    def header(self, names: list[str], of_list: bool, line: int) -> None:
        if of_list:
            path = (*self._absolute(names[:-1]), names[-1])
            self._counts[path] = self._counts.get(path, -1) + 1
            self._table = (*path, self._counts[path])
        else:
            self._table = self._absolute(names)
        self.lines.setdefault(self._table, line)

    def key(self, names: list[str], line: int) -> None:
        path = self._table
        for name in names:
            path = (*path, name)
            self.lines.setdefault(path, line)


def _opens(text: str) -> str:
    """The closing mark that a value still waits for at the end of its line, or ''."""
    for mark in ('"""', "'''"):
        if text.count(mark) % 2:
            return mark
    bare = _STRINGS.sub("", text).split("#", 1)[0]
    return "]" if bare.count("[") > bare.count("]") else ""


def places(text: str) -> dict[Path, int]:
    """Line number (from 1) of each table and key of a TOML text.

    text : any text; what is not TOML is passed over. Raises nothing.
    """
    scanner = _Scanner()
    waiting = ""
    for number, line in enumerate(text.splitlines(), start=1):
        if waiting:
            if waiting in line:
                waiting = ""
            continue
        header = _HEADER.match(line)
        if header:
            names = [name.strip() for name in header.group(2).split(".")]
            scanner.header(names, header.group(1) == "[[", number)
            continue
        key = _KEY.match(line)
        if key:
            names = [name.strip().strip('"') for name in key.group(1).split(".")]
            scanner.key(names, number)
            waiting = _opens(key.group(2))
    return scanner.lines


def line_of(lines: dict[Path, int], path: Iterable[str | int]) -> int | None:
    """Line of a path, or of the nearest thing above it that has one."""
    whole = tuple(path)
    for end in range(len(whole), 0, -1):
        if whole[:end] in lines:
            return lines[whole[:end]]
    return None
