"""How long light takes, beside references of the same run: ``PYTHONPATH=.:tests python
tests/bench/bench_light.py``.

Prints one JSON object; exits with 1 when a target is missed. Processor time of one process is counted, so
that other work on the machine weighs little; the next finish is held against one read of its layers and one
sRGB encoding of the picture, both timed here. Memory of a long wall is that of a process which solves it and
does nothing else: with a number of slats behind it, this program is that process.
"""

import json
import os
import resource
import subprocess
import sys
from fractions import Fraction

os.environ.setdefault("PYOPENGL_PLATFORM", "egl")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as in the program itself

import numpy as np
from reference.scenes import BLACK, OAK, finish
from timing import fastest

from finishes.adaptation import encode_srgb
from finishes.lamps import observer
from meshes.layout.setout import SetOut, set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Wall
from meshes.light.layers import layers
from meshes.light.presets import default_lightings
from meshes.light.relight import coefficients, picture
from meshes.light.room import Room
from meshes.light.transport import solve_lighting
from meshes.solids.scene import build
from meshes.stills.camera import camera
from meshes.stills.raster import raster

WIDTH, HEIGHT = 1600, 900


def wall(slats: int) -> SetOut:
    """Slats of 40 mm every 56 mm; a long room has its wall cut into as many."""
    width = 56 * slats - 16
    return set_out(
        wall=Wall(width_mm=Fraction(min(width, 60_000)), height_mm=Fraction(2550)),
        openings=(),
        zones=(),
        slats=Slats(
            width_mm=Fraction(40) if width <= 60_000 else Fraction(20),
            depth_mm=Fraction(20),
            gap_mm=Fraction(16) if width <= 60_000 else Fraction(10),
        ),
        panels=Panels(),
    )


def peak_mb() -> float:
    """Most memory that this process has had at once."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def solve(slats: int) -> float:
    """Processor seconds of one solve under the panels of an evening."""
    room, made = Room(), wall(slats)
    evening = default_lightings(made.wall_width, made.wall_height, room)[1]
    return fastest(1, lambda: solve_lighting((made,), room, evening))


def alone(slats: int) -> dict[str, float]:
    """Time and memory of a process that solves one wall."""
    told = subprocess.run([sys.executable, __file__, str(slats)], check=True, capture_output=True, text=True)
    solved: dict[str, float] = json.loads(told.stdout)
    return solved


def main() -> int:
    room = Room()
    # first of all: a process inherits the peak of the one that starts it
    found = alone(2000)
    made = wall(75)
    evening = default_lightings(made.wall_width, made.wall_height, room)[1]
    solved = solve_lighting((made,), room, evening)
    found["solve_75_s"] = fastest(3, lambda: solve_lighting((made,), room, evening))
    scene = build((made,), room)
    samples = raster(scene, camera("front", scene, WIDTH / HEIGHT), WIDTH, HEIGHT)
    mask = np.full(len(samples), 0.4, np.float32)
    found["samples"] = len(samples)
    found["layers_1600x900_s"] = fastest(3, lambda: layers(samples, solved, mask))
    seen = layers(samples, solved, mask)
    reflectance, spd = finish(OAK, BLACK), np.ones((len(solved.reduced), 41))
    seeing = observer()

    def next_finish() -> np.ndarray:
        weights = coefficients(seen, solved, reflectance, spd, seeing)
        linear = picture(seen, weights)
        return (encode_srgb(linear / 100) * 255 + 0.5).astype(np.uint8)

    linear = picture(seen, coefficients(seen, solved, reflectance, spd, seeing)) / 100
    found["layer_bytes"] = sum(block.values.nbytes + block.pixels.nbytes for block in seen.blocks)
    found["next_finish_s"] = fastest(5, next_finish)
    found["read_layers_s"] = fastest(5, lambda: [float(block.values.sum()) for block in seen.blocks])
    found["encode_s"] = fastest(5, lambda: (encode_srgb(linear) * 255 + 0.5).astype(np.uint8))
    found["next_finish_over_references"] = found["next_finish_s"] / (
        found["read_layers_s"] + found["encode_s"]
    )
    found["peak_mb"] = peak_mb()
    found["error_bar"] = solved.worst_residual
    print(json.dumps({name: round(value, 5) for name, value in found.items()}, indent=1))
    kept = (
        found["solve_75_s"] + found["layers_1600x900_s"] <= 2.0
        and found["solve_2000_s"] <= found["solve_75_s"] * 2000 / 75
        and found["peak_2000_mb"] <= 600
        and found["next_finish_over_references"] <= 4.0
        and found["peak_mb"] <= 600
    )
    return 0 if kept else 1


if __name__ == "__main__":
    if len(sys.argv) > 1:
        slats = int(sys.argv[1])
        print(json.dumps({f"solve_{slats}_s": solve(slats), f"peak_{slats}_mb": peak_mb()}))
        sys.exit()
    sys.exit(main())
