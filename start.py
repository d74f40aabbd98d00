"""Set Panelwright up in its own folder, start it, or run every check.

    python3 start.py                 set up where needed, then open the workshop
    python3 start.py predict ...     any words of the program, passed on to it
    python3 start.py test            set up and run every check
    python3 start.py test lint docs  run the named checks only

It needs Python 3.11 or newer and nothing else: it uses the standard library alone, and keeps
to syntax that an older Python can still read, so that it can say in words what is missing.
"""

import contextlib
import ctypes.util
import glob
import hashlib
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator

ROOT = os.path.dirname(os.path.abspath(__file__))
VENV = os.path.join(ROOT, ".venv")
STAMP = os.path.join(VENV, "ready.json")
GUARD = os.path.join(ROOT, ".venv.lock")
LOCKS = {"run": "requirements.lock", "test": "requirements-test.lock"}
LOCK_OF_UV = "requirements-uv.lock"
EXAMPLE = os.path.join("examples", "tender-topside.toml")

#: Elsewhere a program that replaces itself leaves the shell behind with no exit code.
CAN_BECOME = os.name == "posix"

OLDEST = (3, 11)
#: Raise by one when the steps of set_up change, so that environments made before are made anew.
SET_UP_VERSION = 1

#: Words by which pip and uv say that they could not reach anything.
SIGNS_OF_NO_NETWORK = (
    "name resolution",
    "name or service not known",
    "getaddrinfo failed",
    "nodename nor servname",
    "failed to lookup address",
    "dns error",
    "network is unreachable",
    "connection refused",
    "newconnectionerror",
    "connecttimeout",
    "timed out",
    "failed to establish a new connection",
    "error sending request",
    "tcp connect error",
    "cannot connect to proxy",
)


class SetUpError(Exception):
    """The environment could not be made; the message says what is missing and what to try."""


def complain_of_python(version: "tuple[int, ...]") -> str:
    """The one sentence for a Python that is too old; empty for one that will do."""
    if version[:2] >= OLDEST:
        return ""
    return (
        "Panelwright needs Python 3.11 or newer and this is Python {}.{}: "
        "install a newer one and start with it, for instance `python3.12 start.py`."
    ).format(*version[:2])


if complain_of_python(tuple(sys.version_info[:3])):
    sys.exit(complain_of_python(tuple(sys.version_info[:3])))


# The environment ---------------------------------------------------------------------------


def in_venv(name: str) -> str:
    """Path of a program of the environment."""
    if os.name == "nt":
        return os.path.join(VENV, "Scripts", name + ".exe")
    return os.path.join(VENV, "bin", name)


def base_python() -> str:
    """The Python that the environment is made from, also when started from inside it."""
    return str(getattr(sys, "_base_executable", "") or sys.executable)


def environment() -> dict[str, str]:
    """Variables for what is started: compiled files are kept, texts are UTF-8 everywhere."""
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    kept.setdefault("PYTHONUTF8", "1")
    return kept


def key() -> str:
    """Hash of all that decides what the environment holds."""
    digest = hashlib.sha256(f"{SET_UP_VERSION} {ROOT}".encode())
    for name in (*LOCKS.values(), LOCK_OF_UV, "pyproject.toml"):
        with open(os.path.join(ROOT, name), "rb") as file:
            digest.update(file.read())
    return digest.hexdigest()


def read_stamp() -> dict[str, str]:
    """What the last finished set-up wrote; nothing where none was finished."""
    try:
        with open(STAMP, encoding="utf-8") as file:
            stamp = json.load(file)
    except (OSError, ValueError):
        return {}
    return stamp if isinstance(stamp, dict) else {}


def write_stamp(part: str) -> None:
    """Say that the environment is ready; the last step, and whole or not at all."""
    stamp = {
        "key": key(),
        "part": part,
        "python": os.path.realpath(in_venv("python")),
        "base": base_python(),
    }
    with open(STAMP + ".new", "w", encoding="utf-8") as file:
        json.dump(stamp, file)
    os.replace(STAMP + ".new", STAMP)


def is_sound(stamp: dict[str, str]) -> bool:
    """True for an environment finished from these files by a Python that is still there."""
    python = in_venv("python")
    return (
        stamp.get("key") == key()
        and os.path.exists(python)
        and os.path.realpath(python) == stamp.get("python")
        and os.path.exists(stamp.get("base", ""))
    )


def is_ready(part: str) -> bool:
    """True for a sound environment that holds this part; "test" holds "run" too."""
    stamp = read_stamp()
    return is_sound(stamp) and stamp.get("part") in (part, "test")


