"""The JSON API: answers, and one error shape over every address."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.routing import Rule

from viewer import create_app

JOB = json.loads((Path(__file__).parent / "data" / "job-format-1.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def app() -> Flask:
    return create_app()


@pytest.fixture
def client(app: Flask) -> Iterator[FlaskClient]:
    with app.test_client() as client:
        yield client


def assert_error_shape(body: Any, status: int) -> None:
    assert set(body) == {"type", "status", "title", "errors", "request"}
    assert body["status"] == status
    assert body["title"]
    assert all(set(problem) == {"path", "message"} for problem in body["errors"])


def api_rules(app: Flask) -> list[Rule]:
    return [rule for rule in app.url_map.iter_rules() if rule.rule.startswith("/api/")]


def test_every_address_has_one_error_shape(app: Flask, client: FlaskClient) -> None:
    asked = 0
    for rule in api_rules(app):
        path = rule.rule.replace("<", "").replace(">", "").replace("int:", "").replace("string:", "")
        methods = {name for one in api_rules(app) if one.rule == rule.rule for name in one.methods or ()}
        for method in ("GET", "POST", "PUT", "DELETE", "PATCH"):
            for body in (b"", b"{", b"[]", b'{"format": 99}'):
                answer = client.open(path, method=method, data=body, content_type="application/json")
                if method in methods and method == "GET" and answer.status_code == 200:
                    continue
                assert 400 <= answer.status_code < 500, (method, path, answer.data)
                assert_error_shape(answer.json, answer.status_code)
                asked += 1
    assert asked > 50


def test_an_unknown_address_has_it_too(client: FlaskClient) -> None:
    answer = client.get("/api/nowhere")
    assert answer.status_code == 404
    assert_error_shape(answer.json, 404)


def test_a_fault_of_ours_says_nothing_of_itself(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    app = create_app()

    def broken() -> None:
        raise ZeroDivisionError("a secret of the inside")

    app.view_functions["house.schema"] = broken
    answer = app.test_client().get("/api/schema")
    assert answer.status_code == 500
    assert_error_shape(answer.json, 500)
    assert b"secret" not in answer.data
    assert b"ZeroDivision" not in answer.data
    assert "a secret of the inside" in next((tmp_path / "slatwright").iterdir()).read_text()


def test_a_body_too_large_is_refused_before_it_is_read(client: FlaskClient) -> None:
    answer = client.post("/api/check", data=b" " * 5_000_000, content_type="application/json")
    assert answer.status_code == 413
    assert_error_shape(answer.json, 413)


def test_the_job_must_say_that_it_is_json(client: FlaskClient) -> None:
    assert client.post("/api/check", data="{}").status_code == 415


def test_check_gives_the_version_of_a_good_job_whatever_its_spelling(client: FlaskClient) -> None:
    first = client.post("/api/check", json=JOB).json
    text = json.dumps(dict(reversed(JOB.items())), indent=3)
    second = client.post("/api/check", data=text, content_type="application/json").json
    assert first == second
    assert first is not None
    assert first["ok"] is True
    assert len(first["version"]) == 64


def test_set_out_answers_as_the_command_does(client: FlaskClient) -> None:
    answer = client.post("/api/set-out", json=JOB).json
    assert answer is not None
    assert (answer["slat_count"], answer["gap_exact"]) == (57, "25/2")


def test_set_out_ranks_the_ways_of_every_wall(client: FlaskClient) -> None:
    corner = {"turns": "inside", "wall": {"width_mm": 1200, "height_mm": 2400}}
    wall = {**JOB["wall"], "right": {"meets": "inside_corner"}}
    answer = client.post("/api/set-out", json={**JOB, "wall": wall, "next_walls": [corner]}).json
    assert answer is not None
    for wall in (answer, *answer["next_walls"]):
        assert wall["chosen"]["reason"]
        assert len({one["reason"] for one in wall["alternatives"]}) > 3
    assert answer["alternatives"] != answer["next_walls"][0]["alternatives"]


def test_a_bad_job_gives_422_with_every_problem_by_path(client: FlaskClient) -> None:
    answer = client.post("/api/set-out", json={**JOB, "wall": {"width_mm": 1}, "slat": {}})
    assert answer.status_code == 422
    assert answer.json is not None
    assert [problem["path"] for problem in answer.json["errors"]] == [
        "slat",
        "wall.height_mm",
        "wall.width_mm",
    ]


def test_the_demo_job_checks_and_sets_out_as_worked_by_hand(client: FlaskClient) -> None:
    demo = client.get("/api/jobs/demo").json
    answer = client.post("/api/set-out", json=demo)
    assert answer.status_code == 200, answer.json
    assert answer.json is not None
    # by hand: run 4200 - 12 - 12 = 4176; 72 slats of 44 leave 4176 - 3168 = 1008 for 71 gaps
    assert (answer.json["slat_count"], answer.json["gap_exact"], answer.json["pitch_exact"]) == (
        72,
        "1008/71",
        "4132/71",
    )
