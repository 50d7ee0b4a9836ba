"""What of a wall a picture shows, what can stand in it beside the wall, and how large it is."""

from dataclasses import dataclass

THINGS = ("furniture", "person", "card", "steps", "doors")
"""What can stand beside the wall, put there by ``viewer.things``: ``doors`` are those whose leaf folds back
before the slats, standing open; ``steps`` are those between slats that raking light shows.
"""
SMALLEST_SIDE, LARGEST_SIDE, MOST_PIXELS = 16, 8192, 16_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A view in a size. ``view`` : a name or a camera as JSON text; ``plain`` leaves out figure and gloss."""

    view: str
    width: int
    height: int
    plain: bool = False
    marked: bool = False
    """What a client will see later is marked: joints, shadow gaps, plates, overhangs."""

    def problems(self) -> list[tuple[str, str]]:
        """What is wrong with the size; views are judged where the room is known."""
        found = []
        for name, side in (("width", self.width), ("height", self.height)):
            if not SMALLEST_SIDE <= side <= LARGEST_SIDE:
                found.append(
                    (name, f"{side} is outside the accepted {SMALLEST_SIDE} to {LARGEST_SIDE} pixels")
                )
        if not found and self.width * self.height > MOST_PIXELS:
            most = MOST_PIXELS // 1_000_000
            found.append(
                ("size", f"{self.width} × {self.height} is more than the accepted {most} megapixels")
            )
        return found
