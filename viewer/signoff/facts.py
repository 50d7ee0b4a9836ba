"""The facts that a signature fixes, read off a job: wall by wall, then the finish, then the price.

What a job path feeds, or why it feeds nothing, is listed in ``scope``; a test moves every path and compares.
"""

import itertools
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from gettext import gettext as _

from finishes.choice import Finish
from meshes.layout.lengths import rounded_mm
from meshes.layout.placed import SetOut, Slat
from meshes.layout.rect import Rect
from meshes.layout.survey import End, Opening, Wall, Zone
from viewer.job.model import Job
from viewer.signoff.agreed import Fact, Tolerances
from viewer.signoff.finish_facts import finish_facts

NOT_SEEN = frozenset({"no_drill"})
"""Zones that steer fixings behind the panels; the client sees nothing of them."""

LONGEST_PERIOD = 12
"""A rhythm of widths is looked for up to this many slats: the most that a pattern can name."""


def agreed_facts(
    job: Job,
    set_outs: Sequence[SetOut],
    finish: Finish,
    tolerances: Tolerances,
    *,
    price: tuple[Decimal, str] | None,
) -> tuple[Fact, ...]:
    """What the signature fixes. ``set_outs`` are the job's walls, ``finish`` with every name filled in.

    ``price`` : amount and currency as shown to the client, None where the price is hidden.
    """
    surveys = [(job.wall, job.openings, job.zones)]
    surveys += [(one.wall, one.openings, one.zones) for one in job.next_walls]
    facts: list[Fact] = []
    for number, (placed, survey) in enumerate(zip(set_outs, surveys, strict=True)):
        make = _Maker(f"wall_{number}.", which_wall(number, len(set_outs)), tolerances)
        facts += _wall(placed, *survey, job, make)
    facts += _timber(job, _Maker("", "", tolerances))
    facts += finish_facts(finish)
    if price is not None:
        amount, currency = price
        price_fact = Fact(
            name="price", words=_("price"), value=Fraction(amount), unit=currency, tolerance=Fraction(0)
        )
        facts.append(price_fact)
    return tuple(facts)


def which_wall(number: int, count: int) -> str:
    """How the words of a wall's facts begin, where there are several; ``number`` counts from 0."""
    return "" if count == 1 else _("wall {number}: ").format(number=number + 1)


class _Maker:
    """Makes facts of one wall: their names start alike, and where it stands is said in words."""

    def __init__(self, key: str, where: str, allowed: Tolerances) -> None:
        self.key, self.where, self.allowed = key, where, allowed

    def mm(self, name: str, words: str, value: Fraction, tolerance: Fraction) -> Fact:
        return Fact(
            name=self.key + name,
            words=self.where + words,
            value=Fraction(value),
            unit="mm",
            tolerance=tolerance,
        )

    def count(self, name: str, words: str, value: int, tolerance: int) -> Fact:
        return Fact(
            name=self.key + name,
            words=self.where + words,
            value=Fraction(value),
            unit="",
            tolerance=Fraction(tolerance),
        )

    def said(self, name: str, words: str, value: str) -> Fact:
        return Fact(name=self.key + name, words=self.where + words, value=value, unit="", tolerance=None)


def _wall(
    placed: SetOut, wall: Wall, openings: Sequence[Opening], zones: Sequence[Zone], job: Job, make: _Maker
) -> Iterator[Fact]:
    yield from _rhythm(placed, make)
    yield from _edges(placed, make)
    yield from _frame(placed, make)
    yield make.said("ceiling", _("ceiling"), wall.ceiling)
    yield make.said("skirting_kept", _("skirting"), wall.skirting)
    for side, words in (("left", _("left end")), ("right", _("right end"))):
        end: End = getattr(wall, side)
        yield make.said(f"{side}_meets", _("{end} meets").format(end=words), end.meets.replace("_", " "))
    for number, opening in enumerate(openings):
        yield from _opening(number, opening, make)
    for number, zone in enumerate(zones):
        if zone.kind not in NOT_SEEN:
            words = _("{kind} zone {number}").format(kind=zone.kind.replace("_", " "), number=number + 1)
            rect = Rect(left=zone.left_mm, bottom=zone.bottom_mm, width=zone.width_mm, height=zone.height_mm)
            said = _("zone {number}").format(number=number + 1)
            yield make.said(f"zone_{number}.kind", said, _(zone.kind.replace("_", " ")))
            yield from _placed(f"zone_{number}", words, rect, make)
    if job.slats.feature_mm is not None:
        yield make.mm("feature", _("centre line"), job.slats.feature_mm, make.allowed.ends_mm)


