"""Lightings: presets, lamps by numbers, what is refused; the drawing stands where the numbers say."""

import re
from collections.abc import Mapping
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import token

from finishes.catalogue import Catalogue
from meshes.light.lamps import Lighting
from viewer.demo import demo_bytes
from viewer.job.check import check_text
from viewer.lighting_presets import presets
from viewer.services import KEY

PAGE = "/jobs/demo/lightings"
LAMP = "lightings[0].lamps[0]"
CHECKED = re.compile(r'name="wall" value="(\d)" checked')


def put(client: FlaskClient, page: str = PAGE, **fields: str) -> Any:
    return client.post(page, data={**fields, "form_token": token(client, page)})


def kept(app: Flask) -> dict[str, Any]:
    (job,) = app.extensions[KEY].store.jobs.page()
    return dict(job.document)


def test_a_lamp_is_moved_turned_and_dimmed_by_numbers(app: Flask, client: FlaskClient) -> None:
    fields = {f"{LAMP}.centre_mm[1]": "4'", f"{LAMP}.dimmed_to": "0,25", f"{LAMP}.spectrum": "filament lamp"}
    assert put(client, at="0", do="save", **fields).status_code == 302
    lamp = kept(app)["lightings"][0]["lamps"][0]
    assert lamp["centre_mm"][1] == 1219.2  # four feet of 304.8 mm
    assert (lamp["dimmed_to"], lamp["spectrum"]) == (0.25, "filament lamp")


def test_the_drawing_shows_each_lamp_where_its_numbers_say(client: FlaskClient) -> None:
    page = client.get(PAGE + "?at=1").text
    numbers = [
        float(re.findall(rf'name="lightings\[1\]\.lamps\[0\]\.centre_mm\[{k}\]" value="([^"]+)"', page)[0])
        for k in range(3)
    ]
    plan, section = re.findall(r'lamps\[0\]\.centre_mm" transform="translate\(([-\d.]+) ([-\d.]+)\)"', page)
    assert [float(one) for one in plan] == [numbers[0], numbers[2]]
    assert [float(one) for one in section] == [numbers[2], -numbers[1]], "up is minus in a drawing"


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        (f"{LAMP}.lumens", "bright", "expected a number above 0"),
        (f"{LAMP}.lumens", "", "missing"),
        (f"{LAMP}.dimmed_to", "2", "expected a number from 0.001 to 1"),
        (f"{LAMP}.centre_mm[2]", "99000", "expected"),
    ],
)
def test_what_cannot_be_stands_at_its_field_and_nothing_is_kept(
    app: Flask, client: FlaskClient, field: str, typed: str, words: str
) -> None:
    answer = put(client, at="0", do="save", **{field: typed})
    assert answer.status_code == 422
    assert words in answer.text
    assert app.extensions[KEY].store.jobs.page() == ()


def test_lightings_and_lamps_come_and_go(app: Flask, client: FlaskClient) -> None:
    answer = put(client, at="0", do="preset evening")
    page = answer.headers["Location"]
    assert page.endswith("at=2")
    assert [one["name"] for one in kept(app)["lightings"]] == ["day", "evening", "evening 2"]
    put(client, page, at="2", do="lamp")
    put(client, page, at="2", do="take 0")
    assert len(kept(app)["lightings"][2]["lamps"]) == len(presets_of()["evening"][1].lamps)
    put(client, page, at="2", do="away")
    assert [one["name"] for one in kept(app)["lightings"]] == ["day", "evening"]


def test_a_lamp_more_gets_a_name_that_no_other_has(app: Flask, client: FlaskClient) -> None:
    page = put(client, at="1", do="lamp").headers["Location"]  # the built-in job became one of its own
    for do in ("take 0", "lamp"):
        assert put(client, page, at="1", do=do).status_code == 302, do
    names = [lamp["name"] for lamp in kept(app)["lightings"][1]["lamps"]]
    assert names == ["strip along the ceiling", "lamp 3", "lamp 4"]


def presets_of() -> Mapping[str, tuple[str, Lighting]]:
    job = check_text(demo_bytes()).job
    assert job is not None
    return presets(job)


def test_every_preset_is_of_lamps_that_the_catalogue_has_and_fits_the_room(
    client: FlaskClient, catalogue: Catalogue
) -> None:
    for key, (_words, lighting) in presets_of().items():
        assert {lamp.spectrum for lamp in lighting.lamps} <= set(catalogue.lamp), key
        assert put(client, at="0", do=f"preset {key}").status_code == 302, key


def round_corners(client: FlaskClient, *turns: str) -> str:
    """The page of a kept job of walls each 1500 mm wide."""
    wall = {"width_mm": 1500, "height_mm": 2400}
    job = {
        "name": "Niche",
        "wall": wall,
        "next_walls": [{"turns": turn, "wall": wall} for turn in turns],
        "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
    }
    answer = client.post("/api/jobs", json=job)
    assert answer.json is not None
    return f"/jobs/{answer.json['id']}/lightings"


def test_walls_round_a_corner_have_a_section_and_a_picture_each(client: FlaskClient) -> None:
    """The one that is chosen stays so when lamps are kept or refused, and when another lighting is shown."""
    page = round_corners(client, "inside")
    first = client.get(page).text
    assert CHECKED.findall(first) == ["0"]
    assert re.findall(r"<details open><summary>([^<]+)<", first) == ["Wall 1", "Wall 2"]
    assert re.findall(r'<figcaption class="aside">([^<]+)<', first) == [
        "Plan, from above",
        "Section of wall 1, from its left",
        "Section of wall 2, from its left",
    ]
    assert re.findall(r"view=(front|wall-2)&amp;width=480", first) == ["front", "wall-2"]
    assert "From the left of wall 1" in first
    kept_at = put(client, page, at="0", wall="1", do="save").headers["Location"]
    assert kept_at.endswith("at=0&wall=1")
    again = client.get(kept_at).text
    assert CHECKED.findall(again) == ["1"]
    assert f'href="{page}?at=1&amp;wall=1"' in again
    refused = put(client, page, at="0", wall="1", do="save", **{f"{LAMP}.lumens": "bright"})
    assert (refused.status_code, CHECKED.findall(refused.text)) == (422, ["1"])


def test_of_many_walls_the_picture_of_the_chosen_one_alone_is_open(client: FlaskClient) -> None:
    page = client.get(round_corners(client, "inside", "outside", "outside") + "?wall=2").text
    assert re.findall(r"<details( open)?><summary>(Wall \d)<", page) == [
        ("", "Wall 1"),
        ("", "Wall 2"),
        (" open", "Wall 3"),
        ("", "Wall 4"),
    ]


def test_one_wall_has_no_choice_of_sections(client: FlaskClient) -> None:
    page = client.get(PAGE).text
    assert 'name="wall"' not in page
    assert "Section, from the left" in page
    assert "wall 1" not in page
