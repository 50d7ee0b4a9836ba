"""The page of stills: ordering, progress, stopping and keeping the file, with a stand-in for the worker."""

import re
from collections.abc import Callable
from concurrent.futures import Executor, Future
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import token

from viewer.pages.time_left import time_left
from viewer.services import KEY
from viewer.stills_service import StillsService
from viewer.stills_worker import Outcome

PAGE = "/jobs/demo/stills"
FORM = {"what": "still", "finish": "1", "lighting": "1", "view": "right", "width": "300", "height": "200"}


class Never(Executor):
    """Takes orders and makes nothing."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        return Future()


class Failing(Executor):
    """A machine that cannot draw."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        future.set_result(Outcome(fault="no drawing context"))
        return future


def order(client: FlaskClient, **changed: Any) -> Any:
    return client.post(PAGE, data={**FORM, **changed, "form_token": token(client, PAGE)})


def test_a_finished_still_is_shown_and_kept_as_a_file_named_after_what_it_shows(client: FlaskClient) -> None:
    assert order(client, ending=".jpg").status_code == 302
    page = client.get(PAGE).text
    assert "Honey on pine, evening, from the right, 300 × 200" in page
    (address,) = re.findall(r'href="([^"]+)" download="[^"]+\.jpg"', page)
    file = client.get(address)
    assert file.data.startswith(b"\xff\xd8")
    named = file.headers["Content-Disposition"]
    assert named == 'attachment; filename="reading-room-north-wall-honey-on-pine-evening-right.jpg"'


def test_what_is_ticked_is_ordered(app: Flask, client: FlaskClient) -> None:
    services = app.extensions[KEY]
    order(client, **{"with": ["felt", "marked", "person"]})
    order(client, what="board", **{"with": ["felt", "person"]})
    one, board = (still.order for still in services.stills._stills.values())
    assert (one.felt, one.frame.marked, one.things) == (True, True, ("person",))
    assert (board.felt, board.things) == (False, ()), "a board compares: nothing stands in it"
    assert client.get("/jobs/demo/stills").text.count('name="with"') == 6


def test_what_waits_says_how_long_and_can_be_stopped(app: Flask, client: FlaskClient) -> None:
    services = app.extensions[KEY]
    services.__dict__["_stills"] = StillsService(services.settings, executor=Never)
    order(client)
    order(client, view="left")
    piece = client.get(PAGE + "/orders").text
    left = [int(seconds) for seconds in re.findall(r"about (\d+)\xa0s left", piece)]
    assert left[0] > left[1] > 0, "the newest stands first and waits for the other"
    assert 'http-equiv="refresh"' in client.get(PAGE).text, "without scripts the page looks again by itself"
    for address in re.findall(r'action="([^"]+/stop)"', piece):
        assert client.post(address, data={"form_token": token(client, PAGE)}).status_code == 302
    piece = client.get(PAGE + "/orders").text
    assert piece.count("stopped") == 2
    assert "data-open" not in piece


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"width": "wide"}, "width</strong>: expected a whole number of pixels"),
        ({"height": "9000"}, "height</strong>: 9000 is outside the accepted 16 to 8192 pixels"),
        ({"width": "8000", "height": "8000"}, "size</strong>: 8000 × 8000 is more than"),
    ],
)
def test_a_size_that_cannot_be_is_named_and_what_was_typed_stays(
    client: FlaskClient, changed: dict[str, str], words: str
) -> None:
    answer = order(client, **changed)
    assert answer.status_code == 422
    assert words in answer.text
    assert 'value="1" selected' in answer.text
    assert all(f'value="{typed}"' in answer.text for typed in changed.values())


def test_too_many_orders_are_refused_with_the_reason(app: Flask, client: FlaskClient) -> None:
    services = app.extensions[KEY]
    services.__dict__["_stills"] = StillsService(services.settings, executor=Never)
    answers = [order(client, width=str(300 + number)).status_code for number in range(17)]
    assert answers == [302] * 16 + [503]


def test_a_page_waits_for_its_still_and_one_that_fails_is_an_answer(app: Flask, client: FlaskClient) -> None:
    assert client.get("/jobs/demo/still?finish=1&width=480").mimetype == "image/jpeg"
    other = client.get("/jobs/demo/still?stain=honey&timber=Scots+pine")
    assert other.data != client.get("/jobs/demo/still?finish=1&width=480").data
    services = app.extensions[KEY]
    services.__dict__["_stills"] = StillsService(services.settings, executor=Failing)
    assert client.get("/jobs/demo/still").status_code == 503
    order(client)
    assert "no drawing context" in client.get(PAGE).text


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0, "1 s"), (39.2, "40 s"), (89.9, "90 s"), (90, "2 min"), (481, "9 min")],
)
def test_time_left_is_said_in_seconds_or_minutes(seconds: float, words: str) -> None:
    assert time_left(seconds).replace("\xa0", " ") == words
