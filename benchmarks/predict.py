"""How fast a prediction is: whole commands, one evaluation, and what keeping the working costs.

Run ``python benchmarks/predict.py`` with the project's own Python; it prints a table for
``benchmarks/README.md``. Medians of several runs, side by side in one go: the machine is noisy, so
compare within one table.
"""

from __future__ import annotations

import os
import platform
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "tender-topside.toml"


def median(run: Callable[[], object], times: int) -> float:
    """Median seconds of a run."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def command(*words: str) -> Callable[[], object]:
    """A whole process, compiled files allowed."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    line = [sys.executable, "-m", "panelwright", *words]
    return lambda: subprocess.run(line, check=True, capture_output=True, env=environment)


def rows() -> list[tuple[str, str, str]]:
    """What was measured, the figure, the goal."""
    from panelwright.jobs.predict import evaluate_panel, predict
    from panelwright.materials.catalogue import Catalogue
    from panelwright.panels.description import read
    from panelwright.panels.evaluate import evaluate
    from panelwright.panels.resolve import resolve
    from panelwright.panels.stack import stack_of
    from panelwright.working import _FORMULAS, recording

    catalogue = Catalogue.shipped()
    description = read(EXAMPLE.read_text(encoding="utf-8"), EXAMPLE.name)
    resolved = resolve(description, catalogue)
    stack = stack_of(resolved.layers)

    def bare() -> None:
        evaluate(stack)

    def kept() -> None:
        with recording():
            evaluate(stack)

    one = median(bare, 400)
    calls = sum(1 for _ in _FORMULAS)
    found = [
        ("`panelwright --help`, whole process", median(command("--help"), 7), "s", "0.6 s"),
        ("`panelwright predict FILE`", median(command("predict", str(EXAMPLE)), 7), "s", "1.0 s"),
        ("read the file", 1e3 * median(lambda: read(description.text), 50), "ms", ""),
        ("resolve", 1e3 * median(lambda: resolve(description, catalogue), 50), "ms", ""),
        ("evaluate one stack, warm", 1e3 * one, "ms", "5 ms"),
        ("the same, keeping the working", 1e3 * median(kept, 400), "ms", ""),
        ("evaluate with 1024 draws", 1e3 * median(lambda: evaluate_panel(resolved), 50), "ms", ""),
        ("the whole record", 1e3 * median(lambda: predict(description, catalogue), 30), "ms", ""),
    ]
    shown = [(what, f"{value:.3g} {unit}", goal) for what, value, unit, goal in found]
    shown.append(("registered formulas", str(calls), ""))
    shown.append(("working switched off, share of one evaluation", f"{overhead(stack):.1%}", "3 %"))
    return shown


def overhead(stack: object) -> float:
    """What the registration costs one evaluation while no working is kept.

    The same evaluation is run with every formula replaced by the plain function it wraps.
    """
    from panelwright.mechanics import fractions, laminate, moisture, sandwich
    from panelwright.panels.evaluate import evaluate

    modules = (laminate, fractions, moisture, sandwich)
    wrapped = {
        (module, name): value
        for module in modules
        for name, value in vars(module).items()
        if hasattr(value, "__wrapped__")
    }
    ratios = []
    for _ in range(15):
        with_it = median(lambda: evaluate(stack), 200)  # type: ignore[arg-type]
        for (module, name), value in wrapped.items():
            setattr(module, name, value.__wrapped__)
        without = median(lambda: evaluate(stack), 200)  # type: ignore[arg-type]
        for (module, name), value in wrapped.items():
            setattr(module, name, value)
        ratios.append(with_it / without - 1.0)
    return statistics.median(ratios)


def main() -> None:
    """Print the table."""
    print(f"\n{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, {os.cpu_count()} cores, ", end="")
    print(f"Python {platform.python_version()}\n")
    print("| what | median | goal |\n| --- | --- | --- |")
    for row in rows():
        print(f"| {' | '.join(row)} |")


if __name__ == "__main__":
    main()
