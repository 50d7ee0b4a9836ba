"""From an off-cut's colour to a spectrum, to what is kept of it, and to the finish that it makes Measured."""

from dataclasses import fields
from pathlib import Path

import numpy as np
import pytest
from looks import daylight
from measured_jobs import AN_OFF_CUT
from photographs import CHART, FINISHES, OFF_CUT, png, scene
from pydantic import ValidationError

from finishes.appearance import appearance, entry_of
from finishes.catalogue import Catalogue, load
from finishes.chart_fit import RefusedError
from finishes.choice import Finish, OffCut
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.lamps import lamp
from finishes.measured import edit_to_xyz, entry_toml, measured, with_sample
from finishes.photo import read_photo
from finishes.sample import Reading, Shot, read_shots


@pytest.fixture(scope="module")
def honey(catalogue: Catalogue) -> Finish:
    """A finish with its off-cut in it: the model's colour, a tenth darker, read from a photograph."""
    finish = Finish(timber="Scots pine", stain="honey", coats=2, topcoat="oil")
    truth = appearance(finish, catalogue).seen() * 0.9
    reading = read_shots([Shot(photo=read_photo(png(scene(truth))), off_cut=OFF_CUT, chart=CHART)], catalogue)
    off_cut = measured(
        'off-cut "3"', reading, finish, catalogue, date="2026-11-20", lamp_name="4000 K LED, CRI 80"
    )
    assert ciede2000(daylight(np.array(off_cut.reflectance)), reading.lab_d65) < 0.01
    assert off_cut.uncertainty_de == pytest.approx(reading.uncertainty_de, abs=1e-3)
    return finish.model_copy(update={"off_cut": off_cut})


def test_an_off_cut_makes_its_finish_measured_and_no_other(catalogue: Catalogue, honey: Finish) -> None:
    assert honey.off_cut is not None
    shown = appearance(honey, catalogue)
    assert shown.state == "Measured"
    assert shown.uncertainty_de == honey.off_cut.uncertainty_de
    assert shown.seen() == pytest.approx(honey.off_cut.reflectance, abs=1e-9)
    share = shown.late_share
    for surface, (early, late) in shown.zones.items():
        assert shown.reflectance[surface] == pytest.approx((1 - share) * early + share * late, abs=1e-12)

    other = appearance(honey.model_copy(update={"coats": 1}), catalogue)
    assert other.state == "Indicative"
    assert "made otherwise (coats 2, not 1)" in " ".join(other.warnings)
    model = appearance(honey.model_copy(update={"coats": 1, "off_cut": None}), catalogue)
    assert (other.seen() == model.seen()).all()


def test_an_off_cut_survives_a_job_file_and_a_catalogue_file(
    catalogue: Catalogue, honey: Finish, tmp_path: Path
) -> None:
    assert Finish.model_validate_json(honey.model_dump_json(), strict=True) == honey
    assert honey.off_cut is not None
    (tmp_path / "own.toml").write_text(entry_toml(honey.off_cut), encoding="utf-8")
    kept = load([tmp_path]).sample['off-cut "3"']
    expected = entry_of(honey.off_cut)
    assert kept.reflectance.values == pytest.approx(expected.reflectance.values, abs=1e-9)
    told = [field.name for field in fields(kept) if field.name != "reflectance"]
    assert [getattr(kept, name) for name in told] == [getattr(expected, name) for name in told]
    named = honey.model_copy(update={"off_cut": None, "sample": kept.name})
    assert (appearance(named, load([tmp_path])).seen() == appearance(honey, catalogue).seen()).all()


def test_a_catalogue_file_keeps_what_stood_there(honey: Finish) -> None:
    assert honey.off_cut is not None
    text = "# ours\n[sources]\nbench = 'read at the bench'\n"
    longer = with_sample(text, honey.off_cut)
    assert longer.startswith(text)
    both = with_sample(longer, honey.off_cut.model_copy(update={"name": "4"}))
    assert both.count("[[sample]]") == 2
    with pytest.raises(ValueError, match="holds a sample 'off-cut \"3\"' already"):
        with_sample(both, honey.off_cut)
    with pytest.raises(ValueError, match="is not TOML"):
        with_sample("[[", honey.off_cut)


