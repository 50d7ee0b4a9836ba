"""The pages of a measured off-cut: photograph in, corners marked, the colour or the reasons out."""

import io

import numpy as np
import pytest
from flask import Flask
from flask.testing import FlaskClient
from photographs import CHART, OFF_CUT, SIZE, jpeg, scene
from signoff_site import token
from test_pages_saving import saved_after_reading

from finishes.appearance import appearance
from finishes.catalogue import Catalogue
from finishes.choice import Finish
from finishes.photo import Corners
from viewer import measuring
from viewer.services import KEY
from viewer.uploads import UploadError
from viewer.uploads_worker import Reading

FINISH = Finish(timber="European ash", stain="walnut", coats=1, topcoat="oil", fabric="black felt")


def shares(corners: Corners) -> str:
    return " ".join(f"{x / SIZE[0]:.4f},{y / SIZE[1]:.4f}" for x, y in corners)


FORM = {
    "off_cut": shares(OFF_CUT),
    "chart": shares(CHART),
    "beside": "chart",
    "name": "OC-7",
    "date": "2026-11-20",
    "lamp": "window, no sun",
    "of": "finish",
}


@pytest.fixture(scope="module")
def photograph(catalogue: Catalogue) -> bytes:
    """The demo's first finish, a tenth darker than the model has it, beside a chart."""
    return jpeg(scene(np.asarray(appearance(FINISH, catalogue).seen()) * 0.9))


@pytest.fixture(autouse=True)
def at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Read photographs here: tests/test_viewer_measuring.py looks at the process of their own."""

    def here(read: Reading, data: bytes) -> bytes:
        answer = read(data)
        if isinstance(answer, str):
            raise UploadError(answer)
        return answer

    monkeypatch.setattr(measuring, "apart", here)


def put_in(client: FlaskClient, data: bytes, page: str = "/jobs/demo/sample") -> str:
    """Address of the page on which the photograph is marked."""
    form = {"photo": (io.BytesIO(data), "off-cut.jpg"), "form_token": token(client, page)}
    answer = client.post(page, data=form, content_type="multipart/form-data")
    assert answer.status_code == 302, answer.text
    return answer.headers["Location"]


def test_from_a_photograph_to_a_measured_finish(app: Flask, client: FlaskClient, photograph: bytes) -> None:
    address = put_in(client, photograph)
    assert client.get(address + ".png").data.startswith(b"\x89PNG")
    form = FORM | {"form_token": token(client, address)}
    looked = client.post(address, data=form)
    assert looked.status_code == 200
    assert "Measured, give or take" in looked.text
    (job,) = app.extensions[KEY].store.jobs.page()
    assert "off_cut" not in job.document["finish"], "looking keeps nothing"
    kept = client.post(address, data=form | {"do": "keep"}, follow_redirects=True)
    assert "Measured, give or take" in kept.text
    (job,) = app.extensions[KEY].store.jobs.page()
    assert job.document["finish"]["off_cut"]["name"] == "OC-7"


def test_what_was_saved_while_it_was_measured_stays(
    app: Flask, client: FlaskClient, photograph: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = put_in(client, photograph)
    form = FORM | {"do": "keep", "form_token": token(client, address)}
    saved_after_reading(monkeypatch)
    assert client.post(address, data=form).status_code == 302
    (job,) = app.extensions[KEY].store.jobs.page()
    assert job.document["finish"]["off_cut"]["name"] == "OC-7"
    assert job.document["name"] == "Saved meanwhile"


def test_every_reason_of_a_refusal_stands_there_and_the_corners_stay(
    client: FlaskClient, photograph: bytes
) -> None:
    address = put_in(client, photograph)
    wrong = FORM | {"chart": FORM["off_cut"], "name": "", "form_token": token(client, address)}
    refused = client.post(address, data=wrong)
    assert refused.status_code == 422
    assert "Written on its back</strong>" in refused.text
    assert "Chart</strong>" in refused.text
    assert f'name="chart" value="{FORM["off_cut"]}"' in refused.text
    refused = client.post(address, data=wrong | {"off_cut": "here"})
    assert "Off-cut</strong>: expected four corners" in refused.text


def test_what_is_no_photograph_is_refused(client: FlaskClient) -> None:
    page = "/jobs/demo/sample"
    form = {"photo": (io.BytesIO(b"GIF89a"), "x.gif"), "form_token": token(client, page)}
    answer = client.post(page, data=form, content_type="multipart/form-data")
    assert answer.status_code == 422
    assert "photo</strong>:" in answer.text


def test_another_jobs_photograph_is_not_found(client: FlaskClient, photograph: bytes) -> None:
    photo_id = put_in(client, photograph).rpartition("/")[2]
    assert client.get(f"/jobs/demo/sample/{photo_id}").status_code == 404
    assert client.get(f"/jobs/demo/sample/{photo_id}.png").status_code == 404
