"""Which box, can or parcel stands where: what held an odour holds nothing else, a number says nothing.

Each aid, each smell and each control has containers of its own, blanks have theirs; none changes sides in a
line-up. As many of each are needed as stand out at once, or, with fresh ones asked for, one for every target.
Which blank container stands at which blank position is drawn anew in every run. Numbers are given last,
shuffled over all containers: before the first run is opened, a number tells nothing. After that it tells
everything, so numbers belong underneath.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from nares.base.lineups import Holds, Placed, RunKey
from nares.design.chance import Stream

_ORDER: tuple[Holds, ...] = ("blank", "distractor", "control", "target")


@dataclass(frozen=True, slots=True)
class Packed:
    """Containers to bring for one thing: what they hold, their numbers, in how many ``runs`` it is out."""

    holds: Holds
    item: str
    containers: tuple[str, ...]
    runs: int


_Kind = tuple[Holds, str]


def with_containers(
    runs: Sequence[tuple[Placed, ...]], *, fresh: bool, places: Stream, numbers: Stream
) -> list[tuple[Placed, ...]]:
    """Give every position of every run its container.

    Args:
        runs: What lies where, run by run.
        fresh: A new container for every target.
        places: Chance for which of several alike stands where.
        numbers: Chance for the numbers.
    """
    used: list[list[tuple[_Kind, int]]] = []
    spent: dict[_Kind, int] = {}
    most = _most_at_once(runs)
    for placed in runs:
        row: list[tuple[_Kind, int]] = []
        waiting = {kind: list(places.shuffled(range(count))) for kind, count in most.items()}
        for one in placed:
            kind = _kind(one)
            if fresh and one.holds == "target":
                row.append((kind, spent.get(kind, 0)))
                spent[kind] = spent.get(kind, 0) + 1
            else:
                row.append((kind, waiting[kind].pop()))
        used.append(row)
    every = sorted({container for row in used for container in row})
    width = max(2, len(str(len(every))))
    given = dict(zip(every, numbers.shuffled(range(1, len(every) + 1)), strict=True))
    return [
        tuple(
            replace(one, container=f"C{given[container]:0{width}d}")
            for one, container in zip(placed, row, strict=True)
        )
        for placed, row in zip(runs, used, strict=True)
    ]


def packing_list(runs: Sequence[RunKey]) -> tuple[Packed, ...]:
    """What to bring: for blanks, each smell, each control and each aid its containers. It tells of the key.

    Where nothing is swapped the containers are empty and only aids, smells and controls are listed.
    """
    found: dict[_Kind, set[str]] = {}
    out: dict[_Kind, int] = {}
    for run in runs:
        for kind in sorted({_kind(one) for one in run.placed}):
            out[kind] = out.get(kind, 0) + 1
        for one in run.placed:
            found.setdefault(_kind(one), set()).update({one.container} - {""})
    ordered = sorted(found, key=lambda kind: (_ORDER.index(kind[0]), kind[1]))
    every = (
        Packed(holds, item, tuple(sorted(found[holds, item])), out[holds, item]) for holds, item in ordered
    )
    return tuple(one for one in every if one.containers or one.item)


def _kind(one: Placed) -> _Kind:
    # Nothing lies at a warm position either: where containers are swapped, an empty one stands there.
    return ("blank", "") if one.holds in ("blank", "warm") else (one.holds, one.item)


def _most_at_once(runs: Sequence[tuple[Placed, ...]]) -> dict[_Kind, int]:
    most: dict[_Kind, int] = {}
    for placed in runs:
        here: dict[_Kind, int] = {}
        for one in placed:
            here[_kind(one)] = here.get(_kind(one), 0) + 1
        for kind, count in here.items():
            most[kind] = max(most.get(kind, 0), count)
    return dict(sorted(most.items()))
