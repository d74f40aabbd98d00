"""Line-ups: equal terms, verdicts, prices, sentences of refusal."""

from __future__ import annotations

import math

import pytest

from panelwright.errors import InputError
from panelwright.fabrication.cost import UnitPrice
from panelwright.jobs.lineup import Entrant, entrant, known_solid, line_up
from panelwright.jobs.lineup_rows import alike, verdict
from panelwright.jobs.predict import predict
from panelwright.jobs.pricing import newest_prices, typed_prices
from panelwright.jobs.shelf import Price
from panelwright.mechanics.comparing import shared_range
from panelwright.panels.description import read
from panelwright.panels.lineup_records import (
    ACROSS,
    ALONG,
    COST,
    EQUAL,
    MASS,
    STIFFNESS,
    STRENGTH,
    THICKNESS,
    Cell,
    Corrected,
    LineUp,
    Terms,
)
from panelwright.panels.records import ULTIMATE
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence

from .panels import panel, shipped

BIAX = 'cloth = "E-glass biaxial 600 g/m2"'
STRIPS = panel(BIAX, 'strips = "western redcedar"\nthickness = "8 mm"\nmoisture = "12 %"', BIAX)
FOAM = panel(BIAX, 'core = "PET foam 110 kg/m3"\nthickness = "15 mm"', BIAX)
LAMINATE = panel(*[BIAX] * 5)
#: Invented, all of them.
PRICES = {
    "E-glass biaxial ±45 600 g/m²": UnitPrice(9.0, "EUR", "m2"),
    "western redcedar strips": UnitPrice(2400.0, "EUR", "m3"),
    "PET foam 110 kg/m3": UnitPrice(12.0, "EUR", "kg"),
    "epoxy, laminating": UnitPrice(19.5, "EUR", "kg"),
    "epoxy, thickened": UnitPrice(21.0, "EUR", "kg"),
}


def from_text(text: str) -> Entrant:
    return entrant(read(text), shipped())


def solid(words: str) -> Entrant:
    found = known_solid(words, shipped())
    assert found is not None
    return found


def middle(lineup: LineUp, key: str, at: int) -> float:
    value = lineup.row(key).cells[at].value
    assert value is not None, (key, at)
    return value.value


KEYS = {
    STIFFNESS: "stiffness_along",
    STRENGTH: "moment_along_first",
    MASS: "areal_mass",
    THICKNESS: "thickness",
    COST: "cost",
}


@pytest.mark.parametrize("equal", EQUAL)
def test_what_is_made_equal_is_equal(equal: str) -> None:
    panels = [from_text(STRIPS), from_text(FOAM), from_text(LAMINATE)]
    lineup = line_up(panels, shipped(), Terms(equal, ALONG), PRICES)
    for at in (1, 2):
        found = middle(lineup, KEYS[equal], at)
        assert found == pytest.approx(middle(lineup, KEYS[equal], 0), rel=1e-6)
        assert lineup.members[at].change is not None
    assert lineup.members[0].change is None
    assert lineup.row(KEYS[equal]).verdict == "made equal"


@pytest.mark.parametrize("way", [ALONG, ACROSS])
def test_equal_at_the_end_counts_what_wrinkles(way: str) -> None:
    terms = Terms(STRENGTH, way, ULTIMATE)
    lineup = line_up([from_text(STRIPS), from_text(FOAM)], shipped(), terms)
    key = f"moment_{way}_ultimate"
    assert middle(lineup, key, 1) == pytest.approx(middle(lineup, key, 0), rel=1e-6)


def test_the_weaker_way_is_made_equal_where_none_is_asked() -> None:
    lineup = line_up([from_text(FOAM), from_text(STRIPS)], shipped(), Terms(STIFFNESS))
    weaker = [
        min(middle(lineup, f"stiffness_{way}", at) for way in (ALONG, ACROSS)) for at in (0, 1)
    ]
    assert weaker[1] == pytest.approx(weaker[0], rel=1e-8)


