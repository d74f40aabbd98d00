"""Each panel as thick as just keeps its duty: closed forms, root finding of its own, refusals."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from panelwright.errors import InputError
from panelwright.jobs.check import answered
from panelwright.jobs.lineup import Entrant, asked_in_words, entrant, known_solid, line_up
from panelwright.jobs.predict import evaluate_panel, stiffen
from panelwright.panels.description import Description, read, read_duties
from panelwright.panels.keeping import CLOSE, just_enough
from panelwright.panels.lineup import part_of, scaled_panel
from panelwright.panels.lineup_records import KEEP, LineUp, Terms
from panelwright.panels.verdicts import AT_MOST

from .panels import panel, shipped

BIAX = 'cloth = "E-glass biaxial 600 g/m2"'
STRIPS = panel(BIAX, 'strips = "western redcedar"\nthickness = "8 mm"\nmoisture = "12 %"', BIAX)
FOAM = panel(BIAX, 'core = "PET foam 110 kg/m3"\nthickness = "15 mm"', BIAX)
PANELS = [entrant(read(text), shipped()) for text in (STRIPS, FOAM)]
DRAWS = 64
PLY = "9 mm birch plywood"


def solid(words: str) -> Entrant:
    found = known_solid(words, shipped())
    assert found is not None
    return found


def strip(force: float, span: float, limits: str) -> Description:
    return read_duties(
        f'[[duty]]\nstrip = "three points"\nspan = {{ length = "{span} mm", width = "300 mm" }}\n'
        f'limits = {{ {limits} }}\n[[duty.load]]\nforce = "{force} N"\n'
        f'at = {{ along = "{span / 2} mm", across = "150 mm" }}\n'
    )


def kept(panels: list[Entrant], duty: Description | str, **terms: object) -> LineUp:
    asked = asked_in_words(duty, shipped()) if isinstance(duty, str) else duty
    return line_up(panels, shipped(), Terms(KEEP, **terms), duties=[asked], draws=DRAWS)  # type: ignore[arg-type]


def worst_share(one: Entrant, part: str, size: float, duty: Description) -> float:
    """What is used up of the limit that governs, at its unfavourable end: by a check alone."""
    resolved = scaled_panel(one.resolved, part_of(one.resolved.layers, part), size)
    done = evaluate_panel(resolved, DRAWS)
    stiff = stiffen(done)
    assert stiff is not None
    (record,) = answered(duty, shipped(), done, stiff)
    shares = []
    for limit in record.limits:
        assert limit.value is not None
        if limit.sense == AT_MOST:
            shares.append(limit.value.high / limit.limit)
        else:
            shares.append(limit.limit / limit.value.low)
    return max(shares)


# --- The finding of a size ------------------------------------------------------------------------


@given(
    powers=st.lists(st.tuples(st.floats(0.3, 5.0), st.floats(-6.0, 6.0)), min_size=1, max_size=4)
)
def test_the_least_size_is_that_of_a_root_finder_of_its_own(
    powers: list[tuple[float, float]],
) -> None:
    """Shares that fall as powers of the size, the largest counts: brentq of scipy."""

    def excess(x: float) -> float:
        return max(level - power * x for power, level in powers)

    ends = math.log(0.01), math.log(100.0)
    found = just_enough(excess)
    if excess(ends[1]) > 0.0:
        assert found.size is None
        return
    assert found.size is not None
    if excess(ends[0]) < -CLOSE:
        assert found.is_least
        assert found.size == pytest.approx(0.01)
        return
    assert -CLOSE * (1.0 + 1e-9) <= excess(math.log(found.size)) <= 0.0
    assume(excess(ends[0]) > 0.0)
    root = brentq(excess, *ends, xtol=1e-12)
    assert -1e-11 <= math.log(found.size) - root <= CLOSE / 0.3 * (1.0 + 1e-6)


def test_what_a_part_adds_nothing_to_is_out_of_reach_at_once() -> None:
    tries = []

    def excess(x: float) -> float:
        tries.append(x)
        return max(0.2, 1.0 - 2.0 * x)

    assert just_enough(excess).size is None
    assert len(tries) < 6


def test_where_no_thinner_panel_can_be_the_thinnest_that_can_is_found_soon() -> None:
    tries = []

    def excess(x: float) -> float:
        tries.append(x)
        return math.inf if x < -1.0 else -2.0

    found = just_enough(excess)
    assert found.size is not None
    assert 0.0 <= math.log(found.size) + 1.0 <= 1e-4
    assert len(tries) < 20


def test_beyond_the_last_panel_that_can_be_there_is_none() -> None:
    found = just_enough(lambda x: 3.0 - x if x < 1.0 else math.inf)
    assert found.size is None
    assert found.last < math.e


# --- Panels ---------------------------------------------------------------------------------------


@settings(max_examples=10)
@given(
    which=st.integers(0, 1),
    part=st.sampled_from(["core", "faces", "all"]),
    force=st.floats(50.0, 800.0),
    over=st.floats(50.0, 300.0),
    reserve=st.floats(1.0, 4.0),
)
def test_a_strip_just_keeps_its_duty_by_a_root_finder_of_its_own(
    which: int, part: str, force: float, over: float, reserve: float
) -> None:
    """brentq of scipy over whole checks, one panel at a time."""
    one = PANELS[which]
    duty = strip(force, 600.0, f'deflection = "span/{over:.3f}", reserve = {reserve:.3f}')
    ends = math.log(0.02), math.log(10.0)

    def off(log_size: float) -> float:
        return math.log(worst_share(one, part, math.exp(log_size), duty))

    assume(off(ends[0]) > 0.0 > off(ends[1]))
    root = brentq(off, *ends, xtol=1e-6)
    member = kept([one, solid(PLY)], duty, part=part).members[0]
    assert member.change is not None
    assert -2e-6 <= math.log(member.change.size) - root <= CLOSE / 0.25
    assert -CLOSE * 1.01 <= off(math.log(member.change.size)) <= 0.0


@pytest.mark.parametrize("which", [0, 1])
def test_a_plate_just_keeps_its_duty_by_a_root_finder_of_its_own(which: int) -> None:
    one = PANELS[which]
    duty = asked_in_words(
        "kneel on it, 600 mm x 310 mm, simply supported, span/100, reserve 2", shipped()
    )
    lineup = kept([one, solid(PLY)], duty)
    change = lineup.members[0].change
    assert change is not None
    root = brentq(
        lambda x: math.log(worst_share(one, "core", math.exp(x), duty)), -2.0, 2.0, xtol=1e-4
    )
    assert math.log(change.size) == pytest.approx(root, abs=CLOSE / 0.25)
    for cell in lineup.row("duty_1_used").cells:
        assert cell.value is not None
        assert 1.0 - 1.01 * CLOSE <= cell.value.high <= 1.0
        assert cell.said.startswith("kept: ")


def test_a_metal_strip_is_as_thick_as_the_beam_formula_has_it() -> None:
    """t³ = F L³/(4 E b δ) of δ = F L³/(48 E I) (beam theory), E lower as its range has it."""
    lineup = kept(
        [solid("4 mm aluminium"), solid("steel")], strip(300.0, 500.0, 'deflection = "5 mm"')
    )
    for at, modulus in enumerate((70e9, 210e9)):  # EN 1999-1-1 and EN 1993-1-1, from memory
        sag = lineup.row("duty_1_deflection").cells[at].value
        change = lineup.members[at].change
        assert sag is not None
        assert change is not None
        assert sag.high == pytest.approx(5e-3, rel=1.01 * CLOSE)
        by_hand = (300.0 * 0.5**3 / (4.0 * modulus * 0.3 * sag.value)) ** (1.0 / 3.0)
        # shear of a solid strip adds less than a part in a thousand to the deflection
        assert change.after == pytest.approx(by_hand, rel=1e-3)


def test_whole_sheets_keep_it_too() -> None:
    lineup = kept(PANELS, strip(300.0, 600.0, 'deflection = "span/100", reserve = 2'), whole=True)
    for member, cell in zip(lineup.members, lineup.row("duty_1_used").cells, strict=True):
        assert member.change is not None
        assert member.change.rounded.startswith("the next sheet")
        assert cell.value is not None
        assert cell.value.high <= 1.0


def test_with_mass_alone_to_keep_it_is_as_thick_as_that_allows() -> None:
    lineup = kept([PANELS[1], solid(PLY)], strip(300.0, 600.0, 'mass = "4 kg/m2"'))
    for cell in lineup.row("areal_mass").cells:
        assert cell.value is not None
        assert cell.value.high == pytest.approx(4.0, rel=1.01 * CLOSE)


def test_a_core_that_is_not_needed_is_said() -> None:
    lineup = kept(PANELS, strip(0.01, 600.0, 'deflection = "span/100"'))
    assert [one.change.rounded for one in lineup.members if one.change is not None] == [
        "its faces alone keep it"
    ] * 2


@pytest.mark.parametrize(
    ("duty", "said"),
    [
        ("3 MPa, 600 mm x 310 mm, reserve 2", "by its core alone, however thick: with its core"),
        ("1 kPa, 600 mm x 310 mm", "the duty sets no limit"),
    ],
)
def test_a_duty_that_no_size_keeps_is_refused(duty: str, said: str) -> None:
    with pytest.raises(InputError) as wrong:
        kept([PANELS[1], PANELS[0]], duty)
    assert said in wrong.value.problems[0].sentence()


def test_what_gives_way_is_named_and_what_else_may_grow() -> None:
    with pytest.raises(InputError) as wrong:
        kept([PANELS[1], PANELS[0]], "3 MPa, 600 mm x 310 mm, reserve 2")
    said = wrong.value.problems[0].sentence()
    assert "the core shears through" in said
    assert "at least 2 is asked" in said
    assert "--scale faces" in said


def test_a_limit_of_mass_that_is_passed_is_told_with_what_it_takes() -> None:
    duty = strip(800.0, 600.0, 'deflection = "span/300", mass = "3 kg/m2"')
    with pytest.raises(InputError) as wrong:
        kept([PANELS[0], PANELS[1]], duty)
    said = wrong.value.problems[0].sentence()
    assert "where it just keeps the deflection, with its core" in said
    assert "at most 3 kg/m2 is asked" in said


def test_whole_sheets_that_pass_a_limit_of_mass_are_refused() -> None:
    with pytest.raises(InputError, match="in whole plies and sheets, with its core"):
        kept([PANELS[1], solid(PLY)], strip(300.0, 600.0, 'mass = "4 kg/m2"'), whole=True)


def test_a_strength_that_nobody_knows_keeps_no_reserve() -> None:
    with pytest.raises(InputError, match="cannot be judged by the reserve factor"):
        kept([solid("steel"), PANELS[1]], strip(300.0, 600.0, "reserve = 2"))


def test_there_must_be_a_duty() -> None:
    with pytest.raises(InputError, match="No duty is named"):
        line_up(PANELS, shipped(), Terms(KEEP))
