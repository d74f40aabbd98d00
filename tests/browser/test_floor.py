"""Pots against the clock on a tablet: right after the screen was off, kept while offline."""

from __future__ import annotations

import re

from playwright.sync_api import Browser, BrowserContext, Page, expect

from panelwright.jobs.floor import floor

from .conftest import Workshop
from .rules import found

BUILD = "S-0008"
MINUTE = 60_000


def _to_the_pots(page: Page, workshop: Workshop) -> str:
    """Every step before the first pot is done; the address of the build."""
    address = f"{workshop.address}/piece/{BUILD}/build"
    page.goto(address)
    for _ in range(9):
        if page.get_by_role("button", name="Mixed: start its clock").count():
            return address
        number = floor(workshop.shelf, BUILD).next
        page.get_by_role("button", name=f"Step {number} is done").click()
        expect(page.get_by_text(f"Next: step {(number or 0) + 1}")).to_be_visible()
    raise AssertionError("there are no pots")


def _rest(page: Page) -> int:
    """Seconds that the clock of the first pot shows."""
    shown = re.match(r"(\d+):(\d\d) to use it", page.get_by_role("timer").first.inner_text())
    assert shown is not None
    return 60 * int(shown[1]) + int(shown[2])


def test_a_pot_keeps_its_time_whatever_the_screen_does(
    page: Page, own_workshop: Workshop, quiet: list[str]
) -> None:
    page.set_viewport_size({"width": 820, "height": 1180})
    page.clock.install()
    address = _to_the_pots(page, own_workshop)
    page.get_by_label("Mixed, g").fill("760")
    page.get_by_role("button", name="Mixed: start its clock").click()
    expect(page.get_by_role("timer")).to_have_count(1)
    assert found(page) == []
    (pot,) = [one for one in floor(own_workshop.shelf, BUILD).pots if one.is_running]
    assert pot.written.mixed == 760.0
    before = _rest(page)
    assert abs(before - pot.keeps) < 20.0
    # the screen was off: no tick in between, then one
    page.clock.fast_forward(10 * MINUTE)
    assert abs(before - 600 - _rest(page)) < 20
    page.clock.fast_forward(int(1000 * pot.keeps))
    expect(page.get_by_role("timer")).to_contain_text("past its time")
    page.goto(address)
    page.get_by_label("Left in it, g").fill("12")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_text("760 g, 12 g left over")).to_be_visible()
    expect(page.get_by_role("timer")).to_have_count(0)
    assert quiet == []


def test_a_touch_while_nothing_answers_is_kept_with_its_time(
    page: Page, context: BrowserContext, own_workshop: Workshop
) -> None:
    _to_the_pots(page, own_workshop)
    context.set_offline(True)
    page.get_by_role("button", name="Mixed: start its clock").click()
    expect(page.get_by_text("kept on this device")).to_be_visible()
    clock = page.locator("[data-touch] .huge")
    expect(clock).to_contain_text("to use it")
    touched = page.evaluate("JSON.parse(localStorage['panelwright build S-0008'])[0].fields")
    assert not [one for one in floor(own_workshop.shelf, BUILD).pots if one.is_running]
    page.wait_for_timeout(1500)
    context.set_offline(False)
    expect(page.get_by_role("timer")).to_have_count(1, timeout=15_000)
    (pot,) = [one for one in floor(own_workshop.shelf, BUILD).pots if one.is_running]
    assert pot.written.begun is not None
    at = dict(touched)["at"]
    assert pot.written.begun.isoformat().startswith(at.removesuffix("Z"))
    assert page.evaluate("localStorage.length") == 0


def test_it_reads_and_writes_without_a_script(browser: Browser, own_workshop: Workshop) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    _to_the_pots(page, own_workshop)
    page.get_by_role("button", name="Mixed: start its clock").click()
    expect(page.get_by_role("timer")).to_have_text(re.compile(r"^\d+ min$"))
    expect(page.get_by_text("Use it by")).to_be_visible()
    page.get_by_label("Mixed, g", exact=True).fill("much")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("alert").first).to_contain_text("much")
    expect(page.get_by_label("Mixed, g", exact=True)).to_have_value("much")
    context.close()
