"""A photo of a cut edge is marked with the mouse, a finger, the keyboard, or as plain numbers."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Browser, Page, expect

from panelwright.jobs.edge import edge_photo
from panelwright.jobs.shelf import Shelf
from tests.samples.edges import Drawn
from tests.samples.panels import CORED

from .conftest import Workshop
from .rules import found

#: Foam between plies: PET foam of 15 mm was asked for.
EDGE = Drawn((0.80, 15.0, 0.72))
_ON_SCREEN = """([x, y]) => {
  const matrix = document.querySelector('#picture').getScreenCTM();
  const at = new DOMPoint(x, y).matrixTransform(matrix);
  return [at.x, at.y];
}"""
Tap = Callable[[float, float], None]


@pytest.fixture
def address(own_workshop: Workshop) -> str:
    """The page of a photo of a new piece."""
    shelf = own_workshop.shelf
    piece = shelf.save_piece(shelf.save_panel(CORED)[0], title="Offcut")
    photo = shelf.add_photo(EDGE.picture(), "edge.jpg", piece, "Cut edge")
    return f"{own_workshop.address}/piece/{piece}/edge/{photo.sha256}"


def _on_screen(page: Page, x: float, y: float) -> tuple[float, float]:
    page.locator("#picture").scroll_into_view_if_needed()
    left, top = page.evaluate(_ON_SCREEN, [x, y])
    return left, top


def _mark(page: Page, tap: Tap) -> None:
    """The scale and the two faces at three places, a touch each."""
    page.get_by_label("Length between the scale marks").fill("20 mm by 0.5 mm")
    for x, y in EDGE.scale:
        tap(x, y)
    for number, along in enumerate((-10.0, 0.0, 10.0)):
        if number:
            page.get_by_role("button", name="Another place").click()
        tap(*EDGE.at(along, 0.0))
        tap(*EDGE.at(along, EDGE.depths[-1]))


def _thickness(shelf: Shelf, address: str) -> dict[str, float]:
    """What is kept of a photo: by layers, mm."""
    *_, piece, _, sha256 = address.split("/")
    edge = edge_photo(shelf, piece, sha256).edge
    assert edge is not None
    assert edge.whole is not None
    told = {f"{one.first}-{one.last}": 1e3 * one.found.value for one in edge.layers}
    return told | {"whole": 1e3 * edge.whole.found.value}


def test_marks_are_set_and_dragged_with_the_mouse(
    page: Page, own_workshop: Workshop, address: str, quiet: list[str]
) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    page.goto(address)
    expect(page.get_by_role("status")).to_have_text("Scale: touch one end of it.")

    def tap(x: float, y: float) -> None:
        page.mouse.click(*_on_screen(page, x, y))

    _mark(page, tap)
    # boundaries that nobody has set are no marks yet
    expect(page.locator("#edge-found")).to_contain_text("layers 1 to 5")
    for place, along in ((1, -10.0), (2, 0.0), (3, 10.0)):
        for boundary, deep in ((2, EDGE.depths[1]), (3, EDGE.depths[2])):
            to = _on_screen(page, *EDGE.at(along, deep))
            name = f'[data-mark="mark {place}/{boundary}"] circle'
            box = page.locator(name).bounding_box()
            assert box is not None
            page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
            page.mouse.down()
            page.mouse.move(*to, steps=4)
            page.mouse.up()
    expect(page.locator("#edge-found")).to_contain_text("layers 4 to 5")
    assert found(page) == []
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_text("Why a mark that stands is moved")).to_be_visible()
    told = _thickness(own_workshop.shelf, address)
    for layers, true in (("1-2", 0.80), ("3-3", 15.0), ("4-5", 0.72), ("whole", 16.52)):
        assert abs(told[layers] - true) < 0.05, layers
    assert quiet == []


def test_a_mark_moves_with_the_arrows_and_a_reason(
    page: Page, own_workshop: Workshop, address: str
) -> None:
    page.set_viewport_size({"width": 820, "height": 1180})
    page.goto(address)
    page.get_by_label("Length between the scale marks").fill("20 mm")
    middle = page.get_by_role("button", name="Set the mark in the middle")
    for x, y in (*EDGE.scale, EDGE.at(0.0, 0.0), EDGE.at(0.0, EDGE.depths[-1])):
        middle.click()
        mark = page.locator(".mark:focus")
        name = mark.get_attribute("data-mark")
        steps = {"ArrowRight": x - EDGE.width / 2, "ArrowDown": y - EDGE.height / 2}
        for key, far in steps.items():
            way = key if far >= 0.0 else {"ArrowRight": "ArrowLeft", "ArrowDown": "ArrowUp"}[key]
            tens, ones = divmod(round(abs(far)), 10)
            for _ in range(tens):
                page.keyboard.press(f"Shift+{way}")
            for _ in range(ones):
                page.keyboard.press(way)
        assert page.locator(".mark:focus").get_attribute("data-mark") == name
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_text("Why a mark that stands is moved")).to_be_visible()
    assert abs(_thickness(own_workshop.shelf, address)["whole"] - 16.52) < 0.05
    page.locator('[data-mark="mark 1/5"]').focus()
    for _ in range(6):
        page.keyboard.press("Shift+ArrowDown")  # 60 px are 1 mm
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_role("alert")).to_contain_text("needs a reason")
    page.get_by_label("Why a mark that stands").fill("it lay on the burr")
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    assert abs(_thickness(own_workshop.shelf, address)["whole"] - 17.52) < 0.05


def test_a_finger_sets_them_on_a_phone(
    browser: Browser, own_workshop: Workshop, address: str
) -> None:
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, device_scale_factor=2
    )
    page = context.new_page()
    page.goto(address)

    def tap(x: float, y: float) -> None:
        page.touchscreen.tap(*_on_screen(page, x, y))

    _mark(page, tap)
    expect(page.locator("#edge-found")).to_contain_text("layers 1 to 5")
    page.get_by_role("button", name="Closer").click()
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_text("Why a mark that stands is moved")).to_be_visible()
    assert abs(_thickness(own_workshop.shelf, address)["whole"] - 16.52) < 0.12
    context.close()


def test_without_a_script_it_is_a_form_of_numbers(
    browser: Browser, own_workshop: Workshop, address: str
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(address)
    page.get_by_label("Length between the scale marks").fill("20")
    for label, (x, y) in zip(("One end of it", "Its other end"), EDGE.scale, strict=True):
        page.get_by_label(label).fill(f"{x:.0f} {y:.0f}")
    page.locator('[name="mark 1/0"]').fill("middle")
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_role("alert")).to_contain_text("a mark is two numbers")
    for boundary, deep in ((0, 0.0), (5, EDGE.depths[-1])):
        x, y = EDGE.at(0.0, deep)
        page.locator(f'[name="mark 1/{boundary}"]').fill(f"{x:.0f} {y:.0f}")
    page.get_by_role("button", name="Keep the marks").click()
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(page.get_by_role("table")).to_contain_text("16.5")
    assert abs(_thickness(own_workshop.shelf, address)["whole"] - 16.52) < 0.03
    context.close()
