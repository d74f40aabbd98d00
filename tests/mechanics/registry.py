"""Every registered formula with its function, and plausible arguments for any of them."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from panelwright import mechanics
from panelwright.mechanics import lamina, laminate
from panelwright.mechanics.arrays import Array
from panelwright.working import Formula, formulas

from .stacks import Stacked, stacked


def functions() -> dict[str, Callable[..., Any]]:
    """Name of a registered formula to the function that a caller gets."""
    modules = [
        importlib.import_module(f"{mechanics.__name__}.{module.name}")
        for module in pkgutil.iter_modules(mechanics.__path__)
    ]
    found: dict[str, Callable[..., Any]] = {}
    for made_by in formulas():
        for module in modules:
            function = getattr(module, made_by.name, None)
            if function is not None and function.__module__ == module.__name__:
                found[made_by.name] = function
    return found


FUNCTIONS = functions()
FORMULAS = tuple(made_by for made_by in formulas() if made_by.name in FUNCTIONS)

#: Range of values by unit; what must lie elsewhere is named, or described in full.
_BY_UNIT = {
    "m": (1e-3, 1e-2),
    "px": (10.0, 2000.0),
    "m²": (0.5, 2.0),
    "1/m": (0.1, 2.0),
    "kg": (0.1, 2.0),
    "kg/m²": (0.1, 2.0),
    "kg/m³": (400.0, 2600.0),
    "K": (275.0, 305.0),
    "1/K": (1e-6, 6e-5),
    "rad": (0.3, 1.5),
    "Pa": (5e9, 2e10),
    "Hz": (40.0, 400.0),
    "m/s²": (1.0, 30.0),
    "m/s": (1.0, 40.0),
    "N m²": (10.0, 5000.0),
    "N m": (10.0, 5000.0),
    "N/m": (1e4, 1e6),
    "N": (10.0, 5000.0),
    "Pa/m": (1e9, 1e11),
    "s": (1.0, 1e9),
    "m²/s": (1e-4, 1e-2),
    "J/kg": (3e5, 5e5),
    "J/(kg K)": (700.0, 2000.0),
    "K/s": (1e-3, 1e-2),
    "Pa s": (0.1, 0.6),
    "money": (1.0, 100.0),
    "h/m²": (0.1, 5.0),
    "W/(m K)": (0.03, 0.6),
    "any": (1.0, 10.0),
    "N/m or N": (1.0, 10.0),
    "any²": (1.0, 10.0),
    "count": (3.0, 20.0),
    "1/√s": (1e-5, 1e-4),
    "-": (0.05, 0.6),
    "1 or 0 [-]": (0.0, 1.0),
}
_BY_NAME = {
    "void_fraction": (0.0, 0.1),
    "moisture": (0.06, 0.2),
    "intersection": (0.21, 0.28),
    "faces": (1.0, 2.0),
}
_BY_DESCRIPTION = {
    "P_f [Pa]": (5e10, 9e10),
    "P_m [Pa]": (2e9, 4e9),
    "ν₁₂ [-]": (0.05, 0.4),
    "ξ [-]": (1.0, 2.0),
    "R/r [-]": (1.5, 4.0),
    "left in each pot m_l [kg]": (0.0, 0.05),
    "f for each 10 K [-]": (1.5, 2.5),
    "rise/run [-]": (0.0, 0.2),
    "R of the form [m]": (0.1, 2.0),
    "n plies [-]": (2.0, 6.0),
}


def _stress(s: Stacked) -> Array:
    """Stress in each layer, of either sign, below its strength."""
    return 1e13 * (s.expansion - 3e-5)


#: What belongs to a whole stack: taken from one random set of stacks, so that it fits together.
_OF_A_STACK: Mapping[str, Callable[[Stacked], Array]] = {
    "Q [Pa]": lambda s: s.plies.own_stiffness,
    "U [Pa]": lambda s: lamina.invariants(s.plies.own_stiffness),
    "S [1/Pa]": lambda s: s.ply_compliance,
    "Q̄_i [Pa]": lambda s: s.section.stiffness,
    "Ḡ_i [Pa]": lambda s: s.section.shear,
    "ᾱ_i [1 per step]": lambda s: s.expansion,
    "t_i [m]": lambda s: s.section.thickness,
    "z_i [m]": lambda s: s.section.heights,
    "z_n [m]": lambda s: s.section.neutral,
    "A [N/m]": lambda s: s.section.A,
    "B [N]": lambda s: s.section.B,
    "D [N m]": lambda s: s.section.D,
    "K [N/m, N, N m]": lambda s: s.section.whole,
    "u of each finding [any]": lambda s: 1.0 + 1e3 * s.section.thickness,
    "C [any]": lambda s: s.section.whole / 1e6,
    "U_x [any²]": lambda s: s.section.whole / 1e6,
    "Q_i of each part [Pa]": lambda s: np.abs(s.section.stiffness),
    "1 or 0 of each part [-]": lambda s: (s.section.stiffness > 0.0).astype(float),
    "φ of each wave [rad]": lambda s: 200.0 * s.section.heights,
    "σ_i at mid-height [Pa]": lambda s: _stress(s)[..., 0],
    "ε_x, ε_y, γ_xy [-]": lambda s: s.expansion,
    "C [m/N, 1/N, 1/(N m)]": lambda s: s.section.compliance,
    "a [m/N]": lambda s: s.section.a,
    "d [1/(N m)]": lambda s: s.section.d,
    "N, M [N/m, N]": lambda s: s.load,
    "ε, κ [-, 1/m]": lambda s: laminate.strains(s.section.compliance, s.load),
    "τ [1/m]": lambda s: s.section.flow,
    "τ_s [Pa]": lambda s: 1e3 * s.section.flow[..., 0],
    "τ_xz, τ_yz at three points [Pa]": lambda s: 1e3 * s.section.flow[..., 0],
    "Q [N/m]": lambda s: s.load[..., :2],
    "ε,x κ,x [1/m, 1/m²]": lambda s: laminate.strains(s.section.compliance, s.load),
    "ε,y κ,y [1/m, 1/m²]": lambda s: laminate.strains(s.section.compliance, s.load[..., ::-1]),
    "1/S_i [m/N]": lambda s: s.section.flexibilities,
    "ε_x, ε_y, γ_xy of both faces [-]": lambda s: s.face_strains,
    "ε₁, ε₂, γ₁₂ of both faces for a load of 1 [-]": lambda s: s.face_strains,
    "τ₁₃, τ₂₃ of three places for a force of 1 [1/m]": lambda s: s.section.flow[..., 0],
    "1 or 0 of both faces [-]": lambda s: (s.section.flow[..., 0, :, 0] > 0.0).astype(float),
    "N of both faces [N/m]": lambda s: s.section.flow[..., 0],
    "N_w of both faces [N/m]": lambda s: 10.0 * np.abs(s.section.flow[..., 0]),
    "e of layers, places, modes [-]": lambda s: s.section.flow[..., 0] ** 2,
    "ψ [m²/N]": lambda s: s.section.warp,
    "ε_ψ [m/N]": lambda s: s.section.warp_strains,
    "C = K⁻¹ [m/N, 1/N, 1/(N m)]": lambda s: s.section.compliance,
    "ε₀ + z κ [-]": lambda s: s.face_strains,
    "Q,x [N/m²]": lambda s: s.load[..., :2],
    "Q,y [N/m²]": lambda s: s.load[..., 3:5],
    "σ [Pa]": _stress,
    "σ_x, σ_y, τ [Pa]": _stress,
    "τ₁₂, τ₁₃, τ₂₃ [Pa]": _stress,
    "τ₁₃, τ₂₃ [Pa]": lambda s: _stress(s)[..., :2],
    "τ_xz, τ_yz [Pa]": lambda s: _stress(s)[..., :2],
    "ln P of each mix [-]": lambda s: (
        1e3 * s.section.compliance.reshape(*s.section.compliance.shape[:-2], -1)[..., :16]
    ),
    "e of each mode [-]": lambda s: np.abs(lamina.invariants(s.plies.own_stiffness)) / 1e11,
}
#: Heights are no amounts, nor are the sheets that are made.
_PLACES = {"z_i [m]", "z_n [m]", "t_k [m]"}
#: What is the same for every panel: the component to pick, the sheets that are made.
_COMMON: Mapping[str, Any] = {
    "which": 1,
    "sign": -1.0,
    "directions": np.radians([0.0, 20.0, 90.0, 135.0]),
    "sheets": np.array([3e-3, 6e-3, 9e-3, 15e-3]),
    "sheet_stiffness": np.array([20.0, 150.0, 500.0, 2200.0]),
    "tried": np.array([0.0, 1e3, 1e6, 1e9, 1e11, 1e15]),
    "left": np.array([1.0, 0.96, 0.93, 0.89, 0.81, 0.55]),
}


def unit_of(described: str) -> str:
    """The unit in ``symbol [unit]``."""
    return described.rpartition("[")[2].removesuffix("]")


def is_amount(described: str) -> bool:
    """Whether an input is nought for a layer that is not there: a mass, a thickness, a volume."""
    return unit_of(described) in {"m", "kg/m²"} and described not in _PLACES


def is_common(name: str) -> bool:
    """Whether an input is the same for every panel of a batch."""
    return name in _COMMON


def may_be_a_number(made_by: Formula) -> tuple[str, ...]:
    """Inputs that are one number a layer: each may also be given as one number for all."""
    if "which" in made_by.inputs:
        return ()
    fixed = _OF_A_STACK.keys() | _COMMON.keys()
    return tuple(name for name, said in made_by.inputs.items() if fixed.isdisjoint((name, said)))


def arguments(made_by: Formula, shape: tuple[int, int], seed: int) -> dict[str, Any]:
    """Random arguments for a formula: positive arrays of one shape, or parts of random stacks.

    shape : stacks and layers.
    """
    rng = np.random.default_rng([seed, *made_by.name.encode()])
    stack = stacked(rng, shape)
    of_the_panel = "compliance" in made_by.inputs and "t [m]" in made_by.inputs.values()

    def value(name: str, described: str) -> Any:
        if name in _COMMON:
            return _COMMON[name]
        if described in _OF_A_STACK:
            return _OF_A_STACK[described](stack)
        if of_the_panel:
            return stack.section.total
        span = _BY_DESCRIPTION.get(described) or _BY_NAME.get(name) or _BY_UNIT[unit_of(described)]
        return rng.uniform(*span, size=shape)

    return {name: value(name, described) for name, described in made_by.inputs.items()}
