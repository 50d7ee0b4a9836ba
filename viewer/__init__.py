"""The workroom: job file, pictures, pages, commands. The only room that knows both meshes and finishes."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from viewer.settings import Settings


def create_app(settings: "Settings | None" = None) -> "Flask":
    """The web application. Settings left out are read from the environment (``viewer.settings.load``)."""
    from viewer.app import make  # Flask only where an application is made: commands start without it

    return make(settings)
