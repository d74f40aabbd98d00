"""A day at the workshop: find, read, open a number, weigh, write, print, come back tomorrow."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pypdf
import pytest
from PIL import Image
from playwright.sync_api import Page, expect

from .conftest import Workshop

pytestmark = pytest.mark.usefixtures("quiet")


def test_find_read_and_open_a_number_down_to_its_row(page: Page) -> None:
    page.goto("/")
    page.get_by_label("Find by name").fill("tender")
    page.get_by_label("Process").select_option("hand lay-up")
    page.get_by_label("Thickness from").fill("5 mm")
    page.get_by_role("button", name="Find", exact=True).click()
    expect(page.locator(".card")).to_have_count(1)
    page.get_by_role("link", name="Tender topside").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tender topside")
    expect(page.get_by_role("img", name=re.compile("section", re.I)).first).to_be_visible()
    page.get_by_role("link", name=re.compile("^Thickness")).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Thickness")
    page.locator(".step a[href^='#at-']").first.click()
    assert re.search(r"#at-\w+$", page.url)
    expect(page.locator(f"[id='{page.url.partition('#')[2]}']")).to_be_in_viewport()
    page.locator("a.button[href^='/materials/']").first.click()
    expect(page.get_by_role("heading", name="Source")).to_be_visible()


def test_the_same_by_keyboard_alone(page: Page) -> None:
    page.goto("/shelf")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="To the page itself")).to_be_focused()
    page.keyboard.press("Enter")
    _tab_to(page, "#find")
    page.keyboard.type("tender topside")
    page.keyboard.press("Enter")
    page.wait_for_url("**/shelf?find=tender*")
    _tab_to(page, ".card .name a")
    page.keyboard.press("Enter")
    page.wait_for_url("**/panel/P-*")
    _tab_to(page, ".figures a")
    ring = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert ring == "3px"
    page.keyboard.press("Enter")
    page.wait_for_url("**/working/*")
    _tab_to(page, "a.button[href^='/materials/']")
    page.keyboard.press("Enter")
    page.wait_for_url("**/materials/*/*")


def _tab_to(page: Page, selector: str) -> None:
    """Press Tab until the focus is there."""
    for _ in range(120):
        page.keyboard.press("Tab")
        if page.evaluate("(wanted) => document.activeElement.matches(wanted)", selector):
            return
    pytest.fail(f"no Tab leads to {selector}")


def test_units_and_blueprint_stay_chosen(page: Page) -> None:
    page.goto("/panel/P-0001")
    sheet = page.locator("html")
    film = sheet.evaluate("one => getComputedStyle(one).backgroundColor")
    page.get_by_role("button", name="Imperial").click()
    page.get_by_role("button", name="Blueprint").click()
    assert page.url.endswith("/panel/P-0001")
    expect(page.locator(".figures > div").first).to_contain_text(re.compile(r"[\d.]+\s+in\b"))
    expect(page.get_by_role("button", name="Imperial")).to_have_attribute("aria-pressed", "true")
    page.goto("/shelf")
    expect(sheet).not_to_have_css("background-color", film)
    page.get_by_role("button", name="Film").click()
    expect(sheet).to_have_css("background-color", film)


def test_a_drawing_is_fit_for_the_width_of_the_window(page: Page) -> None:
    page.goto("/panel/P-0001")
    for width, shown in ((390, "at-phone"), (820, "at-tablet"), (1440, "at-desk")):
        page.set_viewport_size({"width": width, "height": 900})
        seen = page.locator("section.first svg:visible").all()
        assert seen
        for svg in seen:
            assert svg.evaluate("one => one.closest('[class^=at-]').className") == shown
            box, drawn = svg.bounding_box(), float(svg.get_attribute("width") or 0)
            assert box is not None
            assert box["width"] >= drawn - 1, "letters would shrink"


def test_a_day(page: Page, own_workshop: Workshop, tmp_path: Path, quiet: list[str]) -> None:
    here = own_workshop.address
    _a_panel_from_shop_words(page, here)
    assert [said for said in quiet if "400 (Bad Request)" in said] == quiet, "but what was refused"
    quiet.clear()
    number = page.url.rpartition("/")[2]
    _a_piece_with_its_photo(page, tmp_path)
    piece = page.url.rpartition("/")[2]
    _on_paper(page, f"{here}/panel/{number}")
    own_workshop.close()
    own_workshop.start()
    page.goto(f"{own_workshop.address}/shelf")
    page.get_by_label("Find by name").fill("wheelhouse")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Wheelhouse door").click()
    page.get_by_role("link", name=re.compile(f"^{piece}")).click()
    expect(page.get_by_text("a dry spot at B2")).to_be_visible()
    photo = page.locator("figure img")
    photo.scroll_into_view_if_needed()
    expect(photo).to_have_js_property("complete", True)
    assert photo.evaluate("one => one.naturalWidth") == 640


def _a_panel_from_shop_words(page: Page, here: str) -> None:
    page.goto(f"{here}/new")
    page.get_by_label("The stack").fill("biax 300, 8 mm redceder, biax 300")
    page.get_by_label("Its name").fill("Wheelhouse door")
    page.get_by_label("Process").fill("hand")
    page.get_by_role("button", name="Predict and keep it").click()
    told = page.get_by_role("alert")
    expect(told).to_contain_text("redceder")
    expect(told).to_contain_text("redcedar")
    expect(page.get_by_label("Its name")).to_have_value("Wheelhouse door")
    page.get_by_label("The stack").fill("biax 300, 8 mm redcedar, biax 300")
    page.get_by_role("button", name="Predict and keep it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Wheelhouse door")


def _a_piece_with_its_photo(page: Page, folder: Path) -> None:
    Image.new("RGB", (640, 480), "#a0785a").save(folder / "edge.jpg")
    page.get_by_role("link", name="Weigh a piece of it").first.click()
    page.get_by_label("Weight on the scale").fill("312 g")
    page.get_by_label("Length").fill("300 mm")
    page.get_by_label("Width").fill("200 mm")
    page.get_by_label("B2").fill("9.2 mm")
    page.get_by_label("Remarks").fill("a dry spot at B2")
    page.get_by_label("Photos").set_input_files(folder / "edge.jpg")
    page.get_by_role("button", name="Keep the record").click()
    expect(page.get_by_role("heading", name="Predicted and found")).to_be_visible()
    # 0.312 kg on 0.06 m2 is 5.2 kg/m2
    expect(page.get_by_role("row", name=re.compile("Areal mass"))).to_contain_text("5.2")


def _on_paper(page: Page, address: str) -> None:
    page.goto(address)
    printed = page.pdf(prefer_css_page_size=True)
    text = " ".join(sheet.extract_text() for sheet in pypdf.PdfReader(io.BytesIO(printed)).pages)
    for word in ("Wheelhouse door", "Thickness", "Cautions", "Estimates, not certification"):
        assert word in re.sub(r"\s+", " ", text)
    assert "Keep the tags" not in text
    sheet = page.request.get(f"{address}/sheet.pdf")
    assert sheet.ok
    (only,) = pypdf.PdfReader(io.BytesIO(sheet.body())).pages
    assert "Wheelhouse door" in re.sub(r"\s+", " ", only.extract_text())
