"""What is asked about cues, and what the page of a dog's cues shows, as data."""

from dataclasses import dataclass, field

from nares.design.cues.apart import Apart as Apart
from nares.design.cues.effects import Together as Together
from nares.design.cues.links import CueLink as CueLink
from nares.design.cues.planning import NextReps as NextReps
from nares.design.cues.verdict import Verdict as Verdict
from nares.design.cues.vocabulary import CUES as CUES
from nares.design.cues.vocabulary import Cue as Cue
from nares.design.cues.vocabulary import in_words as in_words
from nares.design.cues.vocabulary import require_name as require_name


@dataclass(frozen=True, slots=True)
class AskCues:
    """What is asked of a dog's cues; None: as usual.

    ``reps``: how many to plan. ``bans``: combinations the trainer does not want, each a few names with
    blanks between. ``about``: the cues the reps are to tell apart. The rest are parameters of the rule
    (`nares.design.cues.strength.Parameters`), ``saliences`` by cue.
    """

    dog: str
    reps: int | None = None
    bans: tuple[str, ...] = ()
    about: tuple[str, ...] = ()
    salience: float | None = None
    place: float | None = None
    rate_unpaid: float | None = None
    saliences: dict[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class NameCue:
    """Give a cue of one's own a name: ``about`` says in a sentence what it is."""

    cue: str
    about: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class OwnCue:
    """A cue that a trainer named."""

    cue: str
    about: str
    by: str
    entry: int


@dataclass(frozen=True, slots=True)
class SessionCues:
    """What a session is likely to put before a dog: ``usual`` by its step, ``own`` to be ticked."""

    step: str
    usual: tuple[str, ...]
    own: tuple[OwnCue, ...]


@dataclass(frozen=True, slots=True)
class Rule:
    """The parameters the strengths were worked out with."""

    salience: float
    place: float
    rate: float
    rate_unpaid: float
    saliences: dict[str, float]
    scaled: float


@dataclass(frozen=True, slots=True)
class Strengths:
    """The strength of every cue after each session; the place last. One row a session."""

    cues: tuple[str, ...]
    sessions: tuple[str, ...]
    after: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class CuesPage:
    """What a dog's history says about cues and pay.

    ``verdict`` is None where there is no rep yet. ``next_fault``: why no reps could be planned, empty where
    they were. ``course_svg``: the picture of `strengths`, empty without one.
    """

    dog: str
    reps: int
    sessions: int
    verdict: Verdict | None
    cues: tuple[CueLink, ...]
    place: tuple[float, float, float]
    apart: Apart | None
    together: tuple[Together, ...]
    next_reps: NextReps | None
    next_fault: str
    rule: Rule
    strengths: Strengths
    notes: tuple[str, ...]
    own: tuple[OwnCue, ...]
    course_svg: str = ""
