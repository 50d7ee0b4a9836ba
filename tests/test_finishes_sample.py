"""A measured sample from simulated photographs: real chart and camera data, a known off-cut, and what is
refused.

Chart reflectances (24 patches) and the camera's sensitivities are bundled with colour-science; the off-cuts
are the model's own finishes, seen by that camera under LED-B3. The chart's reference values are another
specimen's than the spectra's (their makers' vintages differ by 0.9 on the mean), so the fit cannot be better
than that.
"""

import io
import struct
import warnings
import zlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from finishes.appearance import appearance
from finishes.catalogue import Catalogue, load
from finishes.chart_fit import PATCHES, RefusedError, fit_chart
from finishes.choice import Finish
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.lamps import lamp
from finishes.photo import Corners, PhotoError, homography, read_photo
from finishes.sample import Reading, Shot, edit_to_xyz, entry_toml, measured, read_shots
from finishes.spectra import WAVELENGTHS_NM, Floats
from finishes.tiff import TiffError, read_16_bit

CHART: Corners = ((60.0, 45.0), (280.0, 35.0), (290.0, 185.0), (50.0, 175.0))
OFF_CUT: Corners = ((60.0, 215.0), (210.0, 215.0), (210.0, 270.0), (60.0, 270.0))
CARD: Corners = ((230.0, 215.0), (300.0, 215.0), (300.0, 270.0), (230.0, 270.0))
SIZE = (350, 300)


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


@pytest.fixture(scope="module")
def camera() -> Floats:
    """(41, 3) sensitivities of a digital SLR, as colour-science bundles them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        data = colour.MSDS_CAMERA_SENSITIVITIES["Nikon 5100 (NPL)"]
    rows = [np.interp(WAVELENGTHS_NM, data.wavelengths, data.values[:, n]) for n in range(3)]
    return np.stack(rows, axis=1)


@pytest.fixture(scope="module")
def chart() -> Floats:
    """(24, 41) reflectances of the patches."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        data = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]
    return np.stack([np.interp(WAVELENGTHS_NM, sd.wavelengths, sd.values) for sd in data.values()])


Scene = Callable[..., NDArray[np.float64]]


@pytest.fixture(scope="module")
def scene(camera: Floats, chart: Floats) -> Scene:
    """A picture, (h, w, 3) encoded 0..1: chart, off-cut and grey card in front of a mid grey."""

    def draw(
        off_cut: Floats, *, exposure: float = 0.85, gamma: float = 1 / 2.2, noise: float = 0.01
    ) -> Floats:
        light = lamp("LED-B3").spd[:, None] * camera
        light = light / (np.ones(41) @ light)
        picture = np.full((SIZE[1], SIZE[0], 3), 0.2)
        columns, rows = np.meshgrid(np.arange(SIZE[0]) + 0.5, np.arange(SIZE[1]) + 0.5)

        def place(corners: Corners) -> tuple[Floats, Floats, NDArray[np.bool_]]:
            back = np.linalg.inv(homography(corners))
            mapped = np.stack([columns, rows, np.ones_like(rows)], axis=-1) @ back.T
            u, v = mapped[..., 0] / mapped[..., 2], mapped[..., 1] / mapped[..., 2]
            return u, v, (u >= 0) & (u < 1) & (v >= 0) & (v < 1)

        u, v, inside = place(CHART)
        column, row = np.floor(u * 6).astype(int), np.floor(v * 4).astype(int)
        framed = inside & (np.abs(u * 6 % 1 - 0.5) < 0.42) & (np.abs(v * 4 % 1 - 0.5) < 0.42)
        picture[inside] = 0.03
        picture[framed] = (chart @ light)[(row * 6 + column)[framed]]
        for corners, reflectance in ((OFF_CUT, off_cut), (CARD, np.full(41, 0.18))):
            picture[place(corners)[2]] = reflectance @ light
        random = np.random.default_rng(7)
        picture = picture * exposure * (1 + noise * random.standard_normal(picture.shape))
        return np.clip(picture, 0, 1) ** gamma

    return draw


def png(picture: Floats) -> bytes:
    file = io.BytesIO()
    Image.fromarray(np.round(picture * 255).astype(np.uint8)).save(file, "PNG")
    return file.getvalue()


def jpeg(picture: Floats, orientation: int = 1) -> bytes:
    image = Image.fromarray(np.round(picture * 255).astype(np.uint8))
    exif = Image.Exif()
    exif[274] = orientation
    file = io.BytesIO()
    image.save(file, "JPEG", quality=95, subsampling=0, exif=exif)
    return file.getvalue()


