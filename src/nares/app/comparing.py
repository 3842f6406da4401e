"""Two readings of one recording, from their JSON files: what ``nares agreement`` compares."""

from dataclasses import asdict
from pathlib import Path
from typing import Any

import msgspec

from nares.app.agreement_page import Agreement, held_reps
from nares.app.answers import answer, rounded
from nares.app.files import read_text
from nares.app.sessions import CONFIDENCE
from nares.base.errors import Unusable
from nares.base.vocab import Reading
from nares.measure.agreement.compare import compare
from nares.measure.agreement.sheets import Sheet, TwoSheets, sheet_of

NOT_HEARD = ("not measurable: breath", "not measurable: there is no sound")


def compare_files(first: Path, second: Path) -> Agreement:
    """Compare two ``measure/1`` files of one recording.

    Raises:
        Unusable: If a file cannot be read, is none of ours, or is of another recording.
    """
    one, other = reading_in(first), reading_in(second)
    digests = one.recording.sha256, other.recording.sha256
    if digests[0] != digests[1]:
        raise Unusable(
            f"{first.name} is of another recording than {second.name} ({digests[0][:12]} and "
            f"{digests[1][:12]}). Compare two readings of the same recording."
        )
    names = (first.name, second.name) if first.name != second.name else (str(first), str(second))
    duration_s = min(one.recording.duration_s, other.recording.duration_s)
    both = TwoSheets(names[0], _sheet(names[0], one), _sheet(names[1], other), duration_s)
    return compare([both], confidence=CONFIDENCE)


def reading_in(path: Path) -> Reading:
    """The reading in a ``measure/1`` file.

    Raises:
        Unusable: If it cannot be read, or is something else.
    """
    try:
        said = msgspec.json.decode(read_text(path))
    except msgspec.DecodeError as fault:
        raise Unusable(f"{path.name} is not JSON: {fault}. Make it with nares measure --json.") from None
    schema = said.get("schema") if isinstance(said, dict) else None
    if schema != "measure/1":
        what = f"holds {schema}" if schema else "names no schema"
        raise Unusable(f"{path.name} {what}, not measure/1. Make it with nares measure --json.")
    try:
        return msgspec.convert(said, Reading)
    except msgspec.ValidationError as fault:
        raise Unusable(f"{path.name} does not hold a whole reading: {fault}. Make it again.") from None


def agreement_answer(found: Agreement) -> dict[str, Any]:
    """Lay an agreement out as ``agreement/1``."""
    return answer("agreement/1", {**rounded(asdict(found)), "confidence": CONFIDENCE})


def _sheet(name: str, reading: Reading) -> Sheet:
    """What a file says. An empty lane is an answer only where the file shows that it was looked for."""
    notes = [*reading.recording.notes, *(note for rep in reading.reps for note in rep.notes)]
    heard = not any(note.startswith(NOT_HEARD) for note in notes)
    return sheet_of(
        name,
        reading.marks,
        reading.inhales if heard else None,
        reading.nose_in if reading.nose_in or _watched("front", notes, reading) else None,
        reading.hand_in if reading.hand_in or _watched("side", notes, reading) else None,
        held_reps(reading.reps),
    )


def _watched(opening: str, notes: list[str], reading: Reading) -> bool:
    """Whether an opening was watched: reps say so when it was not, and without pictures none was."""
    said = any(f"{opening} opening was not watched" in note for note in notes)
    return "video" in reading.recording.streams and bool(reading.reps) and not said
