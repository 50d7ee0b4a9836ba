"""A form that is put into the kept document, while somebody else saves the same job: neither is lost."""

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import token

from viewer.services import KEY
from viewer.store.jobs import JobStore, StoredJob


def saved_after_reading(monkeypatch: pytest.MonkeyPatch, times: int = 1) -> None:
    """Let somebody save another name of the job as soon as a request has read it, so often."""
    get, left = JobStore.get, [times]

    def read(self: JobStore, job_id: str, **how: Any) -> StoredJob:
        found = get(self, job_id, **how)
        if left[0]:
            left[0] -= 1
            self.save(job_id, {**found.document, "name": "Saved meanwhile"}, revision=found.revision)
        return found

    monkeypatch.setattr(JobStore, "get", read)


PAGES: Mapping[str, tuple[dict[str, str], Callable[[Mapping[str, Any]], object], object]] = {
    "finish": ({"coats": "3"}, lambda job: job["finish"]["coats"], 3),
    "as-made": (
        {"slats.as_machined_mm.width": "43.4", "slats.as_machined_mm.depth": "20"},
        lambda job: job["slats"]["as_machined_mm"]["width"],
        43.4,
    ),
    "lightings": ({"at": "0", "do": "lamp"}, lambda job: len(job["lightings"][0]["lamps"]), 2),
}


@pytest.fixture
def job(app: Flask) -> str:
    services = app.extensions[KEY]
    return str(services.store.jobs.add(services.demo.document).id)


@pytest.mark.parametrize("page", PAGES)
def test_what_was_saved_between_reading_and_saving_stays(
    app: Flask, client: FlaskClient, job: str, page: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    form, kept, wanted = PAGES[page]
    address = f"/jobs/{job}/{page}"
    form = {**form, "form_token": token(client, address)}
    saved_after_reading(monkeypatch)
    assert client.post(address, data=form).status_code == 302
    document = app.extensions[KEY].store.jobs.get(job).document
    assert kept(document) == wanted
    assert document["name"] == "Saved meanwhile"


def test_a_job_that_is_saved_again_and_again_is_left_as_it_is(
    app: Flask, client: FlaskClient, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    address = f"/jobs/{job}/finish"
    form = {"coats": "3", "form_token": token(client, address)}
    before = app.extensions[KEY].store.jobs.get(job).document["finish"]
    with monkeypatch.context() as always:
        saved_after_reading(always, times=100)
        assert client.post(address, data=form).status_code == 409
    assert app.extensions[KEY].store.jobs.get(job).document["finish"] == before
