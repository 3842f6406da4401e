"""What is wrong with a programme, all of it at once, each finding naming its step.

Conventions
-----------
A finding's ``where`` is the step as a trainer finds it in the file: "step 4 (hand-side)". Two criteria
raised at once are a fault because a failed step would not say which of them was too much.
"""

from collections.abc import Iterator
from typing import Any

from nares.base.findings import Finding
from nares.decide.calling.lines import CAP, MOST_REPS
from nares.decide.steps.criteria import CRITERIA, raised, relaxed
from nares.decide.steps.programme import LEVELS, Programme, Step, parse_toml

TEXTS = ("key", "name", "teaches")
TOP = ("name", "about", "call", "step")
OF_THE_TEST = (*LEVELS, "cap")

LEAST_CAP = 4
"""A run shorter than this tells nothing. [count]"""


def check_programme(programme: Programme | str) -> list[Finding]:
    """List every fault of a programme, given as its text or as already built.

    Raises:
        Unusable: If a text is not TOML, naming the line.
    """
    return programme_findings(parse_toml(programme) if isinstance(programme, str) else table_of(programme))


def table_of(programme: Programme) -> dict[str, Any]:
    """A built programme as the table its text would parse to."""
    keys = (*TEXTS, *(c.key for c in CRITERIA), *OF_THE_TEST)
    rows = [{key: _plain(getattr(step, key)) for key in keys} for step in programme.steps]
    return {"name": programme.name, "about": programme.about, "step": rows}


def programme_findings(table: dict[str, Any]) -> list[Finding]:
    """List every fault of a parsed programme."""
    steps = table.get("step")
    if not isinstance(steps, list) or not steps or not all(isinstance(row, dict) for row in steps):
        return [
            *_top_findings(table),
            Finding("no-steps", "programme", "There is no step. Write at least one [[step]]."),
        ]
    found = [*_top_findings(table)]
    for place, row in enumerate(steps):
        found += _step_findings(row, _where(place, row), table.get("call", {}))
    return [*found, *_repeated_keys(steps), *_raise_findings(steps)]


def raises_of(before: Step | None, step: Step) -> list[str]:
    """Names of the criteria a step raises over the one before it; none for the first."""
    return raised(_criteria_of(before), _criteria_of(step)) if before else []


def relaxes_of(before: Step | None, step: Step) -> list[str]:
    """Names of the criteria a step relaxes from the one before it; none for the first."""
    return relaxed(_criteria_of(before), _criteria_of(step)) if before else []


def _criteria_of(step: Step) -> dict[str, Any]:
    return {c.key: _plain(getattr(step, c.key)) for c in CRITERIA}


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value


def _where(place: int, row: dict[str, Any]) -> str:
    return f"step {place + 1} ({row.get('key', 'no key')})"


def _top_findings(table: dict[str, Any]) -> Iterator[Finding]:
    for key in table:
        if key not in TOP:
            yield _unknown(key, "programme", TOP)
    if not _is_text(table.get("name")):
        yield Finding("missing", "programme", 'The name is missing. Write name = "..." at the top.')
    call = table.get("call", {})
    if not isinstance(call, dict):
        yield Finding("wrong-value", "programme", "call must be a table. Write [call] on a line of its own.")
        return
    for key in call:
        if key not in OF_THE_TEST:
            yield _unknown(key, "[call]", OF_THE_TEST)
    yield from _cap_findings(call, "[call]")
    yield from _level_findings(call, "[call]", {})


def _step_findings(row: dict[str, Any], where: str, call: Any) -> Iterator[Finding]:
    known = (*TEXTS, *(c.key for c in CRITERIA), *OF_THE_TEST)
    for key in row:
        if key not in known:
            yield _unknown(key, where, known)
    for key in TEXTS:
        if not _is_text(row.get(key)):
            yield Finding("missing", where, f'{key} is missing or empty. Write {key} = "...".')
    for criterion in CRITERIA:
        yield from _criterion_findings(row, where, criterion.key)
    yield from _cap_findings(row, where)
    if any(key in row for key in LEVELS):
        yield from _level_findings(row, where, call if isinstance(call, dict) else {})


def _criterion_findings(row: dict[str, Any], where: str, key: str) -> Iterator[Finding]:
    criterion = next(c for c in CRITERIA if c.key == key)
    if key not in row:
        yield Finding("missing", where, f"{key} is missing. Give {criterion.wanted}.")
    elif not criterion.fits(row[key]):
        yield Finding("wrong-value", where, f"{key} is {row[key]!r}. Give {criterion.wanted}.")


def _cap_findings(row: dict[str, Any], where: str) -> Iterator[Finding]:
    cap = row.get("cap", CAP)
    if not isinstance(cap, int) or isinstance(cap, bool) or not LEAST_CAP <= cap <= MOST_REPS:
        text = f"cap is {cap!r}. Give a whole number of reps from {LEAST_CAP} to {MOST_REPS}, like {CAP}."
        yield Finding("wrong-value", where, text)


def _level_findings(row: dict[str, Any], where: str, above: dict[str, Any]) -> Iterator[Finding]:
    given = {key: row[key] for key in LEVELS if key in row}
    wrong = [key for key, value in given.items() if not _is_rate(value)]
    for key in wrong:
        yield Finding(
            "wrong-value", where, f"{key} is {given[key]!r}. Give a rate between 0 and 1, like 0.85."
        )
    levels = LEVELS | {k: v for k, v in above.items() if k in LEVELS and _is_rate(v)} | given
    if not wrong and levels["not_ready"] >= levels["ready"]:
        yield Finding(
            "wrong-value", where, f"not_ready {levels['not_ready']} must lie below ready {levels['ready']}."
        )
    if not wrong and levels["false_raise"] + levels["missed_raise"] >= 1:
        yield Finding("wrong-value", where, "false_raise and missed_raise must add up to less than 1.")


def _repeated_keys(steps: list[dict[str, Any]]) -> Iterator[Finding]:
    first: dict[str, int] = {}
    for place, row in enumerate(steps):
        key = row.get("key")
        if not _is_text(key):
            continue
        if key in first:
            text = f"The key {key!r} already names step {first[key] + 1}. Give this step a key of its own."
            yield Finding("repeated-key", _where(place, row), text)
        first.setdefault(str(key), place)


def _raise_findings(steps: list[dict[str, Any]]) -> Iterator[Finding]:
    """One criterion a step; steps with a missing or wrong criterion cannot be compared and are left out."""
    for place in range(1, len(steps)):
        before, row = steps[place - 1], steps[place]
        if not (_comparable(before) and _comparable(row)):
            continue
        names = raised(before, row)
        if len(names) > 1:
            text = f"It raises {' and '.join(names)} at once. Raise one, and leave or relax the others."
            yield Finding("raises-several", _where(place, row), text)
        if not names:
            text = "It raises nothing over the step before. Raise one criterion or take the step out."
            yield Finding("raises-nothing", _where(place, row), text)


def _comparable(row: dict[str, Any]) -> bool:
    return all(c.key in row and c.fits(row[c.key]) for c in CRITERIA)


def _unknown(key: str, where: str, known: tuple[str, ...]) -> Finding:
    return Finding("unknown-key", where, f"{key!r} is not known here. Known are: {', '.join(known)}.")


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip())


def _is_rate(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < 1
