"""What a finish looks like: a reflectance for each visible surface, figure, shine, state, uncertainty."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

import numpy as np

from finishes import backing, stain, timber, topcoat
from finishes.adaptation import D65_XYZ
from finishes.catalogue import Catalogue
from finishes.catalogue.constants import FigureEntry, PartEntry, Spectrum
from finishes.catalogue.entries import SampleEntry, SortingEntry, TimberEntry, TopcoatEntry
from finishes.kubelka import infinite, ratio_ks
from finishes.lamps import LampSpectrum
from finishes.spectra import Floats, frozen
from finishes.tagged import State
from finishes.tone import Tone, tone_of
from finishes.topcoat import Gloss
from finishes.uncertainty import modelled_de, written_de

if TYPE_CHECKING:
    from finishes.choice import Finish, OffCut

A_FROM_D65 = 0.0739
"""Distance of CIE A from D65 in u', v' (CIE 15)."""
SLAT_SURFACES = ("slat_front", "slat_side", "slat_end")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Appearance:
    """A finish as light sees it.

    reflectance : by surface word, (41,) in 0..1, the area mean; without the mirror-like first-surface
        reflection.
    zones : by slat surface word, (early (41,), late (41,)); mean = (1 - late_share) early + late_share late.
    late_share : area of late wood, 0..1: the mean of the drawn figure's mask.
    knot : (41,) a knot on the front; None on boards without. Knots are left out of the mean.
    gloss : what the picture adds on the slats and trims (f0, roughness); every other surface is matt.
    uncertainty_de : one standard uncertainty of the colour of a whole board by day, CIEDE2000.
    uncertainties : the same by surface word; what is not the slats' finish has one of its own.
    spectrum_de : what is added to it under the light of a filament lamp, because a spectrum was guessed from
        a CIELAB; 0 for a measured spectrum.
    spread_de : standard spread of the colour within one board, CIELAB.
    """

    reflectance: Mapping[str, Floats]
    zones: Mapping[str, tuple[Floats, Floats]]
    late_share: float
    knot: Floats | None
    sorting: SortingEntry
    gloss: Gloss
    state: State
    uncertainty_de: float
    uncertainties: Mapping[str, float]
    spectrum_de: float
    spread_de: float
    warnings: tuple[str, ...]

    @property
    def f0(self) -> float:
        return self.gloss.f0

    @property
    def roughness(self) -> float:
        return self.gloss.roughness

    def uncertainty_under(self, light: LampSpectrum) -> float:
        """One standard uncertainty under this lamp, CIEDE2000: a guessed spectrum counts in warm light."""
        away = float(np.hypot(*(_uv(light.white_xyz) - _uv(D65_XYZ))))
        return float(np.hypot(self.uncertainty_de, self.spectrum_de * min(1.0, away / A_FROM_D65)))

    def seen(self, surface: str = "slat_front") -> Floats:
        """(41,) as an instrument or an eye in even light sees it: with the matt part of the shine."""
        glossy = surface in SLAT_SURFACES or surface == "trim"
        added = self.gloss.f0 * self.gloss.matt_share if glossy else 0.0
        return self.reflectance[surface] + added


def _uv(xyz: Floats) -> Floats:
    """u', v' (CIE 1976) of one XYZ."""
    result: Floats = np.array([4.0 * xyz[0], 9.0 * xyz[1]]) / (xyz[0] + 15.0 * xyz[1] + 3.0 * xyz[2])
    return result


def appearance(finish: "Finish", catalogue: Catalogue) -> Appearance:
    """The appearance of a chosen finish. Empty names are the catalogue's first entries.

    Raises KeyError, naming the nearest entry, for a name that the catalogue lacks, and
    ``finishes.tone.UnmixableError`` for an own tone of two kinds.
    """
    wood: TimberEntry = catalogue.named("timber", finish.timber)
    top: TopcoatEntry = catalogue.named("topcoat", finish.topcoat)
    cloth = catalogue.named("fabric", finish.fabric)
    tone = tone_of(finish, catalogue)
    constants = stain.optics(catalogue)
    shine = topcoat.gloss_of(top, constants.external)
    figure = catalogue.figure[wood.figure]
    finished = _finished(finish, wood, figure, tone, top, catalogue)
    state: State = "Indicative"
    uncertainty = modelled_de(wood, catalogue)
    light_from = catalogue.rate("light backing from").likely
    warnings = list(backing.warnings(cloth, light_from_y=light_from, cache_dir=catalogue.cache_dir))
    sample = _measurement(finish, catalogue)
    if sample is not None:
        differences = sample_differences(finish, sample, catalogue)
        if differences:
            warnings.append(
                f"The off-cut {sample.name!r} was made otherwise ({'; '.join(differences)}), so this colour "
                "stays indicative."
            )
        else:
            finished = _corrected(finished, figure.late_share, sample, shine)
            state, uncertainty = "Measured", sample.uncertainty_de
    finished = frozen(finished)
    late = figure.late_share
    reflectance = {
        surface: frozen((1.0 - late) * finished[row, 0] + late * finished[row, 1])
        for row, surface in enumerate(SLAT_SURFACES)
    }
    behind = backing.reflectance(cloth, cache_dir=catalogue.cache_dir)
    reflectance |= {"trim": reflectance["slat_front"], "fabric": behind, "panel_edge": behind}
    sure = dict.fromkeys((*SLAT_SURFACES, "trim"), uncertainty)
    sure |= dict.fromkeys(("fabric", "panel_edge"), written_de(cloth, catalogue))
    for part in catalogue.part.values():
        reflectance[part.surface] = _part(part, catalogue)
        sure[part.surface] = written_de(part, catalogue)
    return Appearance(
        reflectance=MappingProxyType(reflectance),
        zones=MappingProxyType(
            {word: (finished[row, 0], finished[row, 1]) for row, word in enumerate(SLAT_SURFACES)}
        ),
        late_share=late,
        knot=finished[0, 2] if figure.knot is not None else None,
        sorting=catalogue.named("sorting", finish.sorting),
        gloss=shine,
        state=state,
        uncertainty_de=uncertainty,
        uncertainties=MappingProxyType(sure),
        spectrum_de=catalogue.constant("warm light spread") if wood.lab is not None else 0.0,
        spread_de=catalogue.constant("within-board spread"),
        warnings=tuple(warnings),
    )


def entry_of(off_cut: "OffCut") -> SampleEntry:
    """An off-cut of a job as the catalogue holds one."""
    return SampleEntry(
        name=off_cut.name,
        timber=off_cut.timber,
        tone=off_cut.tone,
        coats=off_cut.coats,
        between_coats=off_cut.between_coats,
        faces=off_cut.faces,
        topcoat=off_cut.topcoat,
        date=off_cut.date,
        lamp=off_cut.lamp,
        reflectance=Spectrum(
            values=frozen(np.array(off_cut.reflectance)), source=off_cut.read_from, tag="measured"
        ),
        uncertainty_de=off_cut.uncertainty_de,
        rough=off_cut.rough,
        words="",
    )


def _measurement(finish: "Finish", catalogue: Catalogue) -> SampleEntry | None:
    """What was measured for this finish: in its job, or by name in the catalogue."""
    if finish.off_cut is not None:
        return entry_of(finish.off_cut)
    found: SampleEntry | None = catalogue.named("sample", finish.sample) if finish.sample else None
    return found


def sample_differences(finish: "Finish", sample: SampleEntry, catalogue: Catalogue) -> tuple[str, ...]:
    """In what a finish departs from a measured sample: only the very same finish may be called Measured."""
    tone = tone_of(finish, catalogue).name
    pairs = [
        ("timber", catalogue.named("timber", finish.timber).name, sample.timber),
        ("tone", tone, sample.tone),
        ("coats", finish.coats, sample.coats),
        ("topcoat", catalogue.named("topcoat", finish.topcoat).name, sample.topcoat),
        ("faces", finish.faces, sample.faces),
    ]
    if finish.coats > 1:
        pairs.append(("between coats", finish.between_coats, sample.between_coats))
    return tuple(f"{word} {theirs}, not {ours}" for word, ours, theirs in pairs if ours != theirs)


def _finished(
    finish: "Finish",
    wood: TimberEntry,
    figure: FigureEntry,
    tone: Tone,
    top: TopcoatEntry,
    catalogue: Catalogue,
) -> Floats:
    """(3, 3, 41): slat surface by (early, late, knot) by wavelength."""
    constants = stain.optics(catalogue)
    floor = catalogue.constant("far red floor")
    mean = timber.bare(wood.lab, wood.reflectance, floor=floor, cache_dir=catalogue.cache_dir)
    zones = timber.zones(mean, figure, floor=floor, cache_dir=catalogue.cache_dir)
    film = tone.medium == "film"
    further = constants.dried if finish.between_coats == "dried" else constants.wet_on_wet
    coats = stain.coat_load(finish.coats, 1.0 if film else further)
    knot_uptake = figure.knot.uptake if figure.knot else 1.0
    uptake = np.array([figure.early.uptake, figure.late.uptake, knot_uptake]) * wood.uptake.value
    if film:
        uptake = np.ones(3)
    texture = [constants.surface_load[word] for word in (finish.faces, finish.sides, "end")]
    loads = coats * np.outer(texture, uptake)[..., None]
    return stain.finish(
        np.stack([zones.early, zones.late, zones.knot])[None],
        loads * tone.absorption,
        loads * tone.scattering,
        loads * tone.total,
        topcoat.surface_of(top),
        constants,
        film=film,
    )


def _corrected(finished: Floats, late: float, sample: SampleEntry, shine: Gloss) -> Floats:
    """The model's zones moved to a measured front: K/S of every zone times the ratio that the front needs.

    The front's two zones are then scaled together, so that their mean is the measurement itself.
    """
    measured = np.clip(sample.reflectance.values - shine.f0 * shine.matt_share, 1e-4, 0.999)
    front = (1.0 - late) * finished[0, 0] + late * finished[0, 1]
    ratio = ratio_ks(measured) / ratio_ks(front)
    moved = infinite(ratio_ks(finished) * ratio)
    mean = (1.0 - late) * moved[0, 0] + late * moved[0, 1]
    moved[0] = np.minimum(moved[0] * (measured / mean), 1.0)
    return moved


def _part(part: PartEntry, catalogue: Catalogue) -> Floats:
    return timber.bare(part.lab, part.reflectance, cache_dir=catalogue.cache_dir)
