"""The owner's way in: by password, by a code on a phone, and out again; every form with its token."""

import datetime
import re

from flask import Flask
from flask.testing import FlaskClient
from signoff_site import PASSWORD, browser, token

from viewer.services import KEY
from viewer.store.accounts import CODE_LASTS, HASHER, AccountStore

CODE = re.compile(r"https://walls\.example(/sign-in/[\w-]+)")


def test_signing_in_and_out(reachable: Flask) -> None:
    client = browser(reachable)
    assert client.get("/jobs/demo/offers").status_code == 404
    form = {"name": "maker", "password": "wrong password here", "form_token": token(client, "/sign-in")}
    refused = client.post("/sign-in", data=form)
    assert refused.status_code == 422
    assert ('value="maker"' in refused.text, "wrong password here" in refused.text) == (True, False)
    answer = client.post("/sign-in", data={**form, "password": PASSWORD})
    cookie = answer.headers["Set-Cookie"]
    assert all(part in cookie for part in ("HttpOnly", "Secure", "SameSite=Lax"))
    assert client.get("/jobs/demo/offers").status_code == 200
    # this machine is no exception: behind a proxy every request comes from it
    assert reachable.test_client().get("/jobs/demo/offers").status_code == 404
    out = {"form_token": token(client, "/jobs/demo/offers")}
    assert client.post("/sign-out", data=out).status_code == 302
    assert client.get("/jobs/demo/offers").status_code == 404


def test_another_password_ends_every_session(reachable: Flask, owner: FlaskClient) -> None:
    assert owner.get("/jobs/demo/offers").status_code == 200
    reachable.extensions[KEY].store.accounts.set_password("maker", "another invented password")
    assert owner.get("/jobs/demo/offers").status_code == 404


def test_every_form_needs_its_token(reachable: Flask, owner: FlaskClient) -> None:
    """Every address that takes a write refuses a form without token, or with another browser's."""
    foreign = token(browser(reachable), "/sign-in")
    tried = 0
    for rule in reachable.url_map.iter_rules():
        if "POST" not in (rule.methods or set()):
            continue
        address = re.sub(r"<[^>]*>", "x", rule.rule)
        for form in ({}, {"form_token": foreign}, {"form_token": ""}):
            # sent as a form: JSON is kept out by its content type, which no foreign form can have
            answer = owner.post(address, data={"a": "b", **form})
            assert answer.status_code == 403, (address, form)
            tried += 1
    assert tried >= 30


def new_code(owner: FlaskClient) -> str:
    """The address of a fresh code, by the page that shows its QR."""
    page = owner.post("/devices/code", data={"form_token": token(owner, "/devices")}).text
    assert "<svg" in page
    found = CODE.search(page)
    assert found, page
    return found[1]


def test_a_code_signs_one_phone_in_once(reachable: Flask, owner: FlaskClient) -> None:
    code = new_code(owner)
    phone, second = browser(reachable), browser(reachable)
    # a messenger that looks at the address does not use it up
    assert phone.get(code).status_code == second.get(code).status_code == 200
    assert phone.get(code).headers["Referrer-Policy"] == "no-referrer"
    assert phone.post(code, data={"form_token": token(phone, code)}).status_code == 302
    assert phone.get("/jobs/demo/offers").status_code == 200
    answer = second.post(code, data={"form_token": token(second, code)})
    assert answer.status_code == 422
    assert "was used already" in answer.text
    assert second.get("/devices").status_code == 404


def test_a_code_is_over_in_minutes_and_with_another_password(reachable: Flask) -> None:
    kept: AccountStore = reachable.extensions[KEY].store.accounts
    now = kept.now()
    early = AccountStore(engine=kept.engine, now=lambda: now - CODE_LASTS - datetime.timedelta(seconds=1))
    assert kept.sign_in_by_code(early.new_code()) is None
    code = kept.new_code()
    kept.set_password("maker", "another invented password")
    assert kept.sign_in_by_code(code) is None


def test_what_is_signed_in_is_listed_and_can_be_ended(reachable: Flask, owner: FlaskClient) -> None:
    code = new_code(owner)
    phone = browser(reachable)
    phone.post(code, data={"form_token": token(phone, code)})
    page = owner.get("/devices").text
    assert page.count('<tr><th scope="row">') == 2
    assert page.count("this device</td>") == 1
    waiting = new_code(owner)
    form = {"form_token": token(owner, "/devices")}
    assert owner.post("/devices/others", data=form).status_code == 302
    assert phone.get("/devices").status_code == 404
    assert owner.get("/devices").status_code == 200
    late = browser(reachable)
    assert late.post(waiting, data={"form_token": token(late, waiting)}).status_code == 422


def test_on_this_machine_alone_there_is_nothing_to_sign_in_to(client: FlaskClient) -> None:
    for address in ("/sign-in", "/sign-in/x", "/devices"):
        assert client.get(address).status_code == 404
    assert "/devices" not in client.get("/jobs/demo/offers").text


def test_a_client_at_the_makers_screen_is_led_to_no_devices(owner: FlaskClient) -> None:
    assert "/devices" in owner.get("/jobs/demo/offers").text


def test_passwords_cost_what_rfc_9106_advises() -> None:
    """RFC 9106, section 4, second recommended option: argon2id, 64 MiB, 3 passes, 4 lanes, 256 bits."""
    assert HASHER.hash("an invented one").startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert HASHER.hash_len == 32
