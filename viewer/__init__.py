"""The workroom: job file, pictures, pages, commands. The only room that knows both meshes and finishes."""

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from viewer.settings import Settings

# Read when numpy is first imported, here and in the workers. Its products are small, and threads that wait
# for the next by spinning take the processors from whoever has work: a board took 22 s, and takes 14.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def create_app(settings: "Settings | None" = None) -> "Flask":
    """The web application. Settings left out are read from the environment (``viewer.settings.load``)."""
    from viewer.app import make  # Flask only where an application is made: commands start without it

    return make(settings)
