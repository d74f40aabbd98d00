"""The rules of access that a page is held to, by the checker that is vendored beside."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

VENDORED = Path(__file__).parent / "vendored"
AXE = (VENDORED / "axe.min.js").read_text("utf-8")


def found(page: Page) -> list[str]:
    """What is against the rules on a page, with its place."""
    page.evaluate(AXE)
    told: dict[str, Any] = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    assert told["passes"], "nothing was looked at"
    return [
        f"{rule['id']}: {node['html'][:160]} {node['any'][:1] and node['any'][0]['message']}"
        for rule in told["violations"]
        for node in rule["nodes"]
    ]
