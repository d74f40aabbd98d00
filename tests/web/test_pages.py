"""Pages by meaning: what a person finds, reads, writes and is told."""

from __future__ import annotations

import io
import re

import pypdf
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from panelwright.jobs.shelf import Shelf
from panelwright.reports.figures import headlines
from panelwright.web.app import create_app

from .addresses import PAGES
from .conftest import HERE
from .reading import OWN_SCRIPTS, Page, read, send


@pytest.mark.parametrize("path", PAGES)
def test_every_page_has_one_heading_a_name_and_no_style_of_its_own(
    visitor: TestClient, path: str
) -> None:
    page = read(visitor, path)
    assert page.status == 200
    assert page.html.count("<h1") == 1
    assert "Panelwright" in page.text
    assert not [tag for tag, found in page.attributes if "style" in found]
    assert not [tag for tag, _ in page.attributes if tag == "style"]
    assert set(page.scripts) <= OWN_SCRIPTS
    for tag, found in page.attributes:
        assert not [name for name in found if name.startswith("on")], tag


@pytest.mark.parametrize("path", PAGES)
def test_every_link_leads_somewhere(visitor: TestClient, path: str) -> None:
    for link in set(read(visitor, path).links):
        if link.startswith("/") and ".pdf" not in link:
            assert visitor.get(link).status_code == 200, link


def test_the_shelf_shows_every_panel_with_its_figures(visitor: TestClient, shelf: Shelf) -> None:
    page = read(visitor, "/shelf")
    found = shelf.find()
    assert f"{found.total} panels" in page.text
    for card in found.items:
        assert card.title in page.text
        assert f"/panel/{card.number}" in page.links


def test_filters_hold_together(visitor: TestClient) -> None:
    both = read(visitor, "/shelf?thicker=20+mm&process=wet+lay-up,+vacuum+bag")
    assert "Camper roof" in both.text
    assert "Tender topside" not in both.text
    none = read(visitor, "/shelf?find=roof&thinner=5+mm")
    assert "No panel here has all of that" in none.text


def test_a_number_alone_is_in_the_unit_that_its_field_names(visitor: TestClient) -> None:
    with_unit, alone = (read(visitor, f"/shelf?thicker={text}") for text in ("20+mm", "20"))
    assert alone.links == with_unit.links != read(visitor, "/shelf").links
    assert alone.fields["thicker"] == "20"


def test_a_bound_that_is_no_thickness_is_told_and_kept(visitor: TestClient) -> None:
    page = read(visitor, "/shelf?thicker=1,5+mm")
    assert "1,5 mm" in page.text
    assert page.fields["thicker"] == "1,5 mm"


def test_a_panel_says_what_was_stored(visitor: TestClient, shelf: Shelf) -> None:
    page = read(visitor, "/panel/P-0001")
    stored = shelf.panel("P-0001").snapshot.prediction
    for figure in headlines(stored):
        assert f"{figure.number} {figure.unit}" in page.text
        assert figure.range in page.text
        assert f"/panel/P-0001/working/{figure.working}" in page.links


def test_units_are_remembered(visitor: TestClient) -> None:
    send(visitor, "/shelf", "/look", system="imperial", to="/panel/P-0001")
    assert re.search(r"Thickness [\d.]+ in\b", read(visitor, "/panel/P-0001").text)


def test_a_working_leads_down_to_a_row_of_the_catalogue(visitor: TestClient) -> None:
    page = read(visitor, "/panel/P-0001/working/thickness")
    rows = [link for link in page.links if link.startswith("/materials/")]
    rows = [link for link in rows if link.count("/") == 3]
    assert rows
    marks = {link for link in page.links if link.startswith("#at-")}
    places = {f"#{found['id']}" for _, found in page.attributes if found.get("id")}
    assert marks
    assert marks <= places
    assert "Source" in read(visitor, rows[0]).text


def test_an_unknown_number_is_told_in_the_words_of_the_command_line(
    visitor: TestClient, shelf: Shelf
) -> None:
    page = read(visitor, "/panel/P-9999")
    assert page.status == 404
    with pytest.raises(Exception, match="P-9999") as refused:
        shelf.panel("P-9999")
    assert str(refused.value) in page.text


# Writing ------------------------------------------------------------------------------------------


@pytest.fixture
def own(own_shelf: Shelf) -> TestClient:
    return TestClient(create_app(own_shelf), base_url=HERE)


def test_shop_words_become_a_panel(own: TestClient) -> None:
    page = send(
        own,
        "/new",
        "/new",
        words="biax 300, 8 mm redcedar, 2 x twill 200",
        process="hand",
        title="Lid",
        tags="boat, sample",
    )
    assert "Lid" in page.text
    assert "western redcedar" in page.text
    assert "Lid" in read(own, "/shelf?tag=sample").text


