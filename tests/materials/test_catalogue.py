"""The loader, what it refuses, and the physical tables against things outside the project."""

from __future__ import annotations

import math
import re
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from scipy import constants

from panelwright.errors import CatalogueError, UnknownName
from panelwright.materials import Catalogue, Row
from panelwright.materials.catalogue import DATA
from panelwright.provenance import SIGMAS_OF_90, Evidence, Scope

SHIPPED = Catalogue.shipped()
OUNCE_PER_SQUARE_YARD = constants.oz / constants.yard**2  # kg/m2
OUNCE_PER_SQUARE_FOOT = constants.oz / constants.foot**2  # kg/m2; mat is sold so
KSI = 1000 * constants.psi

#: Tables checked here, with the number of rows of the tables of facts they were made from.
COUNTS = {
    "fibres": 17,
    "resins": 18,  # one more than the tables hold: polyester whose kind is not stated
    "cloths": 71,
    "timbers": 83,
    "timber_elastic_ratios": 34,
    "timber_poisson": 35,
    "timber_cross_grain": 85,
    "cores": 67,
    "cloth_forms": 13,
    "core_classes": 17,
    "fibre_fractions": 56,
    "plywoods": 6,
    "solids": 8,
}


def number(row: Row, column: str) -> float:
    value = row.number(column)
    assert value is not None, (row.table, row.id, column)
    return value


def shares(plies: str) -> dict[str, float]:
    pairs = (ply.split(":")[:2] for ply in plies.split())
    return {direction: float(share) for direction, share in pairs}


# --- The shipped tables --------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "count"), COUNTS.items())
def test_no_row_is_lost(name: str, count: int) -> None:
    assert len(SHIPPED.table(name)) == count


def test_timber_rows_hold_both_moistures() -> None:
    """162 lines of the handbook tables: 79 species twice, balsa, okoume and two paulownias once."""
    tests = [
        number(row, column)
        for row in SHIPPED.table("timbers")
        for column in ("MOE_green", "MOE_12", "MOE_15")
        if row.number(column) is not None
    ]
    assert len(tests) == 162


@pytest.mark.parametrize("name", SHIPPED.tables)
def test_every_row_says_where_it_comes_from(name: str) -> None:
    of_the_shop = {Evidence.MEASURED, Evidence.GIVEN}
    for row in SHIPPED.table(name):
        assert len(row.source) > 5, row
        assert row.evidence() not in of_the_shop, row


@pytest.mark.parametrize("name", COUNTS)
def test_names_and_aliases_lead_to_their_own_row(name: str) -> None:
    table = SHIPPED.table(name)
    for row in table:
        assert all(table.find(words) is row for words in (row.id, row.name, *row.aliases))


@pytest.mark.parametrize("name", COUNTS)
def test_every_number_can_be_an_input(name: str) -> None:
    table = SHIPPED.table(name)
    for row in table:
        for column in (c for c, unit in table.units.items() if unit != "-"):
            if row.number(column) is not None:
                given = row.input(column)
                assert given.low <= given.value <= given.high


@pytest.mark.parametrize(
    ("table", "column", "target"),
    [
        ("cloths", "fibre", "fibres"),
        ("cloths", "form", "cloth_forms"),
        ("fibre_fractions", "process", "processes"),
        ("cores", "core_class", "core_classes"),
        ("plywoods", "species", "timbers"),
        ("timbers", "elastic_ratios", "timber_elastic_ratios"),
        ("timbers", "poisson", "timber_poisson"),
        ("timbers", "cross_grain", "timber_cross_grain"),
    ],
)
def test_ids_of_other_tables_exist(table: str, column: str, target: str) -> None:
    ids = {row.text(column) for row in SHIPPED.table(table)} - {""}
    assert ids
    assert ids <= {row.id for row in SHIPPED.table(target)}


def test_fibre_and_cloth_groups_have_fractions() -> None:
    fractions = SHIPPED.table("fibre_fractions")
    groups = {row.text("fibre_group") for row in fractions}
    assert {row.text("fibre_group") for row in SHIPPED.table("fibres")} == groups
    forms = {row.text("fraction_group") for row in SHIPPED.table("cloth_forms")}
    assert {row.text("fraction_group") for row in fractions} == forms


def test_every_stocked_cloth_has_a_fraction_for_each_process() -> None:
    forms, fibres = SHIPPED.table("cloth_forms"), SHIPPED.table("fibres")
    for cloth in SHIPPED.table("cloths"):
        rows = SHIPPED.table("fibre_fractions").where(
            fibre_group=fibres.row(cloth.text("fibre")).text("fibre_group"),
            fraction_group=forms.row(cloth.text("form")).text("fraction_group"),
        )
        processes = {row.text("process") for row in rows}
        assert processes == {"hand", "hand_peel", "bag", "infusion"}, cloth.id


# --- Cloth ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["cloths", "cloth_forms"])
def test_shares_of_the_plies_make_one(name: str) -> None:
    for row in SHIPPED.table(name):
        assert math.isclose(sum(shares(row.text("plies")).values()), 1.0, abs_tol=1e-12), row.id


def test_cloths_have_the_directions_of_their_form() -> None:
    for cloth in SHIPPED.table("cloths"):
        form = SHIPPED.table("cloth_forms").row(cloth.text("form"))
        assert list(shares(cloth.text("plies"))) == list(shares(form.text("plies"))), cloth.id


