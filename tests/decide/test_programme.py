"""The programme: the shipped one, and every fault a trainer's edit can bring in."""

import pytest

from nares.base.errors import Unknown, Unusable
from nares.decide import check_programme, read_programme, shipped_programme
from nares.decide.steps.programme_check import raises_of

BOX = shipped_programme()


def changed(old: str, new: str) -> str:
    assert old in BOX
    return BOX.replace(old, new, 1)


def rules(text: str) -> list[tuple[str, str]]:
    return [(finding.rule, finding.where) for finding in check_programme(text)]


def test_the_shipped_programme_has_no_fault_and_each_step_raises_one_criterion() -> None:
    programme = read_programme(BOX)
    assert check_programme(BOX) == check_programme(programme) == []
    assert 20 <= len(programme.steps) <= 28
    pairs = zip(programme.steps, programme.steps[1:], strict=False)
    assert all(len(raises_of(before, step)) == 1 for before, step in pairs)
    assert raises_of(None, programme.steps[0]) == []


def test_the_shipped_programme_stages_the_job_in_order() -> None:
    programme = read_programme(BOX)
    first = [step.hand for step in programme.steps]
    assert first[0] == "inside"
    assert list(dict.fromkeys(first)) == ["inside", "side", "away", "front"]
    raised = [
        name for a, b in zip(programme.steps, programme.steps[1:], strict=False) for name in raises_of(a, b)
    ]
    order = list(dict.fromkeys(raised))
    assert order == [
        "hold", "hand", "food in front", "disturbance", "handler distance", "pay place", "boxes", "blanks",
        "distractors", "area",
    ]  # fmt: skip


def test_every_shipped_step_tells_the_trainer_something_of_its_own() -> None:
    steps = read_programme(BOX).steps
    assert len({step.teaches for step in steps}) == len({step.name for step in steps}) == len(steps)


def test_a_step_that_raises_two_criteria_is_named_with_both() -> None:
    text = changed('hand = "side"\npay_place = "inside"', 'hand = "side"\npay_place = "outside"')
    (finding,) = check_programme(text)
    assert (finding.rule, finding.where) == ("raises-several", "step 3 (hand-side)")
    assert finding.text.startswith("It raises hand and pay place at once.")
    with pytest.raises(Unusable, match=r"step 3 \(hand-side\): It raises hand and pay place at once"):
        read_programme(text)


def test_a_step_that_raises_nothing_is_named() -> None:
    text = changed("ask_s = [0.8, 1.5]", "ask_s = [0.3, 0.8]")
    assert ("raises-nothing", "step 2 (source-breaths)") in rules(text)


@pytest.mark.parametrize(
    ("old", "new", "rule", "where"),
    [
        ('hand = "inside"', 'hand = "up"', "wrong-value", "step 1 (source-value)"),
        ('hand = "inside"\n', "", "missing", "step 1 (source-value)"),
        ('teaches = "Nose', 'colour = "red"\nteaches = "Nose', "unknown-key", "step 1 (source-value)"),
        ("ask_s = [0.3, 0.8]", "ask_s = [0.8, 0.3]", "wrong-value", "step 1 (source-value)"),
        ("ask_s = [0.3, 0.8]", "ask_s = 0.8", "wrong-value", "step 1 (source-value)"),
        ("disturbance = 0", "disturbance = 4", "wrong-value", "step 1 (source-value)"),
        ("disturbance = 0", "disturbance = true", "wrong-value", "step 1 (source-value)"),
        ("blanks = 0\n", "blanks = 25\n", "wrong-value", "step 1 (source-value)"),
        ("boxes = 1\n", "boxes = 1.5\n", "wrong-value", "step 1 (source-value)"),
        ('name = "Stay for a breath"', 'name = ""', "missing", "step 2 (source-breaths)"),
        ('key = "source-breaths"', 'key = "source-value"', "repeated-key", "step 2 (source-value)"),
        ("ready = 0.85 ", "ready = 85 ", "wrong-value", "[call]"),
        ("not_ready = 0.60", "not_ready = 0.90", "wrong-value", "[call]"),
        ("ready = 0.85 ", "redy = 0.85 ", "unknown-key", "[call]"),
        ('area = "room"', 'area = "room"\nready = 0.5', "wrong-value", "step 1 (source-value)"),
        ('name = "Box"', 'title = "Box"', "unknown-key", "programme"),
        ('name = "Box"', "", "missing", "programme"),
    ],
)
def test_each_fault_is_found_where_it_is(old: str, new: str, rule: str, where: str) -> None:
    assert (rule, where) in rules(changed(old, new))


def test_all_faults_come_back_at_once() -> None:
    text = (
        changed('hand = "inside"', 'hand = "up"')
        .replace('key = "hold-8"', "")
        .replace("boxes = 6", "boxes = 0")
    )
    assert {rule for rule, _ in rules(text)} >= {"wrong-value", "missing"}
    with pytest.raises(Unusable, match=r"(?s)step 1 .*step 13 .*step 23 ") as refused:
        read_programme(text)
    assert refused.value.exit_code == 3


@pytest.mark.parametrize("text", ["", 'name = "x"', 'name = "x"\nstep = 3', 'name = "x"\nstep = [1]'])
def test_a_programme_without_steps_says_so(text: str) -> None:
    assert any(finding.rule == "no-steps" for finding in check_programme(text))


@pytest.mark.parametrize("row", ["", "call = 3\n"])
def test_odd_tables_are_findings_and_not_accidents(row: str) -> None:
    assert rules(f'name = "x"\n{row}[[step]]\n')[-1][1] == "step 1 (no key)"


def test_a_slip_in_the_toml_names_the_line() -> None:
    with pytest.raises(Unusable, match=r"not valid TOML: .*line 3.*Correct that line"):
        read_programme('name = "x"\n\nabout = no quotes\n')


def test_levels_come_from_the_step_then_the_programme_then_the_default() -> None:
    text = changed("ready = 0.85 ", "ready = 0.90 ").replace(
        'area = "room"', 'area = "room"\nfalse_raise = 0.02', 1
    )
    first, second = read_programme(text).steps[:2]
    assert (first.ready, first.false_raise, first.missed_raise) == (0.90, 0.02, 0.20)
    assert (second.ready, second.false_raise) == (0.90, 0.05)


def test_unknown_steps_and_programmes_name_the_known_ones() -> None:
    with pytest.raises(Unknown, match=r"no step 'hold-9'.*hold-8"):
        read_programme(BOX).step("hold-9")
    with pytest.raises(Unknown, match=r"No programme 'line'.*box"):
        shipped_programme("line")
