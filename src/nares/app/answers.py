"""The JSON answers other programs rely on: each an object with the version and its schema's name."""

import json
from dataclasses import asdict
from pathlib import Path
from typing import Any

from nares import __version__
from nares.app.files import write_text
from nares.base.vocab import Reading

UNSTATED = frozenset({"start_within_s", "end_within_s", "within_s"})
"""Left out of an answer where they are None: thousands of intakes have no interval of their own."""

SEVERAL = frozenset({"parts", "beside"})
"""Said of a recording only where there is more than one file."""


def answer(schema: str, body: dict[str, Any]) -> dict[str, Any]:
    """Put the version and the schema's name before the body."""
    return {"nares": __version__, "schema": schema, **body}


def reading_answer(reading: Reading) -> dict[str, Any]:
    """Lay a reading out as ``measure/1``."""
    return answer("measure/1", reading_body(reading))


def reading_body(reading: Reading) -> dict[str, Any]:
    """A reading as plain values: times rounded, intervals left out where none is stated."""
    body: dict[str, Any] = _stated(rounded(asdict(reading)))
    facts = body["recording"]
    body["recording"] = {key: value for key, value in facts.items() if value or key not in SEVERAL}
    return body


def _stated(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _stated(one) for key, one in value.items() if one is not None or key not in UNSTATED}
    return [_stated(inner) for inner in value] if isinstance(value, list) else value


def rounded(value: Any) -> Any:
    """Round seconds and certainties to a tenth of a millisecond: finer is not measured."""
    if isinstance(value, float):
        return round(value, 4)
    if isinstance(value, dict):
        return {key: rounded(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(inner) for inner in value]
    return value


def json_text(value: Any) -> str:
    """Write a JSON answer for people and programs: indented, UTF-8, no NaN."""
    return json.dumps(value, ensure_ascii=False, indent=1, allow_nan=False) + "\n"


def write_answer(value: dict[str, Any], to: Path) -> None:
    """Write a JSON answer to a file, whole or not at all.

    Raises:
        Unusable: If it cannot be written.
        Refused: If a record lies at that place.
    """
    write_text(to, json_text(value))
