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
MEDIA_BOX = re.compile(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]")

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


def sizes(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of every page [points]."""
    return [(float(width), float(height)) for width, height in MEDIA_BOX.findall(pdf)]


def words(pdf: bytes, folder: Path, *, page: int | None = None) -> str:
    """What a person can copy out of the document, in reading order."""
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext (poppler-utils) is not installed")
    path = folder / "read.pdf"
    path.write_bytes(pdf)
    pages = ["-f", str(page), "-l", str(page)] if page else []
    done = subprocess.run(
        ["pdftotext", "-layout", *pages, str(path), "-"], check=True, capture_output=True, timeout=60
    )
    return done.stdout.decode("utf-8")
