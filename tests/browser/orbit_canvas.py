"""Settled orbit views of any size in one page of their own, read back pixel by pixel."""

import base64
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

import numpy as np
from browser_visit import NO_WEBGL
from numpy.typing import NDArray
from playwright.sync_api import Browser, Page

EMPTY = b"<svg xmlns='http://www.w3.org/2000/svg' width='3' height='2'/>"
"""An empty picture in place of the stills: nobody looks at them here."""

DRAW = """
async ([width, height, view, candidate, lighting, things]) => {
  window.withWebgl = true;
  const names = ["orbit_view", "orbit_camera", "load", "orbit_data", "container"];
  const [{ OrbitView }, { OrbitCamera }, { loadWall, fetched, withThings }, { orbitData }, { Container }] =
    await Promise.all(names.map((name) => import(`/static/js/${name}.js`)));
  const orbit = withThings(orbitData(document), things);
  const canvas = document.createElement("canvas");
  Object.assign(canvas.style, { position: "fixed", inset: "0", width: `${width}px`, height: `${height}px` });
  document.body.append(canvas);
  const camera = new OrbitCamera(orbit.space);
  const seen = orbit.views[view] ?? view;
  const flat = Math.max(1, width / height / seen.aspect);
  const half = Math.tan((seen.vertical_fov_deg * Math.PI) / 360) / flat;
  camera.look({ ...seen, aspect: seen.aspect * flat, vertical_fov_deg: (Math.atan(half) * 360) / Math.PI });
  window.walls ??= {};
  const wall = (window.walls[things] ??= await loadWall(orbit));
  const light = orbit.lightings[lighting].light;
  if (!wall.has(lighting)) wall.addLight(lighting, new Container(await fetched(light)));
  const shown = new OrbitView(canvas, wall, camera);
  shown.show(candidate, lighting);
  await new Promise((done) => shown.addEventListener("rest", done, { once: true }));
  const gl = canvas.getContext("webgl2");
  const pixels = new Uint8Array(4 * canvas.width * canvas.height);
  gl.readPixels(0, 0, canvas.width, canvas.height, gl.RGBA, gl.UNSIGNED_BYTE, pixels);
  shown.dispose();
  canvas.remove();
  let text = "";
  for (const value of pixels) text += String.fromCharCode(value);
  return [canvas.width, canvas.height, btoa(text)];
}
"""


@dataclass(frozen=True)
class Canvas:
    """A job page without a view of its own, on which views of any size are drawn one after the other."""

    page: Page

    def settled(
        self,
        width: int,
        height: int,
        *,
        view: str | Mapping[str, Any] = "front",
        candidate: int = 0,
        lighting: int = 0,
        things: Sequence[str] = (),
    ) -> NDArray[np.float64]:
        """(height, width, 3) encoded sRGB, 0..1, of the settled view on a canvas of that many pixels.

        view : the name of one, or one as the page's data holds it (static/js/types.d.ts); things : of
        ``viewer.frame.THINGS``, in their order.
        A canvas flatter than the view shows its middle strip, as wide as ever: a test machine draws slowly.
        """
        wide, high, data = self.page.evaluate(DRAW, [width, height, view, candidate, lighting, list(things)])
        assert (wide, high) == (width, height)
        pixels = np.frombuffer(base64.b64decode(data), np.uint8).reshape(high, wide, 4)
        return pixels[::-1, :, :3] / 255.0


@contextmanager
def open_canvas(browser: Browser, address: str) -> Iterator[Canvas]:
    """The canvas of a job page; what its scripts say as errors fails the test that used it."""
    page = browser.new_page(viewport={"width": 1920, "height": 700})
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.add_init_script(NO_WEBGL)
    page.route("**/still?*", lambda route: route.fulfill(body=EMPTY, content_type="image/svg+xml"))
    page.set_default_timeout(120_000)
    page.goto(address, wait_until="domcontentloaded")
    yield Canvas(page)
    page.close()
    assert faults == []
