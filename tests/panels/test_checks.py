"""What worries a good foreman: said where it is so, and only there.

The facts behind the worries are common practice of the trade, no source.
"""

from __future__ import annotations

import pytest

from panelwright.materials.catalogue import Catalogue
from panelwright.panels.checks import worries
from panelwright.panels.evaluate import evaluate
from panelwright.panels.stack import stack_of

from .written import layer, resolved


def said(*parts: str) -> list[str]:
    """The worries of a panel."""
    panel = resolved(*parts)
    return worries(panel, evaluate(stack_of(panel.layers)))


GLASS = layer(cloth="twill 200")
CARBON = layer(cloth="carbon twill 200")
STRIPS = layer(strips="western redcedar", thickness="8 mm", moisture="10 %")
PET = layer(core="PET foam 110", thickness="20 mm", soak="50 g/m2")
ALUMINIUM = layer(core="aluminium honeycomb 50", thickness="12 mm", soak="0 g/m2")
ARAMID = layer(core="aramid honeycomb 48", thickness="12 mm", soak="0 g/m2")
POLYESTER = 'resin = "polyester"\n'


def hot(span: str, resin: str = "epoxy") -> str:
    return f'resin = "{resin}"\nservice = {{ temperature = "{span}" }}\n'


def shop(celsius: float) -> str:
    return f'shop = {{ temperature = "{celsius} degC", humidity = "50 %" }}\n'


#: What a sentence must say, a panel of which it is true, and one of which it is not.
WORRIES: dict[str, tuple[str, tuple[str, ...], tuple[str, ...]]] = {
    "polystyrene in polyester": (
        "holds styrene, which dissolves or softens",
        (POLYESTER, GLASS, layer(core="XPS", thickness="20 mm"), GLASS),
        (GLASS, layer(core="XPS", thickness="20 mm"), GLASS),
    ),
    "expanded polystyrene in vinyl ester": (
        "holds styrene, which dissolves or softens",
        ('resin = "vinyl ester"\n', GLASS, layer(core="EPS", thickness="20 mm"), GLASS),
        (POLYESTER, GLASS, PET, GLASS),
    ),
    "wet timber": (
        "Timber at 18 % moisture",
        (GLASS, layer(strips="western redcedar", thickness="8 mm", moisture="18 %"), GLASS),
        (GLASS, STRIPS, GLASS),
    ),
    "one face": (
        "Only one face of the timber is glassed",
        (GLASS, STRIPS),
        (GLASS, STRIPS, GLASS),
    ),
    "the other face alone": (
        "Only one face of the timber is glassed",
        (layer(coat="paint"), STRIPS, GLASS),
        (STRIPS,),
    ),
    "nothing between": (
        "Layers 2 and 3 lie on each other with nothing between",
        (GLASS, STRIPS, layer(plywood="birch plywood", thickness="9 mm"), GLASS),
        (
            GLASS,
            STRIPS,
            layer(glue="epoxy, thickened"),
            layer(plywood="birch plywood", thickness="9 mm"),
            GLASS,
        ),
    ),
    "hot": (
        "softens near",
        (hot("-5 to 60 degC"), GLASS),
        (hot("-5 to 20 degC"), GLASS),
    ),
    "hot for its resin": (
        "softens near",
        (hot("-5 to 60 degC"), GLASS),
        (hot("-5 to 60 degC", "epoxy, hot cure"), GLASS),
    ),
    "carbon on aluminium": (
        "Carbon against aluminium corrodes it",
        (CARBON, ALUMINIUM, CARBON),
        (GLASS, ALUMINIUM, GLASS),
    ),
    "carbon on aluminium, under a name of its own": (
        "Carbon against aluminium corrodes it",
        (layer(cloth="carbon twill 200", name="top skin"), ALUMINIUM),
        (CARBON, ARAMID, CARBON),
    ),
    "mat in epoxy": (
        "needs styrene to wet out",
        (layer(cloth="mat 450"),),
        (POLYESTER, layer(cloth="mat 450")),
    ),
    "stitched mat in epoxy": (
        "needs styrene to wet out",
        (layer(cloth="mat 300"), GLASS),
        (layer(cloth="1708"), GLASS),
    ),
    "cold shop": ("Shop at 6 degC", (shop(6), GLASS), (shop(18), GLASS)),
    "mirrored biax": (
        "turned over, which is not the mirror image",
        ("mirror = true\n", layer(cloth="biax 300"), PET),
        (layer(cloth="biax 300"), PET, layer(cloth="biax 300", angle=90, face="in")),
    ),
    "mirrored along the roll": (
        "turned over, which is not the mirror image",
        ("mirror = true\n", layer(cloth="quad 800"), PET),
        ("mirror = true\n", layer(cloth="UD 300", angle=30.1), GLASS, PET),
    ),
    "thirsty core": (
        "of the resin sinks below the surface",
        (GLASS, layer(core="balsa 150", thickness="12 mm", soak="450 g/m2"), GLASS),
        (GLASS, PET, GLASS),
    ),
    "a coat is meant to sink": (
        "of the resin sinks below the surface",
        (GLASS, layer(board="okoume", thickness="9 mm", soak="300 g/m2"), GLASS),
        (layer(coat="first coat"), layer(board="okoume", thickness="9 mm", soak="100 g/m2")),
    ),
    "tight packing": (
        "more than a square packing holds (78.5 %)",
        (layer(cloth="UD 300", fibre_volume_fraction=0.80),),
        (layer(cloth="UD 300", fibre_volume_fraction=0.78),),
    ),
}


@pytest.mark.parametrize(("says", "so", "not_so"), WORRIES.values(), ids=list(WORRIES))
def test_each_worry(says: str, so: tuple[str, ...], not_so: tuple[str, ...]) -> None:
    assert any(says in one for one in said(*so))
    assert not any(says in one for one in said(*not_so))


def test_a_sound_panel_has_none() -> None:
    assert said(GLASS, PET, GLASS) == []


def test_each_worry_is_said_once() -> None:
    wet = layer(strips="western redcedar", thickness="8 mm", moisture="18 %")
    glue = layer(glue="epoxy, thickened")
    found = said(GLASS, wet, glue, wet, glue, wet, GLASS)
    assert len(found) == len(set(found)) == 1


def test_what_is_worst_comes_first() -> None:
    foam = layer(core="XPS", thickness="20 mm")
    found = said(POLYESTER, shop(6), GLASS, foam, GLASS)
    assert len(found) == 2
    assert "styrene" in found[0]


@pytest.mark.parametrize("resin", ["ep_rt", "up_ortho", "ve_bpa"])
def test_the_softening_that_is_named_is_that_of_the_row(resin: str) -> None:
    """Twenty kelvin below where the resin softens is near enough to be said."""
    row = Catalogue.shipped().table("resins").row(resin)
    softens = row.number("softening_temperature")
    assert softens is not None
    celsius = softens - 273.15
    near, far = (f"0 to {celsius - margin:.2f} degC" for margin in (19.0, 21.0))
    assert any(f"{celsius:.0f} °C" in one for one in said(hot(near, row.name), GLASS))
    assert said(hot(far, row.name), GLASS) == []
