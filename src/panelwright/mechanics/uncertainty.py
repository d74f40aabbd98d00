"""How sure a number is that was worked from readings: the rules of JCGM 100 (GUM).

u is a standard uncertainty, c a sensitivity (the change of the result for a change of one input).
The inputs of a result lie on the last axis.
"""

from __future__ import annotations

import math

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="u_r",
    unit="any",
    equation="u_r = δ/√12",
    source="jcgm-100, F.2.2.1",
    inputs={"division": "δ [any]"},
    valid="an even spread over one division of the scale; not its calibration",
)
def reading_uncertainty(division: ArrayLike) -> Array:
    """Standard uncertainty of one reading of a scale.

    division : its smallest step; broadcasts, same unit.
    """
    return array(division) / math.sqrt(12.0)


@formula(
    symbol="u_m",
    unit="any",
    equation="u_m = √(s²/n + u²)",
    source="jcgm-100, 4.2.3 and 5.1.2",
    inputs={"scatter": "s [any]", "count": "n [count]", "of_instrument": "u [any]"},
    valid="the instrument's part does not shrink with the number of readings",
)
def mean_uncertainty(scatter: ArrayLike, count: ArrayLike, of_instrument: ArrayLike) -> Array:
    """Standard uncertainty of the mean of repeated readings of one instrument.

    scatter : standard deviation of the readings (n − 1); count : how many; of_instrument : what
    all of them share. All broadcast; same unit.
    """
    return array(np.sqrt(array(scatter) ** 2 / array(count) + array(of_instrument) ** 2))


@formula(
    symbol="h",
    unit="any",
    equation="h = t₀.₉₇₅(n − 1) s/√n",
    source="astm-e562; jcgm-100, G.3.2",
    inputs={"scatter": "s [any]", "count": "n [count]"},
    valid="independent readings, about normal; two or more",
)
def half_width_95(scatter: ArrayLike, count: ArrayLike) -> Array:
    """Half of the two-sided 95 % confidence interval of a mean.

    scatter : standard deviation of the readings (n − 1); count : how many. Both broadcast.
    """
    from scipy.special import stdtrit  # slow to come, and a prediction needs none

    n = array(count)
    return array(stdtrit(n - 1.0, 0.975) * array(scatter) / np.sqrt(n))


@formula(
    symbol="u_c",
    unit="any",
    equation="u_c = √(Σ cᵢ² uᵢ²)",
    source="jcgm-100, equation 10",
    inputs={"sensitivities": "c [any]", "uncertainties": "u [any]"},
    valid="inputs independent, and the result straight within their spread",
)
def combined_uncertainty(sensitivities: ArrayLike, uncertainties: ArrayLike) -> Array:
    """Standard uncertainty of a result of independent inputs.

    sensitivities, uncertainties : ``(..., n)``, both broadcast; ``(...)``.
    """
    parts = array(sensitivities) * array(uncertainties)
    return array(np.sqrt(np.sum(parts**2, axis=-1)))


@formula(
    symbol="p",
    unit="-",
    equation="pᵢ = cᵢ² uᵢ²/Σ cₖ² uₖ²",
    source="jcgm-100, equation 11b",
    inputs={"sensitivities": "c [any]", "uncertainties": "u [any]"},
)
def variance_shares(sensitivities: ArrayLike, uncertainties: ArrayLike) -> Array:
    """What each input contributes to the variance of a result: what to measure better.

    sensitivities, uncertainties : ``(..., n)``, both broadcast; ``(..., n)``, sum 1.
    """
    parts = (array(sensitivities) * array(uncertainties)) ** 2
    return ratio(parts, np.sum(parts, axis=-1, keepdims=True))


@formula(
    symbol="ν",
    unit="-",
    equation="ν = u_c⁴/Σ (cᵢ uᵢ)⁴/νᵢ",
    source="jcgm-100, equation G.2b (Welch and Satterthwaite)",
    inputs={
        "sensitivities": "c [any]",
        "uncertainties": "u [any]",
        "degrees_of_freedom": "ν [count]",
    },
)
def effective_degrees_of_freedom(
    sensitivities: ArrayLike, uncertainties: ArrayLike, degrees_of_freedom: ArrayLike
) -> Array:
    """How many degrees of freedom stand behind a combined uncertainty.

    sensitivities, uncertainties, degrees_of_freedom : ``(..., n)``, all broadcast; infinite
    degrees of freedom for what is known without readings. Gives ``(...)``.
    """
    parts = (array(sensitivities) * array(uncertainties)) ** 2
    return array(
        np.sum(parts, axis=-1) ** 2 / np.sum(parts**2 / array(degrees_of_freedom), axis=-1)
    )


@formula(
    symbol="U_y",
    unit="any",
    equation="U_y = C U_x Cᵀ",
    source="jcgm-100, equation 13 and example H.2",
    inputs={"sensitivities": "C [any]", "covariance": "U_x [any²]"},
)
def propagated_covariance(sensitivities: ArrayLike, covariance: ArrayLike) -> Array:
    """Covariance of several results of inputs that may move together.

    sensitivities : ``(..., r, n)``; covariance : of the inputs, ``(..., n, n)``. Both broadcast;
    ``(..., r, r)``.
    """
    c = array(sensitivities)
    return array(c @ array(covariance) @ np.swapaxes(c, -1, -2))


@formula(
    symbol="μ",
    unit="any",
    equation="μ = (μ₀/u₀² + Σ yᵢ/uᵢ²)/(1/u₀² + Σ 1/uᵢ²), uᵢ = u of each finding",
    source="gelman-2013, section 2.5 (from memory)",
    inputs={
        "before": "μ₀ [any]",
        "before_uncertainty": "u₀ [any]",
        "found": "y [any]",
        "found_uncertainty": "u of each finding [any]",
    },
    valid="normal, independent, uncertainties known",
)
def updated_mean(
    before: ArrayLike,
    before_uncertainty: ArrayLike,
    found: ArrayLike,
    found_uncertainty: ArrayLike,
) -> Array:
    """What is believed of a mean after it was found several times.

    before, before_uncertainty : ``(..., 1)``, what was believed; found, found_uncertainty :
    ``(..., n)``. All broadcast; ``(...)``.
    """
    first = 1.0 / array(before_uncertainty) ** 2
    weights = 1.0 / array(found_uncertainty) ** 2
    told = np.sum(weights * array(found), axis=-1, keepdims=True)
    whole = first + np.sum(weights, axis=-1, keepdims=True)
    return array(((first * array(before) + told) / whole)[..., 0])


@formula(
    symbol="u_μ",
    unit="any",
    equation="u_μ = 1/√(1/u₀² + Σ 1/uᵢ²), uᵢ = u of each finding",
    source="gelman-2013, section 2.5 (from memory)",
    inputs={"before_uncertainty": "u₀ [any]", "found_uncertainty": "u of each finding [any]"},
    valid="normal, independent, uncertainties known",
)
def updated_uncertainty(before_uncertainty: ArrayLike, found_uncertainty: ArrayLike) -> Array:
    """Standard uncertainty of :func:`updated_mean`.

    before_uncertainty : ``(..., 1)``; found_uncertainty : ``(..., n)``. Both broadcast; ``(...)``.
    """
    first = 1.0 / array(before_uncertainty) ** 2
    whole = first + np.sum(1.0 / array(found_uncertainty) ** 2, axis=-1, keepdims=True)
    return array((1.0 / np.sqrt(whole))[..., 0])
