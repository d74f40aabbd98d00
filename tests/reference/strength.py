"""What our criteria and failure modes make of the inputs of each outside check.

No formula stands here, only the order of the calls.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from panelwright.mechanics import (
    beam,
    criteria,
    lamina,
    laminate,
    micromechanics,
    sandwich,
    sandwich_failure,
    timber,
    timber_failure,
)
from panelwright.mechanics.arrays import Array, ArrayLike

from .cases import Answer, Answers, Case, in_si
from .sections import Plies, isotropic, section
from .stiffness import plies_of

ANSWERS: dict[str, Answer] = {}


def _case(*ids: str) -> Callable[[Answer], Answer]:
    def register(answer: Answer) -> Answer:
        ANSWERS.update(dict.fromkeys(ids, answer))
        return answer

    return register


# --- Plies ----------------------------------------------------------------------------------------


def _strengths(case: Case) -> dict[str, Array]:
    """Strengths of a case by our names."""
    ours = {"X1t": "Xt", "X1c": "Xc", "X2t": "Yt", "X2c": "Yc", "S12": "S"}
    return {name: case.si[f"{theirs}_MPa"] for name, theirs in ours.items()}


def _without_signs(strengths: dict[str, Array]) -> dict[str, Array]:
    return strengths | {"X1c": strengths["X1t"], "X2c": strengths["X2t"]}


@_case("strength-s01")
def _one_ply_at_60_degrees(case: Case) -> Answers:
    i, strengths = case.si, _strengths(case)
    stress = criteria.stress_in_layer(1e6 * i["stress_ratio"], np.radians(i["angle_deg"]))
    moduli = {"E1": i["E1_GPa"], "E2": i["E2_GPa"], "nu12": i["nu12"]}
    own, hill = _without_signs(strengths), criteria.tsai_hill
    loads = {
        "max_stress": criteria.least_reserve(criteria.max_stress(stress, **strengths)),
        "max_strain": criteria.least_reserve(criteria.max_strain(stress, **moduli, **strengths)),
        "Tsai_Hill_tension_strengths_only": hill(stress, **own),
        "Tsai_Hill_signed_strengths": hill(stress, **strengths),
        "Tsai_Wu_F12_-0.5": criteria.tsai_wu(
            stress, **strengths, interaction=case.inputs["F12_star"]
        ),
    }
    ratios = dict(
        zip(("sigma1_over_S", "sigma2_over_S", "tau12_over_S"), stress / 1e6, strict=True)
    )
    return {name: 1e6 * value for name, value in loads.items()} | ratios


def _reserves_in_tension(plies: Plies, case: Case) -> Array:
    """Reserve of each ply of a symmetric stack for a unit force along x, by Tsai and Wu."""
    made = section(plies)
    whole = laminate.strains(made.compliance, np.array([1.0, 0.0, 0.0, 0.0, 0.0, 0.0]))
    free = np.zeros((*plies.thickness.shape, 3))
    stress = laminate.layer_stress(made.stiffness, whole, made.heights, free)
    own = criteria.stress_in_layer(stress, plies.angle)
    return criteria.tsai_wu(own, **_strengths(case), interaction=case.inputs["F12_star"])


@_case("strength-s02")
def _first_and_last_ply(case: Case) -> Answers:
    plies = plies_of(case)
    along = np.isclose(plies.angle, 0.0)
    left = np.where(along, 1.0, 0.0)
    torn = Plies(
        **vars(plies)
        | {name: getattr(plies, name) * left for name in ("E1", "E2", "G12", "nu12", "G13", "G23")}
    )
    whole, last = _reserves_in_tension(plies, case), _reserves_in_tension(torn, case)
    return {
        "Nx_first_ply_failure_90deg": whole[~along][0],
        "Nx_0deg_ply_at_undamaged_stiffness": whole[along][0],
        "Nx_last_ply_failure_90_removed": last[along][0],
    }


@_case("strength-s03")
def _off_axis(case: Case) -> Answers:
    strengths = _strengths(case)

    def ours(name: str) -> Array:
        sense, degrees, rule = name.split("_", 2)
        sign = -1.0 if sense == "compression" else 1.0
        stress = criteria.stress_in_layer([sign, 0.0, 0.0], np.radians(float(degrees)))
        if rule == "max_stress":
            return criteria.least_reserve(criteria.max_stress(stress, **strengths))
        if rule == "Tsai_Hill":
            return criteria.tsai_hill(stress, **_without_signs(strengths))
        return criteria.tsai_wu(stress, **strengths, interaction=case.inputs["F12_star"])

    return {name: ours(name) for name in case.expected}


def _by_state(case: Case, values: Array, names: tuple[str, ...]) -> Answers:
    """``state0_...`` and so on, those that the case prints; one column of values a name."""
    found = {
        f"state{row}_{name}": values[row, column]
        for row in range(len(values))
        for column, name in enumerate(names)
    }
    return {name: found[name] for name in case.expected}


@_case("strength-s04")
def _hashin(case: Case) -> Answers:
    i = case.si
    indices = criteria.hashin_indices(
        i["states_s1_s2_t12_MPa"],
        i["Xt_MPa"],
        i["Xc_MPa"],
        i["Yt_MPa"],
        i["Yc_MPa"],
        in_si(case.inputs["S_axial_MPa"], "MPa"),
        in_si(case.inputs["S_transverse_MPa"], "MPa"),
    )
    modes = tuple(f"{mode.replace(' ', '_')}_index" for mode in criteria.HASHIN_MODES)
    return _by_state(case, indices, modes)


@_case("strength-s05")
def _puck(case: Case) -> Answers:
    i = case.si
    across = i["states_s2_t12_MPa"]
    stress = np.concatenate([np.zeros((len(across), 1)), across], axis=-1)
    lean = i["p_par_compression"]
    exposures = criteria.puck(
        stress, 0.0, 0.0, i["Yt_MPa"], i["Yc_MPa"], i["S_MPa"], i["p_par_tension"], lean
    )
    angle = criteria.puck_fracture_angle(stress, exposures, i["Yc_MPa"], i["S_MPa"], lean)
    values = np.concatenate([exposures, np.degrees(angle)[:, None]], axis=-1)
    names = ("", "", "modeA_exposure", "modeB_exposure", "modeC_exposure", "fracture_angle")
    return _by_state(case, values, names)


# --- Timber ---------------------------------------------------------------------------------------


@_case("strength-s06", "strength-s07")
def _hankinson(case: Case) -> Answers:
    i = case.si
    angles = {name: np.radians(float(name.removeprefix("N_"))) for name in case.expected}
    ends = i["parallel_MPa"], i["perpendicular_MPa"]
    return {name: timber.hankinson(*ends, angle, i["exponent"]) for name, angle in angles.items()}


@_case("strength-s08")
def _norris(case: Case) -> Answers:
    i = case.si
    x, y, s = i["X_MPa"], i["Y_MPa"], i["S_MPa"]
    rules: tuple[Any, ...] = (timber_failure.norris, criteria.tsai_hill)
    # both indices are quadratic without a linear part
    indices = [rule(i["states_s1_s2_t12_MPa"], x, x, y, y, s) ** -2.0 for rule in rules]
    return _by_state(case, np.stack(indices, axis=-1), ("Norris_index", "Tsai_Hill_index"))


# --- Sandwiches -----------------------------------------------------------------------------------


def _held_across(modulus: ArrayLike, poisson: ArrayLike) -> Array:
    """Modulus of a sheet that cannot contract across: the 11 of its plane stiffness."""
    return lamina.part(lamina.reduced_stiffness(modulus, modulus, 0.0, poisson), 0)


@_case("failure-wrinkling-S1", "failure-wrinkling-S2")
def _wrinkling(case: Case) -> Answers:
    i = case.si
    t, core, shear, nu = i["tf_mm"], i["Ec_MPa"], i["Gc_MPa"], i["nuc"]
    face = beam.solid_strip(i["Ef_MPa"], t)
    held = _held_across(i["Ef_MPa"], i["nuf"])
    wave = sandwich_failure.wrinkle_wave_number(held, shear, nu)
    b1 = sandwich_failure.allen_coefficient(nu)

    def hoff(coefficient: float) -> Array:
        force = sandwich_failure.wrinkling_force(face, core, shear, coefficient)
        return sandwich_failure.mean_stress(force, t)

    return {
        "hoff_mautner_0.5": hoff(sandwich_failure.WRINKLING_DESIGN),
        "hoff_mautner_theory_0.91": hoff(sandwich_failure.WRINKLING_THEORY),
        "allen_B1_coefficient": b1,
        "allen_B1": sandwich_failure.mean_stress(
            sandwich_failure.allen_wrinkling_force(face, core, b1), t
        ),
        "exact_elastic_plane_strain": sandwich_failure.perfect_wrinkling_stress(
            held, shear, nu, wave, micromechanics.isotropic_shear(i["Ef_MPa"], i["nuf"])
        ),
        "exact_half_wavelength": sandwich_failure.wrinkle_half_wave(t, wave),
    }


@_case("failure-honeycomb-S1")
def _honeycomb(case: Case) -> Answers:
    i = case.si
    t, core, deep = i["tf_mm"], i["Ecz_MPa"], i["tc_mm"]

    def wrinkling(modulus: ArrayLike, coefficient: ArrayLike) -> Array:
        face = beam.solid_strip(modulus, t)
        force = sandwich_failure.antiplane_wrinkling_force(face, core, deep, coefficient)
        return sandwich_failure.mean_stress(force, t)

    crimping = sandwich_failure.crimping_force(
        sandwich.thin_face_shear(i["Gc_MPa"], deep + t, deep)
    )
    return {
        "dimpling_2Ef/(1-nu2)(t/s)2": sandwich_failure.dimpling_stress(
            i["Ef_MPa"], i["nuf"], t, i["cell_size_mm"]
        ),
        "wrinkling_0.82": wrinkling(i["Ef_MPa"], sandwich_failure.ANTIPLANE_THEORY),
        "wrinkling_design_0.33": wrinkling(i["Ef_MPa"], sandwich_failure.ANTIPLANE_DESIGN),
        "winkler_exact_antisym_k=2Ec/tc": wrinkling(
            _held_across(i["Ef_MPa"], i["nuf"]), np.sqrt(2.0 / 3.0)
        ),
        "shear_crimping_N": crimping,
        "shear_crimping_skin_stress": sandwich_failure.mean_stress(crimping, 2.0 * t),
    }


@_case("failure-column-S1")
def _column(case: Case) -> Answers:
    i = case.si
    t, deep = i["tf_mm"], i["tc_mm"]
    modulus = np.array([i["Ef_MPa"], 0.0, i["Ef_MPa"]])
    faces = section(isotropic(modulus, np.zeros(3), modulus / 2.0, np.array([t, deep, t])))
    stiff = lamina.part(faces.D, 0)
    shear = sandwich.thin_face_shear(i["Gc_MPa"], deep + t, deep)
    pinned, fixed = (
        sandwich_failure.euler_force(stiff, i["L_mm"], fixity)
        for fixity in (sandwich_failure.PINNED, sandwich_failure.FIXED)
    )
    return {
        "P_Euler": pinned,
        "S": shear,
        "P_cr": sandwich_failure.column_force(pinned, shear),
        "P_cr_fixed_ends": sandwich_failure.column_force(fixed, shear),
    }


@_case("failure-indentation-S1")
def _indentation(case: Case) -> Answers:
    i = case.si
    springs = sandwich_failure.core_springs(i["Ec_MPa"], i["tc_mm"])
    decay = sandwich_failure.dent_decay(springs, beam.solid_strip(i["Ef_MPa"], i["tf_mm"]))
    return {
        "lambda": decay,
        "dent_per_N_per_mm": sandwich_failure.dent_depth(1.0, decay, springs),
        "skin_moment_per_N": sandwich_failure.dent_moment(1.0, decay),
        "core_peak_stress_per_N_per_mm": sandwich_failure.dent_pressure(1.0, decay),
        "line_load_at_core_crush": sandwich_failure.crushing_line_load(i["core_crush_MPa"], decay),
    }
