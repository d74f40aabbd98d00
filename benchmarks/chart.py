"""How long a chart of many panels takes to be drawn with another axis, in a real browser.

    python benchmarks/chart.py [panels] [goes]

Panels are copies of the examples whose figures are shifted, invented all of them. Painted: from the
choice of another property to a message sent from the first animation frame after the chart was
drawn. The workshop's own part is timed beside it.
"""

from __future__ import annotations

import json
import statistics
import sys
import tempfile
import time
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

from panelwright.jobs.chart import Wanted, chart
from panelwright.jobs.demonstration import example_files
from panelwright.jobs.shelf import Shelf, open_shelf, snapshot_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.spread import Ranged
from panelwright.reports.chart_spec import columns, spec
from panelwright.shelf import panels
from tests.browser.conftest import Workshop

AXES = (
    ("up", "stiffness_across"),
    ("across", "thickness"),
    ("up", "moment_along_ultimate"),
    ("across", "areal_mass"),
    ("up", "density"),
    ("up", "stiffness_along"),
)

WATCH = """
() => {
  window.told = [];
  let chosen = 0;
  document.addEventListener('change', () => { chosen = performance.now(); }, true);
  document.addEventListener('drawn', () => {
    const began = chosen;
    requestAnimationFrame(() => {
      const done = new MessageChannel();
      done.port1.onmessage = () => window.told.push(performance.now() - began);
      done.port2.postMessage(0);
    });
  });
}
"""


def _times(value: Ranged, share: float) -> Ranged:
    return replace(value, value=share * value.value, low=share * value.low, high=share * value.high)


def fill(shelf: Shelf, count: int) -> None:
    """Put so many panels on a shelf, past the prediction."""
    catalogue = Catalogue.shipped()
    made = [snapshot_of(path.read_text("utf-8"), catalogue) for path in example_files().values()]
    made = [one for one in made if one.prediction.section is not None]
    with shelf._database.writing() as session:
        for number in range(count):
            kept = made[number % len(made)]
            thick = 0.4 + 2.0 * ((number * 0.6180339) % 1.0)
            stiff = thick**3 * (0.6 + 0.8 * ((number * 0.4142135) % 1.0))
            now = kept.prediction
            assert now.section is not None
            section = replace(
                now.section,
                stiffness_along=_times(now.section.stiffness_along, stiff),
                stiffness_across=_times(now.section.stiffness_across, stiff),
            )
            now = replace(
                now,
                title=f"{now.title} {number}",
                thickness=_times(now.thickness, thick),
                areal_mass=_times(now.areal_mass, 0.5 + 0.5 * thick),
                section=section,
            )
            panels.add_panel(session, replace(kept, prediction=now), "Invented.", ("invented",))


def served(shelf: Shelf, goes: int) -> None:
    """Print what the workshop takes: the first time, and after that."""
    taken = []
    for _ in range(goes):
        began = time.perf_counter()
        found = chart(shelf, Wanted())
        json.dumps([spec(found, "si", rows=False), columns(found, "si")])
        taken.append(1e3 * (time.perf_counter() - began))
    print(f"the workshop's part, first {taken[0]:.0f} ms, then {statistics.median(taken):.0f} ms")


def chosen(page: Page, name: str, value: str) -> None:
    """Choose in a list and wait until what was chosen is drawn."""
    page.locator(f"#{name}").select_option(value)
    while not page.evaluate("window.told.length"):
        page.wait_for_timeout(100)
    page.wait_for_timeout(900)


def measured(page: Page, address: str, goes: int) -> None:
    """Change an axis again and again, then its kind, and print what was painted when."""
    page.goto(f"{address}/lineup/chart?solids=")
    page.wait_for_selector("#chart-seen canvas, #chart-seen svg")
    page.wait_for_timeout(2000)
    page.evaluate(WATCH)
    axes: list[float] = []
    kinds: list[float] = []
    for go in range(goes):
        for name, value in AXES:
            page.evaluate("window.told = []")
            chosen(page, name, value)
            if go:  # the first go writes each figure in words for the first time
                axes += page.evaluate("window.told")
        page.evaluate("window.told = []")
        chosen(page, "up_axis", "log" if go % 2 else "even")
        kinds += page.evaluate("window.told")
    for name, values in (("another property", axes), ("another kind of axis", kinds)):
        most = sorted(values)[int(0.95 * len(values))]
        print(
            f"{name:22} n {len(values):3}  p50 {statistics.median(values):4.0f}  p95 {most:4.0f} ms"
        )


def main() -> None:
    """Print the table."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    goes = int(sys.argv[2]) if len(sys.argv) > 2 else 5
    with tempfile.TemporaryDirectory() as folder:
        shelf = open_shelf(Path(folder) / "shelf")
        fill(shelf, count)
        served(shelf, goes)
        shelf.close()
        with closing(Workshop(Path(folder) / "shelf")) as made, sync_playwright() as player:
            words = "--no-sandbox --disable-gpu --disable-background-networking --disable-sync"
            browser = player.chromium.launch(
                executable_path="/usr/bin/chromium", args=words.split()
            )
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            measured(page, made.address, goes)
            browser.close()


if __name__ == "__main__":
    main()
