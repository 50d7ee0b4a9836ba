"""An application with an offer in it, whose stills are made by a stand-in so that no picture is drawn."""

import io
import re
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from jinja2 import BytecodeCache
from jinja2.bccache import Bucket
from PIL import Image

from viewer.app import make
from viewer.services import KEY
from viewer.settings import load
from viewer.stills_service import StillsService
from viewer.stills_worker import Outcome


class AtOnce(Executor):
    """Hands out a small grey picture at once; the number of the order is its tone."""

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        stream = io.BytesIO()
        Image.new("RGB", (60, 40), (10 * (args[0] % 20),) * 3).save(stream, "JPEG")
        future.set_result(Outcome(data=stream.getvalue()))
        return future


class Templates(BytecodeCache):
    """Compiled templates by name and source: as one process has one application, it compiles each once."""

    def __init__(self) -> None:
        self.compiled: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if bucket.key in self.compiled:
            bucket.bytecode_from_string(self.compiled[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self.compiled[bucket.key] = bucket.bytecode_to_string()


TEMPLATES = Templates()


def application(environment: Mapping[str, str]) -> Flask:
    """An application with these settings; all of one test process share the compiled templates."""
    app = make(load(environment))
    app.jinja_env.bytecode_cache = TEMPLATES
    return app


def site(folder: Path, **settings: str) -> Flask:
    """An application with its own data folder; ``settings`` by their names in lower case."""
    environment = {
        "SLATWRIGHT_DATA_DIR": str(folder / "data"),
        "SLATWRIGHT_CACHE_DIR": str(folder / "cache"),
        "SLATWRIGHT_STATE_DIR": str(folder / "state"),
        **{f"SLATWRIGHT_{name.upper()}": value for name, value in settings.items()},
    }
    app = application(environment)
    app.testing = True
    services = app.extensions[KEY]
    services.__dict__["_stills"] = StillsService(services.settings, executor=AtOnce)
    return app


PUBLIC = "https://walls.example"
PASSWORD = "an invented long password"


def reachable_site(folder: Path, *, public_url: str = PUBLIC, **settings: str) -> Flask:
    """An application that others reach by a public address, with an account for its owner."""
    app = site(folder, public_url=public_url, **settings)
    app.extensions[KEY].store.accounts.set_password("maker", PASSWORD)
    return app


def browser(app: Flask) -> FlaskClient:
    """A browser that comes by the public address."""
    client = app.test_client()
    client.environ_base["HTTP_HOST"] = "walls.example"
    client.environ_base["wsgi.url_scheme"] = "https"
    return client


def signed_in(app: Flask) -> FlaskClient:
    """The owner's browser."""
    client = browser(app)
    form = {"name": "maker", "password": PASSWORD, "form_token": token(client, "/sign-in")}
    assert client.post("/sign-in", data=form).status_code == 302
    return client


def token(client: FlaskClient, address: str, **more: Any) -> str:
    """The form token that a page carries."""
    found = re.search(r'name="form_token" value="([0-9a-f]{64})"', client.get(address, **more).text)
    assert found, address
    return found[1]


OFFER = {
    "finish": ["Walnut on ash", "Honey on pine"],
    "lighting": ["day", "evening"],
    "price_shown": "yes",
    "price": "3480.00",
    "currency": "EUR",
    "tax_included": "yes",
    "excluded": "Electrical work",
    "maker": "Invented Joinery",
    "expires": "",
    "line": ["off_cut", "gap", "sockets"],
}


def make_offer(app: Flask, client: FlaskClient, job: str = "demo", **changed: Any) -> str:
    """The id of a new offer with all its pictures, which the maker's visits to its page gather."""
    from viewer.clock import utc_now

    form = {**OFFER, "expires": utc_now().date().isoformat(), **changed}
    form["form_token"] = token(client, f"/jobs/{job}/offers")
    answer = client.post(f"/jobs/{job}/offers", data=form)
    assert answer.status_code == 302, answer.text
    offer_id = answer.headers["Location"].split("/")[-2]
    for _visit in range(4):
        client.get(f"/offers/{offer_id}/")
        if app.extensions[KEY].store.offers.get(offer_id).document["pictures"]:
            return offer_id
    raise AssertionError("four visits gathered no pictures")


def signature(**changed: Any) -> dict[str, Any]:
    """A filled-in signature without its form token."""
    from viewer.clock import utc_now

    return {
        "finish": "1",
        "ticked": ["off_cut", "gap", "sockets"],
        "seen_by_day": "yes",
        "off_cut": "OC-7",
        "name": "B. Client (invented)",
        "signed_on": utc_now().date().isoformat(),
        **changed,
    }


def sign_offer(app: Flask, client: FlaskClient, **changed: Any) -> str:
    """Make an offer of the built-in job and sign it; gives its id."""
    offer = make_offer(app, client)
    address = f"/offers/{offer}/client/"
    form = {**signature(**changed), "form_token": token(client, address)}
    assert client.post(f"{address}sign", data=form).status_code == 302
    return offer