def tiff_16(
    picture: Floats, *, order: str = "<", deflate: bool = False, predictor: bool = False, orientation: int = 1
) -> bytes:
    """A classic TIFF as the TIFF 6.0 specification lays it out: header, two strips, one directory."""
    samples = np.round(picture * 65535).astype(np.uint16)
    height, width, _ = samples.shape
    if predictor:
        samples = np.concatenate([samples[:, :1], np.diff(samples, axis=1)], axis=1)
    split = height // 2 + 1
    strips = [samples[:split].astype(f"{order}u2").tobytes(), samples[split:].astype(f"{order}u2").tobytes()]
    if deflate:
        strips = [zlib.compress(strip) for strip in strips]
    body = bytearray(b"II*\0" if order == "<" else b"MM\0*") + struct.pack(f"{order}I", 0)
    offsets = []
    for strip in strips:
        offsets.append(len(body))
        body += strip + b"\0" * (len(strip) % 2)
    bits, places, counts = len(body), len(body) + 6, len(body) + 14
    body += struct.pack(f"{order}3H", 16, 16, 16)
    body += struct.pack(f"{order}2I", *offsets) + struct.pack(f"{order}2I", *map(len, strips))
    tags = [
        (256, 4, 1, width),
        (257, 4, 1, height),
        (258, 3, 3, bits),
        (259, 3, 1, 8 if deflate else 1),
        (262, 3, 1, 2),
        (273, 4, 2, places),
        (274, 3, 1, orientation),
        (277, 3, 1, 3),
        (278, 4, 1, split),
        (279, 4, 2, counts),
        (284, 3, 1, 1),
        (317, 3, 1, 2 if predictor else 1),
    ]
    body[4:8] = struct.pack(f"{order}I", len(body))
    body += struct.pack(f"{order}H", len(tags))
    for tag, kind, number, value in tags:
        field = (
            struct.pack(f"{order}HH", value, 0)
            if kind == 3 and number == 1
            else struct.pack(f"{order}I", value)
        )
        body += struct.pack(f"{order}HHI", tag, kind, number) + field
    return bytes(body + struct.pack(f"{order}I", 0))


def daylight(reflectance: Floats) -> Floats:
    light = lamp("D65")
    return lab(reflectance @ light.weights, light.white_xyz)


FINISHES = [
    Finish(timber="Scots pine", stain="light oak", topcoat="oil"),
    Finish(timber="European oak", stain="walnut", topcoat="oil"),
    Finish(timber="European ash", stain="limed white", topcoat="matt"),
    Finish(timber="Norway spruce", stain="chestnut", topcoat="satin"),
    Finish(timber="European oak", stain="charcoal", topcoat="matt"),
]


@pytest.mark.parametrize("finish", FINISHES, ids=lambda finish: f"{finish.timber}, {finish.stain}")
def test_a_photograph_beside_the_chart_gives_the_off_cuts_colour(
    catalogue: Catalogue, scene: Scene, finish: Finish
) -> None:
    truth = appearance(finish, catalogue).seen()
    reading = read_shots([Shot(photo=read_photo(png(scene(truth))), off_cut=OFF_CUT, chart=CHART)], catalogue)
    # simulated studies of this method: p95 2.5, maximum 4.0
    error = float(ciede2000(reading.lab_d65, daylight(truth)))
    assert error < 3.5
    assert error < 2.5 * reading.uncertainty_de
    assert not reading.rough
    assert 1.5 < reading.uncertainty_de < 4.5


def test_a_grey_card_alone_is_rougher_and_says_so(catalogue: Catalogue, scene: Scene) -> None:
    truth = appearance(FINISHES[0], catalogue).seen()
    photo = read_photo(jpeg(scene(truth, exposure=0.6)))
    rough = read_shots([Shot(photo=photo, off_cut=OFF_CUT, card=CARD)], catalogue)
    fine = read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=CHART)], catalogue)
    assert rough.rough
    assert rough.uncertainty_de > 5 > fine.uncertainty_de
    assert "grey card (rough)" in rough.words
    assert ciede2000(rough.lab_d65, daylight(truth)) > ciede2000(fine.lab_d65, daylight(truth))


