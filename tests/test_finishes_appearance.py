"""Colours of finished timber: laws of the model, published signs, zones, own tones, states."""

import itertools
from collections.abc import Iterator

import numpy as np
import pytest
from looks import daylight, look

from finishes.appearance import SLAT_SURFACES
from finishes.catalogue import Catalogue
from finishes.choice import Finish, Recipe
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.lamps import lamp
from finishes.spectra import Floats
from finishes.surfaces import SURFACES
from finishes.timber import NoSpectrumError, bare, fit
from finishes.tone import UnmixableError

FLOOR = 0.02


# ---------------------------------------------------------------- timber


def test_published_lab_comes_back_under_its_own_illuminant_and_observer(catalogue: Catalogue) -> None:
    from finishes.lamps import observer_10_degree_weights

    for entry in catalogue.timber.values():
        assert entry.lab is not None
        weights = observer_10_degree_weights(entry.lab.illuminant)
        assert entry.lab.observer_deg == 10
        spectrum = bare(entry.lab, None, floor=FLOOR)
        found = lab(spectrum @ weights, weights.sum(axis=0))
        assert found == pytest.approx([entry.lab.L, entry.lab.a, entry.lab.b], abs=1e-6), entry.name


def test_timber_spectra_rise_from_violet_to_red(catalogue: Catalogue) -> None:
    for entry in catalogue.timber.values():
        steps = np.diff(bare(entry.lab, entry.reflectance, floor=FLOOR))
        assert steps.min() > -1e-12, entry.name


def test_maritime_pine_converts_from_illuminant_a(catalogue: Catalogue) -> None:
    # published under A/10°; an independent conversion gave 68.5, 12.3, 38.3 under D65/2°
    found = look(catalogue, timber="Maritime pine", stain="clear", coats=0, topcoat="none")
    assert daylight(found.seen()) == pytest.approx([68.5, 12.3, 38.3], abs=0.2)


def test_luminance_of_timbers_lies_in_published_bands() -> None:
    # luminance factor from L* (ISO/CIE 11664-4): spruce 80.08 -> 56.8 %, oak 65.5 -> 34.7 %
    for lightness, luminance in ((80.08, 0.568), (65.5, 0.347), (47.5, 0.164)):
        spectrum = fit((lightness, 8.0, 20.0), floor=FLOOR)
        assert spectrum @ lamp("D65").weights[:, 1] == pytest.approx(luminance, abs=5e-4)


def test_a_colour_no_surface_can_have_is_refused() -> None:
    with pytest.raises(NoSpectrumError, match="no smooth reflectance has the CIELAB 95, 60, -60"):
        fit((95.0, 60.0, -60.0), floor=FLOOR)


# ---------------------------------------------------------------- laws


def test_no_stain_and_no_coat_return_the_bare_timber(catalogue: Catalogue) -> None:
    for entry in catalogue.timber.values():
        spectrum = bare(entry.lab, entry.reflectance, floor=FLOOR)
        for chosen in ({"coats": 0}, {"stain": "clear"}):
            found = look(catalogue, timber=entry.name, topcoat="none", **chosen)
            for surface in SLAT_SURFACES:
                assert found.reflectance[surface] == pytest.approx(spectrum, abs=1e-12), entry.name
            assert found.f0 == 0.0


def every_finish(catalogue: Catalogue) -> Iterator[tuple[str, str, int, str]]:
    return itertools.product(catalogue.timber, catalogue.stain, (1, 3, 6), catalogue.topcoat)


def test_reflectance_stays_between_0_and_1_for_everything_in_the_catalogue(catalogue: Catalogue) -> None:
    for timber, stain, coats, topcoat in every_finish(catalogue):
        found = look(catalogue, timber=timber, stain=stain, coats=coats, topcoat=topcoat)
        for spectrum in (*found.reflectance.values(), *itertools.chain(*found.zones.values()), found.knot):
            if spectrum is not None:
                assert spectrum.min() > 0.0, (timber, stain, coats, topcoat)
                assert spectrum.max() < 1.0, (timber, stain, coats, topcoat)


