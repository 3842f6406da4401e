"""The command's door: quick to help, clear in error, silent about its insides."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = ("numpy", "scipy", "av", "django", "matplotlib", "rich", "sqlite3")


def nares(*words: str | Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "nares", *map(str, words)]
    return subprocess.run(command, capture_output=True, text=True, check=False, cwd=cwd)


def test_help_lists_the_commands_and_loads_nothing_heavy() -> None:
    program = (
        "import sys\n"
        "from nares.cli.main import main\n"
        "sys.argv = ['nares', '--help']\n"
        "try: main()\n"
        "except SystemExit as end: code = end.code\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules], code)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[] 0"
    assert "measure" in done.stdout


@pytest.mark.parametrize(
    "words",
    [
        ["measure", "absent.mp4"],
        ["decide", "absent.csv", "--dog", "Bracken"],
        ["programme", "check", "absent"],
    ],
)
def test_a_missing_file_is_one_sentence_and_exit_3(words: list[str], tmp_path: Path) -> None:
    done = nares(*words, cwd=tmp_path)
    assert done.returncode == 3, done.stderr
    assert "absent" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.stdout == ""


@pytest.mark.parametrize(
    ("region", "said"),
    [
        ("1,2,3", "is not four numbers"),
        ("0.9,0.1,0.5,0.1", "does not lie inside the picture"),
        ("a,b,c,d", "four"),
    ],
)
def test_a_wrong_region_is_named_and_exit_2(region: str, said: str, tmp_path: Path) -> None:
    done = nares("measure", "clip.mp4", "--front", region, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert "--front" in done.stderr


def test_an_unknown_command_is_exit_2() -> None:
    done = nares("fetch")
    assert done.returncode == 2
    assert "No such command 'fetch'" in done.stderr


def test_json_to_standard_output_is_nothing_but_json(tmp_path: Path) -> None:
    table = tmp_path / "reps.csv"
    table.write_text(
        "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,"
        "distance_m,disturbance,source,cues,paid\n"
        + "".join(
            f"Moss,m-1,2026-03-01T08:00:00Z,value-at-source,{rep},0.5,0.7,mark,1,inside,inside,0,0,target,target,1\n"
            for rep in range(1, 10)
        ),
        encoding="utf-8",
    )
    done = nares("decide", table, "--dog", "Moss", "--json", "-")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["schema"] == "decide/1"
    assert told["dog"] == "Moss"