@pytest.mark.parametrize(
    "encode",
    [
        png,
        jpeg,
        tiff_16,
        lambda picture: tiff_16(picture, order=">"),
        lambda picture: tiff_16(picture, deflate=True),
        lambda picture: tiff_16(picture, deflate=True, predictor=True),
    ],
    ids=["png", "jpeg", "tiff", "tiff big-endian", "tiff deflate", "tiff deflate predictor"],
)
def test_every_format_gives_the_same_colour(
    catalogue: Catalogue, scene: Scene, encode: Callable[[Floats], bytes]
) -> None:
    picture = scene(appearance(FINISHES[1], catalogue).seen())
    shot = Shot(photo=read_photo(encode(picture)), off_cut=OFF_CUT, chart=CHART)
    reference = Shot(photo=read_photo(png(picture)), off_cut=OFF_CUT, chart=CHART)
    found, expected = (read_shots([one], catalogue).lab_d65 for one in (shot, reference))
    # a JPEG rounds brightness and colour to whole steps: half a step of 87 is 1.3 % of the light
    assert ciede2000(found, expected) < (2.0 if encode is jpeg else 0.3)


def test_sixteen_bits_are_kept(scene: Scene) -> None:
    picture = np.linspace(0.1, 0.2, 64 * 64 * 3).reshape(64, 64, 3)
    photo = read_photo(tiff_16(picture))
    assert photo.bits == 16
    assert np.abs(photo.values - picture).max() < 1 / 65535


@pytest.mark.parametrize("orientation", range(1, 9))
def test_orientation_is_undone_in_jpeg_and_tiff(orientation: int) -> None:
    # EXIF 2.3 tag 274, as Pillow turns it
    picture = np.zeros((40, 64, 3))
    picture[:12, :16] = (0.9, 0.1, 0.1)
    picture[-12:, :16] = (0.1, 0.9, 0.1)
    turned = read_photo(jpeg(picture, orientation)).values
    deep = read_photo(tiff_16(picture, orientation=orientation)).values
    assert turned.shape == deep.shape
    corners = np.ix_([2, -3], [2, -3])
    # a JPEG of flat areas is good to a few steps away from edges
    assert np.abs(turned[corners] - deep[corners]).max() < 0.02
    assert len(np.unique(deep[corners].reshape(4, 3), axis=0)) == 3


def test_measured_entry_keeps_the_photo_colour_and_survives_a_file(
    catalogue: Catalogue, scene: Scene, tmp_path: Path
) -> None:
    finish = Finish(timber="Scots pine", stain="honey", coats=2, topcoat="oil")
    truth = appearance(finish, catalogue).seen() * 0.9
    reading = read_shots([Shot(photo=read_photo(png(scene(truth))), off_cut=OFF_CUT, chart=CHART)], catalogue)
    entry = measured(
        'off-cut "3"', reading, finish, catalogue, date="2026-11-20", lamp_name="4000 K LED, CRI 80"
    )
    (tmp_path / "own.toml").write_text(entry_toml(entry), encoding="utf-8")
    again = load([tmp_path])
    kept = again.sample['off-cut "3"']
    assert kept.reflectance.values == pytest.approx(entry.reflectance.values, abs=1e-6)
    assert (kept.date, kept.lamp, kept.coats, kept.faces) == ("2026-11-20", "4000 K LED, CRI 80", 2, "planed")

    shown = appearance(finish.model_copy(update={"sample": kept.name}), again)
    assert shown.state == "Measured"
    assert shown.uncertainty_de == pytest.approx(kept.uncertainty_de)
    assert ciede2000(daylight(shown.seen()), reading.lab_d65) < 0.01
    share = shown.late_share
    for surface, (early, late) in shown.zones.items():
        assert shown.reflectance[surface] == pytest.approx((1 - share) * early + share * late, abs=1e-12)

    other = appearance(finish.model_copy(update={"sample": kept.name, "coats": 1}), again)
    assert other.state == "Indicative"
    assert "made otherwise (coats 2, not 1)" in " ".join(other.warnings)


def test_the_model_is_moved_to_the_measured_colour_exactly(catalogue: Catalogue) -> None:
    weights = lamp("D65").weights
    model = appearance(FINISHES[1], catalogue).seen()
    for factor in ((1.0, 1.0, 1.0), (0.8, 0.8, 0.8), (1.1, 1.1, 0.9)):
        goal = model @ weights * np.array(factor)
        moved = edit_to_xyz(model, goal, catalogue)
        assert moved @ weights == pytest.approx(goal, rel=1e-8)
        assert ((moved > 0) & (moved < 1)).all()
    assert edit_to_xyz(model, model @ weights, catalogue) == pytest.approx(model, abs=1e-9)


