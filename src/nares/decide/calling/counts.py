"""Where the lines of the step test lie, in counts one can keep in mind: raise at 8 of 8, at 11 of 12 …"""

from nares.decide.calling.lines import StepLines


def raise_counts(lines: StepLines) -> tuple[tuple[int, int], ...]:
    """For every number of misses the first count that raises, as (met, reps), fewest misses first.

    Examples:
        >>> from nares.decide import step_lines
        >>> raise_counts(step_lines())[:3]
        ((8, 8), (11, 12), (14, 16))
    """
    first: dict[int, tuple[int, int]] = {}
    for reps, met in enumerate(lines.raise_at, start=1):
        if met <= reps:
            for misses in range(reps - met + 1):
                first.setdefault(misses, (reps - misses, reps))
    return tuple(first[misses] for misses in sorted(first))


def ease_counts(lines: StepLines) -> tuple[tuple[int, int], ...]:
    """For every number met the first count that eases, as (met, reps), fewest met first.

    Examples:
        >>> from nares.decide import step_lines
        >>> ease_counts(step_lines())[:3]
        ((0, 2), (1, 3), (2, 4))
    """
    first: dict[int, tuple[int, int]] = {}
    for reps, met in enumerate(lines.ease_at, start=1):
        if met >= 0 and met not in first:
            first[met] = (met, reps)
    return tuple(first[met] for met in sorted(first))
