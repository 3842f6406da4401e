"""Measured values with their intervals as words, for the pages that compare and sum up.

Conventions
-----------
Small differences are shown in milliseconds, lengths of time in seconds. A value without an interval says so:
nothing on these pages stands alone.
"""

from typing import Any

NBSP = "\u00a0"
MINUS = "\u2212"


def milliseconds(value_s: float) -> str:
    r"""Seconds as whole milliseconds with a true minus.

    >>> milliseconds(-0.0123)
    '−12'
    """
    return f"{1000 * value_s:.0f}".replace("-0", "0").replace("-", MINUS) if round(1000 * value_s) else "0"


def between_ms(value: Any) -> str:
    r"""A value with its interval in milliseconds, from ``value``, ``low``, ``high`` in seconds."""
    return f"{milliseconds(value.value)}{NBSP}ms{interval_ms(value.low, value.high)}"


def interval_ms(low_s: float | None, high_s: float | None) -> str:
    if low_s is None or high_s is None:
        return " (no interval yet)"
    return f" ({milliseconds(low_s)} to {milliseconds(high_s)})"


def between_s(value_s: float, low_s: float | None, high_s: float | None) -> str:
    r"""Seconds with their interval.

    >>> between_s(0.4, 0.3, 0.55)
    '0.40\xa0s (0.30 to 0.55)'
    """
    said = f"{value_s:.2f}{NBSP}s".replace("-", MINUS)
    if low_s is None or high_s is None:
        return f"{said} (no interval yet)"
    return f"{said} ({low_s:.2f} to {high_s:.2f})".replace("-", MINUS)


def between(value: float | None, low: float | None, high: float | None) -> str:
    """A bare coefficient with its interval, two decimals.

    >>> between(0.81, 0.7, 0.9), between(None, None, None)
    ('0.81 (0.70 to 0.90)', 'cannot be said')
    """
    if value is None:
        return "cannot be said"
    if low is None or high is None:
        return f"{value:.2f} (no interval yet)".replace("-", MINUS)
    return f"{value:.2f} ({low:.2f} to {high:.2f})".replace("-", MINUS)


def share(value: float | None, low: float | None, high: float | None) -> str:
    r"""A share with its interval in whole per cent.

    >>> share(0.5, 0.25, 0.75)
    '50\xa0% (25 to 75)'
    """
    if value is None:
        return "none yet"
    if low is None or high is None:
        return f"{100 * value:.0f}{NBSP}%"
    return f"{100 * value:.0f}{NBSP}% ({100 * low:.0f} to {100 * high:.0f})"
