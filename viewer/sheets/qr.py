"""The dark modules of a QR code, as a pen fills them."""

from collections.abc import Iterator, Sequence


def dark_runs(matrix: Sequence[Sequence[int]]) -> Iterator[tuple[int, int, int]]:
    """Neighbours in a row as one: row, first column, and how many modules."""
    for row, cells in enumerate(matrix):
        start = None
        for column, dark in enumerate([*cells, 0]):
            if dark and start is None:
                start = column
            elif not dark and start is not None:
                yield row, start, column - start
                start = None
