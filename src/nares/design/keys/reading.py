"""A key file, read with every fault named, so that what is opened later is what was written.

JSON lets one value be spelled in several ways, and two readers of one text take different things from it.
Here a name that comes twice and a number spelled otherwise than RFC 8785 spells it are faults: a key that
can be read means one thing.
"""

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any, TypeAlias, get_args

from nares.base.errors import Unusable
from nares.base.findings import Finding, refuse_if_any
from nares.base.lineups import Blinding, Control, Drawing, Holds, Shape
from nares.design.keys.commitment import canonical
from nares.design.keys.writing import SCHEMA

_HEX = re.compile(r"[0-9a-f]{64}")
_LARGEST = 2**53 - 1
NEEDS_ITEM = frozenset({"target", "distractor", "control"})

_Members: TypeAlias = Mapping[str, type | tuple[type, ...]]

_KEY: _Members = {
    "nares": str,
    "schema": str,
    "lineup": str,
    "nonce": str,
    "seed": str,
    "asked": dict,
    "drawing": str,
    "rules": list,
    "tries": int,
    "runs": list,
}
_ASKED: _Members = {
    "area": dict,
    "runs": int,
    "targets_low": int,
    "targets_high": int,
    "blank_runs": (int, float, type(None)),
    "aids": list,
    "distractors": list,
    "controls": list,
    "blinding": str,
    "rules": (list, type(None)),
    "warm": list,
    "along": (int, type(None)),
    "fresh": bool,
    "set_time_min": (int, float, type(None)),
}
_AREA: _Members = {
    "place": str,
    "shape": str,
    "width_m": (int, float),
    "depth_m": (int, float),
    "keeps_odour": bool,
    "spots": list,
}
_SPOT: _Members = {"position": int, "name": str, "x_m": (int, float), "y_m": (int, float)}
_SMELL: _Members = {"smell": str, "novel": (bool, type(None))}
_RUN: _Members = {"run": int, "nonce": str, "placing": list, "placed": list}
_PLACED: _Members = {"position": int, "holds": str, "item": str, "container": str}
_SAID = {
    str: "text",
    int: "a whole number",
    float: "a number",
    bool: "true or false",
    list: "a list",
    dict: "an object",
}


def read_key(text: str) -> dict[str, Any]:
    """Read the text of a key file.

    Raises:
        Unusable: If it is not JSON, or not a key: every fault found is named with its place.
    """
    value = read_json(text)
    refuse_if_any(faults_of_key(value), what="This key")
    return value


def read_json(text: str) -> dict[str, Any]:
    """Read a JSON object that means one thing, whatever it holds.

    Raises:
        Unusable: If it is no JSON object, a name comes twice, or a number is spelled otherwise than RFC 8785
            spells it.
    """
    spelled: list[str] = []
    try:
        value = json.loads(
            text,
            object_pairs_hook=lambda pairs: _object(pairs, spelled),
            parse_int=lambda digits: _number(digits, spelled),
            parse_float=lambda digits: _number(digits, spelled),
            parse_constant=lambda word: spelled.append(f"{word} is no number in JSON"),
        )
    except (ValueError, RecursionError) as fault:
        raise Unusable(f"This key is no JSON: {fault}. Take the file as nares wrote it.") from None
    refuse_if_any((Finding("spelling", "text", f"{said}.") for said in spelled), what="This key")
    if not isinstance(value, dict):
        raise Unusable("This key holds no object. Take the file as nares wrote it.")
    canonical(value)  # a lone half of a character has no bytes
    return value


def _object(pairs: list[tuple[str, Any]], spelled: list[str]) -> dict[str, Any]:
    names = [name for name, _ in pairs]
    for name in sorted({name for name in names if names.count(name) > 1}):
        spelled.append(f"the name {name!r} comes twice in one object; it must come once")
    return dict(pairs)


def _number(digits: str, spelled: list[str]) -> float | int:
    value = float(digits)
    if abs(value) > _LARGEST:
        spelled.append(f"the number {digits} is too large; nothing in a key is")
        return 0
    canonically = canonical(int(value) if value == int(value) else value).decode()
    if canonically != digits:
        spelled.append(f"the number {digits} is spelled {canonically} in a key")
    return int(canonically) if canonically.lstrip("-").isdigit() else value


