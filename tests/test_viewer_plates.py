"""The colour of plates in pictures."""

import numpy as np
import pytest

from finishes.cielab import lab
from finishes.lamps import lamp
from viewer.answers.set_out import set_outs_of
from viewer.job.check import check_job
from viewer.plates import plate_reflectance

SOCKET = {"kind": "socket", "bottom_mm": 300, "width_mm": 86, "height_mm": 86}
JOB = {
    "name": "Invented niche",
    "wall": {"width_mm": 900, "height_mm": 1200},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 20},
}


def test_a_plate_has_the_colour_that_was_measured() -> None:
    job = check_job({**JOB, "openings": [{**SOCKET, "left_mm": 300, "plate_lab_d65": [30, 2, 3]}]}).job
    assert job is not None
    usual = np.full(41, 0.9)
    shown = plate_reflectance(set_outs_of(job), usual, None)
    daylight = lamp("D65").weights
    assert lab(shown @ daylight, daylight.sum(axis=0)) == pytest.approx([30, 2, 3], abs=1e-3)


def test_a_plate_without_a_word_is_the_usual_one_and_two_are_shown_in_their_mean() -> None:
    two = [{**SOCKET, "left_mm": 100}, {**SOCKET, "left_mm": 500, "plate_lab_d65": [30, 0, 0]}]
    job = check_job({**JOB, "openings": two}).job
    assert job is not None
    usual, dark = np.full(41, 0.9), check_job({**JOB, "openings": two[1:]}).job
    assert dark is not None
    other = plate_reflectance(set_outs_of(dark), usual, None)
    assert plate_reflectance(set_outs_of(job), usual, None) == pytest.approx((usual + other) / 2)


def test_a_colour_that_no_surface_has_is_a_problem_of_its_opening() -> None:
    impossible = {**SOCKET, "left_mm": 500, "plate_lab_d65": [50, 140, -140]}
    result = check_job({**JOB, "openings": [{**SOCKET, "left_mm": 100}, impossible]})
    assert result.problems == (
        (
            "openings[1].plate_lab_d65",
            "no matt surface has this colour; expected L*, a*, b* of a real one",
        ),
    )
