"""What the colour model needs of the catalogue: colours, figures, pigments and constants, frozen."""

from dataclasses import dataclass
from typing import Literal

from finishes.spectra import Floats
from finishes.tagged import Number, Range, Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedLab:
    """A colour as it was published: CIELAB means nothing without its illuminant and observer.

    ``conditions`` says whether the source states them or they are assumed from the field's habit; ``sd_…`` is
    the spread between boards, a standard deviation, where the source gives one.
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
    sd_a: float | None = None
    sd_b: float | None = None


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


@dataclass(frozen=True, slots=True, kw_only=True)
class PigmentEntry:
    """One pigment: absorption K and scattering S per unit load, and what kind of colorant it is."""

    name: str
    colorant: Literal["iron oxide", "earth", "carbon", "white pigment", "organic dye"]
    absorption: Curve
    scattering: Curve


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
