"""Cores: which one the words mean, its density, its kerfs."""

from __future__ import annotations

import re
from dataclasses import dataclass

from panelwright import units
from panelwright.errors import PanelwrightError, Problem, UnitError, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.layers import CoreLayer, PlywoodLayer, Surface
from panelwright.panels.laying import Laid
from panelwright.panels.resolve.context import Context, exact, given
from panelwright.panels.resolve.solids import (
    density_of,
    grain_angle,
    made_thickness,
    with_faces,
)
from panelwright.panels.resolve.stiffness import angle_input, core_stiffness
from panelwright.panels.resolve.strength import core_strength, wrinkling_share
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence, Input, Scope
from panelwright.units import Quantity

#: Classes of the table that a panel file names by a key of their own.
_OWN_KEYS = {"bulking_mat": "bulking_mat", "timber": "strips"}
#: Half of the 90 % range of a nominal core density. Common practice.
NOMINAL_DENSITY = 0.10
#: Two densities of one class that differ by less are the same core.
SAME_DENSITY = 0.01
_DENSITY = re.compile(
    r"(?P<number>\d+(?:\.\d+)?)\s*(?P<unit>kg\s*/\s*m\^?[3³]|lb\s*/\s*ft\^?[3³])?(?=$|[\s,])"
)


class DensityMissing(UnknownName):
    """A core of a known class comes in several densities and the words name none."""


@dataclass(frozen=True)
class Core:
    """What the words of a core mean: its nearest row, and the density they name."""

    name: str
    row: Row
    density: Quantity | None

    @property
    def is_of_its_row(self) -> bool:
        """Whether its density is the one that its row is named by, and no other near it."""
        named = _density_in(self.row.name)[0]
        if self.density is None or named is None:
            return self.density is None
        return abs(self.density.value / named.value - 1.0) < SAME_DENSITY


def read_core(text: str, catalogue: Catalogue) -> Core:
    """What a builder means by the words of a core: "PET foam 110", "balsa 150 kg/m3".

    Raises :class:`UnknownName` for a class that is not known or a density that it does not have.
    """
    row = catalogue.table("cores").get(text)
    if row is None or row.text("core_class") in _OWN_KEYS:
        return _from_words(text, catalogue)
    return Core(row.name, row, None)


def core_row(context: Context, layer: CoreLayer) -> Row | None:
    """The row of a core; None where it is not known, which its own layer reports."""
    try:
        return read_core(layer.core, context.catalogue).row
    except PanelwrightError:
        return None


def surface_class_of(context: Context, layer: Surface) -> str:
    """Which rows of the table of surfaces speak of a layer."""
    if isinstance(layer, CoreLayer):
        row = core_row(context, layer)
        return "" if row is None else row.text("core_class")
    return "plywood" if isinstance(layer, PlywoodLayer) else "timber"


def _from_words(text: str, catalogue: Catalogue) -> Core:
    density, rest = _density_in(text)
    core_class = catalogue.find("core_classes", rest)
    if core_class.id in _OWN_KEYS:
        hint = f'{_OWN_KEYS[core_class.id]} = "..."'
        raise UnknownName(Problem(f"{core_class.name} is not written as a core", text, hint=hint))
    if density is None:
        rows = catalogue.table("cores").where(core_class=core_class.id)
        return _without_density(text, core_class, rows)
    row = catalogue.core(rest, density.value)
    return Core(f"{core_class.name} {units.show(density.value, 'density')}", row, density)


def _density_in(text: str) -> tuple[Quantity | None, str]:
    """The density in the words, and the words without it; a bare number is kg/m3."""
    match = _DENSITY.search(text)
    if match is None:
        return None, text
    try:
        quantity = units.parse(f"{match['number']} {match['unit'] or 'kg/m3'}", "density")
    except UnitError as wrong:
        raise UnknownName(wrong.problems[0]) from None
    return quantity, " ".join((text[: match.start()] + text[match.end() :]).split())


