"""The sheets of a line-up: what is on them, what can never be on the call sheet, pages, the same bytes."""

import itertools
import re
from dataclasses import replace
from typing import Any

import pytest
from tests.design.lineups.briefs import brief, seed
from tests.report.test_card import pages_of

from nares.app.lineups.sheet_values import call_sheet_values, placing_sheet_values
from nares.base.errors import Unknown
from nares.base.lineups import Area
from nares.design.keys import commitment_of, key_of, run_commitments_of
from nares.design.lineups import Brief, LineupDrawn, draw_lineup
from nares.report.lineup_sheets import (
    call_sheet_pdf,
    call_sheet_png,
    placing_sheet_pdf,
    placing_sheet_png,
)

DAY = "2026-03-14"
NAME = '#panic("run") *bold* $x^2$ <label> @ref [x] \\ "quote" // gone'


def drawn(asked: Brief, number: int = 1) -> tuple[LineupDrawn, dict[str, Any]]:
    made = draw_lineup(asked, seed(number))
    return made, key_of("Teasel 3", asked, made, seed(number))


def calls(asked: Brief, number: int = 1, **other: Any) -> dict[str, Any]:
    _, key = drawn(asked, number)
    return call_sheet_values(
        "Teasel 3", asked.area, asked.runs, commitment_of(key), run_commitments_of(key), day=DAY, **other
    )


def placing(asked: Brief, number: int = 1, **other: Any) -> dict[str, Any]:
    made, key = drawn(asked, number)
    return placing_sheet_values("Teasel 3", asked.area, made.runs, commitment_of(key), day=DAY, **other)


def test_call_sheets_of_two_seeds_differ_in_nothing_but_their_commitments() -> None:
    """What depends on the seed cannot be printed: so nothing of the key is on the sheet."""
    one, other = calls(brief(), 1), calls(brief(), 2)
    for values in (one, other):
        assert re.fullmatch("[0-9a-f]{64}", values["commitment"])
        assert len(values["run_commitments"]) == 20
    assert {**one, "commitment": "", "run_commitments": []} == {
        **other,
        "commitment": "",
        "run_commitments": [],
    }


def test_call_sheets_of_two_wishes_on_one_plan_are_the_same_too() -> None:
    """Nor does it say how many targets, blanks or distractors there may be."""
    one = calls(brief())
    other = calls(brief(distractors=(), controls=(), blank_runs=None, targets_high=3, aids=("a", "b")))
    for values in (one, other):
        values.update(commitment="", run_commitments=[])
    assert one == other


def test_the_placer_is_told_every_position_of_every_run_in_the_order_of_placing() -> None:
    made, _ = drawn(brief())
    values = placing(brief())
    assert [run["run"] for run in values["runs"]] == list(range(1, 21))
    for run, said in zip(made.runs, values["runs"], strict=True):
        assert [step["position"] for step in said["steps"]] == list(run.placing)
        for step in said["steps"]:
            one = run.placed[step["position"] - 1]
            assert (step["holds"], step["container"]) == (one.holds, one.container)
            assert one.item in step["what"]
        assert said["holds"] == {str(one.position): one.holds for one in run.placed}


def test_gloves_are_fresh_before_every_target_and_between_odours() -> None:
    for run in placing(brief(controls=("packaging", "gloves")))["runs"]:
        steps = run["steps"]
        assert steps[0]["gloves"]
        for before, now in itertools.pairwise(steps):
            assert now["gloves"] == (now["holds"] != "blank")
            assert before["holds"] != "target" or now["holds"] == "target"


def test_what_to_pack_is_every_container_once() -> None:
    made, _ = drawn(brief(fresh=True))
    used = sorted({one.container for run in made.runs for one in run.placed})
    packed = [name for one in placing(brief(fresh=True))["packing"] for name in one["containers"]]
    assert sorted(packed) == used
    assert sum(one["count"] for one in placing(brief(fresh=True))["packing"]) == len(used)


