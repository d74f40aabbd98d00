"""Duties: what the file says, handbook plates and beams through the whole of it, odd input."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.jobs.check import check, ready_duties
from panelwright.jobs.check_limits import judged
from panelwright.jobs.predict import evaluate_panel, stiffen
from panelwright.mechanics import plate
from panelwright.panels import bearing, duty
from panelwright.panels.description import read
from panelwright.panels.resolve import resolve
from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import AT_LEAST, AT_MOST, DutyRecord, LimitRecord
from panelwright.provenance import Evidence
from tests.jobs.panels import shipped

#: An isotropic sheet by its constants: E 10 GPa, ν 0.3, 10 mm; thin against its spans.
SHEET = """format = 1
[[layer]]
thickness = "10 mm"
[layer.lamina]
E1 = "10 GPa"
E2 = "10 GPa"
G12 = "3.846153846 GPa"
G13 = "3.846153846 GPa"
G23 = "3.846153846 GPa"
nu12 = 0.3
density = "700 kg/m3"
X1t = "50 MPa"
X1c = "50 MPa"
X2t = "50 MPa"
X2c = "50 MPa"
S12 = "30 MPa"
"""
D = 10e9 * 0.01**3 / (12.0 * (1.0 - 0.3**2))
EI = 10e9 * 0.01**3 / 12.0
CORED = """format = 1
process = "vacuum infusion"
resin = "epoxy, infusion"
size = { length = "1.2 m", width = "0.8 m" }
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[layer]]
core = "PVC foam 80 kg/m3"
thickness = "15 mm"
[[layer]]
cloth = "E-glass twill 200 g/m2"
repeat = 2
"""


def one(text: str) -> DutyRecord:
    (found,) = check(read(text), shipped())
    return found


def limit(record: DutyRecord, name: str) -> LimitRecord:
    return next(found for found in record.limits if found.name.startswith(name))


def asked(
    edges: str = '"simply supported"',
    load: str = 'pressure = "1 kPa"',
    limits: str = 'deflection = "50 mm"',
    span: str = '{ length = "1 m", width = "1 m" }',
    more: str = "",
) -> str:
    return f"""
