"""Imports run one way only: the contracts of pyproject.toml hold, and they can fail."""

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

CHECK = (
    "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"
)


def lint(folder: Path) -> tuple[int, str]:
    """Exit code and output of the import linter on a folder that holds pyproject.toml and src."""
    done = subprocess.run(
        [sys.executable, "-c", CHECK],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(folder / "src")},
        capture_output=True,
        text=True,
        check=False,
    )
    return done.returncode, done.stdout + done.stderr


@pytest.fixture
def copy(root: Path, tmp_path: Path) -> Path:
    """A copy of the package that a test may spoil."""
    shutil.copy(root / "pyproject.toml", tmp_path)
    ignored = shutil.ignore_patterns("__pycache__", "data")
    shutil.copytree(root / "src", tmp_path / "src", ignore=ignored)
    return tmp_path


def test_the_contracts_are_kept(root: Path) -> None:
    code, said = lint(root)
    assert code == 0, said
    assert "0 broken" in said


@pytest.mark.parametrize(
    ("module", "wrong", "contract"),
    [
        ("errors.py", "import panelwright.units", "Imports run one way only"),
        ("units.py", "import panelwright.provenance", "Imports run one way only"),
        ("mechanics/__init__.py", "import panelwright.units", "Imports run one way only"),
        ("provenance.py", "import pint", "Only units knows pint"),
        ("jobs/__init__.py", "import sqlalchemy", "Only the shelf knows the database"),
        ("cli/__init__.py", "import panelwright.mechanics", "A face asks a job, never a formula"),
    ],
)
def test_a_wrong_import_breaks_its_contract(
    copy: Path, module: str, wrong: str, contract: str
) -> None:
    spoilt = copy / "src" / "panelwright" / module
    spoilt.write_text(spoilt.read_text(encoding="utf-8") + f"\n\n{wrong}\n", encoding="utf-8")
    code, said = lint(copy)
    assert code == 1, said
    assert f"{contract} BROKEN" in " ".join(said.split())


def test_a_module_without_a_place_in_the_order_is_refused(copy: Path) -> None:
    (copy / "src" / "panelwright" / "utils.py").write_text('"""No such thing."""\n')
    code, said = lint(copy)
    assert code == 1
    assert "utils" in said


def test_every_face_that_exists_is_held_off_the_formulas(root: Path) -> None:
    contracts = tomllib.loads((root / "pyproject.toml").read_text())["tool"]["importlinter"]
    [held] = [c["source_modules"] for c in contracts["contracts"] if "never a formula" in c["name"]]
    faces = {f"panelwright.{face}" for face in ("cli", "web")}
    there = {face for face in faces if (root / "src" / face.replace(".", "/")).is_dir()}
    assert there
    assert there <= set(held)
