"""What the pages take from elsewhere is what it was when it was taken."""

from __future__ import annotations

import hashlib
import re
import tomllib
from importlib.resources import files

STATIC = files("panelwright.web").joinpath("static")


def test_scripts_from_elsewhere_are_unchanged_and_have_their_licence() -> None:
    taken = tomllib.loads(STATIC.joinpath("VENDORED.toml").read_text("utf-8"))["file"]
    own = {"workshop.js", "floor.js", "edge.js", "chart.js"}
    scripts = {one.name for one in STATIC.iterdir() if one.name.endswith(".js")}
    assert scripts - own == {one["file"] for one in taken}
    for one in taken:
        content = STATIC.joinpath(one["file"]).read_bytes()
        assert hashlib.sha256(content).hexdigest() == one["sha256"]
        for file in re.findall(r"[\w-]+(?:\.[A-Za-z]+)*\.txt", one["licence"]):
            assert len(STATIC.joinpath(file).read_text("utf-8")) > 500
    assert "Zero-Clause BSD" in STATIC.joinpath("htmx.LICENSE.txt").read_text("utf-8")
    for name in ("vega", "vega-lite", "vega-embed"):
        words = STATIC.joinpath(f"{name}.LICENSE.txt").read_text("utf-8")
        assert "Redistributions in binary form must reproduce" in words
