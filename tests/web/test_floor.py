"""A build on the floor: steps, pots and their clocks, kept on the shelf and read from there."""

from __future__ import annotations

import re
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from panelwright.fabrication.mixing import mixing_of
from panelwright.fabrication.part import read_part
from panelwright.fabrication.plan import Step
from panelwright.jobs.floor import Floor, floor, part_file_of
from panelwright.jobs.measure import readings_of, worked
from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.samples.readings import standing
from panelwright.web.app import create_app

from .conftest import HERE
from .reading import Page, read, send

BUILD = "/panel/P-0001/build"
PART = """format = 1
[[part]]
size = { length = "1.5 m", width = "0.8 m" }
[mix]
ratio = "100:30 by mass"
pot_life = "40 min"
pot_life_at = "20 degC"
pot_cap = "200 g"
[shop]
temperature = "20 degC"
"""


@pytest.fixture
def own(own_shelf: Shelf) -> TestClient:
    """A workshop with one build that was begun."""
    client = TestClient(create_app(own_shelf), base_url=HERE)
    words = "biax 300, 8 mm redcedar, biax 300"
    send(client, "/new", "/new", words=words, process="hand", title="Lid")
    planned = send(client, BUILD, BUILD, part=PART)
    job = planned.fields["job"]
    begun = send(client, BUILD, f"{BUILD}/begin", job=job)
    assert "Next: step 1" in begun.text
    return client


FLOOR = "/piece/S-0001/build"


def _now(shelf: Shelf) -> Floor:
    return floor(shelf, "S-0001")


def _to_the_pots(client: TestClient, shelf: Shelf) -> int:
    """Steps are done until one has pots; its number."""
    while True:
        number = _now(shelf).next
        assert number is not None
        if _now(shelf).pots_at(number):
            return number
        send(client, FLOOR, f"{FLOOR}/step", step=str(number))


#: The first pot: planking is the first go, and has none.
FIRST = {"go": "2", "pot": "1"}


def _pot(client: TestClient, **fields: str) -> Page:
    return send(client, FLOOR, f"{FLOOR}/pot", **{**FIRST, **fields})


def test_a_build_keeps_its_part_file_and_its_revision(own: TestClient, own_shelf: Shelf) -> None:
    piece = own_shelf.piece("S-0001")
    assert part_file_of(piece) == PART
    send(
        own, "/panel/P-0001/write", "/panel/P-0001/write", text=_thicker(own), after="1", do="keep"
    )
    assert _now(own_shelf).panel.revision == 1
    page = read(own, "/panel/P-0001/build?job=S-0001")
    assert "revision 1" in page.text
    assert "0.8 m" in page.text
    assert FLOOR in read(own, BUILD).links
    assert FLOOR in read(own, "/piece/S-0001").links


def _thicker(client: TestClient) -> str:
    return client.get("/panel/P-0001/file").text.replace("8 mm", "9 mm")


def _step_with(shelf: Shelf, box: str) -> tuple[int, Step]:
    """The first step that has a box, with its number."""
    steps = enumerate(_now(shelf).plan.steps, start=1)
    return next((n, step) for n, step in steps if any(one.name == box for one in step.boxes))


def test_a_step_is_done_with_what_was_written_and_opened_again(
    own: TestClient, own_shelf: Shelf
) -> None:
    plan = _now(own_shelf).plan
    number, step = _step_with(own_shelf, "least")
    fields = {"step": str(number), "box least": "7.6; by the stem"}
    page = send(own, FLOOR, f"{FLOOR}/step", **fields)
    assert "least 7.6, by the stem" in page.text
    assert f"1 of {len(plan.steps)}" in page.text
    assert f"Step {number}: done; least 7.6, by the stem; at " in read(own, "/piece/S-0001").text
    again = send(own, FLOOR, f"{FLOOR}/step", step=str(number), do="open")
    assert "0 of" in again.text
    assert step.text[:20] in again.text


