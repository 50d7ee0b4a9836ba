"""What a browser is shown where an address cannot answer, and what everything else gets there."""

import re

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

BROWSER = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}


@pytest.mark.parametrize(
    ("method", "address", "status", "title"),
    [
        ("get", "/jobs/nowhere/", 404, "Nothing stands at this address"),
        ("get", "/nowhere", 404, "Nothing stands at this address"),
        ("delete", "/ballpark", 405, "This address does not do that"),
    ],
)
def test_a_browser_gets_a_page_with_a_way_on(
    app: Flask, method: str, address: str, status: int, title: str
) -> None:
    answer = getattr(app.test_client(), method)(address, headers=BROWSER)
    assert answer.status_code == status
    assert answer.mimetype == "text/html"
    assert f"<h1>{title}</h1>" in answer.text
    assert 'href="/">The list of jobs<' in answer.text


def test_whoever_asks_for_no_page_gets_plain_words(app: Flask) -> None:
    answer = app.test_client().get("/jobs/nowhere/")
    assert (answer.mimetype, answer.text) == ("text/plain", "Nothing stands at this address.\n")
    told = app.test_client().get("/api/jobs/nowhere", headers=BROWSER)
    assert told.mimetype == "application/problem+json"


def test_a_foreign_host_gets_no_page_of_ours(app: Flask) -> None:
    answer = app.test_client().get("/", headers={**BROWSER, "Host": "example.org"})
    assert (answer.status_code, answer.mimetype) == (421, "text/plain")


def test_only_the_owner_is_led_to_the_jobs(reachable: Flask, owner: FlaskClient) -> None:
    assert "The list of jobs" in owner.get("/nowhere", headers=BROWSER).text
    stranger = reachable.test_client().get("/nowhere", headers=BROWSER)
    assert stranger.status_code == 404
    assert "The list of jobs" not in stranger.text


def test_a_maker_who_is_not_signed_in_is_led_to_where_that_is_done(
    reachable: Flask, owner: FlaskClient
) -> None:
    way_in, stranger = 'href="/sign-in"', reachable.test_client()
    assert way_in in stranger.get("/", headers=BROWSER).text
    assert way_in in stranger.get("/jobs/demo/", headers=BROWSER).text
    assert way_in not in stranger.get("/link/nothing/", headers=BROWSER).text, "clients do not sign in"
    assert way_in not in owner.get("/nowhere", headers=BROWSER).text


def test_what_is_too_large_is_told_how_large_it_may_be(client: FlaskClient) -> None:
    def answered(size: int) -> TestResponse:
        body = b'--x\r\nContent-Disposition: form-data; name="note"\r\n\r\n%b\r\n--x--\r\n' % (b"a" * size)
        form = "multipart/form-data; boundary=x"
        return client.post("/jobs/import", data=body, content_type=form, headers=BROWSER)

    answer = answered(99_000_000)
    assert answer.status_code == 413
    said = re.search(r"At most (\S+) MB are taken in at once", answer.text)
    assert said
    most = float(said[1]) * 1e6
    assert answered(round(most) + 1).status_code == 413
    assert 4e6 < most < 99e6
