"""What our formulas make of the inputs of each outside check.

One function a case (or a group of like cases). It takes the case and gives our value for every
name in ``expected``, in SI; no formula is written out here, only the order in which ours are
called.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import (
    estimating,
    fractions,
    infusion,
    laminate,
    mixing,
    moisture,
    paste,
    potting,
    resin,
    sandwich,
    weighing,
)
from panelwright.mechanics.arrays import Array, ArrayLike
from panelwright.samples.budget import Known, budget
from panelwright.units import parse

from . import bearing, planking, stiffness, strength
from .cases import Answer, Answers, Case, Expected, in_si, moisture_table

_BY_ID: dict[str, Answer] = (
    stiffness.ANSWERS | strength.ANSWERS | bearing.ANSWERS | planking.ANSWERS
)
_BY_GROUP: dict[str, Answer] = {}


_FOUND: dict[str, Answers] = {}


def answers(case: Case) -> Answers:
    """Our values for a case, SI, by the names in its ``expected``; each case is answered once."""
    if case.id not in _FOUND:
        _FOUND[case.id] = (_BY_ID.get(case.id) or _BY_GROUP[case.group])(case)
    return _FOUND[case.id]


def held_against(case: Case) -> list[tuple[Expected, Array]]:
    """Each printed value of a case beside ours."""
    ours, printed = answers(case), sorted(case.expected)
    if sorted(ours) != printed:
        raise AssertionError(f"{case.id}: answers {sorted(ours)}, printed {printed}")
    return [(case.expected[name], np.asarray(ours[name], np.float64)) for name in printed]


def moisture_points() -> Array:
    """Our equilibrium moisture over the whole table, in percent: (temperature, humidity)."""
    table = moisture_table()
    kelvin = in_si(table["temperature_C"], "degC")
    return 100.0 * moisture.equilibrium_moisture(kelvin[:, None], table["humidity"])


def _case(*ids: str) -> Callable[[Answer], Answer]:
    def register(answer: Answer) -> Answer:
        _BY_ID.update(dict.fromkeys(ids, answer))
        return answer

    return register


def _group(name: str) -> Callable[[Answer], Answer]:
    def register(answer: Answer) -> Answer:
        _BY_GROUP[name] = answer
        return answer

    return register


def _read(value: object, unit: str, dimension: str) -> float:
    """A number and its unit through the door that a builder's words go through."""
    return parse(f"{value} {unit}", dimension).value


def _rule(name: str, column: str) -> float:
    """A coefficient of a rule of thumb, from the catalogue."""
    value = Catalogue.shipped().table("rules_of_thumb").row(name).number(column)
    assert value is not None, f"rules_of_thumb, {name}: {column} is empty"
    return value


def _by_rule(name: str, cloth_mass: ArrayLike) -> Array:
    """Resin per area by a rule of thumb of the catalogue, kg/m2."""
    return resin.rule_of_thumb(cloth_mass, _rule(name, "per_cloth"), _rule(name, "per_area"))


# --- Cloth and resin ------------------------------------------------------------------------------


@_case("A01")
def _cloth_weights(case: Case) -> Answers:
    i = case.inputs
    stitched = _read(i["combo_stitched_oz_yd2"], "oz/yd2", "cloth_mass")
    mat = _read(i["combo_mat_oz_ft2"], "oz/ft2", "cloth_mass")
    both = laminate.areal_mass([stitched, mat])
    return {
        "cloth_g_m2": _read(i["cloth_oz_yd2"], "oz/yd2", "cloth_mass"),
        "combo_stitched_g_m2": stitched,
        "combo_mat_g_m2": mat,
        "combo_total_g_m2": both,
        "combo_total_oz_yd2": both,
    }


#: kg/m3: the 1.2 mm for each kg/m2 of cloth that the case names.
_RULE_OF_A_FORUM = 1000.0 / 1.2


