"""A job in and out as one file: the plain job file, or a ZIP archive with its photos and records."""

import json
from typing import Any

from flask import Blueprint, Response, abort, url_for

from viewer.bundle import Bundle, BundleError, bundle_bytes, read_bundle
from viewer.job.reading import Problem
from viewer.services import services
from viewer.signoff.verify import verify
from viewer.store.jobs import JobUnknownError, StoredJob

PHOTOS = ("before", "sample", "snag")
"""Purposes of the photos that go along; signed sheets belong to the backup, byte by byte."""
ARCHIVE = b"PK\x03\x04"

blueprint = Blueprint("job_files", __name__)


@blueprint.get("/jobs/<name>/job.json")
def plain(name: str) -> Response:
    """The job as a job file."""
    return _attached(_job_bytes(_kept(name).document), "application/json", "job.json")


@blueprint.get("/jobs/<name>/job.zip")
def archive(name: str) -> Response:
    """The job with its photos and records."""
    kept, store = _kept(name), services().store
    bundle = Bundle(
        job=_job_bytes(kept.document),
        photos=tuple((purpose, one.data) for purpose in PHOTOS for one in store.photos.of_job(name, purpose)),
        record=store.records.export(name) if store.records.entries(name) else None,
        records=tuple(one.data for one in store.photos.of_job(name, "record")),
    )
    return _attached(bundle_bytes(bundle), "application/zip", "job.zip")


@blueprint.get("/jobs/<name>/records/<record_id>.json")
def record(name: str, record_id: str) -> Response:
    """A record that came with the job from elsewhere, as it came."""
    for one in services().store.photos.of_job(name, "record"):
        if one.id == record_id:
            return _attached(one.data, one.media_type, "record.json")
    abort(404)


def records_of(name: str) -> list[dict[str, str]]:
    """Records that came with a job from elsewhere: where they are, and what they are found to be."""
    return [
        {"address": url_for("job_files.record", name=name, record_id=one.id), "words": verify(one.data).words}
        for one in services().store.photos.of_job(name, "record")
    ]


def take_in(data: bytes) -> tuple[StoredJob | None, tuple[Problem, ...]]:
    """Keep the job of a file with what came with it, or say why; all of it is judged before any is kept."""
    bundle = Bundle(job=data)
    if data.startswith(ARCHIVE):
        try:
            bundle = read_bundle(data)
        except BundleError as error:
            return None, error.problems
    found = services().check_text(bundle.job)
    if not found.document:
        return None, found.problems
    store = services().store
    kept = store.jobs.add(found.document)
    for purpose, photo in bundle.photos:
        store.photos.add(kept.id, purpose, photo, "image/jpeg")
    for record in (bundle.record, *bundle.records):
        if record is not None:
            store.photos.add(kept.id, "record", record, "application/json")
    return kept, ()


def _kept(name: str) -> StoredJob:
    try:
        return services().store.jobs.get(name)
    except JobUnknownError:
        abort(404)


def _job_bytes(document: Any) -> bytes:
    return (json.dumps(document, indent=2, ensure_ascii=False) + "\n").encode()


def _attached(data: bytes, mimetype: str, name: str) -> Response:
    response = Response(data, mimetype=mimetype)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
