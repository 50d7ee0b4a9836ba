"""What stands before every view: whose request it is, and what the browser may do with the answer.

A program that listens on 127.0.0.1 is reachable by every page in the user's browser. So the Host must be one
of ours (else a foreign name could be pointed at this machine), and a write must come from our own pages.
"""

import secrets
from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlsplit

from flask import Flask, Response, abort, current_app, g, request

from viewer.clock import elapsed_s
from viewer.log import event, new_request_id, request_id
from viewer.services import services
from viewer.settings import LOCAL_NAMES

FORMS = frozenset({"application/x-www-form-urlencoded", "multipart/form-data"})
"""Types of body that an HTML form can send; each carries our token, see ``viewer.access``."""
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
MOST_BYTES = "most_bytes"

View = TypeVar("View", bound=Callable[..., Any])


def takes_up_to(most_bytes: int) -> Callable[[View], View]:
    """A view whose requests may be larger than others: known before anything of the body is read."""

    def marked(view: View) -> View:
        setattr(view, MOST_BYTES, most_bytes)
        return view

    return marked


def _host_name(host: str) -> str:
    try:
        return (urlsplit(f"//{host}").hostname or "").rstrip(".")
    except ValueError:
        return ""


def _known_host(host: str) -> bool:
    settings = services().settings
    public = {urlsplit(settings.public_url).hostname} if settings.public_url else set()
    return _host_name(host) in LOCAL_NAMES | {settings.host.lower()} | public


def _own_origin(origin: str) -> bool:
    if origin == services().settings.public_url:
        return True  # behind a proxy that speaks HTTPS for us, the scheme is the proxy's
    parts = urlsplit(origin)
    return parts.scheme == request.scheme and parts.netloc.lower() == request.host.lower()


def _vouched_for() -> bool:
    """Whether something else than the Origin tells that a write is our own page's.

    Browsers say so themselves, but not over plain HTTP (a phone in the local network); there it is the form's
    token, which is looked at next. What is no form carries none.
    """
    site = request.headers.get("Sec-Fetch-Site")
    return site == "same-origin" or (site is None and request.mimetype in FORMS)


def _check_request() -> None:
    g.started_s = elapsed_s()
    g.csp_nonce = secrets.token_urlsafe(16)
    view = current_app.view_functions.get(request.endpoint or "")
    if hasattr(view, MOST_BYTES):
        request.max_content_length = getattr(view, MOST_BYTES)
    request_id.set(new_request_id())
    if not _known_host(request.host):
        abort(421)
    if request.method in SAFE_METHODS:
        return
    origin = request.headers.get("Origin")
    site = request.headers.get("Sec-Fetch-Site", "same-origin")
    if origin == "null" and _vouched_for():
        # a form of a page that sends no referrer: the browser hides its origin
        origin = None
    # a browser sends Origin with every write to another site; other programs need send neither header
    if (origin is not None and not _own_origin(origin)) or site != "same-origin":
        abort(403)


def policy(nonce: str) -> str:
    """The Content-Security-Policy: our own files, scripts only with the nonce or from our own origin."""
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src 'self' 'nonce-{nonce}'",
            "style-src 'self'",
            "img-src 'self' data: blob:",
            "font-src 'self'",
            "connect-src 'self'",
            "worker-src 'self'",
            "manifest-src 'self'",
            "form-action 'self'",
            "base-uri 'none'",
            "frame-ancestors 'none'",
        )
    )


def _trustworthy() -> bool:
    """Whether the browser takes this origin for trustworthy: only then does it know this header."""
    public = services().settings.public_url or ""
    return request.is_secure or public.startswith("https:") or _host_name(request.host) in LOCAL_NAMES


def _finish_response(response: Response) -> Response:
    response.headers.setdefault("Content-Security-Policy", policy(g.get("csp_nonce", "")))
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["X-Frame-Options"] = "DENY"
    response.headers.setdefault("Referrer-Policy", "same-origin")
    if _trustworthy():
        response.headers["Cross-Origin-Opener-Policy"] = "same-origin"
    response.headers["Cross-Origin-Resource-Policy"] = "same-origin"
    response.headers["X-Request-Id"] = request_id.get()
    response.headers.setdefault("Cache-Control", "no-store")
    rule = request.url_rule.rule if request.url_rule else "-"
    took_ms = round(1000 * (elapsed_s() - g.get("started_s", elapsed_s())), 1)
    event("request", method=request.method, route=rule, status=response.status_code, ms=took_ms)
    return response


def init_app(app: Flask) -> None:
    """Guard every request of an application and give templates ``csp_nonce``."""
    app.before_request(_check_request)
    app.after_request(_finish_response)

    @app.context_processor
    def nonce() -> dict[str, str]:
        return {"csp_nonce": g.csp_nonce}
