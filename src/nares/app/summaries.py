"""One plain sentence for an entry of each kind."""

from collections.abc import Callable, Mapping
from typing import Any

from nares.app.lineups.summaries import LINEUP_SENTENCES

Payload = Mapping[str, Any]


def summary_of(kind: str, payload: Payload) -> str:
    """Say an entry in a sentence; an unknown kind is said to be one."""
    say = SENTENCES.get(kind)
    if say is None:
        return f"An entry of a kind this release does not know: {kind}."
    return say(payload)


def _founded(said: Payload) -> str:
    return f"{said['kennel']} begins its record at {said['site']}."


def _dog(said: Payload) -> str:
    return f"{said['dog']}, {said['breed']}, joins and works through the programme {said['programme']}."


def _programme(said: Payload) -> str:
    return f"The programme {said['name']} is kept as it was used."


def _session(said: Payload) -> str:
    return f"{said['dog']} worked at {said['step']}: session {said['session']}."


def _recording(said: Payload) -> str:
    return f"The recording {said['name']} of {said['session']} is kept, {said['duration_s']:.0f} s."


def _reading(said: Payload) -> str:
    reps, marks = len(said["reading"].get("reps", ())), len(said["reading"].get("marks", ()))
    return f"The machine read {reps} reps and {marks} marks in the recording of {said['session']}."


def _corrected(said: Payload) -> str:
    edits = len(said["edits"])
    changes = f"{edits} change{'' if edits == 1 else 's'}"
    if said["sheet"] == "own":
        return f"{said['whose']} marked {said['session']} from an empty sheet: {changes}."
    return f"The events read in {said['session']} were corrected: {changes}."


def _confirmed(said: Payload) -> str:
    reps = [row["rep"] for row in said["reps"]]
    numbers = ", ".join(map(str, reps))
    return f"{'Rep' if len(reps) == 1 else 'Reps'} {numbers} of {said['session']} confirmed."


def _sheet(said: Payload) -> str:
    reps, sessions = sum(map(len, said["lines"].values())), len(said["lines"])
    of = f"{reps} rep{'' if reps == 1 else 's'} of {sessions} session{'' if sessions == 1 else 's'}"
    return f"{of} come from the spreadsheet {said['name']}; they were not measured here."


def _aside(said: Payload) -> str:
    return f"Rep {said['rep']} of {said['session']} set aside: {said['why']}"


def _amended(said: Payload) -> str:
    return f"Entry {said['entry']}, {said['field']}: {said['old']!r} becomes {said['new']!r}. {said['why']}"


def _called(said: Payload) -> str:
    found = said["evidence"]
    of = f" on {found['met']} of {found['reps']} met" if found.get("reps") else ""
    return f"{said['dog']} at {said['step']}: {said['call']}{of}. Next {said['next_step']}."


def _overruled(said: Payload) -> str:
    then = f", next {said['next_step']}" if said.get("next_step") else ""
    return f"{said['dog']} at {said['step']}: a person decides {said['call']}{then}. {said['why']}"


def _withdrawn(said: Payload) -> str:
    return f"{said['dog']}: the overruling of entry {said['overruling']} is taken back. {said['why']}"


def _signs(said: Payload) -> str:
    where = f" in {said['session']}" if said.get("session") else ""
    seen = ", ".join(said["signs"]).replace("_", " ")
    return f"{said['dog']} showed signs of level {said['level']}{where}: {seen}."


def _cleared(said: Payload) -> str:
    entries = ", ".join(map(str, said["signs"]))
    by = "A vet saw" if said.get("vet") else "A person looked into"
    return f"{by} the signs of {said['dog']} (entry {entries}). {said['why']}"


def _ration(said: Payload) -> str:
    per = f"{said['reward_g']:g} g a reward" if said["reward_g"] is not None else "rewards not weighed"
    rewards, grams = said["rewards"], said["ration_g"]
    day = f"{grams:g} g, {said['bowl_g']:g} g of it from the bowl" if grams is not None else "not weighed"
    apart = "" if rewards is None else f", {rewards} rewards set apart"
    return f"{said['dog']} is fed on {said['day']}: {day}; {per}{apart}."


def _planned(said: Payload) -> str:
    count = len(said["reps"])
    reps = f"{count} rep{'' if count == 1 else 's'}"
    return f"{said['dog']} at {said['step']}: a session card of {reps} is taken."


def _cue(said: Payload) -> str:
    about = f": {said['about']}" if said.get("about") else ""
    return f"The cue {said['cue']} is named{about}."


def _clock(said: Payload) -> str:
    return f"The clock was ahead ({said['was']}) and was set back. {said['why']}"


SENTENCES: dict[str, Callable[[Payload], str]] = {
    "kennel_founded": _founded,
    "dog_added": _dog,
    "programme_kept": _programme,
    "session_run": _session,
    "recording_kept": _recording,
    "reading_made": _reading,
    "events_corrected": _corrected,
    "reps_confirmed": _confirmed,
    "rep_set_aside": _aside,
    "sheet_imported": _sheet,
    "amended": _amended,
    "step_called": _called,
    "call_overruled": _overruled,
    "ration_set": _ration,
    "session_planned": _planned,
    "overruling_withdrawn": _withdrawn,
    "signs_seen": _signs,
    "signs_cleared": _cleared,
    **LINEUP_SENTENCES,
    "cue_named": _cue,
    "clock_set": _clock,
}
"""One sentence a kind; a test holds this table equal to the kinds that can be written."""
