"""A working in text: every step with its formula, its numbers and where they come from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from panelwright.provenance import Input
from panelwright.reports.layout import heading, table, wrapped
from panelwright.working import Leaf, Node, Step, leaves, steps_below

#: Figures of a value in a working: enough to follow the sum.
FIGURES = 5


def number(value: Any) -> str:
    """A number with enough figures to follow a derivation."""
    value = float(value)
    if value == 0.0:
        return "0"
    size = abs(value)
    if 1e-3 <= size < 1e6:
        return f"{value:.{FIGURES}g}".replace("-", "−")
    return f"{value:.3e}".replace("e-0", "·10⁻").replace("e-", "·10⁻").replace("e+0", "·10^")


def _flat(value: Any) -> list[float]:
    return [float(entry) for entry in np.atleast_1d(np.asarray(value, dtype=np.float64)).ravel()]


def _symbol(text: str) -> str:
    return text.split(" [", 1)[0]


class _Listing:
    def __init__(self, head: Node, layers: Sequence[str]) -> None:
        self.steps = [s for s in steps_below(head) if np.any(np.asarray(s.value) != 0.0)]
        self.numbers = {id(step): index for index, step in enumerate(self.steps, start=1)}
        self.givens = [leaf for leaf in leaves(head) if self._matters(leaf)]
        self.letters = {id(leaf): f"g{index}" for index, leaf in enumerate(self.givens, start=1)}
        self.layers = layers

    @staticmethod
    def _matters(leaf: Leaf) -> bool:
        return bool(np.any(np.asarray(leaf.value) != 0.0)) and any(leaf.origins)

    def reference(self, node: Node) -> str:
        if isinstance(node, Step):
            return f"({self.numbers[id(node)]})" if id(node) in self.numbers else "0"
        if id(node) in self.letters:
            return f"({self.letters[id(node)]})"
        values = _flat(node.value)
        return "0" if not any(values) else number(values[0]) if len(values) == 1 else "by layer"

    def step(self, step: Step) -> str:
        made_by = step.formula
        lines = [f"({self.numbers[id(step)]}) {made_by.says}"]
        lines.append(wrapped(made_by.equation, first="     "))
        arguments = [
            f"{_symbol(made_by.inputs[name])} from {self.reference(node)}"
            for name, node in step.arguments.items()
            if self.reference(node) != "0"
        ]
        if arguments:
            lines.append(wrapped("; ".join(arguments), first="     "))
        values = _flat(step.value)
        unit = "" if made_by.unit == "-" else f" {made_by.unit}"
        if len(values) == 1:
            lines.append(f"     {made_by.symbol} = {number(values[0])}{unit}")
        elif len(values) == len(self.layers):
            rows = [
                [f"{index}", name, number(value)]
                for index, (name, value) in enumerate(zip(self.layers, values, strict=True), 1)
                if value != 0.0
            ]
            lines.append(f"     {made_by.symbol}{unit and f' in{unit}'}, by layer of the stack:")
            lines.append(table(rows, right=(0, 2), indent="       "))
        else:
            lines.append(
                f"     {made_by.symbol} = {' + '.join(number(v) for v in values if v)}{unit}"
            )
        lines.append(
            f"     source: {made_by.source}"
            + (f"; valid: {made_by.valid}" if made_by.valid else "")
        )
        return "\n".join(lines)

    def given(self, leaf: Leaf) -> str:
        unit = "" if leaf.unit in ("", "-") else f" [{leaf.unit}]"
        lines = [f"({self.letters[id(leaf)]}) {leaf.name}{unit}"]
        for index, origin in enumerate(leaf.origins):
            if not isinstance(origin, Input):
                continue
            place = f"layer {index + 1} of the stack: " if len(leaf.origins) > 1 else ""
            span = (
                f" ({number(origin.low)} to {number(origin.high)})"
                if origin.high > origin.low
                else ""
            )
            text = f"{place}{number(origin.value)}{span}; {origin.source} [{origin.evidence.value}]"
            lines.append(wrapped(text, first="     ", rest="       "))
        return "\n".join(lines)


def working_text(name: str, shown: str, head: Node, layers: Sequence[str]) -> str:
    """The whole derivation of one number.

    name : of the headline; shown : its value as a person reads it; layers : of the stack.
    """
    listing = _Listing(head, layers)
    parts = [heading(f"Working of {name.replace('_', ' ')}: {shown}")]
    parts.append(
        "Layers of the stack, from the outside:\n"
        + table(
            [[str(index), layer] for index, layer in enumerate(layers, 1)], right=(0,), indent="  "
        )
    )
    parts.append(heading("Steps"))
    parts += [listing.step(step) for step in listing.steps]
    parts.append(heading("What it stands on"))
    parts += [listing.given(leaf) for leaf in listing.givens]
    return "\n\n".join(parts)
