"""The pages with forms, asked as a browser asks: survey, set-out, finish, list of jobs."""

import html
import io
import re
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from signoff_site import application
from werkzeug.test import TestResponse

from viewer.services import KEY, Services
from viewer.store.jobs import JobStore


class TokenClient(FlaskClient):
    """A browser: what it posts carries the token of the forms that it was given."""

    def post(self, *args: Any, **options: Any) -> Any:
        if "headers" not in options:
            page = self.get("/").text
            (token, *_rest) = re.findall(r'name="form_token" value="([^"]+)"', page)
            options["data"] = {**(options.get("data") or {}), "form_token": token}
        return super().post(*args, **options)


@pytest.fixture
def client(tmp_path: Path) -> FlaskClient:
    environment = {
        f"SLATWRIGHT_{name}_DIR": str(tmp_path / name.lower()) for name in ("DATA", "CACHE", "STATE")
    }
    return TokenClient(application(environment), TestResponse, use_cookies=True)


def store(client: FlaskClient) -> JobStore:
    services: Services = client.application.extensions[KEY]
    return services.store.jobs


def new_job(client: FlaskClient, what: str = "demo") -> str:
    answer = client.post("/jobs", data={"what": what})
    assert answer.status_code == 302
    found = re.search(r"/jobs/([0-9a-f]+)/", answer.headers["Location"])
    assert found is not None
    return found[1]


def survey_of(client: FlaskClient, job: str, **changed: str) -> dict[str, str]:
    """The form as it stands in the page, with some fields typed anew."""
    page = client.get(f"/jobs/{job}/survey").text
    fields = dict(re.findall(r'<input id="[^"]*" name="([^"]+)" value="([^"]*)"', page))
    for name, options in re.findall(
        r'<select id="[^"]*" name="([^"]+)"[^>]*>(.*?)</select>', page, re.DOTALL
    ):
        fields[name] = "".join(re.findall(r'value="([^"]*)" selected', options))
    fields = {name: html.unescape(value) for name, value in fields.items()}
    revision = re.search(r'name="revision" value="(\d+)"', page)
    assert revision is not None
    typed = {key.replace("__", "."): value for key, value in changed.items()}
    return fields | {"revision": revision[1], "do": "save"} | typed


def test_a_survey_in_inches_is_kept_in_millimetres_and_comes_back_as_typed(client: FlaskClient) -> None:
    name = new_job(client)
    form = survey_of(client, name, wall__height_mm="8' 4 3/8\"")
    assert client.post(f"/jobs/{name}/survey", data=form).status_code == 302
    assert store(client).get(name).document["wall"]["height_mm"] == 2549.525
    assert "8&#39; 4 3/8&#34;" in client.get(f"/jobs/{name}/survey").text


def test_a_survey_with_faults_is_kept_and_each_fault_stands_at_its_field(client: FlaskClient) -> None:
    name = new_job(client)
    form = survey_of(client, name, wall__width_mm="wide", **{"openings[0].left_mm": "9000"})
    assert client.post(f"/jobs/{name}/survey", data=form).status_code == 302
    page = client.get(f"/jobs/{name}/survey").text
    assert 'value="wide"' in page
    assert re.search(r'id="wall-width_mm-problem">[^<]*expected a number', page)
    assert client.get(f"/jobs/{name}/").status_code == 404, "a wall that cannot be set out has no picture"
    led = client.get(f"/jobs/{name}/", headers={"Accept": "text/html,*/*;q=0.8"})
    assert led.headers["Location"] == f"/jobs/{name}/survey", "a person is led to what is to be put right"


def test_openings_are_added_and_taken_away(client: FlaskClient) -> None:
    name = new_job(client)
    before = len(store(client).get(name).document["openings"])
    client.post(f"/jobs/{name}/survey", data=survey_of(client, name) | {"do": "add openings"})
    assert len(store(client).get(name).document["openings"]) == before + 1
    client.post(f"/jobs/{name}/survey", data=survey_of(client, name) | {"do": "take openings 0"})
    kept = store(client).get(name).document["openings"]
    assert len(kept) == before
    assert kept[-1]["left_mm"] == 3390 + 86 + 60, "beside the last one"