def test_more_coats_never_lighten_a_tone_without_white(catalogue: Catalogue) -> None:
    # Kubelka & Munk: dR/dX = S (1 - R)^2 - 2 K R, so whatever adds K and takes S away lowers R at every
    # wavelength; only a pigment that scatters can lift it
    tops = ("none", "oil", "gloss")  # matt and satin differ from gloss in their shine alone
    for timber, stain, topcoat in itertools.product(catalogue.timber, catalogue.stain, tops):
        if any(pigment == "white" for pigment, _ in catalogue.stain[stain].loads):
            continue
        for between in ("wet on wet", "dried"):
            looks = [
                look(catalogue, timber=timber, stain=stain, coats=n, topcoat=topcoat, between_coats=between)
                for n in (0, 1, 2, 4)
            ]
            for surface in SLAT_SURFACES:
                coat_by_coat = np.stack([found.seen(surface) for found in looks])
                assert (np.diff(coat_by_coat, axis=0) <= 1e-12).all(), (timber, stain, topcoat, surface)


def test_a_coat_on_dried_stain_adds_less_than_wet_on_wet(catalogue: Catalogue) -> None:
    wet = look(catalogue, timber="Scots pine", stain="walnut", coats=2)
    dried = look(catalogue, timber="Scots pine", stain="walnut", coats=2, between_coats="dried")
    one = look(catalogue, timber="Scots pine", stain="walnut", coats=1)
    lightness = [daylight(found.seen())[0] for found in (wet, dried, one)]
    assert lightness[0] < lightness[1] < lightness[2]


def test_sawn_sides_are_darker_than_planed_faces(catalogue: Catalogue) -> None:
    # Wood Handbook FPL-GTR-190 ch. 16: a sawn face takes twice the stain
    for stain in ("light oak", "mid oak", "walnut", "charcoal"):
        found = look(catalogue, timber="Scots pine", stain=stain, sides="sawn")
        front, side, end = (daylight(found.seen(surface))[0] for surface in SLAT_SURFACES)
        assert end < side < front, stain
        planed = look(catalogue, timber="Scots pine", stain=stain, sides="planed")
        assert daylight(planed.seen("slat_side")) == pytest.approx(daylight(planed.seen("slat_front")))


def test_film_and_penetrating_stain_are_two_limits_of_one_formula(catalogue: Catalogue) -> None:
    from finishes import stain
    from finishes.stain import Surface, optics

    constants = optics(catalogue)
    coat = Surface(fill=1.0, wetting=1.0, yellow=0.0, matt=False)
    pale, dark = (bare(catalogue.timber[n].lab, None, floor=FLOOR) for n in ("Norway spruce", "Black walnut"))
    white = np.ones(41)

    def covered(wood: Floats, load: float, film: bool) -> Floats:
        return daylight(
            stain.finish(
                wood, 0.004 * load * white, load * white, np.array([load]), coat, constants, film=film
            )
        )

    # with no load both are the coated wood; with very much white both hide it
    assert covered(pale, 0.0, True) == pytest.approx(covered(pale, 0.0, False), abs=1e-9)
    for film in (True, False):
        assert ciede2000(covered(pale, 4000.0, film), covered(dark, 4000.0, film)) < 0.5
    # in between a film hides the wood more than the same pigment inside it
    hidden = [ciede2000(covered(pale, 2.0, film), covered(dark, 2.0, film)) for film in (True, False)]
    assert hidden[0] < hidden[1]


def test_film_tones_lie_alike_on_early_and_late_wood(catalogue: Catalogue) -> None:
    def contrast(stain: str) -> float:
        early, late = look(catalogue, timber="Scots pine", stain=stain).zones["slat_front"]
        return abs(float(daylight(early)[0] - daylight(late)[0]))

    assert contrast("milk white") < contrast("clear")


# ---------------------------------------------------------------- choice


def test_every_surface_of_the_wall_has_a_reflectance(catalogue: Catalogue) -> None:
    walls = {surface for surface in SURFACES if not surface.startswith("room_")}
    assert set(look(catalogue).reflectance) == walls


