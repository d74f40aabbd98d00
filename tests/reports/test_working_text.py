"""A working in print: what it says recombines by hand."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from panelwright.jobs.working import work
from panelwright.panels.description import read
from panelwright.reports.layout import wide
from panelwright.reports.working_text import number, working_text
from panelwright.working import Formula, Leaf, Step
from tests.jobs.panels import (
    EXAMPLES,
    SCENARIOS,
    described,
    panel,
    predicted,
    scenario_catalogue,
    shipped,
)

#: Figures that a working prints: each number is good to half of the last.
PRINT = 2e-4


def text_of(path: Path, name: str) -> str:
    done = work(described(path), scenario_catalogue(), name)
    return working_text(done.name, "shown", done.node, done.layers)


def steps_of(text: str) -> list[str]:
    """The printed steps, first to last."""
    body = text.split("Steps\n─────\n\n", 1)[1].split("\n\nGiven values\n", 1)[0]
    return body.split("\n\n")


def figures(lines: list[str], column: int) -> list[float]:
    return [float(line.split()[column].replace("−", "-")) for line in lines]


ASKED = [
    (path, name)
    for path in EXAMPLES
    for name in (
        "thickness", "areal_mass", "mass", "resin_in_part", "resin_to_mix",
        *(mix.product for mix in predicted(path).mixes),
    )
]  # fmt: skip
IDS = [f"{path.stem}-{name}" for path, name in ASKED]


@pytest.mark.parametrize(("path", "name"), ASKED, ids=IDS)
def test_fits_a_page_and_leads_every_letter_and_number_somewhere(path: Path, name: str) -> None:
    text = text_of(path, name)
    assert [line for line in text.splitlines() if wide(line) > 100] == []
    made = re.findall(r"^\((\w+)\) ", text, re.MULTILINE)
    used = set(re.findall(r"\((\d+|[a-z]\d?)\)  ", text))
    assert len(made) == len(set(made))
    assert used <= set(made)
    head = max((int(one) for one in made if one.isdigit()), default=0)
    assert set(made) - used == {str(head)}, "only the last step is used by no other"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("name", ["thickness", "areal_mass"])
def test_last_step_adds_up_by_hand(path: Path, name: str) -> None:
    """Thickness and mass per area are the sum of the layers, and nothing else."""
    last = steps_of(text_of(path, name))[-1].splitlines()
    start = next(index for index, line in enumerate(last) if line.split()[0] == "layer")
    rows = [line for line in last[start + 1 :] if re.match(r" +\d+ ", line)]
    result = next(line for line in last if re.match(r"    \S+ = [\d.]+ (mm|g/m²)$", line))
    assert rows
    assert sum(figures(rows, -1)) == pytest.approx(float(result.split()[2]), rel=PRINT)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_resin_to_mix_adds_up_by_hand(path: Path) -> None:
    """The last step is a sum: what is used, and what stays in pots and tools where any does."""
    last = steps_of(text_of(path, "resin_to_mix"))[-1].splitlines()
    parts = [line.split() for line in last if re.match(r"    \(\w+\) +[\d.]+ g/m²", line)]
    assert parts
    total = next(line for line in last if re.match(r"    r = [\d.]+ g/m²$", line)).split()[2]
    assert sum(float(part[1]) for part in parts) == pytest.approx(float(total), rel=PRINT)


def test_resin_of_a_cloth_recombines_by_hand() -> None:
    """r = w (1 - m)/m - s for each printed row of the solid skiff bottom."""
    step = next(
        step for step in steps_of(text_of(EXAMPLES[-2], "areal_mass")) if "r = max(" in step
    )
    rows = [line.split() for line in step.splitlines() if re.match(r" +\d+(–\d+)? .*g/m²", line)]
    assert rows
    for row in rows:
        w, m, s, r = (float(cell) for cell in row[-4:])
        assert r == pytest.approx(w * (1.0 - m) / m - s, rel=PRINT)


def test_thickness_of_a_ply_recombines_by_hand() -> None:
    """t = (w/rho_f + r/rho_m + ...)/(1 - v) in mm from g/m2 and kg/m3: A02, 0.756 mm.

    A02 (mass balance): 600 g/m2, half fibre, 2560 and 1150 kg/m3 give 0.7561 mm; the catalogue's
    2540 kg/m3 for E-glass makes it 0.7580.
    """
    text = panel(
        'cloth = "E-glass twill 600 g/m2"\nfibre_mass_fraction = 0.5\nvoid_fraction = "0 %"'
    )
    done = work(read(text), shipped(), "thickness")
    printed = steps_of(working_text(done.name, "", done.node, done.layers))[-1]
    found = re.search(r"t = ([\d.]+) mm", printed)
    assert found
    assert float(found[1]) == pytest.approx(600.0 / 2540.0 + 600.0 / 1150.0, rel=PRINT)
    assert float(found[1]) == pytest.approx(0.756114, rel=0.005)


def test_steps_that_say_nothing_are_left_out() -> None:
    """Nothing was gauged, nothing sawn: no step about a gauged thickness or a kerf."""
    text = text_of(SCENARIOS / "s5a.toml", "areal_mass")
    assert "gauged ply thickness implies" not in text
    assert "kerf" not in text
    assert " = 0\n" not in text


def test_only_the_rule_of_the_rings_that_counts_is_told() -> None:
    """Poisson's ratio is a mean over the rings in either case."""

    def told(rings: str) -> tuple[int, int]:
        text = panel('board = "western redcedar"\nthickness = "8 mm"' + rings)
        done = work(read(text), shipped(), "stiffness_across")
        printed = working_text(done.name, "", done.node, done.layers)
        mean, seen = "of strips with mixed rings", "of a board whose rings lie at an angle"
        return printed.count(mean), printed.count(seen)

    (means, none), (left, seen) = told(""), told("\nring_angle = 30")
    assert (none, seen > 0) == (0, True)
    assert 0 < left < means


