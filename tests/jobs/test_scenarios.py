"""Six builds worked by hand (scenarios.json: every number invented, results by mass balance).

The scenarios take 2560 kg/m3 for E-glass and 1790 for carbon, the catalogue 2540 and 1780: that
is worth up to 0.3 % of a skin. Their fabrics carry no stitching; the panel files name woven cloth
(the stitched one has a check of its own below). Rims and inserts are not part of a panel file:
what they add is put back by hand.
"""

from __future__ import annotations

import json
from typing import Any

import pytest

from panelwright.jobs.predict import predict
from panelwright.panels.description import read
from panelwright.panels.records import Mix, Prediction

from .panels import HERE, SCENARIOS, panel, predicted, shipped

FAIR = 0.005
#: Where no density of fibre enters: the printed digits.
AS_PRINTED = 1e-4

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case
    for case in json.loads((HERE / "scenarios.json").read_text(encoding="utf-8"))["scenarios"]
}


def expected(scenario: str, key: str) -> float:
    return float(CASES[scenario]["expected"][key])


def made(name: str) -> Prediction:
    return predicted(SCENARIOS / f"{name}.toml")


def skin(prediction: Prediction, first: int, last: int) -> float:
    """Thickness of some layers, mm."""
    return 1e3 * sum(layer.thickness.value for layer in prediction.layers[first:last])


def mass(prediction: Prediction) -> float:
    assert prediction.mass is not None
    return prediction.mass.value


def mixed(prediction: Prediction, product: str) -> float:
    """What to mix of a product for the whole panel, kg."""
    found = next(mix for mix in prediction.mixes if mix.product == product)
    assert found.in_all is not None
    return found.in_all.value


def all_mixed(prediction: Prediction) -> float:
    return sum(mixed(prediction, mix.product) for mix in prediction.mixes)


def row(prediction: Prediction, cause: str) -> tuple[float, float]:
    """A cause of the ledger in the part and to mix, g/m2."""
    found = next(row for row in prediction.ledger if row.cause == cause)
    return 1e3 * found.in_part.value, 1e3 * found.to_mix.value


def test_s1_strip_planked_tender() -> None:
    tender = made("s1")
    assert skin(tender, 1, 3) == pytest.approx(expected("S1", "outside_skin_mm"), rel=FAIR)
    assert skin(tender, 4, 5) == pytest.approx(expected("S1", "inside_skin_mm"), rel=FAIR)
    assert tender.areal_mass.value == pytest.approx(
        expected("S1", "areal_mass_kg_m2"), rel=AS_PRINTED
    )
    assert mass(tender) == pytest.approx(expected("S1", "shell_mass_kg"), rel=AS_PRINTED)
    resin = mixed(tender, "epoxy, laminating")
    assert resin == pytest.approx(expected("S1", "laminating_resin_to_mix_kg"), rel=AS_PRINTED)


def test_s1_strip_glue_but_for_its_own_allowance() -> None:
    """The scenario adds 30 % to the strip glue; a panel file has one loss for all, here 10 %."""
    glue = mixed(made("s1"), "epoxy, thickened") / 1.10 * 1.30
    assert glue == pytest.approx(expected("S1", "edge_glue_to_mix_kg"), rel=AS_PRINTED)


def test_s2_camper_roof() -> None:
    roof = made("s2")
    assert skin(roof, 0, 2) == pytest.approx(expected("S2", "outside_skin_mm"), rel=FAIR)
    assert skin(roof, 3, 4) == pytest.approx(expected("S2", "inside_skin_mm"), rel=FAIR)
    assert skin(roof, 0, 4) == pytest.approx(expected("S2", "total_mm"), rel=FAIR)
    assert all_mixed(roof) == pytest.approx(expected("S2", "resin_to_mix_kg"), rel=AS_PRINTED)
    assert roof.mixes[0].packs == expected("S2", "kits")


