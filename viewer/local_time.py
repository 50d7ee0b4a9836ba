"""The days and times that people read, in the zone of the settings; what is stored stays in UTC."""

from datetime import date, datetime

from viewer.clock import utc_now
from viewer.services import services
from viewer.zones import known_zone


def zone_name() -> str:
    """The zone of the settings, to be stated beside a time."""
    return services().settings.time_zone


def today() -> date:
    """The present day in the zone of the settings."""
    return utc_now().astimezone(known_zone(zone_name())).date()


def local_day(at: str) -> str:
    """The day of a stored moment (ISO 8601, UTC), as year-month-day."""
    return _local(at).date().isoformat()


def local_moment(at: str) -> str:
    """A stored moment (ISO 8601, UTC) to the minute, with its zone: ``2026-03-29 14:05 Europe/London``."""
    return f"{_local(at):%Y-%m-%d %H:%M} {zone_name()}"


def _local(at: str) -> datetime:
    return datetime.fromisoformat(at).astimezone(known_zone(zone_name()))