@pytest.mark.parametrize(
    ("words", "mass"),
    # NIST SP 811 ounces, yards and feet. Names of cloths are common practice, rounded to 2 %.
    [
        ("4 oz glass cloth", 4 * OUNCE_PER_SQUARE_YARD),
        ("6 oz glass cloth", 6 * OUNCE_PER_SQUARE_YARD),
        ("9 oz satin", 9 * OUNCE_PER_SQUARE_YARD),
        ("10 oz cloth", 10 * OUNCE_PER_SQUARE_YARD),
        ("18 oz woven roving", 18 * OUNCE_PER_SQUARE_YARD),
        ("12 oz biax", 12 * OUNCE_PER_SQUARE_YARD),
        ("0.75 oz mat", 0.75 * OUNCE_PER_SQUARE_FOOT),
        ("1.5 oz mat", 1.5 * OUNCE_PER_SQUARE_FOOT),
        ("2 oz mat", 2 * OUNCE_PER_SQUARE_FOOT),
        ("1708", 17 * OUNCE_PER_SQUARE_YARD + 0.75 * OUNCE_PER_SQUARE_FOOT),
        ("1808", 18 * OUNCE_PER_SQUARE_YARD + 0.75 * OUNCE_PER_SQUARE_FOOT),
    ],
)
def test_cloths_weigh_what_their_shop_names_say(words: str, mass: float) -> None:
    assert number(SHIPPED.find("cloths", words), "areal_mass") == pytest.approx(mass, rel=0.02)


def test_cured_thickness_of_600_biaxial_by_hand() -> None:
    """0.756 mm, worked by hand from t = w/rho_f + w(1 - m)/(m rho_m) with a glass of 2560 kg/m3."""
    cloth = SHIPPED.find("cloths", "E-glass biaxial 600 g/m2")
    mass = number(cloth, "areal_mass")
    fraction = number(
        SHIPPED.table("fibre_fractions").row("glass_stitched_hand"), "fibre_mass_fraction"
    )
    glass = number(SHIPPED.find("fibres", "E-glass"), "density")
    resin = number(SHIPPED.find("resins", "epoxy, laminating"), "density_cured")
    thickness = mass / glass + mass * (1 - fraction) / (fraction * resin)
    assert thickness == pytest.approx(0.756e-3, rel=0.005)


def test_fractions_can_be_packed() -> None:
    """Round fibres in square packing fill pi/4 of the volume; geometry, no source needed."""
    resin = number(SHIPPED.find("resins", "epoxy"), "density_cured")
    for row in SHIPPED.table("fibre_fractions"):
        most = number(row, "fibre_mass_fraction_high")
        for fibre in SHIPPED.table("fibres").where(fibre_group=row.text("fibre_group")):
            solid = most / number(fibre, "density")
            assert solid / (solid + (1 - most) / resin) < math.pi / 4, (row.id, fibre.id)


def test_each_process_leaves_less_resin_than_the_one_before() -> None:
    table = SHIPPED.table("fibre_fractions")
    for hand in table.where(process="hand"):
        kind = {key: hand.text(key) for key in ("fibre_group", "fraction_group")}
        middle = [
            number(table.where(**kind, process=process)[0], "fibre_mass_fraction")
            for process in ("hand", "hand_peel", "bag", "infusion")
        ]
        assert middle == sorted(middle), hand.id


def test_a_cloth_with_mat_lies_between_its_parts() -> None:
    """1/m adds up by mass (72 % stitched, 28 % mat); the standard rounds to 0.42 and 0.50."""
    table = SHIPPED.table("fibre_fractions")
    for process in ("hand", "bag", "infusion"):
        stitched, mat, both = (
            number(table.row(f"glass_{group}_{process}"), "fibre_mass_fraction")
            for group in ("stitched", "mat", "combination")
        )
        assert both == pytest.approx(1 / (0.72 / stitched + 0.28 / mat), abs=0.007)


@pytest.mark.parametrize(
    ("id", "spans"),
    # Usual spans of the trade, common practice; each must lie inside the range of its row.
    [
        ("glass_stitched_hand", (0.40, 0.52)),
        ("glass_woven_hand", (0.36, 0.52)),
        ("glass_mat_hand", (0.28, 0.33)),
        ("glass_stitched_hand_peel", (0.48, 0.56)),
        ("glass_stitched_bag", (0.52, 0.62)),
        ("glass_stitched_infusion", (0.62, 0.72)),
        ("glass_mat_infusion", (0.45, 0.50)),
        ("carbon_woven_hand", (0.42, 0.52)),
        ("carbon_woven_infusion", (0.58, 0.66)),
        ("flax_woven_hand", (0.30, 0.40)),
        ("flax_woven_infusion", (0.45, 0.52)),
    ],
)
def test_ranges_cover_the_spans_of_the_trade(id: str, spans: tuple[float, float]) -> None:
    row = SHIPPED.table("fibre_fractions").row(id)
    given = row.input("fibre_mass_fraction", scope=Scope.PROCESS)
    assert given.low <= spans[0] < spans[1] <= given.high


# --- Fibres and resins ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "column", "value"),
    # National Research Council 1992, High-Performance Synthetic Fibers for Composites, Table 3-1.
    [
        ("E-glass", "E_axial", 72.4e9),
        ("E-glass", "tensile_strength", 3450e6),
        ("carbon, intermediate modulus", "E_axial", 290e9),
        ("carbon, intermediate modulus", "strain_to_failure", 0.018),
        ("carbon, ultra-high modulus", "E_axial", 700e9),
        ("aramid", "strain_to_failure", 0.028),
        ("aramid", "CTE_axial", -2.0e-6),
        ("UHMWPE", "tensile_strength", 2600e6),
    ],
)
def test_fibres_as_published(words: str, column: str, value: float) -> None:
    row = SHIPPED.find("fibres", words)
    assert number(row, column) == pytest.approx(value, rel=1e-12)
    assert row.evidence(column) is Evidence.PUBLISHED


