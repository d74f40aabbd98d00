"""Five hundred simulated shops with known truth: do the ranges cover, does the error fall?

``python benchmarks/shops.py [shops] [pieces]``; a minute or two. docs/measure.md has the table.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "tests"))

from samples.shops import FRACTION, SOAK, simulate

SEED = 9


def main(shops: int, pieces: int) -> None:
    start = time.perf_counter()
    tally = simulate(shops, pieces, SEED)
    print("| pieces behind it | mass covered | mass off by (rms) | range | fraction | soak |")
    print("|---|---|---|---|---|---|")
    for count in range(pieces + 1):
        learnt = [
            f"{100 * tally.coverage(key, count):.1f} %" if count else "the book"
            for key in (FRACTION, SOAK)
        ]
        mass = 100 * tally.coverage("areal mass", count)
        width = sum(tally.widths[count]) / len(tally.widths[count])
        cells = (
            f"{count}",
            f"{mass:.1f} %",
            f"{1e3 * tally.error(count):.0f} g/m²",
            f"{1e3 * width:.0f} g/m²",
            *learnt,
        )
        print("| " + " | ".join(cells) + " |")
    print(f"{shops} shops, seed {SEED}, {time.perf_counter() - start:.0f} s")


if __name__ == "__main__":
    main(*(int(given) for given in (sys.argv[1:] + ["500", "6"][len(sys.argv) - 1 :])))
