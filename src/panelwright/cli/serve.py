"""``panelwright serve``: open the workshop."""

from __future__ import annotations

import os
import sys
import threading
import webbrowser

import typer

from panelwright.web.serving import serve as serve_workshop

PASSPHRASE = "PANELWRIGHT_PASSPHRASE"


def _passphrase() -> str:
    known = os.environ.get(PASSPHRASE)
    if known is not None or not sys.stdin.isatty():
        return known or ""
    return str(typer.prompt("A passphrase for the network", hide_input=True, err=True))


def _open(address: str) -> None:
    """Open the browser, where there is a screen to open it on."""
    threading.Timer(0.5, webbrowser.open, (address,)).start()


def _has_screen() -> bool:
    return os.name == "nt" or sys.platform == "darwin" or bool(os.environ.get("DISPLAY"))


def serve(where: str, port: int, network: bool, browser: bool) -> None:
    """Serve until stopped."""
    serve_workshop(
        where or None,
        port,
        network=network,
        passphrase=_passphrase() if network else "",
        say=typer.echo,
        opened=_open if browser and _has_screen() else lambda _: None,
    )
