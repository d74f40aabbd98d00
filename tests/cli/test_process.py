"""The command as a process of its own: streams, terminals, what it loads."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from tests.jobs.panels import EXAMPLES

EXAMPLE = str(EXAMPLES[-1])


def ran(*arguments: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "panelwright", *arguments],
        capture_output=True,
        check=False,
        stdin=subprocess.DEVNULL,
        env=os.environ | env,
    )


def loaded_by(code: str) -> set[str]:
    """Modules that are loaded once some code has run."""
    done = subprocess.run(
        [sys.executable, "-c", f"{code}\nimport sys; print(*sorted(sys.modules), file=sys.stderr)"],
        capture_output=True,
        check=True,
        text=True,
    )
    return set(done.stderr.split())


def test_runs_as_a_module_and_knows_its_version() -> None:
    done = ran("--version")
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"panelwright 0.")


def test_no_arguments_show_the_help() -> None:
    done = ran()
    assert b"Commands:" in done.stdout + done.stderr
    assert b"Traceback" not in done.stderr


def test_a_refusal_goes_to_standard_error_with_code_two() -> None:
    done = ran("predict", "biax 300, 8 mm plastecine")
    assert (done.returncode, done.stdout) == (2, b"")
    assert b"plastecine" in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "utf-8"])
def test_a_terminal_that_cannot_show_all_gets_the_rest(encoding: str) -> None:
    done = ran("predict", EXAMPLE, "--full", PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"Tender topside")
    assert b"western redcedar strips" in done.stdout


def test_a_reader_that_goes_away_is_no_error() -> None:
    """As with ``| head -1``: the other end is closed before anything is written."""
    read_end, write_end = os.pipe()
    os.close(read_end)
    done = subprocess.run(
        [sys.executable, "-m", "panelwright", "predict", EXAMPLE, "--full"],
        stdout=write_end,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(write_end)
    assert done.stderr == b""


def test_the_start_loads_no_numbers() -> None:
    loaded = loaded_by("import panelwright.cli.main")
    assert "typer" in loaded
    assert not {"numpy", "scipy", "pydantic", "pint", "rich"} & loaded


def test_a_prediction_loads_no_more_than_it_needs() -> None:
    """The bare name scipy is loaded by the unit library; none of its parts is."""
    code = (
        "import sys\nfrom panelwright.cli.main import app\n"
        f"app(['predict', {EXAMPLE!r}], standalone_mode=False)"
    )
    loaded = loaded_by(code)
    assert {"numpy", "pydantic"} <= loaded
    assert not {"scipy.linalg", "scipy.optimize", "scipy.special", "scipy.stats"} & loaded
    assert not {"rich", "jsonschema"} & loaded