def test_a_pot_has_its_clock_from_the_touch_and_keeps_what_was_written(
    own: TestClient, own_shelf: Shelf
) -> None:
    _to_the_pots(own, own_shelf)
    pot = next(one for one in _now(own_shelf).pots)
    planned = pot.pot
    assert planned.resin is not None
    # 100:30 by mass: resin is 100/130 of the mix
    assert planned.resin == pytest.approx(planned.mass * 100.0 / 130.0)
    touched = datetime.now(UTC) - timedelta(minutes=7)
    assert (str(pot.go), str(pot.number)) == tuple(FIRST.values())
    page = _pot(own, do="mixed", at=touched.isoformat().replace("+00:00", "Z"))
    (clock,) = [found for _, found in page.attributes if found.get("data-use-by")]
    use_by = float(str(clock["data-use-by"])) / 1e3
    # half a day by the shop makes no difference: 40 min at 20 °C, of which 60 % are used
    assert use_by == pytest.approx(touched.timestamp() + 0.6 * 40 * 60, abs=1.0)
    gels = float(str(clock["data-gels"])) / 1e3
    assert gels == pytest.approx(touched.timestamp() + 40 * 60, abs=1.0)
    page = _pot(own, mixed="0.198 kg", left="9", warm="20")
    assert "198 g, shop at 20 °C, 9 g left" in page.text
    assert "198 g, 9 g left over" in page.text
    written = _now(own_shelf).pots[0].written
    assert written.begun == touched
    assert not _now(own_shelf).pots[0].is_running


def test_a_warmer_shop_shortens_the_clock(own: TestClient, own_shelf: Shelf) -> None:
    _to_the_pots(own, own_shelf)
    cool = _now(own_shelf).pots[0]
    _pot(own, do="mixed", warm="30")
    warm = _now(own_shelf).pots[0]
    faster = mixing_of(cool.product, read_part(PART).job.mix[0], own_shelf.catalogue()).faster
    assert warm.gels == pytest.approx(cool.gels / faster.value)
    assert warm.keeps == pytest.approx(cool.keeps / faster.value)


def test_a_touch_is_taken_back_and_one_sent_twice_is_one(own: TestClient, own_shelf: Shelf) -> None:
    _to_the_pots(own, own_shelf)
    at = datetime.now(UTC).isoformat()
    for _ in range(2):
        _pot(own, do="mixed", at=at)
    said = [one.remark for one in own_shelf.piece("S-0001").records]
    assert len([one for one in said if one.startswith("Go 2, pot 1: mixed; at ")]) == 1
    _pot(own, do="not")
    assert _now(own_shelf).pots[0].written.begun is None


@pytest.mark.parametrize("at", ["", "yesterday", "2020-01-01T00:00:00Z", "2999-01-01T00:00:00Z"])
def test_a_touch_that_cannot_be_is_now(own: TestClient, own_shelf: Shelf, at: str) -> None:
    _to_the_pots(own, own_shelf)
    before = time.time()
    _pot(own, do="mixed", at=at)
    begun = _now(own_shelf).pots[0].written.begun
    assert begun is not None
    assert before - 1.0 <= begun.timestamp() <= time.time()


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"mixed": "some"}, "some"),
        ({"mixed": "-5"}, "this cannot be"),
        ({"mixed": "9 mm"}, "9 mm"),
        ({"mixed": "100", "left": "120"}, "more is left than was mixed"),
        ({"warm": "200"}, "to 60"),
        ({"mixed": "1e9 kg"}, "this cannot be"),
        ({}, "nothing is written yet"),
    ],
)
def test_what_cannot_be_is_told_and_kept(
    own: TestClient, own_shelf: Shelf, typed: dict[str, str], told: str
) -> None:
    _to_the_pots(own, own_shelf)
    before = own_shelf.piece("S-0001").records
    page = _pot(own, **typed)
    assert page.status == 400
    assert told.lower() in page.text.lower()
    for name in ("mixed", "warm"):
        assert page.fields[name] == typed.get(name, "")
    assert own_shelf.piece("S-0001").records == before


def test_units_are_chosen_on_a_refused_page(own: TestClient, own_shelf: Shelf) -> None:
    _to_the_pots(own, own_shelf)
    refused = _pot(own, mixed="some")
    assert refused.fields["to"] == f"{FLOOR}/pot"
    assert "Next: step" in send(own, FLOOR, "/look", system="both", to=f"{FLOOR}/pot").text


def test_no_such_step_or_pot(own: TestClient) -> None:
    assert "no such step" in read(own, f"{FLOOR}?step=999").text
    assert "no such pot" in _pot(own, pot="99", do="mixed").text
    assert send(own, FLOOR, f"{FLOOR}/step", step="99").status in {400, 404}


