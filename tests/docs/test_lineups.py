"""The lines of docs/lineups.md that check a key, run by a Python with its standard library alone."""

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from tests.design.keys.test_keys import key
from tests.design.lineups.briefs import brief

from nares.design.keys import commitment_of, run_commitments_of

PAGE = (Path(__file__).resolve().parent.parent.parent / "docs" / "lineups.md").read_text(encoding="utf-8")
[LINES] = re.findall(r"```python\n(.*?)```", PAGE, re.DOTALL)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("checked")
    (made / "check.py").write_text(LINES, encoding="utf-8")
    sealed = key(brief(aids=("Čeněk 🜁", 'a "quoted" \\ name'), blank_runs=1 / 3))
    (made / "KEY.json").write_text(json.dumps(sealed, indent=1, ensure_ascii=False), encoding="utf-8")
    return made


def sealed_in(folder: Path) -> Any:
    return json.loads((folder / "KEY.json").read_text(encoding="utf-8"))


def run(folder: Path, *words: str) -> tuple[int, str]:
    """Isolated (-I) and without installed packages (-S): the standard library alone."""
    done = subprocess.run(
        [sys.executable, "-I", "-S", folder / "check.py", folder / "KEY.json", *words],
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.stderr == ""
    return done.returncode, done.stdout


def test_they_are_ten_lines() -> None:
    assert len([line for line in LINES.splitlines() if line]) <= 10


def test_they_say_yes_to_the_key_and_to_a_run(folder: Path) -> None:
    sealed = sealed_in(folder)
    assert run(folder, commitment_of(sealed)) == (0, "holds\n")
    assert run(folder, commitment_of(sealed).upper()) == (0, "holds\n")
    assert run(folder, run_commitments_of(sealed)[6], "7") == (0, "holds\n")


def test_they_say_no_to_another(folder: Path) -> None:
    sealed = sealed_in(folder)
    assert run(folder, "0" * 64) == (1, f"does not hold: {commitment_of(sealed)}\n")
    assert run(folder, run_commitments_of(sealed)[6], "8")[0] == 1


def test_every_option_the_page_shows_is_there() -> None:
    from nares.cli.lineup_check import check
    from nares.cli.lineup_new import new

    known = {name for parameter in (*new.params, *check.params) for name in parameter.opts}
    shown = set(re.findall(r"(?<![\w-])--[a-z][a-z-]+", PAGE))
    assert {"--out", "--seed", "--run"} <= shown <= known
