"""A line-up drawn into files, without a record: the key, the sheets; and the check of a key.

The key file and the placer's sheets hold the key: they are written for their owner alone and over nothing.
"""

import os
import secrets
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from nares.app.answers import answer, json_text
from nares.app.files import read_text, write_bytes
from nares.app.lineups.asking import brief_of, seed_from
from nares.app.lineups.requests import DrawLineup
from nares.app.lineups.sheet_values import call_sheet_values, placing_sheet_values
from nares.base.errors import OutOfRange, Unusable, WrongUse
from nares.base.findings import Finding
from nares.design.chance import SEED_BYTES
from nares.design.keys import (
    commitment_of,
    faults_of_key,
    key_findings,
    key_of,
    read_json,
    run_commitment_of,
    run_commitments_of,
    runs_from,
)
from nares.design.lineups import draw_lineup


@dataclass(frozen=True, slots=True)
class Filed:
    """A line-up drawn into files: nothing here tells of the key."""

    lineup: str
    commitment: str
    run_commitments: tuple[str, ...]
    drawing: str
    rules: tuple[str, ...]
    findings: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check of a key file came to. ``follows`` None: it was not looked at, or could not be."""

    holds: bool
    commitment: str
    wanted: str
    run: int | None
    follows: bool | None
    findings: tuple[str, ...]


def draw_into_files(
    asked: DrawLineup,
    *,
    key_to: Path,
    day: date,
    sheet_to: Path | None = None,
    placing_to: Path | None = None,
    paper: str = "a4",
) -> Filed:
    """Draw a line-up, write its key and the sheets asked for, and give the commitment.

    Args:
        asked: What is drawn; its ``seed`` None: fresh chance.
        key_to: Where the key goes: a file that is not there yet, readable by its owner alone.
        day: The date of the sheets.
        sheet_to: The sheet for calls, without the key.
        placing_to: The placer's sheets, which hold the key.
        paper: ``a4`` or ``letter``.

    Raises:
        OutOfRange: If the wishes do not go together, or the seed is no 32 bytes.
        Unusable: If the plan or the names are at fault, or a file cannot be written or is there already.
        WrongUse: If two of the files are the same.
    """
    _refuse_places(key_to, placing_to, sheet_to)
    brief = brief_of(asked)
    seed = secrets.token_bytes(SEED_BYTES) if asked.seed is None else seed_from(asked.seed)
    drawn = draw_lineup(brief, seed)
    name = asked.lineup or asked.dog or "line-up"
    key = key_of(name, brief, drawn, seed)
    commitment, of_runs = commitment_of(key), run_commitments_of(key)
    said: dict[str, Any] = {"day": day.isoformat(), "dog": asked.dog, "set_time_min": asked.set_time_min}
    sheet = placing = None
    if sheet_to is not None or placing_to is not None:
        from nares.report.lineup_sheets import call_sheet_pdf, placing_sheet_pdf

        values = call_sheet_values(
            name, brief.area, brief.runs, commitment, of_runs, people=asked.people, **said
        )
        sheet = call_sheet_pdf(values, paper) if sheet_to else None
        for_placer = placing_sheet_values(name, brief.area, drawn.runs, commitment, **said)
        placing = placing_sheet_pdf(for_placer, paper) if placing_to else None
    write_secret(key_to, json_text(key).encode())
    notes = [f"Key written to {key_to}. Whoever reads it knows what lies where."]
    if placing_to is not None and placing is not None:
        write_secret(placing_to, placing)
        notes.append(f"Placer's sheets written to {placing_to}. They hold the key.")
    if sheet_to is not None and sheet is not None:
        write_bytes(sheet_to, sheet)
        notes.append(f"Call sheet written to {sheet_to}. It holds nothing of the key.")
    if asked.seed is not None:
        notes.append("Drawn from a seed that was handed in: whoever knows the seed can work out the key.")
    return Filed(
        name,
        commitment,
        of_runs,
        drawn.drawing,
        drawn.rules,
        tuple(finding.text for finding in drawn.findings),
        tuple(notes),
    )


def check_file(path: Path, commitment: str, *, run: int | None = None, follow: bool = True) -> Checked:
    """Whether the key in a file, or one run of it, gives a commitment; and whether it follows from its seed.

    Args:
        path: The key file.
        commitment: SHA-256 in hex, as it was given out.
        run: Compare this run's own commitment; None: the whole key's.
        follow: Draw the line-up again from the seed.

    Raises:
        Unusable: If the file is no JSON, or spelled so that two readers take different things from it.
        OutOfRange: If there is no such run.
    """
    key = read_json(read_text(path))
    faults = list(faults_of_key(key))
    if run is not None and faults:
        raise Unusable(f"{path.name} is no key of a line-up, so its runs cannot be told apart: {faults[0]}")
    found = commitment_of(key) if run is None else run_commitment_of(_run_of(key, run))
    wanted = commitment.strip().lower()
    findings = [Finding("no-key", "key", f"It is no key of a line-up. {fault}") for fault in faults]
    follows = None
    if follow and not faults:
        findings += (other := list(key_findings(key)))
        follows = not other
    return Checked(found == wanted, found, wanted, run, follows, tuple(map(str, findings)))


def checked_answer(checked: Checked) -> dict[str, Any]:
    """Lay a check out as ``lineup-check/1``."""
    return answer(
        "lineup-check/1",
        {
            "holds": checked.holds,
            "commitment": checked.wanted,
            "found": checked.commitment,
            "run": checked.run,
            "follows_from_seed": checked.follows,
            "findings": list(checked.findings),
        },
    )


def filed_answer(filed: Filed) -> dict[str, Any]:
    """Lay a line-up drawn into files out as ``lineup-new/1``; nothing of the key is in it."""
    return answer(
        "lineup-new/1",
        {
            "lineup": filed.lineup,
            "commitment": filed.commitment,
            "run_commitments": list(filed.run_commitments),
            "drawing": filed.drawing,
            "rules": list(filed.rules),
            "findings": list(filed.findings),
        },
    )


def write_secret(to: Path, held: bytes) -> None:
    """Write a file that only its owner may read, over nothing, whole or not at all.

    Raises:
        Unusable: If something is there already, or it cannot be written.
    """
    try:
        handle = os.open(to, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        raise Unusable(f"{to} is there already and is not written over. Give another name.") from None
    except OSError as fault:
        raise Unusable(f"{to} cannot be written: {fault.strerror}. Check the folder.") from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(held)
            file.flush()
            os.fsync(file.fileno())
    except OSError as fault:
        with suppress(OSError):
            to.unlink(missing_ok=True)
        raise Unusable(f"{to} cannot be written: {fault.strerror}. Nothing was kept.") from None


def _refuse_places(key_to: Path, placing_to: Path | None, sheet_to: Path | None) -> None:
    places = [place.absolute() for place in (key_to, placing_to, sheet_to) if place is not None]
    if len(set(places)) != len(places):
        raise WrongUse("Two of these files have the same name. Give each its own.")
    # Asked before anything is written: no sheets without their key, nor a key whose sheets are missing.
    for place in (key_to, placing_to):
        if place is not None and (place.exists() or place.is_symlink()):
            raise Unusable(f"{place} is there already and is not written over. Give another name.")


def _run_of(key: Mapping[str, Any], run: int) -> Any:
    runs = runs_from(key)
    if not 1 <= run <= len(runs):
        raise OutOfRange(f"There is no run {run} in this key. It has runs 1 to {len(runs)}.")
    return runs[run - 1]
