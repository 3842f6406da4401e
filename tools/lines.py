"""Write the lines of the step test that come with nares, found anew.

    python tools/lines.py

The usual levels, and the two nearest that a trainer is likely to choose; any other is found when asked for.
A test finds each of them again and compares.
"""

import json
from pathlib import Path

from nares.decide.calling.induction import found_lines

FILE = Path(__file__).resolve().parents[1] / "src" / "nares" / "decide" / "calling" / "lines.json"
LEVELS = (
    (0.85, 0.60, 0.05, 0.20, 40),
    (0.85, 0.60, 0.01, 0.20, 40),
    (0.90, 0.70, 0.05, 0.20, 40),
)


def main() -> None:
    """Find and write them."""
    rows = []
    for ready, not_ready, false_raise, missed_raise, cap in LEVELS:
        levels = {
            "ready": ready,
            "not_ready": not_ready,
            "false_raise": false_raise,
            "missed_raise": missed_raise,
            "cap": cap,
        }
        found = found_lines(
            ready=ready, not_ready=not_ready, false_raise=false_raise, missed_raise=missed_raise, cap=cap
        )
        if found is None:
            raise SystemExit(f"No lines for {levels}.")
        rows.append(json.dumps(levels | {"raise_at": found[0], "ease_at": found[1]}))
    FILE.write_text("[\n" + ",\n".join(rows) + "\n]\n", encoding="utf-8")


if __name__ == "__main__":
    main()
