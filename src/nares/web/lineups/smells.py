"""The distractors as typed: one row a smell, and whether the dog has met it."""

from dataclasses import dataclass

from django.http import QueryDict

from nares.base.lineups import Smell

ROWS_FIRST = 3
ROWS_MORE = 3
ROWS_MOST = 24
SMELL_LONGEST = 80
KNOWN = {"novel": True, "used": False, "": None}
METS = (("", "not known"), ("novel", "novel: never before this dog"), ("used", "used before"))


@dataclass(frozen=True, slots=True)
class SmellRow:
    """One distractor as typed. ``met``: novel, used, or empty for not known."""

    number: int
    smell: str = ""
    met: str = ""
    fault: str = ""


def empty_rows(rows: int = ROWS_FIRST) -> tuple[SmellRow, ...]:
    return tuple(SmellRow(number) for number in range(1, rows + 1))


def rows_sent(sent: QueryDict, *, more: bool = False) -> tuple[SmellRow, ...]:
    """The rows a form sent; with ``more``, and some empty ones."""
    rows = []
    for number in range(1, ROWS_MOST + 1):
        smell = sent.get(f"smell-{number}")
        if smell is None:
            break
        met = str(sent.get(f"met-{number}") or "")
        rows.append(SmellRow(number, smell[:500], met if met in KNOWN else ""))
    for _ in range(ROWS_MORE if more or not rows else 0):
        if len(rows) < ROWS_MOST:
            rows.append(SmellRow(len(rows) + 1))
    return tuple(rows)


def checked(rows: tuple[SmellRow, ...], aids: tuple[str, ...]) -> tuple[SmellRow, ...]:
    """The rows with every fault found in them."""
    seen: dict[str, int] = {}
    found = []
    for row in rows:
        smell, fault = row.smell.strip(), ""
        other = seen.setdefault(smell.casefold(), row.number) if smell else row.number
        if len(smell) > SMELL_LONGEST:
            fault = f"The name has {len(smell)} letters. Give at most {SMELL_LONGEST}."
        elif other != row.number:
            fault = f"{smell} is distractor {other} already. Leave it out here."
        elif smell.casefold() in {aid.casefold() for aid in aids}:
            fault = f"{smell} is an aid of the target. A distractor is something else that smells."
        found.append(SmellRow(row.number, row.smell, row.met, fault))
    return tuple(found)


def smells_of(rows: tuple[SmellRow, ...]) -> tuple[Smell, ...]:
    """The distractors of rows without a fault; empty rows say nothing."""
    return tuple(Smell(row.smell.strip(), KNOWN[row.met]) for row in rows if row.smell.strip())
