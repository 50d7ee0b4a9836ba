"""The log: one line an event, with the id of its request, and nothing of people in it."""

import io
import json
from collections.abc import Iterator

import pytest

from viewer import create_app
from viewer.log import LOGGER, configure, event, keep_failure, request_id
from viewer.services import KEY


@pytest.fixture(autouse=True)
def _logging_as_it_was() -> Iterator[None]:
    handlers, level, passes = LOGGER.handlers[:], LOGGER.level, LOGGER.propagate
    yield
    LOGGER.handlers[:], LOGGER.propagate = handlers, passes
    LOGGER.setLevel(level)


def lines(stream: io.StringIO) -> list[dict[str, object]]:
    return [json.loads(line) for line in stream.getvalue().splitlines()]


def test_an_event_is_one_line_of_json_whatever_stands_in_it() -> None:
    stream = io.StringIO()
    configure("info", stream)
    token = request_id.set("abc")
    event("made", words="two\nlines", count=3)
    request_id.reset(token)
    (line,) = lines(stream)
    assert (line["event"], line["request"], line["level"]) == ("made", "abc", "info")
    assert (line["words"], line["count"]) == ("two\nlines", 3)
    assert str(line["time"]).endswith("+00:00")


def test_a_request_is_logged_by_its_route_without_what_was_asked() -> None:
    stream = io.StringIO()
    app = create_app()
    configure("info", stream)
    answer = app.test_client().get("/api/stills/a-token-nobody-should-read?who=Invented+Name")
    (line,) = [line for line in lines(stream) if line["event"] == "request"]
    assert (line["route"], line["status"]) == ("/api/stills/<still_id>", 404)
    assert line["request"] == answer.headers["X-Request-Id"]
    assert "token" not in stream.getvalue()
    assert "Invented" not in stream.getvalue()
    app.extensions[KEY].close()


def test_less_severe_events_are_left_out() -> None:
    stream = io.StringIO()
    configure("warning", stream)
    event("made")
    assert stream.getvalue() == ""


def test_a_failure_that_cannot_be_kept_is_no_second_failure(tmp_path_factory: pytest.TempPathFactory) -> None:
    file = tmp_path_factory.mktemp("log") / "file"
    file.write_text("no folder")
    assert keep_failure(ValueError("x"), file / "below") is None
