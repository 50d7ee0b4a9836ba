"""What a person chooses from, one frozen value an entry. Every optical number carries source and tag."""

from dataclasses import dataclass
from typing import Literal

from finishes.catalogue.constants import PublishedLab, Spectrum
from finishes.tagged import Number, Range, State, Tag


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LookEntry:
    """What an entry looks like: exactly one of ``lab`` and ``reflectance`` is given."""

    lab: PublishedLab | None
    reflectance: Spectrum | None

    @property
    def state(self) -> State:
        return (
            "Measured"
            if self.reflectance is not None and self.reflectance.tag == "measured"
            else "Indicative"
        )

    @property
    def source(self) -> str:
        origin = self.lab or self.reflectance
        return origin.source if origin else ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TimberEntry(LookEntry):
    """One timber."""

    name: str
    kind: Literal["softwood", "hardwood", "board"]
    figure: str
    uptake: Number
    density_kg_m3: Number | None
    ageing: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadRates:
    """Rates that replace the general ones for one stain or topcoat [m2 per litre]."""

    planed: Range
    sawn: Range
    further_coat_share: Range | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Drying:
    """Waits [h]: to the next coat, to handle, and until nothing marks a fabric that touches it."""

    recoat_h: Number
    handle_h: Number
    touch_fabric_h: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class StainEntry:
    """One tone: loads of pigment for one planed coat. ``film`` tones lie on the wood, the others in it."""

    name: str
    medium: Literal["penetrating", "film"]
    loads: tuple[tuple[str, float], ...]
    source: str
    tag: Tag
    colorant: Literal["pigment", "dye"]
    drying: Drying
    tin_sizes_ml: tuple[int, ...]
    words: str
    oily: bool
    spread: SpreadRates | None = None

    @property
    def state(self) -> State:
        return "Measured" if self.tag == "measured" else "Indicative"


@dataclass(frozen=True, slots=True, kw_only=True)
class TopcoatEntry:
    """One topcoat: how it fills the surface, wets the wood, yellows, and shines.

    fill : 0 dry open surface … 1 closed film; sets Saunderson's K2 between bare and filled.
    wetting : 0 … 1, how much of the full drop in the wood's own scattering it causes.
    yellow : 0 water-clear … 1 drying oil.
    matt_share : part of the first-surface reflection that is seen in every direction.
    """

    name: str
    fill: Number
    wetting: Number
    yellow: Number
    matt_share: Number
    roughness: Number
    coats: int
    drying: Drying | None
    tin_sizes_ml: tuple[int, ...]
    spread: SpreadRates | None
    oily: bool
    ageing: str
    words: str

    @property
    def state(self) -> State:
        return "Indicative"

    @property
    def source(self) -> str:
        return self.fill.source


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FabricEntry(LookEntry):
    """One backing: a fabric on a roll, or a paint on the board."""

    name: str
    kind: Literal["fabric", "paint"]
    weave: str
    roll_width_mm: Number | None
    usable_width_mm: Number | None
    shrinkage_percent: Number | None
    nap: bool
    light_fastness: str
    paint_m2_per_l: Range | None
    tin_sizes_ml: tuple[int, ...]
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LampEntry:
    """One lamp in plain words, and the named or measured spectrum that stands for it."""

    name: str
    spectrum: str
    csv: str | None
    dimming: Literal["keeps its colour", "warms"]
    cct_k: Number | None
    ra: Number | None
    source: str
    tag: Tag
    words: str

    @property
    def state(self) -> State:
        return "Measured" if self.csv is not None else "Indicative"


@dataclass(frozen=True, slots=True, kw_only=True)
class SortingEntry:
    """How boards are sorted by knots: what the picture shows, how much is culled, what the sign-off says.

    knots_per_m2 : on the faces that show; knot_mm : across the largest allowed.
    """

    name: str
    knots_per_m2: Number
    knot_mm: Number
    cull_percent: Range
    sign_off: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SampleEntry:
    """A stained off-cut that was measured: what it was made of, when and how, and what it reflects.

    reflectance : as seen (with the matt part of its shine); rough : by a grey card only.
    """

    name: str
    timber: str
    tone: str
    coats: int
    between_coats: Literal["wet on wet", "dried"]
    faces: Literal["planed", "sanded", "sawn"]
    topcoat: str
    date: str
    lamp: str
    reflectance: Spectrum
    uncertainty_de: float
    rough: bool
    words: str

    @property
    def state(self) -> State:
        return "Measured"

    @property
    def source(self) -> str:
        return self.reflectance.source
