"""A measured piece in words: digits follow the uncertainty, points lie as on the piece."""

from __future__ import annotations

import pytest

from panelwright.reports.bench_words import (
    as_read,
    finding_rows,
    map_rows,
    of_readings,
    of_the_map,
    split_rows,
)
from panelwright.samples.budget import Contribution
from panelwright.samples.findings import thickness_map
from panelwright.samples.found import Finding, Findings
from panelwright.samples.readings import Reading, read_reading, read_readings
from panelwright.samples.reconcile import Compared, Split


def _split(value: float, u: float, rest: float = 0.0) -> list[tuple[str, ...]]:
    split = Split("soak", value, u)
    one = Compared("areal mass", "areal_mass", 4.0, 3.8, 4.2, 4.1, 1e-3, (split,), rest)
    return split_rows(one, "si")


@pytest.mark.parametrize(
    ("value", "u", "said"),
    [
        # half of the 90 % range is 1.645 u: one digit of it, two after a one
        (0.12345, 0.0456, "+120 g/m² ± 80 g/m²"),
        (-0.00712, 0.0110, "−7 g/m² ± 18 g/m²"),
        (0.12345, 0.0091, "+123 g/m² ± 15 g/m²"),
        (0.0004, 0.0456, "0 g/m² ± 80 g/m²"),
    ],
)
def test_a_part_of_a_difference_is_no_finer_than_it_is_known(
    value: float, u: float, said: str
) -> None:
    """JCGM 100, 7.2.6: an uncertainty to two digits at most, the value to the same place."""
    (_, shown, _), _ = _split(value, u)
    assert shown == said


def test_what_is_not_explained_is_no_finer_than_the_parts() -> None:
    *_, (name, shown, _) = _split(0.1, 0.05, rest=0.0123)
    assert (name, shown) == ("not explained", "+10 g/m²")
    *_, (_, none, _) = _split(0.1, 0.05, rest=-0.0004)
    assert none == "0 g/m²"


def _map(**points: float) -> list[Reading]:
    return [Reading("thickness", mm / 1e3, at, 1e-5) for at, mm in points.items()]


def test_thickness_lies_as_on_the_piece() -> None:
    found = thickness_map(_map(A1=31.68, A3=31.51, B1=31.7, B3=31.73))
    assert found is not None
    assert map_rows(found, "si") == [
        ("", "1", "3"),
        ("A", "31.68 mm", "31.51 mm"),
        ("B", "31.70 mm", "31.73 mm"),
    ]
    assert "31.51 mm (A3) to 31.73 mm (B3)" in of_the_map(found, "si")


def test_points_of_other_names_have_no_map() -> None:
    found = thickness_map(_map(corner=31.68, A1=31.5))
    assert found is not None
    assert map_rows(found, "si") == []
    assert "31.50 mm (A1) to 31.68 mm (corner)" in of_the_map(found, "si")


def test_readings_are_told_as_they_were_read() -> None:
    read = [
        read_reading("mass", "413.8 g by 0.1 g"),
        read_reading("thickness", "31.68", "A1"),
        read_reading("thickness", "31.5", "A2", reason="a burr"),
        read_reading("temperature", "18"),
        *read_readings("edge mark", "12 30", "1/0"),
        *read_readings("edge mark", "12 90", "1/1"),
    ]
    assert of_readings(read) == [
        "mass 413.8 g",
        "thickness A1 31.68 mm, A2 31.5 mm (anew: a burr)",
        "temperature 18 °C",
        "2 marks on a photo of the cut edge",
    ]
    assert as_read(read_reading("cloth", "1210")) == "1210 g/m²"


def test_draws_that_see_more_than_derivatives_are_told() -> None:
    def row(u_drawn: float) -> str:
        one = Finding("void", 0.1, 0.01, "fraction", u_drawn, (Contribution("mass", 1.0, "read"),))
        return finding_rows(Findings((one,)), "si", unsure=True)[1][3]

    assert row(0.0101) == "mass 100 %"
    assert row(0.015) == "mass 100 %, by draws 1.5 times as unsure"
