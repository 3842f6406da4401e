"""The rings hold, and a planted import across them is caught."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    program = (
        "import sys; sys.path.insert(0, 'src'); from importlinter.cli import lint_imports_command as c; c()"
    )
    command = [sys.executable, "-c", program, "--no-cache"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


@pytest.fixture
def house(tmp_path: Path) -> Path:
    """A copy of the code and its contracts, to plant faults in."""
    skip = shutil.ignore_patterns("__pycache__", "*.mp4", "static")
    shutil.copytree(ROOT / "src", tmp_path / "src", ignore=skip)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


def test_the_rings_hold(house: Path) -> None:
    answer = lint(house)
    assert answer.returncode == 0, answer.stdout


@pytest.mark.parametrize(
    ("folder", "planted"),
    [
        ("measure", "import nares.decide"),
        ("decide", "import nares.record"),
        ("measure", "import sqlite3"),
        ("decide", "import random"),
        ("care", "import nares.decide"),
        ("design", "import nares.decide"),
        ("design", "import secrets"),
        ("web", "import nares.design"),
        ("decide", "import typst"),
        ("base", "import nares.measure"),
        ("record", "import nares.app.desk"),
        ("record", "import nares.media"),
        ("web", "import nares.record"),
        ("cli", "import nares.web"),
        ("cli", "import nares.measure"),
        ("app", "import nares.cli"),
        ("decide", "import nares.care"),
        ("web", "import nares.care"),
    ],
)
def test_a_planted_import_across_the_rings_is_caught(house: Path, folder: str, planted: str) -> None:
    (house / "src" / "nares" / folder / "planted.py").write_text(f"{planted}\n")
    answer = lint(house)
    assert answer.returncode == 1
    assert "planted" in answer.stdout
