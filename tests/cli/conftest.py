"""The command line without a new process: words in, exit code and both outputs back."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from nares.cli.main import main


@dataclass(frozen=True, slots=True)
class Said:
    """What a command said and how it ended."""

    code: int
    out: str
    err: str


Run = Callable[..., Said]


@pytest.fixture
def nares(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> Run:
    """Run ``nares`` with these words on a data folder of the test's own."""
    monkeypatch.setenv("NARES_DATA", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)

    def run(*words: str | Path | int) -> Said:
        monkeypatch.setattr("sys.argv", ["nares", *map(str, words)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as end:
            main()
        said = capsys.readouterr()
        assert isinstance(end.value.code, int)
        return Said(end.value.code, said.out, said.err)

    return run
