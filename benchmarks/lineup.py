"""How long eight panels take in a line-up; run by hand: python benchmarks/lineup.py."""

from __future__ import annotations

import statistics
import time
from pathlib import Path

from panelwright.jobs.lineup import Entrant, asked_in_words, entrant, known_solid, line_up
from panelwright.jobs.strength import unknown_strength
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read
from panelwright.panels.lineup_records import ALONG, KEEP, Terms
from panelwright.panels.records import ULTIMATE

EXAMPLES = Path(__file__).parents[1] / "examples"
TIMES = 7


#: Of one way to be held, so that each panel is bent once.
DUTY = "kneel on it, 600 mm x 310 mm, simply supported, span/100, reserve 2"


def timed(
    name: str, lined: list[Entrant], catalogue: Catalogue, equal: str, duties: list[Description]
) -> None:
    """Print a row: medians of wall clock and of the processor's own time."""
    walls, own = [], []
    for _ in range(TIMES):
        wall, processor = time.perf_counter(), time.process_time()
        line_up(lined, catalogue, Terms(equal, ALONG, level=ULTIMATE), duties=duties)
        walls.append(time.perf_counter() - wall)
        own.append(time.process_time() - processor)
    middle, processor = statistics.median(walls), statistics.median(own)
    print(f"| {name} | {middle:.2f} s | {processor:.2f} s |")


def main() -> None:
    """Print a table of medians, wall clock and the processor's own time."""
    catalogue = Catalogue.shipped()
    files = sorted(EXAMPLES.glob("*.toml"))
    panels = [entrant(read(path.read_text("utf-8"), path.name), catalogue) for path in files]
    plywood = known_solid("9 mm birch plywood", catalogue)
    assert plywood is not None
    eight = [*panels, plywood][:8]
    strong = [one for one in panels if not unknown_strength(one.resolved.layers)]
    eight_strong = (strong * 8)[:8]
    duty = [asked_in_words(DUTY, catalogue)]
    print(f"{len(eight)} panels")
    for equal in ("", "stiffness", "mass", "thickness"):
        timed(f"equal {equal}" if equal else "as they are", eight, catalogue, equal, [])
    timed("equal strength", eight_strong, catalogue, "strength", [])
    timed("as they are, one duty", eight, catalogue, "", duty)
    timed("equal stiffness, one duty", eight, catalogue, "stiffness", duty)
    timed("each just keeping the duty", eight_strong, catalogue, KEEP, duty)


if __name__ == "__main__":
    main()