@contextlib.contextmanager
def alone() -> Iterator[None]:
    """Hold the guard file, so that two starts at once do not set up at once.

    The system lets go of it when the holder ends, however it ends. The steps inherit it: a step
    that outlives a killed start is waited for.
    """
    with open(GUARD, "a+") as file:
        if not try_to_hold(file.fileno()):
            say("Another start is setting up here; waiting for it.")
            while not try_to_hold(file.fileno()):
                time.sleep(0.2)
        os.set_inheritable(file.fileno(), True)
        yield


def try_to_hold(descriptor: int) -> bool:
    """Take the lock on an open file; False when somebody else has it."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def say(text: str) -> None:
    print(text, flush=True)


def step(words: list[str]) -> "subprocess.CompletedProcess[str]":
    """Run one step of the set-up quietly; its output is kept for when it fails."""
    return subprocess.run(
        words,
        cwd=ROOT,
        env=environment(),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        encoding="utf-8",
        errors="replace",
        close_fds=False,
        check=False,
    )


def is_network_missing(output: str) -> bool:
    """True where the output of a step says that nothing could be reached."""
    return any(sign in output.lower() for sign in SIGNS_OF_NO_NETWORK)


def refuse(what: str, output: str) -> SetUpError:
    """The error for a step that failed, with its output and what to try."""
    if is_network_missing(output):
        advice = (
            f"{what}: the packages listed in the lock files are missing and no package index "
            "could be reached. Connect to the network (or set pip to your mirror or proxy) "
            "and start again; nothing is lost."
        )
    elif "ensurepip" in output:
        advice = (
            f"{what}: this Python comes without its venv part. On Debian and Ubuntu "
            "`sudo apt install python3-venv` brings it; then start again."
        )
    else:
        advice = f"{what}. What it said is above; put that right and start again."
    return SetUpError("\n".join(part for part in (output.strip(), advice) if part))


PIP = ["-m", "pip", "--disable-pip-version-check", "--no-input", "-q"]


def install(words: list[str], quick: bool) -> bool:
    """Install by uv where it can be had, else by pip; True while uv serves."""
    python = in_venv("python")
    if quick:
        uv = [python, "-m", "uv", "-q", "pip", "install", "--python", python]
        done = step([*uv, "--compile-bytecode", *words])
        if done.returncode == 0:
            return True
        if is_network_missing(done.stdout):
            raise refuse("Installing the packages failed", done.stdout)
        say("  uv did not manage; going on with pip, which takes a few minutes.")
    done = step([python, *PIP, "install", "--retries", "2", *words])
    if done.returncode != 0:
        raise refuse("Installing the packages failed", done.stdout)
    return False


def get_uv() -> bool:
    """Put the quick installer into the environment; False when it cannot be had."""
    words = ["install", "--retries", "2", "--require-hashes", "-r", LOCK_OF_UV]
    done = step([in_venv("python"), *PIP, *words])
    if done.returncode == 0:
        return True
    if is_network_missing(done.stdout):
        raise refuse("Installing the packages failed", done.stdout)
    say("  uv cannot be had here; going on with pip, which takes a few minutes.")
    return False


def make_venv() -> None:
    """An empty environment; what a set-up that did not finish has left is cleared away."""
    if os.path.lexists(VENV):
        say("  .venv is unfinished, out of date or was moved: making it anew.")
        clear(VENV)
    done = step([base_python(), "-m", "venv", VENV])
    if done.returncode != 0:
        raise refuse("Making the environment in .venv failed", done.stdout)


def clear(folder: str) -> None:
    """Remove a folder, or the link or file that stands in its place."""
    if os.path.isdir(folder) and not os.path.islink(folder):
        shutil.rmtree(folder)
    else:
        os.remove(folder)


def set_up(part: str) -> None:
    """Make the environment hold ``part``: "run", or "test" for that and all checks.

    A sound environment is added to and serves all the while; any other is made anew. Nothing
    counts as done before the stamp is written, so that it may be stopped at any point.
    """
    what = {"run": "to run", "test": "to run and to check"}[part]
    say(f"Setting up in .venv what Panelwright needs {what} (a minute or less, once).")
    began = time.monotonic()
    if not is_sound(read_stamp()):
        make_venv()
    quick = get_uv()
    say("  Installing the packages.")
    quick = install(["--require-hashes", "-r", LOCKS[part]], quick)
    install(["--no-build-isolation", "--no-deps", "-e", "."], quick)
    write_stamp(part)
    say(f"Set up in {time.monotonic() - began:.0f} s.\n")


def ensure(part: str) -> None:
    """Set up unless that was done before; the usual start only reads the stamp."""
    if is_ready(part):
        return
    try:
        with alone():
            if not is_ready(part):
                set_up(part)
    except OSError as error:
        raise SetUpError(
            f"Setting up failed: {error}. Panelwright sets itself up in its own folder, which "
            "must be writable and have 1 GB free; put that right and start again."
        ) from error


# What the tests need of the system ----------------------------------------------------------


def has_program(*names: str) -> bool:
    """True where one of the programs can be started."""
    return any(shutil.which(name) for name in names)


#: Debian package -> whether what it brings is here, however it came.
OF_SYSTEM: "dict[str, Callable[[], bool]]" = {
    "chromium": lambda: has_program("chromium", "chromium-browser", "google-chrome"),
    "postgresql": lambda: bool(
        glob.glob("/usr/lib/postgresql/*/bin/initdb") or has_program("initdb")
    ),
    "libpangoft2-1.0-0": lambda: bool(ctypes.util.find_library("pangoft2-1.0")),
}


def lacking() -> list[str]:
    """Packages of the system that the tests need and that are not here."""
    return [package for package, is_here in OF_SYSTEM.items() if not is_here()]


def ensure_system() -> int:
    """Have a browser, a database server and pango for the tests; 1 where that cannot be."""
    packages = lacking()
    if not packages:
        return 0
    say(f"The tests need {', '.join(packages)} from the system.")
    if has_program("apt-get") and hasattr(os, "geteuid") and os.geteuid() == 0:
        say("  Installing it.")
        for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
            done = step(["apt-get", "-q", *words])
            if done.returncode != 0:
                say(done.stdout.strip())
        if not lacking():
            return 0
    say(f"Install it and start again:\n  sudo apt install {' '.join(lacking())}")
    return 1


# The checks --------------------------------------------------------------------------------

#: name -> (seconds it may take on two cores, words)
CHECKS = {
    "format": (10, ["ruff", "format", "--check", "."]),
    "lint": (10, ["ruff", "check", "."]),
    "types": (90, ["mypy"]),
    "imports": (20, ["lint-imports"]),
    "tests": (600, ["pytest", "-n", "auto"]),
    "docs": (90, ["sphinx-build", "-W", "--keep-going", "-E", "-q", "docs", "docs/_build"]),
}


def run_checks(names: list[str]) -> int:
    """Run the named checks, or all of them; 1 when any failed, 2 for an unknown name."""
    unknown = [name for name in names if name not in CHECKS]
    if unknown:
        say(f"No check is called {', '.join(unknown)}. There are: {', '.join(CHECKS)}.")
        return 2
    rows = []
    for name in names or CHECKS:
        budget, (program, *words) = CHECKS[name]
        say(f"== {name} (budget {budget} s)")
        began = time.monotonic()
        code = ensure_system() if name == "tests" else 0
        code = code or subprocess.call([in_venv(program), *words], cwd=ROOT, env=environment())
        rows.append((name, time.monotonic() - began, budget, code))
        say("")
    return report(rows)


def report(rows: list[tuple[str, float, int, int]]) -> int:
    """Print the table of (name, seconds, budget, exit code) and the verdict."""
    say(f"{'part':<10}{'seconds':>8}{'budget':>8}")
    for name, seconds, budget, code in rows:
        verdict = "passed" if code == 0 else f"FAILED (exit {code})"
        late = ", over its budget" if seconds > budget else ""
        say(f"{name:<10}{seconds:>8.1f}{budget:>8}  {verdict}{late}")
    failed = [name for name, _, _, code in rows if code != 0]
    parts = "1 part" if len(rows) == 1 else f"{len(rows)} parts"
    if failed:
        say(f"{len(failed)} of {parts} failed: {', '.join(failed)}.")
        return 1
    say(f"All {parts} passed." if len(rows) > 1 else f"{parts} passed.")
    return 0


# Starting ----------------------------------------------------------------------------------


def hand_over(words: list[str]) -> int:
    """Become the program with these words; where that cannot be, run it and pass its exit on."""
    python = in_venv("python")
    command = [python, "-m", "panelwright", *words]
    if CAN_BECOME:
        sys.stdout.flush()
        os.execve(python, command, environment())
    return subprocess.call(command, env=environment())


def open_workshop() -> int:
    """Say what else there is, then become the server of the workshop."""
    me = f"{'py' if os.name == 'nt' else 'python3'} {sys.argv[0]}"
    example = os.path.join(os.path.dirname(sys.argv[0]), EXAMPLE)
    say("Opening the workshop. To try on the command line:")
    say(f'  {me} predict "biax 300, 8 mm redcedar, 2 x twill 200" --process hand')
    say(f"  {me} predict {example} --full")
    say(f"  {me} --help\n")
    return hand_over(["serve"])


def main(words: list[str]) -> int:
    try:
        if words[:1] == ["test"]:
            ensure("test")
            return run_checks(words[1:])
        ensure("run")
        return hand_over(words) if words else open_workshop()
    except SetUpError as error:
        print(error, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("Stopped. Start again to go on.", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
