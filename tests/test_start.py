"""start.py: what counts as ready, what an interruption leaves, what is said when it fails.

No environment is made here and nothing is fetched: the steps are replaced by records of them.
"""

import ast
import json
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import start

FILES = (*start.LOCKS.values(), start.LOCK_OF_UV, "pyproject.toml")

# As printed by pip 23.2.1 and uv 0.13.9 when the index could not be reached.
NO_NETWORK = {
    "pip": "WARNING: Retrying (Retry(total=1)) after connection broken by 'NewConnectionError("
    "<HTTPSConnection>: Failed to establish a new connection: [Errno -2] Name or service not "
    "known')': /simple/uv/\nERROR: No matching distribution found for uv==0.13.9",
    "uv": "error: Request failed after 3 retries in 4.6s\n  cause: client error (Connect)\n"
    "  cause: dns error\n  cause: failed to lookup address information",
}


class Steps:
    """Stands for start.step: records the words, makes the venv's Python, fails where told to."""

    def __init__(self) -> None:
        self.done: list[str] = []
        self.fail: Callable[[str], str | BaseException | None] = lambda _words: None

    def __call__(self, words: list[str]) -> subprocess.CompletedProcess[str]:
        line = " ".join(words)
        self.done.append(line)
        trouble = self.fail(line)
        if isinstance(trouble, BaseException):
            raise trouble
        if trouble is None and "-m venv" in line:
            python = Path(start.in_venv("python"))
            python.parent.mkdir(parents=True)
            python.symlink_to(sys.executable)
        return subprocess.CompletedProcess(words, 0 if trouble is None else 1, trouble or "")


@pytest.fixture
def steps(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Steps:
    """A project folder of its own, with recorded steps; starting a program is an error."""
    for name in FILES:
        (tmp_path / name).write_text(name)
    monkeypatch.setattr(start, "ROOT", str(tmp_path))
    monkeypatch.setattr(start, "VENV", str(tmp_path / ".venv"))
    monkeypatch.setattr(start, "STAMP", str(tmp_path / ".venv" / "ready.json"))
    monkeypatch.setattr(start, "GUARD", str(tmp_path / ".venv.lock"))
    recorded = Steps()
    monkeypatch.setattr(start, "step", recorded)

    def refuse(*words: object, **_: object) -> None:
        raise AssertionError(f"started {words}")

    monkeypatch.setattr("subprocess.run", refuse)
    monkeypatch.setattr("subprocess.call", refuse)
    monkeypatch.setattr("os.execve", refuse)
    return recorded


# Old Pythons --------------------------------------------------------------------------------


@pytest.mark.parametrize("version", [(3, 6, 15), (3, 10, 13), (2, 7, 18)])
def test_an_older_python_is_told_in_one_sentence(version: tuple[int, ...]) -> None:
    said = start.complain_of_python(version)
    assert f"this is Python {version[0]}.{version[1]}:" in said
    assert "needs Python 3.11 or newer" in said
    assert said.endswith("start.py`.")
    assert "\n" not in said


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 13, 1), (4, 0, 0)])
def test_a_python_that_will_do_is_not_complained_of(version: tuple[int, ...]) -> None:
    assert start.complain_of_python(version) == ""


def test_an_older_python_can_read_the_file(root: Path) -> None:
    source = (root / "start.py").read_text(encoding="utf-8")
    tree = ast.parse(source, feature_version=(3, 6))
    assert not any(
        isinstance(node, ast.ImportFrom) and node.module == "__future__" for node in ast.walk(tree)
    ), "Python 3.6 does not know the import of annotations"


def test_the_standard_library_is_enough(root: Path) -> None:
    tree = ast.parse((root / "start.py").read_text(encoding="utf-8"))
    names = {
        name.split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
        )
    }
    assert names <= sys.stdlib_module_names


# The stamp ----------------------------------------------------------------------------------


def test_nothing_is_ready_before_a_set_up(steps: Steps) -> None:
    assert not start.is_ready("run")
    assert not start.is_ready("test")


def test_a_set_up_to_run_is_ready_to_run_only(steps: Steps) -> None:
    start.ensure("run")
    assert start.is_ready("run")
    assert not start.is_ready("test")


def test_a_set_up_to_test_is_ready_for_both(steps: Steps) -> None:
    start.ensure("test")
    assert start.is_ready("run")
    assert start.is_ready("test")


def test_a_second_start_does_nothing_but_read_the_stamp(steps: Steps) -> None:
    start.ensure("run")
    steps.done.clear()
    start.ensure("run")
    assert steps.done == []


@pytest.mark.parametrize("name", FILES)
def test_a_changed_file_makes_it_anew(steps: Steps, name: str) -> None:
    start.ensure("run")
    (Path(start.ROOT) / name).write_text("changed")
    assert not start.is_ready("run")


