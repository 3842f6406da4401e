"""Nothing but the placer's page depends on what was drawn: kennels that differ in the seed look alike.

At every stage of a session everything a handler, an evaluator, a recorder or somebody without a seat can get
from the jobs is compared, byte by byte, between two kennels whose line-ups were drawn from different seeds.
Commitments and digests, which hide by the nonce, are replaced first. Then the files are searched for the key.
"""

import json
import logging
import re
import zipfile
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path
from typing import Any

import msgspec
import pytest
from tests.app.lineups.saltmarsh import Session, asked, kennel, sat_down

from nares.app import jobs
from nares.app.cues.values import AskCues
from nares.app.entries import entry_text, export
from nares.app.lineups.requests import CloseLineup, MakeCall, OpenRun, PlaceRun
from nares.base.errors import NaresError
from nares.base.lineups import Role
from nares.design.keys import runs_from

SEEDS = (b"\x07" * 32, b"\x4e" * 32)
BLIND: tuple[Role, ...] = ("handler", "evaluator", "recorder")
HEX = re.compile(r"[0-9a-f]{12,64}…?")


def plain(value: Any) -> str:
    """A page as its JSON twin would be, with everything that only commits or links replaced."""
    return HEX.sub("#", json.dumps(msgspec.to_builtins(value), sort_keys=True, ensure_ascii=False))


def answers(session: Session) -> Iterator[tuple[str, str]]:
    """Everything that can be had without the placer's seat, by name."""
    desk = session.desk
    place = jobs.lineup_page(desk, session.lineup).area.place
    for role in BLIND:
        yield f"seat of the {role}", plain(jobs.seat_page(desk, session.tokens[role]))
    yield "line-up", plain(jobs.lineup_page(desk, session.lineup))
    yield "line-ups", plain(jobs.lineups_page(desk))
    yield "results", plain(desk.store.run_results())
    yield "record", plain(jobs.record_page(desk))
    yield "warm", plain(desk.store.held_targets(place, datetime(2026, 1, 1, tzinfo=UTC)))
    yield "smells", plain(sorted(desk.store.smells_met("Teasel")))
    yield "dog", plain(jobs.dog_page(desk, "Teasel"))
    yield "today", plain(jobs.today_page(desk))
    pages: dict[str, Callable[[], object]] = {
        "score": lambda: jobs.score_page(desk, session.lineup),
        "dog's line-ups": lambda: jobs.dog_lineups_page(desk, "Teasel"),
        "cues": lambda: jobs.cues_page(desk, AskCues("Teasel")),
    }
    for name, page in pages.items():
        try:
            yield name, plain(page())
        except NaresError as fault:
            yield name, plain(str(fault))
    for entry in range(1, desk.store.count() + 1):
        yield f"entry {entry}", plain(entry_text(desk, entry))
    yield from refusals(session)


def refusals(session: Session) -> Iterator[tuple[str, str]]:
    """What is answered to everything a blind seat may not do."""
    desk, tokens = session.desk, session.tokens
    tries: dict[str, Callable[[], object]] = {}
    for run in (1, 2, 9):
        for role in BLIND:
            tries[f"{role} places {run}"] = partial(jobs.place_run, desk, PlaceRun(tokens[role], run))
        for role in BLIND[::2]:
            tries[f"{role} opens {run}"] = partial(jobs.open_run, desk, OpenRun(tokens[role], run))
        call = MakeCall(tokens["handler"], run, 99)
        tries[f"handler calls {run}"] = partial(jobs.make_call, desk, call)
    for role in BLIND[::2]:
        close = CloseLineup(session.lineup, "", tokens[role], "x")
        tries[f"{role} closes"] = partial(jobs.close_lineup, desk, close)
    for name, attempt in tries.items():
        try:
            attempt()
        except NaresError as fault:
            yield name, plain(str(fault))
        else:
            raise AssertionError(f"{name} was let through")


STAGES: list[tuple[str, Callable[[Session], object]]] = [
    ("sealed", lambda session: None),
    ("shown to the placer", lambda session: jobs.seat_page(session.desk, session.tokens["placer"])),
    ("placed", lambda session: session.place(1)),
    ("begun", lambda session: session.begin(1)),
    ("called", lambda session: session.call(1, 2)),
    ("observed", lambda session: session.observe(1, 2)),
    ("observed by the recorder", lambda session: session.observe(1, 3, "recorder")),
    ("void", lambda session: session.void(1)),
    ("next placed", lambda session: session.place(2)),
    ("next begun", lambda session: session.begin(2)),
    ("next observed first", lambda session: session.observe(2, None)),
]


