"""What people judged of Bracken, to show pages without a record: signs that stand, calls overruled."""

from dataclasses import replace

from tests.web import samples

from nares.app.overrulings_page import OverrulingLine, OverrulingsPage
from nares.app.pages import OverrulingView
from nares.app.signs import SignsLine, SignsPage
from nares.base.vocab import SignsStanding
from nares.care.latency import Slowing
from nares.care.signs import SIGNS, TO_DO
from nares.decide.outcomes import tally_of


def signs() -> SignsPage:
    stands = SignsLine(
        41,
        ("Crouches", "Yawns"),
        3,
        samples.STARTED,
        "Mara Quill",
        samples.SESSION,
        4,
        "",
        "By the van.",
        True,
        None,
        "",
        "",
    )
    older = replace(
        stands, entry=22, names=("Moves away",), level=2, stands=False, cleared=25, cleared_why="A wasp.",
        cleared_by="Tobias Reed", latency="Twice as long.",
    )  # fmt: skip
    said = (f"Signs come before the numbers: crouches and yawns (level 3, in {samples.SESSION}). {TO_DO[3]}",)
    return SignsPage(
        "Bracken",
        SignsStanding(3, said, False, (41,)),
        (stands, older),
        SIGNS,
        TO_DO,
        (samples.SESSION, "Bracken-2026-03-11"),
        41,
        samples.SESSION,
        returned_in=samples.SESSION,
        returned=Slowing(1.2, 3.1, True),
    )


def overrulings() -> OverrulingsPage:
    line = OverrulingLine(
        39, "Bracken", samples.STARTED, "Mara Quill", "Hand at the side opening", "stay",
        "Hand at the side opening", "raise", "Hand as a temptation", "He held longer at home.", "bore out",
        "8 of the first 10 reps met at Hand as a temptation (49% to 94%).", 0.49, 0.94,
    )  # fmt: skip
    back = replace(line, entry=30, outcome="taken back", came="Taken back: too soon", taken_back="too soon")
    call = replace(
        samples.call("raise"),
        entry=39,
        overruling=OverrulingView(39, "stay", "raise", "He held longer at home.", "Mara Quill"),
    )
    return OverrulingsPage(
        "Bracken",
        call,
        tuple((key, name) for key, name, _, _ in samples.STEPS),
        (line, back),
        (tally_of("Mara Quill", ["bore out", "taken back"]),),
        10,
        0.167,
        0.18,
    )
