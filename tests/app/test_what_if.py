"""What if: other levels for a dog's step, computed as the call is, and not a word on the record."""

from pathlib import Path
from typing import Any

import pytest

from nares.app import jobs
from nares.app.deeds import ImportSheet, LookAtSheet, WhatIf
from nares.app.desk import Desk
from nares.app.what_if import what_if_answer
from nares.base.errors import OutOfRange, Unknown
from nares.decide import ladder_risk, operating_characteristics, step_call


@pytest.fixture
def worked(desk: Desk, tmp_path: Path) -> Desk:
    """Moss has met 7 of 7 at its first step, holds and asks written down."""
    rows = ["Date,Dog,Step,Ask,Hold,Ended by"]
    rows += [f"2026-02-2{n},Moss,source-value,0.5,{0.5 + n / 10:.1f},mark" for n in range(7)]
    file = tmp_path / "moss.csv"
    file.write_text("\n".join(rows) + "\n")
    page = jobs.sheet_page(desk, LookAtSheet(file))
    jobs.import_sheet(desk, ImportSheet(LookAtSheet(file), "Wren", page.seen))
    return desk


def test_nothing_is_written(worked: Desk) -> None:
    before = worked.store.head()
    jobs.what_if_page(worked, WhatIf("Moss", ready=0.9, not_ready=0.7, chance=0.7))
    assert worked.store.head() == before


def test_without_a_wish_it_is_the_programme_as_it_stands(worked: Desk) -> None:
    page = jobs.what_if_page(worked, WhatIf("Moss"))
    assert (page.changed, page.levels) == ((), page.own)
    assert page.then == page.own_call
    assert page.then.call == "stay"
    for row in page.rows:
        assert (row.to_raise, row.reps) == (row.own_to_raise, row.own_reps)


def test_the_figures_are_those_of_the_exact_recursion(worked: Desk) -> None:
    page = jobs.what_if_page(worked, WhatIf("Moss", ready=0.9, not_ready=0.7))
    levels: dict[str, Any] = {
        "ready": 0.9,
        "not_ready": 0.7,
        "false_raise": 0.05,
        "missed_raise": 0.2,
        "cap": 40,
    }
    rates = [row.rate for row in page.rows]
    for row, exact in zip(page.rows, operating_characteristics(rates, **levels), strict=True):
        assert (row.to_raise, row.to_ease, row.undecided, row.reps) == pytest.approx(
            (exact.to_raise, exact.to_ease, exact.undecided, exact.reps)
        )
        assert row.to_raise + row.to_ease + row.undecided == pytest.approx(1)
    assert page.at_not_ready.to_raise <= 0.05
    assert page.ladder.over == pytest.approx(ladder_risk(page.ladder.raises, each=page.at_not_ready.to_raise))
    assert ladder_risk(page.ladder.raises, each=page.ladder.each) == pytest.approx(0.2)


def test_todays_call_is_the_one_these_levels_give(worked: Desk) -> None:
    met = [1] * 7
    tried: list[dict[str, Any]] = [{}, {"ready": 0.9, "not_ready": 0.7}, {"false_raise": 0.01}]
    for levels in tried:
        page = jobs.what_if_page(worked, WhatIf("Moss", **levels))
        assert page.then.call == step_call(met, **levels).call
    page = jobs.what_if_page(worked, WhatIf("Moss", false_raise=0.2))
    assert (page.then.call, page.own_call.call) == ("raise", "stay")
    assert (page.counted, page.counted_met) == (7, 7)


def test_the_words_carry_the_figures(worked: Desk) -> None:
    page = jobs.what_if_page(worked, WhatIf("Moss"))
    said = " ".join(page.said).replace("\u00a0", " ")
    assert "A dog at 60 % would be raised by luck 1 time in 20" in said
    assert "A dog at 85 % would be raised 80 times in 100" in said
    assert "in between, at 72.5 %" in said


def test_a_cap_too_short_for_the_levels_is_said(worked: Desk) -> None:
    said = " ".join(jobs.what_if_page(worked, WhatIf("Moss", not_ready=0.75, cap=20)).said)
    assert "A cap of 20 reps is too short for these levels" in said
    assert "too short" not in " ".join(jobs.what_if_page(worked, WhatIf("Moss")).said)


def test_the_ask_follows_the_chance_and_never_leaves_what_was_seen(worked: Desk) -> None:
    sure, bold = (jobs.what_if_page(worked, WhatIf("Moss", chance=chance)).ask for chance in (0.95, 0.6))
    assert sure is not None
    assert bold is not None
    assert sure.ask_s <= bold.ask_s <= 1.25 * bold.longest_s + 1e-9
    assert (bold.bound, bold.beyond, bold.high_s) == (True, True, None)


def test_a_dog_without_a_rep_has_no_ask_but_figures(desk: Desk) -> None:
    page = jobs.what_if_page(desk, WhatIf("Moss", false_raise=0.01))
    assert (page.ask, page.counted, page.then.call) == (None, 0, "stay")
    assert page.raise_at


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        ({"ready": 0.6, "not_ready": 0.6}, r"Not ready \(60\s%\) is not below ready \(60\s%\). Move one"),
        ({"ready": 1.2}, "Ready of 1.2 cannot be looked at. Give a share from 0.55 to 0.99"),
        ({"cap": 5}, "Cap of 5 cannot be looked at. Give reps from 10 to 120"),
        ({"false_raise": 0.0}, "False raise of 0 cannot be looked at"),
        ({"chance": float("nan")}, "Chance of success of nan"),
    ],
)
def test_levels_that_cannot_be_are_said(worked: Desk, levels: dict[str, Any], words: str) -> None:
    with pytest.raises(OutOfRange, match=words):
        jobs.what_if_page(worked, WhatIf("Moss", **levels))


def test_a_dog_nobody_knows_is_said(desk: Desk) -> None:
    with pytest.raises(Unknown, match="Rex"):
        jobs.what_if_page(desk, WhatIf("Rex"))


def test_the_answer_leaves_the_plots_out(worked: Desk) -> None:
    page = jobs.what_if_page(worked, WhatIf("Moss"))
    said = what_if_answer(page)
    assert (said["schema"], "chances_svg" in said, said["levels"]["ready"]) == ("what-if/1", False, 0.85)
    assert "At 60% met 5 in 100 are raised, at 85% 80 in 100" in page.chances_svg
    assert "At 60% met 7.8 reps, at 85% 13.2" in page.reps_svg
