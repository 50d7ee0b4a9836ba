"""The set-out page: a trial beside what is kept, pinned ways, every wall, drawings that say whose."""

import re
from html import unescape
from typing import Any

import pytest
from flask.testing import FlaskClient
from test_pages_forms import client, new_job, store
from test_pages_job_files import store_of

from meshes.layout.alternative import Alternative
from viewer.answers.set_out import set_outs_of
from viewer.drawings.elevation import elevation
from viewer.drawings.rod import rod
from viewer.drawings.title_block import TitleBlock
from viewer.job.canonical import digest
from viewer.job.check import check_job
from viewer.job.model import Job
from viewer.pages.fields import document_with, fields_of
from viewer.pages.tried_set_out import trial_fields, trial_of
from viewer.pages.ways import query_of

__all__ = ["client"]

CORNER: dict[str, Any] = {
    "name": "Niche, two walls",
    "revised": "2026-11-20",
    "wall": {"width_mm": 1800, "height_mm": 2400},
    "next_walls": [{"turns": "inside", "wall": {"width_mm": 1200, "height_mm": 2400}}],
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
}


def checked(document: dict[str, Any]) -> Job:
    job = check_job(document).job
    assert job is not None
    return job


def kept_corner(client: FlaskClient) -> str:
    return store(client).add(CORNER).id


def numbers(page: str) -> dict[str, str]:
    """The table of numbers: what, and how much in words."""
    table = re.search(r'<table data-part="numbers">(.*?)</table>', page, re.DOTALL)
    assert table is not None
    rows = re.findall(r'<th scope="row">(.*?)</th>\s*<td class="amount">(.*?)</td>', table[1], re.DOTALL)
    plain = [[" ".join(unescape(re.sub("<[^>]+>", "", cell)).split()) for cell in row] for row in rows]
    return {what.partition(" both")[0]: amount for what, amount in plain}


def test_what_a_trial_moves_shows_what_it_was(client: FlaskClient) -> None:
    # 1200-wall of README.md: 23 slats of 40 leave 130/11 = 11.8 mm, 22 leave 14.3
    job = {
        "name": "By hand",
        "wall": {
            "width_mm": 1200,
            "height_mm": 2400,
            "left": {"shadow_gap_mm": 10},
            "right": {"shadow_gap_mm": 10},
        },
        "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
    }
    name = store(client).add(job).id
    kept = numbers(client.get(f"/jobs/{name}/set-out").text)
    assert (kept["Slats"], kept["Gap"]) == ("23", "11.8 mm")
    tried = numbers(client.get(f"/jobs/{name}/set-out?slats.gap_mm=14").text)
    assert (tried["Slats"], tried["Gap"], tried["Slat"]) == ("23 → 22", "11.8 → 14.3 mm", "40 × 18 mm")


def test_drawings_show_what_a_trial_moves_until_it_is_kept_or_taken_back(client: FlaskClient) -> None:
    name = kept_corner(client)
    address = f"/jobs/{name}/set-out"
    tried = client.get(f"{address}?slats.gap_mm=17").text
    # 1800 in slats of 40 and even gaps: 34 leave 440/33 = 13.3 mm; wall 2 starts 31 + 13.1 further in
    was = re.findall(r'<p class="earlier aside">(.*?)</p>', tried)
    assert [re.findall(r"kept: (\d+) slats of 40 mm, gap ([\d.]+) mm", one) for one in was] == [
        [("34", "13.3")],
        [("22", "13.1")],
    ]
    assert tried.count("data-before=") == 2 * 4, "each wall in each size"
    for same in ("", "?slats.gap_mm=14", "?slats.run=upright"):
        page = client.get(address + same).text
        assert "data-before=" not in page, same
        assert 'class="earlier' not in page, same
    client.post(address, data={"slats.gap_mm": "17"})
    assert "data-before=" not in client.get(address).text
    assert client.get(f"{address}?slats.gap_mm=14").text.count("data-before=") == 2 * 4, "now that is new"


def test_every_wall_has_its_numbers_and_its_ways(client: FlaskClient) -> None:
    page = client.get(f"/jobs/{kept_corner(client)}/set-out?slats.width_mm=42").text
    table = re.search(r'<table data-part="numbers">(.*?)</table>', page, re.DOTALL)
    assert table is not None
    assert re.findall(r'<th scope="rowgroup" colspan="2">(.*?)</th>', table[1]) == ["Wall 1", "Wall 2"]
    ways = re.search(r'<div data-part="ways">(.*?)</section>', page, re.DOTALL)
    assert ways is not None
    _start, one, two = re.split(r"<h3>Wall \d</h3>", ways[1])
    job = checked(document_with(CORNER, trial_fields(), {"slats.width_mm": "42"}))
    for made, shown in zip(set_outs_of(job), (one, two), strict=True):
        assert made.chosen is not None
        expected = [made.chosen.reason, *(other.reason for other in made.alternatives)]
        assert re.findall(r"<li.*?<p>(?:<strong>Taken.</strong> )?(.*?)</p>", shown, re.DOTALL) == expected
        assert shown.count('class="taken"') == 1
        assert shown.count("slats.width_mm=42&amp;") == len(made.alternatives), "over what is tried already"


