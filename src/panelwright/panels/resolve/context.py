"""What every resolver of a layer may look up, and where it reports what is wrong."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from panelwright.errors import Problem, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.description import Description, Panel
from panelwright.panels.places import Path
from panelwright.provenance import Evidence, Input, Scope
from panelwright.units import Quantity


@dataclass
class Context:
    """One resolution: the panel, the catalogue, the process and what was noticed on the way."""

    description: Description
    catalogue: Catalogue
    process: Row
    resin: Row
    timber_moisture: Input
    problems: list[Problem] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)

    @property
    def panel(self) -> Panel:
        """The panel as described."""
        return self.description.panel

    def refuse(self, path: Path, problem: Problem) -> None:
        """Note a problem with the place it has in the file."""
        self.problems.append(self.description.problem(path, problem))

    def row(self, table: str, words: str, path: Path, stand_in: Row) -> Row:
        """The row that the words at a path mean; where there is none, say so and go on with one."""
        try:
            return self.catalogue.find(table, words)
        except UnknownName as unknown:
            self.refuse(path, unknown.problems[0])
            return stand_in

    def doubt(self, text: str) -> None:
        """Note something that is taken as it is but that the person should look at; once."""
        if text not in self.doubts:
            self.doubts.append(text)


def exact(value: float, source: str, evidence: Evidence = Evidence.GIVEN) -> Input:
    """An input that does not vary."""
    return Input(value, value, value, source, evidence, cause="")


def given(
    quantity: Quantity,
    cause: str,
    *,
    scope: Scope = Scope.LAYER,
    half_width: float = 0.0,
    relative: float = 0.0,
) -> Input:
    """An input from what the person wrote.

    half_width, relative : half of the 90 % range to assume where none was written, absolute (SI)
    and as a share of the value; the larger holds.
    """
    low, high = quantity.low, quantity.high
    if not quantity.has_range:
        half = max(half_width, relative * abs(quantity.value))
        low, high = max(quantity.value - half, min(quantity.value, 0.0)), quantity.value + half
    return Input(quantity.value, low, high, f"given: {quantity.text}", Evidence.GIVEN, cause, scope)


def share_of(whole: Input, share: float, what: str) -> Input:
    """The part of an input that falls to one ply; it moves with the whole."""
    if share == 1.0:
        return whole
    return replace(
        whole,
        value=share * whole.value,
        low=share * whole.low,
        high=share * whole.high,
        source=f"{share:.3g} of {what}; {whole.source}",
    )


def times(whole: Input, count: int) -> Input:
    """An input taken several times over, such as the soak of two faces."""
    if count == 1:
        return whole
    return replace(
        whole,
        value=count * whole.value,
        low=count * whole.low,
        high=count * whole.high,
        source=f"{count} × {whole.source}",
    )