def _without_density(text: str, core_class: Row, rows: tuple[Row, ...]) -> Core:
    if len(rows) == 1:
        return Core(rows[0].name, rows[0], None)
    known = [units.show(row.number("density") or 0.0, "density") for row in rows]
    problem = Problem(
        f"{core_class.name} comes in several densities and none is named",
        text,
        ", ".join(dict.fromkeys(known)),
        f"'{core_class.name} {known[0]}'",
    )
    raise DensityMissing(problem, tuple(row.name for row in rows[:3]))


def _kerfs(context: Context, layer: CoreLayer, laid: Laid) -> dict[str, Input]:
    found: dict[str, Input] = {}
    if layer.kerf is not None:
        depth = layer.kerf.depth or layer.thickness
        if depth.value > layer.thickness.value * (1.0 + 1e-9):
            context.refuse(
                (*laid.path, "kerf", "depth"),
                Problem(
                    "a kerf cannot be deeper than the core",
                    depth.text,
                    f"up to {layer.thickness.text}",
                ),
            )
        if layer.kerf.width.value >= layer.kerf.pitch.value:
            context.refuse(
                (*laid.path, "kerf", "width"),
                Problem(
                    "a kerf cannot be wider than the pitch of the cuts",
                    layer.kerf.width.text,
                    f"below {layer.kerf.pitch.text}",
                ),
            )
        found |= {
            "kerf_depth": given(depth, "depth of the kerfs"),
            "kerf_width": given(layer.kerf.width, "width of the kerfs", relative=0.1),
            "kerf_pitch": given(layer.kerf.pitch, "pitch of the kerfs"),
        }
    bends = {"bend_radius": layer.bend_radius, "bend_radius_across": layer.bend_radius_across}
    radii = {key: radius for key, radius in bends.items() if radius is not None}
    for key, radius in radii.items():
        if radius.value < layer.thickness.value:
            what = "a core cannot be bent tighter than it is thick"
            allowed = f"{layer.thickness.text} or more"
            context.refuse((*laid.path, key), Problem(what, radius.text, allowed))
    if radii:
        texts = " and ".join(radius.text for radius in radii.values())
        found["curvature"] = exact(sum(1.0 / r.value for r in radii.values()), f"bent to {texts}")
    if found:
        resin = context.resin
        found["kerf_resin_density"] = resin.input("density_cured", cause=f"density of {resin.name}")
    return found


def _nominal(core: Core, cause: str, density: Quantity) -> Input:
    """The density in the words of a core; what was weighed of that very core before the words."""
    if core.is_of_its_row and core.row.evidence("density") is Evidence.MEASURED:
        return core.row.input("density", cause=cause)
    return given(density, cause, scope=Scope.MATERIAL, relative=NOMINAL_DENSITY)


def resolve_core(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """Foam, balsa, cork or honeycomb, with its kerfs."""
    layer = laid[index].layer
    assert isinstance(layer, CoreLayer)
    core = read_core(layer.core, context.catalogue)
    row = core.row
    honeycomb = row.text("form") == "honeycomb"
    if layer.angle is not None and not honeycomb:
        what = f"{core.name} has no direction in its plane, so an angle says nothing"
        context.refuse((*laid[index].path, "angle"), Problem(what, layer.angle.text))
    cause = f"density of {core.name}"
    density = (
        density_of(context, layer, row, core.density.value if core.density else None)
        if layer.density is not None or core.density is None
        else _nominal(core, cause, core.density)
    )
    inputs = {
        "solid_thickness": made_thickness(laid, index, core.name),
        "solid_density": density,
        **_kerfs(context, layer, laid[index]),
        **core_stiffness(context, row, density.value),
        **core_strength(context, row, density.value),
        "wrinkling_share": wrinkling_share(context),
        "angle": angle_input(grain_angle(layer), "sheet", core.name),
    }
    body = StackLayer(
        layer.name or core.name,
        "core",
        index,
        inputs,
        grain_angle(layer) if honeycomb else None,
        form=row.text("core_class"),
        resin=context.resin.name,
        material=core.name,
    )
    return with_faces(context, laid, index, [body], row.text("core_class"))
