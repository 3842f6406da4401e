"""How blind a run was: every edge by name, and that knowledge and company never raise the level."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nares.base.lineups import Blinding
from nares.design.blinding import Circumstances, Saw, blinding_of

TOBIN, INES, JOSS, WIL, MARA = "Tobin Fell", "Ines Harrow", "Joss Pike", "Wil Tarn", "Mara Quill"
RUN = Circumstances(
    run=3,
    handler=TOBIN,
    called=20,
    opened=30,
    present=(TOBIN, INES),
    at_work=(INES,),
    placers=(JOSS,),
    saw=(Saw(JOSS, (3,), 10),),
)
RANK: dict[Blinding, int] = {"known": 0, "single": 1, "double": 2}


def level(**other: Any) -> Blinding | None:
    return blinding_of(replace(RUN, **other))[0]


def because(**other: Any) -> str:
    return " ".join(blinding_of(replace(RUN, **other))[1])


def test_nobody_there_knew() -> None:
    assert level() == "double"
    assert because() == (
        "Nobody who was there had been shown what lay where: Tobin Fell, Ines Harrow. "
        "The call stood before the key of the run was opened."
    )


def test_a_handler_who_placed_knew() -> None:
    assert level(placers=(TOBIN,)) == "known"
    assert "Tobin Fell, who called, had placed the run" in because(placers=(TOBIN,))


def test_a_placer_in_sight_makes_it_single() -> None:
    assert level(present=(TOBIN, INES, JOSS)) == "single"
    assert "Joss Pike, who was there, had placed the run." in because(present=(TOBIN, INES, JOSS))


@pytest.mark.parametrize("name", ["joss pike", " Joss  Pike ", "JOSS PIKE", "Ｊoss Pike"])
def test_a_name_written_otherwise_is_the_same_person(name: str) -> None:
    assert level(present=(TOBIN, INES, name)) == "single"
    assert level(handler=name) == "known"


def test_an_evaluator_who_read_the_key_of_this_run_knew_and_of_a_later_run_did_not() -> None:
    assert level(saw=(Saw(INES, (3,), 10),)) == "single"
    assert level(saw=(Saw(INES, (4, 5), 10),)) == "double"
    assert level(saw=(Saw(INES, (2, 3, 4), 10),)) == "single"


def test_a_handler_shown_the_key_after_the_call_did_not_know_when_calling() -> None:
    assert level(saw=(Saw(TOBIN, (3,), 19),)) == "known"
    assert level(saw=(Saw(TOBIN, (3,), 21),)) == "single"  # there, and knew before what was seen was opened


def test_an_evaluator_shown_the_key_before_the_opening_knew_while_writing() -> None:
    assert level(saw=(Saw(INES, (3,), 29),)) == "single"
    assert level(saw=(Saw(INES, (3,), 31),)) == "double"


def test_a_recorder_who_wrote_what_they_saw_was_there_named_or_not() -> None:
    saw = (Saw(WIL, (3,), 10),)
    assert level(saw=saw) == "double"
    assert level(saw=saw, at_work=(INES, WIL)) == "single"


def test_nobodys_presence_stated_is_not_to_be_said() -> None:
    assert level(present=()) is None
    assert level(present=("", " ")) is None
    assert because(present=()) == "It is not stated who was present."


def test_presence_not_stated_does_not_hide_who_surely_knew() -> None:
    assert level(present=(), placers=(TOBIN,)) == "known"
    assert level(present=(), placers=(INES,)) == "single"


def test_nobody_placed_is_not_to_be_said() -> None:
    assert level(placers=()) is None
    assert "not on the record who placed" in because(placers=())


def test_no_call_is_not_to_be_said() -> None:
    assert level(called=None) is None
    assert level(handler="") is None
    assert "No call stands" in because(called=None)


def test_a_call_after_the_opening_is_known() -> None:
    assert level(called=31) == "known"
    assert "after the key of run 3 was opened" in because(called=31)


def test_whoever_could_read_the_key_where_it_was_drawn_knew() -> None:
    assert level(drawn_by=TOBIN) == "known"
    assert level(drawn_by=INES) == "single"
    assert level(drawn_by=MARA) == "double"


def test_one_person_in_two_seats() -> None:
    assert level(placers=(INES,)) == "single"  # places and evaluates
    assert level(at_work=(TOBIN,), present=(TOBIN,)) == "double"  # handles and evaluates, alone there


def test_of_a_call_from_paper_the_order_is_not_known() -> None:
    late = (Saw(TOBIN, (3,), 25),)
    assert level(saw=late) == "single"
    assert level(saw=late, on_paper=True) == "known"
    assert "only the paper vouches" in because(on_paper=True)


def test_a_run_not_open_yet_is_judged_by_what_is_known_so_far() -> None:
    assert level(opened=None) == "double"
    assert level(opened=None, saw=(Saw(INES, (3,), 99),)) == "single"


PEOPLE = st.sampled_from([TOBIN, INES, JOSS, WIL, MARA, "tobin fell", " Joss Pike", ""])
SAW = st.builds(Saw, PEOPLE, st.lists(st.integers(1, 5), max_size=3).map(tuple), st.integers(1, 40))
AROUND = st.builds(
    Circumstances,
    run=st.just(3),
    handler=PEOPLE,
    called=st.none() | st.integers(1, 40),
    opened=st.none() | st.integers(1, 40),
    present=st.lists(PEOPLE, max_size=4).map(tuple),
    at_work=st.lists(PEOPLE, max_size=2).map(tuple),
    placers=st.lists(PEOPLE, max_size=1).map(tuple),
    saw=st.lists(SAW, max_size=3).map(tuple),
    drawn_by=PEOPLE,
    on_paper=st.booleans(),
)


def not_higher(after: Circumstances, before: Circumstances) -> bool:
    old, new = blinding_of(before)[0], blinding_of(after)[0]
    return old is None or (new is not None and RANK[new] <= RANK[old])


@given(AROUND, SAW)
def test_knowing_more_never_raises_the_level(around: Circumstances, saw: Saw) -> None:
    assert not_higher(replace(around, saw=(*around.saw, saw)), around)


@given(AROUND, PEOPLE)
def test_who_could_read_the_key_when_it_was_drawn_never_raises_the_level(
    around: Circumstances, name: str
) -> None:
    assert not_higher(replace(around, drawn_by=name), replace(around, drawn_by=""))


@given(AROUND, PEOPLE)
def test_one_more_person_there_never_raises_the_level(around: Circumstances, name: str) -> None:
    assert not_higher(replace(around, present=(*around.present, name)), around)
    assert not_higher(replace(around, at_work=(*around.at_work, name)), around)


@given(AROUND, st.sampled_from([TOBIN, INES, JOSS]))
def test_where_it_could_not_be_said_knowing_more_never_makes_it_double(
    around: Circumstances, name: str
) -> None:
    if blinding_of(around)[0] is None:
        assert blinding_of(replace(around, saw=(Saw(name, (3,), 1),)))[0] != "double"


@given(AROUND)
def test_every_level_comes_with_its_reasons(around: Circumstances) -> None:
    level, why = blinding_of(around)
    assert why
    assert all(one.endswith(".") for one in why)
    if level == "double":
        assert any(name.strip() for name in around.present)
