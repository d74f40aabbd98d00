"""Panel files read and answers written, never over another file."""

from __future__ import annotations

from pathlib import Path

from panelwright.errors import InputError, Problem
from panelwright.panels import description as panels
from panelwright.panels.description import MOST_TEXT, Description


def is_panel_file(text: str) -> bool:
    """A name that ends like a panel file, or one word that is a file."""
    if text.endswith(".toml"):
        return True
    try:
        return bool(text) and " " not in text and Path(text).is_file()
    except OSError:  # longer than any file name
        return False


def read_file(text: str) -> Description:
    """The panel of a file; :class:`InputError` where there is none or it is refused."""
    return panels.read(read_text(text), text)


def read_text(text: str) -> str:
    """What stands in a file of TOML."""
    path = Path(text)
    try:
        if path.stat().st_size > 4 * MOST_TEXT:
            raise InputError(Problem("the file is too large for a panel", file=text))
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError:
        near = sorted(str(other) for other in path.parent.glob("*.toml"))[:3]
        hint = " or ".join(near) if near else "the path of a panel file"
        raise InputError(Problem("there is no such file", text, hint=hint)) from None
    except UnicodeDecodeError:
        raise InputError(Problem("the file is not text in UTF-8", file=text)) from None
    except OSError as wrong:
        raise InputError(Problem(f"the file cannot be read: {wrong.strerror}", file=text)) from None


def read_bytes(path: Path) -> bytes:
    """What stands in any file."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise InputError(Problem("there is no such file", str(path))) from None
    except OSError as wrong:
        what = f"the file cannot be read: {wrong.strerror}"
        raise InputError(Problem(what, str(path))) from None


def taken(path: Path) -> InputError:
    """The refusal to write over a file."""
    hint = "another name, or move the old one away"
    return InputError(Problem("there is a file of that name already", str(path), hint=hint))


def save_all(files: list[tuple[Path, str]]) -> list[str]:
    """Write all of the files, or none where a name is taken; what was written where."""
    names = [path for path, _ in files]
    for path in names:
        if path.exists() or names.count(path) > 1:
            raise taken(path)
    return [_save(path, text) for path, text in files]


def _save(path: Path, text: str) -> str:
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise taken(path) from None
    except OSError as wrong:
        raise InputError(Problem(f"cannot write the file: {wrong.strerror}", str(path))) from None
    return f"Written to {path}"
