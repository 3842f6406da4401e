"""Several browsers at once: one run opened by two, a call tapped twice, different calls, closing twice."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial

from tests.app.lineups.saltmarsh import Session

from nares.app.deeds import Receipt
from nares.app.desk import Desk
from nares.base.errors import Refused
from nares.record.verify import verify

AT_ONCE = 6


def all_at_once(deeds: list[Callable[[], Receipt]]) -> tuple[list[Receipt], list[str]]:
    """Do all of it at the same time: the receipts, and what was refused."""
    done: list[Receipt] = []
    refused: list[str] = []

    def one(deed: Callable[[], Receipt]) -> None:
        try:
            done.append(deed())
        except Refused as fault:
            refused.append(str(fault))

    with ThreadPoolExecutor(len(deeds)) as pool:
        list(pool.map(one, deeds))
    return done, refused


def test_every_step_done_by_many_at_once_stands_once(desk: Desk, session: Session) -> None:
    steps: list[Callable[[], Receipt]] = [
        lambda: session.place(1),
        lambda: session.begin(1),
        lambda: session.call(1, 2),
        lambda: session.observe(1, 2),
        lambda: session.open(1),
        lambda: session.void(2),
        lambda: session.close("tired"),
    ]
    for step in steps:
        done, refused = all_at_once([step] * AT_ONCE)
        assert refused == []
        assert len({receipt.entry for receipt in done}) == 1
    kinds = [desk.store.entry(number).kind for number in range(1, desk.store.count() + 1)]
    for kind in (
        "key_seen",
        "run_placed",
        "run_begun",
        "call_made",
        "run_observed",
        "run_opened",
        "key_opened",
    ):
        assert kinds.count(kind) == 1
    assert verify(desk.store).holds


def test_of_different_calls_at_once_one_stands(desk: Desk, session: Session) -> None:
    session.place(1)
    session.begin(1)
    deeds: list[Callable[[], Receipt]] = [partial(session.call, 1, at) for at in (1, 2, 3, None)]
    done, refused = all_at_once(deeds)
    assert (len(done), len(refused)) == (1, 3)
    assert all("stands already" in said for said in refused)


def test_opening_and_voiding_at_once_leave_one_story(desk: Desk, session: Session) -> None:
    session.place(1)
    session.begin(1)
    session.call(1)
    session.observe(1)
    all_at_once([lambda: session.open(1), lambda: session.void(1)] * 3)
    row = desk.store.runs_of(session.lineup)[0]
    assert row.void_entry is not None or row.opened_entry is not None
    if row.opened_entry is not None and row.void_entry is not None:
        assert desk.store.entry(row.void_entry).payload["was_open"] is True
    assert verify(desk.store).holds
