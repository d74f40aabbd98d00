"""A PostgreSQL server of the tests' own: in a temporary folder, on a socket, for nobody else."""

from __future__ import annotations

import glob
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest

OWNER = "shop"
PATIENCE = 60.0
INSTALL = "sudo apt install postgresql"


def _programs() -> Path:
    """The folder with initdb and postgres, which systems keep off the path."""
    found = sorted(glob.glob("/usr/lib/postgresql/*/bin/initdb"))
    program = shutil.which("initdb") or (found[-1] if found else None)
    if program is None:
        pytest.fail(f"these tests need a PostgreSQL server: {INSTALL}")
    return Path(program).parent


def _as_whom() -> dict[str, Any]:
    """The server refuses to be started by root: then it is another's, who may do nothing else."""
    if os.geteuid() != 0:
        return {}
    other = pwd.getpwnam("nobody")
    return {"user": other.pw_uid, "group": other.pw_gid, "extra_groups": []}


@contextmanager
def running() -> Iterator[str]:
    """The folder of the socket of a server that is up."""
    programs, whom = _programs(), _as_whom()
    folder = Path(tempfile.mkdtemp(prefix="pw-"))
    try:
        if whom:
            os.chown(folder, whom["user"], whom["group"])
        surroundings = {"PATH": os.environ["PATH"], "LC_ALL": "C", "HOME": str(folder)}
        told: dict[str, Any] = {"cwd": folder, "env": surroundings, **whom}
        words = ["-U", OWNER, "-A", "trust", "-E", "UTF8", "--locale=C", "-N"]
        made = subprocess.run(
            [programs / "initdb", "-D", folder / "data", *words],
            capture_output=True,
            text=True,
            check=False,
            **told,
        )
        assert made.returncode == 0, made.stderr
        options = ["-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_connections=60"]
        with open(folder / "log", "w") as log:
            server = subprocess.Popen(
                [programs / "postgres", "-D", folder / "data", "-k", folder, *options],
                stdout=log,
                stderr=log,
                **told,
            )
        try:
            _wait_for(str(folder), server, folder / "log")
            yield str(folder)
        finally:
            server.send_signal(signal.SIGQUIT)  # at once: nothing of it is kept
            server.wait(PATIENCE)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _wait_for(socket: str, server: subprocess.Popen[bytes], log: Path) -> None:
    began = time.monotonic()
    while time.monotonic() - began < PATIENCE:
        assert server.poll() is None, log.read_text()
        try:
            psycopg.connect(host=socket, user=OWNER, dbname="postgres").close()
        except psycopg.OperationalError:
            time.sleep(0.1)
        else:
            return
    pytest.fail(f"the server did not come up: {log.read_text()}")


def empty_database(socket: str) -> str:
    """The address of the server's database, with nothing in it and nobody connected."""
    with psycopg.connect(host=socket, user=OWNER, dbname="postgres", autocommit=True) as server:
        server.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
            "WHERE backend_type = 'client backend' AND pid <> pg_backend_pid()"
        )
        server.execute("DROP SCHEMA public CASCADE")
        server.execute("CREATE SCHEMA public")
    return f"postgresql://{OWNER}@/postgres?host={socket}"
