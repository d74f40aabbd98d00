"""Photos: read with distrust, kept at full size without what a camera writes beside the picture.

A photo is a JPEG file named by the SHA-256 of its bytes. Whoever keeps one has its file on the
disk before the database knows of it, so that no row is ever without its picture.
"""

from __future__ import annotations

import hashlib
import io
import os
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

from panelwright.errors import InputError, Problem, ShelfError

MOST_BYTES = 40_000_000
MOST_PIXELS = 120_000_000
KINDS = ("JPEG", "PNG", "WEBP")
QUALITY = 92


@dataclass(frozen=True)
class Picture:
    """A photo as it is kept: JPEG without anything but the picture."""

    content: bytes
    width: int
    height: int

    @property
    def sha256(self) -> str:
        """The name of its file, without the ending."""
        return hashlib.sha256(self.content).hexdigest()


def read_picture(content: bytes, name: str) -> Picture:
    """The picture in the bytes of a file, upright, at all its pixels, without metadata.

    Raises :class:`InputError` for other kinds, for what is too large and for what is no picture.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    _refuse_size(len(content), name)
    try:
        with warnings.catch_warnings(), _whole_files_only():
            warnings.simplefilter("error")  # Pillow warns of a bomb, and of odd files
            with Image.open(io.BytesIO(content), formats=KINDS) as opened:
                _refuse_pixels(opened.width, opened.height, name)
                upright = ImageOps.exif_transpose(opened)
                plain = Image.new("RGB", upright.size, "white")
                clear = upright.convert("RGBA") if "A" in upright.getbands() else None
                plain.paste(upright.convert("RGB") if clear is None else clear, mask=clear)
    except UnidentifiedImageError:
        allowed = ", ".join(KINDS)
        raise InputError(Problem("this is not a photo", name, allowed)) from None
    except (OSError, SyntaxError, ValueError, Warning, Image.DecompressionBombError) as wrong:
        what = "this photo cannot be read"
        raise InputError(Problem(what, f"{name} ({_why(wrong)})", hint="save it anew")) from None
    written = io.BytesIO()
    plain.save(written, "JPEG", quality=QUALITY, subsampling=0)
    return Picture(written.getvalue(), plain.width, plain.height)


_DECODING = Lock()


@contextmanager
def _whole_files_only() -> Iterator[None]:
    """Have Pillow refuse files that are cut short, also where another library lets it take them."""
    from PIL import ImageFile

    with _DECODING:
        before, ImageFile.LOAD_TRUNCATED_IMAGES = ImageFile.LOAD_TRUNCATED_IMAGES, False
        try:
            yield
        finally:
            ImageFile.LOAD_TRUNCATED_IMAGES = before


def _why(wrong: BaseException) -> str:
    return (str(wrong).splitlines() or [type(wrong).__name__])[0][:80]


def _refuse_size(size: int, name: str) -> None:
    if size > MOST_BYTES:
        given = f"{name}, {size / 1e6:.0f} MB"
        raise InputError(Problem("this photo is too large", given, f"{MOST_BYTES / 1e6:.0f} MB"))


def _refuse_pixels(width: int, height: int, name: str) -> None:
    if width * height > MOST_PIXELS:
        given = f"{name}, {width} x {height} pixels"
        allowed = f"{MOST_PIXELS / 1e6:.0f} million pixels"
        raise InputError(Problem("this photo is too large", given, allowed))


def smaller(content: bytes, most: int) -> bytes:
    """A kept photo with no side over ``most`` px, as JPEG; itself where it is small already."""
    from PIL import Image

    with Image.open(io.BytesIO(content), formats=["JPEG"]) as opened:
        if max(opened.size) <= most:
            return content
        opened.thumbnail((most, most))
        written = io.BytesIO()
        opened.save(written, "JPEG", quality=85)
    return written.getvalue()


def read_kept(content: bytes, sha256: str) -> Picture:
    """A photo as another shelf kept it, byte by byte. Raises :class:`InputError` for another."""
    from PIL import Image

    name = f"{sha256}.jpg"
    read_picture(content, name)
    with Image.open(io.BytesIO(content)) as opened:
        is_plain = opened.format == "JPEG" and set(opened.info) <= _PLAIN
        picture = Picture(content, opened.width, opened.height)
    if not is_plain or not content.endswith(b"\xff\xd9") or picture.sha256 != sha256:
        raise InputError(Problem("this is not a photo as a shelf keeps it", name))
    return picture


#: What Pillow tells of a JPEG file without metadata.
_PLAIN = {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


class Folder:
    """The folder of photos, ``ab/abcd....jpg``."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def file(self, sha256: str) -> Path:
        """Where the photo of a hash lies; InputError for a text that is none."""
        if len(sha256) != 64 or not set(sha256) <= set("0123456789abcdef"):
            raise InputError(Problem("this is not the name of a photo", sha256[:80]))
        return self.path / sha256[:2] / f"{sha256}.jpg"

    def read(self, sha256: str) -> bytes:
        """The bytes of a photo. Raises :class:`ShelfError` where the file is gone or changed."""
        file = self.file(sha256)
        try:
            content = file.read_bytes()
        except OSError as wrong:
            what = f"a photo cannot be read: {wrong.strerror}"
            raise ShelfError(Problem(what, str(file))) from None
        if hashlib.sha256(content).hexdigest() != sha256:
            raise ShelfError(Problem("a photo is not what was kept", str(file)))
        return content

    def keep(self, picture: Picture) -> str:
        """Have the picture on the disk; its hash. Raises :class:`ShelfError`, nothing kept."""
        file = self.file(picture.sha256)
        if file.exists():
            return picture.sha256
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            _write_whole(file, picture.content)
        except OSError as wrong:
            what = f"the photo cannot be kept: {wrong.strerror}; nothing was changed"
            raise ShelfError(Problem(what, str(file))) from None
        return picture.sha256

    def names(self) -> set[str]:
        """The hashes of all photos that lie here."""
        return {file.stem for file in self.path.glob("??/*.jpg")}


def _write_whole(file: Path, content: bytes) -> None:
    """Write a file so that it is there whole, on the disk, or not at all."""
    handle, name = tempfile.mkstemp(dir=file.parent, suffix=".part")
    try:
        with os.fdopen(handle, "wb") as part:
            part.write(content)
            part.flush()
            os.fsync(part.fileno())
        os.chmod(name, 0o644)  # others who share the folder read it too
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    _sync_folder(file.parent)


def _sync_folder(folder: Path) -> None:
    """Have the name of a new file on the disk too, where the system can."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
