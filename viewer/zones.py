"""Time zones by their IANA names: the one that is meant, and that of this machine."""

from collections.abc import Mapping
from pathlib import Path
from zoneinfo import ZoneInfo, available_timezones

from viewer.job.accepted import nearest

LOCALTIME = Path("/etc/localtime")


def known_zone(name: str) -> ZoneInfo:
    """The IANA zone of that name. Raises ValueError, which names the nearest one."""
    try:
        return ZoneInfo(name)
    except (LookupError, ValueError, OSError):
        close = nearest(name, sorted(available_timezones()))
        hint = f"; the nearest is {close}" if close else ""
        raise ValueError(f"{name} is no time zone{hint}") from None


def machine_zone(environment: Mapping[str, str], link: Path = LOCALTIME) -> str:
    """The IANA name of this machine's zone: that of ``TZ``, else of the system, else UTC."""
    named = environment.get("TZ", "").removeprefix(":")
    linked = str(link.resolve()).partition("zoneinfo/")[2]
    for name in (named, linked):
        try:
            if name:
                return ZoneInfo(name).key
        except (LookupError, ValueError, OSError):
            continue  # a rule of its own (POSIX, section 8.3) has no name that a page could state
    return "UTC"
