"""How fast strength is: one panel with everything and its draws, and 100,000 stacks.

Run ``python benchmarks/strength.py`` with the project's own Python; it prints a table for
``benchmarks/README.md``. The stacks are cloth on timber, with all inputs of an example drawn a
hundred thousand times over.
"""

from __future__ import annotations

import os
import platform
import resource
import statistics
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import fields
from datetime import UTC, datetime
from pathlib import Path

import numpy as np

from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import Stack

EXAMPLE = Path(__file__).parents[1] / "examples" / "tender-topside.toml"
STACKS, CHUNK, TIMES = 100_000, 4096, 5


def median(work: Callable[[], object]) -> float:
    """Seconds of the middle one of several runs, after one to warm up."""
    work()
    found = []
    for _ in range(TIMES):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return statistics.median(found)


def weakest(stack: Stack) -> np.ndarray:
    """First damage bent along, the outside stretched."""
    build = evaluate(stack)
    made = section(stack, build)
    return strength.first_damage(stack, build, made, strength.LOADS.index("bending along"), 1).load


def rows(stack: Stack, which: slice) -> Stack:
    """Some of many stacks."""
    return Stack(**{entry.name: getattr(stack, entry.name)[which] for entry in fields(Stack)})


def main() -> None:
    """Print the table."""
    catalogue = Catalogue.shipped()
    description = read(EXAMPLE.read_text(encoding="utf-8"))
    layers = resolve(description, catalogue).layers
    many = drawn_stack(layers, CHUNK)  # the same draws over and over: each chunk costs the same
    parts = [slice(0, min(CHUNK, STACKS - start)) for start in range(0, STACKS, CHUNK)]
    chunks = [rows(many, part) for part in parts]

    def threads() -> None:
        with ThreadPoolExecutor(2) as pool:
            list(pool.map(weakest, chunks))

    table = [
        ("the whole record, 512 draws", median(lambda: predict(description, catalogue, 512))),
        ("the whole record, 1024 draws", median(lambda: predict(description, catalogue))),
        ("100 000 stacks, first damage, one thread", median(lambda: [*map(weakest, chunks)])),
        ("100 000 stacks, first damage, 2 threads", median(threads)),
    ]
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(
        f"{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, {os.cpu_count()} cores, "
        f"Python {platform.python_version()}, numpy {np.__version__}; {len(layers)} stack layers\n"
    )
    print("| what | median |\n| --- | --- |")
    for name, seconds in table:
        print(f"| {name} | {1e3 * seconds:.0f} ms |")
    print(f"\nPeak memory {memory} MB.")


if __name__ == "__main__":
    main()
