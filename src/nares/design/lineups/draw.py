"""Drawing a line-up: targets first, then what goes along, then containers and the order of placing.

Every part has a stream of its own from the one seed (`nares.design.chance.subseed`), so that what can be seen
of one, such as the numbers on containers, tells nothing about another. The purposes, in the order of use:
``targets``, ``aids``, ``companions``, ``containers``, ``container numbers``, ``placing``, ``nonce of run N``.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from nares.base.findings import Finding
from nares.base.lineups import Drawing, Placed, RunKey
from nares.design.chance import Stream, subseed
from nares.design.lineups.brief import Brief, refuse_impossible
from nares.design.lineups.companions import Standing, drawn_companions
from nares.design.lineups.containers import with_containers
from nares.design.lineups.findings import design_findings
from nares.design.lineups.warmth import warm_before, warmth_findings
from nares.design.orders import constrained_runs, independent_runs


@dataclass(frozen=True, slots=True)
class LineupDrawn:
    """A drawn line-up. ``findings`` speak of the design alone; ``sealed_findings`` tell of the key."""

    runs: tuple[RunKey, ...]
    drawing: Drawing
    rules: tuple[str, ...]
    tries: int
    findings: tuple[Finding, ...]
    sealed_findings: tuple[Finding, ...] = ()


def draw_lineup(brief: Brief, seed: bytes) -> LineupDrawn:
    """Draw what lies where in every run of a line-up.

    Args:
        brief: What is asked.
        seed: 32 bytes that nobody can guess. The same seed gives the same line-up.

    Raises:
        Unusable: If the plan or the names are at fault, every fault named.
        OutOfRange: If the wishes do not go together, saying which and what to change.
        Refused: If no order keeps the rules.
    """
    refuse_impossible(brief)
    targets, drawing, rules, tries = _targets(brief, Stream(subseed(seed, "targets")))
    warm = warm_before(targets, warm=brief.warm, keeps_odour=brief.area.keeps_odour)
    free = [
        tuple(n for n in range(1, brief.positions + 1) if n not in positions and n not in now)
        for positions, now in zip(targets, warm, strict=True)
    ]
    aids = _aids(targets, brief.aids, Stream(subseed(seed, "aids")))
    standing = drawn_companions(
        targets,
        free,
        companions=brief.companions,
        together=brief.together,
        stream=Stream(subseed(seed, "companions")),
    )
    placed = [_placed(brief, *of_run) for of_run in zip(aids, standing, warm, strict=True)]
    if not brief.area.keeps_odour:
        placed = with_containers(
            placed,
            fresh=brief.fresh,
            places=Stream(subseed(seed, "containers")),
            numbers=Stream(subseed(seed, "container numbers")),
        )
    order = Stream(subseed(seed, "placing"))
    runs = tuple(
        RunKey(number, one, _placing(one, order), subseed(seed, f"nonce of run {number}").hex())
        for number, one in enumerate(placed, start=1)
    )
    return LineupDrawn(runs, drawing, rules, tries, design_findings(brief), warmth_findings(runs))


def _targets(brief: Brief, stream: Stream) -> tuple[Sequence[tuple[int, ...]], Drawing, tuple[str, ...], int]:
    if brief.blinding != "known":
        drawn = independent_runs(
            runs=brief.runs,
            positions=brief.positions,
            targets_low=brief.targets_low,
            targets_high=brief.targets_high,
            blank_runs=brief.blank_runs,
            stream=stream,
        )
        return drawn, "independent", (), 1
    order = constrained_runs(
        runs=brief.runs,
        positions=brief.positions,
        targets_low=brief.targets_low,
        targets_high=brief.targets_high,
        blank_runs=brief.blank_runs,
        rules=brief.rules,
        stream=stream,
    )
    return order.runs, "constrained", tuple(order.rules), order.tries


def _aids(targets: Sequence[tuple[int, ...]], aids: tuple[str, ...], stream: Stream) -> list[dict[int, str]]:
    # Those out least often so far, ties by lot; none twice in a run while another is free.
    out = dict.fromkeys(aids, 0)
    found = []
    for positions in targets:
        here: dict[int, str] = {}
        for position in stream.shuffled(positions):
            used = list(here.values())
            by_lot = stream.shuffled(aids)
            ranked = [(used.count(aid), out[aid], place) for place, aid in enumerate(by_lot)]
            here[position] = by_lot[min(ranked)[2]]
            out[here[position]] += 1
        found.append(here)
    return found


def _placed(
    brief: Brief, aids: dict[int, str], standing: Standing, warm: frozenset[int]
) -> tuple[Placed, ...]:
    companions = [("distractor", one.smell) for one in brief.distractors]
    companions += [("control", str(control)) for control in brief.controls]
    at = {position: companions[companion] for companion, position in standing.items()}

    def one(position: int) -> Placed:
        if position in aids:
            return Placed(position, "target", aids[position])
        if position in at:
            holds, item = at[position]
            return Placed(position, "distractor" if holds == "distractor" else "control", item)
        return Placed(position, "warm" if position in warm else "blank")

    return tuple(one(position) for position in range(1, brief.positions + 1))


_FIRST_TO_LAST = {"blank": 0, "warm": 0, "distractor": 1, "control": 2, "target": 3}


def _placing(placed: tuple[Placed, ...], stream: Stream) -> tuple[int, ...]:
    # Blanks, distractors, controls, targets; within each by lot, so that steps that are heard tell less.
    return tuple(
        one.position for one in sorted(stream.shuffled(placed), key=lambda one: _FIRST_TO_LAST[one.holds])
    )