def test_what_is_refused_is_kept_as_typed(own: TestClient) -> None:
    page = send(own, "/new", "/new", words="biax 300, 8 mm unobtainium", title='"><b>x')
    assert page.status == 400
    assert "unobtainium" in page.text
    assert page.fields["words"] == "biax 300, 8 mm unobtainium"
    assert page.fields["title"] == '"><b>x'
    assert "No panel here" in read(own, "/shelf").text


def test_a_new_revision_and_a_second_writer(own: TestClient) -> None:
    send(own, "/new", "/new", words="biax 300, 8 mm redcedar, biax 300", process="hand")
    text = own.get("/panel/P-0001/file").text
    thicker = text.replace("8 mm", "9 mm")
    done = send(
        own,
        "/panel/P-0001/write",
        "/panel/P-0001/write",
        text=thicker,
        after="1",
        do="keep",
        remark="thicker strips",
    )
    assert "thicker strips" in done.text
    late = send(own, "/panel/P-0001/write", "/panel/P-0001/write", text=text, after="1", do="keep")
    assert late.status == 409
    assert "While you changed revision 1, somebody kept revision 2: thicker strips" in late.text
    assert '\N{MINUS SIGN}thickness = "9 mm"' in late.text
    assert '+thickness = "8 mm"' in late.text
    form = "/panel/P-0001/write"
    mine = send(own, form, form, text=text, after="1", do="keep mine", remark="mine")
    assert "3, " in mine.text
    assert own.get("/panel/P-0001/file").text == text
    assert "This is revision 1" in read(own, "/panel/P-0001?revision=1").text
    theirs = own.get("/panel/P-0001/file?revision=2").text
    assert '"9 mm"' in theirs


def test_a_variant_is_a_panel_that_says_what_it_comes_from(own: TestClient) -> None:
    words = "biax 300, 8 mm redcedar, biax 300"
    send(own, "/new", "/new", words=words, process="hand", title="Lid", tags="boat")
    form = "/panel/P-0001/write"
    text = own.get("/panel/P-0001/file").text.replace("8 mm", "9 mm")
    made = send(own, form, form, text=text, after="1", do="variant", remark="thicker")
    assert "Panel P-0002" in made.text
    assert "Lid, variant" in made.text
    assert "variant of P-0001, revision 1: thicker" in made.text
    assert "boat" in made.html
    assert '"8 mm"' in own.get("/panel/P-0001/file").text


def test_a_change_is_tried_before_it_is_kept(own: TestClient) -> None:
    send(own, "/new", "/new", words="biax 300, 8 mm redcedar, biax 300", process="hand")
    form = "/panel/P-0001/write"
    text = own.get("/panel/P-0001/file").text
    moved = send(own, form, form, text=text, after="1", do="up 2")
    names = re.findall(r"balloon\">\d</span> ([^\n<]+)", moved.html)
    assert "redcedar" in names[0]
    assert "biax" in names[1]
    added = send(own, form, form, text=text, after="1", do="add", layer_words="2 x twill 200")
    assert "nothing is kept yet" in added.text
    assert added.html.count('name="do" value="copy') == 4
    lost = send(own, form, form, text=text, after="1", do="add", layer_words="unobtainium")
    assert lost.status == 400
    assert lost.fields["layer_words"] == "unobtainium"
    assert own.get("/panel/P-0001/file").text == text


def _photo() -> bytes:
    made = io.BytesIO()
    Image.new("RGB", (60, 40), "white").save(made, "JPEG")
    return made.getvalue()


def test_a_piece_is_weighed_on_one_screen(own: TestClient) -> None:
    send(own, "/new", "/new", words="biax 300, 8 mm redcedar, biax 300", process="hand")
    page = send(
        own,
        "/panel/P-0001/piece",
        "/panel/P-0001/piece",
        weight="300 g",
        tare="0",
        length="300 mm",
        width="200 mm",
        A1="9.0",
        B2="9.2 mm",
        remark="a dry spot <here>",
        date="2026-11-20",
        files={"photo": ("edge.jpg", _photo(), "image/jpeg")},
    )
    # 0.300 kg on 0.06 m2 is 5 kg/m2; the mean of 9.0 and 9.2 mm is 9.1 mm
    assert re.search(r"5(\.0+)? kg/m²", page.text)
    assert re.search(r"9\.1\d* mm", page.text)
    assert "a dry spot <here>" in page.text
    (photo,) = [str(f["src"]) for t, f in page.attributes if t == "img"]
    with Image.open(io.BytesIO(own.get(photo).content)) as kept:
        assert kept.size == (60, 40)
    assert "measured" in read(own, "/shelf").text