def test_defaults_are_the_first_entries(catalogue: Catalogue) -> None:
    named = look(
        catalogue,
        timber=catalogue.default("timber"),
        stain=catalogue.default("stain"),
        topcoat=catalogue.default("topcoat"),
        fabric=catalogue.default("fabric"),
    )
    plain = look(catalogue)
    for surface, spectrum in plain.reflectance.items():
        assert np.array_equal(spectrum, named.reflectance[surface])


def test_an_own_tone_of_one_part_each_lies_between_its_tones(catalogue: Catalogue) -> None:
    def lightness(**chosen: object) -> float:
        return float(daylight(look(catalogue, timber="European oak", **chosen).seen())[0])

    mixed = lightness(own_tone=Recipe(first="walnut", second="light oak"))
    assert lightness(stain="walnut") < mixed < lightness(stain="light oak")
    same = lightness(own_tone=Recipe(first="walnut", first_parts=3, second="walnut", second_parts=5))
    assert same == pytest.approx(lightness(stain="walnut"), abs=1e-9)


def test_film_and_penetrating_tones_cannot_be_mixed(catalogue: Catalogue) -> None:
    with pytest.raises(
        UnmixableError, match="own_tone: 'walnut' is a penetrating tone and 'milk white' a film"
    ):
        look(catalogue, own_tone=Recipe(first="walnut", second="milk white"))


@pytest.mark.parametrize(
    ("chosen", "message"),
    [
        (
            {"timber": "European oke"},
            "'European oke' is not a timber in the catalogue; did you mean 'European oak'?",
        ),
        ({"stain": "wallnut"}, "did you mean 'walnut'?"),
        ({"topcoat": "glos"}, "did you mean 'gloss'?"),
        ({"fabric": "black fel"}, "did you mean 'black felt'?"),
        ({"own_tone": {"first": "walnut", "second": "hony"}}, "did you mean 'honey'?"),
    ],
)
def test_unknown_names_offer_the_nearest(
    catalogue: Catalogue, chosen: dict[str, object], message: str
) -> None:
    with pytest.raises(KeyError) as refused:
        look(catalogue, **chosen)
    assert message in refused.value.args[0]


def test_light_backings_warn_of_what_shows_through(catalogue: Catalogue) -> None:
    assert "joints and pins can show through" in " ".join(look(catalogue, fabric="natural linen").warnings)
    assert "filled pins" in " ".join(look(catalogue, fabric="off-white paint").warnings)
    assert look(catalogue, fabric="black felt").warnings == ()


def test_a_timber_from_memory_is_less_certain_than_a_published_one(catalogue: Catalogue) -> None:
    published, memory = look(catalogue, timber="Norway spruce"), look(catalogue, timber="Scots pine")
    assert published.state == memory.state == "Indicative"
    assert 2.0 < published.uncertainty_de < memory.uncertainty_de
    # the published spreads: spruce L* 3.70, a* 2.13, b* 1.79; oak 1.7, 0.4, 0.5
    assert published.uncertainty_de > look(catalogue, timber="European oak").uncertainty_de + 1


def test_a_colour_is_less_certain_under_warm_light(catalogue: Catalogue) -> None:
    found = look(catalogue, timber="Norway spruce")
    day, cool, warm, filament = (
        found.uncertainty_under(lamp(name)) for name in ("D65", "LED-B3", "LED-B1", "A")
    )
    assert day == pytest.approx(found.uncertainty_de, abs=1e-3)
    assert day < cool < warm <= filament
    assert filament == pytest.approx(np.hypot(found.uncertainty_de, found.spectrum_de), rel=1e-3)


def test_negative_coats_are_refused() -> None:
    from pydantic import ValidationError

    from finishes.stain import coat_load

    with pytest.raises(ValidationError, match="greater than or equal to 0"):
        Finish(coats=-1)
    with pytest.raises(ValueError, match="coats is -1; it must be 0 or more"):
        coat_load(-1, 0.5)