def test_warm_places_are_said_to_the_placer() -> None:
    values = placing(brief(10, 6, shape="room"))
    notes = " ".join(note for run in values["runs"] for note in run["notes"])
    assert "true blank" in notes
    assert any(step["what"].startswith("Nothing (warm") for run in values["runs"] for step in run["steps"])


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("positions", [4, 8, 16, 30, 60])
def test_a_run_is_one_page_however_many_positions(positions: int, paper: str) -> None:
    asked = brief(positions, 3, controls=("packaging",) if positions > 4 else ())
    assert len(placing_sheet_png(placing(asked), paper, dots_per_inch=20)) == 4


def test_names_of_its_own_are_on_both_sheets_and_numbers_alone_are_not_repeated() -> None:
    area = brief(12, 2, shape="room").area
    named = replace(area, spots=tuple(replace(s, name=f"shelf {s.position}b") for s in area.spots))
    assert placing(brief(12, 2, area=named))["runs"][0]["steps"][0]["more"].startswith("shelf ")
    assert placing(brief(12, 2, area=area))["runs"][0]["steps"][0]["more"] == ""
    assert calls(brief(12, 2, area=named))["area"]["names"][0] == [1, "shelf 1b"]


@pytest.mark.parametrize(("runs", "pages"), [(1, 3), (20, 3), (40, 5)])
def test_pages_of_the_call_sheet(runs: int, pages: int) -> None:
    assert len(call_sheet_png(calls(brief(runs=runs)), dots_per_inch=20)) == pages


def test_without_commitments_of_runs_there_is_no_page_of_them() -> None:
    values = call_sheet_values("Teasel 3", brief().area, 20, "ab" * 32, (), day=DAY)
    assert len(call_sheet_png(values, dots_per_inch=20)) == 2


def test_the_same_values_give_the_same_bytes_and_files_are_tagged_and_archival() -> None:
    for made, again, other in (
        (call_sheet_pdf(calls(brief())), call_sheet_pdf(calls(brief())), call_sheet_pdf(calls(brief(), 2))),
        (
            placing_sheet_pdf(placing(brief(runs=2))),
            placing_sheet_pdf(placing(brief(runs=2))),
            placing_sheet_pdf(placing(brief(runs=2), 2)),
        ),
    ):
        assert made == again != other
        for mark in (b"/MarkInfo", b"/StructTreeRoot", b"/Lang", b"pdfuaid:part", b"20260314"):
            assert mark in made
        assert re.search(rb"pdfaid:part[^0-9]*2", made)


def test_names_are_never_read_as_markup_or_commands() -> None:
    area = brief().area
    spoiled = Area(
        NAME, area.shape, area.width_m, area.depth_m, (replace(area.spots[0], name=NAME), *area.spots[1:])
    )
    asked = brief(runs=1, area=spoiled, aids=(NAME, NAME + "2"))
    values = calls(asked, dog=NAME, kennel=NAME, people={"handler": NAME})
    assert pages_of(call_sheet_pdf(values)) == 3
    assert pages_of(placing_sheet_pdf(placing(asked, dog=NAME, kennel=NAME))) == 2


def test_a_paper_that_is_not_there_is_refused() -> None:
    with pytest.raises(Unknown, match="a4, letter"):
        call_sheet_pdf(calls(brief()), paper="a5")


def test_the_plan_is_to_scale_and_every_page_of_the_placer_is_headed_by_the_warning() -> None:
    """Black band at the head: more than half of a row of pixels is dark."""
    import io

    import numpy as np
    from matplotlib.image import imread

    for page in placing_sheet_png(placing(brief(runs=2)), dots_per_inch=40):
        picture = imread(io.BytesIO(page))[:, :, :3].mean(axis=2)
        band = np.mean(picture[: picture.shape[0] // 12] < 0.4, axis=1)
        assert float(band.max()) > 0.5
