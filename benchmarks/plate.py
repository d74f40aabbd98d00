"""How fast a plate is: bent, with the stresses of every layer and what governs, and 512 draws.

Run ``OPENBLAS_NUM_THREADS=1 python benchmarks/plate.py`` with the project's own Python; it prints a
table for ``benchmarks/README.md``. Processor time of one thread; each stands beside that of a
Cholesky factorisation of the same size in the same run, since the machine is shared.
"""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from scipy.linalg import cholesky

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import plate, plate_draws
from panelwright.mechanics.plate import Edge
from panelwright.mechanics.sides import side
from panelwright.panels import bearing, strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import stack_of

EXAMPLE = Path(__file__).parents[1] / "examples" / "tender-topside.toml"
DRAWS, TIMES = 512, 15
#: Places of a panel of 0.6 by 0.4 m where a foot stands.
FOOT = (0.20, 0.30), (0.10, 0.20)


def median(work: Callable[[], object]) -> float:
    """Processor time of the middle one of several runs, after one to warm up; ms."""
    work()
    found = []
    for _ in range(TIMES):
        start = time.process_time()
        work()
        found.append(time.process_time() - start)
    return 1e3 * statistics.median(found)


def main() -> None:
    """Print the table."""
    layers = resolve(read(EXAMPLE.read_text(encoding="utf-8")), Catalogue.shipped()).layers
    stack = stack_of(layers)
    build = evaluate(stack)
    made = section(stack, build)
    states = strength.states(stack, build, made)
    drawn = drawn_stack(layers, DRAWS)
    sections = bearing.section_of_plate(section(drawn, evaluate(drawn)))

    def even(of: plate.Plate) -> np.ndarray:
        return plate.pressure(of, -5e3)

    def foot(of: plate.Plate) -> np.ndarray:
        return plate.patch(of, -800.0, *FOOT)

    table = []
    for name, load, cuts in (("even pressure", even, ((), ())), ("a foot", foot, FOOT)):
        for held in (Edge.SUPPORTED, Edge.CLAMPED):
            x, y = side(0.6, cuts[0]), side(0.4, cuts[1])

            def whole(x=x, y=y, held=held, load=load) -> bearing.Bent:
                bent = bearing.bend(made, x, y, (held,) * 4, load)
                bearing.largest_deflection(bent)
                stresses = bearing.stresses(bent, stack, build, made)
                bearing.in_plane(stresses, states.first)
                bearing.in_shear(stresses, states.own, damage=True)
                return bent

            bent = whole()
            matrix = plate.stiffness(bent.held, bent.section)
            middles = bearing.section_of_plate(made)

            def draws(bent=bent, middles=middles) -> np.ndarray:
                small = plate_draws.reduced(
                    bent.held, middles, bent.factor, sections, bent.loads[:, None]
                )
                at = plate.strains_at(bent.held, small.span, [0.25, 0.3], [0.0, 0.15, 0.2])
                return np.tensordot(plate_draws.drawn(small, sections), at, axes=1)

            factored = median(lambda matrix=matrix: cholesky(matrix, lower=True))
            table.append(
                (
                    f"{name}, {held}",
                    bent.held.unknowns,
                    median(whole),
                    median(draws),
                    factored,
                )
            )
    print(
        f"{datetime.now(UTC):%Y-%m-%d}, {platform.machine()}, {os.cpu_count()} cores, "
        f"Python {platform.python_version()}, numpy {np.__version__}; {len(layers)} stack layers\n"
    )
    print("| plate | unknowns | with stresses | 512 draws | Cholesky | ratio | ratio, draws |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for what, unknowns, one, many, factored in table:
        print(
            f"| {what} | {unknowns} | {one:.1f} ms | {many:.0f} ms | {factored:.2f} ms "
            f"| {one / factored:.1f} | {many / factored:.1f} |"
        )


if __name__ == "__main__":
    main()
