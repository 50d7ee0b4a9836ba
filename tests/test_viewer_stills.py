"""Pictures on order: shared, cancelled, survived, and their addresses in the API."""

import io
import multiprocessing
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient
from PIL import Image

from viewer import create_app, stills_service
from viewer.frame import Frame
from viewer.services import KEY
from viewer.settings import Settings, load
from viewer.stills_service import MOST_UNDER_WAY, StillsService, TooManyError
from viewer.stills_worker import Outcome, StillOrder

JOB: dict[str, Any] = {
    "name": "Invented niche",
    "wall": {"width_mm": 900, "height_mm": 1200},
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 20},
    "room": {"depth_mm": 1500},
    "finishes": [{"name": "pale", "stain": "limed white"}, {"name": "dark", "stain": "charcoal"}],
}


def order(**changes: Any) -> StillOrder:
    given: dict[str, Any] = {
        "document": JOB,
        "frame": Frame(view="front", width=64, height=48),
        "ending": ".png",
        **changes,
    }
    return StillOrder(**given)


class ByHand(Executor):
    """An executor whose work ends when the test says so."""

    def __init__(self) -> None:
        self.futures: list[Future[Any]] = []

    def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
        self.futures.append(Future())
        return self.futures[-1]


@pytest.fixture
def settings() -> Settings:
    return load({})


def test_the_same_order_is_made_once(settings: Settings) -> None:
    by_hand = ByHand()
    service = StillsService(settings, lambda: by_hand)
    first, second = service.order(order()), service.order(order())
    other = service.order(order(finish="dark"))
    assert first is second
    assert other is not first
    assert len(by_hand.futures) == 2
    by_hand.futures[0].set_result(Outcome(data=b"picture"))
    assert first.state == "done"
    assert service.order(order()) is first
    assert len(by_hand.futures) == 2


def test_the_order_of_keys_does_not_change_what_order_it_is(settings: Settings) -> None:
    service = StillsService(settings, ByHand)
    assert service.order(order(document=JOB)) is service.order(order(document=dict(reversed(JOB.items()))))


def test_what_waits_is_cancelled_at_once_and_can_be_ordered_again(settings: Settings) -> None:
    by_hand = ByHand()
    service = StillsService(settings, lambda: by_hand)
    still = service.order(order())
    service.cancel(still)
    assert still.state == "cancelled"
    assert by_hand.futures[0].cancelled()
    assert service.order(order()) is not still


def test_an_order_for_which_no_process_starts_fails_and_can_be_ordered_again(settings: Settings) -> None:
    class Starved(ByHand):
        def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Future[Any]:
            raise BlockingIOError("Resource temporarily unavailable")

    by_hand = ByHand()
    executors = iter([Starved(), by_hand])
    service = StillsService(settings, lambda: next(executors))
    lost = service.order(order())
    assert lost.state == "failed"
    assert lost.outcome is not None
    assert lost.outcome.fault == "no process could be started for the picture"
    assert service.order(order()) is not lost
    assert len(by_hand.futures) == 1


def test_no_more_is_promised_than_makes_sense(settings: Settings) -> None:
    service = StillsService(settings, ByHand)
    for number in range(MOST_UNDER_WAY):
        service.order(order(finish=str(number)))
    with pytest.raises(TooManyError):
        service.order(order(finish="one more"))


def test_progress_never_falls_and_ends_at_one(settings: Settings) -> None:
    by_hand = ByHand()
    service = StillsService(settings, lambda: by_hand)
    still = service.order(order())
    seen = [service.progress(still)["done"]]
    for step in ("start", "raster", "light", "layers", "file"):
        service._note(still, step)
        seen.append(service.progress(still)["done"])
        assert service.progress(still)["left_s"] >= 0
    by_hand.futures[0].set_result(Outcome(data=b""))
    seen.append(service.progress(still)["done"])
    assert seen == sorted(seen)
    assert (seen[0], seen[-1]) == (0, 1)


