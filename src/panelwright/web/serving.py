"""Start the workshop: an address, a shelf, a server."""

from __future__ import annotations

import socket
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from panelwright.errors import InputError, Problem
from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.web.access import IN_THE_CLEAR, LEAST_PASSPHRASE, Access

PORT = 8377
#: Ports that are tried after the one that is wanted.
TRIES = 20
LOOPBACK, ANY = "127.0.0.1", "0.0.0.0"


def listening(host: str, port: int) -> socket.socket:
    """A socket at the port, or at the next that is free.

    Raises InputError where none of them is.
    """
    for tried in range(port, port + TRIES):
        made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            made.bind((host, tried))
            made.listen(128)
        except OSError:
            made.close()
        else:
            return made
    what = f"no port from {port} to {port + TRIES - 1} is free"
    raise InputError(Problem(what, str(port), hint="another one: --port 8500"))


def access_for(network: bool, passphrase: str) -> Access:
    """The keys of a run. Raises InputError for a network without a passphrase that is one."""
    if not network:
        return Access()
    if len(passphrase) < LEAST_PASSPHRASE:
        allowed = f"at least {LEAST_PASSPHRASE} characters; a few words are best"
        given = f"{len(passphrase)} characters"
        raise InputError(Problem("the passphrase is too short for a network", given, allowed))
    return Access(passphrase)


def _address_here() -> str:
    """The address of this machine on its network, as far as it can be told without asking it."""
    with closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # for documentation (RFC 5737): nothing is sent
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()


def _prepared(where: str | Path | None, say: Callable[[str], None]) -> Shelf:
    """The shelf, with the demonstration on it where it was made just now."""
    shelf = open_shelf(where)
    if shelf.just_made:
        from panelwright.jobs.demonstration import fill_with_demonstration

        say("Filling the new shelf with a demonstration; every number in it is invented.")
        fill_with_demonstration(shelf)
    return shelf


def serve(
    where: str | Path | None,
    port: int,
    *,
    network: bool = False,
    passphrase: str = "",
    say: Callable[[str], None] = print,
    opened: Callable[[str], object] = lambda _: None,
) -> None:
    """Serve the workshop until it is stopped.

    say : told what a person should read; opened : given the address once it answers.
    Raises InputError, ShelfError.
    """
    access = access_for(network, passphrase)
    shelf = _prepared(where, say)
    with closing(shelf), listening(ANY if network else LOOPBACK, port) as held:
        number = held.getsockname()[1]
        address = f"http://{_address_here() if network else LOOPBACK}:{number}/"
        if number != port:
            say(f"Port {port} is taken; using {number}.")
        if network:
            say(IN_THE_CLEAR)
        say(f"The workshop is open at {address}\nIts shelf: {shelf.name}\nCtrl+C closes it.")
        opened(address)
        _run(shelf, access, held)


def _run(shelf: Shelf, access: Access, held: socket.socket) -> None:
    import uvicorn

    from panelwright.web.app import create_app

    config = uvicorn.Config(
        create_app(shelf, access),
        log_level="warning",
        server_header=False,
        timeout_graceful_shutdown=3,
        proxy_headers=False,
    )
    uvicorn.Server(config).run(sockets=[held])
