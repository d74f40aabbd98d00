"""Where layers lie once groups, repeats, turned faces and mirror are written out.

Geometry: the marked face of a roll is up; turned over about the roll, the plies come in the other
order and an angle a from the roll becomes -a. Angles are seen from outside, counter-clockwise.
"""

from __future__ import annotations

import pytest

from panelwright.panels.layers import MOST_LAYERS
from panelwright.panels.laying import lay

from .written import FORMAT, layer, problem, problems, read, resolved

#: Stitched cloths by their plies from the marked face, degrees from the roll.
STITCHED = {
    "E-glass biaxial 300 g/m2": (45.0, -45.0),
    "E-glass biaxial 0/90 600 g/m2": (0.0, 90.0),
    "E-glass triaxial, longitudinal 750 g/m2": (0.0, 45.0, -45.0),
    "E-glass triaxial, transverse 800 g/m2": (45.0, 90.0, -45.0),
    "E-glass quadraxial 800 g/m2": (0.0, 45.0, 90.0, -45.0),
}
CORE = layer(core="PET foam 110", thickness="20 mm")


def turn(angle: float) -> float:
    """A direction as 0 up to 180 degrees: half a turn is the same direction."""
    return round(angle, 6) % 180.0


def angles(*parts: str) -> list[float | None]:
    """Directions of all plies and layers of a panel, from the outside in."""
    return [
        None if one.angle is None else turn(one.angle)
        for one in resolved(*parts).layers
        if one.kind != "film"
    ]


def names(*parts: str, head: str = "") -> list[str]:
    """Layers of a panel as laid, by the word that names each."""
    laid = lay(read(head, *parts))
    return [str(getattr(one.layer, one.kind)) for one in laid]


@pytest.mark.parametrize(("cloth", "plies"), STITCHED.items())
@pytest.mark.parametrize("roll", [0, 30, -12.5, 90])
def test_plies_from_the_marked_face(cloth: str, plies: tuple[float, ...], roll: float) -> None:
    assert angles(layer(cloth=cloth, angle=roll)) == [turn(roll + ply) for ply in plies]


@pytest.mark.parametrize(("cloth", "plies"), STITCHED.items())
@pytest.mark.parametrize("roll", [0, 30, -12.5, 90])
def test_turned_over_about_the_roll(cloth: str, plies: tuple[float, ...], roll: float) -> None:
    turned = angles(layer(cloth=cloth, angle=roll, face="in"))
    assert turned == [turn(roll - ply) for ply in reversed(plies)]


def test_a_biax_turned_over_is_itself() -> None:
    """+45 over -45, turned over about the roll, is +45 over -45 again."""
    assert angles(layer(cloth="biax 300", face="in")) == angles(layer(cloth="biax 300"))


def test_mat_stitched_to_cloth_comes_to_the_other_side() -> None:
    mat = layer(cloth="E-glass biaxial ±45 with mat 801 g/m2")
    turned = layer(cloth="E-glass biaxial ±45 with mat 801 g/m2", face="in")
    assert angles(mat) == [45.0, 135.0, None]
    assert angles(turned) == [None, 45.0, 135.0]


def test_woven_cloth_is_one_ply_along_its_roll() -> None:
    assert angles(layer(cloth="twill 200", angle=30)) == [30.0]
    assert angles(layer(cloth="twill 200", angle=30, face="in")) == [30.0]


def test_mirror_of_a_biax_is_not_its_mirror_image() -> None:
    """From the same roll turned over: +45/-45 | +45/-45, where the image would be -45/+45."""
    assert angles("mirror = true\n", layer(cloth="biax 300"), CORE) == [45, 135, None, 45, 135]


def test_run_across_it_is_its_mirror_image() -> None:
    """The second biax turned a quarter: a true mirror, +45/-45 | -45/+45."""
    across = layer(cloth="biax 300", angle=90, face="in")
    laid = angles(layer(cloth="biax 300"), CORE, across)
    assert laid == [45, 135, None, 135, 45] == laid[::-1]


