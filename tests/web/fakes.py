"""Jobs that answer with samples and remember what was asked of them."""

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from tests.web import courses, cue_pages, judged, observers, samples, scored

from nares.app.agreement_page import AgreementPage
from nares.app.card_values import HandlerCard, SessionCard
from nares.app.cues.values import AskCues, CuesPage, NameCue, SessionCues
from nares.app.deeds import (
    AddDog,
    Amend,
    ClearSigns,
    ConfirmReps,
    NoteSigns,
    OverruleCall,
    Receipt,
    RunSession,
    SetAside,
    SetRation,
    TakeCard,
    WithdrawOverruling,
)
from nares.app.lineups.score_pages import DogLineupsPage, ScorePage
from nares.app.marks_page import MarksPage
from nares.app.overrulings_page import OverrulingsPage
from nares.app.pages import DogPage, RecordPage, SessionPage, TodayPage
from nares.app.progress_page import ProgressPage
from nares.app.signs import SignsPage
from nares.base.errors import OutOfRange, Unknown

Asked = (
    AddDog
    | Amend
    | ClearSigns
    | ConfirmReps
    | NameCue
    | NoteSigns
    | OverruleCall
    | RunSession
    | SetAside
    | SetRation
    | TakeCard
    | WithdrawOverruling
)


