"""Lamps of a job as light: lumens, dimming, and several lamps together."""

import numpy as np
import pytest

from finishes.cielab import lab
from finishes.lamps import lamp
from meshes.light.lamps import Lamp, Lighting
from meshes.light.site import lamp_luminance
from viewer.catalogue import catalogue_of
from viewer.cli import invoke
from viewer.demo import JOB_FILE
from viewer.job.check import check_job
from viewer.light import lamp_spds, light_of, light_together, mixed_weights

CATALOGUE = catalogue_of(())


def one(spectrum: str, dimmed_to: float = 1, lumens: float = 1000, name: str = "panel") -> Lamp:
    return Lamp(
        name=name,
        centre_mm=(1000, 2390, 1200),
        size_mm=(600, 600),
        faces="down",
        lumens=lumens,
        spectrum=spectrum,
        dimmed_to=dimmed_to,
    )


def test_a_dimmed_lamp_shows_its_share_of_the_luminance() -> None:
    assert lamp_luminance(one("D65", 0.25)) == pytest.approx(0.25 * lamp_luminance(one("D65")), rel=1e-12)


def test_an_led_keeps_its_colour_and_a_filament_grows_warmer() -> None:
    full, low = (light_of(one("3000 K LED, CRI 80", share), CATALOGUE).weights for share in (1, 0.1))
    assert (full == low).all()
    # Planck's law: less blue for each unit of luminance as the filament cools
    blue = [light_of(one("filament lamp", share), CATALOGUE).white_xyz[2] for share in (1, 0.5, 0.1, 0.001)]
    assert blue == sorted(blue, reverse=True)
    # CIE A at full light (CIE 15: X 109.85, Z 35.58 for Y 100)
    assert light_of(one("filament lamp"), CATALOGUE).white_xyz == pytest.approx([1.0985, 1, 0.3558], abs=2e-3)


def test_lamps_are_mixed_by_what_they_give_as_dimmed() -> None:
    lighting = Lighting(
        name="evening", lamps=(one("LED-B1", 0.25, 4000), one("LED-B5", lumens=1000, name="b"))
    )
    half = (lamp("LED-B1").weights + lamp("LED-B5").weights) / 2
    assert mixed_weights(lighting, CATALOGUE) == pytest.approx(half, abs=1e-12)
    together = light_together(lighting, CATALOGUE)
    assert together.name == "evening"
    assert together.white_xyz[1] == pytest.approx(1, abs=1e-12)
    assert lamp_spds(lighting, CATALOGUE).shape == (2, 41)


def test_a_white_wall_stays_white_to_an_eye_adapted_to_a_dimmed_filament() -> None:
    weights = mixed_weights(Lighting(name="low", lamps=(one("filament lamp", 0.2),)), CATALOGUE)
    white = lab(np.full(41, 0.9) @ weights, weights.sum(axis=0))
    assert white[1:] == pytest.approx([0, 0], abs=1e-9)


@pytest.mark.parametrize("bad", [0, -0.5, 1.01, "half", True])
def test_a_share_that_no_dimmer_has_is_refused_with_its_place(bad: object) -> None:
    job = {
        "name": "n",
        "wall": {"width_mm": 2000, "height_mm": 2400},
        "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
        "lightings": [{"name": "evening", "lamps": [{**one("D65").model_dump(), "dimmed_to": bad}]}],
    }
    ((path, message),) = check_job(job).problems
    assert path == "lightings[0].lamps[0].dimmed_to"
    assert "a number from 0.001 to 1" in message


@pytest.mark.parametrize(
    "other", [["--plain", "-o", "x.png"], ["-o", "x.npy"], ["--reference", "-o", "x.png"]]
)
def test_the_evening_feel_is_for_people_only(other: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert invoke(["still", str(JOB_FILE), "--evening-feel", *other]) == 2
    assert "--evening-feel" in capsys.readouterr().err
