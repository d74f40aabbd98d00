"""What our strips, cloth and core sheets make of the inputs of each outside check.

No formula stands here, only the order of the calls.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from panelwright.mechanics import cutting, strips
from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.units import to_si

from .cases import Answer, Answers, Case

ANSWERS: dict[str, Answer] = {}
FOOT, INCH = to_si(1.0, "ft"), to_si(1.0, "in")


def _case(*ids: str) -> Callable[[Answer], Answer]:
    def register(answer: Answer) -> Answer:
        ANSWERS.update(dict.fromkeys(ids, answer))
        return answer

    return register


# --- Cloth and core -------------------------------------------------------------------------------


@_case("B01")
def _widths_across_a_panel(case: Case) -> Answers:
    i = case.si
    count = cutting.lapped_pieces(i["panel_width_m"], i["roll_width_m"], i["overlap_m"])
    length = cutting.roll_length(count, i["panel_length_m"], i["end_trim_m"])
    cloth = length * i["roll_width_m"]
    return {
        "widths": count,
        "fabric_m": length,
        "covered_width_m": cutting.lapped_length(count, i["roll_width_m"], i["overlap_m"]),
        "fabric_area_m2": cloth,
        "waste_fraction": cutting.share_wasted(i["panel_width_m"] * i["panel_length_m"], cloth),
    }


@_case("B02")
def _lap_that_tips_the_count(case: Case) -> Answers:
    i = case.si
    return {"pieces": cutting.lapped_pieces(i["width_in"], i["roll_in"], i["overlaps_in"])}


@_case("B03")
def _bias_strips(case: Case) -> Answers:
    i = case.si
    roll, width, count = i["roll_width_m"], i["strip_width_m"], i["strips"]
    square = cutting.bias_length(roll, width)
    length, used = cutting.bias_roll_length(roll, width, count), count * width * square
    return {
        "strip_long_edge_m": cutting.bias_edge(roll),
        "square_ended_length_m": square,
        "roll_length_m": length,
        "area_used_square_ended_m2": used,
        "waste_fraction": cutting.share_wasted(used, length * roll),
    }


@_case("B04")
def _plies_that_run_out(case: Case) -> Answers:
    i = case.si
    return {
        "first_to_last_edge_mm": cutting.edges_apart(i["plies_dropped"], i["stagger_mm"]),
        "full_to_zero_run_mm": cutting.taper_run(i["plies_dropped"], i["stagger_mm"]),
        "slope_one_in": cutting.taper_slope(i["stagger_mm"], i["ply_thickness_mm"]),
    }


#: Of the case's source: a scarf 50 times as long as a ply is thick.
_SCARF_OF_REPAIR = 50.0


@_case("B05")
def _scarfed_repair(case: Case) -> Answers:
    i = case.si
    one = strips.scarf_length(i["face_ply_thickness_mm"], _SCARF_OF_REPAIR)
    return {
        "scarf_for_one_ply_mm": one,
        "scarf_all_plies_mm": cutting.taper_run(i["plies"], one),
    }


@_case("B06")
def _cloth_in_laps(case: Case) -> Answers:
    return {"extra_fraction": cutting.cloth_in_laps(case.si["roll_width_m"], case.si["overlap_m"])}


@_case("B07")
def _sheets_for_a_panel(case: Case) -> Answers:
    panel, sheet = case.si["panel_m"], case.si["sheet_m"]
    area, each = float(np.prod(panel)), float(np.prod(sheet))
    grids = cutting.sheets_in_grid(panel[0], panel[1], sheet, sheet[::-1])
    best = float(np.min(grids))
    return {
        "by_area": cutting.sheets_by_area(area, each),
        "grid_unrotated": grids[0],
        "grid_best": best,
        "offcut_fraction_best": cutting.share_wasted(area, best * each),
    }


# --- How many strips ------------------------------------------------------------------------------


@_case("D01")
def _strips_round_a_girth(case: Case) -> Answers:
    i = case.si
    count = strips.strips_across(i["girth_m"], i["cover_mm"])
    return {
        "strips_exact": strips.covers_in_girth(i["girth_m"], i["cover_mm"]),
        "strips": count,
        "with_spare": strips.with_spare(count, i["spare"]),
        "square_edge_strips": strips.strips_across(i["girth_m"], i["strip_width_mm"]),
    }


@_case("D02")
def _feet_for_a_square_foot(case: Case) -> Answers:
    per_foot = case.si["ft_per_ft2"]
    cover = 1.0 / per_foot
    length = strips.strip_length_for(case.si["area_ft2"], cover)
    return {
        "feet": length / FOOT,
        "metres": length,
        "m_per_m2": strips.strip_length_for(1.0, cover),
        "implied_cover_mm": cover,
    }


#: The other cover that the sources print for the same strip.
_FIVE_EIGHTHS = 0.625 * INCH


@_case("D03")
def _canoe_by_two_methods(case: Case) -> Answers:
    i = case.si
    length = strips.strip_length_for(i["area_ft2"], i["face_in"])
    return {
        "feet_by_area": length / FOOT,
        "strips_full_length": length / i["length_ft"],
        "feet_at_5_8_face": strips.strip_length_for(i["area_ft2"], _FIVE_EIGHTHS) / FOOT,
    }


@_case("D17")
def _staples(case: Case) -> Answers:
    i = case.si
    return {"staples": strips.staples(i["strips"], i["stations"], i["wasted"])}


# --- Sawing and scarfing --------------------------------------------------------------------------


@_case("D04")
def _strips_from_a_board(case: Case) -> Answers:
    i = case.si
    board, thick = i["board_width_mm"], i["strip_thickness_mm"]
    count = strips.strips_from_board(board, thick, i["kerf_mm"])
    return {
        "strips_per_board": count,
        "kerf_and_offcut_fraction": strips.sawing_loss(count, thick, board),
    }


#: Feet of strip for a square foot of hull, by the same source as D02.
_FEET_BY_RULE = 18.0


@_case("D05")
def _strips_from_a_board_foot(case: Case) -> Answers:
    """A board foot is a foot long and wide; its strips are as wide as it is thick, an inch."""
    thick, kerf = case.si["strip_in"], case.si["kerf_in"]
    by_inch = strips.strips_from_board(INCH, thick, kerf)
    feet = strips.strips_from_board(FOOT, thick, kerf) * case.si["board_ft"]
    return {
        "strips_per_inch": by_inch,
        "linear_ft_per_board_ft": feet,
        "kerf_loss_fraction": strips.sawing_loss(by_inch, thick, INCH),
        "board_ft_per_ft2_hull": strips.strip_length_for(1.0, 1.0 / _FEET_BY_RULE) / feet,
    }


@_case("D16")
def _scarfed_strips(case: Case) -> Answers:
    i = case.si
    scarf = strips.scarf_length(i["thickness_mm"], i["slope"])
    count = cutting.lapped_pieces(i["needed_m"], i["stock_m"], scarf)
    length = cutting.lapped_length(count, i["stock_m"], scarf)
    return {
        "scarf_mm": scarf,
        "pieces": count,
        "length_m": length,
        "spare_m": length - i["needed_m"],
    }


# --- Bending and fairing --------------------------------------------------------------------------


@_case("D07")
def _bend_at_a_strain(case: Case) -> Answers:
    strain = case.si["strain_limit"]
    return {
        "min_radius_mm": strips.tightest_bend(case.si["thickness_mm"], strain),
        "ratio_R_over_t": strips.tightest_bend(1.0, strain),
    }


@_case("D08")
def _bends_of_plywood(case: Case) -> Answers:
    i = case.si
    thick, across = i["thickness_in"], i["radius_dry_across_in"]
    return {
        "R_over_t_dry_across": across / thick,
        "R_over_t_dry_0_45": i["radius_dry_0_45_in"] / thick,
        "strain_dry_across_pct": strips.strain_of_bend(thick, across),
    }


@_case("D09")
def _spring_back(case: Case) -> Answers:
    lost = strips.spring_back(case.si["laminations"])
    return {
        "curvature_lost_fraction": lost,
        "released_radius_mm": strips.released_radius(case.si["mould_radius_mm"], lost),
    }


@_case("D15")
def _planed_corner(case: Case) -> Answers:
    i = case.si
    before = to_si(12.0, "mm")  # of the name
    return {
        "corner_height_mm": strips.corner_height(i["strip_width_mm"], i["radius_mm"]),
        "thickness_left_of_12_mm": strips.thickness_left(
            before, i["strip_width_mm"], i["radius_mm"]
        ),
        "max_width_mm": strips.widest_cover(i["radius_for_limit_mm"], i["limit_mm"]),
    }


@_case("strips-bend-S1", "strips-bend-S2")
def _bend_of_timber(case: Case) -> Answers:
    i = case.si
    thick, modulus, rupture = i["t_mm"], i["MOE_MPa"], i["MOR_MPa"]
    metre, half_metre = 1.0, 0.5  # of the names
    strain = strips.strain_at_rupture(rupture, modulus)
    flat = strips.tightest_bend(thick, strain)
    return {
        "R_min_flat": flat,
        "R_min_flat_at_inner_face": strips.radius_of_form(flat, thick),
        "R_min_flat_half_MOR": strips.tightest_bend(
            thick, strips.strain_at_rupture(0.5 * rupture, modulus)
        ),
        "R_min_edge_set": strips.tightest_bend(i["w_mm"], strain),
        "stress_at_R_1000mm": strips.stress_of_bend(modulus, thick, metre),
        "strain_at_R_1000mm": strips.strain_of_bend(thick, metre),
        "t_max_for_R_500mm": strips.thickest_for_bend(half_metre, strain),
    }


def _form(case: Case) -> tuple[Array, Array, Array]:
    i = case.si
    return i["strip_width_mm"], i["thickness_mm"], i["radius_of_form_mm"]


@_case("strips-geom-S1", "strips-geom-S2", "strips-geom-S3")
def _strips_round_a_form(case: Case) -> Answers:
    cover, thick, radius = _form(case)
    touching = strips.half_angle_touching(cover, radius)
    corners = strips.half_angle_on_corners(cover, radius)
    outside = strips.outer_width(cover, thick, radius)
    left: ArrayLike = strips.thickness_left(thick, cover, radius)
    return {
        "T_half_angle": np.degrees(touching),
        "T_bevel_each_edge": np.degrees(touching),
        "T_bevel_one_edge_only": np.degrees(2.0 * touching),
        "T_outer_gap_square_edges": strips.gap_of_square_edges(thick, touching),
        "T_standoff_inner_corner": strips.corner_standoff(cover, radius),
        "T_ridge_bevelled_outside": strips.corner_standoff(outside, radius + thick),
        "T_ridge_square_edges_outside": strips.corner_standoff(cover, radius + thick),
        "T_outer_width_bevelled": outside,
        "T_min_thickness_fair_outside_to_tangent_circle_at_edge_radial": left,
        "T_min_thickness_fair_inside_and_outside": left,
        "T_strips_per_90deg": strips.strips_in_angle(array(0.5 * np.pi), touching),
        "T_filler_area_per_gap": strips.filler_in_gap(thick, touching),
        "C_half_angle": np.degrees(corners),
        "C_sagitta_inside": strips.sagitta(radius, corners),
        "C_outer_gap_square_edges": strips.gap_of_square_edges(thick, corners),
    }


@_case("strips-concave-S4")
def _strips_in_a_hollow(case: Case) -> Answers:
    cover, thick, radius = _form(case)
    corners = strips.half_angle_on_corners(cover, radius)
    return {
        "half_angle": np.degrees(corners),
        "standoff_mid_strip": strips.sagitta(radius, corners),
        "inner_width_after_bevel": strips.inner_width(cover, thick, corners),
        "overlap_of_square_inner_corners": strips.gap_of_square_edges(thick, corners),
    }