def test_a_gauged_thickness_is_worked_from() -> None:
    """0.756114 mm gauged on A02's cloth gives back its half fibre, with 2540 for 2560 kg/m3."""
    text = panel('cloth = "E-glass twill 600 g/m2"\nthickness = "0.756 mm"\nvoid_fraction = 0.0')
    done = work(read(text), shipped(), "areal_mass")
    printed = working_text(done.name, "", done.node, done.layers)
    assert "Fibre mass fraction that a gauged ply thickness implies" in printed
    room = 1150.0 * (0.756 - 600.0 / 2540.0)
    by_hand = 600.0 / (600.0 + room)
    step = next(step for step in steps_of(printed) if "gauged ply thickness implies" in step)
    row = next(line for line in step.splitlines() if re.match(r" +1 ", line))
    assert float(row.split()[-1]) == pytest.approx(by_hand, rel=PRINT)


def test_nothing_is_said_to_be_nothing() -> None:
    done = work(
        read(panel('board = "western redcedar"\nthickness = "8 mm"')), shipped(), "resin_to_mix"
    )
    text = working_text(done.name, "0 kg/m²", done.node, done.layers)
    assert text.endswith("There is nothing of it in this panel.")


def test_given_values_say_layer_range_evidence_and_source() -> None:
    text = text_of(EXAMPLES[-1], "areal_mass")
    assert "given by you: 8 mm +/- 0.3 mm" in text
    assert re.search(
        r"layers 1–2: 0\.5 \(0\.4 to 0\.58\), from memory of a document: ISO 12215-5", text
    )
    assert "given: given" not in text


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.0, "0"),
        (0.5, "0.5"),
        (1234.56789, "1234.6"),
        (-2.5, "−2.5"),
        (1.5e-7, "1.5000·10^−7"),
        (2.5e9, "2.5000·10^9"),
    ],
)
def test_numbers(value: float, text: str) -> None:
    assert number(value) == text


def test_a_value_without_layers_or_number_of_them_is_listed_in_a_row() -> None:
    """A step may give several numbers that are not one a layer, such as a pair of directions."""
    made_by = Formula(
        "pair", "A pair of numbers", "p", "m", "p = (a, 2 a)", "definition", {"a": "a [m]"}
    )
    step = Step(made_by, np.array([0.001, 0.002, 0.003]), {"a": Leaf("a", "m", 0.001)})
    assert "p = 1, 2, 3 mm" in working_text("pair", "", step, ["one layer"])
