"""Dogs that learnt the target, the hand, or a box are told apart by the page's verdict; intervals cover.

The rates stated below are held by tests of so many dogs that a verdict much worse would be seen; the figures
of docs/cues.md are those of `benchmarks/cues.py`.
"""

from collections import Counter

import numpy as np
import pytest
from tests.recovery.taught_dogs import taught

from nares.design.cues.effects import effect_of
from nares.design.cues.links import links_of
from nares.design.cues.trials import History, Trial, counted
from nares.design.cues.verdict import verdict_of

DOGS = 60


@pytest.mark.parametrize("learnt", ["target", "hand", "box:2"])
def test_what_a_dog_learnt_is_named(learnt: str) -> None:
    """At least nine of ten dogs of eighty reps; the cue named first is the one it was paid for."""
    draws = np.random.default_rng(7)
    named: Counter[str] = Counter()
    for _ in range(DOGS):
        verdict = verdict_of(links_of(History(taught(learnt, draws).trials)))
        named[verdict.cues[0] if verdict.kind == "another" else verdict.kind] += 1
    assert named[learnt] >= 0.9 * DOGS, named


@pytest.mark.parametrize("learnt", ["target", "hand", "box:2"])
def test_the_strongest_cue_is_the_one_the_dog_itself_believes(learnt: str) -> None:
    draws = np.random.default_rng(8)
    right = covered = 0
    for _ in range(DOGS):
        dog = taught(learnt, draws)
        links = links_of(History(dog.trials))
        strongest = max(links.cues, key=lambda one: one.strength).cue
        right += strongest == max(dog.believes, key=lambda name: dog.believes[name])
        link = links.link(learnt)
        assert link is not None
        covered += link.strength_low <= dog.believes[learnt] <= link.strength_high
    assert right >= 0.9 * DOGS
    assert covered >= 0.8 * DOGS


def test_a_dog_taught_with_the_hand_always_there_is_never_said_to_know_the_target() -> None:
    for reps in (10, 40, 200):
        both = tuple(
            Trial(
                f"s{n // 10}",
                "2026-03-01T08:00:00Z",
                frozenset({"target", "hand"} if n % 2 else ()),
                n % 2 == 1,
            )
            for n in range(reps)
        )
        assert verdict_of(links_of(History(both))).kind == "cannot tell"


@pytest.mark.parametrize(("reps", "high", "low"), [(24, 0.9, 0.2), (60, 0.8, 0.3), (60, 1.0, 0.0)])
def test_the_interval_of_an_effect_covers_as_often_as_it_says(reps: int, high: float, low: float) -> None:
    draws = np.random.default_rng(11)
    covered = tried = 0
    for _ in range(400):
        trials = []
        for _ in range(reps):
            target, hand = draws.random() < 0.5, draws.random() < 0.5
            paid = bool(draws.random() < (high if target else low))
            cues = frozenset([*(["target"] * target), *(["hand"] * hand)])
            trials.append(Trial("s", "2026-03-01T08:00:00Z", cues, paid))
        found = effect_of(counted(trials, ("target", "hand")), "target")
        if found.low is None or found.high is None:
            continue
        tried += 1
        covered += found.low <= high - low <= found.high
    assert covered / tried >= 0.93


def test_a_cue_without_effect_is_seldom_named() -> None:
    """Thirty useless cues and a noisy target: one of them is named in at most about one history in twenty."""
    draws = np.random.default_rng(12)
    wrong = 0
    for _ in range(60):
        trials = []
        for _ in range(150):
            cues = {f"c{k}" for k in range(30) if draws.random() < 0.5}
            target = draws.random() < 0.5
            paid = bool(draws.random() < (0.85 if target else 0.1))
            trials.append(
                Trial("s", "2026-03-01T08:00:00Z", frozenset(cues | ({"target"} if target else set())), paid)
            )
        wrong += verdict_of(links_of(History(tuple(trials)))).kind == "another"
    assert wrong <= 6
