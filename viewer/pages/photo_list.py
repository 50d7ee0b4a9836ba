"""The photos of a job as its survey lists them."""

from typing import Any

from flask import url_for

from viewer.local_time import local_day
from viewer.services import services

THUMB_WIDTH = 480


def photos_of(name: str) -> list[dict[str, Any]]:
    """The photos of a job for its survey: small picture, whole picture, and the day it was added."""
    return [
        {
            "id": one.id,
            "src": url_for("photos.before", name=name, photo_id=one.id, width=THUMB_WIDTH),
            "whole": url_for("photos.before", name=name, photo_id=one.id),
            "added": local_day(one.added_at),
        }
        for one in services().store.photos.of_job(name, "before")
    ]
