"""No moiré: at three pixels a pitch the settled view equals a canvas four times as large."""

from collections.abc import Callable

import numpy as np
import pytest
from browser_visit import NO_WEBGL, Visit
from orbit_canvas import settled

from finishes.adaptation import decode_srgb, encode_srgb

pytestmark = pytest.mark.browser

WINDOW_PX = 24
"""Eight pitches of three pixels."""


def test_row_means_over_eight_pitches_equal_those_of_a_canvas_four_times_as_large(
    visit: Callable[..., Visit],
) -> None:
    # the page's own view stays still: this one is drawn beside it
    seen = visit("/jobs/demo/", (1000, 700), init_script=NO_WEBGL)
    # the front view shows about 4.4 m at this shape: 72 pitches of 58.2 mm come to three pixels each
    width, height = 228, 152
    small, large = settled(seen, width, height), settled(seen, 4 * width, 4 * height)
    # the larger canvas is brought down in light, as the eye and the smaller canvas do
    fine = encode_srgb(decode_srgb(large).reshape(height, 4, width, 4, 3).mean(axis=(1, 3)))
    starts = range(12, width - WINDOW_PX - 12, 8)
    off = [
        np.abs(small[:, at : at + WINDOW_PX].mean(axis=1) - fine[:, at : at + WINDOW_PX].mean(axis=1)).max()
        for at in starts
    ]
    assert np.ptp(fine[:, width // 2]) > 0.2, "nothing was drawn"
    assert max(off) <= 4 / 255, f"{max(off) * 255:.2f} of 255"
