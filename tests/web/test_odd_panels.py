"""Panels that are not of the usual kind, and words that mean something to a browser."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree

import pypdf
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from panelwright.jobs.shelf import Shelf
from panelwright.web.app import create_app

from .conftest import HERE
from .reading import OWN_SCRIPTS, Page, read, send

BITE = "</title><script>alert(1)</script><b onmouseover=alert(2)>&amp;'\""
PAGES = ("", "?cut=along", "/today", "/full", "/working", "/working/thickness", "/write")


@pytest.fixture
def own(own_shelf: Shelf) -> TestClient:
    return TestClient(create_app(own_shelf), base_url=HERE)


def _is_tame(page: Page) -> None:
    tags = {tag for tag, _ in page.attributes}
    assert not tags & {"b", "iframe", "object"}
    assert set(page.scripts) <= OWN_SCRIPTS
    assert page.html.count("<script") == len(page.scripts)
    assert not [name for _, found in page.attributes for name in found if name.startswith("on")]
    for svg in re.findall(r"<svg.*?</svg>", page.html, re.DOTALL):
        ElementTree.fromstring(svg)


def test_words_that_mean_something_to_a_browser_stay_words(own: TestClient) -> None:
    stack = (
        '[[layer]]\ncloth = "biax 300"\n[[layer]]\nboard = "western redcedar"\nthickness = "8 mm"\n'
    )
    quoted = BITE.replace('"', '\\"')
    file = f'format = 1\ntitle = "{quoted}"\nprocess = "hand lay-up"\n# {BITE}\n{stack}'
    made = send(own, "/new", "/new", text=file, tags="<i>tag</i>")
    assert made.status == 200, made.text
    shot = io.BytesIO()
    Image.new("RGB", (60, 40), "white").save(shot, "JPEG")
    files = {"photo": ("<b>.jpg", shot.getvalue(), "image/jpeg")}
    send(own, "/panel/P-0001", "/photo/P-0001", caption=BITE, files=files)
    send(own, "/panel/P-0001/piece", "/panel/P-0001/piece", weight="1 kg", title=BITE, remark=BITE)
    send(own, "/piece/S-0001", "/piece/S-0001/cut", cut_at=BITE, title=BITE)
    price = {"material": BITE, "amount": "9", "currency": "EUR", "per": "1 kg"}
    seen = [send(own, "/materials/own", "/materials/price", **price)]
    addresses = [f"/panel/P-0001{part}" for part in PAGES]
    found = f"/shelf?find={BITE.replace('&', '%26')}"
    others = ("/shelf", found, "/piece/S-0001", "/piece/S-0002", f"/panel/{BITE}")
    seen += [read(own, path) for path in (*addresses, *others)]
    for page in seen:
        _is_tame(page)
    panel = read(own, "/panel/P-0001")
    assert BITE in panel.text
    assert "<i>tag</i>" in read(own, "/shelf").text
    assert own.get("/api/panel/P-0001").json()["title"] == BITE
    assert own.get("/api/piece/S-0001").json()["records"][0]["remark"] == BITE
    sheet = pypdf.PdfReader(io.BytesIO(own.get("/panel/P-0001/sheet.pdf").content)).pages[0]
    assert "alert(1)" in re.sub(r"\s+", "", sheet.extract_text())
    assert "/JS" not in str(sheet)


ODD = {
    "no core": "6 x twill 200, 2 x biax 300",
    "strength not known": "flax twill 300, 10 mm end-grain balsa 150 kg/m3, flax twill 300",
    "40 layers": "40 x twill 200",
    "one ply": "twill 200",
    "a core alone": "8 mm redcedar",
}


@pytest.mark.parametrize("words", ODD.values(), ids=ODD)
def test_odd_panels_have_all_their_pages(own: TestClient, words: str) -> None:
    made = send(own, "/new", "/new", words=words, process="hand", title="Odd")
    assert made.status == 200, made.text
    for system, unit in (("si", "mm"), ("imperial", "in"), ("both", "mm")):
        send(own, "/shelf", "/look", system=system)
        for part in PAGES:
            page = read(own, f"/panel/P-0001{part}")
            assert page.status == 200
            assert not re.search(r"\b(nan|None|inf)\b", page.text)
        panel = read(own, "/panel/P-0001")
        assert "Whole panel" not in panel.text, "it was given no size"
        assert re.search(rf"Thickness [\d.]+ {unit}\b", panel.text)
        assert re.search(rf"[\d.]+ {unit}\b", read(own, "/shelf").text)
    assert own.get("/api/panel/P-0001").json()["prediction"]["mass"] is None
    for paper in ("A4", "Letter"):
        sheet = own.get(f"/panel/P-0001/sheet.pdf?paper={paper}").content
        assert len(pypdf.PdfReader(io.BytesIO(sheet)).pages) == 1


def test_what_is_not_known_is_said(own: TestClient) -> None:
    send(own, "/new", "/new", words=ODD["strength not known"], process="hand")
    assert "strength of flax" in read(own, "/panel/P-0001").text
