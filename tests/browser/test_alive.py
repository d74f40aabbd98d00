"""A panel is changed on the screen and every number follows: the first ten minutes, and mishaps."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from typing import Any

import pypdf
import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Route, expect

from .conftest import Workshop
from .rules import found


def _figure(page: Page, name: str) -> Locator:
    return page.locator("#figures > div", has=page.get_by_text(name, exact=True)).locator(".n")


def _number(page: Page, name: str) -> float:
    return float(re.sub(r"\s", "", _figure(page, name).inner_text()).replace("\N{MINUS SIGN}", "-"))


def _settled(page: Page) -> None:
    """Wait until the ranges are those of what stands there."""
    expect(page.locator("#figures > div").first).to_be_visible()
    expect(page.locator("#figures > .old")).to_have_count(0)


def _open_layer(page: Page, number: int) -> Locator:
    layer = page.locator("#layers details.layer").nth(number - 1)
    if layer.get_attribute("open") is None:
        layer.locator("> summary .what").click()
    expect(layer).to_have_attribute("open", "")
    return layer


def test_the_first_ten_minutes(page: Page, own_workshop: Workshop, quiet: list[str]) -> None:
    page.goto(own_workshop.address)
    page.get_by_role("link", name="New panel").click()
    expect(page.get_by_text("Nothing is drawn yet")).to_be_visible()
    assert found(page) == []
    page.get_by_role("button", name="Like a van floor").click()
    _settled(page)
    assert found(page) == []
    thin, light = _number(page, "Thickness"), _number(page, "Areal mass")
    core = _open_layer(page, 3)
    core.get_by_label("Thickness").fill("20 mm")
    expect(_figure(page, "Thickness")).to_have_class(re.compile("fresh"))
    _settled(page)
    assert _number(page, "Thickness") == pytest.approx(thin + 5.0, abs=0.02)
    assert _number(page, "Areal mass") > light
    expect(page.locator("#like")).to_contain_text(
        re.compile(r"As stiff as [\d.]+ mm birch plywood")
    )
    expect(page.locator("#ledger-body svg:visible")).to_contain_text("resin in the cloth")
    _a_wrong_entry_is_explained_and_undone(page, core, thin)
    number = _kept_and_printed(page)
    page.get_by_role("link", name="Weigh a piece of it").first.click()
    page.get_by_label("Weight on the scale").fill("500 g")
    page.get_by_label("Length").fill("300 mm")
    page.get_by_label("Width").fill("200 mm")
    page.get_by_role("button", name="Keep the record").click()
    expect(page.get_by_role("heading", name="Predicted and found")).to_be_visible()
    own_workshop.close()
    own_workshop.start()
    page.goto(f"{own_workshop.address}/shelf")
    page.get_by_label("Find by name").fill("van floor")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Like a van floor").click()
    assert page.url.endswith(number)
    expect(page.get_by_text("measured").first).to_be_visible()
    assert quiet == []


def _a_wrong_entry_is_explained_and_undone(page: Page, core: Locator, thin: float) -> None:
    core.get_by_label("Thickness").fill("20,5 mm")
    told = page.get_by_role("alert")
    expect(told).to_contain_text("A comma can be a decimal point or a thousands mark")
    expect(core.get_by_label("Thickness")).to_have_attribute("aria-invalid", "true")
    expect(core.get_by_label("Thickness")).to_have_value("20,5 mm")
    expect(page.get_by_text("The figures still stand on 20 mm.")).to_be_visible()
    assert found(page) == []
    text = page.locator("#text")
    page.get_by_role("button", name="Undo").click()
    expect(told).to_have_count(0)
    expect(text).to_have_value(re.compile('"20 mm"'))
    page.get_by_role("button", name="Undo").click()
    expect(text).to_have_value(re.compile('"15 mm"'))
    _settled(page)
    expect(_figure(page, "Thickness")).to_have_text(f"{thin:.2f}")
    page.get_by_role("button", name="Redo").click()
    expect(text).to_have_value(re.compile('"20 mm"'))


def _kept_and_printed(page: Page) -> str:
    page.get_by_role("button", name="Predict and keep it").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Like a van floor")
    number = page.url.rpartition("/")[2]
    printed = pypdf.PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))
    text = re.sub(r"\s+", " ", " ".join(sheet.extract_text() for sheet in printed.pages))
    assert "okoume plywood" in text
    assert "Add the layer" not in text
    return number


@pytest.fixture
def thumb(browser: Browser, own_workshop: Workshop) -> Iterator[Page]:
    """A phone, touched."""
    context: BrowserContext = browser.new_context(
        viewport={"width": 390, "height": 844},
        has_touch=True,
        is_mobile=True,
        base_url=own_workshop.address,
    )
    yield context.new_page()
    context.close()


def _tap(page: Page, name: str) -> None:
    one = page.get_by_role("button", name=name, exact=True).locator("visible=true").first
    one.scroll_into_view_if_needed()
    one.tap()


def test_ten_actions_by_touch_alone(thumb: Page) -> None:
    page = thumb
    page.goto("/panel/P-0007")
    layers = page.locator("#layers details.layer")
    names = layers.locator("> summary .what")
    before = names.all_inner_texts()
    layers.nth(1).locator("> summary .what").tap()  # 1: open the strips
    layers.nth(1).get_by_label("Thickness").tap()  # 2: a value
    layers.nth(1).get_by_label("Thickness").fill("10 mm")
    _settled(page)
    _tap(page, "Up")  # 3
    expect(names.first).to_contain_text("redcedar")
    _tap(page, "Down")  # 4
    expect(names.nth(1)).to_contain_text("redcedar")
    _tap(page, "Copy")  # 5
    expect(layers).to_have_count(len(before) + 1)
    _tap(page, "Remove")  # 6
    expect(layers).to_have_count(len(before))
    _tap(page, "Hold it to compare")  # 7
    expect(page.locator("#figures .held").first).to_contain_text("the same")
    _settled(page)
    _drag(page, 3, 1)  # 8
    expect(names.first).to_contain_text("twill")
    _tap(page, "Mirror, as a hand lays it")  # 9
    expect(page.locator("#text")).to_have_value(re.compile("mirror = true"))
    _tap(page, "Undo")  # 10
    expect(page.locator("#text")).not_to_have_value(re.compile("mirror = true"))
    _settled(page)
    assert found(page) == []


def _drag(page: Page, layer: int, to: int) -> None:
    """Drag a layer by its grip with one finger, to above another."""
    grip = page.locator("#layers details.layer > summary .grip")
    grip.nth(to - 1).scroll_into_view_if_needed()
    start, stop = grip.nth(layer - 1).bounding_box(), grip.nth(to - 1).bounding_box()
    assert start is not None
    assert stop is not None
    finger: Any = page.context.new_cdp_session(page)
    x, y = start["x"] + 20, start["y"] + 20
    finger.send(
        "Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]}
    )
    for share in (0.25, 0.5, 0.75, 1.0):
        at = y + share * (stop["y"] - 4 - y)
        finger.send(
            "Input.dispatchTouchEvent", {"type": "touchMove", "touchPoints": [{"x": x, "y": at}]}
        )
    finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


def test_one_change_is_one_line_of_the_text_and_the_text_changes_the_rows(page: Page) -> None:
    page.goto("/panel/P-0007")
    text = page.locator("#text")
    before = text.input_value()
    layer = _open_layer(page, 2)
    layer.get_by_label("Moisture").fill("12 %")
    expect(text).to_have_value(re.compile('"12 %"'))
    _settled(page)
    after = text.input_value()
    changed = [b for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b]
    assert changed == ['moisture = "12 %"']
    expect(page.get_by_text("Not kept yet: 1 line differs.")).to_be_visible()
    page.get_by_text("Panel file as text").click()
    text.fill(after.replace('moisture = "12 %"', 'moisture = "9 %"'))
    _settled(page)
    expect(_open_layer(page, 2).get_by_label("Moisture")).to_have_value("9 %")
    page.get_by_role("button", name=re.compile("Go back to revision")).click()
    expect(text).to_have_value(before)


def test_a_duty_follows_the_stack(page: Page) -> None:
    page.goto("/panel/P-0001")
    page.get_by_label("What must it bear").select_option("kneel on it")
    page.get_by_role("button", name="Add the duty").click()
    duty = page.locator("#duty-body .duty").last
    expect(duty.locator("h3")).to_contain_text("Kneel on it")
    before = duty.locator("tbody strong").first.inner_text()
    assert found(page) == []
    _open_layer(page, 1).get_by_label("Laid, times").fill("6")
    expect(duty.locator("tbody strong").first).not_to_have_text(before, timeout=15_000)
    expect(
        page.get_by_role("img", name=re.compile("lines of equal deflection")).first
    ).to_be_visible()


def test_a_field_typed_anew_keeps_its_place_and_its_comment(page: Page) -> None:
    page.goto("/panel/P-0004")
    text = page.locator("#text")
    layer = _open_layer(page, 1)
    field = layer.locator(".fields input").first
    before = text.input_value()
    was = field.input_value()
    field.fill("")
    expect(text).not_to_have_value(before)
    field.press_sequentially(was, delay=30)
    expect(text).to_have_value(before)


def test_by_keys_alone(page: Page) -> None:
    page.goto("/panel/P-0007")
    rows = page.locator("#layers details.layer > summary")
    rows.first.focus()
    page.keyboard.press("ArrowDown")
    expect(rows.nth(1)).to_be_focused()
    page.keyboard.press("Alt+ArrowUp")
    expect(page.locator("#layers .what").first).to_contain_text("redcedar")
    expect(rows.first).to_be_focused()
    page.keyboard.press("Control+z")
    expect(page.locator("#layers .what").nth(1)).to_contain_text("redcedar")
    page.keyboard.press("Control+y")
    expect(page.locator("#layers .what").first).to_contain_text("redcedar")
    rows.nth(2).focus()
    page.keyboard.press("Delete")
    expect(rows).to_have_count(2)
    rows.first.focus()
    page.keyboard.press("Insert")
    page.keyboard.type("twill 160")
    page.keyboard.press("Enter")
    expect(rows).to_have_count(3)


def test_a_layer_of_the_drawing_opens_its_row(page: Page) -> None:
    page.goto("/panel/P-0007")
    page.locator("#section-body .at-desk [data-layer='2'] .hit").click()
    expect(page.locator("#layer-2")).to_have_attribute("open", "")
    expect(page.locator("#section-body .selected").first).to_be_visible()


def test_the_server_goes_and_comes_back(page: Page, own_workshop: Workshop) -> None:
    page.goto(f"{own_workshop.address}/panel/P-0007")
    layer = _open_layer(page, 2)
    _settled(page)
    port = own_workshop.address.rpartition(":")[2]
    own_workshop.close()
    layer.get_by_label("Thickness").fill("11 mm")
    expect(page.get_by_role("alert")).to_contain_text("The workshop does not answer")
    assert found(page) == []
    printed = pypdf.PdfReader(io.BytesIO(page.pdf()))
    text = " ".join(sheet.extract_text() for sheet in printed.pages)
    assert "Not printed" in text
    assert "8.96" not in text
    own_workshop.start()
    assert own_workshop.address.rpartition(":")[2] == port
    expect(page.get_by_role("alert")).to_have_count(0)
    expect(layer.get_by_label("Thickness")).to_have_value("11 mm")
    expect(page.locator("#text")).to_have_value(re.compile('"11 mm"'))
    _settled(page)
    assert _number(page, "Thickness") > 11.0


def test_what_was_not_kept_is_offered_again(page: Page, own_workshop: Workshop) -> None:
    page.goto(f"{own_workshop.address}/panel/P-0007")
    _open_layer(page, 2).get_by_label("Thickness").fill("11 mm")
    page.goto(f"{own_workshop.address}/shelf")  # before it was answered
    page.goto(f"{own_workshop.address}/panel/P-0007")
    expect(page.get_by_text("were not kept")).to_be_visible()
    assert found(page) == []
    page.get_by_role("button", name="Take them up").click()
    expect(_open_layer(page, 2).get_by_label("Thickness")).to_have_value("11 mm")
    page.get_by_label("What you changed").fill("thicker strips")
    page.get_by_role("button", name=re.compile("Keep it as revision 2")).click()
    expect(page.get_by_text("thicker strips")).to_be_visible()
    page.reload()
    expect(page.get_by_text("were not kept")).to_be_hidden()


def test_each_window_has_a_draft_of_its_own(
    page: Page, context: BrowserContext, own_workshop: Workshop
) -> None:
    address = f"{own_workshop.address}/panel/P-0007"
    for thickness in ("10 mm", "11 mm"):
        one = context.new_page()
        one.goto(address)
        _open_layer(one, 2).get_by_label("Thickness").fill(thickness)
        _settled(one)
        one.close()
    page.goto(address)
    offered = page.locator("#draft")
    expect(offered).to_be_visible()
    offered.locator("[data-leave]").click()
    expect(offered).to_be_visible()  # the newest is left, the other is offered
    offered.locator("[data-take]").click()
    expect(page.locator("#text")).to_have_value(re.compile('"10 mm"'))
    _settled(page)
    page.reload()
    page.locator("#draft [data-take]").click()
    expect(page.locator("#text")).to_have_value(re.compile('"10 mm"'))


def test_two_windows_on_one_panel(
    page: Page, context: BrowserContext, own_workshop: Workshop
) -> None:
    other = context.new_page()
    for one, thickness in ((page, "10 mm"), (other, "11 mm")):
        one.goto(f"{own_workshop.address}/panel/P-0007")
        _open_layer(one, 2).get_by_label("Thickness").fill(thickness)
        _settled(one)
    page.get_by_role("button", name=re.compile("Keep it as revision 2")).click()
    expect(page.get_by_text("Revision 2", exact=True).first).to_be_visible()
    other.get_by_role("button", name=re.compile("Keep it as revision 2")).click()
    expect(other.get_by_role("heading", name=re.compile("Two windows"))).to_be_visible()
    expect(other.get_by_label("Where the two differ")).to_contain_text("10 mm")
    expect(other.get_by_label("Where the two differ")).to_contain_text("11 mm")
    assert found(other) == []
    other.get_by_role("button", name="Save mine as revision 3").click()
    other.wait_for_url("**/panel/P-0007")
    expect(other.locator("#text")).to_have_value(re.compile('"11 mm"'))


def test_work_that_takes_long_is_told_and_can_be_stopped(
    page: Page, own_workshop: Workshop
) -> None:
    page.goto(f"{own_workshop.address}/panel/P-0007")
    _settled(page)
    waiting: list[Route] = []

    def held_back(route: Route) -> None:
        waiting.append(route)

    page.route("**/live/ranges", held_back)
    _open_layer(page, 2).get_by_label("Thickness").fill("12 mm")
    expect(page.locator("#working")).to_be_visible()
    assert found(page) == []
    page.get_by_role("button", name="Stop, keep the middle values").click()
    expect(page.locator("#working")).to_be_hidden()
    assert _number(page, "Thickness") > 12.0
    expect(page.locator("#figures > .old").first).to_be_visible()
    page.unroute("**/live/ranges")
