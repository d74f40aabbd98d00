"""Elastic inputs of the layers: from the catalogue, from density, as given.

Ratios of timber are of the Wood Handbook, FPL-GTR-190, Table 5-1 (from memory unless the row says
that it was read); moduli of cores are nominal values of their class.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from panelwright.materials.catalogue import Catalogue
from panelwright.panels.evaluate import evaluate
from panelwright.panels.section import Constants, constants, section
from panelwright.panels.stack import StackLayer, stack_of
from panelwright.provenance import Evidence

from .written import layer, resolved


def only(*parts: str) -> StackLayer:
    """The one stack layer that a panel file comes to."""
    (found,) = resolved(*parts).layers
    return found


def own(*parts: str) -> Constants:
    """Constants of its layers at the middle values."""
    stack = stack_of(resolved(*parts).layers)
    return constants(stack, evaluate(stack))


def board(species: str, **keys: object) -> str:
    return layer(board=species, thickness="8 mm", **{"moisture": "12 %", **keys})


# --- Timber ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("species", "moe"), [("western redcedar", 7.7e9), ("Sitka spruce", 10.8e9)]
)
def test_modulus_along_the_grain_at_12_percent(species: str, moe: float) -> None:
    """MOE of the Wood Handbook's table 5-3, and E_L = 1.10 MOE, chapter 5; from memory."""
    assert float(own(board(species)).E1[0]) == pytest.approx(1.10 * moe, rel=1e-9)


def test_wet_timber_is_as_soft_as_green() -> None:
    """Above the moisture of intersection the property is the green one: cedar, 6.5 GPa."""
    wet = own(board("western redcedar", moisture="30 %"))
    assert float(wet.E1[0]) == pytest.approx(1.10 * 6.5e9, rel=1e-9)


def test_ratios_of_western_redcedar() -> None:
    """0.055 and 0.081 across, 0.087 and 0.086 in shear; rings not known: the mean of both."""
    found = own(board("western redcedar"))
    E_L = float(found.E1[0])
    assert float(found.E2[0]) / E_L == pytest.approx((0.055 + 0.081) / 2.0, rel=1e-9)
    assert float(found.G12[0]) / E_L == pytest.approx((0.087 + 0.086) / 2.0, rel=1e-9)
    assert float(found.G23[0]) / E_L == pytest.approx(0.005, rel=1e-9)


#: Power of MOE over specific gravity, Wood Handbook table 5-11 (from memory).
POWERS = {"western redcedar": (0.84, 0.32), "white ash": (0.70, 0.60)}


@pytest.mark.parametrize("heavier", [0.85, 1.15])
@pytest.mark.parametrize("species", POWERS)
def test_a_weighed_density_carries_the_stiffness(species: str, heavier: float) -> None:
    """At 12 % moisture the handbook has 1000 G (1 + M): E goes as the ratio to the power n."""
    power, gravity = POWERS[species]
    weighed = heavier * 1000.0 * gravity * 1.12
    usual, carried = own(board(species)), own(board(species, density=f"{weighed:.6f} kg/m3"))
    for name in ("E1", "E2", "G12", "G13", "G23"):
        ratio = float(getattr(carried, name)[0] / getattr(usual, name)[0])
        assert ratio == pytest.approx(heavier**power, rel=2e-3), name


def test_what_density_explains_no_longer_varies() -> None:
    """Correlation about 0.7 (common practice): √(1 − 0.7²) = 0.71 of the range is left."""
    usual = only(board("western redcedar")).inputs["moe_12"]
    weighed = only(board("western redcedar", density="358 kg/m3")).inputs["moe_12"]
    assert weighed.value == usual.value
    left = (weighed.high - weighed.low) / (usual.high - usual.low)
    assert left == pytest.approx(math.sqrt(1.0 - 0.7**2), abs=0.02)


@pytest.mark.parametrize(
    ("species", "group"), [("eastern white pine", "softwood"), ("okoume", "hardwood")]
)
def test_a_species_without_ratios_has_the_mean_of_its_group(species: str, group: str) -> None:
    """The table of ratios has no row for it: mean of those it has, with the range over them."""
    rows = Catalogue.shipped().table("timber_elastic_ratios").where(group=group)
    for name, column in (("ratio_T", "E_T_over_E_L"), ("ratio_RT", "G_RT_over_E_L")):
        known = [value for row in rows if (value := row.number(column)) is not None]
        found = only(board(species)).inputs[name]
        assert found.value == pytest.approx(math.fsum(known) / len(known), rel=1e-12)
        assert (found.low, found.high) == (min(known), max(known))
        assert found.evidence is Evidence.ESTIMATED
        assert f"mean of {len(known)} {group}s" in found.source


