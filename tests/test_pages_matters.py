"""What the sheets of a job are about: made once a version, while other jobs' sheets do not wait for it."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event

import pytest
from signoff_site import application

from viewer.demo import demo_bytes
from viewer.job.reading import read_json
from viewer.pages import matters
from viewer.services import KEY


def test_a_pack_in_the_making_holds_up_no_other_job(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    environment = {f"SLATWRIGHT_{name}_DIR": str(tmp_path / name) for name in ("DATA", "CACHE", "STATE")}
    app = application({**environment, "SLATWRIGHT_PROVE_SECONDS": "0"})  # no plan gets better meanwhile
    other = app.extensions[KEY].store.jobs.add(read_json(demo_bytes())).id
    begun, done = Event(), Event()
    made: list[object] = []

    def slowly(about: object, _pictures: object) -> dict[str, bytes]:
        begun.set()
        assert done.wait(60), "the sheets of the other job waited for this pack"
        made.append(about)
        return {"a": b"pack"}

    def pack() -> dict[str, bytes]:
        with app.test_request_context("/jobs/demo/pack.zip"):
            return matters.packed("demo")

    monkeypatch.setattr(matters, "matter_files", slowly)
    with ThreadPoolExecutor(3) as threads:
        packs = [threads.submit(pack), threads.submit(pack)]
        assert begun.wait(30)
        with app.test_request_context(f"/jobs/{other}/sheets"):
            assert matters.matter(other).document["name"]
        done.set()
        assert [one.result() for one in packs] == 2 * [{"a": b"pack"}]
    assert len(made) == 1
