"""A working in text: every step with its formula, its numbers and where they come from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np

from panelwright.provenance import Input
from panelwright.reports.layout import heading, printed, sentence, spans, table, wrapped
from panelwright.working import Leaf, Node, Step

#: Figures of a value in a working: enough to follow the sum.
FIGURES = 5
#: Shop units of a working and how many of them make one SI unit. Millimetres, g/m2 and kg/m3 go
#: together: a mass over a density comes out right. So do GPa and mm with MN/m, kN and N m.
SHOP = {
    "m": ("mm", 1e3),
    "kg/m²": ("g/m²", 1e3),
    "Pa": ("GPa", 1e-9),
    "N/m": ("MN/m", 1e-6),
    "N": ("kN", 1e-3),
}
#: More values in a row than this are not listed.
MOST = 12
#: A pressure or strength below this, Pa, is worked out in MPa, with all that goes into it.
SMALL = 1e8
#: Symmetric plane matrices are kept as these components.
COMPONENTS = ("11", "12", "22", "16", "26", "66")
#: Steps that say nothing of a layer where one input is nought, by the name of that input.
NEEDED = {"fibre_mass_fraction_from_thickness": "thickness"}
#: Steps that take one of two inputs by a mark of ones and noughts: mark, taken at 1, taken at 0.
CHOSEN = {"by_rings": ("rings_seen", "seen", "mean")}

#: How the source of a value from the panel file begins; its evidence says so already.
GIVEN = "given: "

Values = np.ndarray[Any, np.dtype[np.float64]]


def number(value: float) -> str:
    """A number with enough figures to follow a derivation."""
    size = abs(value)
    if size == 0.0:
        return "0"
    if 1e-3 <= size < 10.0**FIGURES:
        return f"{value:.{FIGURES}g}".replace("-", "−")
    digits, _, power = f"{value:.{FIGURES - 1}e}".partition("e")
    return f"{digits}·10^{int(power)}".replace("-", "−")


def _parted(described: str) -> tuple[str, str]:
    """Symbol and unit of ``symbol [unit]``."""
    symbol, _, unit = described.partition(" [")
    return symbol, unit.removesuffix("]")


def _shop(unit: str, small: bool) -> tuple[str, float]:
    """The unit of a working, with the blank before it, and its factor.

    small : whether stresses are in MPa.
    """
    name, factor = ("MPa", 1e-6) if small and unit == "Pa" else SHOP.get(unit, (unit, 1.0))
    return ("" if name in ("", "-") else f" {name}", factor)


def _values(node: Node) -> Values:
    """What a node holds, nought where it says nothing: shape ``()`` or one entry a layer."""
    held: Values = np.asarray(node.value, dtype=np.float64)
    if isinstance(node, Leaf):
        return held
    needed = node.arguments.get(NEEDED.get(node.formula.name, ""))
    return held if needed is None else np.where(_values(needed) > 0.0, held, 0.0)


def _taken(step: Step) -> dict[str, Node]:
    """The inputs that the result of a step rests on: not those it chose against in all layers."""
    if step.formula.name not in CHOSEN:
        return step.arguments
    mark, marked, unmarked = CHOSEN[step.formula.name]
    choice = _values(step.arguments[mark])[_values(step) != 0.0]
    left_out = [
        n for n, used in ((marked, choice > 0.0), (unmarked, choice <= 0.0)) if not used.any()
    ]
    return {name: node for name, node in step.arguments.items() if name not in left_out}


def _says_something(node: Node) -> bool:
    return bool(np.any(_values(node) != 0.0))


def _unit(step: Step) -> str:
    """The unit of a result; that of the values of which it is one, where it is one of several."""
    whole = step.arguments.get("values") or step.arguments.get("load")
    is_part = step.formula.unit.startswith("as ")
    return _unit(whole) if is_part and isinstance(whole, Step) else step.formula.unit


def _alike(one: Node, other: Node) -> bool:
    """Whether a node holds the values of one other, with one more axis at most."""
    held, again = _values(one), _values(other)
    return again.shape in (held.shape, (*held.shape, 1)) and np.array_equal(
        held.ravel(), again.ravel()
    )


def _maker(node: Node) -> Node:
    """The node worth showing: a step that hands on its one input as it is says nothing new."""
    while isinstance(node, Step):
        inputs = [part for part in _taken(node).values() if _says_something(part)]
        if len(inputs) != 1 or not _alike(inputs[0], node):
            break
        node = inputs[0]
    return node


def _steps(node: Node, found: dict[int, Step]) -> dict[int, Step]:
    """The steps that lead to a node and add something, inputs before results."""
    node = _maker(node)
    if isinstance(node, Leaf) or id(node) in found or not _says_something(node):
        return found
    for argument in _taken(node).values():
        _steps(argument, found)
    found[id(node)] = node
    return found


def _letter(index: int) -> str:
    """``a`` to ``z``, then ``a2`` and so on."""
    turn, place = divmod(index, 26)
    return f"{chr(ord('a') + place)}{turn + 1 if turn else ''}"


def _counted(node: Node) -> str:
    """The layers that an argument of ones and noughts picks, in words; '' for any other."""
    words = node.origins[0] if isinstance(node, Leaf) and len(node.origins) else None
    return words if isinstance(words, str) else ""


def _components(values: Values) -> str:
    """Numbers in a row; six of them are a symmetric matrix, whose zeros are left out.

    Of many, as in all directions, the least and the greatest.
    """
    if len(values) > MOST:
        ends = (number(float(end)) for end in (np.min(values), np.max(values)))
        return f"{len(values)} values from {' to '.join(ends)}"
    if len(values) != len(COMPONENTS):
        return ", ".join(number(float(value)) for value in values)
    least = 1e-12 * float(np.max(np.abs(values)))
    named = zip(COMPONENTS, values, strict=True)
    return ", ".join(f"{at} {number(float(v))}" for at, v in named if abs(v) > least)


def _is_small(head: Node) -> bool:
    """Whether the number is a pressure or strength that is told in MPa."""
    is_stress = isinstance(head, Step) and head.formula.unit == "Pa"
    return is_stress and bool(np.max(np.abs(_values(head))) < SMALL)


@dataclass(frozen=True)
class _Argument:
    """One argument of a step as it is listed."""

    symbol: str
    unit: str
    words: str
    reference: str
    values: Values
    layers: int
    small: bool

    @property
    def by_layer(self) -> bool:
        return bool(self.values.shape == (self.layers,))

    def row(self) -> list[str]:
        """Symbol, where it comes from, value, name."""
        unit, factor = _shop(self.unit, self.small)
        if self.by_layer:
            value = f"by layer,{unit}".removesuffix(",")
        elif self.values.ndim == 0:
            value = number(factor * float(self.values)) + unit
        else:
            value = "as there"
        return [self.symbol, self.reference, value, self.words]


class _Listing:
    def __init__(self, head: Node, layers: Sequence[str]) -> None:
        self.steps = list(_steps(head, {}).values())
        self.layers = layers
        self.small = _is_small(head)
        self.references = {id(step): f"({index})" for index, step in enumerate(self.steps, start=1)}
        self.givens = list(self._givens())
        for index, leaf in enumerate(self.givens):
            self.references[id(leaf)] = f"({_letter(index)})"

    def _givens(self) -> Iterator[Leaf]:
        seen = set()
        for node in (_maker(node) for step in self.steps for node in _taken(step).values()):
            given = isinstance(node, Leaf) and any(isinstance(o, Input) for o in node.origins)
            if isinstance(node, Leaf) and given and _says_something(node) and id(node) not in seen:
                seen.add(id(node))
                yield node

    def step(self, step: Step) -> str:
        """One step: what it is, its formula, what goes in, what comes out, on whose word."""
        made_by = step.formula
        arguments = list(self._arguments(step))
        counted = [words for node in step.arguments.values() if (words := _counted(node))]
        lines = [f"{self.references[id(step)]} {made_by.says}", f"    {made_by.equation}"]
        lines += [f"    over {words}" for words in counted]
        lines.append(table([one.row() for one in arguments], indent="    "))
        lines.append(self._result(step, arguments))
        valid = f"; valid: {made_by.valid}" if made_by.valid else ""
        lines.append(wrapped(f"source: {made_by.source}{valid}", first="    "))
        return "\n".join(line for line in lines if line)

    def _arguments(self, step: Step) -> Iterator[_Argument]:
        for name, node in _taken(step).items():
            if _counted(node) or not _says_something(node):
                continue
            described = step.formula.inputs.get(name)
            symbol, unit = _parted(described or f" [{step.formula.unit}]")
            words = node.name if isinstance(node, Leaf) else name.replace("_", " ")
            reference = self.references.get(id(_maker(node)), "")
            yield _Argument(
                symbol, unit, words, reference, _values(node), len(self.layers), self.small
            )

    def _result(self, step: Step, arguments: list[_Argument]) -> str:
        """The result, by layer or as one number, beside what went into it."""
        unit, factor = _shop(_unit(step), self.small)
        values, symbol = _values(step), step.formula.symbol
        columns = [
            (one.symbol, _shop(one.unit, self.small)[1] * one.values)
            for one in arguments
            if one.by_layer
        ]
        if values.ndim == 0:
            picked = [np.asarray(n.value) for n in step.arguments.values() if _counted(n)]
            shown = self._table(columns, picked[0] if picked else None, merge=False)
            line = f"    {symbol} = {number(factor * float(values))}{unit}"
            return f"{shown}\n{line}" if shown else line
        if values.shape != (len(self.layers),):
            return self._several(symbol, factor * values, unit)
        result = (f"{symbol},{unit}".removesuffix(","), factor * values)
        return self._table([*columns, result], values)

    def _several(self, symbol: str, values: Values, unit: str) -> str:
        """A result of several numbers: components, a matrix, or components by layer."""
        if values.ndim > 2:
            largest = np.max(np.abs(values).reshape(len(values), -1), axis=1)
            if len(values) != len(self.layers):  # the faces
                return f"    largest {symbol} = {_components(largest)}{unit}"
            shown = f"largest {symbol},{unit}".removesuffix(",")
            return self._table([(shown, largest)], largest)
        if values.ndim == 1:
            return f"    {symbol} = {_components(values)}{unit}"
        named = values.shape[0] == len(self.layers) and values.shape[1] != len(self.layers)
        names = self.layers if named else [""] * len(values)
        rows = [
            [str(index) if named else "", name, _components(row)]
            for index, (name, row) in enumerate(zip(names, values, strict=True), start=1)
            if np.any(row != 0.0)
        ]
        return f"    {symbol}{unit}\n{table(rows, right=(0,), indent='      ')}"

    def _table(
        self,
        columns: list[tuple[str, Values]],
        counts: Values | None,
        *,
        merge: bool = True,
    ) -> str:
        """The layers that count, a row each; neighbours alike in all columns are one row."""
        if not columns:
            return ""
        whole = sum((np.abs(values) for _, values in columns), np.zeros(len(self.layers)))
        counts = whole if counts is None else whole * (counts != 0.0)
        rows = [
            (index, [self.layers[index], *(number(float(v[index])) for _, v in columns)])
            for index in range(len(self.layers))
            if counts[index] != 0.0
        ]
        lines = [["", "layer", *(symbol for symbol, _ in columns)]]
        for _, group in groupby(rows, key=lambda row: row[1] if merge else row[0]):
            same = list(group)
            lines.append([spans([index + 1 for index, _ in same]), *same[0][1]])
        right = (0, *range(2, 2 + len(columns)))
        return table(lines, right=right, indent="      ")

    def given(self, leaf: Leaf) -> str:
        """One given value: for which layers, how much, how sure, on whose word."""
        lines = [f"{self.references[id(leaf)]} {sentence(leaf.name).rstrip('.')}"]
        found: dict[str, list[int]] = {}
        for index, origin in enumerate(leaf.origins, start=1):
            if isinstance(origin, Input) and origin.value != 0.0:
                found.setdefault(self._origin(origin, leaf.unit), []).append(index)
        for text, places in found.items():
            named = f"layer{'s' if len(places) > 1 else ''} {spans(places)}: "
            where = named if np.ndim(leaf.value) else ""
            lines.append(wrapped(where + text, first="    ", rest="      "))
        return "\n".join(lines)

    def _origin(self, origin: Input, unit: str) -> str:
        shop, factor = _shop(unit, self.small)
        low, high = (number(factor * end) for end in (origin.low, origin.high))
        span = f" ({low} to {high})" if origin.high > origin.low else ""
        value = number(factor * origin.value)
        source = printed(origin.source).removeprefix(GIVEN)
        return f"{value}{shop}{span}, {origin.evidence.value}: {source}"


_IN_GPA = (
    "Steps are in mm, g/m², kg/m³ and GPa: g/m² over kg/m³ gives mm, GPa times mm gives MN/m, "
    "times mm² kN, times mm³ N m."
)
_IN_MPA = "Steps are in MPa."


def working_text(name: str, shown: str, head: Node, layers: Sequence[str]) -> str:
    """The whole derivation of one number.

    name : of the headline; shown : its value as a person reads it; layers : of the stack.
    """
    names = [printed(layer) for layer in layers]
    listing = _Listing(head, names)
    title = heading(f"Working of {name.replace('_', ' ')}: {shown}")
    if not listing.steps:
        return f"{title}\n\nThere is nothing of it in this panel."
    numbered = [[str(index), layer] for index, layer in enumerate(names, start=1)]
    parts = [
        title,
        wrapped(
            f"{_IN_MPA if listing.small else _IN_GPA} A number in brackets is a step, a letter a "
            "given value; those are listed at the end."
        ),
        "Layers of the stack, from the outside (a cloth of two directions is two):\n"
        + table(numbered, right=(0,), indent="  "),
        heading("Steps"),
        *(listing.step(step) for step in listing.steps),
        heading("Given values"),
        *(listing.given(leaf) for leaf in listing.givens),
    ]
    return "\n\n".join(parts)


@dataclass(frozen=True)
class Passage:
    """One step or given value of a working, for a page.

    ``mark`` : by which others refer to it, ``(3)`` or ``(b)``; ``lines`` : its text; ``rows`` : of
    the catalogue, ``table/id``, that a given value was read from.
    """

    mark: str
    title: str
    lines: str
    rows: tuple[str, ...] = ()


def working_passages(
    head: Node, layers: Sequence[str]
) -> tuple[tuple[Passage, ...], tuple[Passage, ...]]:
    """The steps of a working, the last first and so the result on top, and its given values."""
    listing = _Listing(head, [printed(layer) for layer in layers])

    def passage(node: Node, text: str, rows: Sequence[str] = ()) -> Passage:
        mark = listing.references[id(node)]
        first, _, rest = text.partition("\n")
        return Passage(mark, first.removeprefix(mark).strip(), rest, tuple(rows))

    steps = [passage(step, listing.step(step)) for step in listing.steps]
    givens = [
        passage(
            leaf,
            listing.given(leaf),
            list(dict.fromkeys(o.row for o in leaf.origins if isinstance(o, Input) and o.row)),
        )
        for leaf in listing.givens
    ]
    return tuple(reversed(steps)), tuple(givens)
