"""The JSON API under ``/api``. A view parses, calls one function, serialises.

Reading
    GET  /healthz                      {"status": "ok", "version"}
    GET  /api/openapi.json             all of this as OpenAPI 3.1
    GET  /api/schema                   JSON Schema of the job file
    GET  /api/catalogue                names by kind with state and source, as ``slatwright catalogue``
    GET  /api/jobs/demo                the built-in job's document

Kept jobs: an ETag with each; a write needs it as If-Match, and is refused with 412 once somebody else wrote
    GET  /api/jobs                     ?size=20&after=…: pages, last changed first
    POST /api/jobs                     keeps a job
    GET, PUT, DELETE /api/jobs/<id>    one of them

Asking about a job: the body is the job file itself (application/json)
    POST /api/check                    {"ok": true, "version"}; version = SHA-256 of the canonical job
    POST /api/set-out                  as ``slatwright set-out``
    POST /api/take-off                 as ``slatwright take-off``
    POST /api/appearance               as ``slatwright appearance``
    POST /api/glb                      as ``slatwright glb``

Pictures
    POST /api/stills                   a server-made picture on order, see viewer/api/stills.py

Cutting plans
    POST /api/cuttings                 a plan proven in the background, see viewer/api/cuttings.py

Every error of every address has one shape, see viewer/api/errors.py.
"""

from flask import Flask, Response, request

from viewer.api import cuttings, errors, house, jobs, kept_jobs, openapi, stills


def init_app(app: Flask) -> None:
    """Put the API and the one error shape into an application."""
    errors.init_app(app)
    app.register_blueprint(house.blueprint)
    app.register_blueprint(jobs.blueprint)
    app.register_blueprint(kept_jobs.blueprint)
    app.register_blueprint(openapi.blueprint)
    app.register_blueprint(stills.blueprint)
    app.register_blueprint(cuttings.blueprint)
    app.after_request(_with_etag)


def _with_etag(response: Response) -> Response:
    """What is read has an ETag; who names it in If-None-Match is told only that nothing changed."""
    if request.path.startswith("/api/") and request.method in ("GET", "HEAD") and response.status_code == 200:
        response.add_etag()
        response.headers.setdefault("Cache-Control", "no-cache")
        response.make_conditional(request)
    return response