@pytest.mark.parametrize(
    "slats",
    [
        {},
        {"width_mm": 44, "gap_mm": 18, "ends": "gap"},
        {"spacers_mm": [15]},
        {"spacing": "spacer", "closing": "trim"},
        {"spacing": "feature", "feature_mm": 709},
        {"spacing": "spacer", "shift_for_openings": True},
    ],
)
def test_a_way_that_is_tried_is_the_one_that_was_shown(slats: dict[str, Any]) -> None:
    outlets = [
        {"kind": "socket", "left_mm": at, "bottom_mm": 300, "width_mm": 86, "height_mm": 86}
        for at in (281, 943)
    ]
    job = {**CORNER, "next_walls": [], "openings": outlets, "slats": {**CORNER["slats"], **slats}}
    now = checked(job)
    (made,) = set_outs_of(now)
    assert len(made.alternatives) >= 3
    for other in made.alternatives:
        query = query_of(other, now.slats.spacers_mm)
        (there,) = set_outs_of(checked(document_with(job, trial_fields(), query)))
        assert there.chosen is not None
        assert facts(there.chosen) == facts(other), other.reason


def test_a_way_of_the_second_wall_is_set_out_there() -> None:
    made = set_outs_of(checked(CORNER))
    for other in made[1].alternatives:
        query = query_of(other, ())
        there = set_outs_of(checked(document_with(CORNER, trial_fields(), query)))[1].chosen
        assert there is not None
        assert facts(there) == facts(other), other.reason


def facts(way: Alternative) -> tuple[object, ...]:
    return way.kind, way.gap, way.slat_count, way.start_slat, way.end_slat


def test_pinned_ways_show_every_wall(client: FlaskClient) -> None:
    name = kept_corner(client)
    made = set_outs_of(checked(CORNER))
    pinned = {"do": "pin", **query_of(made[1].alternatives[0], ())}
    client.post(f"/jobs/{name}/set-out", data=pinned)
    page = client.get(f"/jobs/{name}/set-out").text
    held = re.search(r'<li class="pinned">(.*?)</li>', page, re.DOTALL)
    assert held is not None
    assert re.findall(r"<strong>(Wall \d)\.</strong>", held[1]) == ["Wall 1", "Wall 2"]


def test_every_wall_is_drawn_with_its_rod(client: FlaskClient) -> None:
    page = client.get(f"/jobs/{kept_corner(client)}/set-out").text
    assert re.findall(r"<h2>(Wall \d) <span", page) == ["Wall 1", "Wall 2"]
    assert page.count('data-drawing="elevation"') == 2 * 4
    assert page.count('data-drawing="rod"') == 2 * 3


def test_a_drawing_says_job_version_and_date_of_the_job(client: FlaskClient) -> None:
    name = kept_corner(client)
    page = client.get(f"/jobs/{name}/set-out").text
    for words in ("Niche, two walls", digest(CORNER)[:8], "2026-11-20"):
        assert f">{words}</text>" in page, words
    assert "tried, not kept</text>" not in page
    assert "tried, not kept</text>" in client.get(f"/jobs/{name}/set-out?slats.gap_mm=20").text


def test_a_title_block_keeps_version_and_date_however_narrow_the_sheet(client: FlaskClient) -> None:
    first = set_outs_of(checked(CORNER))[0]
    block = TitleBlock(
        job="A name that is a good deal longer than the sheet " * 3, version="1a2b3c4d", dated=""
    )
    for width in (93, 152, 235):
        svg = elevation(first, width_mm=width, fixings=True, block=block)
        assert ">1a2b3c4d</text>" in svg
        assert ">not dated</text>" in svg
        assert "…</text>" in svg
    points = sum(len(panel.fixings) for panel in first.panels)
    assert f'data-fixings="{points}"' in svg
    across = {point.x for panel in first.panels for point in panel.fixings}
    assert rod(first, fixings=True).count('data-mark="fixing"') == len(across)
    assert "data-fixings" not in elevation(first)


