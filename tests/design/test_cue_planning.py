"""The next reps part what is tied, whatever else comes and goes, and say what they change."""

import random

import pytest
from tests.design.cue_tables import BALANCED, TIED, history

from nares.design.chance import Stream
from nares.design.cues.cells import ban_of
from nares.design.cues.links import Links, links_of
from nares.design.cues.planning import MOST_QUESTIONED, NextReps, cues_in_question, next_reps
from nares.design.cues.vocabulary import is_settable


def planned(links: Links, reps: int = 8, ban: str = "") -> NextReps:
    return next_reps(links, reps=reps, banned=[ban_of(ban)] if ban else [], draws=Stream(bytes(32)))


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("reps", [4, 8])
def test_the_target_alone_is_paid_and_the_hand_alone_is_not(seed: int, reps: int) -> None:
    drawn = random.Random(seed)
    others = ["rain", "food", "box:1", "box:2", "residual", "since-dog:5-30min"]
    rows = []
    for _ in range(60):
        both = drawn.random() < 0.6
        there = (["target", "hand"] if both else []) + [name for name in others if drawn.random() < 0.4]
        rows.append((" ".join(n for n in there if n != "box:2" or "box:1" not in there), int(both)))
    links = links_of(history(rows))
    assert ("target", "hand") in links.apart.inseparable
    found = planned(links, reps)
    assert any("target" in one.cues and "hand" not in one.cues and one.paid for one in found.reps)
    assert any("hand" in one.cues and "target" not in one.cues and not one.paid for one in found.reps)
    assert all(one.paid == ("target" in one.cues) for one in found.reps)
    assert all(is_settable(name) for name in found.in_question)
    assert len(found.in_question) <= MOST_QUESTIONED


def test_before_and_after_are_told() -> None:
    found = planned(links_of(history(TIED)))
    (pair,) = found.pairs
    assert (pair.before.phi, pair.before.vif) == (1.0, None)
    assert pair.after.vif is not None
    assert pair.comes_apart
    assert (found.rank_before, found.rank_after, found.columns) == (2, 3, 3)
    assert found.vif_before == {"target": None, "hand": None}
    assert found.tied_after.inseparable == ()
    assert found.until_apart == 4
    assert found.gain > 0
    assert planned(links_of(history(TIED)), reps=3).pairs[0].comes_apart is False


def test_a_ban_that_keeps_the_tie_is_seen_in_what_comes_after() -> None:
    links = links_of(history(TIED))
    found = next_reps(
        links, reps=6, banned=[ban_of("hand !target"), ban_of("target !hand")], draws=Stream(bytes(32))
    )
    assert found.until_apart is None
    assert found.tied_after.inseparable == (("target", "hand"),)
    assert found.rank_after == 2


def test_the_first_way_foreseen_is_the_chosen_one_and_banned_ways_are_left_out() -> None:
    links = links_of(history(TIED))
    assert planned(links).foreseen[0].way.startswith("the chosen reps")
    assert len(planned(links).foreseen) == 4
    assert [one.way for one in planned(links, ban="hand target").foreseen] == [
        "the chosen reps, over and over"
    ]


def test_where_nothing_is_tangled_the_strongest_cues_are_in_question() -> None:
    assert cues_in_question(links_of(history(BALANCED))) == ("target", "hand")
    alone = cues_in_question(links_of(history([("target", 1)] * 12)))
    assert alone == ("target",)
    assert all(not one.paid for one in planned(links_of(history([("target", 1)] * 12))).reps)


def test_a_faint_cue_is_not_put_in_question_beside_the_target_and_its_rival() -> None:
    rows = [*BALANCED[:12], *[("target hand", 1)] * 12, *[("rain", 0), ("", 0)] * 2]
    rows += [*[("target rain", 1)] * 4, ("target rain hand", 1)]
    links = links_of(history(rows))
    strength = {one.cue: one.strength for one in links.cues}
    assert 0 < strength["rain"] < 0.1
    assert cues_in_question(links) == ("target", "hand")
