"""What a session card holds, as data: the trainer's and the handler's.

Nothing is formatted but the words of a rep, which must be the same on the page and on paper: times are ISO
8601 in UTC, holds are seconds, masses grams.
"""

from dataclasses import dataclass

from nares.base.vocab import Call, Hand, PayPlace, Source
from nares.decide.stopping import StopRule as StopRule  # shown as it was stated


@dataclass(frozen=True, slots=True)
class CardRep:
    """One rep on a card: as planned, and in words. ``rest_after``: a rest is due when it is done."""

    rep: int
    ask_s: float | None
    easy: bool
    hand: Hand
    pay_place: PayPlace
    distance_m: float
    disturbance: int
    source: Source
    boxes: int
    target_box: int | None
    distractor_boxes: tuple[int, ...]
    food_in_front: bool
    where: str
    others: str
    deed: str
    rest_after: bool


@dataclass(frozen=True, slots=True)
class CardFood:
    """What today's food allows. None where nobody has said it."""

    day: str
    ration_g: float | None
    reward_g: float | None
    bowl_g: float
    rewards: int | None
    rewards_per_rep: int
    paid_reps: int
    waiting_reps: int
    left_reps: int | None
    session_reps: int | None
    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class CardTakenBy:
    """Who took a card, when, and the entry that says so."""

    by: str
    at: str
    entry: int


@dataclass(frozen=True, slots=True)
class CardSign:
    """A sign to tick where it is seen. ``level``: 2, two good reps and the end; 3, no further rep."""

    level: int
    name: str


@dataclass(frozen=True, slots=True)
class SessionCard:
    """The next session of one dog.

    ``call_entry``: the call it follows, or the decision against it. ``head``: the record's newest digest.
    ``taken`` is None while nobody has put the card on the record. ``missing``: why there are no reps.
    """

    dog: str
    kennel: str
    day: str
    now: str
    programme: str
    step: str
    step_name: str
    teaches: str
    call: Call | None
    call_entry: int | None
    conditions: tuple[tuple[str, str], ...]
    reps: tuple[CardRep, ...]
    limited_by: str
    notes: tuple[str, ...]
    stops: tuple[StopRule, ...]
    signs: tuple[CardSign, ...]
    food: CardFood | None
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]
    taken: CardTakenBy | None
    head_entry: int | None
    head: str | None
    missing: str = ""


@dataclass(frozen=True, slots=True)
class HandlerCard:
    """What the handler may know: the same whatever was drawn."""

    dog: str
    kennel: str
    day: str
    step_name: str
    teaches: str
    conditions: tuple[tuple[str, str], ...]
    says: tuple[str, ...]
    stops: tuple[StopRule, ...]
