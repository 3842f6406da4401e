"""A real record with a sealed line-up, and people with seats at it, for tests that go through the pages."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.web.seated import PEOPLE, SeatClient

from nares.app import jobs
from nares.app.deeds import AddDog
from nares.app.desk import Desk, open_desk
from nares.app.lineups.requests import DrawLineup
from nares.app.lineups.values import Drawn
from nares.base.lineups import Role, Smell

AID = "tansy-lot-9"
"""What the target is called: a word that stands nowhere else."""


@dataclass(frozen=True, slots=True)
class Sealed:
    """A desk with one sealed line-up, and its codes by role."""

    desk: Desk
    drawn: Drawn

    @property
    def lineup(self) -> str:
        return self.drawn.lineup

    @property
    def codes(self) -> dict[Role, str]:
        return {one.role: one.code for one in self.drawn.codes}

    def key(self) -> dict[str, Any]:
        """The sealed key, read from the vault past every door."""
        return self.desk.vault.key(self.drawn.lineup, self.drawn.commitment)

    def client(self, role: Role | None = None, *, away: bool = True, **given: Any) -> SeatClient:
        """A browser, seated if a role is given."""
        made = SeatClient(desk=self.desk, away=away, **given)
        return made.sit(self.codes[role]) if role else made


def asked(seed: str | None = None, **changed: Any) -> DrawLineup:
    given: dict[str, Any] = {
        "area": jobs.lineup_area("cans", 6, "Long barn"),
        "runs": 20,
        "targets_low": 0,
        "targets_high": 1,
        "blank_runs": 0.25,
        "dog": "Teasel",
        "by": "Ines Harrow",
        "aids": (AID,),
        "distractors": (Smell("tape"), Smell("glove")),
        "blinding": "double",
        "people": dict(PEOPLE),
        "seed": seed,
    }
    return DrawLineup(**{**given, **changed})


@contextmanager
def sealed(folder: Path, seed: str | None = None, *, now: Any = None, **changed: Any) -> Iterator[Sealed]:
    """Saltmarsh Kennels with Teasel's first line-up, drawn by the trainer and shown to nobody.

    Every kennel signs with the same secret, so that a signature alone keeps nobody out.
    """
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "secret").write_text("5e" * 32, encoding="ascii")
    with open_desk(folder, person="Mara Quill", kennel="Saltmarsh Kennels", site="yard", now=now) as desk:
        jobs.add_dog(desk, AddDog("Teasel", "English Springer Spaniel"))
        yield Sealed(desk, jobs.draw_lineup(desk, asked(seed, **changed)))


def secrets_of(key: dict[str, Any], opened: int = 0) -> list[str]:
    """Texts that only the key holds, of the runs after those that were opened."""
    runs = [run for run in key["runs"] if run["run"] > opened]
    found = [key["seed"], key["nonce"], *(run["nonce"] for run in runs)]
    if not opened:
        found.append(AID)
    return [text for text in found if text]
