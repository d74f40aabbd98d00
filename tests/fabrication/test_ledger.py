"""The ledger: columns add up, nothing is counted twice, nothing is negative."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.fabrication.ledger import CAUSES, Entry, Ledger, ledger
from panelwright.jobs.predict import bench_of, drawn_bench
from panelwright.panels.description import read
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import stack_of
from tests.jobs.panels import panel, shipped

MAIN = "epoxy, laminating"
POURED = ("resin in the cloth", "soak", "seal film", "glue lines", "kerf resin", "coats")


@dataclass(frozen=True)
class Books:
    build: Build
    ledger: Ledger

    def __getitem__(self, cause: str) -> tuple[float, float, float]:
        """In the part, to mix, to buy; g/m2."""
        entry = self.ledger.entries[cause]
        return tuple(1e3 * float(v) for v in (entry.in_part, entry.to_mix, entry.to_buy))  # type: ignore[return-value]

    @property
    def to_mix(self) -> float:
        return 1e3 * float(self.ledger.to_mix)


def books(text: str) -> Books:
    resolved = resolve(read(text), shipped())
    build = evaluate(stack_of(resolved.layers))
    kept = ledger(build, resolved.layers, bench_of(resolved), resolved.resin.name)
    return Books(build, kept)


# --- Random panels --------------------------------------------------------------------------------

masses = st.integers(80, 900)
thicknesses = st.integers(2, 40)
fractions = st.floats(0.2, 0.7).map(lambda share: round(share, 3))


def _cloth(words: str) -> st.SearchStrategy[str]:
    return st.builds(
        lambda mass, share, repeat: (
            f'cloth = "{words} {mass} g/m2"\nfibre_mass_fraction = {share}\nrepeat = {repeat}'
        ),
        masses,
        fractions,
        st.integers(1, 3),
    )


layers = st.one_of(
    _cloth("E-glass twill"),
    _cloth("E-glass biaxial"),
    _cloth("carbon unidirectional"),
    st.builds(
        lambda t, soak, seal: (
            f'strips = "western redcedar"\nthickness = "{t} mm"\nsoak = "{soak} g/m2"\n'
            f'strip = {{ cover = "20 mm" }}\nseal = "{seal}"'
        ),
        thicknesses,
        st.integers(0, 300),
        st.sampled_from(["wet", "cured"]),
    ),
    st.builds(
        lambda t, width: (
            f'core = "PET foam 110 kg/m3"\nthickness = "{t} mm"\n'
            f'kerf = {{ width = "{width} mm", pitch = "40 mm" }}'
        ),
        thicknesses,
        st.integers(1, 3),
    ),
    st.builds(lambda t: f'plywood = "birch plywood"\nthickness = "{t} mm"', thicknesses),
    st.builds(lambda t: f'bulking_mat = "bulking mat"\nthickness = "{t} mm"', st.integers(2, 5)),
    st.builds(lambda m: f'glue = "epoxy, thickened"\nspread = "{m} g/m2"', masses),
    st.builds(
        lambda n: f'coat = "epoxy, fill coat"\ncoats = {n}\nsanded_off = 0.3', st.integers(1, 3)
    ),
    st.just('coat = "gelcoat"'),
    st.just('damping = "rubber"\nthickness = "2 mm"\ndensity = "1100 kg/m3"'),
)
panels = st.builds(
    lambda process, found: panel(*found, head=f'process = "{process}"'),
    st.sampled_from(["hand", "hand_peel", "bag", "infusion"]),
    st.lists(layers, min_size=1, max_size=7),
)


@settings(max_examples=150)
@given(panels)
def test_columns_add_up(text: str) -> None:
    kept = books(text)
    entries = kept.ledger.entries
    assert tuple(entries) == CAUSES
    in_part = sum(float(entry.in_part) for entry in entries.values())
    assert in_part == pytest.approx(float(kept.build.areal_mass), rel=1e-12)
    to_mix = sum(float(entry.to_mix) for entry in entries.values())
    assert to_mix == pytest.approx(float(kept.ledger.to_mix), rel=1e-12)
    products = sum(float(mass) for mass in kept.ledger.products.values())
    assert products == pytest.approx(float(kept.ledger.to_mix), rel=1e-12)
    poured = sum(float(entries[cause].in_part) for cause in POURED)
    assert poured == pytest.approx(float(kept.ledger.resin_in_part), rel=1e-12)


@settings(max_examples=150)
@given(panels)
def test_nothing_is_negative_and_no_column_shrinks(text: str) -> None:
    """What is in the part was mixed or bought; what was mixed was bought."""

    def held(entry: Entry) -> bool:
        least = entry.to_mix if entry.mixes else entry.in_part
        return bool(0.0 <= entry.in_part <= least <= entry.to_buy)

    kept = books(text)
    assert all(held(entry) for entry in kept.ledger.entries.values())


@settings(max_examples=25)
@given(panels)
def test_columns_add_up_under_every_draw(text: str) -> None:
    resolved = resolve(read(text), shipped())
    build = evaluate(drawn_stack(resolved.layers, 64))
    kept = ledger(build, resolved.layers, drawn_bench(resolved, 64), resolved.resin.name)
    entries = kept.entries.values()
    np.testing.assert_allclose(sum(e.in_part for e in entries), build.areal_mass, rtol=1e-12)
    np.testing.assert_allclose(sum(e.to_mix for e in entries), kept.to_mix, rtol=1e-12)
    np.testing.assert_allclose(sum(kept.products.values()), kept.to_mix, rtol=1e-12)
    assert all(np.all(e.in_part >= 0.0) and np.all(e.to_mix >= 0.0) for e in entries)


# --- One cause at a time, by hand -----------------------------------------------------------------

CLOTH = 'cloth = "E-glass twill 400 g/m2"\nfibre_mass_fraction = 0.5'
NO_LOSS = 'pot_loss = "0 %"'


def test_pot_loss_is_added_on_what_is_used() -> None:
    """400 g/m2 at half fibre hold 400 g/m2 of resin; a loss of 12 % is 48 g/m2 on top."""
    kept = books(panel(CLOTH, head='pot_loss = "12 %"'))
    assert kept["resin in the cloth"] == pytest.approx((400.0, 400.0, 400.0), rel=1e-12)
    assert kept["pot and tool loss"] == pytest.approx((0.0, 48.0, 48.0), rel=1e-12)
    assert kept.to_mix == pytest.approx(448.0, rel=1e-12)


@pytest.mark.parametrize(
    ("said", "sides"), [("none", 0), ("outside", 1), ("inside", 1), ("both", 2)]
)
def test_peel_ply_takes_resin_on_each_side_that_has_it(said: str, sides: int) -> None:
    """45 g/m2 a side, and the pot loss of 10 % on it too: 400, 45 or 90 more, times 1.1."""
    head = f'{NO_LOSS}\npeel_ply = "{said}"\nresin_taken = {{ peel_ply = "45 g/m2" }}'
    kept = books(panel(CLOTH, head=head))
    assert kept["peel ply"] == pytest.approx((0.0, 45.0 * sides, 45.0 * sides), rel=1e-12)
    lossy = books(panel(CLOTH, head=head.replace("0 %", "10 %", 1)))
    assert lossy.to_mix == pytest.approx((400.0 + 45.0 * sides) * 1.1, rel=1e-12)


def test_infusion_leaves_resin_in_mesh_and_lines() -> None:
    """Mesh on one face, lines a share of what is laid: 450 + 0.12 x 400 = 498 g/m2."""
    head = (
        f'process = "infusion"\n{NO_LOSS}\npeel_ply = "none"\n'
        'resin_taken = { mesh = "450 g/m2", lines = "12 %" }'
    )
    kept = books(panel(CLOTH, head=head))
    assert kept["mesh, bleeder and lines"] == pytest.approx((0.0, 498.0, 498.0), rel=1e-12)
    assert kept.to_mix == pytest.approx(898.0, rel=1e-12)


def test_a_panel_without_cloth_wears_no_peel_ply_and_no_mesh() -> None:
    board = 'board = "western redcedar"\nthickness = "8 mm"'
    kept = books(panel(board, head='process = "infusion"\npeel_ply = "both"'))
    assert kept["peel ply"] == (0.0, 0.0, 0.0)
    assert kept["mesh, bleeder and lines"] == (0.0, 0.0, 0.0)
    assert kept.ledger.products == {}


STRIPS = (
    'strips = "western redcedar"\nthickness = "8 mm"\nseal_coat = "140 g/m2"\nsoak = "100 g/m2"\n'
)


def test_a_wet_seal_coat_is_not_counted_twice() -> None:
    """140 g/m2 on each face, 100 sink in; the other 40 become resin of the cloth laid into it."""
    kept = books(panel(CLOTH, STRIPS + 'seal = "wet"', CLOTH, head=NO_LOSS))
    assert kept["soak"] == pytest.approx((200.0, 200.0, 200.0), rel=1e-12)
    assert kept["seal film"] == (0.0, 0.0, 0.0)
    assert kept["resin in the cloth"][0] == pytest.approx(800.0, rel=1e-12)
    assert kept.to_mix == pytest.approx(1000.0, rel=1e-12)


def test_a_cured_seal_coat_stays_as_a_film() -> None:
    """The same coat, cured first: 40 g/m2 lie on each face and take 40/1150 mm each."""
    wet = books(panel(CLOTH, STRIPS + 'seal = "wet"', CLOTH, head=NO_LOSS))
    cured = books(panel(CLOTH, STRIPS + 'seal = "cured"', CLOTH, head=NO_LOSS))
    assert cured["soak"] == wet["soak"]
    assert cured["seal film"] == pytest.approx((80.0, 80.0, 80.0), rel=1e-12)
    assert cured.to_mix == pytest.approx(wet.to_mix + 80.0, rel=1e-12)
    thicker = 1e3 * float(cured.build.thickness - wet.build.thickness)
    assert thicker == pytest.approx(2 * 40.0 / 1150.0, rel=1e-9)


def test_edge_glue_is_mixed_whole_and_kept_in_part() -> None:
    """8 mm strips that cover 20 mm: 8/20 x 376 = 150.4 g/m2, of which 40 % stay."""
    strips = (
        'strips = "western redcedar"\nthickness = "8 mm"\nstrip = { cover = "20 mm" }\n'
        'glue = "epoxy, thickened"\nglue_spread = "376 g/m2"\nglue_kept = "40 %"'
    )
    kept = books(panel(strips, head=NO_LOSS))
    assert kept["glue lines"] == pytest.approx((60.16, 150.4, 150.4), rel=1e-12)
    assert 1e3 * kept.ledger.products["epoxy, thickened"] == pytest.approx(150.4, rel=1e-12)


def test_coats_are_mixed_whole_and_sanded() -> None:
    """Two coats of 105 g/m2 with 40 % sanded off: 126 of 210 g/m2 stay (scenario S1)."""
    coat = 'coat = "epoxy, fill coat"\nmass = "105 g/m2"\ncoats = 2\nsanded_off = "40 %"'
    kept = books(panel(coat, head=NO_LOSS))
    assert kept["coats"] == pytest.approx((126.0, 210.0, 210.0), rel=1e-12)


def test_sawn_kerfs_trade_core_for_resin() -> None:
    """A square grid of 2 mm cuts every 40 mm through 20 mm: 2k/p - (k/p)^2 = 0.0975 of the core."""
    core = (
        'core = "PET foam 110 kg/m3"\ndensity = "110 kg/m3"\nthickness = "20 mm"\n'
        'soak = "0 g/m2"\nkerf = { width = "2 mm", pitch = "40 mm" }'
    )
    kept = books(panel(core, head=NO_LOSS))
    assert kept["kerf resin"][0] == pytest.approx(20.0 * 0.0975 * 1150.0, rel=1e-9)
    assert kept["core or timber"][0] == pytest.approx(20.0 * (1.0 - 0.0975) * 110.0, rel=1e-9)


def test_consumables_draw_on_the_panels_own_resin() -> None:
    """The cloth is laid in another resin: mesh and peel ply still take the panel's own."""
    cloth = f'{CLOTH}\nresin = "vinyl ester"'
    head = f'{NO_LOSS}\npeel_ply = "inside"\nresin_taken = {{ peel_ply = "45 g/m2" }}'
    products = books(panel(cloth, head=head)).ledger.products
    assert 1e3 * products["vinyl ester"] == pytest.approx(400.0, rel=1e-12)
    assert 1e3 * products[MAIN] == pytest.approx(45.0, rel=1e-12)
