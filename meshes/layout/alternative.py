"""Other set-outs of the same run: those that work, with their reason, and those that a rule forbids."""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another set-out that works: gap, number of slats and the reason in words.

    ``kind``: even, spacer, centred, feature, visible_end or shifted; ``closing``: what takes up the
    remainder; ``centred_on``: slat or gap, where one is.

    ``start_space`` and ``end_space`` are what is left between the ends of the run, from the datum on, and
    the outermost whole slats; a closing slat of ``start_slat`` or ``end_slat`` mm stands in that space unless
    it is 0; ``widened`` is what a shadow gap or trim outside the run takes instead. ``first`` is where the
    first whole slat starts, from the run's datum end.

    ``spacer`` is the thickness to measure, ``drift`` what slats and spacer may add up to over the run,
    ``reset_every`` the number of slats after which to measure from the datum again. ``regular``: one width
    and one gap; in patterns ``slats`` are the whole ones, (start, width) each from the run's datum end.
    """

    slat_count: int
    gap: Fraction
    ends: str
    reason: str
    kind: str = "even"
    closing: str = "slat"
    centred_on: str = ""
    width: Fraction = Fraction(0)
    first: Fraction = Fraction(0)
    start_space: Fraction = Fraction(0)
    end_space: Fraction = Fraction(0)
    start_slat: Fraction = Fraction(0)
    end_slat: Fraction = Fraction(0)
    widened: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))
    spacer: Fraction = Fraction(0)
    drift: Fraction = Fraction(0)
    reset_every: int = 5
    regular: bool = True
    slats: tuple[tuple[Fraction, Fraction], ...] = ()

    @property
    def remainder(self) -> bool:
        """Whether anything but whole slats and gaps is needed to fill the run."""
        return any((self.start_space, self.end_space, *self.widened))

    @property
    def whole(self) -> int:
        """Slats of full width."""
        return self.slat_count - (self.start_slat > 0) - (self.end_slat > 0)

    @property
    def resets(self) -> tuple[Fraction, ...]:
        """Where to measure again: near edges of every ``reset_every``-th whole slat, from the datum end."""
        pitch = self.width + self.gap
        if not self.regular:
            return tuple(start for start, _ in self.slats[self.reset_every :: self.reset_every])
        return tuple(
            self.first + index * pitch for index in range(self.reset_every, self.whole, self.reset_every)
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rejected:
    """A set-out that was tried and the rule that it breaks, in words."""

    kind: str
    gap: Fraction
    rule: str
    closing: str = ""
