"""Whether boards lying on a sheet can be cut out edge to edge: a check that knows nothing of any planner.

A set of boards can be separated exactly when some saw line passes between them and both sides can again be
separated; which line is taken first does not matter, because a line that parts the whole set parts every
subset too.
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import Protocol


class Lying(Protocol):
    """A rectangle on the sheet [mm], from its lower left corner."""

    @property
    def left(self) -> Fraction: ...
    @property
    def bottom(self) -> Fraction: ...
    @property
    def width(self) -> Fraction: ...
    @property
    def height(self) -> Fraction: ...


def separable(
    boards: Sequence[Lying], *, sheet_width: Fraction, sheet_height: Fraction, kerf: Fraction
) -> bool:
    """True if all boards lie on the sheet and edge-to-edge cuts ``kerf`` wide part every two of them."""
    inside = all(
        board.left >= 0
        and board.bottom >= 0
        and board.left + board.width <= sheet_width
        and board.bottom + board.height <= sheet_height
        for board in boards
    )
    spans = [
        ((board.left, board.left + board.width), (board.bottom, board.bottom + board.height))
        for board in boards
    ]
    return inside and _parted(spans, kerf)


Span = tuple[Fraction, Fraction]


def _parted(spans: Sequence[tuple[Span, Span]], kerf: Fraction) -> bool:
    waiting = [list(spans)]
    while waiting:
        group = waiting.pop()
        if len(group) < 2:
            continue
        parts = _two(group, kerf)
        if parts is None:
            return False
        waiting += parts
    return True


def _two(spans: list[tuple[Span, Span]], kerf: Fraction) -> tuple[list[tuple[Span, Span]], ...] | None:
    """Both sides of some saw line between the boards; None where there is none."""
    for axis in (0, 1):
        ordered = sorted(spans, key=lambda span: span[axis])
        reach = ordered[0][axis][1]
        for index in range(1, len(ordered)):
            if ordered[index][axis][0] >= reach + kerf:
                return ordered[:index], ordered[index:]
            reach = max(reach, ordered[index][axis][1])
    return None
