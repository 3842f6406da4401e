"""The session card on paper: one page, black on white, big enough to read at arm's length.

Conventions
-----------
The data is prepared by the desk. The page holds any number of reps from 1 to 40: the template tries sizes
from large to small and takes the first that fits. The file is dated with the card's day and not with its
making; how it is set: `typeset`.
"""

from collections.abc import Mapping
from typing import Any

from nares.report.typeset import set_pdf, set_png

TEMPLATE = "card.typ"


def card_pdf(card: Mapping[str, Any], *, paper: str = "a4") -> bytes:
    """Print a session card as PDF.

    Args:
        card: The card as plain values, as in the card/1 answer; its ``day`` like 2026-03-14.
        paper: ``a4`` or ``letter``.

    Raises:
        Unknown: If there is no such paper.
        Unusable: If the page cannot be set, which is a fault of this program.
    """
    return set_pdf(TEMPLATE, card, paper=paper)


def card_png(card: Mapping[str, Any], *, paper: str = "a4", dots_per_inch: int = 110) -> list[bytes]:
    """The printed card as pictures, one a page, to be looked at."""
    return set_png(TEMPLATE, card, paper=paper, dots_per_inch=dots_per_inch)
