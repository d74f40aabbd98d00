"""The array types that the formulas share."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

#: What a formula gives: an array of floats (of shape () for one number).
Array = npt.NDArray[np.float64]
#: What a formula takes: a number, or an array of any shape that broadcasts with the others.
ArrayLike = float | Array | Sequence[float] | Sequence[Array]


def array(values: ArrayLike) -> Array:
    """Values as an array of floats; of shape () for one number. Raises nothing."""
    made: Array = np.asarray(values, dtype=np.float64)
    return made


def ratio(above: ArrayLike, below: ArrayLike) -> Array:
    """``above/below``, and 0 where ``below`` is 0: a layer that is not there adds nothing.

    above, below : arrays that broadcast. Raises nothing.
    """
    top, bottom = np.broadcast_arrays(array(above), array(below))
    quotient: Array = np.divide(top, bottom, out=np.zeros(top.shape), where=bottom != 0.0)
    return quotient