def test_s2_mass_with_its_rim_put_back() -> None:
    """The rim, 40 mm wide and 30 mm thick, is timber of 400 kg/m3 in place of foam of 110."""
    rim = (3.20 * 1.85 - (3.20 - 0.08) * (1.85 - 0.08)) * 0.030 * (400.0 - 110.0)
    assert mass(made("s2")) + rim == pytest.approx(expected("S2", "panel_mass_kg"), rel=AS_PRINTED)


def test_s3_flax_bench_top() -> None:
    top = made("s3")
    assert skin(top, 0, 2) == pytest.approx(expected("S3", "skin_mm"), rel=AS_PRINTED)
    assert skin(top, 0, 5) == pytest.approx(expected("S3", "total_mm"), rel=AS_PRINTED)
    assert top.areal_mass.value == pytest.approx(expected("S3", "areal_mass_kg_m2"), rel=AS_PRINTED)
    assert mass(top) == pytest.approx(expected("S3", "top_mass_kg"), rel=AS_PRINTED)
    assert all_mixed(top) == pytest.approx(expected("S3", "resin_to_mix_kg"), rel=AS_PRINTED)
    assert top.layers[0].fibre_volume_fraction == pytest.approx(
        expected("S3", "fibre_vol_fraction"), rel=2e-4
    )
    soaked = row(top, "soak")[0] / (1e3 * top.resin_in_part.value)
    assert soaked == pytest.approx(expected("S3", "resin_share_soaked_by_core"), rel=2e-4)


def test_s4_engine_box_lid() -> None:
    lid = made("s4")
    assert skin(lid, 0, 1) == pytest.approx(expected("S4", "skin_mm"), rel=FAIR)
    assert row(lid, "kerf resin")[0] == pytest.approx(
        expected("S4", "kerf_resin_g_m2"), rel=AS_PRINTED
    )
    assert lid.areal_mass.value == pytest.approx(expected("S4", "areal_mass_kg_m2"), rel=AS_PRINTED)
    assert mass(lid) == pytest.approx(expected("S4", "mass_kg"), rel=AS_PRINTED)
    assert all_mixed(lid) == pytest.approx(expected("S4", "resin_to_mix_kg"), rel=AS_PRINTED)


def test_s5_skiff_bottom_solid() -> None:
    solid = made("s5a")
    assert skin(solid, 0, 6) == pytest.approx(expected("S5", "A_thickness_mm"), rel=FAIR)
    assert solid.areal_mass.value == pytest.approx(expected("S5", "A_areal_kg_m2"), rel=AS_PRINTED)
    assert mass(solid) == pytest.approx(expected("S5", "A_mass_kg"), rel=AS_PRINTED)
    in_part = solid.resin_in_part.value * 7.2
    assert in_part == pytest.approx(expected("S5", "A_resin_in_part_kg"), rel=AS_PRINTED)


def test_s5_skiff_bottom_infused() -> None:
    sandwich = made("s5b")
    assert skin(sandwich, 0, 4) == pytest.approx(expected("S5", "B_thickness_mm"), rel=FAIR)
    assert sandwich.areal_mass.value == pytest.approx(
        expected("S5", "B_areal_kg_m2"), rel=AS_PRINTED
    )
    assert mass(sandwich) == pytest.approx(expected("S5", "B_mass_kg"), rel=AS_PRINTED)
    assert all_mixed(sandwich) == pytest.approx(expected("S5", "B_resin_to_mix_kg"), rel=AS_PRINTED)


def test_s6_instrument_platform() -> None:
    """The field only: the filled rim and the inserts are not part of a panel file."""
    platform = made("s6")
    assert skin(platform, 0, 2) == pytest.approx(expected("S6", "skin_mm"), rel=FAIR)
    assert platform.thickness.value == pytest.approx(0.012 + 2 * 0.508e-3, rel=FAIR)
    assert platform.areal_mass.value == pytest.approx(
        expected("S6", "areal_field_kg_m2"), rel=AS_PRINTED
    )
    assert all_mixed(platform) == pytest.approx(
        expected("S6", "resin_and_bond_to_mix_kg"), rel=AS_PRINTED
    )
    bond = row(platform, "glue lines")[0] / (1e3 * platform.areal_mass.value)
    assert bond == pytest.approx(expected("S6", "bond_share_of_field_mass"), rel=3e-4)


