"""What a builder should look at before planking: sentences with the figure that works."""

from __future__ import annotations

import math

from panelwright import units
from panelwright.fabrication.strip_records import (
    Bending,
    Drying,
    StripsRecord,
    bend,
    bends,
    practice,
    small,
)
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.strips import WHOLE


def strip_warnings(of: StripsRecord, catalogue: Catalogue) -> tuple[str, ...]:
    """Bends, fairing, taper, stations, moisture: what of them is not as it should be."""
    share = practice(catalogue, "planing_share").value
    least = practice(catalogue, "narrowest_share").value
    found = [
        _bend_warning(of.bending),
        _planing_warning(of, share),
        _taper_warning(of, least),
        _spacing_warning(of),
        _moisture_warning(of.drying),
    ]
    return tuple(text for text in found if text)


def _bend_warning(of: Bending | None) -> str:
    if of is None or of.asked is None or of.thickest is None or of.asked >= of.dry.high:
        return ""
    asked, thick = bend(of.asked), small(of.thickest.low)
    if of.asked >= of.dry.value:
        return (
            f"a bend to {asked} is near where dry strips break "
            f"({bends(of.dry)}): some will; try a few first, "
            f"or use strips up to {thick} thick"
        )
    return (
        f"strips do not bend dry to {asked} (they break at "
        f"{bends(of.dry)}): soak or steam them and let them "
        f"dry on the form before glueing, or use layers up to {thick} thick"
    )


def _planing_warning(of: StripsRecord, share: float) -> str:
    bent = [one for one in of.stations if one.planed is not None and one.widest is not None]
    if not bent:
        return ""
    worst = min(bent, key=lambda one: one.widest or math.inf)
    assert worst.planed is not None
    assert worst.widest is not None
    assert worst.radius is not None
    if of.cover <= worst.widest * (1.0 + WHOLE):
        return ""
    return (
        f"round {bend(worst.radius)} at {units.show(worst.at, 'length')} fairing "
        f"takes {small(worst.planed.value)} of {small(of.thickness.value)}; strips that cover "
        f"{small(worst.widest)} lose no more than {share:.0%}".replace("%", " %")
    )


def _taper_warning(of: StripsRecord, least: float) -> str:
    if of.angle > 45.0:
        return ""
    narrow = min(of.stations, key=lambda one: one.share)
    if narrow.share >= least:
        return ""
    return (
        f"if all {of.count} strips ran through, each would cover {small(narrow.cover)} at "
        f"{units.show(narrow.at, 'length')}; {narrow.strips} close it at full cover: let the "
        f"others run out before it, tapered no narrower than {small(least * of.cover)}"
    )


def _spacing_warning(of: StripsRecord) -> str:
    if of.widest_spacing <= of.spacing.value:
        return ""
    return (
        f"stations {units.show(of.widest_spacing, 'length')} apart: strips of "
        f"{small(of.thickness.value)} dish between them beyond "
        f"{units.show_range(of.spacing.low, of.spacing.high, 'length')} (common practice)"
    )


def _moisture_warning(of: Drying) -> str:
    if of.least <= of.now.value <= of.most:
        return ""
    now, window = _percent(of.now.value), f"{_percent(of.least)} to {_percent(of.most)}"
    wet = of.now.value > of.most
    air = (
        ""
        if of.driest is None or of.dampest is None
        else (
            f"; in the shop's warmth that is air of {_percent(of.driest)} to {_percent(of.dampest)}"
        )
    )
    risk = "it blisters under glass in the sun" if wet else "it swells behind the glass"
    return (
        f"the timber is at {now}, too {'wet' if wet else 'dry'} to glue "
        f"({window}, common practice): {risk}{air}"
    )


def _percent(share: float) -> str:
    return units.show(share, "fraction")