def test_a_piece_that_is_no_build_says_where_one_begins(visitor: TestClient) -> None:
    page = read(visitor, "/piece/S-0001/build")
    assert page.status == 404
    assert re.search(r"/panel/P-\d+/build", page.text)


def test_it_is_all_there_after_a_new_start(
    own: TestClient, own_shelf: Shelf, tmp_path: Path
) -> None:
    _to_the_pots(own, own_shelf)
    _pot(own, do="mixed", mixed="150")
    before = _now(own_shelf)
    again = open_shelf(tmp_path / "shelf")
    try:
        now = floor(again, "S-0001")
        assert now.readings == before.readings
        assert now.pots[0].use_by == before.pots[0].use_by
    finally:
        again.close()


# --- What was written as readings -----------------------------------------------------------------


def _stands(shelf: Shelf, number: str = "S-0001") -> dict[tuple[str, str], float]:
    return {(one.what, one.at): one.value for one in standing(readings_of(shelf.piece(number)))}


def _do(client: TestClient, shelf: Shelf, box: str, **typed: str) -> Page:
    number, _ = _step_with(shelf, box)
    fields = {f"box {name}": text for name, text in typed.items()}
    return send(client, FLOOR, f"{FLOOR}/step", step=str(number), **fields)


def _cloth_box(shelf: Shelf) -> str:
    return next(b.name for step in _now(shelf).plan.steps for b in step.boxes if b.of)


def test_the_weighed_square_of_a_cloth_is_the_cloth_of_a_square_metre(
    own: TestClient, own_shelf: Shelf
) -> None:
    box = _cloth_box(own_shelf)
    assert _do(own, own_shelf, box, **{box: "76"}).status == 200
    # 76 g on 0.5 m by 0.5 m is 304 g/m2; the panel has two plies of it
    assert _stands(own_shelf)[("cloth", "")] == pytest.approx(0.608)
    _do(own, own_shelf, box, **{box: "0.078 kg"})
    assert _stands(own_shelf)[("cloth", "")] == pytest.approx(0.624)
    _do(own, own_shelf, box, **{box: "298 g/m2"})
    assert _stands(own_shelf)[("cloth", "")] == pytest.approx(0.596)
    every = [one for one in readings_of(own_shelf.piece("S-0001")) if one.what == "cloth"]
    # to 1 g on a quarter of a square metre, twice: none was written over, each has its reason
    assert every[0].division == pytest.approx(2.0 * 4e-3)
    assert [bool(one.reason) for one in every] == [False, True, True]


def test_pots_are_readings_of_the_piece_and_corrected_ones_replace_them(
    own: TestClient, own_shelf: Shelf
) -> None:
    _to_the_pots(own, own_shelf)
    at = "go 2, pot 1"
    _pot(own, do="mixed")
    assert _stands(own_shelf) == {("pots", ""): 1.0}
    _pot(own, mixed="198", warm="21")
    _pot(own, left="9")
    stands = _stands(own_shelf)
    assert stands[("resin mixed", at)] == pytest.approx(0.198)
    assert stands[("resin left", at)] == pytest.approx(0.009)
    assert stands[("temperature", at)] == pytest.approx(294.15)
    _pot(own, mixed="189")
    assert _stands(own_shelf)[("resin mixed", at)] == pytest.approx(0.189)
    _pot(own, do="not")
    stands = _stands(own_shelf)
    assert (stands[("resin mixed", at)], stands[("pots", "")]) == (0.0, 0.0)


