"""What every test stands on: no display, no settings or data of the person who runs it."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

# before anything imports OpenGL; the program sets it too, but a test may import a library first
os.environ.setdefault("PYOPENGL_PLATFORM", "egl")

# The same examples at every run: a red run can be repeated. `--hypothesis-profile=search` looks for new
# ones. No deadline: the machine may be shared, and slowness is measured in tests/bench.
settings.register_profile("steady", deadline=None, derandomize=True, print_blob=True)
settings.register_profile("search", deadline=None, max_examples=2000, print_blob=True)
settings.load_profile("steady")

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
