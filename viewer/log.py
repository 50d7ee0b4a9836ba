"""Logging: one line of JSON an event, with the id of the request it belongs to.

Events carry counts, durations and kinds. No names, no tokens, no texts from a job, no photo paths.
"""

import json
import logging
import secrets
import sys
import traceback
from contextvars import ContextVar
from pathlib import Path
from typing import Any, TextIO

from viewer.clock import utc_now

request_id: ContextVar[str] = ContextVar("request_id", default="-")

LOGGER = logging.getLogger("slatwright")


def new_request_id() -> str:
    """An id for one request or command; unguessable only so that two never meet."""
    return secrets.token_hex(6)


class OneLine(logging.Formatter):
    """An event as one line of JSON: time (UTC), level, request, event, then its facts."""

    def format(self, record: logging.LogRecord) -> str:
        facts: dict[str, Any] = getattr(record, "facts", {})
        line = {
            "time": utc_now().isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "request": request_id.get(),
            "event": record.getMessage(),
            **facts,
        }
        return json.dumps(line, ensure_ascii=False, default=str)


class ToStandardError(logging.Handler):
    """Writes to whatever standard error is at the time of the event."""

    def emit(self, record: logging.LogRecord) -> None:
        print(self.format(record), file=sys.stderr, flush=True)


def configure(level: str, stream: TextIO | None = None) -> None:
    """Send our events to a stream (by default standard error), replacing what was set before."""
    handler = logging.StreamHandler(stream) if stream is not None else ToStandardError()
    handler.setFormatter(OneLine())
    LOGGER.handlers[:] = [handler]
    LOGGER.setLevel(level.upper())
    LOGGER.propagate = False


def event(name: str, *, level: int = logging.INFO, **facts: Any) -> None:
    """Log one event by name with its facts."""
    LOGGER.log(level, name, extra={"facts": facts})


def keep_failure(error: BaseException, folder: Path) -> Path | None:
    """Write an unexpected failure with its traceback to a file of its own; None where that is impossible.

    People see one line; this file is what a developer asks for.
    """
    name = f"failure-{utc_now():%Y%m%dT%H%M%S}-{new_request_id()}.txt"
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        path = folder / name
        path.write_text("".join(traceback.format_exception(error)), encoding="utf-8")
    except OSError:
        return None
    return path
