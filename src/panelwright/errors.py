"""What can go wrong, and how it is said.

::

    PanelwrightError
    ├── UnitError        a text is not a quantity of the dimension that is wanted here
    ├── UnknownName      a name is not in the catalogue; carries the nearest ones
    ├── InputError       a panel file or a line of shop words holds one or more problems
    ├── FormulaError     numbers that no real layer can have reached a formula
    ├── CatalogueError   a row of the catalogue, ours or the user's, is refused
    └── ShelfError       the shelf cannot be opened, read or written; nothing on it is lost

Every message says what is wrong, what was given, what is allowed and what to try. Both faces
print the same words; neither ever shows a traceback for an error of this tree.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Problem:
    """One thing that is wrong with an input, in parts that a face can lay out."""

    what: str
    given: str = ""
    allowed: str = ""
    hint: str = ""
    file: str = ""
    line: int | None = None
    key: str = ""

    @property
    def where(self) -> str:
        """``file:line, key``; as much of it as is known."""
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return ", ".join(part for part in (place, self.key) if part)

    def at(self, *, file: str = "", line: int | None = None, key: str = "") -> Problem:
        """The same problem with its place filled in where it was not known yet."""
        return replace(
            self,
            file=self.file or file,
            line=self.line if self.line is not None else line,
            key=self.key or key,
        )

    def sentence(self) -> str:
        """The whole message: where, what, given, allowed, what to try."""
        what = self.what if self.what.endswith("?") else self.what.rstrip(".") + "."
        parts = [f"{self.where}: {what}" if self.where else f"{what[:1].upper()}{what[1:]}"]
        if self.given:
            parts.append(f"Given: {self.given}.")
        if self.allowed:
            parts.append(f"Allowed: {self.allowed}.")
        if self.hint:
            parts.append(f"Try: {self.hint}.")
        return " ".join(parts)


class PanelwrightError(Exception):
    """The root: anything that Panelwright refuses on purpose."""

    def __init__(self, problems: Problem | Iterable[Problem]) -> None:
        self.problems = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))


class UnitError(PanelwrightError):
    """A text is not a quantity of the dimension that is wanted here."""


class UnknownName(PanelwrightError):
    """A name is not in the catalogue; ``nearest`` holds up to three that are."""

    def __init__(self, problem: Problem, nearest: tuple[str, ...] = ()) -> None:
        self.nearest = nearest
        super().__init__(problem)


class InputError(PanelwrightError):
    """A panel file or a line of shop words holds one or more problems."""


class FormulaError(PanelwrightError):
    """Numbers that no real layer can have reached a formula."""


class CatalogueError(PanelwrightError):
    """A row of the catalogue, ours or the user's, is refused."""


class ShelfError(PanelwrightError):
    """The shelf cannot be opened, read or written; nothing on it is lost."""
