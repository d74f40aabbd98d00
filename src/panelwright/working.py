"""The working of a number: which formula made it, from what, and where each input came from.

Formulas register themselves with :func:`formula`. While a :class:`Recorder` is open, every call
of a registered formula leaves a :class:`Step`; arguments are linked to the step or the leaf that
made them by identity, so that nothing has to be named twice. Without a recorder a formula is a
plain function call with one extra look-up.
"""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True)
class Formula:
    """A registered formula: what it gives and on whose word."""

    name: str
    says: str
    symbol: str
    unit: str
    equation: str
    source: str
    inputs: Mapping[str, str]  # argument name -> "symbol [unit]"
    valid: str = ""


@dataclass
class Leaf:
    """A value that no formula made: a stack array or a panel constant, with an origin per entry.

    ``origins`` has one entry for each layer (or a single one for a panel value); None where the
    layer does not have such a thing.
    """

    name: str
    unit: str
    value: Any
    origins: Sequence[Any] = ()


@dataclass
class Step:
    """One call of a formula. ``arguments`` maps argument name to the node that made it."""

    formula: Formula
    value: Any
    arguments: dict[str, Step | Leaf] = field(default_factory=dict)


Node = Step | Leaf

_FORMULAS: dict[str, Formula] = {}
_RECORDER: ContextVar[Recorder | None] = ContextVar("panelwright_recorder", default=None)


class Recorder:
    """Collects steps while open, and finds the node that made a value."""

    def __init__(self) -> None:
        self.steps: list[Step] = []
        self._nodes: dict[
            int, tuple[Any, Node]
        ] = {}  # the value is kept alive: its id stays its own

    def leaf(self, name: str, unit: str, value: Any, origins: Sequence[Any] = ()) -> None:
        """Declare ``value`` as something that is given, not computed."""
        self._nodes.setdefault(id(value), (value, Leaf(name, unit, value, origins)))

    def node(self, value: Any) -> Node | None:
        """The step or leaf that made exactly this object, or None."""
        found = self._nodes.get(id(value))
        return None if found is None else found[1]

    def record(self, made_by: Formula, arguments: Mapping[str, Any], value: Any) -> None:
        """Leave a step for one call."""
        step = Step(made_by, value)
        for name, argument in arguments.items():
            step.arguments[name] = self.node(argument) or Leaf(
                made_by.inputs.get(name, name), "", argument
            )
        self.steps.append(step)
        self._nodes.setdefault(id(value), (value, step))


@contextmanager
def recording() -> Iterator[Recorder]:
    """Open a recorder for the block; the formulas called inside leave their steps in it."""
    recorder = Recorder()
    token = _RECORDER.set(recorder)
    try:
        yield recorder
    finally:
        _RECORDER.reset(token)


def leaf(name: str, unit: str, value: Any, origins: Sequence[Any] = ()) -> None:
    """Declare a given value to the open recorder, if there is one."""
    recorder = _RECORDER.get()
    if recorder is not None:
        recorder.leaf(name, unit, value, origins)


def formula(
    *,
    symbol: str,
    unit: str,
    equation: str,
    source: str,
    inputs: Mapping[str, str],
    valid: str = "",
) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Register a formula.

    symbol, unit : of the result (unit as text, ``-`` for a pure number).
    equation : as a person would write it, in the symbols of ``inputs``.
    source : key of the bibliography, with the place in it, or the principle ("mass balance").
    inputs : argument name to ``symbol [unit]``; must name every argument of the function.
    valid : where it holds, in words.
    """

    def register(function: Callable[P, R]) -> Callable[P, R]:
        signature = inspect.signature(function)
        if set(signature.parameters) != set(inputs):
            raise TypeError(f"{function.__name__}: inputs must name {list(signature.parameters)}")
        name = function.__name__
        if name in _FORMULAS:
            raise TypeError(f"a formula named {name} is registered already")
        says = (inspect.getdoc(function) or "").split("\n", 1)[0].rstrip(".")
        made_by = Formula(name, says, symbol, unit, equation, source, dict(inputs), valid)
        _FORMULAS[name] = made_by

        open_recorder = _RECORDER.get  # looked up once: this line of every call must cost little

        @functools.wraps(function)
        def call(*args: P.args, **kwargs: P.kwargs) -> R:
            recorder = open_recorder()
            if recorder is None:
                return function(*args, **kwargs)
            result = function(*args, **kwargs)
            bound = signature.bind(*args, **kwargs)
            bound.apply_defaults()
            recorder.record(made_by, bound.arguments, result)
            return result

        return call

    return register


def formulas() -> tuple[Formula, ...]:
    """All registered formulas, by name."""
    return tuple(_FORMULAS[name] for name in sorted(_FORMULAS))


def leaves(node: Node) -> list[Leaf]:
    """The given values that a node rests on, each once, in the order they are met."""
    found: dict[int, Leaf] = {}

    def walk(current: Node) -> None:
        if isinstance(current, Leaf):
            found.setdefault(id(current.value), current)
            return
        for argument in current.arguments.values():
            walk(argument)

    walk(node)
    return list(found.values())


def steps_below(node: Node) -> list[Step]:
    """The steps that lead to a node, each once, inputs before results."""
    ordered: dict[int, Step] = {}

    def walk(current: Node) -> None:
        if isinstance(current, Leaf) or id(current) in ordered:
            return
        for argument in current.arguments.values():
            walk(argument)
        ordered[id(current)] = current

    walk(node)
    return list(ordered.values())