[[duty]]
span = {span}
edges = {edges}
{more}
limits = {{ {limits} }}
[[duty.load]]
{load}
"""


# --- Handbook plates and beams --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edges", "span", "share"),
    [
        # Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, tables 8 and 35, ν 0.3:
        # w = α q a⁴/D with a the shorter side (from memory)
        ('"simply supported"', (1.0, 1.0), 0.00406),
        ('"simply supported"', (1.5, 1.0), 0.00772),
        ('"simply supported"', (2.0, 1.0), 0.01013),
        ('"clamped"', (1.0, 1.0), 0.00126),
        ('"clamped"', (1.5, 1.0), 0.00220),
        ('"clamped"', (2.0, 1.0), 0.00254),
    ],
)
def test_a_plate_of_the_handbook(edges: str, span: tuple[float, float], share: float) -> None:
    size = f'{{ length = "{span[0]} m", width = "{span[1]} m" }}'
    found = one(SHEET + asked(edges, span=size)).ways[0].deflection
    assert found.value == pytest.approx(share * 1e3 / D, rel=0.008)  # the print, and some shear


def test_a_plate_with_a_load_in_the_middle() -> None:
    """The same book, table 23 (from memory): a load on a point of a square, 0.01160 P a²/D."""
    load = 'force = "100 N"\non = { length = "4 mm", width = "4 mm" }'
    found = one(SHEET + asked(load=load)).ways[0].deflection
    assert found.value == pytest.approx(0.01160 * 100.0 / D, rel=0.02)


@pytest.mark.parametrize(
    ("strip", "bending", "moment"),
    [
        ("three points", 1 / 48, 1 / 4),
        ("simply supported, even load", 5 / 384, 1 / 8),
        ("clamped, even load", 1 / 384, 1 / 12),
        ("clamped, load in the middle", 1 / 192, 1 / 8),
        ("cantilever, load at the end", 1 / 3, 1.0),
        ("cantilever, even load", 1 / 8, 1 / 2),
        ("four points", 23 / 1296, 1 / 6),  # loads at the thirds
    ],
)
def test_a_beam_of_the_handbook(strip: str, bending: float, moment: float) -> None:
    """Shares of W L³/EI and W L: beam tables of any handbook (common knowledge of the trade)."""
    text = asked(
        load='force = "20 N"' if "even" not in strip else 'pressure = "0.2 kPa"',
        limits='deflection = "1 m", reserve = 1',
        span='{ length = "1 m", width = "0.1 m" }',
        more=f'strip = "{strip}"',
    )
    found = one(SHEET + text).ways[0]
    assert found.deflection.value == pytest.approx(bending * 200.0 / EI, rel=0.005)
    stress = moment * 200.0 * 6.0 / 0.01**2
    assert found.reserve is not None
    assert found.reserve.value == pytest.approx(50e6 / stress, rel=0.01)


def test_water_that_rises_to_one_edge_bends_as_its_mean_in_the_middle() -> None:
    """By symmetry (principle): what rises evenly adds nothing in the middle of a square."""
    rising = one(SHEET + asked(load='head = "1 m"\nhead_top = "0 m"'))
    even = one(SHEET + asked(load='head = "0.5 m"'))
    middle = [record.deflections[15][15] for record in (rising, even)]
    assert middle[0] == pytest.approx(middle[1], rel=1e-3)  # the picture has four figures
    assert rising.ways[0].deflection.value > even.ways[0].deflection.value
    assert rising.loads[0].force == pytest.approx(1025.0 * 9.80665 * 0.5, rel=1e-9)


def test_own_weight_and_carried_mass_are_forces() -> None:
    weight = one(SHEET + asked(load="own_weight = true")).loads[0]
    assert weight.force == pytest.approx(7.0 * 9.80665, rel=1e-6)
    load = 'mass = "240 kg"\ntimes_gravity = 0.8\ntowards = "outside"'
    assert one(SHEET + asked(load=load)).loads[0].force == pytest.approx(-1882.9, rel=1e-4)


# --- Edges, limits, ranges ------------------------------------------------------------------------


def test_what_nobody_is_sure_of_is_judged_on_the_worse() -> None:
    both = one(SHEET + asked('"unsure"'))
    loose, tight = one(SHEET + asked()), one(SHEET + asked('"clamped"'))
    values = [way.deflection.value for way in both.ways]
    assert values == [loose.ways[0].deflection.value, tight.ways[0].deflection.value]
    assert limit(both, "deflection").value == both.ways[0].deflection
    assert "3.2 times the deflection" in both.unsure  # 0.00406 over 0.00126
    default = one(SHEET + asked().replace('edges = "simply supported"\n', ""))
    assert len(default.ways) == 2
    some = one(SHEET + asked('{ left = "clamped", right = "free", bottom = "unsure" }'))
    assert [way.edges[:2] for way in some.ways] == [("clamped", "free")] * 2


@pytest.mark.parametrize(
    ("value", "low", "high", "sense", "word"),
    [
        (1.0, 0.9, 1.1, AT_MOST, "yes"),
        (1.0, 0.9, 1.3, AT_MOST, "only just"),
        (1.25, 0.9, 1.3, AT_MOST, "no"),
        (2.0, 1.5, 2.5, AT_LEAST, "yes"),
        (2.0, 1.1, 2.5, AT_LEAST, "only just"),
        (1.1, 1.0, 2.5, AT_LEAST, "no"),
    ],
)
def test_judgements(value: float, low: float, high: float, sense: str, word: str) -> None:
    given = Ranged(value, low, high, "1", Evidence.GIVEN)
    assert judged(given, 1.2, sense) == word
    assert judged(None, 1.2, sense) == "no"


def test_draws_of_a_duty_are_those_of_full_solutions() -> None:
    """To 1 % of the range, over every tenth draw solved for itself."""
    description = read(CORED + _knee())
    done = evaluate_panel(resolve(description, shipped()), 256)
    stiff = stiffen(done)
    assert stiff is not None
    middle = duty.panel_of(stiff.stack, stiff.build, stiff.made)
    drawn = duty.panel_of(stiff.drawn_stack, stiff.drawn_build, stiff.drawn)
    field = duty.field_of(description, 0, shipped(), 3.0, 0.016)
    (held, edges) = next(iter(duty.ways_of(description.panel.duty[0].edges).items()))
    borne = duty.bear(middle, drawn, field, held, edges)
    width = float(np.ptp(np.percentile(borne.deflections, [5, 95])))
    first = next(found for found in borne.first if found.how == duty.IN_PLANE)
    spread = float(np.ptp(np.percentile(first.draws, [5, 95])))
    x, y = field.sides()
    for index in range(0, 256, 32):
        alone = _row(stiff.drawn_stack, index), _row(stiff.drawn_build, index)
        made = _row(stiff.drawn, index)
        bent = bearing.bend(made, x, y, edges, field.load)
        exact = plate.deflection_at(
            bent.held, bent.unknowns[:, :1], [borne.deflection.x], [borne.deflection.y]
        )
        assert borne.deflections[index] == pytest.approx(float(exact[0, 0, 0]), abs=0.01 * width)
        found = bearing.stresses(bent, *alone, made, np.array([first.at.x]), np.array([first.at.y]))
        bears: Any = tuple(limit[index] for limit in drawn.states.first)
        reserve = bearing.in_plane(found, bears).reserve.value
        assert first.draws[index] == pytest.approx(reserve, abs=0.01 * spread)


def _row(record: Any, index: int) -> Any:
    changed = {}
    for one_field in fields(record):
        value = getattr(record, one_field.name)
        changed[one_field.name] = _row(value, index) if is_dataclass(value) else value[index]
    return replace(record, **changed)


def _knee() -> str:
    return """
