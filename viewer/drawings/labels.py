"""Words on a drawing that give way to each other: the first place that is free, or none."""

from collections.abc import Iterable

from viewer.drawings import pen as p

DESCENT = 0.9
ASCENT = 3.1


def on_patch(pen: p.Pen, x: float, baseline: float, words: str) -> None:
    """Words centred on a white patch, so that they can be read over hatching."""
    half = p.words_width(words) / 2 + 0.5
    pen.rect(x - half, baseline - ASCENT, 2 * half, ASCENT + DESCENT, p.NONE, "#ffffff")
    pen.text(x, baseline, words, anchor="middle")


class Labels:
    """Remembers the patches taken on one sheet. Words that fit ``between`` two x move in between."""

    def __init__(self, pen: p.Pen, between: tuple[float, float] | None = None) -> None:
        self._pen = pen
        self._between = between
        self._taken: list[tuple[float, float, float, float]] = []

    def take(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """Keep words off a patch of the sheet."""
        self._taken.append((x1, y1, x2, y2))

    def put(self, words: str, places: Iterable[tuple[float, float]]) -> bool:
        """Write ``words`` centred at the first free (x, baseline), on a patch of paper; False if none is."""
        half = p.words_width(words) / 2 + 0.5
        for wished, baseline in places:
            x = self._moved(wished, half)
            box = (x - half, baseline - ASCENT, x + half, baseline + DESCENT)
            inside = box[0] >= 0 and box[2] <= self._pen.width and box[1] >= 0 and box[3] <= self._pen.height
            if inside and not any(_touch(box, other) for other in self._taken):
                self._taken.append(box)
                self._pen.rect(box[0], box[1], box[2] - box[0], box[3] - box[1], p.NONE, p.PAPER)
                self._pen.text(x, baseline, words, anchor="middle")
                return True
        return False

    def _moved(self, x: float, half: float) -> float:
        if self._between is None or self._between[1] - self._between[0] < 2 * half:
            return x
        return min(max(x, self._between[0] + half), self._between[1] - half)


def _touch(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
