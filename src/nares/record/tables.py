"""How a table is described, in words every database understands; `nares.record.dialect` turns it into SQL."""

from dataclasses import dataclass
from typing import Any, Literal, Protocol

ColumnType = Literal["text", "integer", "real"]


class Cursor(Protocol):
    """As much of a DB-API cursor as the record uses."""

    def execute(self, sql: str, parameters: Any = ..., /) -> Any:
        """Run one statement."""

    def executemany(self, sql: str, parameters: Any, /) -> Any:
        """Run one statement for each row."""

    def fetchone(self) -> Any:
        """The next row, or None."""

    def fetchall(self) -> list[Any]:
        """All remaining rows."""


@dataclass(frozen=True, slots=True)
class Table:
    """A projection's table. A column type ending in ``?`` may be empty. ``lists``: columns searched by."""

    name: str
    columns: dict[str, str]
    key: tuple[str, ...]
    lists: tuple[tuple[str, ...], ...] = ()

    def put(self) -> str:
        """The statement that writes one row, replacing the row with the same key."""
        names = ", ".join(self.columns)
        marks = ", ".join("?" for _ in self.columns)
        rest = ", ".join(f"{name} = excluded.{name}" for name in self.columns if name not in self.key)
        then = f"UPDATE SET {rest}" if rest else "NOTHING"
        return (
            f"INSERT INTO {self.name} ({names}) VALUES ({marks}) "
            f"ON CONFLICT ({', '.join(self.key)}) DO {then}"
        )