def _rhythm(placed: SetOut, make: _Maker) -> Iterator[Fact]:
    """Slats and gaps along the run, irregular ones included."""
    allowed, chosen = make.allowed, placed.chosen
    spans = [_across(slat, placed.run) for slat in placed.slats]
    gaps = [right[0] - left[1] for left, right in itertools.pairwise(spans)]
    yield make.said("run", _("slats run"), placed.run)
    yield make.mm("gap", _("gap"), placed.gap, allowed.gap_mm)
    for name, words, value in (
        ("gap_least", _("smallest gap"), min(gaps, default=placed.gap)),
        ("gap_most", _("largest gap"), max(gaps, default=placed.gap)),
    ):
        if value != placed.gap:
            yield make.mm(name, words, value, allowed.gap_mm)
    yield make.mm("slat_width", _("slat width"), placed.slat_width, allowed.slat_mm)
    yield make.mm("slat_depth", _("slat depth"), placed.slat_depth, allowed.slat_mm)
    yield make.count("count", _("slats"), len(placed.slats), allowed.count)
    turn = _period(spans, chosen.start_slat if chosen else 0)
    for number, width in enumerate(turn if len(turn) > 1 else ()):
        words = _("slat width {number} in turn").format(number=number + 1)
        yield make.mm(f"width_{number}", words, width, allowed.slat_mm)
    yield make.said("ends", _("ends finish on"), placed.ends)
    first = spans[0] if spans else (placed.face.left, placed.face.left)
    last = spans[-1] if spans else first
    yield make.mm("first_slat", _("first slat starts"), first[0], allowed.ends_mm)
    yield make.mm("last_slat", _("last slat ends"), last[1], allowed.ends_mm)
    joints = sum(len(slat.pieces) > 1 and _touch(slat, placed.run) for slat in placed.slats)
    yield make.said("slat_joints", _("slats in more than one length"), _("some") if joints else _("none"))
    if chosen is not None:
        for name, words, width in (
            ("closing_first", _("first ripped slat"), chosen.start_slat),
            ("closing_last", _("last ripped slat"), chosen.end_slat),
        ):
            if width:
                yield make.mm(name, words, width, allowed.slat_mm)


def _across(slat: Slat, run: str) -> tuple[Fraction, Fraction]:
    extent = slat.extent
    return (extent.left, extent.right) if run == "upright" else (extent.bottom, extent.top)


def _touch(slat: Slat, run: str) -> bool:
    """Whether two pieces meet, as at a joint; pieces beside an opening do not."""
    sides = [
        (piece.bottom, piece.top) if run == "upright" else (piece.left, piece.right) for piece in slat.pieces
    ]
    sides.sort()
    return any(one[1] == other[0] for one, other in itertools.pairwise(sides))


def _period(spans: Sequence[tuple[Fraction, Fraction]], start_slat: Fraction | int) -> tuple[Fraction, ...]:
    """The shortest turn of widths that the whole slats repeat: (40,) or (40, 40, 60)."""
    widths = [high - low for low, high in spans][1 if start_slat else 0 :]
    inner = widths[:-1] if len(widths) > 1 else widths
    for period in range(1, LONGEST_PERIOD + 1):
        if all(one == widths[place % period] for place, one in enumerate(inner)):
            return tuple(widths[:period])
    return tuple(sorted(set(widths)))


