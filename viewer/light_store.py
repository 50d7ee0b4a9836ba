"""The folder of light solved before, as the settings have it."""

import logging
from tempfile import TemporaryFile

from meshes.light.store import LightStore
from viewer.log import event
from viewer.settings import Settings


def light_store(settings: Settings) -> LightStore | None:
    """The store, or None where it is switched off (size 0) or its folder cannot be written to."""
    if settings.cache_mb == 0:
        return None
    folder = settings.cache_dir / "light"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with TemporaryFile(dir=folder):  # of no name that another process could take away
            pass
    except OSError as error:
        event("no_light_store", level=logging.WARNING, why=error.strerror)
        return None
    return LightStore(folder=folder, limit_bytes=settings.cache_mb * 1_000_000)
