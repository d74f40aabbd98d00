"""A zip that somebody hands in, read with distrust: nothing of it is unpacked to the disk.

Only names that an export writes are taken, so that none leads out of anywhere; sizes are held to
limits before anything is read, so that a small file cannot become a huge one.
"""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from zipfile import BadZipFile, ZipFile

from panelwright.errors import InputError, Problem
from panelwright.shelf.export import FORMAT, MANIFEST
from panelwright.shelf.sheets import COLUMNS

MB = 1_000_000
MOST_FILES = 1_000_000
#: How many times larger than the zip its content may be; a shelf of text alone is about 15.
MOST_GROWTH = 200
FREE_GROWTH = 50 * MB  # below it any growth will do

#: Names that are taken, and how large each may be.
_TAKEN = (
    (re.compile(re.escape(MANIFEST)), 200 * MB),
    (re.compile("|".join(re.escape(name) for name in COLUMNS)), 500 * MB),
    (re.compile(r"panels/P-[0-9]{4,9}/[1-9][0-9]{0,5}\.toml"), MB),
    (re.compile(r"panels/P-[0-9]{4,9}/[1-9][0-9]{0,5}\.json"), 20 * MB),
    (re.compile(r"photos/[0-9a-f]{64}\.jpg"), 100 * MB),
    (re.compile(r"materials/[1-9][0-9]{0,5}\.toml"), 5 * MB),
)


class Archive:
    """An opened export whose names and sizes were looked at."""

    def __init__(self, opened: ZipFile, name: str) -> None:
        self._opened = opened
        self.name = name
        self.names = _looked_at(opened, name)
        self._hashes = self._manifest()

    def read(self, name: str) -> bytes:
        """The content of a file. Raises :class:`InputError` where it is missing or changed."""
        content = self._read(name)
        if hashlib.sha256(content).hexdigest() != self._hashes.get(name):
            raise self.refuse("a file is not what was exported", name)
        return content

    def text(self, name: str) -> str:
        """The content of a text file."""
        try:
            return self.read(name).decode("utf-8")
        except UnicodeDecodeError:
            raise self.refuse("a file is not text in UTF-8", name) from None

    def _read(self, name: str) -> bytes:
        if name not in self.names:
            raise self.refuse("a file is missing", name)
        try:
            return self._opened.read(name)
        except (BadZipFile, zlib.error, OSError, EOFError, NotImplementedError, RuntimeError):
            raise self.refuse("a file is damaged", name) from None

    def _manifest(self) -> dict[str, str]:
        try:
            content = json.loads(self._read(MANIFEST))
            form, hashes = content["format"], dict(content["files"])
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            raise self.refuse("this is not an exported shelf", MANIFEST) from None
        if form != FORMAT:
            what = "this export is of another format"
            raise InputError(Problem(what, str(form)[:60], FORMAT, "the version that wrote it"))
        if set(hashes) != self.names - {MANIFEST}:
            raise self.refuse("files are missing or were added", MANIFEST)
        return hashes

    def refuse(self, what: str, name: str) -> InputError:
        """The error for a file of it."""
        return InputError(Problem(what, name[:120], file=self.name))


@contextmanager
def opened_archive(path: Path) -> Iterator[Archive]:
    """Open an export. Raises :class:`InputError` for another file."""
    try:
        with ZipFile(path) as opened:
            yield Archive(opened, str(path))
    except FileNotFoundError:
        raise InputError(Problem("there is no such file", str(path))) from None
    except (BadZipFile, EOFError):
        raise InputError(Problem("this is not a zip", str(path))) from None
    except OSError as wrong:
        what = f"the file cannot be read: {wrong.strerror}"
        raise InputError(Problem(what, str(path))) from None


def _looked_at(opened: ZipFile, name: str) -> set[str]:
    """The names in it; InputError for names, kinds and sizes that no export has."""
    infos = opened.infolist()

    def refuse(what: str, given: str) -> InputError:
        return InputError(Problem(what, given[:120], file=name))

    if len(infos) > MOST_FILES:
        raise refuse("too many files in it", str(len(infos)))
    for info in infos:
        most = next((most for form, most in _TAKEN if form.fullmatch(info.filename)), None)
        if most is None:
            raise refuse("a file in it is none of a shelf", info.filename)
        if info.file_size > most or info.flag_bits & 0x1:
            raise refuse("a file in it is too large or locked", info.filename)
    whole = sum(info.file_size for info in infos)
    size = sum(info.compress_size for info in infos)
    on_disk = Path(opened.filename).stat().st_size if opened.filename else size
    if whole > FREE_GROWTH and whole > MOST_GROWTH * min(size, on_disk):
        raise refuse("it would grow too large", f"{whole / MB:.0f} MB from {on_disk / MB:.1f} MB")
    names = {info.filename for info in infos}
    if len(names) < len(infos):
        raise refuse("a file stands in it twice", name)
    return names
