"""A client's link: it opens one offer and nothing else, ends when it should, is never guessed or logged."""

import datetime
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import make_offer, signature, site, token
from sqlalchemy import update
from sqlalchemy.orm import Session

from viewer import access, log
from viewer.pages import client as client_pages
from viewer.pages import signing
from viewer.services import KEY
from viewer.store.opening import Store
from viewer.store.tables import OfferRow

PUBLIC = "https://walls.example"
PASSWORD = "an invented long password"
LINK = re.compile(r'value="https://walls\.example(/link/[\w-]+/)"')


@pytest.fixture
def app(tmp_path: Path) -> Iterator[Flask]:
    made = site(tmp_path, public_url=PUBLIC)
    made.extensions[KEY].store.accounts.set_password("maker", PASSWORD)
    for limiter in (access.wrong_passwords, client_pages.wrong_links, client_pages.remarks_sent):
        limiter._tries.clear()
    yield made
    made.extensions[KEY].close()


def browser(app: Flask) -> FlaskClient:
    """A browser that comes by the public address."""
    client = app.test_client()
    client.environ_base["HTTP_HOST"] = "walls.example"
    client.environ_base["wsgi.url_scheme"] = "https"
    return client


@pytest.fixture
def owner(app: Flask) -> FlaskClient:
    client = browser(app)
    form = {"name": "maker", "password": PASSWORD, "form_token": token(client, "/sign-in")}
    assert client.post("/sign-in", data=form).status_code == 302
    return client


@pytest.fixture
def store(app: Flask) -> Store:
    found: Store = app.extensions[KEY].store
    return found


def new_link(owner: FlaskClient, offer: str) -> str:
    form = {"form_token": token(owner, f"/offers/{offer}/")}
    page = owner.post(f"/offers/{offer}/link", data=form).text
    found = LINK.search(page)
    assert found, page
    assert "<svg" in page
    return found[1]


def test_a_link_opens_its_offer_and_every_other_address_is_not_there(app: Flask, owner: FlaskClient) -> None:
    offer = make_offer(app, owner)
    other = make_offer(app, owner)
    link = new_link(owner, offer)
    client = browser(app)
    page = client.get(link)
    assert page.status_code == 200
    assert page.headers["Referrer-Policy"] == "no-referrer"
    assert offer not in page.text
    own = {"token": link.split("/")[2]}
    tried = set()
    for rule in app.url_map.iter_rules():
        if rule.endpoint.startswith(("link.", "access.", "static")) or rule.endpoint == "house.health":
            continue
        values: dict[str, Any] = {
            "name": "demo",
            "offer_id": other,
            "number": 0,
            "still_id": "x",
            "photo_id": "x",
            "job_id": "demo",
            "filename": "x",
            "place": 0,
            "kind": "x",
            **own,
        }
        with app.test_request_context(base_url=PUBLIC):
            built = app.url_map.bind("walls.example").build(
                rule.endpoint, {name: values.get(name, "x") for name in rule.arguments}
            )
        for method in (rule.methods or set()) - {"OPTIONS"}:
            data: dict[str, Any] = {} if method in ("GET", "HEAD") else {"json": {}}
            answer = client.open(built, method=method, **data)
            assert answer.status_code == 404, (method, built)
            tried.add((method, rule.rule))
    assert len(tried) > 30
    assert client.get(f"{link}nothing").status_code == 404
    assert client.get(f"{link}pictures/99.jpg").status_code == 404
    assert client.get(f"{link}light/9.bin").status_code == 404


def test_the_client_signs_by_the_link(app: Flask, owner: FlaskClient, store: Store) -> None:
    link = new_link(owner, make_offer(app, owner))
    client = browser(app)
    form = {**signature(), "form_token": token(client, link)}
    # a browser hides the origin of a page without referrer, and vouches for it
    headers = {"Origin": "null", "Sec-Fetch-Site": "same-origin"}
    assert client.post(f"{link}sign", data=form, headers=headers).status_code == 302
    assert "B. Client (invented)" in client.get(link).text
    assert client.get(f"{link}record.json").data == store.records.export("demo")
    assert client.get(f"{link}sheet.pdf").data.startswith(b"%PDF-")


def test_links_end(app: Flask, owner: FlaskClient, store: Store) -> None:
    offer = make_offer(app, owner)
    first = new_link(owner, offer)
    second = new_link(owner, offer)
    client = browser(app)
    assert (client.get(first).status_code, client.get(second).status_code) == (404, 200)
    owner.post(f"/offers/{offer}/link/end", data={"form_token": token(owner, f"/offers/{offer}/")})
    assert client.get(second).status_code == 404
    third = new_link(owner, offer)
    owner.post(f"/offers/{offer}/withdraw", data={"form_token": token(owner, f"/offers/{offer}/")})
    assert client.get(third).status_code == 404


def test_an_ended_offer_is_shown_but_not_signed(app: Flask, owner: FlaskClient, store: Store) -> None:
    offer = make_offer(app, owner)
    link = new_link(owner, offer)
    with Session(store.engine) as session, session.begin():
        session.execute(update(OfferRow).values(expires_at="2020-01-01T23:59:59.999999Z"))
    client = browser(app)
    assert "Ask for a new one" in client.get(link).text
    form = {**signature(), "form_token": token(client, link)}
    assert client.post(f"{link}sign", data=form).status_code == 409
    assert len(store.records.entries("demo")) == 1