@pytest.mark.gl
def test_a_worker_that_is_killed_is_replaced_and_the_picture_made(settings: Settings) -> None:
    service = StillsService(settings)
    try:
        first = service.picture(order(), timeout_s=120)
        assert first.data is not None, first
        executor = service._executor
        (worker,) = executor._processes  # type: ignore[union-attr]
        still = service.order(order(frame=Frame(view="close", width=64, height=48)))
        os.kill(worker, signal.SIGKILL)
        assert still.finished.wait(120)
        assert still.state == "done"
        assert still.tries == 2
        again = service.picture(order(ending=".jpg"), timeout_s=120)
        assert again.data is not None, "the new worker makes what the old one made"
    finally:
        service.close()


@pytest.fixture(scope="module")
def client() -> Iterator[FlaskClient]:
    app = create_app()
    with app.test_client() as client:
        yield client
    app.extensions[KEY].close()


def finished(client: FlaskClient, href: str) -> dict[str, Any]:
    until = time.monotonic() + 120
    while time.monotonic() < until:
        state = client.get(href).json
        assert state is not None
        if state["state"] not in ("waiting", "running"):
            return state
        time.sleep(0.05)
    raise AssertionError("the picture was not finished")


@pytest.mark.gl
def test_a_picture_is_ordered_followed_and_fetched(client: FlaskClient) -> None:
    answer = client.post("/api/stills", json={"job": JOB, "width": 64, "height": 48, "finish": "dark"})
    assert answer.status_code == 202
    assert answer.json is not None
    assert answer.headers["Location"] == answer.json["href"]
    state = finished(client, answer.json["href"])
    assert state["state"] == "done", state
    picture = client.get(state["picture"])
    with Image.open(io.BytesIO(picture.data)) as image:
        assert (image.format, image.size) == ("JPEG", (64, 48))
    again = client.get(state["picture"], headers={"If-None-Match": picture.headers["ETag"]})
    assert again.status_code == 304


@pytest.mark.gl
def test_a_camera_inside_a_slat_fails_with_the_reason(client: FlaskClient) -> None:
    camera = {
        "world_from_camera": [[1, 0, 0, 0.02], [0, 1, 0, 0.5], [0, 0, 1, 0.02], [0, 0, 0, 1]],
        "vertical_fov_deg": 50,
    }
    answer = client.post("/api/stills", json={"job": JOB, "view": camera, "width": 64, "height": 48})
    assert answer.json is not None
    state = finished(client, answer.json["href"])
    assert state["state"] == "failed"
    assert state["errors"][0]["path"] == "view"
    assert client.get(f"{state['href']}/picture").status_code == 409


def test_a_bad_order_names_every_problem(client: FlaskClient) -> None:
    answer = client.post(
        "/api/stills",
        json={
            "job": {**JOB, "wall": {"width_mm": 5}},
            "width": 1.5,
            "height": 9000,
            "format": "tif",
            "viw": "front",
            "board": 1,
            "lighting": 3,
        },
    )
    assert answer.status_code == 422
    assert answer.json is not None
    assert [problem["path"] for problem in answer.json["errors"]] == [
        "viw",
        "job.wall.height_mm",
        "job.wall.width_mm",
        "width",
        "height",
        "format",
        "board",
        "lighting",
    ]


@pytest.mark.gl
def test_what_stands_in_a_picture_and_what_is_marked_can_be_ordered(client: FlaskClient) -> None:
    asked = {"job": JOB, "width": 64, "height": 48, "format": "png"}
    pictures = []
    for more in ({}, {"things": ["person"]}, {"marked": True}, {"plain": True}, {"evening_feel": True}):
        answer = client.post("/api/stills", json={**asked, **more})
        assert answer.json is not None
        state = finished(client, answer.json["href"])
        assert state["state"] == "done", state
        pictures.append(client.get(state["picture"]).data)
    assert len(set(pictures)) == len(pictures)


