"""A panel while it is changed: what is sent back for each change."""

from __future__ import annotations

import re
import tomllib

import pytest
from fastapi.testclient import TestClient

from panelwright.jobs.shelf import Shelf
from panelwright.jobs.starts import STARTS
from panelwright.web.app import create_app
from panelwright.web.desks import MOST_DESKS, Desk, Desks, Overtaken

from .conftest import HERE
from .reading import Page, read

TEXT = """format = 1
title = "Lid"   # as the owner calls it
process = "hand lay-up"
size = { length = "1 m", width = "500 mm" }

[[layer]]
cloth = "E-glass biaxial 300 g/m2"   # from the short roll

[[layer]]
core = "PET foam 110 kg/m3"
thickness = "10 mm"                  # as bought

[[layer]]
cloth = "E-glass twill 200 g/m2"
"""


class Window:
    """A window on a new panel, as the script of the page keeps it."""

    def __init__(self, shelf: Shelf) -> None:
        self.client = TestClient(create_app(shelf), base_url=HERE)
        self.fields = dict(read(self.client, "/new").fields)
        self.fields |= {"text": "", "stands": "", "held": ""}

    def do(self, what: str, **typed: str) -> Page:
        """One change; what comes back is taken up."""
        sent = {**self.fields, **{k.replace("__", "."): v for k, v in typed.items()}, "do": what}
        answer = self.client.post("/live", data=sent)
        assert answer.status_code == 200, answer.text
        for name in ("text", "stands", "held"):
            found = re.search(
                rf'<textarea[^>]* name="{name}"[^>]*>(.*?)</textarea>'
                rf'|<textarea name="{name}"[^>]*>(.*?)</textarea>',
                answer.text,
                re.DOTALL,
            )
            if found:
                self.fields[name] = _unescaped(found[1] or found[2] or "")
        return Page(answer)

    def ranges(self) -> Page:
        """The second paint."""
        return Page(self.client.post("/live/ranges", data=self.fields))

    @property
    def text(self) -> str:
        return str(self.fields["text"])


def _unescaped(html: str) -> str:
    import html as signs

    return signs.unescape(html)


@pytest.fixture
def window(own_shelf: Shelf) -> Window:
    made = Window(own_shelf)
    made.fields["text"] = TEXT
    made.do("text")
    return made


def _figure(page: Page, name: str) -> str:
    found = re.search(rf'{name}</span>\s*<span class="n[^"]*">([^<]+)</span>', page.html)
    assert found, page.text
    return found[1]


def test_one_value_is_one_line_and_the_figures_follow(window: Window) -> None:
    before = _figure(window.do("look"), "Thickness")
    page = window.do("set layer.2.thickness", at__layer__2__thickness="12 mm")
    gone, come = set(TEXT.splitlines()), set(window.text.splitlines())
    assert gone - come == {'thickness = "10 mm"                  # as bought'}
    assert come - gone == {'thickness = "12 mm"                  # as bought'}
    assert float(_figure(page, "Thickness")) == pytest.approx(float(before) + 2.0, abs=0.02)
    assert "+2.00 just now" in page.text


def test_middle_values_are_those_of_the_ranges(window: Window) -> None:
    window.ranges()
    first = window.do("set layer.2.thickness", at__layer__2__thickness="12 mm")
    second = window.ranges()
    for name in ("Thickness", "Areal mass", "Bending stiffness, along", "Whole panel"):
        assert _figure(first, name) == _figure(second, name), name
    assert 'class="old"' in first.html
    assert 'class="old"' not in second.html
    assert window.ranges().html == second.html, "the same input, the same digits"


