"""How long the next finish and a board take: ``python tests/bench/bench_pictures.py``.

Prints one JSON object; exits with 1 when a target is missed. The next finish is measured beside one read of
its layers and one sRGB encoding in the same run; the board is counted in seconds, of the clock and of the
processors, in rasters and in light solves.
"""

import json
import os
import sys
import time
from collections.abc import Callable
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as in the program itself

import numpy as np

from finishes.adaptation import encode_srgb
from viewer import picture
from viewer.board import board_image
from viewer.catalogue import catalogue_of
from viewer.demo import demo_bytes
from viewer.figure import figure_of
from viewer.frame import Frame
from viewer.job.check import check_text
from viewer.job.choices import lightings
from viewer.job.model import Job
from viewer.picture import Studio
from viewer.still_file import image_bytes

NEXT_FINISH_WITHIN = 4.0
"""Times one read of the layers and one sRGB encoding."""
CACHED_WITHIN_S, COLD_WITHIN_S = 2.5, 8.0
"""Board of 12 finishes under 4 lightings, 1280 x 720 each, as a JPEG file."""


def seconds(call: Callable[[], object]) -> float:
    """Seconds that one call takes."""
    begun = time.perf_counter()
    call()
    return time.perf_counter() - begun


def demo_job() -> Job:
    """The built-in job."""
    job = check_text(demo_bytes()).job
    assert job is not None
    return job


def next_finish() -> dict[str, float]:
    """Another finish at 1600 x 900 with its layers in memory, down to 8 bits."""
    job = demo_job()
    studio = Studio(job, catalogue_of(()))
    frame, lighting = Frame(view="front", width=1600, height=900), lightings(job)[0]
    exposure = studio.exposure(lighting)
    finish = job.finish
    xyz = studio.xyz(frame, lighting, finish)
    layers = studio.layers(frame, lighting, figure_of(finish, studio.catalogue))
    others = [finish.model_copy(update={"stain": stain}) for stain in studio.catalogue.stain]

    def shown(number: int) -> None:
        studio.shown(frame, lighting, others[number % len(others)], exposure)

    def encoded() -> None:
        np.rint(255 * encode_srgb(np.asarray(xyz / exposure.white_cd_m2))).astype(np.uint8)

    def read() -> None:
        for block in layers.blocks:
            block.values.sum()

    finish_s = min(seconds(lambda n=n: shown(n)) for n in range(7))  # type: ignore[misc]
    reference_s = min(seconds(read) for _ in range(7)) + min(seconds(encoded) for _ in range(7))
    return {"next_finish_s": finish_s, "reference_s": reference_s, "ratio": finish_s / reference_s}


def board() -> dict[str, Any]:
    """Twelve finishes under four lightings, cold and then from cached layers."""
    job = demo_job()
    studio_job = job.model_copy(
        update={
            "finishes": tuple(
                job.finish.model_copy(update={"name": stain, "stain": stain})
                for stain in list(catalogue_of(()).stain)[:12]
            ),
            "lightings": tuple(
                replaced
                for lighting in lightings(job)
                for replaced in (
                    lighting,
                    lighting.model_copy(
                        update={"name": f"{lighting.name}, dimmed", "lamps": _dimmed(lighting)}
                    ),
                )
            ),
        }
    )
    studio = Studio(studio_job, catalogue_of(()))
    frame = Frame(view="front", width=1280, height=720)
    made = {"raster": 0, "solve_lighting": 0}
    plain = {name: getattr(picture, name) for name in made}

    def counting(name: str) -> Callable[..., Any]:
        def counted(*given: Any) -> Any:
            made[name] += 1
            return plain[name](*given)

        return counted

    for name in made:
        setattr(picture, name, counting(name))

    def whole() -> None:
        image, words = board_image(studio, studio_job, frame)
        image_bytes(image, ".jpg", words)

    begun = time.process_time()
    cold_s = seconds(whole)
    cold_cpu_s = time.process_time() - begun
    rasters, solves = made["raster"], made["solve_lighting"]
    begun = time.process_time()
    cached_s = min(seconds(whole) for _ in range(2))
    cached_cpu_s = (time.process_time() - begun) / 2
    for name, work in plain.items():
        setattr(picture, name, work)
    return {
        "cold_s": cold_s,
        "cold_cpu_s": cold_cpu_s,
        "cached_s": cached_s,
        "cached_cpu_s": cached_cpu_s,
        "rasters": rasters,
        "solves": solves,
        "rasters_when_cached": made["raster"] - rasters,
    }


def _dimmed(lighting: Any) -> Any:
    return tuple(lamp.model_copy(update={"lumens": lamp.lumens / 3}) for lamp in lighting.lamps)


def main() -> int:
    """Measure, print, and say by the exit code whether every target was met."""
    found = {"next_finish": next_finish(), "board": board()}
    met = {
        "next_finish": found["next_finish"]["ratio"] <= NEXT_FINISH_WITHIN,
        "board_cached": found["board"]["cached_s"] <= CACHED_WITHIN_S,
        "board_cold": found["board"]["cold_s"] <= COLD_WITHIN_S,
        "one_raster": found["board"]["rasters"] == 1,
        "four_solves": found["board"]["solves"] == 4,
    }
    print(json.dumps({**found, "met": met}, indent=2))
    return 0 if all(met.values()) else 1


if __name__ == "__main__":
    sys.exit(main())
