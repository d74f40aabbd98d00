"""``panelwright check``: a panel file in, its duties judged."""

from __future__ import annotations

import json
from pathlib import Path

from panelwright.cli.catalogue import catalogue_with
from panelwright.cli.files import read_file
from panelwright.jobs.check import check as check_duties
from panelwright.reports.duty_json import as_json
from panelwright.reports.duty_text import full, glance, is_kept


def check(
    file: str, everything: bool, machine: bool, system: str, materials: Path | None
) -> tuple[str, bool]:
    """The text that the command prints, and whether every limit is kept."""
    description = read_file(file)
    duties = check_duties(description, catalogue_with(materials))
    kept = is_kept(duties)
    if machine:
        made = as_json(description.panel.title, duties)
        return json.dumps(made, ensure_ascii=False, indent=1), kept
    return (full if everything else glance)(duties, system), kept
