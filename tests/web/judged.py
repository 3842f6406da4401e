"""What people judged of Bracken, to show pages without a record: signs that stand, calls overruled."""

from dataclasses import replace

from tests.web import samples

from nares.app.overrulings_page import OverrulingLine, OverrulingsPage
from nares.app.pages import CallView, Isolation, Offer, OverrulingView
from nares.app.signs import SignsLine, SignsPage
from nares.base.vocab import SignsStanding
from nares.care.latency import Slowing
from nares.care.signs import SIGNS, TO_DO
from nares.decide.isolation.blame import Blame, Share
from nares.decide.isolation.outcomes import tally_of
from nares.decide.isolation.probes import Probe


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


def isolating() -> CallView:
    """A call in the middle of finding out what was too much, with two other ways offered."""
    none, some, all_met = Share(0, 0, None, None), Share(9, 2, 0.06, 0.55), Share(6, 6, 0.61, 1.0)
    probes = (
        Probe("distance_m", "handler distance", "h~distance_m=0", "Handler 2 m away, distance eased",
              "not restored", 7, 2),
        Probe("hand", "hand", "h~hand=side", "Handler 2 m away, hand eased to side", "open", 5, 4),
        Probe("ask_s", "hold", "h~ask_s=1-2", "Handler 2 m away, hold eased to 1 to 2 s", "untried", 0, 0),
    )  # fmt: skip
    blames = (
        Blame("distance_m", "handler distance", some, all_met, (), "Handler distance: 2 of 9 met as now."),
        Blame("hand", "hand", some, none, ("hold",), "Hand: never tried apart from hold."),
    )
    known = Isolation(
        "h",
        "Handler 2 m away",
        probes,
        blames,
        "h~hand=side",
        probes[1].step_name,
        False,
        None,
        (),
        (),
        0.037,
        (),
    )
    offers = (Offer("disturb-mild", "Mild disturbance", "which raises disturbance instead"),)
    return replace(samples.call("stay"), isolating=known, offers=offers)


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
