"""CIEDE2000 against its published table, and what is said about two finishes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.appearance import appearance
from finishes.catalogue import Catalogue, load
from finishes.choice import Finish
from finishes.difference import Candidate, ciede2000, compare, seen_under
from finishes.lamps import lamp
from finishes.tone import tone_of

# Sharma, Wu & Dalal, Color Res. Appl. 30(1):21-30 (2005), Table 1. Pair 14 is left out: it sits on a hue
# discontinuity and has two answers (4.7461 or 4.8045), by the machine's arctangent.
SHARMA_2005 = {
    1: ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    2: ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    3: ((50, 2.8361, -74.0200), (50, 0, -82.7485), 3.4412),
    4: ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    7: ((50, 0, 0), (50, -1, 2), 2.3669),
    9: ((50, 2.4900, -0.0010), (50, -2.4900, 0.0009), 7.1792),
    11: ((50, 2.4900, -0.0010), (50, -2.4900, 0.0011), 7.2195),
    13: ((50, -0.0010, 2.4900), (50, 0.0009, -2.4900), 4.8045),
    15: ((50, -0.0010, 2.4900), (50, 0.0011, -2.4900), 4.7461),
    16: ((50, 2.5, 0), (50, 0, -2.5), 4.3065),
    17: ((50, 2.5, 0), (73, 25, -18), 27.1492),
    18: ((50, 2.5, 0), (61, -5, 29), 22.8977),
    19: ((50, 2.5, 0), (56, -27, -3), 31.9030),
    20: ((50, 2.5, 0), (58, 24, 15), 19.4535),
    25: ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    30: ((36.4612, 47.8580, 18.3852), (36.2715, 50.5065, 21.2231), 1.4146),
    34: ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
}
WITHIN_BOARD = 2.0


@pytest.mark.parametrize("pair", SHARMA_2005)
def test_ciede2000_sharma_wu_dalal_2005(pair: int) -> None:
    first, second, published = SHARMA_2005[pair]
    assert ciede2000(np.array(first, float), np.array(second, float)) == pytest.approx(published, abs=1e-4)


colours = st.tuples(st.floats(0, 100), st.floats(-100, 100), st.floats(-100, 100)).map(np.array)


@given(first=colours, second=colours)
def test_difference_is_symmetric_and_zero_only_for_the_same(first: np.ndarray, second: np.ndarray) -> None:
    forth, back = float(ciede2000(first, second)), float(ciede2000(second, first))
    # opposite hues to the last bit may fall either side of the discontinuity
    hues = [np.degrees(np.arctan2(c[2], c[1])) % 360 for c in (first, second)]
    if abs(abs(hues[0] - hues[1]) - 180) > 1e-6:
        assert forth == pytest.approx(back, abs=1e-9)
    assert ciede2000(first, first) == 0.0
    assert forth >= 0.0


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


def candidate(catalogue: Catalogue, **chosen: object) -> Candidate:
    finish = Finish.model_validate(chosen)
    look = appearance(finish, catalogue)
    return Candidate(
        name=finish.name or finish.stain,
        timber=catalogue.named("timber", finish.timber).name,
        dyed=tone_of(finish, catalogue).dyed,
        reflectance=look.seen(),
        roughness=look.roughness,
    )


LAMPS = ("D65", "LED-B1", "LED-RGB1")


def test_tones_that_no_one_could_tell_apart_are_said_to_look_alike(catalogue: Catalogue) -> None:
    first = candidate(catalogue, name="A", timber="Black walnut", stain="clear")
    second = candidate(catalogue, name="B", timber="Black walnut", stain="straw")
    found = compare(first, second, [lamp(n) for n in LAMPS], within_board=WITHIN_BOARD)
    assert (
        found.sentence == "A and B will look alike on Black walnut: two places on one board differ as much."
    )
    assert not found.parts_under_another_lamp


def test_a_tone_in_matt_and_gloss_is_alike_but_for_its_shine(catalogue: Catalogue) -> None:
    first = candidate(catalogue, name="A", timber="European oak", stain="charcoal", topcoat="satin")
    second = candidate(catalogue, name="B", timber="European oak", stain="charcoal", topcoat="gloss")
    sentence = compare(first, second, [lamp("D65")], within_board=30.0).sentence
    assert sentence.startswith("A and B will look alike on European oak, apart from their shine:")


def test_different_tones_are_told_apart_in_words_and_number(catalogue: Catalogue) -> None:
    first = candidate(catalogue, name="pale", timber="Scots pine", stain="limed white")
    second = candidate(catalogue, name="dark", timber="Scots pine", stain="charcoal")
    found = compare(first, second, [lamp(n) for n in LAMPS], within_board=WITHIN_BOARD)
    assert found.sentence == "pale and dark are different colours under every lighting."
    assert min(number for _, number in found.difference) > 30


def test_a_dye_that_matches_a_pigment_under_one_lamp_parts_by_another(catalogue: Catalogue) -> None:
    pigment = candidate(catalogue, name="pigment", timber="Scots pine", stain="walnut")
    dye = candidate(catalogue, name="dye", timber="Scots pine", stain="walnut dye")
    found = compare(pigment, dye, [lamp(n) for n in LAMPS], within_board=WITHIN_BOARD)
    assert dict(found.alike)["LED-B1"]
    assert not dict(found.alike)["D65"]
    assert found.parts_under_another_lamp
    assert found.sentence == (
        "pigment and dye look alike under LED-B1 but not under D65 and LED-RGB1: look at both off-cuts by "
        "day and with the lamps on."
    )
    assert any("different colorants (pigment and dye)" in warning for warning in found.warnings)


def test_tones_of_one_family_of_pigments_do_not_part(catalogue: Catalogue) -> None:
    names = [name for name, tone in catalogue.stain.items() if tone.colorant == "pigment"]
    looks = [
        appearance(Finish(timber="Scots pine", stain=name, topcoat="oil"), catalogue).seen() for name in names
    ]
    labs, _ = seen_under(np.stack(looks), [lamp("D65"), lamp("LED-B1")])
    table = ciede2000(labs[:, None], labs[None, :])
    near = table[..., 0] < 4
    # pairs that are near by day move by at most 1.2 under a warm lamp
    assert np.abs(table[..., 0] - table[..., 1])[near].max() < 1.2


def test_compare_needs_a_lamp(catalogue: Catalogue) -> None:
    one = candidate(catalogue, stain="walnut")
    with pytest.raises(ValueError, match="at least one lighting"):
        compare(one, one, [], within_board=2.0)
