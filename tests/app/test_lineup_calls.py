"""The table of calls: what is read, what is tolerated, and every fault by its line."""

import pytest

from nares.app.lineups.calls_table import BOM, parse_calls

RUNS = {1: [1, 2, 3], 2: [1, 2, 3], 3: [1, 2, 3]}


def faults(text: str) -> list[tuple[str, str]]:
    return [(one.rule, one.where) for one in parse_calls(text, RUNS).findings]


def test_calls_are_read_and_empty_or_clear_is_clear() -> None:
    found = parse_calls("run,position,called_by,called_at\n1,2,Joss Pike,\n2,,,\n3,clear,,\n", RUNS)
    assert [(one.run, one.position, one.by) for one in found.calls] == [
        (1, 2, "Joss Pike"),
        (2, None, ""),
        (3, None, ""),
    ]
    assert (found.findings, found.notes) == ((), ())


@pytest.mark.parametrize("between", [";", "\t"])
def test_a_byte_order_mark_and_other_separators_are_read_and_said(between: str) -> None:
    text = BOM + between.join(("run", "position")) + "\r\n" + between.join(("1", "3")) + "\r\n"
    found = parse_calls(text, RUNS)
    assert [(one.run, one.position) for one in found.calls] == [(1, 3)]
    assert len(found.notes) == 2


def test_every_fault_is_named_by_its_line_and_nothing_is_read() -> None:
    text = (
        "run,position,called_by,called_at\n"
        "1,4,,\n"  # no such position
        "9,1,,\n"  # no such run
        "2,1,,\n"
        "2,2,,\n"  # twice
        "3,x,,yesterday\n"  # no position, no time
        "3.0,1,,\n"  # no run
    )
    assert faults(text) == [
        ("unknown-position", "line 2"),
        ("unknown-run", "line 3"),
        ("run-twice", "line 5"),
        ("unknown-position", "line 6"),
        ("time", "line 6"),
        ("unknown-run", "line 7"),
    ]
    assert parse_calls(text, RUNS).calls == ()


def test_a_wrong_header_says_how_to_begin() -> None:
    found = parse_calls("rep,place\n1,2\n", RUNS)
    assert [one.rule for one in found.findings] == ["no-column", "no-column"]
    assert "run,position,called_by,called_at" in found.findings[0].text
    assert faults("") == [("no-column", "line 1"), ("no-column", "line 1")]
    assert faults("run,position,run\n") == [("column-twice", "line 1")]


def test_a_row_with_too_many_cells_or_a_broken_quote_is_a_fault() -> None:
    assert faults("run,position\n1,2,3\n") == [("too-many-cells", "line 2")]
    assert [rule for rule, _ in faults('run,position\n1,"2\n')] == ["csv"]


def test_an_empty_line_is_no_call() -> None:
    assert parse_calls("run,position\n\n1,2\n,\n", RUNS).calls[0].run == 1
