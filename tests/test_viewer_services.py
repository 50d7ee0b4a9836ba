"""The services of an application: each is made once, also for requests that come at the same moment."""

import json
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier
from time import sleep

import pytest

from viewer import services as made_services
from viewer.demo import demo_bytes
from viewer.job.reading import read_json
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


def test_a_kept_state_is_checked_once_and_each_reader_has_a_document_of_its_own(
    tmp_path, monkeypatch: pytest.MonkeyPatch
) -> None:
    checked: list[object] = []
    check_job = made_services.check_job

    def counted(data: object, **given: object) -> object:
        checked.append(data)
        return check_job(data, **given)

    monkeypatch.setattr(made_services, "check_job", counted)
    services = Services(load({"SLATWRIGHT_DATA_DIR": str(tmp_path), "SLATWRIGHT_CACHE_DIR": str(tmp_path)}))
    document = json.loads(demo_bytes())
    first = services.check_state(document)
    first.document["wall"].clear()
    second = services.check_state(document)
    assert len(checked) == 1
    assert second.document == document
    assert second.job == check_job(read_json(demo_bytes()), names=services.names).job
    # any other state is checked for itself, if no more than a number is written differently
    document["wall"]["width_mm"] = float(document["wall"]["width_mm"])
    services.check_state(document)
    document["wall"]["width_mm"] = -1
    assert services.check_state(document).problems == check_job(document, names=services.names).problems != ()
    assert len(checked) == 3