def test_as_they_are_a_line_up_says_what_a_prediction_says() -> None:
    texts = [STRIPS, FOAM]
    lineup = line_up([from_text(text) for text in texts], shipped())
    for at, text in enumerate(texts):
        made = predict(read(text), shipped())
        assert made.section is not None
        assert middle(lineup, "thickness", at) == made.thickness.value
        assert middle(lineup, "areal_mass", at) == made.areal_mass.value
        assert middle(lineup, "stiffness_along", at) == made.section.stiffness_along.value
        assert middle(lineup, "resin_to_mix", at) == made.to_mix.value
        for key, action, level in (
            ("moment_along_first", "bent along", "first damage"),
            ("moment_across_ultimate", "bent across", ULTIMATE),
            ("shear_along", "shear force along", ULTIMATE),
        ):
            loads = [
                one.value.value
                for one in made.strength
                if one.action.startswith(action) and one.level == level
            ]
            assert middle(lineup, key, at) == min(loads)


def test_the_same_panel_twice_differs_in_nothing() -> None:
    lineup = line_up([from_text(FOAM), from_text(FOAM)], shipped())
    for row in lineup.rows:
        assert row.verdict in {"", "no real difference: A, B"}
    for why in lineup.why:
        assert why.ratio == pytest.approx(1.0)
        assert all(cause.factor == pytest.approx(1.0) for cause in why.causes)


def test_the_causes_multiply_to_the_ratio_of_the_rows() -> None:
    panels = [from_text(STRIPS), from_text(FOAM), from_text(LAMINATE), solid("6 mm acrylic")]
    lineup = line_up(panels, shipped())
    assert len(lineup.why) == 6
    for why in lineup.why:
        assert math.prod(cause.factor for cause in why.causes) == pytest.approx(why.ratio)
        pair = [middle(lineup, why.key, at) for at in (why.panel, why.against)]
        assert why.ratio == pytest.approx(pair[0] / pair[1])
        assert why.ratio >= 1.0


def _between(low: float, high: float) -> Cell:
    return Cell(Ranged((low + high) / 2.0, low, high, "m", Evidence.GIVEN))


@pytest.mark.parametrize(
    ("ranges", "expected"),
    [
        (((1.0, 2.0), (3.0, 4.0)), "best: B"),
        (((1.0, 2.0), (1.6, 2.6)), "best: B"),
        (((1.0, 2.0), (1.4, 2.4)), "no real difference: A, B"),
        (((1.0, 2.0), (1.4, 2.4), (5.0, 6.0)), "best: C"),
        (((1.0, 4.0), (2.9, 3.0)), "no real difference: A, B"),
    ],
)
def test_no_one_is_best_where_ranges_share_more_than_half(
    ranges: tuple[tuple[float, float], ...], expected: str
) -> None:
    """Half of the narrower range: ours, no standard."""
    assert verdict("most", [_between(*ends) for ends in ranges]) == expected


def test_ranges_share_part_of_the_narrower() -> None:
    """By hand: 1 to 2 and 1.4 to 2.4 share 0.6 of 1; 1 to 4 and 2.9 to 3 all of 0.1."""
    found = shared_range([1.0, 1.0, 1.0], [2.0, 4.0, 2.0], [1.4, 2.9, 3.0], [2.4, 3.0, 4.0])
    assert list(found) == pytest.approx([0.6, 1.0, -1.0])


def test_a_value_without_range_is_like_one_that_holds_it() -> None:
    point = Ranged(2.0, 2.0, 2.0, "m", Evidence.GIVEN)
    assert alike(point, Ranged(2.0, 1.0, 3.0, "m", Evidence.GIVEN))
    assert not alike(point, Ranged(4.0, 3.0, 5.0, "m", Evidence.GIVEN))


def test_cost_is_what_is_bought_times_its_price() -> None:
    """By hand: two cloths and a core with their waste, and the resin to mix."""
    lineup = line_up([from_text(FOAM), from_text(FOAM)], shipped(), prices=PRICES)
    made = predict(read(FOAM), shipped())
    ledger = {row.cause: row for row in made.ledger}
    waste = ledger["fibre"].to_buy.value / ledger["fibre"].in_part.value
    core = ledger["core or timber"].to_buy.value
    by_hand = 2 * 9.0 * waste + 12.0 * core + 19.5 * made.to_mix.value
    assert middle(lineup, "cost", 0) == pytest.approx(by_hand, rel=1e-9)
    assert lineup.currency == "EUR"


