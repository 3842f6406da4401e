"""A key and a table of calls, scored: what is told and what is refused."""

import json
from pathlib import Path

import pytest
from tests.app.lineup_keys import perfect_calls, written_key

from nares.app.lineups.scoring import score_answer, score_files, score_text
from nares.base.errors import Unusable
from nares.design.keys import commitment_of, read_key


def test_perfect_calls_find_every_target(tmp_path: Path) -> None:
    key, runs = written_key(tmp_path)
    calls = tmp_path / "CALLS.csv"
    calls.write_text(perfect_calls(runs), encoding="utf-8")
    found = score_files(key, calls)
    assert found.score.call is not None
    targets = sum(bool(run.targets) for run in runs)
    assert 0 < targets < len(runs)
    assert (found.score.call.runs.found.k, found.score.call.runs.found.n) == (targets, targets)
    assert found.score.call.runs.blank_clear.k == len(runs) - targets
    assert found.score.call.places.false_alert.k == 0
    assert found.score.call.sensitivity.d_prime is None  # no fault of either kind: a bound, no number
    assert found.commitment == commitment_of(read_key(key.read_text(encoding="utf-8")))
    novel = {one.smell: one.novel for one in found.score.call.smells.lines if one.holds == "distractor"}
    assert novel == {"tape": False, "food": True}


def test_a_run_without_a_call_is_not_run_and_no_miss(tmp_path: Path) -> None:
    key, runs = written_key(tmp_path)
    target = next(run.run for run in runs if run.targets)
    kept = [line for line in perfect_calls(runs).splitlines() if not line.startswith(f"{target},")]
    calls = tmp_path / "CALLS.csv"
    calls.write_text("\n".join(kept), encoding="utf-8")
    found = score_files(key, calls)
    assert [one.run for one in found.score.not_run] == [target]
    assert found.score.call is not None
    assert found.score.call.runs.found.n == sum(bool(run.targets) for run in runs) - 1
    assert "Left out, not counted as missed" in score_text(found)


def test_the_answer_is_the_contracts_and_survives_json(tmp_path: Path) -> None:
    key, runs = written_key(tmp_path)
    calls = tmp_path / "CALLS.csv"
    calls.write_text("\ufeff" + perfect_calls(runs, ";"), encoding="utf-8")
    answer = score_answer(score_files(key, calls))
    assert answer["schema"] == "lineup-score/1"
    assert (answer["lineup"], answer["runs"], answer["not_opened"]) == ("Teasel-1", 12, 0)
    assert len(answer["notes"]) == 2
    assert json.loads(json.dumps(answer, allow_nan=False))["score"]["alert"] is None


def test_faults_of_the_table_come_all_at_once(tmp_path: Path) -> None:
    key, _ = written_key(tmp_path)
    calls = tmp_path / "CALLS.csv"
    calls.write_text("run,position\n1,9\n40,1\n", encoding="utf-8")
    with pytest.raises(
        Unusable, match=r"(?s)line 2: Run 1 has no position '9'.*line 3: The key has no run '40'"
    ):
        score_files(key, calls)
    with pytest.raises(Unusable, match="There is no file"):
        score_files(key, tmp_path / "none.csv")


def test_the_words_hold_count_and_interval(tmp_path: Path) -> None:
    key, runs = written_key(tmp_path)
    calls = tmp_path / "CALLS.csv"
    calls.write_text(perfect_calls(runs), encoding="utf-8")
    said = score_text(score_files(key, calls))
    targets = sum(bool(run.targets) for run in runs)
    assert f"found {targets} of {targets} targets" in said
    assert f"{targets} of {targets}, 100% (" in said
    assert "One line-up only" in said
    assert "has no best value" in said
