"""What hangs beside a panel or piece: its prediction, and what was measured of it."""

from __future__ import annotations

from panelwright.errors import InputError, Problem
from panelwright.jobs.lineup_entrants import Entrant, finding
from panelwright.jobs.predict import predict_resolved
from panelwright.materials.catalogue import Catalogue
from panelwright.reports.paper.exhibit import Hung


def hung(one: Entrant, catalogue: Catalogue) -> Hung:
    """A panel or piece for a sheet. Raises :class:`InputError` for a solid without thickness."""
    if not one.has_thickness:
        what = f"how thick the {one.title.partition(' (')[0]} is has to be said"
        raise InputError(Problem(what, hint="its thickness before its name"))
    return Hung(
        predict_resolved(one.resolved, catalogue),
        one.title,
        one.handbook_only,
        finding(one, "thickness", "m"),
        finding(one, "areal mass", "kg/m2"),
    )