def test_e_glass_density_covers_what_plates_weighed() -> None:
    """2540 kg/m3 is published (Jang 1994); rules use 2560, weighed plates fit 2600."""
    density = SHIPPED.find("fibres", "glass").input("density")
    assert (density.low, density.value, density.high) == (2500, 2540, 2600)


def test_straight_fibres_obey_hooke() -> None:
    """Strength over modulus is the strain to failure of a fibre that stays linear: 10 %."""
    for group in ("glass", "carbon", "basalt"):
        for row in SHIPPED.table("fibres").where(fibre_group=group):
            hooke = number(row, "tensile_strength") / number(row, "E_axial")
            assert hooke == pytest.approx(number(row, "strain_to_failure"), rel=0.10), row.id


def test_glass_is_isotropic() -> None:
    """G = E/(2(1 + nu)): 3 %."""
    for row in SHIPPED.table("fibres").where(fibre_group="glass"):
        shear = number(row, "E_axial") / (2 * (1 + number(row, "nu_axial")))
        assert shear == pytest.approx(number(row, "G_axial"), rel=0.03), row.id


@pytest.mark.parametrize(
    ("words", "strength", "modulus"),
    # Greene, Marine Composites, 2nd ed. 1999, table of castings in ksi, from memory: 2 %.
    [
        ("polyester", 7.0, 590),
        ("polyester, isophthalic", 10.3, 565),
        ("polyester, DCPD blend", 11.2, 910),
        ("vinyl ester", 11.5, 490),
    ],
)
def test_resins_as_remembered_in_inch_pounds(words: str, strength: float, modulus: float) -> None:
    row = SHIPPED.find("resins", words)
    assert number(row, "tensile_strength") == pytest.approx(strength * KSI, rel=0.02)
    assert number(row, "E") == pytest.approx(modulus * KSI, rel=0.02)
    assert row.evidence("E") is Evidence.MEMORY


def test_laminating_epoxy_is_found_as_the_shop_says_it() -> None:
    for words in ("epoxy", "Laminating epoxy", "room-temperature epoxy", "epoxy, laminating"):
        assert SHIPPED.find("resins", words).id == "ep_rt"
    assert SHIPPED.find("resins", "thickened epoxy").id == "filled_silica"


# --- Timber --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("moisture", "gravity", "rupture", "modulus", "along", "across", "shear"),
    # Northern white cedar: Wood Handbook Table 5-3b in psi and million psi, from memory; the
    # metric twin on p. 5-8 was read. Converted values agree within rounding: 2 %, across 4 %.
    [("green", 0.29, 4200, 0.64, 1990, 230, 620), ("12", 0.31, 6500, 0.80, 3960, 310, 850)],
)
def test_northern_white_cedar_in_inch_pounds(
    moisture: str,
    gravity: float,
    rupture: float,
    modulus: float,
    along: float,
    across: float,
    shear: float,
) -> None:
    row = SHIPPED.find("timbers", "northern white cedar")
    assert number(row, f"specific_gravity_{moisture}") == gravity
    for column, value, tolerance in (
        ("MOR", rupture, 0.02),
        ("MOE", modulus * 1e6, 0.02),
        ("comp_parallel", along, 0.02),
        ("comp_perp", across, 0.04),
        ("shear", shear, 0.02),
    ):
        found = number(row, f"{column}_{moisture}")
        assert found == pytest.approx(value * constants.psi, rel=tolerance), column
        assert row.evidence(f"{column}_{moisture}") is Evidence.PUBLISHED


def test_modulus_along_the_grain_is_a_tenth_above_the_bending_test() -> None:
    """Wood Handbook ch. 5: E_L = 1.10 MOE, from memory."""
    for row in SHIPPED.table("timbers"):
        for moisture in ("green", "12", "15"):
            bending = row.number(f"MOE_{moisture}")
            if bending is not None:
                assert number(row, f"E_L_{moisture}") == pytest.approx(1.1 * bending, rel=1e-3)
                assert row.evidence(f"E_L_{moisture}") is Evidence.ESTIMATED


def test_specific_gravity_follows_shrinkage() -> None:
    """G_12 = G_b/(1 - S_v 18/30) with the shrinkage of the species, within 5 %.

    Wood Handbook Eq. 4-7 and 4-9, read in open code that cites them; rounding to 0.01 alone is 2
    to 3 %. Western white pine lies outside: the handbook page prints 0.36 green and 0.35 at 12 %,
    an order that cannot be, and the row says so.
    """
    off = {}
    for row in SHIPPED.table("timbers"):
        names = ("specific_gravity_green", "specific_gravity_12", "shrinkage_volumetric")
        green, dry, shrinkage = (row.number(name) for name in names)
        if green is not None and dry is not None and shrinkage is not None:
            off[row.id] = dry / (green / (1 - shrinkage * 18 / 30)) - 1
    assert len(off) == 65
    assert {id for id, share in off.items() if abs(share) > 0.05} == {"pine_western_white"}
    assert "cannot be" in SHIPPED.table("timbers").row("pine_western_white").note


@pytest.mark.parametrize(
    ("column", "softwood", "hardwood"),
    # Wood Handbook Table 5-11 at 12 % moisture, from memory: factor [MPa] and power of G.
    [
        ("MOR", (170.7, 1.01), (171.3, 1.13)),
        ("MOE", (20500, 0.84), (16500, 0.70)),
        ("comp_parallel", (93.7, 0.97), (76.0, 0.89)),
        ("comp_perp", (16.5, 1.57), (21.6, 2.09)),
        ("shear", (16.6, 0.85), (21.9, 1.13)),
        ("tension_perp", (6.0, 1.11), (10.1, 1.30)),
    ],
)
def test_species_scatter_about_the_rules_from_specific_gravity(
    column: str, softwood: tuple[float, float], hardwood: tuple[float, float]
) -> None:
    """The mean of measured over rule is 1 within 8 %, and no species is off by half."""
    for group, (factor, power) in (("softwood", softwood), ("hardwood", hardwood)):
        ratios = [
            found / (factor * 1e6 * number(row, "specific_gravity_12") ** power)
            for row in SHIPPED.table("timbers").where(group=group)
            if (found := row.number(f"{column}_12")) is not None
        ]
        assert len(ratios) >= 19
        assert np.mean(ratios) == pytest.approx(1.0, abs=0.08), group
        assert max(abs(ratio - 1) for ratio in ratios) < 0.5, group