@dataclass
class FakeJobs:
    """Every job function the web door calls. ``refuse`` is raised by the next deed when set."""

    today: TodayPage = field(default_factory=samples.full_today)
    dog: DogPage = field(default_factory=samples.dog)
    session: SessionPage = field(default_factory=samples.session)
    agreement: AgreementPage = field(default_factory=observers.agreement)
    marks: MarksPage = field(default_factory=observers.marks)
    signs: SignsPage = field(default_factory=judged.signs)
    overrulings: OverrulingsPage = field(default_factory=judged.overrulings)
    card: SessionCard = field(default_factory=samples.session_card)
    progress: ProgressPage = field(default_factory=courses.progress)
    cues: CuesPage = field(default_factory=cue_pages.cues)
    score: ScorePage = field(default_factory=scored.score)
    dog_score: DogLineupsPage = field(default_factory=scored.dog)
    film: Path | None = None
    refuse: Exception | None = None
    asked: list[Asked] = field(default_factory=list)
    pages: list[dict[str, Any]] = field(default_factory=list)
    kept_bytes: int = 0

    def today_page(self, desk: Any) -> TodayPage:
        return self.today

    def dog_page(self, desk: Any, name: str, *, page: int = 1) -> DogPage:
        if name != self.dog.card.name:
            raise Unknown(f"No dog is called {name!r}. The dogs are listed on Today.")
        return self.dog

    def session_page(self, desk: Any, session: str) -> SessionPage:
        if session != self.session.line.session:
            raise Unknown(f"There is no session {session!r}. A dog's sessions are listed on its page.")
        return self.session

    def agreement_page(
        self,
        desk: Any,
        *,
        session: str | None = None,
        dog: str | None = None,
        first: str = "",
        second: str = "",
    ) -> AgreementPage:
        if session not in (None, self.session.line.session):
            raise Unknown(f"There is no session {session!r}. A dog's sessions are listed on its page.")
        if second == "Nobody":
            raise Unknown("Nobody has no sheet of their own here. Those who have: Tobias Reed.")
        return self.agreement if session else replace(self.agreement, session=None, dog=dog)

    def marks_page(
        self, desk: Any, *, dog: str = "", person: str = "", since: str = "", until: str = ""
    ) -> MarksPage:
        if since == "yesterday":
            raise OutOfRange("'yesterday' is not a day. Write it like 2026-03-14.")
        self.pages.append({"dog": dog, "person": person, "since": since, "until": until})
        return self.marks

    def progress_page(self, desk: Any, name: str, *, step: str = "") -> ProgressPage:
        if name != self.progress.dog:
            raise Unknown(f"No dog is called {name!r}. The dogs are listed on Today.")
        if step == "sit":
            raise Unknown("The programme 'Box' has no step 'sit'. Its steps are: source-value.")
        self.pages.append({"step": step})
        return self.progress

    def score_page(self, desk: Any, lineup: str) -> ScorePage:
        if lineup != self.score.found.lineup:
            raise Unknown(f"There is no line-up called {lineup!r}. Look it up on the page Line-ups.")
        return self.score

    def dog_lineups_page(self, desk: Any, dog: str) -> DogLineupsPage:
        if dog != self.dog_score.found.dog:
            raise Unknown(f"No dog is called {dog!r}. The dogs are listed on Today.")
        return self.dog_score

    def record_page(self, desk: Any, *, page: int = 1, kind: str = "", verify: bool = False) -> RecordPage:
        self.pages.append({"page": page, "kind": kind, "verify": verify})
        return samples.record(verification=samples.HOLDS if verify else None, page=page, kind=kind)

    def signs_page(self, desk: Any, dog: str) -> SignsPage:
        if dog != self.signs.dog:
            raise Unknown(f"No dog is called {dog!r}. The dogs are listed on Today.")
        return self.signs

    def overrulings_page(self, desk: Any, *, dog: str = "") -> OverrulingsPage:
        if dog not in ("", self.overrulings.dog):
            raise Unknown(f"No dog is called {dog!r}. The dogs are listed on Today.")
        return self.overrulings if dog else replace(self.overrulings, dog="", call=None, steps=())

    def _deed(self, asked: Asked) -> Receipt:
        if self.refuse:
            raise self.refuse
        self.asked.append(asked)
        return Receipt(42, "f" * 64, "It is on the record. Entry 42.", samples.SESSION)

    def card_page(self, desk: Any, dog: str) -> SessionCard:
        if dog != self.card.dog:
            raise Unknown(f"There is no dog called {dog!r}. Add the dog first.")
        return self.card

    def handler_page(self, desk: Any, dog: str) -> HandlerCard:
        self.card_page(desk, dog)
        return samples.handler_card()

    def printed_card(self, desk: Any, dog: str, *, paper: str = "a4") -> bytes:
        if paper not in ("a4", "letter"):
            raise Unknown(f"There is no paper {paper!r}. Give one of: a4, letter.")
        return b"%PDF of " + self.card_page(desk, dog).dog.encode() + b" on " + paper.encode()

    def take_card(self, desk: Any, asked: TakeCard) -> Receipt:
        return self._deed(asked)

    def set_ration(self, desk: Any, asked: SetRation) -> Receipt:
        return self._deed(asked)

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

    def cues_page(self, desk: Any, asked: AskCues) -> CuesPage:
        if asked.dog != self.cues.dog:
            raise Unknown(f"No dog is called {asked.dog!r}. The dogs are listed on Today.")
        return cue_pages.cues(asked) if asked.bans or asked.reps else self.cues

    def name_cue(self, desk: Any, asked: NameCue) -> Receipt:
        return self._deed(asked)

    def session_cues(self, desk: Any, dog: str) -> SessionCues:
        return SessionCues("hand-side", ("target", "hand"), self.cues.own)

    def note_signs(self, desk: Any, asked: NoteSigns) -> Receipt:
        return self._deed(asked)

    def clear_signs(self, desk: Any, asked: ClearSigns) -> Receipt:
        return self._deed(asked)

    def overrule_call(self, desk: Any, asked: OverruleCall) -> Receipt:
        return self._deed(asked)

    def withdraw_overruling(self, desk: Any, asked: WithdrawOverruling) -> Receipt:
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
    "score_page",
    "dog_lineups_page",
    "agreement_page",
    "marks_page",
    "progress_page",
    "today_page",
    "dog_page",
    "session_page",
    "record_page",
    "add_dog",
    "card_page",
    "handler_page",
    "printed_card",
    "take_card",
    "set_ration",
    "confirm_reps",
    "set_aside",
    "amend",
    "run_session",
    "media_file",
    "waveform",
    "signs_page",
    "note_signs",
    "cues_page",
    "name_cue",
    "session_cues",
    "clear_signs",
    "overrulings_page",
    "overrule_call",
    "withdraw_overruling",
)