def test_s6_mass_with_rim_and_inserts_put_back() -> None:
    """Rim: 25 mm wide, the paste in place of the core; inserts: their paste beside the core."""
    rim_area = 0.90 * 0.60 - 0.85 * 0.55
    rim = expected("S6", "edge_paste_kg") - rim_area * 0.012 * 48.0
    whole = mass(made("s6")) + rim + expected("S6", "insert_paste_kg")
    assert whole == pytest.approx(expected("S6", "total_kg"), rel=AS_PRINTED)


# Case A08: laminate resin, absorption, peel ply, pot and roller loss by mass balance; absorption
# and losses are common practice, no source; the inputs are invented.
A08_RESIN_IN_PART_G_M2, A08_RESIN_IN_PART_KG = 1347.692308, 7.978338
A08_RESIN_TO_MIX_KG, A08_PART_OVER_MIXED = 8.904318, 0.896008


def test_a08_resin_of_a_bagged_foam_sandwich() -> None:
    sandwich = made("a08")
    in_part = sandwich.resin_in_part.value
    assert 1e3 * in_part == pytest.approx(A08_RESIN_IN_PART_G_M2, rel=1e-8)
    assert in_part * 5.92 == pytest.approx(A08_RESIN_IN_PART_KG, rel=1e-6)
    assert all_mixed(sandwich) == pytest.approx(A08_RESIN_TO_MIX_KG, rel=1e-6)
    assert in_part / sandwich.to_mix.value == pytest.approx(A08_PART_OVER_MIXED, rel=1e-6)


def test_thread_takes_the_place_of_resin() -> None:
    """600 g/m2 of stitched glass at half fibre: 600 g/m2 burn off, 8 of them stitching.

    8 g/m2 of thread is common practice. Against a scenario without stitching the resin is 1.3 %
    less, the layer 0.2 % thinner (thread of 1380 kg/m3 for resin of 1150).
    """
    text = panel(
        'cloth = "E-glass biaxial 600 g/m2"\nareal_mass = "600 g/m2"\n'
        "fibre_mass_fraction = 0.5\nvoid_fraction = 0.0"
    )
    stitched = predict(read(text), shipped())
    fibre, resin = row(stitched, "fibre")[0], row(stitched, "resin in the cloth")[0]
    thread = fibre - 600.0
    assert 0.0 < thread < 16.0
    assert resin == pytest.approx(600.0 * (1.0 - 0.5) / 0.5 - thread, rel=1e-9)
    assert stitched.areal_mass.value == pytest.approx(1.2, rel=1e-9)
    unstitched = 600.0 / 2540.0 + 600.0 / 1150.0
    assert 1e3 * stitched.thickness.value == pytest.approx(
        600.0 / 2540.0 + (600.0 - thread) / 1150.0 + thread / 1380.0, rel=1e-9
    )
    assert 1e3 * stitched.thickness.value == pytest.approx(unstitched, rel=0.003)


@pytest.mark.parametrize(("resin_kg", "packs"), [(10.9224, 2), (12.0, 2), (12.001, 3), (0.2, 1)])
def test_packs_hold_what_is_to_mix(resin_kg: float, packs: int) -> None:
    """A pack is bought whole: the least number that holds it. Layer of pure arithmetic."""
    mass_per_area = 1e3 * resin_kg / 20.0  # g/m2 of a coat on 4 m x 5 m
    text = panel(
        f'coat = "epoxy, fill coat"\nmass = "{mass_per_area} g/m2"',
        head='resin_pack = "6 kg"\npot_loss = "0 %"\nsize = { length = "4 m", width = "5 m" }',
    )
    (mix,) = predict(read(text), shipped()).mixes
    assert isinstance(mix, Mix)
    assert mix.in_all is not None
    assert mix.in_all.value == pytest.approx(resin_kg, rel=1e-9)
    assert mix.packs == packs
