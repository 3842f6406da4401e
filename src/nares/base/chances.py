"""Chances in a person's words."""


def one_in(chance: float) -> str:
    """A chance as a person says it.

    Examples:
        >>> one_in(0.0484), one_in(0.86), one_in(0.0)
        ('1 time in 21', '86 times in 100', 'never')
    """
    if chance <= 0:
        return "never"
    if chance < 0.4:
        return f"1 time in {round(1 / chance)}"
    return f"{round(100 * chance)} times in 100"
