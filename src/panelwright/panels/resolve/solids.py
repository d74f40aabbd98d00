"""Timber, plywood and sheets: density, thickness, edges and what their faces drink."""

from __future__ import annotations

import functools
import itertools
import math
from dataclasses import replace

from panelwright import units
from panelwright.errors import Problem, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.layers import (
    AnyLayer,
    BoardLayer,
    BulkingMatLayer,
    DampingLayer,
    LaminaLayer,
    PlywoodLayer,
    StripsLayer,
    Surface,
    Timber,
    VeneerLayer,
)
from panelwright.panels.laying import Laid, glued_faces, soaking_faces
from panelwright.panels.resolve.context import Context, exact, given, share_of, times
from panelwright.panels.resolve.stiffness import (
    angle_input,
    core_stiffness,
    film_stiffness,
    grain_inputs,
    lamina_stiffness,
    rubber_stiffness,
    timber_stiffness,
)
from panelwright.panels.resolve.strength import core_strength, lamina_strength, timber_strength
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence, Input, Scope

STRIP_GLUE = "epoxy_strip"
HANDBOOK_MOISTURE = 0.12
GREEN_MOISTURE = 0.30
#: Half of the 90 % range of a thickness written without one, m. Common practice.
TOLERANCE = {
    "strips": 3e-4,
    "board": 5e-4,
    "veneer": 5e-5,
    "plywood": 3e-4,
    "core": 3e-4,
    "bulking_mat": 2e-4,
    "damping": 1e-4,
    "lamina": 0.0,
}
#: A weighed density so many times more or less than the usual one is suspicious.
UNUSUAL = 1.6
#: Half of the 90 % range of a density, a soak or a coat that was written without one.
WEIGHED_DENSITY, SPOKEN_SOAK, SPOKEN_COAT = 0.03, 0.25, 0.15


#: Layers with a thickness of their own, that a tolerance belongs to.
Sheet = Surface | BulkingMatLayer | DampingLayer | LaminaLayer


def made_thickness(laid: list[Laid], index: int, what: str) -> Input:
    """The thickness of a solid layer as made, with the usual tolerance where none was written.

    Alike layers with nothing between them are one piece written in parts: the piece has the
    tolerance once, and each part its share. ``what`` it is made of names the cause.
    """
    layer = laid[index].layer
    assert isinstance(layer, Sheet)
    share = layer.thickness.value / _piece(laid, index)
    return given(
        layer.thickness,
        f"made thickness of {what}",
        scope=Scope.MATERIAL,
        half_width=share * TOLERANCE[layer.kind],
    )


def _piece(laid: list[Laid], index: int) -> float:
    """Thickness of the alike layers that lie on each other around one, m."""
    parts = [laid[index].layer]
    for side in (laid[index + 1 :], laid[:index][::-1]):
        parts += itertools.takewhile(
            functools.partial(_alike, parts[0]), (one.layer for one in side)
        )
    return math.fsum(part.thickness.value for part in parts if isinstance(part, Sheet))


def _alike(layer: AnyLayer, other: AnyLayer) -> bool:
    """Whether two layers are written in the same words but for name, note and thickness."""
    if layer is other:
        return True
    if not isinstance(other, Sheet) or other.kind != layer.kind:
        return False
    own = {key: getattr(layer, key) for key in ("name", "note", "repeat", "thickness")}
    return bool(other.model_copy(update=own) == layer)


def density_of(context: Context, layer: Surface, row: Row, usual: float | None) -> Input:
    """The density of a solid layer: weighed, else that of its row. ``usual``: of such a layer."""
    cause = f"density of {row.name}"
    if layer.density is None:
        return row.input("density", cause=cause)
    weighed = layer.density
    if usual and not 1.0 / UNUSUAL <= weighed.value / usual <= UNUSUAL:
        shown = units.show(usual, "density")
        name = getattr(layer, layer.kind)
        context.doubt(f"{weighed.text} is unusual for {name}: it has about {shown}. Weigh it again")
    return given(weighed, cause, scope=Scope.MATERIAL, relative=WEIGHED_DENSITY)