[[duty]]
ready = "kneel on it"
span = { length = "600 mm", width = "400 mm" }
edges = "simply supported"
limits = { deflection = "span/60", reserve = 2 }
"""


def _stud(side: str) -> DutyRecord:
    on = f'{{ length = "{side}", width = "{side}" }}'
    return one(
        CORED
        + asked(
            load=f'name = "a stud"\nforce = "300 N"\non = {on}',
            limits="first_damage = 1",
            span='{ length = "200 mm", width = "200 mm" }',
        )
    )


def test_under_a_small_patch_the_core_is_judged_for_a_dent_and_that_is_said() -> None:
    small, large = _stud("15 mm"), _stud("60 mm")
    assert any("under “a stud” the skin bends by itself" in text for text in small.warnings)
    assert small.ways[0].first_governs == "the core crushes under the outer skin, by “a stud”"
    assert small.ways[0].first_damage is not None
    assert large.ways[0].first_damage is not None
    assert large.ways[0].first_damage.value > 1.5 * small.ways[0].first_damage.value


def test_a_load_that_lasts_grows_the_deflection_by_evidence_or_is_not_kept() -> None:
    text = asked(limits='deflection = "100 mm", reserve = 1', more='lasts = "10 years"')
    known = one(CORED + text.replace("1 kPa", "0.2 kPa"))
    assert known.after is not None
    assert known.after.value > 1.2 * known.ways[0].deflection.value
    assert limit(known, "deflection").value == known.after
    unknown = one(SHEET + text)
    assert unknown.after is None
    assert unknown.after_unknown
    assert [found.kept for found in unknown.limits] == ["no", "no"]
    assert "creeps" in limit(unknown, "deflection").governs
    short = one(SHEET + text.replace("10 years", "10 s"))
    assert short.kept == "yes"


FLAX = (
    CORED.replace("E-glass twill 200 g/m2", "flax twill 300 g/m2")
    .replace('"vacuum infusion"', '"hand lay-up"')
    .replace("epoxy, infusion", "epoxy, laminating")
)


def test_skins_of_no_known_strength_give_no_reserve() -> None:
    """The core alone would give one: what nobody knows must not be told as kept."""
    told = one(FLAX + asked(limits='deflection = "100 mm", reserve = 1, first_damage = 1'))
    assert limit(told, "deflection").kept == "yes"
    for name in ("reserve factor", "reserve factor at first damage"):
        found = limit(told, name)
        assert (found.value, found.kept) == (None, "no")
        assert "the strength of flax twill" in found.governs
    assert all(way.reserve is None and way.first_damage is None for way in told.ways)
    glass = FLAX.replace("flax twill 300", "E-glass twill 300")
    assert one(glass + asked(limits="reserve = 1")).ways[0].reserve is not None


def test_like_what_is_known() -> None:
    """A 10 mm sheet of E 10 GPa against 5 mm aluminium: (10/70)(10/5)³ by E t³ (principle)."""
    like = """
