"""The owner's way in where the program is reachable from elsewhere: by password, or by a code on a phone.

A code stands in an address so that a phone can read it off a QR. Opening that address changes nothing: only
the button on its page uses the code up, since mail programs and messengers open addresses by themselves.
"""

from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, session, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from viewer.limits import Limiter
from viewer.log import event
from viewer.pages.codes import qr_svg
from viewer.services import services

wrong_sign_ins = Limiter(name="sign-in", count=10, per_s=600)

blueprint = Blueprint("access", __name__)
devices = Blueprint("devices", __name__)


@blueprint.before_request
@devices.before_request
def _needed() -> None:
    if not services().settings.reachable:
        abort(404)


@blueprint.after_request
@devices.after_request
def _no_referrer(response: Response) -> Response:
    response.headers["Referrer-Policy"] = "no-referrer"
    return response


def _page(problem: str = "", code: str = "") -> str:
    name = request.form.get("name", "")
    return render_template("signoff_sign_in.html", problem=problem, code=code, name=name)


@blueprint.get("/sign-in")
def sign_in() -> str:
    """Name and password are asked for."""
    return _page()


@blueprint.post("/sign-in")
def signed_in() -> AnyResponse | tuple[str, int]:
    """Name and password; a few wrong ones and the address waits."""
    if not wrong_sign_ins.take():
        abort(429)
    name, password = request.form.get("name", "").strip(), request.form.get("password", "")
    return _begun(services().store.accounts.sign_in(name, password), "wrong")


@blueprint.get("/sign-in/<code>")
def code(code: str) -> str:
    """The button that uses the code; the code itself is not looked at yet."""
    return _page(code=code)


@blueprint.post("/sign-in/<code>")
def by_code(code: str) -> AnyResponse | tuple[str, int]:
    """Sign in by a code, once."""
    if not wrong_sign_ins.take():
        abort(429)
    return _begun(services().store.accounts.sign_in_by_code(code), "code")


def _begun(token: str | None, problem: str) -> AnyResponse | tuple[str, int]:
    if token is None:
        event("sign_in_refused")
        return _page(problem), 422
    wrong_sign_ins.forget()
    session.clear()  # nothing from before goes into the owner's session
    session.permanent = True
    session["owner"] = token
    event("signed_in")
    return redirect("/")


@blueprint.post("/sign-out")
def sign_out() -> AnyResponse:
    """End the owner's session, here and in the store."""
    if session.get("owner"):
        services().store.accounts.sign_out(session["owner"])
    session.clear()
    return redirect(url_for("access.sign_in"))


@devices.get("/devices")
def here(address: str = "") -> str:
    """What is signed in, and how to sign a phone in."""
    page: dict[str, Any] = {
        "sessions": services().store.accounts.sessions(session["owner"]),
        "address": address,
        "qr": Markup(qr_svg(address)) if address else "",
        "public": services().settings.public_url,
    }
    return render_template("signoff_devices.html", page=page)


@devices.post("/devices/code")
def new_code() -> str:
    """A fresh code for one more browser, shown this once."""
    public = services().settings.public_url
    if public is None:
        abort(409)
    return here(f"{public}{url_for('access.code', code=services().store.accounts.new_code())}")


@devices.post("/devices/others")
def end_others() -> AnyResponse:
    """End every session but this one."""
    services().store.accounts.sign_out_others(session["owner"])
    return redirect(url_for("devices.here"))
