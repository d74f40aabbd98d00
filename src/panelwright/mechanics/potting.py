"""Resin against the clock: how long a pot keeps, how large it may be, how hot it may get."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula


@formula(
    symbol="t_T",
    unit="s",
    equation="t_T = t₀ f^(−(T − T₀)/10)",
    source="common practice: suppliers' pages, two for each 10 K, 1.5 to 2.5 as the real spread",
    inputs={
        "time": "t₀ [s]",
        "reference": "T₀ [K]",
        "temperature": "T [K]",
        "factor": "f for each 10 K [-]",
    },
    valid="room-temperature systems, within some 15 K of the temperature the time is known at",
)
def time_at_temperature(
    time: ArrayLike, reference: ArrayLike, temperature: ArrayLike, factor: ArrayLike
) -> Array:
    """A time of the cure (pot life, recoat window) carried to another temperature.

    time : at ``reference`` [s]; temperatures : K; factor : how much faster for each 10 K.
    All broadcast; s.
    """
    steps = (array(temperature) - array(reference)) / 10.0
    return array(array(time) * array(factor) ** -steps)


@formula(
    symbol="t_l",
    unit="s",
    equation="t_l = n A/q",
    source="definition",
    inputs={"area": "A [m²]", "plies": "n [-]", "rate": "q [m²/s]"},
)
def laying_time(area: ArrayLike, plies: ArrayLike, rate: ArrayLike) -> Array:
    """Time that all hands together take to wet out an area.

    area : m2; plies : how many; rate : of one ply, of all hands together [m2/s]. All broadcast; s.
    """
    return array(plies) * array(area) / array(rate)


@formula(
    symbol="m_q",
    unit="kg",
    equation="m_q = q r t_p x",
    source="common practice",
    inputs={
        "rate": "q [m²/s]",
        "use": "r [kg/m²]",
        "pot_life": "t_p [s]",
        "share": "x [-]",
    },
)
def pot_by_rate(rate: ArrayLike, use: ArrayLike, pot_life: ArrayLike, share: ArrayLike) -> Array:
    """The most that can be laid before a pot thickens.

    rate : area laid in a time [m2/s]; use : resin that the area takes [kg/m2]; pot_life : s;
    share : of the pot life in which the mix still wets well. All broadcast; kg.
    """
    return array(rate) * array(use) * array(pot_life) * array(share)


@formula(
    symbol="m_p",
    unit="kg",
    equation="m_p = min(m_q, m_c)",
    source="common practice: a full pot heats itself, so its mass has a cap of its own",
    inputs={"by_rate": "m_q [kg]", "cap": "m_c [kg]"},
)
def pot_limit(by_rate: ArrayLike, cap: ArrayLike) -> Array:
    """The largest pot: what can be laid in time, and no more than the cap.

    Both broadcast; kg.
    """
    return array(np.minimum(by_rate, cap))


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈m/(m_p − m_l)⌉",
    source="definition",
    inputs={"total": "m [kg]", "limit": "m_p [kg]", "heel": "left in each pot m_l [kg]"},
    valid="m_l < m_p",
)
def pots(total: ArrayLike, limit: ArrayLike, heel: ArrayLike) -> Array:
    """How many pots a mass of mix takes.

    total : to lay; limit : the largest pot; heel : what stays in each. All broadcast, kg; a
    millionth of a pot more than full does not open another.
    """
    return array(np.ceil(array(total) / (array(limit) - array(heel)) - 1e-6))


@formula(
    symbol="m_e",
    unit="kg",
    equation="m_e = m/n + m_l",
    source="definition",
    inputs={"total": "m [kg]", "count": "n [-]", "heel": "left in each pot m_l [kg]"},
)
def equal_pot(total: ArrayLike, count: ArrayLike, heel: ArrayLike) -> Array:
    """Mass of each of so many like pots.

    total : to lay; count : of pots; heel : what stays in each. All broadcast; kg.
    """
    return array(total) / array(count) + array(heel)


@formula(
    symbol="ΔT",
    unit="K",
    equation="ΔT = H (1 − m)/[(1 − m) c_r + m c_f]",
    source="definition: energy balance, no heat lost",
    inputs={
        "heat": "H [J/kg]",
        "fibre_fraction": "m [-]",
        "resin_heat": "c_r [J/(kg K)]",
        "fibre_heat": "c_f [J/(kg K)]",
    },
    valid="an upper bound: a thin laminate loses most of its heat",
)
def exotherm_rise(
    heat: ArrayLike, fibre_fraction: ArrayLike, resin_heat: ArrayLike, fibre_heat: ArrayLike
) -> Array:
    """The most that a mix or a laminate can warm itself while it cures.

    heat : of reaction, of the resin [J/kg]; fibre_fraction : by mass, 0 in the pot; specific
    heats [J/(kg K)]. All broadcast; K.
    """
    resin = 1.0 - array(fibre_fraction)
    return array(heat) * resin / (resin * array(resin_heat) + array(fibre_fraction) * fibre_heat)


@formula(
    symbol="t_c",
    unit="s",
    equation="t_c = 2 (T_h − T₀)/g + t_h",
    source="definition",
    inputs={
        "start": "T₀ [K]",
        "held_at": "T_h [K]",
        "ramp": "g [K/s]",
        "hold": "t_h [s]",
    },
)
def post_cure_time(start: ArrayLike, held_at: ArrayLike, ramp: ArrayLike, hold: ArrayLike) -> Array:
    """Time of a post-cure: up at the ramp, held, down at the ramp.

    start, held_at : K; ramp : K/s; hold : s. All broadcast; s.
    """
    return 2.0 * (array(held_at) - array(start)) / array(ramp) + array(hold)
