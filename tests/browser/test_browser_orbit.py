"""What turns on the page: the light of the stills, no moiré, and no gap darker than its neighbours."""

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
import two_walls
from browser_visit import SLOW_DISPLAY, Visit
from numpy.typing import NDArray
from orbit_canvas import Canvas, open_canvas
from playwright.sync_api import Browser

from finishes.adaptation import decode_srgb, encode_srgb
from meshes.light.lamps import Lighting
from viewer.demo import demo_bytes
from viewer.exposure import display_srgb
from viewer.frame import Frame
from viewer.job.choices import candidates, lightings
from viewer.light_store import light_store
from viewer.picture import Studio
from viewer.services import Services
from viewer.settings import load
from viewer.things import extras_of

pytestmark = [pytest.mark.browser, pytest.mark.gl]

Picture = NDArray[np.float64]

WIDTH, HEIGHT = 360, 240
PITCHES = 75.05
"""Pitches of 58.2 mm in the width of the demo wall's front view (1.04 x 4200 mm); 72 stand there."""
ROWS_PX = 16


@pytest.fixture(scope="module")
def canvas(browser: Browser, site: str) -> Iterator[Canvas]:
    with open_canvas(browser, site + "/jobs/demo/") as made:
        yield made


@contextmanager
def studio_for(light_cache: Path, document: str | bytes, things: Sequence[str] = ()) -> Iterator[Studio]:
    services = Services(load({"SLATWRIGHT_CACHE_DIR": str(light_cache)}))
    job = services.check_text(document).job
    assert job is not None
    store = light_store(services.settings)
    yield Studio(job, services.catalogue, extras=extras_of(job, things), store=store)
    services.close()


@pytest.fixture(scope="module")
def studio(light_cache: Path) -> Iterator[Studio]:
    with studio_for(light_cache, demo_bytes()) as made:
        yield made


@pytest.mark.parametrize(
    ("view", "candidate", "lighting"), [("front", 0, 0), ("close", 2, 1), ("left", 1, 1), ("seated", 0, 1)]
)
def test_the_turning_view_equals_the_still(
    canvas: Canvas, studio: Studio, view: str, candidate: int, lighting: int
) -> None:
    turned = canvas.settled(WIDTH, HEIGHT, view=view, candidate=candidate, lighting=lighting)
    light = lightings(studio.job)[lighting]
    equals_the_still(turned, studio, view, candidate, light)


def equals_the_still(turned: Picture, studio: Studio, view: str, candidate: int, light: Lighting) -> None:
    height, width, _ = turned.shape
    xyz = studio.xyz(Frame(view=view, width=width, height=height), light, candidates(studio.job)[candidate])
    still = display_srgb(xyz, studio.exposure(light)) / 255.0
    blocks = (turned - still).reshape(height // 8, 8, width // 8, 8, 3).mean(axis=(1, 3))
    off = 255 * np.abs(blocks).mean(axis=2)
    print(f"{view}: 8 x 8 blocks differ by {off.mean():.2f} of 255, p99 {np.percentile(off, 99):.2f}")
    # two ways of sampling the same picture: half floats, 64 shifts a pixel, edges by other rules
    assert off.mean() <= 0.5
    assert np.percentile(off, 99) <= 2.0


@pytest.fixture(scope="module")
def corner(browser: Browser, site: str) -> Iterator[Canvas]:
    with open_canvas(browser, two_walls.keep(site)) as made:
        yield made


@pytest.mark.parametrize(
    ("eye", "target", "things"),
    [
        ((-0.3, 1.2, 0.75), (1.45, 1.1, 0.65), ()),
        ((0.4, 1.5, 1.9), (0.9, 0.75, 0.1), ("furniture", "person", "card")),
    ],
)
def test_walls_round_a_corner_and_what_stands_before_them_turn_in_the_light_of_the_still(
    corner: Canvas, light_cache: Path, eye: two_walls.Point, target: two_walls.Point, things: tuple[str, ...]
) -> None:
    view, camera = two_walls.seen_from(eye, target)
    turned = corner.settled(144, 96, view=view, things=things)
    with studio_for(light_cache, json.dumps(two_walls.JOB), things) as studio:
        equals_the_still(turned, studio, camera, 0, lightings(studio.job)[0])


def test_ticks_put_things_into_the_view_that_turns(visit: Callable[..., Visit], site: str) -> None:
    seen = visit(two_walls.keep(site), (360, 640), init_script=SLOW_DISPLAY)
    seen.drawn()
    shot = seen.page.locator("[data-view] canvas").screenshot()
    # all at once: the light of that room is there already
    seen.page.evaluate(
        """() => {
          const boxes = [...document.querySelectorAll("[name=with]:not([value=steps])")];
          for (const box of boxes) box.checked = true;
          boxes[0].dispatchEvent(new Event("change", { bubbles: true }));
        }"""
    )
    seen.page.wait_for_selector("[data-notice]", state="hidden")
    seen.page.evaluate("nextFrame()")
    assert seen.page.locator("[data-view] canvas").screenshot() != shot
    asked = [url for url in seen.requests if "figure.bin" in url or "light/" in url]
    assert [url.partition("&with=")[2] for url in asked] == [""] * 2 + ["furniture&with=person&with=card"] * 2


def small_and_large(canvas: Canvas, pitch_px: float) -> tuple[Picture, Picture]:
    """A settled strip, and one four times as large brought down in light: the mean over each pixel."""
    width = round(PITCHES * pitch_px)
    small, large = canvas.settled(width, ROWS_PX), canvas.settled(4 * width, 4 * ROWS_PX)
    light = decode_srgb(large).reshape(ROWS_PX, 4, width, 4, 3).mean(axis=(1, 3))
    return small, encode_srgb(light)


def test_row_means_over_eight_pitches_equal_those_of_a_canvas_four_times_as_large(canvas: Canvas) -> None:
    small, fine = small_and_large(canvas, 3.0)
    window = 8 * 3
    starts = range(12, small.shape[1] - window - 12, 8)
    off = [
        np.abs(small[:, at : at + window].mean(axis=1) - fine[:, at : at + window].mean(axis=1)).max()
        for at in starts
    ]
    print(f"row means differ by up to {max(off) * 255:.2f} of 255")
    assert np.ptp(fine.mean(axis=(0, 2))) > 0.1, "nothing was drawn"
    assert max(off) <= 4 / 255


@pytest.mark.parametrize("pitch_px", [4.8, 6.3])
def test_gaps_narrower_than_two_pixels_are_as_dark_as_their_neighbours(
    canvas: Canvas, pitch_px: float
) -> None:
    small, fine = small_and_large(canvas, pitch_px)
    uneven, by_pixel = unevenness(small, pitch_px), unevenness(fine, pitch_px)
    print(
        f"{pitch_px} px a pitch: gaps differ by {uneven:.1f} of 255, as means over pixels by {by_pixel:.1f}"
    )
    assert by_pixel > 8, "nothing that could beat was drawn"
    # slats differ among each other, and where so few pixels show a pitch each falls on another part of it
    assert uneven <= 0.5 * by_pixel


def unevenness(picture: Picture, pitch_px: float) -> float:
    """By how much the darkest pixels of neighbouring gaps differ, of 255: 95th percentile."""
    light = 255 * picture.mean(axis=(0, 2))
    # away from the ends of the run, which lie beside other things
    edges = np.arange(6, 69) * pitch_px
    darkest = [light[int(at) : int(at + pitch_px) + 1].min() for at in edges]
    return float(np.percentile(np.abs(np.diff(darkest)), 95))