@_case("A02")
def _ply_of_cloth(case: Case) -> Answers:
    i = case.si
    held = fractions.resin_in_cloth(i["fibre_g_m2"], i["fibre_mass_fraction"])
    thickness = fractions.ply_thickness(
        i["fibre_g_m2"], held, i["rho_fibre_kg_m3"], i["rho_resin_kg_m3"]
    )
    rule = sandwich.thickness_of_mass(i["fibre_g_m2"], _RULE_OF_A_FORUM)
    return {
        "resin_g_m2": held,
        "ply_thickness_mm": thickness,
        "rule_thickness_mm": rule,
        "fibre_volume_fraction": fractions.fibre_volume_fraction(
            i["fibre_g_m2"], i["rho_fibre_kg_m3"], thickness
        ),
        "rule_over_exact": rule / thickness,
    }


def _gallons(case: Case, area: str, cloth: str) -> Array:
    mass = laminate.mass_of_area(_by_rule("gallon_formula", case.si[cloth]), case.si[area])
    return mass / _rule("gallon_formula", "mixed_density") / _read(1, "gal", "volume")


@_case("A03")
def _gallon_formula(case: Case) -> Answers:
    first = _gallons(case, "area1_ft2", "cloth1_oz_yd2")
    second = _gallons(case, "area2_ft2", "cloth2_oz_yd2")
    return {"gal1": first, "gal2": second, "gal_total": resin.total([first, second])}


@_case("A04")
def _gallon_formula_apart(case: Case) -> Answers:
    density = case.si["mixed_density_g_ml"]
    gross = resin.with_waste(1.0, case.si["waste"] - 1.0)
    per_gram = resin.rule_of_thumb(1.0, _rule("gallon_formula", "per_cloth"), 0.0)
    per_coat = resin.rule_of_thumb(0.0, 0.0, _rule("gallon_formula", "per_area")) / 3.0
    return {
        "ml_per_g_fibre": per_gram / density,
        "net_g_resin_per_g_fibre": per_gram / gross,
        "ml_per_m2_per_coat_gross": sandwich.thickness_of_mass(per_coat, density),
        "net_film_mm_per_coat": sandwich.thickness_of_mass(per_coat / gross, density),
    }


@_case("A10")
def _coverage_chart(case: Case) -> Answers:
    light, heavy = case.si["cloth_oz_yd2"]
    return {
        "ratio_6oz": _by_rule("chart_6oz", light) / light,
        "ratio_10oz": _by_rule("chart_10oz", heavy) / heavy,
    }


@_case("A05")
def _mat_and_roving(case: Case) -> Answers:
    mat, roving = case.si["mat_g_m2"], case.si["wr_g_m2"]
    in_mat, in_roving = _by_rule("mat", mat), _by_rule("woven_roving", roving)
    pair = laminate.shares([resin.total([mat, roving]), resin.total([in_mat, in_roving])])
    return {
        "mat_resin_g_m2": in_mat,
        "mat_Wf": laminate.shares([mat, in_mat])[0],
        "wr_resin_g_m2": in_roving,
        "wr_Wf": laminate.shares([roving, in_roving])[0],
        "pair_Wf": pair[0],
    }


@_case("A06")
def _coverage(case: Case) -> Answers:
    pound = _read(1, "lb", "mass")
    first, later, glue = (
        pound / _read(case.inputs[f"{name}_ft2_per_lb"], "ft2", "area")
        for name in ("first_coat", "later_coat", "glue_line")
    )
    return {
        "first_coat_g_m2": first,
        "later_coat_g_m2": later,
        "glue_line_g_m2": glue,
        "first_coat_m2_per_kg": 1.0 / first,
        "glue_line_m2_per_kg": 1.0 / glue,
    }


@_case("A07")
def _weighed_peel_ply(case: Case) -> Answers:
    i = case.si
    return {
        "uptake_low_g_m2": weighing.weighed_uptake(i["dry_g"], i["wet_first_g"], i["area_ft2"]),
        "uptake_high_g_m2": weighing.weighed_uptake(i["dry_g"], i["wet_second_g"], i["area_ft2"]),
        "uncertainty_of_one_reading_g_m2": weighing.uptake_uncertainty(
            i["scale_resolution_g"], i["area_ft2"]
        ),
    }


