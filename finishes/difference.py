"""How different two finishes look: CIEDE2000 (ISO/CIE 11664-6), and a sentence that a client understands.

Colours are compared at full adaptation: XYZ under the lamp, CAT16 with D = 1 to D65, CIELAB against D65. The
sentence is for the client, the number for the maker.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from finishes.adaptation import D65_XYZ, RGB_FROM_XYZ, adaptation_matrix, encode_srgb
from finishes.cielab import lab
from finishes.lamps import LampSpectrum
from finishes.spectra import Floats

BANDS = (
    (0.2, "cannot be told apart"),
    (2.0, "differ very little"),
    (3.0, "differ a little"),
    (6.0, "differ clearly"),
    (12.0, "differ strongly"),
    (float("inf"), "are different colours"),
)
"""Steps of colour difference as wood science words them (tables in several papers, < 0.2, 2, 3, 6, 12)."""


def ciede2000(first: Floats, second: Floats) -> Floats:
    """Colour difference; first, second : (..., 3) CIELAB. Returns (...), >= 0, symmetric.

    Equations and order as in Sharma, Wu & Dalal, Color Res. Appl. 30(1):21-30 (2005); kL = kC = kH = 1.
    """
    L1, a1, b1 = np.moveaxis(first, -1, 0)
    L2, a2, b2 = np.moveaxis(second, -1, 0)
    mean_chroma7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2.0) ** 7
    stretch = 1.0 + 0.5 * (1.0 - np.sqrt(mean_chroma7 / (mean_chroma7 + 25.0**7)))
    a1, a2 = stretch * a1, stretch * a2
    C1, C2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360.0, np.degrees(np.arctan2(b2, a2)) % 360.0
    neutral = C1 * C2 == 0.0
    turn = h2 - h1
    turn = np.where(turn > 180.0, turn - 360.0, np.where(turn < -180.0, turn + 360.0, turn))
    turn = np.where(neutral, 0.0, turn)
    dL, dC = L2 - L1, C2 - C1
    dH = 2.0 * np.sqrt(C1 * C2) * np.sin(np.radians(turn / 2.0))
    L, C = (L1 + L2) / 2.0, (C1 + C2) / 2.0
    half = (h1 + h2) / 2.0
    h = np.where(np.abs(h1 - h2) <= 180.0, half, np.where(h1 + h2 < 360.0, half + 180.0, half - 180.0))
    h = np.where(neutral, h1 + h2, h)
    T = (
        1.0
        - 0.17 * np.cos(np.radians(h - 30.0))
        + 0.24 * np.cos(np.radians(2.0 * h))
        + 0.32 * np.cos(np.radians(3.0 * h + 6.0))
        - 0.20 * np.cos(np.radians(4.0 * h - 63.0))
    )
    C7 = C**7
    rotation = (
        -2.0 * np.sqrt(C7 / (C7 + 25.0**7)) * np.sin(np.radians(60.0 * np.exp(-(((h - 275.0) / 25.0) ** 2))))
    )
    from_50 = (L - 50.0) ** 2
    lightness = dL / (1.0 + 0.015 * from_50 / np.sqrt(20.0 + from_50))
    chroma = dC / (1.0 + 0.045 * C)
    hue = dH / (1.0 + 0.015 * C * T)
    result: Floats = np.sqrt(np.maximum(lightness**2 + chroma**2 + hue**2 + rotation * chroma * hue, 0.0))
    return result


def seen_under(reflectances: Floats, lamps: Sequence[LampSpectrum]) -> tuple[Floats, Floats]:
    """Colours under each lamp at full adaptation.

    reflectances : (F, 41). Returns CIELAB (F, L, 3) against D65 and encoded sRGB (F, L, 3) in 0..1, clipped.
    """
    to_d65 = np.concatenate(
        [light.weights @ adaptation_matrix(light.white_xyz, D65_XYZ).T for light in lamps], axis=1
    )
    xyz = (reflectances @ to_d65).reshape(len(reflectances), len(lamps), 3)
    return lab(xyz, D65_XYZ), encode_srgb(xyz @ RGB_FROM_XYZ.T)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Two finishes under several lamps.

    difference : CIEDE2000 by lamp; alike : by lamp, whether it stays below the spread within one board.
    sentence : for the client; warnings : for both.
    """

    first: str
    second: str
    difference: tuple[tuple[str, float], ...]
    alike: tuple[tuple[str, bool], ...]
    sentence: str
    warnings: tuple[str, ...]

    @property
    def parts_under_another_lamp(self) -> bool:
        """Alike under one of the lamps and not under another."""
        return len({alike for _, alike in self.alike}) > 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Candidate:
    """One finish to be compared: its name, timber, what colours it, its reflectance (41,) and its shine."""

    name: str
    timber: str
    dyed: bool
    reflectance: Floats
    roughness: float = 1.0


