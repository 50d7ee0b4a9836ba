"""Whether the folder of solved light can be used: asked by several processes at once."""

from pathlib import Path
from threading import Barrier, Thread

import pytest

from viewer import light_store as module
from viewer.light_store import light_store
from viewer.settings import Settings, load


def settings_in(folder: Path) -> Settings:
    return load({"SLATWRIGHT_CACHE_DIR": str(folder)})


def test_several_that_ask_at_once_all_get_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stills worker and application start together; none may take the other's trial file away."""
    told: list[str] = []
    monkeypatch.setattr(module, "event", lambda name, **_facts: told.append(name))
    wanted, barrier = settings_in(tmp_path), Barrier(8)

    def ask() -> None:
        barrier.wait()
        for _time in range(200):
            light_store(wanted)

    threads = [Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert told == []
    assert list((tmp_path / "light").iterdir()) == []


def test_a_folder_that_cannot_be_made_is_told_and_gives_no_store(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    monkeypatch.setattr(module, "event", lambda name, **_facts: told.append(name))
    (tmp_path / "light").write_bytes(b"")
    assert light_store(settings_in(tmp_path)) is None
    assert told == ["no_light_store"]
