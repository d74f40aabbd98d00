"""Strength of a section against textbook results and against the rows of the catalogue."""

import csv
from math import isclose, sqrt
from pathlib import Path

import numpy as np
import pytest

from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.stack import stack_of

DATA = Path(strength.__file__).parents[1] / "materials" / "data"
HEAD = 'format = 1\nprocess = "vacuum infusion"\nresin = "epoxy, infusion"\n'
ALONG, ACROSS, BENT = (
    strength.LOADS.index(w) for w in ("force along", "force across", "bending along")
)


def _row(table: str, id: str) -> dict[str, str]:
    """A row of a shipped table as its file has it."""
    with (DATA / f"{table}.csv").open(encoding="utf-8") as file:
        lines = [line for line in file if not line.startswith("#")]
    return next(row for row in csv.DictReader(lines) if row["id"] == id)


class Made:
    """A panel with everything that a test asks of it."""

    def __init__(self, layers: str, head: str = HEAD) -> None:
        self.layers = resolve(read(head + layers), Catalogue.shipped()).layers
        self.stack = stack_of(self.layers)
        self.build = evaluate(self.stack)
        self.made = section(self.stack, self.build)
        self.states = strength.states(self.stack, self.build, self.made)

    def under(self, load: int) -> tuple[strength.Strength, strength.Strength]:
        return strength.in_plane(self.states, self.stack, self.build, load)

    def shear(self, way: int) -> strength.Strength:
        return strength.in_shear(self.states, self.stack, self.build, way)


def lamina(angle: float = 0.0, thickness: float = 4.0, more: str = "") -> str:
    return (
        '[[layer]]\nlamina = { E1 = "40 GPa", E2 = "10 GPa", G12 = "4 GPa", nu12 = 0.3, '
        f'density = "1900 kg/m3", X1t = "800 MPa", X1c = "500 MPa", X2t = "40 MPa", '
        f'X2c = "120 MPa", S12 = "60 MPa"{more} }}\n'
        f'thickness = "{thickness} mm"\nangle = {angle}\n'
    )


@pytest.mark.parametrize(
    ("load", "sign", "stress", "mode"),
    [
        (ALONG, 0, 800e6, "tension along"),
        (ALONG, 1, 500e6, "compression along"),
        (ACROSS, 0, 40e6, "tension across"),
        (ACROSS, 1, 120e6, "compression across"),
        (2, 0, 60e6, "shear"),
        (2, 1, 60e6, "shear"),
    ],
)
def test_one_layer_bears_its_strength_times_its_thickness(
    load: int, sign: int, stress: float, mode: str
) -> None:
    # definition of a uniaxial strength
    end = Made(lamina()).under(load)[sign]
    assert isclose(float(end.first.load), stress * 4e-3, rel_tol=1e-9)
    assert isclose(float(end.ultimate.load), stress * 4e-3, rel_tol=1e-9)
    assert strength.MODES[int(end.first.mode)] == mode


def test_one_layer_bends_until_its_weaker_face_gives_way() -> None:
    # M = σ t²/6 of a rectangle, any handbook of strength of materials; compression is weaker
    stretched, pressed = Made(lamina()).under(BENT)
    for end, inner in ((stretched, 1), (pressed, 0)):
        assert isclose(float(end.first.load), 500e6 * 4e-3**2 / 6.0, rel_tol=1e-9)
        assert int(end.first.place) == inner


def test_a_ply_off_its_axis_by_maximum_strain() -> None:
    # stresses at 45 degrees are half the pull each (Mohr); the ply ends where its strain across
    # reaches X2t/E2: (σ₂ − ν₁₂ E₂/E₁ σ₁)/E₂
    end, _ = Made(lamina(45.0)).under(ALONG)
    pull = 2.0 * (40e6 / 10e9) / (1.0 / 10e9 - 0.3 / 40e9)
    assert isclose(float(end.first.load), pull * 4e-3, rel_tol=1e-9)


def test_cross_plies_crack_first_and_bear_more_after() -> None:
    # netting: once the crossed half has cracked, the straight half bears its own strength alone
    panel = Made(lamina(0.0, 1.0) + lamina(90.0, 2.0) + lamina(0.0, 1.0))
    end, _ = panel.under(ALONG)
    assert strength.MODES[int(end.first.mode)] == "tension across"
    assert int(end.first.layer) == 1
    netting = 800e6 * 2e-3
    assert netting <= float(end.ultimate.load) <= 1.02 * netting
    assert strength.MODES[int(end.ultimate.mode)] == "tension along"


def test_a_split_layer_changes_nothing() -> None:
    whole = Made(lamina(0.0, 1.0) + lamina(90.0, 2.0) + lamina(0.0, 1.0))
    split = Made(lamina(0.0, 1.0) + 2 * lamina(90.0, 1.0) + lamina(0.0, 1.0))
    for load in range(len(strength.LOADS)):
        for one, two in zip(whole.under(load), split.under(load), strict=True):
            assert isclose(float(one.first.load), float(two.first.load), rel_tol=1e-9)
            assert isclose(float(one.ultimate.load), float(two.ultimate.load), rel_tol=1e-9)


