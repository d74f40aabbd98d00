"""How long a keystroke takes to be seen on the page of a panel, in a real browser.

    python benchmarks/live.py [keystrokes]

An 8-layer panel; one digit after another is typed into the thickness of its core. Painted: a
message sent from the first animation frame after the figures have changed comes once that frame is
done. Second frame: the frame after it, an upper bound. "Ranges" and "duty" count the second frame.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from panelwright.jobs.shelf import open_shelf
from tests.browser.conftest import Workshop

LAYERS = """format = 1
title = "Eight layers"
process = "vacuum bag"
size = { length = "2 m", width = "1 m" }
[[layer]]
cloth = "E-glass twill 160 g/m2"
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[layer]]
cloth = "E-glass biaxial 450 g/m2"
[[layer]]
strips = "western redcedar"
thickness = "8 mm"
strip = { width = "22 mm", cover = "20 mm", profile = "bead and cove" }
[[layer]]
core = "PET foam 110 kg/m3"
thickness = "10 mm"
[[layer]]
cloth = "E-glass biaxial 450 g/m2"
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[layer]]
cloth = "E-glass twill 160 g/m2"
"""

DUTY = """
[[duty]]
ready = "kneel on it"
span = { length = "600 mm", width = "400 mm" }
limits = { deflection = "span/60", reserve = 2 }
"""

WATCH = """
() => {
  window.told = {painted: [], second: [], ranges: [], duty: []};
  let typed = 0, middle = 0;
  document.addEventListener('input', () => { typed = performance.now(); middle = 0; }, true);
  new MutationObserver(() => {
    const began = typed, is = document.querySelector('#figures > .old') !== null;
    const first = is && middle !== began;
    if (first) middle = began;
    requestAnimationFrame(() => {
      const done = new MessageChannel();
      done.port1.onmessage = () => first && window.told.painted.push(performance.now() - began);
      done.port2.postMessage(0);
      requestAnimationFrame(() => {
        const took = performance.now() - began;
        if (first) window.told.second.push(took);
        if (!is) window.told.ranges.push(took);
      });
    });
  }).observe(document.querySelector('#figures'), {childList: true});
  new MutationObserver(() => {
    const began = typed;
    requestAnimationFrame(() => requestAnimationFrame(
      () => window.told.duty.push(performance.now() - began)));
  }).observe(document.querySelector('#duty-body'), {childList: true});
}
"""


def percentile(values: list[float], share: float) -> float:
    """The value below which that share of them lies."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def typed(page: Page, count: int, pause: float, field: str) -> dict[str, list[float]]:
    """Type so many digits, so many ms apart; what was painted after how many ms."""
    page.evaluate("window.told = {painted: [], second: [], ranges: [], duty: []}")
    box = page.locator(f'[name="{field}"]')
    for number in range(count):
        box.press("End")
        for _ in range(3):
            box.press("ArrowLeft")
        box.press("Backspace")
        page.wait_for_timeout(pause)
        box.press(str(1 + number % 9))
        page.wait_for_timeout(pause)
    page.wait_for_timeout(500)
    found: dict[str, list[float]] = page.evaluate("window.told")
    return found


def measured(page: Page, address: str, count: int) -> None:
    """Type on the page of one panel and print what was painted when."""
    page.goto(address)
    page.locator("#layers details.layer > summary .what").nth(4).click()
    page.wait_for_timeout(800)
    page.locator('[name="at.layer.5.thickness"]').fill("15 mm")
    page.wait_for_timeout(2000)
    page.evaluate(WATCH)
    for pause in (600.0, 250.0, 120.0):
        for name, values in typed(page, count, pause, "at.layer.5.thickness").items():
            if values:
                middle, most = statistics.median(values), percentile(values, 0.95)
                print(
                    f"{pause:6.0f} ms apart  {name:7} n {len(values):3}  "
                    f"p50 {middle:5.0f}  p95 {most:5.0f} ms"
                )


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    with tempfile.TemporaryDirectory() as folder:
        shelf = open_shelf(Path(folder) / "shelf")
        panels = {"without a duty": shelf.save_panel(LAYERS)[0]}
        panels["with a duty"] = shelf.save_panel(LAYERS + DUTY)[0]
        shelf.close()
        with closing(Workshop(Path(folder) / "shelf")) as made, sync_playwright() as player:
            words = "--no-sandbox --disable-gpu --disable-background-networking --disable-sync"
            browser = player.chromium.launch(
                executable_path="/usr/bin/chromium", args=words.split()
            )
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            for name, number in panels.items():
                print(name)
                measured(page, f"{made.address}/panel/{number}", count)
            browser.close()


if __name__ == "__main__":
    main()
