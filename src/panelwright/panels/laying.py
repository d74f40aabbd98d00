"""The order in which layers lie, once groups, repeats, turned faces and mirror are written out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from panelwright.errors import InputError, Problem
from panelwright.panels.description import Description
from panelwright.panels.layers import MOST_LAYERS, AnyLayer, ClothLayer, GlueLayer, GroupLayer
from panelwright.panels.places import Path

#: Kinds that stand alone in the middle of a mirrored panel: they are not laid twice.
MIDDLE_KINDS = frozenset(
    {"strips", "board", "veneer", "plywood", "core", "bulking_mat", "damping", "lamina"}
)


@dataclass(frozen=True)
class Laid:
    """One layer where it lies.

    ``turned`` says that the layer lies with its marked face inwards; ``path`` is where the file
    describes it; ``mirrored`` that it came from ``mirror = true``.
    """

    layer: AnyLayer
    path: Path
    turned: bool = False
    mirrored: bool = False

    @property
    def kind(self) -> str:
        """The key that names the kind of layer."""
        return self.layer.kind

    @property
    def place(self) -> str:
        """Where the file describes it, in words: "layer 2", "group 1, layer 3"."""
        names = [f"{self.path[i]} {int(self.path[i + 1]) + 1}" for i in range(0, len(self.path), 2)]
        return ", ".join(names)

    @property
    def wets(self) -> bool:
        """Whether it brings resin to the face of a neighbour."""
        return self.kind in {"cloth", "coat", "bulking_mat"}


def _turn(laid: Laid) -> Laid:
    return Laid(laid.layer, laid.path, not laid.turned, laid.mirrored)


class _Laying:
    def __init__(self, description: Description) -> None:
        self.description = description
        self.groups = {
            group.name: (index, group) for index, group in enumerate(description.panel.group)
        }
        self.problems: list[Problem] = []

    def refuse(self, path: Path, problem: Problem) -> None:
        self.problems.append(self.description.problem(path, problem))

    def lay(
        self, layers: tuple[AnyLayer, ...], path: Path, inside: frozenset[str]
    ) -> Iterator[Laid]:
        for index, layer in enumerate(layers):
            where: Path = (*path, index)
            if isinstance(layer, GroupLayer):
                yield from self.group(layer, where, inside)
            else:
                turned = isinstance(layer, ClothLayer) and layer.face == "in"
                yield from (Laid(layer, where, turned) for _ in range(layer.repeat))

    def group(self, use: GroupLayer, where: Path, inside: frozenset[str]) -> Iterator[Laid]:
        if use.group in inside:
            self.refuse(where, Problem(f"the group {use.group!r} contains itself", use.group))
            return
        if use.group not in self.groups:
            known = ", ".join(self.groups) or "none is written yet: add a [[group]]"
            self.refuse(where, Problem(f"there is no group {use.group!r}", use.group, known))
            return
        index, group = self.groups[use.group]
        once = list(self.lay(group.layer, ("group", index, "layer"), inside | {use.group}))
        if use.face == "in":
            once = [_turn(laid) for laid in reversed(once)]
        for _ in range(use.repeat):
            if len(once) > MOST_LAYERS:
                break
            yield from once


def lay(description: Description) -> list[Laid]:
    """The layers of a described panel as they lie, from the outside face inwards.

    Raises :class:`InputError` for groups that are not there or contain themselves, and for more
    layers than a panel can have.
    """
    laying = _Laying(description)
    found: list[Laid] = []
    for laid in laying.lay(description.panel.layer, ("layer",), frozenset()):
        found.append(laid)
        if len(found) > MOST_LAYERS:
            laying.refuse(
                laid.path, Problem("the panel has too many layers", "", f"up to {MOST_LAYERS}")
            )
            break
    if laying.problems:
        raise InputError(laying.problems)
    return _mirrored(found) if description.panel.mirror else found


def _mirrored(half: list[Laid]) -> list[Laid]:
    """The half laid, then the same in reverse as a hand lays it.

    A cloth of the second half comes from the same roll with its marked face towards the person,
    which is inwards: it is turned over, not reflected.
    """
    repeated = half[:-1] if half and half[-1].kind in MIDDLE_KINDS else half
    return half + [
        Laid(laid.layer, laid.path, not laid.turned, mirrored=True) for laid in reversed(repeated)
    ]


def soaking_faces(laid: list[Laid], index: int) -> tuple[bool, bool]:
    """Whether the outer and the inner face of a layer meet wet resin.

    A face next to a glue line takes what it takes from the glue, which counts its whole spread.
    """
    outer = index > 0 and laid[index - 1].wets
    inner = index + 1 < len(laid) and laid[index + 1].wets
    return outer, inner


def glued_faces(laid: list[Laid], index: int) -> int:
    """How many faces of a layer lie in a glue line."""
    beside = laid[max(index - 1, 0) : index] + laid[index + 1 : index + 2]
    return sum(isinstance(neighbour.layer, GlueLayer) for neighbour in beside)
