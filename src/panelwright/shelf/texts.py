"""What is kept of what a person typed: as typed, or refused with the reason."""

from __future__ import annotations

import zlib
from datetime import UTC, datetime

from panelwright.errors import InputError, Problem

MOST_TAG = 60
MOST_LINE = 300
MOST_REMARK = 20_000


def now() -> str:
    """The moment, as it is kept."""
    return datetime.now(UTC).isoformat(timespec="microseconds")


def pack(content: str) -> bytes:
    """A long text, small."""
    return zlib.compress(content.encode("utf-8"), 6)


def unpack(content: bytes) -> str:
    """The text of :func:`pack`; ValueError for bytes that are not."""
    try:
        return zlib.decompress(content).decode("utf-8")
    except zlib.error as wrong:
        raise ValueError(str(wrong)) from None


def checked(content: str, key: str, most: int = MOST_REMARK, *, lines: bool = True) -> str:
    """The text itself; InputError where it cannot be kept on every shelf and in every file."""
    if len(content) > most:
        given = f"{len(content)} characters"
        raise InputError(Problem("this is too long", given, f"up to {most}", key=key))
    kept = "\n\r\t" if lines else ""
    odd = next((sign for sign in content if not _is_kept(sign, kept)), None)
    if odd is not None:
        what = "a sign in it cannot be kept" if lines or odd not in "\n\r\t" else "one line only"
        raise InputError(Problem(what, f"U+{ord(odd):04X}", key=key))
    return content


def _is_kept(sign: str, kept: str) -> bool:
    code = ord(sign)
    return (code >= 0x20 or sign in kept) and code != 0x7F and not 0xD800 <= code <= 0xDFFF


def checked_tags(tags: tuple[str, ...]) -> tuple[str, ...]:
    """Tags without spaces at their ends, each once, in order of the alphabet."""
    bare = (" ".join(checked(tag, "tag", MOST_TAG, lines=False).split()) for tag in tags)
    return tuple(sorted({tag for tag in bare if tag}))
