"""Sources on sound, pictures and media files."""

from nares.base.sources.entry import Source

MEASURING: tuple[Source, ...] = (
    Source(
        "apple-tn2258",
        "Apple, AAC Audio: Encoder Delay and Synchronization, Technical Note TN2258",
        "TN2258",
        "2026-11",
    ),
)
