"""Looking up line-ups: how far they are, who knew what, what was called, what lay there once it is open.

Nothing here reads the vault: what is not open yet cannot come out of a lookup.
"""

import json
from datetime import datetime
from typing import Any

import msgspec

from nares.base.errors import Unknown
from nares.base.lineups import Blinding, Called, Observed, Placed, RunResult
from nares.base.times import utc_text
from nares.design.blinding import Circumstances, Saw, Says, blinding_of
from nares.design.keys import runs_from
from nares.design.lineups.plans import same_name
from nares.record.asking import Asking
from nares.record.chain import Sealed, entry_from
from nares.record.found_lineups import KeyKept, LineupKept, ObservedKept, SeatKept, SeenKept
from nares.record.lineup_rows import RunRow, run_row, run_rows, sealed_row

_LINEUP = "SELECT l.lineup, l.entry, e.digest, l.sealed_at, l.sealed_by, l.closed_entry, l.closed_at "
_LINEUP += "FROM lineups l JOIN entries e ON e.number = l.entry"
_OBSERVED = "SELECT run, role, person, observed, at, entry FROM lineup_observed WHERE lineup = ?"
_USED_SINCE = """SELECT lineup FROM lineups l WHERE place = ? AND EXISTS (
    SELECT 1 FROM lineup_runs r WHERE r.lineup = l.lineup
    AND coalesce(r.opened_at, r.called_at, r.begun_at, r.placed_at) >= ?) ORDER BY entry"""
_EVALUATOR_FIRST = {"evaluator": 0, "recorder": 1}


