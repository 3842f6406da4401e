"""Whether a key follows from its own seed: a key made by hand does not, however random it looks."""

from collections.abc import Mapping
from typing import Any

from nares.base.errors import NaresError
from nares.base.findings import Finding
from nares.design.keys.commitment import canonical
from nares.design.keys.writing import brief_from, key_of
from nares.design.lineups.draw import draw_lineup

SAID_ELSEWHERE = frozenset({"nares", "schema"})


def key_findings(key: Mapping[str, Any]) -> tuple[Finding, ...]:
    """Draw the line-up of a key again from what it says was asked and its seed, and say what differs.

    Empty: the key is what chance made of that seed, and nobody chose a place. The version of the program that
    wrote it is set aside. That the seed itself was not tried until the draw pleased is not shown by this;
    only a seed agreed on or drawn in front of witnesses shows that.

    Args:
        key: As read by `read_key`.
    """
    try:
        brief, seed = brief_from(key), bytes.fromhex(key["seed"])
        again = key_of(key["lineup"], brief, draw_lineup(brief, seed), seed)
    except NaresError as fault:
        text = f"What it says was asked could not have been drawn: {fault}"
        return (Finding("not-drawn", "asked", text),)
    found = [
        Finding("not-from-seed", name, "It is not what the seed gives.")
        for name in sorted((again.keys() | key.keys()) - SAID_ELSEWHERE - {"runs"})
        if canonical(again.get(name)) != canonical(key.get(name))
    ]
    for place, (drawn, written) in enumerate(zip(again["runs"], key["runs"], strict=False), start=1):
        if canonical(drawn) != canonical(written):
            found.append(Finding("not-from-seed", f"run {place}", "It is not what the seed gives."))
    if len(again["runs"]) != len(key["runs"]):
        found.append(Finding("not-from-seed", "runs", "The seed gives another number of runs."))
    return tuple(found)
