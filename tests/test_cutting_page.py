"""The page of a cutting plan: how far it is proven, stopped and gone on with."""

import re
import threading
from collections.abc import Callable

import pytest
from flask import Flask
from flask.testing import FlaskClient

from meshes.cutting.plan import Plan, proven_cutting
from viewer.cuttings_service import CuttingsService
from viewer.services import KEY


def token(page: str) -> str:
    found = re.search(r'name="form_token" value="([^"]+)"', page)
    assert found
    return found[1]


@pytest.fixture
def go(app: Flask) -> threading.Event:
    """A proof that waits for the test; stopped, it gives the first plan back."""
    event = threading.Event()

    def held(
        plan: Plan,
        *,
        time_limit_s: float,
        cancelled: Callable[[], bool],
        progress: Callable[[int, int], None],
    ) -> Plan:
        while not event.wait(0.005) and not cancelled():
            pass
        return proven_cutting(plan, time_limit_s=time_limit_s) if event.is_set() else plan

    app.extensions[KEY].__dict__["_cuttings"] = CuttingsService(10, held)
    return event


def test_the_proof_is_watched_stopped_and_gone_on_with(
    app: Flask, client: FlaskClient, go: threading.Event
) -> None:
    cuttings = app.extensions[KEY].cuttings
    running = client.get("/jobs/demo/cutting")
    assert running.status_code == 200
    assert running.headers["Refresh"] == "1"
    assert "<progress" in running.text
    assert "over the least possible" in running.text
    form = {"form_token": token(running.text), "what": "stop"}
    assert client.post("/jobs/demo/cutting", data=form).status_code == 302
    (order,) = cuttings._by_key.values()
    assert order.finished.wait(10)
    stopped = client.get("/jobs/demo/cutting")
    assert "Refresh" not in stopped.headers
    assert "Stopped. The best plan so far stands" in stopped.text
    go.set()
    form = {"form_token": token(stopped.text), "what": "look"}
    assert client.post("/jobs/demo/cutting", data=form).status_code == 302
    (order,) = cuttings._by_key.values()
    assert order.finished.wait(60)
    proven = client.get("/jobs/demo/cutting").text
    assert "Proven: nobody can cut these pieces from less." in proven
    assert "the least possible" in proven
    assert "<progress" not in proven


def test_the_sheets_lead_to_it(client: FlaskClient) -> None:
    assert 'href="/jobs/demo/cutting"' in client.get("/jobs/demo/sheets").text


def test_it_buys_what_the_take_off_buys(app: Flask, client: FlaskClient) -> None:
    """A finish without small knots has more strips sorted out than the grade of the timber alone."""
    app.extensions[KEY].__dict__["_cuttings"] = CuttingsService(0)
    finish = {"timber": "Scots pine", "sorting": "clear"}
    job = client.get("/api/jobs/demo").get_json() | {"finish": finish, "finishes": []}
    name = client.post("/api/jobs", json=job).get_json()["id"]
    taken = client.post("/api/take-off", json=job).get_json()["stock"]
    plain = client.post("/api/take-off", json=job | {"stock": {**job["stock"], "cull_rate": 0.05}}).get_json()
    shown = client.get(f"/jobs/{name}/cutting").text
    assert taken["sections"] != plain["stock"]["sections"]
    assert ", ".join(f"{one['count']} × {one['length_mm']}" for one in taken["sections"]) in shown
