"""The frozen records of line-ups and areas that parts hand to each other: places, what lies there, runs.

Conventions
-----------
A *line-up* is a set of places searched in several *runs*; an area (a room, vehicles) is a line-up whose
places cannot be swapped. Positions and runs count from 1. Lengths are metres on the plan, origin top left.
A *key* says what lay where in every run; it is sealed before the first run. `holds` is what a position held
in one run:

- ``target``: the odour to find;
- ``distractor``: something else that smells, named in ``item``;
- ``control``: what goes along with a target without its odour (packaging, gloves, placer), named in ``item``;
- ``blank``: nothing;
- ``warm``: nothing now, but a target within the last 48 h at a place that keeps odour. Not a blank.
"""

from dataclasses import dataclass
from typing import Literal

Shape = Literal["straight", "ring", "boxes", "cans", "room", "vehicles", "parcels"]
Holds = Literal["target", "distractor", "control", "blank", "warm"]
Control = Literal["packaging", "gloves", "placer"]
Role = Literal["placer", "handler", "evaluator", "recorder"]
Blinding = Literal["known", "single", "double"]
Drawing = Literal["independent", "constrained"]
"""How an order was drawn: every run by itself, or all runs together so that stated rules hold."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One position on a plan: its number, a name people use for it, where it is. [m]"""

    position: int
    name: str
    x_m: float
    y_m: float


@dataclass(frozen=True, slots=True)
class Area:
    """The places of a line-up on a plan ``width_m`` by ``depth_m``.

    ``place``: where it stands, by name; with the spot's name it says which spots are the same spot on another
    day. ``keeps_odour``: the places cannot be swapped for clean ones between runs (rooms, vehicles).
    """

    place: str
    shape: Shape
    width_m: float
    depth_m: float
    spots: tuple[Spot, ...]
    keeps_odour: bool = False


@dataclass(frozen=True, slots=True)
class Smell:
    """Something else that smells, set out on purpose. ``novel``: never before this dog; None: not known."""

    smell: str
    novel: bool | None = None


@dataclass(frozen=True, slots=True)
class Placed:
    """What one position holds in one run. ``item``: the aid, the smell, or which control; empty: nothing.

    ``container``: which box, can or parcel stands there, by its own name; one that has held a target holds
    nothing else in this line-up. Empty where nothing is swapped.
    """

    position: int
    holds: Holds
    item: str = ""
    container: str = ""


@dataclass(frozen=True, slots=True)
class RunKey:
    """What lies where in one run, one entry a position in order.

    ``placing``: positions in the order of placing, those with the target last. ``nonce``: 32 random bytes in
    hex, so that the run's own commitment tells nothing.
    """

    run: int
    placed: tuple[Placed, ...]
    placing: tuple[int, ...]
    nonce: str

    @property
    def targets(self) -> tuple[int, ...]:
        """Positions that hold the target; empty in a blank run."""
        return tuple(one.position for one in self.placed if one.holds == "target")


@dataclass(frozen=True, slots=True)
class Called:
    """What the handler called in one run: the position alerted at, or None for "clear".

    ``at``: ISO 8601 with a zone.
    """

    run: int
    position: int | None
    by: str = ""
    at: str = ""


@dataclass(frozen=True, slots=True)
class Visit:
    """The dog at one position in a run: from when, for how long. [s from the start of the run]

    ``alerted``: the trained final response was given there. A position may be visited several times.
    """

    position: int
    from_s: float
    stayed_s: float
    alerted: bool = False


@dataclass(frozen=True, slots=True)
class Observed:
    """What the evaluator saw in one run, before the key of the run was opened.

    ``alerted_at``: position of the dog's alert, None: none. ``latency_s``: from the start of the run to the
    alert, None: not taken. ``visits``: empty: not taken. ``handler_error``: what the handler did wrong, in
    words; empty: nothing. The dog's alert and the handler's call may differ: both are kept.
    """

    run: int
    alerted_at: int | None
    latency_s: float | None = None
    visits: tuple[Visit, ...] = ()
    handler_error: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class RunResult:
    """One run as it is scored: what lay where, what was called, what was seen.

    ``blinding``: derived from who knew and who was present; None: it cannot be said. ``void``: why the run
    does not count; empty: it counts. ``called`` None: no call was made.
    """

    run: int
    placed: tuple[Placed, ...]
    called: Called | None
    observed: Observed | None = None
    blinding: Blinding | None = None
    void: str = ""
    lineup: str = ""