def test_a_clock_set_back_does_not_bring_an_offer_back(
    app: Flask, owner: FlaskClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    offer = make_offer(app, owner)
    link = new_link(owner, offer)
    store.records.append("demo", stage="deposit", at="2099-01-01T00:00:00.000000Z", sections={})
    client = browser(app)
    form = {**signature(), "form_token": token(client, link)}
    past = datetime.datetime.now(datetime.UTC) - datetime.timedelta(hours=2)
    monkeypatch.setattr(signing, "utc_now", lambda: past)
    assert client.post(f"{link}sign", data=form).status_code == 409
    assert [entry.stage for entry in store.records.entries("demo")] == ["offer", "deposit"]


def test_a_thousand_wrong_links_open_nothing_and_lock_nobody_out(app: Flask, owner: FlaskClient) -> None:
    link = new_link(owner, make_offer(app, owner))
    right = link.split("/")[2]
    client = browser(app)
    answers: dict[int, int] = {}
    for number in range(1000):
        wrong = right[:-3] + f"{number:03d}" if number % 2 else f"{number:032d}"
        if wrong != right:
            status = client.get(f"/link/{wrong}/").status_code
            answers[status] = answers.get(status, 0) + 1
    assert set(answers) == {404, 429}
    assert answers[404] == client_pages.wrong_links.count
    assert client.get(link).status_code == 200


def test_tokens_are_long_hashed_and_in_no_log(app: Flask, owner: FlaskClient, store: Store) -> None:
    stream = io.StringIO()
    log.configure("debug", stream)
    try:
        link = new_link(owner, make_offer(app, owner))
        client = browser(app)
        for address in (link, f"{link}pictures/0.jpg", f"/link/{'x' * 32}/"):
            client.get(address)
        client.post(f"{link}sign", data={})
    finally:
        log.LOGGER.handlers[:] = []
    secret = link.split("/")[2]
    assert len(secret) * 6 >= 128
    assert '"route": "/link/<token>/"' in stream.getvalue()
    assert secret not in stream.getvalue()
    with store.engine.connect() as connection:
        dump = "\n".join(connection.connection.driver_connection.iterdump())
    assert secret not in dump


def test_there_are_no_links_without_a_public_address(tmp_path: Path) -> None:
    app = site(tmp_path / "local")
    client = app.test_client()
    offer = make_offer(app, client)
    form = {"form_token": token(client, f"/offers/{offer}/")}
    assert client.post(f"/offers/{offer}/link", data=form).status_code == 409
    assert client.get("/sign-in").status_code == 404
    app.extensions[KEY].close()


def test_signing_in_and_out(app: Flask) -> None:
    client = browser(app)
    assert client.get("/jobs/demo/offers").status_code == 404
    form = {"name": "maker", "password": "wrong password here", "form_token": token(client, "/sign-in")}
    assert client.post("/sign-in", data=form).status_code == 422
    answer = client.post("/sign-in", data={**form, "password": PASSWORD})
    cookie = answer.headers["Set-Cookie"]
    assert all(part in cookie for part in ("HttpOnly", "Secure", "SameSite=Lax"))
    assert client.get("/jobs/demo/offers").status_code == 200
    # this machine is no exception: behind a proxy every request comes from it
    assert app.test_client().get("/jobs/demo/offers").status_code == 404
    out = {"form_token": token(client, "/jobs/demo/offers")}
    assert client.post("/sign-out", data=out).status_code == 302
    assert client.get("/jobs/demo/offers").status_code == 404


def test_another_password_ends_every_session(app: Flask, owner: FlaskClient, store: Store) -> None:
    assert owner.get("/jobs/demo/offers").status_code == 200
    store.accounts.set_password("maker", "another invented password")
    assert owner.get("/jobs/demo/offers").status_code == 404


def test_wrong_passwords_are_limited(app: Flask) -> None:
    client = browser(app)
    form = {"name": "maker", "password": "wrong", "form_token": token(client, "/sign-in")}
    answers = [client.post("/sign-in", data=form).status_code for _try in range(13)]
    assert answers == [422] * access.wrong_passwords.count + [429] * 3
    assert client.post("/sign-in", data={**form, "password": PASSWORD}).status_code == 429


def test_every_form_needs_its_token(app: Flask, owner: FlaskClient) -> None:
    """Every address that takes a write refuses a form without token, or with another browser's."""
    foreign = token(browser(app), "/sign-in")
    tried = 0
    for rule in app.url_map.iter_rules():
        if "POST" not in (rule.methods or set()):
            continue
        address = re.sub(r"<[^>]*>", "x", rule.rule)
        for form in ({}, {"form_token": foreign}, {"form_token": ""}):
            # sent as a form: JSON is kept out by its content type, which no foreign form can have
            answer = owner.post(address, data={"a": "b", **form})
            assert answer.status_code == 403, (address, form)
            tried += 1
    assert tried >= 30
