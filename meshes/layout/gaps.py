"""Even gaps: how many slats fill a run, and the one gap that results.

::

    ends "slat":  w g w g w          run = n w + (n - 1) g
    ends "gap":   g w g w g          run = n w + (n + 1) g

A pattern only changes what is summed: repeating widths, slats in groups with a fixed gap inside, and gaps
graded evenly from the first, g, to the last, r g: m of them sum up to g m (1 + r)/2.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import ceil

from meshes.layout.spacing import Pattern, Slats


@dataclass(frozen=True, slots=True, kw_only=True)
class Rhythm:
    """What repeats along the run, with the gap that is wished for; mm. ``ends`` from the datum on."""

    width: Fraction
    wish: Fraction
    ends: tuple[str, str]
    pattern: Pattern

    @property
    def cycle(self) -> tuple[Fraction, ...]:
        return self.pattern.widths_mm or (self.width,)

    @property
    def plain(self) -> bool:
        """Whether it is slat, gap, slat, gap with one width and one gap."""
        pattern = self.pattern
        return len(set(self.cycle)) == 1 and pattern.group == 1 and pattern.last_to_first == 1

    def slats_width(self, count: int) -> Fraction:
        """Sum of the widths of the first ``count`` slats [mm]."""
        rounds, rest = divmod(count, len(self.cycle))
        return rounds * sum(self.cycle, Fraction(0)) + sum(self.cycle[:rest], Fraction(0))

    def solved_gaps(self, count: int) -> int:
        """How many gaps are solved for: all but those inside groups, closing gaps included."""
        return ceil(Fraction(count, self.pattern.group)) - 1 + self.ends.count("gap")

    def fixed(self, count: int) -> Fraction:
        """What slats and the gaps inside groups take of the run [mm]."""
        inside = count - ceil(Fraction(count, self.pattern.group))
        return self.slats_width(count) + inside * self.pattern.group_gap_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenGap:
    """``count`` slats; ``gap`` is the solved gap, of graded gaps their mean."""

    count: int
    gap: Fraction


def rhythm_of(slats: Slats, width: Fraction, ends: tuple[str, str]) -> Rhythm:
    """The wished rhythm with slats ``width`` wide; a repeating pattern keeps its own widths."""
    return Rhythm(width=width, wish=slats.gap_mm, ends=ends, pattern=slats.pattern)


def gap_for(run: Fraction, rhythm: Rhythm, count: int) -> EvenGap | None:
    """The gap that ``count`` slats leave; None when they do not fit or leave nothing to divide by."""
    rest = run - rhythm.fixed(count)
    gaps = rhythm.solved_gaps(count)
    if rest < 0 or count < 1 or (gaps == 0 and rest != 0):
        return None
    return EvenGap(count=count, gap=rest / gaps if gaps else Fraction(0))


def even_gaps(run: Fraction, rhythm: Rhythm, reach: int = 1) -> list[EvenGap]:
    """Set-outs with an even gap around the wish, nearest first, the larger gap first on a tie.

    ``reach`` counts are tried on each side of the ideal one. Empty when not even the fewest slats fit.
    """
    group = rhythm.pattern.group
    unit = rhythm.slats_width(len(rhythm.cycle)) / len(rhythm.cycle) * group
    unit += (group - 1) * rhythm.pattern.group_gap_mm + rhythm.wish
    ideal = int((run + (1 - rhythm.ends.count("gap")) * rhythm.wish) // unit)
    reach += len(rhythm.cycle) if len(rhythm.cycle) > 1 else 0
    found = []
    for groups in range(max(1, ideal - reach + 1), max(1, ideal) + reach + 1):
        even = gap_for(run, rhythm, groups * group)
        if even is not None:
            found.append(even)
    return sorted(found, key=lambda even: (abs(even.gap - rhythm.wish), -even.gap))


def widths_of(rhythm: Rhythm, count: int) -> list[Fraction]:
    """The slat widths from the datum on [mm]."""
    cycle = rhythm.cycle
    return [cycle[index % len(cycle)] for index in range(count)]


def starts_of(rhythm: Rhythm, even: EvenGap) -> list[Fraction]:
    """Where each slat starts, from the run's datum end [mm], exactly."""
    opens = rhythm.ends[0] == "gap"
    if rhythm.plain:
        pitch = rhythm.width + even.gap
        first = even.gap if opens else Fraction(0)
        return [first + index * pitch for index in range(even.count)]
    gaps = gaps_of(rhythm, even)
    widths = widths_of(rhythm, even.count)
    first = gaps[0] if opens else Fraction(0)
    between = gaps[1:] if opens else gaps
    steps = [width + gap for width, gap in zip(widths, between, strict=False)]
    return list(accumulate(steps[: even.count - 1], initial=first))


def gaps_of(rhythm: Rhythm, even: EvenGap) -> Sequence[Fraction]:
    """Every gap from the datum on, closing gaps and gaps inside groups included [mm]."""
    solved = rhythm.solved_gaps(even.count)
    last_to_first = rhythm.pattern.last_to_first
    first = 2 * even.gap / (1 + last_to_first) if solved > 1 else even.gap
    step = first * (last_to_first - 1) / (solved - 1) if solved > 1 else Fraction(0)
    graded = iter([first + step * index for index in range(solved)])
    gaps = [next(graded)] if rhythm.ends[0] == "gap" else []
    for index in range(1, even.count):
        inside = index % rhythm.pattern.group != 0
        gaps.append(rhythm.pattern.group_gap_mm if inside else next(graded))
    if rhythm.ends[1] == "gap":
        gaps.append(next(graded))
    return gaps
