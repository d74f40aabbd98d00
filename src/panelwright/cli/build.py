"""``panelwright build``: a panel file, and what is built of it, to text, sheets and lists."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from panelwright.cli.catalogue import catalogue_with
from panelwright.cli.files import read_file, read_text, taken
from panelwright.errors import InputError, Problem
from panelwright.fabrication.part import PartDescription, read_part
from panelwright.fabrication.plan import BuildPlan
from panelwright.jobs.build import build as plan_build
from panelwright.panels import description as panels
from panelwright.panels.description import Description
from panelwright.reports.build_files import files_of
from panelwright.reports.build_json import as_json
from panelwright.reports.build_text import full, glance
from panelwright.reports.paper.pages import Paper


@dataclass(frozen=True)
class Wanted:
    """What was asked for."""

    file: str
    part: Path | None
    out: Path | None
    full: bool
    json: bool
    system: str
    paper: str


def _names_parts(text: str) -> bool:
    """Whether a file is a part file: it has parts or a mix, and no layers."""
    try:
        table = tomllib.loads(text)
    except (ValueError, RecursionError):
        return False
    return "layer" not in table and bool({"part", "mix"} & table.keys())


def _read(wanted: Wanted) -> tuple[Description | None, PartDescription | None]:
    """The panel and the part file, as far as each was named."""
    text = read_text(wanted.file)
    if wanted.part is not None:
        told = read_part(read_text(str(wanted.part)), str(wanted.part))
        return panels.read(text, wanted.file), told
    if _names_parts(text):
        return None, read_part(text, wanted.file)
    return panels.read(text, wanted.file), None


def build(wanted: Wanted, materials: Path | None) -> str:
    """The text that the command prints."""
    catalogue = catalogue_with(materials)
    description, job = _read(wanted)
    beside = Path(wanted.file if wanted.part is None else wanted.part).parent

    def find(name: str) -> Description:
        return read_file(str(beside / name))

    plan = plan_build(description, job, catalogue, find)
    notes = [] if wanted.out is None else _write(wanted.out, plan, wanted)
    if wanted.json:
        return json.dumps(as_json(plan), ensure_ascii=False, indent=1)
    told = (full if wanted.full else glance)(plan, wanted.system)
    return "\n\n".join([told, *notes])


def _write(folder: Path, plan: BuildPlan, wanted: Wanted) -> list[str]:
    """Write the sheets and lists into a folder; all of them, or none where a name is taken."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        what = f"cannot make the folder: {wrong.strerror}"
        raise InputError(Problem(what, str(folder), hint="another folder")) from None
    made = files_of(plan, date.today(), Paper(wanted.paper), wanted.system)
    _refuse_taken(folder, made)
    for name, content in made.items():
        path = folder / name
        try:
            path.write_bytes(content)
        except OSError as wrong:
            what = f"cannot write the file: {wrong.strerror}"
            raise InputError(Problem(what, str(path))) from None
    return [f"Written to {folder}: {', '.join(made)}"]


def _refuse_taken(folder: Path, made: Mapping[str, bytes]) -> None:
    for name in made:
        if (folder / name).exists():
            raise taken(folder / name)
