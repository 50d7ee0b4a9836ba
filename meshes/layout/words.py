"""Lengths in sentences for people: rounded once, and only here."""

from collections.abc import Iterable
from fractions import Fraction


def mm(value: Fraction) -> str:
    """A length, rounded once to 0.1 mm; whole numbers without a point."""
    tenths = round(value * 10)
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def signed(value: Fraction) -> str:
    """A difference with its sign, rounded once to 0.1 mm."""
    shown = mm(abs(value))
    if shown == "0":
        return "±0"
    return f"{'+' if value > 0 else '−'}{shown}"


def counted(count: int, one: str, many: str) -> str:
    """``1 slat``, ``2 slats``."""
    return f"{count} {one if count == 1 else many}"


def numbered(one: str, many: str, numbers: Iterable[int]) -> str:
    """``Slat 4``, ``Slats 4 and 9``, ``Slats 4 to 7 and 9``: runs of three or more are shortened."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said: list[str] = []
    for run in runs:
        said += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    if len(said) == 1:
        return f"{one if said[0].isdigit() else many} {said[0]}"
    return f"{many} {', '.join(said[:-1])} and {said[-1]}"
