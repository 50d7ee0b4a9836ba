"""Cutting plans proven in the background: shared, stopped, survived, by command and at their addresses."""

import json
import threading
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from laid_out import placed

from meshes.cutting.plan import Plan, first_cutting, proven_cutting
from meshes.cutting.stock import Stock
from meshes.layout.spacing import Panels
from viewer.cli import invoke
from viewer.cuttings_service import MOST_WAITING, CuttingsService, TooManyError
from viewer.services import KEY

SOCKETS: dict[str, Any] = {
    "name": "Invented wall with a radiator",
    "wall": {"width_mm": 3150, "height_mm": 2480, "skirting_mm": 100},
    "openings": [
        {"kind": "switch", "left_mm": 1240, "bottom_mm": 1050, "width_mm": 86, "height_mm": 86},
        {"kind": "radiator", "left_mm": 1700, "bottom_mm": 150, "width_mm": 900, "height_mm": 600},
    ],
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 12},
}
"""The first plan buys more timber than it must."""


class Held:
    """Stands for the proof: waits until the test lets it go, or until it is stopped."""

    def __init__(self) -> None:
        self.go, self.begun = threading.Event(), threading.Event()

    def __call__(
        self,
        plan: Plan,
        *,
        time_limit_s: float,
        cancelled: Callable[[], bool],
        progress: Callable[[int, int], None],
    ) -> Plan:
        progress(0, 2)
        self.begun.set()
        while not self.go.wait(0.005) and not cancelled():
            pass
        return proven_cutting(plan, time_limit_s=time_limit_s) if self.go.is_set() else plan


def plan_of(more_mm: int) -> Plan:
    """The plan of that wall, wider by ``more_mm``; it is not proven at once."""
    wall = {**SOCKETS["wall"], "width_mm": 3150 + more_mm}
    laid = placed(wall, SOCKETS["slats"], openings=SOCKETS["openings"])
    return first_cutting([laid], stock=Stock(), panels=Panels())


def test_a_plan_is_improved_in_the_background_and_shared_by_all_who_ask() -> None:
    service = CuttingsService(10)
    first = plan_of(0)
    assert not first.proven
    order = service.order(first)
    assert service.order(plan_of(0)) is order
    assert order.finished.wait(60)
    assert (order.state, order.plan.proven) == ("done", True)
    better = service.best(first)
    assert better.proven
    assert sum(length * count for length, count in better.sections.items()) < sum(
        length * count for length, count in first.sections.items()
    )
    assert better.timber[0].demand is first.timber[0].demand  # names and walls stay those asked about
    assert service.improved == 1
    service.close()


def test_stopping_keeps_the_best_plan_so_far_and_asking_again_looks_again() -> None:
    held = Held()
    service = CuttingsService(10, held)
    running, waiting = service.order(plan_of(0)), service.order(plan_of(52))
    assert held.begun.wait(10)
    said = service.progress(running)
    assert (said["state"], said["parts"]) == ("running", 2)
    assert 0 <= said["done"] < 1
    assert 0 < said["left_s"] <= 10
    service.stop(waiting)
    assert (waiting.state, waiting.finished.is_set()) == ("stopped", True)
    service.stop(running)
    assert running.finished.wait(10)
    assert (running.state, running.plan.proven) == ("stopped", False)
    assert service.progress(running)["left_s"] == 0
    assert service.order(plan_of(0)) is not running
    service.close()


def test_a_proof_that_fails_leaves_the_first_plan() -> None:
    def fails(plan: Plan, **_: Any) -> Plan:
        raise MemoryError

    service = CuttingsService(10, fails)
    first = plan_of(0)
    order = service.order(first)
    assert order.finished.wait(10)
    assert (order.state, order.plan) == ("failed", first)
    service.close()


def test_no_more_is_promised_than_makes_sense_and_nothing_is_looked_for_in_no_time() -> None:
    held = Held()
    service = CuttingsService(10, held)
    for slats in range(MOST_WAITING + 1):
        service.order(plan_of(52 * slats))
        assert held.begun.wait(10)
    with pytest.raises(TooManyError):
        service.order(plan_of(5200))
    assert not service.best(plan_of(5252)).proven
    service.close()
    assert CuttingsService(0).order(plan_of(0)).state == "done"


def test_the_address_of_a_plan(app: Flask, client: FlaskClient) -> None:
    ordered = client.post("/api/cuttings", json=SOCKETS)
    assert ordered.status_code == 202
    where = ordered.json["href"]
    assert ordered.headers["Location"].endswith(where)
    at_once = client.get(f"{where}/plan").json
    assert at_once["stock"]["bound_mm"] <= at_once["stock"]["length_mm"]
    cutting = app.extensions[KEY].cuttings.find(ordered.json["id"])
    assert cutting.finished.wait(60)
    state = client.get(where).json
    assert (state["state"], state["done"], state["proven"], state["gap_share"]) == ("done", 1.0, True, 0)
    proven = client.get(f"{where}/plan").json
    assert proven["stock"]["length_mm"] == proven["stock"]["bound_mm"] < at_once["stock"]["length_mm"]
    # whoever asks for the take-off now gets the proven plan too
    assert client.post("/api/take-off", json=SOCKETS).json["stock"] == proven["stock"]
    assert client.delete(where).json["state"] == "done"
    assert client.get("/api/cuttings/none").status_code == 404


def test_a_job_whose_stock_gives_no_slats_is_refused_with_why(client: FlaskClient) -> None:
    answer = client.post("/api/cuttings", json={**SOCKETS, "stock": {"section_mm": [10, 10]}})
    assert answer.status_code == 422
    assert any(problem["path"] == "stock.section_mm" for problem in answer.json["errors"])


def test_the_take_off_says_how_far_the_plan_may_be_from_the_best(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    path = tmp_path / "sockets.json"
    path.write_text(json.dumps(SOCKETS), encoding="utf-8")
    found = {}
    for seconds in ("0", "10"):
        assert invoke(["take-off", str(path), "--prove", seconds]) == 0
        found[seconds] = json.loads(capfdbinary.readouterr().out)["stock"]
    first, proven = found["0"], found["10"]
    assert (first["proven"], proven["proven"]) == (False, True)
    assert first["bound_mm"] <= proven["bound_mm"] == proven["length_mm"] < first["length_mm"]
    gap = Fraction(first["length_mm"] - first["bound_mm"], first["length_mm"])
    assert first["gap_share"] == round(float(gap), 4)
    assert invoke(["take-off", str(path), "--prove", "-1"]) == 2
