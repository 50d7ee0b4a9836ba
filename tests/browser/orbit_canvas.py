"""A settled orbit view of any size in a page of its own, read back pixel by pixel."""

import base64

import numpy as np
from browser_visit import Visit
from numpy.typing import NDArray

DRAW = """
async ([width, height, view, candidate, lighting]) => {
  window.withWebgl = true;
  const names = ["orbit_view", "orbit_camera", "load", "orbit_data", "container"];
  const [{ OrbitView }, { OrbitCamera }, { loadWall, fetched }, { orbitData }, { Container }] =
    await Promise.all(names.map((name) => import(`/static/js/${name}.js`)));
  const orbit = orbitData(document);
  const canvas = document.createElement("canvas");
  Object.assign(canvas.style, { position: "fixed", inset: "0", width: `${width}px`, height: `${height}px` });
  document.body.append(canvas);
  const camera = new OrbitCamera(orbit.space);
  camera.look(orbit.views[view]);
  const wall = await loadWall(orbit);
  wall.addLight(lighting, new Container(await fetched(orbit.lightings[lighting].light)));
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


def settled(
    visit: Visit, width: int, height: int, *, view: str = "front", candidate: int = 0, lighting: int = 0
) -> NDArray[np.float64]:
    """(height, width, 3) encoded sRGB, 0..1, of the settled view on a canvas of that many pixels."""
    wide, high, data = visit.page.evaluate(DRAW, [width, height, view, candidate, lighting])
    assert (wide, high) == (width, height)
    pixels = np.frombuffer(base64.b64decode(data), np.uint8).reshape(high, wide, 4)
    return pixels[::-1, :, :3] / 255.0
