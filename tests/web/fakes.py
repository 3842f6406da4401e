"""Jobs that answer with samples and remember what was asked of them."""

from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.web import samples

from nares.app.deeds import AddDog, Amend, ConfirmReps, Receipt, RunSession, SetAside
from nares.app.pages import DogPage, RecordPage, SessionPage, TodayPage
from nares.base.errors import Unknown

Asked = AddDog | Amend | ConfirmReps | RunSession | SetAside


@dataclass
class FakeJobs:
    """Every job function the web door calls. ``refuse`` is raised by the next deed when set."""

    today: TodayPage = field(default_factory=samples.full_today)
    dog: DogPage = field(default_factory=samples.dog)
    session: SessionPage = field(default_factory=samples.session)
    film: Path | None = None
    refuse: Exception | None = None
    asked: list[Asked] = field(default_factory=list)
    pages: list[dict[str, Any]] = field(default_factory=list)
    kept_bytes: int = 0

    def today_page(self, desk: Any) -> TodayPage:
        return self.today

    def dog_page(self, desk: Any, name: str) -> DogPage:
        if name != self.dog.card.name:
            raise Unknown(f"No dog is called {name!r}. The dogs are listed on Today.")
        return self.dog

    def session_page(self, desk: Any, session: str) -> SessionPage:
        if session != self.session.line.session:
            raise Unknown(f"There is no session {session!r}. A dog's sessions are listed on its page.")
        return self.session

    def record_page(self, desk: Any, *, page: int = 1, kind: str = "", verify: bool = False) -> RecordPage:
        self.pages.append({"page": page, "kind": kind, "verify": verify})
        return samples.record(verification=samples.HOLDS if verify else None, page=page, kind=kind)

    def _deed(self, asked: Asked) -> Receipt:
        if self.refuse:
            raise self.refuse
        self.asked.append(asked)
        return Receipt(42, "f" * 64, "It is on the record. Entry 42.", samples.SESSION)

    def add_dog(self, desk: Any, asked: AddDog) -> Receipt:
        return self._deed(asked)

    def confirm_reps(self, desk: Any, asked: ConfirmReps) -> Receipt:
        return self._deed(asked)

    def set_aside(self, desk: Any, asked: SetAside) -> Receipt:
        return self._deed(asked)

    def amend(self, desk: Any, asked: Amend) -> Receipt:
        return self._deed(asked)

    def run_session(self, desk: Any, asked: RunSession, progress: Any = None) -> Receipt:
        self.kept_bytes = asked.recording.stat().st_size
        if progress:
            progress(0.5, "Listening for marks")
        return self._deed(asked)

    def media_file(self, desk: Any, sha256: str) -> tuple[Path, str]:
        if self.film is None or sha256 != samples.SHA:
            raise Unknown(f"No recording {sha256[:12]} is kept here.")
        return self.film, "video/mp4"

    def waveform(self, desk: Any, sha256: str) -> dict[str, Any]:
        if sha256 != samples.SHA:
            raise Unknown(f"No recording {sha256[:12]} is kept here.")
        return {"rate_hz": 100, "peaks": [0.8 if k % 200 == 190 else 0.04 for k in range(1000)]}


JOBS = (
    "today_page",
    "dog_page",
    "session_page",
    "record_page",
    "add_dog",
    "confirm_reps",
    "set_aside",
    "amend",
    "run_session",
    "media_file",
    "waveform",
)