def test_whole_plies_and_sheets_are_rounded_up() -> None:
    panels = [from_text(STRIPS), from_text(FOAM), from_text(LAMINATE)]
    exact = line_up(panels, shipped(), Terms(STIFFNESS, ALONG))
    whole = line_up(panels, shipped(), Terms(STIFFNESS, ALONG, whole=True))
    sheet, plies = (member.change for member in whole.members[1:])
    assert sheet is not None
    assert plies is not None
    assert sheet.after * 1e3 == pytest.approx(round(sheet.after * 1e3), abs=1e-9)
    assert sheet.rounded == f"the next sheet, {sheet.after * 1e3:.0f} mm"
    assert plies.size * 5 == pytest.approx(round(plies.size * 5), abs=1e-9)
    for at in (1, 2):
        assert middle(whole, "stiffness_along", at) >= middle(exact, "stiffness_along", at)


def test_wood_bows_and_foam_does_not() -> None:
    one_face = panel(BIAX, 'strips = "western redcedar"\nthickness = "8 mm"')
    lineup = line_up([from_text(one_face), from_text(FOAM)], shipped())
    assert middle(lineup, "bow", 0) > 1e-3
    assert lineup.row("bow").cells[1] == Cell(None, "no timber in it")


def test_steel_sinks_and_is_marked_as_of_the_handbook() -> None:
    lineup = line_up([solid("3 mm steel"), from_text(FOAM)], shipped())
    assert [cell.said for cell in lineup.row("density").cells] == ["sinks", "floats"]
    assert [member.handbook_only for member in lineup.members] == [True, False]
    # EN 1993-1-1 (from memory): 210 GPa and 7850 kg/m3
    assert middle(lineup, "stiffness_along", 0) == pytest.approx(210e9 * 3e-3**3 / 12.0)
    assert middle(lineup, "areal_mass", 0) == pytest.approx(23.55)


def of_material(lineup: LineUp, at: int, name: str) -> Corrected:
    return next(one for one in lineup.members[at].corrected if name in one.layer)


def test_materials_stand_beside_the_handbook_for_their_density() -> None:
    """E/ρ, E^(1/3)/ρ (ashby-1992) and G/ρ by hand, from figures of handbooks.

    Steel 210 GPa, ν 0.3, 7850 kg/m3 (EN 1993-1-1, from memory); E-glass 72.4 GPa (National Research
    Council 1992, High-Performance Synthetic Fibers for Composites, table 3-1), 2540 kg/m3; western
    redcedar at 12 %: G 0.32, MOE 7.7 GPa, a tenth more without shear (fpl-gtr-190, tables 5-3a and
    5-1, from memory, as printed to two figures).
    """
    lineup = line_up([from_text(STRIPS), solid("3 mm steel")], shipped())
    steel = of_material(lineup, 1, "steel")
    for one in (steel.here, steel.handbook):
        assert one.pulled == pytest.approx(210e9 / 7850.0)
        assert one.bent == pytest.approx((210e9) ** (1.0 / 3.0) / 7850.0)
        assert one.sheared == pytest.approx(210e9 / 2.6 / 7850.0)
    glass = of_material(lineup, 0, "E-glass")
    assert glass.kind == "fibre"
    assert glass.handbook.pulled == pytest.approx(72.4e9 / 2540.0, rel=1e-3)
    # with its resin it is less stiff for its density than bare, and better as a plate in bending
    assert glass.here.pulled < 0.7 * glass.handbook.pulled
    assert glass.here.bent > glass.handbook.bent
    cedar = of_material(lineup, 0, "redcedar").handbook
    assert cedar.density == pytest.approx(320.0 * 1.12, rel=0.016)
    assert cedar.pulled == pytest.approx(1.1 * 7.7e9 / (320.0 * 1.12), rel=0.025)
    assert cedar.bent == pytest.approx((1.1 * 7.7e9) ** (1 / 3) / (320.0 * 1.12), rel=0.02)


