"""How fast a build is planned and put on paper: twenty layers, twelve stations.

Run ``python benchmarks/build.py`` with the project's own Python; it prints a table for
``benchmarks/README.md``.
"""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from panelwright.fabrication.part import read_part
from panelwright.jobs.build import build
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read
from panelwright.reports.build_text import full
from panelwright.reports.paper.build_labels import build_labels_pdf
from panelwright.reports.paper.build_sheet import build_sheet

ROOT = Path(__file__).parents[1]
PANEL = ROOT / "examples" / "tender-topside.toml"
JOB = ROOT / "examples" / "parts" / "rowing-tender.toml"


def median(run: Callable[[], object], times: int) -> float:
    """Median seconds of a run."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def described() -> Description:
    """The tender with eighteen plies inside: twenty layers."""
    text = PANEL.read_text(encoding="utf-8")
    return read(text.replace("repeat = 2", "repeat = 18"), PANEL.name)


def job() -> str:
    """The shell of the tender alone, of the panel above."""
    text = JOB.read_text(encoding="utf-8")
    bulkhead = text.index('[[part]]\nname = "Bulkhead"')
    alone = text[:bulkhead] + text[text.index("[mix]") :]
    return alone.replace('panel = "../tender-topside.toml"\n', "")


def nothing(name: str) -> Description:
    """No part names another panel."""
    raise FileNotFoundError(name)


def main() -> None:
    """Print the table."""
    catalogue, panel, told = Catalogue.shipped(), described(), read_part(job())
    plan = build(panel, told, catalogue, nothing)
    drawn = date(2026, 11, 25)

    def planned() -> object:
        return build(panel, told, catalogue, nothing)

    start = time.perf_counter()
    build_sheet(plan, drawn)
    first = time.perf_counter() - start
    rows = [
        (
            "plan, 20 layers and 12 stations",
            median(lambda: build(panel, told, catalogue, nothing), 9),
        ),
        ("all of it as text", median(lambda: full(plan), 9)),
        ("build sheet as PDF, the first in a process", first),
        ("build sheet as PDF, after that", median(lambda: build_sheet(plan, drawn), 5)),
        ("labels as PDF", median(lambda: build_labels_pdf(plan), 3)),
    ]
    print(f"{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, {os.cpu_count()} cores")
    print("\n| what | seconds |\n| --- | --- |")
    for what, seconds in rows:
        print(f"| {what} | {seconds:.3f} |")


if __name__ == "__main__":
    main()
