"""The chart where it is looked at: drawn under the page's own rules, pointed at, boxed, printed."""

from __future__ import annotations

import io
import re
from typing import Any

import pypdf
import pytest
from playwright.sync_api import Browser, Page, expect

from panelwright.jobs.shelf import open_shelf

from .conftest import Workshop
from .rules import found

SEEN = "#chart-seen"
CHART = "/lineup/chart"


def _drawn(page: Page) -> None:
    """Wait until the chart is there, and until what stands around it says the same."""
    expect(page.locator(f"{SEEN} svg, {SEEN} canvas")).to_be_visible()
    page.wait_for_load_state("networkidle")


def _marks(page: Page) -> int:
    """Marks of the middles that are drawn."""
    return page.locator(f"{SEEN} svg .mark-symbol path[aria-label]").count()


def test_it_draws_under_the_rules_of_the_page(page: Page, quiet: list[str]) -> None:
    page.goto(CHART)
    _drawn(page)
    rows = page.locator("table.charted tbody tr").count()
    assert _marks(page) == rows > 20
    words = page.locator(f"{SEEN} svg text").all_text_contents()
    assert "Mass per area, kg/m²" in words
    assert "equally stiff plate per kilogram" in words
    halves = page.locator("table.charted tbody tr", has_text="measured in one").count()
    dots = page.locator(f"{SEEN} svg .mark-symbol[aria-hidden=true] path").count()
    assert dots == halves == 3
    expect(page.locator("#chart-paper")).to_be_hidden()
    assert found(page) == []
    assert quiet == []