def test_straight_glass_bears_its_strain_of_the_table() -> None:
    # strain of the row (open database) times modulus times thickness
    panel = Made(
        '[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\nrepeat = 4\n'
        'directions = "100 % at 0"\n'
    )
    row = _row("ply_strains", "e_glass_unidirectional_stitched_vacuum_bag_or_infusion_epoxy_eps_1t")
    end, _ = panel.under(ALONG)
    wanted = 0.01 * float(row["strain"]) * panel.made.constants.E1[0] * panel.build.thickness
    assert isclose(float(end.ultimate.load), wanted, rel_tol=1e-9)


def test_glass_at_45_bears_twice_its_shear_strength() -> None:
    # half the pull of a ±45 plate is the shear strength of the table, by definition
    panel = Made(
        '[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\nangle = 45\n'
        'directions = "100 % at 0"\n[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\n'
        'angle = -45\nrepeat = 2\ndirections = "100 % at 0"\n[[layer]]\n'
        'cloth = "E-glass unidirectional 600 g/m2"\nangle = 45\ndirections = "100 % at 0"\n'
    )
    row = _row("ply_strains", "e_glass_unidirectional_stitched_vacuum_bag_or_infusion_epoxy_tau_12")
    end, _ = panel.under(ALONG)
    wanted = 2e6 * float(row["strength"]) * panel.build.thickness
    assert float(end.ultimate.load) == pytest.approx(wanted, rel=0.01)


def test_stitched_45_glass_in_epoxy_is_taken_at_the_mean_less_its_spread() -> None:
    row = _row(
        "ply_strains", "e_glass_stitched_biaxial_one_ply_vacuum_bag_or_infusion_epoxy_tau_12"
    )
    spread = sqrt(float(row["cov_coupons"] or 0) ** 2 + float(row["cov_panels"] or 0) ** 2) / 100.0
    found = predict(
        read(HEAD + '[[layer]]\ncloth = "E-glass biaxial 600 g/m2"\n'), Catalogue.shipped()
    )
    layers = Made('[[layer]]\ncloth = "E-glass biaxial 600 g/m2"\n').layers
    taken = layers[0].inputs["shear_12"].value
    assert isclose(taken, 1e6 * float(row["strength"]) * (1.0 - spread), rel_tol=1e-9)
    assert any("less its spread" in text for text in (*found.warnings, *found.assumed))


def test_timber_rolls_before_it_shears_along() -> None:
    # V = 2/3 τ t of a rectangle; strengths at 12 %: Wood Handbook table 5-3a and 0.23 of it rolling
    panel = Made('[[layer]]\nboard = "Sitka spruce"\nthickness = "20 mm"\nmoisture = "12 %"\n')
    wood = _row("timber_cross_grain", "spruce_sitka")
    along, across = panel.shear(0), panel.shear(1)
    assert float(along.ultimate.load) == pytest.approx(
        2 / 3 * 1e6 * float(wood["shear_parallel"]) * 20e-3, rel=1e-6
    )
    assert float(across.ultimate.load) == pytest.approx(
        2 / 3 * 1e6 * float(wood["rolling_shear_strength"]) * 20e-3, rel=1e-6
    )


def test_weak_grain_is_found_between_strong_skins() -> None:
    # ±45 glass on both sides of cedar: bent across, the wood splits long before the glass ends
    skin = '[[layer]]\ncloth = "E-glass biaxial 300 g/m2"\n'
    head = 'format = 1\nprocess = "hand lay-up"\nresin = "epoxy, laminating"\n'
    wood = '[[layer]]\nboard = "western redcedar"\nthickness = "8 mm"\n'
    panel = Made(skin + wood + skin, head)
    end, _ = panel.under(strength.LOADS.index("bending across"))
    assert panel.layers[int(end.first.layer)].kind == "board"
    assert strength.MODES[int(end.first.mode)] == "tension across"
    assert float(end.ultimate.load) > 1.5 * float(end.first.load)


SKIN = '[[layer]]\ncloth = "E-glass twill 400 g/m2"\n'
CORE = '[[layer]]\ncore = "PVC foam 80"\nthickness = "20 mm"\n'


def test_thin_skins_on_foam() -> None:
    panel = Made(SKIN + CORE + SKIN)
    core = _row("cores", "pvc_x_80")
    skin = float(panel.build.layer_thickness[0])
    # τ at the middle of the core for V = 1: (E_f t d/2 + E_c c²/8)/D, allen-1969, chapter 2
    (Ef, Ecx, _), d, c = panel.made.turned[:, 0], 20e-3 + skin, 20e-3
    D = 2 * Ef * (skin**3 / 12 + skin * d**2 / 4) + Ecx * c**3 / 12
    wanted = 1e6 * float(core["shear_strength_L"]) * D / (Ef * skin * d / 2 + Ecx * c**2 / 8)
    assert float(panel.shear(0).ultimate.load) == pytest.approx(wanted, rel=1e-3)
    ratio = float(panel.shear(0).first.load) / float(panel.shear(0).ultimate.load)
    low, high = float(_yield(80)["ratio_low"]), float(_yield(80)["ratio_high"])
    assert low <= ratio <= high


