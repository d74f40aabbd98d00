"""Who may come in, and what is refused at the door."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from urllib.parse import parse_qs, urlsplit

import pypdfium2
import pytest
import zxingcpp
from fastapi.testclient import TestClient

from panelwright.errors import InputError
from panelwright.jobs.shelf import Shelf
from panelwright.web.access import GUESSES, Access
from panelwright.web.app import create_app
from panelwright.web.guard import MOST_BYTES
from panelwright.web.serving import access_for, listening

from .conftest import HERE
from .reading import Page, read, send

ODD_HOSTS = ["127.0.0.1:abc", "localhost:8377@evil.example", "127.0.0.1:1/../x", "[::1]x"]


@pytest.mark.parametrize(
    "host",
    [
        "evil.example",
        "127.0.0.1.evil.example",
        "192.168.7.20",
        "",
        "[::1].evil",
        "[::1",
        "a b",
        *ODD_HOSTS,
    ],
)
def test_a_name_of_elsewhere_that_leads_here_is_refused(visitor: TestClient, host: str) -> None:
    assert visitor.get("/shelf", headers={"host": host}).status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8377", "localhost", "[::1]:8377"])
def test_this_machine_by_its_names(visitor: TestClient, host: str) -> None:
    assert visitor.get("/shelf", headers={"host": host}).status_code == 200


def test_every_answer_bears_the_policy(visitor: TestClient) -> None:
    for path in ("/shelf", "/api/shelf", "/nope", "/static/workshop.css"):
        policy = visitor.get(path).headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "unsafe" not in policy
        assert visitor.get(path).headers["x-content-type-options"] == "nosniff"


def test_a_form_without_its_mark_is_refused(visitor: TestClient, shelf: Shelf) -> None:
    before = shelf.find().total
    for mark in ("", "0" * 64, "ü"):
        answer = visitor.post("/new", data={"words": "biax 300", "mark": mark})
        assert answer.status_code == 403
    assert shelf.find().total == before


def test_what_was_typed_into_an_old_form_is_shown_again_and_can_be_sent(own_shelf: Shelf) -> None:
    before = TestClient(create_app(own_shelf), base_url=HERE)
    mark = read(before, "/new").fields["mark"]
    after = TestClient(create_app(own_shelf), base_url=HERE)  # started anew: another key
    after.cookies = before.cookies
    words = "biax 300, 8 mm redcedar"
    page = Page(after.post("/new", data={"mark": mark, "words": words, "title": "<b>Lid"}))
    assert page.status == 403
    assert page.fields["words"] == words
    assert page.fields["title"] == "<b>Lid"
    assert own_shelf.find().total == 0
    sent = Page(after.post("/new", data=page.fields))
    assert "<b>Lid" in sent.text
    assert own_shelf.find().total == 1


def test_the_passphrase_is_never_shown_again(networked: TestClient) -> None:
    answer = networked.post("/enter", data={"mark": "old", "passphrase": "four words of a shop"})
    assert answer.status_code == 403
    assert "four words" not in answer.text


def test_the_way_in_leads_on_with_the_question(networked: TestClient) -> None:
    answer = networked.get("/shelf?core=foam&find=a%26b", follow_redirects=False)
    to = parse_qs(urlsplit(answer.headers["location"]).query)["to"][0]
    assert to == "/shelf?core=foam&find=a%26b"


def test_a_length_that_is_no_number_is_refused(visitor: TestClient) -> None:
    answer = visitor.post("/new", content=b"x", headers={"content-length": "abc"})
    assert answer.status_code == 400


def test_the_mark_of_another_visit_is_refused(shelf: Shelf) -> None:
    app = create_app(shelf)
    one, other = (TestClient(app, base_url=HERE) for _ in range(2))
    read(other, "/new")
    mark = read(one, "/new").fields["mark"]
    assert other.post("/new", data={"words": "biax 300", "mark": mark}).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [{"origin": "http://evil.example"}, {"sec-fetch-site": "cross-site"}, {"origin": "null"}],
)
def test_a_form_of_another_site_is_refused(visitor: TestClient, headers: dict[str, str]) -> None:
    mark = read(visitor, "/new").fields["mark"]
    answer = visitor.post("/look", data={"mark": mark, "system": "si"}, headers=headers)
    assert answer.status_code == 403


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2fapp.py",
        "/static/fonts/..%2f..%2f__init__.py",
        "/photo/..%2f..%2fshelf.jpg",
        "/photo/%2fetc%2fpasswd.jpg",
        "/materials/..%2f..%2fetc/passwd",
        "/panel/..%2f..%2fetc%2fpasswd",
    ],
)
def test_no_path_leads_out_of_the_shelf(visitor: TestClient, path: str) -> None:
    answer = visitor.get(path)
    assert answer.status_code in {400, 404}
    assert "root:" not in answer.text
    assert "import" not in answer.text


def test_a_way_back_leads_only_within(visitor: TestClient) -> None:
    mark = read(visitor, "/shelf").fields["mark"]
    for to in (
        "https://evil.example",
        "//evil.example",
        "/\\evil.example",
        "/x\r\nset-cookie: a=b",
    ):
        answer = visitor.post(
            "/look", data={"mark": mark, "system": "si", "to": to}, follow_redirects=False
        )
        assert answer.headers["location"] == "/shelf"


def test_a_body_over_the_limit_is_refused_whatever_its_header_says(visitor: TestClient) -> None:
    assert (
        visitor.post(
            "/new", content=b"x", headers={"content-length": str(MOST_BYTES + 1)}
        ).status_code
        == 413
    )

    def long() -> object:
        for _ in range(MOST_BYTES // 2**20 + 1):
            yield b"x" * 2**20

    headers = {"content-type": "application/x-www-form-urlencoded"}
    assert visitor.post("/new", content=long(), headers=headers).status_code == 413  # type: ignore[arg-type]


# The network --------------------------------------------------------------------------------------


def test_nobody_comes_in_without_the_passphrase(networked: TestClient) -> None:
    for path in ("/shelf", "/panel/P-0001", "/photo/x.jpg", "/labels.pdf?numbers=P-0001"):
        answer = networked.get(path, follow_redirects=False)
        assert answer.status_code == 303
        assert answer.headers["location"].startswith("/enter")
    assert networked.get("/api/shelf").status_code == 401


def test_the_passphrase_lets_in_and_says_what_http_does_not_keep(networked: TestClient) -> None:
    assert "plain HTTP" in read(networked, "/enter").text
    wrong = send(networked, "/enter", "/enter", passphrase="three words of it", to="/shelf")
    assert wrong.status == 403
    right = send(
        networked, "/enter", "/enter", passphrase="four words of a shop", to="/panel/P-0001"
    )
    assert right.status == 200
    assert "P-0001" in right.text


def test_guesses_are_counted(networked: TestClient) -> None:
    for _ in range(GUESSES):
        send(networked, "/enter", "/enter", passphrase="a wrong guess")
    page = send(networked, "/enter", "/enter", passphrase="four words of a shop")
    assert page.status == 403
    assert "wait a minute" in page.text


@pytest.mark.parametrize("cookie", ["", "x", "a.1.1.deadbeef", "a.b.c.d", "ü"])
def test_a_made_up_cookie_lets_nobody_in(cookie: str) -> None:
    assert Access("four words of a shop").reads(cookie) == (False, False)


def _codes(made: bytes) -> set[str]:
    [page] = pypdfium2.PdfDocument(made)
    return {code.text for code in zxingcpp.read_barcodes(page.render(scale=4).to_pil())}


def test_a_code_holds_an_address_only_on_the_network(
    networked: TestClient, visitor: TestClient
) -> None:
    send(networked, "/enter", "/enter", passphrase="four words of a shop")
    labels = "/labels.pdf?numbers=P-0001+S-0001"
    there = "http://192.168.7.20:8377"
    assert _codes(networked.get(labels).content) == {
        f"{there}/panel/P-0001",
        f"{there}/piece/S-0001",
    }
    assert _codes(visitor.get(labels).content) == {"P-0001", "S-0001"}
    assert _codes(visitor.get("/panel/P-0001/sheet.pdf").content) == {"P-0001"}
    assert "as an address" in read(networked, "/labels").text


def test_a_network_needs_a_passphrase_that_is_one() -> None:
    with pytest.raises(InputError, match="at least 10"):
        access_for(True, "short")
    assert not access_for(False, "").open_to_network


def test_a_taken_port_gives_the_next() -> None:
    first = listening("127.0.0.1", 18377)
    second = listening("127.0.0.1", first.getsockname()[1])
    assert second.getsockname()[1] > first.getsockname()[1]
    first.close()
    second.close()


@pytest.mark.parametrize("letters", ["unicode_escape", "idna", "utf-16", '"utf-7"'])
def test_letters_of_another_kind_are_refused(visitor: TestClient, letters: str) -> None:
    mark = read(visitor, "/new").fields["mark"]
    part = '--b\r\nContent-Disposition: form-data; name="{}"\r\n\r\n{}\r\n'
    body = part.format("mark", mark) + part.format("words", "\\ud800") + "--b--\r\n"
    kind = f"multipart/form-data; boundary=b; charset={letters}"
    answer = visitor.post("/new", content=body.encode(), headers={"content-type": kind})
    assert answer.status_code == 415
    plain = visitor.post(
        "/new", content=body.encode(), headers={"content-type": "multipart/form-data; boundary=b"}
    )
    assert plain.status_code == 400
    assert "ud800" in plain.text


# What is typed is not lost ------------------------------------------------------------------------


def test_a_form_that_is_too_old_comes_back_as_typed(shelf: Shelf) -> None:
    before = shelf.find().total
    client = TestClient(create_app(shelf), base_url=HERE)
    typed = {"words": "biax 300, 8 mm redcedar", "title": "\n</textarea><b>x", "process": "hand"}
    back = client.post("/new", data={**typed, "mark": "of a run before this one"})
    assert back.status_code == 403
    assert "biax 300, 8 mm redcedar" in back.text
    assert "</textarea><b>" not in back.text
    assert shelf.find().total == before
    page = Page(back)
    again = client.post("/new", data={**typed, "mark": page.fields["mark"]}, follow_redirects=False)
    assert again.status_code == 303


def test_a_passphrase_is_never_shown_again(networked: TestClient) -> None:
    back = networked.post("/enter", data={"passphrase": "four words of a shop", "mark": "old"})
    assert back.status_code == 403
    assert "four words" not in back.text


def test_who_is_no_longer_let_in_is_told_how_to_send_a_form_again(networked: TestClient) -> None:
    back = networked.post("/new", data={"words": "biax 300"}, follow_redirects=False)
    assert back.status_code == 403
    assert "/enter in another tab" in back.text


def test_guesses_that_come_together_are_counted_too() -> None:
    access = Access("four words of a shop")
    with ThreadPoolExecutor(16) as together:
        told = list(together.map(access.guess, ["a wrong guess"] * 24))
    assert told.count(False) == GUESSES
    assert told.count(None) == 24 - GUESSES
    assert access.guess("four words of a shop") is None


def test_a_fault_of_ours_is_told_in_words(shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("a secret of the inside")

    monkeypatch.setattr(Shelf, "find", broken)
    client = TestClient(create_app(shelf), base_url=HERE, raise_server_exceptions=False)
    answer = client.get("/shelf")
    assert answer.status_code == 500
    assert "fault of its own" in answer.text
    assert "secret" not in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]