def test_what_is_refused_marks_its_field_and_stays(window: Window) -> None:
    page = window.do("set layer.2.thickness", at__layer__2__thickness="1,5 mm")
    assert 'data-marks="layer.2.thickness"' in page.html
    assert "A comma can be a decimal point or a thousands mark" in page.text
    assert "The figures still stand on 10 mm." in page.text
    assert '"1,5 mm"' in window.text
    assert window.fields["stands"] == TEXT
    assert 'hx-target="#figures"' not in page.html, "old figures stay"
    assert window.client.post("/live/ranges", data=window.fields).status_code == 204
    window.fields["refused"] = "yes"
    again = window.do("set layer.2.thickness", at__layer__2__thickness="15 mm")
    assert "data-marks" not in again.html
    assert 'hx-target="#wrong-layer-2"' in again.html, "the mark is taken away"
    assert window.fields["stands"] == window.text


@pytest.mark.parametrize(
    ("typed", "thickness"), [("3/8 in", "9.53"), ("1 1/2 in", "38.1"), ("1 cm", "10")]
)
def test_a_field_takes_what_units_take(window: Window, typed: str, thickness: str) -> None:
    page = window.do("set layer.2.thickness", at__layer__2__thickness=typed)
    summary = page.html.partition('hx-target="#sum-layer-2"')[2].partition("</hx-partial>")[0]
    assert f'<span class="n">{thickness}</span>' in summary


def test_layers_move_repeat_mirror_and_group(window: Window) -> None:
    window.do("move 3 1")
    kinds = [next(iter(layer)) for layer in tomllib.loads(window.text)["layer"]]
    assert kinds == ["cloth", "cloth", "core"]
    window.do("repeat 1")
    assert tomllib.loads(window.text)["layer"][0]["repeat"] == 2
    window.do("mirror")
    assert tomllib.loads(window.text)["mirror"] is True
    assert "# from the short roll" in window.text
    window.do("group", group_from="1", group_to="2", group_name="skin")
    table = tomllib.loads(window.text)
    assert table["group"][0]["name"] == "skin"
    assert [layer.get("group") for layer in table["layer"]] == ["skin", None]
    page = window.do("look")
    assert 'id="group-1-layer-2"' in page.html
    window.do("add 1", layer_words="8 mm redcedar")
    assert tomllib.loads(window.text)["layer"][1]["strips"] == "western redcedar"


def test_a_held_panel_is_compared_with_what_it_becomes(window: Window) -> None:
    held = window.do("hold")
    assert "the same" in held.text
    page = window.do("set layer.2.thickness", at__layer__2__thickness="12 mm")
    assert re.search(r"held 10\.\d+, \+2\.00", page.text)
    assert "Section as held beside the section now" in page.html
    free = window.do("release")
    assert "held" not in free.text.replace("Hold it to compare", "")


def _duties(window: Window) -> Page:
    return Page(window.client.post("/live/duties", data=window.fields))


def test_a_duty_is_added_changed_and_judged(window: Window) -> None:
    window.do("duty", ready_duty="kneel on it")
    assert 'ready = "kneel on it"' in window.text
    page = _duties(window)
    assert "not kept" in page.text
    assert "common practice, no source" in page.text
    field = "duty.1.limits.deflection"
    window.do(f"set {field}", **{f"at.{field}": "300 mm"})
    assert 'deflection = "300 mm"' in window.text
    refused = window.do(f"set {field}", **{f"at.{field}": "soft"})
    assert f'data-marks="{field}"' in refused.html
    assert "span/100" in refused.text
    window.do(f"set {field}", **{f"at.{field}": ""})
    window.do("set duty.1.limits.reserve", **{"at.duty.1.limits.reserve": ""})
    told = _duties(window)
    assert "the duty sets no limit" in told.text
    window.do("unduty 1")
    assert "duty" not in tomllib.loads(window.text)
    assert "Nothing says yet what it must bear" in _duties(window).text


def test_words_of_a_stack_leave_its_duties(own_shelf: Shelf) -> None:
    window = Window(own_shelf)
    window.do("words", words="biax 300, 8 mm redcedar")
    window.do("duty", ready_duty="kneel on it")
    window.do("words", words="biax 300, 10 mm redcedar")
    table = tomllib.loads(window.text)
    assert table["layer"][1]["thickness"] == "10 mm"
    assert table["duty"][0]["ready"] == "kneel on it"