def _gravity(row: Row) -> dict[str, Input]:
    """Specific gravity of a species and the moisture it is tabulated at: the 12 % row first."""
    cause = f"density of {row.name}"
    for column, moisture in (
        ("specific_gravity_12", HANDBOOK_MOISTURE),
        ("specific_gravity_green", GREEN_MOISTURE),
    ):
        if row.number(column) is not None:
            return {
                "tabulated_gravity": row.input(column, cause=cause),
                "tabulated_moisture": exact(moisture, f"moisture of the tabulated {column}"),
            }
    raise UnknownName(
        Problem(f"the density of {row.name} is not known", hint='weigh it and give density = "..."')
    )


def _timber(context: Context, layer: Timber, row: Row, what: str) -> dict[str, Input]:
    """Density, moisture and stiffness of a species; a weighed density carries the stiffness."""
    gravity = _gravity(row)
    usual = 1000.0 * (1.0 + HANDBOOK_MOISTURE) * gravity["tabulated_gravity"].value
    weighed = (
        {} if layer.density is None else {"solid_density": density_of(context, layer, row, usual)}
    )
    if weighed:
        # what was weighed no longer varies with the species
        middle = gravity["tabulated_gravity"]
        gravity["tabulated_gravity"] = exact(middle.value, middle.source, middle.evidence)
    return {
        **gravity,
        **weighed,
        "moisture": _moisture(context, layer),
        **timber_stiffness(context, row, bool(weighed)),
        **timber_strength(context, row),
        **grain_inputs(layer.ring_angle, layer.grain_slope, layer.knots),
        "angle": angle_input(
            grain_angle(layer), "timber", f"{what} laid at {grain_angle(layer):g}°"
        ),
    }


def _moisture(context: Context, layer: Surface) -> Input:
    if layer.moisture is None:
        return context.timber_moisture
    return given(layer.moisture, "moisture of the timber", scope=Scope.PROCESS, half_width=0.01)


def _surface_row(context: Context, surface_class: str) -> Row | None:
    for row in context.catalogue.table("core_surfaces").where(core_class=surface_class):
        if context.process.id in row.text("processes").split(";"):
            return row
    return None


def soak_of(context: Context, layer: Surface, surface_class: str) -> Input | None:
    """Resin below one face; None where nothing is known of it."""
    surface = _surface_row(context, surface_class)
    if layer.soak is not None:
        return given(layer.soak, "soak", scope=Scope.PROCESS, relative=SPOKEN_SOAK)
    if surface is None:
        return None
    return surface.input("soak", cause=f"soak into {surface.name}", scope=Scope.PROCESS)


def _seal_coat(context: Context, layer: Surface, surface_class: str, soak: Input) -> Input:
    """Resin of the seal coat on one face; where nothing is known, just what sinks in."""
    surface = _surface_row(context, surface_class)
    if layer.seal_coat is not None:
        return given(layer.seal_coat, "seal coat", scope=Scope.PROCESS, relative=SPOKEN_COAT)
    if surface is not None and surface.number("seal_coat") is not None:
        return surface.input("seal_coat", cause="seal coat", scope=Scope.PROCESS)
    return soak


def sinking(coat: Input, soak: Input) -> dict[str, Input]:
    """How a coat parts into what sinks below the face and what stays on it: no more than all."""
    sunk = coat if coat.value < soak.value else soak
    return {"film_applied": coat, "film_sunk": sunk, "soak": sunk}


def _film(context: Context, number: int, coat: Input, soak: Input) -> StackLayer:
    resin = context.resin
    return StackLayer(
        "seal film",
        "film",
        number,
        {
            **sinking(coat, soak),
            "film_kept": exact(1.0, "a seal film is not sanded off"),
            "film_density": resin.input("density_cured", cause=f"density of {resin.name}"),
            **film_stiffness(resin),
        },
        film="seal film",
        resin=resin.name,
        film_product=resin.name,
    )


def with_faces(
    context: Context, laid: list[Laid], index: int, body: list[StackLayer], surface_class: str
) -> list[StackLayer]:
    """The body of a solid layer with its soak, and its seal films where they stay apart.

    Wet on wet, what does not sink in becomes resin of the cloth above and is counted there. A seal
    coat that has cured, or that nothing covers, stays as a film.
    """
    layer = laid[index].layer
    assert isinstance(layer, Surface)
    soak = soak_of(context, layer, surface_class)
    wet, glued = soaking_faces(laid, index), glued_faces(laid, index)
    if soak is None:
        if any(wet):
            context.doubt(
                f"layer {index + 1}: how much resin {body[0].name} drinks is not known and is left "
                f'out; weigh a sample and give soak = "..."'
            )
        return body
    filmed = [layer.seal == "cured" or (layer.seal == "wet" and not face) for face in wet]
    drinks = [
        not filmed[side] and (wet[side] or (glued[side] and layer.soak is not None))
        for side in (0, 1)
    ]
    if any(drinks):
        soaked = {**body[0].inputs, "soak": times(soak, sum(drinks))}
        body = [replace(body[0], inputs=soaked), *body[1:]]
    film = _film(context, index, _seal_coat(context, layer, surface_class, soak), soak)
    outer, inner = ([film] if face else [] for face in filmed)
    return [*outer, *body, *inner]


