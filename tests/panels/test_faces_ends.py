"""How faces on a core end: any direction, thin cores, honeycomb, dents; interfaces and glue."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from panelwright.errors import InputError
from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import laminate, sandwich_failure
from panelwright.panels import faces, strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.records import Prediction, StrengthRecord
from panelwright.panels.section import section

from .test_strength import ACROSS, ALONG, BENT, CORE, HEAD, SKIN, _row
from .test_strength import Made as Panel

THIN = '[[layer]]\ncore = "PVC foam 80"\nthickness = "5 mm"\n'
COMB = '[[layer]]\ncore = "aramid honeycomb 48 kg/m3"\nthickness = "20 mm"\n'
SHEARED = strength.LOADS.index("shear in the plane")


class Made(Panel):
    """A panel with its faces."""

    def __init__(self, layers: str) -> None:
        super().__init__(layers)
        self.faces = faces.faces(self.stack, self.build, self.made)

    def wrinkles(self, load: int, sign: int = -1) -> strength.Weakest:
        return faces.wrinkling(self.faces, self.build, self.made, load, sign)


def ud(angle: float) -> str:
    """A layer of constants, far stiffer along than across, and thin."""
    return (
        '[[layer]]\nlamina = { E1 = "120 GPa", E2 = "8 GPa", G12 = "4 GPa", nu12 = 0.3, '
        f'density = "1500 kg/m3" }}\nthickness = "0.5 mm"\nangle = {angle}\n'
    )


def test_thin_skins_on_foam_wrinkle() -> None:
    # 0.5 (E_f E_c G_c)^(1/3) of both skins, pressed: hoff-mautner-1945 (from memory)
    panel, core = Made(SKIN + CORE + SKIN), _row("cores", "pvc_x_80")
    skin, c = float(panel.build.layer_thickness[0]), 20e-3
    Ef, Ecx = panel.made.turned[:2, 0]  # cylindrical
    G, Ec = 1e6 * float(core["G_L"]), 1e6 * float(core["E_c"])
    share = 2 * Ef * skin / (2 * Ef * skin + Ecx * c)  # the foam takes the rest of the force
    wanted = 2.0 * 0.5 * (Ef * Ec * G) ** (1 / 3) * skin / share
    assert float(panel.wrinkles(ALONG).load) == pytest.approx(wanted, rel=0.03)
    assert float(panel.wrinkles(ALONG, 1).load) > 20.0 * wanted


def test_no_core_no_wrinkling() -> None:
    panel = Made(SKIN + SKIN)
    assert np.isinf(panel.wrinkles(ALONG).load)
    assert all(np.all(np.isinf(load)) for load in vars(faces.dents(panel.faces)).values())


def test_skins_on_honeycomb_dimple_and_the_core_crushes() -> None:
    # σ = 2 E/(1 − ν²) (t/s)², Norris 1964 in any sandwich handbook
    row = _row("cores", "ar_4_8_48")
    panel = Made(SKIN + f'[[layer]]\ncore = "{row["name"]}"\nthickness = "20 mm"\n' + SKIN)
    end = faces.dimpling(panel.faces, panel.build, panel.made, ALONG, -1)
    skin, E = float(panel.build.layer_thickness[0]), float(panel.made.turned[0, 0])
    stress = 2.0 * E * (skin / (1e-3 * float(row["cell_size"]))) ** 2
    assert float(end.load) == pytest.approx(2.0 * stress * skin, rel=0.05)
    assert float(faces.crushing(panel.stack)) == pytest.approx(1e6 * float(row["comp_strength"]))


# --- Directions -----------------------------------------------------------------------------------


@pytest.mark.parametrize("angle", [0.0, 20.0, 45.0, 70.0, 90.0])
@pytest.mark.parametrize("load", [ALONG, ACROSS, SHEARED])
def test_no_direction_between_those_looked_at_is_much_worse(angle: float, load: int) -> None:
    """The least over all directions, found by a search of its own from A, B and D of one face."""
    deep = CORE.replace("20 mm", "60 mm")
    panel = Made(ud(angle) + deep + ud(angle))
    Q, t = panel.made.turned[0], panel.build.layer_thickness[0]
    z = panel.made.heights[0]
    A, B, D = Q * t, Q * t * z, Q * (t**3 / 12.0 + t * z**2)
    strains = -panel.made.compliance[:, load]
    moved = strains[:3] + z * strains[3:]
    n = np.array([[Q[0], Q[1], Q[3]], [Q[1], Q[2], Q[4]], [Q[3], Q[4], Q[5]]]) @ moved * t
    core = _row("cores", "pvc_x_80")  # foam: alike in all directions
    E, G = 1e6 * float(core["E_c"]), 1e6 * float(core["G_L"])

    def exposed(way: float) -> float:
        bending = laminate.bending_at(A, B, D, [way])[0]
        bears = 0.5 * np.cbrt(12.0 * bending * E * G)
        c, s = np.cos(way), np.sin(way)
        return float(-(n[0] * c * c + n[1] * s * s + 2.0 * n[2] * s * c) / bears)

    tried = [
        minimize_scalar(lambda x: -exposed(x), bounds=(a, a + 0.4), method="bounded").fun
        for a in np.arange(0.0, np.pi, 0.3)
    ]
    wanted = 1.0 / -min(tried)
    found = float(panel.wrinkles(load).load)
    assert wanted * (1.0 - 1e-9) <= found <= 1.01 * wanted


def test_a_skin_stiff_along_wrinkles_askew_under_shear_and_sooner_across() -> None:
    panel = Made(ud(0.0) + CORE + ud(0.0))
    along, across, sheared = (panel.wrinkles(load) for load in (ALONG, ACROSS, SHEARED))
    assert np.degrees(faces.DIRECTIONS[int(along.mode)]) in (0.0, 175.0, 5.0)
    assert np.degrees(faces.DIRECTIONS[int(across.mode)]) == 90.0
    assert across.load < along.load
    # waves follow one another nearer to the soft way than to the diagonal
    way = np.degrees(faces.DIRECTIONS[int(sheared.mode)])
    assert 90.0 < way < 135.0 or 45.0 < way < 90.0


def test_turning_the_whole_panel_turns_its_wrinkles() -> None:
    # a panel turned by 90 degrees is the same panel loaded the other way
    one, other = Made(ud(30.0) + CORE + ud(30.0)), Made(ud(120.0) + CORE + ud(120.0))
    assert float(one.wrinkles(ALONG).load) == pytest.approx(
        float(other.wrinkles(ACROSS).load), rel=1e-9
    )


def test_arrays_of_panels_give_each_panel_alone() -> None:
    panels = [Made(skin + core + SKIN) for skin in (SKIN, ud(30.0)) for core in (CORE, THIN, COMB)]
    stacks = [vars(panel.stack) for panel in panels]
    stack = type(panels[0].stack)(**{k: np.stack([s[k] for s in stacks]) for k in stacks[0]})
    build = evaluate(stack)
    made = section(stack, build)
    many = faces.faces(stack, build, made)
    dents = faces.dents(many)
    for load in range(len(strength.LOADS)):
        ends = faces.wrinkling(many, build, made, load, -1)
        for row, panel in enumerate(panels):
            assert ends.load[row] == pytest.approx(float(panel.wrinkles(load).load), rel=1e-12)
            assert dents.patch[row] == pytest.approx(faces.dents(panel.faces).patch, rel=1e-12)


# --- Thin cores and honeycomb ---------------------------------------------------------------------


def test_skins_on_a_thin_core_go_together_and_never_bear_more_than_crimping() -> None:
    panel = Made(SKIN + THIN + SKIN)
    pressed, bent = (panel.wrinkles(load) for load in (ALONG, BENT))
    assert float(pressed.load) < sandwich_failure.crimping_force(panel.made.shear[0, 0])
    for load, end, wanted in ((ALONG, pressed, True), (BENT, bent, False)):
        together = faces.go_together(panel.faces, panel.build, panel.made, load, -1)
        assert bool(together[int(end.layer), int(end.mode)]) is wanted


def test_a_core_split_in_two_is_as_thick_as_one() -> None:
    half = THIN.replace("5 mm", "2.5 mm")
    one, two = Made(SKIN + THIN + SKIN), Made(SKIN + half + half + SKIN)
    assert float(one.wrinkles(ALONG).load) == pytest.approx(
        float(two.wrinkles(ALONG).load), rel=1e-9
    )
    assert faces.dents(one.faces).line == pytest.approx(faces.dents(two.faces).line, rel=1e-9)


def test_skins_on_deep_honeycomb_wrinkle_on_springs() -> None:
    # a core without stiffness along its plane gives the skins no more than springs 2E_c/t_c
    panel = Made(ud(0.0) + COMB.replace("20 mm", "60 mm") + ud(0.0))
    D, E = panel.faces.bending[0, 0], panel.faces.core_modulus[0]
    perfect = 2.0 * np.sqrt(D * 2.0 * E / 60e-3)
    assert float(panel.wrinkles(ALONG).load) == pytest.approx(2.0 * perfect * 0.5 / 0.91, rel=0.02)


# --- The panel file and the record ----------------------------------------------------------------


def _predicted(layers: str, keys: str = "") -> Prediction:
    return predict(read(HEAD + keys + layers), Catalogue.shipped())


def _of(prediction: Prediction, action: str, words: str) -> StrengthRecord:
    return next(r for r in prediction.strength if r.action == action and words in r.mode)


def test_waviness_of_the_skins_is_an_input_with_a_range() -> None:
    panel = SKIN + CORE + SKIN
    usual, wavy, unsure = (
        _predicted(panel, keys)
        for keys in ("", "wrinkling_share = 0.6\n", 'wrinkling_share = "0.6 (0.3 to 0.9)"\n')
    )
    loads = [_of(p, "pressed along", "wrinkles").value for p in (usual, wavy, unsure)]
    assert loads[1].value == pytest.approx(0.6 * loads[0].value, rel=1e-6)
    assert loads[2].high - loads[2].low > 1.2 * (loads[1].high - loads[1].low)
    assert any(driver.cause == "waviness of the skins" for driver in loads[2].drivers)
    assert any("as straight and well bonded as usual" in said for said in usual.assumed)
    assert any(said.startswith("skins wrinkle at 0.6 of") for said in wavy.assumed)
    assert not any("wrinkling" in said for said in _predicted(SKIN).assumed)


@pytest.mark.parametrize("written", ["0", "1.2", '"3 mm"', "true"])
def test_a_share_that_cannot_be_is_refused_where_it_stands(written: str) -> None:
    with pytest.raises(InputError) as refused:
        read(HEAD + f"wrinkling_share = {written}\n" + SKIN)
    problem = refused.value.problems[0]
    assert problem.line == 4
    assert problem.key == "wrinkling_share"


def test_heels_and_edges_stand_in_the_record_with_their_footprint() -> None:
    found = _predicted(SKIN + CORE + SKIN + SKIN)
    heel, other = (_of(found, f"a heel on the {side}", "crushes") for side in ("outside", "inside"))
    assert heel.value.unit == "N"
    assert heel.footprint == "60 mm round"
    # no less than the core bears on that patch by itself, more under the thicker skin
    bare = 1e6 * float(_row("cores", "pvc_x_80")["comp_strength"]) * np.pi * 0.03**2
    assert bare < heel.value.value < other.value.value
    assert _of(found, "an edge on the outside", "crushes").value.unit == "N/m"


def test_both_ends_of_a_thin_pressed_skin_stand_in_the_record() -> None:
    found = _predicted(SKIN + CORE + SKIN)
    ends = [r for r in found.strength if r.action == "pressed along" and r.level == "ultimate"]
    assert any("crushes" in r.mode and r.layer for r in ends)
    assert any("wrinkles" in r.mode for r in ends)


def test_a_pull_tells_of_no_wrinkles_far_beyond_its_own_end() -> None:
    # boards of spruce contract more across than the foam between them, so a pull presses a little
    board = '[[layer]]\nboard = "Sitka spruce"\nthickness = "6 mm"\n'
    for layers in (board + CORE + board, SKIN + CORE + SKIN):
        wrinkled = {r.action for r in _predicted(layers).strength if "wrinkles" in r.mode}
        assert {"pressed along", "pressed across", "sheared in its plane"} <= wrinkled
        assert not any(action.startswith("pulled") for action in wrinkled)


# --- Interfaces -----------------------------------------------------------------------------------

PINE = '[[layer]]\nboard = "Sitka spruce"\nthickness = "10 mm"\nmoisture = "12 %"\n'


def test_a_weak_glue_line_ends_a_panel_and_a_strong_one_does_not() -> None:
    # by beam theory τ = 1.5 V/h at mid-height of two like boards; 2 MPa is the row's number
    weak, strong = (
        _predicted(
            PINE + f'[[layer]]\nglue = "{glue}"\nspread = "200 g/m2"\nkept = "10 %"\n' + PINE
        )
        for glue in ("contact cement", "polyurethane glue, two-part")
    )
    ends = [
        min(
            (r for r in p.strength if r.action == "shear force along" and r.level == "ultimate"),
            key=lambda r: r.value.value,
        )
        for p in (weak, strong)
    ]
    assert ends[0].mode == "the glue shears"
    assert ends[0].place == "between layers 1 and 3"
    assert ends[0].value.value == pytest.approx(2e6 * 20e-3 / 1.5, rel=0.01)
    assert ends[1].mode == "shears along its grain"
    assert not weak.unknown_glue


def test_a_glue_without_a_number_is_said_not_to_be_known() -> None:
    found = _predicted(PINE + '[[layer]]\nglue = "resorcinol glue"\n' + PINE)
    assert found.unknown_glue == ("glue line, resorcinol glue",)
    assert not any(r.mode == "the glue shears" for r in found.strength)


def test_the_weaker_neighbour_of_an_interface_is_named_with_it() -> None:
    # two boards crossed: the neutral height lies in the stiff one, so the soft one is sheared most
    # at its face to it; τ = V E₂ t₂ (distance to the neutral height)/D by beam theory
    layers = PINE.replace("10 mm", "4 mm") + PINE + "angle = 90\n"
    panel, found = Panel(layers), _predicted(layers)
    end = min(
        (r for r in found.strength if r.action == "shear force along" and r.level == "ultimate"),
        key=lambda r: r.value.value,
    )
    (E1, E2), (t1, t2) = panel.made.turned[:, 0], panel.build.layer_thickness
    apart = (t1 + t2) / 2.0
    neutral = E2 * t2 * apart / (E1 * t1 + E2 * t2)  # below the middle of the stiff board
    D = E1 * (t1**3 / 12 + t1 * neutral**2) + E2 * (t2**3 / 12 + t2 * (apart - neutral) ** 2)
    stress = E2 * t2 * (apart - neutral) / D
    rolling = float(strength.limits(panel.stack, panel.build, panel.made).S23[1])
    assert end.mode == "rolls in shear across its grain"
    assert end.place == "between layers 1 and 2"
    assert end.value.value == pytest.approx(rolling / stress, rel=1e-6)
