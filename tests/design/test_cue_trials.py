"""Which cues a rep had, and whether what was there paid."""

import pytest
from tests.design.cue_tables import rep

from nares.base.errors import NotEnoughData, OutOfRange, Unknown
from nares.base.lineups import Called, Observed, Placed, RunResult, Visit
from nares.design.cues.at_position import cues_at, trials_of_runs
from nares.design.cues.trials import Trial, history_of, reps_of_dog
from nares.design.cues.vocabulary import CUES, counted_as, cue_of, in_words, is_settable, require_name


def cues_of(*reps: object) -> list[set[str]]:
    return [set(trial.cues) for trial in history_of(reps).trials]  # type: ignore[arg-type]


def test_the_target_comes_from_the_source_whatever_the_cues_say() -> None:
    found = history_of([rep(1, "target", source="blank", paid=False), rep(2, "rain")])
    assert [set(trial.cues) for trial in found.trials] == [set(), {"rain", "target"}]
    assert any("source is believed" in note for note in found.notes)


def test_the_hand_comes_from_its_column_only_where_no_rep_names_it() -> None:
    assert cues_of(rep(1, hand="inside"), rep(2, hand="side"), rep(3)) == [
        {"target", "hand", "hand-in"},
        {"target", "hand"},
        {"target"},
    ]
    assert cues_of(rep(1, "hand", hand="away"), rep(2, hand="inside")) == [{"target", "hand"}, {"target"}]


def test_a_hand_that_is_named_was_in_the_box_where_its_column_says_so() -> None:
    assert cues_of(rep(1, "hand", hand="inside"), rep(2, "hand", hand="side")) == [
        {"target", "hand", "hand-in"},
        {"target", "hand"},
    ]
    named = [rep(1, "hand-in", hand="away"), rep(2, "hand", hand="inside")]
    assert cues_of(*named) == [{"target", "hand", "hand-in"}, {"target", "hand"}]


def test_a_hand_in_the_box_is_a_cue_of_its_own_only_where_hands_differ() -> None:
    assert cues_of(rep(1, hand="inside"), rep(2)) == [{"target", "hand"}, {"target"}]
    assert cues_of(rep(1, "hand-in"), rep(2, "hand")) == [{"target", "hand", "hand-in"}, {"target", "hand"}]


def test_pay_for_going_on_does_not_pay_what_was_there() -> None:
    found = history_of(
        [
            rep(1, source="blank", pay_place="away"),
            rep(2, source="distractor", pay_place="inside"),
            rep(3, pay_place="away"),
        ]
    )
    assert [trial.paid for trial in found.trials] == [False, True, True]
    assert any("1 rep was paid away" in note for note in found.notes)


def test_a_distractor_is_named_by_its_smell_or_by_the_source() -> None:
    found = cues_of(rep(1, "distractor:tape", source="distractor"), rep(2, source="distractor"))
    assert found == [{"distractor:tape"}, {"distractor"}]


def test_reps_come_in_the_order_of_sessions_and_numbers() -> None:
    later = {"session": "t2", "started_at": "2026-03-02T08:00:00Z"}
    mixed = [rep(2, "b", **later), rep(1, "a", **later), rep(3, "c")]
    assert [set(one) - {"target"} for one in cues_of(*mixed)] == [{"c"}, {"a"}, {"b"}]


def test_trials_from_elsewhere_are_sorted_in_by_time() -> None:
    also = [Trial("lineup", "2026-02-01T08:00:00Z", frozenset({"position:2"}), False)]
    assert [trial.session for trial in history_of([rep(1)], also).trials] == ["lineup", "t1"]


def test_another_dog_and_no_reps_are_said() -> None:
    with pytest.raises(Unknown, match=r"Rex.*The dogs are: Teasel"):
        reps_of_dog([rep(1)], "Rex")
    with pytest.raises(NotEnoughData, match="no reps"):
        reps_of_dog([], "Rex")


def test_every_word_says_itself_in_one_sentence() -> None:
    assert all(cue.says.endswith(".") and cue.says[0].isupper() for cue in CUES)
    assert len({cue.key for cue in CUES}) == len(CUES)


@pytest.mark.parametrize(
    ("name", "as_counted"),
    [
        ("since-dog:0min", "since-dog:0-5min"),
        ("since-dog:5min", "since-dog:5-30min"),
        ("since-dog:119min", "since-dog:30-120min"),
        ("since-dog:120min", "since-dog:120min-on"),
        ("since-dog:soon", "since-dog:soon"),
    ],
)
def test_minutes_since_the_last_dog_are_counted_in_bands(name: str, as_counted: str) -> None:
    assert counted_as(name) == as_counted


def test_names_and_words() -> None:
    assert (in_words("distractor:tape"), in_words("box:3"), in_words("hand")) == (
        "distractor tape",
        "box 3",
        "the hand",
    )
    assert (is_settable("residual"), is_settable("rain"), cue_of("rain")) == (False, True, None)
    for bad in ("", "two words", "a:b:c", "x" * 61, "a,b", "<b>"):
        with pytest.raises(OutOfRange, match="no name of a cue"):
            require_name(bad)


PLACED = (
    Placed(1, "blank", container="can-7"),
    Placed(2, "distractor", "duct tape"),
    Placed(3, "control", "gloves"),
    Placed(4, "target", "aid-1"),
    Placed(5, "warm"),
)


def run(
    number: int, visits: tuple[int, ...], alert: int | None, placed: tuple[Placed, ...] = PLACED
) -> RunResult:
    seen = Observed(number, alert, visits=tuple(Visit(p, float(n), 1.0) for n, p in enumerate(visits)))
    return RunResult(
        number, placed, Called(number, alert, "Mara Quill", "2026-03-01T08:00:00Z"), seen, lineup="l1"
    )


def test_a_place_of_a_line_up_says_its_cues() -> None:
    one = run(1, (), None)
    assert [set(cues_at(one, place)) for place in range(1, 6)] == [
        {"position:1"},
        {"distractor:duct-tape", "position:2"},
        {"control:gloves", "position:3"},
        {"target", "position:4"},
        {"residual", "position:5"},
    ]
    assert "since-target:1" in cues_at(run(2, (), None), 4, [one])


def test_a_run_gives_a_trial_for_each_place_the_dog_was_at() -> None:
    found = trials_of_runs([run(1, (1, 2, 1, 4), 4), run(2, (), 2)])
    assert [(sorted(t.cues)[-1], t.paid) for t in found] == [
        ("position:1", False),
        ("position:2", False),
        ("target", True),
        ("position:2", False),
    ]


def test_a_void_or_closed_run_gives_nothing() -> None:
    sealed = run(1, (1, 2), 2, placed=())
    void = RunResult(1, PLACED, Called(1, 4, "", "2026-03-01T08:00:00Z"), void="a fox", lineup="l1")
    assert trials_of_runs([sealed, void]) == ()
