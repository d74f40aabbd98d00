"""How fast a piece is reconciled, everything included: findings, causes, duties, house values.

Run ``OMP_NUM_THREADS=1 python benchmarks/reconcile.py`` with the project's own Python. Medians of
nine, time of the processor; duties are worked anew each time, which a page that is loaded again
does not do.
"""

from __future__ import annotations

import platform
import statistics
import tempfile
import time
from datetime import UTC, datetime

from panelwright.jobs import measured_duty
from panelwright.jobs.demonstration import fill_with_demonstration
from panelwright.jobs.reconcile import reconcile_piece
from panelwright.jobs.shelf import open_shelf

PIECES = ("S-0001", "S-0005", "S-0006")


def main() -> None:
    """Print the table."""
    shelf = open_shelf(tempfile.mkdtemp())
    fill_with_demonstration(shelf)
    today = datetime.now(UTC).date()
    print(f"{today}, {platform.machine()}, Python {platform.python_version()}\n")
    print(
        "| piece of | duties | everything | asked again | goal |\n| --- | --- | --- | --- | --- |"
    )
    for number in PIECES:
        first, again = [], []
        for _ in range(9):
            measured_duty.answered_as_found.cache_clear()
            for taken in (first, again):
                start = time.process_time()
                done = reconcile_piece(shelf, number)
                taken.append(time.process_time() - start)
        once, twice = (f"{statistics.median(taken):.3f} s" for taken in (first, again))
        print(f"| {done.title} | {len(done.duties)} | {once} | {twice} | 0.3 s |")
    shelf.close()


if __name__ == "__main__":
    main()
