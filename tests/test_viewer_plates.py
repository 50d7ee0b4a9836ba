"""The colour of plates in pictures."""

import numpy as np
import pytest

from finishes.cielab import lab
from finishes.lamps import lamp
from viewer.answers.set_out import set_outs_of
from viewer.catalogue import catalogue_of
from viewer.frame import Frame
from viewer.job.check import check_job
from viewer.job.choices import lightings
from viewer.picture import Studio
from viewer.plates import plate_spectra

SOCKET = {"kind": "socket", "bottom_mm": 300, "width_mm": 86, "height_mm": 86}
JOB = {
    "name": "Invented niche",
    "wall": {"width_mm": 900, "height_mm": 1200},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 20},
}


TWO = [
    {**SOCKET, "left_mm": 100},
    {**SOCKET, "left_mm": 500, "plate_lab_d65": [30, 0, 0]},
    {**SOCKET, "left_mm": 700, "plate_lab_d65": [50, 50, 30]},
]


def test_a_plate_has_the_colour_that_was_measured() -> None:
    job = check_job({**JOB, "openings": TWO}).job
    assert job is not None
    daylight = lamp("D65").weights
    shown = [lab(one @ daylight, daylight.sum(axis=0)) for one in plate_spectra(set_outs_of(job), None)]
    assert shown == [pytest.approx([30, 0, 0], abs=1e-3), pytest.approx([50, 50, 30], abs=1e-3)]


@pytest.mark.gl
def test_each_plate_is_drawn_in_its_own_colour() -> None:
    job = check_job({**JOB, "openings": TWO}).job
    assert job is not None
    studio = Studio(job, catalogue_of(()))
    day = lightings(job)[0]
    frame = Frame(view="front", width=180, height=240)
    xyz = studio.xyz(frame, day, job.finish)
    samples = studio.samples(frame)
    shown = {}
    for number in range(3):
        part = [part.name for part in studio.scene.parts].index(f"plate/{number}")
        inside = samples.filtered((samples.part == part).astype(np.float32)) > 0.999
        shown[number] = xyz[inside].mean(axis=0)
    white, dark, red = (shown[number] / shown[0][1] for number in range(3))
    assert dark[1] < 0.15 * white[1]  # L* 30 is Y 6.2 %, and white is seven tenths or more
    assert red[0] > 1.3 * red[1]  # a* 50: X well above Y
    assert abs(dark[0] - dark[1]) < 0.1 * dark[1]


def test_a_colour_that_no_surface_has_is_a_problem_of_its_opening() -> None:
    impossible = {**SOCKET, "left_mm": 500, "plate_lab_d65": [50, 140, -140]}
    result = check_job({**JOB, "openings": [{**SOCKET, "left_mm": 100}, impossible]})
    assert result.problems == (
        (
            "openings[1].plate_lab_d65",
            "no matt surface has this colour; expected L*, a*, b* of a real one",
        ),
    )
