"""Fields of numbers whose faults say what was typed and what would do."""

from typing import Any

from django import forms

from nares.base.errors import OutOfRange

ROUND = 10_000
"""Lengths are kept to a tenth of a millimetre. [1/m]"""


def read_number(typed: str, *, low: float, high: float, what: str) -> float:
    """A number as people write it, with a point or a comma.

    Raises:
        OutOfRange: If it is no number, or not from ``low`` to ``high``.

    Examples:
        >>> read_number("1,5", low=0, high=9, what="metres")
        1.5
    """
    text = typed.strip().replace(",", ".")
    if not text:
        raise OutOfRange(f"Nothing was given. Give {what} from {low:g} to {high:g}.")
    try:
        value = float(text)
    except ValueError:
        raise OutOfRange(f"{typed.strip()!r} is no number. Give {what} from {low:g} to {high:g}.") from None
    if not low <= value <= high:  # also false for what is no number at all
        raise OutOfRange(f"{typed.strip()} is out of range. Give {what} from {low:g} to {high:g}.")
    return round(value * ROUND) / ROUND


class Number(forms.CharField):
    """A number from ``low`` to ``high``; ``what`` names its unit in the fault; empty is None if allowed."""

    def __init__(
        self, *, low: float, high: float, what: str, step: str = "any", whole: bool = False, **named: Any
    ) -> None:
        self.low, self.high, self.what, self.whole = low, high, what, whole
        attrs = {"min": f"{low:g}", "max": f"{high:g}", "step": "1" if whole else step}
        attrs["inputmode"] = "numeric" if whole else "decimal"
        missing = {"required": f"Nothing was given. Give {what} from {low:g} to {high:g}."}
        super().__init__(widget=forms.NumberInput(attrs=attrs), error_messages=missing, **named)

    def clean(self, value: Any) -> Any:
        typed = super().clean(value)
        if not typed:
            return None
        try:
            read = read_number(typed, low=self.low, high=self.high, what=self.what)
        except OutOfRange as error:
            raise forms.ValidationError(str(error)) from None
        if not self.whole:
            return read
        if read != int(read):
            raise forms.ValidationError(f"{typed} is not a whole number. Give {self.what}, like {int(read)}.")
        return int(read)
