"""What the client's sheet is made from: an offer and its record, in the words and pictures that it shows."""

from collections.abc import Sequence
from dataclasses import dataclass

from meshes.layout.placed import SetOut
from meshes.layout.survey import Zone
from viewer.sheets.paper import PaperName, Stamp


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingStamp(Stamp):
    """A title block that says first how the sheet stands to the record."""

    standing: str

    @property
    def words(self) -> str:
        return f"{self.standing} · {Stamp.words.fget(self)}"  # type: ignore[attr-defined]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetFinish:
    """One finish to choose: its band and its stills by lighting, as the bytes of PNG and JPEG."""

    name: str
    make: str
    band: bytes
    stills: tuple[tuple[str, bytes], ...]
    chosen: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedBy:
    """Who signed; ``drawn`` is a PNG or nothing. ``stage`` is read above the name."""

    stage: str
    name: str
    day: str
    drawn: bytes = b""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOff:
    """Everything on the sheet. ``facts`` are (what, amount with unit, what it may differ by)."""

    stamp: StandingStamp
    paper: PaperName
    maker: str
    expires: str
    finishes: tuple[SheetFinish, ...]
    set_outs: Sequence[SetOut]
    zones: Sequence[Sequence[Zone]]
    facts: Sequence[tuple[str, str, str]]
    changes: Sequence[str]
    price: str
    excluded: Sequence[str]
    lines: Sequence[tuple[str, bool]]
    off_cut: str
    seen_by_day: bool
    seen_under_lamps: bool
    signed: Sequence[SignedBy]
    hash: str
    fingerprint: str
    qr: Sequence[Sequence[int]]