[duty.like]
as = "aluminium 5 mm"
at_least = { stiffness = 1.0 }
mass = "less"
"""
    head = '\n[[duty]]\nspan = { length = "1 m", width = "1 m" }\nedges = "simply supported"\n'
    record = one(SHEET + head + like)
    row = shipped().table("solids").find("aluminium")
    ratio = 10e9 * 2.0**3 / (row.number("E") or 0.0)
    poisson = (1.0 - (row.number("nu") or 0.0) ** 2) / (1.0 - 0.3**2)
    found = limit(record, "stiffness").value
    assert found is not None
    assert found.value == pytest.approx(ratio * poisson, rel=0.01)
    assert limit(record, "mass").kept == "yes"  # 7 kg/m² against 13.5
    load = '[[duty.load]]\npressure = "1 kPa"\n'
    strong = one(SHEET + head + like.replace("stiffness = 1.0", "strength = 1.0") + load)
    assert limit(strong, "strength").kept == "no", "nothing is known of its strength"


def test_an_even_load_has_a_value_by_hand_beside_it() -> None:
    """The first wave of Navier's series, 16 p a⁴/(4 π⁶ D), is 2.5 % above its sum (principle)."""
    record = one(SHEET + asked())
    by_hand = 16.0 * 1e3 / (4.0 * np.pi**6 * D)
    assert record.by_hand == pytest.approx(by_hand, rel=2e-3)
    assert record.ways[0].deflection.value == pytest.approx(by_hand / 1.025, rel=5e-3)
    heel = 'force = "100 N"\non = { length = "90 mm", width = "90 mm" }'
    for other in (asked(load=heel), asked(edges=MIXED)):
        assert one(SHEET + other).by_hand is None


MIXED = '{ left = "clamped", right = "free", bottom = "clamped", top = "clamped" }'


def test_a_sum_that_still_changes_is_told() -> None:
    """A small heel on a long field is a sum of many waves; an even load on a square is not."""
    heel = 'force = "1 kN"\non = { length = "20 mm", width = "20 mm" }'
    rough = one(SHEET + asked(load=heel, span='{ length = "0.5 m", width = "3 m" }'))
    told = [text for text in rough.warnings if "still changes" in text]
    change = 100.0 * rough.ways[0].last_change
    assert f"the deflection still changes by {change:.2g} % on the last refinement" in told
    assert any("the reserve at first damage" in text for text in told)
    smooth = one(SHEET + asked())
    assert not [text for text in smooth.warnings if "still changes" in text]


def test_what_is_taken_for_granted_and_what_is_not_covered_is_told() -> None:
    record = one(CORED + _knee())
    assert any("EI of at least" in text for text in record.assumes)
    assert any("fasteners" in text for text in record.assumes)
    assert any("fatigue" in text for text in record.not_covered)
    assert "licensed" in record.warnings[-1]


def test_carried_by_a_corner_it_hangs_from_its_far_edge() -> None:
    size = 'span = { length = "1 m", width = "0.5 m" }\n'
    text = f'\n[[duty]]\nready = "carry it by one corner"\n{size}limits = {{ reserve = 1 }}\n'
    record = one(SHEET + text)
    (way,) = record.ways
    assert way.edges == ("clamped", "free", "free", "free")
    assert record.loads[0].over is not None
    assert np.array(record.loads[0].over) == pytest.approx(np.array([[0.96, 1.0], [0.46, 0.5]]))
    grid = np.array(record.deflections)
    assert grid[-1, -1] == grid.max()
    held = one(SHEET + text.replace(size, size + 'edges = "simply supported"\n'))
    assert held.ways[0].edges == ("simply supported",) * 4


@pytest.mark.parametrize("name", ready_duties(shipped()))
def test_every_ready_duty_can_be_answered(name: str) -> None:
    size = 'span = { length = "0.8 m", width = "0.5 m" }\n'
    text = f'\n[[duty]]\nready = "{name}"\n{size}limits = {{ reserve = 1, deflection = "1 m" }}\n'
    record = one(CORED + text)
    assert record.ways[0].deflection.value > 0.0
    assert record.loads[0].source
    assert record.lasts is not None


def test_the_same_file_comes_to_the_same_digits() -> None:
    assert one(CORED + _knee()) == one(CORED + _knee())


