"""Looking up what people judged: calls they overruled, signs they saw and looked into, cues they named."""

import json

from nares.record.asking import Asking
from nares.record.found import ClearingKept, CueKept, OverrulingKept, SignsKept

_OVERRULING = (
    "SELECT entry, dog, call_entry, decided, next_step, why, made_by, at, withdrawn_entry, withdrawn_why, "
    "withdrawn_by FROM overrulings"
)
_SIGNS = "SELECT entry, dog, signs, level, session, rep, latency, note, made_by, at, cleared_entry FROM signs"


class Judgements(Asking):
    """Questions about what people judged; every list is oldest first."""

    def overrulings(self, dog: str | None = None) -> list[OverrulingKept]:
        """Every overruling there ever was, of one dog or of all, also replaced and withdrawn ones."""
        where, values = ("WHERE dog = ?", (dog,)) if dog else ("", ())
        return [OverrulingKept(*row) for row in self._rows(f"{_OVERRULING} {where} ORDER BY entry", *values)]

    def signs(self, dog: str) -> list[SignsKept]:
        """Every sign seen in a dog."""
        rows = self._rows(f"{_SIGNS} WHERE dog = ? ORDER BY entry", dog)
        return [SignsKept(row[0], row[1], tuple(json.loads(row[2])), *row[3:]) for row in rows]

    def clearings(self, dog: str) -> list[ClearingKept]:
        """Every time somebody looked into signs of a dog."""
        sql = "SELECT entry, dog, why, vet, made_by, at FROM signs_cleared WHERE dog = ? ORDER BY entry"
        return [
            ClearingKept(entry, name, why, vet == 1, by, at)
            for entry, name, why, vet, by, at in self._rows(sql, dog)
        ]

    def named_cues(self) -> list[CueKept]:
        """Every cue that a trainer named."""
        sql = "SELECT cue, about, made_by, at, entry FROM cues ORDER BY entry"
        return [CueKept(*row) for row in self._rows(sql)]