def moved_up(form: dict[str, str]) -> dict[str, Any]:
    """A form as the page's script leaves it, its first opening taken away and one added at the end."""
    names = [name.removeprefix("openings[1].") for name in form if name.startswith("openings[1].")]
    made: dict[str, Any] = {name: text for name, text in form.items() if not name.startswith("openings[")}
    made |= {f"openings[0].{name}": form[f"openings[1].{name}"] for name in names}
    made |= {f"openings[1].{name}": form[f"openings[1].{name}"] for name in names}
    return made | {"openings[1].left_mm": "1' 8\"", "list": "openings 1 +"}


def test_rows_that_a_form_changed_by_itself_are_kept_once_however_often_they_are_sent(
    client: FlaskClient,
) -> None:
    name = new_job(client)
    before = store(client).get(name).document["openings"]
    form = moved_up(survey_of(client, name))
    for _again in range(2):
        assert client.post(f"/jobs/{name}/survey", data=form).status_code == 302
        kept = store(client).get(name)
        assert kept.document["openings"] == [before[1], {**before[1], "left_mm": 508}]
        assert kept.revision == int(form["revision"]) + 1
    assert kept.document["_typed"] == {"openings[1].left_mm": "1' 8\""}
    none = {key: text for key, text in survey_of(client, name).items() if not key.startswith("openings[")}
    client.post(f"/jobs/{name}/survey", data=none | {"list": "openings"})
    assert "openings" not in store(client).get(name).document


def test_a_later_change_of_rows_is_told_of_an_earlier_save_and_shown_both(client: FlaskClient) -> None:
    name = new_job(client)
    second = moved_up(survey_of(client, name))
    first = survey_of(client, name, **{"openings[0].left_mm": "77"})
    client.post(f"/jobs/{name}/survey", data=first)
    told = client.post(f"/jobs/{name}/survey", data=second)
    assert told.status_code == 409
    assert "<td>3390</td><td>77</td>" in told.text
    assert store(client).get(name).document["openings"][0]["left_mm"] == 77
    again = second | {"revision": re.findall(r'<button name="revision" value="(\d+)"', told.text)[0]}
    assert client.post(f"/jobs/{name}/survey", data=again).status_code == 302
    assert [one["left_mm"] for one in store(client).get(name).document["openings"]] == [3390, 508]


def test_a_later_save_is_told_of_the_earlier_and_nothing_is_lost(client: FlaskClient) -> None:
    name = new_job(client)
    first, second = survey_of(client, name, name="First tab"), survey_of(client, name, name="Second tab")
    assert client.post(f"/jobs/{name}/survey", data=first).status_code == 302
    told = client.post(f"/jobs/{name}/survey", data=second)
    assert told.status_code == 409
    assert 'value="Second tab"' in told.text
    assert "First tab" in told.text
    assert store(client).get(name).name == "First tab"
    assert "<td>Second tab</td><td>First tab</td>" in told.text, "both are shown"
    # the press that keeps the later one says which state it replaces
    again = second | {"revision": re.findall(r'<button name="revision" value="(\d+)"', told.text)[0]}
    assert client.post(f"/jobs/{name}/survey", data=again).status_code == 302
    assert store(client).get(name).name == "Second tab"


def test_a_set_out_is_tried_without_being_kept_and_kept_when_asked(client: FlaskClient) -> None:
    name = new_job(client)
    tried = client.get(f"/jobs/{name}/set-out", query_string={"slats.gap_mm": "20"})
    assert "Even gap of" in tried.text
    assert "Keep this" in tried.text
    assert store(client).get(name).document["slats"]["gap_mm"] == 14
    assert client.post(f"/jobs/{name}/set-out", data={"slats.gap_mm": "20"}).status_code == 302
    assert store(client).get(name).document["slats"]["gap_mm"] == 20


def test_a_set_out_that_cannot_be_is_refused_at_its_field_and_not_kept(client: FlaskClient) -> None:
    name = new_job(client)
    refused = client.post(f"/jobs/{name}/set-out", data={"slats.width_mm": "900"})
    assert refused.status_code == 422
    assert 'id="slats-width_mm-problem"' in refused.text
    assert store(client).get(name).document["slats"]["width_mm"] == 44


