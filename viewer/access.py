"""Who may ask for what: the owner's session where others reach the program, form tokens always.

On 127.0.0.1 alone there is one maker and no login. With ``SLATWRIGHT_PUBLIC_URL``, or a host that others
reach, every address but a client's link, the static files and the way in answers 404 until the owner has
signed in – on this machine too, for behind a proxy every request comes from this machine.
"""

import base64
import hashlib
import hmac
import os
import secrets
from datetime import timedelta
from pathlib import Path

from flask import Flask, Request, abort, current_app, request, session
from flask.sessions import SecureCookieSession, SecureCookieSessionInterface
from itsdangerous import URLSafeTimedSerializer

from viewer.files import write
from viewer.guard import FORMS
from viewer.services import KEY, services

KEY_FILE = "cookie-key"
OPEN_BLUEPRINTS = frozenset({"link", "access"})
OPEN_ENDPOINTS = frozenset({"static", "house.health"})


def cookie_key(data_dir: Path) -> bytes:
    """The key of a data folder that signs cookies, made on first use."""
    path = data_dir / KEY_FILE
    if not path.exists():
        data_dir.mkdir(parents=True, exist_ok=True, mode=0o700)
        write(path, base64.b64encode(secrets.token_bytes(32)))
        os.chmod(path, 0o600)
    return path.read_bytes()


class CookieSessions(SecureCookieSessionInterface):
    """Flask's signed cookies; the key of the data folder is made when a first form needs it, not before."""

    def open_session(self, app: Flask, request: Request) -> SecureCookieSession | None:
        if self.get_cookie_name(app) not in request.cookies:
            return self.session_class()
        return super().open_session(app, request)

    def get_signing_serializer(self, app: Flask) -> URLSafeTimedSerializer | None:
        if not app.secret_key:
            app.secret_key = cookie_key(app.extensions[KEY].settings.data_dir)
        return super().get_signing_serializer(app)


def init_app(app: Flask) -> None:
    """Cookies, form tokens and the owner's session for an application. After ``guard``."""
    settings = app.extensions[KEY].settings
    if settings.secret_key:
        app.secret_key = settings.secret_key.get_secret_value()
    app.session_interface = CookieSessions()
    app.config.update(
        SESSION_COOKIE_NAME="slatwright",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_SECURE=bool(settings.public_url and settings.public_url.startswith("https://")),
        PERMANENT_SESSION_LIFETIME=timedelta(hours=12),
    )
    app.before_request(_check_access)
    app.before_request(_check_form)
    app.jinja_env.globals["form_token"] = form_token
    app.jinja_env.globals["shows_devices"] = shows_devices


def owner_here() -> bool:
    """Whether the request is the maker's own."""
    if not services().settings.reachable:
        return True
    return services().store.accounts.signed_in(session.get("owner"))


def shows_devices() -> bool:
    """Whether a page leads to what is signed in; what a client looks at does not."""
    return "owner" in session and request.blueprint not in ("client", "link", "devices")


def _check_access() -> None:
    if request.blueprint in OPEN_BLUEPRINTS or request.endpoint in OPEN_ENDPOINTS:
        return
    if not owner_here():
        abort(404)


def form_token() -> str:
    """What a form of ours carries; it belongs to the browser that was given the form."""
    if "form" not in session:
        session["form"] = secrets.token_urlsafe(18)
    return _token_of(session["form"])


def _token_of(form: str) -> str:
    key = current_app.secret_key
    if not key:
        key = current_app.secret_key = cookie_key(services().settings.data_dir)
    raw = key.encode() if isinstance(key, str) else key
    return hmac.new(raw, f"form {form}".encode(), hashlib.sha256).hexdigest()


def _check_form() -> None:
    if request.method != "POST" or request.mimetype not in FORMS:
        return
    given = request.form.get("form_token", "")
    if "form" not in session or not hmac.compare_digest(given, _token_of(session["form"])):
        abort(403)