class LineupLookups(Asking):
    """Questions about line-ups."""

    def lineups(self, dog: str | None = None) -> list[LineupKept]:
        """Every line-up, newest first, of one dog where one is named."""
        where = "" if dog is None else " WHERE l.dog = ?"
        rows = self._rows(f"{_LINEUP}{where} ORDER BY l.entry DESC", *(() if dog is None else (dog,)))
        return [self._lineup(row) for row in rows]

    def lineup(self, name: str) -> LineupKept:
        """One line-up.

        Raises:
            Unknown: If there is none of this name.
        """
        row = self._one(f"{_LINEUP} WHERE l.lineup = ?", name)
        if row is None:
            raise Unknown(f"There is no line-up called {name!r}. Look it up on the page Line-ups.")
        return self._lineup(row)

    def lineup_names(self) -> set[str]:
        """The names of all line-ups."""
        return {row[0] for row in self._rows("SELECT lineup FROM lineups")}

    def commitments(self, *, closed: bool) -> set[str]:
        """Commitments of the line-ups that are closed, or of those that are not."""
        sql = f"SELECT commitment FROM lineups WHERE closed_entry IS {'NOT ' if closed else ''}NULL"
        return {row[0] for row in self._rows(sql)}

    def runs_of(self, lineup: str) -> list[RunRow]:
        """How far every run of a line-up has come, in order."""
        return run_rows(self._connection().cursor(), lineup)

    def run_of(self, lineup: str, run: int) -> RunRow:
        """How far one run of a line-up has come.

        Raises:
            Unknown: If there is no such line-up, or no such run in it.
        """
        return run_row(self._connection().cursor(), lineup, run)

    def seats_taken(self, lineup: str) -> list[SeatKept]:
        """Who sat down at a line-up, oldest first; a seat taken anew comes again."""
        sql = "SELECT role, person, at, entry FROM lineup_seats WHERE lineup = ? ORDER BY entry"
        return [SeatKept(*row) for row in self._rows(sql, lineup)]

    def key_seen(self, lineup: str) -> list[SeenKept]:
        """Who was shown what lay where in a line-up, oldest first."""
        sql = "SELECT runs, person, how, at, entry FROM lineup_seen WHERE lineup = ? ORDER BY entry"
        return [SeenKept(tuple(json.loads(row[0])), *row[1:]) for row in self._rows(sql, lineup)]

    def observed_in(self, lineup: str) -> list[ObservedKept]:
        """What was seen in the runs of a line-up; the evaluator's before the recorder's."""
        kept = [
            ObservedKept(run, role, person, msgspec.json.decode(seen, type=Observed), at, entry)
            for run, role, person, seen, at, entry in self._rows(f"{_OBSERVED} ORDER BY run, entry", lineup)
        ]
        return sorted(kept, key=lambda one: (one.run, _EVALUATOR_FIRST[one.role]))

    def key_opened(self, lineup: str) -> KeyKept | None:
        """The whole key of a line-up that is closed, else None."""
        row = self._one("SELECT closed_entry FROM lineups WHERE lineup = ?", lineup)
        if row is None or row[0] is None:
            return None
        entry = entry_from(
            Sealed(*(self._one("SELECT number, body, digest FROM entries WHERE number = ?", row[0]) or ()))
        )
        return KeyKept(
            dict(entry.payload["key"]), entry.payload.get("why", ""), entry.entered_at, entry.number
        )

    def blinding_of_runs(
        self, lineup: str, only: int | None = None
    ) -> dict[int, tuple[Blinding | None, Says]]:
        """How blind each run was, derived from the record, and what that rests on. ``only``: of one run."""
        kept, seen, observed = self.lineup(lineup), self.key_seen(lineup), self.observed_in(lineup)
        return {
            row.run: blinding_of(_around(kept, row, seen, observed))
            for row in self.runs_of(lineup)
            if only in (None, row.run)
        }

    def run_results(self, lineup: str | None = None, dog: str | None = None) -> list[RunResult]:
        """Every run that is open or void, oldest line-up first, as it is scored.

        A run void before it was opened shows what lay there once its line-up is closed, and nothing before.
        """
        named = [self.lineup(lineup)] if lineup is not None else self.lineups(dog)[::-1]
        return [one for kept in named if dog in (None, kept.sealed.dog) for one in self._results(kept)]

    def _results(self, kept: LineupKept) -> list[RunResult]:
        name = kept.sealed.lineup
        seen, observed = self.key_seen(name), self.observed_in(name)
        whole = self.key_opened(name)
        lay = {run.run: run.placed for run in runs_from(whole.key)} if whole else {}
        return [
            _result(kept, row, seen, observed, lay.get(row.run, ())) for row in self.runs_of(name) if row.done
        ]

    def held_targets(self, place: str, since: datetime) -> dict[str, str]:
        """Spots of a place that are known to have held a target since a time, with when last.

        From runs that are open, or of closed line-ups. Names of places and spots are compared without case,
        blanks and ways of writing one letter.

        Returns:
            The spot's name as it is compared, and the time. [ISO 8601, UTC]
        """
        held: dict[str, str] = {}
        for (name,) in self._rows(_USED_SINCE, same_name(place), utc_text(since)):
            for spot, at in self.spots_held(name, self._keys_known(name)).items():
                if at >= utc_text(since):
                    held[spot] = max(at, held.get(spot, ""))
        return held

    def spots_held(self, lineup: str, lay: dict[int, tuple[Placed, ...]]) -> dict[str, str]:
        """Where a line-up put targets, and until when, by what lay in its runs; only placed runs count."""
        spots = self.lineup(lineup).sealed.area.spots
        names = {spot.position: same_name(spot.name) for spot in spots}
        held: dict[str, str] = {}
        for row in self.runs_of(lineup):
            until = row.last_at
            for one in lay.get(row.run, ()) if until else ():
                if one.holds == "target":
                    held[names[one.position]] = max(until or "", held.get(names[one.position], ""))
        return held

    def not_closed_at(self, place: str) -> list[LineupKept]:
        """Line-ups at a place whose key is not on the record yet."""
        sql = f"{_LINEUP} WHERE l.place = ? AND l.closed_entry IS NULL ORDER BY l.entry"
        return [self._lineup(row) for row in self._rows(sql, same_name(place))]

    def smells_met(self, dog: str) -> set[str]:
        """Distractors that were asked for in a line-up of this dog of which a run was begun or called."""
        sql = "SELECT DISTINCT lineup FROM lineup_runs WHERE coalesce(begun_entry, called_entry) IS NOT NULL"
        begun = {row[0] for row in self._rows(sql)}
        return {
            str(one["smell"])
            for kept in self.lineups(dog)
            if kept.sealed.lineup in begun
            for one in kept.sealed.asked.get("distractors", ())
        }

    def _keys_known(self, lineup: str) -> dict[int, tuple[Placed, ...]]:
        whole = self.key_opened(lineup)
        if whole is not None:
            return {run.run: run.placed for run in runs_from(whole.key)}
        return {row.run: row.opened_key.placed for row in self.runs_of(lineup) if row.opened_key}

    def _lineup(self, row: tuple[Any, ...]) -> LineupKept:
        return LineupKept(sealed_row(self._connection().cursor(), row[0]), *row[1:])


def _around(
    kept: LineupKept, row: RunRow, seen: list[SeenKept], observed: list[ObservedKept]
) -> Circumstances:
    """What the record holds around a run."""
    wrote = tuple(one.person for one in observed if one.run == row.run)
    begun = (row.begun_by,) if row.begun_by else ()
    placer = row.placed_by or (kept.sealed.people.get("placer", "") if row.on_paper else "")
    return Circumstances(
        row.run,
        row.called_by or "",
        row.called_entry,
        row.opened_entry,
        row.present,
        (*begun, *wrote),
        (placer,) if placer else (),
        tuple(Saw(one.person, one.runs, one.entry) for one in seen),
        kept.sealed.drawn_by,
        row.on_paper,
    )


def _result(
    kept: LineupKept,
    row: RunRow,
    seen: list[SeenKept],
    observed: list[ObservedKept],
    lay: tuple[Placed, ...],
) -> RunResult:
    return RunResult(
        row.run,
        row.opened_key.placed if row.opened_key else lay,
        called_in(row),
        next((one.observed for one in observed if one.run == row.run), None),
        blinding_of(_around(kept, row, seen, observed))[0],
        row.void_why or "",
        kept.sealed.lineup,
    )


def called_in(row: RunRow) -> Called | None:
    """The call of a run, or None."""
    if row.called_entry is None:
        return None
    return Called(row.run, row.called_position, row.called_by or "", row.called_at or "")
