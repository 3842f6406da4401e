"""The session card on paper: one page, black on white, big enough to read at arm's length.

Conventions
-----------
The data is prepared by the desk and handed to the template as JSON; nothing is pasted into markup, so that
no name can be read as a command. The page holds any number of reps from 1 to 40: the template tries sizes
from large to small and takes the first that fits. The file is tagged (PDF/UA-1) and archival (PDF/A-2a),
dated with the card's day and not with its making, and the same to the byte for the same card.
"""

import json
from collections.abc import Mapping
from importlib.resources import as_file, files
from typing import Any, Literal

from nares.base.errors import Unknown, Unusable

PAPERS = {"a4": "a4", "letter": "us-letter"}
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
    made = _compiled(card, paper, "pdf", dots_per_inch=0)
    return made if isinstance(made, bytes) else made[0]


def card_png(card: Mapping[str, Any], *, paper: str = "a4", dots_per_inch: int = 110) -> list[bytes]:
    """The printed card as pictures, one a page, to be looked at."""
    made = _compiled(card, paper, "png", dots_per_inch=dots_per_inch)
    return [made] if isinstance(made, bytes) else made


def _compiled(
    card: Mapping[str, Any], paper: str, kind: Literal["pdf", "png"], *, dots_per_inch: int
) -> bytes | list[bytes]:
    import typst

    if paper not in PAPERS:
        raise Unknown(f"There is no paper {paper!r}. Give one of: {', '.join(PAPERS)}.")
    here = files("nares.report")
    with as_file(here / "font") as fonts, as_file(here / "templates") as templates:
        try:
            # Several pages of pictures come back as a list, whatever the library's types say.
            made: bytes | list[bytes] = typst.compile(
                str(templates / TEMPLATE),
                font_paths=[str(fonts)],
                ignore_system_fonts=True,
                format=kind,
                ppi=float(dots_per_inch) or None,
                sys_inputs={"card": json.dumps(card, ensure_ascii=False), "paper": PAPERS[paper]},
                pdf_standards=["ua-1", "a-2a"] if kind == "pdf" else None,
            )
        except RuntimeError as fault:
            raise Unusable(f"The card could not be set as a page: {fault}. Use the page instead.") from None
    return made