def test_shrinkage_adds_up() -> None:
    """Tangential leads, and volume shrinks by about the sum of both: 25 % over one species.

    The three come from separate specimens. Those of African mahogany and iroko exceed 25 %: the
    table of imported woods gathers several laboratories.
    """
    off = {}
    for row in SHIPPED.table("timbers"):
        names = ("shrinkage_radial", "shrinkage_tangential", "shrinkage_volumetric")
        radial, tangential, volume = (row.number(name) for name in names)
        if radial is not None and tangential is not None and volume is not None:
            assert tangential > radial, row.id
            off[row.id] = volume / (radial + tangential) - 1
    assert {id for id, share in off.items() if abs(share) > 0.25} == {
        "mahogany_african_khaya",
        "iroko",
    }


def test_timber_spread_is_that_of_the_species() -> None:
    """COV of specific gravity 10 %, of MOE 22 % (Wood Handbook Table 5-6, from memory)."""
    row = SHIPPED.find("timbers", "western redcedar")
    for column, cov in (("specific_gravity_12", 0.10), ("density_12", 0.10), ("MOE_12", 0.22)):
        given = row.input(column)
        assert given.sd_above == pytest.approx(cov * given.value)
        assert given.sd_below == pytest.approx(cov * given.value)


def test_elastic_sets_are_admissible() -> None:
    """With nu_ji from reciprocity the compliance of each full set is positive definite."""
    ratios = SHIPPED.table("timber_elastic_ratios")
    full = [row for row in SHIPPED.table("timber_poisson") if row.text("admissible")]
    assert len(full) == 34
    for row in full:
        tangential, radial = (
            number(ratios.row(row.id), column) for column in ("E_T_over_E_L", "E_R_over_E_L")
        )
        lr, lt, rt = (number(row, column) for column in ("nu_LR", "nu_LT", "nu_RT"))
        compliance = np.array(
            [
                [1.0, -lr, -lt],
                [-lr, 1 / radial, -rt / radial],
                [-lt, -rt / radial, 1 / tangential],
            ]
        )
        assert np.all(np.linalg.eigvalsh(compliance) > 0), row.id
        assert row.text("admissible") == "yes"
        assert number(row, "nu_RL_from_reciprocity") == pytest.approx(lr * radial, abs=6e-4)
        assert number(row, "nu_TL_from_reciprocity") == pytest.approx(lt * tangential, abs=6e-4)


def test_rolling_shear_as_measured() -> None:
    """European beech 5.6 MPa and 370 MPa: Holzforschung 70 (2016), doi 10.1515/hf-2015-0229."""
    row = SHIPPED.find("timber_cross_grain", "European beech")
    assert number(row, "rolling_shear_strength") == 5.6e6
    assert number(row, "G_RT") == 370e6
    assert row.evidence("G_RT") is Evidence.PUBLISHED


def test_cross_grain_repeats_the_species_table() -> None:
    timbers, across = SHIPPED.table("timbers"), SHIPPED.table("timber_cross_grain")
    for timber in timbers:
        if timber.text("cross_grain"):
            row = across.row(timber.text("cross_grain"))
            shear = timber.number("shear_12")
            assert shear is None or row.number("shear_parallel") == shear, row.id
            if row.text("tension_perp_basis") == "the table timbers":
                known = [timber.number(f"tension_perp_{m}") for m in ("12", "green")]
                assert row.number("tension_perp") in known, row.id


# --- Cores, plywoods, solids ---------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["pvc_x", "pvc_lin", "san", "pet", "pmi", "pur", "balsa_end"])
def test_cores_scale_with_density_as_cellular_solids(kind: str) -> None:
    """Moduli of closed cells go with density to a power of 1 to 2 (Gibson & Ashby, read)."""
    rows = SHIPPED.table("cores").where(core_class=kind)
    density = np.log([number(row, "density") for row in rows])
    for column in ("E_c", "G_L"):
        power = np.polyfit(density, np.log([number(row, column) for row in rows]), 1)[0]
        assert 1.0 < power < 2.0, column
    for column in ("comp_strength", "shear_strength_L"):
        values = [number(row, column) for row in rows]
        assert values == sorted(values), column


def test_balsa_stiffness_is_linear_in_density() -> None:
    """Borrega & Gibson 2015, Mechanics of Materials 84:75-90, abstract read."""
    rows = SHIPPED.table("cores").where(core_class="balsa_end")
    density, modulus = ([number(row, column) for row in rows] for column in ("density", "E_c"))
    assert np.corrcoef(density, modulus)[0, 1] > 0.995


def test_aluminium_honeycomb_against_the_ideal_cell() -> None:
    """Doubled ribbon walls: G_L 0.56 to 0.63 of rho/rho_s G_s, G_W 0.375 of it (geometry).

    G_s 26 GPa, rho_s 2680 kg/m3 for the alloy (from memory). Real cells give up to 15 % more
    along the ribbon and up to 25 % less across it.
    """
    for row in SHIPPED.table("cores").where(core_class="al_honeycomb"):
        if row.number("G_L") is not None:
            solid = number(row, "density") / 2680 * 26e9
            assert 0.9 * 0.5625 < number(row, "G_L") / solid < 1.2 * 0.625, row.id
            assert 0.75 * 0.375 < number(row, "G_W") / solid < 1.05 * 0.375, row.id


