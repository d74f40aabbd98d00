"""Duties in a line-up: the answers of a check, asked of every panel."""

from __future__ import annotations

import pytest

from panelwright.errors import InputError, PanelwrightError
from panelwright.jobs.check import check
from panelwright.jobs.lineup import asked_in_words, entrant, known_solid, line_up, own_duties
from panelwright.panels.description import Description, read, read_duties
from panelwright.panels.duty_words import duty_file
from panelwright.panels.lineup_records import LineUp

from .panels import EXAMPLES, described, panel, shipped

TENDER, ROOF = (
    described(path) for path in EXAMPLES if path.stem in {"tender-topside", "camper-roof"}
)
TENDER, ROOF = (TENDER, ROOF) if TENDER.panel.title.startswith("Tender") else (ROOF, TENDER)


def lined(*words: str, duty: str | Description) -> LineUp:
    """Known solids under a duty in shop words."""
    asked = asked_in_words(duty, shipped()) if isinstance(duty, str) else duty
    solids = [known_solid(one, shipped()) for one in words]
    return line_up([one for one in solids if one is not None], shipped(), duties=[asked])


def middle(lineup: LineUp, key: str, at: int) -> float:
    value = lineup.row(key).cells[at].value
    assert value is not None, (key, at)
    return value.value


def test_each_answers_as_a_check_of_its_own_file_does() -> None:
    """The duty of the tender, asked of the roof: as if it stood in the roof's own file."""
    lineup = line_up(
        [entrant(one, shipped()) for one in (TENDER, ROOF)], shipped(), duties=[TENDER]
    )
    theirs = TENDER.text[TENDER.text.index("[[duty]]") :]
    beside = read(f"{ROOF.text[: ROOF.text.index('[[duty]]')]}\n{theirs}")
    for at, description in enumerate((TENDER, beside)):
        (record,) = check(description, shipped())
        worst = max(way.deflection.value for way in record.ways)
        assert middle(lineup, "duty_1_deflection", at) == pytest.approx(worst, rel=1e-9)
        least = min(way.reserve.value for way in record.ways if way.reserve is not None)
        assert middle(lineup, "duty_1_reserve", at) == pytest.approx(least, rel=1e-9)
        limit = record.governing
        assert limit is not None
        assert limit.used == pytest.approx(middle(lineup, "duty_1_used", at), rel=1e-9)
        kept = {"yes": "kept", "no": "not kept"}.get(record.kept, record.kept)
        assert lineup.row("duty_1_used").cells[at].said.startswith(f"{kept}: ")


def test_a_metal_strip_sags_by_the_beam_formula() -> None:
    """δ = F L³/(48 E I), I = b t³/12 (beam theory): 200 N amid 400 mm of 100 x 4 mm aluminium.

    70 GPa: EN 1999-1-1, from memory.
    """
    duty = read_duties(
        '[[duty]]\nstrip = "three points"\nspan = { length = "400 mm", width = "100 mm" }\n'
        '[[duty.load]]\nforce = "200 N"\nat = { along = "200 mm", across = "50 mm" }\n'
    )
    lineup = lined("4 mm aluminium", "6 mm aluminium", duty=duty)
    for at, t in enumerate((4e-3, 6e-3)):
        by_hand = 200.0 * 0.4**3 / (48.0 * 70e9 * 0.1 * t**3 / 12.0)
        # shear of a solid strip adds 1.2 E/G (t/L)²: less than a part in a thousand
        assert middle(lineup, "duty_1_deflection", at) == pytest.approx(by_hand, rel=2e-3)
    assert lineup.row("duty_1_deflection").verdict == "best: B"


def test_a_clamped_square_plate_sags_by_the_table() -> None:
    """w = 0.00126 q a⁴/D for a clamped square plate (timoshenko-1959, table 35, from memory).

    Printed to 0.4 %; plates so thin that shear, which the table leaves out, adds less than 0.1 %.
    """
    lineup = lined("2 mm steel", "3 mm steel", duty="2 kPa, 500 mm x 500 mm, clamped")
    for at, t in enumerate((2e-3, 3e-3)):
        stiff = 210e9 * t**3 / (12.0 * (1.0 - 0.3**2))
        assert middle(lineup, "duty_1_deflection", at) == pytest.approx(
            0.00126 * 2e3 * 0.5**4 / stiff, rel=5e-3
        )


