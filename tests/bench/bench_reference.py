"""What a path tracer needs to come as near to the truth as our pictures: ``PYTHONPATH=.:tests python
tests/bench/bench_reference.py [scene ...]``.

The truth is the committed one of 16,384 paths a pixel. Each scene is traced with twice the paths again and
again until its mean difference over blocks (CIEDE2000) is that of our picture; both times are of one
processor, ours for solve, raster, layers and finish. Prints one JSON object a scene; needs mitsuba.
"""

import argparse
import json
import os
import sys
from pathlib import Path
from time import process_time

os.environ.setdefault("PYOPENGL_PLATFORM", "egl")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
from reference.blocks import Ours, block_means, difference, ours
from reference.scenes import CASES, HEIGHT, WIDTH
from reference.traced import traced

from meshes.stills.reference import ReferenceMissingError

TRUTH = Path(__file__).resolve().parent.parent / "data" / "light-truth.npz"
USUAL = ("panel, oak on black, front", "deep and white, panel, close")
MOST_PATHS = 512


def paths_wanted(name: str, found: Ours, truth: np.ndarray, wanted: float) -> dict[str, float]:
    """Paths and processor seconds after which the tracer is as near; the last try where it never is."""
    case = CASES[name]()
    total, paths, seconds, mean = np.zeros((HEIGHT, WIDTH, 3)), 0, 0.0, np.inf
    step = 16
    while mean > wanted and paths < MOST_PATHS:
        begun = process_time()
        xyz = traced(case, step, seed=paths + 1)
        seconds += process_time() - begun
        total += step * xyz
        paths += step
        step = paths
        near = Ours(
            blocks=block_means((total / paths).astype(np.float32)),
            run=found.run,
            white=found.white,
            transport=found.transport,
        )
        mean = difference(near, truth, np.ones_like(found.run, dtype=bool)).mean
    return {"paths": paths, "seconds": round(seconds, 1), "mean": round(mean, 3)}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("scene", nargs="*", choices=[[], *CASES], default=[])
    for name in parser.parse_args().scene or USUAL:
        with np.load(TRUTH) as file:
            truth = file[name]
        begun = process_time()
        found = ours(CASES[name]())
        seconds = process_time() - begun
        own = difference(found, truth, np.ones_like(found.run, dtype=bool)).mean
        try:
            theirs = paths_wanted(name, found, truth, own)
        except ReferenceMissingError as missing:
            sys.stderr.write(f"{missing}\n")
            return 1
        mine = {"seconds": round(seconds, 2), "mean": round(own, 3)}
        print(json.dumps({"scene": name, "ours": mine, "path tracer": theirs}), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
