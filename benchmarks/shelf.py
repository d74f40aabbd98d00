"""How long the shelf takes with many panels: filling, opening, finding, reading.

    python benchmarks/shelf.py [panels]

Panels are copies of the examples under other titles with figures shifted a little, written past
the prediction, which is not what is timed here.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from panelwright.jobs.demonstration import example_files, fill_with_demonstration
from panelwright.jobs.shelf import Filter, Shelf, open_shelf, snapshot_of
from panelwright.materials.catalogue import Catalogue
from panelwright.shelf import panels

WORDS = ("topside", "bottom", "deck", "lid", "roof", "door", "bulkhead", "frame", "top", "floor")
SEARCHES = {
    "first page": Filter(),
    "words": Filter(text="tend top"),
    "words, span, core": Filter(text="skiff", thickness=(0.005, 0.02), cores=("end-grain balsa",)),
    "span, process, order": Filter(
        areal_mass=(3.0, 7.0), processes=("hand lay-up",), order="lightest"
    ),
    "tag, standing": Filter(tags=("deck",), standing="only predicted"),
    "page 300": Filter(offset=7200, order="title"),
}


def fill(shelf: Shelf, count: int) -> None:
    """Put so many panels on a shelf."""
    catalogue = Catalogue.shipped()
    made = [snapshot_of(path.read_text("utf-8"), catalogue) for path in example_files().values()]
    with shelf._database.writing() as session:
        for number in range(count):
            kept = made[number % len(made)]
            word = WORDS[number % len(WORDS)]
            share = 1.0 + 0.2 * ((number * 0.618) % 1.0)
            now = kept.prediction
            now = replace(
                now,
                title=f"{now.title} {word} {number}",
                thickness=replace(now.thickness, value=now.thickness.value * share),
                areal_mass=replace(now.areal_mass, value=now.areal_mass.value * share),
            )
            snapshot = replace(kept, prediction=now)
            row = panels.add_panel(session, snapshot, "Invented.", (word, "invented"))
            panels.refresh_words(session, row, snapshot)


def seconds(work: Callable[[], object], times: int = 15) -> float:
    """The middle of several goes."""
    taken = []
    for _ in range(times):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return sorted(taken)[times // 2]


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        open_shelf(Path(folder) / "small").close()
        print(f"{'make a shelf':<24}{(time.perf_counter() - began) * 1e3:>10.1f} ms")
        small = open_shelf(Path(folder) / "small")
        began, busy = time.perf_counter(), time.process_time()
        fill_with_demonstration(small)
        taken, busy = time.perf_counter() - began, time.process_time() - busy
        print(f"{'fill the demonstration':<24}{taken * 1e3:>10.1f} ms ({busy * 1e3:.0f} busy)")
        small.close()

        shelf = open_shelf(Path(folder) / "large")
        began = time.perf_counter()
        fill(shelf, count)
        each = (time.perf_counter() - began) / count
        print(f"{'write a panel':<24}{each * 1e3:>10.1f} ms")
        shelf.close()
        opening = seconds(lambda: open_shelf(Path(folder) / "large").close(), 5)
        print(f"{'open':<24}{opening * 1e3:>10.1f} ms")
        shelf = open_shelf(Path(folder) / "large")
        for name, wanted in SEARCHES.items():
            total = shelf.find(wanted).total
            print(f"{name:<24}{seconds(lambda w=wanted: shelf.find(w)) * 1e3:>10.1f} ms {total:>7}")
        print(f"{'one panel':<24}{seconds(lambda: shelf.panel('P-0042')) * 1e3:>10.1f} ms")
        size = (Path(folder) / "large" / "shelf.db").stat().st_size
        print(f"{'file':<24}{size / 1e6:>10.1f} MB")
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
        print(f"{'memory at most':<24}{memory:>10.1f} MB")
        shelf.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