def _edges(placed: SetOut, make: _Maker) -> Iterator[Fact]:
    allowed, face = make.allowed, placed.face
    yield make.mm("left", _("left end"), face.left, allowed.ends_mm)
    yield make.mm("right", _("right end"), face.right, allowed.ends_mm)
    yield make.mm("bottom", _("lower end"), face.bottom, allowed.ends_mm)
    yield make.mm("top", _("upper end"), face.top, allowed.ends_mm)
    tops = [slat.extent.top for slat in placed.slats]
    if placed.run == "upright" and tops and min(tops) != max(tops):
        yield make.mm("top_least", _("lowest slat top"), min(tops), allowed.ends_mm)
        yield make.mm("top_most", _("highest slat top"), max(tops), allowed.ends_mm)
    yield make.mm("build_up", _("stands out from the wall"), placed.build_up.total, allowed.ends_mm)
    corners = {"inside": _("inside corner"), "outside": _("outside corner")}
    if placed.turns != "first":
        yield make.said("turns", _("goes on round"), corners[placed.turns])


def _frame(placed: SetOut, make: _Maker) -> Iterator[Fact]:
    """Trims, returns, posts, plinth and shadow gaps by side, and the skirting that stays."""
    for strip in (*placed.trims, *placed.shadow_gaps):
        name = f"{strip.side}_{strip.kind}"
        words = f"{_(strip.side)} {_(strip.kind.replace('_', ' '))}"
        yield make.mm(name, words, strip.width, make.allowed.ends_mm)
    if placed.skirting is not None:
        yield make.mm("skirting", _("skirting height"), placed.skirting.height, make.allowed.ends_mm)
        yield make.mm("skirting_depth", _("skirting depth"), placed.skirting_projection, make.allowed.ends_mm)


def _placed(name: str, words: str, rect: Rect, make: _Maker) -> Iterator[Fact]:
    allowed = make.allowed.openings_mm
    yield make.mm(f"{name}.left", f"{words} {_('from the left')}", rect.left, allowed)
    yield make.mm(f"{name}.bottom", f"{words} {_('above the floor')}", rect.bottom, allowed)
    yield make.mm(f"{name}.width", f"{words} {_('width')}", rect.width, allowed)
    yield make.mm(f"{name}.height", f"{words} {_('height')}", rect.height, allowed)


def _opening(number: int, opening: Opening, make: _Maker) -> Iterator[Fact]:
    name, words = f"opening_{number}", f"{_(opening.kind)} {number + 1}"
    rect = Rect(
        left=opening.left_mm, bottom=opening.bottom_mm, width=opening.width_mm, height=opening.height_mm
    )
    yield make.said(f"{name}.kind", _("opening {number}").format(number=number + 1), _(opening.kind))
    yield from _placed(name, words, rect, make)
    allowed = make.allowed.openings_mm
    for part, said, value in (
        ("clearance", _("left free round it"), opening.clearance_mm),
        ("architrave", _("architrave width"), opening.architrave_mm),
        ("architrave_depth", _("architrave depth"), opening.architrave_projection_mm),
    ):
        if value:
            yield make.mm(f"{name}.{part}", f"{words} {said}", value, allowed)
    yield make.said(f"{name}.plate", f"{words} {_('plate sits')}", opening.plate)
    colour = opening.plate_lab_d65
    said = ", ".join(str(rounded_mm(part)) for part in colour) if colour else _("white")
    yield make.said(f"{name}.colour", f"{words} {_('plate colour (L*, a*, b*)')}", said)
    if opening.leaf is not None:
        yield make.said(f"{name}.hinge", f"{words} {_('hinged')}", opening.leaf.hinge)
        yield make.mm(f"{name}.leaf", f"{words} {_('leaf width')}", opening.leaf.width_mm, allowed)
        yield make.mm(f"{name}.handle", f"{words} {_('handle depth')}", opening.leaf.handle_mm, allowed)


def _timber(job: Job, make: _Maker) -> Iterator[Fact]:
    yield make.count("spares", _("spare slats"), job.stock.spares, 0)
