"""A new dog's holds lean on the kennel's other dogs, read from the record; an old hand's do not."""

from pathlib import Path

import numpy as np

from nares.app import jobs
from nares.app.deeds import AddDog, ImportReps
from nares.app.desk import Desk
from nares.app.kennel_holds import other_dogs

HEADER = (
    "dog,session,started_at,step,rep,ask_s,hold_s,ended_by,met,hand,pay_place,distance_m,disturbance,source,"
    "cues,paid"
)


def bring_in(desk: Desk, folder: Path, dog: str, reps: int, seed: int) -> None:
    """Reps at one step, held about 2 s, in sessions of twelve."""
    draws = np.random.default_rng(seed)
    lines = []
    for rep in range(reps):
        would, ask_s = 2.5 * draws.weibull(2.0), 0.8 + 0.7 * draws.random()
        met = would >= ask_s
        day, number = divmod(rep, 12)
        lines.append(
            f"{dog},{dog}-{day},2026-01-{1 + day:02d}T08:00:00Z,source-breaths,{number + 1},{ask_s:.1f},"
            f"{min(would, ask_s):.1f},{'mark' if met else 'dog'},{int(met)},inside,inside,0,0,target,,1"
        )
    table = folder / f"{dog}.csv"
    table.write_text("\n".join([HEADER, *lines]) + "\n", encoding="utf-8")
    jobs.import_reps(desk, ImportReps(table, "Wren"))


def test_a_new_dog_leans_on_the_others_and_the_page_says_so(desk: Desk, tmp_path: Path) -> None:
    for number, name in enumerate(("Fern", "Reed", "Moss")):
        if name != "Moss":
            jobs.add_dog(desk, AddDog(name, "Springer Spaniel"))
        bring_in(desk, tmp_path, name, 6 if name == "Moss" else 72, number)
    hold = jobs.dog_page(desk, "Moss").hold
    assert hold is not None
    assert (hold.reps, hold.other_dogs) == (6, 2)
    assert hold.from_others > 0.5
    assert "Mostly from 2 other dogs" in hold.note
    old_hand = jobs.dog_page(desk, "Fern").hold
    assert old_hand is not None
    assert (old_hand.reps, old_hand.other_dogs, old_hand.from_others) == (72, 0, 0.0)


def test_a_kennel_of_one_dog_teaches_nothing(desk: Desk, tmp_path: Path) -> None:
    bring_in(desk, tmp_path, "Moss", 24, 3)
    reps = [row.rep for row in desk.store.reps(dog="Moss")]
    assert other_dogs(desk, "Moss", reps, "source-breaths") is None
