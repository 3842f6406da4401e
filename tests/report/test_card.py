"""The printed card: one page whatever is on it, tagged and archival, the same bytes, readable."""

import re
import struct
import zlib
from datetime import UTC, datetime
from typing import Any

import pytest

from nares.app import carding
from nares.base.errors import Unknown
from nares.report.card import card_pdf, card_png

STOPS = [
    {
        "key": key,
        "about": about,
        "says": "Stop at once and look at the dog, the box, its edges and the heat. " * 2,
    }
    for key, about in (("signs", "Signs of stress"), ("vet", "To the vet at once"), ("time", "Time"))
] * 3
LONG = "Gerhardus-Maximilian von der Nordseedünenlandschaft, genannt Čeněk-Łukasz Ørsted" * 2


def rep(number: int, count: int, *, blank: bool = False, boxes: int = 4) -> dict[str, Any]:
    return {
        "rep": number,
        "ask_s": None if blank else 12.5 if number % 5 == 0 else 1.4,
        "easy": number in (1, count),
        "source": "distractor" if blank else "target",
        "boxes": boxes,
        "distractor_boxes": [1, 3],
        "where": "No target" if blank else "Target in box 2",
        "others": "Distractors in 1 and 3",
        "rest_after": number == 12,
    }


def card(count: int = 12, **other: Any) -> dict[str, Any]:
    said: dict[str, Any] = {
        "dog": "Teasel",
        "kennel": "Saltmarsh Kennels",
        "day": "2026-03-14",
        "step_name": "Two distractors",
        "call": "raise",
        "conditions": [["Hand", "away"], ["Pay", "inside the box"], ["Boxes", "4"]],
        "reps": [rep(n, count, blank=n % 4 == 0 and n != count) for n in range(1, count + 1)],
        "notes": ["Today's ration pays for 40 reps."],
        "warnings": [],
        "stops": STOPS,
        "signs": [{"level": 3 - n % 2, "name": "Refuses food it normally eats"} for n in range(20)],
        "taken": None,
        "head_entry": 41,
        "head": "ab" * 32,
    }
    return {**said, **other}


def pages_of(pdf: bytes) -> int:
    """Page objects of a PDF whose objects lie packed in streams, counted without a PDF library."""
    packed = re.findall(rb"/ObjStm.*?stream\r?\n(.*?)endstream", pdf, re.DOTALL)
    text = pdf + b"".join(zlib.decompressobj().decompress(part) for part in packed)
    return len(re.findall(rb"/Type\s*/Page\b", text))


@pytest.mark.parametrize("count", [1, 2, 12, 15, 16, 24, 33, 40])
def test_a_card_of_any_length_is_one_page(count: int) -> None:
    assert len(card_png(card(count), dots_per_inch=20)) == 1


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [1, 12, 40])
def test_long_names_and_many_notes_stay_on_one_page(count: int, paper: str) -> None:
    notes = ["A note that goes on about the ration of the day and what is left of it. " * 2] * 3
    said = card(count, dog=LONG, step_name=LONG, kennel=LONG, notes=notes, warnings=notes)
    assert len(card_png(said, paper=paper, dots_per_inch=20)) == 1
    assert pages_of(card_pdf(said, paper=paper)) == 1


def test_too_much_for_a_page_would_be_seen_here() -> None:
    """The planted fault: a hundred and fifty reps are more than the smallest size holds."""
    said = card(150)
    assert len(card_png(said, dots_per_inch=20)) > 1
    assert pages_of(card_pdf(said)) > 1


def test_the_same_card_gives_the_same_bytes_and_another_others() -> None:
    assert card_pdf(card()) == card_pdf(card())
    assert card_pdf(card()) != card_pdf(card(head="cd" * 32))


def test_the_file_says_it_is_tagged_and_archival_and_in_english() -> None:
    pdf = card_pdf(card())
    assert b"/MarkInfo" in pdf
    assert b"/StructTreeRoot" in pdf
    assert b"/Lang" in pdf
    assert b"pdfuaid:part" in pdf
    assert re.search(rb"pdfaid:part[^0-9]*2", pdf)
    assert b"20260314" in pdf
    now = datetime.now(UTC).strftime("%Y%m%d").encode()
    assert now not in pdf


def test_names_are_never_read_as_markup_or_commands() -> None:
    dog = '#panic("run") *bold* $x^2$ <label> @ref [x] \\ "quote" // gone'
    plain = card(dog="Teasel", step_name="Two")
    assert pages_of(card_pdf({**plain, "dog": dog, "step_name": dog, "kennel": dog, "notes": [dog]})) == 1


def test_a_card_that_is_on_no_record_is_printed_too() -> None:
    assert pages_of(card_pdf(card(head=None, head_entry=None, kennel="", call=None))) == 1


def test_a_paper_that_is_not_there_is_refused_in_words() -> None:
    with pytest.raises(Unknown, match=r"no paper 'a5'.*a4, letter"):
        card_pdf(card(), paper="a5")


def test_papers_have_their_sizes() -> None:
    def size_of(png: bytes) -> tuple[int, int]:
        width, height = struct.unpack(">II", png[16:24])
        return width, height

    assert size_of(card_png(card(), dots_per_inch=72)[0]) == (595, 842)
    assert size_of(card_png(card(), paper="letter", dots_per_inch=72)[0]) == (612, 792)


def inked_rows(png: bytes) -> list[int]:
    """Dark pixels in each row of a picture, by the library that is used for plots."""
    import io

    import numpy as np
    from matplotlib.image import imread

    picture = imread(io.BytesIO(png))[:, :, :3]
    return [int(row) for row in np.sum(picture.mean(axis=2) < 0.4, axis=1)]


def test_the_page_is_black_on_white_with_big_numbers_and_filled_to_its_foot() -> None:
    """At 72 dots an inch a row of pixels is a point: the ask of a rep stands 14 points high or more."""
    import io

    import numpy as np
    from matplotlib.image import imread

    picture = imread(io.BytesIO(card_png(card(), dots_per_inch=72)[0]))[:, :, :3]
    grey = picture.mean(axis=2)
    assert float(np.mean(grey > 0.95)) > 0.8
    assert float(np.max(picture.max(axis=2) - picture.min(axis=2))) < 0.02
    rows = inked_rows(card_png(card(), dots_per_inch=72)[0])
    assert sum(rows[800:842]) > 0
    assert sum(rows[:28]) == 0


@pytest.mark.parametrize(("count", "points"), [(6, 20), (12, 16), (20, 11), (40, 9)])
def test_asks_are_readable_at_arms_length(count: int, points: int) -> None:
    """The tallest run of inked rows in the column of asks is a digit: its height in points."""
    import io

    import numpy as np
    from matplotlib.image import imread

    picture = imread(io.BytesIO(card_png(card(count), dots_per_inch=144)[0]))[:, :, :3].mean(axis=2)
    column = picture[250:1400, 110:230] < 0.4
    runs, run = [], 0
    for inked in np.any(column, axis=1):
        run = run + 1 if inked else 0
        runs.append(run)
    assert max(runs) / 2 >= points


def test_a_card_of_the_desk_has_all_the_page_needs(tmp_path: Any) -> None:
    from tests.app.test_carding import table

    rows = table(tmp_path, "t1", "distractors-2", "1011")
    made = carding.card_of_table(rows, dog="Moss", programme=None, now=datetime(2026, 3, 14, tzinfo=UTC))
    assert pages_of(carding.card_as_pdf(made)) == 1