@pytest.mark.parametrize("ink", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 820, 1440])
def test_it_breaks_no_rule_once_it_is_drawn(
    browser: Browser, workshop: Workshop, width: int, ink: Any
) -> None:
    size: Any = {"width": width, "height": 900}
    context = browser.new_context(viewport=size, color_scheme=ink, base_url=workshop.address)
    page = context.new_page()
    page.goto(f"{CHART}?up_axis=even&solids=3+mm")
    _drawn(page)
    assert found(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    box = page.locator(SEEN).bounding_box()
    assert box is not None
    assert box["width"] > 0.8 * min(width, 800)
    context.close()


def test_another_axis_is_drawn_and_everything_around_it_follows(
    page: Page, quiet: list[str]
) -> None:
    page.goto(f"{CHART}?solids=")
    _drawn(page)
    before = page.locator(SEEN).inner_html()
    page.get_by_label("Upwards", exact=True).select_option("modulus_bent_across")
    expect(page.locator("table.charted thead")).to_contain_text("Modulus bent across")
    assert page.locator(SEEN).inner_html() != before
    words = page.locator(f"{SEEN} svg text").all_text_contents()
    assert "Modulus bent across, GPa" in words
    assert "up=modulus_bent_across" in page.url
    page.get_by_label("Axis upwards").select_option("even")
    page.get_by_label("Across", exact=True).select_option("density")
    expect(page.locator("#chart-said")).to_contain_text("with the cube of density")
    _drawn(page)
    assert "Density of the whole, kg/m³" in page.locator(f"{SEEN} svg text").all_text_contents()
    page.reload()
    _drawn(page)
    expect(page.get_by_label("Axis upwards")).to_have_value("even")
    assert found(page) == []
    assert quiet == []


def test_a_chart_that_comes_back_shows_what_is_asked_now(page: Page, quiet: list[str]) -> None:
    page.goto(f"{CHART}?solids=")
    _drawn(page)
    kind = page.get_by_label("Axis upwards")
    kind.select_option("even")
    expect(page).to_have_url(re.compile("up_axis=even"))
    page.get_by_label("Upwards", exact=True).select_option("density")
    expect(page.locator("table.charted thead")).to_contain_text("Density")
    kind.select_option("log")
    expect(page).to_have_url(re.compile("up_axis=log"))
    words = page.locator(f"{SEEN} svg text", has_text="Density of the whole, kg/m³")
    expect(words).to_have_count(1)
    expect(page.locator(f"{SEEN} svg")).to_have_count(1)
    assert quiet == []


def test_a_mark_is_read_and_leads_to_its_panel(page: Page, quiet: list[str]) -> None:
    page.goto(f"{CHART}?of=named&members=P-0002%3B+P-0007&solids=")
    _drawn(page)
    mark = page.locator(f"{SEEN} svg .mark-symbol path[aria-label='Tender topside']")
    mark.hover()
    tip = page.locator("#chart-tip")
    expect(tip).to_contain_text("Tender topside")
    expect(tip).to_contain_text("timber, predicted")
    expect(tip).to_contain_text(re.compile(r"Mass per area: [\d.]+ kg/m² \([\d.]+ … [\d.]+\)"))
    mark.click()
    page.wait_for_url("**/panel/P-0007")
    assert quiet == []


def test_a_finger_reads_before_it_goes(browser: Browser, workshop: Workshop) -> None:
    context = browser.new_context(
        viewport={"width": 390, "height": 844},
        has_touch=True,
        is_mobile=True,
        base_url=workshop.address,
    )
    page = context.new_page()
    page.goto(f"{CHART}?of=named&members=P-0002%3B+P-0004&solids=")
    _drawn(page)
    mark = page.locator(f"{SEEN} svg .mark-symbol path[aria-label='Instrument platform']")
    mark.tap()
    expect(page.locator("#chart-tip")).to_contain_text("honeycomb, predicted")
    assert CHART in page.url
    mark.tap()
    page.wait_for_url("**/panel/P-0004")
    context.close()


def _boxed(page: Page, share: float = 1.0) -> None:
    """Draw a box from the upper left over part of the plot."""
    page.evaluate("scrollTo(0, 0)")
    plot = page.locator(f"{SEEN} svg .background").first.bounding_box()
    assert plot is not None
    page.mouse.move(plot["x"] + 2, plot["y"] + 2)
    page.mouse.down()
    page.mouse.move(plot["x"] + share * plot["width"] - 2, plot["y"] + plot["height"] / 2, steps=4)
    page.mouse.move(plot["x"] + share * plot["width"] - 2, plot["y"] + plot["height"] - 2, steps=4)
    page.mouse.up()


def test_a_box_is_looked_at_alone_or_lined_up(page: Page, quiet: list[str]) -> None:
    page.goto(f"{CHART}?of=named&members=P-0004%3B+P-0006%3B+9+mm+birch+plywood&solids=")
    _drawn(page)
    _boxed(page, 0.4)
    bar = page.locator("#chart-box")
    expect(bar).to_contain_text("1 point in the box.")
    expect(bar.get_by_role("button", name="Line them up")).to_be_hidden()
    page.locator(f"{SEEN} svg .mark-symbol path[aria-label='Instrument platform']").hover()
    expect(page.locator("#chart-tip")).to_contain_text("honeycomb, predicted")
    assert found(page) == []
    bar.get_by_role("button", name="Look at the box alone").click()
    expect(page.locator("#chart-said")).to_contain_text("lie outside the part that is shown")
    expect(bar).to_be_hidden()
    assert "part=si" in page.url
    page.get_by_role("link", name="Show the whole chart").click()
    expect(page.locator("#chart-said")).not_to_contain_text("lie outside")
    _drawn(page)
    _boxed(page)
    expect(bar).to_contain_text("3 points in the box.")
    bar.get_by_role("button", name="Line them up").click()
    page.wait_for_url("**/lineup?members=*")
    expect(page.get_by_role("heading", name="Side by side")).to_be_visible()
    assert quiet == []


def test_blueprint_has_ink_of_its_own(browser: Browser, workshop: Workshop) -> None:
    inks = set()
    for scheme in ("light", "dark"):
        context = browser.new_context(color_scheme=scheme, base_url=workshop.address)
        page = context.new_page()
        page.goto(CHART)
        _drawn(page)
        inks.add(page.locator(f"{SEEN} svg .mark-symbol path").first.get_attribute("stroke"))
        context.close()
    assert inks == {"#15202b", "#e8eff4"}


def test_nobody_and_one(page: Page, tmp_path: Any, quiet: list[str]) -> None:
    shelf = open_shelf(tmp_path / "shelf")
    shelf.close()
    made = Workshop(tmp_path / "shelf")
    page.goto(f"{made.address}{CHART}?solids=")
    expect(
        page.get_by_text("Nothing can be shown here: the shelf has no such panel.")
    ).to_be_visible()
    expect(page.locator(SEEN)).to_be_hidden()
    assert found(page) == []
    made.shelf.save_panel('format = 1\ntitle = "Lone"\n[[layer]]\ncloth = "E-glass twill 200 g/m2"')
    page.goto(f"{made.address}{CHART}?solids=")
    _drawn(page)
    assert _marks(page) == 1
    assert quiet == []
    made.close()


def test_on_paper_it_is_the_drawing_of_the_workshop(page: Page) -> None:
    page.goto(CHART)
    _drawn(page)
    page.get_by_label("Upwards", exact=True).select_option("insulation")
    expect(page.locator("table.charted thead")).to_contain_text("Insulation")
    printed = page.pdf(prefer_css_page_size=True)
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(io.BytesIO(printed)).pages)
    text = re.sub(r"\s+", " ", text)
    for word in ("Insulation, sum of t/k, m²", "equally warm per kilogram", "range of 9 in 10"):
        assert word in text
    assert "Draw it" not in text
    assert "Line through it" not in text
    page.emulate_media(media="print")
    expect(page.locator("#chart-paper svg:visible")).to_have_count(1)
    expect(page.locator(SEEN)).to_be_hidden()


def test_without_a_script_it_is_there_all_the_same(browser: Browser, workshop: Workshop) -> None:
    context = browser.new_context(java_script_enabled=False, base_url=workshop.address)
    page = context.new_page()
    page.goto(CHART)
    expect(page.locator("#chart-paper svg:visible")).to_have_count(1)
    page.get_by_label("Upwards", exact=True).select_option("thickness")
    page.get_by_role("button", name="Draw it").click()
    expect(page.locator("table.charted thead")).to_contain_text("Thickness")
    context.close()