def faults_of_key(key: dict[str, Any]) -> Iterator[Finding]:
    """What keeps an object from being the key of a line-up, each fault with its place; nothing: it is one."""
    yield from (faults := list(_members(key, _KEY, "key")))
    if faults:
        return
    if key["schema"] != SCHEMA:
        yield Finding("schema", "key", f"Its schema is {key['schema']!r}; this program reads {SCHEMA!r}.")
    for name in ("nonce", "seed"):
        yield from _hex(key[name], name, "key")
    yield from _one_of(key["drawing"], Drawing, "drawing", "key")
    yield from _texts(key["rules"], "rules")
    yield from (faults := list(_of_asked(key["asked"])))
    if not faults:
        positions = len(key["asked"]["area"]["spots"])
        for place, run in enumerate(key["runs"], start=1):
            yield from _of_run(run, place, positions)
        nonces = [run["nonce"] for run in key["runs"] if isinstance(run, dict) and "nonce" in run]
        if len(set(map(str, nonces))) != len(nonces):
            yield Finding("nonce-twice", "runs", "Two runs have the same nonce; each must have its own.")
        if len(key["runs"]) != key["asked"]["runs"]:
            text = f"{len(key['runs'])} runs are there and {key['asked']['runs']} were asked for."
            yield Finding("runs-missing", "runs", text)


def _of_asked(asked: dict[str, Any]) -> Iterator[Finding]:
    yield from (faults := list(_members(asked, _ASKED, "asked")))
    if faults:
        return
    yield from _one_of(asked["blinding"], Blinding, "blinding", "asked")
    yield from _texts(asked["aids"], "aids")
    yield from _texts(asked["rules"] or [], "asked rules")
    yield from _whole(asked["warm"], "warm")
    for control in asked["controls"]:
        yield from _one_of(control, Control, "control", "asked")
    yield from _each(asked["distractors"], _SMELL, "distractor")
    area = asked["area"]
    yield from (faults := list(_members(area, _AREA, "area")))
    if not faults:
        yield from _one_of(area["shape"], Shape, "shape", "area")
        yield from _each(area["spots"], _SPOT, "spot")


def _of_run(run: Any, place: int, positions: int) -> Iterator[Finding]:
    where = f"run {place}"
    if not isinstance(run, dict):
        yield Finding("member", where, "It is no object.")
        return
    faults = [*_members(run, _RUN, where)]
    faults += [] if faults else [*_each(run["placed"], _PLACED, f"{where} position")]
    yield from faults
    if faults:
        return
    if run["run"] != place:
        yield Finding("run-number", where, f"It says it is run {run['run']}; runs count from 1, in order.")
    yield from _hex(run["nonce"], "nonce", where)
    every = list(range(1, positions + 1))
    if [one["position"] for one in run["placed"]] != every:
        yield Finding(
            "positions", where, f"It does not say of positions 1 to {positions} what each holds, in order."
        )
    yield from (faults := list(_whole(run["placing"], f"{where} placing")))
    if not faults and sorted(run["placing"]) != every:
        yield Finding(
            "placing", where, f"The order of placing does not name positions 1 to {positions} once each."
        )
    for one in run["placed"]:
        yield from _one_of(one["holds"], Holds, "holds", where)
        if (one["item"] != "") != (one["holds"] in NEEDS_ITEM):
            text = f"Position {one['position']} holds {one['holds']!r} and names {one['item']!r}."
            yield Finding("item", where, text)


def _members(value: dict[str, Any], members: _Members, where: str) -> Iterator[Finding]:
    for name in sorted(members.keys() - value.keys()):
        yield Finding("member", where, f"{name!r} is missing.")
    for name in sorted(value.keys() - members.keys()):
        yield Finding("member", where, f"{name!r} does not belong here.")
    for name, kind in members.items():
        kinds = kind if isinstance(kind, tuple) else (kind,)
        if name in value and type(value[name]) not in kinds:
            said = " or ".join(_SAID.get(one, "null") for one in kinds)
            yield Finding("member", where, f"{name!r} must be {said}.")


def _each(values: list[Any], members: _Members, where: str) -> Iterator[Finding]:
    for place, value in enumerate(values, start=1):
        if isinstance(value, dict):
            yield from _members(value, members, f"{where} {place}")
        else:
            yield Finding("member", f"{where} {place}", "It is no object.")


def _one_of(value: Any, known: Any, name: str, where: str) -> Iterator[Finding]:
    if value not in get_args(known):
        text = f"{name} is {value!r}; it is one of: {', '.join(get_args(known))}."
        yield Finding("word", where, text)


def _texts(values: list[Any], where: str) -> Iterator[Finding]:
    if not all(isinstance(value, str) for value in values):
        yield Finding("member", where, "Each of them must be text.")


def _whole(values: list[Any], where: str) -> Iterator[Finding]:
    if not all(type(value) is int for value in values):
        yield Finding("member", where, "Each of them must be a whole number.")


def _hex(value: str, name: str, where: str) -> Iterator[Finding]:
    if not _HEX.fullmatch(value):
        yield Finding("hex", where, f"{name} is not 32 bytes in hex (64 of 0-9 and a-f).")
