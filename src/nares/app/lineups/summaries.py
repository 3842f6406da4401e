"""One plain sentence for each kind of entry about line-ups. None tells what a sealed run holds."""

from collections.abc import Callable, Mapping
from typing import Any

Payload = Mapping[str, Any]


def _sealed(said: Payload) -> str:
    runs = len(said["run_commitments"])
    return f"Line-up {said['lineup']} for {said['dog']} is sealed: {runs} run{'' if runs == 1 else 's'}."


def _seat(said: Payload) -> str:
    return f"{said['person']} sits down as {said['role']} of {said['lineup']}."


def _seen(said: Payload) -> str:
    runs = ", ".join(map(str, said["runs"]))
    return f"{said['person']} is shown what lies where in run {runs} of {said['lineup']} ({said['how']})."


def _placed(said: Payload) -> str:
    return f"{_run(said)} is placed by {said['person']}."


def _begun(said: Payload) -> str:
    present = ", ".join(said["present"]) or "not stated"
    return f"{_run(said)} begins. Present: {present}."


def _called(said: Payload) -> str:
    what = "clear" if said["position"] is None else f"position {said['position']}"
    paper = ", typed from paper" if said.get("on_paper") else ""
    return f"{said['person']} calls {what} in run {said['run']} of {said['lineup']}{paper}."


def _observed(said: Payload) -> str:
    at = said["observed"]["alerted_at"]
    what = "no alert" if at is None else f"an alert at position {at}"
    return f"{said['person']} ({said['role']}) saw {what} in run {said['run']} of {said['lineup']}."


def _opened(said: Payload) -> str:
    targets = [str(one["position"]) for one in said["key"]["placed"] if one["holds"] == "target"]
    return f"{_run(said)} is opened: {'target at ' + ', '.join(targets) if targets else 'no target'}."


def _voided(said: Payload) -> str:
    return f"{_run(said)} is void, {'after' if said['was_open'] else 'before'} it was opened. {said['why']}"


def _closed(said: Payload) -> str:
    why = f" {said['why']}" if said.get("why") else ""
    return f"Line-up {said['lineup']} is closed and its whole key is opened.{why}"


def _run(said: Payload) -> str:
    return f"Run {said['run']} of {said['lineup']}"


LINEUP_SENTENCES: dict[str, Callable[[Payload], str]] = {
    "lineup_sealed": _sealed,
    "seat_taken": _seat,
    "key_seen": _seen,
    "run_placed": _placed,
    "run_begun": _begun,
    "call_made": _called,
    "run_observed": _observed,
    "run_opened": _opened,
    "run_voided": _voided,
    "key_opened": _closed,
}