def _edges(
    context: Context, layer: StripsLayer, laid: Laid, number: int
) -> tuple[dict[str, Input], str]:
    cover = layer.strip.cover
    if cover is None:
        context.doubt(
            f"layer {number + 1}: without what one strip covers, the glue between strips is left "
            f'out; give strip = {{ cover = "20 mm" }}'
        )
        return {}, ""
    glue = context.catalogue.table("glues").row(STRIP_GLUE)
    if layer.glue is not None:
        glue = context.row("glues", layer.glue, (*laid.path, "glue"), glue)
    spread = (
        glue.input("spread", cause="spread of the strip glue", scope=Scope.PROCESS)
        if layer.glue_spread is None
        else given(
            layer.glue_spread, "spread of the strip glue", scope=Scope.PROCESS, relative=0.25
        )
    )
    kept = (
        glue.input("kept_share", cause="strip glue that is not squeezed out", scope=Scope.PROCESS)
        if layer.glue_kept is None
        else given(layer.glue_kept, "strip glue that is not squeezed out", scope=Scope.PROCESS)
    )
    found = {"edge_cover": given(cover, "cover"), "edge_spread": spread, "edge_kept": kept}
    return found, glue.name


def grain_angle(layer: Surface | LaminaLayer) -> float:
    """Direction of the grain, the ribbon or axis 1, degrees from the length."""
    return 0.0 if layer.angle is None else layer.angle.value


def _check_strip(context: Context, layer: StripsLayer, laid: Laid) -> None:
    width, cover = layer.strip.width, layer.strip.cover
    if width is not None and cover is not None and cover.value > width.value:
        context.refuse(
            (*laid.path, "strip", "cover"),
            Problem(
                "a strip cannot cover more than its width",
                f"cover {cover.text}, width {width.text}",
                f"up to {width.text}",
            ),
        )


