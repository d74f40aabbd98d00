"""``panelwright measure``, ``reconcile`` and ``house``: readings in, what they come to out."""

from __future__ import annotations

import json
import sys
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import typer

from panelwright.cli import measure_text
from panelwright.cli.files import read_bytes, taken
from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.jobs.measure import measure as measure_piece
from panelwright.jobs.reconcile import reconcile_piece
from panelwright.jobs.shelf import open_shelf
from panelwright.reports.bench_words import house_csv
from panelwright.samples.house import OFF, ON, RESET
from panelwright.samples.readings import Reading, order_of_reading, read_readings
from panelwright.samples.sheets import readings_of_file, readings_of_text


@dataclass(frozen=True)
class Wanted:
    """What was asked for."""

    number: str
    readings: list[str]
    file: Path | None
    paste: bool
    reason: str
    date: str
    remark: str
    who: str
    again: str
    improve: str
    title: str
    cut_from: str
    cut_at: str
    place: str
    left: str
    json: bool
    system: str
    shelf: str


def _typed(texts: list[str], reason: str) -> list[Reading]:
    """Readings written as ``name=value`` or ``name@point=value``."""
    found: list[Reading] = []
    problems: list[Problem] = []
    for text in texts:
        name, sign, value = text.partition("=")
        what, _, at = name.partition("@")
        if not sign:
            hint = 'mass="413.8 g", or thickness@A1=31.68'
            problems.append(Problem("a reading is written name=value", text[:60], hint=hint))
            continue
        try:
            found += read_readings(what, value, at, reason=reason)
        except PanelwrightError as wrong:
            problems += wrong.problems
    if problems:
        raise InputError(problems)
    return found


def _all(wanted: Wanted, pasted: str) -> list[Reading]:
    found = _typed(wanted.readings, wanted.reason)
    if wanted.file is not None:
        found += readings_of_file(read_bytes(wanted.file), wanted.file.name)
    if wanted.paste:
        found += readings_of_text(pasted, "pasted")
    return found


def measure(wanted: Wanted) -> str:
    """The text that the command prints. What was pasted and is refused is given back."""
    if not wanted.number:
        return order_of_reading()
    pasted = sys.stdin.read() if wanted.paste else ""
    try:
        readings = _all(wanted, pasted)
        if not readings and not (wanted.remark or wanted.again or wanted.improve):
            hint = "`panelwright measure` alone shows what can be read"
            raise InputError(Problem("no reading is given", hint=hint))
        with closing(open_shelf(wanted.shelf or None)) as shelf:
            done = measure_piece(
                shelf,
                wanted.number,
                readings,
                date=wanted.date,
                remark=wanted.remark,
                who=wanted.who,
                again=wanted.again,
                improve=wanted.improve,
                title=wanted.title or None,
                cut_from=wanted.cut_from,
                cut_at=wanted.cut_at,
                place=wanted.place or None,
                left=wanted.left or None,
            )
    except PanelwrightError:
        if pasted.strip():
            typer.echo(f"Nothing was kept. What was pasted:\n{pasted.rstrip()}\n", err=True)
        raise
    if wanted.json:
        return json.dumps(measure_text.measured_plain(done), ensure_ascii=False, indent=1)
    return measure_text.measured_text(done, wanted.system)


def reconcile(number: str, full: bool, as_json: bool, system: str, shelf: str) -> tuple[str, bool]:
    """The text that the command prints, and whether all that was found was predicted."""
    with closing(open_shelf(shelf or None)) as opened:
        done = reconcile_piece(opened, number)
    if as_json:
        text = json.dumps(measure_text.reconciled_plain(done), ensure_ascii=False, indent=1)
    else:
        text = measure_text.reconciled_text(done, system, full=full)
    return text, done.agrees


def sheet(number: str, path: Path, paper: str, system: str, shelf: str) -> str:
    """The datasheet of a piece written to a file; the text that the command prints."""
    from panelwright.jobs.piece_sheet import sheet_of  # paper is slow to come
    from panelwright.reports.paper.pages import Paper

    if path.exists():
        raise taken(path)
    with closing(open_shelf(shelf or None)) as opened:
        made = sheet_of(opened, number, Paper(paper), system)
    _write(path, made)
    return f"Written to {path}"


def house(word: str, key: str, remark: str, as_json: bool, export: Path | None, shelf: str) -> str:
    """House values shown, switched, begun anew or written to a file."""
    with closing(open_shelf(shelf or None)) as opened:
        if word:
            if word not in {OFF, ON, RESET}:
                what = "this is no word on a house value"
                raise InputError(Problem(what, word[:40], f"{OFF}, {ON}, {RESET}"))
            if not key:
                hint = "its key, as `panelwright house` shows it"
                raise InputError(Problem("which house value?", hint=hint))
            keys = [value.key for value in opened.house()] if key == "all" else [key]
            for one in keys:
                opened.switch_house(one, word, remark)
        values = opened.house()
    if export is not None:
        _write(export, house_csv(values).encode("utf-8"))
        return f"Written to {export}"
    if as_json:
        return json.dumps(measure_text.house_plain(values), ensure_ascii=False, indent=1)
    return measure_text.house_text(values)


def _write(path: Path, content: bytes) -> None:
    try:
        with path.open("xb") as file:
            file.write(content)
    except FileExistsError:
        raise taken(path) from None
    except OSError as wrong:
        raise InputError(Problem(f"cannot write the file: {wrong.strerror}", str(path))) from None