def test_the_moved_spectrum_holds_under_another_lamp(catalogue: Catalogue) -> None:
    # one finish moved to the daylight colour of a stronger coat of the same, then seen under LED-B1
    model = appearance(
        Finish(timber="European oak", stain="walnut", coats=1, topcoat="oil"), catalogue
    ).seen()
    truth = appearance(
        Finish(timber="European oak", stain="walnut", coats=3, topcoat="oil"), catalogue
    ).seen()
    moved = edit_to_xyz(model, truth @ lamp("D65").weights, catalogue)
    light = lamp("LED-B1")
    labs = [lab(spectrum @ light.weights, light.white_xyz) for spectrum in (moved, truth)]
    assert ciede2000(*labs) < 0.5


# ---------------------------------------------------------------- refused


def test_clipped_photographs_are_refused_by_patch(catalogue: Catalogue, scene: Scene) -> None:
    photo = read_photo(png(scene(appearance(FINISHES[0], catalogue).seen(), exposure=1.6)))
    with pytest.raises(RefusedError) as refused:
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=CHART)], catalogue)
    assert refused.value.reasons[0].startswith("Clipped in ")
    assert "white" in refused.value.reasons[0]


def test_a_clipped_off_cut_is_refused(catalogue: Catalogue, scene: Scene) -> None:
    photo = read_photo(png(scene(np.full(41, 1.4))))
    with pytest.raises(RefusedError, match="Clipped in the off-cut"):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=CHART)], catalogue)


@pytest.mark.parametrize(
    "corners",
    [
        (CHART[2], CHART[3], CHART[0], CHART[1]),
        (CHART[1], CHART[0], CHART[3], CHART[2]),
        tuple((x + 30.0, y + 17.0) for x, y in CHART),
        OFF_CUT,
    ],
    ids=["upside down", "mirrored", "shifted", "elsewhere"],
)
def test_a_chart_that_is_not_where_it_was_said_is_refused(
    catalogue: Catalogue, scene: Scene, corners: Corners
) -> None:
    photo = read_photo(png(scene(appearance(FINISHES[0], catalogue).seen())))
    with pytest.raises(
        RefusedError, match=r"The chart is not where it was said|The chart's colours fit only"
    ):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=corners)], catalogue)


def test_colours_that_do_not_fit_the_chart_are_refused(scene: Scene, catalogue: Catalogue) -> None:
    picture = scene(appearance(FINISHES[0], catalogue).seen())
    # a filter that folds hues on each other but leaves greys alone: no 3 x 3 undoes it
    grey = picture.mean(axis=-1, keepdims=True)
    filtered = np.clip(grey + np.abs(picture - grey) * [1.0, -1.0, 0.2], 0.02, 0.98)
    with pytest.raises(RefusedError, match=r"fit only to a mean difference of \d+\.\d, more than 5"):
        fit_chart(read_photo(png(filtered)), CHART, "after November 2014")


def test_all_reasons_of_all_shots_are_given_at_once(catalogue: Catalogue, scene: Scene) -> None:
    off_cut = appearance(FINISHES[0], catalogue).seen()
    bright = read_photo(png(scene(off_cut, exposure=1.6)))
    good = read_photo(png(scene(off_cut)))
    shots = [
        Shot(photo=bright, off_cut=OFF_CUT, chart=CHART),
        Shot(photo=good, off_cut=OFF_CUT, chart=OFF_CUT),
    ]
    with pytest.raises(RefusedError) as refused:
        read_shots(shots, catalogue)
    assert [reason[:13] for reason in refused.value.reasons] == ["Photograph 1:", "Photograph 2:"]


def test_several_shots_that_disagree_are_less_certain(catalogue: Catalogue, scene: Scene) -> None:
    finish = FINISHES[0]
    truth = appearance(finish, catalogue).seen()
    shots = [
        Shot(photo=read_photo(png(scene(truth * scale))), off_cut=OFF_CUT, chart=CHART)
        for scale in (0.85, 1.0)
    ]
    apart = read_shots(shots, catalogue).uncertainty_de
    assert apart > read_shots(shots[:1], catalogue).uncertainty_de


@pytest.mark.parametrize(
    ("corners", "message"),
    [
        (((0, 0), (10, 10), (20, 20), (30, 30)), "do not go round an area"),
        (((0, 0), (100, 100), (100, 0), (0, 100)), "do not go round an area"),
        (((0, 0), (9000, 0), (9000, 100), (0, 100)), "lies outside the photograph of 350 × 300 pixels"),
    ],
)
def test_impossible_corners_are_refused(
    catalogue: Catalogue, scene: Scene, corners: Corners, message: str
) -> None:
    photo = read_photo(png(scene(np.full(41, 0.3))))
    with pytest.raises(PhotoError, match=message):
        read_shots([Shot(photo=photo, off_cut=corners, chart=CHART)], catalogue)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "not a whole JPEG, PNG or TIFF"),
        (b"GIF89a" + b"\0" * 50, "not a whole JPEG, PNG or TIFF"),
        (png(np.full((20, 20, 3), 0.5))[:-40], "not a whole JPEG, PNG or TIFF"),
        (
            tiff_16(np.full((20, 20, 3), 0.5)).replace(
                b"\x03\x01\x03\0\x01\0\0\0\x01\0", b"\x03\x01\x03\0\x01\0\0\0\x05\0"
            ),
            "compression",
        ),
    ],
    ids=["empty", "gif", "cut short", "lzw"],
)
def test_files_that_are_no_photograph_are_refused(data: bytes, message: str) -> None:
    with pytest.raises(PhotoError, match=message):
        read_photo(data)


