"""``python -m panelwright``."""

from panelwright.cli.main import run

run()
