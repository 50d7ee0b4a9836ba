"""The application factory: settings, then services, then blueprints, and nothing else."""

from pathlib import Path

from flask import Flask

from viewer import access, api, guard, pages
from viewer.services import Services
from viewer.settings import Settings, load

HERE = Path(__file__).parent
MAX_BODY_BYTES = 4_500_000
"""A job file of the largest size that is read, and its wrapping."""


def make(settings: Settings | None = None) -> Flask:
    """A new application with its own services."""
    settings = settings or load()
    app = Flask("viewer", static_folder=None, template_folder=str(HERE / "templates"))
    app.config["MAX_CONTENT_LENGTH"] = MAX_BODY_BYTES
    app.json.sort_keys = False  # type: ignore[attr-defined] # answers keep the order they are documented in
    Services(settings).init_app(app)
    guard.init_app(app)
    access.init_app(app)
    api.init_app(app)
    pages.init_app(app)
    return app