@pytest.mark.parametrize(
    "words",
    [
        "steel",
        "stainless steel",
        "aluminium",
        "acrylic",
        "birch plywood",
        "okoume plywood",
        "spruce plywood",
        "poplar plywood",
        "Sitka spruce",
        "western redcedar board",
        "MDF",
    ],
)
def test_known_solids_stand_in_any_line_up(words: str) -> None:
    panels = [from_text(STRIPS), solid(words)]
    lineup = line_up(panels, shipped(), Terms(STIFFNESS, ALONG))
    assert middle(lineup, "stiffness_along", 1) == pytest.approx(
        middle(lineup, "stiffness_along", 0), rel=1e-8
    )
    insulation = lineup.row("insulation").cells[1].value
    assert insulation is not None
    assert insulation.value > 0.0


# --- Refused --------------------------------------------------------------------------------------


def refused(panels: list[Entrant], terms: Terms, prices: dict[str, UnitPrice] | None = None) -> str:
    with pytest.raises(InputError) as wrong:
        line_up(panels, shipped(), terms, prices)
    (problem,) = wrong.value.problems
    return problem.sentence()


def test_a_line_up_of_one_is_refused() -> None:
    said = refused([from_text(FOAM)], Terms())
    assert "compares nothing" in said
    assert "2 to 8 panels" in said
    assert "birch plywood" in said


def test_nine_are_too_many() -> None:
    assert "9 panels are too many" in refused([from_text(FOAM)] * 9, Terms())


def test_a_panel_out_of_reach_says_what_else_to_scale() -> None:
    heavy = panel(*[BIAX] * 20, 'core = "PET foam 110 kg/m3"\nthickness = "5 mm"', BIAX)
    said = refused([from_text(FOAM), from_text(heavy)], Terms(MASS))
    assert "cannot be made as heavy as" in said
    assert "by its core alone" in said
    assert "--scale faces" in said


def test_a_missing_price_is_named() -> None:
    known = {name: price for name, price in PRICES.items() if "foam" not in name}
    said = refused([from_text(STRIPS), from_text(FOAM)], Terms(COST), known)
    assert "there is no price of PET foam 110 kg/m³" in said
    lineup = line_up([from_text(STRIPS), from_text(FOAM)], shipped(), Terms(), known)
    assert lineup.row("cost").cells[1] == Cell(None, "no price of PET foam 110 kg/m³")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("biax 600", "E-glass biaxial ±45 600 g/m²"),
        ("glass biax 600 g/m2", "E-glass biaxial ±45 600 g/m²"),
        ("PET foam 110", "PET foam 110 kg/m3"),
        ("PET foam", "PET foam 110 kg/m3"),
        ("redcedar", "western redcedar strips"),
        ("red cedar strips", "western redcedar strips"),
        ("epoxy", "epoxy, laminating"),
        ("thickened epoxy", "epoxy, thickened"),
    ],
)
def test_a_price_counts_by_any_words_that_mean_the_material(words: str, name: str) -> None:
    panels = [from_text(STRIPS), from_text(FOAM)]
    other = {words if material == name else material: one for material, one in PRICES.items()}
    assert words in other
    usual, hers = (line_up(panels, shipped(), prices=prices) for prices in (PRICES, other))
    assert hers.row("cost").cells == usual.row("cost").cells


def test_the_words_that_name_a_material_best_win() -> None:
    """A price of all epoxy and one of the thickened: each counts for its own."""
    both = {"epoxy": PRICES["epoxy, laminating"], "PET foam": UnitPrice(99.0, "EUR", "kg")}
    prices = {**{k: v for k, v in PRICES.items() if k != "epoxy, laminating"}, **both}
    panels = [from_text(STRIPS), from_text(FOAM)]
    usual, hers = (line_up(panels, shipped(), prices=one) for one in (PRICES, prices))
    assert hers.row("cost").cells == usual.row("cost").cells