def test_wrong_readings_are_named_and_kept(own: TestClient) -> None:
    send(own, "/new", "/new", words="biax 300, 8 mm redcedar, biax 300", process="hand")
    page = send(
        own,
        "/panel/P-0001/piece",
        "/panel/P-0001/piece",
        weight="9 mm",
        B2="thick",
        date="nan mm",
    )
    assert page.status == 400
    assert "weight" in page.text
    assert "thickness at B2" in page.text
    assert "this is no day" in page.text.lower()
    assert page.fields["weight"] == "9 mm"
    assert page.fields["B2"] == "thick"


def test_no_photo_is_refused_in_words(own: TestClient) -> None:
    send(own, "/new", "/new", words="biax 300, 8 mm redcedar, biax 300", process="hand")
    files = {"photo": ("x.jpg", b"GIF89a and no more", "image/jpeg")}
    page = send(own, "/panel/P-0001", "/photo/P-0001", files=files)
    assert page.status == 400
    assert "Refused" in page.html


@pytest.mark.parametrize("form", ["/panel/P-0001/piece", "/piece/S-0001/record"])
def test_a_refused_photo_keeps_nothing_of_its_record(own: TestClient, form: str) -> None:
    send(own, "/new", "/new", words="biax 300, 8 mm redcedar, biax 300", process="hand")
    send(own, "/panel/P-0001/piece", "/panel/P-0001/piece", weight="300 g")
    before = own.get("/api/panel/P-0001").json()["pieces"]
    files = [
        ("photo", ("edge.jpg", _photo(), "image/jpeg")),
        ("photo", ("x.jpg", b"GIF89a and no more", "image/jpeg")),
    ]
    page = send(own, form, form, weight="310 g", files=files)
    assert page.status == 400
    assert page.fields["weight"] == "310 g"
    assert own.get("/api/panel/P-0001").json()["pieces"] == before
    send(own, form, form, weight="310 g", files=files[:1])
    assert own.get("/api/panel/P-0001").json()["pieces"] != before


@pytest.mark.parametrize("number", ["0", "-1", "7", "9223372036854775808", "9" * 30])
@pytest.mark.parametrize("path", ["/panel/P-0001", "/panel/P-0001/file", "/api/panel/P-0001"])
def test_no_such_revision(visitor: TestClient, path: str, number: str) -> None:
    answer = visitor.get(path, params={"revision": number})
    assert answer.status_code in {404, 422}  # there is none; there can be none
    assert "revision" in answer.text


# Paper --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path", ["/panel/P-0001/sheet.pdf", "/piece/S-0001/sheet.pdf?paper=Letter"]
)
def test_sheets_bear_the_number(visitor: TestClient, path: str) -> None:
    answer = visitor.get(path)
    assert answer.headers["content-type"] == "application/pdf"
    text = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert path.split("/")[2] in text


def test_labels_for_panels_and_pieces(visitor: TestClient) -> None:
    answer = visitor.get("/labels.pdf?numbers=P-0001+S-0001")
    text = pypdf.PdfReader(io.BytesIO(answer.content)).pages[0].extract_text()
    assert "P-0001" in text
    assert "S-0001" in text


def test_too_many_labels_are_refused_before_any_is_read(visitor: TestClient) -> None:
    page = Page(visitor.get("/labels.pdf", params={"numbers": "P-9999 " * 501}))
    assert page.status == 400
    assert "1 to 500" in page.text


def test_no_paper_of_that_name(visitor: TestClient) -> None:
    page = Page(visitor.get("/panel/P-0001/sheet.pdf?paper=foolscap"))
    assert page.status in {400, 404}
    assert "A4 or Letter" in page.text


# For machines -------------------------------------------------------------------------------------


def test_the_twins_say_what_the_pages_say(visitor: TestClient, shelf: Shelf) -> None:
    stored = shelf.panel("P-0001").snapshot.prediction
    twin = visitor.get("/api/panel/P-0001").json()
    assert twin["prediction"]["thickness"]["value"] == pytest.approx(stored.thickness.value)
    assert visitor.get("/api/shelf").json()["total"] == shelf.find().total
    found = visitor.get("/api/shelf", params={"find": "roof"}).json()["panels"]
    assert [one["title"] for one in found] == ["Camper roof"]
    names = visitor.get("/api/panel/P-0001/working").json()["names"]
    assert "thickness" in names
    working = visitor.get("/api/panel/P-0001/working/thickness").json()
    assert working["value"] == pytest.approx(stored.thickness.value)
    assert visitor.get("/api/piece/S-0001").json()["panel"]
    assert visitor.get("/api/materials/resins/ep_rt").json()["source"]


def test_a_machine_is_refused_in_the_same_words(visitor: TestClient) -> None:
    answer = visitor.get("/api/panel/P-9999")
    assert answer.status_code == 404
    assert "P-9999" in answer.json()["problems"][0]
    bad = visitor.get("/api/shelf?size=0")
    assert bad.status_code == 422
    assert bad.json()["problems"]
