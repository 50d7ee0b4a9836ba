"""How long something still takes, as people say it."""

import math
from gettext import gettext as _

MINUTES_FROM_S = 90
"""Up to here seconds are counted; a minute more or less is all that an estimate knows beyond."""


def time_left(seconds: float) -> str:
    """``40 s``, or ``8 min``; never nothing."""
    if seconds < MINUTES_FROM_S:
        return _("{seconds}\u00a0s").format(seconds=max(1, math.ceil(seconds)))
    return _("{minutes}\u00a0min").format(minutes=math.ceil(seconds / 60))