def test_the_best_has_no_range_like_anothers() -> None:
    lineup = lined("9 mm birch plywood", "18 mm birch plywood", duty="1 kPa, 600 mm x 400 mm")
    assert lineup.row("duty_1_deflection").verdict == "best: B"
    alike = lined("9 mm birch plywood", "9 mm birch plywood", duty="1 kPa, 600 mm x 400 mm")
    assert alike.row("duty_1_deflection").verdict == "no real difference: A, B"


def test_what_is_not_known_of_one_is_said() -> None:
    lineup = lined(
        "9 mm birch plywood", "3 mm steel", duty="1 kPa, 600 mm x 400 mm, for 30 days, span/100"
    )
    cells = lineup.row("duty_1_used").cells
    assert [cell.value for cell in cells] == [None, None]
    assert cells[0].said == "not known: how birch plywood creeps under a load that lasts"
    reserve = lineup.row("duty_1_reserve").cells[1]
    assert reserve.value is None
    assert "strength of steel" in reserve.said


def test_a_limit_that_is_not_set_has_no_row() -> None:
    lineup = lined("9 mm birch plywood", "12 mm birch plywood", duty="1 kPa, 600 mm x 400 mm")
    assert [row.key for row in lineup.duties] == [
        "duty_1_deflection",
        "duty_1_first_damage",
        "duty_1_reserve",
    ]


def test_own_duties_are_asked_once_each() -> None:
    panels = [entrant(one, shipped()) for one in (TENDER, ROOF, TENDER)]
    assert [one.panel.title for one in own_duties(panels)] == ["Tender topside", "Camper roof"]


@pytest.mark.parametrize(
    ("words", "lines"),
    [
        (
            "kneel on it, 600 mm x 310 mm, clamped, span/100, reserve 2",
            ('ready = "kneel on it"', 'edges = "clamped"', '"span/100", reserve = 2 }'),
        ),
        ("1.2 kPa, 2 ft × 1 ft, 4 mm", ('pressure = "1.2 kPa"', 'length = "2 ft"', '"4 mm"')),
        ("snow, 800 mm x 400 mm, for 30 days", ('ready = "snow"', 'lasts = "30 days"')),
        ("stand, 1 m x 1 m, first damage at least 1.5", ("stand on it", "first_damage = 1.5")),
    ],
)
def test_a_duty_in_shop_words(words: str, lines: tuple[str, ...]) -> None:
    text = duty_file(words, shipped())
    assert all(line in text for line in lines), text
    (duty,) = read_duties(text).panel.duty
    assert duty.span is not None


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("", "No duty is named"),
        ("kneel on it", "How large the field between the supports is has to be said"),
        ("kneel," * 100, "Too many words for a duty"),
        ("0 Pa, 1 m x 1 m", "0 Pa must be more than zero"),
        ("dance on it, 1 m x 1 m", "What is 'dance on it' in a duty?"),
        ("kneel on it, 600 mm x banana", "banana"),
        ("kneel on it, 2 mm x 2 mm", "the span is less than the panel is thick"),
        ("1 kPa, 1 m x 1 m, free", "falls or turns"),
    ],
)
def test_a_duty_that_cannot_be_is_refused(words: str, said: str) -> None:
    with pytest.raises(PanelwrightError) as wrong:
        lined("9 mm birch plywood", "12 mm birch plywood", duty=words)
    assert said in wrong.value.problems[0].sentence()


def test_a_file_without_duty_and_panels_without_are_refused() -> None:
    plain = read(panel('cloth = "E-glass biaxial 600 g/m2"'))
    with pytest.raises(InputError, match="the file has no duty"):
        lined("9 mm birch plywood", "12 mm birch plywood", duty=plain)
    with pytest.raises(InputError, match="duty of its own"):
        own_duties([entrant(plain, shipped())])


def test_more_duties_than_can_be_read_are_refused() -> None:
    duty = asked_in_words("1 kPa, 1 m x 1 m", shipped())
    solid = known_solid("9 mm birch plywood", shipped())
    assert solid is not None
    with pytest.raises(InputError, match="5 duties are too many"):
        line_up([solid, solid], shipped(), duties=[duty] * 5)
