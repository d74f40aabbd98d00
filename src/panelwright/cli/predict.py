"""``panelwright predict``: a panel file or shop words in, text out."""

from __future__ import annotations

import json
import re
import sys
from dataclasses import dataclass
from pathlib import Path

import typer

from panelwright import units
from panelwright.cli.catalogue import catalogue_of_shelf, catalogue_with
from panelwright.cli.files import is_panel_file, read_file, save_all
from panelwright.errors import InputError, Problem
from panelwright.fabrication.part import schema as part_schema
from panelwright.jobs.predict import predict as predict_panel
from panelwright.jobs.working import work
from panelwright.jobs.writing import sides
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import description as panels
from panelwright.panels.description import Description
from panelwright.panels.records import Prediction
from panelwright.panels.shop_words import NotUnderstood, Phrase, panel_file, phrases, read_phrase
from panelwright.reports.build_json import schema as build_schema
from panelwright.reports.drawing import section_sheet
from panelwright.reports.duty_json import schema as check_schema
from panelwright.reports.panel_text import understood
from panelwright.reports.prediction_json import as_json
from panelwright.reports.prediction_json import schema as prediction_schema
from panelwright.reports.prediction_text import full, glance
from panelwright.reports.working_text import working_text

WORDS_FILE = "your words"


@dataclass(frozen=True)
class Wanted:
    """What was asked for."""

    panel: str
    process: str
    resin: str
    size: str
    title: str
    full: bool
    json: bool
    system: str
    working: str


def _ask(unknown: NotUnderstood) -> str:
    """One question, where there is somebody to answer it; what to take instead."""
    typer.echo(unknown.problems[0].what[:1].upper() + unknown.problems[0].what[1:], err=True)
    for index, name in enumerate(unknown.nearest, start=1):
        typer.echo(f"  {index}  {name}", err=True)
    answer = typer.prompt("A number, or say it another way", err=True).strip()
    if answer.isdigit() and 1 <= int(answer) <= len(unknown.nearest):
        return _instead(unknown.phrase, unknown.nearest[int(answer) - 1])
    return str(answer)


_SIZE_IN_PHRASE = re.compile(r"^\s*(\d+\s*[x×]\s+)?((?:[\d½¼¾⅛⅜⅝⅞/. -]+)\s*(?:mm|cm|in|\")\s+)?")


def _instead(phrase: str, name: str) -> str:
    """The phrase with its count and thickness kept and its words replaced by a name."""
    match = _SIZE_IN_PHRASE.match(phrase)
    return f"{match[0] if match else ''}{name.replace(',', '')}"


def _from_words(wanted: Wanted, catalogue: Catalogue) -> tuple[Description, list[Phrase]]:
    text = ", ".join(phrases(wanted.panel))  # as its phrases are quoted back
    while True:
        try:
            file = panel_file(
                text,
                catalogue,
                title=wanted.title or "Panel",
                process=wanted.process or None,
                resin=wanted.resin or None,
                size=sides(wanted.size),
            )
            break
        except NotUnderstood as unknown:
            if not (sys.stdin.isatty() and sys.stderr.isatty() and unknown.nearest):
                raise
            text = text.replace(unknown.phrase, _ask(unknown), 1)
    found = [read_phrase(phrase, catalogue) for phrase in phrases(text)]
    return panels.read(file, WORDS_FILE), found


def _working(wanted: Wanted, description: Description, catalogue: Catalogue) -> str:
    done = work(description, catalogue, wanted.working)
    shown = units.show(float(done.node.value), done.dimension, wanted.system)
    return working_text(done.name, shown, done.node, done.layers)


def _answer(wanted: Wanted, prediction: Prediction) -> str:
    if wanted.json:
        return json.dumps(as_json(prediction), ensure_ascii=False, indent=1)
    return (full if wanted.full else glance)(prediction, wanted.system)


def predict(
    wanted: Wanted,
    save: Path | None,
    materials: Path | None,
    draw: Path | None = None,
    shelf: str = "",
) -> str:
    """The text that the command prints."""
    if wanted.json and wanted.working:
        what = "a working is text; --json gives the numbers without it"
        raise InputError(Problem(what, "--json --working", hint="one of the two"))
    catalogue = catalogue_of_shelf(shelf, materials) if shelf else catalogue_with(materials)
    said: list[Phrase] = []
    if is_panel_file(wanted.panel):
        _refuse_words_options(wanted)
        description = read_file(wanted.panel)
    else:
        description, said = _from_words(wanted, catalogue)
    prediction = predict_panel(description, catalogue)
    parts = []
    if said and not wanted.json:
        parts += [
            understood(said, prediction),
            "As a panel file:\n\n" + _indented(description.text),
        ]
    if wanted.working:
        parts.append(_working(wanted, description, catalogue))
    else:
        parts.append(_answer(wanted, prediction))
    files = [] if save is None else [(save, description.text)]
    if draw is not None:
        files.append((draw, section_sheet(prediction, system=wanted.system)))
    notes = save_all(files)
    if not wanted.json:
        parts += notes
    return "\n\n".join(parts)


def _indented(text: str) -> str:
    return "\n".join(f"    {line}".rstrip() for line in text.rstrip().splitlines())


def _refuse_words_options(wanted: Wanted) -> None:
    for name in ("process", "resin", "size", "title"):
        if getattr(wanted, name):
            raise InputError(
                Problem(
                    f"--{name} goes with shop words; a panel file says it itself",
                    f"--{name} {getattr(wanted, name)!r}",
                    hint=f"write `{name} = ...` in {wanted.panel}",
                )
            )


_SCHEMAS = {
    "panel": panels.schema,
    "prediction": prediction_schema,
    "part": part_schema,
    "build": build_schema,
    "check": check_schema,
}


def schema(of: str) -> str:
    """The JSON Schema of a file that is read or of an answer for machines, as text."""
    return json.dumps(_SCHEMAS[of](), ensure_ascii=False, indent=1)
