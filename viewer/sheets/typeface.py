"""The typeface on paper: the one of the pages, embedded, sign by sign from its files.

npm's package splits a face into files by script. A word is set from the first file of its family that has
the sign; a sign that none has becomes a question mark. Where set-up has fetched no typeface, the built-in
Helvetica of every PDF reader stands in, and the foot of each sheet says so.
"""

import re
import weakref
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

from fontTools.ttLib import TTFont
from fpdf import FPDF

Family = Literal["sans", "condensed"]

FILES = Path(__file__).parents[2] / "static/node_modules/@fontsource"
PACKAGES: dict[Family, str] = {"sans": "ibm-plex-sans", "condensed": "ibm-plex-sans-condensed"}
SCRIPTS = ("latin", "latin-ext", "greek", "cyrillic", "cyrillic-ext", "vietnamese")
WEIGHTS = {False: 400, True: 600}
STAND_IN = "helvetica"
PT_PER_MM = 72 / 25.4

FRACTION = re.compile(r"(\d+)⁄(\d+)")
SMALL = 0.72
RAISED = 0.3
"""Size and rise of a numerator, in sizes of the text around it."""


@dataclass(frozen=True, slots=True)
class Run:
    """Signs set from one file: ``shift`` [mm] is where they start, ``rise`` [mm] how far above the line."""

    words: str
    family: str
    bold: bool
    size: float
    shift: float
    rise: float


@cache
def _signs(path: Path) -> frozenset[int]:
    with TTFont(path, lazy=True) as font:
        return frozenset(font.getBestCmap())


def _chain(folder: Path, package: str, weight: int) -> list[tuple[Path, frozenset[int]]]:
    """The files of one family and weight, the commonest script first, with the signs that each has."""
    paths = (folder / f"{package}-{script}-{weight}-normal.woff" for script in SCRIPTS)
    return [(path, _signs(path)) for path in paths if path.is_file()]


@cache
def _name(path: Path) -> str:
    """``ibm-plex-sans-latin``: what a file is called in the document; bold is told apart by its style."""
    return path.stem.removesuffix("-normal").rpartition("-")[0]


def _close(pdf: FPDF) -> None:
    """Close the files that fpdf2 reads lazily and leaves open."""
    for font in pdf.fonts.values():
        if hasattr(font, "ttfont"):
            font.ttfont.close()


class Typeface:
    """The faces of one document. Sizes are font sizes in millimetres."""

    def __init__(self, pdf: FPDF, folder: Path = FILES) -> None:
        self._pdf = pdf
        self._chains = {
            (family, bold): _chain(folder / package / "files", package, weight)
            for family, package in PACKAGES.items()
            for bold, weight in WEIGHTS.items()
        }
        self._files = {
            (_name(path), bold): path
            for (_family, bold), chain in self._chains.items()
            for path, _taken in chain
        }
        self._loaded: set[tuple[str, bool]] = set()
        self._widths: dict[tuple[str, str, bool, float], float] = {}
        self.stands_in = any(not chain for chain in self._chains.values())
        weakref.finalize(self, _close, pdf)

    def width(self, words: str, size: float, *, family: Family = "sans", bold: bool = False) -> float:
        """Width of the words [mm]."""
        found = list(self.runs(words, size, family=family, bold=bold))
        if not found:
            return 0.0
        return found[-1].shift + self._measure(found[-1])

    def start(
        self,
        x: float,
        words: str,
        size: float,
        anchor: str,
        *,
        family: Family = "sans",
        bold: bool = False,
    ) -> float:
        """Where words begin that stand from, about or to ``x`` [mm]; ``anchor``: start, middle or end."""
        width = self.width(words, size, family=family, bold=bold) if anchor != "start" else 0.0
        return x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]

    def runs(self, words: str, size: float, *, family: Family = "sans", bold: bool = False) -> Iterator[Run]:
        """The words as runs, one after another; ``7 3⁄16`` with a raised numerator and a true bar."""
        shift = 0.0
        for part, small, rise in _parts(words):
            for name, signs in self._split(part, family, bold):
                run = Run(signs, name, bold, size * (SMALL if small else 1), shift, rise * size)
                yield run
                shift += self._measure(run)

    def _split(self, words: str, family: Family, bold: bool) -> Iterator[tuple[str, str]]:
        chain = self._chains[family, bold]
        if self.stands_in or not chain:
            yield STAND_IN, words.translate(PLAINER).encode("latin-1", "replace").decode("latin-1")
            return
        if words and chain[0][1].issuperset(map(ord, words)):  # nearly always
            yield _name(chain[0][0]), words
            return
        present, taken = chain[0][0], ""
        for sign in words:
            found = next((path for path, signs in chain if ord(sign) in signs), None)
            if found is None:
                found, sign = chain[0][0], "?"
            if found != present and taken:
                yield _name(present), taken
                taken = ""
            present, taken = found, taken + sign
        if taken:
            yield _name(present), taken

    def _measure(self, run: Run) -> float:
        self.use(run)
        measured = run.words, run.family, run.bold, run.size
        if measured not in self._widths:
            self._widths[measured] = float(self._pdf.get_string_width(run.words))
        return self._widths[measured]

    def use(self, run: Run) -> None:
        """Make the run's face the present one of the document; its file is read when it is first needed."""
        face = run.family, run.bold
        if face not in self._loaded and face in self._files:
            self._pdf.add_font(run.family, "B" if run.bold else "", self._files[face])
            self._loaded.add(face)
        self._pdf.set_font(run.family, "B" if run.bold else "", run.size * PT_PER_MM)


PLAINER = str.maketrans({"−": "-", "–": "-", "⁄": "/", "’": "'", "“": '"', "”": '"', "…": "..."})
"""What Helvetica's eight bits lack."""


def _parts(words: str) -> Iterator[tuple[str, bool, float]]:
    """(signs, small, rise in sizes): plain text, and fractions taken apart."""
    at = 0
    for found in FRACTION.finditer(words):
        if words[at : found.start()]:
            yield words[at : found.start()], False, 0.0
        yield found[1], True, RAISED
        yield "⁄", False, 0.0
        yield found[2], True, 0.0
        at = found.end()
    if words[at:]:
        yield words[at:], False, 0.0
