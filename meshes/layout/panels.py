"""Which slats share a board: whole pitches, joints behind slats, the fewest sheets, light enough to carry.

Joint behind slat ``a``: the boards meet under its middle, each cut under by half the clearance c and by the
cloth f that is wrapped round its edge. Slat a is fixed to one board only and overhangs towards the datum::

         +------+   +-------------+   +------+
         |      |   |      a      |   |      |
    =====+======+===+====f||c||f==+===+======+==     panel k | | panel k + 1, with slat a
    datum <--

A panel that must come off owns the slats over both of its joints, so that no neighbour holds it.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from meshes.layout.sharing import Row, Search
from meshes.layout.spacing import Panels
from meshes.layout.spans import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Behind the middle of slat ``slat``, which belongs to the panel that starts here, or the one before."""

    slat: int
    to_next: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Division:
    """The boards along the run: (start, end) as they stand, cloth included, and the slats of each."""

    joints: tuple[Joint, ...]
    outlines: tuple[Span, ...]
    slats: tuple[range, ...]
    removable: frozenset[int]


def divide(row: Row, panels: Panels, access: Sequence[Span] = ()) -> Division:
    """Choose the fewest sheets without slivers, then the fewest panels and kinds, none needlessly narrow.

    Boards stay within width, weight and the way in where one pitch does. ``access`` are the (start, end)
    along the run that a removable panel has to cover.
    """
    sections, removed = _sections(row, panels, access)
    search = Search(row, panels)
    joints: list[Joint] = []
    for number, (first, after) in enumerate(sections):
        if number:
            joints.append(Joint(slat=first if number in removed else first - 1, to_next=number in removed))
        if number not in removed:
            joints += [Joint(slat=slat) for slat in search.share(first, after)]
    half = panels.joint_clearance_mm / 2
    middles = [row.middles[joint.slat] for joint in joints]
    starts = [row.span[0], *(middle + half for middle in middles)]
    ends = [*(middle - half for middle in middles), row.span[1]]
    bounds = [0, *(joint.slat + (not joint.to_next) for joint in joints), len(row.widths)]
    slats = tuple(range(start, end) for start, end in pairwise(bounds))
    kept = {sections[number] for number in removed}
    return Division(
        joints=tuple(joints),
        outlines=tuple(zip(starts, ends, strict=True)),
        slats=slats,
        removable=frozenset(number for number, own in enumerate(slats) if (own.start, own.stop) in kept),
    )


def _sections(row: Row, panels: Panels, access: Sequence[Span]) -> tuple[list[tuple[int, int]], set[int]]:
    """The slats in (first, after last) sections, and which of these are panels that come off.

    A removable section owns both slats over its joints: the last at which its board still covers the zone.
    It goes on to the end of the run where next to nothing would be left beyond it.
    """
    middles, count = row.middles, len(row.middles)
    edge = panels.joint_clearance_mm / 2 + panels.fabric_mm
    cuts: list[tuple[int, int]] = []
    for start, end in sorted(access):
        if end <= row.span[0] or start >= row.span[1]:
            continue
        first = max(0, bisect_right(middles, start - edge) - 1)
        last = min(count - 1, bisect_left(middles, end + edge))
        if first < 2 or middles[first] - edge - panels.fabric_mm <= row.span[0]:
            first = 0
        if last > count - 3 or middles[last] + edge + panels.fabric_mm >= row.span[1]:
            last = count - 1
        if cuts and first < cuts[-1][1]:
            cuts[-1] = (cuts[-1][0], max(cuts[-1][1], last + 1))
        else:
            cuts.append((first, last + 1))
    sections: list[tuple[int, int]] = []
    removed: set[int] = set()
    at = 0
    for first, after in cuts:
        if first > at:
            sections.append((at, first))
        removed.add(len(sections))
        sections.append((first, after))
        at = after
    if at < count:
        sections.append((at, count))
    return sections, removed