def test_a_ratio_missing_from_a_row_is_filled_from_the_group() -> None:
    """White ash has no G_RT in the table; its other ratios are its own (0.08 tangential)."""
    found = only(board("white ash")).inputs
    assert found["ratio_T"].value == 0.08
    assert found["ratio_RT"].evidence is Evidence.ESTIMATED


def test_veneers_of_plywood_are_as_stiff_as_their_timber() -> None:
    """Yellow birch, MOE 13.9 GPa at 12 % (from memory); the sheet's density does not carry it."""
    sheet = own(layer(plywood="birch plywood", thickness="7 mm", moisture="12 %"))
    heavy = own(
        layer(plywood="birch plywood", thickness="7 mm", moisture="12 %", density="740 kg/m3")
    )
    assert float(sheet.E1[0]) == pytest.approx(1.10 * 13.9e9, rel=1e-9)
    assert float(heavy.E1[0]) == float(sheet.E1[0])


def test_plywood_crosses_its_veneers() -> None:
    directions = [
        one.angle
        for one in resolved(layer(plywood="birch plywood", thickness="7 mm", angle=30)).layers
    ]
    assert directions == [30.0, 120.0, 30.0, 120.0, 30.0]


# --- Cores ----------------------------------------------------------------------------------------


def core(words: str, **keys: object) -> str:
    return layer(core=words, thickness="20 mm", **keys)


@pytest.mark.parametrize(("density", "shear"), [(60, 20e6), (80, 27e6), (250, 97e6)])
def test_foam_of_a_listed_density(density: int, shear: float) -> None:
    """Cross-linked PVC, nominal values of the class."""
    assert float(own(core(f"PVC foam {density}")).G13[0]) == pytest.approx(shear, rel=1e-9)


def test_foam_between_two_rows_by_its_density() -> None:
    """70 kg/m3 between 60 (20 MPa) and 80 (27 MPa), straight in logarithms."""
    share = math.log(70.0 / 60.0) / math.log(80.0 / 60.0)
    by_hand = 20e6 * (27.0 / 20.0) ** share
    weighed = own(core("PVC foam 60", density="70 kg/m3"))
    assert float(weighed.G13[0]) == pytest.approx(by_hand, rel=1e-9)
    assert 20e6 < by_hand < 27e6


def test_foam_is_isotropic() -> None:
    """E = 2 G (1 + ν), ν 0.32 (common practice)."""
    foam = own(core("PVC foam 80"))
    assert float(foam.E1[0]) == pytest.approx(2.0 * float(foam.G12[0]) * 1.32, rel=1e-9)
    assert float(foam.E1[0]) == float(foam.E2[0])
    assert float(foam.G13[0]) == float(foam.G23[0]) == float(foam.G12[0])


def test_honeycomb_shears_by_its_ribbon_and_bears_nothing_in_its_plane() -> None:
    cells = own(core("aramid honeycomb 48 kg/m3"))
    assert float(cells.G13[0]) > float(cells.G23[0]) > 0.0
    assert float(cells.E1[0]) < 0.01 * float(cells.G13[0])


def test_end_grain_balsa_is_soft_in_its_plane() -> None:
    """The grain stands upright: in the plane 0.015 to 0.046 of the modulus along it (balsa's
    tangential and radial ratios, Wood Handbook, from memory), which is above 2 GPa."""
    balsa = own(core("balsa 150"))
    assert 0.015 * 2e9 < float(balsa.E1[0]) < 0.046 * 6e9
    assert float(balsa.G13[0]) > float(balsa.G12[0])


# --- Cloth ----------------------------------------------------------------------------------------


def test_the_rules_of_a_straight_ply_by_hand() -> None:
    """E₁ by the rule of mixtures, E₂ by Halpin and Tsai with factor 2 (kaw-2006, section 3.3),
    G₁₂ by Förster and Knappe, from fibre and resin of the catalogue, no voids."""
    made = resolved(
        layer(
            cloth="UD 300",
            directions="100 % at 0",
            fibre_volume_fraction=0.5,
            void_fraction="0 %",
        )
    )
    given = {name: value.value for name, value in made.layers[0].inputs.items()}
    stack = stack_of(made.layers)
    found, v = constants(stack, evaluate(stack)), 0.5
    Ef, Em = given["fibre_E1"], given["resin_E"]
    assert float(found.E1[0]) == pytest.approx(Ef * v + Em * (1 - v), rel=1e-9)
    over = given["fibre_E2"] / Em
    eta = (over - 1.0) / (over + 2.0)
    assert float(found.E2[0]) == pytest.approx(Em * (1 + 2 * eta * v) / (1 - eta * v), rel=1e-9)
    Gm = Em / 2.0 / (1.0 + given["resin_nu"])
    below = (1.0 - v) ** 1.25 + v * Gm / given["fibre_G12"]
    assert float(found.G12[0]) == pytest.approx(Gm * (1 + 0.6 * math.sqrt(v)) / below, rel=1e-9)


