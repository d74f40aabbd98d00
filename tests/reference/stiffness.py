"""What our formulas of stiffness make of the inputs of each outside check.

Published cases list their layers from the bottom; ours go from the outside in. With z upwards in
both, the list is reversed and everything else, signs included, stays.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

import numpy as np

from panelwright.mechanics import lamina, laminate, micromechanics, moisture, ply_strength, sandwich
from panelwright.mechanics.arrays import Array, ArrayLike

from .cases import Answer, Answers, Case, in_si, numbers_in_si
from .sections import Plies, Section, isotropic, section

ANSWERS: dict[str, Answer] = {}


def _case(*ids: str) -> Callable[[Answer], Answer]:
    def register(answer: Answer) -> Answer:
        ANSWERS.update(dict.fromkeys(ids, answer))
        return answer

    return register


def _named(prefix: str, components: Array) -> dict[str, ArrayLike]:
    return {
        f"{prefix}{index}": components[..., place] for place, index in enumerate(lamina.COMPONENTS)
    }


def _printed(case: Case, ours: Mapping[str, ArrayLike]) -> Answers:
    """Those of our values that the case prints."""
    return {name: ours[name] for name in case.expected}


# --- Stacks of the cases --------------------------------------------------------------------------

_CONSTANTS = ("E1", "E2", "G12", "nu12", "G13", "G23")


def _plies(layers: Iterable[Mapping[str, Any]]) -> Plies:
    """Layers listed from the bottom, as a stack from the outside in.

    A constant that a case does not give has no part in what it asks: shear moduli are 1.
    """
    rows = []
    for layer in layers:
        si = {key.partition("_")[0]: value for key, value in numbers_in_si(layer).items()}
        shear = si.get("Gxz", np.array(1.0))
        constants = {"G12": shear, "G13": shear, "G23": shear} | si
        angle = np.radians(si.get("angle", 0.0))
        rows.append([*(constants[name] for name in _CONSTANTS), angle, constants["t"]])
    return Plies(*np.array(rows, np.float64)[::-1].T)


def plies_of(case: Case) -> Plies:
    """The stack of a laminate or shear case, whichever way it is written down."""
    i = case.inputs
    if "plies_bottom_to_top" in i:
        return _plies(i["plies_bottom_to_top"])
    if "stack_bottom_to_top" in i:
        return _plies(
            i["materials"][layer["material"]] | layer for layer in i["stack_bottom_to_top"]
        )
    thickness = i.get("ply_t_mm", 1.0)  # only ratios are asked of a case without
    return _plies(dict(i) | {"t_mm": thickness, "angle_deg": angle} for angle in i["stack_deg"])


# --- Moduli of a ply ------------------------------------------------------------------------------


@_case("micro-m02")
def _mixtures(case: Case) -> Answers:
    i = case.si
    mix, series, v = micromechanics.rule_of_mixtures, micromechanics.series_mixture, i["Vf"]
    return {
        "E1": mix(i["Ef_GPa"], i["Em_GPa"], v),
        "E2_series": series(i["Ef_GPa"], i["Em_GPa"], v),
        "nu12": mix(i["nuf"], i["num"], v),
        "G12_series": series(i["Gf_GPa"], i["Gm_GPa"], v),
    }


@_case("micro-m03")
def _shape_factors(case: Case) -> Answers:
    i = case.si
    return {
        "E2": micromechanics.halpin_tsai(i["Ef_GPa"], i["Em_GPa"], i["Vf"], i["xi_E2"]),
        "G12": micromechanics.halpin_tsai(i["Gf_GPa"], i["Gm_GPa"], i["Vf"], i["xi_G12"]),
    }


@_case("micro-m04")
def _expansion(case: Case) -> Answers:
    i = case.si
    alphas = (i["alpha_f_1e6K"], i["alpha_m_1e6K"])
    along = micromechanics.expansion_along(i["Ef_GPa"], i["Em_GPa"], *alphas, i["Vf"])
    poisson = micromechanics.rule_of_mixtures(i["nuf"], i["num"], i["Vf"])
    across = micromechanics.expansion_across(*alphas, i["nuf"], i["num"], i["Vf"], along, poisson)
    return {"alpha1": along, "alpha2": across}


@_case("micro-m05")
def _strength(case: Case) -> Answers:
    i = case.si
    strain = ply_strength.strain_of_strength(i["Xf_MPa"], i["Ef_GPa"])
    strength = ply_strength.tensile_strength_along(i["Xf_MPa"], i["Em_GPa"], strain, i["Vf"])
    return {"X1t": strength, "fibre_failure_strain": strain}


@_case("micro-m06")
def _square_root_rule(case: Case) -> Answers:
    fibre = {key: in_si(value, "GPa") for key, value in case.inputs["fibre_GPa"].items()}
    matrix = {key: in_si(value, "GPa") for key, value in case.inputs["matrix_GPa"].items()}
    v = case.si["Vf"]
    poisson = (case.inputs["fibre_GPa"]["nu12"], case.inputs["matrix_GPa"]["nu"])
    shear = micromechanics.isotropic_shear(matrix["E"], poisson[1])
    return {
        "E1": micromechanics.rule_of_mixtures(fibre["E1"], matrix["E"], v),
        "E2": micromechanics.chamis(fibre["E2"], matrix["E"], v),
        "G12": micromechanics.chamis(fibre["G12"], shear, v),
        "G23": micromechanics.chamis(fibre["G23"], shear, v),
        "nu12": micromechanics.rule_of_mixtures(*poisson, v),
    }


@_case("micro-m07")
def _random_mat(case: Case) -> Answers:
    i = case.si
    along, across = i["E1_GPa"], i["E2_GPa"]
    ply = lamina.reduced_stiffness(along, across, i["G12_GPa"], i["nu12"])
    average = micromechanics.random_constants(lamina.invariants(ply))
    return {
        "E_rule": micromechanics.random_modulus_rule(along, across),
        "G_rule": micromechanics.random_shear_rule(along, across),
        "E_exact_average": average[0],
        "G_exact_average": average[1],
        "nu_exact_average": average[2],
    }


#: Directions of equal shares of the fibre, degrees. Three at 60° have the average of cos⁴ over
#: all angles.
_DIRECTIONS = {
    "UD": [0.0],
    "balanced_0_90": [0.0, 90.0],
    "balanced_pm45": [45.0, -45.0],
    "random_2D": [0.0, 60.0, 120.0],
}


def _efficiency_of(form: str) -> Array:
    angles = np.radians(_DIRECTIONS[form])
    return micromechanics.direction_efficiency(1.0 / angles.size, angles)


@_case("micro-m08")
def _efficiency(case: Case) -> Answers:
    i = case.si
    ply = (i["Ef_GPa"], i["Em_GPa"], i["Vf"])
    return {
        f"E_{form}": micromechanics.efficiency_rule(*ply, _efficiency_of(form))
        for form in _DIRECTIONS
    }


@_case("micro-m09")
def _short_fibre(case: Case) -> Answers:
    i = case.si
    fibre, matrix = i["Ef_MPa"], i["Em_MPa"]
    lag = micromechanics.shear_lag(fibre, i["Gm_MPa"], i["fibre_radius_mm"], i["R_over_r"])
    share = micromechanics.length_efficiency(lag, i["fibre_length_mm"])
    random = share * _efficiency_of("random_2D")
    return {
        "beta": lag,
        "eta_length": share,
        "E_aligned": micromechanics.efficiency_rule(fibre, matrix, i["Vf"], share),
        "E_random_2D": micromechanics.efficiency_rule(fibre, matrix, i["Vf"], random),
    }


# --- Laminates ------------------------------------------------------------------------------------


@_case("clt-c01")
def _turned_ply(case: Case) -> Answers:
    """The compliance is turned as such: from the ply seen in the axes of the panel."""
    ply = plies_of_one(case)
    panel = section(ply)
    own = section(ply.turned(-float(ply.angle[0])))
    moduli = dict(zip(("Ex", "Ey", "Gxy", "nuxy"), panel.moduli, strict=True))
    return _printed(
        case,
        _named("Q", ply.own_stiffness[0])
        | _named("Qb", panel.stiffness[0])
        | _named("Sb", lamina.turned_compliance(own.a, -ply.angle[0]))
        | moduli,
    )


def plies_of_one(case: Case) -> Plies:
    """A case of a single ply, made 1 m thick: forces per width are then stresses."""
    return _plies([dict(case.inputs) | {"t_mm": 1000.0}])


@_case("clt-c02", "clt-c03", "clt-c07", "clt-c08", "clt-c09")
def _laminate(case: Case) -> Answers:
    plies = plies_of(case)
    made = section(plies)
    ours: dict[str, ArrayLike] = _named("A", made.A) | _named("B", made.B) | _named("D", made.D)
    ours |= zip(("Ex", "Ey", "Gxy", "nuxy"), made.moduli, strict=True)
    ours["EIx_strip_free"] = made.strip[0]
    for number, combination in enumerate(lamina.invariants(plies.own_stiffness)[0], start=1):
        ours[f"U{number}"] = combination
    if "Nx_Npm" in case.si:
        load = np.array([case.si["Nx_Npm"], case.si["Ny_Npm"], 0.0, 0.0, 0.0, 0.0])
        of_the_panel = laminate.strains(made.compliance, load)
        ours |= _strains(of_the_panel)
        for place, (layer, height) in _PLACES.items():
            stress = _stress(made, of_the_panel, np.zeros((3, 3)), layer, height)
            ours |= {f"{name}_{place}": value for name, value in stress.items()}
    return _printed(case, ours)


#: Where a case asks for stress: layer (ours, from the top) and height, m.
_PLACES = {"ply0deg_z-7.5mm": (2, -7.5e-3), "ply30deg_z-2.5mm": (1, -2.5e-3)}


def _stress(
    made: Section, of_the_panel: Array, expansion: Array, layer: int, height: float
) -> dict[str, ArrayLike]:
    """Stress in one layer at one height, in the axes of the panel."""
    heights = np.full(made.thickness.shape, height)
    stress = laminate.layer_stress(made.stiffness, of_the_panel, heights, expansion)
    return dict(zip(("sx", "sy", "txy"), stress[layer], strict=True))


def _strains(of_the_panel: Array) -> Answers:
    return dict(zip(("ex0", "ey0", "gxy0", "kx", "ky", "kxy"), of_the_panel, strict=True))


@_case("clt-c04")
def _cooled(case: Case) -> Answers:
    i, plies = case.si, plies_of(case)
    made = section(plies)
    alphas = (i["alpha1_1e6K"] * i["dT_K"], i["alpha2_1e6K"] * i["dT_K"])
    expansion = lamina.turned_expansion(*alphas, plies.angle)
    held = laminate.free_resultants(made.stiffness, expansion, made.thickness, made.heights)
    of_the_panel = made.free_strains(expansion)
    ours = dict(_strains(of_the_panel))
    for place, height in (("outer", -5e-3), ("interface", 0.0)):
        stress = _stress(made, of_the_panel, expansion, 1, height)
        ours |= {f"{name}_ply0_{place}": value for name, value in stress.items()}
    return _printed(
        case,
        ours
        | {
            "NTx": held[0],
            "MTx_abs": np.abs(held[3]),
            "kx_abs": np.abs(ours["kx"]),
            "ky_abs": np.abs(ours["ky"]),
            "kx_plus_ky": np.add(ours["kx"], ours["ky"]),
        },
    )


@_case("clt-c06")
def _two_layers_that_warp(case: Case) -> Answers:
    i = case.si
    modulus = np.array([i["E_skin_GPa"], i["E_board_GPa"]])
    thickness = np.array([i["t_skin_mm"], i["t_board_mm"]])
    shear = micromechanics.isotropic_shear(modulus, i["poisson"])
    made = section(isotropic(modulus, i["poisson"], shear, thickness))
    longer = np.array([0.0, i["free_strain_board"]])
    curvature = np.abs(made.free_strains(lamina.turned_expansion(longer, 0.0, 0.0))[3])
    return {"kappa_abs": curvature, "sag_over_1m_abs": laminate.rise(curvature, 1.0)}


@_case("D12", "D13")
def _strips_glassed_on_one_face(case: Case) -> Answers:
    """Bending one way only, as Timoshenko's strip: no Poisson's ratio couples the two."""
    i = case.si
    longer = moisture.change_of_size_by_coefficient(1.0, i["C_per_pct"], 0.0, i["dM_pct"])
    modulus = np.array([i["E_skin_MPa"], i["E_wood_across_MPa"]])
    thickness = np.array([i["skin_mm"], i["wood_mm"]])
    made = section(isotropic(modulus, np.array(0.0), modulus, thickness))
    expansion = lamina.turned_expansion(np.array([0.0, float(longer)]), 0.0, 0.0)
    curvature = np.abs(made.free_strains(expansion)[3])
    return {
        "free_strain": longer,
        "curvature_per_m": curvature,
        "radius_m": 1.0 / curvature,
        "rise_mm": laminate.rise(curvature, i["chord_mm"]),
    }


# --- Transverse shear -----------------------------------------------------------------------------


def _shear_answers(case: Case, made: Section) -> Answers:
    along = made.S[0, 0]
    sum_of_shear = laminate.extension_stiffness(made.shear, made.thickness)[0]
    ours = {
        "shear_stiffness": along,
        "shear_stiffness_x": along,
        "sum_Gt": sum_of_shear,
        "k": along / sum_of_shear,
    }
    if "plies_bottom_to_top" in case.inputs:
        ours |= {"thin_skin_formula_G_d2_over_tc": _by_hand(made)}
    return _printed(case, ours)


def _by_hand(made: Section) -> ArrayLike:
    """A sandwich by the hand formula: its thickest layer is the core."""
    core = int(np.argmax(made.thickness))
    distance = made.heights[0] - made.heights[-1]
    return sandwich.thin_face_shear(made.shear[core, 0], distance, made.thickness[core])


@_case("shear-k01", "shear-k02", "shear-k03")
def _shear_of_plies(case: Case) -> Answers:
    """Q11 and Gxz as given; what bending along x does not ask for is put equal to them."""
    rows = [[ply[name] for name in ("t", "Q11", "Gxz")] for ply in case.inputs["plies"]]
    thickness, q, g = np.array(rows, np.float64)[::-1].T
    none = np.zeros_like(q)
    return _shear_answers(
        case,
        Section(
            np.stack([q, none, q, none, none, g], axis=-1),
            np.stack([g, g, none], axis=-1),
            thickness,
        ),
    )


@_case("shear-k03h", "shear-k04", "shear-k05", "shear-k06")
def _shear_of_panel(case: Case) -> Answers:
    return _shear_answers(case, section(plies_of(case)))
