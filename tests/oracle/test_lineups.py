"""The recipe of docs/lineups.md followed by hand: a second draw that shares no code with the first.

What it is given is a key; what it uses of it are the seed and what was asked.
"""

import hashlib
import hmac
from collections import Counter
from fractions import Fraction
from typing import Any

import pytest
from tests.design.keys.test_keys import key
from tests.design.lineups.briefs import FOOD, GLOVE, TAPE, brief


class Words:
    """HMAC-SHA256 blocks cut into words of 32 bits, for one purpose."""

    def __init__(self, seed: bytes, purpose: str) -> None:
        self.key = hmac.new(seed, b"nares:" + purpose.encode(), hashlib.sha256).digest()
        self.used = 0

    def word(self) -> int:
        block = hmac.new(self.key, (self.used // 8).to_bytes(8, "big"), hashlib.sha256).digest()
        at = 4 * (self.used % 8)
        self.used += 1
        return int.from_bytes(block[at : at + 4], "big")

    def below(self, bound: int) -> int:
        while (word := self.word()) >= 2**32 // bound * bound:
            pass
        return word % bound

    def shuffle(self, items: Any) -> list[Any]:
        row = list(items)
        for last in reversed(range(1, len(row))):
            other = self.below(last + 1)
            row[last], row[other] = row[other], row[last]
        return row


def targets_by_hand(asked: dict[str, Any], seed: bytes) -> list[list[int]]:
    words, share = Words(seed, "targets"), asked["blank_runs"]
    positions = len(asked["area"]["spots"])
    least = (
        asked["targets_low"] if share is None else min(max(1, asked["targets_low"]), asked["targets_high"])
    )
    drawn = []
    for _ in range(asked["runs"]):
        blank = False
        if share is not None:
            exact = Fraction(str(float(share)))
            blank = words.below(exact.denominator) < exact.numerator
        count = least + words.below(asked["targets_high"] - least + 1)
        row = words.shuffle(range(1, positions + 1))
        drawn.append([] if blank else sorted(row[:count]))
    return drawn


def by_hand(written: dict[str, Any]) -> list[dict[str, Any]]:
    """Everything a key says of its runs, drawn again."""
    asked, seed = written["asked"], bytes.fromhex(written["seed"])
    positions = range(1, len(asked["area"]["spots"]) + 1)
    keeps = asked["area"]["keeps_odour"]
    targets = targets_by_hand(asked, seed)

    warm: list[set[int]] = []
    for n in range(asked["runs"]):
        earlier = {position for run in targets[:n] for position in run} if keeps else set()
        warm.append(set(asked["warm"]) | earlier)

    words, times_out, aids = Words(seed, "aids"), Counter[str](), []
    for run in targets:
        here: dict[int, str] = {}
        for position in words.shuffle(run):
            row = words.shuffle(asked["aids"])
            least = min((list(here.values()).count(aid), times_out[aid]) for aid in row)
            here[position] = next(
                aid for aid in row if (list(here.values()).count(aid), times_out[aid]) == least
            )
            times_out[here[position]] += 1
        aids.append(here)

    companions = [("distractor", one["smell"]) for one in asked["distractors"]]
    companions += [("control", control) for control in asked["controls"]]
    together = len(companions) if asked["along"] is None else asked["along"]
    free = [
        [position for position in positions if position not in run and position not in now]
        for run, now in zip(targets, warm, strict=True)
    ]
    standing = balanced_by_hand(Words(seed, "companions"), targets, free, len(companions), together)

    held: list[dict[int, tuple[str, str]]] = []
    for n in range(asked["runs"]):
        here_now = {position: ("warm" if position in warm[n] else "blank", "") for position in positions}
        here_now.update({position: companions[which] for position, which in standing[n].items()})
        here_now.update({position: ("target", aid) for position, aid in aids[n].items()})
        held.append(here_now)
    containers = [dict.fromkeys(positions, "") for _ in held]
    if not keeps:
        containers = containers_by_hand(held, seed, fresh=asked["fresh"])

    words = Words(seed, "placing")
    drawn = []
    for n, run_held in enumerate(held, start=1):
        groups: dict[int, list[int]] = {0: [], 1: [], 2: [], 3: []}
        for position in words.shuffle(positions):
            kind = run_held[position][0]
            groups[{"blank": 0, "warm": 0, "distractor": 1, "control": 2, "target": 3}[kind]].append(position)
        nonce = hmac.new(seed, f"nares:nonce of run {n}".encode(), hashlib.sha256).hexdigest()
        placed = [
            {
                "position": position,
                "holds": run_held[position][0],
                "item": run_held[position][1],
                "container": containers[n - 1][position],
            }
            for position in positions
        ]
        placing = groups[0] + groups[1] + groups[2] + groups[3]
        drawn.append({"run": n, "nonce": nonce, "placing": placing, "placed": placed})
    return drawn


def balanced_by_hand(
    words: Words, targets: list[list[int]], free: list[list[int]], companions: int, together: int
) -> list[dict[int, int]]:
    if together == 0:
        return [{} for _ in targets]
    due_exact: dict[int, Fraction] = {}
    for row in free:
        for position in row:
            due_exact[position] = due_exact.get(position, Fraction()) + Fraction(1, len(row))
    blank_runs = sum(run == [] for run in targets)
    best: list[dict[int, int]] = []
    best_sum: Fraction | None = None
    for _ in range(64):
        times, plan = [0] * companions, []
        for row in free:
            order = words.shuffle(range(companions))
            order.sort(key=times.__getitem__)
            along = sorted(order[:together])
            for which in along:
                times[which] += 1
            plan.append(dict(zip(words.shuffle(row), along, strict=False)))
        total = Fraction()
        for which in range(companions):
            for position, expected in due_exact.items():
                total += Fraction(sum(run.get(position) == which for run in plan) ** 2) / expected
            in_blank = sum(which in run.values() for run, at in zip(plan, targets, strict=True) if at == [])
            total += Fraction(in_blank**2, blank_runs or 1)
        if best_sum is None or total < best_sum:
            best, best_sum = plan, total
    return best


def containers_by_hand(
    held: list[dict[int, tuple[str, str]]], seed: bytes, *, fresh: bool
) -> list[dict[int, str]]:
    words = Words(seed, "containers")
    plain = [
        {position: ("blank", "") if what[0] == "warm" else what for position, what in run.items()}
        for run in held
    ]
    kinds = sorted({what for run in plain for what in run.values()})
    most = {kind: max(list(run.values()).count(kind) for run in plain) for kind in kinds}
    spent: Counter[tuple[str, str]] = Counter()
    stands: list[dict[int, tuple[tuple[str, str], int]]] = []
    for run in plain:
        waiting = {kind: words.shuffle(range(most[kind])) for kind in kinds}
        row = {}
        for position, kind in sorted(run.items()):
            if fresh and kind[0] == "target":
                row[position] = (kind, spent[kind])
                spent[kind] += 1
            else:
                row[position] = (kind, waiting[kind].pop())
        stands.append(row)
    every = sorted({one for row in stands for one in row.values()})
    numbers = Words(seed, "container numbers").shuffle(range(1, len(every) + 1))
    names = {one: f"C{number:02d}" for one, number in zip(every, numbers, strict=True)}
    return [{position: names[one] for position, one in row.items()} for row in stands]


ASKED = {
    "the usual": brief(),
    "several targets and aids": brief(8, 15, targets_high=3, blank_runs=None, aids=("a", "b", "c")),
    "more targets than aids": brief(8, 15, targets_high=3, blank_runs=0.1, aids=("a", "b")),
    "some go along": brief(
        7, 20, distractors=(TAPE, FOOD, GLOVE), controls=("gloves", "placer"), along=2, fresh=True
    ),
    "nothing goes along": brief(distractors=(), controls=()),
    "a room, some of it warm": brief(12, 6, shape="room", warm=(3, 7)),
    "no target at all": brief(5, 4, targets_high=0, blank_runs=1.0),
}


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("number", [1, 2, 2**200 + 3])
def test_the_recipe_followed_by_hand_gives_the_same_key(asked: str, number: int) -> None:
    written = key(ASKED[asked], number)
    assert by_hand(written) == written["runs"]


def test_the_nonce_of_the_key_is_the_recipes_too() -> None:
    written = key()
    seed = bytes.fromhex(written["seed"])
    assert written["nonce"] == hmac.new(seed, b"nares:nonce of the key", hashlib.sha256).hexdigest()
