"""The sheet: sizes, the margin that a ring binder needs, and what every sheet says of its job."""

from dataclasses import dataclass
from gettext import gettext as _
from typing import Literal

from viewer.job.canonical import digest
from viewer.job.model import Job

PaperName = Literal["A4", "Letter"]
PAPER_SIZES: dict[PaperName, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Upright, in mm: ISO 216 and ANSI/ASME Y14.1 A."""

BINDER = 20.0
"""Margin on the side of the holes [mm] (ISO 5457): left on an upright sheet, top on one that lies."""
MARGIN = 9.0
FOOT = 13.0
"""Height of the title block at the foot [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet's size [mm] and where on it things may stand."""

    name: str
    width: float
    height: float
    binder: Literal["left", "top", "none"] = "left"

    @property
    def left(self) -> float:
        return BINDER if self.binder == "left" else MARGIN

    @property
    def top(self) -> float:
        return BINDER if self.binder == "top" else MARGIN + 3

    @property
    def right(self) -> float:
        return self.width - MARGIN

    @property
    def bottom(self) -> float:
        """Where content ends; the title block stands below."""
        return self.height - FOOT - MARGIN + 3

    @property
    def room(self) -> tuple[float, float]:
        """Width and height for content."""
        return self.right - self.left, self.bottom - self.top


def upright(name: PaperName) -> Sheet:
    width, height = PAPER_SIZES[name]
    return Sheet(name=name, width=width, height=height)


def lying(name: PaperName) -> Sheet:
    width, height = PAPER_SIZES[name]
    return Sheet(name=name, width=height, height=width, binder="top")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """What the title block says on every page; ``revised`` is empty where the job has no date."""

    job: str
    version: str
    job_format: int
    revised: str

    @property
    def words(self) -> str:
        date = self.revised or _("not dated")
        return _("version %(version)s · job format %(format)d · %(date)s") % {
            "version": self.version,
            "format": self.job_format,
            "date": date,
        }


def stamp_of(job: Job, document: object) -> Stamp:
    """``document`` is the job's plain data: its canonical form is what the version is the digest of."""
    name = "".join(sign if sign.isprintable() else " " for sign in job.name).strip()
    return Stamp(job=name, version=digest(document)[:8], job_format=job.format, revised=job.revised)
