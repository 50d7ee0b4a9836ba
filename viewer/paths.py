"""Where things live outside the checkout (XDG Base Directory Specification 0.8). Makes no folder itself."""

from collections.abc import Mapping
from pathlib import Path

NAME = "slatwright"


def _base(environment: Mapping[str, str], variable: str, below_home: str) -> Path:
    stated = environment.get(variable, "")
    # the specification: a relative path is invalid and is to be ignored
    if stated.startswith("/"):
        return Path(stated) / NAME
    return Path(environment.get("HOME") or Path.home()) / below_home / NAME


def data_home(environment: Mapping[str, str]) -> Path:
    """What must not be lost: jobs, photos, records, keys."""
    return _base(environment, "XDG_DATA_HOME", ".local/share")


def cache_home(environment: Mapping[str, str]) -> Path:
    """What can be made again: light layers, lamp weights."""
    return _base(environment, "XDG_CACHE_HOME", ".cache")


def state_home(environment: Mapping[str, str]) -> Path:
    """What is worth keeping for a while: the log of unexpected failures."""
    return _base(environment, "XDG_STATE_HOME", ".local/state")
