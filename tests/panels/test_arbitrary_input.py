"""Whatever is thrown at the two ways in, only a refusal with a sentence comes out."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.errors import PanelwrightError
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import description
from panelwright.panels.checks import refuse_impossible, worries
from panelwright.panels.description import Panel
from panelwright.panels.evaluate import evaluate
from panelwright.panels.layers import BY_KIND
from panelwright.panels.resolve import resolve
from panelwright.panels.shop_words import panel_file
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import stack_of

CATALOGUE = Catalogue.shipped()
#: Far more than reading a panel takes, far less than a person would wait.
LONGEST = 5.0


def _predicted(text: str) -> None:
    """A panel file all the way to its numbers, at the middle and under a few draws."""
    panel = resolve(description.read(text, "panel.toml"), CATALOGUE)
    build = evaluate(stack_of(panel.layers))
    refuse_impossible(panel, build)
    worries(panel, build)
    drawn = evaluate(drawn_stack(panel.layers, 8))
    for thing in (build, drawn):
        assert np.all(np.isfinite(thing.areal_mass))
        assert np.all(thing.areal_mass >= 0.0)
        assert np.all(np.isfinite(thing.thickness))
        assert np.all(thing.thickness >= 0.0)


def _said(text: str) -> None:
    _predicted(panel_file(text, CATALOGUE))


def _only_refusals(way_in: Callable[[str], None], text: str) -> bool:
    """Whether the text was taken; a refusal must have a sentence for each problem, soon."""
    start, refusal = time.perf_counter(), None
    try:
        way_in(text)
    except PanelwrightError as refused:
        refusal = refused
    assert time.perf_counter() - start < LONGEST
    if refusal is None:
        return True
    assert refusal.problems
    assert all(one.what.strip(" .") for one in refusal.problems)
    assert all(len(one.sentence()) < 2000 for one in refusal.problems)
    return False


# --- Any text -----------------------------------------------------------------------------------

_TEXT = st.text(max_size=300) | st.text("[]{}=.,\"'#\n\\ layerclothmm8", max_size=300)


@given(_TEXT)
@settings(max_examples=300)
def test_any_text_as_a_panel_file(text: str) -> None:
    _only_refusals(_predicted, text)


@given(st.binary(max_size=300))
def test_any_bytes_as_a_panel_file(content: bytes) -> None:
    _only_refusals(_predicted, content.decode("utf-8", "surrogateescape"))


# fmt: off
_WORDS = st.sampled_from(
    [
        "biax", "twill", "mat", "ud", "carbon", "flax", "300", "12 oz", "1/2 in", "½", "\"",
        "8 mm", "redcedar", "balsa 150", "PET foam", "birch ply", "gelcoat", "2 x", "coats of",
        "at 45", ",", ";", "(", ")", "±45", "-", "0", "1e9", "999", "g/m2", "\\", "honeycomb",
        "veneer",
    ]
)
# fmt: on


@given(st.text(max_size=100) | st.lists(_WORDS, max_size=12).map(" ".join))
def test_any_words(text: str) -> None:
    _only_refusals(_said, text)


# --- Any structure ------------------------------------------------------------------------------

# fmt: off
_QUANTITIES = st.sampled_from(
    [
        "8 mm", "1/2 in", "0 mm", "-3 mm", "12 m", "300 g/m2", "12 oz/yd2", "450 kg/m3", "45 %",
        "1.2", "10 GPa", "20 degC", "-5 to 50 degC", "50 to -5 degC", "0.45 +/- 0.05", "5 mil",
        "1,5 mm", "0.45 (0.40 to 0.48)", "8 mm sd 9 mm", "1e30 mm", "1/0 mm", "nan mm", "", " ",
        "6 kg",
    ]
)
# fmt: on
# fmt: off
_NAMES = st.sampled_from(
    [
        "biax 300", "mat 450", "western redcedar", "okoume", "PET foam 110", "balsa 150", "XPS",
        "birch plywood", "bulking mat", "epoxy, thickened", "gelcoat", "fill coat", "aramid 48",
        "aramid honeycomb 48", "skin", "hand", "bag", "infusion", "closed mould", "polyester",
        "out", "in", "wet", "cured", "square", "carbon twill 200", "flax twill 300",
    ]
)
# fmt: on
_NUMBERS = (
    st.integers(-3, 300) | st.floats() | st.booleans() | st.sampled_from([10**9, -(10**40), 0x7F])
)
_VALUES = st.recursive(
    _QUANTITIES | _NAMES | _NUMBERS | st.text(max_size=8) | st.datetimes(),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(min_size=1, max_size=6), inner)
    ),
    max_leaves=4,
)


def _fields(models: list[Any]) -> list[str]:
    return sorted({name for model in models for name in model.model_fields})


_LAYER_KEYS = st.sampled_from(_fields(list(BY_KIND.values()))) | st.text(min_size=1, max_size=6)
_LAYERS = st.lists(st.dictionaries(_LAYER_KEYS, _VALUES, max_size=5), max_size=3)
_GROUPS = st.lists(
    st.fixed_dictionaries({}, optional={"name": _NAMES | _VALUES, "layer": _LAYERS, "x": _VALUES}),
    max_size=2,
)
_OWN = {"format", "layer", "group"}
_PANELS = st.fixed_dictionaries(
    {"format": st.just(1)},
    optional={
        **{name: _VALUES for name in Panel.model_fields if name not in _OWN},
        "layer": _LAYERS | _VALUES,
        "group": _GROUPS | _VALUES,
    },
)


@given(_PANELS)
@settings(max_examples=300)
def test_any_structure_as_a_panel_file(panel: dict[str, Any]) -> None:
    _only_refusals(_predicted, tomlkit.dumps(panel))


@given(st.dictionaries(st.text(max_size=6), _VALUES, max_size=4))
def test_any_table_as_a_panel_file(table: dict[str, Any]) -> None:
    assert not _only_refusals(_predicted, tomlkit.dumps(table))


#: What a person would write for each key; a slip stands in its place now and then.
_SENSIBLE: dict[str, list[Any]] = {
    "cloth": ["biax 300", "mat 450", "carbon twill 200", "flax twill 300", "1708", "UD 300"],
    "strips": ["western redcedar", "okoume"],
    "board": ["Sitka spruce"],
    "veneer": ["okoume"],
    "plywood": ["birch plywood", "okoume plywood"],
    "core": ["PET foam 110", "balsa 150", "XPS", "aramid honeycomb 48", "cork 200"],
    "bulking_mat": ["bulking mat"],
    "glue": ["epoxy, thickened", "contact"],
    "coat": ["gelcoat", "fill coat", "first coat", "paint", "fairing"],
    "damping": ["cork rubber"],
    "lamina": [{"density": "1900 kg/m3"}, {"density": "1900 kg/m3", "E1": "40 GPa", "nu12": 0.3}],
    "group": ["skin"],
    "thickness": ["9 mm", "1/2 in", "0.7 mm", "20 mm +/- 0.5 mm"],
    "density": ["300 kg/m3", "20 lb/ft3"],
    "moisture": ["10 %", 0.12, "8 % (6 to 12 %)"],
    "angle": [0, 45, -30.5, "90 deg"],
    "seal": ["wet", "cured"],
    "face": ["out", "in"],
    "seal_coat": ["140 g/m2"],
    "soak": ["100 g/m2", "0 g/m2"],
    "areal_mass": ["310 g/m2", "9 oz/yd2"],
    "fibre_mass_fraction": [0.45, "50 % +/- 3 %"],
    "fibre_volume_fraction": [0.3],
    "void_fraction": ["2 %"],
    "resin": ["polyester", "epoxy"],
    "repeat": [1, 2, 3],
    "coats": [1, 3],
    "spread": ["300 g/m2"],
    "kept": ["40 %"],
    "mass": ["500 g/m2"],
    "sanded_off": ["30 %"],
    "glue_spread": ["376 g/m2"],
    "glue_kept": [0.4],
    "strip": [{"cover": "20 mm"}, {"width": "22 mm", "cover": "20 mm", "profile": "square"}],
    "kerf": [{"width": "1 mm", "pitch": "30 mm"}],
    "bend_radius": ["0.9 m"],
    "bend_radius_across": ["2 m"],
    "name": ["my layer"],
    "note": ["a note"],
}


@st.composite
def _plausible_layers(draw: st.DrawFn) -> dict[str, Any]:
    """A layer of one kind with a few of its own keys, mostly sensible."""
    kind = draw(st.sampled_from(sorted(BY_KIND)))
    model = BY_KIND[kind]
    keys = draw(st.lists(st.sampled_from(sorted(model.model_fields)), max_size=3, unique=True))
    keys += [name for name, field in model.model_fields.items() if field.is_required()]
    slips = st.integers(0, 30).map(lambda n: n == 0)
    return {
        key: draw(_QUANTITIES | _NAMES | _NUMBERS)
        if key not in _SENSIBLE or draw(slips)
        else draw(st.sampled_from(_SENSIBLE[key]))
        for key in dict.fromkeys(keys)
    }


_GROUP = [{"name": "skin", "layer": [{"cloth": "biax 300"}, {"coat": "gelcoat"}]}]


@given(
    st.lists(_plausible_layers(), min_size=1, max_size=4),
    st.booleans(),
    st.sampled_from(["hand", "bag", "infusion", "closed mould"]),
    st.sampled_from(["epoxy", "polyester", "vinyl ester"]),
)
@settings(max_examples=400)
def test_plausible_layers(
    layers: list[dict[str, Any]], mirror: bool, process: str, resin: str
) -> None:
    panel = {"format": 1, "mirror": mirror, "process": process, "resin": resin, "layer": layers}
    _only_refusals(_predicted, tomlkit.dumps(panel))
    _only_refusals(_predicted, tomlkit.dumps({**panel, "group": _GROUP}))


# --- Valid files with a slip ----------------------------------------------------------------------


def _examples() -> list[str]:
    folder = Path(__file__).resolve().parents[2] / "examples"
    return [path.read_text("utf-8") for path in sorted(folder.glob("*.toml"))]


EXAMPLES = _examples()


@pytest.mark.parametrize("text", EXAMPLES, ids=range(len(EXAMPLES)))
def test_the_examples_are_taken(text: str) -> None:
    """Else a slip in them would prove nothing."""
    assert _only_refusals(_predicted, text)


_LINE = st.sampled_from(
    [line for text in EXAMPLES for line in text.splitlines()]
    + ["[[layer]]", "[[group]]", "[[group.layer]]", "mirror = true", "repeat = 0", "angle = 45"]
    + ['thickness = "-1 mm"', 'moisture = "90 %"', 'seal = "cured"', 'soak = "2 kg/m2"', "]", '"""']
)


@st.composite
def _slips(draw: st.DrawFn) -> str:
    """A valid file with lines left out, put in, moved and cut."""
    lines = draw(st.sampled_from(EXAMPLES)).splitlines()
    for _ in range(draw(st.integers(1, 4))):
        where = draw(st.integers(0, max(len(lines) - 1, 0)))
        slip = draw(st.sampled_from(["drop", "put in", "replace", "cut", "repeat"]))
        if slip == "put in" or not lines:
            lines.insert(where, draw(_LINE))
        elif slip == "drop":
            del lines[where]
        elif slip == "replace":
            lines[where] = draw(_LINE)
        elif slip == "cut":
            lines[where] = lines[where][: draw(st.integers(0, 12))]
        else:
            lines.insert(where, lines[where])
    return "\n".join(lines)


@given(_slips())
@settings(max_examples=300)
def test_a_valid_file_with_a_slip(text: str) -> None:
    _only_refusals(_predicted, text)
