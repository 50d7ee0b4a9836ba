"""Kept jobs over the API: pages, ETags, and no write over what somebody else wrote."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from viewer.demo import demo_bytes
from viewer.services import KEY


def add(client: FlaskClient) -> Any:
    return client.post("/api/jobs", data=demo_bytes(), content_type="application/json")


def read(client: FlaskClient, address: str) -> Any:
    return client.get(address).get_json()


def test_a_job_is_kept_read_changed_and_taken_away(app: Flask, client: FlaskClient) -> None:
    made = add(client)
    assert (made.status_code, made.headers["ETag"]) == (201, '"1"')
    address = made.headers["Location"]
    document = read(client, address)
    assert document["name"] == "Reading room, north wall"
    saved: Any = client.put(address, json={**document, "name": "Another"}, headers={"If-Match": '"1"'})
    assert (saved.status_code, saved.json["revision"], saved.headers["ETag"]) == (200, 2, '"2"')
    assert client.delete(address, headers={"If-Match": '"2"'}).status_code == 204
    assert client.get(address).status_code == 404
    assert app.extensions[KEY].store.jobs.page() == ()


@pytest.mark.parametrize("method", ["put", "delete"])
def test_a_write_needs_the_state_that_was_read(client: FlaskClient, method: str) -> None:
    address = add(client).headers["Location"]
    write = getattr(client, method)
    body = {"data": demo_bytes(), "content_type": "application/json"} if method == "put" else {}
    assert write(address, **body).status_code == 428
    client.put(address, json=read(client, address) | {"name": "First"}, headers={"If-Match": '"1"'})
    late = write(address, **body, headers={"If-Match": '"1"'})
    assert late.status_code == 412
    assert late.json["errors"] == [{"path": "If-Match", "message": 'expected "2", the present one'}]
    assert read(client, address)["name"] == "First"


def test_what_has_not_changed_is_not_sent_again(client: FlaskClient) -> None:
    address = add(client).headers["Location"]
    for path in (address, "/api/jobs", "/api/catalogue", "/api/openapi.json", "/api/schema"):
        tag = client.get(path).headers["ETag"]
        again = client.get(path, headers={"If-None-Match": tag})
        assert (again.status_code, again.data) == (304, b""), path
    before = client.get("/api/jobs").headers["ETag"]
    add(client)
    assert client.get("/api/jobs", headers={"If-None-Match": before}).status_code == 200


def test_pages_follow_on_without_gap_or_repeat(client: FlaskClient) -> None:
    made = [add(client).json["id"] for _number in range(5)]
    seen: list[str] = []
    address: str | None = "/api/jobs?size=2"
    while address:
        page = read(client, address)
        assert len(page["jobs"]) <= 2
        seen += [one["id"] for one in page["jobs"]]
        address = page["next"]
    assert sorted(seen) == sorted(made)
    assert len(seen) == 5


@pytest.mark.parametrize(
    ("query", "path"), [("size=0", "size"), ("size=many", "size"), ("after=%25", "after")]
)
def test_a_page_that_cannot_be_is_refused(client: FlaskClient, query: str, path: str) -> None:
    answer: Any = client.get(f"/api/jobs?{query}")
    assert answer.status_code == 422
    assert [one["path"] for one in answer.json["errors"]] == [path]
    assert answer.mimetype == "application/problem+json"


def test_a_job_that_cannot_be_used_is_not_kept(app: Flask, client: FlaskClient) -> None:
    answer: Any = client.post("/api/jobs", json={"name": "Half"})
    assert answer.status_code == 422
    assert {"slats", "wall"} <= {one["path"] for one in answer.json["errors"]}
    assert app.extensions[KEY].store.jobs.page() == ()
