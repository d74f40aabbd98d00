"""What is done in one go: which layers, on which face, with how much of which mix."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from panelwright.fabrication.ledger import Ledger
from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build
from panelwright.panels.laying import Laid, soaking_faces
from panelwright.panels.stack import StackLayer

TIMBER_KINDS = frozenset({"strips", "board", "veneer", "plywood"})
BODY_KINDS = TIMBER_KINDS | {"core"}
POURED = frozenset({"infusion", "closed_mould"})


class Kind(StrEnum):
    """What sort of work a stage is."""

    PLANK = "planking"
    FAIR = "fairing"
    GLUE = "gluing"
    SEAL = "sealing"
    LAY = "laying up"
    POUR = "filling"
    COAT = "coating"


@dataclass(frozen=True)
class Stage:
    """One go. ``mixes`` : kg of mix for each m2 laid, by product; ``thickness`` of its plies, m.

    ``layers`` : numbers of the layers as laid, from 0 outside; ``plies`` : how many pieces of cloth
    lie over each other; ``over`` : what it lies on that holds air, "timber" or "core" or nothing.
    """

    kind: Kind
    name: str
    face: str
    layers: tuple[int, ...]
    plies: int = 0
    thickness: float = 0.0
    fibre_fraction: float = 0.0
    over: str = ""
    mixes: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class _Plan:
    """Layers as laid, parted at what stands in the middle."""

    laid: Sequence[Laid]
    first: int  # of the bodies; past the end where there is none
    last: int

    @property
    def has_body(self) -> bool:
        return self.first <= self.last

    def of(self, kinds: Iterable[str], face: str) -> tuple[int, ...]:
        """Numbers of the layers of some kinds on a face, ``middle`` between bodies."""
        wanted = frozenset(kinds)
        return tuple(
            number
            for number, one in enumerate(self.laid)
            if one.kind in wanted and self.face(number) == face
        )

    def is_glued(self, face: str) -> bool:
        """Whether what lies on a face of the body is made first and glued on."""
        beside = self.first - 1 if face == "outside" else self.last + 1
        return self.has_body and 0 <= beside < len(self.laid) and self.laid[beside].kind == "glue"

    def face(self, number: int) -> str:
        """Where a layer lies."""
        if number < self.first:
            return "outside"
        return "inside" if number > self.last else "middle"


_CLOTH = ("cloth", "bulking_mat")


def _plan(laid: Sequence[Laid]) -> _Plan:
    bodies = [number for number, one in enumerate(laid) if one.kind in BODY_KINDS]
    return _Plan(laid, bodies[0], bodies[-1]) if bodies else _Plan(laid, len(laid), -1)


def _body_kind(plan: _Plan) -> str:
    """What the cloth lies on: "timber", "core" or nothing."""
    if not plan.has_body:
        return ""
    return "timber" if plan.laid[plan.first].kind in TIMBER_KINDS else "core"


def _is_gelcoat(one: Laid) -> bool:
    return "gel" in str(getattr(one.layer, "coat", "")).lower()


def _coats(plan: _Plan, face: str, *, gel: bool) -> list[Stage]:
    """Coats of one face, each a stage of its own."""
    found = [n for n in plan.of(("coat",), face) if _is_gelcoat(plan.laid[n]) == gel]
    ordered = sorted(found, reverse=face == "outside")  # from the laminate outwards
    names = [str(getattr(plan.laid[n].layer, "coat", "coat")) for n in ordered]
    return [
        Stage(Kind.COAT, f"{name[:1].upper()}{name[1:]}, {face}", face, (number,))
        for name, number in zip(names, ordered, strict=True)
    ]


def _laying(plan: _Plan, face: str, name: str) -> list[Stage]:
    cloth = plan.of(_CLOTH, face)
    over = "" if plan.is_glued(face) else _body_kind(plan)
    return [Stage(Kind.LAY, name, face, cloth, len(cloth), over=over)] if cloth else []


def _gluing(plan: _Plan) -> list[Stage]:
    glue = tuple(n for n, one in enumerate(plan.laid) if one.kind == "glue")
    if not glue:
        return []
    name = "Glue together" if _body_kind(plan) != "core" else "Bond the core"
    return [Stage(Kind.GLUE, name, "", glue)]


def _planking(plan: _Plan) -> list[Stage]:
    strips = tuple(n for n, one in enumerate(plan.laid) if one.kind == "strips")
    return [Stage(Kind.PLANK, "Plank, fair the outside", "", strips)] if strips else []


def _turning(plan: _Plan) -> list[Stage]:
    """Before the second face of a planked part."""
    if not _planking(plan) or not plan.of((*_CLOTH, "coat"), "inside"):
        return []
    return [Stage(Kind.FAIR, "Turn over, fair the inside", "inside", ())]


def _sealing(plan: _Plan, face: str) -> list[Stage]:
    """The seal coat of a face, where it is to cure before it is glassed over."""
    number = plan.first if face == "outside" else plan.last
    if not plan.has_body or getattr(plan.laid[number].layer, "seal", None) != "cured":
        return []
    return [Stage(Kind.SEAL, f"Seal, {face}", face, (), over=_body_kind(plan))]


def _in_order(plan: _Plan, process: str) -> list[Stage]:
    """Stages in the order in which they are done, without their mixes."""
    gel = [*_coats(plan, "outside", gel=True), *_coats(plan, "inside", gel=True)]
    outer, inner = _coats(plan, "outside", gel=False), _coats(plan, "inside", gel=False)
    if process in POURED:
        cloth = tuple(n for n, one in enumerate(plan.laid) if one.kind in _CLOTH)
        pour = Stage(Kind.POUR, "Fill", "", cloth, len(cloth), over=_body_kind(plan))
        return [*gel, *_planking(plan), *_gluing(plan), pour, *outer, *inner]
    if not plan.has_body:
        return [*gel, *_laying(plan, "outside", "Laminate"), *_gluing(plan), *outer, *inner]
    middle = _laying(plan, "middle", "Middle plies")
    outside, inside = (
        [*_sealing(plan, face), *_laying(plan, face, face.capitalize())]
        for face in ("outside", "inside")
    )
    if _body_kind(plan) == "timber":
        wood = [*_planking(plan), *middle, *_gluing(plan)]
        return [*gel, *wood, *outside, *outer, *_turning(plan), *inside, *inner]
    return [*gel, *_planking(plan), *outside, *middle, *inside, *_gluing(plan), *outer, *inner]


def stages(
    laid: Sequence[Laid],
    layers: Sequence[StackLayer],
    build: Build,
    books: Ledger,
    process: str,
    main: str,
    pot_loss: float,
    depth: float,
) -> list[Stage]:
    """The stages of a panel in order, each with what it takes of every mix.

    laid : layers as described; layers, build : the stack at its middle values, ``(L,)``; books :
    its ledger; process : id of the way it is made; main : the panel's own resin; pot_loss : share
    on top; depth : most that is laid and cured in one go, m. The mixes of all stages together are
    those of the ledger.
    """
    plan = _plan(laid)
    ordered = _in_order(plan, process) or [Stage(Kind.SEAL, "Seal", "", ())]
    found = [part for stage in ordered for part in _split(stage, layers, build, depth)]
    laid_mass = _mixes(plan, found, layers, build)
    away = float(books.to_mix) / (1.0 + pot_loss) - math.fsum(
        mass for mixes in laid_mass for mass in mixes.values()
    )
    takers = [n for n, stage in enumerate(found) if stage.kind in {Kind.LAY, Kind.POUR}]
    for number in takers:
        mixes = laid_mass[number]
        mixes[main] = mixes.get(main, 0.0) + away / len(takers)
    return [
        replace(
            stage, mixes={name: mass * (1.0 + pot_loss) for name, mass in mixes.items() if mass}
        )
        for stage, mixes in zip(found, laid_mass, strict=True)
        if mixes or stage.kind in {Kind.PLANK, Kind.FAIR}
    ]


def _split(stage: Stage, layers: Sequence[StackLayer], build: Build, depth: float) -> list[Stage]:
    """A lay-up in as many goes as its thickness asks for."""
    of_layer = {
        number: _sum(build.layer_thickness, [j for j, la in enumerate(layers) if la.laid == number])
        for number in stage.layers
    }
    whole = math.fsum(of_layer.values())
    goes = max(1, math.ceil(whole / depth - 1e-9)) if stage.kind is Kind.LAY and depth else 1
    each = math.ceil(len(stage.layers) / goes) if stage.layers else 1
    parts = [stage.layers[start : start + each] for start in range(0, len(stage.layers), each)]
    if len(parts) < 2:
        return [_weighed(stage, layers, build, whole)]
    return [
        _weighed(
            replace(
                stage,
                name=f"{stage.name}, go {number + 1} of {len(parts)}",
                layers=part,
                plies=len(part),
                over=stage.over if number == 0 else "",
            ),
            layers,
            build,
            math.fsum(of_layer[layer] for layer in part),
        )
        for number, part in enumerate(parts)
    ]


def _weighed(stage: Stage, layers: Sequence[StackLayer], build: Build, thickness: float) -> Stage:
    """The stage with its thickness and how much of it is fibre by mass."""
    rows = [j for j, la in enumerate(layers) if la.laid in stage.layers and la.kind == "cloth"]
    fibre, wet = _sum(build.fibre, rows), _sum(build.layer_mass, rows)
    return replace(stage, thickness=thickness, fibre_fraction=fibre / wet if wet else 0.0)


def _sum(values: Array, rows: Sequence[int]) -> float:
    return math.fsum(float(values[row]) for row in rows)


def _mixes(
    plan: _Plan, found: Sequence[Stage], layers: Sequence[StackLayer], build: Build
) -> list[dict[str, float]]:
    """What each stage lays of each product, kg/m2, before consumables and loss."""
    mixes: list[dict[str, float]] = [{} for _ in found]

    def put(stage: int | None, product: str, mass: float) -> None:
        if stage is not None and mass > 0.0:
            mixes[stage][product] = mixes[stage].get(product, 0.0) + mass

    for row, layer in enumerate(layers):
        before = any(la.laid == layer.laid and not la.film for la in layers[row + 1 :])
        for stage, share in _stages_of(plan, found, layer, before=before):
            poured = build.cloth_resin[row] + build.fill_resin[row] + build.soak[row]
            put(stage, layer.resin, share * float(poured + build.kerf[row]))
            put(stage, layer.film_product, share * float(build.film_laid[row]))
        put(_planked(found, layer.laid), layer.edge_product, float(build.edge_laid[row]))
    return mixes


def _planked(found: Sequence[Stage], number: int) -> int | None:
    return next((n for n, stage in enumerate(found) if number in stage.layers), None)


def _stages_of(
    plan: _Plan, found: Sequence[Stage], layer: StackLayer, *, before: bool
) -> list[tuple[int | None, float]]:
    """The stages in which a stack layer takes its resin, each with its share.

    before : the layer is a film that lies outside its body.
    """
    if layer.kind not in BODY_KINDS and layer.film != "seal film":
        return [(_planked(found, layer.laid), 1.0)]
    outer, inner = _wetting(found, "outside"), _wetting(found, "inside")
    if layer.film:
        face = "outside" if before else "inside"
        seals = [n for n, st in enumerate(found) if st.kind is Kind.SEAL and st.face == face]
        return [(seals[0] if seals else (outer if before else inner), 1.0)]
    wet = soaking_faces(list(plan.laid), layer.laid)
    faces = [stage for stage, is_wet in zip((outer, inner), wet, strict=True) if is_wet]
    if not faces:
        faces = [outer]
    return [(stage, 1.0 / len(faces)) for stage in faces]


def _wetting(found: Sequence[Stage], face: str) -> int | None:
    """The stage that first brings resin to a face of the body; any that wets, else the last."""
    wets = [n for n, stage in enumerate(found) if stage.kind in {Kind.LAY, Kind.POUR}]
    own = [n for n in wets if found[n].face in {face, ""}]
    others = (n for n, stage in enumerate(found) if stage.kind is not Kind.FAIR)
    return next(iter(own or wets or others), None)
