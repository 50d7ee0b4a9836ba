"""CIELAB, CAT16 and sRGB against the standards' own numbers, and colour-science as an independent way."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.adaptation import (
    D65_XYZ,
    EVENING_FEEL,
    RGB_FROM_XYZ,
    XYZ_FROM_RGB,
    adapt,
    adaptation_matrix,
    adapted_srgb,
    decode_srgb,
    encode_srgb,
    linear_srgb,
)
from finishes.cielab import lab, xyz_from_lab
from finishes.lamps import SPECTRA, lamp
from finishes.spectra import Floats

D50_4_DIGIT = np.array([0.3457 / 0.3585, 1.0, (1 - 0.3457 - 0.3585) / 0.3585])


def test_lightness_of_eighteen_percent_grey_iso_cie_11664_4() -> None:
    assert lab(D65_XYZ * 0.18, D65_XYZ)[0] == pytest.approx(49.4961, abs=5e-5)
    assert lab(D65_XYZ, D65_XYZ) == pytest.approx([100, 0, 0], abs=1e-12)


def test_lab_of_a_green_under_d50_as_colour_science_gives_it() -> None:
    # 0.25, 0.40, 0.10 under D50 xy(0.3457, 0.3585): colour-science 0.4.7
    found = lab(np.array([0.25, 0.40, 0.10]), D50_4_DIGIT)
    assert found == pytest.approx([69.4695, -49.5824, 48.3859], abs=5e-5)


@given(st.tuples(st.floats(0, 100), st.floats(-60, 60), st.floats(-60, 60)))
def test_lab_round_trip(values: tuple[float, float, float]) -> None:
    assert lab(xyz_from_lab(np.array(values), D65_XYZ), D65_XYZ) == pytest.approx(list(values), abs=1e-9)


def test_srgb_matrices_iec_61966_2_1() -> None:
    published = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    inverse = [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
    # four digits in the standard; its inverse was made from the rounded matrix
    assert pytest.approx(np.array(published), abs=6e-5) == XYZ_FROM_RGB
    assert pytest.approx(np.array(inverse), abs=6e-4) == RGB_FROM_XYZ


@pytest.mark.parametrize(("linear", "encoded"), [(0.0031308, 0.04045), (0.18, 0.461356), (0.5, 0.735357)])
def test_srgb_curve_iec_61966_2_1(linear: float, encoded: float) -> None:
    assert encode_srgb(np.array(linear)) == pytest.approx(encoded, abs=5e-6)
    assert decode_srgb(np.array(encoded)) == pytest.approx(linear, abs=5e-6)


def test_cat16_from_d65_to_d50() -> None:
    # colour-science 0.4.7, four-digit whites
    published = [[1.01085, 0.04071, -0.03414], [0.00543, 0.99358, 0.00116], [0.00025, -0.01149, 0.76796]]
    assert adaptation_matrix(D65_XYZ, D50_4_DIGIT) == pytest.approx(np.array(published), abs=4e-5)


@pytest.mark.parametrize("name", SPECTRA)
def test_full_adaptation_keeps_a_white_card_white_under_every_lamp(name: str) -> None:
    white = lamp(name).white_xyz
    assert adapted_srgb(white * 250.0, white * 250.0) == pytest.approx([1, 1, 1], abs=1e-12)


def test_evening_feel_leaves_a_warm_card_a_little_warm() -> None:
    white = lamp("LED-B1").white_xyz
    seen = lab(adapt(white, white, D65_XYZ, EVENING_FEEL), D65_XYZ)
    # the study of display policies found 4.4, 7.2 for this card
    assert seen == pytest.approx([100.0, 4.4, 7.2], abs=0.15)


def test_no_adaptation_changes_nothing() -> None:
    assert adaptation_matrix(lamp("A").white_xyz, D65_XYZ, 0.0) == pytest.approx(np.eye(3), abs=1e-12)


@pytest.mark.parametrize("degree", [-0.1, 1.1])
def test_degree_of_adaptation_outside_0_to_1_is_refused(degree: float) -> None:
    with pytest.raises(ValueError, match="must lie from 0 to 1"):
        adaptation_matrix(D65_XYZ, D65_XYZ, degree)


def test_out_of_gamut_shows_in_the_unclipped_values() -> None:
    green = np.array([0.2, 0.6, 0.1])
    assert linear_srgb(green, D65_XYZ).min() < 0.0
    assert adapted_srgb(green, D65_XYZ).min() == 0.0


def independent_lab(reflectance: Floats, name: str) -> Floats:
    """Spectrum to Lab by colour-science alone, at 1 nm."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        shape = colour.SpectralShape(380, 780, 1)
        nodes = dict(zip(range(380, 790, 10), reflectance.tolist(), strict=True))
        sd = colour.SpectralDistribution(nodes, interpolator=colour.SpragueInterpolator).interpolate(shape)
        cmfs = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
        light = colour.SDS_ILLUMINANTS[name].copy().align(shape)
        xyz = colour.sd_to_XYZ(sd, cmfs, light, method="Integration") / 100.0
        flat = colour.SpectralDistribution(dict.fromkeys(range(380, 781), 1.0))
        white = colour.sd_to_XYZ(flat, cmfs, light, method="Integration") / 100.0
        return np.asarray(colour.XYZ_to_Lab(xyz, colour.XYZ_to_xy(white)))


@pytest.mark.parametrize("name", ["D65", "A", "LED-B1", "LED-B3", "LED-RGB1"])
def test_spectrum_to_lab_agrees_with_colour_science(name: str) -> None:
    wavelengths = np.arange(380, 790, 10)
    reflectance = 0.1 + 0.6 / (1 + np.exp(-(wavelengths - 560) / 40))
    light = lamp(name)
    found = lab(reflectance @ light.weights, light.white_xyz)
    assert found == pytest.approx(independent_lab(reflectance, name), abs=0.01)
