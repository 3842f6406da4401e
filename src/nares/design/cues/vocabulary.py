"""Our own words for cues: what each means, which a trainer can set, how a many-valued one is written.

Conventions
-----------
A cue is anything the dog could be learning from. Its name has no blanks; a cue of several values is written
``group:value`` (``box:3``, ``stood:mara-left``), of which a rep has at most one value. A name nobody knows is
taken as it stands: trainers give names of their own. ``since-dog:12min`` keeps the minutes that were
measured and is counted as its band (``since-dog:5-30min``).
"""

import re
from dataclasses import dataclass

from nares.base.errors import OutOfRange

TARGET = "target"
HAND, HAND_IN = "hand", "hand-in"
LONGEST_NAME = 60
_NAME = re.compile(r"[^\s:,;\"<>&]+(:[^\s:,;\"<>&]+)?")
_MINUTES = re.compile(r"since-dog:(\d{1,5})min")
BANDS_MIN = (5, 30, 120)
"""Where the bands of the time since the last dog end. [min]"""


@dataclass(frozen=True, slots=True)
class Cue:
    """One word for a cue. ``settable``: a trainer can put it into a planned rep or leave it out."""

    key: str
    says: str
    settable: bool = True
    valued: bool = False


CUES = (
    Cue(TARGET, "The odour to find was there."),
    Cue(HAND, "A hand was in sight."),
    Cue(HAND_IN, "A hand was inside the box; then it is in sight too."),
    Cue("food", "Food lay in front of the dog, in sight and smell."),
    Cue("food-smell", "Food could be smelt at the box."),
    Cue("distractor", "Something else that smells was there on purpose.", valued=True),
    Cue("stood", "Who stood where.", valued=True),
    Cue("box", "Which box it was.", valued=True),
    Cue("position", "Which place of the line-up it was.", valued=True),
    Cue("container", "Which box, can or parcel stood there, by its own name.", valued=True),
    Cue(
        "control",
        "What goes along with a target lay there without it: packaging, gloves, placer.",
        valued=True,
    ),
    Cue("residual", "A target had lain there within 48 h, and the place keeps odour.", settable=False),
    Cue("since-target", "How many runs ago a target last lay at this place.", settable=False, valued=True),
    Cue("since-dog", "How long ago the last dog was there, in bands.", settable=False, valued=True),
)
BY_KEY = {cue.key: cue for cue in CUES}


def group_of(name: str) -> str | None:
    """The group of a many-valued cue, None for a plain one.

    >>> group_of("box:3"), group_of("hand")
    ('box', None)
    """
    group, colon, _ = name.partition(":")
    return group if colon else None


def cue_of(name: str) -> Cue | None:
    """Our own word behind a name; None for a name somebody gave."""
    return BY_KEY.get(group_of(name) or name)


def is_settable(name: str) -> bool:
    """Whether a trainer can put this cue into a planned rep; names of their own always."""
    cue = cue_of(name)
    return cue is None or cue.settable


def require_name(name: str) -> str:
    """A name fit for a rep table.

    Raises:
        OutOfRange: If it is empty, too long, or holds blanks or more than one colon.
    """
    if len(name) > LONGEST_NAME or not _NAME.fullmatch(name) or not name.isprintable():
        raise OutOfRange(
            f"{name!r} is no name of a cue. Write up to {LONGEST_NAME} characters without blanks, "
            "for example rain, or group:value."
        )
    return name


def counted_as(name: str) -> str:
    """The name under which a cue is counted: minutes since the last dog become their band.

    >>> counted_as("since-dog:12min"), counted_as("box:3")
    ('since-dog:5-30min', 'box:3')
    """
    found = _MINUTES.fullmatch(name)
    return name if found is None else since_dog(int(found[1]))


def since_dog(minutes: int) -> str:
    """The band of a time since the last dog. [min]

    >>> since_dog(3), since_dog(500)
    ('since-dog:0-5min', 'since-dog:120min-on')
    """
    low = 0
    for high in BANDS_MIN:
        if minutes < high:
            return f"since-dog:{low}-{high}min"
        low = high
    return f"since-dog:{low}min-on"


def in_words(name: str) -> str:
    """A cue as a sentence names it.

    >>> in_words("target"), in_words("box:3"), in_words("rain")
    ('the target', 'box 3', 'rain')
    """
    told = {
        TARGET: "the target",
        HAND: "the hand",
        HAND_IN: "the hand in the box",
        "food": "the food in front",
        "food-smell": "the smell of food",
        "distractor": "the distractor",
        "residual": "residual odour",
    }
    if name in told:
        return told[name]
    group, _, value = name.partition(":")
    if not value:
        return name
    written = {"stood": f"{value} (who stood where)", "since-dog": f"{value} since the last dog"}
    written["since-target"] = f"{value} runs since a target lay there"
    return written.get(group, f"{group} {value}")