def _yield(density: float) -> dict[str, str]:
    assert density >= 80
    return _row("core_strengths", "cross_linked_pvc_foam_80_and_above_shear_yield_ratio")


def test_a_cloth_without_a_row_is_not_known() -> None:
    text = 'format = 1\nprocess = "hand lay-up"\nresin = "epoxy, laminating"\n[[layer]]\n'
    found = predict(read(text + 'cloth = "flax twill 300 g/m2"\n'), Catalogue.shipped())
    assert found.unknown_strength == ("flax twill 2x2 300 g/m²",)
    assert not found.strength


def test_arrays_of_panels_give_each_panel_alone() -> None:
    panel = Made(SKIN + CORE + SKIN)
    many = {name: np.stack([v, v]) for name, v in vars(panel.stack).items()}
    stack = type(panel.stack)(**many)
    build = evaluate(stack)
    states = strength.states(stack, build, section(stack, build))
    for load in range(len(strength.LOADS)):
        for one, two in zip(
            panel.under(load), strength.in_plane(states, stack, build, load), strict=True
        ):
            assert np.allclose(two.ultimate.load, one.ultimate.load, rtol=1e-12)
            assert np.array_equal(two.first.layer, [one.first.layer] * 2)


@pytest.mark.parametrize(("load", "sign", "stress"), [(0, 0, 800e6), (0, 1, 500e6), (1, 1, 120e6)])
def test_all_criteria_agree_under_one_stress(load: int, sign: int, stress: float) -> None:
    # definition: a criterion reaches 1 at the strength measured under that stress alone
    panel = Made(lamina())
    found = strength.by_criteria(panel.stack, panel.build, panel.made)
    assert np.all(np.isinf(found.pop("Norris")))
    assert len(found) == 6
    for name, value in found.items():
        assert float(value[load, sign]) == pytest.approx(
            stress * 4e-3, rel=2e-3 if name == "Puck" else 1e-9
        )


def test_knots_take_from_timber_what_the_trade_takes_off() -> None:
    # common practice: (1 − K)² in tension at an edge, 1 − 0.9 K in compression, 1 − 0.4 K of E
    board = '[[layer]]\nboard = "Sitka spruce"\nthickness = "20 mm"\nmoisture = "12 %"\n'
    clear, knotty = Made(board), Made(board + 'knots = "20 %"\n')
    ratios = [
        float(two.ultimate.load / one.ultimate.load)
        for one, two in zip(clear.under(ALONG), knotty.under(ALONG), strict=True)
    ]
    assert ratios == pytest.approx([0.8**2, 0.82], rel=1e-9)
    moduli = [float(panel.made.constants.E1[0]) for panel in (clear, knotty)]
    assert moduli[1] / moduli[0] == pytest.approx(0.92, rel=1e-9)


@pytest.mark.parametrize(
    ("load", "sign", "power"),
    [(ALONG, 0, 1.25), (ALONG, 1, 1.25), (ACROSS, 0, 1.6), (ACROSS, 1, 2.25)],
)
def test_heavier_timber_of_a_species_is_stronger(load: int, sign: int, power: float) -> None:
    # P = P_mean (ρ/ρ_mean)^n within a species, older editions of the Wood Handbook (from memory)
    board = '[[layer]]\nboard = "Sitka spruce"\nthickness = "20 mm"\nmoisture = "12 %"\n'
    light, heavy = (Made(board + f'density = "{d} kg/m3"\n') for d in (400, 440))
    ratio = float(heavy.under(load)[sign].ultimate.load / light.under(load)[sign].ultimate.load)
    assert ratio == pytest.approx(1.1**power, rel=1e-9)


def test_mat_that_breaks_first_leaves_the_straight_fibre() -> None:
    # straight fibre alone bears at least its strain times its own modulus times its thickness
    head = 'format = 1\nprocess = "hand lay-up"\nresin = "polyester, kind not stated"\n'
    straight = '[[layer]]\ncloth = "E-glass unidirectional 600 g/m2"\ndirections = "100 % at 0"\n'
    mat = '[[layer]]\ncloth = "E-glass chopped mat 100 g/m2"\n'
    panel = Made(straight + mat + straight, head)
    row = _row("ply_strains", "e_glass_unidirectional_stitched_hand_lay_up_polyester_eps_1t")
    end, _ = panel.under(ALONG)
    alone = 0.01 * float(row["strain"]) * panel.made.constants.E1[0]
    alone *= panel.build.layer_thickness[0] + panel.build.layer_thickness[2]
    assert alone <= float(end.ultimate.load) <= 1.05 * alone
    assert panel.layers[int(end.first.layer)].inputs.get("is_random") is not None
