"""What is left over: asked at the end of a build, found before the next."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from panelwright.jobs.floor import floor
from panelwright.jobs.shelf import Remnant, Shelf
from panelwright.web.app import create_app

from .conftest import HERE
from .reading import read, send

BUILD = "/panel/P-0001/build"
PART = """format = 1
[[part]]
size = { length = "1.5 m", width = "0.8 m" }
[[stock]]
of = "balsa"
length = "1.22 m"
width = "0.61 m"
"""


@pytest.fixture
def own(own_shelf: Shelf) -> TestClient:
    """A workshop with one build that was begun, of a panel with a core in sheets."""
    client = TestClient(create_app(own_shelf), base_url=HERE)
    words = "biax 300, 10 mm end-grain balsa 150 kg/m3, biax 300"
    send(client, "/new", "/new", words=words, process="hand", title="Lid")
    planned = send(client, BUILD, BUILD, part=PART)
    send(client, BUILD, f"{BUILD}/begin", job=planned.fields["job"])
    return client


LEFT = "/piece/S-0001/left"


def test_the_plan_says_what_is_left_and_it_is_kept_as_corrected(
    own: TestClient, own_shelf: Shelf
) -> None:
    fields = read(own, LEFT).fields
    core = next(n for n in range(9) if fields[f"material {n}"].startswith("end-grain balsa"))
    # 1.5 m by 0.8 m from sheets of 1.22 m by 0.61 m: two rows of two; 0.94 m is left of the row
    # of 0.61 m, and 0.42 m above the other
    assert fields[f"amount {core}"].startswith("1 piece of")
    sent = {name: "" for name in fields if name.startswith("amount")}
    sent |= {n: text for n, text in fields.items() if n.startswith("material")}
    sent[f"amount {core}"] = "1 piece of 900 mm × 600 mm"
    page = send(own, LEFT, LEFT, **sent)
    assert "1 piece of 900 mm × 600 mm" in page.text
    (kept,) = own_shelf.remnants()
    assert (kept.piece, kept.gone) == ("S-0001", "")
    assert "900 mm" in read(own, BUILD).text, "the next build finds it"
    assert "Kept already" in read(own, LEFT).text
    page = send(own, "/remnants", "/remnants", gone=str(kept.number))
    assert "Used up" in page.text
    assert own_shelf.remnants()[0].gone
    assert "900 mm" not in read(own, BUILD).text


def test_one_is_written_by_hand_and_what_has_no_amount_is_refused(
    own: TestClient, own_shelf: Shelf
) -> None:
    refused = send(own, "/remnants", "/remnants", material="epoxy, laminating", remark="cold")
    assert refused.status == 400
    assert "no amount" in refused.text
    assert refused.fields["material"] == "epoxy, laminating"
    assert refused.fields["remark"] == "cold"
    send(own, "/remnants", "/remnants", material="Epoxy, Laminating", amount="1.2 kg")
    (kept,) = own_shelf.remnants()
    assert kept == Remnant("Epoxy, Laminating", "1.2 kg", made=kept.made, number=1)
    assert "1.2 kg" in read(own, BUILD).text
    assert send(own, "/remnants", "/remnants", gone="99").status == 400
    assert read(own, "/api/remnants").status == 200


def test_of_no_build_nothing_can_be_left(own: TestClient, own_shelf: Shelf) -> None:
    piece = own_shelf.save_piece("P-0001", title="Coupon")
    assert read(own, f"/piece/{piece}/left").status == 404
    assert floor(own_shelf, "S-0001").piece.number == "S-0001"
