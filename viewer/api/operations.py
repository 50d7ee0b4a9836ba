"""Every operation of the API, for its OpenAPI document; a test compares them with what answers."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel

from viewer.api import models

JSON, GLB = "application/json", "model/gltf-binary"
UNREADABLE = (400, 413, 415)
"""What a body can be refused for before anything of it is looked at."""
ANY_OBJECT = "object"


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """``answers`` by status: a model, ``ANY_OBJECT``, ``"job"``, a media type, or None for no body.

    ``faults`` are answered in the one error shape; 500 is one of every operation. ``etag``: its answer has
    one, and If-None-Match gets 304. ``if_match``: 428 without If-Match, 412 where it does not match.
    """

    method: str
    path: str
    name: str
    words: str
    answers: Mapping[int, type[BaseModel] | str | None]
    body: type[BaseModel] | str | None = None
    faults: tuple[int, ...] = ()
    query: Mapping[str, dict[str, Any]] = field(default_factory=dict)
    etag: bool = False
    if_match: bool = False


def _about_a_job(path: str, words: str, answer: type[BaseModel] | str, **more: Any) -> Operation:
    name = path.rpartition("/")[2]
    return Operation(
        method="post",
        path=path,
        name=name,
        words=words,
        answers={200: answer},
        body="job",
        faults=(*UNREADABLE, 422),
        **more,
    )


def _told(path: str, name: str, words: str, answer: type[BaseModel] | str, **more: Any) -> Operation:
    return Operation(
        method="get", path=path, name=name, words=words, answers={200: answer}, etag=True, **more
    )


FINISH = {"finish": {"schema": {"type": "string"}, "description": "A candidate by its name or letter."}}
PAGING = {
    "size": {"schema": {"type": "integer", "minimum": 1, "maximum": 100, "default": 20}},
    "after": {
        "schema": {"type": "string"},
        "description": "From the address in next; nothing to be made up.",
    },
}

OPERATIONS: tuple[Operation, ...] = (
    _told("/api/openapi.json", "openapi", "This document.", ANY_OBJECT),
    _told("/api/schema", "schema", "JSON Schema of the job file.", ANY_OBJECT),
    _told("/api/catalogue", "catalogue", "Names by kind, each with state and source.", ANY_OBJECT),
    _told("/api/jobs/demo", "demo", "The built-in job's document.", "job"),
    _about_a_job("/api/check", "Whether a job can be used, and its version.", models.Checked),
    _about_a_job("/api/set-out", "Where every slat and panel goes.", ANY_OBJECT),
    _about_a_job("/api/take-off", "What the wall needs, with its price.", ANY_OBJECT, query=FINISH),
    _about_a_job("/api/appearance", "Spectra and colours.", ANY_OBJECT, query=FINISH),
    _about_a_job("/api/glb", "The wall and its room as a mesh.", GLB),
    _told(
        "/api/jobs",
        "list_jobs",
        "Kept jobs, last changed first.",
        models.JobPage,
        query=PAGING,
        faults=(422,),
    ),
    Operation(
        method="post",
        path="/api/jobs",
        name="add_job",
        words="Keeps a job.",
        answers={201: models.JobLine},
        body="job",
        faults=(*UNREADABLE, 422),
    ),
    _told("/api/jobs/{job_id}", "get_job", "A kept job's document.", "job", faults=(404,)),
    Operation(
        method="put",
        path="/api/jobs/{job_id}",
        name="save_job",
        words="Replaces a kept job's document.",
        answers={200: models.JobLine},
        body="job",
        faults=(*UNREADABLE, 404, 422),
        if_match=True,
    ),
    Operation(
        method="delete",
        path="/api/jobs/{job_id}",
        name="delete_job",
        words="Takes a job out of the list.",
        answers={204: None},
        faults=(404,),
        if_match=True,
    ),
    Operation(
        method="post",
        path="/api/cuttings",
        name="order_cutting",
        words="Orders a cutting plan that is proven in the background.",
        answers={202: models.CuttingState},
        body="job",
        faults=(*UNREADABLE, 422, 429),
    ),
    _told("/api/cuttings/{cutting_id}", "cutting", "How far a plan is.", models.CuttingState, faults=(404,)),
    _told(
        "/api/cuttings/{cutting_id}/plan", "cutting_plan", "The best plan so far.", ANY_OBJECT, faults=(404,)
    ),
    Operation(
        method="delete",
        path="/api/cuttings/{cutting_id}",
        name="stop_cutting",
        words="Stops looking for a better plan.",
        answers={200: models.CuttingState},
        faults=(404,),
    ),
    Operation(
        method="post",
        path="/api/stills",
        name="order_still",
        words="Orders a picture.",
        answers={202: models.StillState},
        body=models.StillWish,
        faults=(*UNREADABLE, 422, 429),
    ),
    Operation(
        method="get",
        path="/api/stills/{still_id}",
        name="still",
        words="How far a picture is.",
        answers={200: models.StillState},
        faults=(404,),
        etag=True,
    ),
    Operation(
        method="delete",
        path="/api/stills/{still_id}",
        name="cancel_still",
        words="Stops making a picture; its state follows.",
        answers={200: models.StillState},
        faults=(404,),
    ),
    Operation(
        method="get",
        path="/api/stills/{still_id}/picture",
        name="picture",
        words="The finished image; 409 before it is done.",
        answers={200: "image/jpeg"},
        faults=(404, 409),
        etag=True,
    ),
)
