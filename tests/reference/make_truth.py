"""Traces every scene and writes tests/data/light-truth.npz: block means and the scene's hash.

    PYTHONPATH=.:tests python tests/reference/make_truth.py --samples 512 [scene ...]

512 paths a pixel take a few minutes a scene on two cores; the committed file has 16,384 (a graphics card's
work). Scenes that are not named keep what the file holds.
"""

import argparse
import sys
import time
from pathlib import Path

import numpy as np

from reference.blocks import block_means
from reference.scenes import CASES
from reference.traced import traced

TRUTH = Path(__file__).resolve().parent.parent / "data" / "light-truth.npz"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--samples", type=int, default=512)
    parser.add_argument("scene", nargs="*", choices=[[], *CASES], default=[])
    given = parser.parse_args()
    kept = dict(np.load(TRUTH)) if TRUTH.exists() else {}
    for name in given.scene or CASES:
        case = CASES[name]()
        start = time.monotonic()
        xyz = traced(case, given.samples)
        kept[name] = block_means(xyz)
        kept[f"{name}|scene"] = np.array(case.digest())
        sys.stderr.write(f"{name}: {time.monotonic() - start:.0f} s\n")
        np.savez_compressed(TRUTH, **kept)


if __name__ == "__main__":
    main()
