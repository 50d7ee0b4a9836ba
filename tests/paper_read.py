"""Reading a PDF back with means of its own: streams unpacked by zlib, words by poppler's pdftotext."""

import re
import shutil
import subprocess
import zlib
from pathlib import Path

import pytest

POINTS_PER_MM = 72 / 25.4
NUMBER = r"(-?[\d.]+)"
LINE = re.compile(rf"{NUMBER} {NUMBER} m\s+{NUMBER} {NUMBER} l\s+S")

Segment = tuple[float, float, float, float]


def streams(pdf: bytes) -> list[str]:
    """The drawing streams of a PDF, a page each, in order."""
    found = []
    for packed in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            text = zlib.decompress(packed)
        except zlib.error:
            continue
        if b" Tf" in text or b" re" in text or b" l" in text:
            found.append(text.decode("latin-1"))
    return [text for text in found if "beginbfchar" not in text and "begincmap" not in text]


def segments(stream: str) -> list[Segment]:
    """Straight strokes of one page in the PDF's own units: x1, y1, x2, y2 [points from the lower left]."""
    return [(float(x1), float(y1), float(x2), float(y2)) for x1, y1, x2, y2 in LINE.findall(stream)]


def sizes(pdf: bytes, folder: Path) -> list[tuple[float, float]]:
    """Width and height of every page [points], as poppler finds them."""
    listed = _poppler(pdf, folder, "pdfinfo", "-f", "1", "-l", "9999")
    found = re.findall(rf"^Page +\d+ size: +{NUMBER} x {NUMBER} pts", listed, re.MULTILINE)
    return [(float(width), float(height)) for width, height in found]


def words(pdf: bytes, folder: Path, *, page: int | None = None) -> str:
    """What a person can copy out of the document, in reading order."""
    pages = ["-f", str(page), "-l", str(page)] if page else []
    return _poppler(pdf, folder, "pdftotext", "-layout", *pages, after=("-",))


Box = tuple[float, float, float, float, str]


def boxes(pdf: bytes, folder: Path) -> list[tuple[float, float, list[Box]]]:
    """Width and height of every page, and its words with their boxes [points from the upper left]."""
    read = _poppler(pdf, folder, "pdftotext", "-bbox", after=("-",))
    word = re.compile(rf'<word xMin="{NUMBER}" yMin="{NUMBER}" xMax="{NUMBER}" yMax="{NUMBER}">(.*?)</word>')
    pages = []
    for page in read.split("<page ")[1:]:
        size = re.match(rf'width="{NUMBER}" height="{NUMBER}"', page)
        assert size is not None
        found = [(float(a), float(b), float(c), float(d), said) for a, b, c, d, said in word.findall(page)]
        pages.append((float(size[1]), float(size[2]), found))
    return pages


def _poppler(pdf: bytes, folder: Path, tool: str, *options: str, after: tuple[str, ...] = ()) -> str:
    if shutil.which(tool) is None:
        pytest.skip(f"{tool} (poppler-utils) is not installed")
    path = folder / "read.pdf"
    path.write_bytes(pdf)
    done = subprocess.run([tool, *options, str(path), *after], check=True, capture_output=True, timeout=60)
    return done.stdout.decode("utf-8")