def test_weighed_at_the_end_of_the_build_it_is_found_and_teaches(
    own: TestClient, own_shelf: Shelf
) -> None:
    _to_the_pots(own, own_shelf)
    for pot in list(_now(own_shelf).pots):
        key = {"go": str(pot.go), "pot": str(pot.number)}
        grams = f"{1e3 * pot.pot.mass:.0f}"
        send(own, FLOOR, f"{FLOOR}/pot", **key, do="mixed", mixed=grams)
    _do(own, own_shelf, "person h", **{"person h": "1.5"})
    page = _do(own, own_shelf, "kg", **{"kg": "6.1", "length mm": "1500", "width mm": "800"})
    assert page.status == 200
    stands = _stands(own_shelf)
    assert stands[("mass", "")] == pytest.approx(6.1)
    work = worked(own_shelf, own_shelf.piece("S-0001"))
    mass = work.findings.get("areal mass")
    assert mass is not None
    assert mass.value == pytest.approx(6.1 / 1.2)
    # a scale that shows 6.1 kg reads to 0.1 kg: its half-width over the root of three (jcgm-100)
    assert mass.u == pytest.approx(0.05 / 3**0.5 / 1.2, rel=0.01)
    assert work.findings.get("resin mixed and not in it") is not None
    bench = read(own, "/piece/S-0001/bench").text
    mixed = [value for (what, _), value in stands.items() if what == "resin mixed"]
    assert len(mixed) > 1
    assert f"stands: {1e3 * sum(mixed):.7g} g in all, {len(mixed)} readings" in bench
    assert "6.1 kg" in bench or "6100 g" in bench
    assert any(value.key.endswith("ply_labour") for value in own_shelf.house())


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({"kg": "heavy"}, "heavy"),
        ({"kg": "-3"}, "-3"),
        ({"kg": "0.2", "length mm": "1500", "width mm": "800"}, "less than its cloth alone"),
        ({"length mm": "3 kg"}, "3 kg"),
    ],
)
def test_a_box_that_holds_no_reading_is_told_and_stays(
    own: TestClient, own_shelf: Shelf, typed: dict[str, str], told: str
) -> None:
    before = own_shelf.piece("S-0001").records
    page = _do(own, own_shelf, "kg", **typed)
    assert page.status == 400
    assert told in page.text
    for name, text in typed.items():
        assert page.fields[f"box {name}"] == text
    assert own_shelf.piece("S-0001").records == before


def test_each_part_of_a_job_is_a_piece_with_its_own_readings(own_shelf: Shelf) -> None:
    client = TestClient(create_app(own_shelf), base_url=HERE)
    for title in ("Lid", "Box"):
        words = "biax 300, 8 mm redcedar, biax 300"
        send(client, "/new", "/new", words=words, process="hand", title=title)
    job = PART.replace("[[part]]", '[[part]]\nname = "Top"\n')
    job += '[[part]]\nname = "Side"\npanel = "P-0002"\nsize = { length = "1 m", width = "1 m" }\n'
    job += '[[part]]\nname = "End"\nsize = { length = "1 m", width = "1 m" }\n'
    planned = send(client, BUILD, BUILD, part=job)
    begun = send(client, BUILD, f"{BUILD}/begin", job=planned.fields["job"])
    now = _now(own_shelf)
    assert dict(now.pieces) == {"Top": "S-0001", "Side": "S-0002", "End": "S-0003"}
    assert [own_shelf.piece(one).panel for one in now.pieces.values()] == [
        "P-0001",
        "P-0002",
        "P-0001",
    ]
    assert "/piece/S-0002" in begun.links
    steps = enumerate(now.plan.steps, start=1)
    side = next(n for n, s in steps if s.part == "Side" and any(b.name == "kg" for b in s.boxes))
    fields = {"box kg": "4.9", "box length mm": "1000", "box width mm": "1000"}
    send(client, FLOOR, f"{FLOOR}/step", step=str(side), **fields)
    assert _stands(own_shelf, "S-0002")[("mass", "")] == pytest.approx(4.9)
    assert _stands(own_shelf) == {}
    assert side in _now(own_shelf).readings.done
    assert "at the build S-0001" in read(client, "/piece/S-0002").text


def test_parts_of_one_name_keep_no_readings_and_that_is_said(own_shelf: Shelf) -> None:
    client = TestClient(create_app(own_shelf), base_url=HERE)
    words = "biax 300, 8 mm redcedar, biax 300"
    send(client, "/new", "/new", words=words, process="hand", title="Lid")
    part = '[[part]]\nname = "Lid"\nsize = { length = "1 m", width = "1 m" }\n'
    planned = send(client, BUILD, BUILD, part=f"format = 1\n{part}{part}")
    begun = send(client, BUILD, f"{BUILD}/begin", job=planned.fields["job"])
    assert "not told apart" in begun.text
    done = _do(client, own_shelf, "kg", kg="4.9")
    assert done.status == 200
    assert _stands(own_shelf) == {}
    assert "kg 4.9" in read(client, "/piece/S-0001").text
