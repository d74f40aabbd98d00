"""Photos: upright, at all their pixels, without metadata; what is no photo is refused."""

from __future__ import annotations

import hashlib
import io
import struct
import zlib
from pathlib import Path

import pytest
from PIL import Image, ImageFile

from panelwright.errors import InputError, ShelfError
from panelwright.shelf.photos import MOST_BYTES, Folder, read_kept, read_picture


def _bytes(image: Image.Image, kind: str, **more: object) -> bytes:
    file = io.BytesIO()
    image.save(file, kind, **more)
    return file.getvalue()


def _with_metadata() -> bytes:
    image = Image.linear_gradient("L").resize((80, 50)).convert("RGB")
    image.putpixel((0, 0), (255, 0, 0))
    exif = Image.Exif()
    exif[0x0112] = 6  # Orientation: to be turned a quarter clockwise (EXIF 2.3, tag 274)
    exif[0x010F] = "SECRETMAKER"
    exif.get_ifd(0x8825)[1] = "N"  # GPS
    return _bytes(image, "JPEG", exif=exif, comment=b"SECRETWORD", icc_profile=b"SECRETPROFILE")


def test_a_photo_is_turned_and_freed_of_metadata_at_full_size() -> None:
    picture = read_picture(_with_metadata(), "phone.jpg")
    assert (picture.width, picture.height) == (50, 80)
    with Image.open(io.BytesIO(picture.content)) as kept:
        assert kept.size == (50, 80)
        assert not kept.getexif()
        assert set(kept.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert b"SECRET" not in picture.content
    assert b"Exif" not in picture.content


@pytest.mark.parametrize("mode", ["RGBA", "LA", "P", "L", "1", "I;16", "RGB", "CMYK"])
def test_every_mode_is_read(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    picture = read_picture(_bytes(Image.new(mode, (7, 5)), kind), "x")
    assert (picture.width, picture.height) == (7, 5)


def test_what_is_clear_becomes_white() -> None:
    picture = read_picture(_bytes(Image.new("RGBA", (8, 8), (0, 0, 0, 0)), "PNG"), "x.png")
    with Image.open(io.BytesIO(picture.content)) as kept:
        assert kept.getpixel((4, 4)) == (255, 255, 255)


def _png_that_claims(width: int, height: int) -> bytes:
    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "not a photo"),
        (b"GIF89a" + bytes(100), "not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "not a photo"),
        (_png_that_claims(50_000, 50_000), "(too large|cannot be read)"),
        (_png_that_claims(300, 300), "cannot be read"),
        (_with_metadata()[:400], "(cannot be read|not a photo)"),
        (bytes(MOST_BYTES + 1), "too large"),
    ],
    ids=["nothing", "another kind", "drawing", "bomb", "no pixels", "cut short", "long"],
)
@pytest.mark.parametrize("elsewhere", [False, True])
def test_what_is_no_photo_is_refused(
    content: bytes, said: str, elsewhere: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """``elsewhere``: another library in the program has Pillow take files that are cut short."""
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", elsewhere)
    with pytest.raises(InputError, match=said):
        read_picture(content, "given.jpg")


def test_a_photo_of_another_shelf_is_taken_only_as_a_shelf_keeps_it() -> None:
    picture = read_picture(_with_metadata(), "phone.jpg")
    assert read_kept(picture.content, picture.sha256) == picture
    with pytest.raises(InputError, match="as a shelf keeps it"):
        read_kept(picture.content, "0" * 64)
    for other in (_with_metadata(), picture.content + b"<script>"):
        with pytest.raises(InputError, match="as a shelf keeps it"):
            read_kept(other, hashlib.sha256(other).hexdigest())


def test_a_changed_or_missing_file_is_told(tmp_path: Path) -> None:
    folder = Folder(tmp_path)
    sha256 = folder.keep(read_picture(_with_metadata(), "x"))
    assert folder.names() == {sha256}
    assert not list(tmp_path.rglob("*.part"))
    folder.file(sha256).write_bytes(b"other")
    with pytest.raises(ShelfError, match="not what was kept"):
        folder.read(sha256)
    folder.file(sha256).unlink()
    with pytest.raises(ShelfError, match="cannot be read: No such file"):
        folder.read(sha256)


@pytest.mark.parametrize(
    "name", ["", "..", "a/b", "A" * 64, "0" * 63, "0" * 65, "..%2f" + "0" * 59]
)
def test_no_other_name_reaches_the_disk(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputError, match="not the name of a photo"):
        Folder(tmp_path).read(name)