@_case("A08")
def _resin_budget(case: Case) -> Answers:
    i = case.si
    skins = np.repeat(i["fibre_g_m2_each_skin"], 2)
    in_cloth = resin.total(fractions.resin_in_cloth(skins, i["fibre_mass_fraction"]))
    soak = resin.total(np.repeat(i["core_surface_g_m2_per_side"], 2))
    in_part = resin.total([in_cloth, soak])
    peel = resin.resin_in_sacrificial_cloth(i["peel_ply_g_m2"], i["peel_ply_sides"])
    lost = resin.pot_and_tool_loss(i["pot_and_tool_loss"], resin.total([in_part, peel]))
    return {
        "laminate_resin_g_m2": in_cloth,
        "resin_in_part_g_m2": in_part,
        "resin_in_part_kg": laminate.mass_of_area(in_part, i["area_m2"]),
        "resin_to_mix_kg": laminate.mass_of_area(resin.total([in_part, peel, lost]), i["area_m2"]),
        "part_over_mixed": laminate.shares([in_part, peel, lost])[0],
    }


@_case("A09")
def _resin_in_consumables(case: Case) -> Answers:
    i = case.si
    used = weighing.weighed_uptake(i["left_in_pot_g"], i["mixed_g"], i["area_m2"])
    in_cloth = fractions.resin_in_cloth(i["fibre_g_m2"], i["assumed_Wf"])
    elsewhere = weighing.resin_elsewhere(used, in_cloth)
    return {
        "consumed_g": laminate.mass_of_area(used, i["area_m2"]),
        "consumed_g_m2": used,
        "in_laminate_g_m2": in_cloth,
        "elsewhere_g_m2": elsewhere,
        "elsewhere_fraction": laminate.shares([in_cloth, elsewhere])[1],
    }


@_case("micro-m01")
def _fractions_of_ply(case: Case) -> Answers:
    i = case.si
    fibre = fractions.mass_from_volume_fraction(i["Vf"], i["rho_f_kgm3"], i["rho_m_kgm3"])
    return {
        "density": fractions.void_free_density(fibre, i["rho_f_kgm3"], i["rho_m_kgm3"]),
        "fibre_mass_fraction": fibre,
        "matrix_mass_fraction": fractions.mass_from_volume_fraction(
            1.0 - i["Vf"], i["rho_m_kgm3"], i["rho_f_kgm3"]
        ),
    }


@_case("micro-m10", "micro-m11")
def _ply_from_areal_mass(case: Case) -> Answers:
    i = case.si
    fibre, densities = i["areal_mass_fibre_kgm2"], (i["rho_f_kgm3"], i["rho_m_kgm3"])
    held = fractions.resin_in_cloth(fibre, i["fibre_mass_fraction"])
    return {
        "Vf": fractions.volume_from_mass_fraction(i["fibre_mass_fraction"], *densities),
        "thickness": fractions.ply_thickness(fibre, held, *densities),
        "resin_mass": held,
        "density": fractions.void_free_density(i["fibre_mass_fraction"], *densities),
        "areal_mass": laminate.areal_mass([fibre, held]),
    }


@_case("micro-m12")
def _burn_off(case: Case) -> Answers:
    i = case.si
    fibre, weighed = i["fibre_mass_fraction"], i["measured_density_kgm3"]
    void_free = fractions.void_free_density(fibre, i["rho_f_kgm3"], i["rho_m_kgm3"])
    return {
        "theoretical_density": void_free,
        "void_fraction": fractions.void_fraction(weighed, void_free),
        "Vf": weighing.constituent_volume_fraction(fibre, weighed, i["rho_f_kgm3"]),
        "Vm": weighing.constituent_volume_fraction(1.0 - fibre, weighed, i["rho_m_kgm3"]),
    }


# --- Mixing and filling ---------------------------------------------------------------------------


