"""The one place that reads the clock. Documents never do: their dates come from the job."""

import datetime
import time


def utc_now() -> datetime.datetime:
    """The present moment in UTC, to the microsecond; what is stored is always this."""
    return datetime.datetime.now(datetime.UTC)


def elapsed_s() -> float:
    """A monotonic count of seconds, for durations only."""
    return time.perf_counter()
