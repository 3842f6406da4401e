"""What listening to a recording brings back."""

from dataclasses import dataclass

from nares.base.vocab import Bout, Mark, Span


@dataclass(frozen=True, slots=True)
class SoundQuality:
    """How much the sound could carry.

    ``marks_over_floor_db`` and ``breath_over_floor_db``: level of what was found over the steady
    background, None where nothing was found. ``clipped_share``: share of samples at full scale.
    ``reaches_hz``: highest frequency the recording carries. ``heard_s``: length of sound listened to.
    """

    marks_over_floor_db: float | None
    breath_over_floor_db: float | None
    clipped_share: float
    reaches_hz: float
    heard_s: float


@dataclass(frozen=True, slots=True)
class Heard:
    """Marks, intakes and sniffing bouts of one recording, each in time order.

    ``doubtful_marks``: sounds that may be marks and are more likely not. ``start_block``: when the four
    marks of a start block were pressed, empty where the recording does not begin with one. ``floor_db``:
    the background before those marks above 1 kHz, dB against full scale.
    """

    marks: tuple[Mark, ...]
    inhales: tuple[Span, ...]
    bouts: tuple[Bout, ...]
    sound_quality: SoundQuality
    notes: tuple[str, ...]
    doubtful_marks: tuple[Mark, ...] = ()
    start_block: tuple[float, ...] = ()
    floor_db: float | None = None

    @property
    def breath_measurable(self) -> bool:
        """Whether the sound could carry breathing at all."""
        return not any(note.startswith("not measurable: breath") for note in self.notes)
