"""The order in which layers lie, once groups, repeats, turned faces and mirror are written out."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from panelwright.errors import InputError, Problem
from panelwright.panels.description import Description, nearest
from panelwright.panels.layers import MOST_LAYERS, AnyLayer, ClothLayer, GroupLayer
from panelwright.panels.places import Path

#: Kinds that, last of a half, stand in the middle of a mirrored panel and are not laid twice.
#: Cloth and plies given by their constants are laid twice, as in a published [0/90]s.
MIDDLE_KINDS = frozenset({"strips", "board", "veneer", "plywood", "core", "bulking_mat", "damping"})


#: Groups in groups in groups: deeper than this nobody can read.
DEEPEST_GROUP = 20


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
        return self.kind in {"cloth", "bulking_mat"}


def _turn(laid: Laid) -> Laid:
    return Laid(laid.layer, laid.path, not laid.turned, laid.mirrored)


def _bounded(layers: Iterable[Laid]) -> list[Laid]:
    """The layers, or one more of them than a panel can have: that is enough to refuse them."""
    return list(itertools.islice(layers, MOST_LAYERS + 1))


class _Laying:
    """Writes out groups and repeats. Each group is laid once, and used as often as it is named."""

    def __init__(self, description: Description) -> None:
        self.description = description
        self.groups = {
            group.name: (index, group) for index, group in enumerate(description.panel.group)
        }
        self.laid: dict[str, list[Laid]] = {}
        self.open: list[str] = []
        self.problems: list[Problem] = []

    def refuse(self, path: Path, problem: Problem) -> None:
        self.problems.append(self.description.problem(path, problem))

    def lay(self, layers: tuple[AnyLayer, ...], path: Path) -> Iterator[Laid]:
        for index, layer in enumerate(layers):
            where: Path = (*path, index)
            if isinstance(layer, GroupLayer):
                yield from self.use(layer, where)
            else:
                turned = isinstance(layer, ClothLayer) and layer.face == "in"
                yield from itertools.repeat(Laid(layer, where, turned), layer.repeat)

    def use(self, use: GroupLayer, where: Path) -> Iterator[Laid]:
        wrong = self.wrong(use.group)
        if wrong is not None:
            self.refuse(where, wrong)
            return
        once = self.group(use.group)
        if use.face == "in":
            once = [_turn(laid) for laid in reversed(once)]
        for _ in range(use.repeat):
            yield from once

    def wrong(self, name: str) -> Problem | None:
        """Why a group of this name cannot be laid here, or None."""
        if name in self.open:
            return Problem(f"the group {name!r} contains itself", name)
        if name not in self.groups:
            known = ", ".join(self.groups) or "none is written yet: add a [[group]]"
            close = nearest(name, list(self.groups), 1)
            return Problem(f"there is no group {name!r}", name, known, "".join(close))
        if len(self.open) >= DEEPEST_GROUP:
            allowed = f"up to {DEEPEST_GROUP} groups in each other"
            return Problem("groups lie too deep in each other", name, allowed)
        return None

    def group(self, name: str) -> list[Laid]:
        if name not in self.laid:
            index, group = self.groups[name]
            self.open.append(name)
            self.laid[name] = _bounded(self.lay(group.layer, ("group", index, "layer")))
            self.open.pop()
        return self.laid[name]


def lay(description: Description) -> list[Laid]:
    """The layers of a described panel as they lie, from the outside face inwards.

    Raises :class:`InputError` for groups that are not there or contain themselves, and for more
    layers than a panel can have.
    """
    laying = _Laying(description)
    found = _bounded(laying.lay(description.panel.layer, ("layer",)))
    if description.panel.mirror and not laying.problems:
        found = _mirrored(found)
    if len(found) > MOST_LAYERS:
        too_many = Problem("the panel has too many layers", "", f"up to {MOST_LAYERS}")
        laying.refuse(found[MOST_LAYERS].path, too_many)
    if laying.problems:
        raise InputError(list(dict.fromkeys(laying.problems)))
    return found


def _mirrored(half: list[Laid]) -> list[Laid]:
    """The half laid, then the same in reverse as a hand lays it.

    A cloth of the second half comes from the same roll with its marked face towards the person,
    which is inwards: it is turned over, not reflected. The core or timber that ends the half is
    the middle of the panel and lies there as often as the half says.
    """
    backwards = half[::-1]
    if half[-1].kind in MIDDLE_KINDS:
        path = half[-1].path
        backwards = list(itertools.dropwhile(lambda laid: laid.path == path, backwards))
    return half + [
        Laid(laid.layer, laid.path, not laid.turned, mirrored=True) for laid in backwards
    ]


def beside(laid: list[Laid], index: int) -> tuple[Laid | None, Laid | None]:
    """The neighbours of a layer on its outer and its inner side."""
    outer = laid[index - 1] if index > 0 else None
    inner = laid[index + 1] if index + 1 < len(laid) else None
    return outer, inner


def soaking_faces(laid: list[Laid], index: int) -> tuple[bool, bool]:
    """Whether the outer and the inner face of a layer meet wet resin.

    A face next to a glue line or a coat takes what it takes from those, which count it whole.
    """
    outer, inner = beside(laid, index)
    return outer is not None and outer.wets, inner is not None and inner.wets


def glued_faces(laid: list[Laid], index: int) -> tuple[bool, bool]:
    """Whether the outer and the inner face of a layer lie in a glue line."""
    outer, inner = (one is not None and one.kind == "glue" for one in beside(laid, index))
    return outer, inner
