"""What a load that lasts leaves of each layer's stiffness and strength, by evidence."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import Array
from panelwright.panels.resolve import Resolved
from panelwright.panels.service import LASTING, Share, series_of, together
from panelwright.panels.stack import StackLayer

#: Tests take a few minutes: a load that lasts no longer costs nothing, s.
SHORT = 600.0
#: Films and glue lines take no part in bending that could creep away.
_LEFT_OUT = frozenset({"glue line", "coat"})


@dataclass(frozen=True)
class Left:
    """Shares left by layer, ``(L,)``: middle, low, high; and the layers nothing is known of."""

    stiffness: tuple[Array, Array, Array]
    strength: tuple[Array, Array, Array]
    unknown: tuple[str, ...]
    unknown_strength: tuple[str, ...]

    @property
    def is_whole(self) -> bool:
        """Whether nothing is lost."""
        return not self.unknown and bool(np.all(self.stiffness[0] == 1.0))


def _share(
    catalogue: Catalogue, layer: StackLayer, resin: str, lasts: float, word: str
) -> Share | None:
    """The least that is left of the properties of a layer whose name holds a word."""
    found = [one for one in series_of(catalogue, layer, resin, LASTING) if word in one.what]
    shares = [one.left(lasts, "duration") for one in found]
    known = [one for one in shares if one is not None]
    if not known or len(known) < len(shares):
        return None
    least = min(known, key=lambda one: one.value)
    alike = [one for one in known if one.value == least.value]
    return together(alike)


def left_by_time(catalogue: Catalogue, resolved: Resolved, lasts: float | None) -> Left:
    """Shares left once a load has lasted so long, s; everything for a short one, or none given."""
    layers = resolved.layers
    whole = np.ones(len(layers))
    if lasts is None or lasts <= SHORT:
        nothing = (whole, whole, whole)
        return Left(nothing, nothing, (), ())
    found: dict[str, list[Share | None]] = {"modulus": [], "strength": []}
    for layer in layers:
        for word, shares in found.items():
            counts = layer.kind not in _LEFT_OUT and not layer.film
            share = _share(catalogue, layer, resolved.resin.id, lasts, word)
            shares.append(share if counts else _WHOLE)
    unknown = {
        word: tuple(
            dict.fromkeys(
                layer.name for layer, share in zip(layers, shares, strict=True) if share is None
            )
        )
        for word, shares in found.items()
    }
    return Left(
        _columns(found["modulus"]),
        _columns(found["strength"]),
        unknown["modulus"],
        unknown["strength"],
    )


def _columns(shares: list[Share | None]) -> tuple[Array, Array, Array]:
    values, lows, highs = (
        np.array([1.0 if one is None else getattr(one, name) for one in shares])
        for name in ("value", "low", "high")
    )
    return values, np.minimum(lows, values), np.minimum(np.maximum(highs, values), 1.0)


_WHOLE = Share(1.0, 1.0, 1.0, None, "")  # type: ignore[arg-type]