def compare(
    first: Candidate, second: Candidate, lamps: Sequence[LampSpectrum], *, within_board: float
) -> Comparison:
    """Compare two finishes under each lamp.

    within_board : spread of colour within one board, CIELAB (dE*ab), from the catalogue; below it two
    finishes look alike, because two places on one board differ as much.
    Raises ValueError without a lamp.
    """
    if not lamps:
        raise ValueError("lamps: at least one lighting is needed to compare under")
    labs, _ = seen_under(np.stack([first.reflectance, second.reflectance]), lamps)
    numbers = ciede2000(labs[0], labs[1])
    plain = np.sqrt(((labs[0] - labs[1]) ** 2).sum(axis=-1))
    names = [light.name for light in lamps]
    alike = tuple((name, bool(value <= within_board)) for name, value in zip(names, plain, strict=True))
    return Comparison(
        first=first.name,
        second=second.name,
        difference=tuple((name, float(value)) for name, value in zip(names, numbers, strict=True)),
        alike=alike,
        sentence=_sentence(first, second, alike, numbers),
        warnings=_warnings(first, second, alike, numbers),
    )


def _sentence(first: Candidate, second: Candidate, alike: Sequence[tuple[str, bool]], numbers: Floats) -> str:
    together = [name for name, same in alike if same]
    apart = [name for name, same in alike if not same]
    if not apart:
        wood = f"on {first.timber}" if first.timber == second.timber else "on these timbers"
        shine = "" if _same_shine(first, second) else ", apart from their shine"
        both = f"{first.name} and {second.name}"
        return f"{both} will look alike {wood}{shine}: two places on one board differ as much."
    if together:
        return (
            f"{first.name} and {second.name} look alike under {_listed(together)} but not under "
            f"{_listed(apart)}: look at both off-cuts by day and with the lamps on."
        )
    largest, smallest = float(numbers.max()), float(numbers.min())
    if _words(largest) == _words(smallest):
        return f"{first.name} and {second.name} {_words(largest)} under every lighting."
    most = alike[int(numbers.argmax())][0]
    return (
        f"{first.name} and {second.name} {_words(smallest)} to the least and {_words(largest)} under {most}."
    )


def _warnings(
    first: Candidate, second: Candidate, alike: Sequence[tuple[str, bool]], numbers: Floats
) -> tuple[str, ...]:
    found = []
    if first.dyed != second.dyed and float(numbers.min()) <= 4.0:
        found.append(
            f"{first.name} and {second.name} get a like colour from different colorants (pigment and dye). "
            "They can part under another lamp and fade differently: do not touch up one with the other."
        )
    if len({same for _, same in alike}) > 1:
        found.append(
            f"{first.name} and {second.name} match under some lamps only; compare them in the room itself."
        )
    return tuple(found)


def _same_shine(first: Candidate, second: Candidate) -> bool:
    return abs(first.roughness - second.roughness) < 0.1


def _words(number: float) -> str:
    return next(words for limit, words in BANDS if number < limit)


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