@_case("C01")
def _mass_to_volume_ratio(case: Case) -> Answers:
    i = case.si
    by_volume = mixing.mix_ratio_by_volume(
        i["resin_parts"] / i["hardener_parts"], i["rho_resin"], i["rho_hardener"]
    )
    return {
        "volume_ratio": by_volume,
        "hardener_vol_per_100_vol_resin": mixing.hardener_for(100.0, by_volume),
    }


@_case("C03")
def _volume_ratio_weighed(case: Case) -> Answers:
    i = case.si
    right = mixing.hardener_for(
        100.0, mixing.mix_ratio_by_mass(2.0, i["rho_resin"], i["rho_hardener"])
    )
    used = mixing.hardener_for(100.0, 2.0)
    return {
        "correct_hardener_g_per_100": right,
        "used_hardener_g_per_100": used,
        "hardener_excess": mixing.hardener_excess(used, right),
    }


@_case("F01", "F02")
def _fairing_mix(case: Case) -> Answers:
    i = case.si
    mix = (i["resin_g"], i["rho_resin"], i["bubbles_g"], i["rho_bubbles"])
    filler = mixing.filler_volume_fraction(*mix)
    return {
        "rho_mix": sandwich.filled_density(*mix),
        "bubble_volume_fraction": filler,
        "exceeds_random_packing_0_64": bool(filler > mixing.RANDOM_PACKING),
    }


@_case("F03")
def _fairing_budget(case: Case) -> Answers:
    i = case.si
    applied = sandwich.solid_mass(i["mean_applied_mm"], i["rho_mix"])
    left = sandwich.kept(applied, 1.0 - i["sanded_off"])
    return {
        "mixed_kg": laminate.mass_of_area(resin.with_waste(applied, i["loss"]), i["area_m2"]),
        "left_on_hull_kg": laminate.mass_of_area(left, i["area_m2"]),
        "left_g_m2": left,
    }


@_case("C02")
def _split_batch(case: Case) -> Answers:
    i = case.si
    weighed = mixing.resin_of_mix(i["batch_g"], i["resin_parts"] / i["hardener_parts"])
    return {"resin_g": weighed, "hardener_g": i["batch_g"] - weighed}


@_case("C04")
def _strokes(case: Case) -> Answers:
    resin_strokes, hardener_strokes = case.si["strokes"]
    pumped = mixing.ratio_of_strokes(case.si["true_ratio"], resin_strokes / hardener_strokes)
    need = mixing.hardener_for(1.0, case.si["true_ratio"])
    used = mixing.hardener_for(1.0, pumped)
    return {
        "actual_ratio": pumped,
        "hardener_fraction_of_need": 1.0 + mixing.hardener_excess(used, need),
    }


# --- Against the clock ----------------------------------------------------------------------------


@_case("C05", "C06")
def _pot_life(case: Case) -> Answers:
    i = case.si
    told = (i["pot_life_min"], i["T_ref_C"], i["T_C"])
    return {
        "pot_life_min": potting.time_at_temperature(*told, i["factor_per_10C"]),
        "spread_min": potting.time_at_temperature(*told, i["spread"]),
    }


@_case("C07")
def _pots_of_a_rate(case: Case) -> Answers:
    i = case.si
    rate, use = i["lay_rate_m2_per_min"] / 60.0, i["resin_use_g_m2"]
    life = 60.0 * i["pot_life_min"]
    limit = potting.pot_by_rate(rate, use, life, i["usable_share_of_pot_life"])
    count = potting.pots(i["total_g"], limit, i["leftover_per_pot_g"])
    each = potting.equal_pot(i["total_g"], count, i["leftover_per_pot_g"])
    return {
        "use_rate_g_min": 1e3 * potting.pot_by_rate(rate, use, 60.0, 1.0),
        "max_batch_g": limit,
        "batches": count,
        "equal_batch_g": each,
        "mixed_total_g": estimating.cost_of(count, each),
    }


