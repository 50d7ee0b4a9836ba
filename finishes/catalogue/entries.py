"""What the catalogue holds, one frozen value an entry. Every optical number carries source and tag."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from finishes.spectra import Floats
from finishes.tagged import Number, Range, State, Tag

Surface: TypeAlias = Literal["planed", "sanded", "sawn", "end"]
WOOD_SURFACES: tuple[Surface, ...] = ("planed", "sanded", "sawn", "end")


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedLab:
    """A colour as it was published: CIELAB means nothing without its illuminant and observer.

    ``conditions`` says whether the source states them or they are assumed from the field's habit.
    """

    L: float
    a: float
    b: float
    illuminant: str
    observer_deg: Literal[2, 10]
    conditions: Literal["stated", "assumed"]
    source: str
    tag: Tag
    sd_lightness: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spectrum:
    """41 measured or modelled values with their origin."""

    values: Floats
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One part of a pigment's curve; see :mod:`finishes.pigment` for the shapes."""

    shape: Literal["flat", "edge", "rise", "band", "decay", "power"]
    height: float
    at_nm: float = 550.0
    width_nm: float = 1.0
    exponent: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """A pigment's absorption or scattering per unit load over wavelength: a sum of terms."""

    terms: tuple[Term, ...]
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureZone:
    """One of the two zones of the figure: its CIELAB offset from the species, and its uptake of stain."""

    d_lightness: float
    d_a: float
    d_b: float
    uptake: float


@dataclass(frozen=True, slots=True, kw_only=True)
class FigureEntry:
    """How a kind of timber is figured: ``late_share`` of the area is late wood, the rest early wood."""

    name: str
    late_share: float
    early: FigureZone
    late: FigureZone
    knot: FigureZone | None
    source: str
    tag: Tag


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TimberEntry:
    """One timber. Exactly one of ``lab`` and ``reflectance`` is given."""

    name: str
    kind: Literal["softwood", "hardwood", "board"]
    figure: str
    lab: PublishedLab | None
    reflectance: Spectrum | None
    uptake: Number
    density_kg_m3: Number | None
    ageing: str
    words: str

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


@dataclass(frozen=True, slots=True, kw_only=True)
class PigmentEntry:
    """One pigment: absorption K and scattering S per unit load, and what kind of colorant it is."""

    name: str
    colorant: Literal["iron oxide", "earth", "carbon", "white pigment", "organic dye"]
    absorption: Curve
    scattering: Curve


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
class FabricEntry:
    """One backing: a fabric on a roll, or a paint on the board."""

    name: str
    kind: Literal["fabric", "paint"]
    lab: PublishedLab | None
    reflectance: Spectrum | None
    weave: str
    roll_width_mm: Number | None
    usable_width_mm: Number | None
    shrinkage_percent: Number | None
    nap: bool
    light_fastness: str
    paint_m2_per_l: Range | None
    tin_sizes_ml: tuple[int, ...]
    words: str

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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PartEntry:
    """A visible part that the finish does not colour: a plate, the skirting, a board's edge."""

    name: str
    surface: str
    lab: PublishedLab | None
    reflectance: Spectrum | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ConstantEntry:
    """One constant of the colour model (kind ``optics``): a number that belongs to wood and oil as such."""

    name: str
    number: Number
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticeEntry:
    """One rate or habit of the trade (kind ``practice``) that quantities and the schedule use."""

    name: str
    range: Range
    words: str
