"""When the finish is ready: coats and waits through real working days, to the first day slats may touch the
fabric.

The start is given; nothing here reads a clock. Work happens in working hours; waits run through nights and
weekends in real hours, so a change to summer time neither adds nor takes an hour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from finishes.catalogue import Catalogue
from finishes.catalogue.entries import Drying, TopcoatEntry
from finishes.tone import tone_of
from finishes.workshop import RAGS

if TYPE_CHECKING:
    from finishes.choice import Finish


class UnknownZoneError(ValueError):
    """The time zone is not an IANA name that this machine knows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One piece of work and the wait after it; times carry their zone."""

    work: str
    starts: datetime
    ends: datetime
    ready: datetime
    wait_h: float
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Schedule:
    """Steps in order. fit_on : the first day on which slats may be fixed over the fabric."""

    steps: tuple[Step, ...]
    fit_on: date
    notes: tuple[str, ...]


def zone(name: str) -> tzinfo:
    """The IANA zone of that name. Raises UnknownZoneError."""
    if name == "UTC":
        return UTC
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise UnknownZoneError(
            f"{name!r} is not a known time zone; use an IANA name such as Europe/London"
        ) from error


def schedule(
    finish: "Finish",
    catalogue: Catalogue,
    *,
    start: date,
    zone_name: str,
    area_m2: float,
    weekends: bool = False,
) -> Schedule:
    """Coats, waits and the first day for fixing.

    start : the first day on which someone can work; area_m2 : all surfaces that are coated.
    weekends : whether work goes on at weekends; waits always do.
    Raises UnknownZoneError, ValueError for an area below 0, KeyError for an unknown name.
    """
    if not 0 <= area_m2 <= 100_000:
        raise ValueError(f"area_m2 is {area_m2:g}; it must lie from 0 to 100000")
    hours = _Hours(zone(zone_name), catalogue, weekends)
    rate = catalogue.rate("coating speed").likely
    now = hours.open_from(start)
    steps: list[Step] = []
    for work, coats, wait_h, reason in _work(finish, catalogue):
        starts = hours.next_open(now)
        ends = hours.after_work(starts, coats * area_m2 / rate)
        now = ends.astimezone(UTC) + timedelta(hours=wait_h)
        ready = now.astimezone(hours.tz)
        steps.append(Step(work=work, starts=starts, ends=ends, ready=ready, wait_h=wait_h, reason=reason))
    fit = hours.next_open(now)
    return Schedule(steps=tuple(steps), fit_on=fit.date(), notes=_notes(finish, catalogue))


def _work(finish: "Finish", catalogue: Catalogue) -> Sequence[tuple[str, int, float, str]]:
    """(what, coats in one go, wait in hours, why) in order; the last wait ends when nothing marks the fabric.

    Coats wet on wet are one piece of work: slat by slat, 20 to 60 minutes apart, not wall by wall.
    """
    tone = tone_of(finish, catalogue)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    coats: list[tuple[str, int, Drying | None]] = []
    if finish.coats > 0:
        slowest = max((entry.drying for entry, _ in tone.parts), key=lambda each: each.touch_fabric_h.value)
        if finish.coats > 1 and finish.between_coats == "wet on wet":
            wait = catalogue.rate("wet on wet wait")
            apart = f"{wait.low:g} to {wait.high:g} minutes apart"
            coats.append(
                (f"stain, {finish.coats} coats wet on wet, {apart}: {tone.name}", finish.coats, slowest)
            )
        else:
            coats += [(f"stain, coat {n + 1}: {tone.name}", 1, slowest) for n in range(finish.coats)]
    coats += [(f"topcoat, coat {n + 1}: {top.name}", 1, top.drying) for n in range(top.coats)]
    found = []
    for number, (work, count, drying) in enumerate(coats, start=1):
        if drying is None:
            continue
        if number == len(coats):
            found.append((work, count, drying.touch_fabric_h.value, "until nothing marks the fabric"))
        else:
            found.append((work, count, drying.recoat_h.value, "to the next coat"))
    return found


class _Hours:
    """Working hours in one zone."""

    def __init__(self, tz: tzinfo, catalogue: Catalogue, weekends: bool) -> None:
        self.tz = tz
        self.weekends = weekends
        self.opens = time(int(catalogue.rate("working day start").likely))
        self.closes = time(int(catalogue.rate("working day end").likely))

    def open_from(self, day: date) -> datetime:
        return self.next_open(datetime.combine(day, self.opens, self.tz))

    def next_open(self, moment: datetime) -> datetime:
        """The moment itself in working hours, or the next opening."""
        here = moment.astimezone(self.tz)
        day = here.date()
        if here.timetz().replace(tzinfo=None) >= self.closes:
            day += timedelta(days=1)
        while not self.weekends and day.weekday() >= 5:
            day += timedelta(days=1)
        opening = datetime.combine(day, self.opens, self.tz)
        return max(here, opening)

    def after_work(self, starts: datetime, work_h: float) -> datetime:
        """When so many working hours have been done; work carries over to the next working day."""
        left = timedelta(hours=work_h)
        now = starts
        while True:
            closing = datetime.combine(now.date(), self.closes, self.tz)
            open_for = closing.astimezone(UTC) - now.astimezone(UTC)
            if left <= open_for:
                return (now.astimezone(UTC) + left).astimezone(self.tz)
            left -= open_for
            now = self.next_open(closing)


def _notes(finish: "Finish", catalogue: Catalogue) -> tuple[str, ...]:
    tone = tone_of(finish, catalogue)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    notes = []
    if finish.coats > 0 or top.coats > 0:
        notes.append("Cuts made at openings are stained and coated again before the slats are fixed.")
    if finish.coats > 1 and finish.between_coats == "dried":
        notes.append("A stain that has dried seals the wood: the next coat adds little colour.")
    if (finish.coats > 0 and any(entry.oily for entry, _ in tone.parts)) or (top.coats > 0 and top.oily):
        notes.append(RAGS)
    return tuple(notes)
