"""Names mean one thing: a number that crosses a boundary carries its unit or is in docs/words.md."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent
UNITS = ("_s", "_m", "_hz", "_db", "_px", "_ms", "_deg", "_per_s", "_mm", "_kg")
FORBIDDEN = {"alpha", "beta", "gamma", "lambda_", "lam", "p", "q"}
LISTED = set(
    re.findall(r"`([a-z_]+)`", (ROOT / "docs" / "words.md").read_text(encoding="utf-8").split("## Names")[1])
)


def public_arguments() -> Iterator[tuple[str, str, str]]:
    """File, argument, annotation of every public function and method of the rings inside."""
    for ring in ("base", "measure", "decide", "design", "care", "record", "media", "report", "app"):
        for path in sorted((ROOT / "src" / "nares" / ring).rglob("*.py")):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    for argument in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs):
                        kind = ast.unparse(argument.annotation) if argument.annotation else ""
                        yield path.name, argument.arg, kind


def is_a_number(annotation: str) -> bool:
    return annotation in ("float", "float | None")


def test_no_argument_is_a_greek_letter() -> None:
    assert [found for found in public_arguments() if found[1] in FORBIDDEN] == []


def test_every_number_carries_its_unit_or_is_in_the_words() -> None:
    bare = {
        (file, name)
        for file, name, kind in public_arguments()
        if is_a_number(kind) and not name.endswith(UNITS) and name not in LISTED
    }
    assert bare == set()


@pytest.mark.parametrize(
    "word", ["step", "programme", "call", "ask", "pay", "cue", "reading", "confirmed", "entry"]
)
def test_our_own_words_are_defined_once(word: str) -> None:
    text = (ROOT / "docs" / "words.md").read_text(encoding="utf-8")
    assert len(re.findall(rf"^\| {word}( \||,)", text, re.MULTILINE)) == 1
