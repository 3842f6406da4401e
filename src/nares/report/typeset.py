"""Setting a page: a template and plain values in, PDF or pictures out.

Conventions
-----------
Values are handed to the template as JSON; nothing is pasted into markup, so that no name can be read as a
command. Files are tagged (PDF/UA-1) and archival (PDF/A-2a), carry the typefaces of `font/`, and are the
same to the byte for the same values.
"""

import json
from collections.abc import Mapping
from importlib.resources import as_file, files
from typing import Any, Literal

from nares.base.errors import Unknown, Unusable

PAPERS = {"a4": "a4", "letter": "us-letter"}


def set_pdf(template: str, values: Mapping[str, Any], *, paper: str) -> bytes:
    """Set a template as PDF.

    Args:
        template: File in `templates/`.
        values: What the template finds under its own name, without the ending, as JSON.
        paper: ``a4`` or ``letter``.

    Raises:
        Unknown: If there is no such paper.
        Unusable: If the page cannot be set, which is a fault of this program.
    """
    made = _compiled(template, values, paper, "pdf", dots_per_inch=0)
    return made if isinstance(made, bytes) else made[0]


def set_png(template: str, values: Mapping[str, Any], *, paper: str, dots_per_inch: int) -> list[bytes]:
    """The same as pictures, one a page, to be looked at."""
    made = _compiled(template, values, paper, "png", dots_per_inch=dots_per_inch)
    return [made] if isinstance(made, bytes) else made


def _compiled(
    template: str,
    values: Mapping[str, Any],
    paper: str,
    kind: Literal["pdf", "png"],
    *,
    dots_per_inch: int,
) -> bytes | list[bytes]:
    import typst

    if paper not in PAPERS:
        raise Unknown(f"There is no paper {paper!r}. Give one of: {', '.join(PAPERS)}.")
    here = files("nares.report")
    name = template.removesuffix(".typ").replace("_", "-")
    with as_file(here / "font") as fonts, as_file(here / "templates") as templates:
        try:
            # Several pages of pictures come back as a list, whatever the library's types say.
            made: bytes | list[bytes] = typst.compile(
                str(templates / template),
                font_paths=[str(fonts)],
                ignore_system_fonts=True,
                format=kind,
                ppi=float(dots_per_inch) or None,
                sys_inputs={name: json.dumps(values, ensure_ascii=False), "paper": PAPERS[paper]},
                pdf_standards=["ua-1", "a-2a"] if kind == "pdf" else None,
            )
        except RuntimeError as fault:
            raise Unusable(
                f"The {name} could not be set as a page: {fault}. Use the screen instead."
            ) from None
    return made