# --- What is refused ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (asked(limits=""), "the duty sets no limit"),
        (
            asked(span='{ length = "8 mm", width = "1 m" }'),
            "the span is less than the panel is thick",
        ),
        (asked(load='pressure = "3 mm"'), "here a pressure is wanted"),
        (
            asked(
                load='force = "1 N"\non = { length = "1 m", width = "1 m" }\n'
                'at = { along = "900 mm", across = "500 mm" }'
            ),
            "the load stands beyond the length of the field",
        ),
        (asked('"free"'), "falls or turns about its edge"),
        (
            asked('{ left = "simply supported", right = "free", bottom = "free", top = "free" }'),
            "falls or turns",
        ),
        (asked('"glued"'), "none of the words"),
        (asked(load='force = "1 N"\npressure = "1 kPa"'), "a load is one of these"),
        (asked(more='ready = "dance on it"'), "bag at full vacuum"),
        (asked(limits='deflection = "span/1"'), "no such share of the span"),
        (
            "\n[[duty]]\nlimits = { reserve = 2 }\n[[duty.load]]\nown_weight = true\n",
            "how large the field is",
        ),
        (
            '\n[[duty]]\nspan = { length = "1 m", width = "1 m" }\nlimits = { reserve = 2 }\n',
            "carries nothing",
        ),
        (
            asked(
                more='[duty.like]\nas = "9 mm unobtainium"\nat_least = { stiffness = 1.0 }'
            ).replace('limits = { deflection = "50 mm" }', ""),
            "unobtainium",
        ),
        ("", "the panel has no duty"),
    ],
)
def test_a_duty_that_cannot_be_is_told_with_its_place(text: str, said: str) -> None:
    with pytest.raises(InputError) as refused:
        check(read(SHEET + text), shipped())
    sentence = " ".join(problem.sentence() for problem in refused.value.problems)
    assert said in sentence
    assert "duty" in sentence


def test_a_strip_and_a_plate_are_as_uncertain() -> None:
    """The error of the model counts once: the same panel over the same span spreads alike."""
    text = CORED.replace('size = { length = "1.2 m", width = "0.8 m" }\n', "")
    size = '{ length = "0.6 m", width = "0.6 m" }'
    edges = (
        '{ left = "simply supported", right = "simply supported", bottom = "free", top = "free" }'
    )
    plate_way = one(text + asked(edges, span=size)).ways[0].deflection
    even = 'strip = "simply supported, even load"'
    strip_way = one(text + asked(span=size, more=even)).ways[0].deflection
    assert strip_way.value == pytest.approx(plate_way.value, rel=0.05)
    spreads = [(way.high - way.low) / way.value for way in (strip_way, plate_way)]
    assert spreads[0] == pytest.approx(spreads[1], rel=0.1)


@pytest.mark.parametrize(
    ("more", "load", "said"),
    [
        ('strip = "four points"\narm = "600 mm"', 'force = "1 N"', "would pass each other"),
        ('strip = "three points"', 'pressure = "1 kPa"', "takes a force at a point"),
        (
            'strip = "cantilever, even load"',
            'force = "1 N"\nat = { along = "1 mm", across = "1 mm" }',
            "an even load lies on the whole strip",
        ),
    ],
)
def test_loads_that_are_not_those_of_the_strip_are_refused(more: str, load: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        one(SHEET + asked(load=load, more=more))


def test_loads_that_cancel_are_told() -> None:
    back = '\n[[duty.load]]\npressure = "1 kPa"\ntowards = "outside"\n'
    with pytest.raises(InputError, match="cancel"):
        one(SHEET + asked('"unsure"') + back)


def test_a_cantilever_ends_at_its_root_and_gives_at_its_end() -> None:
    load = asked(
        load='force = "20 N"',
        limits="reserve = 1",
        span='{ length = "1 m", width = "0.1 m" }',
        more='strip = "cantilever, load at the end"',
    )
    record = one(SHEET + load)
    assert ", 0 mm along" in record.ways[0].governs
    assert not any("hangs in its plane" in text for text in record.warnings)


def test_far_too_soft_is_said_to_be_that() -> None:
    soft = one(SHEET + asked(load='pressure = "200 kPa"'))
    assert any("far too soft" in text for text in soft.warnings)


def test_a_strain_is_told_with_its_layer_and_place() -> None:
    """Bent by an even load the middle is strained most, at a face (principle)."""
    record = one(SHEET + asked(limits='strain = "5 %"'))
    assert "face, 500 mm along, 500 mm across" in limit(record, "strain").governs
    text = CORED.replace('size = { length = "1.2 m", width = "0.8 m" }\n', "")
    even = 'strip = "simply supported, even load"'
    strip = limit(one(text + asked(limits='strain = "5 %"', more=even)), "strain")
    assert strip.governs.startswith("E-glass"), "a core has no fibre"
    assert "500 mm along" in strip.governs