@_case("C12")
def _pots_of_a_cap(case: Case) -> Answers:
    i = case.si
    warm = in_si(25.0, "degC")
    life = potting.time_at_temperature(
        60.0 * i["pot_life_min_at_25C"], warm, i["T_C"], i["factor_per_10C"]
    )
    by_rate = potting.pot_by_rate(
        i["lay_rate_m2_per_min"] / 60.0, i["resin_use_g_m2"], life, i["usable_share"]
    )
    limit = potting.pot_limit(by_rate, i["pot_mass_cap_g"])
    return {
        "pot_life_min": life / 60.0,
        "rate_limit_g": by_rate,
        "batch_limit_g": limit,
        "batches": potting.pots(i["total_g"], limit, 0.0),
    }


@_case("C08")
def _exotherm(case: Case) -> Answers:
    i = case.inputs
    heats = (1e3 * i["cp_resin"], 1e3 * i["cp_glass"])
    return {
        "dT_neat_K": potting.exotherm_rise(1e3 * i["heat_J_g"], 0.0, *heats),
        "dT_laminate_K": potting.exotherm_rise(1e3 * i["heat_J_g"], i["Wf"], *heats),
    }


@_case("C09")
def _recoat(case: Case) -> Answers:
    i = case.si
    told = (i["T_ref_C"], i["T_C"], i["factor_per_10C"])
    return {
        "earliest_h": potting.time_at_temperature(i["earliest_h"], *told),
        "latest_h": potting.time_at_temperature(i["latest_h"], *told),
    }


@_case("C10")
def _post_cure(case: Case) -> Answers:
    i = case.si
    ramp = i["ramp_C_per_h"] / 3600.0
    total = potting.post_cure_time(i["T0_C"], i["T_hold_C"], ramp, 3600.0 * i["hold_h"])
    return {"total_h": total / 3600.0}


@_case("H01")
def _fill_time(case: Case) -> Answers:
    i = case.si
    fluid, length = (i["porosity"], i["viscosity_Pa_s"]), i["length_m"]
    driven = (i["permeability_m2"], i["dp_Pa"])
    return {
        "fill_time_s": infusion.line_feed_time(*fluid, length, *driven),
        "time_to_half_length_s": infusion.line_feed_time(*fluid, length / 2.0, *driven),
    }


@_case("H02")
def _lost_to_gravity(case: Case) -> Answers:
    lost = infusion.head(case.si["rho"], case.si["height_m"])
    return {"head_bar": lost / 1e5, "share_of_0_9_bar": lost / 0.9e5}


@_case("H03")
def _drop_test(case: Case) -> Answers:
    i = case.si
    inch, mbar_min = in_si(1.0, "inHg"), in_si(1.0, "mbar") / 60.0
    limit = infusion.vacuum_lost(inch * i["limit_inHg_per_5min"], 0.0, 300.0)
    lost = infusion.vacuum_lost(inch * i["start_inHg"], inch * i["end_inHg"], 60.0 * i["minutes"])
    return {
        "limit_mbar_per_min": limit / mbar_min,
        "measured_mbar_per_min": lost / mbar_min,
        "passes": bool(lost < limit),
    }


@_case("H04")
def _bag(case: Case) -> Answers:
    pressure = in_si(case.inputs["vacuum_bar"], "bar")
    return {
        "force_kN": infusion.bag_force(pressure, case.si["area_m2"]) / 1e3,
        "pressure_kPa": pressure / 1e3,
    }


@_case("H05")
def _resin_of_infusion(case: Case) -> Answers:
    i = case.si
    area, line = i["area_m2"], 1e-6 * i["feed_line_ml_per_m"] * i["feed_line_m"]
    held = laminate.mass_of_area(fractions.resin_in_cloth(i["fibre_g_m2"], i["Wf"]), area)
    soak = laminate.mass_of_area(i["core_uptake_g_m2"], area)
    away = laminate.mass_of_area(resin.total([i["peel_g_m2"], i["mesh_g_m2"]]), area)
    taken = resin.total([away, sandwich.solid_mass(line, i["rho"], 0.0)])
    return {
        "laminate_kg": held,
        "consumables_kg": taken,
        "total_kg": resin.total([held, soak, taken, i["trap_and_pot_kg"]]),
    }


