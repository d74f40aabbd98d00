"""The docs name only documents that the bibliography holds, and every word of the design."""

import importlib
import pkgutil
import re
from pathlib import Path

import pytest
from pybtex.database import Entry, parse_file

import panelwright
from panelwright.working import formulas

#: Words of Panelwright's own, each with one meaning.
WORDS = (
    "panel file", "stack", "duty", "ledger", "soak", "build sheet", "piece", "reading", "finding",
    "house values", "shelf", "line-up", "scout", "working", "glance", "full",
)  # fmt: skip


def cited(text: str) -> set[str]:
    """Keys that a page cites, as {cite}`a,b` (also {cite:t} and the like) or as [@key]."""
    groups = re.findall(r"\{cite(?::\w+)?\}`([^`]+)`", text)
    groups += [group.replace("@", "") for group in re.findall(r"\[(@[^\]]+)\]", text)]
    return {key.strip() for group in groups for key in re.split("[,;]", group)}


def documents_named(source: str) -> set[str]:
    """Keys in the source of a formula: words in lower case with a hyphen and a number."""
    words = re.findall(r"\b[a-z][a-z0-9]*(?:-[a-z0-9.]+)+\b", source)
    return {word for word in words if any(letter.isdigit() for letter in word)}


@pytest.fixture(scope="module")
def bibliography(root: Path) -> dict[str, Entry]:
    return dict(parse_file(root / "docs" / "references.bib").entries.items())


@pytest.fixture(scope="module")
def pages(root: Path) -> dict[str, str]:
    return {
        page.name: page.read_text(encoding="utf-8") for page in sorted((root / "docs").glob("*.md"))
    }


def test_cited_keys_are_found() -> None:
    text = "a {cite}`fpl-gtr-190` b {cite:t}`kaw-2006, cox-1952` c [@jang-1994; @nrc-1992] `[x]`"
    assert cited(text) == {"fpl-gtr-190", "kaw-2006", "cox-1952", "jang-1994", "nrc-1992"}


def test_documents_in_a_source_are_found() -> None:
    assert documents_named("mass balance; kaw-2006, example 3.1") == {"kaw-2006"}
    assert documents_named("faa-ac-43.13-1b and cell-size model, table 13-5") == {"faa-ac-43.13-1b"}


def test_every_cited_key_is_in_the_bibliography(
    pages: dict[str, str], bibliography: dict[str, Entry]
) -> None:
    keys = set().union(*map(cited, pages.values()))
    assert keys
    assert keys <= set(bibliography)


def test_every_document_of_a_formula_is_in_the_bibliography(
    bibliography: dict[str, Entry],
) -> None:
    for module in pkgutil.walk_packages(panelwright.__path__, "panelwright."):
        if not module.name.endswith("__main__"):
            importlib.import_module(module.name)
    keys = set().union(*(documents_named(formula.source) for formula in formulas()))
    assert "fpl-gtr-190" in keys
    assert keys <= set(bibliography)


def test_every_entry_says_what_it_is_and_how_it_was_read(
    bibliography: dict[str, Entry],
) -> None:
    assert len(bibliography) >= 30
    for key, entry in bibliography.items():
        assert key == key.lower()
        assert entry.fields["title"], key
        assert re.fullmatch(r"\d{4}", entry.fields["year"]), key
        assert re.search(r"\b[Rr]ead\b|[Ff]rom memory", entry.fields["note"]), key
        assert entry.persons, key


@pytest.mark.parametrize("word", WORDS)
def test_every_word_of_ours_is_in_the_nomenclature(pages: dict[str, str], word: str) -> None:
    first_cells = re.findall(r"^\| ([^|]+?) \|", pages["nomenclature.md"], re.MULTILINE)
    assert first_cells.count(word) == 1


def test_no_page_needs_the_network(pages: dict[str, str]) -> None:
    for name, text in pages.items():
        assert "://" not in text, name
