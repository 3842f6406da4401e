"""Payloads at the edge: a plain dict on the record, a dataclass in the program.

Conventions
-----------
Writing is strict: a kind or a payload that does not fit is refused. Reading is lenient: a kind, a schema or
a field nobody knows yet is kept and shown, and only not folded into tables, because a record may have been
written by a newer release.
"""

from collections.abc import Mapping
from dataclasses import is_dataclass
from typing import Any

import msgspec

from nares.base.errors import Refused
from nares.record.kinds import FIXED, KINDS, SCHEMAS
from nares.record.pointer import parts_of


def fitted(kind: str, payload: Any) -> dict[str, Any]:
    """A payload as it will be stored: checked, defaults written out, unknown fields kept.

    Args:
        kind: A name of `nares.record.kinds.KINDS`.
        payload: A mapping of plain JSON values, or an instance of the kind's dataclass.

    Raises:
        Refused: If the kind is unknown or the payload does not fit it.
    """
    if kind not in KINDS:
        known = ", ".join(sorted(KINDS))
        raise Refused(f"{kind!r} is no kind of entry. Use one of {known}.")
    given = msgspec.to_builtins(payload) if is_dataclass(payload) else _plain(payload)
    if not isinstance(given, Mapping):
        raise Refused(f"The payload of {kind} is not a mapping. Give its fields by name.")
    stated = _converted(kind, given)
    if stated.schema != SCHEMAS[kind]:
        raise Refused(f"{kind} has schema {stated.schema} here. This release writes schema {SCHEMAS[kind]}.")
    kept: dict[str, Any] = _kept(msgspec.to_builtins(stated), given)
    return kept


def understood(kind: str, payload: Mapping[str, Any]) -> Any | None:
    """The payload as its dataclass, or None for a kind, schema or shape this release does not know."""
    if kind not in KINDS or payload.get("schema") != SCHEMAS[kind]:
        return None
    try:
        return msgspec.convert(payload, KINDS[kind])
    except msgspec.ValidationError:
        return None


def completed(kind: str, payload: Mapping[str, Any]) -> Mapping[str, Any]:
    """A payload with the values its kind has gained since it was written, each as it is when not given."""
    known = KINDS[kind].__dataclass_fields__ if kind in KINDS else ()
    if all(name in payload for name in known):
        return payload
    stated = understood(kind, payload)
    gained = {} if stated is None else msgspec.to_builtins(stated)
    return {**{name: value for name, value in gained.items() if name not in payload}, **payload}


def require_amendable(kind: str, pointer: str) -> None:
    """Refuse to amend a value that other entries hold on to.

    Raises:
        Refused: Saying what to do instead.
    """
    parts = parts_of(pointer)
    if parts and parts[0] == "schema":
        raise Refused(f"The schema of a {kind} entry is not amended. Amend the values themselves.")
    for path, instead in FIXED.get(kind, {}).items():
        if path == "*" or _covers(path.split("/"), parts):
            raise Refused(f"{pointer} of this {kind} entry is not amended. {instead}")


def _covers(path: list[str], parts: tuple[str, ...]) -> bool:
    # Either may be the longer: replacing /reps/0 whole would replace /reps/0/rep with it.
    return all(wanted in ("*", part) for wanted, part in zip(path, parts, strict=False))


def _plain(payload: Any) -> Any:
    try:
        return msgspec.to_builtins(payload)
    except (TypeError, NotImplementedError) as fault:
        raise Refused(f"The record cannot hold this payload: {fault}. Give plain JSON values.") from None


def _converted(kind: str, given: Mapping[str, Any]) -> Any:
    try:
        return msgspec.convert(given, KINDS[kind])
    except msgspec.ValidationError as fault:
        raise Refused(f"This does not fit {kind}: {fault}. Correct that value.") from None


def _kept(stated: Any, given: Any) -> Any:
    """What the dataclass says, with the fields it does not know put back."""
    if isinstance(stated, Mapping) and isinstance(given, Mapping):
        known = {name: _kept(value, given.get(name)) for name, value in stated.items()}
        return {**{name: value for name, value in given.items() if name not in stated}, **known}
    if isinstance(stated, list | tuple) and isinstance(given, list | tuple):
        return [_kept(one, other) for one, other in zip(stated, given, strict=True)]
    return stated