def test_published_honeycomb_rows_name_their_journal() -> None:
    for id in ("al_9_5_48_pub", "al_9_5_46_test"):
        row = SHIPPED.table("cores").row(id)
        assert row.evidence("shear_strength_L") is Evidence.PUBLISHED
        assert "No. 106, July 2016" in row.source


@pytest.mark.parametrize(
    ("words", "density", "id"),
    [
        ("PVC", 80, "pvc_x_80"),
        ("PET foam", 110, "pet_115"),
        ("linear PVC", 75, "pvc_lin_80"),
        ("balsa", 155, "balsa_end_150"),
        ("XPS", 30, "xps_35"),
        ("paper honeycomb", 30, "kraft_19_30"),
    ],
)
def test_a_core_between_two_rows_takes_the_nearer(words: str, density: float, id: str) -> None:
    assert SHIPPED.core(words, density).id == id


def test_every_class_of_core_is_findable_over_its_whole_range() -> None:
    for kind in SHIPPED.table("core_classes"):
        if kind.number("lightest") is not None:
            ends = number(kind, "lightest"), number(kind, "heaviest")
            for density in np.linspace(*ends, 7):
                assert SHIPPED.core(kind.name, density).text("core_class") == kind.id


def test_a_core_too_light_or_without_density_is_refused() -> None:
    with pytest.raises(CatalogueError, match=r"Given: 500 kg/m3\. Allowed: 43 to 275 kg/m3\."):
        SHIPPED.core("PVC foam", 500)
    with pytest.raises(CatalogueError, match="trip timber has no density of its own"):
        SHIPPED.core("strip timber", 350)


@pytest.mark.parametrize(
    ("thickness", "veneers"), [(4, 3), (6.5, 5), (9, 7), (12, 9), (15, 11), (18, 13), (24, 17)]
)
def test_birch_plywood_has_the_usual_number_of_veneers(thickness: float, veneers: int) -> None:
    """Counts are common practice; the rule is the odd number nearest to thickness over veneer."""
    row = SHIPPED.find("plywoods", "birch plywood")
    counts = [3, 5, 7, 9, 11, 13, 15, 17, 19]
    share = thickness * 1e-3 / number(row, "veneer_thickness")
    assert min(counts, key=lambda count: abs(count - share)) == veneers


@pytest.mark.parametrize(
    ("words", "modulus", "density", "nu"),
    # EN 1993-1-1 cl. 3.2.6 and EN 1999-1-1 cl. 3.2.5, design values of the codes, from memory.
    [("steel", 210e9, 7850, 0.30), ("aluminium", 70e9, 2700, 0.33)],
)
def test_metals_as_the_codes_have_them(
    words: str, modulus: float, density: float, nu: float
) -> None:
    row = SHIPPED.find("solids", words)
    values = [number(row, column) for column in ("E", "density", "nu")]
    assert values == [pytest.approx(modulus), density, pytest.approx(nu, abs=0.03)]


# --- Finding -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("table", "words", "id"),
    [
        ("timbers", "western redcedar", "cedar_western_redcedar"),
        ("timbers", "Cedar, western red", "cedar_western_redcedar"),
        ("timbers", "RED-CEDARS", "cedar_western_redcedar"),
        ("timbers", "thuja plicata", "cedar_western_redcedar"),
        ("timbers", "gaboon", "okoume"),
        ("timbers", "white-cedar, northern", "cedar_northern_white"),
        ("timbers", "birches", "birch_yellow"),
        ("cloth_forms", "biax", "biaxial_45"),
        ("cloth_forms", "Double-bias", "biaxial_45"),
        ("cloth_forms", "+-45", "biaxial_45"),
        ("cloth_forms", "0/90 biax", "biaxial_0_90"),
        ("cloth_forms", "cloth", "plain_weave"),
        ("cloth_forms", "woven", "plain_weave"),
        ("cloth_forms", "uni", "unidirectional"),
        ("cloth_forms", "CSM", "chopped_mat"),
        ("cloth_forms", "biaxial_45", "biaxial_45"),
        ("fibres", "E glass", "e_glass"),
        ("fibres", "carbon fibre", "c_ht"),
        ("cloths", "E-glass biaxial 300 g/m²", "glass_dbias_300"),
        ("cores", "PET foam, 100 kg/m3", "pet_100"),
        ("plywoods", "gaboon ply", "ply_okoume"),
        ("resins", "Epoxies", "ep_rt"),
    ],
)
def test_shop_words_find_their_row(table: str, words: str, id: str) -> None:
    assert SHIPPED.find(table, words).id == id


def test_an_unknown_name_offers_the_nearest_three() -> None:
    message = 'This is not one of the timbers. Given: western red ceder. Try: "western redcedar"'
    with pytest.raises(UnknownName, match=re.escape(message)) as caught:
        SHIPPED.find("timbers", "western red ceder")
    assert caught.value.nearest[0] == "western redcedar"
    assert len(caught.value.nearest) == 3


def test_one_word_of_many_names_offers_some_of_them() -> None:
    with pytest.raises(UnknownName) as caught:
        SHIPPED.find("timbers", "cedar")
    assert all("cedar" in name for name in caught.value.nearest)


def test_a_name_like_none_offers_none() -> None:
    with pytest.raises(UnknownName) as caught:
        SHIPPED.find("timbers", "zzzzqq")
    assert caught.value.nearest == ()


