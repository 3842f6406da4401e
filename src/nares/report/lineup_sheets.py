"""The sheets of a line-up on paper: for calls and what was seen, and for the placer, with the key.

Conventions
-----------
`call_sheet_pdf` is for handler, evaluator and recorder and is given nothing of the key: what is not among the
values cannot be printed. `placing_sheet_pdf` is for the placer alone, one page a run, big, with a warning on
every page. Values are plain, as `nares.app.lineups.sheet_values` lays them out; how pages are set: `typeset`.
"""

from collections.abc import Mapping
from typing import Any

from nares.report.typeset import set_pdf, set_png

CALLS, PLACING = "call_sheet.typ", "placing_sheet.typ"


def call_sheet_pdf(values: Mapping[str, Any], paper: str = "a4") -> bytes:
    """The sheet for calls and observation, lying across, one row a run.

    Args:
        values: The line-up, its plan, the number of runs, the commitments, cautions; nothing of the key.
        paper: ``a4`` or ``letter``.

    Raises:
        Unknown: If there is no such paper.
        Unusable: If the page cannot be set, which is a fault of this program.
    """
    return set_pdf(CALLS, values, paper=paper)


def placing_sheet_pdf(values: Mapping[str, Any], paper: str = "a4") -> bytes:
    """The placer's sheets: what to pack, then one page a run in the order of placing. They hold the key.

    Raises:
        Unknown: If there is no such paper.
        Unusable: If the page cannot be set, which is a fault of this program.
    """
    return set_pdf(PLACING, values, paper=paper)


def call_sheet_png(values: Mapping[str, Any], paper: str = "a4", *, dots_per_inch: int = 110) -> list[bytes]:
    """The call sheet as pictures, one a page, to be looked at."""
    return set_png(CALLS, values, paper=paper, dots_per_inch=dots_per_inch)


def placing_sheet_png(
    values: Mapping[str, Any], paper: str = "a4", *, dots_per_inch: int = 110
) -> list[bytes]:
    """The placer's sheets as pictures, one a page, to be looked at."""
    return set_png(PLACING, values, paper=paper, dots_per_inch=dots_per_inch)
