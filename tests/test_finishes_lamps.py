"""Lamp weights against CIE 15's white points, the cache file, and measured spectra."""

import logging
import re
from pathlib import Path

import numpy as np
import pytest

from finishes import cie
from finishes.cielab import lab
from finishes.lamps import SPECTRA, lamp, measured_lamp, observer

# XYZ of the perfect diffuser, CIE 1931 2°, from the bundled CIE data at 1 nm over 360-830 nm
# (colour-science 0.4.7)
WHITES = {
    "A": (109.849, 100, 35.591),
    "D50": (96.424, 100, 82.513),
    "D65": (95.047, 100, 108.883),
    "FL2": (99.147, 100, 67.319),
    "LED-B1": (111.771, 100, 33.384),
    "LED-B2": (108.562, 100, 40.632),
    "LED-B3": (100.862, 100, 67.634),
    "LED-B4": (97.696, 100, 87.735),
    "LED-B5": (96.310, 100, 112.478),
    "LED-BH1": (110.003, 100, 35.862),
    "LED-RGB1": (108.229, 100, 29.242),
    "LED-V1": (112.461, 100, 34.960),
    "LED-V2": (100.181, 100, 64.871),
}


@pytest.mark.parametrize("name", SPECTRA)
def test_white_points_cie_15(name: str) -> None:
    # 380-780 nm instead of 360-830: D65 has light beyond violet (0.022), the others 0.012 at most
    assert lamp(name).white_xyz * 100 == pytest.approx(WHITES[name], abs=0.025)


# "Dark skin" of colour-science's chart spectra: Lab under each lamp to its own white
DARK_SKIN = {
    "D65": (37.304, 13.690, 15.561),
    "D50": (37.816, 15.470, 16.475),
    "A": (39.544, 16.837, 19.284),
    "LED-B1": (39.618, 13.634, 19.859),
    "LED-B3": (38.305, 12.991, 17.646),
    "LED-B5": (37.285, 9.497, 16.152),
}


@pytest.mark.parametrize("name", DARK_SKIN)
def test_a_chart_patch_from_spectrum_to_lab(name: str) -> None:
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        patch = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]["dark skin"]
    reflectance = np.interp(np.arange(380, 790, 10), patch.wavelengths, patch.values)
    light = lamp(name)
    # the patch is sampled at 10 nm here and at 5 nm in the reference
    assert lab(reflectance @ light.weights, light.white_xyz) == pytest.approx(DARK_SKIN[name], abs=0.15)


@pytest.mark.parametrize("name", SPECTRA)
def test_spd_and_observer_come_near_the_exact_weights(name: str) -> None:
    light = lamp(name)
    product = light.spd[:, None] * observer()
    assert product[:, 1].sum() == pytest.approx(1.0, abs=1e-12)
    # one number a band cannot hold three channels exactly; this is less than 0.04 CIEDE2000
    assert product.sum(axis=0) == pytest.approx(light.white_xyz, abs=0.0005)
    assert (light.spd >= 0).all()


def test_weights_are_read_only_and_normalised_to_luminance() -> None:
    light = lamp("LED-B3")
    assert light.weights[:, 1].sum() == pytest.approx(1.0, abs=1e-12)
    with pytest.raises(ValueError, match="read-only"):
        light.weights[0, 0] = 1.0


def test_an_unknown_spectrum_is_named_with_the_known_ones() -> None:
    with pytest.raises(KeyError, match=r"LED-B9.*LED-B1"):
        lamp("LED-B9")


def test_the_table_is_derived_once_and_then_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = cie.cie_table(SPECTRA, tmp_path)
    files = list(tmp_path.iterdir())
    assert len(files) == 1
    assert files[0].suffix == ".npz"

    def never(spectra: object) -> None:
        raise AssertionError("derived again")

    monkeypatch.setattr(cie, "_derive", never)
    second = cie.cie_table(SPECTRA, tmp_path)
    assert np.array_equal(first.weights["LED-B1"], second.weights["LED-B1"])


def test_a_broken_cache_file_is_replaced(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    whole = cie.cie_table(SPECTRA, tmp_path)
    file = next(tmp_path.iterdir())
    file.write_bytes(file.read_bytes()[:1000])
    with caplog.at_level(logging.WARNING):
        again = cie.cie_table(SPECTRA, tmp_path)
    assert "derived again" in caplog.text
    assert np.array_equal(again.weights["A"], whole.weights["A"])
    assert len(list(tmp_path.iterdir())) == 1


def test_a_folder_that_cannot_be_written_is_only_logged(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    with caplog.at_level(logging.WARNING):
        table = cie.cie_table(SPECTRA, blocked)
    assert "not kept" in caplog.text
    assert table.weights["D65"].shape == (41, 3)


def test_a_measured_lamp_from_csv() -> None:
    flat = "nm,power\n" + "\n".join(f"{nm},2.5" for nm in range(380, 785, 5))
    light = measured_lamp("bench lamp", flat)
    # equal energy: CIE 15 gives x = y = 1/3
    assert light.white_xyz == pytest.approx([1.0, 1.0, 1.0], abs=0.001)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "covers nothing; 380 to 780 nm are needed"),
        ("400,1\n410,1", "covers 400 to 410 nm; 380 to 780 nm are needed"),
        (
            "380,1\n420,1\n780,1",
            "line 2: 420 nm follows 380 nm; wavelengths must rise in steps of at most 20 nm",
        ),
        ("380,1\n390,-2\n" + "\n".join(f"{n},1" for n in range(400, 790, 10)), "line 2: power -2 at 390 nm"),
        ("380,1\n390,x\n" + "\n".join(f"{n},1" for n in range(400, 790, 10)), "line 2: '390,x' is not"),
        ("\n".join(f"{n},0" for n in range(380, 790, 10)), "every power is 0"),
        ("nan,1\n", "line 1: nan is no wavelength"),
        (
            "380,1e300\n" + "\n".join(f"{n},1" for n in range(390, 790, 10)),
            "line 1: power 1e+300 at 380 nm",
        ),
        ("380;1\n390;1\n", "covers nothing"),
    ],
)
def test_a_measured_lamp_with_gaps_or_nonsense_is_refused(text: str, message: str) -> None:
    with pytest.raises(ValueError, match=re.escape(message)):
        measured_lamp("x", text)