def test_a_tiff_cut_short_is_refused() -> None:
    whole = tiff_16(np.full((64, 64, 3), 0.5))
    directory = struct.unpack_from("<I", whole, 4)[0]
    with pytest.raises(TiffError):
        read_16_bit(whole[: directory + 20])


def test_greyscale_and_print_colours_are_refused() -> None:
    file = io.BytesIO()
    Image.new("CMYK", (8, 8)).save(file, "JPEG")
    with pytest.raises(PhotoError, match="stored as CMYK; save it as RGB"):
        read_photo(file.getvalue())


def test_a_shot_needs_a_chart_or_a_card(catalogue: Catalogue, scene: Scene) -> None:
    photo = read_photo(png(scene(np.full(41, 0.3))))
    with pytest.raises(ValueError, match="corners of a chart or of a grey card"):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT)], catalogue)
    with pytest.raises(ValueError, match="at least one photograph"):
        read_shots([], catalogue)
    with pytest.raises(ValueError, match="card_y is 2"):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, card=CARD, card_y=2.0)], catalogue)


def test_a_colour_the_model_cannot_reach_is_refused(catalogue: Catalogue) -> None:
    reading = Reading(
        xyz_d65=np.array([0.1, 0.5, 0.9]),
        lab_d65=np.zeros(3),
        uncertainty_de=1.0,
        rough=False,
        words="a test",
    )
    with pytest.raises(RefusedError, match="No spectrum like the model's"):
        measured("x", reading, FINISHES[0], catalogue, date="2026-11-20", lamp_name="daylight window")


def test_patches_are_named_in_the_charts_order() -> None:
    assert len(PATCHES) == 24
    assert (PATCHES[0], PATCHES[18], PATCHES[23]) == ("dark skin", "white", "black")


def test_the_charts_vintages_are_the_published_ones(catalogue: Catalogue) -> None:
    # Lab D50/2° of two patches, before and after November 2014, as colour-science carries them
    from finishes.chart_fit import D50_XYZ
    from finishes.lamps import chart_xyz

    after = lab(chart_xyz("after November 2014"), D50_XYZ)
    assert after[0] == pytest.approx([37.54, 14.37, 14.92], abs=0.02)
    assert after[23] == pytest.approx([20.64, 0.07, -0.46], abs=0.02)
    before = lab(chart_xyz("before November 2014"), D50_XYZ)
    apart = ciede2000(before, after)
    assert 0.3 < apart.mean() < 1.5


def test_a_dimmed_copy_of_a_shot_changes_nothing_but_noise(catalogue: Catalogue, scene: Scene) -> None:
    truth = appearance(FINISHES[3], catalogue).seen()
    labs = [
        read_shots(
            [
                Shot(
                    photo=read_photo(tiff_16(scene(truth, exposure=level, noise=0.0))),
                    off_cut=OFF_CUT,
                    chart=CHART,
                )
            ],
            catalogue,
        ).lab_d65
        for level in (0.3, 0.85)
    ]
    assert ciede2000(labs[0], labs[1]) < 0.05


def test_the_finish_own_sample_is_passed_over_when_measured_again(catalogue: Catalogue) -> None:
    finish = FINISHES[0]
    model = appearance(finish, catalogue).seen()
    reading = Reading(
        xyz_d65=model @ lamp("D65").weights * 0.9,
        lab_d65=np.zeros(3),
        uncertainty_de=2.0,
        rough=False,
        words="photograph beside a chart",
    )
    first = measured("a", reading, finish, catalogue, date="2026-11-20", lamp_name="daylight window")
    again = measured(
        "a",
        reading,
        finish.model_copy(update={"sample": "a"}),
        catalogue.with_samples([replace(first, name="a")]),
        date="2026-11-21",
        lamp_name="daylight window",
    )
    assert again.reflectance.values == pytest.approx(first.reflectance.values, abs=1e-12)
