"""What someone might try on the tables that pages read, leaving the entries alone."""

from collections.abc import Callable
from pathlib import Path
from sqlite3 import Connection

import pytest
from tests.record.kennel import Clock, opened

from nares.record.verify import Verdict

Attacked = Callable[..., Verdict]


@pytest.mark.parametrize(
    ("statement", "table", "said"),
    [
        ("UPDATE reps SET met = 0 WHERE place = 0", "reps", "met is 0, the entries say 1"),
        ("UPDATE reps SET hold_s = 9.5 WHERE place = 1", "reps", "hold_s is 9.5, the entries say 0.8"),
        ("DELETE FROM reps WHERE place = 1", "reps", "entry 7, place 1 is missing"),
        ("DELETE FROM reps_aside", "reps_aside", "is missing"),
        ("DELETE FROM changes", "changes", "entry 8 is missing"),
        ("UPDATE calls SET called = 'raise'", "calls", "the entries say 'stay'"),
        ("UPDATE calls SET overruled_entry = NULL", "calls", "the entries say 11"),
        ("UPDATE sessions SET dog = 'Samphire'", "sessions", "dog is 'Samphire', the entries say 'Brine'"),
        ("INSERT INTO dogs VALUES ('Ghost', 'Mutt', NULL, NULL, 'box', '', 3)", "dogs", "any entry|Ghost"),
        ("UPDATE lines SET made_by = 'Nobody' WHERE entry = 2", "lines", "the entries say 'Runa Vell'"),
        ("UPDATE present SET payload = '{}'", "present", "the entries say"),
        ("DROP TABLE calls", "calls", "The table is missing"),
    ],
)
def test_an_edited_table_is_found_and_named(
    attacked: Attacked, statement: str, table: str, said: str
) -> None:
    verdict = attacked(lambda c: c.execute(statement))
    assert not verdict.holds
    assert verdict.first_bad is None  # the entries are as they were
    texts = [finding.text for finding in verdict.findings if finding.where == table]
    assert any(part in text for part in said.split("|") for text in texts)
    assert all("Rebuild the tables" in text for text in texts)


def test_rebuilding_puts_an_edited_table_right(attacked: Attacked, tmp_path: Path) -> None:
    def attack(c: Connection) -> None:
        c.execute("UPDATE reps SET met = 0")
        c.execute("DROP TABLE calls")

    assert not attacked(attack).holds
    with opened(tmp_path, Clock()) as store:
        assert store.rebuild() == 11
        assert [kept.rep.met for kept in store.reps(dog="Brine")] == [True, True]
        assert store.calls("Brine")[0].call == "stay"