def test_a_pinned_way_stays_until_it_is_let_go(client: FlaskClient) -> None:
    name = new_job(client)
    client.post(f"/jobs/{name}/set-out", data={"slats.gap_mm": "20", "do": "pin"})
    document = store(client).get(name).document
    assert document["slats"]["gap_mm"] == 14, "pinned is not kept"
    assert document["_pinned"] == [{"slats.gap_mm": "20"}]
    other = client.get(f"/jobs/{name}/set-out?slats.gap_mm=12").text
    assert "<h2>Pinned</h2>" in other
    assert "Even gap of 19.6 mm" in other
    client.post(f"/jobs/{name}/set-out", data={"slats.gap_mm": "20", "do": "pin"})
    assert len(store(client).get(name).document["_pinned"]) == 1, "once"
    client.post(f"/jobs/{name}/set-out", data={"do": "let-go 0"})
    assert "_pinned" not in store(client).get(name).document


@pytest.mark.parametrize(
    "noted", [None, "x", 0, {"slats.gap_mm": "13"}, [None, 1, [], {"": 1}, {"slats.gap_mm": 13}]]
)
def test_what_a_file_has_for_pinned_ways_breaks_no_page(client: FlaskClient, noted: object) -> None:
    job = store(client).add({**store(client).get(new_job(client)).document, "_pinned": noted})
    address = f"/jobs/{job.id}/set-out"
    assert client.get(address).status_code == 200
    assert client.post(address, data={"do": "pin", "slats.gap_mm": "20"}).status_code == 302


def test_a_pinned_way_that_fits_no_longer_says_why(client: FlaskClient) -> None:
    name = store(client).add({**CORNER, "_pinned": [{"slats.width_mm": "4000"}, {"elsewhere": 1}]}).id
    page = client.get(f"/jobs/{name}/set-out")
    assert page.status_code == 200
    assert page.text.count('class="pinned"') == 2


def test_a_set_out_that_was_saved_meanwhile_is_not_overwritten(client: FlaskClient) -> None:
    name, jobs = new_job(client), store(client)
    read = jobs.get(name)
    jobs.save(name, {**read.document, "name": "Saved meanwhile"}, revision=read.revision)
    answer = client.post(f"/jobs/{name}/set-out", data={"slats.gap_mm": "20", "revision": str(read.revision)})
    assert answer.status_code == 302
    assert jobs.get(name).document["slats"]["gap_mm"] == 14
    page = client.get(answer.headers["Location"]).text
    assert "saved elsewhere meanwhile" in page
    assert 'name="slats.gap_mm" value="20"' in page


def test_the_turning_view_of_a_trial_is_of_the_trial(client: FlaskClient) -> None:
    name = kept_corner(client)
    kept = client.get(f"/jobs/{name}/set-out/view.json").get_json()
    tried = client.get(f"/jobs/{name}/set-out/view.json?slats.gap_mm=20").get_json()
    assert tried["layout"] != kept["layout"]
    assert "slats.gap_mm=20" in tried["lightings"][0]["light"]
    assert store_of(client).jobs.get(name).document == CORNER


def test_a_yes_or_no_is_a_choice_and_only_known_fields_are_tried() -> None:
    asked = trial_of({"slats.shift_for_openings": "true", "name": "other", "do": "pin"})
    assert asked == {"slats.shift_for_openings": "true"}
    made = document_with(CORNER, trial_fields(), asked)
    assert made["slats"]["shift_for_openings"] is True
    boxes, _left = fields_of(made, trial_fields(), {}, ())
    assert next(box for box in boxes if box["path"] == "slats.shift_for_openings")["chosen"] == "true"
    again = document_with(made, trial_fields(), {"slats.shift_for_openings": "false"})
    assert again["slats"]["shift_for_openings"] is False


def test_the_job_page_draws_the_wall_that_is_asked_for(client: FlaskClient) -> None:
    name = kept_corner(client)
    for number, made in enumerate(set_outs_of(checked(CORNER))):
        page = client.get(f"/jobs/{name}/", query_string={"wall": number, "finish": 0}).text
        assert f"Rod, Wall {number + 1}<" in page
        assert f'<button name="wall" value="{number}" aria-current="true">' in page
        assert f'max="{float(made.wall_width)}"' in page
        slats = re.search(r'<th scope="row">Slats.*?<td class="amount">\s*(\d+)', page, re.DOTALL)
        assert slats is not None
        assert int(slats[1]) == len(made.slats)
    assert 'value="wall-2"' in page
    assert 'name="wall"' not in re.sub(r"<noscript>.*?</noscript>", "", client.get("/jobs/demo/").text)
