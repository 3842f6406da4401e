"""Sources on sound, pictures and media files."""

from nares.base.sources.entry import Source

MEASURING: tuple[Source, ...] = (
    Source(
        "apple-tn2258",
        "Apple, AAC Audio: Encoder Delay and Synchronization, Technical Note TN2258",
        "TN2258",
        "2026-11",
    ),
    Source(
        "concha-2014",
        "A. Concha et al., Using sniffing behavior to differentiate true negative from false negative "
        "responses in trained scent-detection dogs, Chemical Senses 39(9):749-754 (2014)",
        "2014",
        "2026-11",
    ),
)