def test_unknown_tables_and_ids_offer_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r'a table of the catalogue.*Try: "timbers"'):
        SHIPPED.table("timber")
    with pytest.raises(UnknownName, match=r'an id of the table resins.*Try: "ep_rt"'):
        SHIPPED.table("resins").row("ep_rtt")


def test_search_reads_names_aliases_and_notes() -> None:
    assert [row.id for row in SHIPPED.search("western cedar")] == ["cedar_western_redcedar"]
    found = {(row.table, row.id) for row in SHIPPED.search("styrene")}
    assert {("cores", "xps_35"), ("cloths", "csm_300")} <= found
    named = [
        "epoxy" in " ".join((row.name, *row.aliases)).casefold() for row in SHIPPED.search("epoxy")
    ]
    assert named == sorted(named, reverse=True)
    assert any(named)
    assert SHIPPED.search("  ") == []


def test_where_and_nearest() -> None:
    cloths = SHIPPED.table("cloths")
    satin = cloths.where(form="satin")
    assert [row.id for row in satin] == ["glass_cloth_300"]
    near = cloths.nearest("areal_mass", 0.310, fibre="e_glass", form="biaxial_45")
    assert near is not None
    assert near.id == "glass_dbias_300"
    assert cloths.nearest("areal_mass", 0.3, fibre="hemp") is None


# --- One row -------------------------------------------------------------------------------------


def test_numbers_come_in_si() -> None:
    row = SHIPPED.find("timbers", "western redcedar")
    assert row.number("MOE_12") == 7.7e9
    assert row.number("shrinkage_tangential") == pytest.approx(0.050)
    assert SHIPPED.find("cores", "pet_100").number("temperature_limit") == pytest.approx(398.15)
    assert SHIPPED.find("fibres", "aramid").number("CTE_axial") == pytest.approx(-2e-6)
    assert SHIPPED.find("timbers", "teak").number("comp_perp_12") is None


def test_range_comes_from_the_table_where_it_has_one() -> None:
    given = SHIPPED.find("fibres", "flax").input("E_axial", cause="flax", scope=Scope.LAYER)
    assert (given.low, given.value, given.high) == (30e9, 55e9, 70e9)
    assert (given.cause, given.scope) == ("flax", Scope.LAYER)


def test_range_follows_from_evidence_where_the_table_has_none() -> None:
    """From memory: 10 % standard deviation, strengths 15 %; the sign of the number is kept."""
    row = SHIPPED.find("fibres", "ECR-glass")
    modulus, strength = row.input("E_axial"), row.input("tensile_strength")
    assert modulus.sd_above == pytest.approx(0.10 * 80e9)
    assert strength.low == pytest.approx(3400e6 * (1 - SIGMAS_OF_90 * 0.15))
    contraction = SHIPPED.find("fibres", "UHMWPE").input("CTE_axial")
    assert contraction.low < contraction.value < contraction.high < 0


def test_evidence_can_differ_by_column() -> None:
    row = SHIPPED.find("timbers", "western redcedar")
    assert row.evidence() is Evidence.MEMORY
    assert row.evidence("MOE_12") is Evidence.PUBLISHED
    assert row.evidence("MOE_green") is Evidence.MEMORY
    assert row.input("MOE_12").evidence is Evidence.PUBLISHED


def test_a_missing_number_says_what_to_do() -> None:
    message = r"timbers\.csv:\d+, comp_perp_12: comp perp 12 of teak is not known\. Try: give it"
    with pytest.raises(CatalogueError, match=message):
        SHIPPED.find("timbers", "teak").input("comp_perp_12")


def test_an_unknown_column_lists_the_columns() -> None:
    row = SHIPPED.find("resins", "epoxy")
    for read in (row.text, row.number, row.evidence, row.input):
        with pytest.raises(KeyError, match="resins has no column 'rho'; it has id, name, aliases"):
            read("rho")


def test_text_is_not_a_number() -> None:
    with pytest.raises(CatalogueError, match="mix ratio of epoxy, laminating is not a number"):
        SHIPPED.find("resins", "epoxy").number("mix_ratio")


# --- What is refused -----------------------------------------------------------------------------

HEAD = "id,name,aliases,density,density_low,density_high,source,evidence,evidence_of,note\n"
UNITS = "-,-,-,kg/m^3,kg/m^3,kg/m^3,-,-,-,-\n"
GOOD = "a,alpha,first; one,100,90,110,a book,common practice,,\n"


def table_of(folder: Path, text: str) -> Catalogue:
    path = folder / "things.csv"
    path.write_text(text, "utf-8")
    return Catalogue({"things": path})