# --- Money ----------------------------------------------------------------------------------------


@_case("K01")
def _cost(case: Case) -> Answers:
    i = case.si
    kits = resin.packs(i["resin_need_kg"], i["kit_kg"])
    materials = [
        estimating.cost_of(i["fabric_m"], i["price_fabric_per_m"]),
        estimating.cost_of(kits, i["price_kit"]),
        estimating.cost_of(i["foam_sheets"], i["price_sheet"]),
        estimating.cost_of(i["area_m2"], i["consumables_per_m2"]),
    ]
    labour = estimating.cost_of(i["hours"], i["rate_per_h"])
    return {
        "resin_kits": kits,
        "resin_left_kg": kits * i["kit_kg"] - i["resin_need_kg"],
        "materials": estimating.cost_in_all(materials, 0.0),
        "labour": labour,
        "total": estimating.cost_in_all([*materials, labour], i["contingency"]),
    }


@_case("K02")
def _used_and_bought(case: Case) -> Answers:
    i = case.si
    bought = estimating.cost_of(i["kits"], i["price_kit"])
    used = estimating.cost_of(i["resin_need_kg"] / i["kit_kg"], i["price_kit"])
    return {"cost_bought": bought, "cost_used": used, "stock_left_value": bought - used}


# --- Cores ----------------------------------------------------------------------------------------


@_case("E01")
def _bent_core(case: Case) -> Answers:
    i, radius = case.si, _read(case.inputs["radius_mm"], "mm", "length")
    volume = sandwich.kerf_volume_bent(i["core_mm"], 1.0 / radius)
    return {
        "volume_mm": volume,
        "resin_g_m2": sandwich.kerf_resin(0.0, volume, i["rho_resin"]),
        "kerf_mouth_mm": sandwich.kerf_mouth(i["pitch_mm"], i["core_mm"], 1.0 / radius),
    }


@_case("E02")
def _flat_core(case: Case) -> Answers:
    i = case.si
    volume = sandwich.kerf_volume_flat(i["depth_mm"], i["kerf_mm"], i["pitch_mm"])
    filling = sandwich.kerf_resin(volume, 0.0, i["rho_resin"])
    core = sandwich.solid_mass(i["core_mm"], i["core_density"], volume)
    return {
        "volume_mm": volume,
        "resin_g_m2": filling,
        "effective_core_density": sandwich.filled_density(
            filling, i["rho_resin"], core, i["core_density"]
        ),
    }


@_case("E03")
def _bed_of_paste(case: Case) -> Answers:
    i = case.si
    bed = paste.paste_bed(i["bed_mm"], i["kerf_fill_mm"], i["rho_paste"])
    return {
        "paste_g_m2": bed,
        "paste_kg": laminate.mass_of_area(resin.with_waste(bed, i["waste"]), i["area_m2"]),
    }


@_case("E06")
def _water_in_core(case: Case) -> Answers:
    i = case.si
    return {"water_g_m2": moisture.water_in(i["areal_mass_kg_m2"], i["moisture_pct"])}


@_case("E08")
def _fillet(case: Case) -> Answers:
    i = case.si
    section = paste.fillet_area(i["radius_mm"], np.radians(i["angle_deg"]))
    return {"area_mm2": section, "mass_g_per_m": paste.fillet_mass(section, i["rho"])}


@_case("E09")
def _cut_cells(case: Case) -> Answers:
    i = case.si
    fill = sandwich.cell_fill(i["cell_mm"], i["rho_resin"], i["fill_factor"])
    return {"g_m2_per_side": fill}


# --- Timber ---------------------------------------------------------------------------------------


