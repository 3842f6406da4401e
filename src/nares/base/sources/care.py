"""Sources on how a dog is: signs of stress."""

from nares.base.sources.entry import Source

CARE: tuple[Source, ...] = (
    Source(
        "vieira-de-castro-2020",
        "A. C. Vieira de Castro et al., Does training method matter? Evidence for the negative impact of "
        "aversive-based methods on companion dog welfare, PLoS ONE 15(12):e0225023",
        "2020",
        "Table 2 2026-11, authors and title from memory",
    ),
)
