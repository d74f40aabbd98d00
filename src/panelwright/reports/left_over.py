"""What a build is likely to leave of cloth, core, timber and resin, in words to be corrected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from panelwright import units
from panelwright.fabrication.plan import BuildPlan
from panelwright.reports.layout import first_system, plural, printed

#: Less than this is no remnant: m of roll or strip, kg of resin. Common practice.
LEAST_LENGTH, LEAST_MASS = 0.3, 0.05
#: So many offcuts of one core, the largest first.
MOST_OFFCUTS = 4


def left_over(plan: BuildPlan, system: str = "si") -> list[tuple[str, str]]:
    """Material and amount of each remnant by the plan; no amount where the plan cannot tell it."""
    one = first_system(system)
    return [*_offcuts(plan, one), *_bought(plan, one)]


def _offcuts(plan: BuildPlan, one: str) -> Iterator[tuple[str, str]]:
    found: Counter[tuple[str, float, float]] = Counter()
    for part in plan.parts:
        for name, sheets in part.cut.sheets:
            for line in sheets.offcuts:
                found[name, line.length, line.width] += line.count * part.count
    for name in dict.fromkeys(name for name, *_ in found):
        sizes = [(size, count) for (of, *size), count in found.items() if of == name]
        for (length, width), count in sorted(sizes, key=lambda s: -s[0][0] * s[0][1])[
            :MOST_OFFCUTS
        ]:
            sides = " × ".join(units.show(side, "thickness", one) for side in (length, width))
            yield printed(name), f"{plural(count, 'piece')} of {sides}"


def _bought(plan: BuildPlan, one: str) -> Iterator[tuple[str, str]]:
    for line in plan.buys:
        if line.per == "m" and line.group in {"cloth", "timber"}:
            if line.buy - line.need >= LEAST_LENGTH:
                yield printed(line.what), units.show(line.buy - line.need, "length", one)
        elif line.group == "resin":
            yield printed(line.what), _resin(line.need, line.packs, line.pack, one)


def _resin(need: float, packs: int | None, pack: float | None, one: str) -> str:
    """What stays in the last pack; nothing where it does not come in packs."""
    if packs is None or pack is None or packs * pack - need < LEAST_MASS:
        return ""
    return units.show(packs * pack - need, "resin_mass", one)