@_case("D06")
def _edge_glue(case: Case) -> Answers:
    i = case.si
    height, cover, spread = i["strip_thickness_mm"], i["cover_mm"], i["spread_g_m2"]
    return {
        "glue_line_m_per_m2": sandwich.edge_glue(1.0, cover, 1.0),
        "glue_g_per_m": sandwich.edge_glue(height, 1.0, spread),
        "glue_g_m2": sandwich.edge_glue(height, cover, spread),
    }


@_case("D10", "D19")
@_group("equilibrium moisture")
def _settled_moisture(case: Case) -> Answers:
    return {"emc_pct": moisture.equilibrium_moisture(case.si["T_C"], case.si["RH"])}


@_case("D11")
def _drying_strips(case: Case) -> Answers:
    i = case.si
    span = (i["M_from"] / 100.0, i["M_to"] / 100.0)
    flat = moisture.change_of_size_by_coefficient(i["width_mm"], i["C_tangential"], *span)
    hull = moisture.change_of_size_by_coefficient(60.0 * i["width_mm"], i["C_tangential"], *span)
    quarter = moisture.change_of_size_by_coefficient(i["width_mm"], i["C_radial"], *span)
    return {
        "dw_flat_sawn_mm": flat,
        "dw_quarter_sawn_mm": quarter,
        "hull_of_60_strips_mm": hull,
    }


@_case("D14")
def _air_in_core(case: Case) -> Answers:
    i = case.si
    air = moisture.air_in_timber(i["thickness_mm"], i["rho_oven_dry_kg_m3"], i["rho_cell_wall"])
    return {
        "air_L_m2": air,
        "expelled_mL_m2": moisture.expelled_air(air, i["T1_C"], i["T2_C"]),
    }


@_group("density")
@_group("density against the table")
def _density(case: Case) -> Answers:
    i, wet = case.si, case.si["moisture_pct"]
    gravity = i["gravity"] if "gravity" in i else moisture.specific_gravity(i["basic"], wet)
    if "gravity" in case.expected:
        return {"gravity": gravity}
    return {"density_kg_m3": moisture.timber_density(gravity, wet)}


@_group("movement coefficient")
def _movement_coefficient(case: Case) -> Answers:
    return {"coefficient_per_pct": moisture.movement_coefficient(case.si["shrinkage_pct"])}


@_group("movement")
def _movement(case: Case) -> Answers:
    i = case.si
    span = (i["M_from_pct"], i["M_to_pct"])
    if "shrinkage_pct" in i:
        return {"change_mm": moisture.change_of_size(i["width_mm"], i["shrinkage_pct"], *span)}
    return {
        "change_mm": moisture.change_of_size_by_coefficient(
            i["width_mm"], i["coefficient_per_pct"], *span
        )
    }


@_group("property and moisture")
def _property(case: Case) -> Answers:
    i = case.si
    return {
        "property_MPa": moisture.property_at_moisture(
            i["at_12_MPa"], i["green_MPa"], i["moisture_pct"], i["intersection_pct"]
        )
    }


# --- Samples --------------------------------------------------------------------------------------


@_case("L01")
def _areal_mass_of_a_sample(case: Case) -> Answers:
    i = case.si
    long, wide = np.broadcast_to(i["side_mm"], 2)
    of_sides = [
        Known(n, float(side), float(i["u_side_mm"]))
        for n, side in zip("ab", (long, wide), strict=True)
    ]
    mass = Known("mass", float(i["mass_g"]), float(i["u_mass_g"]))
    found = budget(
        lambda x: weighing.weighed_uptake(0.0, x["mass"], x["a"] * x["b"]), [mass, *of_sides]
    )
    return {"kg_m2": found.value, "u_kg_m2": found.u, "rel_u": found.u / found.value}


@_case("L05")
def _negative_voids(case: Case) -> Answers:
    i = case.si
    held = i["after_g"] / i["before_g"]
    void_free = fractions.void_free_density(held, i["rho_fibre"], i["rho_resin"])
    voids = fractions.void_fraction(i["density"], void_free)
    return {"voids": voids, "density_at_zero_voids": void_free, "flag_expected": float(voids < 0.0)}
