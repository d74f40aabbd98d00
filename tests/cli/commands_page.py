"""docs/commands.md from what ``--help`` says. Run this file to write it again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from typer.main import get_command

from panelwright.cli.main import app

PAGE = Path(__file__).parents[2] / "docs" / "commands.md"
WIDTH = 92

TOP = """# The commands

What `panelwright --help` says. `python3 start.py` passes on what follows it:
`python3 start.py predict ...` is `panelwright predict ...`.

Exit code 0: done. 1: a limit is kept only just or not, or a piece lies outside what was predicted.
2: the input was refused, and nothing was written. The answer goes to standard output, what is wrong
with the input to standard error.
"""


def _helps(command: Any, name: str) -> Iterator[tuple[str, str]]:
    """A command and all below it, each with its help."""
    context = command.context_class(
        command, info_name=name, terminal_width=WIDTH, max_content_width=WIDTH
    )
    yield name, command.get_help(context)
    for below, under in getattr(command, "commands", {}).items():
        yield from _helps(under, f"{name} {below}")


def page() -> str:
    """The whole page."""
    parts = [
        f"## {name}\n\n```\n{text}\n```\n" for name, text in _helps(get_command(app), "panelwright")
    ]
    return "\n".join([TOP, *parts])


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