@pytest.mark.parametrize("cloth", ["UD 300", "twill 200", "biax 0/90 450"])
@pytest.mark.parametrize("roll", [0, 30.1, -17])
def test_mirror_of_what_is_straight_along_the_roll_is_its_image(cloth: str, roll: float) -> None:
    half = angles("mirror = true\n", layer(cloth=cloth, angle=roll), CORE)
    assert half == half[::-1]


def test_mirror_lays_the_middle_once() -> None:
    halves = names(layer(coat="gelcoat"), layer(cloth="biax 300"), CORE, head="mirror = true\n")
    assert halves == ["gelcoat", "biax 300", "PET foam 110", "biax 300", "gelcoat"]


def test_mirror_lays_a_repeated_middle_as_often_as_it_says() -> None:
    twice = layer(core="PET foam 110", thickness="20 mm", repeat=2)
    found = names(layer(cloth="biax 300"), twice, head="mirror = true\n")
    assert found == ["biax 300", "PET foam 110", "PET foam 110", "biax 300"]


def test_mirror_lays_the_last_cloth_twice() -> None:
    """[a/b] mirrored is a b b a: a published symmetric laminate has no middle ply."""
    found = names(layer(cloth="a 1"), layer(cloth="b 2"), head="mirror = true\n")
    assert found == ["a 1", "b 2", "b 2", "a 1"]


def test_mirror_of_plies_given_by_their_constants_is_a_published_symmetric_laminate() -> None:
    """[0/90]s is four plies: 0, 90, 90, 0."""
    ply = '[layer.lamina]\ndensity = "1950 kg/m3"\n'
    half = layer(thickness="0.5 mm", angle=0) + ply + layer(thickness="0.5 mm", angle=90) + ply
    assert angles("mirror = true\n", half) == [0, 90, 90, 0]


def test_mirrored_layers_say_so() -> None:
    laid = lay(read("mirror = true\n", layer(cloth="biax 300"), CORE))
    assert [one.mirrored for one in laid] == [False, False, True]
    assert [one.turned for one in laid] == [False, False, True]
    assert [one.place for one in laid] == ["layer 1", "layer 2", "layer 1"]


def test_one_unsymmetric_panel_written_from_both_ends() -> None:
    """The panel turned over about its length: layers in reverse, angles of the other sign.

    Published cases count plies from the bottom; written so, a case gives the same panel.
    """
    from_outside = [
        layer(cloth="E-glass triaxial, longitudinal 750 g/m2", angle=20),
        layer(cloth="biax 300", angle=10, face="in"),
        layer(core="aramid honeycomb 48", thickness="12 mm", angle=15),
        layer(plywood="birch plywood", thickness="6.5 mm", angle=5),
        layer(cloth="UD 300", angle=30),
    ]
    from_inside = [
        layer(cloth="UD 300", angle=-30, face="in"),
        layer(plywood="birch plywood", thickness="6.5 mm", angle=-5),
        layer(core="aramid honeycomb 48", thickness="12 mm", angle=-15),
        layer(cloth="biax 300", angle=-10),
        layer(cloth="E-glass triaxial, longitudinal 750 g/m2", angle=-20, face="in"),
    ]
    one, other = angles(*from_outside), angles(*from_inside)
    assert len(one) == 3 + 2 + 1 + 5 + 2
    assert other[::-1] == [None if angle is None else turn(-angle) for angle in one]


def test_plywood_crosses_its_veneers_from_a_face_along_the_angle() -> None:
    sheet = angles(layer(plywood="birch plywood", thickness="6.5 mm", angle=30))
    assert sheet == [30, 120, 30, 120, 30]


GROUPS = """
[[group]]
name = "skin"
[[group.layer]]
cloth = "biax 300"
repeat = 2
[[group.layer]]
cloth = "twill 200"
[[group]]
name = "both"
[[group.layer]]
group = "skin"
[[group.layer]]
core = "PET foam 110"
thickness = "20 mm"
[[group.layer]]
group = "skin"
face = "in"
"""