def resolve_strips(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """Edge-glued strips: one orthotropic layer with its edge glue, soak and seal films."""
    layer = laid[index].layer
    assert isinstance(layer, StripsLayer)
    row = context.catalogue.find("timbers", layer.strips)
    _check_strip(context, layer, laid[index])
    edges, product = _edges(context, layer, laid[index], index)
    what = f"{row.name} strips"
    inputs = {
        "solid_thickness": made_thickness(laid, index, what),
        **_timber(context, layer, row, what),
        **edges,
    }
    body = StackLayer(
        layer.name or what,
        "strips",
        index,
        inputs,
        grain_angle(layer),
        resin=context.resin.name,
        edge_product=product,
        material=what,
    )
    return with_faces(context, laid, index, [body], "timber")


def resolve_timber(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """A sawn board or a veneer."""
    layer = laid[index].layer
    assert isinstance(layer, BoardLayer | VeneerLayer)
    words = layer.board if isinstance(layer, BoardLayer) else layer.veneer
    row = context.catalogue.find("timbers", words)
    what = f"{row.name} {layer.kind}"
    inputs = {
        "solid_thickness": made_thickness(laid, index, what),
        **_timber(context, layer, row, what),
    }
    body = StackLayer(
        layer.name or what,
        layer.kind,
        index,
        inputs,
        grain_angle(layer),
        resin=context.resin.name,
        material=what,
    )
    return with_faces(context, laid, index, [body], "timber")


def veneers(thickness: float, veneer_thickness: float) -> int:
    """How many veneers a plywood has: the odd number, at least three, that fits best."""
    return max(3, 2 * round((thickness / veneer_thickness - 1.0) / 2.0) + 1)


def resolve_plywood(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """Plywood as its veneers, grain crossed; density that of the finished sheet."""
    layer = laid[index].layer
    assert isinstance(layer, PlywoodLayer)
    row = context.catalogue.find("plywoods", layer.plywood)
    thickness = made_thickness(laid, index, row.name)
    density = density_of(context, layer, row, row.number("density"))
    count = veneers(thickness.value, row.number("veneer_thickness") or thickness.value / 3.0)
    species = context.catalogue.table("timbers").row(row.text("species"))
    shared = {
        "solid_thickness": share_of(thickness, 1.0 / count, "the sheet"),
        "solid_density": density,
        "moisture": _moisture(context, layer),
        **_gravity(species),
        **timber_stiffness(context, species, weighed=False),
        **timber_strength(context, species),
        # glue and pressing make the sheet heavier than its timber without making it stiffer
        "gravity_power": exact(0.0, "density of the sheet does not carry its stiffness"),
    }
    grain = grain_angle(layer)
    directions = [grain if veneer % 2 == 0 else grain + 90.0 for veneer in range(count)]
    body = [
        StackLayer(
            layer.name or row.name,
            "plywood",
            index,
            {**shared, "angle": angle_input(direction, "sheet", row.name)},
            direction,
            resin=context.resin.name,
            material=row.name,
        )
        for direction in directions
    ]
    return with_faces(context, laid, index, body, "plywood")


#: Dry mass of a bulking mat over its volume once filled, kg/m3: the rest is resin.
DRY_BULKING_MAT = Input(
    30.0,
    15.0,
    50.0,
    "dry mat of 3 mm weighs about 90 g/m2, common practice",
    Evidence.PRACTICE,
    "dry mass of the bulking mat",
)


def bulking_mat(catalogue: Catalogue, words: str) -> Row:
    """The row that the words mean, by its own name or by that of its class.

    Raises :class:`UnknownName`.
    """
    cores = catalogue.table("cores")
    row = cores.get(words) or cores.where(core_class=catalogue.find("core_classes", words).id)[0]
    if row.text("core_class") != "bulking_mat":
        problem = Problem(f"{row.name} is not a bulking mat", words, hint=f'core = "{words}"')
        raise UnknownName(problem)
    return row


def resolve_bulking_mat(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """A mat that the resin fills: its dry mass and the resin in it."""
    layer = laid[index].layer
    assert isinstance(layer, BulkingMatLayer)
    row = bulking_mat(context.catalogue, layer.bulking_mat)
    cause = f"density of {row.name}"
    filled = (
        row.input("density", cause=cause)
        if layer.density is None
        else given(layer.density, cause, scope=Scope.MATERIAL, relative=WEIGHED_DENSITY)
    )
    dry = DRY_BULKING_MAT.value
    fill = replace(
        filled,
        value=max(filled.value - dry, 0.0),
        low=max(filled.low - dry, 0.0),
        high=max(filled.high - dry, 0.0),
        source=f"filled density less the dry mat; {filled.source}",
    )
    body = StackLayer(
        layer.name or row.name,
        "bulking mat",
        index,
        {
            "solid_thickness": made_thickness(laid, index, row.name),
            "solid_density": DRY_BULKING_MAT,
            "fill_density": fill,
            **core_stiffness(context, row, filled.value),
            **core_strength(context, row, filled.value),
        },
        resin=context.resin.name,
    )
    return [body]


def resolve_damping(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """A damping layer: thickness and density as given."""
    layer = laid[index].layer
    assert isinstance(layer, DampingLayer)
    cause = f"density of {layer.damping}"
    density = given(layer.density, cause, scope=Scope.MATERIAL, relative=WEIGHED_DENSITY)
    inputs = {
        "solid_thickness": made_thickness(laid, index, layer.damping),
        "solid_density": density,
        **rubber_stiffness(layer.damping),
    }
    return [StackLayer(layer.name or layer.damping, "damping layer", index, inputs)]


def resolve_lamina(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """A layer given by its constants, as they are."""
    layer = laid[index].layer
    assert isinstance(layer, LaminaLayer)
    name = layer.name or "lamina"
    density = given(layer.lamina.density, f"density of {name}", scope=Scope.MATERIAL)
    inputs = {
        "solid_thickness": made_thickness(laid, index, name),
        "solid_density": density,
        **lamina_stiffness(layer.lamina, name),
        **lamina_strength(layer.lamina, name),
        "angle": angle_input(grain_angle(layer), "lamina", name),
    }
    return [StackLayer(name, "lamina", index, inputs, grain_angle(layer))]