def differing(sessions: list[Session]) -> dict[str, tuple[str, str]]:
    one, other = (dict(answers(session)) for session in sessions)
    assert one.keys() == other.keys()
    return {name: (one[name], other[name]) for name in one if one[name] != other[name]}


@pytest.fixture
def twins(tmp_path: Path) -> Iterator[list[Session]]:
    """Two kennels that differ in the seed alone."""
    with ExitStack() as stack:
        desks = [stack.enter_context(kennel(tmp_path / str(n), seed)) for n, seed in enumerate(SEEDS)]
        yield [sat_down(desk) for desk in desks]


def test_two_seeds_look_alike_at_every_stage_of_a_session(twins: list[Session]) -> None:
    assert twins[0].run(1).placed != twins[1].run(1).placed
    assert [twins[0].run(n).targets for n in range(1, 5)] != [twins[1].run(n).targets for n in range(1, 5)]
    for stage, step in STAGES:
        for session in twins:
            step(session)
        assert differing(twins) == {}, stage


def test_two_training_orders_under_rules_look_alike_while_sealed(tmp_path: Path) -> None:
    """How many orders were tried until one kept the rules follows from the seed, and is not told."""
    with ExitStack() as stack:
        desks = [stack.enter_context(kennel(tmp_path / str(n), seed)) for n, seed in enumerate(SEEDS)]
        wish = asked(runs=16, blinding="known", distractors=())
        drawn = [jobs.draw_lineup(desk, wish).lineup for desk in desks]
        sealed = [desk.store.lineup(name).sealed for desk, name in zip(desks, drawn, strict=True)]
        keys = [desk.vault.key(one.lineup, one.commitment) for desk, one in zip(desks, sealed, strict=True)]
        assert keys[0]["tries"] != keys[1]["tries"]
        shown = [
            (plain(jobs.lineup_page(desk, name)), plain(entry_text(desk, desk.store.count())))
            for desk, name in zip(desks, drawn, strict=True)
        ]
        assert shown[0] == shown[1]


def test_the_comparison_sees_a_difference_once_a_run_is_open(twins: list[Session]) -> None:
    for session in twins:
        session.work(1, 2)
    found = differing(twins)
    assert {"line-up", "results", "seat of the evaluator"} <= found.keys()
    for session in twins:  # what is still sealed is so in every answer
        assert all(not run.placed for run in jobs.lineup_page(session.desk, session.lineup).runs[1:])


def test_of_a_known_line_up_only_tries_and_rules_kept_may_differ(tmp_path: Path) -> None:
    """Not caught: tries, and which usual rules fit, may tell of totals, never of places."""
    with ExitStack() as stack:
        desks = [stack.enter_context(kennel(tmp_path / str(n), seed)) for n, seed in enumerate(SEEDS)]
        twins = [sat_down(desk, blinding="known", runs=8, targets_low=1, blank_runs=None) for desk in desks]
        for stage, step in STAGES:
            for session in twins:
                step(session)
            shown = [
                [plain(jobs.seat_page(session.desk, session.tokens[role])) for role in BLIND]
                for session in twins
            ]
            assert shown[0] == shown[1], stage
            pages = [jobs.lineup_page(session.desk, session.lineup) for session in twins]
            one, other = (plain(replace(page, tries=1, rules=())) for page in pages)
            assert one == other, stage


def refused_by_runs(session: Session, area: Any) -> list[str]:
    """What is answered to longer and longer line-ups at a place, where they are refused."""
    refused = []
    for runs in range(15, 25):
        try:
            jobs.draw_lineup(session.desk, asked(area=area, runs=runs))
        except NaresError as fault:
            refused.append(f"{runs}: {fault}")
    return refused


def test_a_place_that_keeps_odour_tells_nothing_of_a_sealed_line_up_there(tmp_path: Path) -> None:
    area = jobs.lineup_area("room", 20, "old mill")
    with ExitStack() as stack:
        seconds, refused = [], []
        for number, seed in enumerate(SEEDS):
            desk = stack.enter_context(kennel(tmp_path / str(number), seed))
            first = sat_down(desk, area=area, runs=2, targets_low=1, blank_runs=None)
            first.place(1)
            second = sat_down(desk, area=area, runs=3)
            # Settled inside, for the placer of the second line-up alone.
            assert second.key()["asked"]["warm"] == list(first.run(1).targets)
            seconds.append(second)
            refused.append(refused_by_runs(second, area))
        assert differing(seconds) == {}
        assert refused[0] == refused[1]
        assert refused[0] != []
        assert "is not open yet, so up to 1 more positions may be warm" in refused[0][0]


