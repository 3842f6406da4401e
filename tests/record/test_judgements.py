"""What people judge of a dog: overrulings replaced and taken back, signs looked into; guards and folds."""

from typing import Any

import pytest
from tests.record.kennel import amendment, session, write

from nares.base.errors import NaresError, Refused
from nares.record.store import Store

STAY = {"dog": "Brine", "step": "hand-inside", "call": "stay", "next_step": "hand-inside"}


def overruled(call: str = "raise", **other: Any) -> dict[str, Any]:
    return {"dog": "Brine", "step": "hand-inside", "call": call, "why": "seen it work", **other}


def seen(*signs: str, level: int = 1, **other: Any) -> dict[str, Any]:
    return {"dog": "Brine", "signs": list(signs or ("yawn",)), "level": level, **other}


def test_every_overruling_is_kept_and_the_newest_stands(store: Store) -> None:
    write(store, "call_overruled", overruled(next_step="hold", asks_s=[1.0], overrules=10))
    assert [(one.call_entry, one.call, one.next_step) for one in store.overrulings("Brine")] == [
        (10, "ease", ""),
        (10, "raise", "hold"),
    ]
    made = store.latest_call("Brine")
    assert made is not None
    assert made.overruled is not None
    assert (made.overruled.call, made.overruled.next_step, made.overruled.asks_s) == ("raise", "hold", (1.0,))


def test_an_overruling_taken_back_lets_the_call_count_again(store: Store) -> None:
    write(store, "overruling_withdrawn", {"dog": "Brine", "overruling": 11, "why": "it rained after all"})
    made = store.latest_call("Brine")
    assert made is not None
    assert made.overruled is None
    assert store.overrulings()[0].withdrawn == "it rained after all"
    with pytest.raises(Refused, match="not what stands"):
        write(store, "overruling_withdrawn", {"dog": "Brine", "overruling": 11, "why": "again"})


def test_signs_are_kept_until_somebody_looked_into_them(store: Store) -> None:
    first = write(
        store, "signs_seen", seen("crouch", "yawn", level=3, session="b1", rep=2, note="by the van")
    )
    assert [(one.signs, one.level, one.cleared) for one in store.signs("Brine")] == [
        (("crouch", "yawn"), 3, None)
    ]
    cleared = write(store, "signs_cleared", {"dog": "Brine", "signs": [first.number], "why": "a splinter"})
    assert store.signs("Brine")[0].cleared == cleared.number
    assert [(one.why, one.vet) for one in store.clearings("Brine")] == [("a splinter", False)]
    write(store, "amended", amendment(first.number, "/note", "by the van", "by the gate"))
    assert (store.signs("Brine")[0].note, store.signs("Brine")[0].cleared) == ("by the gate", cleared.number)


def test_a_named_cue_is_kept_and_what_it_is_can_be_amended(store: Store) -> None:
    named = write(store, "cue_named", {"cue": "rain", "about": "It rained."})
    write(store, "amended", amendment(named.number, "/about", "It rained.", "Rain on the roof."))
    assert [(one.cue, one.about, one.entry) for one in store.named_cues()] == [
        ("rain", "Rain on the roof.", named.number)
    ]
    with pytest.raises(Refused, match="names the cue 'rain' already"):
        write(store, "cue_named", {"cue": "rain"})
    with pytest.raises(Refused, match="go by this name"):
        write(store, "amended", amendment(named.number, "/cue", "rain", "snow"))


REFUSED: list[tuple[str, dict[str, Any], str]] = [
    ("cue_named", {"cue": "two words"}, "no name of a cue"),
    ("cue_named", {"cue": "target"}, "is a cue already"),
    ("cue_named", {"cue": "box:9"}, "is a cue already: Which box it was"),
    ("cue_named", {"cue": ""}, "no name of a cue"),
    ("signs_seen", seen("tired"), "no sign 'tired'"),
    ("signs_seen", seen("crouch"), "come to level 3, not 1"),
    ("signs_seen", seen("yawn", "yawn"), "given twice"),
    ("signs_seen", {**seen(), "signs": []}, "Give at least one"),
    ("signs_seen", seen(session="b2"), "run with another dog"),
    ("signs_seen", seen(rep=0), "Reps count from 1"),
    ("signs_seen", {**seen(), "dog": "Eider"}, "no dog called 'Eider'"),
    ("signs_cleared", {"dog": "Brine", "signs": [], "why": "x"}, "Name the entries"),
    ("signs_cleared", {"dog": "Brine", "signs": [11], "why": "x"}, "holds no signs"),
    ("signs_cleared", {"dog": "Samphire", "signs": [13], "why": "x"}, "holds no signs"),
    ("signs_cleared", {"dog": "Brine", "signs": [13], "why": " "}, "Say why"),
    ("call_overruled", overruled(overrules=9), "is entry 10, not entry 9"),
    ("call_overruled", overruled(asks_s=[-1]), "ask in seconds is -1"),
    ("overruling_withdrawn", {"dog": "Brine", "overruling": 10, "why": "x"}, "not what stands"),
    ("overruling_withdrawn", {"dog": "Brine", "overruling": 11, "why": ""}, "Say why"),
    ("amended", amendment(13, "/level", 1, 0), "follows from the signs"),
    ("amended", amendment(13, "/signs/0", "yawn", "crouch"), "as a new entry"),
    ("amended", amendment(11, "/next_step", "", "hold"), "once more"),
]


@pytest.mark.parametrize(("kind", "payload", "said"), REFUSED, ids=[f"{k}: {s}" for k, _, s in REFUSED])
def test_what_cannot_be_is_refused(store: Store, kind: str, payload: dict[str, Any], said: str) -> None:
    write(store, "session_run", session("b2", "Samphire"))
    write(store, "signs_seen", seen())
    before = store.count()
    with pytest.raises(NaresError, match=said):
        write(store, kind, payload)
    assert store.count() == before


def test_signs_looked_into_are_not_looked_into_twice(store: Store) -> None:
    first = write(store, "signs_seen", seen())
    clearing = {"dog": "Brine", "signs": [first.number], "why": "hot day"}
    write(store, "signs_cleared", clearing)
    with pytest.raises(Refused, match="looked into"):
        write(store, "signs_cleared", clearing)