def test_a_table_says_where_its_numbers_come_from(tmp_path: Path) -> None:
    table = table_of(tmp_path, "# From a book,\n# read twice.\n" + HEAD + UNITS + GOOD).table(
        "things"
    )
    assert table.about == "From a book, read twice."
    assert table.rows[0].line == 5
    assert table.rows[0].aliases == ("first", "one")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (",b,,,,,a book,common practice,,", "things.csv:4, id: The id is missing."),
        ("b,,,,,,a book,common practice,,", "things.csv:4, name: The name is missing."),
        ("b,b,,,,,,common practice,,", "things.csv:4, source: The source is missing."),
        ("b,b,,,,,a book,,,", "things.csv:4, evidence: The evidence is missing."),
        (
            "b,b,,,,,a book,hearsay,,",
            "things.csv:4, evidence: This is not a kind of evidence. Given: hearsay. "
            "Allowed: measured here, given by you, published and read, from memory of a document, "
            "common practice or estimated by a formula.",
        ),
        (
            "b,b,,heavy,,,a book,common practice,,",
            "things.csv:4, density: This is not a number. Given: heavy. "
            "Allowed: a number, or nothing where it is not known.",
        ),
        ("b,b,,nan,,,a book,common practice,,", "density: This is not a number. Given: nan."),
        ("b,b,,1e999,,,a book,common practice,,", "density: This is not a number. Given: 1e999."),
        (
            "b,b,,100,105,110,a book,common practice,,",
            "density: The range is in disorder. Given: 105, 100, 110.",
        ),
        (
            "a,b,,,,,a book,common practice,,",
            "things.csv:4, id: things.csv:3 has this one already. Given: a.",
        ),
        (
            "b,b,One,,,,a book,common practice,,",
            "things.csv:4, aliases: things.csv:3 has this one already. Given: One. "
            "Allowed: each alias once in a table.",
        ),
        (
            "b,b,,,,,a book,common practice,densty:common practice,",
            "evidence_of: No column has this name. Given: densty. "
            "Allowed: column:kind; column:kind. Try: density",
        ),
        (
            "b,b,,,,,a book,common practice,density:hearsay,",
            "evidence_of: This is not a kind of evidence. Given: hearsay.",
        ),
        (
            "b,b,,,,,a book, with a comma,common practice,,",
            "things.csv:4: This row does not fit the columns. Given: 11 cells. Allowed: 10 cells.",
        ),
        ("b,b", "Given: 2 cells. Allowed: 10 cells."),
    ],
)
def test_a_bad_row_is_refused_in_words(tmp_path: Path, row: str, message: str) -> None:
    catalogue = table_of(tmp_path, HEAD + UNITS + GOOD + row + "\n")
    with pytest.raises(CatalogueError, match=re.escape(message)):
        catalogue.table("things")


def test_all_that_is_wrong_is_said_at_once(tmp_path: Path) -> None:
    bad = "b,,,heavy,,,,hearsay,,\n"
    with pytest.raises(CatalogueError) as caught:
        table_of(tmp_path, HEAD + UNITS + GOOD + bad).table("things")
    assert [problem.key for problem in caught.value.problems] == [
        "name",
        "source",
        "evidence",
        "density",
    ]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "things.csv:1, id: A column is missing. Allowed: a column id."),
        ("id,name\n-,-\n", "source: A column is missing."),
        ("id,name,name,source,evidence\n-,-,-,-,-\n", "A column stands twice. Given: name."),
        (HEAD, "things.csv:2, units: This row does not fit the columns. Given: 0 cells."),
        (HEAD + "-,-\n", "units: This row does not fit the columns. Given: 2 cells."),
        (HEAD + UNITS + 'b,"b\n', "things.csv:3: This is not CSV."),
    ],
)
def test_a_bad_head_is_refused_in_words(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(message)):
        table_of(tmp_path, text).table("things")


def test_two_rows_of_one_name_ask_for_the_id(tmp_path: Path) -> None:
    catalogue = table_of(
        tmp_path, HEAD + UNITS + GOOD + GOOD.replace("a,alpha,first; one", "b,Alphas,")
    )
    with pytest.raises(UnknownName, match=r"2 rows of the table things have this name.*a or b"):
        catalogue.find("things", "alpha")


def test_a_name_goes_before_an_alias(tmp_path: Path) -> None:
    catalogue = table_of(
        tmp_path, HEAD + UNITS + GOOD + GOOD.replace("a,alpha,first; one", "b,first,")
    )
    assert catalogue.find("things", "first").id == "b"


# --- A builder's own file ------------------------------------------------------------------------

OWN = """
[[resins]]
id = "ep_rt"
name = "epoxy, laminating"
aliases = ["epoxy", "our epoxy"]
density_cured = "1130 kg/m3 +/- 20 kg/m3"
density_liquid = "68.6 lb/ft3"
nu = 0.34
cure_shrinkage = "3 %"
softening_temperature = "131 degF"
source = "cast block of March"
evidence = "measured here"

[[processes]]
id = "our_bag"
name = "our bag"
pot_loss = "0.12 +/- 0.03"
source = "shop log"
evidence = "given by you"
"""


def own_file(folder: Path, text: str, name: str = "own.toml") -> Path:
    path = folder / name
    path.write_text(text, "utf-8")
    return path


def test_own_rows_stand_beside_and_in_place_of_the_shipped(tmp_path: Path) -> None:
    own = SHIPPED.with_file(own_file(tmp_path, OWN))
    resin = own.find("resins", "our epoxy")
    density = resin.input("density_cured")
    assert (density.low, density.value, density.high) == (1110, 1130, 1150)
    assert density.evidence is Evidence.MEASURED
    pound_per_cubic_foot = constants.pound / constants.foot**3
    assert resin.number("density_liquid") == pytest.approx(68.6 * pound_per_cubic_foot)
    assert resin.number("cure_shrinkage") == pytest.approx(0.03)
    assert resin.number("softening_temperature") == pytest.approx(273.15 + 55)
    assert resin.number("nu") == 0.34
    assert resin.number("E") is None
    assert resin.note == "Replaces the shipped row of this id."
    assert len(own.table("resins")) == len(SHIPPED.table("resins"))
    assert len(own.table("processes")) == len(SHIPPED.table("processes")) + 1
    loss = own.find("processes", "our bag").input("pot_loss")
    assert (loss.low, loss.value, loss.high) == pytest.approx((0.09, 0.12, 0.15))
    assert SHIPPED.find("resins", "epoxy").number("density_cured") == 1150
    assert own.hash == SHIPPED.hash


def test_own_csv_keeps_its_own_units(tmp_path: Path) -> None:
    text = (
        "id,name,core_class,density,G_L,source,evidence\n"
        "-,-,-,lb/ft^3,psi,-,-\n"
        "our_pet,our PET,pet,6,2600,label,given by you\n"
    )
    own = SHIPPED.with_file(own_file(tmp_path, text, "cores.csv"))
    row = own.find("cores", "our PET")
    assert row.number("density") == pytest.approx(6 * constants.pound / constants.foot**3)
    assert row.number("G_L") == pytest.approx(2600 * constants.psi)
    assert row.number("E_c") is None
    assert own.core("PET", 96.1).id == "our_pet"
    assert row.note == ""


