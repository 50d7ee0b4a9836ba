"""One studio a job version, also for requests that come at the same moment."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

from signoff_site import application

from viewer.demo import demo_bytes
from viewer.job.check import check_text
from viewer.pages import studios
from viewer.picture import NO_EXTRAS

REQUESTS = 6
"""As many as the server answers at once (viewer/serve.py)."""


def test_requests_at_the_same_moment_share_one_studio(tmp_path: Path) -> None:
    app = application({"SLATWRIGHT_DATA_DIR": str(tmp_path), "SLATWRIGHT_CACHE_DIR": str(tmp_path)})
    job = check_text(demo_bytes()).job
    assert job is not None
    together = Barrier(REQUESTS)

    def ask(_number: int) -> int:
        with app.app_context():
            together.wait()
            return id(studios.studio_of("version", job))

    with ThreadPoolExecutor(REQUESTS) as threads:
        assert len(set(threads.map(ask, range(REQUESTS)))) == 1


def test_another_set_of_things_is_another_studio(tmp_path: Path) -> None:
    app = application({"SLATWRIGHT_DATA_DIR": str(tmp_path), "SLATWRIGHT_CACHE_DIR": str(tmp_path)})
    job = check_text(demo_bytes()).job
    assert job is not None
    with app.app_context():
        bare, furnished = studios.studio_of("0", job), studios.studio_of("0", job, ("person", "card"))
        assert bare.extras == NO_EXTRAS
        assert (furnished.extras.figure, furnished.extras.card) == (True, True)
        assert studios.studio_of("0", job, ("person", "card")) is furnished


def test_the_least_recently_used_goes_first(tmp_path: Path) -> None:
    app = application({"SLATWRIGHT_DATA_DIR": str(tmp_path), "SLATWRIGHT_CACHE_DIR": str(tmp_path)})
    job = check_text(demo_bytes()).job
    assert job is not None
    with app.app_context():
        first = studios.studio_of("0", job)
        for number in range(1, studios.MOST_STUDIOS):
            studios.studio_of(str(number), job)
        assert studios.studio_of("0", job) is first
        studios.studio_of("another", job)
        assert studios.studio_of("0", job) is first
        assert studios.studio_of("1", job) is not first
