"""No moiré: at three pixels a pitch the settled view equals a canvas four times as large."""

from collections.abc import Callable

import numpy as np
import pytest
from browser_visit import Visit
from numpy.typing import NDArray

from finishes.adaptation import decode_srgb, encode_srgb

pytestmark = pytest.mark.browser

DRAW = """
async ([width, height]) => {
  const [{ OrbitView }, { OrbitCamera }, { readWall }, { orbitData }] = await Promise.all([
    import("/static/js/orbit_view.js"), import("/static/js/orbit_camera.js"),
    import("/static/js/glb_reader.js"), import("/static/js/orbit_data.js")]);
  const orbit = orbitData(document);
  const wall = readWall(await (await fetch(orbit.mesh)).arrayBuffer());
  const canvas = document.createElement("canvas");
  Object.assign(canvas.style, { position: "fixed", inset: "0", width: `${width}px`, height: `${height}px` });
  document.body.append(canvas);
  const camera = new OrbitCamera(orbit.space);
  camera.look(orbit.views.front);
  const view = new OrbitView(canvas, orbit, camera, wall);
  view.show(0, 0);
  await new Promise((done) => view.addEventListener("rest", done, { once: true }));
  const gl = canvas.getContext("webgl2");
  const pixels = new Uint8Array(4 * canvas.width * canvas.height);
  gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
  view.dispose();
  canvas.remove();
  let text = "";
  for (const value of pixels) text += String.fromCharCode(value);
  return [canvas.width, canvas.height, btoa(text)];
}
"""


def drawn(visit: Visit, width: int, height: int) -> NDArray[np.float64]:
    """(h, w, 3) encoded sRGB, 0..1, of the settled front view."""
    import base64

    wide, high, data = visit.page.evaluate(DRAW, [width, height])
    assert (wide, high) == (width, height)
    pixels = np.frombuffer(base64.b64decode(data), np.uint8).reshape(high, wide, 4)[::-1, :, :3]
    return pixels / 255.0


def test_row_means_over_eight_pitches_equal_those_of_a_canvas_four_times_as_large(
    visit: Callable[..., Visit],
) -> None:
    seen = visit("/jobs/demo/", (1000, 700))
    seen.rest()
    # the front view shows about 4.4 m at this shape: 72 pitches of 58.2 mm come to three pixels each
    width, height = 228, 152
    small, large = drawn(seen, width, height), drawn(seen, 4 * width, 4 * height)
    # the larger canvas is brought down in light, as the eye and the smaller canvas do
    blocks = decode_srgb(large).reshape(height, 4, width, 4, 3).mean(axis=(1, 3))
    fine = encode_srgb(blocks)
    window = 24
    means = [
        picture[:, start : start + window].mean(axis=1)
        for picture in (small, fine)
        for start in range(12, width - window - 12, 8)
    ]
    half = len(means) // 2
    worst = max(float(np.abs(a - b).max()) for a, b in zip(means[:half], means[half:], strict=True))
    assert np.ptp(fine[:, width // 2]) > 0.2, "nothing was drawn"
    assert worst <= 4 / 255, f"{worst * 255:.2f} of 255"
