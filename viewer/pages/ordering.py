"""Stills of a kept job from the one executor: those that a page waits for, and those it shows in making."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from threading import Lock
from typing import Any, cast

from flask import Flask, current_app

from finishes.choice import Finish
from meshes.light.lamps import Lighting
from viewer.frame import Frame
from viewer.pages.opened import Opened
from viewer.services import services
from viewer.stills_service import Still, TooManyError
from viewer.stills_worker import StillOrder

KEY = "slatwright-orders"
LONGEST_WAIT_S = 110.0
MOST_LISTED = 12
"""Orders that a job's page shows, the newest first."""


@dataclass(slots=True)
class Orders:
    """Which stills each job's page ordered, by id; the pictures themselves are the executor's."""

    by_job: dict[str, list[str]] = field(default_factory=dict)
    guard: Lock = field(default_factory=Lock)

    def note(self, name: str, still_id: str) -> None:
        """Put it first in the job's list, which keeps the latest ``MOST_LISTED``."""
        with self.guard:
            known = self.by_job.setdefault(name, [])
            if still_id in known:
                known.remove(still_id)
            known.insert(0, still_id)
            del known[MOST_LISTED:]

    def of(self, name: str) -> list[Still]:
        """The job's orders that the executor still knows."""
        with self.guard:
            ids = list(self.by_job.get(name, ()))
        found = (services().stills.find(one) for one in ids)
        return [still for still in found if still is not None]


def init_app(app: Flask) -> None:
    """Make room for the orders of an application."""
    app.extensions[KEY] = Orders()


def orders() -> Orders:
    """The orders of the application that answers the present request."""
    return cast(Orders, current_app.extensions[KEY])


def order_for(
    on: Opened, frame: Frame, finish: Finish, lighting: Lighting, *, ending: str = ".jpg", **more: Any
) -> StillOrder:
    """A finish, of the job or tried on, under one of the job's lightings; ``more``: of ``StillOrder``."""
    document = {**on.document, "finish": finish.model_dump(mode="json", exclude_defaults=True)}
    return StillOrder(document=document, frame=frame, ending=ending, lighting=lighting.name, **more)


def made_at_once(
    on: Opened, frame: Frame, finish: Finish, lighting: Lighting, things: Sequence[str] = ()
) -> bytes | None:
    """A still as JPEG, waited for; None where none can be made at present. things : of ``THINGS``."""
    order = order_for(on, frame, finish, lighting, things=tuple(things))
    try:
        return services().stills.picture(order, LONGEST_WAIT_S).data
    except TooManyError:
        return None