def test_a_layer_with_a_name_of_its_own_has_the_price_of_its_material() -> None:
    named = FOAM.replace('core = "PET foam', 'name = "the white one"\ncore = "PET foam')
    lineup = line_up([from_text(FOAM), from_text(named)], shipped(), prices=PRICES)
    assert middle(lineup, "cost", 1) == pytest.approx(middle(lineup, "cost", 0), rel=1e-12)


def test_what_costs_nothing_makes_nothing_equal() -> None:
    free = {name: UnitPrice(0.0, "EUR", one.per) for name, one in PRICES.items()}
    said = refused([from_text(STRIPS), from_text(FOAM)], Terms(COST), free)
    assert "Nothing can be made as dear as Panel" in said


def test_what_to_write_for_a_missing_price_is_a_price() -> None:
    known = {name: price for name, price in PRICES.items() if "foam" not in name}
    said = refused([from_text(STRIPS), from_text(FOAM)], Terms(COST), known)
    typed = said.partition('--price "')[2].partition('"')[0]
    prices = known | typed_prices([typed])
    lineup = line_up([from_text(STRIPS), from_text(FOAM)], shipped(), Terms(COST), prices)
    assert middle(lineup, "cost", 1) == pytest.approx(middle(lineup, "cost", 0), rel=1e-6)


@pytest.mark.parametrize(
    ("text", "price"),
    [
        ("PET foam 110 kg/m3 = 12.50 EUR/kg", UnitPrice(12.5, "EUR", "kg")),
        ("biax 600: 9 eur per m²", UnitPrice(9.0, "EUR", "m2")),
        ("redcedar=2400 USD/m3", UnitPrice(2400.0, "USD", "m3")),
    ],
)
def test_prices_as_they_are_typed(text: str, price: UnitPrice) -> None:
    assert list(typed_prices([text]).values()) == [price]


@pytest.mark.parametrize(
    "text", ["", "biax 600", "biax 600 = 9", "biax = 9 EUR/roll", "= 9 EUR/kg"]
)
def test_what_is_no_price_is_refused(text: str) -> None:
    with pytest.raises(InputError, match="This is no price"):
        typed_prices([text])


def test_of_several_prices_the_newest_that_can_be_used_counts() -> None:
    kept = [
        Price("epoxy, laminating", "19.50", "EUR", "kg", "2026-01-15"),
        Price("epoxy, laminating", "21.00", "EUR", "kg", "2026-06-01"),
        Price("epoxy, laminating", "25.00", "EUR", "l", "2026-07-01"),
    ]
    assert newest_prices(kept) == {"epoxy, laminating": UnitPrice(21.0, "EUR", "kg")}


def test_two_currencies_are_not_added() -> None:
    mixed = PRICES | {"epoxy, laminating": UnitPrice(22.0, "USD", "kg")}
    said = refused([from_text(FOAM), from_text(FOAM)], Terms(COST), mixed)
    assert "there is no one currency in its prices, but EUR and USD" in said


def test_a_solid_without_thickness_has_one_only_on_equal_terms() -> None:
    panels = [from_text(FOAM), solid("steel")]
    assert "How thick the steel is" in refused(panels, Terms())
    assert "How thick the steel is" in refused(panels[::-1], Terms(STIFFNESS))


def test_a_strength_that_nobody_knows_cannot_be_made_equal() -> None:
    said = refused([from_text(FOAM), solid("3 mm steel")], Terms(STRENGTH))
    assert "The strength of steel" in said
    assert "not known" in said


def test_a_moment_is_not_told_where_a_skin_may_end_before_what_is_known() -> None:
    """Flax laid by hand has no strength in the catalogue: the wrinkling of its skin is no bound."""
    flax = 'cloth = "flax twill 300 g/m2"'
    core = 'core = "end-grain balsa 150 kg/m3"\nthickness = "20 mm"'
    panels = [from_text(FOAM), from_text(panel(flax, core, flax))]
    lined = line_up(panels, shipped(), Terms())
    moments = [row for row in lined.rows if row.key.startswith("moment")]
    assert len(moments) == 4
    for row in moments:
        assert row.cells[1].value is None
        assert "the strength of flax" in row.cells[1].said
        assert row.verdict == ""