def test_a_group_without_numbers_is_told_in_words(window: Window) -> None:
    page = window.do("group", group_from="a", group_to="", group_name="skin")
    assert "a group is made of layers by their numbers" in page.text.lower()
    assert "a to nothing" in page.text


def test_a_kept_panel_has_its_verdict(window: Window) -> None:
    window.do("duty", ready_duty="kneel on it")
    mark = window.fields["mark"]
    made = window.client.post("/new", data={"mark": mark, "text": window.text})
    assert made.status_code == 200
    assert "Kneel on it" in made.text
    assert "not kept" in Page(made).text
    assert "Field of Kneel on it with lines of equal deflection" in made.text


def test_every_start_can_be_started_from(own_shelf: Shelf) -> None:
    window = Window(own_shelf)
    assert len(STARTS) == 8
    for start in STARTS:
        page = window.do(f"start {start.id}")
        assert _figure(page, "Bending stiffness, along")
        assert f'title = "{start.like}"' in window.text
        assert window.ranges().status == 200


def test_words_make_the_stack_and_what_is_said_beside_them(own_shelf: Shelf) -> None:
    window = Window(own_shelf)
    window.do("words", words="biax 300, 8 mm redcedar")
    assert len(tomllib.loads(window.text)["layer"]) == 2
    window.do("say size", size="2 m x 1 m")
    assert tomllib.loads(window.text)["size"] == {"length": "2 m", "width": "1 m"}
    wrong = window.do("words", words="biax 300, 8 mm unobtainium")
    assert "unobtainium" in wrong.text
    assert len(tomllib.loads(window.text)["layer"]) == 2, "what was understood stays"


@pytest.mark.parametrize(
    "do",
    [
        "remove 9",
        "move 1",
        "move 1 77",
        "set",
        "set layer.9.thickness",
        "set layer",
        "set .",
        "up x",
        "add 4",
        "group",
        "nonsense",
        "start nowhere",
        "say nothing",
        "set layer.2.thickness.more",
        "\x00",
    ],
)
def test_a_change_that_is_none_is_told_and_changes_nothing(window: Window, do: str) -> None:
    sent = {**window.fields, "do": do, "at.layer.9.thickness": "9 mm"}
    answer = window.client.post("/live", data=sent)
    assert answer.status_code == 200
    assert window.text == TEXT
    assert "refused" in answer.text


@pytest.mark.parametrize(
    "text", ["format = ", "[[layer]]\n" * 500, "x" * 300_000, "\x00", "a = [" * 400]
)
def test_a_text_that_is_no_panel_is_told(window: Window, text: str) -> None:
    window.fields["text"] = text
    answer = window.client.post("/live", data={**window.fields, "do": "text"})
    assert answer.status_code == 200
    assert "refused" in answer.text
    assert window.client.post("/live/ranges", data=window.fields).status_code == 204


def test_a_form_of_another_visit_is_refused(window: Window) -> None:
    window.fields["mark"] = "0" * 64
    answer = window.client.post("/live", data={**window.fields, "do": "look"})
    assert answer.status_code == 403


def test_work_that_is_overtaken_ends() -> None:
    desk = Desk()
    turn = desk.take()
    desk.go_on(turn)
    desk.take()
    with pytest.raises(Overtaken):
        desk.go_on(turn)
    assert desk.parts == 1


def test_only_so_many_desks_are_remembered() -> None:
    desks = Desks()
    first = desks.of("first")
    for number in range(MOST_DESKS):
        desks.of(str(number))
    assert desks.of("first") is not first
    assert desks.of(str(MOST_DESKS - 1)) is desks.of(str(MOST_DESKS - 1))


def test_a_stop_keeps_the_middle_values(window: Window) -> None:
    assert window.client.post("/live/stop", data=window.fields).status_code == 204
    window.do("set layer.2.thickness", at__layer__2__thickness="11.37 mm")
    assert window.ranges().status == 200, "asked for anew, they come"
    assert int(window.client.get(f"/live/progress/{window.fields['desk']}").text) > 5