@pytest.mark.parametrize(
    ("changed", "place"),
    [
        ({"reflectance": [0.4] * 40}, "reflectance"),
        ({"reflectance": [0.4] * 40 + [1.2]}, "reflectance"),
        ({"reflectance": [0.4] * 40 + [float("nan")]}, "reflectance"),
        ({"date": "2026-02-30"}, "date"),
        ({"date": "20261120"}, "date"),
        ({"coats": -1}, "coats"),
        ({"uncertainty_de": -1}, "uncertainty_de"),
        ({"name": ""}, "name"),
        ({"colour": "brown"}, "colour"),
    ],
)
def test_a_wrong_off_cut_is_refused_by_its_field(changed: dict[str, object], place: str) -> None:
    OffCut.model_validate(AN_OFF_CUT)
    with pytest.raises(ValidationError) as refused:
        OffCut.model_validate({**AN_OFF_CUT, **changed})
    assert {error["loc"][0] for error in refused.value.errors()} == {place}


def test_a_finish_has_one_measured_colour() -> None:
    with pytest.raises(ValidationError, match="gives sample and off_cut"):
        Finish.model_validate({"sample": "3", "off_cut": AN_OFF_CUT})


def test_the_model_is_moved_to_the_measured_colour_exactly(catalogue: Catalogue) -> None:
    weights = lamp("D65").weights
    model = appearance(FINISHES[1], catalogue).seen()
    for factor in ((1.0, 1.0, 1.0), (0.8, 0.8, 0.8), (1.1, 1.1, 0.9)):
        goal = model @ weights * np.array(factor)
        moved = edit_to_xyz(model, goal, catalogue)
        assert moved @ weights == pytest.approx(goal, rel=1e-8)
        assert ((moved > 0) & (moved < 1)).all()
    assert edit_to_xyz(model, model @ weights, catalogue) == pytest.approx(model, abs=1e-9)


def test_the_moved_spectrum_holds_under_another_lamp(catalogue: Catalogue) -> None:
    # one finish moved to the daylight colour of a stronger coat of the same, then seen under LED-B1
    model = appearance(
        Finish(timber="European oak", stain="walnut", coats=1, topcoat="oil"), catalogue
    ).seen()
    truth = appearance(
        Finish(timber="European oak", stain="walnut", coats=3, topcoat="oil"), catalogue
    ).seen()
    moved = edit_to_xyz(model, truth @ lamp("D65").weights, catalogue)
    light = lamp("LED-B1")
    labs = [lab(spectrum @ light.weights, light.white_xyz) for spectrum in (moved, truth)]
    assert ciede2000(*labs) < 0.5


def test_a_colour_the_model_cannot_reach_is_refused(catalogue: Catalogue) -> None:
    reading = Reading(
        xyz_d65=np.array([0.1, 0.5, 0.9]),
        lab_d65=np.zeros(3),
        uncertainty_de=1.0,
        rough=False,
        words="a test",
    )
    with pytest.raises(RefusedError, match="No spectrum like the model's"):
        measured("x", reading, FINISHES[0], catalogue, date="2026-11-20", lamp_name="daylight window")


def test_the_finish_own_sample_is_passed_over_when_measured_again(catalogue: Catalogue) -> None:
    finish = FINISHES[0]
    model = appearance(finish, catalogue).seen()
    reading = Reading(
        xyz_d65=model @ lamp("D65").weights * 0.9,
        lab_d65=np.zeros(3),
        uncertainty_de=2.0,
        rough=False,
        words="photograph beside a chart",
    )
    first = measured("a", reading, finish, catalogue, date="2026-11-20", lamp_name="daylight window")
    again = measured(
        "a",
        reading,
        finish.model_copy(update={"off_cut": first}),
        catalogue,
        date="2026-11-21",
        lamp_name="daylight window",
    )
    assert again.reflectance == first.reflectance
