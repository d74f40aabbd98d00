"""One panel from description to stack layers: all problems at once, all assumptions said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from panelwright import units
from panelwright.errors import InputError, PanelwrightError
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics.moisture import equilibrium_moisture
from panelwright.panels.description import Description, Panel
from panelwright.panels.laying import Laid, lay
from panelwright.panels.resolve.cloth import resolve_cloth
from panelwright.panels.resolve.context import Context, exact, given
from panelwright.panels.resolve.cores import resolve_core
from panelwright.panels.resolve.films import resolve_coat, resolve_glue
from panelwright.panels.resolve.solids import (
    resolve_bulking_mat,
    resolve_damping,
    resolve_lamina,
    resolve_plywood,
    resolve_strips,
    resolve_timber,
)
from panelwright.panels.spread import model_error
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence, Input, Scope

#: Moisture to glue timber at, where the air of the shop is not given. Common practice.
USUAL_MOISTURE = (0.10, 0.08, 0.12)
#: Wetting and drying differ by one to two points: half of the 90 % range.
MOISTURE_HYSTERESIS = 0.02

_RESOLVERS: dict[str, Callable[[Context, list[Laid], int], list[StackLayer]]] = {
    "cloth": resolve_cloth,
    "strips": resolve_strips,
    "board": resolve_timber,
    "veneer": resolve_timber,
    "plywood": resolve_plywood,
    "core": resolve_core,
    "bulking_mat": resolve_bulking_mat,
    "glue": resolve_glue,
    "coat": resolve_coat,
    "damping": resolve_damping,
    "lamina": resolve_lamina,
}


@dataclass(frozen=True)
class Resolved:
    """A panel in numbers: its stack layers and what the process takes, each with its source."""

    description: Description
    laid: list[Laid]
    layers: list[StackLayer]
    bench: dict[str, Input]
    model_errors: dict[str, Input]  # by quantity: the factor a result may be off by
    process: Row
    resin: Row
    assumed: list[str]

    def inputs(self) -> list[Input]:
        """All inputs of the panel."""
        of_layers = [given for layer in self.layers for given in layer.inputs.values()]
        return [*of_layers, *self.bench.values(), *self.model_errors.values()]


def _timber_moisture(panel: Panel) -> Input:
    cause = "moisture of the timber"
    if panel.shop is None:
        middle, low, high = USUAL_MOISTURE
        source = "8 to 12 % when glued, common practice"
        return Input(middle, low, high, source, Evidence.PRACTICE, cause, Scope.PROCESS)
    air = panel.shop
    middle = float(equilibrium_moisture(air.temperature.value, min(air.humidity.value, 0.98)))
    source = f"settled at {air.temperature.text}, {air.humidity.text}: fpl-rn-0268"
    low = max(middle - MOISTURE_HYSTERESIS, 0.0)
    high = middle + MOISTURE_HYSTERESIS
    return Input(middle, low, high, source, Evidence.ESTIMATED, cause, Scope.PROCESS)


def _context(description: Description, catalogue: Catalogue) -> Context:
    """Process and resin of the panel.

    Where one is not known the usual one stands in, so that the layers are looked at all the same
    and every problem comes out at once.
    """
    problems = []
    found: dict[str, Row] = {}
    for key, table in (("process", "processes"), ("resin", "resins")):
        try:
            found[key] = catalogue.find(table, getattr(description.panel, key))
        except PanelwrightError as wrong:
            problems += [description.problem((key,), problem) for problem in wrong.problems]
            found[key] = catalogue.find(table, Panel.model_fields[key].default)
    moisture = _timber_moisture(description.panel)
    return Context(description, catalogue, found["process"], found["resin"], moisture, problems)


PEEL_FACES = {"none": 0, "outside": 1, "inside": 1, "both": 2}


def _bench(context: Context, has_cloth: bool) -> dict[str, Input]:
    panel, process = context.panel, context.process
    columns = {
        "peel_ply_resin": "resin kept by peel ply",
        "bleeder_resin": "resin kept by the bleeder",
        "mesh_resin": "resin kept by the mesh",
        "lines_resin": "resin left in lines and trap",
        "cloth_waste": "cloth cut away",
        "core_waste": "sheet cut away",
        "strip_spare": "spare strips",
        "pot_loss": "pot and tool loss",
    }
    found = {
        column: process.input(column, cause=cause, scope=Scope.PROCESS)
        for column, cause in columns.items()
        if process.number(column) is not None
    }
    taken = panel.resin_taken
    said_by = {
        "pot_loss": panel.pot_loss,
        "peel_ply_resin": taken.peel_ply,
        "bleeder_resin": taken.bleeder,
        "mesh_resin": taken.mesh,
        "lines_resin": taken.lines,
    }
    for column, quantity in said_by.items():
        if quantity is not None:
            found[column] = given(quantity, columns[column], scope=Scope.PROCESS)
    if has_cloth and taken.bleeder is None and process.number("bleeder_resin"):
        drinks = units.show(found["bleeder_resin"].value, "cloth_mass")
        context.doubt(
            f"the bleeder is taken to drink {drinks}; where nothing bleeds, say "
            f'resin_taken = {{ bleeder = "0 g/m2" }}'
        )
    faces = int(process.number("peel_ply_sides") or 0)
    said = f"usual for {process.name}"
    if panel.peel_ply is not None:
        faces, said = PEEL_FACES[panel.peel_ply], f"given: peel_ply = {panel.peel_ply!r}"
    found["peel_ply_faces"] = exact(float(faces if has_cloth else 0), said)
    found["bag_faces"] = exact(1.0 if has_cloth else 0.0, "one face lies under the bag")
    return found


def resolve(description: Description, catalogue: Catalogue) -> Resolved:
    """Look up everything a described panel names.

    Raises :class:`InputError` with every problem found, each at its line.
    """
    context = _context(description, catalogue)
    laid = lay(description)
    layers: list[StackLayer] = []
    for index, one in enumerate(laid):
        try:
            layers += _RESOLVERS[one.kind](context, laid, index)
        except PanelwrightError as wrong:
            for problem in wrong.problems:
                context.refuse((*one.path, one.kind), problem)
    if context.problems:
        raise InputError(list(dict.fromkeys(context.problems)))
    _say_moisture(context, laid)
    _say_wrinkling(context, layers)
    bench = _bench(context, any(layer.kind == "cloth" for layer in layers))
    errors = {row.id: model_error(row) for row in catalogue.table("model_errors")}
    return Resolved(
        description, laid, layers, bench, errors, context.process, context.resin, context.doubts
    )


def _say_moisture(context: Context, laid: list[Laid]) -> None:
    timber = [one for one in laid if one.kind in {"strips", "board", "veneer", "plywood"}]
    unsaid = [one for one in timber if getattr(one.layer, "moisture", None) is None]
    if unsaid:
        shown = units.show(context.timber_moisture.value, "fraction")
        context.doubt(f"timber moisture taken as {shown} ({context.timber_moisture.source})")


def _say_wrinkling(context: Context, layers: list[StackLayer]) -> None:
    if not any("through_E" in layer.inputs for layer in layers):
        return
    said = context.panel.wrinkling_share
    if said is None:
        context.doubt(
            "skins are taken as straight and well bonded as usual, for their wrinkling; for wavier "
            "ones write wrinkling_share = 0.8"
        )
    else:
        context.doubt(f"skins wrinkle at {said.text} of what usual ones do")