def test_groups_repeat_and_face() -> None:
    found = names(layer(group="both", repeat=2), layer(coat="gelcoat"), GROUPS)
    skin = ["biax 300", "biax 300", "twill 200"]
    assert found == [*skin, "PET foam 110", *skin[::-1]] * 2 + ["gelcoat"]


def test_a_group_laid_face_in_turns_each_cloth_over() -> None:
    laid = lay(read(layer(group="both"), GROUPS))
    assert [one.turned for one in laid] == [False] * 4 + [True] * 3
    again = lay(read(layer(group="both", face="in"), GROUPS))
    assert [one.turned for one in again if one.kind == "cloth"] == [False] * 3 + [True] * 3


def test_places_of_grouped_layers() -> None:
    laid = lay(read(layer(group="both"), GROUPS))
    assert laid[0].place == "group 1, layer 1"
    assert laid[3].place == "group 2, layer 2"


def _group(name: str, *layers: str) -> str:
    return f'[[group]]\nname = "{name}"\n' + "".join(layers).replace("[[layer", "[[group.layer")


def test_a_group_that_contains_itself() -> None:
    text = FORMAT + layer(group="a") + _group("a", layer(cloth="biax 300"), layer(group="b"))
    found = problem(text + _group("b", layer(group="a")))
    assert found.what == "the group 'a' contains itself"
    assert (found.line, found.key) == (12, "group 2, layer 1")


def test_an_unknown_group_with_the_nearest() -> None:
    found = problem(FORMAT + layer(group="skim") + _group("skin", layer(cloth="biax 300")))
    assert found.what == "there is no group 'skim'"
    assert (found.allowed, found.hint, found.line) == ("skin", "skin", 2)


def test_an_unknown_group_where_none_is_written() -> None:
    assert "add a [[group]]" in problem(FORMAT + layer(group="skin")).allowed


def test_as_many_layers_as_a_panel_can_have() -> None:
    assert len(names(layer(cloth="biax 300", repeat=MOST_LAYERS))) == MOST_LAYERS


@pytest.mark.parametrize(
    "text",
    [
        layer(cloth="biax 300", repeat=MOST_LAYERS) + layer(cloth="biax 300"),
        layer(cloth="biax 300") * (MOST_LAYERS + 1),
        "mirror = true\n" + layer(cloth="biax 300", repeat=MOST_LAYERS // 2 + 1),
        layer(group="a") + _group("a", layer(cloth="biax 300", repeat=150) * 2),
        layer(group="a", repeat=200) + _group("a", layer(cloth="biax 300", repeat=200)),
    ],
    ids=["repeat", "written out", "mirror", "in a group", "a group repeated"],
)
def test_too_many_layers(text: str) -> None:
    found = problem(FORMAT + text)
    assert found.what == "the panel has too many layers"
    assert found.allowed == f"up to {MOST_LAYERS}"
    assert found.line is not None


def test_groups_that_multiply_each_other_are_refused_at_once() -> None:
    """Each group uses the next fifty times: 50^12 layers, of which 201 are enough to refuse."""
    text = layer(group="g0")
    for depth in range(12):
        text += _group(f"g{depth}", layer(group=f"g{depth + 1}") * 50)
    many = FORMAT + text + _group("g12", layer(cloth="biax 300"))
    assert problem(many).what == "the panel has too many layers"
    nowhere = problems(FORMAT + text)
    assert {one.what for one in nowhere} == {"there is no group 'g12'"}


def test_groups_too_deep_in_each_other() -> None:
    text = layer(group="g0")
    for depth in range(2000):
        text += _group(f"g{depth}", layer(group=f"g{depth + 1}"))
    found = problem(FORMAT + text + _group("g2000", layer(cloth="biax 300")))
    assert found.what == "groups lie too deep in each other"