def test_wishes_that_no_picture_has_are_named(client: FlaskClient) -> None:
    wishes = {"things": ["person", "piano", 3], "marked": "yes", "evening_feel": True, "plain": True}
    answer = client.post("/api/stills", json={"job": JOB, **wishes})
    assert answer.status_code == 422
    assert answer.json is not None
    assert [problem["path"] for problem in answer.json["errors"]] == [
        "marked",
        "things[1]",
        "things[2]",
        "evening_feel",
    ]
    answer = client.post("/api/stills", json={"job": JOB, "things": "person"})
    assert answer.json is not None
    assert answer.json["errors"] == [
        {"path": "things", "message": "expected a list of furniture, person, card, steps, doors"}
    ]


def test_a_name_that_the_job_lacks_is_a_problem_of_the_order(client: FlaskClient) -> None:
    answer = client.post("/api/stills", json={"job": JOB, "finish": "drak", "lighting": "noon"})
    assert answer.status_code == 422
    assert answer.json is not None
    assert [problem["path"] for problem in answer.json["errors"]] == ["finish", "lighting"]
    assert answer.json["errors"][0]["message"] == 'the job has no finish "drak"; the nearest is "dark"'


def test_an_unknown_still_is_not_there(client: FlaskClient) -> None:
    assert client.get("/api/stills/unknown").status_code == 404
    assert client.delete("/api/stills/unknown").status_code == 404
    assert client.get("/api/stills/unknown/picture").status_code == 404


def begin(*_given: object) -> None:
    """In place of a worker's real beginning, which takes seconds."""


def work(_number: int, order: StillOrder) -> Outcome:
    """In place of the making of a picture: the worker is busy for long, or done at once."""
    if order.finish == "busy":
        time.sleep(60)
    return Outcome(data=str(os.getpid()).encode())


@pytest.fixture
def quick(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> Iterator[StillsService]:
    """A service with a process of its own that draws nothing."""
    monkeypatch.setattr(stills_service, "start", begin)
    monkeypatch.setattr(stills_service, "make", work)
    service = StillsService(settings)
    yield service
    service.close()


def comes_true(what: Callable[[], bool]) -> bool:
    """Whether it does within ten seconds."""
    return any(what() or time.sleep(0.05) for _attempt in range(200))


def test_closing_ends_its_own_worker_and_no_other_process(quick: StillsService) -> None:
    other = multiprocessing.get_context("spawn").Process(target=time.sleep, args=(60,))
    other.start()
    try:
        made = quick.picture(order(), 60).data
        assert made is not None
        worker = Path("/proc") / made.decode()
        quick.order(order(finish="busy"))
        quick.close()
        assert comes_true(lambda: not worker.exists() or "\nState:\tZ" in (worker / "status").read_text())
        other.join(0.5)
        assert other.is_alive()
    finally:
        other.kill()
        other.join()


def test_a_worker_ends_with_a_server_that_was_killed(tmp_path: Path) -> None:
    code = (
        "import multiprocessing, os, signal, sys\n"
        "from concurrent.futures import ProcessPoolExecutor\n"
        "from viewer.settings import load\n"
        "from viewer.stills_worker import start\n"
        "if __name__ == '__main__':\n"
        "    spawn = multiprocessing.get_context('spawn')\n"
        "    report = spawn.Pipe()[1]\n"
        "    numbers = spawn.Array('q', 64)\n"
        "    pool = ProcessPoolExecutor(1, spawn, start, (load({}), report, numbers))\n"
        "    print(pool.submit(os.getpid).result(), flush=True)\n"
        "    os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    (tmp_path / "server.py").write_text(code, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(tmp_path / "server.py")],
        capture_output=True,
        timeout=120,
        check=False,
        env=os.environ | {"PYTHONPATH": str(Path(__file__).parent.parent)},
    )
    assert done.returncode == -signal.SIGKILL, done.stderr
    worker = Path("/proc") / done.stdout.decode().strip()
    for _attempt in range(200):
        if not worker.exists() or "Z" in (worker / "stat").read_text().rpartition(")")[2].split()[0]:
            return
        time.sleep(0.05)
    pytest.fail("the worker outlived its server")
