"""The sliders and tables of What if, ready to show. Sliders count in per cent, the cap in reps."""

from dataclasses import dataclass

from nares.app.what_if_page import DogAt, WhatIfPage
from nares.web.shell.measures import NBSP
from nares.web.shell.words import ask

FARTHEST = 3.0
"""An upper limit beyond this many times the longest hold seen is not told as a number. [-]"""

NAMES = {
    "ready": ("Ready", "a dog that meets this share should be raised"),
    "not_ready": ("Not ready", "a dog that meets only this share must not be"),
    "false_raise": ("False raise", "accepted chance to raise a dog that is not ready"),
    "missed_raise": ("Missed raise", "accepted chance not to raise a dog that is"),
    "cap": ("Cap", "reps after which a run ends undecided"),
    "chance": ("Chance of success", "what the ask of a rep aims at"),
}
EASES_SHOWN = 8


@dataclass(frozen=True, slots=True)
class Slider:
    """One level: where it stands, how far it goes, and what the programme says."""

    name: str
    label: str
    help: str
    value: int
    low: int
    high: int
    step: int
    unit: str
    own: int

    @property
    def changed(self) -> bool:
        """Whether it stands elsewhere than in the programme."""
        return self.value != self.own


@dataclass(frozen=True, slots=True)
class Rows:
    """Everything of the page that is laid out."""

    sliders: tuple[Slider, ...]
    rates: tuple[tuple[str, ...], ...]
    raise_at: str
    own_raise_at: str
    ease_at: str
    ask: str


def rows_of(page: WhatIfPage) -> Rows:
    """Lay the page out."""
    return Rows(
        sliders=tuple(_slider(page, name) for name in NAMES),
        rates=tuple(_rate(row) for row in page.rows),
        raise_at=_counts(page.raise_at, len(page.raise_at)),
        own_raise_at=_counts(page.own_raise_at, len(page.own_raise_at)),
        ease_at=_counts(page.ease_at, EASES_SHOWN),
        ask=_ask(page),
    )


def per_of(name: str) -> float:
    """By what a level is multiplied on the page: shares are shown in per cent."""
    return 1.0 if name == "cap" else 100.0


def _slider(page: WhatIfPage, name: str) -> Slider:
    label, help_ = NAMES[name]
    low, high, step = (round(value * per_of(name)) for value in page.allowed[name])
    value, own = (round(getattr(levels, name) * per_of(name)) for levels in (page.levels, page.own))
    unit = "reps" if name == "cap" else "%"
    return Slider(name, label, help_, value, low, high, step, unit, own)


def _rate(row: DogAt) -> tuple[str, ...]:
    shares = (row.rate, row.to_raise, row.own_to_raise, row.to_ease, row.undecided)
    said = [_share(share) for share in shares]
    return (*said, f"{row.reps:.1f}", f"{row.own_reps:.1f}")


def _share(share: float) -> str:
    percent = 100 * share
    return (
        f"{percent:.1f}{NBSP}%" if 0 < percent < 10 and percent != round(percent) else f"{percent:.0f}{NBSP}%"
    )


def _counts(counts: tuple[tuple[int, int], ...], most: int) -> str:
    if not counts:
        return "never within the cap"
    said = ", ".join(f"{met} of {reps}" for met, reps in counts[:most])
    return said + (" …" if len(counts) > most else "")


def _ask(page: WhatIfPage) -> str:
    found = page.ask
    if found is None:
        return ""
    low = "0" if found.low_s is None else f"{found.low_s:.1f}"
    high = found.high_s
    if high is None or high > FARTHEST * found.longest_s:  # a limit that far out is only the shape's
        return f"{ask(found.ask_s)} (at least {low}{NBSP}s)"
    return f"{ask(found.ask_s)} ({low} to {high:.1f}{NBSP}s)"
