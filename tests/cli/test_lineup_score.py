"""``nares lineup score``: from a key the command drew, as words, as JSON, and what is refused."""

import json
from pathlib import Path

from tests.cli.conftest import Run


def drawn(nares: Run, folder: Path) -> tuple[Path, list[tuple[int, int | None]]]:
    """A key drawn by the command, and the right call of every run."""
    key = folder / "KEY.json"
    said = nares(
        *("lineup", "new", "--positions", 6, "--runs", 10, "--targets-per-run", "0-1", "--blank-runs", 0.3),
        *("--distractors", "tape,food", "--blinding", "double", "--seed", "0b" * 32),
        *("--out", key, "--sheet", folder / "SHEET.pdf"),
    )
    assert said.code == 0, said.err
    value = json.loads(key.read_text(encoding="utf-8"))
    right = []
    for run in value["runs"]:
        places = [one["position"] for one in run["placed"] if one["holds"] == "target"]
        right.append((run["run"], places[0] if places else None))
    return key, right


def calls(folder: Path, rows: list[tuple[int, int | None]]) -> Path:
    path = folder / "CALLS.csv"
    lines = ["run,position,called_by,called_at"]
    lines += [f"{run},{'' if place is None else place},Joss Pike,2026-11-27T10:00:00Z" for run, place in rows]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_right_calls_are_all_found(nares: Run, tmp_path: Path) -> None:
    key, right = drawn(nares, tmp_path)
    said = nares("lineup", "score", key, calls(tmp_path, right))
    targets = sum(place is not None for _, place in right)
    assert said.code == 0
    assert f"found {targets} of {targets} targets" in said.out


def test_the_answer_is_json_and_nothing_else(nares: Run, tmp_path: Path) -> None:
    key, right = drawn(nares, tmp_path)
    said = nares("lineup", "score", key, calls(tmp_path, right[:-1]), "--json", "-")
    answer = json.loads(said.out)
    assert (said.code, answer["schema"], answer["runs"]) == (0, "lineup-score/1", 10)
    assert [one["run"] for one in answer["score"]["not_run"]] == [10]
    assert answer["score"]["call"]["runs"]["runs"] == 9


def test_faults_are_named_by_line_and_nothing_is_scored(nares: Run, tmp_path: Path) -> None:
    key, right = drawn(nares, tmp_path)
    said = nares("lineup", "score", key, calls(tmp_path, [*right, (1, 2), (99, None), (2, 7)]))
    assert (said.code, said.out) == (3, "")
    assert "line 12: Run 1 is called twice" in said.err
    assert "line 13: The key has no run '99'" in said.err
    assert "line 14: Run 2 is called twice" in said.err
    assert nares("lineup", "score", calls(tmp_path, right), key).code == 3
