"""Rep tables come in whole or not at all, and go out as they came in."""

from dataclasses import replace
from pathlib import Path

import pytest

from nares.app import jobs
from nares.app.deeds import ImportReps
from nares.app.desk import Desk
from nares.base.errors import NaresError, NotEnoughData, Refused, Unknown, Unusable

HEADER = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,"
    "distance_m,disturbance,source,cues,paid"
)


def rows(dog: str = "Moss", session: str = "moss-t1", reps: int = 10) -> list[str]:
    return [
        f"{dog},{session},2026-03-01T08:00:00Z,source-breaths,{rep},1,1.3,mark,1,inside,inside,0,0,target,target,1"
        for rep in range(1, reps + 1)
    ]


@pytest.fixture
def table(tmp_path: Path) -> Path:
    return tmp_path / "reps.csv"


def write(table: Path, lines: list[str], header: str = HEADER) -> ImportReps:
    table.write_text("\n".join([header, *lines]) + "\n", encoding="utf-8")
    return ImportReps(table, "Wren")


def test_a_table_becomes_reps_and_a_call_at_once(desk: Desk, table: Path) -> None:
    jobs.import_reps(desk, write(table, rows()))
    call = jobs.dog_page(desk, "Moss").card.call
    assert call is not None
    assert (call.call, call.evidence.reps, call.evidence.met) == ("raise", 10, 10)


def test_what_was_brought_in_goes_out_again(desk: Desk, table: Path) -> None:
    jobs.import_reps(desk, write(table, rows()))
    out = jobs.reps_table(desk).splitlines()
    assert out[0] == HEADER
    assert len(out) == 11
    assert out[1].startswith("Moss,moss-t1,2026-03-01T08:00:00")


def test_a_dog_of_the_table_can_be_added(desk: Desk, table: Path) -> None:
    asked = write(table, rows("Juniper", "j-1"))
    with pytest.raises(Unknown, match="not on the record: Juniper"):
        jobs.import_reps(desk, asked)
    jobs.import_reps(desk, ImportReps(table, "Wren", add_dogs=True))
    assert desk.store.dog("Juniper").dog == "Juniper"


@pytest.mark.parametrize(
    ("lines", "header", "error", "said"),
    [
        (rows(), HEADER.replace("hold_s,", ""), Unusable, "hold_s"),
        ([], HEADER, NotEnoughData, "holds no reps"),
        ([*rows(reps=2), rows(reps=1)[0]], HEADER, Unusable, "line 4"),
        ([rows(reps=1)[0].replace(",1.3,", ",-1.3,")], HEADER, Unusable, "line 2.*hold_s"),
        ([rows(reps=1)[0].replace("T08:00:00Z", "T08:00:00")], HEADER, Unusable, "line 2.*zone"),
        ([rows(reps=1)[0].replace(",inside,inside,", ",roof,inside,")], HEADER, Unusable, "roof"),
    ],
    ids=["missing column", "no rows", "same rep twice", "ends before it starts", "no zone", "no such hand"],
)
def test_a_faulty_table_is_named_and_nothing_is_written(
    desk: Desk, table: Path, lines: list[str], header: str, error: type[NaresError], said: str
) -> None:
    before = desk.store.count()
    with pytest.raises(error, match=f"(?s){said}"):
        jobs.import_reps(desk, write(table, lines, header))
    assert desk.store.count() == before


def test_a_table_brought_in_twice_is_refused_the_second_time(desk: Desk, table: Path) -> None:
    asked = write(table, rows())
    jobs.import_reps(desk, asked)
    before = desk.store.count()
    with pytest.raises(Refused, match="Already on the record: moss-t1"):
        jobs.import_reps(desk, asked)
    assert desk.store.count() == before


def test_a_table_that_is_no_text_is_named(desk: Desk, table: Path) -> None:
    table.write_bytes(b"\xff\xfe\x00dog")
    with pytest.raises(Unusable, match=r"reps\.csv is not UTF-8 text"):
        jobs.import_reps(desk, ImportReps(table, "Wren"))


def test_rows_of_two_dogs_may_be_mixed(desk: Desk, table: Path) -> None:
    mixed = [row for pair in zip(rows(reps=5), rows("Juniper", "j-1", 5), strict=True) for row in pair]
    jobs.import_reps(desk, replace(write(table, mixed), add_dogs=True))
    kept = [(row.rep.dog, row.rep.session, row.rep.rep) for row in desk.store.reps()]
    assert sorted(kept) == [
        (dog, session, rep)
        for dog, session in (("Juniper", "j-1"), ("Moss", "moss-t1"))
        for rep in range(1, 6)
    ]


def test_one_session_name_for_two_dogs_is_named_and_nothing_written(desk: Desk, table: Path) -> None:
    asked = replace(write(table, rows() + rows("Juniper", "moss-t1")), add_dogs=True)
    before = desk.store.head()
    with pytest.raises(Unusable, match="session moss-t1: It holds reps of Moss and Juniper"):
        jobs.import_reps(desk, asked)
    assert desk.store.head() == before


@pytest.mark.parametrize(
    "row",
    [
        rows()[0].replace("source-breaths,1,", f"source-breaths,{2**70},"),
        rows(session="a\x00b")[0],
        rows(session="a\u202eb")[0],
        rows(session="n" * 201)[0],
    ],
)
def test_a_number_or_name_the_record_cannot_hold_is_refused_whole(desk: Desk, table: Path, row: str) -> None:
    before = desk.store.head()
    with pytest.raises(Refused, match=r"Nothing was written|Give it a name|Give a shorter"):
        jobs.import_reps(desk, write(table, [row]))
    assert desk.store.head() == before
