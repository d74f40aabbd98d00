"""Weighing, gauging, burn-off, immersion, counting and moisture against worked cases.

Source and kind of each case stand in its JSON file: published, from memory, or generated in closed
form with the ``uncertainties`` package. Values in SI are ours; the files keep the shop's units.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.stats import t as student

from panelwright.mechanics import fractions, moisture, uncertainty, weighing
from panelwright.samples.budget import Budget, Known, budget

CASES = Path(__file__).parent / "weighing"
Inputs = dict[str, Any]
G, MM, G_M2, G_CM3 = 1e-3, 1e-3, 1e-3, 1e3


def _cases() -> list[dict[str, Any]]:
    return [json.loads(path.read_text("utf-8")) for path in sorted(CASES.glob("*.json"))]


def _leaves(expected: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    if isinstance(expected, bool) or (isinstance(expected, dict) and "value" in expected):
        yield path, expected
    elif isinstance(expected, dict):
        for key, below in expected.items():
            yield from _leaves(below, (*path, key))
    elif isinstance(expected, list):
        for number, below in enumerate(expected):
            yield from _leaves(below, (*path, str(number)))


def _shares(found: Budget, names: Mapping[str, str]) -> dict[str, float]:
    return {names[one.name]: one.share for one in found.contributions}


def _mean(values: list[float]) -> float:
    return math.fsum(values) / len(values)


def _areal_mass(i: Inputs) -> dict[str, Any]:
    u = i["u_length_mm"] * MM
    known = [
        Known("length", _mean(i["length_mm"]) * MM, u),
        Known("width", _mean(i["width_mm"]) * MM, u),
        Known("mass", i["mass_g"] * G, i["u_mass_g"] * G),
    ]
    found = budget(
        lambda x: weighing.weighed_uptake(0.0, x["mass"], x["length"] * x["width"]), known
    )
    points = np.array(i["thickness_points_mm"]) * MM
    mean, scatter, count = points.mean(), points.std(ddof=1), len(points)
    shared = i["u_thickness_instrument_mm"] * MM
    return {
        "area_m2": known[0].value * known[1].value,
        "areal_mass_g_m2": found.value / G_M2,
        "u_areal_mass_g_m2": found.u / G_M2,
        "thickness_mean_mm": mean / MM,
        "thickness_sd_mm": scatter / MM,
        "thickness_cv_percent": 100.0 * scatter / mean,
        "thickness_min_mm": points.min() / MM,
        "thickness_max_mm": points.max() / MM,
        "u_thickness_mean_mm": uncertainty.mean_uncertainty(scatter, count, shared) / MM,
        "t95_half_width_mean_mm": uncertainty.half_width_95(scatter, count) / MM,
        "bulk_density_kg_m3": weighing.bulk_density(found.value, mean),
    }


def _solid_laminate(i: Inputs) -> dict[str, Any]:
    cloth, area = i["fabric_areal_mass_total_g_m2"] * G_M2, i["area_m2"]
    fibre, cured = i["fibre_density_g_cm3"] * G_CM3, i["cured_resin_density_g_cm3"] * G_CM3
    thickness = i["mean_thickness_mm"] * MM
    whole = weighing.weighed_uptake(0.0, i["mass_g"] * G, area)
    resin = weighing.resin_by_balance(whole, 0.0, cloth)
    bare = fractions.ply_thickness(cloth, resin, fibre, cured)
    share = weighing.fibre_mass_fraction(cloth, resin)
    density = weighing.bulk_density(whole, thickness)
    return {
        "areal_mass_g_m2": whole / G_M2,
        "resin_areal_mass_g_m2": resin / G_M2,
        "fibre_mass_fraction": share,
        "resin_to_fibre_mass_ratio": resin / cloth,
        "void_free_thickness_mm": bare / MM,
        "fibre_volume_fraction_void_free_from_mass": fractions.volume_from_mass_fraction(
            share, fibre, cured
        ),
        "fibre_volume_fraction_from_thickness": fractions.fibre_volume_fraction(
            cloth, fibre, thickness
        ),
        "resin_volume_fraction_from_mass_and_thickness": weighing.constituent_volume_fraction(
            1.0 - share, density, cured
        ),
        "void_volume_fraction": weighing.voids_by_thickness(bare, thickness),
    }


def _foam(i: Inputs) -> dict[str, Any]:
    fibre, cured = i["fibre_density_g_cm3"] * G_CM3, i["cured_resin_density_g_cm3"] * G_CM3
    cloth = [i[f"fabric_skin{side}_g_m2"] * G_M2 for side in (1, 2)]
    skin = [i[f"skin{side}_thickness_mm"] * MM for side in (1, 2)]
    whole = weighing.weighed_uptake(0.0, i["panel_mass_g"] * G, i["area_m2"])
    core = (i["core_areal_mass_g_m2"] + i["core_glue_areal_mass_g_m2"]) * G_M2
    total = weighing.resin_by_balance(whole, core, sum(cloth))
    faces = weighing.resin_by_thickness(skin, 0.0, 0.0, cloth, fibre, cured)
    volume = fractions.fibre_volume_fraction(cloth, fibre, skin)
    return {
        "panel_areal_mass_g_m2": whole / G_M2,
        "resin_total_g_m2": total / G_M2,
        "fibre_mass_fraction_of_skins_if_all_resin_in_skins": weighing.fibre_mass_fraction(
            sum(cloth), total
        ),
        "resin_skin1_from_thickness_g_m2": faces[0] / G_M2,
        "resin_skin2_from_thickness_g_m2": faces[1] / G_M2,
        "resin_unaccounted_g_m2": weighing.resin_elsewhere(total, faces.sum()) / G_M2,
        "fibre_volume_fraction_skin1": volume[0],
        "fibre_volume_fraction_skin2": volume[1],
    }


def _soaked(i: Inputs) -> dict[str, Any]:
    u = i["standard_uncertainties"]
    then = i["core_moisture_before_fraction"]
    change = i["core_moisture_at_weighing_fraction"] - then
    known = [
        Known("length", i["length_mm"] * MM, u["length_mm"] * MM),
        Known("width", i["width_mm"] * MM, u["width_mm"] * MM),
        Known("panel_mass", i["panel_mass_g"] * G, u["panel_mass_g"] * G),
        Known("core_mass", i["core_mass_before_g"] * G, u["core_mass_g"] * G),
        Known("core_moisture_change", change, u["core_moisture_change_fraction"]),
        Known("panel_thickness", i["panel_thickness_mm"] * MM, u["panel_thickness_mm"] * MM),
        Known("core_thickness", i["core_thickness_before_mm"] * MM, u["core_thickness_mm"] * MM),
        Known("fabric", i["fabric_total_both_skins_g_m2"] * G_M2, u["fabric_total_g_m2"] * G_M2),
        Known(
            "resin_density",
            i["cured_resin_density_g_cm3"] * G_CM3,
            u["cured_resin_density_g_cm3"] * G_CM3,
        ),
    ]
    fibre, void = i["fibre_density_g_cm3"] * G_CM3, i["assumed_skin_void_fraction"]

    def core(x: Mapping[str, Any]) -> Any:
        whole = weighing.weighed_uptake(0.0, x["core_mass"], x["length"] * x["width"])
        return weighing.mass_at_moisture(whole, then, then + x["core_moisture_change"])

    def total(x: Mapping[str, Any]) -> Any:
        whole = weighing.weighed_uptake(0.0, x["panel_mass"], x["length"] * x["width"])
        return weighing.resin_by_balance(whole, core(x), x["fabric"])

    def skins(x: Mapping[str, Any]) -> Any:
        return weighing.resin_by_thickness(
            x["panel_thickness"], x["core_thickness"], void, x["fabric"], fibre, x["resin_density"]
        )

    def soak(x: Mapping[str, Any]) -> Any:
        return weighing.resin_elsewhere(total(x), skins(x))

    whole, faces, absorbed = budget(total, known), budget(skins, known), budget(soak, known)
    assert absorbed.u_drawn == pytest.approx(absorbed.u, rel=0.03)
    values = {one.name: np.array([one.value]) for one in known}
    cured, cloth = values["resin_density"], values["fabric"]
    faces_alone = values["panel_thickness"] - values["core_thickness"]
    return {
        "core_areal_mass_at_weighing_g_m2": core(values) / G_M2,
        "resin_total_g_m2": whole.value / G_M2,
        "u_resin_total_g_m2": whole.u / G_M2,
        "skins_thickness_total_mm": faces_alone / MM,
        "resin_in_skins_g_m2": faces.value / G_M2,
        "u_resin_in_skins_g_m2": faces.u / G_M2,
        "resin_absorbed_g_m2": absorbed.value / G_M2,
        "u_resin_absorbed_g_m2": absorbed.u / G_M2,
        "absorbed_is_significant_k2": absorbed.is_told,
        "fibre_volume_fraction_skins_true": fractions.fibre_volume_fraction(
            cloth, fibre, faces_alone
        ),
        "fibre_volume_fraction_if_all_resin_were_in_skins": fractions.volume_from_mass_fraction(
            weighing.fibre_mass_fraction(cloth, whole.value), fibre, cured
        ),
        "variance_share_of_absorbed": {one.name: one.share for one in absorbed.contributions},
    }


def _core_moisture(i: Inputs) -> dict[str, Any]:
    core, cloth = i["core_areal_mass_g_m2"], i["fabric_total_g_m2"]
    now = weighing.mass_at_moisture(
        core, i["moisture_before_fraction"], i["moisture_at_weighing_fraction"]
    )
    raw = weighing.resin_by_balance(i["panel_areal_mass_g_m2"], core, cloth)
    right = weighing.resin_by_balance(i["panel_areal_mass_g_m2"], now, cloth)
    return {
        "core_areal_mass_corrected_g_m2": now,
        "resin_uncorrected_g_m2": raw,
        "resin_corrected_g_m2": right,
        "error_g_m2": right - raw,
    }


def _by_thickness(i: Inputs) -> dict[str, Any]:
    u = i["standard_uncertainties"]
    plies = i["plies"]
    known = [
        Known("fabric", i["ply_areal_mass_g_m2"] * G_M2, u["ply_areal_mass_g_m2"] * G_M2),
        Known("fibre_density", i["fibre_density_g_cm3"] * G_CM3, u["fibre_density_g_cm3"] * G_CM3),
        Known("thickness", i["mean_thickness_mm"] * MM, u["mean_thickness_mm"] * MM),
    ]
    found = budget(
        lambda x: fractions.fibre_volume_fraction(
            plies * x["fabric"], x["fibre_density"], x["thickness"]
        ),
        known,
    )
    return {
        "fibre_volume_fraction": found.value,
        "standard_uncertainty": found.u,
        "cured_ply_thickness_mm": i["mean_thickness_mm"] / plies,
        "variance_share": {one.name: one.share for one in found.contributions},
    }


def _immersion(i: Inputs) -> dict[str, Any]:
    density = weighing.density_by_immersion(
        i["mass_air_g"] * G,
        i["apparent_mass_specimen_plus_wire_immersed_g"] * G,
        i["apparent_mass_wire_immersed_g"] * G,
        i["water_density_kg_m3"],
    )
    return {
        "density_kg_m3": density,
        "specific_gravity": density / i["water_density_kg_m3"],
    }


_BURNT = {
    "specimen": "m_initial",
    "residue": "m_residue",
    "composite": "rho_composite",
    "fibre": "rho_fibre",
    "matrix": "rho_matrix",
}


def _burn_off(i: Inputs) -> dict[str, Any]:
    u = i["standard_uncertainties"]
    each = u["each_weighing_g"] * G
    known = [
        Known("specimen", i["mass_crucible_plus_specimen_g"] * G, each),
        Known("residue", i["mass_crucible_plus_residue_g"] * G, each),
        Known("crucible", i["mass_crucible_g"] * G, u["crucible_mass_g"] * G),
        *(
            Known(name, i[f"{name}_density_g_cm3"] * G_CM3, u[f"{name}_density_g_cm3"] * G_CM3)
            for name in ("composite", "fibre", "matrix")
        ),
    ]

    def share(x: Mapping[str, Any]) -> Any:
        return weighing.fibre_by_burn_off(x["residue"], x["crucible"], x["specimen"])

    def volume(x: Mapping[str, Any]) -> Any:
        return weighing.constituent_volume_fraction(share(x), x["composite"], x["fibre"])

    def theory(x: Mapping[str, Any]) -> Any:
        return fractions.void_free_density(share(x), x["fibre"], x["matrix"])

    def void(x: Mapping[str, Any]) -> Any:
        return fractions.void_fraction(x["composite"], theory(x))

    fibres, voids = budget(volume, known), budget(void, known)
    assert voids.u_drawn == pytest.approx(voids.u, rel=0.03)
    burnt, dense = budget(share, known), budget(theory, known)
    matrix = weighing.constituent_volume_fraction(1.0 - burnt.value, known[3].value, known[5].value)
    return {
        "fibre_mass_percent": 100.0 * burnt.value,
        "ignition_loss_percent": 100.0 * (1.0 - burnt.value),
        "fibre_volume_percent": 100.0 * fibres.value,
        "u_fibre_volume_percent": 100.0 * fibres.u,
        "matrix_volume_percent": 100.0 * matrix,
        "void_volume_percent": 100.0 * (1.0 - fibres.value - matrix),
        "u_void_volume_percent": 100.0 * voids.u,
        "theoretical_density_g_cm3": dense.value / G_CM3,
        "void_percent_by_density_ratio": 100.0 * voids.value,
        "voids_differ_from_zero_at_k2": voids.is_told,
        "variance_share_of_voids": _shares(voids, _BURNT),
    }


def _binder(i: Inputs) -> dict[str, Any]:
    rest, empty, full = (i[f"mass_crucible{w}_g"] * G for w in ("_residue", "", "_dry_specimen"))
    loss = i["fabric_loss_on_ignition_percent"] / 100.0
    return {
        "glass_content_percent": 100.0 * weighing.fibre_by_burn_off(rest, empty, full),
        "glass_content_corrected_percent": 100.0
        * weighing.fibre_by_burn_off(rest, empty, full, loss),
    }


def _textbook(i: Inputs) -> dict[str, Any]:
    area = i["length_cm"] * i["width_cm"] * 1e-4
    whole = weighing.weighed_uptake(0.0, i["mass_g"] * G, area)
    density = weighing.bulk_density(whole, i["thickness_cm"] * 1e-2)
    fibre, matrix = i["fibre_density_g_cm3"] * G_CM3, i["matrix_density_g_cm3"] * G_CM3
    share = i["fibre_mass_g"] / i["mass_g"]
    theory = fractions.void_free_density(share, fibre, matrix)
    return {
        "composite_density_g_cm3": density / G_CM3,
        "fibre_volume_fraction": weighing.constituent_volume_fraction(share, density, fibre),
        "matrix_volume_fraction": weighing.constituent_volume_fraction(
            1.0 - share, density, matrix
        ),
        "void_fraction": fractions.void_fraction(density, theory),
    }


def _count(i: Inputs) -> dict[str, Any]:
    hits, points = np.array(i["points_hit_per_field"]), i["grid_points"]
    mean = weighing.counted_fraction(hits, points)
    scatter = (hits / points).std(ddof=1)
    half = uncertainty.half_width_95(scatter, len(hits))
    return {
        "volume_fraction_mean": mean,
        "sd": scatter,
        "ci95_half_width": half,
        "relative_accuracy_percent": 100.0 * half / mean,
    }


def _oven(i: Inputs) -> dict[str, Any]:
    wet, dry = i["mass_wet_g"] * G, i["mass_oven_dry_g"] * G
    area, thick = i["length_mm"] * i["width_mm"] * MM**2, i["thickness_mm"] * MM
    then = weighing.oven_dry_moisture(wet, dry)
    per_area = weighing.weighed_uptake(0.0, wet, area)
    dry_area = weighing.weighed_uptake(0.0, dry, area)
    doubt = budget(
        lambda x: weighing.oven_dry_moisture(x["wet"], x["dry"]),
        [Known("wet", wet, 0.05 * G), Known("dry", dry, 0.05 * G)],
    )
    return {
        "moisture_content_fraction": then,
        "density_at_test_kg_m3": weighing.bulk_density(per_area, thick),
        "basic_like_density_dry_mass_over_test_volume_kg_m3": weighing.bulk_density(
            dry_area, thick
        ),
        "mass_at_target_moisture_g": weighing.mass_at_moisture(
            wet, then, i["target_moisture_fraction"]
        )
        / G,
        "water_in_core_g_m2": moisture.water_in(per_area, then) / G_M2,
        "u_moisture_if_u_mass_0p05g": doubt.u,
    }


def _uptake(i: Inputs) -> dict[str, Any]:
    d, h, end = (
        i["diffusivity_mm2_s"] * MM**2,
        i["thickness_mm"] * MM,
        i["equilibrium_uptake_percent"],
    )
    times = np.array(i["times_s"])
    slope = 4.0 * end / h * math.sqrt(d / math.pi)  # of the series near the start, closed form
    early = 1e-6 * h**2 / d
    start = end * moisture.share_taken_up(d, early, h) / math.sqrt(early)
    assert start == pytest.approx(slope, rel=1e-3)
    return {
        "uptake_exact_1d_percent": end * moisture.share_taken_up(d, times, h),
        "uptake_approx_percent": end * moisture.share_taken_up_roughly(d, times, h),
        "slope_initial_percent_per_sqrt_s": slope,
        "D_from_initial_slope_mm2_s": moisture.diffusivity_by_slope(slope, end, h) / MM**2,
        "D_apparent_with_edges_mm2_s": moisture.diffusivity_with_open_edges(
            d, h, i["length_mm"] * MM, i["width_mm"] * MM
        )
        / MM**2,
    }


def _gum(i: Inputs) -> dict[str, Any]:
    readings = np.array([i["V_volt"], np.array(i["I_mA"]) * 1e-3, i["phi_rad"]])
    covariance = np.cov(readings) / readings.shape[1]
    v, a, phi = readings.mean(axis=1)
    z = v / a
    sensitivities = np.array(
        [
            [math.cos(phi) / a, -z * math.cos(phi) / a, -z * math.sin(phi)],
            [math.sin(phi) / a, -z * math.sin(phi) / a, z * math.cos(phi)],
            [1.0 / a, -z / a, 0.0],
        ]
    )
    found = uncertainty.propagated_covariance(sensitivities, covariance)
    u = np.sqrt(np.diag(found))
    r = found / np.outer(u, u)
    values = {"R": z * math.cos(phi), "X": z * math.sin(phi), "Z": z}
    return {
        **{f"{name}_ohm": value for name, value in values.items()},
        **{f"u_{name}": one for name, one in zip(values, u, strict=True)},
        "r_R_X": r[0, 1],
        "r_R_Z": r[0, 2],
        "r_X_Z": r[1, 2],
    }


def _satterthwaite(i: Inputs) -> dict[str, Any]:
    u = [one["u"] for one in i["components"]]
    c = [one["sensitivity"] for one in i["components"]]
    nu = [float(one["dof"]) for one in i["components"]]
    combined = uncertainty.combined_uncertainty(c, u)
    effective = uncertainty.effective_degrees_of_freedom(c, u, nu)
    k = student.ppf(0.5 + i["coverage"] / 2.0, math.floor(effective))
    return {"u_combined": combined, "nu_eff": effective, "k_95": k, "U_95": k * combined}


ANSWERS: dict[str, Callable[[Inputs], dict[str, Any]]] = {
    "a1": _areal_mass,
    "a2": _solid_laminate,
    "a3": _foam,
    "a4": _soaked,
    "a5": _core_moisture,
    "a6": _by_thickness,
    "b1": _immersion,
    "b2": _burn_off,
    "b3": _binder,
    "b4": _textbook,
    "b5": _count,
    "g1": _oven,
    "g2": _uptake,
    "f10": _gum,
    "f11": _satterthwaite,
}


@pytest.mark.parametrize("case", _cases(), ids=lambda case: str(case["id"]))
def test_case(case: dict[str, Any]) -> None:
    ours = ANSWERS[case["id"].partition("-")[0]](case["inputs"])
    seen = 0
    for path, expected in _leaves(case["expected"]):
        value: Any = ours
        for key in path:
            value = value[int(key)] if key.isdigit() else value[key]
        seen += 1
        if isinstance(expected, bool):
            assert value is expected, path
            continue
        got, wanted = float(np.squeeze(value)), expected["value"]
        off = abs(got - wanted)
        assert off <= expected.get("tol_rel", math.inf) * abs(wanted), (path, got, wanted)
        assert off <= expected.get("tol_abs", math.inf), (path, got, wanted)
    assert seen == sum(1 for _ in _leaves(case["expected"])) > 0
