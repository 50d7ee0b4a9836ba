"""The services of an application: each is made once, also for requests that come at the same moment."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from time import sleep

import pytest

from viewer.services import Services
from viewer.settings import load

REQUESTS = 6
"""As many as the server answers at once (viewer/serve.py)."""


@pytest.mark.parametrize(
    ("name", "place"),
    [
        ("stills", "viewer.stills_service.StillsService"),
        ("cuttings", "viewer.cuttings_service.CuttingsService"),
    ],
)
def test_first_requests_at_the_same_moment_share_a_service(
    name: str, place: str, tmp_path, monkeypatch
) -> None:
    made: list[object] = []

    def slowly(*_given: object) -> object:
        made.append(object())
        sleep(0.05)  # long enough for every other thread to ask meanwhile
        return made[-1]

    monkeypatch.setattr(place, slowly)
    services = Services(load({"SLATWRIGHT_DATA_DIR": str(tmp_path), "SLATWRIGHT_CACHE_DIR": str(tmp_path)}))
    together = Barrier(REQUESTS)

    def ask(_number: int) -> object:
        together.wait()
        return getattr(services, name)

    with ThreadPoolExecutor(REQUESTS) as threads:
        answers = list(threads.map(ask, range(REQUESTS)))
    assert len(made) == 1
    assert {id(one) for one in answers} == {id(made[0])}