def test_a_mat_is_three_directions_at_60_degrees() -> None:
    """Plies at 0, 60 and −60 are isotropic in their plane, as fibre at random is (Kaw 2006,
    quasi-isotropic laminates, from memory): E = (A₁₁² − A₁₂²)/(A₁₁ t), G = A₆₆/t."""
    keys = {"fibre_volume_fraction": 0.2, "void_fraction": "0 %"}
    mat = own(layer(cloth="E-glass chopped mat 450 g/m2", **keys))
    plies = [layer(cloth="UD 300", directions="100 % at 0", angle=a, **keys) for a in (0, 60, -60)]
    stack = stack_of(resolved(*plies).layers)
    build = evaluate(stack)
    A, t = section(stack, build).extension, build.thickness
    E = (A[0] ** 2 - A[1] ** 2) / (A[0] * t)
    np.testing.assert_allclose([mat.E1[0], mat.E2[0]], E, rtol=1e-9)
    assert float(mat.G12[0]) == pytest.approx(float(A[5] / t), rel=1e-9)
    assert float(mat.E1[0] / mat.G12[0]) == pytest.approx(2.0 * (1.0 + float(mat.nu12[0])))


def test_voids_soften_what_the_resin_bears() -> None:
    """The fibre is untouched: along it hardly anything, across it the resin's square."""
    keys = {"directions": "100 % at 0", "fibre_volume_fraction": 0.4}
    sound = own(layer(cloth="UD 300", void_fraction="0 %", **keys))
    voided = own(layer(cloth="UD 300", void_fraction="5 %", **keys))
    assert float(voided.E1[0]) == pytest.approx(float(sound.E1[0]), rel=0.02)
    assert 0.75 < float(voided.E2[0] / sound.E2[0]) < 0.90
    assert 0.75 < float(voided.G12[0] / sound.G12[0]) < 0.90


# --- Given ----------------------------------------------------------------------------------------


def lamina(**given: object) -> str:
    words = ", ".join(
        f'{k} = "{v}"' if isinstance(v, str) else f"{k} = {v}" for k, v in given.items()
    )
    return f'[[layer]]\nthickness = "2 mm"\nlamina = {{ density = "1900 kg/m3", {words} }}\n'


PLY = {"E1": "38 GPa", "E2": "9 GPa", "G12": "3.6 GPa", "nu12": 0.28}


def test_a_lamina_is_as_it_is_given() -> None:
    found = own(lamina(**PLY, G13="3.5 GPa", G23="3.1 GPa"))
    values = [float(getattr(found, n)[0]) for n in ("E1", "E2", "G12", "nu12", "G13", "G23")]
    assert values == pytest.approx([38e9, 9e9, 3.6e9, 0.28, 3.5e9, 3.1e9], rel=1e-12)


def test_shear_through_a_lamina_is_filled_in_and_says_so() -> None:
    """G13 = G12, and G23 = E2/(2 (1 + 0.35)) of a transversely isotropic ply: 3.33 GPa."""
    made = only(lamina(**PLY))
    assert made.inputs["given_G13"].value == 3.6e9
    assert made.inputs["given_G23"].value == pytest.approx(9e9 / 2.7, rel=1e-12)
    assert made.inputs["given_G23"].evidence is Evidence.ESTIMATED


def test_a_lamina_without_one_of_the_four_has_no_stiffness() -> None:
    for missing in PLY:
        given = {name: value for name, value in PLY.items() if name != missing}
        assert not [name for name in only(lamina(**given)).inputs if name.startswith("given_E")]


def test_a_damping_sheet_is_rubber_over_a_wide_range() -> None:
    """8 MPa, 2 to 30 (common practice); rubber keeps its volume: G = E/3."""
    sheet = only(layer(damping="cork rubber", thickness="3 mm", density="1000 kg/m3"))
    modulus = sheet.inputs["given_E1"]
    assert (modulus.low, modulus.value, modulus.high) == (2e6, 8e6, 30e6)
    assert sheet.inputs["given_G12"].value == pytest.approx(8e6 / 3.0, rel=1e-12)
    assert modulus.evidence is Evidence.PRACTICE
