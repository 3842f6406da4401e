"""Every source that code cites exists, and every source is checked by a test or says why not yet."""

import ast
import re
from pathlib import Path

from nares.base.sources import SOURCES

ROOT = Path(__file__).resolve().parent.parent.parent
CITED = re.compile(r"^\s{4,}([a-z][a-z0-9-]*-\d{2,4}[a-z]?):", re.MULTILINE)

NOT_YET: dict[str, str] = {
    "agresti-coull-1998": "Remembered; coverage of what leans on it: tests/recovery/test_cues.py.",
    "allan-1980": "Remembered, no worked figures at hand; the difference of two shares needs none.",
    "belsley-kuh-welsch-1980": "Remembered rules of thumb; the indices: tests/oracle/test_cues.py.",
    "cheng-1997": "Remembered, no worked figures at hand.",
    "danks-2003": "Its data were read, no results for them; tests/published/test_danks_2003.py solves them.",
    "nist-dopt-2012": "Read, without figures; determinants: tests/oracle/test_choosing.py lists each choice.",
    "clopper-pearson-1934": "Its own charts were not at hand; limits printed by others are checked.",
    "freeman-halton-1951": "No worked figures at hand; tests/oracle/test_tables.py counts every table.",
    "gourevitch-galanter-1967": "Remembered, no figures at hand; coverage: "
    "tests/recovery/test_sensitivity.py.",
    "hautus-1995": "Only the correction was read, no figures; tests/design/test_yes_no.py has the "
    "arithmetic.",
    "concha-2014": "Only the abstract was read, and it prints the direction of the finding, not its figures.",
    "fellows-1967": "Remembered, its text was not at hand; tests/oracle/test_habits.py scores habits again.",
    "jezierski-2014": "Only the abstract was read; what its 48 h rest on was not seen.",
    "barton-david-1957": "Remembered, no worked figures; tests/oracle/test_stretches.py has all orders.",
    "fredricksen-maiorana-1978": "The construction; tests/published/test_de_bruijn_1946.py has its cycles.",
    "korn-graubard-1998": "No worked figures at hand; coverage: tests/recovery/test_spread.py.",
    "reynolds-stoumbos-1999": "Remembered, no table at hand; tests/oracle/test_relapse.py solves it exactly.",
    "swgdog-sc2-2006": "Its abstract was read; it defines a word and prints no figure.",
    "smith-2004": "Responses were read, no results for them; tests/published/test_smith_2004.py says more.",
    "weil-1970": "The litters were read, no fit of them; tests/oracle/test_clusters.py has another.",
    "prentice-1974": "Its figures were not at hand; its law is checked through lawless-1982 and lifelines.",
    "wald-wolfowitz-1940": "Remembered; siegel-1956 has worked figures of the same test.",
    "zou-2013": "No worked figures at hand; coverage is simulated in tests/recovery/test_limits.py.",
}


def cited_keys() -> dict[str, str]:
    """The keys in the Sources sections of docstrings, each with the file that cites it."""
    keys: dict[str, str] = {}
    for path in sorted((ROOT / "src").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.ClassDef | ast.Module):
                section = (ast.get_docstring(node, clean=False) or "").partition("Sources:")[2]
                keys |= dict.fromkeys(CITED.findall(section), path.name)
    return keys


def checked_keys() -> set[str]:
    import sys

    sys.path.insert(0, str(ROOT))
    from tools.checked import find_checks

    return {check.source for check in find_checks()}


def test_every_cited_source_is_written_down() -> None:
    missing = {key: file for key, file in cited_keys().items() if key not in SOURCES}
    assert missing == {}


def test_every_source_is_checked_or_says_why_not_yet() -> None:
    checked = checked_keys()
    assert set(SOURCES) - checked == set(NOT_YET)
    assert not set(NOT_YET) & checked


def test_the_page_of_checks_is_the_one_the_marks_make() -> None:
    from tools.checked import PAGE, page

    assert PAGE.read_text(encoding="utf-8") == page(), "run: python tools/checked.py"
