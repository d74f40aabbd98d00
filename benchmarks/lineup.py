"""How long eight panels take in a line-up; run by hand: python benchmarks/lineup.py."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

from panelwright.jobs.lineup import entrant, known_solid, line_up
from panelwright.jobs.strength import unknown_strength
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.lineup_records import ALONG, Terms
from panelwright.panels.records import ULTIMATE

EXAMPLES = Path(__file__).parents[1] / "examples"
TIMES = 7


def main() -> None:
    """Print a table of medians, wall clock and the processor's own time."""
    catalogue = Catalogue.shipped()
    files = sorted(EXAMPLES.glob("*.toml"))
    panels = [entrant(read(path.read_text("utf-8"), path.name), catalogue) for path in files]
    plywood = known_solid("9 mm birch plywood", catalogue)
    assert plywood is not None
    eight = [*panels, plywood][:8]
    print(f"{len(eight)} panels")
    strong = [one for one in panels if not unknown_strength(one.resolved.layers)]
    for equal in ("", "stiffness", "mass", "thickness", "strength"):
        lined = (strong * 8)[:8] if equal == "strength" else eight
        walls, own = [], []
        for _ in range(TIMES):
            wall, processor = time.perf_counter(), time.process_time()
            line_up(lined, catalogue, Terms(equal, ALONG, level=ULTIMATE))
            walls.append(time.perf_counter() - wall)
            own.append(time.process_time() - processor)
        middle, processor = statistics.median(walls), statistics.median(own)
        print(f"| {equal or 'as they are'} | {middle:.2f} s | {processor:.2f} s |")


if __name__ == "__main__":
    main()
