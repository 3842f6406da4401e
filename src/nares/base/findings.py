"""A fault found in somebody's data, as a value: all of them come back at once."""

from collections.abc import Iterable
from dataclasses import dataclass

from nares.base.errors import Unusable


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault: which rule, where, and one sentence that says what was found and what to do."""

    rule: str
    where: str
    text: str

    def __str__(self) -> str:
        return f"{self.where}: {self.text}"


def refuse_if_any(findings: Iterable[Finding], *, what: str) -> None:
    """Raise one readable error when there is any finding.

    Raises:
        Unusable: Naming every finding, one a line.
    """
    found = list(findings)
    if found:
        lines = "\n".join(f"  {finding}" for finding in found)
        raise Unusable(f"{what} cannot be used:\n{lines}")