def secrets_of(session: Session) -> list[bytes]:
    """Texts of a sealed key that may be in no file but the vault."""
    key = session.key()
    runs = [json.dumps(run["placed"], separators=(",", ":")).encode() for run in key["runs"]]
    orders = [json.dumps(run["placing"], separators=(",", ":")).encode() for run in key["runs"]]
    return [
        key["nonce"].encode(),
        key["seed"].encode(),
        bytes.fromhex(key["seed"]),
        bytes.fromhex(key["nonce"]),
        *(run.nonce.encode() for run in runs_from(key)),
        *runs,
        *orders,
        b'"holds":"target"',
    ]


def test_no_file_but_the_vault_holds_the_key(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    with kennel(tmp_path / "data") as desk:
        session = sat_down(desk)
        session.place(1)
        session.begin(1)
        session.call(1)
        session.observe(1)
        export(desk, tmp_path / "out.zip", leave_out_missing=True)
        desk.store.rebuild()
        looked_for = secrets_of(session)
        files = [path for path in tmp_path.rglob("*") if path.is_file() and path.name != "vault.sqlite3"]
        assert {"record.sqlite3", "out.zip"} <= {path.name for path in files}
        for path in files:
            held = path.read_bytes()
            assert [text for text in looked_for if text in held] == [], path.name
        with zipfile.ZipFile(tmp_path / "out.zip") as bag:
            assert not [name for name in bag.namelist() if "vault" in name]
            for name in bag.namelist():
                assert [text for text in looked_for if text in bag.read(name)] == [], name
        logged = caplog.text.encode()
        assert [text for text in looked_for if text in logged] == []


def test_codes_and_tokens_are_in_no_file_in_clear(tmp_path: Path) -> None:
    with kennel(tmp_path / "data") as desk:
        session = sat_down(desk)
        clear = [one.code.encode() for one in session.drawn.codes] + [
            t.encode() for t in session.tokens.values()
        ]
        for path in tmp_path.rglob("*"):
            if path.is_file():
                assert [text for text in clear if text in path.read_bytes()] == [], path.name


def test_what_the_placer_is_shown_is_written_down_first(tmp_path: Path, monkeypatch: Any) -> None:
    with kennel(tmp_path / "data") as desk:
        session = sat_down(desk)

        def full(*_: Any, **__: Any) -> None:
            raise OSError("no space left")

        monkeypatch.setattr(type(desk.store), "append_all", full)
        with pytest.raises(OSError, match="no space"):
            jobs.seat_page(desk, session.tokens["placer"])
        monkeypatch.undo()
        assert desk.store.key_seen(session.lineup) == []


def test_a_placer_who_tells_the_handler_is_not_found(tmp_path: Path) -> None:
    """Not caught: what one person tells another leaves no entry, and the run is called double-blind."""
    with kennel(tmp_path / "data") as desk:
        session = sat_down(desk)
        session.place(1)
        told = session.run(1).targets  # whispered
        session.begin(1)
        session.call(1, told[0] if told else None)
        session.observe(1, told[0] if told else None)
        session.open(1)
        assert desk.store.blinding_of_runs(session.lineup)[1][0] == "double"


def test_the_owner_of_the_computer_can_read_the_vault(tmp_path: Path) -> None:
    """Not caught: the file is its owner's, and looking into it leaves no entry."""
    with kennel(tmp_path / "data") as desk:
        session = sat_down(desk)
        assert session.key()["seed"].encode() in (tmp_path / "data" / "vault.sqlite3").read_bytes()
        assert desk.store.key_seen(session.lineup) == []


def test_how_long_placing_takes_is_on_the_record_and_may_tell(tmp_path: Path) -> None:
    """Not caught: when a run was placed is known to everybody, and setting a target may take longer."""
    with kennel(tmp_path / "data") as desk:
        session = sat_down(desk)
        session.place(1)
        page = jobs.lineup_page(desk, session.lineup)
        assert page.runs[0].placed_at is not None
