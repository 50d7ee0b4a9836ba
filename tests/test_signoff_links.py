"""A client's link: it opens one offer and nothing else, ends when it should, is never guessed or logged."""

import datetime
import io
import re
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from signoff_site import browser, make_offer, signature, site, token
from sqlalchemy import update
from sqlalchemy.orm import Session

from viewer import log
from viewer.pages import client as client_pages
from viewer.pages import signing
from viewer.services import KEY
from viewer.store.opening import Store
from viewer.store.tables import OfferRow

LINK = re.compile(r'value="https://walls\.example(/link/[\w-]+/)"')


@pytest.fixture
def app(reachable: Flask) -> Flask:
    return reachable


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
        built = re.sub(r"<int:\w+>", "0", rule.rule)
        for argument, value in {"name": "demo", "job_id": "demo", "offer_id": other, **own}.items():
            built = built.replace(f"<{argument}>", value)
        built = re.sub(r"<[^>]*>", "x", built)
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


def test_a_phone_on_plain_http_signs_too_and_only_with_its_token(
    app: Flask, owner: FlaskClient, store: Store
) -> None:
    """There a browser hides the origin and vouches for nothing: the form's token has to."""
    link = new_link(owner, make_offer(app, owner))
    client = browser(app)
    form = {**signature(), "form_token": token(client, link)}
    hidden = {"Origin": "null"}
    for bad in ({**form, "form_token": ""}, {**form, "form_token": token(browser(app), link)}):
        assert client.post(f"{link}sign", data=bad, headers=hidden).status_code == 403
    assert owner.post("/api/check", json={}, headers=hidden).status_code == 403
    assert client.post(f"{link}sign", data=form, headers={"Origin": "http://evil.example"}).status_code == 403
    cross = {**hidden, "Sec-Fetch-Site": "cross-site"}
    assert client.post(f"{link}sign", data=form, headers=cross).status_code == 403
    assert client.post(f"{link}sign", data=form, headers=hidden).status_code == 302


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
        driver = connection.connection.driver_connection
        assert driver is not None
        dump = "\n".join(driver.iterdump())
    assert secret not in dump


def test_there_are_no_links_without_a_public_address(tmp_path: Path) -> None:
    app = site(tmp_path / "local")
    client = app.test_client()
    offer = make_offer(app, client)
    form = {"form_token": token(client, f"/offers/{offer}/")}
    assert client.post(f"/offers/{offer}/link", data=form).status_code == 409
    assert client.get("/sign-in").status_code == 404
    app.extensions[KEY].close()
