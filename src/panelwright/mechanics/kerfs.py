"""Kerfs of a contoured core: how wide they open."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike
from panelwright.working import formula


@formula(
    symbol="o",
    unit="m",
    equation="o = p c κ",
    source="geometry",
    inputs={"pitch": "p [m]", "thickness": "c [m]", "curvature": "κ [1/m]"},
    valid="cut right through, thin scrim, cuts closed when flat",
)
def kerf_mouth(pitch: ArrayLike, thickness: ArrayLike, curvature: ArrayLike) -> Array:
    """Width to which a knife cut opens at the face when a contoured core is bent.

    pitch : distance from cut to cut [m]; thickness : of the core [m]; curvature : across the
    cuts [1/m]. All broadcast; m.
    """
    return (
        np.asarray(pitch, np.float64)
        * np.asarray(thickness, np.float64)
        * np.asarray(curvature, np.float64)
    )
