"""What every registered formula keeps: a batch is its single panels, absent layers add nothing."""

from __future__ import annotations

import numpy as np
import pytest

from panelwright.mechanics.arrays import ratio
from panelwright.mechanics.laminate import areal_mass, panel_thickness, shares
from panelwright.working import Formula, formulas

from .registry import FORMULAS, FUNCTIONS, arguments, is_amount, is_common, may_be_a_number

ROWS, LAYERS = 7, 5


def _id(made_by: Formula) -> str:
    return made_by.name


@pytest.mark.parametrize("made_by", FORMULAS, ids=_id)
@pytest.mark.parametrize("seed", range(3))
def test_a_row_of_a_batch_is_the_single_panel(made_by: Formula, seed: int) -> None:
    given = arguments(made_by, (ROWS, LAYERS), seed)
    batch = FUNCTIONS[made_by.name](**given)
    assert np.all(np.isfinite(batch))
    for row in range(ROWS):
        single = FUNCTIONS[made_by.name](
            **{name: x if is_common(name) else x[row] for name, x in given.items()}
        )
        assert np.shape(single) == np.shape(batch)[1:]
        largest = np.max(np.abs(single), initial=0.0)
        np.testing.assert_allclose(batch[row], single, rtol=0.0, atol=1e-12 * largest)


@pytest.mark.parametrize(
    ("made_by", "constant"),
    [
        pytest.param(made_by, name, id=f"{made_by.name}-{name}")
        for made_by in FORMULAS
        for name in may_be_a_number(made_by)
        if len(made_by.inputs) > 1
    ],
)
def test_a_number_stands_for_an_array_of_it(made_by: Formula, constant: str) -> None:
    given = arguments(made_by, (ROWS, LAYERS), seed=1)
    number = float(given[constant].flat[0])
    as_array = FUNCTIONS[made_by.name](**given | {constant: np.full_like(given[constant], number)})
    as_number = FUNCTIONS[made_by.name](**given | {constant: number})
    np.testing.assert_array_equal(as_number, as_array)


#: A panel without thickness has no moduli, a fibre without radius no pick-up; a layer that is not
#: there still has a place, and shear passes through it.
NOT_OF_A_LAYER = {
    "bending_moduli",
    "diffusivity_with_open_edges",
    "extension_moduli",
    "middle_heights",
    "shear_flow",
    "shear_lag",
    "shear_of_slopes",
    "shear_under_force",
    "warp",
    "warp_strains",
    "wrinkling_mirrored",
}


@pytest.mark.parametrize(
    "made_by",
    [
        made_by
        for made_by in FORMULAS
        if made_by.unit != "-"
        and made_by.name not in NOT_OF_A_LAYER
        and any(map(is_amount, made_by.inputs.values()))
    ],
    ids=_id,
)
def test_nothing_in_gives_nothing_out(made_by: Formula) -> None:
    """A layer that is not there has no mass and no thickness, whatever its densities say.

    Pure numbers (fractions, shares) are left to the next test: they may be a choice of the process.
    """
    given = arguments(made_by, (ROWS, LAYERS), seed=2)
    for name, described in made_by.inputs.items():
        if is_amount(described):
            given[name][:, 1] = 0.0
            given[name][-1] = 0.0
    with np.errstate(all="raise"):
        result = FUNCTIONS[made_by.name](**given)
    assert np.all(result[-1] == 0.0)
    if result.shape[:2] == (ROWS, LAYERS):
        assert np.all(result[:, 1] == 0.0)


#: Formulas of the stack that a layer of another kind passes through with noughts throughout.
WHOLLY_ABSENT = (
    "balanced_expansion",
    "by_form",
    "cell_fill",
    "chamis",
    "edge_glue",
    "expansion_across",
    "expansion_along",
    "fibre_mass_fraction_from_thickness",
    "fibre_mass_fraction_in_use",
    "fibre_volume_fraction",
    "film_on_top",
    "thickness_of_mass",
    "foerster_knappe_shear",
    "heat_across",
    "invariants",
    "isotropic_shear",
    "kept",
    "kerf_resin",
    "kerf_volume_bent",
    "kerf_volume_flat",
    "layer_mass",
    "layer_thickness",
    "mean_of_two",
    "property_at_gravity",
    "of_the_layer",
    "over_the_rings",
    "ply_thickness",
    "property_at_moisture",
    "random_constants",
    "reduced_stiffness",
    "resin_in_cloth",
    "rule_of_mixtures",
    "share_of_grain_modulus",
    "solid_mass",
    "specific_gravity",
    "timber_density",
    "true_modulus",
    "turned_expansion",
    "turned_shear",
    "turned_stiffness",
    "voided_matrix",
    "water_in",
    "water_in_cloth",
    "weighed_gravity",
    "woven_constants",
)


@pytest.mark.parametrize("name", WHOLLY_ABSENT)
def test_a_layer_of_another_kind_passes_through(name: str) -> None:
    made_by = next(made_by for made_by in FORMULAS if made_by.name == name)
    noughts = {
        argument: np.zeros_like(values)
        for argument, values in arguments(made_by, (ROWS, LAYERS), seed=0).items()
    }
    with np.errstate(all="raise"):
        result = FUNCTIONS[name](**noughts)
    assert result.shape[:2] == (ROWS, LAYERS)
    np.testing.assert_array_equal(result, np.zeros_like(result))


def test_an_absent_layer_changes_no_sum_and_no_share() -> None:
    mass = np.array([0.6, 1.2, 3.4])
    padded = np.array([0.6, 0.0, 1.2, 3.4, 0.0])
    assert areal_mass(padded) == areal_mass(mass)
    assert panel_thickness(padded) == panel_thickness(mass)
    np.testing.assert_array_equal(shares(padded)[[0, 2, 3]], shares(mass))
    with np.errstate(all="raise"):
        np.testing.assert_array_equal(shares(np.zeros(3)), np.zeros(3))


def test_ratio_is_nought_over_nought() -> None:
    with np.errstate(all="raise"):
        np.testing.assert_array_equal(ratio([1.0, 0.0, 6.0], [0.0, 0.0, 3.0]), [0.0, 0.0, 2.0])


def test_every_registered_formula_is_found() -> None:
    assert {made_by.name for made_by in FORMULAS} == {made_by.name for made_by in formulas()}