def test_an_own_core_outside_the_range_of_its_class_is_found(tmp_path: Path) -> None:
    text = (
        '[[cores]]\nid = "heavy"\nname = "heavy PVC"\ncore_class = "pvc_x"\n'
        'density = "400 kg/m3"\nsource = "label"\nevidence = "given by you"\n'
    )
    assert SHIPPED.with_file(own_file(tmp_path, text)).core("PVC", 400).id == "heavy"


def test_two_own_files_add_up(tmp_path: Path) -> None:
    second = OWN.replace("our_bag", "our_second").replace("our bag", "our second")
    first = SHIPPED.with_file(own_file(tmp_path, OWN))
    both = first.with_file(own_file(tmp_path, second[second.index("[[processes]]") :], "b.toml"))
    assert both.find("processes", "our second").id == "our_second"
    assert both.find("processes", "our bag").id == "our_bag"


START = '[[resins]]\nid = "x"\nname = "x"\nsource = "log"\n'
KIND = 'evidence = "measured here"\n'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (START, "own.toml:1, evidence: The evidence is missing."),
        (START + 'evidence = "guess"', "evidence: This is not a kind of evidence. Given: guess."),
        (
            START + KIND + 'densty_cured = "1130 kg/m3"',
            "own.toml:6, densty_cured: The table resins has no such column. Given: densty_cured.",
        ),
        (
            START + KIND + "\ndensity_cured = 1130",
            "own.toml:7, density_cured: A number with a dimension is text with a unit.",
        ),
        (START + KIND + 'E = "3 m"', "own.toml:6, E: "),
        (START + KIND + "note = true", "own.toml:6, note: This is not text. Given: True."),
        (START + KIND + 'aliases = "epoxy"', "has this one already. Given: epoxy."),
        (START + KIND + START + KIND, "own.toml:6, id: "),
        (
            '[[resin]]\nid = "x"',
            "own.toml:1: This is not a table of the catalogue. Given: resin. "
            "Allowed: [[table]] with one of its names, such as [[resins]]. Try: resins",
        ),
        ('[resins]\nid = "x"', "This is not a table of the catalogue. Given: resins."),
        ("[[resins]]\nid = x\n", "own.toml:2: This is not TOML."),
        ('[[resins]]\nid = "x', "own.toml: This is not TOML."),
        (
            '[[processes]]\nid = "x"\nply_labour = "0.3 h/m2"',
            "ply_labour: A number in h/m^2 cannot be given in a TOML file. "
            "Given: 0.3 h/m2. Try: a CSV file, which has a row of units.",
        ),
    ],
)
def test_a_bad_own_row_is_refused_with_its_line(tmp_path: Path, text: str, message: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(message)):
        SHIPPED.with_file(own_file(tmp_path, text))


def test_the_second_row_of_a_table_is_pointed_at(tmp_path: Path) -> None:
    text = START + KIND + '\n[[resins]]\nid = "y"\nname = "y"\nsource = "log"\nE = "3"\n' + KIND
    with pytest.raises(CatalogueError, match=r"own\.toml:11, E: "):
        SHIPPED.with_file(own_file(tmp_path, text))


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("own.xlsx", "", "own.xlsx: This is not a materials file. Allowed: .toml, .csv."),
        ("resin.csv", HEAD + UNITS, "resin.csv: This is not a table of the catalogue."),
        ("resins.csv", HEAD + UNITS, "resins.csv, density: The table resins has no such column."),
        ("cores.csv", HEAD + UNITS.replace("kg/m^3", "kg/m^9"), "cores.csv, density: "),
    ],
)
def test_a_bad_own_file_is_refused(tmp_path: Path, name: str, text: str, message: str) -> None:
    with pytest.raises(CatalogueError, match=re.escape(message)):
        SHIPPED.with_file(own_file(tmp_path, text, name))


def test_a_file_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match="This file cannot be read"):
        SHIPPED.with_file(tmp_path / "none.toml")
    path = tmp_path / "resins.csv"
    path.write_bytes("id,name\né".encode("latin-1"))
    with pytest.raises(CatalogueError, match=r"This file is not UTF-8 text.*saving it as UTF-8"):
        SHIPPED.with_file(path)


# --- As a whole ----------------------------------------------------------------------------------


def test_tables_are_read_when_first_used(tmp_path: Path) -> None:
    good = table_of(tmp_path, HEAD + UNITS + GOOD)
    broken = own_file(tmp_path, "nothing", "broken.csv")
    both = Catalogue({"things": good._files["things"], "broken": broken})
    assert len(both.table("things")) == 1
    with pytest.raises(CatalogueError, match=r"broken\.csv:1, id: A column is missing"):
        both.table("broken")


def test_the_module_is_light_to_import() -> None:
    heavy = "{'numpy', 'pint', 'pydantic', 'scipy'}"
    code = f"import sys, panelwright.materials; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_hash_knows_every_byte(tmp_path: Path) -> None:
    folder = tmp_path / "data"
    shutil.copytree(DATA, folder)
    files = {path.stem: path for path in folder.glob("*.csv")}
    assert Catalogue(files).hash == SHIPPED.hash
    with (folder / "solids.csv").open("a", encoding="utf-8") as file:
        file.write("\n")
    assert Catalogue(files).hash != SHIPPED.hash
    assert re.fullmatch("[0-9a-f]{64}", SHIPPED.hash)