def test_every_way_of_the_set_out_page_can_be_tried(client: FlaskClient) -> None:
    page = client.get("/jobs/demo/set-out").text
    ways = re.findall(r'href="(/jobs/demo/set-out\?[^"]+)"', page)
    assert len(ways) >= 4
    for way in ways:
        tried = client.get(way.replace("&amp;", "&"))
        assert tried.status_code == 200
        assert 'class="problem"' not in tried.text, way


def test_the_demo_wall_becomes_a_job_of_its_own_when_it_is_changed(client: FlaskClient) -> None:
    answer = client.post("/jobs/demo/finish", data={"stain": "honey", "do": "choose"})
    assert answer.status_code == 302
    (kept,) = store(client).page()
    assert kept.document["finish"]["stain"] == "honey"
    assert f"/jobs/{kept.id}/finish" in answer.headers["Location"]


def test_a_finish_can_be_put_beside_the_candidates(client: FlaskClient) -> None:
    name = new_job(client)
    before = len(store(client).get(name).document["finishes"])
    client.post(f"/jobs/{name}/finish", data={"stain": "charcoal", "coats": "2", "do": "beside"})
    finishes = store(client).get(name).document["finishes"]
    assert len(finishes) == before + 1
    assert (finishes[-1]["stain"], finishes[-1]["coats"]) == ("charcoal", 2)


def test_a_band_is_a_picture_of_any_finish_of_the_catalogue(client: FlaskClient) -> None:
    bands = {
        client.get("/bands.png", query_string={"timber": timber, "stain": "walnut"}).data
        for timber in ("Scots pine", "European oak")
    }
    assert len(bands) == 2
    assert all(band.startswith(b"\x89PNG") for band in bands)


def test_jobs_are_copied_taken_away_and_brought_back(client: FlaskClient) -> None:
    name = new_job(client)
    client.post(f"/jobs/{name}/copy")
    assert [one.name for one in store(client).page()].count("Reading room, north wall, copy") == 1
    gone = client.post(f"/jobs/{name}/take-away", follow_redirects=True)
    assert "Bring it back" in gone.text
    assert name not in [one.id for one in store(client).page()]
    client.post(f"/jobs/{name}/bring-back")
    assert name in [one.id for one in store(client).page()]


def test_a_job_goes_out_and_in_as_one_file(client: FlaskClient) -> None:
    name = new_job(client)
    file = client.get(f"/jobs/{name}/job.json")
    assert file.headers["Content-Disposition"].startswith("attachment")
    answer = client.post(
        "/jobs",
        data={"what": "file", "file": (io.BytesIO(file.data), "job.json")},
        content_type="multipart/form-data",
    )
    assert answer.status_code == 302
    newest = store(client).page()[0]
    assert newest.document == store(client).get(name).document
    assert newest.id != name


def test_a_file_that_is_no_job_is_refused_with_the_reason(client: FlaskClient) -> None:
    answer = client.post(
        "/jobs",
        data={"what": "file", "file": (io.BytesIO(b"{not json"), "job.json")},
        content_type="multipart/form-data",
    )
    assert answer.status_code == 422
    assert "to put right" in answer.text
    assert store(client).page() == ()


@pytest.mark.parametrize(
    "path", ["", "survey", "set-out", "finish", "board", "wall.glb", "still", "job.json"]
)
def test_a_job_that_is_not_there_is_not_found(client: FlaskClient, path: str) -> None:
    assert client.get(f"/jobs/{'0' * 32}/{path}").status_code == 404


def test_a_write_from_elsewhere_is_refused(client: FlaskClient) -> None:
    answer = client.post("/jobs", data={"what": "demo"}, headers={"Origin": "http://elsewhere.example"})
    assert answer.status_code == 403
    assert store(client).page() == ()


def test_a_write_without_the_form_s_token_is_refused(client: FlaskClient) -> None:
    assert client.post("/jobs", data={"what": "demo"}, headers={}).status_code == 403
    assert store(client).page() == ()