def test_changed_steps_make_it_anew(steps: Steps, monkeypatch: pytest.MonkeyPatch) -> None:
    start.ensure("run")
    monkeypatch.setattr(start, "SET_UP_VERSION", start.SET_UP_VERSION + 1)
    assert not start.is_ready("run")


def test_a_moved_folder_is_made_anew(
    steps: Steps, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    start.ensure("run")
    moved = tmp_path / "elsewhere"
    moved.mkdir()
    for name in FILES:
        (moved / name).write_text(name)
    monkeypatch.setattr(start, "ROOT", str(moved))
    assert not start.is_ready("run")


@pytest.mark.parametrize("left", ["", "{", "[]", "{}", '{"key": "0"}'])
def test_a_stamp_that_was_cut_short_does_not_count(steps: Steps, left: str) -> None:
    start.ensure("run")
    Path(start.STAMP).write_text(left)
    assert not start.is_ready("run")


def test_an_environment_whose_python_is_gone_does_not_count(steps: Steps) -> None:
    start.ensure("run")
    Path(start.in_venv("python")).unlink()
    assert not start.is_ready("run")
    start.ensure("run")
    assert start.is_ready("run")


def test_an_environment_of_another_python_does_not_count(steps: Steps, tmp_path: Path) -> None:
    start.ensure("run")
    other = tmp_path / "other-python"
    other.touch()
    python = Path(start.in_venv("python"))
    python.unlink()
    python.symlink_to(other)
    assert not start.is_ready("run")


def test_the_python_it_was_made_from_must_still_be_there(steps: Steps) -> None:
    start.ensure("run")
    stamp = json.loads(Path(start.STAMP).read_text())
    Path(start.STAMP).write_text(json.dumps(stamp | {"base": stamp["base"] + "-gone"}))
    assert not start.is_ready("run")


# Interruptions ------------------------------------------------------------------------------

STEPS_OF_A_SET_UP = ("-m venv", start.LOCK_OF_UV, "requirements.lock", "-e .")


def test_the_steps_are_these(steps: Steps) -> None:
    start.ensure("run")
    assert len(steps.done) == len(STEPS_OF_A_SET_UP)
    for words, done in zip(STEPS_OF_A_SET_UP, steps.done, strict=True):
        assert words in done
    assert all("--require-hashes" in done for done in steps.done[1:3])
    assert "--no-build-isolation --no-deps" in steps.done[3]


@pytest.mark.parametrize("words", STEPS_OF_A_SET_UP)
def test_stopped_at_any_step_it_starts_again(
    steps: Steps, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    steps.fail = lambda line: KeyboardInterrupt() if words in line else None
    assert start.main(["predict"]) == 130
    assert "Start again" in capsys.readouterr().err
    assert not start.is_ready("run")
    steps.fail = lambda _line: None
    start.ensure("run")
    assert start.is_ready("run")


def test_a_half_made_environment_is_cleared_away(steps: Steps) -> None:
    left = Path(start.VENV) / "lib" / "half"
    left.mkdir(parents=True)
    start.ensure("run")
    assert not left.exists()


def test_a_file_in_the_place_of_the_environment_is_cleared_away(steps: Steps) -> None:
    Path(start.VENV).write_text("not a folder")
    start.ensure("run")
    assert start.is_ready("run")


def test_adding_the_checks_keeps_what_runs(steps: Steps) -> None:
    start.ensure("run")
    steps.done.clear()
    steps.fail = lambda line: "no space left" if "requirements-test.lock" in line else None
    with pytest.raises(start.SetUpError):
        start.ensure("test")
    assert start.is_ready("run")
    assert not any("-m venv" in done for done in steps.done)


def test_two_starts_do_not_set_up_at_once(steps: Steps) -> None:
    with start.alone(), open(start.GUARD, "a+") as other:
        assert not start.try_to_hold(other.fileno())
    with open(start.GUARD, "a+") as other:
        assert start.try_to_hold(other.fileno())


# What goes wrong ----------------------------------------------------------------------------


@pytest.mark.parametrize("said_by", NO_NETWORK)
def test_no_network_is_said_in_words(
    steps: Steps, said_by: str, capsys: pytest.CaptureFixture[str]
) -> None:
    failing = start.LOCK_OF_UV if said_by == "pip" else "requirements.lock"
    steps.fail = lambda line: NO_NETWORK[said_by] if failing in line else None
    assert start.main([]) == 1
    said = capsys.readouterr().err
    assert NO_NETWORK[said_by] in said
    assert "no package index could be reached" in said
    assert "Connect to the network" in said
    assert failing in steps.done[-1], "nothing else is tried without a network"


def test_without_uv_pip_installs_the_same_lock(
    steps: Steps, capsys: pytest.CaptureFixture[str]
) -> None:
    steps.fail = lambda line: "no wheel for this machine" if start.LOCK_OF_UV in line else None
    start.ensure("run")
    assert start.is_ready("run")
    assert "-m pip" in steps.done[2]
    assert "--require-hashes -r requirements.lock" in steps.done[2]
    assert "going on with pip" in capsys.readouterr().out


def test_where_uv_fails_pip_is_tried(steps: Steps) -> None:
    steps.fail = lambda line: "uv: no" if "-m uv" in line else None
    start.ensure("run")
    assert start.is_ready("run")
    assert [("-m uv" in done) for done in steps.done[2:]] == [True, False, False]


def test_the_output_of_a_failed_step_is_shown(
    steps: Steps, capsys: pytest.CaptureFixture[str]
) -> None:
    steps.fail = lambda line: "HASHES DO NOT MATCH" if "requirements.lock" in line else None
    assert start.main([]) == 1
    said = capsys.readouterr().err
    assert "HASHES DO NOT MATCH" in said
    assert "no package index" not in said


def test_a_python_without_venv_says_what_to_install(
    steps: Steps, capsys: pytest.CaptureFixture[str]
) -> None:
    steps.fail = lambda _line: "ensurepip is not available"
    assert start.main([]) == 1
    assert "apt install python3-venv" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written_is_said(
    steps: Steps, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "GUARD", str(Path(start.ROOT) / "missing" / "lock"))
    assert start.main([]) == 1
    assert "must be writable" in capsys.readouterr().err


# Handing over -------------------------------------------------------------------------------

WORDS = ["predict", "biax 300, 8 mm redcedar", "--json", ""]


def test_other_words_are_passed_on(steps: Steps, monkeypatch: pytest.MonkeyPatch) -> None:
    start.ensure("run")
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    monkeypatch.setattr(start, "CAN_BECOME", True)
    became: list[tuple[str, list[str], dict[str, str]]] = []

    def become(program: str, words: list[str], variables: dict[str, str]) -> None:
        became.append((program, words, variables))

    monkeypatch.setattr("os.execve", become)
    monkeypatch.setattr("subprocess.call", lambda *_, **__: 0)
    start.main(WORDS)
    [(program, words, variables)] = became
    assert program == start.in_venv("python")
    assert words == [program, "-m", "panelwright", *WORDS]
    assert "PYTHONDONTWRITEBYTECODE" not in variables
    assert variables["PATH"] == os.environ["PATH"]


@pytest.mark.parametrize("code", [0, 1, 2])
def test_where_it_cannot_become_the_program_the_exit_code_is_passed_on(
    steps: Steps, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    start.ensure("run")
    monkeypatch.setattr(start, "CAN_BECOME", False)
    monkeypatch.setattr("subprocess.call", lambda *_, **__: code)
    assert start.main(WORDS) == code


def test_no_words_open_the_workshop_and_name_three_things_to_try(
    steps: Steps, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    start.ensure("run")
    ran: list[list[str]] = []

    def call(words: list[str], **_: object) -> int:
        ran.append(words)
        return 0

    monkeypatch.setattr(start, "CAN_BECOME", False)
    monkeypatch.setattr("subprocess.call", call)
    assert start.main([]) == 0
    assert ran == [[start.in_venv("python"), "-m", "panelwright", "serve"]]
    tail = capsys.readouterr().out.split("To try on the command line:\n")[1]
    assert len(tail.strip().splitlines()) == 3


def test_the_example_exists(root: Path) -> None:
    assert (root / start.EXAMPLE).is_file()


# The checks ---------------------------------------------------------------------------------


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> set[str]:
    """Names of programs that fail; none is really run."""
    names: set[str] = set()
    monkeypatch.setattr("subprocess.call", lambda words, **_: int(Path(words[0]).stem in names))
    monkeypatch.setattr(start, "lacking", list)
    return names


def test_all_checks_passed(failing: set[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert start.run_checks([]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[-1] == f"All {len(start.CHECKS)} parts passed."
    assert [line.split()[0] for line in said[-1 - len(start.CHECKS) : -1]] == list(start.CHECKS)


def test_it_goes_on_after_a_failure(failing: set[str], capsys: pytest.CaptureFixture[str]) -> None:
    failing.add("mypy")
    assert start.run_checks([]) == 1
    said = capsys.readouterr().out.splitlines()
    assert said[-1] == f"1 of {len(start.CHECKS)} parts failed: types."
    assert any(line.startswith("== docs") for line in said)
    [row] = [line for line in said if line.startswith("types ")]
    assert row.endswith("FAILED (exit 1)")


def test_single_checks_can_be_named(failing: set[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert start.run_checks(["lint"]) == 0
    said = capsys.readouterr().out
    assert "== lint" in said
    assert "== tests" not in said


class System:
    """Stands for a system that lacks some packages and may bring them."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, user: int, brings: bool) -> None:
        self.lacks = ["chromium", "postgresql"]
        self.brings = brings
        self.done: list[str] = []
        monkeypatch.setattr(start, "lacking", lambda: list(self.lacks))
        monkeypatch.setattr(start, "has_program", lambda *_: True)
        monkeypatch.setattr("os.geteuid", lambda: user, raising=False)
        monkeypatch.setattr(start, "step", self.step)

    def step(self, words: list[str]) -> subprocess.CompletedProcess[str]:
        self.done.append(" ".join(words))
        if self.brings and "install" in words:
            self.lacks.clear()
        return subprocess.CompletedProcess(words, int(not self.brings), "no such package")


def test_what_the_tests_need_of_the_system_is_installed_where_it_may_be(
    monkeypatch: pytest.MonkeyPatch, failing: set[str]
) -> None:
    system = System(monkeypatch, user=0, brings=True)
    assert start.run_checks(["tests"]) == 0
    assert system.done[-1].endswith("install -y --no-install-recommends chromium postgresql")


@pytest.mark.parametrize(("user", "tried"), [(0, True), (1000, False)])
def test_where_it_cannot_be_installed_the_command_is_told_and_the_tests_fail(
    monkeypatch: pytest.MonkeyPatch,
    failing: set[str],
    capsys: pytest.CaptureFixture[str],
    user: int,
    tried: bool,
) -> None:
    system = System(monkeypatch, user=user, brings=False)
    assert start.run_checks(["tests"]) == 1
    said = capsys.readouterr().out
    assert "sudo apt install chromium postgresql" in said
    assert bool(system.done) is tried


def test_an_unknown_check_is_refused(failing: set[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert start.run_checks(["lynt"]) == 2
    said = capsys.readouterr().out
    assert "lynt" in said
    assert ", ".join(start.CHECKS) in said


def test_a_part_over_its_budget_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    start.report([("lint", 12.0, 10, 0), ("types", 3.0, 90, 0)])
    said = capsys.readouterr().out
    assert said.count("over its budget") == 1


def test_the_budgets_stay_under_fifteen_minutes() -> None:
    assert sum(budget for budget, _ in start.CHECKS.values()) < 15 * 60


def test_ci_runs_the_same_check(root: Path) -> None:
    script = root / ".ci" / "run"
    assert "exec python3 start.py test" in script.read_text()
    assert os.access(script, os.X_OK)


# The locks ----------------------------------------------------------------------------------


def pinned(lock: Path) -> dict[str, set[str]]:
    """Versions by name, as the lock pins them; more than one where a marker tells them apart."""
    found: dict[str, set[str]] = {}
    for name, version in re.findall(r"^([\w.-]+)==([^\s;]+)", lock.read_text(), re.MULTILINE):
        found.setdefault(canonicalize_name(name), set()).add(version)
    return found


@pytest.mark.parametrize("name", [*start.LOCKS.values(), start.LOCK_OF_UV])
def test_a_lock_holds_pins_and_hashes_and_no_address(root: Path, name: str) -> None:
    for line in (root / name).read_text().splitlines():
        assert re.fullmatch(
            r"[\w.-]+==[\w.+!]+( ; [^/\\]*)? \\|    --hash=sha256:[0-9a-f]{64}( \\)?", line
        ), line


def test_the_lock_to_run_is_part_of_the_lock_to_test(root: Path) -> None:
    run, test = (pinned(root / start.LOCKS[part]) for part in ("run", "test"))
    assert run
    assert {name: versions & test.get(name, set()) for name, versions in run.items()} == run


def test_the_locks_serve_the_project_as_it_is_described(root: Path) -> None:
    described = tomllib.loads((root / "pyproject.toml").read_text())
    groups, project = described["dependency-groups"], described["project"]
    extras = [text for extra in project["optional-dependencies"].values() for text in extra]
    wanted = {
        start.LOCKS["run"]: project["dependencies"] + groups["build"],
        start.LOCKS["test"]: project["dependencies"] + groups["build"] + extras,
        start.LOCK_OF_UV: groups["setup"],
    }
    for lock, texts in wanted.items():
        held = pinned(root / lock)
        for requirement in map(Requirement, texts):
            versions = held.get(canonicalize_name(requirement.name), set())
            assert versions, f"{lock} lacks {requirement.name}: make it anew (see CONTRIBUTING)"
            assert all(version in requirement.specifier for version in versions)
