"""What every test stands on: no display, no settings or data of the person who runs it."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from flask import Flask
    from flask.testing import FlaskClient

    from finishes.catalogue import Catalogue
    from viewer.store.opening import Store

# before anything imports OpenGL; the program sets it too, but a test may import a library first
os.environ.setdefault("PYOPENGL_PLATFORM", "egl")
# before anything imports numpy: two test processes keep two cores busy, and threads of each that wait for
# each other by spinning made the light of the built-in wall up to four times as dear
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The same examples at every run: a red run can be repeated. `--hypothesis-profile=search` looks for new
# ones. No deadline: the machine may be shared, and slowness is measured in tests/bench.
settings.register_profile("steady", deadline=None, derandomize=True, print_blob=True)
settings.register_profile("search", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile("steady")

# sentences stay as they are written, whatever language the person reads; gettext else looks for translations
# on the disk at every sentence
os.environ["LANGUAGE"] = "C"

CHROMIUM = "chromium-headless-shell"


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The folder that holds README.md."""
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def chromium() -> str:
    """The path of Debian's headless Chromium."""
    path = shutil.which(CHROMIUM)
    if path is None:
        pytest.skip(f"{CHROMIUM} is not installed")
    return path


@pytest.fixture(autouse=True, scope="session")
def own_surroundings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """None of the person's ``SLATWRIGHT_*`` settings, and no file in the home folder."""
    with pytest.MonkeyPatch.context() as patch:
        for name in [name for name in os.environ if name.startswith("SLATWRIGHT_")]:
            patch.delenv(name)
        for name in ("XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME"):
            patch.setenv(name, str(tmp_path_factory.mktemp(name.lower())))
        yield


@pytest.fixture(scope="session")
def catalogue() -> "Catalogue":
    """The catalogue that comes with the program."""
    from finishes.catalogue import load  # numpy: only for the tests that ask

    return load()


@pytest.fixture
def app(tmp_path: Path) -> "Iterator[Flask]":
    """An application with its own data folder, whose stills a stand-in makes: see tests/signoff_site.py."""
    from signoff_site import site

    from viewer.services import KEY

    made = site(tmp_path)
    yield made
    made.extensions[KEY].close()


@pytest.fixture
def reachable(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> "Iterator[Flask]":
    """The same, reachable by a public address and so with an owner's account."""
    from argon2 import PasswordHasher
    from signoff_site import reachable_site

    from viewer.services import KEY
    from viewer.store import accounts

    # as costly as the program asks for, each sign-in takes a fifth of a second; one test looks at that cost
    monkeypatch.setattr(accounts, "HASHER", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    made = reachable_site(tmp_path)
    yield made
    made.extensions[KEY].close()


@pytest.fixture
def owner(reachable: "Flask") -> "FlaskClient":
    """The owner's browser, signed in there."""
    from signoff_site import signed_in

    return signed_in(reachable)


@pytest.fixture
def plain_view(monkeypatch: pytest.MonkeyPatch) -> None:
    """A stand-in for the turning view of a file, whose light takes seconds; browser tests have the real."""
    from markupsafe import Markup

    from viewer.offline_view import OfflineView
    from viewer.pages import offer_file

    view = OfflineView(html=Markup("<figure>turns</figure>"), policy="script-src blob:", size=20)
    monkeypatch.setattr(offer_file, "offline_view", lambda **_given: view)


@pytest.fixture
def client(app: "Flask") -> "FlaskClient":
    """A browser on this machine."""
    return app.test_client()


@pytest.fixture
def store(app: "Flask") -> "Store":
    """What that application keeps."""
    from viewer.services import KEY

    found: Store = app.extensions[KEY].store
    return found


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """A PostgreSQL server for this run; skipped where the machine has none."""
    from postgres_server import running

    with running() as address:
        yield address


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """Address of an empty database of either kind: what the store promises, it promises on both."""
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'slatwright.sqlite3'}"
    from postgres_server import fresh_database

    return fresh_database(request.getfixturevalue("postgres_server"))
