"""How a lookup asks the database: the one place for it, which every group of questions builds on."""

import sqlite3
from typing import Any


class Asking:
    """Rows, or one row, for a statement and its values."""

    def _connection(self) -> sqlite3.Connection:
        raise NotImplementedError

    def _rows(self, sql: str, *values: Any) -> list[tuple[Any, ...]]:
        return self._connection().execute(sql, values).fetchall()

    def _one(self, sql: str, *values: Any) -> tuple[Any, ...] | None:
        row: tuple[Any, ...] | None = self._connection().execute(sql, values).fetchone()
        return row
