"""Whose requests are answered, and what the browser is told it may do with the answers."""

import re
from collections.abc import Iterator

import pytest
from flask.testing import FlaskClient

from viewer import create_app


@pytest.fixture(scope="module")
def client() -> Iterator[FlaskClient]:
    with create_app().test_client() as client:
        yield client


@pytest.mark.parametrize("host", ["127.0.0.1", "127.0.0.1:8517", "localhost:5", "[::1]:8517", "LOCALHOST"])
def test_our_own_names_are_answered(client: FlaskClient, host: str) -> None:
    assert client.get("/healthz", headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["example.org", "127.0.0.1.example.org", "127.0.0.1@example.org", "[::2]", "x:y"]
)
@pytest.mark.parametrize("method", ["get", "post", "put", "delete"])
def test_a_foreign_name_for_this_machine_is_not(client: FlaskClient, host: str, method: str) -> None:
    answer = getattr(client, method)("/api/check", headers={"Host": host})
    assert answer.status_code in (400, 421)


@pytest.mark.parametrize(
    "headers",
    [
        {"Origin": "http://example.org"},
        {"Origin": "null"},
        {"Origin": "http://localhost:1"},
        {"Origin": "https://localhost"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "http://localhost", "Sec-Fetch-Site": "cross-site"},
    ],
)
@pytest.mark.parametrize("path", ["/api/check", "/api/set-out", "/nowhere"])
def test_a_write_from_elsewhere_is_refused_at_every_address(
    client: FlaskClient, path: str, headers: dict[str, str]
) -> None:
    assert client.post(path, json={}, headers=headers).status_code == 403


def test_a_write_from_our_own_page_or_a_program_is_heard(client: FlaskClient) -> None:
    assert client.post("/api/check", json={}, headers={"Origin": "http://localhost"}).status_code == 422
    assert client.post("/api/check", json={}).status_code == 422


@pytest.mark.parametrize("path", ["/healthz", "/nowhere", "/static/css/booth.css"])
def test_every_answer_carries_the_policy(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
    assert policy["default-src"] == "'none'"
    assert re.fullmatch(r"'self' 'nonce-[\w-]{22}'", policy["script-src"])
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert headers["X-Content-Type-Options"] == "nosniff"


def test_no_two_answers_share_a_nonce(client: FlaskClient) -> None:
    policies = {client.get("/healthz").headers["Content-Security-Policy"] for _ in range(5)}
    assert len(policies) == 5
