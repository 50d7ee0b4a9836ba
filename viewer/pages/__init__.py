"""Server-rendered pages and the static files that belong to them."""

from gettext import gettext, ngettext

from flask import Flask

from viewer.local_time import local_day, local_moment
from viewer.pages import (
    as_made,
    ballpark,
    board,
    changes,
    client,
    cutting,
    finish,
    job_files,
    joblist,
    jobs,
    lightings,
    looks,
    mailing,
    matters,
    offers,
    ordering,
    panel,
    parts,
    photos,
    sample,
    set_out,
    sheets,
    sign_in,
    stages,
    static_files,
    stills,
    studios,
    survey,
    survey_sheets,
)


def init_app(app: Flask) -> None:
    """Put the pages and the static files into an application."""
    app.register_blueprint(static_files.blueprint)
    app.add_url_rule("/static/<path:filename>", endpoint="static", view_func=static_files.serve)
    studios.init_app(app)
    looks.init_app(app)
    ordering.init_app(app)
    matters.init_app(app)
    app.register_blueprint(jobs.blueprint)
    app.register_blueprint(parts.blueprint)
    for page in (
        joblist,
        job_files,
        survey,
        survey_sheets,
        photos,
        set_out,
        finish,
        board,
        sample,
        lightings,
        stills,
        ballpark,
        as_made,
    ):
        app.register_blueprint(page.blueprint)
    for pack in (sheets, panel, changes, cutting):
        app.register_blueprint(pack.blueprint)
    for signing in (offers.blueprint, mailing.blueprint, stages.blueprint, client.client, client.link):
        app.register_blueprint(signing)
    for way_in in (sign_in.blueprint, sign_in.devices):
        app.register_blueprint(way_in)
    app.jinja_env.filters |= {"local_day": local_day, "local_moment": local_moment}
    app.jinja_env.globals |= {"_": gettext, "ngettext": ngettext}
    app.jinja_env.globals["three_address"] = "/static/vendor/three.module.js"
