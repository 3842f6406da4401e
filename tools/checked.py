"""Writes docs/checked.md from the `published` marks: source, place, what is compared, how it was seen.

python tools/checked.py            write the page
python tools/checked.py --check    exit 1 when the page on disk is out of date
"""

import ast
import re
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAGE = ROOT / "docs" / "checked.md"
SEEN = {"read": "read in the source or a text that quotes it", "memory": "remembered, not seen"}

HEAD = """# What has been checked against the outside world

Every figure below is printed in a published source and compared by a test. The tolerance is the rounding of
the printed figure. "Remembered" means that nobody here had the page in hand when the figure was typed:
read it before you lean on it. This page is written by `tools/checked.py`; do not edit it by hand.

"""


@dataclass(frozen=True, slots=True)
class Check:
    """One published check as its mark says."""

    source: str
    at: str
    seen: str
    test: str
    file: str


def find_checks() -> list[Check]:
    """Read the marks out of the test files, without running anything."""
    found = []
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef):
                found += [_check(mark, node.name, path) for mark in _marks(node)]
        found += [_check(mark, path.stem, path) for mark in _module_marks(tree)]
    return found


def _marks(node: ast.FunctionDef) -> list[ast.Call]:
    return [
        d
        for d in node.decorator_list
        if isinstance(d, ast.Call) and ast.unparse(d.func) == "pytest.mark.published"
    ]


def _module_marks(tree: ast.Module) -> list[ast.Call]:
    calls = []
    for node in tree.body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "pytestmark":
            calls += [
                c
                for c in ast.walk(node.value)
                if isinstance(c, ast.Call) and ast.unparse(c.func) == "pytest.mark.published"
            ]
    return calls


def _check(mark: ast.Call, test: str, path: Path) -> Check:
    said = {word.arg: ast.literal_eval(word.value) for word in mark.keywords}
    where = path.relative_to(ROOT).as_posix()
    return Check(said.get("source", ""), said.get("at", ""), said.get("seen", ""), test, where)


def _in_words(test: str) -> str:
    """Read a test's name as a sentence; a digit, a gap and more digits were a decimal figure."""
    return re.sub(r"\b(\d) (\d{2,})\b", r"\1.\2", test.removeprefix("test_").replace("_", " "))


def page() -> str:
    """Lay out the page: a section a source, a row a check."""
    sys.path.insert(0, str(ROOT / "src"))
    from nares.base.sources import SOURCES

    checks = find_checks()
    text = HEAD
    for key in sorted({check.source for check in checks}):
        text += f"## {SOURCES[key].citation}\n\nKey `{key}`, edition {SOURCES[key].edition}.\n\n"
        text += "| place | what is compared | how the figure was seen | test |\n| --- | --- | --- | --- |\n"
        for check in (c for c in checks if c.source == key):
            words = _in_words(check.test)
            text += f"| {check.at} | {words} | {SEEN[check.seen]} | `{check.file}` |\n"
        text += "\n"
    return text.rstrip() + "\n"


if __name__ == "__main__":
    fresh = page()
    if "--check" in sys.argv:
        raise SystemExit(0 if PAGE.exists() and PAGE.read_text(encoding="utf-8") == fresh else 1)
    PAGE.write_text(fresh, encoding="utf-8")
