"""Pages that nobody is kept out of: names, contrast, order, widths, what is touched."""

from __future__ import annotations

import hashlib
import tomllib
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from panelwright.jobs.shelf import open_shelf
from panelwright.web.access import Access
from tests.web.addresses import PAGES

from .conftest import Workshop
from .rules import VENDORED, found

MORE = ("/shelf?find=nothing+has+this", "/shelf?thicker=1,5+mm", "/panel/P-9999", "/nope")
EVERY = (*PAGES, *MORE)
SIZES = ((390, 844), (1440, 900))
INKS = ("light", "dark")
WIDTHS = (360, 390, 699, 700, 820, 1199, 1200, 1440, 2560)


def test_what_was_taken_is_what_is_here() -> None:
    taken = tomllib.loads((VENDORED / "VENDORED.toml").read_text("utf-8"))["file"]
    assert {one["file"] for one in taken} == {path.name for path in VENDORED.glob("*.js")}
    for one in taken:
        content = (VENDORED / one["file"]).read_bytes()
        assert hashlib.sha256(content).hexdigest() == one["sha256"]
    assert "Mozilla Public License" in (VENDORED / "axe.LICENSE.txt").read_text("utf-8")


@pytest.mark.parametrize("ink", INKS)
@pytest.mark.parametrize("size", SIZES, ids=str)
def test_no_page_breaks_a_rule(
    browser: Browser, workshop: Workshop, size: tuple[int, int], ink: Any
) -> None:
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, color_scheme=ink, base_url=workshop.address
    )
    page = context.new_page()
    wrong = {}
    for path in EVERY:
        page.goto(path)
        if wrongs := found(page):
            wrong[path] = wrongs
    context.close()
    assert wrong == {}


def test_the_rules_are_looked_for(page: Page) -> None:
    page.set_content("<img src='data:,'><p style='color: #ccc'>Faint</p>")
    told = " ".join(found(page))
    assert "image-alt" in told
    assert "color-contrast" in told


def test_an_empty_shelf_and_the_way_in(page: Page, tmp_path: Path) -> None:
    open_shelf(tmp_path / "shelf").close()
    with closing(Workshop(tmp_path / "shelf", Access("four words of a shop"))) as made:
        page.goto(f"{made.address}/shelf")
        assert page.url.endswith("/enter?to=/shelf")
        assert found(page) == []
        page.get_by_label("Passphrase").fill("three words of it")
        page.get_by_role("button", name="Come in").click()
        expect(page.get_by_role("alert")).to_contain_text("not the passphrase")
        assert found(page) == []
        page.get_by_label("Passphrase").fill("four words of a shop")
        page.get_by_role("button", name="Come in").click()
        expect(page.get_by_role("heading", name="Shelf")).to_be_visible()
        assert found(page) == []


#: Least side of what is touched, px; links in running text are exempt (WCAG 2.2, 2.5.8).
TARGET = 48
TOUCHED = """
(least) => {
  const inText = (link) => {
    const around = link.closest('p, li, td, figcaption, pre, .block > div');
    return link.tagName === 'A' && getComputedStyle(link).display === 'inline'
      && around && around.textContent.trim() !== link.textContent.trim();
  };
  return [...document.querySelectorAll('a[href], button, input, select, textarea, summary')]
    .filter((one) => one.type !== 'hidden' && one.checkVisibility() && !one.matches('.skip'))
    .filter((one) => !inText(one))
    .map((one) => [one.getBoundingClientRect(), one])
    .filter(([box]) => box.width < least || box.height < least)
    .map(([box, one]) => `${box.width} x ${box.height}: ${one.outerHTML.slice(0, 120)}`);
}
"""


@pytest.mark.parametrize("path", EVERY)
def test_it_fits_every_window_and_every_hand(page: Page, path: str) -> None:
    page.goto(path)
    wrong = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        if (wide := page.evaluate("document.documentElement.scrollWidth")) > width:
            wrong[width] = f"{wide} px wide"
        elif small := page.evaluate(TOUCHED, TARGET):
            wrong[width] = small
    assert wrong == {}
