"""Predict a strip-planked panel where it is bent and faired, beside the same where it is flat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from panelwright.fabrication.faired import faired_layers, refuse_thin
from panelwright.fabrication.strip_records import practice
from panelwright.jobs.predict import Evaluated, evaluate_panel, stiffen
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import ratio
from panelwright.panels.spread import Ranged, ranged
from panelwright.panels.stack import StackLayer


@dataclass(frozen=True)
class FairedPlace:
    """A panel at one bend; SI.

    ``radius`` : across the strips; ``lost`` : thickness that fairing takes; ``thickness``,
    ``areal_mass``, ``stiffness_along``, ``stiffness_across`` (per width) : of the panel there;
    ``share_along``, ``share_across`` : of the stiffness where it is flat. None where the stiffness
    of a layer is not known. ``done`` : the whole evaluation of the bent place.
    """

    radius: float
    lost: Ranged
    thickness: Ranged
    areal_mass: Ranged
    stiffness_along: Ranged | None
    stiffness_across: Ranged | None
    share_along: Ranged | None
    share_across: Ranged | None
    done: Evaluated


def has_strips_that_fair(layers: Sequence[StackLayer]) -> bool:
    """Whether a bend takes anything from the panel: it has strips whose cover is said."""
    return next(_strips(layers), None) is not None


def faired_place(whole: Evaluated, radius: float, catalogue: Catalogue) -> FairedPlace:
    """The panel where it bends to a radius across its strips.

    whole : the panel where it is flat; radius : m. Raises
    :class:`InputError` where fairing would leave less than half of the strips, with the widest
    cover that loses no more than is usual.
    """
    share = practice(catalogue, "planing_share").value
    for layer in _strips(whole.resolved.layers):
        refuse_thin(layer, radius, share)
    resolved = replace(whole.resolved, layers=faired_layers(whole.resolved.layers, radius))
    done = evaluate_panel(resolved, whole.causes.draws)
    causes = done.causes
    lost = ranged(
        whole.build.thickness - done.build.thickness,
        whole.drawn_build.thickness - done.drawn_build.thickness,
        "m",
        causes,
    )
    told, build = done.told_build, done.build
    along, across = (_stiffness(whole, done, way) for way in (0, 1))
    return FairedPlace(
        radius,
        lost,
        ranged(build.thickness, told.thickness, "m", causes),
        ranged(build.areal_mass, told.areal_mass, "kg/m2", causes),
        along[0],
        across[0],
        along[1],
        across[1],
        done,
    )


def _strips(layers: Sequence[StackLayer]) -> Iterator[StackLayer]:
    return (la for la in layers if la.kind == "strips" and "edge_cover" in la.inputs)


def _stiffness(whole: Evaluated, done: Evaluated, way: int) -> tuple[Ranged | None, Ranged | None]:
    """Bending stiffness one way at the bend, and its share of that of the flat panel."""
    flat, bent = stiffen(whole), stiffen(done)
    if flat is None or bent is None:
        return None, None
    middle, drawn = bent.made.strip[..., way], bent.drawn.strip[..., way]
    return (
        bent.ranged(middle, drawn, "N m"),
        bent.ranged(
            ratio(middle, flat.made.strip[..., way]), ratio(drawn, flat.drawn.strip[..., way]), "-"
        ),
    )
